//! The cuts of each board in shop order, each one that a crosscut saw, a table saw and a
//! bandsaw can make when its turn comes.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{Edge, Face};
use crate::shop::caution;
use crate::shop::layout::Layout;
use crate::shop::offcuts::Place;
use crate::shop::step::{group, offcut, step};
use crate::shop::words::{near, tape};
use crate::shop::{leaves, rips};
use crate::verify::VerifiedPlan;

pub use crate::shop::step::{Action, BoardSteps, Stage, Step, StepGroup, StepLine};

/// The steps for every board of a plan.
pub fn steps(plan: &VerifiedPlan, job: &Job, boards: &[Board]) -> Vec<BoardSteps> {
    Layout::all(plan, job, boards).iter().map(of_layout).collect()
}

/// The steps for one board.
pub(crate) fn of_layout(layout: &Layout<'_>) -> BoardSteps {
    let mut groups = crosscuts(layout);
    groups.extend(flatten(layout));
    groups.extend(edges(layout));
    groups.extend(rips::rips(layout));
    groups.extend(leaves::resaws(layout));
    groups.extend(leaves::trims(layout));
    BoardSteps {
        board: layout.cut.board,
        copy: layout.cut.copy,
        title: layout.title.clone(),
        groups,
    }
}

fn crosscuts(layout: &Layout<'_>) -> Vec<StepGroup> {
    let (units, kerf) = (layout.units(), layout.job.shop.crosscut_kerf);
    let mut steps = Vec::new();
    let mut last: Option<(Length, String)> = None;
    for part in &layout.sections {
        let (from, to) = (part.section.from, part.section.to);
        let size = near(part.length(), units);
        // Where two sections are a kerf apart, the cut that ended the last one began this one.
        let begun = last.as_ref().is_some_and(|(end, _)| from == *end + kerf);
        if from > Length::ZERO && !begun {
            let off = last.as_ref().map_or(Length::ZERO, |(end, _)| *end + kerf);
            let mut cut = step(
                Action::Crosscut { at: from, after: false },
                String::new(),
                format!("Cut at {}, blade on the marked-end side of the line.", tape(from, units)),
            );
            cut.text += &offcut(layout, Place::Along, off);
            cut.caution = caution::short_offcut(from - off);
            steps.push(cut);
        }
        if to < layout.board.length {
            let mut cut = step(
                Action::Crosscut { at: to, after: true },
                part.letter.clone(),
                format!(
                    "Cut at {}, blade on the far side of the line: section {} is {size} long.",
                    tape(to, units),
                    part.letter
                ),
            );
            let last_one = layout.sections.last().is_some_and(|p| p.section.to == to);
            if last_one {
                cut.text += &offcut(layout, Place::Along, to + kerf);
                cut.caution = caution::short_offcut(layout.board.length - to - kerf);
            }
            cut.caution = caution::short_piece(part.length(), units).or(cut.caution);
            steps.push(cut);
        }
        last = Some((to, part.letter.clone()));
    }
    if steps.is_empty() {
        return Vec::new();
    }
    let heading =
        format!("Crosscut: mark all lines first, from the marked end. Kerf {}.", tape(kerf, units));
    vec![StepGroup { stage: Stage::Crosscut, setting: None, heading, steps }]
}

fn flatten(layout: &Layout<'_>) -> Vec<StepGroup> {
    let units = layout.units();
    let steps: Vec<Step> = layout
        .sections
        .iter()
        .enumerate()
        .filter(|(_, part)| part.section.face == Face::Flattened)
        .map(|(i, part)| {
            let loss = layout.board.thickness - part.thickness;
            let mut flat = step(
                Action::Flatten { section: i, loss },
                part.letter.clone(),
                format!(
                    "Plane the hollow out of section {}: up to {} comes off; at least {} stays.",
                    part.letter,
                    tape(loss, units),
                    tape(part.thickness, units)
                ),
            );
            flat.caution = caution::short_section(part.length(), units);
            flat
        })
        .collect();
    group(Stage::Flatten, None, "Flatten the marked face with a plane or a jointer.", steps)
}

fn edges(layout: &Layout<'_>) -> Vec<StepGroup> {
    let units = layout.units();
    let mut steps = Vec::new();
    for (i, part) in layout.sections.iter().enumerate() {
        if part.section.rips.is_empty() {
            continue;
        }
        let line = tape(part.line, units);
        let letter = &part.letter;
        let text = match (part.section.edge, part.curved()) {
            _ if part.line == Length::ZERO => {
                format!(
                    "{letter}: the reference edge must be straight; check it, take nothing off."
                )
            }
            (Edge::Kept, false) => {
                format!("{letter}: straighten the reference edge at a line {line} in from it.")
            }
            (Edge::Kept, true) => format!(
                "{letter}: keep the curve. Draw a line {line} in from the reference edge all \
                 along it and bandsaw to the line."
            ),
            (Edge::Lined, _) => format!(
                "{letter}: mark {line} in from the reference edge at both ends, join the marks \
                 with a straightedge, and saw or plane to that line."
            ),
        };
        let mut edge = step(Action::Edge { section: i, line: part.line }, letter.clone(), text);
        edge.caution = caution::short_section(part.length(), units);
        steps.push(edge);
    }
    group(
        Stage::Edge,
        None,
        "True one edge of each section before it meets a fence: sled or bandsaw, then a plane.",
        steps,
    )
}
