//! Better choices by exchanging boards.
//!
//! Many boards are listed at the prices of the relaxation, a part of their ways each, and walks
//! ([`crate::choose::search::walk`]) go from choice to choice over all those lists. A choice near
//! the end of a walk lacks a strip or two, since the ways that would give just what is needed stand in
//! no list. So its boards are asked for in earnest, near their own mixtures
//! ([`crate::choose::search::rounded`]), and listed anew for what the others leave. Then the walks go
//! on. Boards that prices show to come to too little are a row, and no walk asks for such again.
//! Nothing is proved by it.

use crate::choose::effort::enough::NEAR;
use crate::choose::effort::exchange::{
    AGAIN, ALL_WAYS, AROUND, AT_ONCE, IN_VAIN, LIST, LOTS, PARTS, ROUNDS, STEPS, WALKS, WAYS, WORK,
};
use crate::choose::kernel::cover::{Choice, Cover, Fate, Way, clamped};
use crate::choose::kernel::rows::Row;
use crate::choose::search::drawn::Drawn;
use crate::choose::search::enough::{Cutting, Dive, Pains, Told};
use crate::choose::search::rounded::{lacks, left_for_each};
use crate::choose::search::varied::{Asked, AskedFor};
use crate::choose::search::walk::{Start, Table, Walk, Walked};
use rayon::prelude::*;
use std::sync::Arc;

/// What is known before.
#[derive(Clone, Copy)]
pub(super) struct Known<'k> {
    /// Good prices of strips, and typical ones.
    pub prices: &'k [f64],
    pub scales: &'k [f64],
    /// Prices for rows.
    pub trail: &'k [Vec<i64>],
    /// What each board costs over what it comes to, in price parts.
    pub reduced: &'k [i128],
    /// No choice costs less, in units.
    pub lowest: i64,
}

/// What came of it.
pub(super) struct Exchanged {
    pub choice: Choice,
    /// Sets that are not decided, cut so that they lack little.
    pub nearest: Vec<Choice>,
    /// Ways met of lots that are not listed.
    pub met: Vec<(usize, Way)>,
}

/// Boards that were asked for: cut so, if they are enough, or so that little lacks.
struct Answer {
    boards: Vec<usize>,
    cutting: Cutting,
    nearest: Vec<(usize, Way)>,
    met: Vec<(usize, Way)>,
    /// Prices that tell most of them.
    told: Option<Told>,
    /// They were asked for again.
    again: bool,
}

impl Answer {
    fn new(boards: &[usize], cutting: Cutting, dive: Dive<'_>, again: bool) -> Answer {
        let Dive { nearest, met, told, .. } = dive;
        Answer { boards: boards.to_vec(), cutting, nearest, met, told, again }
    }
}

struct Exchange<'a> {
    cover: &'a Cover<'a>,
    known: Known<'a>,
    dive: Dive<'a>,
    /// The good prices in whole parts.
    whole: [Vec<i64>; 1],
    /// Of each lot the ways that walks know.
    lists: Vec<Vec<Way>>,
    rows: Vec<Row>,
    asked: AskedFor,
    /// The first exchange or a later one.
    time: usize,
    found: Exchanged,
    /// Rounds in which a few boards were cut afresh, one after another, and it was not enough.
    in_vain: usize,
    stop: &'a (dyn Fn() -> bool + Sync),
}

/// Looks for a cheaper choice from a known one on, until more than so many rounds, one after another,
/// find none; `tell` hears what the better ones cost.
pub(super) fn exchanged(
    cover: &Cover<'_>,
    choice: Choice,
    known: Known<'_>,
    (near, sets): (&[Choice], &[Vec<usize>]),
    (time, failing, stop): (usize, usize, &(dyn Fn() -> bool + Sync)),
    tell: &mut dyn FnMut(i64),
) -> Exchanged {
    let before = cover.cost(&choice);
    let mut exchange = Exchange::new(cover, choice, known, (time, stop));
    exchange.begin(near, sets);
    let begun = cover.cost(&exchange.found.choice);
    if begun < before {
        tell(begun);
    }
    let mut drawn: Vec<Drawn> =
        (0..WALKS).map(|walk| Drawn::of_search(time * WALKS + walk)).collect();
    let first = Start { choice: exchange.found.choice.clone(), weights: Vec::new() };
    let mut from = vec![first; WALKS];
    let mut failed = 0;
    for round in 0..ROUNDS {
        let dear = cover.cost(&exchange.found.choice);
        if stop() || dear <= known.lowest || failed > failing {
            break;
        }
        let (mut near, mut asked): (Vec<Choice>, Vec<Choice>) = (Vec::new(), Vec::new());
        for walked in exchange.walks(&from, &mut drawn).into_iter().enumerate() {
            let (walk, Walked { best, near: [nearest, worth_asking], last }) = walked;
            from[walk] = last;
            exchange.take(best);
            near.extend(nearest);
            asked.extend(worth_asking);
        }
        let mut sets: Vec<Vec<usize>> = asked.iter().map(boards).collect();
        sets.sort();
        sets.dedup();
        near.append(&mut asked);
        near.extend(exchange.ask(sets));
        exchange.list_around(&near, u32::from(round % 2 == 1));
        let now = cover.cost(&exchange.found.choice);
        failed = if now < dear { 0 } else { failed + 1 };
        if now < dear {
            tell(now);
        }
    }
    exchange.found
}

impl<'a> Exchange<'a> {
    fn new(
        cover: &'a Cover<'a>,
        choice: Choice,
        known: Known<'a>,
        (time, stop): (usize, &'a (dyn Fn() -> bool + Sync)),
    ) -> Self {
        let fates = vec![Fate::Open; cover.stock.len()];
        let row = |prices: &Vec<i64>| Row::priced(cover, &fates, prices);
        let found = Exchanged { choice, nearest: Vec::new(), met: Vec::new() };
        let mut exchange = Exchange {
            cover,
            known,
            dive: Dive::new(cover, known.scales, Pains::LITTLE, stop),
            whole: [cover.whole_prices(known.prices)],
            lists: vec![Vec::new(); cover.lots.len()],
            rows: known.trail.iter().filter_map(row).collect(),
            asked: AskedFor::default(),
            time,
            found,
            in_vain: 0,
            stop,
        };
        let of_use = exchange.of_use();
        let need = &cover.need;
        let list = |&board: &usize| exchange.list(board, need, LIST[time]);
        let lists: Vec<Vec<Way>> = of_use.par_iter().map(list).collect();
        for (board, list) in of_use.into_iter().zip(lists) {
            exchange.lists[cover.stock[board].lot] = list;
        }
        let opened = exchange.found.choice.clone();
        exchange.know(opened.into_iter().enumerate().filter_map(|(b, way)| Some((b, way?))));
        exchange.tidy();
        exchange
    }

    /// One board of each lot that can be part of a cheaper choice: those that cost least over what
    /// they come to.
    fn of_use(&self) -> Vec<usize> {
        let (cover, reduced) = (self.cover, self.known.reduced);
        let gap = cover.cost(&self.found.choice) - self.known.lowest;
        let first = |&b: &usize| cover.stock[b].twin_before.is_none();
        let may = |&b: &usize| reduced[b] < cover.scale.parts_of(gap);
        let mut boards: Vec<usize> = (0..cover.stock.len()).filter(first).filter(may).collect();
        boards.sort_by_key(|&b| (reduced[b], b));
        boards.truncate(LOTS);
        boards
    }

    /// Ways of a board that lose no more than what the choice costs over the bound, or a part of it.
    fn list(&self, board: usize, most: &[u32], work: u64) -> Vec<Way> {
        let gap = self.cover.cost(&self.found.choice) - self.known.lowest;
        let slack = clamped(self.cover.scale.parts_of(gap));
        self.dive.listed(board, most, (&self.whole, &[slack]), (work, WAYS), &PARTS)
    }

    /// Keeps ways of boards for walks.
    fn know(&mut self, ways: impl IntoIterator<Item = (usize, Way)>) {
        for (board, way) in ways {
            self.lists[self.cover.stock[board].lot].push(way);
        }
    }

    /// Keeps each way once.
    fn tidy(&mut self) {
        for list in &mut self.lists {
            list.sort_unstable();
            list.dedup();
        }
    }

    /// Takes a choice if it is better than the best so far.
    fn take(&mut self, choice: Option<Choice>) {
        let (cover, best) = (self.cover, &mut self.found.choice);
        if let Some(choice) = choice
            && cover.meets(&choice)
            && cover.cost(&choice) < cover.cost(best)
        {
            *best = choice;
        }
    }

    /// Walks from these choices on, side by side.
    fn walks(&self, from: &[Start], drawn: &mut [Drawn]) -> Vec<Walked> {
        let (cover, known) = (self.cover, self.known);
        let table = Table::of(cover, &self.lists);
        let steps = STEPS.min(WORK / table.len().max(1));
        let costs = (cover.cost(&self.found.choice), known.lowest);
        let worth_asking = |set: &[usize]| {
            let short = |row: &Row| row.short(set.iter().copied());
            !self.rows.iter().any(short) && !self.asked.knows(set)
        };
        let walk = |(from, drawn): (&Start, &mut Drawn)| {
            let walk = Walk::new(&table, from, known.prices, drawn);
            walk.steps(steps, costs, worth_asking, self.stop)
        };
        from.par_iter().zip(drawn).map(walk).collect()
    }

    /// Takes up choices that lack little, and sets that may be enough, where such are asked for again.
    fn begin(&mut self, near: &[Choice], sets: &[Vec<usize>]) {
        if AGAIN[self.time] == 0 {
            return;
        }
        for choice in near {
            self.lacking(choice, None, false);
            let ways = choice.iter().enumerate();
            self.know(ways.filter_map(|(b, way)| Some((b, way.clone()?))));
        }
        let new = |set: &&Vec<usize>| !self.asked.knows(set) && self.of_less(set);
        let new: Vec<Vec<usize>> = sets.iter().filter(new).cloned().collect();
        self.ask(new);
    }

    /// Do these boards cost less than the best choice?
    fn of_less(&self, boards: &[usize]) -> bool {
        self.cover.size(boards) < self.cover.cost(&self.found.choice)
    }

    /// Learns of a choice that its boards lack something as they are cut in it.
    fn lacking(&mut self, choice: &Choice, told: Option<Told>, again: bool) {
        let missing = self.cover.missing(choice);
        let ways: Vec<Way> = choice.iter().flatten().cloned().collect();
        let worth = lacks(&self.cover.need, &ways, self.known.prices);
        self.asked.learn(&boards(choice), Some((&missing, worth)), told, again);
    }

    /// Asks in earnest for sets of boards, and where those are few, near other mixtures for some that
    /// were asked for before. Returns what their boards lack least with.
    fn ask(&mut self, sets: Vec<Vec<usize>>) -> Vec<Choice> {
        let (cover, known, stop, time) = (self.cover, self.known, self.stop, self.time);
        let few = AT_ONCE.saturating_sub(sets.len());
        let again = self.asked.to_ask_again(few, AGAIN[time], &cover.need, |set| self.of_less(set));
        let afresh = usize::from(self.in_vain < IN_VAIN[time]);
        self.in_vain += usize::from(!sets.is_empty());
        let first = |set: &Vec<usize>| {
            let mut dive = Dive::new(cover, known.scales, Pains { afresh, ..Pains::LITTLE }, stop);
            let cutting = dive.cut(set, known.prices);
            Answer::new(set, cutting, dive, false)
        };
        let otherwise = |asked: &Asked| {
            let mut dive = Dive::new(cover, known.scales, Pains::AGAIN, stop);
            dive.draw = time * AGAIN[2] + asked.again;
            let ways = dive.otherwise(asked, known.prices);
            let cutting = ways.map_or(Cutting::Unknown, Cutting::Yes);
            Answer::new(&asked.boards, cutting, dive, true)
        };
        let mut answers: Vec<Answer> = sets.par_iter().map(first).collect();
        answers.extend(again.par_iter().map(otherwise).collect::<Vec<_>>());
        let fates = vec![Fate::Open; cover.stock.len()];
        let mut near = Vec::new();
        for Answer { boards, cutting, nearest, met, told, again } in answers {
            for (lot, way) in &met {
                if !self.lists[*lot].is_empty() {
                    self.lists[*lot].push(Arc::clone(way));
                }
            }
            self.found.met.extend(met);
            self.know(nearest.iter().cloned());
            match cutting {
                Cutting::Unknown if !nearest.is_empty() => {
                    let nearest = cover.opened(nearest);
                    self.lacking(&nearest, told, again);
                    self.found.nearest.push(nearest.clone());
                    near.push(nearest);
                    continue;
                }
                Cutting::Yes(ways) => {
                    self.in_vain = 0;
                    self.know(ways.iter().cloned());
                    self.take(Some(cover.opened(ways)));
                }
                Cutting::Short(prices) => {
                    let whole = cover.whole_prices(&prices);
                    self.rows.extend(Row::priced(cover, &fates, &whole));
                }
                Cutting::Unknown | Cutting::No(_) => {}
            }
            self.asked.learn(&boards, None, told, again);
        }
        self.tidy();
        near
    }

    /// Lists the boards of choices for what their other boards leave, and so many more of each kind.
    fn list_around(&mut self, near: &[Choice], more: u32) {
        if self.lists.iter().map(Vec::len).sum::<usize>() > ALL_WAYS {
            return;
        }
        let cover = self.cover;
        let mut asked: Vec<(usize, Vec<u32>, Option<&Told>)> = Vec::new();
        for choice in near {
            let boards = boards(choice);
            let ways: Vec<Way> = choice.iter().flatten().cloned().collect();
            let left = left_for_each(&ways, &cover.need, more);
            let told = self.asked.told(&boards);
            asked.extend(boards.into_iter().zip(left).map(|(board, left)| (board, left, told)));
        }
        asked.sort();
        asked.dedup();
        let list = |(board, most, told): &(usize, Vec<u32>, Option<&Told>)| match told {
            Some((prices, slacks)) => {
                self.dive.listed(*board, most, (prices, slacks), (AROUND, WAYS), &NEAR)
            }
            None => self.list(*board, most, AROUND),
        };
        let lists: Vec<Vec<Way>> = asked.par_iter().map(list).collect();
        let ways = asked
            .iter()
            .zip(lists)
            .flat_map(|((board, ..), list)| list.into_iter().map(|way| (*board, way)));
        self.know(ways.collect::<Vec<_>>());
        self.tidy();
    }
}

/// The boards that a choice opens.
fn boards(choice: &Choice) -> Vec<usize> {
    (0..choice.len()).filter(|&b| choice[b].is_some()).collect()
}

#[cfg(test)]
mod tests {
    use super::{Known, exchanged};
    use crate::choose::effort::exchange::FAILED;
    use crate::choose::kernel::bound::bound;
    use crate::choose::kernel::cover::{Cover, Lot, Way};
    use crate::choose::kernel::trial::{least, priced};
    use crate::choose::search::greedy;
    use proptest::prelude::*;

    #[test]
    fn what_boards_that_are_handed_over_cost_is_told() {
        let lot = |cost| Lot { cuts: None, cost, ways: vec![Way::from([1])], listed: true };
        let cover = Cover::new(vec![1], vec![lot(9), lot(5)], &[1, 1]).expect("small numbers");
        let start = vec![Some(Way::from([1])), None];
        let whole = cover.whole_prices(&[5.0]);
        let (_, reduced) = bound(&cover, &whole);
        // Five is the least, so that no round is begun.
        let (prices, scales, trail) = (&[5.0][..], &[1.0][..], &[whole][..]);
        let known = Known { prices, scales, trail, reduced: &reduced, lowest: 5 };
        let mut told = Vec::new();
        let mut tell = |cost| told.push(cost);
        let times = (2, FAILED[2], &(|| false) as &(dyn Fn() -> bool + Sync));
        let found = exchanged(&cover, start, known, (&[], &[vec![1]]), times, &mut tell);
        assert_eq!((cover.cost(&found.choice), told), (5, vec![5]));
    }

    proptest! {
        #[test]
        fn a_better_choice_is_enough_and_nearest_ones_are_not(
            (cover, prices) in priced(),
            time in 0..4_usize,
            set in any::<prop::sample::Index>(),
        ) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let none = vec![None; cover.stock.len()];
            let Ok(start) = greedy::complete(&cover, &prices, none) else { return Ok(()) };
            let whole = cover.whole_prices(&prices);
            let (total, reduced) = bound(&cover, &whole);
            let lowest = cover.scale.whole_units(total);
            let (scales, trail) = (vec![1.0; prices.len()], [whole]);
            let (prices, scales, reduced) = (&prices[..], &scales[..], &reduced[..]);
            let known = Known { prices, scales, trail: &trail, reduced, lowest };
            let (before, mut told) = (cover.cost(&start), Vec::new());
            // Any boards and choices may be handed over.
            let boards = cover.stock.len();
            let sets = [(0..boards).collect(), vec![set.index(boards)]];
            let near = [vec![None; boards], start.clone()];
            let mut tell = |cost| told.push(cost);
            let handed = (&near[..], &sets[..]);
            let found = exchanged(
                &cover, start, known, handed, (time, FAILED[time], &|| false), &mut tell,
            );
            prop_assert!(cover.meets(&found.choice));
            let cost = cover.cost(&found.choice);
            prop_assert!(cost <= before && Some(cost) >= least(&cover));
            prop_assert_eq!(told.last().copied().unwrap_or(before), cost);
            prop_assert!(told.is_sorted_by(|a, b| a > b));
            prop_assert!(found.nearest.iter().all(|near| !cover.meets(near)));
        }
    }
}
