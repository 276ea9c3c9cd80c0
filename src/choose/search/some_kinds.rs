//! Boards that are all opened, asked for some kinds of strip only.
//!
//! With fewer kinds of strip a board has far fewer ways that no other covers, so lists are short, and
//! halving them ([`crate::choose::search::halved`]) decides what it leaves open with all kinds. Boards
//! that are not enough for some kinds are not enough for all, whatever else is opened that gives nothing
//! of those kinds. Often four or five kinds are at odds, and in one set of boards after another the same
//! ones: those that were found to be are asked for first. Else the kinds that the boards' cut nearest to
//! their mixtures lacks are asked for, with others drawn by a fixed rule.

use crate::choose::effort::enough::ROUNDS;
use crate::choose::effort::some_kinds::{HALVES, IN_VAIN, KNOWN, LIST, TRIES, WAYS};
use crate::choose::search::drawn::Drawn;
use crate::choose::search::enough::{Dive, Pains};
use crate::choose::search::tight::{Asked, Tight, Tightened, Tightest};

/// What boards are too few for; all kinds where none are named.
#[derive(Clone, Debug, Default)]
pub struct TooFew {
    /// Kinds of strip.
    pub kinds: Vec<usize>,
    /// The other boards that give nothing of those.
    pub others: Vec<usize>,
}

/// Kinds of strip that sets of boards were too few for.
#[derive(Clone, Debug, Default)]
pub struct AtOdds {
    /// The last ones first.
    known: Vec<Vec<usize>>,
    /// Sets, one after another, of which nothing was known.
    in_vain: usize,
}

impl AtOdds {
    /// Boards were too few for these.
    pub fn learn(&mut self, too_few: &TooFew) {
        if too_few.kinds.is_empty() {
            return;
        }
        self.known.retain(|kinds| *kinds != too_few.kinds);
        self.known.insert(0, too_few.kinds.clone());
        self.known.truncate(KNOWN);
        self.in_vain = 0;
    }

    /// Of boards nothing is known.
    pub fn learn_nothing(&mut self) {
        self.in_vain += 1;
    }

    /// Is it worth drawing kinds?
    pub fn worth_drawing(&self) -> bool {
        self.in_vain < IN_VAIN
    }
}

impl Dive<'_> {
    /// Are these boards, which may be enough for all needs, too few for kinds of strip that others
    /// were too few for?
    pub(super) fn too_few_for_known(&mut self, boards: &[usize], tight: &Tight) -> Option<TooFew> {
        let known = self.at_odds.known.clone();
        let kinds = known.into_iter().find(|kinds| self.are_too_few(kinds, boards, tight))?;
        Some(TooFew { others: self.of_no_use(&kinds, boards), kinds })
    }

    /// Are they too few for some kinds, those among them that a cut near the mixtures lacks?
    pub(super) fn too_few_for_some(&mut self, boards: &[usize], tight: &Tight) -> Option<TooFew> {
        let lacking = self.lacking();
        let mut drawn = drawn(&self.cover.need, &lacking);
        let mut kinds = drawn.find(|kinds| self.are_too_few(kinds, boards, tight))?;
        // Fewer kinds leave out more boards, and are soon asked for again.
        for kind in kinds.clone() {
            let fewer: Vec<usize> = kinds.iter().copied().filter(|&k| k != kind).collect();
            if self.are_too_few(&fewer, boards, tight) {
                kinds = fewer;
            }
        }
        Some(TooFew { others: self.of_no_use(&kinds, boards), kinds })
    }

    fn are_too_few(&mut self, kinds: &[usize], boards: &[usize], tight: &Tight) -> bool {
        if (self.stop)() {
            return false;
        }
        let kept = self.left;
        let (list, ways) = (kept.list.min(LIST), kept.ways.min(WAYS));
        let halves = kept.halves.min(HALVES);
        self.left = Pains { proof: true, list, ways, halves, halvings: 1, joins: 1, ..kept };
        let mut need = vec![0; self.cover.need.len()];
        kinds.iter().for_each(|&k| need[k] = self.cover.need[k]);
        let asked = Asked { need: &need, boards, scales: self.scales };
        let mut search = Tightest::new(self.cover, asked, &tight.prices, &[]);
        let too_few = match search.find(&[], ROUNDS) {
            Tightened::Short(_) => true,
            Tightened::Enough(_) => false,
            Tightened::Open(tight) => matches!(self.together(&need, boards, &tight), Some(None)),
        };
        self.left = kept;
        too_few
    }

    /// The boards beside these that give nothing of these kinds.
    fn of_no_use(&self, kinds: &[usize], boards: &[usize]) -> Vec<usize> {
        let mut one_each = vec![0; self.cover.need.len()];
        kinds.iter().for_each(|&k| one_each[k] = 1);
        let most = self.cover.most_of_all(&one_each);
        let stock = self.cover.stock.iter().enumerate();
        stock.filter(|(b, s)| most[s.lot] == 0 && !boards.contains(b)).map(|s| s.0).collect()
    }
}

/// Half or more of the kinds that are needed, those that lack among them.
fn drawn(need: &[u32], lacking: &[usize]) -> impl Iterator<Item = Vec<usize>> {
    let kinds: Vec<usize> = (0..need.len()).filter(|&k| need[k] > 0).collect();
    let (first, others): (Vec<usize>, Vec<usize>) =
        kinds.iter().partition(|&k| lacking.contains(k));
    let mut drawn = Drawn::new();
    let tries = if others.len() < 2 { 0 } else { TRIES };
    (0..tries).map(move |_| {
        let size = kinds.len() / 2 + drawn.below(kinds.len().div_ceil(2));
        let mut some = first.clone();
        some.extend(drawn.some(others.clone(), size.saturating_sub(first.len()).max(1)));
        some.sort_unstable();
        some
    })
}

#[cfg(test)]
mod tests {
    use crate::choose::effort::some_kinds::{IN_VAIN, KNOWN};
    use crate::choose::kernel::cover::{Cover, Lot, Stock, Way};
    use crate::choose::kernel::trial::{least, priced};
    use crate::choose::search::enough::{Dive, Pains};
    use crate::choose::search::halved::tests::{enough, every_way, shop};
    use crate::choose::search::some_kinds::{AtOdds, TooFew};
    use crate::choose::search::tight::Tight;
    use crate::choose::search::tight::tests::tightest;
    use crate::cut::BoardCuts;
    use crate::length::Length;
    use crate::lumber::Board;
    use crate::paddle::strip_kinds;
    use proptest::prelude::*;
    use std::sync::atomic::{AtomicU32, Ordering};

    /// The same cover of some of its boards.
    fn of<'a>(cover: &Cover<'a>, boards: &[usize]) -> Cover<'a> {
        let stock = (0..boards.len()).map(|lot| Stock { lot, twin_before: None });
        let lots = boards.iter().map(|&b| cover.lot(b).clone()).collect();
        Cover { lots, stock: stock.collect(), ..cover.clone() }
    }

    proptest! {
        #[test]
        fn boards_too_few_for_some_kinds_are_too_few_with_those_of_no_use(
            (cover, prices) in priced(),
            leave_out: prop::sample::Index,
            kinds in prop::collection::vec(0..2_usize, 1..=2),
        ) {
            prop_assume!(cover.need.iter().filter(|&&n| n > 0).count() >= 2);
            let mut boards: Vec<usize> = (0..cover.stock.len()).collect();
            boards.remove(leave_out.index(boards.len()));
            prop_assume!(!boards.is_empty());
            let scales = vec![1.0; prices.len()];
            let Some(tight) = tightest(&cover, &boards, &prices) else { return Ok(()) };
            let mut dive = Dive::new(&cover, &scales, Pains::SHORT, &|| false);
            let known = TooFew { kinds, others: Vec::new() };
            dive.at_odds.learn(&known);
            let some = dive.too_few_for_some(&boards, &tight);
            for too_few in dive.too_few_for_known(&boards, &tight).into_iter().chain(some) {
                let all = [&boards[..], &too_few.others[..]].concat();
                prop_assert!(too_few.others.iter().all(|b| !boards.contains(b)));
                prop_assert_eq!(least(&of(&cover, &all)), None);
            }
        }
    }

    proptest! {
        /// Boards with more ways than are listed, some of them too short for long strips, with little
        /// work or much: beside every cut of them. What is left to do stays as it was, and a search
        /// that is stopped says nothing that isn't so.
        #[test]
        fn boards_that_are_not_listed_are_too_few_only_where_they_are(
            needs in prop::collection::vec(0..6_u32, 4),
            of in prop::collection::vec((50..110_i32, 0..2_i32, 10..200_i32, 4..36_i32), 3..5),
            (short_ones, set) in (0..2_usize, 1..3_usize),
            known in prop::collection::vec(prop::collection::vec(0..4_usize, 1..3), 0..3),
            listed in prop::collection::vec(any::<bool>(), 4),
            price in prop::collection::vec(0.5..4.0_f64, 4),
            (list, halves, added) in (
                prop::sample::select(vec![1_u64, 300, 1_000_000]),
                prop::sample::select(vec![0, 3, 1_500_usize]),
                prop::sample::select(vec![1_u64, 40_000_000]),
            ),
            stops in prop_oneof![Just(u32::MAX), 0..60_u32],
            (cut, narrow) in (
                prop::option::of(prop::collection::vec(any::<prop::sample::Index>(), 3)),
                20..90_i64,
            ),
        ) {
            let (job, mut boards) = shop(&of);
            let short = |b: &mut Board| {
                (b.length, b.width) = (Length::MM * 900, Length::MM * narrow);
                b.zones = Vec::new();
            };
            boards.iter_mut().rev().take(1 + short_ones).for_each(short);
            let kinds = strip_kinds(&job);
            let wanted = vec![9; kinds.len()];
            let of_board = |b| BoardCuts::new(b, &job.shop, &kinds, &wanted);
            let cuts: Vec<BoardCuts> = boards.iter().map(of_board).collect();
            let mut need: Vec<u32> = (0..kinds.len()).map(|k| needs[k % 4]).collect();
            if let Some(cut) = cut {
                // Just what the set gives in one way.
                need = vec![0; kinds.len()];
                for (cuts, way) in cuts.iter().zip(&cut).take(set) {
                    let ways = every_way(cuts, &wanted);
                    need.iter_mut().zip(way.get(&ways).iter()).for_each(|(n, w)| *n += w);
                }
            }
            prop_assume!(need.iter().filter(|&&n| n > 0).count() >= 2);
            let lists: Vec<Vec<Way>> = cuts.iter().map(|c| every_way(c, &need)).collect();
            let mut lots: Vec<Lot<'_>> = Vec::new();
            for (b, cut) in cuts.iter().enumerate() {
                let listed = listed[b % 4];
                let ways = if listed { lists[b].clone() } else { Vec::new() };
                lots.push(Lot { cuts: Some(cut), cost: 5, ways, listed });
            }
            let cover = Cover::new(need.clone(), lots, &vec![1; cuts.len()]).unwrap();
            let set: Vec<usize> = (0..set).collect();
            let scales = vec![1.0; need.len()];
            let prices = (0..need.len()).map(|k| price[k % 4]).collect();
            let tight = Tight { prices, slack: 1.0, near: Vec::new(), parts: Vec::new() };
            let asked = AtomicU32::new(0);
            let stop = || asked.fetch_add(1, Ordering::Relaxed) >= stops;
            let pains = Pains { list, halves, added, ..Pains::SHORT };
            let mut dive = Dive::new(&cover, &scales, pains, &stop);
            for kinds in known {
                let kinds = kinds.into_iter().map(|k| k % need.len()).collect();
                dive.at_odds.learn(&TooFew { kinds, others: Vec::new() });
            }
            let some = dive.too_few_for_some(&set, &tight);
            for too_few in dive.too_few_for_known(&set, &tight).into_iter().chain(some) {
                let all = [&set[..], &too_few.others[..]].concat();
                let of: Vec<Vec<Way>> = all.iter().map(|&b| lists[b].clone()).collect();
                prop_assert!(too_few.others.iter().all(|b| !set.contains(b)));
                prop_assert!(!enough(&need, &of), "{too_few:?}");
            }
            let left = (dive.left.joins, dive.left.halves, dive.left.list);
            prop_assert_eq!(left, (pains.joins, pains.halves, pains.list));
        }
    }

    /// A board that gives one strip of one of the kinds is of use.
    #[test]
    fn boards_of_no_use_give_nothing_of_any_kind() {
        let lot = |way: [u32; 3]| {
            let ways = vec![Way::from(way.to_vec())];
            Lot { cuts: None, cost: 1, ways, listed: true }
        };
        let lots = vec![lot([0, 0, 3]), lot([1, 0, 0]), lot([0, 1, 0]), lot([0, 0, 1])];
        let cover = Cover::new(vec![2, 2, 2], lots, &[1, 1, 1, 2]).unwrap();
        let dive = Dive::new(&cover, &[1.0; 3], Pains::SHORT, &|| false);
        assert_eq!(dive.of_no_use(&[0, 1], &[0]), [3, 4]);
        assert_eq!(dive.of_no_use(&[1], &[3]), [0, 1, 4]);
    }

    #[test]
    fn kinds_are_known_once_and_drawn_until_in_vain() {
        let mut at_odds = AtOdds::default();
        let of = |kinds: &[usize]| TooFew { kinds: kinds.to_vec(), others: Vec::new() };
        at_odds.learn(&of(&[1, 2]));
        at_odds.learn(&of(&[3]));
        at_odds.learn(&of(&[1, 2]));
        at_odds.learn(&of(&[]));
        assert_eq!(at_odds.known, [vec![1, 2], vec![3]]);
        for _ in 0..IN_VAIN {
            assert!(at_odds.worth_drawing());
            at_odds.learn_nothing();
        }
        assert!(!at_odds.worth_drawing());
        at_odds.learn(&of(&[4]));
        assert!(at_odds.worth_drawing());
        (5..20).for_each(|kind| at_odds.learn(&of(&[kind])));
        assert!(at_odds.known.len() == KNOWN && at_odds.known[0] == [19]);
    }
}
