//! Boards that are all opened, cut by lists of all ways that could be part of it.
//!
//! Any way of a board in a cut of them all loses no more than the slack at the tightest prices.
//! Where such ways are few enough to be listed, board by board, and put together, that decides
//! whether the boards are enough. A board whose ways are too many is asked again once the others are
//! listed: cut by their lists alone they come to less, so there is less slack for it.

use crate::choose::effort::enough::{
    BEAM, BEAMS, FLOORINGS, LISTING, NEAR, PRICES, ROUNDS, SQUEEZES,
};
use crate::choose::effort::halved::{LIST, MORE_WAYS};
use crate::choose::kernel::cover::{Cover, Lot, Stock, Way, clamped, owed, worth};
use crate::choose::search::enough::Dive;
use crate::choose::search::halved::Halved;
use crate::choose::search::sums::{self, Part, Summed};
use crate::choose::search::tight::{Asked, Tight, Tightened, Tightest, exact_slack};
use crate::cut::BoardCuts;
use crate::cut::list::{self, Floor};
use crate::cut::value::Valued;
use rayon::prelude::*;
use std::sync::Arc;

/// A board with those of its ways that may be part of it.
#[derive(Clone)]
pub(super) struct Listed {
    pub board: usize,
    pub ways: Vec<Way>,
    /// It is cut by these alone: they are all of them, or others are left aside.
    pub alone: bool,
}

impl Dive<'_> {
    /// The boards with all their ways that leave the others enough, or some where there are too
    /// many, put together. `None` if there may be more to it.
    pub(super) fn together(
        &mut self,
        need: &[u32],
        boards: &[usize],
        tight: &Tight,
    ) -> Option<Option<Vec<(usize, Way)>>> {
        self.left.joins = self.left.joins.checked_sub(1)?;
        self.spend(boards, LISTING);
        let asked = Asked { need, boards, scales: self.scales };
        let prices = tight.near.clone();
        let slacks: Vec<i128> = prices.iter().map(|p| exact_slack(self.cover, asked, p)).collect();
        if slacks.iter().any(|&s| s < 0) {
            return Some(None);
        }
        let unlisted = |&board: &usize| Listed { board, ways: Vec::new(), alone: false };
        let mut lists: Vec<Listed> = boards.iter().map(unlisted).collect();
        self.list_others(need, &mut lists, (&prices, &slacks), 1);
        match self.halved(need, &mut lists, prices.clone()) {
            Halved::Enough(ways) => return Some(Some(ways)),
            Halved::No => return Some(None),
            Halved::Open => {}
        }
        let complete = lists.iter().all(|l| l.alone);
        // Lists that are not complete prove nothing.
        if self.left.proof && !complete {
            return None;
        }
        let (floors, slacks) = unlike(&prices, |j| slacks[j], need);
        let pains = (self.left.list, self.left.ways);
        let some = |l: &mut Listed| {
            l.ways = self.listed(l.board, need, (&floors, &slacks), pains, &NEAR[1..]);
            l.alone = true;
        };
        lists.par_iter_mut().filter(|l| !l.alone).for_each(some);
        let Some((lists, prices)) = self.squeeze(need, lists, prices) else {
            return complete.then_some(None);
        };
        let part = |list: &Listed| -> Vec<i64> {
            let most = |p: &Vec<i64>| list.ways.iter().map(|w| worth(w, p)).max().unwrap_or(0);
            prices.iter().map(most).collect()
        };
        // Two halves that are about as much work.
        let mut halves: [Vec<Part<'_>>; 2] = [Vec::new(), Vec::new()];
        let mut work = [0.0, 0.0];
        for list in lists.iter().rev() {
            let half = usize::from(work[1] < work[0]);
            let most = part(list);
            work[half] += (list.ways.len() as f64).ln() + 1e-3;
            halves[half].push(Part { board: list.board, cost: 0, most, ways: &list.ways });
        }
        halves.iter_mut().for_each(|h| h.reverse());
        // The boards are opened anyway: with a cost of nothing each, any choice will do.
        for beam in &BEAMS[..if complete { BEAMS.len() } else { BEAMS.len() - 1 }] {
            let asked = sums::Asked {
                need,
                prices: &prices,
                scale: self.cover.scale,
                ceiling: 1,
                beam: *beam,
                effort: self.left.added,
                stop: self.stop,
            };
            match sums::meet([&halves[0], &halves[1]], &asked) {
                Summed::Better { ways, .. } => return Some(Some(ways)),
                Summed::NoBetter => return complete.then_some(None),
                Summed::Unknown => {}
            }
        }
        None
    }

    /// Drops from lists of ways what can be part of nothing that is enough, if all other boards
    /// are cut by their lists: fewer ways make for tighter prices, and those for fewer ways. The
    /// shortest list comes first. Prices on the way come back too; `None` if nothing is enough.
    fn squeeze(
        &self,
        need: &[u32],
        mut lists: Vec<Listed>,
        mut prices: Vec<Vec<i64>>,
    ) -> Option<(Vec<Listed>, Vec<Vec<i64>>)> {
        for round in 0..SQUEEZES {
            let ways = |lists: &[Listed]| lists.iter().map(|l| l.ways.len()).sum::<usize>();
            let before = ways(&lists);
            if round > 0 {
                let (cover, places) = partly(self.cover, need, &lists);
                let asked = Asked { need, boards: &places, scales: self.scales };
                let first: Vec<f64> = prices.last()?.iter().map(|&p| p as f64).collect();
                let mut search = Tightest::new(&cover, asked, &first, &[]);
                for part in FLOORINGS {
                    match search.find(&search.floors(part), ROUNDS) {
                        Tightened::Short(_) => return None,
                        Tightened::Enough(_) => break,
                        Tightened::Open(tight) => prices.extend(tight.near.into_iter().last()),
                    }
                }
            }
            self.drop_ways(need, &mut lists, &prices)?;
            if round > 0 && ways(&lists) * 20 >= before * 19 {
                break;
            }
        }
        lists.sort_by_key(|l| (l.ways.len(), l.board));
        let far = prices.len().saturating_sub(PRICES);
        Some((lists, prices.split_off(far)))
    }

    /// Drops ways that take more than the slack at some prices, and returns the slacks; `None` if
    /// nothing is left.
    pub(super) fn drop_ways(
        &self,
        need: &[u32],
        lists: &mut [Listed],
        prices: &[Vec<i64>],
    ) -> Option<Vec<i128>> {
        let (cover, places) = partly(self.cover, need, lists);
        let asked = Asked { need, boards: &places, scales: self.scales };
        let mut slacks = Vec::with_capacity(prices.len());
        for p in prices {
            let slack = exact_slack(&cover, asked, p);
            if slack < 0 {
                return None;
            }
            lists.iter_mut().filter(|l| l.alone).for_each(|l| keep(&mut l.ways, p, slack));
            slacks.push(slack);
        }
        lists.iter().all(|l| !l.alone || !l.ways.is_empty()).then_some(slacks)
    }

    /// Lists the boards that are not listed, if that takes no more than so many times the usual work.
    pub(super) fn list_others(
        &self,
        need: &[u32],
        lists: &mut [Listed],
        (prices, slacks): (&[Vec<i64>], &[i128]),
        more: u64,
    ) {
        let at = unlike(prices, |j| slacks[j], need);
        let most = self.left.ways * if more > 1 { MORE_WAYS } else { 1 };
        let list = |l: &mut Listed| {
            let work = (self.left.list * more).min(LIST);
            let all = self.all_ways(l.board, need, (&at.0, &at.1), (work, most), &NEAR[..1]);
            l.alone = all.is_some();
            l.ways = all.unwrap_or_default();
        };
        lists.par_iter_mut().filter(|l| !l.alone).for_each(list);
    }

    /// Ways of a board that take no more than the slack at each of some prices, or than the first of
    /// these parts of it for which that is quick; else as many as are quick to list. A price may go
    /// to strips that the board can't give, so a way may come to nothing there.
    pub(super) fn listed(
        &self,
        board: usize,
        need: &[u32],
        at: (&[Vec<i64>], &[i64]),
        pains: (u64, usize),
        parts: &[i64],
    ) -> Vec<Way> {
        let within = self.all_ways(board, need, at, pains, parts);
        within.unwrap_or_else(|| self.ways_met(board, need, at, pains.0))
    }

    /// All ways of a board that take no more than the first of these parts of the slack for which
    /// that is quick.
    fn all_ways(
        &self,
        board: usize,
        need: &[u32],
        at: (&[Vec<i64>], &[i64]),
        (effort, most): (u64, usize),
        parts: &[i64],
    ) -> Option<Vec<Way>> {
        let lot = self.cover.lot(board);
        let Some(cuts) = lot.cuts.filter(|_| !lot.listed) else {
            return Some(lot.ways.clone());
        };
        let valued: Vec<Valued> = at.0.iter().map(|p| cuts.value(p)).collect();
        for &part in parts {
            if (self.stop)() {
                break;
            }
            let floors = self.floors(board, (&valued, at.0, at.1), part);
            if let Some(list) = cuts.list_few(need, &floors, most, effort) {
                let mut list: Vec<Way> = list.into_iter().map(Way::from).collect();
                // Lists leave out giving nothing, which may be all that a board has to do.
                if list.is_empty() && floors.iter().all(|f| f.least <= 0) {
                    list.push(vec![0; need.len()].into());
                }
                return Some(list);
            }
        }
        None
    }

    /// Ways that the most promising labels lead to, and those met.
    fn ways_met(
        &self,
        board: usize,
        need: &[u32],
        at: (&[Vec<i64>], &[i64]),
        effort: u64,
    ) -> Vec<Way> {
        let stock = self.cover.stock[board].lot;
        let lot = &self.cover.lots[stock];
        let list = |cuts: &BoardCuts| {
            let valued: Vec<Valued> = at.0.iter().map(|p| cuts.value(p)).collect();
            let floors = self.floors(board, (&valued, at.0, at.1), 1);
            cuts.list_some(need, &floors, (BEAM, usize::MAX), effort)
        };
        let some = lot.cuts.and_then(list).unwrap_or_default();
        let met = self.met.iter().filter(|m| m.0 == stock).map(|m| &m.1);
        let mut some: Vec<Way> = some.into_iter().map(Way::from).collect();
        some.extend(lot.ways.iter().chain(met).map(Arc::clone));
        some.sort_unstable();
        some.dedup();
        some
    }

    /// What ways of a board are worth at least that take no more than the slack; at the first prices,
    /// no more than such a part of it.
    fn floors<'v>(
        &self,
        board: usize,
        (valued, prices, slacks): (&'v [Valued], &[Vec<i64>], &[i64]),
        part: i64,
    ) -> Vec<Floor<'v>> {
        let stock = self.cover.stock[board].lot;
        let floor = |(j, (valued, (p, slack))): (usize, (&'v Valued, (&Vec<i64>, &i64)))| {
            let lost = if j == 0 { slack / part } else { *slack };
            Floor { valued, least: self.cover.most(stock, p).saturating_sub(lost) }
        };
        valued.iter().zip(prices.iter().zip(slacks)).enumerate().map(floor).collect()
    }
}

/// Keeps of ways those that take no more than the slack at these prices.
fn keep(ways: &mut Vec<Way>, prices: &[i64], slack: i128) {
    let most = ways.iter().map(|w| worth(w, prices)).max().unwrap_or(0);
    ways.retain(|w| i128::from(most) - i128::from(worth(w, prices)) <= slack);
}

/// Of prices, the tightest of which come last, those that tell most, and the slacks there.
pub(super) fn unlike(
    prices: &[Vec<i64>],
    slack: impl Fn(usize) -> i128,
    need: &[u32],
) -> (Vec<Vec<i64>>, Vec<i64>) {
    // Unlike ones tell more than those near the tightest. No board comes to more than 64 bits hold.
    let apart = apart(prices, need);
    apart.iter().map(|&j| (prices[j].clone(), clamped(slack(j)))).unzip()
}

/// The last of some prices, and the others that are least like those chosen before, as many as
/// a listing takes.
#[allow(clippy::cast_precision_loss)]
fn apart(prices: &[Vec<i64>], need: &[u32]) -> Vec<usize> {
    let shares = |p: &Vec<i64>| -> Vec<f64> {
        let all = owed(need, p).max(1) as f64;
        p.iter().zip(need).map(|(&p, &n)| p as f64 * f64::from(n) / all).collect()
    };
    let shares: Vec<Vec<f64>> = prices.iter().map(shares).collect();
    let off = |a: usize, b: usize| -> f64 {
        shares[a].iter().zip(&shares[b]).map(|(x, y)| (x - y).abs()).sum()
    };
    let mut chosen: Vec<usize> = prices.len().checked_sub(1).into_iter().collect();
    while chosen.len() < list::FLOORS {
        let far = |j: usize| chosen.iter().map(|&c| off(j, c)).fold(f64::INFINITY, f64::min);
        let next = (0..prices.len()).map(|j| (far(j), j)).max_by(|a, b| a.0.total_cmp(&b.0));
        match next {
            Some((far, j)) if far > 0.02 => chosen.push(j),
            _ => break,
        }
    }
    chosen
}

/// A cover of boards, some of them cut by their lists alone, and its boards.
pub(super) fn partly<'a>(
    cover: &Cover<'a>,
    need: &[u32],
    lists: &[Listed],
) -> (Cover<'a>, Vec<usize>) {
    let lot = |l: &Listed| {
        let lot = cover.lot(l.board);
        match l.alone {
            true => Lot { cuts: None, cost: lot.cost, ways: l.ways.clone(), listed: true },
            false => lot.clone(),
        }
    };
    let stock: Vec<Stock> = (0..lists.len()).map(|lot| Stock { lot, twin_before: None }).collect();
    // Fewer ways of fewer boards: sums fit as they did.
    let (need, stop) = (need.to_vec(), cover.stop.clone());
    let lots = lists.iter().map(lot).collect();
    (Cover { need, lots, stock, scale: cover.scale, stop }, (0..lists.len()).collect())
}
