//! The page: the job, a sheet for each board, labels, the bench. Everything in one file, nothing to
//! fetch. One small script remembers what was ticked; the page reads and prints without it.

mod bench;
mod card;
mod labels;
pub(crate) mod likely_card;
pub(crate) mod odds;
mod packet;
mod rack;
pub(crate) mod rack_cards;
mod ticks;
mod tight;
pub(crate) mod understood;
mod whom;

use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::{Job, Paddle};
use crate::report::draw::board::keep_size;
use crate::report::draw::canvas::STYLE;
use crate::report::draw::{blank, board};
use crate::report::kinds::{self, Sign};
use crate::report::text::proof::{cost_in, proved};
use crate::report::text::tables::volume_told;
use crate::report::text_width::clip;
use crate::report::{Benches, Pages, Part, Told, each};
use crate::shop::caution::ALWAYS;
use crate::shop::code::code;
use crate::shop::defaults::defaults;
use crate::shop::layout::{Layout, strips};
use crate::shop::offcuts::{Keep, Place};
use crate::shop::steps::{StepGroup, StepLine, of_layout};
use crate::shop::totals::{Totals, shares, totals};
use crate::shop::words::{about, by, counted, near};
use crate::text::{plain, together};
use crate::verify::VerifiedPlan;
use bench::Shared;
pub(crate) use bench::title as bench_title;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use ticks::Ticked;
use tight::Print;

/// The rules of the page.
const CSS: &str = include_str!("page.css");

/// The parts of the page that were chosen, sheet by sheet: of thousands it is far longer than what
/// it is made from.
pub(crate) fn page(
    (plan, job, boards): (&VerifiedPlan, &Job, &[Board]),
    bench: &Benches<'_>,
    pages: &Pages,
    out: &mut dyn std::fmt::Write,
    told: Told<'_>,
) -> std::fmt::Result {
    let mut layouts = Layout::all(plan, job, boards);
    let signs = kinds::signs(layouts.iter().map(|l| l.board));
    layouts.retain(|l| {
        strips(l).any(|(.., strip)| pages.serves(strip.paddle)) || pages.whose().is_none()
    });
    let name = match pages.whose() {
        Some(whose) => packet::title(job, whose),
        None => format!("Cut sheets: {}", title(job)),
    };
    let head = html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            title { (name) }
            style { (PreEscaped(CSS)) (PreEscaped(STYLE)) }
        }
    };
    let mut out = Ticked::new(out);
    // No line ends inside a fraction, wherever it stands. Pieces begin and end with a tag.
    let text = |markup: Markup| together(&markup.into_string());
    out.write_str(&text(html! { (DOCTYPE) }))?;
    out.write_str("<html lang=\"en\">")?;
    out.write_str(&text(head))?;
    out.write_str("<body>")?;
    let code = code(plan, job, boards);
    let (on_boards, on_bench) = (pages.has(Part::Boards), pages.has(Part::Bench));
    let count = |asked: bool, count: usize| if asked { count } else { 0 };
    let (sawn, glued) = (count(on_boards, layouts.len()), count(on_bench, bench.count));
    if let Some(whose) = pages.whose().filter(|_| pages.has(Part::Job)) {
        out.write_str(&text(packet::cover(
            (plan, job, boards),
            &layouts,
            (whose, on_boards),
            &code,
        )))?;
        if on_boards {
            out.write_str(&text(reading(job.units)))?;
        }
    } else if pages.has(Part::Job) {
        out.write_str(&text(cover(
            (plan, job, boards),
            &layouts,
            defaults(job, boards),
            (on_boards, &code),
        )))?;
    } else if on_boards {
        out.write_str(&text(reading(job.units)))?;
    }
    let board = |i: usize| layouts.get(i).map(|layout| text(sheet(layout, &signs, &code)));
    each(sawn, board, |i, page| {
        told(i, sawn + glued);
        out.write_str(&page)
    })?;
    if pages.has(Part::Labels) {
        out.write_str(&text(labels::labels((plan, job, boards), &layouts, pages, &code)))?;
    }
    if pages.has(Part::Measures) {
        out.write_str(&text(rack::measures((plan, job, boards), pages, &code)))?;
    }
    let shared = Shared::of(bench, pages);
    out.write_str(&text(shared.sheet(&code)))?;
    let bench_page =
        |i: usize| (bench.sheet)(i).map(|one| text(bench::sheet(i, &one, &shared, &code)));
    each(glued, bench_page, |i, page| {
        told(sawn + i, sawn + glued);
        out.write_str(&page)
    })?;
    out.finish()
}

/// What a section of the page holds, with a head for every printed page of it but the first: loose
/// sheets at the bench say whose they are. It is the head of a table, which browsers print again on
/// each page; page.css puts the first one beyond the section's edge, where it is not seen. On a screen
/// there is none. On every sheet stands the plan's `code`.
pub(super) fn running(title: &str, code: &str, body: &Markup) -> Markup {
    let again = format!("{}, continued", clip(title, 90));
    html! {
        div class="run" {
            div class="again" aria-hidden="true" { div { div { (plan_code(code)) ": " (again) } } }
            div class="body" { div { div { p class="code" { (plan_code(code)) } (body) } } }
        }
    }
}

/// A plan's code, as it stands on sheets.
fn plan_code(code: &str) -> String {
    format!("plan {code}")
}

fn title(job: &Job) -> String {
    let names: Vec<String> = job.paddles.iter().map(|p| plain(&p.name)).collect();
    names.join(", ")
}

fn cover(
    (plan, job, all): (&VerifiedPlan, &Job, &[Board]),
    layouts: &[Layout<'_>],
    taken: Option<String>,
    (boards, code): (bool, &str),
) -> Markup {
    let units = job.units;
    let made = |i: usize| plan.paddles.get(i).copied().unwrap_or(0);
    let title = format!("Cut sheets: {}", title(job));
    let body = html! {
            h1 { (title) }
            table {
                thead { tr { th { "Paddle" } th { "To make" } th { "Length" } th { "Loom" } th { "Blade" } th { "Thick" } } }
                tbody {
                    @for (i, p) in job.paddles.iter().enumerate() {
                        tr {
                            td { (plain(&p.name)) }
                            td { (made(i)) @if made(i) != p.quantity { " of " (p.quantity) } }
                            td { (near(p.length, units)) }
                            td { (near(p.loom, units)) " × " (near(p.loom_width(), units)) }
                            td { (near(p.blade_width(), units)) }
                            td { (near(p.thickness, units)) }
                        }
                    }
                }
            }
            p { b { (cost_in(plan.cost, units)) ". " } (proved(plan)) }
            (wood(&totals(plan, job, all), layouts.len(), units))
            @if let Some(taken) = taken { p { (taken) } }
            (rack::sentence(plan))
            @for (first, alike) in blanks(job) {
                @let names: Vec<String> = alike.iter().map(|&i| plain(&job.paddles[i].name)).collect();
                @let sizes = alike.iter().any(|&i| !same_lengths(&job.paddles[first], &job.paddles[i]));
                h3 { "The blank of " (names.join(", ")) }
                @if sizes {
                    p { "Drawn for " (names.first().map_or("", String::as_str)) "; the others differ in their lengths alone, which the table has." }
                }
                div class="scroll" { (PreEscaped(blank::draw(&job.paddles[first], first, units, false))) }
                @for &i in &alike {
                    @if alike.len() > 1 { p { b { (plain(&job.paddles[i].name)) } } }
                    (laminations(plan, job, i, layouts))
                }
            }
            // Together, so that no page bears the last lines alone.
            div class=(if layouts.len() <= 12 { "whole" } else { "parts" }) {
                (before_the_saw())
                h3 { "Boards to open: " (layouts.len()) }
                (board_table(layouts, boards))
                (how_to_read(units))
            }
    };
    html! { section class="sheet" { (running(&title, code, &body)) } }
}

fn same_lengths(one: &Paddle, other: &Paddle) -> bool {
    (one.length, one.loom) == (other.length, other.loom)
}

/// Kinds of paddle whose blanks are alike but for names and lengths, as in a class: the first of them,
/// and all.
fn blanks(job: &Job) -> Vec<(usize, Vec<usize>)> {
    let mut out: Vec<(Paddle, usize, Vec<usize>)> = Vec::new();
    for (i, paddle) in job.paddles.iter().enumerate() {
        let (length, loom) =
            job.paddles.first().map_or((paddle.length, paddle.loom), |p| (p.length, p.loom));
        let bare = Paddle { name: String::new(), quantity: 1, length, loom, ..paddle.clone() };
        match out.iter_mut().find(|(like, ..)| *like == bare) {
            Some((.., all)) => all.push(i),
            None => out.push((bare, i, vec![i])),
        }
    }
    out.into_iter().map(|(_, first, all)| (first, all)).collect()
}

/// What stands once before the boards where no sheet of the whole job does.
fn reading(units: Units) -> Markup {
    html! { section class="sheet" { (before_the_saw()) (how_to_read(units)) } }
}

/// The cautions that stand once on every sheet.
fn before_the_saw() -> Markup {
    html! {
        div class="box" {
            b { "Before the saw" }
            ul { @for line in ALWAYS { li { (line) } } }
        }
    }
}

fn how_to_read(units: Units) -> Markup {
    html! {
        div class="whole" {
            h3 { "How to read the drawings" }
            p class="quiet" {
                "Marked face up, marked end at the left, reference edge at the top. If your \
                 reference edge lies the other way, the drawing is its mirror image, and every \
                 measure still holds. Lengths are from the marked end, widths from the reference \
                 edge. Grey bands are kerfs; hatching and letters mark zones; dashed outlines are \
                 offcuts worth keeping. The leaves of a resawn rip lie over one another in its \
                 thickness: they are named in its width one below the other, the one at the \
                 marked face first, and no line along the board parts them. The end view shows \
                 them as they lie. "
                @match units {
                    Units::Inch => "Lengths are to the nearest 1/64 in, as a tape shows them. A ~ or a second figure tells where the exact length differs; in brackets it stands beside. A size to set or to saw to is rounded up, never down.",
                    Units::Mm => "Lengths are to the nearest 0.5 mm, as a tape shows them. A ~ or a second figure tells where the exact length differs; in brackets it stands beside.",
                }
            }
        }
    }
}

/// Where the wood goes: the figures that the terminal has.
fn wood(sum: &Totals, opened: usize, units: Units) -> Markup {
    let parts = sum.parts();
    let tenths = shares(&parts.map(|p| p.1));
    let share = |t: &u32| format!("{}.{} %", t / 10, t % 10);
    let of: Vec<String> = parts
        .iter()
        .zip(&tenths)
        .map(|((name, _), t)| {
            format!("{} {}", name.replace("strips, rough", "rough strips"), share(t))
        })
        .collect();
    html! {
        p {
            b { (counted(sum.count, "strip")) } " from " (counted(opened, "board")) ", "
            (volume_told(sum.wood, units)) ". Of the wood: " (of.join(", ")) "."
        }
    }
}

/// The strips of each lamination of a paddle, by name.
fn laminations(plan: &VerifiedPlan, job: &Job, paddle: usize, layouts: &[Layout<'_>]) -> Markup {
    let mut by_line: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for layout in layouts {
        for (_, _, _, _, strip) in strips(layout) {
            if strip.paddle == paddle {
                by_line.entry(strip.lamination).or_default().push(plain(&strip.id));
            }
        }
    }
    let laminations = job.paddles.get(paddle).map(|p| p.laminations.as_slice()).unwrap_or(&[]);
    html! {
        ul class="plain" {
            @for (i, l) in laminations.iter().enumerate() {
                li {
                    b { (i + 1) " " (plain(&l.name)) } " (" (near(l.thickness, job.units)) "): "
                    @let in_hand = rack::names(plan, job, paddle, i);
                    @if let Some(ids) = by_line.get(&i) { (strip_names(ids)) } @else if in_hand.is_empty() { "none cut" }
                    @if !in_hand.is_empty() {
                        @if by_line.contains_key(&i) { "; " }
                        "on the rack " (strip_names(&in_hand))
                    }
                }
            }
        }
    }
}

/// The boards to open, which lead to their sheets where those are `printed`.
fn board_table(layouts: &[Layout<'_>], printed: bool) -> Markup {
    let priced = layouts.iter().any(|l| l.board.price.is_some());
    html! {
        table class="wide" {
            thead { tr { th { "Board" } th { "Wood" } th { "Size" } th class="n" { "Sections" } th class="n" { "Strips" } @if priced { th class="n" { "Price" } } } }
            tbody {
                @for l in layouts {
                    tr {
                        td { @if printed { a href=(format!("#board{}", l.index + 1)) { (l.title) } } @else { (l.title) } }
                        td { (plain(l.board.species.name())) }
                        td { (by(&[l.board.length, l.board.width, l.board.thickness], l.units())) }
                        td class="n" { (l.sections.len()) }
                        td class="n" { (strips(l).count()) }
                        @if priced { td class="n" { @if let Some(p) = l.board.price { (p.to_string()) } } }
                    }
                }
            }
        }
    }
}

fn sheet(layout: &Layout<'_>, signs: &[Sign], code: &str) -> Markup {
    let b = layout.board;
    let units = layout.units();
    let bend = |amount: Length, plus: &str, minus: &str| {
        let side = if amount > Length::ZERO { plus } else { minus };
        format!("{side} by {}", near(amount.abs(), units))
    };
    let steps = of_layout(layout);
    let drawings = [board::draw(layout, signs, false), board::draw_low(layout, signs)];
    let listed = [b.zones.len(), layout.keeps.len()];
    let [full, low] = &drawings;
    let (print, lower) = tight::board([full, low], listed, &steps);
    let [full, low] = drawings;
    let drawing = if lower { low } else { full };
    let title = format!("Board {}", layout.title);
    let body = html! {
            h2 { (title) }
            p {
                (plain(b.species.name())) ", " (by(&[b.length, b.width, b.thickness], units))
                @if b.crook != Length::ZERO { "; reference edge " (bend(b.crook, "hollow", "crowned")) }
                @if b.bow != Length::ZERO { "; marked face " (bend(b.bow, "hollow", "crowned")) }
                @if let Some(slope) = b.runout { "; grain runs out " (slope.to_string()) }
                "."
            }
            div class="scroll" { (PreEscaped(drawing)) }
            @if !b.zones.is_empty() { (zones(layout, signs)) }
            @if !layout.keeps.is_empty() { (keeps(layout)) }
            h3 { "Cuts in shop order" }
            p class="quiet" {
                "Lies: from the reference edge (its chord, where straightened). Left: what then \
                 remains, the kerf of that saw taken off. Write each name as the piece comes off. △: take care."
            }
            (groups(&steps.groups, units, print))
    };
    html! {
        section class=(print.class()) id=(format!("board{}", layout.index + 1)) {
            (running(&title, code, &body))
        }
    }
}

fn zones(layout: &Layout<'_>, signs: &[Sign]) -> Markup {
    let units = layout.units();
    let labels = kinds::labels(layout.board, signs);
    html! {
        h3 { "Zones: along from the marked end, across from the reference edge" }
        ul class="plain" {
            @for (zone, label) in layout.board.zones.iter().zip(&labels) {
                li {
                    b { (label) } " " (plain(zone.kind.as_str())) ": along " (near(zone.from, units)) " to "
                    (near(zone.to, units)) ", across " (near(zone.near, units)) " to " (near(zone.far, units))
                }
            }
        }
    }
}

/// How much of an offcut is clear, where not all of it is.
fn clear_part(keep: &Keep, units: Units) -> Option<String> {
    let (length, width) = (keep.clear.to - keep.clear.from, keep.clear.far - keep.clear.near);
    match (length < keep.to - keep.from, width < keep.far - keep.near) {
        (false, false) => None,
        (true, false) => Some(near(length, units)),
        (_, true) => Some(by(&[length, width], units)),
    }
}

fn keeps(layout: &Layout<'_>) -> Markup {
    let units = layout.units();
    let origin = |k: &Keep| match k.place {
        Place::Along => "full width".to_owned(),
        Place::Beside(s) => layout
            .sections
            .get(s)
            .map_or_else(String::new, |p| format!("beside the rips of {}", p.letter)),
        Place::Stick(s, r, l) => layout
            .sections
            .get(s)
            .map_or_else(String::new, |p| format!("left of {}", p.leaf_name(r, l))),
        Place::Below(s, r) => layout
            .sections
            .get(s)
            .map_or_else(String::new, |p| format!("below the leaves of {}", p.rip_name(r))),
    };
    html! {
        h3 { "Offcuts worth keeping: write the whole name on each" }
        ul class="plain" {
            @for k in &layout.keeps {
                li {
                    b { (k.name) } ": " (keep_size(k, units)) ", " (origin(k))
                    @if let Some(clear) = clear_part(k, units) { "; " (clear) " of it clear" }
                }
            }
        }
    }
}

/// Groups of steps; where they run over their page the last stay together.
fn groups(groups: &[StepGroup], units: Units, print: Print) -> Markup {
    let one = |i: usize| {
        let before = i.checked_sub(1).and_then(|b| groups.get(b));
        groups.get(i).map(|g| group(g, before, units))
    };
    let last = match print {
        Print::Runs => tight::tail(groups.iter().map(tight::lines)),
        _ => groups.len(),
    };
    html! {
        div class="steps" { @for i in 0..last { (one(i).unwrap_or_default()) } }
        @if last < groups.len() {
            div class="steps whole" {
                @for i in last..groups.len() { (one(i).unwrap_or_default()) }
            }
        }
    }
}

/// A group of so few lines is not broken.
const SHORT: usize = 12;

fn group(group: &StepGroup, before: Option<&StepGroup>, units: Units) -> Markup {
    let shared = group.shared_caution();
    // A caution that stands just above is not told again; its sign still stands at each step.
    let told = before.and_then(StepGroup::shared_caution);
    // What is short breaks over no column and no page.
    let class = if tight::lines(group) <= SHORT { "group whole" } else { "group" };
    html! {
        div class=(class) {
            p class="set" { (group.heading) }
            @if let Some(text) = shared.filter(|t| told != Some(*t)) { p class="caution" { (text) } }
            @for step in &group.lines() { (line(step, shared.is_some(), units)) }
        }
    }
}

fn line(step: &StepLine, shared: bool, units: Units) -> Markup {
    html! {
        label class="step" {
            input type="checkbox";
            span {
                @for (i, (piece, strips)) in step.runs().iter().enumerate() {
                    @if i > 0 { ", " }
                    (piece)
                    @if !strips.is_empty() { "\u{A0}→ " b { (strip_names(strips)) } }
                }
                @if !step.pieces.is_empty() { ": " }
                (step.text)
                @if shared && step.caution.is_some() { " " b { "△" } }
            }
            span class="left" { @if let Some(left) = step.left { "left " (about(left, units)) } }
            @if let (false, Some(caution)) = (shared, &step.caution) {
                span class="caution" { (caution) }
            }
        }
    }
}

/// Names of strips in a line of text.
fn strip_names(names: &[String]) -> String {
    names.join(", ")
}
