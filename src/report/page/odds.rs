//! The page of odds: chance against boards, a drawing and a table a line.

use crate::lumber::Board;
use crate::odds::Line;
use crate::odds::mix::{Choice, price};
use crate::odds::sample::grade_written;
use crate::paddle::Job;
use crate::report::draw::canvas::{STYLE, r};
use crate::report::text::odds::{headlines, never, numbers, percent, sentences};
use crate::report::text::tables::size;
use crate::text::{plain, together};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Drawing units across and down a picture, and what is kept free at its sides. It is narrow, so
/// that its figures can be read on a phone too.
const WIDE: f64 = 440.0;
const HIGH: f64 = 240.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = 16.0;
const BELOW: f64 = 44.0;
const TOP: f64 = 14.0;

/// What the page of odds adds to the style of all pages.
const OWN: &str = ".odds { break-inside: avoid; margin-top: 1.2em; } .odds .drawing { min-width: 0; max-width: 34rem; } \
    @media print { .sheet.odds { break-before: auto; margin-bottom: 1.6em; } .odds .drawing { max-width: 120mm; } }";

/// The whole page.
pub(crate) fn page(
    (lines, choices): (&[Line], &[Choice]),
    job: &Job,
    (in_hand, yard): (&[Board], &[Board]),
    sure: f64,
) -> String {
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Odds at the yard" }
                style { (PreEscaped(super::CSS)) (PreEscaped(STYLE)) (PreEscaped(OWN)) }
            }
            body {
                h1 { "How many boards to buy" }
                @for text in headlines((lines, choices), job, (in_hand, yard), sure) { p { b { (text) } } }
                @for line in lines { (section(line, job, yard, sure)) }
                p class="quiet" {
                    "Chances are from boards drawn at random from the sample: the boards you marked, of the same wood and grade. The planner tried each pile. Bars show where the true chance lies nineteen times of twenty; the broken line is how sure you asked to be."
                }
            }
        }
    };
    together(&markup.into_string())
}

fn section(line: &Line, job: &Job, yard: &[Board], sure: f64) -> Markup {
    let board = &yard[line.board];
    html! {
        section class="sheet odds" {
            h2 { (plain(&board.name)) ", grade " (plain(&grade_written(board))) }
            p { (plain(board.species.name())) ", " (size(board, job.units)) " " (job.units) }
            @for text in sentences(line, board, sure) { p { (text) } }
            @if !line.chances.is_empty() {
                div class="scroll" { (drawing(line, sure)) }
                table {
                    thead { tr { th class="n" { "Boards" } th class="n" { "Enough" } th class="n" { "Interval" } th class="n" { "Price" } } }
                    tbody {
                        @for (n, chance) in (1..).zip(&line.chances).skip(never(line)) {
                            tr {
                                td class="n" { (numbers(line, n)) @if line.buy == Some(n) { " buy" } }
                                td class="n" { (percent(chance.chance)) }
                                td class="n" { (percent(chance.low)) " to " (percent(chance.high)) }
                                td class="n" { @if let Some(price) = price(board, n).filter(|_| numbers(line, n) == n.to_string()) { (price) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Figures along an axis that don't run into one another: every so many.
fn every(step: f64) -> usize {
    let room = |n: &&usize| f64::from(u32::try_from(**n).unwrap_or(u32::MAX)) * step >= 24.0;
    [1, 2, 5, 10, 20, 50].iter().find(room).copied().unwrap_or(100)
}

/// Chance against boards: intervals as bars, chances joined by a line, the point to buy ringed and
/// named on the axis.
fn drawing(line: &Line, sure: f64) -> Markup {
    let never = never(line);
    #[allow(clippy::cast_precision_loss)] // some hundreds
    let count = (line.chances.len() - never) as f64;
    let step = (WIDE - LEFT - RIGHT) / count.max(1.0);
    #[allow(clippy::cast_precision_loss)]
    let x = |n: usize| r(LEFT + ((n - never) as f64 - 0.5) * step);
    let y = |chance: f64| r(TOP + (HIGH - TOP - BELOW) * (1.0 - chance));
    let shown = || (1..).zip(&line.chances).skip(never);
    let path: Vec<String> = shown().map(|(n, c)| format!("{},{}", x(n), y(c.chance))).collect();
    let every = every(step);
    // Of many points each is small.
    let (dot, cap) = (r((step / 3.0).min(4.0)), (step / 3.0).min(5.0));
    let axis = r(HIGH - BELOW + 17.0);
    html! {
        svg class="drawing" xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" {
            title { "Chance against boards" }
            @for part in [0.0, 0.25, 0.5, 0.75, 1.0] {
                line class="dim" x1=(LEFT) x2=(WIDE - RIGHT) y1=(y(part)) y2=(y(part)) {}
                text x=(LEFT - 6.0) y=(r(y(part) + 4.0)) text-anchor="end" font-size="12" { (percent(part)) }
            }
            line class="keep" x1=(LEFT) x2=(WIDE - RIGHT) y1=(y(sure)) y2=(y(sure)) {}
            @for (n, chance) in shown() {
                line class="cut" x1=(x(n)) x2=(x(n)) y1=(y(chance.low)) y2=(y(chance.high)) {}
                line class="cut" x1=(r(x(n) - cap)) x2=(r(x(n) + cap)) y1=(y(chance.low)) y2=(y(chance.low)) {}
                line class="cut" x1=(r(x(n) - cap)) x2=(r(x(n) + cap)) y1=(y(chance.high)) y2=(y(chance.high)) {}
                @if line.buy == Some(n) {
                    text class="b" x=(x(n)) y=(axis) text-anchor="middle" font-size="13" { (n) }
                    text class="b" x=(x(n)) y=(r(axis + 15.0)) text-anchor="middle" font-size="13" { "buy" }
                } @else if n % every == 0 && line.buy.is_none_or(|buy| buy.abs_diff(n) >= every) {
                    text x=(x(n)) y=(axis) text-anchor="middle" font-size="12" { (n) }
                }
            }
            polyline class="glue" fill="none" points=(path.join(" ")) {}
            @for (n, chance) in shown() {
                circle class="dot" cx=(x(n)) cy=(y(chance.chance)) r=(dot) {}
                @if line.buy == Some(n) {
                    circle class="mark" fill="none" cx=(x(n)) cy=(y(chance.chance)) r="8" {}
                }
            }
            // Bars may run through it: it stands on white.
            text class="b" x=(LEFT + 4.0) y=(r(y(sure) - 4.0)) font-size="12" stroke="#fff" stroke-width="4" paint-order="stroke" { (percent(sure)) " wanted" }
            text x=(LEFT - 6.0) y=(r(axis + 12.0)) text-anchor="end" font-size="12" { "boards" }
        }
    }
}
