//! Small count vectors packed into two machine words: twenty-four lanes of ten bits.
//!
//! Lanes hold 0 to 255, so that two can be added and compared without one spilling into the next.

/// How many items a packed vector holds.
pub const LANES: usize = 2 * HALF;
/// The greatest count of one item.
pub const MOST: u32 = 255;

/// Lanes of one word.
const HALF: usize = 12;
/// Bits of a lane: the highest stays free for sums and comparisons.
const BITS: usize = 10;
/// All bits of the lowest lane.
const LANE: u128 = (1 << BITS) - 1;
/// One in every lane.
const ONES: u128 = {
    let (mut ones, mut lane) = (0, 0);
    while lane < HALF {
        ones |= 1 << (BITS * lane);
        lane += 1;
    }
    ones
};
/// The highest bit of every lane.
const HIGH: u128 = ONES << (BITS - 1);

/// A packed count vector.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Lanes([u128; 2]);

impl Lanes {
    /// Packs counts, each cut off at [`MOST`]; `None` if there are too many.
    pub fn pack(counts: impl IntoIterator<Item = u32>) -> Option<Self> {
        let mut words = [0; 2];
        for (lane, count) in counts.into_iter().enumerate() {
            let word = words.get_mut(lane / HALF)?;
            *word |= u128::from(count.min(MOST)) << (BITS * (lane % HALF));
        }
        Some(Lanes(words))
    }

    /// The count in a lane.
    pub fn get(self, lane: usize) -> u32 {
        let word = self.0[lane / HALF];
        u32::try_from(word >> (BITS * (lane % HALF)) & LANE).unwrap_or(0)
    }

    /// This with so many more in a lane, cut off at [`MOST`].
    #[must_use]
    pub fn with(mut self, lane: usize, more: u32) -> Self {
        let count = (self.get(lane) + more.min(MOST)).min(MOST);
        let shift = BITS * (lane % HALF);
        let word = &mut self.0[lane / HALF];
        *word = *word & !(LANE << shift) | u128::from(count) << shift;
        self
    }

    /// Is every count at least the other's?
    pub fn covers(self, other: Lanes) -> bool {
        let word = |i: usize| ((self.0[i] | HIGH) - other.0[i]) & HIGH == HIGH;
        word(0) && word(1)
    }

    /// The sum, cut off lane by lane at `caps`.
    #[must_use]
    pub fn plus(self, other: Lanes, caps: Lanes) -> Self {
        let word = |i: usize| {
            let sum = self.0[i] + other.0[i];
            let over = ((sum | HIGH) - (caps.0[i] + ONES)) & HIGH;
            let mask = (over >> (BITS - 1)) * LANE;
            sum & !mask | caps.0[i] & mask
        };
        Lanes([word(0), word(1)])
    }

    /// The sum of all counts.
    pub fn total(self) -> u32 {
        let lanes = if self.0[1] == 0 { HALF } else { LANES };
        (0..lanes).map(|lane| self.get(lane)).sum()
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
