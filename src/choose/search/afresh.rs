//! Boards that are all opened and lack a strip or two, a few of them cut afresh.
//!
//! Boards cut near their mixtures ([`crate::choose::search::rounded`]) often lack a strip or two. Then
//! a few of them, mostly such as lose most at the tightest prices, are to give what the others leave.
//! For that they have tightest prices and mixtures of their own, and are cut near those. What lacks as
//! little as before is gone on from. Where a few boards can't give it, as prices of their own show in
//! milliseconds, one more is cut afresh with them.

use crate::choose::effort::afresh::{FAILED, FEW, MOST, TRIES};
use crate::choose::effort::enough::{FLOORED, FLOORS, ROUNDS};
use crate::choose::kernel::cover::{Way, worth};
use crate::choose::search::drawn::Drawn;
use crate::choose::search::enough::{Dive, left};
use crate::choose::search::rounded::lacks;
use crate::choose::search::tight::{Asked, Tight, Tightened, Tightest};
use std::cmp::Reverse;

impl Dive<'_> {
    /// Ways of these boards that give what is needed, from ways that lack little on. If none are found,
    /// `ways` become those that lack least.
    pub(super) fn afresh(
        &mut self,
        need: &[u32],
        boards: &[usize],
        tight: &Tight,
        ways: &mut [Way],
    ) -> bool {
        let (mut drawn, mut failed) = (Drawn::of_search(self.draw), 0);
        let mut least = lacks(need, ways, &tight.prices);
        for _ in 0..TRIES {
            if least <= 0.0 || failed >= FAILED || (self.stop)() {
                break;
            }
            let order = self.losing_most_first(boards, tight, ways, &mut drawn);
            let Some(new) = self.some_afresh(need, boards, &order, (tight, ways)) else {
                failed += 1;
                continue;
            };
            let lacking = lacks(need, &new, &tight.prices);
            failed = if lacking < least { 0 } else { failed + 1 };
            if lacking <= least {
                least = lacking;
                ways.clone_from_slice(&new);
            }
        }
        least <= 0.0
    }

    /// Places of boards; such as lose much at the tightest prices are likelier to come early.
    fn losing_most_first(
        &self,
        boards: &[usize],
        tight: &Tight,
        ways: &[Way],
        drawn: &mut Drawn,
    ) -> Vec<usize> {
        let whole = self.cover.whole_prices(&tight.prices);
        let loses = |p: usize| {
            self.cover.most(self.cover.stock[boards[p]].lot, &whole) - worth(&ways[p], &whole)
        };
        let mut places: Vec<usize> = (0..boards.len()).collect();
        places.sort_by_cached_key(|&p| (Reverse(loses(p)), p));
        let mut order = Vec::with_capacity(places.len());
        while !places.is_empty() {
            let early = drawn.below(places.len()).min(drawn.below(places.len()));
            order.push(places.remove(early));
        }
        order
    }

    /// Ways of all boards, where the first few in this order that may give what the others leave are
    /// cut near their own mixtures.
    fn some_afresh(
        &mut self,
        need: &[u32],
        boards: &[usize],
        order: &[usize],
        (tight, ways): (&Tight, &[Way]),
    ) -> Option<Vec<Way>> {
        for few in FEW..=MOST.min(boards.len() - 1) {
            let (free, kept) = order.split_at(few);
            let left = left(need, kept.iter().map(|&place| &ways[place]));
            let of: Vec<usize> = free.iter().map(|&place| boards[place]).collect();
            let asked = Asked { need: &left, boards: &of, scales: self.scales };
            let mut search = Tightest::new(self.cover, asked, &tight.prices, &self.met);
            let mut found = search.find(&[], ROUNDS);
            if let Tightened::Open(_) = found {
                found = search.find(&search.floors(FLOORS), FLOORED);
            }
            self.met.append(&mut search.met);
            let new: Vec<(usize, Way)> = match found {
                Tightened::Short(_) => continue,
                Tightened::Enough(ways) => of.into_iter().zip(ways).collect(),
                Tightened::Open(tight) => match self.rounded(&left, &of, &tight) {
                    Some(ways) => ways,
                    None => std::mem::take(&mut self.nearest),
                },
            };
            let mut all = ways.to_vec();
            for (board, way) in new {
                if let Some(place) = boards.iter().position(|&b| b == board) {
                    all[place] = way;
                }
            }
            return Some(all);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use crate::choose::kernel::cover::{Cover, Lot, Way};
    use crate::choose::kernel::trial::priced;
    use crate::choose::search::drawn::Drawn;
    use crate::choose::search::enough::{Dive, Pains};
    use crate::choose::search::rounded::lacks;
    use crate::choose::search::tight::tests::tightest;
    use proptest::prelude::*;

    /// All boards cut afresh from these ways on: what lacks grows less or stays, and each board is cut in
    /// a way of its own. Is it enough? `None` where that is known before.
    fn afresh(cover: &Cover<'_>, prices: &[f64], mut ways: Vec<Way>) -> Option<bool> {
        let boards: Vec<usize> = (0..cover.stock.len()).collect();
        let scales = vec![1.0; prices.len()];
        let tight = tightest(cover, &boards, prices)?;
        let before = lacks(&cover.need, &ways, &tight.prices);
        let mut dive = Dive::new(cover, &scales, Pains::LITTLE, &|| false);
        let enough = dive.afresh(&cover.need, &boards, &tight, &mut ways);
        let choice = cover.opened(boards.iter().copied().zip(ways.iter().cloned()));
        assert_eq!(enough, cover.meets(&choice));
        assert!(lacks(&cover.need, &ways, &tight.prices) <= before);
        for (&board, way) in boards.iter().zip(&ways) {
            assert!(cover.lot(board).ways.contains(way));
        }
        Some(enough)
    }

    proptest! {
        #[test]
        fn boards_cut_afresh_are_enough_or_lack_no_more((cover, prices) in priced(), at: prop::sample::Index) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let any = |b: usize| {
                let ways = &cover.lot(b).ways;
                ways[at.index(ways.len())].clone()
            };
            afresh(&cover, &prices, (0..cover.stock.len()).map(any).collect());
        }
    }

    /// Covers of five to eight boards of a lot of their own, with a cut that is enough; a step of a
    /// fixed rule gives each.
    fn covers() -> impl Iterator<Item = (Cover<'static>, Vec<Way>)> {
        let mut drawn = Drawn::of_search(6);
        let mut roll = move |below: usize| drawn.below(below);
        (0..600).map(move |_| {
            let boards = 5 + roll(4);
            let mut lots = Vec::new();
            let mut need = vec![0; 4];
            for board in 0..boards {
                let mut way =
                    || -> Vec<u32> { (0..4).map(|_| u32::try_from(roll(5)).unwrap()).collect() };
                let ways: Vec<Vec<u32>> = (0..6).map(|_| way()).collect();
                need.iter_mut().zip(&ways[0]).for_each(|(n, w)| *n += w);
                let ways = ways.into_iter().map(Way::from).collect();
                lots.push(Lot {
                    cuts: None,
                    cost: 3 + i64::try_from(board).unwrap(),
                    ways,
                    listed: true,
                });
            }
            // Two boards cut otherwise.
            let way = |(board, lot): (usize, &Lot<'_>)| lot.ways[usize::from(board < 2)].clone();
            let near = lots.iter().enumerate().map(way).collect();
            (Cover::new(need, lots, &vec![1; boards]).unwrap(), near)
        })
    }

    /// From any cut on what lacks grows less or stays, each board is cut in a way of its own, and
    /// most of what there is is found.
    #[test]
    fn boards_cut_afresh_mostly_give_what_they_can() {
        let enough = |(cover, ways)| afresh(&cover, &[1.0; 4], ways) == Some(true);
        let found = covers().map(enough).filter(|&enough| enough).count();
        assert!(found > 12, "{found}");
    }
}
