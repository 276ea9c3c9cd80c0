//! The first sheet of a packet for one builder, or some: his paddle, and from which board each of his
//! strips comes.

use super::{rack, running};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Strip;
use crate::report::draw::blank;
use crate::shop::kept::{Kept, kept, over};
use crate::shop::layout::{Layout, strips};
use crate::shop::words::{counted, near, rough};
use crate::text::plain;
use crate::verify::VerifiedPlan;
use maud::{Markup, PreEscaped, html};

/// Whose packet it is.
pub(super) fn title(job: &Job, whose: &[usize]) -> String {
    let names = whose.iter().filter_map(|&i| job.paddles.get(i)).map(|p| plain(&p.name));
    format!("Sheets for {}", names.collect::<Vec<_>>().join(", "))
}

/// The first sheet; `boards` says whether those of the boards follow.
pub(super) fn cover(
    (plan, job, all): (&VerifiedPlan, &Job, &[Board]),
    layouts: &[Layout<'_>],
    (whose, boards): (&[usize], bool),
    code: &str,
) -> Markup {
    let (title, kept) = (title(job, whose), kept(plan, job, all));
    let body = html! {
        h1 { (title) }
        p {
            "A part of the job's cut sheets: what the boards are cut to for all stands there"
            @if boards { ", and here are the boards that strips of this packet come from" }
            ". Before the first cut and before any glue read the cautions, there and on the sheet Gluing up."
        }
        @for &paddle in whose { (of((plan, job, &kept), layouts, (paddle, boards))) }
    };
    html! { section class="sheet" id="packet" { (running(&title, code, &body)) } }
}

/// A paddle and its strips, board by board.
fn of(
    (plan, job, kept): (&VerifiedPlan, &Job, &[Kept]),
    layouts: &[Layout<'_>],
    (paddle, boards): (usize, bool),
) -> Markup {
    let Some(wanted) = job.paddles.get(paddle) else { return Markup::default() };
    let units = job.units;
    let made = plan.paddles.get(paddle).copied().unwrap_or(0);
    let mine = || layouts.iter().flat_map(|l| strips(l).map(move |of| (l, of)));
    let mine = || mine().filter(|(_, (.., strip))| strip.paddle == paddle);
    html! {
        h3 { (plain(&wanted.name)) ": " (made) @if made != wanted.quantity { " of " (wanted.quantity) } " to make" }
        p {
            "Length " (near(wanted.length, units)) ", loom " (near(wanted.loom, units)) " × " (near(wanted.loom_width(), units))
            ", blade " (near(wanted.blade_width(), units)) ", thickness " (near(wanted.thickness, units)) "."
        }
        @if made == 0 { p { "The plan makes none: no strip is cut or set aside for it." } }
        @else {
            div class="scroll" { (PreEscaped(blank::draw(wanted, paddle, units, false))) }
            h3 { "Where the strips come from: " (counted(mine().count(), "strip")) }
            table class="wide" {
                thead { tr { th { "Strip" } th { "Lamination" } th { "Board" } th { "Piece" } th { "Rough size" } } }
                tbody {
                    @for (layout, (s, r, l, _, strip)) in mine() {
                        (row(layout, (s, r, l), (strip, over(kept, &strip.id)), boards))
                    }
                    @for (i, _) in wanted.laminations.iter().enumerate() {
                        @for name in rack::names(plan, job, paddle, i) {
                            tr { td { b { (name) } } td { (plain(job.names(paddle, i).1)) } td { "on the rack" } td {} td {} }
                        }
                    }
                }
            }
        }
    }
}

/// One strip: the board and the piece of it that it is cut from, and how much deeper than it needs to be
/// it stays until the blank is planed.
fn row(
    layout: &Layout<'_>,
    (s, r, l): (usize, usize, usize),
    (strip, over): (&Strip, Length),
    boards: bool,
) -> Markup {
    let rip = layout.cut.sections.get(s).and_then(|section| section.rips.get(r));
    let size = rip.and_then(|rip| Some(rip.strip_size(rip.leaves.get(l)?)));
    html! {
        tr {
            td { b { (plain(&strip.id)) } }
            td { (plain(layout.job.names(strip.paddle, strip.lamination).1)) }
            td { @if boards { a href=(format!("#board{}", layout.index + 1)) { (layout.title) } } @else { (layout.title) } }
            td { (layout.sections.get(s).map_or_else(String::new, |part| part.leaf_name(r, l))) }
            td { @if let Some((thick, deep)) = size { (rough(&[strip.to - strip.from, thick, deep + over], layout.units())) } }
        }
    }
}
