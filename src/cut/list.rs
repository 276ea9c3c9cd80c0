//! All count vectors of a board that no other dominates, and a cut with few saw cuts for given
//! counts.
//!
//! Which counts matter is settled here ([`Counted`]); the search itself is in
//! `labels.rs`. Nothing but what is covered or can't reach a wanted value is dropped, so
//! the listing is exact.

use crate::cut::board::BoardCuts;
use crate::cut::labels::{Least, Search};
use crate::cut::lanes::MOST;
use crate::cut::serve::Standing;
use crate::cut::value::{Cut, Valued};
use crate::stop::Stop;

/// Leaves labels out that can't reach `least` at the prices of `valued`. With several floors
/// ([`FLOORS`] count) a label must reach all.
#[derive(Clone, Copy, Debug)]
pub struct Floor<'a> {
    /// The board valued at some prices.
    pub valued: &'a Valued,
    /// The least value of interest.
    pub least: i64,
}

/// Floors of one listing at most; others are passed over.
pub const FLOORS: usize = 4;

/// The most of one item that are counted: an even number, since flipped pairs are.
const COUNTED: u32 = MOST - MOST % 2;

/// All labels of a place go on.
const ALL: usize = usize::MAX;

/// Counts compared with all others between two looks whether to stop.
const ASKED: usize = 64;

/// Which of a board's items are counted. Where no more are wanted of a shorter strip than of a
/// longer one that serves for it, whoever has enough of the longer one has enough of both: the
/// shorter one is taken for as many as the longer one, which is the least that it can be.
pub struct Counted {
    /// For each item its lane, or that of the longer one that it is taken for; `None` where none is
    /// wanted.
    lane: Vec<Option<usize>>,
    /// Of each lane its item.
    items: Vec<usize>,
    /// Of each lane as many as are wanted.
    pub caps: Vec<u32>,
}

impl Counted {
    /// `None` if a board can give more of an item than a lane holds.
    fn new(cuts: &BoardCuts, wanted: &[u32]) -> Option<Self> {
        let items = &cuts.served.items;
        let nested = &cuts.nested.items;
        let mut counted =
            Counted { lane: vec![None; items.len()], items: Vec::new(), caps: Vec::new() };
        for &item in nested.longest_first() {
            let wanted_of = |item: usize| cuts.nested.wanted(item, wanted);
            let longer = nested.served_by(item).nth(1).and_then(|longer| counted.lane[longer]);
            counted.lane[item] = match longer {
                Some(lane) if wanted_of(item) <= wanted_of(counted.items[lane]) => Some(lane),
                _ if wanted_of(item) == 0 => None,
                _ => {
                    counted.items.push(item);
                    counted.caps.push(Self::cap(cuts, item, wanted)?);
                    Some(counted.items.len() - 1)
                }
            };
        }
        Some(counted)
    }

    /// How many of an item are counted at most.
    fn cap(cuts: &BoardCuts, item: usize, wanted: &[u32]) -> Option<u32> {
        let of = &cuts.served.items[item];
        let all = cuts.nested.wanted(item, wanted);
        let cap = match of.standing {
            Standing::Free => all,
            _ => all.next_multiple_of(2),
        };
        // More than a lane holds is out of reach anyway on most boards; where it isn't, give up.
        let most = |i: usize| {
            let longest = cuts.profiles.iter().flat_map(|p| {
                let lane = p.items.iter().position(|&x| usize::from(x) == i);
                p.entries.iter().filter_map(move |e| {
                    lane.map(|l| e.strips.iter().filter(|&&s| usize::from(s) == l).count())
                })
            });
            longest.max().unwrap_or(0)
        };
        if cap > COUNTED && cuts.nested.items.served_by(item).any(|i| most(i) > 0) {
            let value_of_one: Vec<i64> =
                (0..wanted.len()).map(|k| i64::from(k == of.kind)).collect();
            if cuts.value(&value_of_one).best > i64::from(COUNTED) {
                return None;
            }
        }
        Some(cap.min(COUNTED))
    }

    /// The lane that holds how many there are of an item, if they are counted as its own.
    pub fn lane(&self, item: usize) -> Option<usize> {
        self.lane[item].filter(|&lane| self.items[lane] == item)
    }

    /// How many there are of each item.
    pub fn of_items(&self, lanes: impl Fn(usize) -> u32) -> Vec<u32> {
        self.lane.iter().map(|lane| lane.map_or(0, &lanes)).collect()
    }

    /// What one more in each lane is worth, from what it is worth that a strip is as long as its
    /// item and not only as the next shorter one.
    pub fn prices(&self, of_items: &[i64]) -> Vec<i64> {
        let mut prices = vec![0; self.items.len()];
        for (lane, price) in self.lane.iter().zip(of_items) {
            if let Some(lane) = lane {
                prices[*lane] += price;
            }
        }
        prices
    }
}

/// Searches with as many lanes as are counted; `None` with more than the most.
macro_rules! search {
    ($counted:expr, |$search:ident| $do:expr, $($asked:expr),*) => {{
        let counted = $counted;
        match counted.caps.len() {
            0..=16 => { let $search = Search::<16>::new(counted, $($asked),*)?; $do }
            17..=32 => { let $search = Search::<32>::new(counted, $($asked),*)?; $do }
            33..=64 => { let $search = Search::<64>::new(counted, $($asked),*)?; $do }
            65..=128 => { let $search = Search::<128>::new(counted, $($asked),*)?; $do }
            _ => None,
        }
    }};
}

impl BoardCuts {
    /// Every count vector (by kind of strip, cut off at `wanted`) that no other covers, if they
    /// can be found within `effort` steps and counts are small enough to pack.
    pub fn list(&self, wanted: &[u32], floors: &[Floor<'_>], effort: u64) -> Option<Vec<Vec<u32>>> {
        self.list_few(wanted, floors, usize::MAX, effort)
    }

    /// The same, if they are no more than `most`.
    pub fn list_few(
        &self,
        wanted: &[u32],
        floors: &[Floor<'_>],
        most: usize,
        effort: u64,
    ) -> Option<Vec<Vec<u32>>> {
        self.list_some(wanted, floors, (ALL, most), effort)
    }

    /// Some such count vectors, if they are no more than `most`: at each place only the `beam` labels that
    /// are worth most so far go on. Quick on boards with too many ways to list.
    pub fn list_some(
        &self,
        wanted: &[u32],
        floors: &[Floor<'_>],
        (beam, most): (usize, usize),
        effort: u64,
    ) -> Option<Vec<Vec<u32>>> {
        let counted = Counted::new(self, wanted)?;
        search!(
            counted,
            |s| s.with_beam(beam).tallies(wanted, most),
            self,
            floors,
            Least::Nothing,
            effort
        )
    }

    /// A cut that gives at least these counts with the fewest saw cuts, if one is found within
    /// `effort`; of such ones that whose straight-lined sections are the shortest together, if
    /// that is found within as much.
    pub fn fewest_cuts(&self, needed: &[u32], floors: &[Floor<'_>], effort: u64) -> Option<Cut> {
        let lined = self.sections.iter().any(|s| s.mode.lined);
        let least = [Least::Lined, Least::Cuts].into_iter().filter(|&l| lined || l == Least::Cuts);
        let mut decided = least.filter_map(|l| self.decided(needed, floors, (ALL, effort), l));
        decided.next().flatten()
    }

    /// A cut that gives at least these counts, if one is found within `effort`.
    pub fn any_cut(&self, needed: &[u32], floors: &[Floor<'_>], effort: u64) -> Option<Cut> {
        self.some_cut(needed, floors, ALL, effort)
    }

    /// The same, if it is found while at each place only the `beam` labels that are worth most go on.
    pub fn some_cut(
        &self,
        needed: &[u32],
        floors: &[Floor<'_>],
        beam: usize,
        effort: u64,
    ) -> Option<Cut> {
        self.decided(needed, floors, (beam, effort), Least::Nothing).flatten()
    }

    /// A cut that gives at least these counts, `Some(None)` if it is certain that there is none,
    /// and `None` if that took more than `effort`.
    pub fn decide(&self, needed: &[u32], effort: u64) -> Option<Option<Cut>> {
        // Few strips are soon decided without prices.
        if let Some(soon) = self.decided(needed, &[], (ALL, effort / 10), Least::Nothing) {
            return Some(soon);
        }
        let (met, valued) = self.seek(needed);
        if met.is_some() {
            return Some(met);
        }
        if needed.iter().enumerate().any(|(kind, &n)| n > 0 && !self.may_give(kind)) {
            return Some(None);
        }
        self.decided(needed, &[self.floor(&valued, needed)], (ALL, effort), Least::Nothing)
    }

    /// Leaves out what comes to less than these counts.
    pub fn floor<'a>(&self, valued: &'a Valued, counts: &[u32]) -> Floor<'a> {
        Floor { valued, least: self.worth(valued, counts) }
    }

    fn decided(
        &self,
        needed: &[u32],
        floors: &[Floor<'_>],
        (beam, effort): (usize, u64),
        least: Least,
    ) -> Option<Option<Cut>> {
        let counted = Counted::new(self, needed)?;
        search!(counted, |s| s.with_beam(beam).cheapest(needed), self, floors, least, effort)
    }
}

/// Those of some counts that no other covers, in order, without such as are nothing; `None` if they
/// are more than `most`, or an end is asked for. Of very many this takes longer than to find them.
pub fn uncovered(mut all: Vec<Vec<u32>>, most: usize, stop: &Stop) -> Option<Vec<Vec<u32>>> {
    // One that covers another has the greater total.
    all.sort_by_cached_key(|c| std::cmp::Reverse(c.iter().map(|&n| u64::from(n)).sum::<u64>()));
    let mut kept: Vec<Vec<u32>> = Vec::new();
    for (looked_at, counts) in all.into_iter().enumerate() {
        if looked_at % ASKED == ASKED - 1 && stop.asked() {
            return None;
        }
        let covers = |k: &Vec<u32>| k.iter().zip(&counts).all(|(k, n)| k >= n);
        if counts.iter().all(|&n| n == 0) || kept.iter().any(covers) {
            continue;
        }
        if kept.len() == most {
            return None;
        }
        kept.push(counts);
    }
    kept.sort_unstable();
    Some(kept)
}

#[cfg(test)]
mod tests {
    use super::{ASKED, uncovered};
    use crate::stop::Stop;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn of_counts_those_are_kept_that_no_other_covers(
            all in prop::collection::vec(prop::collection::vec(0..4_u32, 3), 0..40),
            most in 0..12_usize,
        ) {
            let covers = |a: &[u32], b: &[u32]| a.iter().zip(b).all(|(a, b)| a >= b);
            let best = |c: &Vec<u32>| !all.iter().any(|o| o != c && covers(o, c)) && *c != [0; 3];
            let mut kept: Vec<Vec<u32>> = all.iter().filter(|c| best(c)).cloned().collect();
            kept.sort();
            kept.dedup();
            let kept = (kept.len() <= most).then_some(kept);
            prop_assert_eq!(uncovered(all, most, &Stop::default()), kept);
        }
    }

    /// Of so many counts, none of which covers another, that comparing them takes long.
    #[test]
    fn a_stop_is_heard_while_counts_are_compared() {
        let counts = |n: usize| -> Vec<Vec<u32>> {
            (0..u32::try_from(n).unwrap()).map(|i| vec![i, 1_000 - i]).collect()
        };
        let stop = Stop::default();
        assert_eq!(uncovered(counts(ASKED), ASKED, &stop).map(|kept| kept.len()), Some(ASKED));
        stop.ask();
        assert_eq!(uncovered(counts(ASKED), ASKED, &stop), None);
    }
}
