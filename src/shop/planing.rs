//! Planing, from the whole board before it is ripped to the strip just before the glue: how a
//! piece goes through the planer, and where it doesn't.
//!
//! Common practice throughout: a piece shorter than the rollers' reach or thinner than the
//! planer's least goes on a carrier board; no strip is planed standing on its edge; the ends may
//! come out too thin (snipe), so that there must be wood to lose beyond them.

use crate::length::Length;
use crate::plan::Face;
use crate::shop::caution;
use crate::shop::layout::Layout;
use crate::shop::machine::{JOINTER, PLANER, plane};
use crate::shop::part::Part;
use crate::shop::steep;
use crate::shop::step::{Action, Stage, Step, StepGroup, group, step};
use crate::shop::words::{about, size, tape};
use crate::text::plain;

/// One face of each section that is flattened: the hollow one, whichever it is.
pub(super) fn flatten(layout: &Layout<'_>) -> Vec<StepGroup> {
    let units = layout.units();
    let hollow = layout.board.bow > Length::ZERO;
    let mut steps = Vec::new();
    for (i, part) in layout.sections.iter().enumerate() {
        let loss = layout.board.thickness - part.thickness;
        if part.section.face != Face::Flattened || loss <= Length::ZERO {
            continue;
        }
        let which = if hollow {
            "the marked face is hollow: flatten it, then draw its marks again."
        } else {
            "the marked face is crowned: leave it, and flatten the face below it, which is hollow."
        };
        let text =
            format!("{}: {which} Up to {} comes off at the ends.", part.letter, tape(loss, units));
        let mut flat = step(Action::Flatten { section: i, loss }, part.letter.clone(), text);
        flat.caution = caution::short_section(part.length(), units);
        steps.push(flat);
    }
    group(
        Stage::Flatten,
        None,
        &format!("{}: one face flat, the hollow one down on the machine.", plane(JOINTER)),
        steps,
    )
}

/// Whole sections to the thickness of their stoutest rip, before they are ripped; a flattened
/// one comes out parallel.
pub(super) fn sections(layout: &Layout<'_>) -> Vec<StepGroup> {
    let (units, resaw) = (layout.units(), layout.job.shop.resaw_kerf);
    let mut by_size: Vec<(Length, Vec<Step>)> = Vec::new();
    for (i, part) in layout.sections.iter().enumerate() {
        let (from, to) = (layout.board.thickness, part.planed(resaw));
        if to >= from {
            continue;
        }
        let face = match part.section.face {
            Face::Flattened if part.thickness < from => {
                "the flat face down: the other comes out parallel to it"
            }
            _ => "off the face without marks",
        };
        let mut how = if part.wide {
            format!(
                " Wider than the planer takes ({}): by hand with a gauge line all round, or with a \
                 router on a flat sled.",
                about(layout.job.shop.planer.widest, units)
            )
        } else {
            machine_limits(layout, part.length(), to)
        };
        if !part.wide && spare(part) < layout.job.shop.planer.snipe {
            how += &snipe(layout);
        }
        let letter = &part.letter;
        let (was, is) = (size(from, units), size(to, units));
        let text = format!("{letter}: from {was} to {is}, {face}.{how}");
        let action = Action::Plane { section: i, from, to };
        let mut cut = step(action, part.letter.clone(), text);
        cut.caution = caution::short_section(part.length(), units);
        add(&mut by_size, to, cut);
    }
    let heading = |to, _| {
        let to = size(to, units);
        format!("{}: the whole section to {to} before it is ripped.", plane(PLANER))
    };
    grouped(Stage::Plane, by_size, heading)
}

/// What of a section's ends no strip needs, the less of the two.
fn spare(part: &Part<'_>) -> Length {
    let strips = || part.section.rips.iter().flat_map(|r| &r.leaves).flat_map(|l| &l.strips);
    let first = strips().map(|s| s.from - part.from).min().unwrap_or_default();
    let last = strips().map(|s| part.to - s.to).min().unwrap_or_default();
    first.min(last)
}

/// How a piece goes through the planer where it is too short or too thin: sentences, each with a
/// space before it.
pub(super) fn machine_limits(layout: &Layout<'_>, length: Length, to: Length) -> String {
    let (units, planer) = (layout.units(), layout.job.shop.planer);
    if length < planer.shortest {
        let least = about(planer.shortest, units);
        return format!(" Shorter than the planer takes ({least}): plane it by hand.");
    }
    if to < planer.thinnest {
        return format!(
            " Thinner than the planer takes ({}): on its wide face, stuck to a flat carrier board.",
            about(planer.thinnest, units)
        );
    }
    String::new()
}

/// What is done about snipe where no waste at the ends takes it; a space before it.
pub(super) fn snipe(layout: &Layout<'_>) -> String {
    let reach = layout.job.shop.planer.snipe;
    if reach <= Length::ZERO {
        return String::new();
    }
    format!(
        " Snipe: butt scraps as thick, {} or longer, before and behind it.",
        about(reach, layout.units())
    )
}

/// From the sawn size to the finished one, face by face, once the strips have rested.
pub(super) fn dress(layout: &Layout<'_>) -> Vec<StepGroup> {
    let units = layout.units();
    let mut by_size: Vec<(Length, Vec<Step>)> = Vec::new();
    for (s, part) in layout.sections.iter().enumerate() {
        for (r, rip) in part.section.rips.iter().enumerate() {
            for (l, leaf) in rip.leaves.iter().enumerate() {
                for (n, strip) in leaf.strips.iter().enumerate() {
                    let from = if rip.turned { leaf.thickness } else { rip.far - rip.near };
                    let finished = layout
                        .job
                        .paddles
                        .get(strip.paddle)
                        .and_then(|p| p.laminations.get(strip.lamination));
                    let to = finished.map_or(from, |l| l.thickness);
                    if to >= from {
                        continue;
                    }
                    let face = Length::from_units((from - to).units() / 2);
                    let faces = if rip.turned {
                        "toward the marked face, and opposite"
                    } else {
                        "toward the reference edge, and opposite"
                    };
                    let how = machine_limits(layout, strip.to - strip.from, to);
                    let text = format!(
                        "from {} to {}: {} off each glue face ({faces}).{how}",
                        size(from, units),
                        size(to, units),
                        size(face, units)
                    );
                    let action = Action::Dress { section: s, rip: r, leaf: l, strip: n, from, to };
                    add(&mut by_size, to, step(action, plain(&strip.id), text));
                }
            }
        }
    }
    let heading = |to, first| {
        let machine = plane("Thickness planer or drum sander");
        let snipe = if first { snipe(layout) } else { String::new() };
        format!(
            "{machine}: dress to {}, once the strips have rested and just before the glue.{snipe}",
            size(to, units)
        )
    };
    grouped(Stage::Dress, by_size, heading)
}

fn add(by_size: &mut Vec<(Length, Vec<Step>)>, to: Length, cut: Step) {
    match by_size.iter_mut().find(|(size, _)| *size == to) {
        Some((_, steps)) => steps.push(cut),
        None => by_size.push((to, vec![cut])),
    }
}

fn grouped(
    stage: Stage,
    by_size: Vec<(Length, Vec<Step>)>,
    heading: impl Fn(Length, bool) -> String,
) -> Vec<StepGroup> {
    let made = by_size.into_iter().enumerate().map(|(i, (to, steps))| StepGroup {
        stage,
        setting: Some(to),
        heading: heading(to, i == 0),
        steps,
    });
    made.collect()
}

/// What to look for before the first cut, since the plan knows of no cup and no twist; and how
/// to lay what is bowed or long.
pub(super) fn look(layout: &Layout<'_>) -> Vec<StepGroup> {
    let (board, units) = (layout.board, layout.units());
    let mut lines = vec![
        "Cup and twist: straightedge across, winding sticks at both ends. Hollow across by more \
         than a strip's dressing, or rocking on the table: flatten it, measure the thickness that \
         is left, and plan again."
            .to_owned(),
    ];
    if board.bow != Length::ZERO {
        let face = if board.bow > Length::ZERO { "marked face" } else { "face without marks" };
        lines.push(format!(
            "Bow: the {face} is hollow. That one goes down on the saw table, so that the piece \
             does not rock, pressed flat at the blade by a hold-down.{}",
            if layout.cut.sections.iter().any(|s| s.face == Face::Flattened) {
                " A section that was planed flat lies on its flat face."
            } else {
                ""
            }
        ));
    }
    let resaw = layout.job.shop.resaw_kerf;
    let ripped_first =
        |p: &Part<'_>| p.wide && p.section.face == Face::Kept && p.stoutest(resaw) < p.thickness;
    if layout.sections.iter().any(ripped_first) {
        lines.push(format!(
            "Wide, {}: the planer takes {} at most, so the board is ripped before it is planed. \
             It must be flat for that: a hollow side or a wind is planed out by hand first.",
            tape(board.width, units),
            about(layout.job.shop.planer.widest, units)
        ));
    }
    lines.extend(steep::words(layout.cut, board, layout.job));
    if board.length > LONG {
        lines.push(format!(
            "Long, {}: support level with the table before and behind every machine.",
            tape(board.length, units)
        ));
    }
    let steps = lines.into_iter().map(|text| step(Action::Look, String::new(), text)).collect();
    group(Stage::Look, None, "Before the first cut: no machine, no kerf.", steps)
}

/// Longer than this a piece tips off a small saw's table: 4 ft.
const LONG: Length = Length::inch_fraction(48, 1);
