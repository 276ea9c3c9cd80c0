//! Strips alike in all but length: a longer one serves wherever a shorter one is wanted.
//!
//! So strips are counted "at least that long". A board that gives two strips of 90 in gives two of
//! 84 in as well, if nothing else tells them apart; what is needed is so many of at least 90 in and
//! so many of at least 84 in, the longer ones among them. Counts of single kinds are called counts
//! here, and counts of that sort **sums**. Prices go with sums: each says what it is worth that a
//! strip is as long as its kind and not only as the next shorter one, so that a strip is worth the
//! prices of its own kind and of all shorter ones together.

use crate::length::Length;
use crate::paddle::StripKind;

/// Which of some things, alike in all but length, is the next longer and the next shorter one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Families {
    longer: Vec<Option<usize>>,
    shorter: Vec<Option<usize>>,
    /// All things, of each family the longest first.
    order: Vec<usize>,
}

impl Families {
    /// The families of kinds of strip.
    pub fn of(kinds: &[StripKind]) -> Self {
        let alike = |a: usize, b: usize| kinds[a].alike_but_for_length(&kinds[b]);
        Families::new(kinds.len(), |k| kinds[k].length, alike)
    }

    /// The families of so many things of these lengths; `alike` tells whether two are of one
    /// family.
    pub fn new(
        things: usize,
        length: impl Fn(usize) -> Length,
        alike: impl Fn(usize, usize) -> bool,
    ) -> Self {
        let mut families: Vec<Vec<usize>> = Vec::new();
        for thing in 0..things {
            match families.iter_mut().find(|f| alike(f[0], thing)) {
                Some(family) => family.push(thing),
                None => families.push(vec![thing]),
            }
        }
        let (mut longer, mut shorter) = (vec![None; things], vec![None; things]);
        for family in &mut families {
            family.sort_by_key(|&t| (std::cmp::Reverse(length(t)), t));
            for pair in family.windows(2) {
                longer[pair[1]] = Some(pair[0]);
                shorter[pair[0]] = Some(pair[1]);
            }
        }
        Families { longer, shorter, order: families.concat() }
    }

    /// Is every thing a family of its own?
    pub fn single(&self) -> bool {
        self.longer.iter().all(Option::is_none)
    }

    /// All things, of each family the longest first.
    pub fn longest_first(&self) -> &[usize] {
        &self.order
    }

    /// The next shorter one of the family.
    pub fn shorter(&self, thing: usize) -> Option<usize> {
        self.shorter[thing]
    }

    /// This one and the longer ones of its family.
    pub fn served_by(&self, thing: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(Some(thing), |&t| self.longer[t])
    }

    /// This one and the shorter ones of its family.
    pub fn serves(&self, thing: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(Some(thing), |&t| self.shorter[t])
    }

    /// From counts to sums.
    pub fn sums(&self, counts: &[u32]) -> Vec<u32> {
        let mut sums = counts.to_vec();
        for &thing in &self.order {
            if let Some(longer) = self.longer[thing] {
                sums[thing] = sums[thing].saturating_add(sums[longer]);
            }
        }
        sums
    }

    /// How far a sum is beyond that of the next longer thing: so far it may be lowered, once the
    /// longer ones are settled.
    pub fn beyond(&self, sums: &[u32], thing: usize) -> u32 {
        sums[thing].saturating_sub(self.longer[thing].map_or(0, |longer| sums[longer]))
    }

    /// From sums to counts. A sum below one of longer things is taken for as much as that.
    pub fn counts(&self, sums: &[u32]) -> Vec<u32> {
        let (mut closed, mut counts) = (sums.to_vec(), sums.to_vec());
        for &thing in &self.order {
            if let Some(longer) = self.longer[thing] {
                closed[thing] = closed[thing].max(closed[longer]);
                counts[thing] = closed[thing] - closed[longer];
            }
        }
        counts
    }

    /// What one of each is worth, from prices of sums.
    pub fn worth(&self, prices: &[i64]) -> Vec<i64> {
        let mut worth = prices.to_vec();
        for &thing in self.order.iter().rev() {
            if let Some(shorter) = self.shorter[thing] {
                worth[thing] = worth[thing].saturating_add(worth[shorter]);
            }
        }
        worth
    }

    /// Prices of sums, from what one of each is worth; a longer one is worth no less than a
    /// shorter one.
    pub fn prices(&self, worth: &[i64]) -> Vec<i64> {
        let (mut closed, mut prices) = (worth.to_vec(), worth.to_vec());
        for &thing in self.order.iter().rev() {
            if let Some(shorter) = self.shorter[thing] {
                closed[thing] = closed[thing].max(closed[shorter]);
                prices[thing] = closed[thing] - closed[shorter];
            }
        }
        prices
    }
}

#[cfg(test)]
mod tests {
    use super::Families;
    use crate::length::Length;
    use proptest::prelude::*;

    fn families(things: &[(i64, u8)]) -> Families {
        let length = |t: usize| Length::INCH * things[t].0;
        Families::new(things.len(), length, |a, b| things[a].1 == things[b].1)
    }

    #[test]
    fn the_longer_serve_the_shorter_of_their_family_only() {
        let three = families(&[(84, 0), (90, 0), (84, 1), (80, 0)]);
        assert_eq!(three.sums(&[2, 1, 4, 3]), [3, 1, 4, 6]);
        assert_eq!(three.counts(&[3, 1, 4, 6]), [2, 1, 4, 3]);
        assert_eq!(three.worth(&[5, 7, 2, 1]), [6, 13, 2, 1]);
        assert_eq!(three.serves(1).collect::<Vec<_>>(), [1, 0, 3]);
        assert_eq!(three.served_by(3).collect::<Vec<_>>(), [3, 0, 1]);
        assert!(!three.single() && families(&[(1, 0), (1, 1)]).single());
    }

    proptest! {
        #[test]
        fn there_and_back(
            things in prop::collection::vec((1_i64..9, 0_u8..3, 0_u32..9, 0_i64..9), 1..9)
        ) {
            let mut seen = Vec::new();
            let things: Vec<_> = things.into_iter().filter(|t| {
                let new = !seen.contains(&(t.0, t.1));
                seen.push((t.0, t.1));
                new
            }).collect();
            let all = families(&things.iter().map(|t| (t.0, t.1)).collect::<Vec<_>>());
            let counts: Vec<u32> = things.iter().map(|t| t.2).collect();
            let prices: Vec<i64> = things.iter().map(|t| t.3).collect();
            let (sums, worth) = (all.sums(&counts), all.worth(&prices));
            prop_assert_eq!(all.counts(&sums), counts.clone());
            prop_assert_eq!(all.prices(&worth), prices.clone());
            // Both ways of reckoning come to the same.
            let by = |n: &[u32], p: &[i64]| -> i64 {
                n.iter().zip(p).map(|(&n, &p)| i64::from(n) * p).sum()
            };
            prop_assert_eq!(by(&counts, &worth), by(&sums, &prices));
        }
    }
}
