//! Cutting boards that are all opened.
//!
//! Where the boards' ways that could be part of it are few enough to list, they are put together,
//! which decides the question. Else boards are cut one after another: at the tightest prices the
//! boards are mixtures of few ways each ([`crate::choose::search::tight`]), most of them of a single one.
//! Those boards are cut so; of the others one is cut in the way that leaves the rest the most
//! slack. A few steps back are taken where that fails.

use crate::choose::effort::enough::{
    BEAM, BEAMS, CHEAP, FEW, FLOORED, FLOORINGS, FLOORS, FREED, LAST, LIST, LISTING, LOOKS, MANY,
    NEAR, NEARLY, PRICES, ROUNDS, SQUEEZES, TRIES, WAYS, WIDTHS,
};
use crate::choose::effort::rounded::MANY as ROUNDED;
use crate::choose::kernel::cover::{Cover, Lot, Stock, Way, clamped, owed, worth};
use crate::choose::search::sums::{self, Part, Summed};
use crate::choose::search::tight::{Asked, Tight, Tightened, Tightest, exact_slack};
use crate::cut::list::{self, Floor};
use crate::cut::value::Valued;
use rayon::prelude::*;
use std::sync::Arc;

/// How much work a dive may take.
#[derive(Clone, Copy)]
pub struct Pains {
    /// Comparisons of labels for listing a board's ways where those of all boards are put
    /// together, and ways at most.
    pub list: u64,
    /// Such ways of a board at most.
    pub ways: usize,
    /// Additions where they are put together.
    pub added: u64,
    /// Searches for tightest prices.
    pub looks: usize,
    /// Candidate sections of boards valued in them, where valuing takes long.
    pub sections: u64,
    /// Times that the last boards are put together.
    pub joins: usize,
}

impl Pains {
    /// A short try.
    pub const SHORT: Pains = Pains {
        list: 1_000_000,
        ways: 8_000,
        added: 40_000_000,
        looks: 200,
        sections: 400_000,
        joins: 60,
    };

    /// A very short one: near the mixtures only.
    pub const LITTLE: Pains =
        Pains { list: 300_000, ways: 3_000, looks: 0, joins: 1, ..Pains::SHORT };

    /// A try in a part of a choice, where boards have too many ways to be listed.
    pub const PART: Pains = Pains { list: 200_000, sections: 1_500_000, ..Pains::SHORT };

    /// So many times as much.
    pub fn times(self, times: u32) -> Pains {
        let all = usize::try_from(times).unwrap_or(1);
        Pains {
            list: self.list * u64::from(times.min(10)),
            ways: self.ways * all.min(20),
            added: self.added * u64::from(times.min(10)),
            looks: self.looks * all,
            sections: self.sections * u64::from(times),
            joins: self.joins * all,
        }
    }
}

/// How boards stand to what is needed.
enum Left {
    /// They are not enough, or there is no time to say.
    Nothing,
    /// They are enough, cut so.
    Enough(Vec<(usize, Way)>),
    /// Not known.
    Open(Tight),
}

/// What is known of boards.
pub enum Cutting {
    /// They are enough, cut so.
    Yes(Vec<(usize, Way)>),
    /// They are not: these prices show it.
    Short(Vec<f64>),
    /// They are not, by all ways of cutting them.
    No,
    /// Not known.
    Unknown,
}

/// Looks for ways to cut boards.
pub struct Dive<'a> {
    pub(super) cover: &'a Cover<'a>,
    /// Typical price of each kind of strip.
    pub(super) scales: &'a [f64],
    pub(super) left: Pains,
    /// The least slack that boards must have to be cut at all, as a part of what they cost.
    slack: f64,
    /// So many times the ways are looked at, and gone on with.
    width: usize,
    /// Asked for an end from outside.
    pub(super) stop: &'a (dyn Fn() -> bool + Sync),
    /// Ways met of lots that aren't listed.
    pub met: Vec<(usize, Way)>,
    /// Ways of the boards that lack little of what is needed, where none were found that are enough.
    pub nearest: Vec<(usize, Way)>,
}

impl<'a> Dive<'a> {
    /// A dive; `scales` are typical prices.
    pub fn new(
        cover: &'a Cover<'a>,
        scales: &'a [f64],
        pains: Pains,
        stop: &'a (dyn Fn() -> bool + Sync),
    ) -> Self {
        let (met, nearest) = (Vec::new(), Vec::new());
        Dive { cover, scales, left: pains, slack: 0.0, width: 1, stop, met, nearest }
    }

    /// The same for boards that must come to so much more than is needed, as a part of it; those
    /// that don't are called short.
    pub fn with_slack(self, slack: f64) -> Self {
        Dive { slack, ..self }
    }

    /// Are these boards enough for all needs? `prices` are good ones to begin with.
    pub fn cut(&mut self, boards: &[usize], prices: &[f64]) -> Cutting {
        let need = &self.cover.need;
        let tight = match self.tightest(need, boards, prices, self.slack) {
            Tightened::Short(prices) => return Cutting::Short(prices),
            Tightened::Enough(ways) => {
                return Cutting::Yes(boards.iter().copied().zip(ways).collect());
            }
            Tightened::Open(tight) => tight,
        };
        // Where a choice is sought what is quick comes first, and what decides it where that is asked.
        let near = |dive: &mut Self| {
            let ways = ROUNDED.contains(&boards.len()).then(|| dive.rounded(need, boards, &tight));
            ways.flatten()
        };
        let sought = self.slack > 0.0;
        if sought {
            if let Some(ways) = near(self) {
                return Cutting::Yes(ways);
            }
            if self.spent() {
                return Cutting::Unknown;
            }
        }
        match self.together(need, boards, &tight) {
            Some(Some(ways)) => return Cutting::Yes(ways),
            Some(None) => return Cutting::No,
            None => {}
        }
        if !sought && let Some(ways) = near(self) {
            return Cutting::Yes(ways);
        }
        for width in WIDTHS {
            self.width = width;
            if let Some(ways) = self.from(need, boards, &tight) {
                return Cutting::Yes(ways);
            }
        }
        Cutting::Unknown
    }

    /// The tightest prices: first as such, which shows a shortage, then with floors, which shows
    /// how to go on. Boards with less than `slack`, as a part of what they cost, are called short.
    fn tightest(
        &mut self,
        need: &[u32],
        boards: &[usize],
        prices: &[f64],
        slack: f64,
    ) -> Tightened {
        let asked = Asked { need, boards, scales: self.scales };
        let mut search = Tightest::new(self.cover, asked, prices, &self.met);
        let mut answer = search.find(&[], ROUNDS);
        let size: i64 = boards.iter().map(|&b| self.cover.lot(b).cost).sum();
        if let Tightened::Open(first) = answer {
            // Without slack asked for, only whole numbers call boards short. With it, only where
            // what boards come to at most is too little as well, which can be more than their best
            // way gives: rows of prices know no other.
            let little = || {
                let whole = self.cover.whole_prices(&first.prices);
                let room = exact_slack(self.cover, asked, &whole) as f64;
                room < slack * owed(need, &whole) as f64
            };
            if slack > 0.0 && first.slack < slack * size as f64 && little() {
                self.met.append(&mut search.met);
                return Tightened::Short(first.prices);
            }
            let floors = search.floors(FLOORS);
            answer = search.find(&floors, FLOORED);
            if let Tightened::Open(tight) = &mut answer {
                let last = tight.near.len() - 1;
                tight.near.splice(last..last, first.near.into_iter().rev().take(2));
            }
        }
        self.met.append(&mut search.met);
        self.spend(boards, search.times);
        answer
    }

    /// Candidate sections of a board that isn't listed.
    fn sections(&self, board: usize) -> u64 {
        let lot = self.cover.lot(board);
        lot.cuts.filter(|_| !lot.listed).map_or(0, |c| c.sections.len() as u64)
    }

    /// Takes off the work of valuing boards so many times.
    pub(super) fn spend(&mut self, boards: &[usize], times: u64) {
        let sections: u64 = boards.iter().map(|&b| self.sections(b)).sum();
        self.left.sections = self.left.sections.saturating_sub(times * sections);
    }

    /// Is there no work left?
    fn spent(&self) -> bool {
        self.left.looks == 0 || self.left.sections == 0
    }

    /// How these boards stand to what is needed.
    fn look(&mut self, need: &[u32], boards: &[usize], prices: &[f64]) -> Left {
        if need.iter().all(|&n| n == 0) {
            return Left::Enough(Vec::new());
        }
        if boards.is_empty() || self.spent() || (self.stop)() {
            return Left::Nothing;
        }
        self.left.looks -= 1;
        match self.tightest(need, boards, prices, 0.0) {
            Tightened::Short(_) => Left::Nothing,
            Tightened::Enough(ways) => Left::Enough(boards.iter().copied().zip(ways).collect()),
            Tightened::Open(tight) => Left::Open(tight),
        }
    }

    /// Ways to cut these boards from known tight prices on.
    fn from(&mut self, need: &[u32], boards: &[usize], tight: &Tight) -> Option<Vec<(usize, Way)>> {
        if boards.len() <= LAST
            && let Some(answer) = self.together(need, boards, tight)
        {
            return answer;
        }
        let settled: Vec<&(usize, Way, f64)> =
            tight.parts.iter().filter(|p| p.2 > NEARLY).collect();
        // Where that fails, with some of them set free again.
        for free in FREED {
            let cut: Vec<(usize, Way)> =
                settled.iter().skip(free).map(|p| (boards[p.0], Arc::clone(&p.1))).collect();
            if cut.is_empty() || cut.len() == boards.len() {
                break;
            }
            let (left, rest) = without(need, boards, &cut);
            let found = match self.look(&left, &rest, &tight.prices) {
                Left::Nothing => None,
                Left::Enough(ways) => Some(ways),
                Left::Open(next) => self.from(&left, &rest, &next),
            };
            if let Some(mut ways) = found {
                ways.extend(cut);
                return Some(ways);
            }
            if boards.len() <= MANY {
                break;
            }
        }
        if boards.len() > MANY {
            return None;
        }
        let (at, _) = tight
            .parts
            .iter()
            .filter(|p| p.2 <= NEARLY || settled.len() == boards.len())
            .map(|p| (p.0, p.2))
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
        // The way that leaves the others the most slack goes first. Where one costs next to
        // nothing, no more are looked at.
        let mut open: Vec<(Tight, Way)> = Vec::new();
        for way in self.candidates(need, boards, at, tight) {
            let cut = [(boards[at], Arc::clone(&way))];
            let (left, rest) = without(need, boards, &cut);
            match self.look(&left, &rest, &tight.prices) {
                Left::Nothing => {}
                Left::Enough(mut ways) => {
                    ways.extend(cut);
                    return Some(ways);
                }
                Left::Open(next) => {
                    let dear = next.slack < CHEAP * tight.slack;
                    open.push((next, way));
                    if !dear && self.width == 1 {
                        break;
                    }
                }
            }
        }
        open.sort_by(|a, b| b.0.slack.total_cmp(&a.0.slack));
        for (next, way) in open.into_iter().take(TRIES * self.width) {
            let cut = [(boards[at], way)];
            let (left, rest) = without(need, boards, &cut);
            if let Some(mut ways) = self.from(&left, &rest, &next) {
                ways.extend(cut);
                return Some(ways);
            }
            if self.spent() {
                return None;
            }
        }
        None
    }

    /// Ways of a board worth trying, the best first: worth much to what is needed, and near what
    /// they are mixed to.
    #[allow(clippy::cast_precision_loss)]
    fn candidates(&mut self, need: &[u32], boards: &[usize], at: usize, tight: &Tight) -> Vec<Way> {
        let whole = self.cover.whole_prices(&tight.prices);
        let stock = self.cover.stock[boards[at]].lot;
        let lot = &self.cover.lots[stock];
        let most = self.cover.most(stock, &whole);
        let mut ways: Vec<Way> = lot.ways.clone();
        let mean = tight.mixture(at, need.len());
        ways.extend(tight.mixed(at));
        if !lot.listed && boards.len() <= FEW {
            self.spend(&boards[at..=at], LISTING);
            let slack = self.cover.whole_prices(&[tight.slack.max(0.0)])[0];
            ways.extend(
                self.listed(
                    boards[at],
                    need,
                    (std::slice::from_ref(&whole), &[slack]),
                    (LIST, WAYS),
                )
                .0,
            );
        }
        let score = |way: &Way| -> f64 {
            let mut loss = most as f64;
            let mut off = 0.0;
            for (((&n, &m), &p), mean) in way.iter().zip(need).zip(&whole).zip(&mean) {
                loss -= f64::from(n.min(m)) * p as f64;
                off += (f64::from(n) - mean).abs() * p as f64;
            }
            loss + 0.25 * off
        };
        let mut scored: Vec<(f64, Way)> = ways.into_iter().map(|w| (score(&w), w)).collect();
        scored.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        scored.dedup_by(|a, b| a.1 == b.1);
        scored.truncate(LOOKS * self.width);
        scored.into_iter().map(|s| s.1).collect()
    }

    /// The boards with all their ways that leave the others enough, or some where there are too
    /// many, put together. `None` if there may be more to it.
    fn together(
        &mut self,
        need: &[u32],
        boards: &[usize],
        tight: &Tight,
    ) -> Option<Option<Vec<(usize, Way)>>> {
        self.left.joins = self.left.joins.checked_sub(1)?;
        self.spend(boards, LISTING);
        let asked = Asked { need, boards, scales: self.scales };
        let slacks: Vec<i128> =
            tight.near.iter().map(|p| exact_slack(self.cover, asked, p)).collect();
        if slacks.iter().any(|&s| s < 0) {
            return Some(None);
        }
        // The tightest prices come last; unlike ones tell more than those near it.
        let apart = apart(&tight.near, need);
        let floors: Vec<Vec<i64>> = apart.iter().map(|&j| tight.near[j].clone()).collect();
        // No board comes to more than 64 bits hold.
        let short = |&j: &usize| clamped(slacks[j]);
        let allowed: Vec<i64> = apart.iter().map(short).collect();
        let pains = (self.left.list, self.left.ways);
        let list = |&board: &usize| {
            let (ways, every) = self.listed(board, need, (&floors, &allowed), pains);
            (board, ways, every)
        };
        let lists: Vec<(usize, Vec<Way>, bool)> = boards.par_iter().map(list).collect();
        let complete = lists.iter().all(|l| l.2);
        let lists = lists.into_iter().map(|l| (l.0, l.1)).collect();
        let Some((lists, prices)) = self.squeeze(need, lists, tight.near.clone()) else {
            return complete.then_some(None);
        };
        let part = |list: &'_ (usize, Vec<Way>)| -> Vec<i64> {
            let most = |p: &Vec<i64>| list.1.iter().map(|w| worth(w, p)).max().unwrap_or(0);
            prices.iter().map(most).collect()
        };
        // Two halves that are about as much work.
        let mut halves: [Vec<Part<'_>>; 2] = [Vec::new(), Vec::new()];
        let mut work = [0.0, 0.0];
        for list in lists.iter().rev() {
            let half = usize::from(work[1] < work[0]);
            let most = part(list);
            work[half] += (list.1.len() as f64).ln() + 1e-3;
            let about = Vec::new();
            halves[half].push(Part { board: list.0, cost: 0, most, ways: &list.1, about });
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
                Summed::Unknown { .. } => {}
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
        mut lists: Lists,
        mut prices: Vec<Vec<i64>>,
    ) -> Option<(Lists, Vec<Vec<i64>>)> {
        for round in 0..SQUEEZES {
            let before: usize = lists.iter().map(|l| l.1.len()).sum();
            let (cover, places) = only(self.cover, need, &lists);
            let asked = Asked { need, boards: &places, scales: self.scales };
            if round > 0 {
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
            for p in &prices {
                let slack = exact_slack(&cover, asked, p);
                if slack < 0 {
                    return None;
                }
                for (_, ways) in &mut lists {
                    let most = ways.iter().map(|w| worth(w, p)).max().unwrap_or(0);
                    ways.retain(|w| i128::from(most) - i128::from(worth(w, p)) <= slack);
                }
            }
            if lists.iter().any(|l| l.1.is_empty()) {
                return None;
            }
            let after: usize = lists.iter().map(|l| l.1.len()).sum();
            if round > 0 && after * 20 >= before * 19 {
                break;
            }
        }
        lists.sort_by_key(|l| (l.1.len(), l.0));
        let far = prices.len().saturating_sub(PRICES);
        Some((lists, prices.split_off(far)))
    }

    /// Ways of a board that take no more than the slack at each of some prices; all of them, or as
    /// many as are quick to list. A price may go to strips that the board can't give, so a way
    /// may come to nothing there.
    pub(super) fn listed(
        &self,
        board: usize,
        need: &[u32],
        (prices, slacks): (&[Vec<i64>], &[i64]),
        (effort, most_ways): (u64, usize),
    ) -> (Vec<Way>, bool) {
        let stock = self.cover.stock[board].lot;
        let lot = &self.cover.lots[stock];
        let Some(cuts) = lot.cuts.filter(|_| !lot.listed) else { return (lot.ways.clone(), true) };
        let valued: Vec<Valued> = prices.iter().map(|p| cuts.value(p)).collect();
        let most: Vec<i64> = prices.iter().map(|p| self.cover.most(stock, p)).collect();
        let floors = |part: i64| -> Vec<Floor<'_>> {
            let floor = |((valued, most), slack): ((_, &i64), &i64), part: i64| Floor {
                valued,
                least: most.saturating_sub(slack / part),
            };
            let all = valued.iter().zip(&most).zip(slacks);
            // A part of the slack only at the first prices.
            all.enumerate().map(|(j, f)| floor(f, if j == 0 { part } else { 1 })).collect()
        };
        let ways = |w: Vec<Vec<u32>>| -> Vec<Way> { w.into_iter().map(Way::from).collect() };
        for part in NEAR {
            if (self.stop)() {
                break;
            }
            let floors = floors(part);
            if let Some(list) = cuts.list(need, &floors, effort)
                && list.len() <= most_ways
            {
                let mut list = ways(list);
                // Lists leave out giving nothing, which may be all that a board has to do.
                if list.is_empty() && floors.iter().all(|f| f.least <= 0) {
                    list.push(vec![0; need.len()].into());
                }
                return (list, part == 1);
            }
        }
        let some = cuts.list_some(need, &floors(1), BEAM, effort);
        let met = self.met.iter().filter(|m| m.0 == stock).map(|m| &m.1);
        let mut some: Vec<Way> = ways(some.unwrap_or_default());
        some.extend(lot.ways.iter().chain(met).map(Arc::clone));
        some.sort_unstable();
        some.dedup();
        (some, false)
    }
}

/// The last of some prices, and the others that are least like those chosen before, as many as
/// a listing takes.
#[allow(clippy::cast_precision_loss)]
pub(super) fn apart(prices: &[Vec<i64>], need: &[u32]) -> Vec<usize> {
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

/// Boards with ways to cut them.
type Lists = Vec<(usize, Vec<Way>)>;

/// A cover of these boards cut by their lists alone, and its boards.
fn only<'a>(cover: &Cover<'a>, need: &[u32], lists: &Lists) -> (Cover<'a>, Vec<usize>) {
    let lots = lists
        .iter()
        .map(|(b, ways)| Lot {
            cuts: None,
            cost: cover.lot(*b).cost,
            ways: ways.clone(),
            listed: true,
        })
        .collect();
    let stock = (0..lists.len()).map(|lot| Stock { lot, twin_before: None }).collect();
    // Fewer ways of fewer boards: sums fit as they did.
    let (need, stop) = (need.to_vec(), cover.stop.clone());
    (Cover { need, lots, stock, scale: cover.scale, stop }, (0..lists.len()).collect())
}

/// What is still needed, and the boards that are left, once some are cut.
fn without(need: &[u32], boards: &[usize], cut: &[(usize, Way)]) -> (Vec<u32>, Vec<usize>) {
    let mut left = need.to_vec();
    for (_, way) in cut {
        left.iter_mut().zip(way.iter()).for_each(|(l, &n)| *l = l.saturating_sub(n));
    }
    let rest = boards.iter().copied().filter(|b| cut.iter().all(|c| c.0 != *b)).collect();
    (left, rest)
}

#[cfg(test)]
mod tests {
    use super::{Cutting, Dive, Pains};
    use crate::choose::kernel::trial::{least, priced};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_cut_is_enough_and_what_is_short_is_not((cover, prices) in priced()) {
            let boards: Vec<usize> = (0..cover.stock.len()).collect();
            let scales = vec![1.0; prices.len()];
            let mut dive = Dive::new(&cover, &scales, Pains::SHORT, &|| false);
            match dive.cut(&boards, &prices) {
                Cutting::Yes(ways) => {
                    let mut choice = vec![None; cover.stock.len()];
                    ways.iter().for_each(|(b, way)| choice[*b] = Some(way.clone()));
                    prop_assert!(cover.meets(&choice));
                }
                Cutting::Short(_) | Cutting::No => prop_assert_eq!(least(&cover), None),
                // So few boards are put together in full.
                Cutting::Unknown => prop_assert!(false),
            }
        }
    }
}
