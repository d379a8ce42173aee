//! The readings that were taken on both sides of each element, and whether they prove its short.

use crate::drawing::{Node, classed, nothing, tag};
use jobfile::{Fold, Live};
use procedure::replay::{CurrentStands, ElementTrack, Replay};

/// One element with its last reading on both sides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    /// `A`, `B` or `C`.
    pub element: &'static str,
    /// Amps before, on the CT side and on the meter side, as typed.
    pub amps: [String; 3],
    /// Whether the short is proven by it.
    pub is_proven: bool,
}

/// The elements that are shorted and read, in phase order.
pub fn proofs(fold: &Fold, replay: &Replay) -> Vec<Proof> {
    replay.elements.iter().filter_map(|track| proof(fold, track)).collect()
}

fn proof(fold: &Fold, track: &ElementTrack) -> Option<Proof> {
    if !matches!(track.stands, CurrentStands::Shorted | CurrentStands::ShortedBoth) {
        return None;
    }
    let live = fold.last("short_proof", track.element)?;
    let typed = |live: &Live, field: &str| live.fields.typed(field).unwrap_or_default().to_string();
    let amps = ["before", "ct_side", "meter_side"].map(|field| typed(live, field));
    Some(Proof { element: track.element, amps, is_proven: track.proven })
}

/// The table of what was read.
pub fn table(proofs: Vec<Proof>) -> Node {
    if proofs.is_empty() {
        return nothing();
    }
    let heads = ["before", "ct_side", "meter_side"].map(|field| words::field("short_proof", field));
    let mut line = tag("TR").put(tag("TD"));
    for head in &heads {
        line = line.put(tag("TH").set("scope", "col").put(head.as_str()));
    }
    line = line.put(tag("TD"));
    let mut body = tag("TBODY");
    for proof in proofs {
        let mut row = classed("TR", "reads__row").put(tag("TH").set("scope", "row").put(proof.element));
        for (amps, head) in proof.amps.into_iter().zip(&heads) {
            row = row.put(tag("TD").set("data-label", head.as_str()).put(amps));
        }
        let (class, word) = if proof.is_proven {
            ("reads__state reads__state--good", words::proven())
        } else {
            ("reads__state reads__state--odd", words::not_proven_yet())
        };
        body = body.put(row.put(classed("TD", class).put(word)));
    }
    classed("TABLE", "reads")
        .put(classed("CAPTION", "unseen").put(words::kind("short_proof")))
        .put(tag("THEAD").put(line))
        .put(body)
        .into()
}
