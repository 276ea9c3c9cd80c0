//! The job as a choice: kinds of strip, classes of equal boards, whole-number costs.
//!
//! Costs are counted in whole units. Where all costs together are few enough of their greatest
//! common part, that is the unit, and the units are the costs. Else (a board measured in odd
//! sizes makes that part tiny) the unit is as small as the search's sums allow and costs are
//! rounded down, so that a bound in units is a bound; what a choice costs is always worked out
//! from the costs themselves.

use crate::choose::effort::boards::{BOARDS, FEW_COPIES, FINEST, LEAST_BENT, MOST_BENT, ROOM};
use crate::choose::kernel::cover::{Cover, Lot, Scale, Way};
use crate::choose::laid::Laid;
use crate::choose::rack::Rack;
use crate::cut::BoardCuts;
use crate::cut::ranges::Places;
use crate::lumber::Board;
use crate::paddle::{Families, Job, StripKind, Tally};
use crate::plan::Measure;
use crate::stop::Stop;
use rayon::prelude::*;
use rustc_hash::FxHashMap;
use std::collections::hash_map::Entry;
use std::hash::Hash;

/// Boards that are equal but for their names, and what they can be cut into.
#[derive(Clone, Debug)]
pub struct Class {
    /// Each board of the class as (place in the list, copy from 1).
    pub boards: Vec<(usize, u32)>,
    /// How many of them there are to choose from; the others are of no use.
    pub copies: usize,
    /// Cost of one, in units of [`Problem::unit`], rounded down.
    pub cost: i64,
    /// Cost of one, in parts.
    pub parts: i128,
    /// Candidate ways to cut one.
    pub cuts: BoardCuts,
    /// Where its straight-lined sections begin and end beside the places that are always tried.
    pub places: Places,
    /// The most strips that it is hoped to give, wherever sections begin and end: units of cost
    /// leave room for as many.
    pub hoped: i64,
}

/// A job as a choice of boards.
#[derive(Clone, Debug)]
pub struct Problem<'a> {
    /// The job.
    pub job: &'a Job,
    /// The boards on hand.
    pub boards: &'a [Board],
    /// Kinds of strip.
    pub kinds: Vec<StripKind>,
    /// Which kinds serve for which.
    pub families: Families,
    /// Strips to be had of each kind, beside what the rack gives in any case.
    pub to_cut: Tally,
    /// The same as sums.
    pub need: Tally,
    /// What the strips in hand give.
    pub rack: Rack,
    /// How cost is measured.
    pub measure: Measure,
    /// Parts of cost in one unit.
    pub unit: i128,
    /// Every board's cost is a whole number of units.
    pub exact: bool,
    /// How prices of strips are made, if sums of all boards fit into their numbers.
    pub scale: Option<Scale>,
    /// No board was left out, nor the straight-lined sections of bent ones; see [`Problem::holds`].
    pub whole: bool,
    /// Classes of boards that can give a strip at all, in the order of their first boards.
    pub classes: Vec<Class>,
    /// A choice to begin with, which can be cut.
    pub known: Vec<Laid>,
    /// A choice to begin with in its place, as a search gave it (`Solved::chosen`); none if empty.
    pub begun: Vec<(usize, Vec<u32>)>,
    /// No choice costs less, in parts, as was proved before.
    pub proved: i128,
    /// Classes of boards that are not enough together, as a search decided, each as often as it has
    /// boards among them.
    pub refuted: Vec<Vec<usize>>,
    /// Classes of boards of which it is not known whether they are enough, in the same manner.
    pub undecided: Vec<Vec<usize>>,
    /// Ways met of each class by a search before.
    pub met: Vec<Vec<Way>>,
    /// Asks for an end.
    pub stop: Stop,
}

impl<'a> Problem<'a> {
    /// States the choice of so many strips of each kind.
    pub fn new(
        job: &'a Job,
        boards: &'a [Board],
        kinds: Vec<StripKind>,
        wanted: Tally,
        measure: Measure,
    ) -> Self {
        let everything = (&Places::default(), &Stop::default());
        Self::within(job, boards, kinds, wanted, measure, everything)
    }

    /// States the choice, and whatever is asked of the boards later, until it is stopped;
    /// straight-lined sections begin and end at these places too.
    pub fn within(
        job: &'a Job,
        boards: &'a [Board],
        kinds: Vec<StripKind>,
        wanted: Tally,
        measure: Measure,
        (places, stop): (&Places, &Stop),
    ) -> Self {
        let families = Families::of(&kinds);
        let rack = Rack::of(job, &kinds, &wanted, stop);
        let to_cut: Tally =
            wanted.iter().zip(&rack.given).map(|(n, given)| n.saturating_sub(*given)).collect();
        let need = families.sums(&to_cut);
        let rack = rack.in_sums(&families);
        let alike = alike(boards);
        let bent = alike.iter().filter(|b| boards[b[0].0].bent()).count();
        let room = Some(ROOM / bent.clamp(LEAST_BENT, MOST_BENT));
        let places = &Places { room, ..places.clone() };
        let classes: Vec<Class> = alike
            .into_par_iter()
            .map(|boards_of| {
                let first = boards_of[0].0;
                let cuts = BoardCuts::at_places_until_stopped(
                    &boards[first],
                    &job.shop,
                    &kinds,
                    &to_cut,
                    places,
                    stop,
                );
                let copies = of_use(&cuts, &need, boards_of.len());
                let parts = measure.parts(&boards[first]);
                let places = places.clone();
                Class { boards: boards_of, copies, cost: 0, parts, cuts, places, hoped: 0 }
            })
            .collect();
        // Where a board may give more than is listed, that is seen to later.
        let of_use = |c: &Class| !c.cuts.sections.is_empty() || !c.cuts.all_listed();
        let classes = classes.into_iter().filter(of_use).collect();
        let stop = stop.clone();
        let mut problem = Problem {
            job,
            boards,
            kinds,
            families,
            need,
            to_cut,
            rack,
            measure,
            unit: 1,
            exact: true,
            scale: None,
            whole: !places.none,
            classes,
            known: Vec::new(),
            begun: Vec::new(),
            refuted: Vec::new(),
            undecided: Vec::new(),
            proved: 0,
            met: Vec::new(),
            stop,
        };
        problem.whole &= problem.limit(BOARDS);
        problem.count();
        problem
    }

    /// Leaves out copies where there are more boards than so many, from the classes that have
    /// most of them. Returns whether nothing had to be left out.
    fn limit(&mut self, boards: usize) -> bool {
        let all = |classes: &[Class], most: usize| -> usize {
            classes.iter().map(|c| c.copies.min(most)).fold(0, usize::saturating_add)
        };
        let (mut low, mut high) = (0, usize::MAX);
        if all(&self.classes, high) <= boards {
            return true;
        }
        while high - low > 1 {
            let most = low + (high - low) / 2;
            if all(&self.classes, most) <= boards { low = most } else { high = most }
        }
        self.classes.iter_mut().for_each(|c| c.copies = c.copies.min(low));
        false
    }

    /// Chooses the unit and counts costs in it.
    pub fn count(&mut self) {
        let chosen = || self.classes.iter().filter(|c| c.copies > 0);
        let common = chosen().map(|c| c.parts).fold(0, gcd).max(1);
        let copies = |c: &Class| i128::try_from(c.copies).unwrap_or(i128::MAX);
        let all = |unit: i128| -> i128 {
            chosen().fold(0, |sum: i128, c| {
                sum.saturating_add((c.parts / unit).saturating_mul(copies(c)))
            })
        };
        let of_class = |c: &Class| c.cuts.most_strips().max(c.hoped);
        let of_boards = self.classes.iter().map(of_class).max().unwrap_or(0);
        let strips = of_boards.max(self.rack.most_strips());
        let room = Scale::room(strips).max(1);
        let everything = all(1);
        // Rounded up, so that all costs together stay within the room.
        let needed = everything / room + 1;
        let exact = needed <= common;
        let unit = if exact { common } else { needed };
        let scale = Scale::new(all(unit), strips);
        (self.exact, self.unit, self.scale) = (exact, unit, scale);
        for class in &mut self.classes {
            // No more than the room; what has no copies costs nothing, so that programs in floats
            // are scaled by costs that count.
            let parts = if class.copies > 0 { class.parts } else { 0 };
            class.cost = i64::try_from(parts / self.unit).unwrap_or(i64::MAX);
        }
    }

    /// What a choice costs, in parts. Strips in hand, which stand behind the classes, cost nothing.
    pub fn cost(&self, chosen: &[(usize, Vec<u32>)]) -> i128 {
        chosen.iter().filter_map(|(class, _)| self.classes.get(*class)).map(|c| c.parts).sum()
    }

    /// Nothing that could matter was left out, of boards or of the rack, so that bounds hold.
    pub fn holds(&self) -> bool {
        self.whole && self.rack.complete && self.classes.iter().all(|c| c.cuts.complete)
    }

    /// The lots of the choice with how many there are of each: one for each class, by its cuts and
    /// its cost as `of` has them, and those of the rack behind them.
    pub fn lots<'c>(
        &'c self,
        of: impl Fn(usize, &'c Class) -> (&'c BoardCuts, i64),
    ) -> (Vec<Lot<'c>>, Vec<usize>) {
        let boards = self.classes.iter().enumerate().map(|(class, c)| {
            let (cuts, cost) = of(class, c);
            let ways = self.met.get(class).cloned().unwrap_or_default();
            (Lot { cuts: Some(cuts), cost, ways, listed: false }, c.copies)
        });
        boards.chain(self.rack.lots()).unzip()
    }

    /// A choice among lots with so many copies each, for what this problem needs and until it is
    /// stopped. `None` as of [`Cover::new`].
    pub fn cover<'c>(&self, lots: Vec<Lot<'c>>, copies: &[usize]) -> Option<Cover<'c>> {
        Some(Cover::new(self.need.clone(), lots, copies)?.until(&self.stop))
    }

    /// Strips needed of each kind, whatever the rack gives.
    pub fn wanted(&self) -> Tally {
        self.to_cut.iter().zip(&self.rack.given).map(|(n, given)| n + given).collect()
    }

    /// Does a bound show that no choice is cheaper than one that costs so much? Where every cost
    /// is a whole number of units, and always where costs are money, to the last part; else to a
    /// millionth of a board foot.
    pub fn as_good_as(&self, bound: i128, cost: i128) -> bool {
        let trifle = if self.exact { 0 } else { self.measure.one() / FINEST };
        bound >= cost - trifle
    }

    /// Leaves out the boards that cost more than this and counts the others' costs in smaller
    /// units. Returns whether those are smaller by half or more.
    pub fn refine(&mut self, cost: i128) -> bool {
        if self.exact {
            return false;
        }
        let before = self.unit;
        self.classes.iter_mut().filter(|c| c.parts > cost).for_each(|c| c.copies = 0);
        self.count();
        self.unit <= before / 2
    }
}

/// How many copies of a board can be of use: for each kind of strip as many as give all that is
/// needed of it. With those at hand no more of them are opened in a cheapest choice.
fn of_use(cuts: &BoardCuts, need: &[u32], copies: usize) -> usize {
    if copies <= FEW_COPIES || !cuts.all_listed() {
        return copies;
    }
    let mut of_use = 0_usize;
    for (k, &wanted) in need.iter().enumerate().filter(|n| *n.1 > 0) {
        let mut prices = vec![0; need.len()];
        prices[k] = 1;
        let cut = cuts.best(&cuts.value(&prices)).1;
        if let Some(&gives) = cuts.counts(&cut, need.len()).get(k).filter(|&&n| n > 0) {
            of_use = of_use.saturating_add(wanted.div_ceil(gives) as usize);
        } else if cuts.value(&prices).best > 0 {
            // An odd half of a flipped pair, which the board may give beside others.
            of_use = of_use.saturating_add(wanted as usize);
        }
    }
    of_use.min(copies)
}

fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Boards grouped with their equals, in the order of the first of each, as (place, copy from 1).
fn alike(boards: &[Board]) -> Vec<Vec<(usize, u32)>> {
    let mut groups: Vec<Vec<(usize, u32)>> = Vec::new();
    // Looked up only; the groups keep the order of the list.
    let mut known: FxHashMap<_, usize> = FxHashMap::default();
    for (b, board) in boards.iter().enumerate().filter(|b| b.1.quantity > 0) {
        let copies = (1..=board.quantity).map(|c| (b, c));
        match known.entry(wood(board)) {
            Entry::Occupied(group) => groups[*group.get()].extend(copies),
            Entry::Vacant(new) => {
                new.insert(groups.len());
                groups.push(copies.collect());
            }
        }
    }
    groups
}

/// What boards must share to be equal for planning: all that is measured, and what they cost.
fn wood(board: &Board) -> impl Hash + Eq + '_ {
    // Every field is named, so that one that a board learns later is not forgotten here.
    let Board {
        name: _,
        quantity: _,
        grade: _,
        species,
        length,
        width,
        thickness,
        grain,
        crook,
        bow,
        runout,
        rise,
        price,
        edge,
        far_edge,
        board_end,
        offcut,
        zones,
    } = board;
    (
        (species.key(), [length, width, thickness, crook, bow], [edge, far_edge, board_end]),
        (grain, runout, rise, price, offcut, zones),
    )
}

#[cfg(test)]
mod tests {
    use super::alike;
    use crate::length::Length;
    use crate::lumber::board::Rise;
    use crate::lumber::{Board, Species};

    type Change = fn(&mut Board);

    /// Boards that were told apart by size, grain, bends, price and zones only were taken for
    /// equal though one was an offcut, or had an edge of its own.
    #[test]
    fn boards_that_differ_in_anything_but_names_are_not_alike() {
        let inch = |n| Length::inch_fraction(n, 1);
        let board = |name| Board::plain(name, Species::new("fir"), [inch(90), inch(5), inch(1)]);
        let changes: [Change; 9] = [
            |b| b.edge = Some(Length::ZERO),
            |b| b.far_edge = Some(Length::ZERO),
            |b| b.board_end = Some(Length::ZERO),
            |b| b.offcut = true,
            |b| b.crook = Length::inch_fraction(1, 8),
            |b| b.bow = Length::inch_fraction(1, 8),
            |b| b.rise = Some(Rise::Far),
            |b| b.length = Length::inch_fraction(89, 1),
            |b| b.species = Species::new("ash"),
        ];
        for (n, change) in changes.into_iter().enumerate() {
            let mut other = board("b");
            change(&mut other);
            assert_eq!(alike(&[board("a"), other]).len(), 2, "{n}");
        }
        let mut graded = board("c");
        (graded.grade, graded.quantity) = (Some("no. 2".to_owned()), 3);
        let none = Board { quantity: 0, ..board("d") };
        let all = alike(&[none, board("a"), board("b"), graded]);
        assert_eq!(all, [[(1, 1), (2, 1), (3, 1), (3, 2), (3, 3)]]);
    }
}
