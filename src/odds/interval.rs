//! How sure a chance is, from so many draws of so small a sample. Floats: nothing here decides
//! how a board is cut.

/// Intervals are meant to hold the true chance nineteen times of twenty.
pub const SURE: f64 = 0.95;
/// Standard deviations to either side for that.
const Z: f64 = 1.959_964;

/// A chance and what it may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// As drawn; what was not decided counts as not enough.
    pub chance: f64,
    /// Not likely less.
    pub low: f64,
    /// Not likely more.
    pub high: f64,
}

/// What is known of one number of boards.
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    /// Draws in which so many are enough.
    pub enough: u32,
    /// Draws in which it was not decided.
    pub open: u32,
    /// All draws.
    pub draws: u32,
    /// How far the chance varies from one resampled sample to the next, as a variance.
    pub between: f64,
    /// How many boards the sample comes to.
    pub worth: f64,
}

/// The interval by Wilson (J. Am. Stat. Assoc. 22, 1927, from memory) for as many independent
/// draws as tell as much. What a draw can't tell is what the sample doesn't: its boards vary as the
/// bootstrap says, but by no less than as many boards as it comes to would, since where all of a
/// few boards are alike, a bootstrap sees nothing.
pub fn chance(seen: Seen) -> Chance {
    let draws = f64::from(seen.draws).max(1.0);
    let of = |n: u32| f64::from(n) / draws;
    let (least, most) = (of(seen.enough), of(seen.enough + seen.open));
    let low = wilson(least, effective(least, draws, seen)).0;
    let high = wilson(most, effective(most, draws, seen)).1;
    Chance { chance: least, low: low.min(least), high: high.max(least) }
}

/// Independent draws that would tell as much.
fn effective(p: f64, draws: f64, seen: Seen) -> f64 {
    let spread = p * (1.0 - p);
    let by_sample = if spread > 0.0 { seen.between / spread } else { 0.0 };
    1.0 / (1.0 / draws + by_sample.max(1.0 / seen.worth.max(0.1)))
}

fn wilson(p: f64, n: f64) -> (f64, f64) {
    let z2 = Z * Z;
    let middle = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = Z / (1.0 + z2 / n) * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    ((middle - half).max(0.0), (middle + half).min(1.0))
}

/// The variance of chances between groups of draws, each of `size`, less what draws alone make.
pub fn between(chances: &[f64], size: f64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // some dozens
    let n = chances.len() as f64;
    if n < 2.0 || size < 2.0 {
        return 0.0;
    }
    let mean = chances.iter().sum::<f64>() / n;
    let all = chances.iter().map(|c| (c - mean).powi(2)).sum::<f64>() / (n - 1.0);
    let within = chances.iter().map(|c| c * (1.0 - c) / (size - 1.0)).sum::<f64>() / n;
    (all - within).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::{Seen, between, chance, wilson};

    #[test]
    fn wilson_as_published() {
        // 81 of 263: 0.2553 to 0.3662 (Newcombe, Stat. Med. 17, 1998, table I).
        let (low, high) = wilson(81.0 / 263.0, 263.0);
        assert!((low - 0.2553).abs() < 1e-4 && (high - 0.3662).abs() < 1e-4, "{low} {high}");
        // 0 of 20: 0 to 0.1611.
        let (low, high) = wilson(0.0, 20.0);
        assert!(low.abs() < 1e-9 && (high - 0.1611).abs() < 1e-4, "{low} {high}");
    }

    #[test]
    fn a_small_sample_and_open_draws_widen() {
        let seen = Seen { enough: 300, open: 0, draws: 400, between: 0.0, worth: 1e9 };
        let sure = chance(seen);
        let small = chance(Seen { worth: 5.0, ..seen });
        assert!(small.low < sure.low && small.high > sure.high);
        let varied = chance(Seen { between: 0.04, ..seen });
        assert!(varied.low < sure.low && varied.high > sure.high);
        let open = chance(Seen { open: 50, ..seen });
        assert!(open.high > sure.high && (open.low - sure.low).abs() < 1e-12);
        assert!((open.chance - 0.75).abs() < 1e-12);
    }

    #[test]
    fn what_draws_alone_make_is_no_variance_of_the_sample() {
        assert!(between(&[0.5, 0.5, 0.5], 10.0) <= 0.0);
        assert!(between(&[0.0, 1.0, 0.0, 1.0], 10.0) > 0.2);
    }
}
