//! Small count vectors of fixed size, compared and added all lanes at once.

/// The greatest count of one lane.
pub const MOST: u32 = u8::MAX as u32;

/// A count vector of so many lanes, each 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Lanes<const N: usize>([u8; N]);

impl<const N: usize> Default for Lanes<N> {
    fn default() -> Self {
        Lanes([0; N])
    }
}

impl<const N: usize> Lanes<N> {
    /// Packs counts, each cut off at [`MOST`]; `None` if there are too many.
    pub fn pack(counts: impl IntoIterator<Item = u32>) -> Option<Self> {
        let mut lanes = [0; N];
        for (lane, count) in counts.into_iter().enumerate() {
            *lanes.get_mut(lane)? = u8::try_from(count).unwrap_or(u8::MAX);
        }
        Some(Lanes(lanes))
    }

    /// The count in a lane.
    #[inline]
    pub fn get(self, lane: usize) -> u32 {
        u32::from(self.0[lane])
    }

    /// This with one more in a lane, cut off at [`MOST`].
    #[must_use]
    pub fn with_one(mut self, lane: usize) -> Self {
        self.0[lane] = self.0[lane].saturating_add(1);
        self
    }

    /// Is every count at least the other's?
    #[inline]
    pub fn covers(&self, other: &Self) -> bool {
        // Without a way out in between, so that many lanes are compared at once.
        let mut fewer = false;
        for i in 0..N {
            fewer |= self.0[i] < other.0[i];
        }
        !fewer
    }

    /// The sum, cut off lane by lane at `caps`.
    #[must_use]
    #[inline]
    pub fn plus(&self, other: &Self, caps: &Self) -> Self {
        let mut sum = [0; N];
        for (i, sum) in sum.iter_mut().enumerate() {
            *sum = self.0[i].saturating_add(other.0[i]).min(caps.0[i]);
        }
        Lanes(sum)
    }

    /// The sum of all counts.
    pub fn total(&self) -> u32 {
        self.0.iter().map(|&n| u32::from(n)).sum()
    }

    /// Value at prices of the first lanes.
    #[inline]
    pub fn value(&self, prices: &[i64]) -> i64 {
        let mut value = 0;
        for (lane, price) in prices.iter().enumerate().take(N) {
            value += price * i64::from(self.0[lane]);
        }
        value
    }
}

#[cfg(test)]
mod tests {
    use super::Lanes;
    use proptest::prelude::*;

    const N: usize = 32;

    #[test]
    fn what_does_not_fit_is_not_packed() {
        assert!(Lanes::<N>::pack([1; N]).is_some());
        assert!(Lanes::<N>::pack([1; N + 1]).is_none());
        let full = Lanes::<N>::pack([300, 254]).unwrap();
        assert_eq!([full.get(0), full.get(1), full.get(2)], [255, 254, 0]);
        assert_eq!([full.with_one(0).get(0), full.with_one(1).get(1)], [255, 255]);
        assert_eq!(full.value(&[2, 3]), 2 * 255 + 3 * 254);
        assert_eq!(full.total(), 255 + 254);
    }

    proptest! {
        #[test]
        fn packed_and_plain_agree(
            a in prop::collection::vec(0_u32..=255, N),
            b in prop::collection::vec(0_u32..=255, N),
            c in prop::collection::vec(0_u32..=255, N),
        ) {
            let pack = |v: &Vec<u32>| Lanes::<N>::pack(v.iter().copied()).unwrap();
            prop_assert_eq!(pack(&a).covers(&pack(&b)), a.iter().zip(&b).all(|(x, y)| x >= y));
            prop_assert!(pack(&a).covers(&pack(&a)));
            let capped: Vec<u32> = (0..N).map(|i| (a[i] + b[i]).min(c[i])).collect();
            prop_assert_eq!(pack(&a).plus(&pack(&b), &pack(&c)), pack(&capped));
        }
    }
}
