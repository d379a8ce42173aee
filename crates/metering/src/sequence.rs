//! Symmetrical components of a three-phase set.

use crate::phasor::Phasor;

/// `a = 1∠120°`, as literals: a sine would leave a residue in the sum of a balanced set.
pub const A: Phasor = Phasor::literal(-0.5, 0.866_025_403_784_438_6);
/// `a² = 1∠240°`.
pub const A2: Phasor = Phasor::literal(-0.5, -0.866_025_403_784_438_6);

/// The three components of a set, each as phase A sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Components {
    /// The part that all three phases share.
    pub zero: Phasor,
    /// The part that turns A, B, C.
    pub positive: Phasor,
    /// The part that turns A, C, B.
    pub negative: Phasor,
}

/// Splits a set into its symmetrical components.
///
/// # Units
/// - `abc`: RMS phasors in any one unit, in the order the phases reach their peak
/// - returns: the same unit, angles on the axis `A` is given on
///
/// # Source
/// C. L. Fortescue, "Method of symmetrical co-ordinates applied to the solution of polyphase networks", Trans. AIEE 37
/// (1918) 1027–1140.
pub fn components([a, b, c]: [Phasor; 3]) -> Components {
    Components { zero: (a + b + c) / 3.0, positive: (a + b * A + c * A2) / 3.0, negative: (a + b * A2 + c * A) / 3.0 }
}

impl Components {
    /// The set these components make, in the order A, B, C.
    pub fn phases(self) -> [Phasor; 3] {
        let Self { zero, positive, negative } = self;
        [zero + positive + negative, zero + positive * A2 + negative * A, zero + positive * A + negative * A2]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_phasor() -> impl Strategy<Value = Phasor> {
        (-1e3..1e3, -1e3..1e3).prop_map(|(re, im)| Phasor::literal(re, im))
    }

    #[test]
    fn a_balanced_set_is_all_positive_sequence() {
        let one = Phasor::literal(1.0, 0.0);
        let split = components([one, A2, A]);
        assert_eq!(split.zero, Phasor::ZERO);
        // The square of the literal is 3/4 to the last binary digit but one.
        assert!(split.negative.magnitude() < 1e-16);
        assert!((split.positive - one).magnitude() < 1e-15);
    }

    proptest! {
        #[test]
        fn splitting_and_joining_returns(a in any_phasor(), b in any_phasor(), c in any_phasor()) {
            let again = components([a, b, c]).phases();
            for (before, after) in [a, b, c].into_iter().zip(again) {
                prop_assert!((before - after).magnitude() < 1e-12 * 1e3);
            }
        }

        #[test]
        fn changing_two_phases_about_changes_the_sequences_about(a in any_phasor(), b in any_phasor(), c in any_phasor()) {
            let (abc, acb) = (components([a, b, c]), components([a, c, b]));
            prop_assert!((abc.positive - acb.negative).magnitude() < 1e-9);
            prop_assert!((abc.zero - acb.zero).magnitude() < 1e-9);
        }
    }
}
