//! Strips that leave the saw too deep: the planing of the glued blank takes off what they have
//! over, and until then the bench must know of it.

use crate::glue::{Blank, Laid};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Plan;
use crate::shop::layout::Layout;
use crate::shop::leaves;
use crate::shop::step::Action;

/// A strip that stays too deep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Its name in the plan.
    pub strip: String,
    /// By how much, on the face away from the board's marked face.
    pub over: Length,
}

/// By how much a strip of this name stays too deep.
pub(crate) fn over(kept: &[Kept], strip: &str) -> Length {
    kept.iter().find(|k| k.strip == strip).map_or(Length::ZERO, |k| k.over)
}

/// Every strip of a plan that stays too deep.
pub fn kept(plan: &Plan, job: &Job, boards: &[Board]) -> Vec<Kept> {
    Layout::all(plan, job, boards).iter().flat_map(of_layout).collect()
}

fn of_layout(layout: &Layout<'_>) -> Vec<Kept> {
    let mut out = Vec::new();
    for step in leaves::resaws(layout).iter().flat_map(|g| &g.steps) {
        let Action::Keep { section, rip, leaf, over } = step.action else { continue };
        let rip = layout.cut.sections.get(section).and_then(|s| s.rips.get(rip));
        let Some(leaf) = rip.and_then(|r| r.leaves.get(leaf)) else { continue };
        out.extend(leaf.strips.iter().map(|s| Kept { strip: s.id.clone(), over }));
    }
    out
}

/// Strips of a blank that stay too deep, those alike together: by how much, is the extra on the
/// upper face, and their names.
pub(super) fn in_blank(blank: &Blank, kept: &[Kept]) -> Vec<(Length, bool, Vec<String>)> {
    let mut out: Vec<(Length, bool, Vec<String>)> = Vec::new();
    let over = |p: &Laid| kept.iter().find(|k| k.strip == p.strip).map(|k| k.over);
    for p in &blank.places {
        let Some(over) = over(p) else { continue };
        // The marked face bears the name, and what is over lies across from it.
        let above = !p.placing.name_up();
        match out.iter_mut().find(|(o, a, _)| (*o, *a) == (over, above)) {
            Some((_, _, names)) => names.push(p.strip.clone()),
            None => out.push((over, above, vec![p.strip.clone()])),
        }
    }
    out
}
