//! Cutting boards that are all opened, one after another, each in a way that leaves the others
//! the most slack; a few steps back are taken where that fails. No proof: it finds a choice or
//! it doesn't.

use crate::choose::ascend::Decided;
use crate::choose::cover::{Cover, Way, whole_prices};
use crate::choose::sums::{self, Part, Summed};
use crate::choose::tight::{Asked, Tight, Tightened, exact_slack, tighten};
use crate::cut::list::Floor;
use rayon::prelude::*;
use std::sync::Arc;

/// Steps towards the tightest prices of what is left, and for the last few boards.
const STEPS: usize = 25;
const LAST_STEPS: usize = 50;
/// Ways of one board that are looked at, and of those that are gone on with.
const LOOKS: usize = 6;
const TRIES: usize = 3;
/// A way that leaves so much of the slack is good enough.
const CHEAP: f64 = 0.92;
/// So many boards are the last few: their ways are listed and put together.
const LAST: usize = 6;
/// With so few boards left, ways of the next board beyond those met are listed as candidates.
const FEW: usize = 10;
/// Ways are listed that take the whole slack, or where those are too many a part of it.
const NEAR: [i64; 4] = [1, 2, 6, 25];
/// Comparisons of labels for listing the ways of a board as candidates, and where the ways of
/// all boards are put together; and ways at most.
const LIST: u64 = 60_000;
const LIST_ALL: u64 = 300_000;
const WAYS: usize = 1_500;
/// Labels of a place that go on where even those are too many.
const BEAM: usize = 40;
/// Sums that go on where the ways of boards are put together, and additions in all.
const BEAMS: [usize; 2] = [200, 3_000];
const ADDED: u64 = 40_000_000;
/// A board with more candidate sections than this takes long to value.
const SLOW: usize = 100;
/// Calls of `tighten`: so many, and so many more for each board; and lists put together.
const CALLS: usize = 60;
const CALLS_A_BOARD: usize = 4;
const JOINS: usize = 8;

/// How boards stand to what is needed.
enum Left {
    /// They are not enough, or there is no time to say.
    Nothing,
    /// They are enough, cut so.
    Enough(Vec<(usize, Way)>),
    /// Not known.
    Open(Tight),
}

/// Looks for ways to cut boards.
pub struct Dive<'a> {
    /// The boards' cover.
    cover: &'a Cover<'a>,
    /// Limits of ways.
    decided: &'a Decided,
    /// Typical price of each kind of strip.
    scales: &'a [f64],
    /// Calls of `tighten` left.
    left: usize,
    /// Lists put together that are left.
    joins: usize,
    /// Have all boards been put together?
    joined: bool,
    /// Asked for an end from outside.
    stop: &'a (dyn Fn() -> bool + Sync),
    /// Ways met of lots that aren't listed.
    pub met: Vec<(usize, Way)>,
}

impl<'a> Dive<'a> {
    /// A dive for so many boards; `scales` are typical prices, `met` ways met before.
    pub fn new(
        cover: &'a Cover<'a>,
        (decided, scales): (&'a Decided, &'a [f64]),
        boards: usize,
        stop: &'a (dyn Fn() -> bool + Sync),
        met: Vec<(usize, Way)>,
    ) -> Self {
        let left = CALLS + CALLS_A_BOARD * boards;
        Dive { cover, decided, scales, left, joins: JOINS, joined: false, stop, met }
    }

    /// Ways to cut these boards, all or some of them, that give what is needed.
    pub fn cut(
        &mut self,
        need: &[u32],
        boards: &[usize],
        prices: &[f64],
    ) -> Option<Vec<(usize, Way)>> {
        match self.look(need, boards, prices) {
            Left::Nothing => None,
            Left::Enough(ways) => Some(ways),
            Left::Open(tight) => self.from(need, boards, &tight),
        }
    }

    /// How these boards stand to what is needed.
    fn look(&mut self, need: &[u32], boards: &[usize], prices: &[f64]) -> Left {
        if need.iter().all(|&n| n == 0) {
            return Left::Enough(Vec::new());
        }
        if boards.is_empty() || self.left == 0 || (self.stop)() {
            return Left::Nothing;
        }
        self.left -= 1;
        let asked = Asked { need, boards, decided: self.decided, scales: self.scales };
        let steps = if boards.len() <= LAST { LAST_STEPS } else { STEPS };
        match tighten(self.cover, asked, prices, steps, &mut self.met) {
            Tightened::Short(_) => Left::Nothing,
            Tightened::Enough(ways) => Left::Enough(boards.iter().copied().zip(ways).collect()),
            Tightened::Open(tight) => Left::Open(tight),
        }
    }

    /// The same from known tight prices.
    pub fn from(
        &mut self,
        need: &[u32],
        boards: &[usize],
        tight: &Tight,
    ) -> Option<Vec<(usize, Way)>> {
        if (boards.len() <= LAST || !self.joined)
            && let Some(answer) = self.together(need, boards, tight)
        {
            return answer;
        }
        let whole = whole_prices(&tight.prices);
        // The board that comes to least goes first: the others can make up for more. But boards
        // that take long to value go before all, so that it is done with.
        let rank = |b: usize| {
            let slow = self.cover.lot(b).cuts.is_some_and(|c| c.sections.len() > SLOW);
            (!slow, self.cover.most(self.cover.stock[b].lot, &whole, self.decided.limit(b)))
        };
        let (_, at) = boards.iter().enumerate().map(|(i, &b)| (rank(b), i)).min()?;
        let board = boards[at];
        let rest: Vec<usize> = boards.iter().copied().filter(|&b| b != board).collect();
        let mean = &tight.mean[at * need.len()..(at + 1) * need.len()];
        // The way that leaves the others the most slack goes first. Where one costs next to
        // nothing, no more are looked at.
        let mut open: Vec<(Tight, Way, Vec<u32>)> = Vec::new();
        for way in self.candidates(board, need, mean, tight, boards.len() <= FEW) {
            let left: Vec<u32> =
                need.iter().zip(way.iter()).map(|(&n, &w)| n.saturating_sub(w)).collect();
            match self.look(&left, &rest, &tight.prices) {
                Left::Nothing => {}
                Left::Enough(mut ways) => {
                    ways.push((board, way));
                    return Some(ways);
                }
                Left::Open(next) => {
                    let dear = next.slack < CHEAP * tight.slack;
                    open.push((next, way, left));
                    if !dear {
                        break;
                    }
                }
            }
        }
        open.sort_by(|a, b| b.0.slack.total_cmp(&a.0.slack));
        for (next, way, left) in open.into_iter().take(TRIES) {
            if let Some(mut ways) = self.from(&left, &rest, &next) {
                ways.push((board, way));
                return Some(ways);
            }
            if self.left == 0 {
                return None;
            }
        }
        None
    }

    /// Ways of a board worth trying, the best first: worth much to what is needed, and near the
    /// board's average at the tightest prices.
    #[allow(clippy::cast_precision_loss)]
    fn candidates(
        &self,
        board: usize,
        need: &[u32],
        mean: &[f64],
        tight: &Tight,
        few: bool,
    ) -> Vec<Way> {
        let whole = whole_prices(&tight.prices);
        let stock = self.cover.stock[board].lot;
        let lot = &self.cover.lots[stock];
        let limit = self.decided.limit(board);
        let most = self.cover.most(stock, &whole, limit);
        let mut ways: Vec<Way> = match limit {
            Some(limit) => limit.iter().map(|&w| Arc::clone(&lot.ways[usize::from(w)])).collect(),
            None => lot.ways.clone(),
        };
        if !lot.listed && limit.is_none() {
            ways.extend(self.met.iter().filter(|m| m.0 == stock).map(|m| Arc::clone(&m.1)));
            if few {
                let slack = whole_prices(&[tight.slack.max(0.0)])[0];
                ways.extend(self.listed(board, need, (&whole, slack), LIST).0);
            }
        }
        let score = |way: &Way| -> f64 {
            let mut loss = most as f64;
            let mut off = 0.0;
            for (((&n, &m), &p), mean) in way.iter().zip(need).zip(&whole).zip(mean) {
                loss -= f64::from(n.min(m)) * p as f64;
                off += (f64::from(n) - mean).abs() * p as f64;
            }
            loss + 0.25 * off
        };
        let mut scored: Vec<(f64, Way)> = ways.into_iter().map(|w| (score(&w), w)).collect();
        scored.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        scored.dedup_by(|a, b| a.1 == b.1);
        scored.truncate(LOOKS);
        scored.into_iter().map(|s| s.1).collect()
    }

    /// The last boards with all their ways that leave the others enough, or some where there are
    /// too many, put together. `None` if there may be more to it.
    pub fn together(
        &mut self,
        need: &[u32],
        boards: &[usize],
        tight: &Tight,
    ) -> Option<Option<Vec<(usize, Way)>>> {
        self.joins = self.joins.checked_sub(1)?;
        self.joined = true;
        let whole = whole_prices(&tight.prices);
        let asked = Asked { need, boards, decided: self.decided, scales: self.scales };
        let slack = exact_slack(self.cover, asked, &whole);
        if slack < 0 {
            return Some(None);
        }
        let slack = i64::try_from(slack).unwrap_or(i64::MAX);
        let list = |&board: &usize| {
            let (ways, every) = self.listed(board, need, (&whole, slack), LIST_ALL);
            (board, ways, every)
        };
        let mut lists: Vec<(usize, Vec<Way>, bool)> = boards.par_iter().map(list).collect();
        lists.sort_by_key(|l| (l.1.len(), l.0));
        let parts: Vec<Part<'_>> = lists
            .iter()
            .map(|(board, ways, _)| {
                let stock = self.cover.stock[*board].lot;
                let limit = self.decided.limit(*board);
                let most = tight.near.iter().map(|p| self.cover.most(stock, p, limit)).collect();
                Part { board: *board, cost: 0, most, ways }
            })
            .collect();
        // The boards are opened anyway: with a cost of nothing each, any choice will do.
        for beam in BEAMS {
            let asked = sums::Asked {
                need,
                prices: &tight.near,
                ceiling: 1,
                beam,
                effort: ADDED,
                stop: self.stop,
            };
            match sums::add_up(&parts, &asked) {
                Summed::Better { ways, .. } => return Some(Some(ways)),
                Summed::NoBetter if lists.iter().all(|l| l.2) => return Some(None),
                Summed::NoBetter => return None,
                Summed::Unknown => {}
            }
        }
        None
    }

    /// Ways of a board that take no more than the slack; all of them, or as many as are quick to
    /// list.
    fn listed(
        &self,
        board: usize,
        need: &[u32],
        (whole, slack): (&[i64], i64),
        effort: u64,
    ) -> (Vec<Way>, bool) {
        let stock = self.cover.stock[board].lot;
        let lot = &self.cover.lots[stock];
        let limit = self.decided.limit(board);
        match (limit, lot.cuts) {
            (Some(limit), _) => {
                (limit.iter().map(|&w| Arc::clone(&lot.ways[usize::from(w)])).collect(), true)
            }
            (None, Some(cuts)) if !lot.listed => {
                let valued = cuts.value(whole);
                let most = self.cover.most(stock, whole, None);
                let floor = |slack: i64| Floor { valued: &valued, least: (most - slack).max(1) };
                let ways = |w: Vec<Vec<u32>>| w.into_iter().map(Way::from).collect();
                for part in NEAR {
                    if let Some(list) = cuts.list(need, Some(floor(slack / part)), effort)
                        && list.len() <= WAYS
                    {
                        return (ways(list), part == 1);
                    }
                }
                let some = cuts.list_some(need, floor(slack), BEAM, effort);
                let met = self.met.iter().filter(|m| m.0 == stock).map(|m| &m.1);
                let mut some: Vec<Way> = ways(some.unwrap_or_default());
                some.extend(lot.ways.iter().chain(met).map(Arc::clone));
                some.sort_unstable();
                some.dedup();
                (some, false)
            }
            _ => (lot.ways.clone(), true),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Dive;
    use crate::choose::ascend::Decided;
    use crate::choose::cover::Fate;
    use crate::choose::tight::{Asked, Tightened, tighten};
    use crate::choose::trial::{least, priced};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_cut_is_enough_and_what_is_short_is_not((cover, prices) in priced()) {
            let boards: Vec<usize> = (0..cover.stock.len()).collect();
            let decided = Decided { fates: vec![Fate::In; boards.len()], limits: Vec::new() };
            let scales = vec![1.0; prices.len()];
            let mut dive =
                Dive::new(&cover, (&decided, &scales), boards.len(), &|| false, Vec::new());
            let found = dive.cut(&cover.need, &boards, &prices);
            if let Some(ways) = &found {
                let mut choice = vec![None; cover.stock.len()];
                ways.iter().for_each(|(b, way)| choice[*b] = Some(way.clone()));
                prop_assert!(cover.meets(&choice));
            }
            // The last boards are put together in full, so small covers are never missed.
            prop_assert_eq!(found.is_some(), least(&cover).is_some() );
            let asked = Asked { need: &cover.need, boards: &boards, decided: &decided, scales: &scales };
            if let Tightened::Short(_) = tighten(&cover, asked, &prices, 60, &mut Vec::new()) {
                prop_assert_eq!(least(&cover), None);
            }
        }
    }
}
