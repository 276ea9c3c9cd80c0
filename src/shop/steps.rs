//! The cuts of each board in shop order, each one that a crosscut saw, a table saw and a
//! bandsaw can make when its turn comes.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Edge;
use crate::shop::caution;
use crate::shop::layout::Layout;
use crate::shop::machine::{CROSSCUT, CURVE, JOINTER, TABLE, plane, saw};
use crate::shop::offcuts::Place;
use crate::shop::step::{group, offcut, step};
use crate::shop::words::{near, tape};
use crate::shop::{leaves, planing, rips};
use crate::verify::VerifiedPlan;

pub use crate::shop::step::{Action, BoardSteps, Stage, Step, StepGroup, StepLine};

/// The steps for every board of a plan.
pub fn steps(plan: &VerifiedPlan, job: &Job, boards: &[Board]) -> Vec<BoardSteps> {
    Layout::all(plan, job, boards).iter().map(of_layout).collect()
}

/// The steps for one board.
pub(crate) fn of_layout(layout: &Layout<'_>) -> BoardSteps {
    let mut groups = planing::look(layout);
    groups.extend(crosscuts(layout));
    groups.extend(planing::flatten(layout));
    groups.extend(planing::sections(layout));
    groups.extend(edges(layout));
    groups.extend(rips::rips(layout));
    groups.extend(leaves::resaws(layout));
    groups.extend(leaves::trims(layout));
    groups.extend(planing::dress(layout));
    BoardSteps {
        board: layout.cut.board,
        copy: layout.cut.copy,
        title: layout.title.clone(),
        groups,
    }
}

fn crosscuts(layout: &Layout<'_>) -> Vec<StepGroup> {
    let (units, kerf) = (layout.units(), layout.job.shop.crosscut_kerf);
    let mut saws = Vec::new();
    let mut planed = Vec::new();
    // Where the wood that is not yet cut begins.
    let mut begun = Length::ZERO;
    for (i, part) in layout.sections.iter().enumerate() {
        let (from, to, letter) = (part.from, part.to, &part.letter);
        if from > begun && from - begun < kerf {
            let text = format!(
                "{letter}: plane its marked end back by {}, to {} from the board's marked end.",
                tape(from - begun, units),
                tape(from, units)
            );
            planed.push(step(Action::End { at: from, after: false }, letter.clone(), text));
        } else if from > begun {
            let mut cut = step(
                Action::Crosscut { at: from, after: false },
                String::new(),
                format!("Cut at {}, blade on the marked-end side of the line.", tape(from, units)),
            );
            cut.text += &offcut(layout, Place::Along, begun);
            cut.caution = caution::short_offcut(from - begun - kerf);
            saws.push(cut);
        }
        let beyond = layout.board.length - to;
        let last = i + 1 == layout.sections.len();
        if last && beyond > Length::ZERO && beyond < kerf {
            let text = format!(
                "{letter}: plane its far end back by {}, to {} from the board's marked end.",
                tape(beyond, units),
                tape(to, units)
            );
            planed.push(step(Action::End { at: to, after: true }, letter.clone(), text));
        } else if beyond > Length::ZERO {
            let mut cut = step(
                Action::Crosscut { at: to, after: true },
                letter.clone(),
                format!(
                    "Cut at {}, blade on the far side of the line: section {letter} is {} long.",
                    tape(to, units),
                    near(part.length(), units),
                ),
            );
            if last {
                cut.text += &offcut(layout, Place::Along, to + kerf);
                cut.caution = caution::short_offcut(beyond - kerf);
            }
            cut.caution = caution::short_piece(part.length(), units).or(cut.caution);
            saws.push(cut);
        }
        begun = to + kerf;
    }
    let heading = format!(
        "{}. Mark every line first, from the board's marked end; both halves held up, so that the \
         kerf does not close.",
        saw(CROSSCUT, kerf, units)
    );
    let mut out = group(Stage::Crosscut, None, &heading, saws);
    let heading = format!("{}: less than a kerf, planed and not sawn.", plane(JOINTER));
    out.extend(group(Stage::Crosscut, None, &heading, planed));
    out
}

/// One edge of each section true, by the tool that takes off as much as there is.
fn edges(layout: &Layout<'_>) -> Vec<StepGroup> {
    let (units, shop) = (layout.units(), &layout.job.shop);
    let (mut planed, mut sawn, mut curved) = (Vec::new(), Vec::new(), Vec::new());
    for (i, part) in layout.sections.iter().enumerate() {
        if part.section.rips.is_empty() {
            continue;
        }
        let line = tape(part.line, units);
        let letter = &part.letter;
        let lined = part.section.edge == Edge::Lined && part.crook > Length::ZERO;
        let crowned = layout.board.crook < Length::ZERO;
        // The most that comes off: in the middle of a crowned edge, at the ends of a hollow one.
        let most = if lined && crowned { part.line + part.crook } else { part.line };
        let text = if lined {
            format!(
                "{letter}: mark {line} in from the reference edge at both ends, join the marks \
                 with a straightedge, and take off what lies outside that line."
            )
        } else if part.line == Length::ZERO && part.curved() {
            format!("{letter}: keep the curve. It must be clean: check it, take nothing off.")
        } else if part.line == Length::ZERO {
            format!("{letter}: the reference edge must be straight; check it, take nothing off.")
        } else if part.curved() {
            format!(
                "{letter}: keep the curve. Draw a line {line} in from the reference edge all \
                 along it, and take off what lies outside that line."
            )
        } else {
            format!("{letter}: straighten the reference edge at a line {line} in from it.")
        };
        let mut edge = step(Action::Edge { section: i, line: part.line }, letter.clone(), text);
        edge.caution = caution::short_section(part.length(), units);
        if most < part.kerf {
            planed.push(edge);
        } else if part.curved() {
            curved.push(edge);
        } else {
            sawn.push(edge);
        }
    }
    let heading = format!(
        "{}: true one edge before it meets a fence. Less than a kerf comes off, so it is planed.",
        plane(JOINTER)
    );
    let mut out = group(Stage::Edge, None, &heading, planed);
    let heading = format!(
        "{}, on a straight sled: true one edge before it meets a fence, the kerf in the waste.",
        saw(TABLE, shop.rip_kerf, units)
    );
    out.extend(group(Stage::Edge, None, &heading, sawn));
    let heading = format!(
        "{}: true one edge, by eye to the line, the kerf in the waste; then a plane or spokeshave.",
        saw(CURVE, shop.kerf(true), units)
    );
    out.extend(group(Stage::Edge, None, &heading, curved));
    out
}
