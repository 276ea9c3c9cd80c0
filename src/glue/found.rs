//! Every strip of a plan with what the glue-up needs of it: cut from a board, or in hand.
//!
//! Of a strip that was measured, by its name in the list of strips in hand, the measures count; of
//! any other what its board foretells.

use crate::glue::signs::{self, OwnBend};
use crate::length::Length;
use crate::lumber::{Board, End, Species, StripInHand};
use crate::paddle::Job;
use crate::plan::{CutBoard, Leaf, Rip, Section, Strip};
use crate::verify::VerifiedPlan;
use std::collections::BTreeMap;

/// A strip of the plan with what the glue-up needs of it.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) id: String,
    /// Its board, unless it was in hand.
    pub(super) board: Option<usize>,
    pub(super) copy: u32,
    pub(super) turned: bool,
    pub(super) species: Species,
    pub(super) own: OwnBend,
    /// As it was weighed, kg/m³.
    pub(super) density: Option<f64>,
    pub(super) added_slope: f64,
    pub(super) flipped_with: Option<String>,
    /// It was cut for this plan and measured since.
    pub(super) anew: bool,
    /// As it counts: measured, or foretold over its board's length.
    pub(super) strip: StripInHand,
}

/// The strips of a plan by (paddle, lamination), cut ones first.
pub(super) fn found(
    plan: &VerifiedPlan,
    job: &Job,
    boards: &[Board],
) -> BTreeMap<(usize, usize), Vec<Found>> {
    let mut found: BTreeMap<(usize, usize), Vec<Found>> = BTreeMap::new();
    let measured: BTreeMap<&str, &StripInHand> =
        job.strips.iter().map(|s| (s.name.as_str(), s)).collect();
    for (cut, section, rip, leaf, strip) in plan.strips() {
        let Some(board) = boards.get(cut.board) else { continue };
        let mut one = of_board((cut, section, rip, leaf, strip), board);
        if let Some(strip) = measured.get(strip.id.as_str()) {
            one.measure(strip);
        }
        found.entry((strip.paddle, strip.lamination)).or_default().push(one);
    }
    for used in &plan.in_hand {
        let Some(strip) = job.strips.get(used.strip) else { continue };
        found.entry((used.paddle, used.lamination)).or_default().push(Found {
            id: strip.name.clone(),
            board: None,
            copy: 1,
            turned: false,
            species: strip.species.clone(),
            own: own(strip),
            density: density(strip),
            added_slope: 0.0,
            flipped_with: used.flipped_with.clone(),
            anew: false,
            strip: strip.clone(),
        });
    }
    found
}

impl Found {
    /// Takes what was measured instead of what was foretold. A rise that was not read off stays
    /// the board's.
    fn measure(&mut self, strip: &StripInHand) {
        let rise = self.own.rise;
        self.own = own(strip);
        if strip.rises.is_none() {
            self.own.rise = rise;
        }
        self.density = density(strip);
        self.strip = strip.clone();
        self.anew = true;
    }
}

fn of_board(
    (cut, section, rip, leaf, strip): (&CutBoard, &Section, &Rip, &Leaf, &Strip),
    board: &Board,
) -> Found {
    let own = OwnBend::of(board, section, rip);
    let (thickness, depth) = rip.strip_size(leaf);
    Found {
        id: strip.id.clone(),
        board: Some(cut.board),
        copy: cut.copy,
        turned: rip.turned,
        species: board.species.clone(),
        own,
        density: None,
        added_slope: signs::added_slope(board, section, [strip.from, strip.to]),
        flipped_with: strip.flipped_with.clone(),
        anew: false,
        // A bend is told over the board's length: the curve is the same.
        strip: StripInHand {
            sidewise: own.sidewise,
            depthwise: own.depthwise,
            ..StripInHand::plain(&strip.id, board.species.clone(), [board.length, thickness, depth])
        },
    }
}

/// A measured strip's own bends and rise.
fn own(strip: &StripInHand) -> OwnBend {
    let rise = match strip.rises {
        Some(End::B) => 1,
        Some(End::A) => -1,
        None => 0,
    };
    OwnBend { sidewise: strip.sidewise, depthwise: strip.depthwise, over: strip.length, rise }
}

/// What a strip that was weighed weighs a cubic metre.
fn density(strip: &StripInHand) -> Option<f64> {
    let volume: f64 =
        [strip.length, strip.thickness, strip.depth].into_iter().map(Length::metres).product();
    strip.weight.filter(|_| volume > 0.0).map(|w| w.kilograms() / volume)
}
