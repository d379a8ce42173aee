//! Sums over long arrays: of all, of blocks, and of every window, by direct addition and without drift.

use super::profile::Span;

const LANES: usize = 16;
/// Values taken at a time, so that everything stays in the nearest cache.
const TILE: usize = 512;

/// Sum of all, in sixteen lanes.
pub(super) fn total(values: &[f64]) -> f64 {
    let mut lanes = [0.0; LANES];
    let (whole, rest) = values.as_chunks::<LANES>();
    for chunk in whole {
        for (lane, value) in lanes.iter_mut().zip(chunk) {
            *lane += value;
        }
    }
    lanes.iter().chain(rest).sum()
}

/// Sum of a few, in four lanes: additions that need not wait for one another.
pub(super) fn few(values: &[f64]) -> f64 {
    let (whole, rest) = values.as_chunks::<4>();
    let mut lanes = [0.0; 4];
    for chunk in whole {
        for (lane, value) in lanes.iter_mut().zip(chunk) {
            *lane += value;
        }
    }
    let rest: f64 = rest.iter().sum();
    (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]) + rest
}

/// The greatest number seen, and where it was seen first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Greatest {
    pub(super) value: f64,
    pub(super) at: i64,
}

impl Greatest {
    pub(super) const NONE: Self = Self { value: f64::NEG_INFINITY, at: 0 };

    pub(super) fn see(&mut self, value: f64, at: i64) {
        if value > self.value {
            *self = Self { value, at };
        }
    }

    pub(super) fn seen(self) -> Option<Self> {
        (self.value > f64::NEG_INFINITY).then_some(self)
    }
}

/// Greatest sum of whole blocks of `size` values; blocks begin where slot − `phase` is a multiple of `size`. Answers the
/// slot of its first value.
pub(super) fn greatest_block(run: &Span, values: &[f64], size: usize, phase: i64, best: &mut Greatest) {
    let before = (phase - run.slot).rem_euclid(size as i64) as usize;
    let mut slot = run.slot + before as i64;
    for block in values.get(before..).unwrap_or_default().chunks_exact(size) {
        best.see(few(block), slot);
        slot += size as i64;
    }
}

/// Greatest sum of any `window` values that follow one another. Answers the index of its first value from `base` on.
pub(super) fn greatest_window(values: &[f64], window: usize, base: i64, best: &mut Greatest) {
    if window == 0 || values.len() < window {
        return;
    }
    let mut levels = Levels::new(window);
    let starts = values.len() - window + 1;
    let mut first = 0;
    while first < starts {
        let count = TILE.min(starts - first);
        let tile = values.get(first..first + count + window - 1).unwrap_or_default();
        let most = levels.greatest(tile, window, count);
        if most > best.value {
            let at = (0..count).find(|at| levels.sum(tile, window, *at) >= most).unwrap_or(0);
            best.see(most, base + (first + at) as i64);
        }
        first += count;
    }
}

/// Sums of 2, 4, 8, … values that follow one another, from each value of a tile on.
///
/// The sum of any window is put together from them, the longest first: a few additions, all independent of one another, and
/// none of them ever taken back, so that nothing drifts.
struct Levels(Vec<Vec<f64>>);

impl Levels {
    fn new(window: usize) -> Self {
        let levels = window.checked_ilog2().unwrap_or(0);
        Self((0..levels).map(|_| vec![0.0; TILE + window]).collect())
    }

    /// Fills the levels and answers the greatest sum of `window` values from each of the first `count` on.
    fn greatest(&mut self, tile: &[f64], window: usize, count: usize) -> f64 {
        let mut below = tile;
        for (power, level) in self.0.iter_mut().enumerate() {
            let reach = 1 << power;
            let filled = below.len() - reach;
            let level = level.get_mut(..filled).unwrap_or_default();
            add_shifted(below, below.get(reach..).unwrap_or_default(), level);
            below = level;
        }
        let (mut most, mut at) = ([f64::NEG_INFINITY; BATCH], 0);
        let parts: Vec<&[f64]> = self.parts(tile, window).collect();
        while at + BATCH <= count {
            let mut sums = [0.0; BATCH];
            for part in &parts {
                if let Some(part) = part.get(at..).and_then(|part| part.first_chunk::<BATCH>()) {
                    sums.iter_mut().zip(part).for_each(|(sum, value)| *sum += value);
                }
            }
            most.iter_mut().zip(sums).for_each(|(most, sum)| *most = if sum > *most { sum } else { *most });
            at += BATCH;
        }
        let rest = (at..count).map(|at| self.sum(tile, window, at));
        most.into_iter().chain(rest).fold(f64::NEG_INFINITY, |most, sum| if sum > most { sum } else { most })
    }

    /// The slices whose values make up the sums, each beginning where its part of the first window begins.
    fn parts<'a>(&'a self, tile: &'a [f64], window: usize) -> impl Iterator<Item = &'a [f64]> {
        let mut done = 0;
        (0..=self.0.len()).rev().filter(move |power| window >> power & 1 == 1).map(move |power| {
            let level = power.checked_sub(1).and_then(|at| self.0.get(at)).map_or(tile, Vec::as_slice);
            let part = level.get(done..).unwrap_or_default();
            done += 1 << power;
            part
        })
    }

    /// One sum, added in the same order.
    fn sum(&self, tile: &[f64], window: usize, at: usize) -> f64 {
        self.parts(tile, window).filter_map(|part| part.get(at)).fold(0.0, |sum, value| sum + value)
    }
}

/// Sums that are put together at a time.
const BATCH: usize = 16;

fn add_shifted(one: &[f64], other: &[f64], sums: &mut [f64]) {
    for (sum, (one, other)) in sums.iter_mut().zip(one.iter().zip(other)) {
        *sum = one + other;
    }
}
