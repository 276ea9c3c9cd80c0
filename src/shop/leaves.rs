//! Resaws and trims in shop order.

use crate::length::{Length, Units};
use crate::plan::Leaf;
use crate::shop::caution;
use crate::shop::fence::{self, Cut};
use crate::shop::layout::Layout;
use crate::shop::offcuts::Place;
use crate::shop::part::Part;
use crate::shop::step::{Action, Stage, Step, StepGroup, group, offcut, step};
use crate::shop::words::{clean, near, tape};

/// Rips into leaves, from the marked face down, then what is planed to thickness.
pub(super) fn resaws(layout: &Layout<'_>) -> Vec<StepGroup> {
    let mut all = Resaws { layout, cuts: Vec::new(), rests: Vec::new(), plane: Vec::new() };
    for (s, part) in layout.sections.iter().enumerate() {
        for r in 0..part.section.rips.len() {
            all.rip(s, part, r);
        }
    }
    let mut out = Vec::new();
    for (setting, made) in fence::order(&all.cuts) {
        let mut steps = Vec::new();
        for i in made {
            steps.push(all.cuts[i].what.clone());
            let rest = all.rests.iter().filter(|r| r.after == Some(i));
            steps.extend(rest.map(|r| r.what.clone()));
        }
        let fence = tape(setting, layout.units());
        let heading = format!("Resaw on the bandsaw, tall fence {fence} from the blade.");
        out.push(StepGroup { stage: Stage::Resaw, setting: Some(setting), heading, steps });
    }
    let heading = "Plane to thickness, off the face that bears no name.";
    out.extend(group(Stage::Resaw, None, heading, all.plane));
    out
}

/// Up to this much is planed off rather than resawn, 3/16 in.
const THIN: Length = Length::inch_fraction(3, 16);

/// What is done to the rips of a board to make leaves of them.
struct Resaws<'a> {
    layout: &'a Layout<'a>,
    cuts: Vec<Cut<Length, Step>>,
    /// Leaves that need no cut of their own.
    rests: Vec<Cut<Length, Step>>,
    /// What is planed, once all is sawn.
    plane: Vec<Step>,
}

impl Resaws<'_> {
    /// The leaves of one rip, the one at the marked face first.
    fn rip(&mut self, s: usize, part: &Part<'_>, r: usize) {
        let Some(rip) = part.section.rips.get(r) else { return };
        let kerf = self.layout.job.shop.resaw_kerf;
        let mut left = part.thickness;
        let mut last = None;
        for (l, leaf) in rip.leaves.iter().enumerate() {
            let at = (s, r, l);
            let end = l + 1 == rip.leaves.len();
            let spare = left - leaf.thickness;
            let planed = end && spare <= kerf.unwrap_or_default().max(THIN);
            match kerf {
                _ if planed && spare <= Length::ZERO => {
                    if l > 0 {
                        self.rest(part, at, leaf, last);
                    }
                }
                Some(kerf) if !planed => {
                    left = left - leaf.thickness - kerf;
                    last = Some(self.saw(part, at, leaf, (left, last)));
                }
                _ => self.plane(part, at, leaf, left),
            }
        }
    }

    /// The leaf comes off between blade and fence; says which cut that is.
    fn saw(
        &mut self,
        part: &Part<'_>,
        (s, r, l): (usize, usize, usize),
        leaf: &Leaf,
        (left, after): (Length, Option<usize>),
    ) -> usize {
        let fence = leaf.thickness;
        let action = Action::Resaw { section: s, rip: r, leaf: l, fence };
        let text = format!("off the marked-face side of {}.", part.rip_name(r));
        let mut cut = named(step(action, part.leaf_name(r, l), text), leaf);
        cut.left = Some(left.max(Length::ZERO));
        cut.caution = caution::resaw(fence, part.length(), self.layout.units());
        self.cuts.push(Cut { setting: fence, after, what: cut });
        self.cuts.len() - 1
    }

    /// What is left is planed down to the leaf.
    fn plane(
        &mut self,
        part: &Part<'_>,
        (s, r, l): (usize, usize, usize),
        leaf: &Leaf,
        left: Length,
    ) {
        let (to, units) = (leaf.thickness, self.layout.units());
        let action = Action::Thickness { section: s, rip: r, leaf: l, from: left, to };
        let text = format!("from about {} to {}.", near(left, units), tape(to, units));
        self.plane.push(named(step(action, part.leaf_name(r, l), text), leaf));
    }

    /// What is left is the leaf.
    fn rest(
        &mut self,
        part: &Part<'_>,
        (s, r, l): (usize, usize, usize),
        leaf: &Leaf,
        after: Option<usize>,
    ) {
        let action = Action::Last { section: s, rip: r, leaf: l };
        let rest = step(action, part.leaf_name(r, l), "is what is left.".to_owned());
        self.rests.push(Cut { setting: leaf.thickness, after, what: named(rest, leaf) });
    }
}

/// The step with the strips that its leaf becomes.
fn named(step: Step, leaf: &Leaf) -> Step {
    Step { strips: leaf.strips.iter().map(|s| clean(&s.id)).collect(), ..step }
}

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
