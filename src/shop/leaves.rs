//! Resaws and trims in shop order.

use crate::length::{Length, Units};
use crate::shop::caution;
use crate::shop::fence::{self, Cut};
use crate::shop::layout::Layout;
use crate::shop::offcuts::Place;
use crate::shop::part::Part;
use crate::shop::step::{Action, Stage, Step, StepGroup, group, offcut, step};
use crate::shop::words::{clean, near, tape};

/// Rips into leaves, from the marked face down, then what is planed to thickness.
pub(super) fn resaws(layout: &Layout<'_>) -> Vec<StepGroup> {
    let units = layout.units();
    let kerf = layout.job.shop.resaw_kerf.unwrap_or_default();
    let mut cuts: Vec<Cut<Length, Step>> = Vec::new();
    let mut rests: Vec<Cut<Length, Step>> = Vec::new();
    let mut plane: Vec<Step> = Vec::new();
    for (s, part) in layout.sections.iter().enumerate() {
        for (r, rip) in part.section.rips.iter().enumerate() {
            let mut left = part.thickness;
            let mut last = None;
            for (l, leaf) in rip.leaves.iter().enumerate() {
                let name = part.leaf_name(r, l);
                let strips: Vec<String> = leaf.strips.iter().map(|s| clean(&s.id)).collect();
                let end = l + 1 == rip.leaves.len();
                let spare = left - leaf.thickness;
                if end && spare <= kerf.max(THIN) {
                    if spare > Length::ZERO {
                        let to = leaf.thickness;
                        let mut down = step(
                            Action::Thickness { section: s, rip: r, leaf: l, from: left, to },
                            name.clone(),
                            format!("from about {} to {}.", near(left, units), tape(to, units)),
                        );
                        down.strips = strips;
                        plane.push(down);
                    } else if l > 0 {
                        let action = Action::Last { section: s, rip: r, leaf: l };
                        let mut rest = step(action, name.clone(), "is what is left.".to_owned());
                        rest.strips = strips;
                        rests.push(Cut { setting: leaf.thickness, after: last, what: rest });
                    }
                    continue;
                }
                if layout.job.shop.resaw_kerf.is_none() {
                    let to = leaf.thickness;
                    let mut down = step(
                        Action::Thickness { section: s, rip: r, leaf: l, from: left, to },
                        name.clone(),
                        format!("from about {} to {}.", near(left, units), tape(to, units)),
                    );
                    down.strips = strips;
                    plane.push(down);
                    continue;
                }
                let fence = leaf.thickness;
                let mut cut = step(
                    Action::Resaw { section: s, rip: r, leaf: l, fence },
                    name.clone(),
                    format!("off the marked-face side of {}.", part.rip_name(r)),
                );
                cut.strips = strips;
                cut.left = Some((left - leaf.thickness - kerf).max(Length::ZERO));
                cut.caution = caution::resaw(fence, part.length(), units);
                cuts.push(Cut { setting: fence, after: last, what: cut });
                last = Some(cuts.len() - 1);
                left = left - leaf.thickness - kerf;
            }
        }
    }
    let mut out = Vec::new();
    for (setting, made) in fence::order(&cuts) {
        let mut steps = Vec::new();
        for i in made {
            steps.push(cuts[i].what.clone());
            let rest = rests.iter().filter(|r| r.after == Some(i));
            steps.extend(rest.map(|r| r.what.clone()));
        }
        let heading =
            format!("Resaw on the bandsaw, tall fence {} from the blade.", tape(setting, units));
        out.push(StepGroup { stage: Stage::Resaw, setting: Some(setting), heading, steps });
    }
    out.extend(group(
        Stage::Resaw,
        None,
        "Plane to thickness, off the face that bears no name.",
        plane,
    ));
    out
}

/// Up to this much is planed off rather than resawn, 3/16 in.
const THIN: Length = Length::inch_fraction(3, 16);

/// Leaves into strips; both ends are marked before either is cut.
pub(super) fn trims(layout: &Layout<'_>) -> Vec<StepGroup> {
    let (units, kerf) = (layout.units(), layout.job.shop.crosscut_kerf);
    let mut by_cut: Vec<(Length, Vec<Step>)> = Vec::new();
    for (s, part) in layout.sections.iter().enumerate() {
        let start = part.section.from;
        for (r, rip) in part.section.rips.iter().enumerate() {
            for (l, leaf) in rip.leaves.iter().enumerate() {
                let mut off = Length::ZERO;
                for (n, strip) in leaf.strips.iter().enumerate() {
                    let (from, to) = (strip.from - start, strip.to - start);
                    let name = clean(&strip.id);
                    let piece = part.leaf_name(r, l);
                    let text = trim_text(part, off, from, to, units);
                    let action = Action::Trim { section: s, rip: r, leaf: l, strip: n, from, to };
                    let mut cut = step(action, piece, text);
                    cut.text += &offcut_after(layout, (s, r, l), strip.to + kerf);
                    cut.strips = vec![name];
                    cut.caution = caution::short_piece(to - from, units);
                    match by_cut.iter_mut().find(|(length, _)| *length == to - from) {
                        Some((_, steps)) => steps.push(cut),
                        None => by_cut.push((to - from, vec![cut])),
                    }
                    off = to + kerf;
                }
            }
        }
    }
    let heading =
        |length| format!("Trim to {}, measured from the piece's marked end.", tape(length, units));
    let stage = Stage::Trim;
    by_cut
        .into_iter()
        .map(|(length, steps)| StepGroup {
            stage,
            setting: Some(length),
            heading: heading(length),
            steps,
        })
        .collect()
}

fn trim_text(part: &Part<'_>, begun: Length, from: Length, to: Length, units: Units) -> String {
    let ends = to == part.length();
    match (from == begun, ends) {
        (true, true) if from == Length::ZERO => "no cut: already that long.".to_owned(),
        (true, true) => "is the rest of it.".to_owned(),
        (true, false) => format!("cut at {}.", tape(to, units)),
        (false, true) => format!("cut at {}; keep the far piece.", tape(from, units)),
        (false, false) => format!("cut at {} and at {}.", tape(from, units), tape(to, units)),
    }
}

fn offcut_after(layout: &Layout<'_>, leaf: (usize, usize, usize), from: Length) -> String {
    offcut(layout, Place::Stick(leaf.0, leaf.1, leaf.2), from)
}
