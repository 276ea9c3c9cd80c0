//! How sure a chance is, from so many draws of so small a sample. Floats: nothing here decides
//! how a board is cut.

/// Intervals are meant to hold the true chance nineteen times of twenty.
pub const SURE: f64 = 0.95;
/// Standard deviations to either side for that.
const Z: f64 = 1.959_964;

/// The same where the deviation itself is taken from so few boards: Student's t at 97.5 per cent
/// for 1, 2, 3 … degrees of freedom (any statistical table).
const STUDENT: [f64; 30] = [
    12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160,
    2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056,
    2.052, 2.048, 2.045, 2.042,
];

/// Standard deviations to either side for a sample of so many boards.
fn deviations(boards: usize) -> f64 {
    let freedom = boards.saturating_sub(1).max(1);
    #[allow(clippy::cast_precision_loss)] // as many as are marked
    STUDENT.get(freedom - 1).copied().unwrap_or(Z + 2.4 / freedom as f64)
}

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
    /// How many there are in it.
    pub sample: usize,
    /// How many boards are drawn for a pile.
    pub boards: usize,
}

/// The interval by Wilson (J. Am. Stat. Assoc. 22, 1927, from memory) for as many independent
/// draws as tell as much. What a draw can't tell is what the sample doesn't: its boards vary as the
/// bootstrap says, but by no less than as much as they could where a bootstrap sees nothing, since
/// all of a few boards are alike. A chance found from piles of k out of n boards has a variance of
/// at most k/n of p(1 − p) (Hoeffding, Ann. Math. Stat. 19, 1948, from memory), and of at most 2/π
/// of that where it is the sum of what the boards give that decides, as here where k is more than 1
/// or 2. Few boards say little of how much they vary: so Student's t instead of the normal.
pub fn chance(seen: Seen) -> Chance {
    let draws = f64::from(seen.draws).max(1.0);
    let of = |n: u32| f64::from(n) / draws;
    let (least, most) = (of(seen.enough), of(seen.enough + seen.open));
    let z = deviations(seen.sample);
    let low = wilson(least, effective(least, draws, seen), z).0;
    let high = wilson(most, effective(most, draws, seen), z).1;
    Chance { chance: least, low: low.min(least), high: high.max(least) }
}

/// Independent draws that would tell as much.
fn effective(p: f64, draws: f64, seen: Seen) -> f64 {
    let spread = p * (1.0 - p);
    let by_sample = if spread > 0.0 { seen.between / spread } else { 0.0 };
    #[allow(clippy::cast_precision_loss)] // some hundreds
    let pile = (seen.boards as f64 * std::f64::consts::FRAC_2_PI).max(1.0);
    1.0 / (1.0 / draws + by_sample.max(pile / seen.worth.max(0.1)))
}

fn wilson(p: f64, n: f64, z: f64) -> (f64, f64) {
    let z2 = z * z;
    let middle = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = z / (1.0 + z2 / n) * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
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
    use super::{Seen, Z, between, chance, deviations, wilson};

    #[test]
    fn wilson_as_published() {
        // 81 of 263: 0.2553 to 0.3662 (Newcombe, Stat. Med. 17, 1998, table I).
        let (low, high) = wilson(81.0 / 263.0, 263.0, Z);
        assert!((low - 0.2553).abs() < 1e-4 && (high - 0.3662).abs() < 1e-4, "{low} {high}");
        // 0 of 20: 0 to 0.1611.
        let (low, high) = wilson(0.0, 20.0, Z);
        assert!(low.abs() < 1e-9 && (high - 0.1611).abs() < 1e-4, "{low} {high}");
    }

    #[test]
    fn a_small_sample_and_open_draws_widen() {
        let (worth, sample, boards) = (1e9, 1_000_000, 1);
        let seen = Seen { enough: 300, open: 0, draws: 400, between: 0.0, worth, sample, boards };
        let sure = chance(seen);
        let small = chance(Seen { worth: 5.0, ..seen });
        assert!(small.low < sure.low && small.high > sure.high);
        let few = chance(Seen { sample: 3, ..seen });
        assert!(few.low < sure.low && few.high > sure.high);
        // A large pile takes much of a small sample each time.
        let pile = chance(Seen { worth: 5.0, boards: 4, ..seen });
        assert!(pile.low < small.low && pile.high > small.high);
        let varied = chance(Seen { between: 0.04, ..seen });
        assert!(varied.low < sure.low && varied.high > sure.high);
        let open = chance(Seen { open: 50, ..seen });
        assert!(open.high > sure.high && (open.low - sure.low).abs() < 1e-12);
        assert!((open.chance - 0.75).abs() < 1e-12);
    }

    #[test]
    fn student_for_few_and_the_normal_for_many() {
        assert!((deviations(5) - 2.776).abs() < 1e-9);
        assert!(deviations(1) > 12.0 && deviations(2) > 12.0);
        assert!((deviations(61) - 2.000).abs() < 1e-3 && (deviations(1 << 30) - Z).abs() < 1e-6);
        assert!((1..200).all(|n| deviations(n) >= deviations(n + 1) - 1e-12));
    }

    #[test]
    fn what_draws_alone_make_is_no_variance_of_the_sample() {
        assert!(between(&[0.5, 0.5, 0.5], 10.0) <= 0.0);
        assert!(between(&[0.0, 1.0, 0.0, 1.0], 10.0) > 0.2);
    }
}
