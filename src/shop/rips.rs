//! Rips in shop order: one after another from the true edge, grouped by fence setting.

use crate::length::Length;
use crate::lumber::Grain;
use crate::lumber::board::Zone;
use crate::plan::{Edge, Rip};
use crate::shop::caution;
use crate::shop::fence::{self, Chain, Cut};
use crate::shop::layout::{Layout, names};
use crate::shop::machine::{CURVE, JOINTER, TABLE, plane, saw};
use crate::shop::offcuts::{Keep, Place};
use crate::shop::part::Part;
use crate::shop::step::{Action, Stage, Step, StepGroup, group, step};
use crate::shop::words::{NO_WOOD, listed, marked, near, precise, size, tape};

/// How a cut is made; a fence that moves least tells them apart before it compares settings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    /// Planed back.
    Plane,
    /// On the bandsaw, along a curve.
    Curve,
    /// Too narrow between blade and fence: it falls off outside the blade.
    Jig,
    /// Less than a jig can be set to: the blade cuts up to a line.
    Line,
    /// Between blade and fence.
    Fence,
    /// The far edge is made straight, once.
    Far,
    /// The same, where what stays is too narrow for the fence: clamped on a sled.
    Sled,
}

/// Which way, then which setting.
type Setting = (Way, Length);

/// Nothing narrower is pushed between blade and fence of a table saw: 3/4 in. The guard stays
/// where it is, and no push block fits between the two.
const NARROW: Length = Length::inch_fraction(3, 4);

pub(super) fn rips(layout: &Layout<'_>) -> Vec<StepGroup> {
    let mut cuts: Vec<Cut<Setting, Step>> = Vec::new();
    let mut rests: Vec<Cut<Setting, Step>> = Vec::new();
    for s in 0..layout.sections.len() {
        rips_of(layout, s, &mut cuts, &mut rests);
    }
    let chains: Vec<Chain<Setting>> =
        (0..layout.sections.len()).filter_map(|s| chain(layout, s, &cuts)).collect();
    let unrounded = fence::unrounded(&chains, |setting| setting.1, layout.units());
    let mut out: Vec<StepGroup> = Vec::new();
    let (mut jig_told, mut exact_told) = (false, false);
    for (setting, made) in fence::order(&cuts) {
        let mut steps: Vec<Step> = Vec::new();
        for i in made {
            steps.push(cuts[i].what.clone());
            let rest = rests.iter().filter(|r| r.after == Some(i));
            steps.extend(rest.map(|r| r.what.clone()));
        }
        let kept: Vec<usize> = steps
            .iter()
            .filter_map(|step| match step.action {
                Action::Far { section, .. } => fallen(layout, section).map(|keep| keep.number),
                _ => None,
            })
            .collect();
        let exact = unrounded.contains(&setting);
        let mut heading = heading(layout, setting, (jig_told, exact), &kept);
        if exact && !exact_told {
            heading += NO_WOOD;
        }
        exact_told |= exact;
        jig_told |= setting.0 == Way::Jig;
        out.push(StepGroup { stage: Stage::Rip, setting: Some(setting.1), heading, steps });
    }
    let alone: Vec<Step> =
        rests.into_iter().filter(|r| r.after.is_none()).map(|r| r.what).collect();
    out.extend(group(Stage::Rip, None, "No machine, no kerf: no cut needed.", alone));
    out
}

/// The offcut worth keeping that falls off where the far edge of a section is made straight.
fn fallen<'l>(layout: &'l Layout<'_>, section: usize) -> Option<&'l Keep> {
    let part = layout.sections.get(section)?;
    let beyond = part.section.rips.last()?.far + part.kerf;
    layout.keeps.iter().find(|k| k.place == Place::Beside(section) && k.near == beyond)
}

/// The cuts of a section that move its true edge, one after another, and how far all may move what is
/// last: as far as nothing stands beyond the last rip that is kept, or that a strip must not touch.
fn chain(layout: &Layout<'_>, s: usize, cuts: &[Cut<Setting, Step>]) -> Option<Chain<Setting>> {
    let part = layout.sections.get(s)?;
    let (first, last) = (part.section.rips.first()?, part.section.rips.last()?);
    let moves = |cut: &&Cut<Setting, Step>| match cut.what.action {
        Action::Rip { section, .. } | Action::Far { section, .. } => section == s,
        _ => false,
    };
    let mine: Vec<&Cut<Setting, Step>> = cuts.iter().filter(moves).collect();
    let trued = mine.iter().any(|cut| matches!(cut.what.action, Action::Far { .. }));
    let board = layout.board;
    let shop = &layout.job.shop.at(board);
    // In a straight-lined section with a hollow edge zones lie farther in.
    let lifted = if bent(part) { part.crook } else { Length::ZERO };
    let beside = |zone: &&Zone| {
        let margin = shop.margin(&zone.kind);
        zone.from - margin.along < part.to
            && zone.to + margin.along > part.from
            && zone.far + margin.across + lifted > first.near
    };
    let stands = board.zones.iter().any(|zone| beside(&zone))
        || matches!(board.grain, Some(Grain::Pith { .. }))
        || layout.keeps.iter().any(|k| k.place == Place::Beside(s) && k.near > last.near);
    // The first edge is sawn to a mark, which may lie a little farther in.
    let marked = (marked(part.line, layout.units()) - part.line).max(Length::ZERO);
    let end = part.limit - shop.far_edge;
    let room = if trued || stands { Length::ZERO } else { end - last.far - marked };
    let settings = mine.iter().map(|cut| cut.setting).collect();
    Some(Chain { settings, room })
}

/// The machine, its kerf and its setting; how the jig works is told once on a board. Where the far
/// edge is made straight, `kept` falls off.
fn heading(
    layout: &Layout<'_>,
    (way, setting): Setting,
    (jig_told, unrounded): (bool, bool),
    kept: &[usize],
) -> String {
    let (units, shop) = (layout.units(), &layout.job.shop);
    let table = saw(TABLE, shop.rip_kerf, units);
    let fence = if unrounded { precise(setting, units) } else { size(setting, units) };
    let kept: Vec<String> = kept.iter().map(|number| format!("keep {number}")).collect();
    let far = match kept.is_empty() {
        true => "to straighten the far edge".to_owned(),
        false => {
            format!("to saw off {}, so that what stays has a straight far edge", listed(&kept))
        }
    };
    match way {
        Way::Plane => format!("{}: plane the edge back, less than a kerf.", plane(JOINTER)),
        Way::Curve => format!(
            "{}: single-point fence {fence} from the blade.",
            saw(CURVE, shop.kerf(true), units)
        ),
        Way::Jig if jig_told => {
            format!(
                "{table}: thin-rip jig {fence} from the blade; the fence set anew for each cut, as before."
            )
        }
        Way::Jig => format!(
            "{table}: thin-rip jig {fence} from the blade, on the side away from the fence. The \
             true edge against the jig, then the fence against the other edge, set anew for each \
             cut. Guard and riving knife stay on; the strip falls free outside the blade."
        ),
        Way::Line => format!(
            "{table}: the far edge on the fence, the blade up to a line {fence} from the true edge."
        ),
        Way::Fence => format!("{table}: rip fence {fence} from the blade."),
        Way::Sled => {
            format!("{table}, on a straight sled: line {fence} from the true edge, {far}.")
        }
        Way::Far => {
            format!("{table}: rip fence {fence} from the blade, {far}.")
        }
    }
}

/// The rips of one section, one after another from its true edge: so equal rips are sawn at one
/// setting, and what is left keeps a sawn edge.
fn rips_of(
    layout: &Layout<'_>,
    s: usize,
    cuts: &mut Vec<Cut<Setting, Step>>,
    rests: &mut Vec<Cut<Setting, Step>>,
) {
    let Some(part) = layout.sections.get(s) else { return };
    let (cuts_before, rests_before) = (cuts.len(), rests.len());
    for trued in [false, true] {
        let mut bench =
            Ripping { layout, part, s, edge: part.line, last: None, trued, cuts, rests };
        bench.far_edge();
        for (r, rip) in part.section.rips.iter().enumerate() {
            let waste = bench.waste(rip);
            bench.rip(r, rip, waste);
            bench.edge = rip.far + part.kerf;
        }
        bench.name_the_rest();
        // With the jig the far edge runs on the fence: a curved one is straightened first.
        let mine = cuts.iter().skip(cuts_before);
        let jig = mine.clone().any(|c| matches!(c.setting.0, Way::Jig | Way::Line));
        if trued || !jig || !bent(part) {
            return;
        }
        cuts.truncate(cuts_before);
        rests.truncate(rests_before);
    }
}

/// Is the far edge curved once the near one is straight?
fn bent(part: &Part<'_>) -> bool {
    part.section.edge == Edge::Lined && part.crook > Length::ZERO
}

/// Waste at least this wide is sawn off between blade and fence; a sliver never is.
const STOUT: Length = NARROW;

/// No jig is set closer to the blade than this: 1/8 in.
const SLIVER: Length = Length::inch_fraction(1, 8);

/// A section that is being ripped.
struct Ripping<'a> {
    layout: &'a Layout<'a>,
    part: &'a Part<'a>,
    s: usize,
    /// Where the true edge of what is left lies.
    edge: Length,
    /// The cut that made it.
    last: Option<usize>,
    /// Is the far edge straightened first?
    trued: bool,
    cuts: &'a mut Vec<Cut<Setting, Step>>,
    rests: &'a mut Vec<Cut<Setting, Step>>,
}

/// What becomes of the wood between the true edge and a rip.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Waste {
    /// There is none any more.
    Gone,
    /// It comes off together with the rip.
    WithRip,
}

impl Ripping<'_> {
    /// Saws the far edge straight, at the far side of the last rip.
    fn far_edge(&mut self) {
        let Some(last) = self.part.section.rips.last().filter(|_| self.trued) else { return };
        let (edge, fence) = (self.edge, last.far - self.edge);
        let way = if fence < NARROW { Way::Sled } else { Way::Far };
        let held =
            if fence < NARROW { "clamped on the sled" } else { "its true edge on the fence" };
        let mut text = format!(
            "{held}; the far edge, which is curved, falls off at {}.",
            tape(last.far, self.layout.units())
        );
        if let Some(keep) = fallen(self.layout, self.s) {
            text += &format!(" That is keep {}: write that on it.", keep.number);
        }
        let action = Action::Far { section: self.s, edge, fence };
        let mut cut = step(action, self.part.letter.clone(), text);
        cut.left = Some(fence);
        cut.caution = self.caution(way, fence, Some(fence));
        self.push((way, fence), cut);
    }

    /// How a cut at this setting is made.
    fn way(&self, fence: Length) -> Way {
        match self.part.curved() {
            true => Way::Curve,
            false if fence < NARROW => Way::Jig,
            false => Way::Fence,
        }
    }

    /// Takes the waste before a rip off, where that is done by a step of its own.
    fn waste(&mut self, rip: &Rip) -> Waste {
        let (part, kerf) = (self.part, self.part.kerf);
        let waste = rip.near - self.edge;
        // Off before the rip where the rip itself goes by the jig: there it could not be pared.
        let narrow = self.way(rip.far - rip.near) == Way::Jig || self.flush(rip);
        if waste > kerf && (narrow || self.kept().is_some() || waste - kerf >= STOUT) {
            let fence = waste - kerf;
            let action = Action::Rip { section: self.s, edge: self.edge, fence, rip: None };
            let text = match self.kept() {
                Some(keep) => {
                    format!("keep {} comes off: write that on it.", keep.number)
                }
                None => "waste comes off.".to_owned(),
            };
            let mut off = step(action, part.letter.clone(), text);
            off.left = self.left(rip.near);
            let (mut way, mut setting) = (self.way(fence), fence);
            if way == Way::Jig && fence < SLIVER {
                (way, setting) = (Way::Line, waste);
            }
            off.caution = self.caution(way, fence, off.left);
            self.push((way, setting), off);
        } else if waste > Length::ZERO && waste <= kerf {
            let action = Action::Shave { section: self.s, line: rip.near };
            let text = format!("plane {} off the sawn edge.", tape(waste, self.layout.units()));
            let mut shave = step(action, part.letter.clone(), text);
            shave.left = self.left(rip.near);
            shave.caution = caution::short_section(self.part.length(), self.layout.units());
            self.push((Way::Plane, Length::ZERO), shave);
        } else if waste > Length::ZERO {
            return Waste::WithRip;
        }
        Waste::Gone
    }

    /// Saws a rip off, or finds that it is what is left.
    fn rip(&mut self, r: usize, rip: &Rip, waste: Waste) {
        let units = self.layout.units();
        let (name, wide) = (self.part.rip_name(r), rip.far - rip.near);
        let lies = format!("lies {} to {}", near(rip.near, units), near(rip.far, units));
        if self.flush(rip) {
            let action = Action::Rest { section: self.s, rip: r };
            let mut rest = step(action, name, format!("is what is left; {lies}."));
            rest.strips = names(rip);
            rest.left = Some(Length::ZERO);
            let setting = (self.way(wide), wide);
            self.rests.push(Cut { setting, after: self.last, what: rest });
            return;
        }
        let (edge, text) = match waste {
            Waste::WithRip => {
                let waste = near(rip.near - self.edge, units);
                (self.edge, format!("with {waste} waste on its near side."))
            }
            Waste::Gone => (rip.near, format!("{lies}.")),
        };
        let fence = rip.far - edge;
        let action = Action::Rip { section: self.s, edge, fence, rip: Some(r) };
        let mut cut = step(action, name.clone(), text);
        cut.strips = names(rip);
        cut.left = self.left(rip.far + self.part.kerf);
        let way = self.way(fence);
        cut.caution = self.caution(way, fence, cut.left);
        self.push((way, fence), cut);
        if waste == Waste::WithRip {
            let text = format!(
                "again, its other edge on the fence: the waste falls off outside the blade; {lies}."
            );
            let mut pare = step(Action::Pare { section: self.s, rip: r, fence: wide }, name, text);
            pare.strips = names(rip);
            pare.caution = self.caution(self.way(wide), wide, None);
            // The section goes on from the cut before: paring is done to the rip alone.
            let before = self.last;
            self.push((self.way(wide), wide), pare);
            self.last = before;
        }
    }

    /// Is a rip what is left when the one before it is off? Beside a straightened edge the far
    /// edge is curved: there the last rip is sawn free of it too.
    fn flush(&self, rip: &Rip) -> bool {
        if self.trued {
            return self.part.section.rips.last() == Some(rip);
        }
        rip.far >= self.part.limit && !bent(self.part)
    }

    /// The offcut worth keeping that begins at the true edge.
    fn kept(&self) -> Option<&Keep> {
        let here = |k: &&Keep| k.place == Place::Beside(self.s) && k.near == self.edge;
        self.layout.keeps.iter().find(here)
    }

    /// What is left of the section from a line on.
    fn left(&self, at: Length) -> Option<Length> {
        let last = self.part.section.rips.last().filter(|_| self.trued);
        let limit = last.map_or(self.part.limit, |rip| rip.far);
        Some((limit - at).max(Length::ZERO))
    }

    fn caution(&self, way: Way, fence: Length, left: Option<Length>) -> Option<String> {
        let what = match way {
            Way::Plane => return None,
            Way::Curve => caution::Rip::Curve,
            Way::Jig | Way::Line => caution::Rip::Jig(left.unwrap_or_default()),
            Way::Sled => caution::Rip::Sled,
            Way::Fence | Way::Far => caution::Rip::Fence(fence),
        };
        caution::rip(what, self.part.length(), self.layout.units())
    }

    fn push(&mut self, setting: Setting, what: Step) {
        self.cuts.push(Cut { setting, after: self.last, what });
        self.last = Some(self.cuts.len() - 1);
    }

    /// Says on the last cut that what is left then is worth keeping.
    fn name_the_rest(&mut self) {
        // Beyond an edge that was straightened it fell off before.
        if self.trued {
            return;
        }
        let Some(number) = self.kept().map(|k| k.number) else { return };
        if let Some(cut) = self.last.and_then(|i| self.cuts.get_mut(i)) {
            cut.what.text += &format!(" What is left is keep {number}: write that on it.");
        }
    }
}
