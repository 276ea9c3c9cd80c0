//! Boards as they were understood, to hold beside the wood before anything is planned.

use super::ticks::Ticked;
use super::zones;
use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::CutBoard;
use crate::report::draw::bare;
use crate::report::draw::canvas::STYLE;
use crate::report::kinds::{self, Sign};
use crate::report::{Told, each};
use crate::shop::doubt::{Doubt, doubts};
use crate::shop::layout::Layout;
use crate::shop::words::{by, counted, near};
use crate::text::{plain, together};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::fmt::Write as _;

/// The whole page, board by board; `warnings` are what `check` says.
pub(crate) fn page(
    (job, boards): (&Job, &[Board]),
    warnings: &[String],
    out: &mut dyn std::fmt::Write,
    told: Told<'_>,
) -> std::fmt::Result {
    let signs = kinds::signs(boards);
    let text = |markup: Markup| together(&markup.into_string());
    let mut out = Ticked::new(out);
    out.write_str(&text(html! { (DOCTYPE) }))?;
    out.write_str("<html lang=\"en\">")?;
    out.write_str(&text(html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            title { "Boards as understood" }
            style { (PreEscaped(super::CSS)) (PreEscaped(STYLE)) }
        }
    }))?;
    out.write_str("<body>")?;
    out.write_str(&text(head(boards, warnings, job.units)))?;
    let one = |b: usize| {
        let board = boards.get(b)?;
        let cut = CutBoard { board: b, copy: 1, sections: Vec::new() };
        let layout = Layout::bare(b, &cut, board, job);
        Some(text(sheet(&layout, &signs, warnings)))
    };
    each(boards.len(), one, |b, page| {
        told(b, boards.len());
        out.write_str(&page)
    })?;
    out.finish()
}

/// Is this warning about one board alone?
fn about(warning: &str, board: &Board) -> bool {
    let name = format!("board {} ", board.name);
    warning.strip_prefix(name.as_str()).is_some()
}

fn head(boards: &[Board], warnings: &[String], units: Units) -> Markup {
    let general = |w: &&String| !boards.iter().any(|board| about(w, board));
    let general: Vec<&String> = warnings.iter().filter(general).collect();
    let odd = |board: &&Board| {
        !doubts(board, units).is_empty() || warnings.iter().any(|w| about(w, board))
    };
    let marked: Vec<String> = boards.iter().filter(odd).map(|b| plain(&b.name)).collect();
    html! {
        section class="sheet" {
            h1 { "Boards as understood: " (boards.len()) }
            p {
                "Hold each drawing beside its board before anything is planned: marked face up, marked \
                 end at the left, reference edge at the top. Zones are measured from the marked end and \
                 from the reference edge. What is wrong here is cut wrong later: mend the list, and check again."
            }
            @if !marked.is_empty() { p { b { "Look twice at: " } (marked.join(", ")) "." } }
            @if !general.is_empty() {
                div class="box" {
                    b { (counted(general.len(), "warning")) }
                    ul { @for warning in general { li { (plain(warning)) } } }
                }
            }
        }
    }
}

fn sheet(layout: &Layout<'_>, signs: &[Sign], warnings: &[String]) -> Markup {
    let (board, units) = (layout.board, layout.units());
    let found = doubts(board, units);
    let odd: Vec<usize> = found.iter().filter_map(|d| d.zone).collect();
    let labels = kinds::labels(board, signs);
    html! {
        section class="understood whole" id=(format!("board{}", layout.index + 1)) {
            h2 { "Board " (plain(&board.name)) }
            label class="step" {
                input type="checkbox";
                span { (facts(board, units)) }
            }
            @for doubt in &found { p class="caution" { (said(doubt, &labels)) } }
            @for warning in warnings.iter().filter(|w| about(w, board)) {
                p class="caution" { (plain(warning)) }
            }
            div class="scroll" { (PreEscaped(bare::draw(layout, signs, &odd))) }
            @if !board.zones.is_empty() { (zones(layout, signs)) }
        }
    }
}

/// What looks wrong, with what it is about.
fn said(doubt: &Doubt, labels: &[String]) -> String {
    match doubt.zone.and_then(|z| labels.get(z)) {
        Some(label) => format!("{label} {}", doubt.text),
        None => format!("Look twice: {}", doubt.text),
    }
}

/// All that the list says of a board but its zones.
fn facts(board: &Board, units: Units) -> String {
    let sizes = by(&[board.length, board.width, board.thickness], units);
    let mut out = vec![format!("{}, {sizes}", plain(board.species.name()))];
    if board.quantity > 1 {
        out.push(format!("{} of them", board.quantity));
    }
    for (what, bend, plus, minus) in [
        ("reference edge", board.crook, "hollow", "crowned"),
        ("marked face", board.bow, "hollow", "crowned"),
    ] {
        out.push(match bend {
            Length::ZERO => format!("{what} straight"),
            bend => {
                let side = if bend > Length::ZERO { plus } else { minus };
                format!("{what} {side} by {}", near(bend.abs(), units))
            }
        });
    }
    if let Some(grade) = &board.grade {
        out.push(format!("grade {}", plain(grade)));
    }
    if board.offcut {
        out.push("paid for already".to_owned());
    } else if let Some(price) = board.price {
        out.push(format!("price {price}"));
    }
    for (what, own) in [
        ("reference edge", board.edge),
        ("far edge", board.far_edge),
        ("each end", board.board_end),
    ] {
        match own {
            Some(Length::ZERO) => out.push(format!("nothing off {what}, its own allowance")),
            Some(own) => out.push(format!("{} off {what}, its own allowance", near(own, units))),
            None => {}
        }
    }
    out.join("; ") + "."
}
