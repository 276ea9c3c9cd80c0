//! Strips in hand on the page, and the sheet to write measurements on.

use super::running;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::InHand;
use crate::report::Pages;
use crate::shop::measure::{COLUMNS, HOW, Row, rows};
use crate::shop::words::{counted, near, rough};
use crate::text::plain;
use crate::verify::VerifiedPlan;
use maud::{Markup, html};

/// Names of strips in hand that go into a lamination.
pub(super) fn names(
    plan: &VerifiedPlan,
    job: &Job,
    paddle: usize,
    lamination: usize,
) -> Vec<String> {
    let of = |used: &&InHand| (used.paddle, used.lamination) == (paddle, lamination);
    let name = |used: &InHand| job.strips.get(used.strip).map(|s| plain(&s.name));
    plan.in_hand.iter().filter(of).filter_map(name).collect()
}

/// How many strips come from the rack, as a sentence.
pub(super) fn sentence(plan: &VerifiedPlan) -> Markup {
    html! {
        @if !plan.in_hand.is_empty() {
            p { b { (counted(plan.in_hand.len(), "strip")) } " from the rack: cut already, and they cost nothing. The labels say which." }
        }
    }
}

/// Labels of strips in hand, beside those to write.
pub(super) fn labels(plan: &VerifiedPlan, job: &Job, pages: &Pages) -> Vec<Markup> {
    let units = job.units;
    let one = |used: &InHand| {
        let strip = job.strips.get(used.strip)?;
        Some(html! {
            div class="label" {
                b { "◂ " (plain(&strip.name)) }
                (super::whom::whom(job, used.paddle, used.lamination))
                (rough(&[strip.length, strip.thickness, strip.depth], units)) br;
                "on the rack"
                @for (what, bend) in [("sidewise", strip.sidewise), ("depthwise", strip.depthwise)] {
                    @if bend != Length::ZERO { ", " (what) " " (signed(bend, units)) }
                }
                @if let Some(mate) = &used.flipped_with {
                    br; "flipped pair with " (plain(mate))
                }
            }
        })
    };
    plan.in_hand.iter().filter(|used| pages.serves(used.paddle)).filter_map(one).collect()
}

fn signed(bend: Length, units: crate::length::Units) -> String {
    let sign = if bend < Length::ZERO { "−" } else { "+" };
    format!("{sign}{}", near(bend.abs(), units))
}

/// A sheet to write measurements on: a row a strip that is cut, what is foretold above an empty
/// box.
pub(super) fn measures(
    (plan, job, boards): (&VerifiedPlan, &Job, &[Board]),
    pages: &Pages,
    code: &str,
) -> Markup {
    let mut rows = rows(plan, job, boards);
    rows.retain(|row| pages.serves(row.paddle));
    let body = html! {
                h2 { "Measured strips" }
                p class="quiet" {
                    "When the strips are off the saw, sight along each and write down what you find. "
                    "Above each box stands what was foretold. Type them into a file with these columns and "
                    "glue them up by what they are: stripwright glue PLAN.json --strips FILE."
                }
                ul class="plain" { @for line in HOW { li { (line) } } }
                div class="scroll" {
                    table class="measures" {
                        thead { tr {
                            th { "strip" } th { "paddle" } th { "lamination" }
                            @for column in COLUMNS { th { (column) } }
                            th { "weight" }
                        } }
                        // The last rows stay together: no page bears one alone.
                        @let (most, last) = rows.split_at(rows.len().saturating_sub(10));
                        tbody { @for row in most { (measured(row)) } }
                        tbody class="whole" { @for row in last { (measured(row)) } }
                    }
                }
    };
    html! {
        @if !rows.is_empty() {
            section class="sheet" id="measures" { (running("Measured strips", code, &body)) }
        }
    }
}

fn measured(row: &Row) -> Markup {
    html! {
        tr {
            td { b { (plain(&row.strip)) } }
            @for name in &row.whom { td { (plain(name)) } }
            @for foretold in &row.foretold {
                td class="measure" { span class="foretold" { (foretold) } span class="blank" {} }
            }
            td class="measure" { span class="blank" {} }
        }
    }
}
