//! Small count vectors packed into one machine word: sixteen lanes of eight bits.
//!
//! Lanes hold 0 to 63, so that two can be added and compared without one spilling into the next.

/// How many items a packed vector holds.
pub const LANES: usize = 16;
/// The greatest count of one item.
pub const MOST: u32 = 63;

const HIGH: u128 = 0x8080_8080_8080_8080_8080_8080_8080_8080;
const ONES: u128 = 0x0101_0101_0101_0101_0101_0101_0101_0101;

/// A packed count vector.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Lanes(u128);

impl Lanes {
    /// Packs counts, each cut off at [`MOST`]; `None` if there are too many.
    pub fn pack(counts: impl IntoIterator<Item = u32>) -> Option<Self> {
        let mut word = 0;
        for (lane, count) in counts.into_iter().enumerate() {
            if lane >= LANES {
                return None;
            }
            word |= u128::from(count.min(MOST)) << (8 * lane);
        }
        Some(Lanes(word))
    }

    /// The count in a lane.
    pub fn get(self, lane: usize) -> u32 {
        u32::from(self.0.to_le_bytes()[lane])
    }

    /// This with so many more in a lane, cut off at [`MOST`].
    #[must_use]
    pub fn with(self, lane: usize, more: u32) -> Self {
        let count = (self.get(lane) + more.min(MOST)).min(MOST);
        Lanes(self.0 & !(0xFF << (8 * lane)) | u128::from(count) << (8 * lane))
    }

    /// Is every count at least the other's?
    pub fn covers(self, other: Lanes) -> bool {
        ((self.0 | HIGH) - other.0) & HIGH == HIGH
    }

    /// The sum, cut off lane by lane at `caps`.
    #[must_use]
    pub fn plus(self, other: Lanes, caps: Lanes) -> Self {
        let sum = self.0 + other.0;
        let over = ((sum | HIGH) - (caps.0 + ONES)) & HIGH;
        let mask = (over >> 7) * 0xFF;
        Lanes(sum & !mask | caps.0 & mask)
    }

    /// The sum of all counts.
    pub fn total(self) -> u32 {
        self.0.to_le_bytes().iter().map(|&n| u32::from(n)).sum()
    }

    /// Value at prices of the lanes.
    pub fn value(self, prices: &[i64]) -> i64 {
        let bytes = self.0.to_le_bytes();
        prices.iter().zip(bytes).map(|(&p, n)| p * i64::from(n)).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::Lanes;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn packed_and_plain_agree(
            a in prop::collection::vec(0_u32..=63, 16),
            b in prop::collection::vec(0_u32..=63, 16),
            c in prop::collection::vec(0_u32..=63, 16),
        ) {
            let pack = |v: &Vec<u32>| Lanes::pack(v.iter().copied()).unwrap();
            prop_assert_eq!(pack(&a).covers(pack(&b)), a.iter().zip(&b).all(|(x, y)| x >= y));
            let capped: Vec<u32> =
                (0..16).map(|i| (a[i].min(c[i]) + b[i].min(c[i])).min(c[i])).collect();
            let low = |v: &Vec<u32>| Lanes::pack(v.iter().zip(&c).map(|(x, y)| *x.min(y))).unwrap();
            prop_assert_eq!(low(&a).plus(low(&b), pack(&c)), pack(&capped));
        }
    }
}
