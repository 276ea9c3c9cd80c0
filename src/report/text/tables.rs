//! Tables of a plan that a person can cut from.

use crate::length::{Length, Units};
use crate::lumber::{Board, copy_name};
use crate::paddle::Job;
use crate::plan::{Cost, CutBoard, Edge, Face, Measure, Plan, Rip};
use crate::report::text::table::{indented, table};
use crate::report::text::whom::lamination;
use crate::report::text::{proof, rack};
use crate::shop::code::code;
use crate::shop::defaults::defaults;
use crate::shop::layout::Layout;
use crate::shop::part::Part;
use crate::shop::steep;
use crate::shop::totals::{Offcut, shares, totals};
use crate::shop::words::{bare, counted, listed, listed_with, near, sawn};
use crate::text::plain;
use crate::verify::VerifiedPlan;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Where the cuts of a plan are told one by one.
pub const STEPS: &str =
    "Each cut in shop order, with its machine, kerf and fence: add --steps, or print --sheet.";

/// The whole plan as text for a terminal of so many columns (characters across).
pub fn plan(plan: &VerifiedPlan, job: &Job, boards: &[Board], width: usize) -> String {
    heading(plan, job, boards, width) + &below(plan, job, boards, width)
}

/// What a plan makes and from what.
pub fn heading(plan: &VerifiedPlan, job: &Job, boards: &[Board], width: usize) -> String {
    opened(plan, job, boards, width) + &rack::used(plan, job, width)
}

/// What stands below the heading of a plan: the tables of each board, and what is proved.
pub fn below(plan: &VerifiedPlan, job: &Job, boards: &[Board], width: usize) -> String {
    let mut out = String::new();
    if plan.boards.is_empty() {
        out.push_str(&indented(&proved_in(plan, job.units), "", width));
        return out;
    }
    out.push('\n');
    if let Some(line) = defaults(job, boards) {
        out.push_str(&indented(&line, "", width));
        out.push('\n');
    }
    out.push_str(&indented(
        "Measure along a board from its marked end and across from its reference edge. Wide is the width that a rip is sawn to; how it meets the saw is told by the cuts in shop order. Upright: the board's thickness becomes the blank's depth. Turned: the strip is laid on its side.",
        "",
        width,
    ));
    // A plan of other boards than these is printed as far as they go.
    let layouts = Layout::all(plan, job, boards);
    let told: Vec<String> = layouts.par_iter().map(|l| board(l, boards, width)).collect();
    if told.iter().any(|text| text.contains('~') || text.contains("(exact")) {
        out.push_str(&indented(two_figures(job.units), "", width));
    }
    for board in told {
        out.push('\n');
        out.push_str(&board);
    }
    out.push('\n');
    out.push_str(&summary(plan, job, boards, width));
    out
}

/// What a size with two figures is: said once, before the first of them.
pub(super) fn two_figures(units: Units) -> &'static str {
    match units {
        Units::Inch => {
            "A size with two figures is one size: first as a tape shows it, to 1/64 in (rounded up where it is set or sawn to), then, in brackets, exactly."
        }
        Units::Mm => {
            "A size with two figures is one size: first as a tape shows it, to 0.5 mm (to 0.1 mm, rounded up, where it is set or sawn to), then, in brackets, exactly."
        }
    }
}

/// A board's name, with the number of its copy where there are several.
pub fn board_name(boards: &[Board], cut: &CutBoard) -> String {
    plain(&copy_name(boards, cut.board, cut.copy))
}

/// `96 x 5 1/2 x 1 1/2`, each as a tape shows it, with the exact figure where it differs.
pub fn size(board: &Board, units: Units) -> String {
    let shown = [board.length, board.width, board.thickness].map(|l| bare(l, units));
    shown.join(" x ")
}

/// The paddles that a plan makes: `2 × touring`. Of several kinds those of which it makes none are
/// left out.
pub(in crate::report) fn paddles(plan: &Plan, job: &Job) -> Vec<String> {
    let some = plan.paddles.iter().any(|&n| n > 0);
    let made = job.paddles.iter().zip(&plan.paddles).filter(|(_, n)| **n > 0 || !some);
    made.map(|(p, n)| format!("{n} × {}", plain(&p.name))).collect()
}

/// Of a class, where everybody wants one paddle, who gets one and who gets none.
pub(in crate::report) fn class(made: &[u32], job: &Job) -> Option<(Vec<String>, Vec<String>)> {
    if job.paddles.len() < CLASS || job.paddles.iter().any(|p| p.quantity != 1) {
        return None;
    }
    let named = |gets: bool| -> Vec<String> {
        let of = job.paddles.iter().zip(made).filter(|(_, n)| (**n > 0) == gets);
        of.map(|(p, _)| plain(&p.name)).collect()
    };
    Some((named(true), named(false)))
}

/// What a plan makes, in words; of several kinds also what it doesn't.
fn made(plan: &Plan, job: &Job) -> String {
    let Some((some, none)) = class(&plan.paddles, job) else {
        let made = paddles(plan, job).join(", ");
        let none = job.paddles.iter().zip(&plan.paddles).filter(|(_, n)| **n == 0);
        let none: Vec<String> = none.map(|(p, _)| plain(&p.name)).collect();
        return match none.len() {
            0 => made,
            n if n == job.paddles.len() => made,
            _ => format!("{made}, no {},", listed_with(&none, "or")),
        };
    };
    match (some.is_empty(), none.is_empty()) {
        (true, _) => format!("None of {} paddles", none.len()),
        (_, true) => format!("A paddle each for {}", listed(&some)),
        _ => {
            let all = job.paddles.len();
            format!(
                "{} of {all} paddles, for {}, and none for {},",
                some.len(),
                listed(&some),
                listed(&none)
            )
        }
    }
}

/// So many paddles, each of its own kind, are a class.
const CLASS: usize = 4;

fn opened(plan: &Plan, job: &Job, boards: &[Board], width: usize) -> String {
    let mut from = vec![counted(plan.boards.len(), "board")];
    match plan.in_hand.len() {
        0 => {}
        n if plan.boards.is_empty() => from = vec![format!("{} in hand", counted(n, "strip"))],
        n => from.push(format!("{} in hand", counted(n, "strip"))),
    }
    let from = from.join(" and ");
    let code = code(plan, job, boards);
    let text = format!("{} from {from}. This is plan {code}.", made(plan, job));
    let mut out = indented(&text, "", width);
    if plan.boards.is_empty() {
        return out;
    }
    let mut rows = Vec::new();
    for cut in &plan.boards {
        let Some(board) = boards.get(cut.board) else { continue };
        let mut gives: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for strip in strips(cut) {
            *gives.entry((strip.paddle, strip.lamination)).or_default() += 1;
        }
        let gives: Vec<String> =
            gives.iter().map(|(&(p, l), n)| format!("{n} {}", lamination(job, p, l))).collect();
        rows.push(vec![
            board_name(boards, cut),
            plain(board.species.name()),
            size(board, job.units),
            cost(board, plan, job.units),
            gives.join(", "),
        ]);
    }
    let price = match plan.cost.measure {
        Measure::Price => "price",
        Measure::BoardFeet => volume_head(job.units),
    };
    let sizes = format!("size, {}", job.units);
    out.push_str(&table(&["board", "wood", &sizes, price, "gives"], &rows, width));
    out.push('\n');
    out
}

/// What wood is counted in, above a column.
fn volume_head(units: Units) -> &'static str {
    match units {
        Units::Inch => "board feet",
        Units::Mm => "dm³",
    }
}

/// A volume of wood, a figure for a column.
fn volume(parts: i128, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.2}", Cost { measure: Measure::BoardFeet, parts }.value()),
        Units::Mm => proof::litres(parts),
    }
}

/// The same with its unit: `3.50 board feet`.
pub(crate) fn volume_told(parts: i128, units: Units) -> String {
    format!("{} {}", volume(parts, units), volume_head(units))
}

fn cost(board: &Board, plan: &Plan, units: Units) -> String {
    let parts = plan.cost.measure.parts(board);
    match plan.cost.measure {
        Measure::Price => Cost { measure: Measure::Price, parts }.to_string(),
        Measure::BoardFeet => volume(parts, units),
    }
}

fn strips(cut: &CutBoard) -> impl Iterator<Item = &crate::plan::Strip> {
    cut.sections.iter().flat_map(|s| &s.rips).flat_map(|r| &r.leaves).flat_map(|l| &l.strips)
}

fn board(layout: &Layout<'_>, boards: &[Board], width: usize) -> String {
    let (cut, source, job) = (layout.cut, layout.board, layout.job);
    let name = board_name(boards, cut);
    let units = job.units;
    let mut out = String::new();
    let head =
        format!("Board {name} ({}, {} {units})", plain(source.species.name()), size(source, units));
    out.push_str(&indented(&head, "", width));
    out.push_str(&indented(&crosscuts(layout), "  ", width));
    for part in &layout.sections {
        let (section, letter) = (part.section, &part.letter);
        let text = format!("Section {letter}: {}", preparation(part, source, job));
        out.push_str(&indented(&text, "  ", width));
        let mut rows = Vec::new();
        let lining = if section.edge == Edge::Lined && source.crook > Length::ZERO {
            source.crook().loss(section.to - section.from)
        } else {
            Length::ZERO
        };
        let kerf = job.shop.kerf(section.follows(source));
        let mut clear = job.shop.at(source).edge + lining;
        for (number, rip) in section.rips.iter().enumerate() {
            rows.extend(waste_row(clear, rip.near, kerf, job));
            clear = rip.far + kerf;
            rows.extend(rip_rows(&format!("{letter}{}", number + 1), rip, job));
        }
        let wide = format!("wide, {units}");
        let edge = format!("from edge, {units}");
        let leaf = format!("leaf, {units}");
        let along = format!("from marked end, {units}");
        let header = ["rip", &wide, &edge, "lies", &leaf, "write on it", &along, "for"];
        out.push_str(&table(&header, &rows, width));
        out.push('\n');
    }
    out
}

fn crosscuts(layout: &Layout<'_>) -> String {
    let (board, units) = (layout.board, layout.units());
    let ends: Vec<String> = layout
        .sections
        .iter()
        .map(|p| {
            let (from, to) = (bare(p.from, units), near(p.to, units));
            format!("section {} from {from} to {to}", p.letter)
        })
        .collect();
    format!(
        "Crosscut, measured from the marked end: {}; the board is {} long.",
        ends.join(", "),
        near(board.length, units)
    )
}

fn preparation(part: &Part<'_>, board: &Board, job: &Job) -> String {
    let (units, section) = (job.units, part.section);
    let piece = part.length();
    let edge = job.shop.at(board).edge;
    let take = near(edge, units);
    let none = edge <= Length::ZERO;
    let (crook, bow) = (board.crook().loss(piece), board.bow().loss(piece));
    // What takes nothing is no work: only what the edge must be is told.
    let edge = match section.edge {
        Edge::Kept if board.crook == Length::ZERO && none => {
            "the reference edge must be straight, nothing comes off it".to_owned()
        }
        Edge::Kept if board.crook == Length::ZERO => format!("take {take} off the reference edge"),
        Edge::Kept => format!(
            "{}; rips follow the curve, {} kerf",
            if none {
                "the reference edge must be clean along its curve, nothing comes off it".to_owned()
            } else {
                format!("take {take} off the reference edge along its curve")
            },
            near(job.shop.kerf(true), units)
        ),
        Edge::Lined => format!(
            "straighten the reference edge to a line from end to end{}{}; measure from that line",
            match crook {
                Length::ZERO => String::new(),
                deep => format!(" (the curve is {} deep here)", near(deep, units)),
            },
            if none { String::new() } else { format!(", then take {take} off") }
        ),
    };
    let face = match section.face {
        Face::Kept if board.bow == Length::ZERO => String::new(),
        Face::Kept => "; leave the bow in the face".to_owned(),
        Face::Flattened if bow <= Length::ZERO => "; plane the face flat first".to_owned(),
        Face::Flattened => {
            format!("; plane the face flat first, which takes {} of thickness", near(bow, units))
        }
    };
    format!("{} long; {edge}{face}.", near(piece, units))
}

/// What must be cut away so that a rip can begin where it does.
fn waste_row(clear: Length, near: Length, kerf: Length, job: &Job) -> Option<Vec<String>> {
    if near <= clear {
        return None;
    }
    let end = near - kerf;
    let mut row = vec!["waste".to_owned()];
    if end > clear {
        row.push(bare(end - clear, job.units));
        row.push(format!("{} to {}", bare(clear, job.units), bare(end, job.units)));
    } else {
        row.push(String::new());
        row.push(format!("trim to {}", bare(near, job.units)));
    }
    row.resize(8, String::new());
    Some(row)
}

fn rip_rows(name: &str, rip: &Rip, job: &Job) -> Vec<Vec<String>> {
    let units = job.units;
    let mut rows = Vec::new();
    for leaf in &rip.leaves {
        for strip in &leaf.strips {
            let first_of_rip = rows.is_empty();
            let first_of_leaf = strip.id == leaf.strips.first().map_or("", |s| &s.id);
            let once = |shown: bool, text: String| if shown { text } else { String::new() };
            let mut whom = lamination(job, strip.paddle, strip.lamination);
            if let Some(other) = &strip.flipped_with {
                let _ = write!(whom, ", flipped with {}", plain(other));
            }
            rows.push(vec![
                once(first_of_rip, name.to_owned()),
                once(first_of_rip, sawn(rip.far - rip.near, units)),
                once(
                    first_of_rip,
                    format!("{} to {}", bare(rip.near, units), bare(rip.far, units)),
                ),
                once(first_of_rip, if rip.turned { "turned" } else { "upright" }.to_owned()),
                once(first_of_leaf, sawn(leaf.thickness, units)),
                plain(&strip.id),
                format!("{} to {}", bare(strip.from, units), bare(strip.to, units)),
                whom,
            ]);
        }
    }
    rows
}

fn summary(plan: &VerifiedPlan, job: &Job, boards: &[Board], width: usize) -> String {
    let sum = totals(plan, job, boards);
    let parts = sum.parts();
    let tenths = shares(&parts.map(|p| p.1));
    let feet = |parts: i128| volume(parts, job.units);
    let percent = |t: u32| format!("{}.{} %", t / 10, t % 10);
    let strips = format!("strips, rough ({})", sum.count);
    let name = |place: usize, name: &str| if place == 0 { strips.clone() } else { name.to_owned() };
    let mut rows: Vec<Vec<String>> = parts
        .iter()
        .zip(&tenths)
        .enumerate()
        .map(|(i, (&(part, volume), &t))| vec![name(i, part), feet(volume), percent(t)])
        .collect();
    rows.push(vec!["wood opened".to_owned(), feet(sum.wood), percent(tenths.iter().sum())]);
    let mut out = table(&["where the wood goes", volume_head(job.units), "share"], &rows, width);
    out.push('\n');
    if let Some(offcut) = &sum.best
        && let Some(cut) = plan.boards.get(offcut.board)
    {
        let name = format!("board {}", board_name(boards, cut));
        let text = format!("Worth keeping, the best piece: {}.", offcut_words(offcut, &name, job));
        out.push_str(&indented(&text, "", width));
    }
    for cut in &plan.boards {
        let Some(board) = boards.get(cut.board) else { continue };
        for said in steep::words(cut, board, job) {
            let text = format!("Board {}. {said}", board_name(boards, cut));
            out.push_str(&indented(&text, "", width));
        }
    }
    out.push_str(&indented(&proved_in(plan, job.units), "", width));
    out
}

/// Cost and proof in plain words, wood in litres too where the job is in millimetres.
fn proved_in(plan: &Plan, units: Units) -> String {
    format!("{}. {}", proof::cost_in(plan.cost, units), proof::proved(plan))
}

/// An offcut by its clear size, where it comes from, and what it is large enough for.
pub(super) fn offcut_words(offcut: &Offcut, from: &str, job: &Job) -> String {
    let size = |length: Length| near(length, job.units);
    let thick = offcut.thickness.map_or(String::new(), |t| format!(" and {} thick", size(t)));
    let serves = offcut.serves.map_or(String::new(), |(p, l)| {
        let (paddle, lamination) = job.names(p, l);
        format!(", large enough for another {} of {}", plain(lamination), plain(paddle))
    });
    let (long, wide) = (size(offcut.length), size(offcut.width));
    format!("{long} long, {wide} wide{thick} off {from}{serves}")
}

/// Cost and proof in plain words.
pub fn proved(plan: &Plan) -> String {
    format!("{}. {}", proof::cost(plan.cost), proof::proved(plan))
}
