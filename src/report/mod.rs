//! Sheets to take to the saw.

pub mod csv;
mod draw;
pub mod json;
mod kinds;
mod page;
pub mod text;
mod text_width;

use crate::lumber::Board;
use crate::paddle::Job;
use crate::shop::bench::BenchSheet;
use crate::shop::layout;
use crate::verify::VerifiedPlan;
use draw::{blank, board, stack};

/// One self-contained page: cover, a sheet for each board, labels, bench sheets.
pub fn html(plan: &VerifiedPlan, job: &Job, boards: &[Board], bench: &[BenchSheet]) -> String {
    page::page(plan, job, boards, bench)
}

/// Every drawing as a file of its own: its name and its SVG text.
pub fn svgs(
    plan: &VerifiedPlan,
    job: &Job,
    boards: &[Board],
    bench: &[BenchSheet],
) -> Vec<(String, String)> {
    let layouts = layout::Layout::all(plan, job, boards);
    let signs = kinds::signs(layouts.iter().map(|l| l.board));
    let mut out = Vec::new();
    for (i, paddle) in job.paddles.iter().enumerate() {
        let name = format!("blank-{}.svg", i + 1);
        out.push((name, blank::draw(paddle, i, job.units, true)));
    }
    for layout in &layouts {
        let name = format!("board-{}.svg", layout.index + 1);
        out.push((name, board::draw(layout, &signs, true)));
    }
    for (i, sheet) in bench.iter().enumerate() {
        let name = format!("stack-{}.svg", i + 1);
        out.push((
            name,
            stack::draw(&sheet.stack, &format!("s{i}"), &page::bench_title(sheet), true),
        ));
    }
    out
}
