//! A sheet to write measurements on: what was foretold of each strip that is cut, beside an empty
//! box. The boxes are the columns of strips.csv (MODEL 10).

use crate::glue::signs::OwnBend;
use crate::length::Length;
use crate::lumber::{Angle, Bend, Board, Grain};
use crate::paddle::Job;
use crate::plan::{CutBoard, Leaf, Rip, Section, Strip};
use crate::shop::kept;
use crate::shop::words::{near, upward};
use crate::verify::VerifiedPlan;

/// A strip to be measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Its name.
    pub strip: String,
    /// Its paddle's place in the job.
    pub paddle: usize,
    /// Its paddle and its lamination.
    pub whom: [String; 2],
    /// What is foretold of each column of [`COLUMNS`].
    pub foretold: [String; 7],
}

/// What is measured, as the columns of strips.csv name it.
pub const COLUMNS: [&str; 7] =
    ["length", "thickness", "depth", "rings", "sidewise", "depthwise", "rises"];

/// How each is measured, a sentence each.
pub const HOW: [&str; 5] = [
    "Lay the strip name up with its arrow pointing to A, as it will be called from now on.",
    "Sidewise: stretch a thread along the middle of its upper face from end to end. The greatest gap between thread and middle is the bend; + where the middle stands off to the right as you look from A to B.",
    "Depthwise: hold a straightedge or thread to its upper face. + where the upper face is hollow; where it is crowned, measure the lower face, and write −.",
    "Rises: A or B, the end towards which the grain comes up to the upper face; look at a glue face, or shave the upper face both ways: the plane runs smooth uphill with the grain.",
    "Weigh it if you can. A box that stays empty: not measured; a bend of nothing may be left empty too.",
];

/// A row for every strip that the plan cuts, in the order of its boards.
pub fn rows(plan: &VerifiedPlan, job: &Job, boards: &[Board]) -> Vec<Row> {
    let kept = kept::kept(plan, job, boards);
    let one = |of: (&CutBoard, &Section, &Rip, &Leaf, &Strip)| {
        Some(row(job, boards.get(of.0.board)?, of, kept::over(&kept, &of.4.id)))
    };
    plan.strips().filter_map(one).collect()
}

fn row(
    job: &Job,
    board: &Board,
    (_, section, rip, leaf, strip): (&CutBoard, &Section, &Rip, &Leaf, &Strip),
    over: Length,
) -> Row {
    let units = job.units;
    let (paddle, lamination) = job.names(strip.paddle, strip.lamination);
    let long = strip.to - strip.from;
    let (thick, deep) = rip.strip_size(leaf);
    // As it lies, name up.
    let own = OwnBend::of(board, section, rip);
    let bend = |gap: Length| {
        // To the step of the bench sheet, which tells the same bends.
        let exact = Bend { gap, over: own.over }.loss(long);
        let over = exact.nearest(Length::fine_step(units));
        let sign = match gap.units().signum() {
            _ if over == Length::ZERO => "",
            1 => "+",
            _ => "−",
        };
        format!("{sign}{}", near(over, units))
    };
    // As labels have them, and so that a strip that measures what stands here fits.
    let sawn = |size: Length| upward(size, units).with_unit(units);
    let rings = match board.grain {
        Some(Grain::Rings(angle)) => {
            let angle: Angle = if rip.turned { angle.turned() } else { angle };
            angle.to_string()
        }
        _ => String::new(),
    };
    let rises = match own.rise {
        1 => "B",
        -1 => "A",
        _ => "",
    };
    Row {
        strip: strip.id.clone(),
        paddle: strip.paddle,
        whom: [paddle.to_owned(), lamination.to_owned()],
        foretold: [
            sawn(long),
            sawn(thick),
            sawn(deep + over),
            rings,
            bend(own.sidewise),
            bend(own.depthwise),
            rises.to_owned(),
        ],
    }
}
