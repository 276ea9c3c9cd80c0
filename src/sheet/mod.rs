//! Sheets to take to the saw.

mod axis;
mod blank;
mod board;
mod canvas;
mod caution;
mod end;
mod fence;
mod kinds;
mod layout;
mod page;
mod stack;
mod steps;
mod text;
mod words;

use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Plan;

pub use caution::ALWAYS;
pub use steps::{Action, BoardSteps, Stage, Step, StepGroup, StepLine, steps};
pub use text::text;

/// One self-contained page: cover, a sheet for each board, labels, bench sheets.
pub fn html(plan: &Plan, job: &Job, boards: &[Board]) -> String {
    page::page(plan, job, boards, &[])
}

/// Every drawing as a file of its own: its name and its SVG text.
pub fn svgs(plan: &Plan, job: &Job, boards: &[Board]) -> Vec<(String, String)> {
    let layouts = layout::Layout::all(plan, job, boards);
    let signs = kinds::signs(layouts.iter().map(|l| l.board));
    let blanks = job
        .paddles
        .iter()
        .enumerate()
        .map(|(i, p)| (format!("blank-{}.svg", i + 1), blank::draw(p, i, job.units, true)));
    let drawn = layouts
        .iter()
        .map(|l| (format!("board-{}.svg", l.index + 1), board::draw(l, &signs, true)));
    blanks.chain(drawn).collect()
}
