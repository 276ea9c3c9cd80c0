//! Small count vectors packed into one machine word: twelve lanes of ten bits.
//!
//! Lanes hold 0 to 255, so that two can be added and compared without one spilling into the next.

/// How many items a packed vector holds.
pub const LANES: usize = 12;
/// The greatest count of one item.
pub const MOST: u32 = 255;

/// Bits of a lane: the highest stays free for sums and comparisons.
const BITS: usize = 10;
/// All bits of the lowest lane.
const LANE: u128 = (1 << BITS) - 1;
/// One in every lane.
const ONES: u128 = {
    let (mut ones, mut lane) = (0, 0);
    while lane < LANES {
        ones |= 1 << (BITS * lane);
        lane += 1;
    }
    ones
};
/// The highest bit of every lane.
const HIGH: u128 = ONES << (BITS - 1);

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
            word |= u128::from(count.min(MOST)) << (BITS * lane);
        }
        Some(Lanes(word))
    }

    /// The count in a lane.
    pub fn get(self, lane: usize) -> u32 {
        u32::try_from(self.0 >> (BITS * lane) & LANE).unwrap_or(0)
    }

    /// This with so many more in a lane, cut off at [`MOST`].
    #[must_use]
    pub fn with(self, lane: usize, more: u32) -> Self {
        let count = (self.get(lane) + more.min(MOST)).min(MOST);
        Lanes(self.0 & !(LANE << (BITS * lane)) | u128::from(count) << (BITS * lane))
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
        let mask = (over >> (BITS - 1)) * LANE;
        Lanes(sum & !mask | caps.0 & mask)
    }

    /// The sum of all counts.
    pub fn total(self) -> u32 {
        (0..LANES).map(|lane| self.get(lane)).sum()
    }

    /// Value at prices of the lanes.
    pub fn value(self, prices: &[i64]) -> i64 {
        (0..).zip(prices).map(|(lane, &p)| p * i64::from(self.get(lane))).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::{LANES, Lanes};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn packed_and_plain_agree(
            a in prop::collection::vec(0_u32..=255, LANES),
            b in prop::collection::vec(0_u32..=255, LANES),
            c in prop::collection::vec(0_u32..=255, LANES),
        ) {
            let pack = |v: &Vec<u32>| Lanes::pack(v.iter().copied()).unwrap();
            prop_assert_eq!(pack(&a).covers(pack(&b)), a.iter().zip(&b).all(|(x, y)| x >= y));
            let capped: Vec<u32> =
                (0..LANES).map(|i| (a[i].min(c[i]) + b[i].min(c[i])).min(c[i])).collect();
            let low = |v: &Vec<u32>| Lanes::pack(v.iter().zip(&c).map(|(x, y)| *x.min(y))).unwrap();
            prop_assert_eq!(low(&a).plus(low(&b), pack(&c)), pack(&capped));
        }
    }
}
