//! Cutting boards that are all opened.
//!
//! Where the boards' ways that could be part of it are few enough to list, they are put together,
//! which decides the question. Else boards are cut one after another: at the tightest prices the
//! boards are mixtures of few ways each ([`crate::choose::search::tight`]), most of them of a single one.
//! Those boards are cut so; of the others one is cut in the way that leaves the rest the most
//! slack. A few steps back are taken where that fails.

use crate::choose::effort::enough::{
    CHEAP, FEW, FLOORED, FLOORS, FREED, LAST, LIST, LISTING, LOOKS, MANY, NEAR, NEARLY, ROUNDS,
    TRIES, WAYS, WIDTHS,
};
use crate::choose::effort::halved::HALVES;
use crate::choose::effort::rounded::MANY as ROUNDED;
use crate::choose::kernel::cover::{Cover, Way, owed};
use crate::choose::search::some_kinds::{AtOdds, TooFew};
use crate::choose::search::tight::{Asked, Tight, Tightened, Tightest, exact_slack};
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
    /// Rounds of halving lists ([`crate::choose::effort::halved`]).
    pub halvings: usize,
    /// Halves of lists, all together.
    pub halves: usize,
    /// Boards are not cut one after another where that decides nothing: a choice is known, and a
    /// proof is wanted.
    pub proof: bool,
    /// Times that the last boards are put together.
    pub joins: usize,
    /// Times that a few boards of a set that lacks little are cut afresh.
    pub afresh: usize,
}

impl Pains {
    /// A short try.
    pub const SHORT: Pains = Pains {
        list: 1_000_000,
        ways: 8_000,
        added: 40_000_000,
        looks: 200,
        halvings: 4,
        halves: 1_500,
        proof: false,
        sections: 400_000,
        joins: 60,
        afresh: 0,
    };

    /// A very short one: near the mixtures only.
    pub const LITTLE: Pains = Pains {
        list: 300_000,
        ways: 3_000,
        looks: 0,
        halvings: 0,
        halves: 0,
        joins: 1,
        ..Pains::SHORT
    };

    /// The same for boards asked for again and again.
    pub const AGAIN: Pains = Pains { list: 150_000, ways: 2_000, afresh: 1, ..Pains::LITTLE };

    /// A try in a part of a choice, where boards have too many ways to be listed.
    pub const PART: Pains = Pains {
        list: 200_000,
        halvings: 1,
        halves: 60,
        looks: 60,
        sections: 400_000,
        ..Pains::SHORT
    };

    /// So many times as much.
    pub fn times(self, times: u32) -> Pains {
        let all = usize::try_from(times).unwrap_or(1);
        Pains {
            list: self.list * u64::from(times.min(10)),
            ways: self.ways * all.min(20),
            added: self.added * u64::from(times.min(10)),
            looks: self.looks * all,
            halvings: HALVES.len(),
            halves: self.halves * all,
            proof: self.proof,
            sections: self.sections * u64::from(times),
            joins: self.joins * all,
            afresh: self.afresh,
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
    No(TooFew),
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
    /// Prices that tell most of the boards that were cut near their mixtures, and the slacks there.
    pub told: Option<Told>,
    /// Kinds of strip that other boards are too few for.
    pub at_odds: AtOdds,
    /// What is drawn comes otherwise for each of these.
    pub draw: usize,
}

/// Prices and slacks there, in price parts.
pub type Told = (Vec<Vec<i64>>, Vec<i64>);

impl<'a> Dive<'a> {
    /// A dive; `scales` are typical prices.
    pub fn new(
        cover: &'a Cover<'a>,
        scales: &'a [f64],
        pains: Pains,
        stop: &'a (dyn Fn() -> bool + Sync),
    ) -> Self {
        let (met, nearest) = (Vec::new(), Vec::new());
        Dive {
            cover,
            scales,
            left: pains,
            slack: 0.0,
            width: 1,
            stop,
            met,
            nearest,
            told: None,
            at_odds: AtOdds::default(),
            draw: 0,
        }
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
        // Where a choice is sought, or little is to be tried, what is quick comes first, and what decides
        // it where that is asked.
        let near = |dive: &mut Self| {
            let ways = ROUNDED.contains(&boards.len()).then(|| dive.rounded(need, boards, &tight));
            ways.flatten()
        };
        let sought = self.slack > 0.0 || self.left.looks == 0;
        if sought {
            self.left.halvings = self.left.halvings.min(1);
            if !self.left.proof
                && let Some(ways) = near(self)
            {
                return Cutting::Yes(ways);
            }
            if self.spent() {
                return Cutting::Unknown;
            }
        }
        match self.together(need, boards, &tight) {
            Some(Some(ways)) => return Cutting::Yes(ways),
            Some(None) => return Cutting::No(TooFew::default()),
            None => {}
        }
        // Halving has done its best where a proof is wanted, with all kinds of strip at once.
        if self.left.proof {
            if let Some(of) = self.too_few_for_known(boards, &tight) {
                return Cutting::No(of);
            }
            if !self.at_odds.worth_drawing() {
                return Cutting::Unknown;
            }
            let kept = std::mem::replace(&mut self.left, Pains::LITTLE);
            let found = near(self);
            self.left = kept;
            return match found {
                Some(ways) => Cutting::Yes(ways),
                None => self.too_few_for_some(boards, &tight).map_or(Cutting::Unknown, Cutting::No),
            };
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
        let (mut search, answer) = self.tightest_of(need, boards, prices, slack);
        self.met.append(&mut search.met);
        self.spend(boards, search.times);
        answer
    }

    /// As [`Dive::tightest`], with the search that found them, which can go on.
    pub(super) fn tightest_of<'s>(
        &self,
        need: &'s [u32],
        boards: &'s [usize],
        prices: &[f64],
        slack: f64,
    ) -> (Tightest<'s>, Tightened)
    where
        'a: 's,
    {
        let asked = Asked { need, boards, scales: self.scales };
        let mut search = Tightest::new(self.cover, asked, prices, &self.met);
        let mut answer = search.find(&[], ROUNDS);
        if let Tightened::Open(first) = answer {
            // Without slack asked for, only whole numbers call boards short. With it, only where
            // what boards come to at most is too little as well, which can be more than their best
            // way gives: rows of prices know no other.
            let little = || {
                let whole = self.cover.whole_prices(&first.prices);
                let room = exact_slack(self.cover, asked, &whole) as f64;
                room < slack * owed(need, &whole) as f64
            };
            let size = self.cover.size(boards) as f64;
            if slack > 0.0 && first.slack < slack * size && little() {
                return (search, Tightened::Short(first.prices));
            }
            answer = search.find(&search.floors(FLOORS), FLOORED);
            if let Tightened::Open(tight) = &mut answer {
                // The last two prices without floors are kept, too, the tightest last.
                let last = tight.near.len() - 1;
                tight.near.splice(last..last, first.near.into_iter().rev().take(2));
            }
        }
        (search, answer)
    }

    /// The kinds that the cut that lacks least lacks.
    pub(super) fn lacking(&self) -> Vec<usize> {
        let missing = self.cover.missing(&self.cover.opened(self.nearest.iter().cloned()));
        (0..missing.len()).filter(|&k| !self.nearest.is_empty() && missing[k] > 0).collect()
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
            let near = (std::slice::from_ref(&whole), &[slack][..]);
            ways.extend(self.listed(boards[at], need, near, (LIST, WAYS), &NEAR));
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
}

/// What is still needed once boards are cut in these ways.
pub(super) fn left<'w>(need: &[u32], cut: impl IntoIterator<Item = &'w Way>) -> Vec<u32> {
    let mut left = need.to_vec();
    for way in cut {
        left.iter_mut().zip(way.iter()).for_each(|(l, &n)| *l = l.saturating_sub(n));
    }
    left
}

/// What is still needed, and the boards that are left, once some are cut.
fn without(need: &[u32], boards: &[usize], cut: &[(usize, Way)]) -> (Vec<u32>, Vec<usize>) {
    let left = left(need, cut.iter().map(|c| &c.1));
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
                Cutting::Short(_) | Cutting::No(_) => prop_assert_eq!(least(&cover), None),
                // So few boards are put together in full.
                Cutting::Unknown => prop_assert!(false),
            }
        }
    }
}
