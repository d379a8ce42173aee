//! What is likely before anything is read: named sets of odds, by the kind of visit.

/// Odds of single mistakes, each in parts of a hundred of all single mistakes, shared out evenly among the leads they can strike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaultOdds {
    /// One current transformer reversed.
    pub ct_reversed: f64,
    /// One without current: shorted or open.
    pub ct_dead: f64,
    /// Two exchanged.
    pub ct_swapped: f64,
    /// All moved on.
    pub ct_rotated: f64,
    /// A wrong ratio that gives too little.
    pub ct_ratio_low: f64,
    /// A wrong ratio that gives too much.
    pub ct_ratio_high: f64,
    /// Around another line.
    pub ct_wrong_line: f64,
    /// Partly shunted.
    pub ct_partial: f64,
    /// All reversed.
    pub ct_all_reversed: f64,
    /// Shorted on a common return.
    pub ct_short_common: f64,
    /// A voltage lead open.
    pub vt_open: f64,
    /// A voltage transformer reversed.
    pub vt_reversed: f64,
    /// Two voltage leads exchanged.
    pub vt_swapped: f64,
    /// All voltage leads moved on.
    pub vt_rotated: f64,
    /// Partial voltage.
    pub vt_partial: f64,
    /// A wrong ratio that gives too little.
    pub vt_ratio_low: f64,
    /// A wrong ratio that gives too much.
    pub vt_ratio_high: f64,
    /// Line to line instead of line to neutral.
    pub vt_line_to_line: f64,
    /// The neutral of the transformers lost.
    pub vt_neutral_open: f64,
}

/// Odds of slips of the hand, in parts of a hundred of all slips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlipOdds {
    /// Clamp turned round.
    pub clamp_reversed: f64,
    /// Clamp on another channel's lead.
    pub clamp_on: f64,
    /// Clamp on the common return.
    pub clamp_on_return: f64,
    /// Clamp round two leads of different channels.
    pub clamp_two: f64,
    /// Clamp round both wires of one transformer.
    pub clamp_both: f64,
    /// Reference clip on another channel.
    pub clip: f64,
    /// Reference clips exchanged.
    pub clip_reversed: f64,
    /// Line to line taken for line to neutral.
    pub line_to_line: f64,
}

/// One named set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Priors {
    /// Its name, as recorded beside an answer.
    pub name: &'static str,
    /// Chance that wiring and reading are right.
    pub correct: f64,
    /// Chance of one mistake of the wiring, none of the hand.
    pub single: f64,
    /// Of two.
    pub double: f64,
    /// Of a rare one, from the odds in `odd`.
    pub odd: f64,
    /// Chance that only the hand slipped.
    pub slip: f64,
    /// Chance of one slip and one mistake of the wiring.
    pub slip_and_fault: f64,
    /// Odds of the common mistakes.
    pub faults: FaultOdds,
    /// Odds of the rare ones.
    pub odd_faults: FaultOdds,
    /// Odds of slips.
    pub slips: SlipOdds,
    /// Chance of the sequence ACB where nobody checked it.
    pub reversed_sequence: f64,
    /// Chances of net, absolute and positive-only adding where the nameplate is silent.
    pub adding: [f64; 3],
}

const NO_FAULTS: FaultOdds = FaultOdds {
    ct_reversed: 0.0,
    ct_dead: 0.0,
    ct_swapped: 0.0,
    ct_rotated: 0.0,
    ct_ratio_low: 0.0,
    ct_ratio_high: 0.0,
    ct_wrong_line: 0.0,
    ct_partial: 0.0,
    ct_all_reversed: 0.0,
    ct_short_common: 0.0,
    vt_open: 0.0,
    vt_reversed: 0.0,
    vt_swapped: 0.0,
    vt_rotated: 0.0,
    vt_partial: 0.0,
    vt_ratio_low: 0.0,
    vt_ratio_high: 0.0,
    vt_line_to_line: 0.0,
    vt_neutral_open: 0.0,
};

/// Odds stated with the simulated visits; the order is that of common practice, no published ranking is known.
const COMMON: FaultOdds = FaultOdds {
    ct_reversed: 22.0,
    ct_dead: 13.0,
    ct_swapped: 12.0,
    ct_rotated: 5.0,
    ct_ratio_low: 2.5,
    ct_ratio_high: 2.5,
    ct_wrong_line: 5.0,
    ct_partial: 4.0,
    ct_all_reversed: 3.0,
    vt_open: 8.0,
    vt_reversed: 7.0,
    vt_swapped: 7.0,
    vt_rotated: 3.0,
    vt_partial: 3.0,
    vt_ratio_low: 1.0,
    vt_ratio_high: 1.0,
    vt_line_to_line: 1.0,
    ..NO_FAULTS
};

const RARE: FaultOdds = FaultOdds {
    ct_short_common: 30.0,
    ct_partial: 18.0,
    vt_neutral_open: 15.0,
    vt_partial: 12.0,
    ct_ratio_high: 15.0,
    ct_ratio_low: 3.0,
    vt_ratio_low: 3.5,
    vt_ratio_high: 3.5,
    ..NO_FAULTS
};

/// Odds stated with the simulated visits in which the hand may slip; common practice, no published counts are known.
const SLIPS: SlipOdds = SlipOdds {
    clamp_reversed: 36.0,
    clamp_on: 16.5,
    clamp_on_return: 5.5,
    clamp_two: 9.333,
    clamp_both: 4.667,
    clip: 8.0,
    clip_reversed: 8.0,
    line_to_line: 12.0,
};

/// The odds that the simulated visits were made with; the hand never slips there.
pub const FIELD_CASES: Priors = Priors {
    name: "field_cases",
    correct: 0.40,
    single: 0.40,
    double: 0.15,
    odd: 0.05,
    slip: 0.0,
    slip_and_fault: 0.0,
    faults: COMMON,
    odd_faults: RARE,
    slips: SLIPS,
    reversed_sequence: 0.07,
    adding: [1.0, 0.0, 0.0],
};

/// The odds that the simulated visits with slips were made with.
pub const FIELD_SLIPS: Priors = Priors {
    name: "field_slips",
    correct: 0.38,
    single: 0.30 * 28.0 / 38.0,
    double: 0.30 * 6.0 / 38.0,
    odd: 0.30 * 4.0 / 38.0,
    slip: 0.24,
    slip_and_fault: 0.08,
    adding: [0.70, 0.15, 0.15],
    ..FIELD_CASES
};

/// A routine visit.
///
/// - One site in about thirteen wired wrong: "between 5 to 10 %" of meters incorrectly wired, NAVFAC MO-221, section 2.
/// - Slips of the hand as frequent as mistakes of the wiring: common practice, no source.
/// - Doubles one in eight of the wrong ones, rare ones one in twenty: common practice, no source.
/// - Sequence ACB at one service in fourteen, absolute or one-way adding at three meters in ten: common practice, no source.
pub const ROUTINE: Priors = Priors {
    name: "routine",
    correct: 0.85,
    single: 0.062,
    double: 0.009,
    odd: 0.004,
    slip: 0.07,
    slip_and_fault: 0.005,
    ..FIELD_SLIPS
};

/// A visit because a bill was doubted: about every third such site is wired wrong (common practice, no source); the hand
/// slips as often as on a routine visit.
pub const COMPLAINT: Priors = Priors {
    name: "complaint",
    correct: 0.59,
    single: 0.25,
    double: 0.05,
    odd: 0.02,
    slip: 0.06,
    slip_and_fault: 0.03,
    ..FIELD_SLIPS
};

/// Every named set, the default first.
pub const ALL: [&Priors; 4] = [&ROUTINE, &COMPLAINT, &FIELD_CASES, &FIELD_SLIPS];

impl Priors {
    /// The set of this name.
    pub fn named(name: &str) -> Option<&'static Self> {
        ALL.into_iter().find(|set| set.name == name)
    }
}
