//! Looking for ways of a crooked board over ranges of places, and halving those.

use crate::cut::board::{BoardCuts, SectionCuts};
use crate::cut::ranges::{Places, middle};
use crate::cut::value::Cut;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Families, Shop, StripKind};
use crate::stop::Stop;

/// Ranges this narrow are not halved any more: a tape reads no finer.
pub const TAPE: Length = Length::inch_fraction(1, 64);
/// Steps that deciding one way may take.
pub const DECIDE: u64 = 1_000_000;
/// Places tried within a range.
const STEPS: i64 = 4;
/// Rounds of halving for one way, and marks.
const ROUNDS: usize = 40;
const MARKS: usize = 160;

impl Places {
    /// Adds the places of a cut's straight-lined sections.
    pub fn add(&mut self, cuts: &BoardCuts, cut: &Cut) {
        for section in lined(cuts, cut) {
            self.starts.insert(section.from);
            self.ends.insert(section.to);
        }
    }

    /// Adds places to try within the ranges of a cut's straight-lined sections: their ends, and
    /// what parts them in equal steps.
    pub fn add_within(&mut self, cuts: &BoardCuts, cut: &Cut) {
        let step = |from: Length, to: Length, i: i64| {
            from + Length::from_units((to - from).units() * i / STEPS)
        };
        for section in lined(cuts, cut) {
            let (latest, longest) = section.reach;
            self.starts.extend((0..=STEPS).map(|i| step(section.from, latest, i)));
            self.ends.extend((0..=STEPS).map(|i| step(section.to, longest, i)));
            // As late as its strips can begin in the longest of them.
            let late = section.from + (longest - section.to);
            self.starts.extend([late].into_iter().filter(|&s| s <= latest));
        }
    }

    /// Halves the ranges of a cut's straight-lined sections; false if all are at `least` already.
    pub fn halve(&mut self, cuts: &BoardCuts, cut: &Cut, least: Length) -> bool {
        let mut halved = false;
        for section in lined(cuts, cut) {
            let (latest, longest) = section.reach;
            if latest - section.from > least {
                halved |= self.starts.insert(middle(section.from, latest));
            }
            if longest - section.to > least {
                halved |= self.ends.insert(middle(section.to, longest));
            }
        }
        halved
    }
}

fn lined<'a>(cuts: &'a BoardCuts, cut: &'a Cut) -> impl Iterator<Item = &'a SectionCuts> {
    cut.iter().map(|chosen| &cuts.sections[chosen.section as usize]).filter(|s| s.mode.lined)
}

/// A board, and what it is to be cut into.
#[derive(Clone, Copy, Debug)]
pub struct Of<'a> {
    /// The board.
    pub board: &'a Board,
    /// The shop.
    pub shop: &'a Shop,
    /// Kinds of strip.
    pub kinds: &'a [StripKind],
    /// Asks for an end.
    pub stop: &'a Stop,
}

/// What came of looking for a way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sought {
    /// It can be cut with the places given.
    Known,
    /// It can be cut with these places.
    Found(Places),
    /// It can't be cut, wherever sections begin and end.
    Refuted,
    /// Neither is known.
    Undecided,
}

impl Of<'_> {
    /// The board's ways with these places.
    pub fn cuts(&self, wanted: &[u32], places: &Places) -> BoardCuts {
        BoardCuts::at_places_until_stopped(
            self.board, self.shop, self.kinds, wanted, places, self.stop,
        )
    }

    /// Strips of each kind, from sums.
    fn counts(&self, way: &[u32]) -> Vec<u32> {
        Families::of(self.kinds).counts(way)
    }

    /// Places, more than those given, with which the board gives a way that `cut` has over ranges.
    pub fn within(
        &self,
        way: &[u32],
        places: &Places,
        cuts: &BoardCuts,
        cut: &Cut,
    ) -> Option<Places> {
        let mut tried = places.clone();
        tried.add_within(cuts, cut);
        let trial = self.cuts(&self.counts(way), &tried);
        let real = trial.decide(way, DECIDE).flatten()?;
        let mut more = places.clone();
        more.add(&trial, &real);
        Some(more)
    }

    /// Looks for one way: within the ranges where it could be cut, which are halved until it is
    /// found or certain not to be there.
    pub fn seek(
        &self,
        way: &[u32],
        places: &Places,
        marks: &mut Places,
        stop: &dyn Fn() -> bool,
    ) -> Sought {
        let counts = self.counts(way);
        if self.cuts(&counts, places).decide(way, DECIDE).flatten().is_some() {
            return Sought::Known;
        }
        for _ in 0..ROUNDS {
            let hoped = self.cuts(&counts, marks);
            if stop() || !hoped.complete {
                break;
            }
            let cut = match hoped.decide(way, DECIDE) {
                Some(Some(cut)) => cut,
                Some(None) => return Sought::Refuted,
                None => break,
            };
            if let Some(more) = self.within(way, places, &hoped, &cut) {
                return Sought::Found(more);
            }
            let many = marks.starts.len() + marks.ends.len() > MARKS;
            if many || !marks.halve(&hoped, &cut, TAPE) {
                break;
            }
        }
        Sought::Undecided
    }
}
