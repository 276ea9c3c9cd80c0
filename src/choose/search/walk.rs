//! Walks from choice to choice within a cost.
//!
//! What a choice lacks counts by a weight for each kind of strip, and what it costs counts too, though
//! for less. One or two boards are put back, and board after board is taken that leaves least. Where
//! that does no better the choice before stands, and after some of that the kinds that lack count for
//! more. A step looks at thousands of ways and takes some microseconds.
//!
//! Weights and counts are floats, which are quick to work through many at a time. Nothing is believed of
//! them: what a walk ends with is checked as any choice is.

use crate::choose::effort::walk::{ASKED, COST, FINEST, HEAVIEST, RAISED, STUCK};
use crate::choose::kernel::cover::{Choice, Cover, Way};
use crate::choose::search::drawn::Drawn;
use std::ops::Range;
use std::sync::Arc;

/// Equal boards with a list of their ways.
struct Offer {
    /// The first of the boards; the others follow.
    board: usize,
    copies: usize,
    /// Cost of one, in units.
    cost: i64,
    /// Places of its ways.
    ways: Range<usize>,
}

/// Ways of many boards.
pub(super) struct Table {
    /// How many boards there are, those without ways here too.
    boards: usize,
    offers: Vec<Offer>,
    ways: Vec<Way>,
    /// Kinds that are needed, and how many of them.
    kinds: Vec<usize>,
    need: Vec<f32>,
    /// Of each of those kinds what each way gives.
    gives: Vec<Vec<f32>>,
}

/// A choice, as places of offers and ways.
#[derive(Clone)]
struct State {
    opened: Vec<(usize, usize)>,
    /// What is still needed of each kind; less than nothing where more is given.
    left: Vec<f32>,
    cost: i64,
}

/// Where a walk has come to.
pub(super) struct Walked {
    /// The cheapest choice that gives all that is needed, if it costs less than was known.
    pub best: Option<Choice>,
    /// The choice that lacks least, and the one of those worth asking more of.
    pub near: [Option<Choice>; 2],
    /// The last one, and what a strip that lacks counts for there.
    pub last: Start,
}

/// Where a walk begins: a choice, and what a strip that lacks counts for, where that is known.
#[derive(Clone)]
pub(super) struct Start {
    pub choice: Choice,
    pub weights: Vec<f32>,
}

#[allow(clippy::cast_precision_loss)]
impl Table {
    /// Of the lots' boards that have ways here.
    pub fn of(cover: &Cover<'_>, lists: &[Vec<Way>]) -> Table {
        let kinds: Vec<usize> = (0..cover.need.len()).filter(|&k| cover.need[k] > 0).collect();
        let need = kinds.iter().map(|&k| cover.need[k] as f32).collect();
        let (mut offers, mut ways) = (Vec::new(), Vec::new());
        for (lot, list) in lists.iter().enumerate().filter(|l| !l.1.is_empty()) {
            let of_lot = || (0..cover.stock.len()).filter(|&b| cover.stock[b].lot == lot);
            let Some(board) = of_lot().next() else { continue };
            let from = ways.len();
            ways.extend(list.iter().cloned());
            let (copies, cost) = (of_lot().count(), cover.lots[lot].cost);
            offers.push(Offer { board, copies, cost, ways: from..ways.len() });
        }
        let give = |&k: &usize| ways.iter().map(|w: &Way| w[k] as f32).collect();
        let gives = kinds.iter().map(give).collect();
        Table { boards: cover.stock.len(), offers, ways, kinds, need, gives }
    }

    /// How many ways there are.
    pub fn len(&self) -> usize {
        self.ways.len()
    }

    /// A choice as places; boards or ways that are not here are left out.
    fn state(&self, choice: &Choice) -> State {
        let mut state = State { opened: Vec::new(), left: self.need.clone(), cost: 0 };
        for (place, offer) in self.offers.iter().enumerate() {
            let boards = offer.board..offer.board + offer.copies;
            for way in choice[boards].iter().flatten() {
                if let Some(way) = offer.ways.clone().find(|&w| self.ways[w] == *way) {
                    self.open(&mut state, (place, way));
                }
            }
        }
        state
    }

    fn choice(&self, state: &State) -> Choice {
        let mut choice: Choice = vec![None; self.boards];
        for (board, &(_, way)) in self.boards(state).into_iter().zip(&state.opened) {
            choice[board] = Some(Arc::clone(&self.ways[way]));
        }
        choice
    }

    /// The boards that are opened, in their order; of equal ones the first.
    fn boards(&self, state: &State) -> Vec<usize> {
        let mut boards: Vec<usize> = Vec::with_capacity(state.opened.len());
        for &(place, _) in &state.opened {
            let mut board = self.offers[place].board;
            while boards.contains(&board) {
                board += 1;
            }
            boards.push(board);
        }
        boards
    }

    fn open(&self, state: &mut State, (place, way): (usize, usize)) {
        state.opened.push((place, way));
        state.cost += self.offers[place].cost;
        state.left.iter_mut().zip(&self.gives).for_each(|(left, gives)| *left -= gives[way]);
    }

    /// Puts the board that was opened as this one back; the last one takes its place.
    fn put_back(&self, state: &mut State, opened: usize) -> (usize, usize) {
        let (place, way) = state.opened.swap_remove(opened);
        state.cost -= self.offers[place].cost;
        state.left.iter_mut().zip(&self.gives).for_each(|(left, gives)| *left += gives[way]);
        (place, way)
    }
}

/// A walk over a table.
pub(super) struct Walk<'t> {
    table: &'t Table,
    state: State,
    /// What a strip that lacks counts for at first, and now.
    first: Vec<f32>,
    now: Vec<f32>,
    /// What lacks if a way is added.
    lacks: Vec<f32>,
    drawn: &'t mut Drawn,
}

#[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
impl<'t> Walk<'t> {
    /// Begins with a choice. `prices` say what a strip that lacks counts for, in units of cost.
    pub fn new(table: &'t Table, from: &Start, prices: &[f64], drawn: &'t mut Drawn) -> Self {
        let dearest = prices.iter().fold(0.0_f64, |a, &b| a.max(b)).max(f64::MIN_POSITIVE);
        let weight = |&k: &usize| prices[k].max(dearest / FINEST) as f32;
        let first: Vec<f32> = table.kinds.iter().map(weight).collect();
        let (state, lacks) = (table.state(&from.choice), vec![0.0; table.len()]);
        let known = from.weights.len() == first.len();
        let now = if known { from.weights.clone() } else { first.clone() };
        Walk { table, state, now, first, lacks, drawn }
    }

    /// So many steps among choices that cost less than `dear`, and less than what is found on the way,
    /// until one costs no more than `lowest`. `worth_asking` is asked of the boards of choices that
    /// lack little.
    pub fn steps(
        mut self,
        steps: usize,
        (mut dear, lowest): (i64, i64),
        worth_asking: impl Fn(&[usize]) -> bool,
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Walked {
        let mut best = None;
        let nothing = || [(f32::INFINITY, None), (f32::INFINITY, None)];
        let mut near: [(f32, Option<State>); 2] = nothing();
        let mut stuck = 0;
        for step in 0..steps {
            if dear <= lowest || step % ASKED == 0 && stop() {
                break;
            }
            let old = self.state.clone();
            let before = self.counts_for(&old);
            self.exchange(dear);
            let lacks = lacking(&self.state.left, &self.first);
            if lacks <= 0.0 && self.state.cost < dear {
                dear = self.state.cost;
                best = Some(self.state.clone());
                (near, stuck) = (nothing(), 0);
                continue;
            }
            if self.state.cost < dear {
                if lacks < near[0].0 {
                    near[0] = (lacks, Some(self.state.clone()));
                }
                if lacks < near[1].0 {
                    let mut boards = self.table.boards(&self.state);
                    boards.sort_unstable();
                    if worth_asking(&boards) {
                        near[1] = (lacks, Some(self.state.clone()));
                    }
                }
            }
            let after = self.counts_for(&self.state);
            stuck = if after < before { 0 } else { stuck + 1 };
            // What costs too much is left in any case.
            if after > before && old.cost < dear {
                self.state = old;
            }
            if stuck > STUCK * self.state.opened.len() {
                stuck = 0;
                self.raise();
            }
        }
        let choice = |state: &State| self.table.choice(state);
        Walked {
            best: best.as_ref().map(choice),
            near: near.map(|near| near.1.as_ref().map(choice)),
            last: Start { choice: choice(&self.state), weights: self.now },
        }
    }

    /// Puts a board or two back, and more as long as all cost too much, and takes others.
    fn exchange(&mut self, dear: i64) {
        let table = self.table;
        let (some, another) = (1 + self.drawn.below(2), self.drawn.below(2) == 0);
        let mut back = Vec::new();
        while !self.state.opened.is_empty() && (back.len() < some || self.state.cost >= dear) {
            let opened = self.drawn.below(self.state.opened.len());
            back.push(table.put_back(&mut self.state, opened));
        }
        // Every other time the first of them is not taken again as it was.
        let passed = back.first().copied().filter(|_| another);
        for _ in 0..=back.len() {
            let Some(next) = self.least(dear, passed) else { break };
            table.open(&mut self.state, next);
        }
    }

    /// The board and way that leaves least, if it leaves less than there is without.
    fn least(&mut self, dear: i64, passed: Option<(usize, usize)>) -> Option<(usize, usize)> {
        let (table, state) = (self.table, &self.state);
        let none = lacking(&state.left, &self.now);
        if none <= 0.0 {
            return None;
        }
        self.lacks.fill(0.0);
        let kinds = state.left.iter().zip(&self.now).zip(&table.gives);
        for ((&left, &weight), gives) in kinds.filter(|k| *k.0.0 > 0.0) {
            for (sum, &n) in self.lacks.iter_mut().zip(gives) {
                *sum += (left - n).max(0.0) * weight;
            }
        }
        let mut least = (none, None);
        for (place, offer) in table.offers.iter().enumerate() {
            let opened = || state.opened.iter().filter(|o| o.0 == place).count();
            if state.cost + offer.cost >= dear || opened() >= offer.copies {
                continue;
            }
            let cost = COST * offer.cost as f32;
            for way in offer.ways.clone() {
                if self.lacks[way] + cost < least.0 && passed != Some((place, way)) {
                    least = (self.lacks[way] + cost, Some((place, way)));
                }
            }
        }
        least.1
    }

    /// What a choice counts for, which is to become less.
    fn counts_for(&self, state: &State) -> f32 {
        COST * state.cost as f32 + lacking(&state.left, &self.now)
    }

    /// What lacks counts for more. Where that grows too much, all but what was at first is halved.
    fn raise(&mut self) {
        let lacking = self.state.left.iter().map(|&left| left > 0.0);
        for ((now, first), lacks) in self.now.iter_mut().zip(&self.first).zip(lacking) {
            *now += if lacks { first / RAISED } else { 0.0 };
        }
        let heavy = |(now, first): (&f32, &f32)| *now > HEAVIEST * first;
        if self.now.iter().zip(&self.first).any(heavy) {
            let halved = |(now, first): (&mut f32, &f32)| *now = (*now / 2.0).max(*first);
            self.now.iter_mut().zip(&self.first).for_each(halved);
        }
    }
}

fn lacking(left: &[f32], weights: &[f32]) -> f32 {
    left.iter().zip(weights).map(|(left, weight)| left.max(0.0) * weight).sum()
}

#[cfg(test)]
mod tests {
    use super::{Start, Table, Walk};
    use crate::choose::kernel::cover::{Choice, Cover, Lot, Way};
    use crate::choose::kernel::trial::{least, priced};
    use crate::choose::search::drawn::Drawn;
    use crate::choose::search::greedy;
    use proptest::prelude::*;

    fn table(cover: &Cover<'_>) -> Table {
        Table::of(cover, &cover.lots.iter().map(|l| l.ways.clone()).collect::<Vec<_>>())
    }

    proptest! {
        #[test]
        fn what_a_walk_finds_is_enough_and_cheaper((cover, prices) in priced()) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let none = vec![None; cover.stock.len()];
            let Ok(start) = greedy::complete(&cover, &prices, none) else { return Ok(()) };
            let (table, dear) = (table(&cover), cover.cost(&start));
            // A choice is the same there and back, but for equal boards.
            let state = table.state(&start);
            let back = table.choice(&state);
            prop_assert_eq!((state.cost, cover.cost(&back)), (dear, dear));
            prop_assert_eq!(cover.missing(&back), cover.missing(&start));
            let mut drawn = Drawn::new();
            let from = Start { choice: start.clone(), weights: Vec::new() };
            let walk = Walk::new(&table, &from, &prices, &mut drawn);
            let walked = walk.steps(300, (dear, 0), |_| true, &|| false);
            let cheapest = least(&cover);
            if let Some(best) = &walked.best {
                prop_assert!(cover.meets(best) && cover.cost(best) < dear);
            }
            let reached = walked.best.as_ref().map_or(dear, |best| cover.cost(best));
            prop_assert!(Some(reached) >= cheapest);
            for near in walked.near.iter().flatten() {
                prop_assert!(!cover.meets(near) && cover.cost(near) < reached);
            }
            // No more boards are opened than there are.
            let known = |c: &Choice| c.iter().enumerate().all(|(b, way)| {
                way.as_ref().is_none_or(|way| cover.lot(b).ways.contains(way))
            });
            prop_assert!(walked.best.iter().chain(walked.near.iter().flatten()).chain([&walked.last.choice]).all(known));
        }
    }

    /// Ten boards, of which two dear ones are opened. Two others do as well, each for half; either alone
    /// lacks.
    #[test]
    fn boards_are_exchanged_until_the_cheapest_are_opened() {
        let lot = |cost, way: [u32; 2]| Lot {
            cuts: None,
            cost,
            ways: vec![Way::from(way.to_vec())],
            listed: true,
        };
        let mut lots = vec![lot(100, [3, 0]), lot(100, [0, 3]), lot(50, [2, 1]), lot(50, [1, 2])];
        lots.extend((0..6).map(|n| lot(40 + n, [1, 1])));
        let cover = Cover::new(vec![3, 3], lots, &[1; 10]).expect("fits");
        let mut start: Choice = vec![None; 10];
        for (opened, lot) in start.iter_mut().zip(&cover.lots).take(2) {
            *opened = Some(lot.ways[0].clone());
        }
        let (table, mut drawn) = (table(&cover), Drawn::new());
        let from = Start { choice: start.clone(), weights: Vec::new() };
        let walk = Walk::new(&table, &from, &[20.0, 20.0], &mut drawn);
        let walked = walk.steps(200, (200, 0), |_| true, &|| false);
        let best = walked.best.expect("one is cheaper");
        assert_eq!(cover.cost(&best), 100);
        assert!(best[2].is_some() && best[3].is_some());
        // A stop is heard at once.
        let walk = Walk::new(&table, &from, &[20.0, 20.0], &mut drawn);
        let walked = walk.steps(200, (200, 0), |_| true, &|| true);
        assert!(walked.best.is_none() && walked.last.choice == start);
    }
}
