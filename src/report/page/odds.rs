//! The page of odds: chance against boards, a drawing and a table a line.

use crate::lumber::Board;
use crate::odds::Line;
use crate::odds::mix::{Choice, price};
use crate::odds::sample::grade_of;
use crate::paddle::Job;
use crate::report::draw::canvas::{STYLE, WIDTH, r};
use crate::report::text::odds::{cheapest, percent, sentences};
use crate::report::text::tables::size;
use crate::text::{plain, together};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Drawing units down a picture, and what its axes take at the left and below.
const HIGH: f64 = 260.0;
const LEFT: f64 = 64.0;
const BELOW: f64 = 46.0;
const TOP: f64 = 16.0;

/// The whole page.
pub(crate) fn page(
    (lines, choices): (&[Line], &[Choice]),
    job: &Job,
    yard: &[Board],
    sure: f64,
) -> String {
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Odds at the yard" }
                style { (PreEscaped(super::CSS)) (PreEscaped(STYLE)) }
            }
            body {
                @for line in lines { (section(line, job, yard, sure)) }
                @for text in cheapest(choices, lines, yard, sure) { p { b { (text) } } }
                p class="quiet" {
                    "Chances are from boards drawn at random from marked ones of the same wood and grade, each pile tried by the planner. Bars show where the true chance lies nineteen times of twenty."
                }
            }
        }
    };
    together(&markup.into_string())
}

fn section(line: &Line, job: &Job, yard: &[Board], sure: f64) -> Markup {
    let board = &yard[line.board];
    html! {
        section class="sheet" {
            h2 { (plain(&board.name)) ", grade " (plain(&grade_of(board).unwrap_or_default())) }
            p { (plain(board.species.name())) ", " (size(board, job.units)) " " (job.units) }
            @for text in sentences(line, board, sure) { p { (text) } }
            @if !line.chances.is_empty() {
                div class="scroll" { (drawing(line, sure)) }
                table {
                    thead { tr { th class="n" { "Boards" } th class="n" { "Enough" } th class="n" { "Interval" } th class="n" { "Price" } } }
                    tbody {
                        @for (n, chance) in (1..).zip(&line.chances) {
                            tr {
                                td class="n" { (n) @if line.buy == Some(n) { " buy" } }
                                td class="n" { (percent(chance.chance)) }
                                td class="n" { (percent(chance.low)) " to " (percent(chance.high)) }
                                td class="n" { @if let Some(price) = price(board, n) { (price) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Chance against boards: intervals as bars, chances joined by a line, the point to buy ringed.
fn drawing(line: &Line, sure: f64) -> Markup {
    #[allow(clippy::cast_precision_loss)] // some dozens
    let count = line.chances.len() as f64;
    let step = (WIDTH - LEFT - 24.0) / count.max(1.0);
    #[allow(clippy::cast_precision_loss)]
    let x = |n: usize| r(LEFT + (n as f64 - 0.5) * step);
    let y = |chance: f64| r(TOP + (HIGH - TOP - BELOW) * (1.0 - chance));
    let path: Vec<String> =
        (1..).zip(&line.chances).map(|(n, c)| format!("{},{}", x(n), y(c.chance))).collect();
    // Figures below that don't run into one another.
    let every = if step < 16.0 { 5 } else { 1 };
    html! {
        svg class="drawing" xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {WIDTH} {HIGH}")) role="img" {
            title { "Chance against boards" }
            @for tenth in [0.0, 0.25, 0.5, 0.75, 1.0] {
                line class="dim" x1=(LEFT) x2=(WIDTH - 24.0) y1=(y(tenth)) y2=(y(tenth)) {}
                text x=(LEFT - 8.0) y=(r(y(tenth) + 4.0)) text-anchor="end" font-size="12" { (percent(tenth)) }
            }
            line class="keep" x1=(LEFT) x2=(WIDTH - 24.0) y1=(y(sure)) y2=(y(sure)) {}
            @for (n, chance) in (1..).zip(&line.chances) {
                line class="cut" x1=(x(n)) x2=(x(n)) y1=(y(chance.low)) y2=(y(chance.high)) {}
                line class="cut" x1=(r(x(n) - 5.0)) x2=(r(x(n) + 5.0)) y1=(y(chance.low)) y2=(y(chance.low)) {}
                line class="cut" x1=(r(x(n) - 5.0)) x2=(r(x(n) + 5.0)) y1=(y(chance.high)) y2=(y(chance.high)) {}
                @if n % every == 0 || line.buy == Some(n) {
                    text x=(x(n)) y=(r(HIGH - BELOW + 18.0)) text-anchor="middle" font-size="12" { (n) }
                }
            }
            polyline class="glue" fill="none" points=(path.join(" ")) {}
            @for (n, chance) in (1..).zip(&line.chances) {
                circle class="dot" cx=(x(n)) cy=(y(chance.chance)) r="4" {}
                @if line.buy == Some(n) {
                    circle class="mark" fill="none" cx=(x(n)) cy=(y(chance.chance)) r="9" {}
                    text class="t b" x=(r(x(n) - 13.0)) y=(r(y(chance.chance) + 22.0)) text-anchor="end" font-size="13" { "buy " (n) }
                }
            }
            text x=(r((LEFT + WIDTH - 24.0) / 2.0)) y=(HIGH - 8.0) text-anchor="middle" font-size="12" { "boards" }
        }
    }
}
