//! Rips in shop order: one after another from the true edge, grouped by fence setting.

use crate::length::Length;
use crate::plan::Edge;
use crate::shop::caution;
use crate::shop::fence::{self, Cut};
use crate::shop::layout::{Layout, names};
use crate::shop::offcuts::Place;
use crate::shop::step::{Action, Stage, Step, StepGroup, group, step};
use crate::shop::words::{near, tape};

/// Which machine, then which setting.
type Setting = (bool, Length);

pub(super) fn rips(layout: &Layout<'_>) -> Vec<StepGroup> {
    let units = layout.units();
    let mut cuts: Vec<Cut<Setting, Step>> = Vec::new();
    let mut rests: Vec<Cut<Setting, Step>> = Vec::new();
    for s in 0..layout.sections.len() {
        rips_of(layout, s, &mut cuts, &mut rests);
    }
    let mut out = Vec::new();
    for ((curved, setting), made) in fence::order(&cuts) {
        let mut steps: Vec<Step> = Vec::new();
        for i in made {
            steps.push(cuts[i].what.clone());
            let rest = rests.iter().filter(|r| r.after == Some(i));
            steps.extend(rest.map(|r| r.what.clone()));
        }
        let fence = tape(setting, units);
        let heading = if setting == Length::ZERO {
            "Plane back by hand or on a jointer.".to_owned()
        } else if curved {
            format!("Bandsaw, single-point fence {fence} from the blade.")
        } else {
            format!("Rip fence {fence} from the blade.")
        };
        out.push(StepGroup { stage: Stage::Rip, setting: Some(setting), heading, steps });
    }
    let alone: Vec<Step> =
        rests.into_iter().filter(|r| r.after.is_none()).map(|r| r.what).collect();
    out.extend(group(Stage::Rip, None, "No cut needed.", alone));
    out
}

/// The rips of one section, one after another from its true edge, which always runs on the
/// fence: so equal rips are sawn at one setting, and what is left keeps a sawn edge.
fn rips_of(
    layout: &Layout<'_>,
    s: usize,
    cuts: &mut Vec<Cut<Setting, Step>>,
    rests: &mut Vec<Cut<Setting, Step>>,
) {
    let Some(part) = layout.sections.get(s) else { return };
    let (units, kerf) = (layout.units(), part.kerf);
    let curved = part.curved();
    let mut edge = part.line;
    let mut last: Option<usize> = None;
    let push = |cuts: &mut Vec<Cut<Setting, Step>>, setting, after, what| {
        cuts.push(Cut { setting: (curved, setting), after, what });
        Some(cuts.len() - 1)
    };
    for (r, rip) in part.section.rips.iter().enumerate() {
        let (name, wide) = (part.rip_name(r), rip.far - rip.near);
        let waste = rip.near - edge;
        // Beside a straightened edge the far edge is curved: the last rip is sawn free of it too.
        let bent = part.section.edge == Edge::Lined && part.crook > Length::ZERO;
        let flush = rip.far >= part.limit && !bent;
        let left = |at: Length| Some((part.limit - at).max(Length::ZERO));
        let mut block = false;
        if waste > kerf && (flush || kept(layout, s, edge) || waste - kerf >= STOUT) {
            let fence = waste - kerf;
            let mut off = step(
                Action::Rip { section: s, edge, fence, rip: None },
                part.letter.clone(),
                "waste comes off on the fence side.".to_owned(),
            );
            let keep = layout.keeps.iter().find(|k| k.place == Place::Beside(s) && k.near == edge);
            if let Some(keep) = keep {
                off.text =
                    format!("keep {} comes off on the fence side: write that on it.", keep.number);
            }
            off.left = left(rip.near);
            off.caution = caution::rip(fence, part.length(), curved, units);
            last = push(cuts, fence, last, off);
        } else if waste > Length::ZERO && flush {
            let mut shave = step(
                Action::Shave { section: s, line: rip.near },
                part.letter.clone(),
                format!("plane {} off the sawn edge.", tape(waste, units)),
            );
            shave.left = left(rip.near);
            last = push(cuts, Length::ZERO, last, shave);
        } else {
            block = waste > Length::ZERO;
        }
        let lies = format!("lies {} to {}", near(rip.near, units), near(rip.far, units));
        if flush {
            let action = Action::Rest { section: s, rip: r };
            let mut rest = step(action, name.clone(), format!("is what is left; {lies}."));
            rest.strips = names(rip);
            rest.left = Some(Length::ZERO);
            rests.push(Cut { setting: (curved, wide), after: last, what: rest });
            continue;
        }
        let fence = rip.far - if block { edge } else { rip.near };
        let text = if block {
            format!("with {} waste on its near side.", near(waste, units))
        } else {
            format!("{lies}.")
        };
        let start = if block { edge } else { rip.near };
        let action = Action::Rip { section: s, edge: start, fence, rip: Some(r) };
        let mut cut = step(action, name.clone(), text);
        cut.strips = names(rip);
        cut.left = left(rip.far + kerf);
        cut.caution = caution::rip(fence, part.length(), curved, units);
        last = push(cuts, fence, last, cut);
        if block {
            let mut pare = step(
                Action::Pare { section: s, rip: r, fence: wide },
                name.clone(),
                format!(
                    "again, its other edge on the fence: the waste falls off outside the blade; \
                     {lies}."
                ),
            );
            pare.strips = names(rip);
            pare.caution = caution::rip(wide, part.length(), curved, units);
            push(cuts, wide, last, pare);
        }
        edge = rip.far + kerf;
    }
    let rest = layout.keeps.iter().find(|k| k.place == Place::Beside(s) && k.near == edge);
    if let (Some(keep), Some(cut)) = (rest, last.and_then(|i| cuts.get_mut(i))) {
        cut.what.text += &format!(" What is left is keep {}: write that on it.", keep.number);
    }
}

/// Waste at least this wide is sawn off between blade and fence; a sliver never is.
const STOUT: Length = Length::inch_fraction(3, 4);

fn kept(layout: &Layout<'_>, s: usize, edge: Length) -> bool {
    layout.keeps.iter().any(|k| k.place == Place::Beside(s) && k.near == edge)
}
