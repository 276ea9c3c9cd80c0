//! The job as a choice: kinds of strip, classes of equal boards, whole-number costs.

use crate::cut::BoardCuts;
use crate::cut::ranges::Places;
use crate::lumber::Board;
use crate::paddle::{Job, StripKind, Tally};
use crate::plan::Measure;
use rayon::prelude::*;

/// Boards that are equal but for their names, and what they can be cut into.
#[derive(Clone, Debug)]
pub struct Class {
    /// Each board of the class as (place in the list, copy from 1).
    pub boards: Vec<(usize, u32)>,
    /// Cost of one, in units of [`Problem::unit`].
    pub cost: i64,
    /// Candidate ways to cut one.
    pub cuts: BoardCuts,
    /// Where its straight-lined sections begin and end beside the places that are always tried.
    pub places: Places,
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
    /// Strips needed of each kind.
    pub need: Tally,
    /// How cost is measured.
    pub measure: Measure,
    /// Parts of cost in one unit: every board's cost is a whole number of units.
    pub unit: i128,
    /// Classes of boards that can give a strip at all, in the order of their first boards.
    pub classes: Vec<Class>,
}

impl<'a> Problem<'a> {
    /// States the choice.
    pub fn new(
        job: &'a Job,
        boards: &'a [Board],
        kinds: Vec<StripKind>,
        need: Tally,
        measure: Measure,
    ) -> Self {
        let mut groups: Vec<(usize, Vec<(usize, u32)>)> = Vec::new();
        for (b, board) in boards.iter().enumerate() {
            let copies = (1..=board.quantity).map(|c| (b, c));
            match groups.iter_mut().find(|g| same_wood(&boards[g.0], board)) {
                Some(group) => group.1.extend(copies),
                None => groups.push((b, copies.collect())),
            }
        }
        let unit = boards.iter().map(|b| measure.parts(b)).fold(0, gcd).max(1);
        let classes: Vec<Class> = groups
            .into_par_iter()
            .map(|(first, boards_of)| Class {
                boards: boards_of,
                cost: i64::try_from(measure.parts(&boards[first]) / unit).unwrap_or(i64::MAX / 4),
                cuts: BoardCuts::new(&boards[first], &job.shop, &kinds, &need),
                places: Places::default(),
            })
            // Where a straight-lined section may give more than is listed, that is seen to later.
            .filter(|c| !c.cuts.sections.is_empty() || c.cuts.may_give_more())
            .collect();
        Problem { job, boards, kinds, need, measure, unit, classes }
    }

    /// Did every board's listing of leaves come to an end, so that bounds hold?
    pub fn complete(&self) -> bool {
        self.classes.iter().all(|c| c.cuts.complete)
    }
}

fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Equal but for name and number.
fn same_wood(a: &Board, b: &Board) -> bool {
    (a.length, a.width, a.thickness, a.price) == (b.length, b.width, b.thickness, b.price)
        && (a.grain, a.crook, a.bow, a.runout) == (b.grain, b.crook, b.bow, b.runout)
        && a.species.matches(&b.species)
        && a.rise == b.rise
        && a.zones == b.zones
}
