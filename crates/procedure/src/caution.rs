//! The cautions of a meter change, each with its signal word in the sense of ANSI Z535 / ISO 3864.

/// How bad it gets when the caution is not heeded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Nobody is hurt, but work, equipment or a number is lost.
    Notice,
    /// Could hurt a little.
    Caution,
    /// Could kill or hurt badly.
    Warning,
    /// Will kill or hurt badly.
    Danger,
}

/// One caution; its sentence is `caution-<code>`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Stable code.
    pub code: &'static str,
    /// Its signal word.
    pub signal: Signal,
}

const fn danger(code: &'static str) -> Caution {
    Caution { code, signal: Signal::Danger }
}
const fn warning(code: &'static str) -> Caution {
    Caution { code, signal: Signal::Warning }
}
const fn caution(code: &'static str) -> Caution {
    Caution { code, signal: Signal::Caution }
}
const fn notice(code: &'static str) -> Caution {
    Caution { code, signal: Signal::Notice }
}

/// Every caution, worst first.
pub const CAUTIONS: &[Caution] = &[
    danger("enclosure_live"),
    danger("ct_broken"),
    danger("humming_ct"),
    danger("no_switch"),
    danger("vt_short"),
    danger("vt_backfeed"),
    danger("auxiliary_live"),
    danger("restore_order"),
    danger("pole_unknown"),
    warning("others_use"),
    warning("neutral_last"),
    warning("neutral_first"),
    warning("retaining_ring"),
    warning("generation_feeds"),
    caution("hot_jaw"),
    notice("phone_outside"),
    notice("power_fail_alarm"),
    notice("pulses_stop"),
    notice("leave_as_found"),
    notice("plate_alone"),
    notice("interval_end"),
    notice("peak_dies"),
    notice("peak_last"),
    notice("two_multipliers"),
];

/// Codes of all cautions, for the proof that each has a sentence.
pub const CAUTION_CODES: &[&str] = &[
    "enclosure_live",
    "ct_broken",
    "humming_ct",
    "no_switch",
    "vt_short",
    "vt_backfeed",
    "auxiliary_live",
    "restore_order",
    "pole_unknown",
    "others_use",
    "neutral_last",
    "neutral_first",
    "retaining_ring",
    "generation_feeds",
    "hot_jaw",
    "phone_outside",
    "power_fail_alarm",
    "pulses_stop",
    "leave_as_found",
    "plate_alone",
    "interval_end",
    "peak_dies",
    "peak_last",
    "two_multipliers",
];

/// The caution of this code.
pub fn find(code: &str) -> Option<Caution> {
    CAUTIONS.iter().copied().find(|caution| caution.code == code)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_those_of_the_table() {
        let listed: Vec<&str> = CAUTIONS.iter().map(|caution| caution.code).collect();
        assert_eq!(listed, CAUTION_CODES);
        assert!(CAUTIONS.is_sorted_by(|a, b| a.signal >= b.signal), "worst first");
    }
}
