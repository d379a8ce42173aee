//! The readings that were taken on both sides of each element, and whether they prove its short.

use jobfile::{Fold, Live};
use leptos::prelude::*;
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
pub fn table(proofs: Vec<Proof>) -> AnyView {
    if proofs.is_empty() {
        return ().into_any();
    }
    let heads = ["before", "ct_side", "meter_side"].map(|field| words::field("short_proof", field));
    let rows = proofs.into_iter().map(|proof| {
        let cells = proof.amps.into_iter().zip(heads.clone()).map(|(amps, head)| view! { <td data-label=head>{amps}</td> });
        let (class, word) = if proof.is_proven {
            ("reads__state reads__state--good", words::proven())
        } else {
            ("reads__state reads__state--odd", words::not_proven_yet())
        };
        view! { <tr class="reads__row"><th scope="row">{proof.element}</th>{cells.collect_view()}<td class=class>{word}</td></tr> }
    });
    let rows = rows.collect_view();
    view! {
        <table class="reads">
            <caption class="unseen">{words::kind("short_proof")}</caption>
            <thead><tr><td></td>{heads.map(|head| view! { <th scope="col">{head}</th> }).collect_view()}<td></td></tr></thead>
            <tbody>{rows}</tbody>
        </table>
    }
    .into_any()
}
