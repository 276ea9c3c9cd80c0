//! Sheets to take to the saw.

pub mod csv;
mod draw;
pub mod json;
mod kinds;
pub mod odds_json;
mod page;
mod pages;
pub mod text;
mod text_width;

use crate::lumber::Board;
use crate::paddle::Job;
use crate::shop::bench::BenchSheet;
use crate::shop::layout;
use crate::verify::VerifiedPlan;
use draw::{blank, board, stack};
pub use page::likely_card::LikelyShown;
pub use pages::{Pages, Part};
use rayon::prelude::*;
use std::fmt;

/// Bench sheets that are made one at a time, since of thousands all together take much room.
pub struct Benches<'a> {
    /// How many there are.
    pub count: usize,
    /// One of them.
    pub sheet: &'a (dyn Fn(usize) -> Option<BenchSheet> + Sync),
}

impl Benches<'_> {
    /// Looks at every sheet, by as many threads as there are, and puts what was seen together.
    fn seen<T: Send>(
        &self,
        look: impl Fn(&BenchSheet) -> T + Sync + Send,
        both: impl Fn(T, T) -> T + Sync + Send,
    ) -> Option<T> {
        let sheets = (0..self.count).into_par_iter().filter_map(|i| (self.sheet)(i));
        sheets.map(|sheet| look(&sheet)).reduce_with(both)
    }
}

/// Is told how many of all sheets are done.
pub type Told<'a> = &'a mut dyn FnMut(usize, usize);

/// Sheets that are made at a time, by as many threads as there are.
const AT_A_TIME: usize = 64;

/// Makes one thing after another and takes them in their order.
fn each<T: Send>(
    count: usize,
    make: impl Fn(usize) -> Option<T> + Sync,
    mut take: impl FnMut(usize, T) -> fmt::Result,
) -> fmt::Result {
    for from in (0..count).step_by(AT_A_TIME) {
        let to = count.min(from + AT_A_TIME);
        let made: Vec<Option<T>> = (from..to).into_par_iter().map(&make).collect();
        for (i, one) in (from..to).zip(made) {
            one.map_or(Ok(()), |one| take(i, one))?;
        }
    }
    Ok(())
}

/// One self-contained page: the job, a sheet for each board, labels, how to glue, bench sheets.
pub fn html(plan: &VerifiedPlan, job: &Job, boards: &[Board], bench: &[BenchSheet]) -> String {
    let mut out = String::new();
    let benches = Benches { count: bench.len(), sheet: &|i| bench.get(i).cloned() };
    // Writing to memory does not fail.
    let of = (plan, job, boards);
    let _ = html_in_pieces(of, &benches, &Pages::default(), &mut out, &mut |_, _| {});
    out
}

/// The page of odds at a yard: a picture and a table for each of its lines. `boards` are those in
/// hand and those of the yard.
pub fn odds_html(
    of: (&[crate::odds::Line], &[crate::odds::mix::Choice]),
    job: &Job,
    boards: (&[Board], &[Board]),
    sure: f64,
) -> String {
    page::odds::page(of, job, boards, sure)
}

/// What to look for at the rack, on cards for the pocket.
pub fn look_cards(looks: &[crate::survey::look::Look], job: &Job) -> String {
    page::rack_cards::look(looks, job)
}

/// What each board gives by itself, on cards for the pocket, with the names of boards that were not
/// looked at.
pub fn survey_cards(
    of: (&[crate::survey::BoardSurvey], &[String]),
    job: &Job,
    boards: &[Board],
) -> String {
    page::rack_cards::survey(of, job, boards)
}

/// What to buy, with likely boards and what else might be, on cards for the pocket. Where no plan
/// was found there are likely boards alone.
pub fn purchase_cards(
    of: Option<(&VerifiedPlan, &crate::survey::buy::Purchase)>,
    likely: Option<LikelyShown<'_>>,
    job: &Job,
    then: &[String],
) -> String {
    page::rack_cards::purchase(of, likely, job, then)
}

/// Boards as they were understood, to hold beside the wood, with what `check` warns of.
///
/// # Errors
/// That of `out`.
pub fn understood_in_pieces(
    of: (&Job, &[Board]),
    warnings: &[String],
    out: &mut dyn fmt::Write,
    told: Told<'_>,
) -> fmt::Result {
    page::understood::page(of, warnings, out, told)
}

/// As [`html`], of the parts that were chosen, written piece by piece.
///
/// # Errors
/// That of `out`.
pub fn html_in_pieces(
    of: (&VerifiedPlan, &Job, &[Board]),
    bench: &Benches<'_>,
    pages: &Pages,
    out: &mut dyn fmt::Write,
    told: Told<'_>,
) -> fmt::Result {
    page::page(of, bench, pages, out, told)
}

/// Every drawing as a file of its own: its name and its SVG text.
pub fn svgs(
    plan: &VerifiedPlan,
    job: &Job,
    boards: &[Board],
    bench: &[BenchSheet],
) -> Vec<(String, String)> {
    let mut out = Vec::new();
    let benches = Benches { count: bench.len(), sheet: &|i| bench.get(i).cloned() };
    // Keeping them does not fail.
    let _ = svgs_one_by_one((plan, job, boards), &benches, &mut |_, _| {}, |name, svg| {
        out.push((name.to_owned(), svg.to_owned()));
        Ok(())
    });
    out
}

/// The same, one after another.
///
/// # Errors
/// That of `take`, which is given names and texts.
pub fn svgs_one_by_one(
    (plan, job, boards): (&VerifiedPlan, &Job, &[Board]),
    bench: &Benches<'_>,
    told: Told<'_>,
    mut take: impl FnMut(&str, &str) -> fmt::Result,
) -> fmt::Result {
    let layouts = layout::Layout::all(plan, job, boards);
    let signs = kinds::signs(layouts.iter().map(|l| l.board));
    let all = layouts.len() + bench.count;
    for (i, paddle) in job.paddles.iter().enumerate() {
        take(&format!("blank-{}.svg", i + 1), &blank::draw(paddle, i, job.units, true))?;
    }
    let drawn = |i: usize| {
        let layout = layouts.get(i)?;
        Some((layout.index, board::draw(layout, &signs, true)))
    };
    each(layouts.len(), drawn, |i, (index, svg)| {
        told(i, all);
        take(&format!("board-{}.svg", index + 1), &svg)
    })?;
    let drawn = |i: usize| {
        let sheet = (bench.sheet)(i)?;
        Some(stack::draw(&sheet.stack, &format!("s{i}"), &page::bench_title(&sheet), true))
    };
    each(bench.count, drawn, |i, svg| {
        told(layouts.len() + i, all);
        take(&format!("stack-{}.svg", i + 1), &svg)
    })
}
