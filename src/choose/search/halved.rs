//! Boards that are all opened, cut by lists of their ways, which are halved.
//!
//! At the tightest prices a board is a mixture of its ways ([`crate::choose::search::tight`]). If the
//! mixture gives two and a half of some kind, say, then it is cut into two or fewer, or into three or
//! more, and in either case there is less slack. Lists are halved so, the half nearer to the mixture
//! first, and ways dropped that take more than the slack, until nothing is left or a cut is found.
//! A board that has too many ways to be listed is valued as it is, and listed once there is little
//! enough slack. So it is decided whether the boards are enough, mostly soon.

use crate::choose::effort::enough::{FLOORINGS, ROUNDS};
use crate::choose::effort::halved::{AGAIN, HALVES, MET, MORE, OTHERS, POOL, SECTIONS, WEAKER};
use crate::choose::kernel::cover::Way;
use crate::choose::search::enough::Dive;
use crate::choose::search::tight::{Asked, Tight, Tightened, Tightest};
use crate::choose::search::together::{Listed, partly};
use crate::cut::BoardCuts;
use std::sync::Arc;

/// What came of halving lists.
pub(super) enum Halved {
    /// Cut so, the boards are enough.
    Enough(Vec<(usize, Way)>),
    /// They are not.
    No,
    /// Not known.
    Open,
}

/// A part of all cuts of the boards: those by these lists.
#[derive(Clone)]
struct Half {
    lists: Vec<Listed>,
    /// Tight prices.
    first: Vec<f64>,
    /// Slack, in units, when boards that are not listed were last tried.
    tried: f64,
}

/// What is known on the way.
#[derive(Default)]
struct Learned {
    /// Prices met, the latest last.
    prices: Vec<Vec<i64>>,
    /// Ways met of boards that are not listed, by their places, the latest last.
    met: Vec<(usize, Way)>,
    /// What a board can't give, alone or with more.
    refuted: Vec<(usize, Vec<u32>)>,
    /// Tries left at asking less of a board that can't give it.
    tries: usize,
}

/// What becomes of it.
enum Step {
    /// Nothing in it is enough.
    Nothing,
    Enough(Vec<(usize, Way)>),
    /// It falls into these, the last of them first.
    Halves(Vec<Half>),
    /// Not known.
    Open,
}

impl Dive<'_> {
    /// Are boards enough, cut by these lists? Those that are not listed are listed with more and more
    /// work, as long as they are few. `prices` are tight ones, the tightest last.
    pub(super) fn halved(
        &mut self,
        need: &[u32],
        lists: &mut [Listed],
        prices: Vec<Vec<i64>>,
    ) -> Halved {
        let first: Vec<f64> = prices.last().into_iter().flatten().map(|&p| p as f64).collect();
        let mut learned = Learned { prices, tries: WEAKER, ..Learned::default() };
        for (round, &(more, halves)) in HALVES.iter().take(self.left.halvings).enumerate() {
            let others = lists.iter().filter(|l| !l.alone).count();
            let halves = halves.min(self.left.halves);
            if halves == 0 || others == lists.len() || others > OTHERS[round] {
                break;
            }
            let prices = &learned.prices;
            let Some(slacks) = self.drop_ways(need, lists, prices) else { return Halved::No };
            // With little work they were just tried.
            if round > 0 {
                self.list_others(need, lists, (prices, &slacks), more);
            }
            let all = Half { lists: lists.to_vec(), first: first.clone(), tried: f64::INFINITY };
            let kept = self.left.sections;
            self.left.sections = SECTIONS * halves as u64;
            let done = self.halving(need, all, &mut learned, (more / MORE, halves));
            self.left.sections = kept;
            match done {
                Halved::Open => {}
                done => return done,
            }
        }
        Halved::Open
    }

    fn halving(
        &mut self,
        need: &[u32],
        all: Half,
        learned: &mut Learned,
        (more, mut left): (u64, usize),
    ) -> Halved {
        let mut open = vec![all];
        while let Some(half) = open.pop() {
            if left == 0 || self.left.sections == 0 || (self.stop)() {
                return Halved::Open;
            }
            left -= 1;
            self.left.halves -= 1;
            match self.halve(need, half, learned, more.max(1)) {
                Step::Nothing => {}
                Step::Enough(ways) => return Halved::Enough(ways),
                Step::Halves(halves) => open.extend(halves),
                Step::Open => return Halved::Open,
            }
            let far = learned.prices.len().saturating_sub(POOL);
            learned.prices.drain(..far);
        }
        // Valuations that were stopped prove nothing.
        if (self.stop)() { Halved::Open } else { Halved::No }
    }

    /// Looks at one half, and lists boards with so many times the usual work.
    fn halve(&mut self, need: &[u32], mut half: Half, learned: &mut Learned, more: u64) -> Step {
        let others: Vec<usize> = half.lists.iter().filter(|l| !l.alone).map(|l| l.board).collect();
        let mut last: Option<Tight> = None;
        for floors in [0.0, FLOORINGS[1]] {
            if self.drop_ways(need, &mut half.lists, &learned.prices).is_none() {
                return Step::Nothing;
            }
            if learned.refutes(need, &half.lists) {
                return Step::Nothing;
            }
            let (cover, places) = partly(self.cover, need, &half.lists);
            let asked = Asked { need, boards: &places, scales: self.scales };
            let still = |m: &&(usize, Way)| !half.lists[m.0].alone;
            let met: Vec<(usize, Way)> = learned.met.iter().filter(still).cloned().collect();
            let mut search = Tightest::new(&cover, asked, &half.first, &met);
            let floors = if floors > 0.0 { search.floors(floors) } else { Vec::new() };
            let found = search.find(&floors, ROUNDS);
            learned.met.append(&mut search.met);
            let far = learned.met.len().saturating_sub(MET * others.len());
            learned.met.drain(..far);
            self.spend(&others, search.times + learned.prices.len() as u64);
            match found {
                Tightened::Short(_) => return Step::Nothing,
                Tightened::Enough(ways) => {
                    return Step::Enough(half.lists.iter().map(|l| l.board).zip(ways).collect());
                }
                Tightened::Open(tight) => {
                    half.first.clone_from(&tight.prices);
                    learned.prices.extend(tight.near.last().cloned());
                    last = Some(tight);
                }
            }
        }
        let Some(tight) = last else { return Step::Open };
        if !others.is_empty() && tight.slack < AGAIN * half.tried {
            let Some(slacks) = self.drop_ways(need, &mut half.lists, &learned.prices) else {
                return Step::Nothing;
            };
            // All boards were tried to begin with.
            if half.tried < f64::INFINITY {
                self.list_others(need, &mut half.lists, (&learned.prices, &slacks), more);
            }
            half.tried = tight.slack;
            return Step::Halves(vec![half]);
        }
        let Some(split) = split(&half.lists, &tight, need.len()) else {
            return self.last(need, &half.lists, learned);
        };
        let part = |most: bool| {
            let mut part = half.clone();
            let within = |way: &Way| (way[split.kind] <= split.most) == most;
            part.lists[split.place].ways.retain(within);
            part
        };
        Step::Halves(vec![part(!split.near), part(split.near)])
    }

    /// Looks at boards of which each that is listed has a single way left.
    fn last(&self, need: &[u32], lists: &[Listed], learned: &mut Learned) -> Step {
        // Where several are left, one of them covers the others.
        let most = |l: &Listed| l.ways.iter().max_by_key(|w| w.iter().sum::<u32>()).map(Arc::clone);
        let of = |l: &Listed| Some((l.board, most(l)?));
        let mut ways: Vec<(usize, Way)> = lists.iter().filter(|l| l.alone).filter_map(of).collect();
        let left = left(need, lists);
        let mut others = lists.iter().filter(|l| !l.alone).map(|l| l.board);
        match (others.next(), others.next()) {
            (None, _) if left.iter().any(|&n| n > 0) => Step::Nothing,
            (None, _) if enough(need, &ways) => Step::Enough(ways),
            (None, _) => Step::Open,
            // One board is to give all that is left.
            (Some(board), None) => {
                let Some(cuts) = self.cover.lot(board).cuts else { return Step::Open };
                match cuts.decide(&left, self.left.list * MORE) {
                    Some(Some(cut)) => {
                        ways.push((board, cuts.counts(&cut, need.len()).into()));
                        Step::Enough(ways)
                    }
                    Some(None) if !(self.stop)() => {
                        let refuted = self.weakened(cuts, left, &mut learned.tries);
                        learned.refuted.push((board, refuted));
                        Step::Nothing
                    }
                    _ => Step::Open,
                }
            }
            _ => Step::Open,
        }
    }

    /// Less of some kinds that a board can't give either, if a few tries find it.
    fn weakened(&self, cuts: &BoardCuts, mut asked: Vec<u32>, tries: &mut usize) -> Vec<u32> {
        for kind in 0..asked.len() {
            if asked[kind] == 0 || *tries == 0 || (self.stop)() {
                continue;
            }
            *tries -= 1;
            let before = std::mem::take(&mut asked[kind]);
            if !matches!(cuts.decide(&asked, self.left.list), Some(None)) {
                asked[kind] = before;
            }
        }
        asked
    }
}

impl Learned {
    /// Is more asked of the one board that is not listed than it can give?
    fn refutes(&self, need: &[u32], lists: &[Listed]) -> bool {
        let mut others = lists.iter().filter(|l| !l.alone).map(|l| l.board);
        let (Some(board), None) = (others.next(), others.next()) else { return false };
        let left = left(need, lists);
        let asks = |less: &Vec<u32>| less.iter().zip(&left).all(|(l, n)| l <= n);
        self.refuted.iter().any(|(of, less)| *of == board && asks(less))
    }
}

/// Do boards cut in these ways give what is needed?
fn enough(need: &[u32], ways: &[(usize, Way)]) -> bool {
    let given = |k: usize| ways.iter().map(|w| w.1[k]).sum::<u32>();
    need.iter().enumerate().all(|(k, &n)| given(k) >= n)
}

/// What others are to give at least, if each board that is listed gives the most of every kind.
fn left(need: &[u32], lists: &[Listed]) -> Vec<u32> {
    let most = |l: &Listed, k: usize| l.ways.iter().map(|w| w[k]).max().unwrap_or(0);
    let given = |k: usize| lists.iter().filter(|l| l.alone).map(|l| most(l, k)).sum::<u32>();
    need.iter().enumerate().map(|(k, &n)| n.saturating_sub(given(k))).collect()
}

/// Where a list is halved.
struct Split {
    /// Its place among the lists.
    place: usize,
    /// The kind of strip.
    kind: usize,
    /// Of which one half gives no more than this.
    most: u32,
    /// That half is nearer to the mixture.
    near: bool,
}

/// The board and kind whose mixture is farthest from a whole number, by worth; where all are whole,
/// the first that has ways which give more and less. `None` if each board that is listed has a single way
/// left.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn split(lists: &[Listed], tight: &Tight, kinds: usize) -> Option<Split> {
    let mut best: Option<(f64, Split)> = None;
    for (place, Listed { ways, .. }) in lists.iter().enumerate().filter(|l| l.1.alone) {
        let mean = tight.mixture(place, kinds);
        for (kind, &mean) in mean.iter().enumerate() {
            let (low, high) = (mean.floor(), mean.ceil());
            let off = (mean - low).min(high - mean);
            // Where nothing is known of the mixture any will do.
            let least = ways.iter().map(|w| w[kind]).min().unwrap_or(0);
            let most = ((mean + 1e-6).floor().max(0.0) as u32).max(least);
            let of = |w: &Way| w[kind] <= most;
            if ways.iter().all(of) {
                continue;
            }
            let score = off * tight.prices[kind];
            if best.as_ref().is_none_or(|b| score > b.0) {
                best = Some((score, Split { place, kind, most, near: mean - low <= 0.5 }));
            }
        }
    }
    best.map(|b| b.1)
}

#[cfg(test)]
pub(super) mod tests;
