//! Registers that keep the peak: maximum, cumulative and continuous-cumulative, the count of resets, the ratchet.

use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::rational::ExactError;
use crate::register::{self, Register, RegisterError};
use crate::working::Working;

/// The demand registers of one meter, as it keeps them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Registers {
    built: Register,
    maximum: Decimal,
    cumulative: Decimal,
    resets: u32,
}

impl Registers {
    /// Registers of one build, with what they show at first.
    ///
    /// # Errors
    /// [`RegisterError`] when a register of that build cannot show it.
    pub fn new(built: Register, maximum: Decimal, cumulative: Decimal, resets: u32) -> Result<Self, RegisterError> {
        Ok(Self { built, maximum: built.check(maximum)?, cumulative: built.check(cumulative)?, resets })
    }

    /// Takes the demand of a window; only a greater one than before is kept.
    ///
    /// # Errors
    /// [`RegisterError`] when the register cannot show it.
    pub fn take(&mut self, demand: Decimal) -> Result<(), RegisterError> {
        let demand = self.built.check(demand)?;
        if demand > self.maximum {
            self.maximum = demand;
        }
        Ok(())
    }

    /// Resets the demand: the maximum goes into the cumulative register and begins at `present` again, the demand of the
    /// running window (0 for a block meter; a lagged meter's needle falls to where its load holds it). Answers the maximum.
    ///
    /// # Errors
    /// [`RegisterError`] when the register cannot show `present`.
    pub fn reset(&mut self, present: Decimal) -> Result<Decimal, RegisterError> {
        let present = self.built.check(present)?;
        let kept = self.maximum;
        self.cumulative = self.continuous()?;
        self.maximum = present;
        self.resets = self.resets.wrapping_add(1);
        Ok(kept)
    }

    /// What the maximum register shows.
    pub const fn maximum(&self) -> Decimal {
        self.maximum
    }

    /// What the cumulative register shows: the sum of all maxima that were reset.
    pub const fn cumulative(&self) -> Decimal {
        self.cumulative
    }

    /// What a continuous-cumulative register shows: the sum of all maxima and the present one.
    ///
    /// # Errors
    /// [`RegisterError`] for numbers beyond any size.
    pub fn continuous(&self) -> Result<Decimal, RegisterError> {
        let sum = self.cumulative.plus(self.maximum).ok_or(ExactError::Overflow)?;
        let top = self.built.turns_over_at();
        Ok(if sum >= top { sum.minus(top).ok_or(ExactError::Overflow)? } else { sum })
    }

    /// How often it was reset.
    pub const fn resets(&self) -> u32 {
        self.resets
    }
}

/// Demand of a period from a cumulative register before and after its reset: `(after − before) × multiplier`, in kilowatts.
/// A continuous-cumulative register gives the same from its value just after the last reset to the present one.
///
/// # Errors
/// [`RegisterError`], see its variants.
pub fn cumulative_demand(
    built: Register,
    before: Decimal,
    after: Decimal,
    multiplier: Factor,
) -> Result<(Factor, Working), RegisterError> {
    let advance = built.advance(before, after)?;
    Ok(register::energy(&advance, multiplier, "kW")?)
}

/// What the count of demand resets tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Resets {
    /// As many as there were periods.
    AsWanted,
    /// Fewer: a period's maximum may still stand in the register, and belongs to the period before.
    Fewer {
        /// How many fewer.
        by: u32,
    },
    /// More: a maximum of this period may already be gone.
    More {
        /// How many more.
        by: u32,
    },
}

/// Compares the count of resets between two visits with the periods closed between them; the counter has so many digits.
pub fn resets(before: u32, after: u32, wanted: u32, digits: u8) -> Resets {
    let top = 10_u64.saturating_pow(u32::from(digits.min(9)));
    let (before, after) = (u64::from(before) % top, u64::from(after) % top);
    let found = (after + top - before) % top;
    let wanted = u64::from(wanted);
    match found.cmp(&wanted) {
        std::cmp::Ordering::Equal => Resets::AsWanted,
        std::cmp::Ordering::Less => Resets::Fewer { by: (wanted - found) as u32 },
        std::cmp::Ordering::Greater => Resets::More { by: (found - wanted) as u32 },
    }
}

/// Demand as a ratchet clause bills it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ratchet {
    /// What is billed, in the unit of the demands.
    pub billed: f64,
    /// Where in the earlier periods the demand stood that it rests on; `None` where this period's own demand is billed.
    pub rests_on: Option<usize>,
}

/// The greater of this period's demand and a share of the greatest of earlier periods.
pub fn ratchet(this: f64, earlier: &[f64], share: f64) -> Ratchet {
    let mut found = Ratchet { billed: this, rests_on: None };
    for (at, demand) in earlier.iter().enumerate() {
        if demand * share > found.billed {
            found = Ratchet { billed: demand * share, rests_on: Some(at) };
        }
    }
    found
}
