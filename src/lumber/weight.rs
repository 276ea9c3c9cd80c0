//! Weights of strips, exact.

use std::fmt;

/// A weight, a whole number of billionths of a gram: an ounce (28.349523125 g) and a hundredth of a
/// gram are both whole.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Weight(i64);

impl Weight {
    /// One gram.
    pub const GRAM: Weight = Weight(1_000_000_000);
    /// One ounce, exactly (a pound is 453.59237 g by international agreement of 1959).
    pub const OUNCE: Weight = Weight(28_349_523_125);
    /// One pound.
    pub const POUND: Weight = Weight(16 * 28_349_523_125);
    /// The greatest weight that is read: 1,000 kg.
    pub const LIMIT: Weight = Weight(1_000_000 * 1_000_000_000);

    /// A weight of so many billionths of a gram.
    pub const fn from_parts(parts: i64) -> Self {
        Weight(parts)
    }

    /// The number of billionths of a gram.
    pub const fn parts(self) -> i64 {
        self.0
    }

    /// In kilograms, for mechanics only.
    #[allow(clippy::cast_precision_loss)]
    pub fn kilograms(self) -> f64 {
        self.0 as f64 / 1e12
    }
}

impl fmt::Display for Weight {
    /// All its digits, in grams.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / Self::GRAM.0, (self.0 % Self::GRAM.0).abs());
        if part == 0 {
            return write!(f, "{whole} g");
        }
        let digits = format!("{part:09}");
        write!(f, "{whole}.{} g", digits.trim_end_matches('0'))
    }
}
