//! Rips in shop order: one after another from the true edge, grouped by fence setting.

use crate::length::Length;
use crate::plan::{Edge, Rip};
use crate::shop::caution;
use crate::shop::fence::{self, Cut};
use crate::shop::layout::{Layout, names};
use crate::shop::offcuts::{Keep, Place};
use crate::shop::part::Part;
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
    let mut bench = Ripping { layout, part, s, edge: part.line, last: None, cuts, rests };
    for (r, rip) in part.section.rips.iter().enumerate() {
        let waste = bench.waste(rip);
        bench.rip(r, rip, waste);
        bench.edge = rip.far + part.kerf;
    }
    bench.name_the_rest();
}

/// Waste at least this wide is sawn off between blade and fence; a sliver never is.
const STOUT: Length = Length::inch_fraction(3, 4);

/// A section that is being ripped.
struct Ripping<'a> {
    layout: &'a Layout<'a>,
    part: &'a Part<'a>,
    s: usize,
    /// Where the true edge of what is left lies.
    edge: Length,
    /// The cut that made it.
    last: Option<usize>,
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
    /// Takes the waste before a rip off, where that is done by a step of its own.
    fn waste(&mut self, rip: &Rip) -> Waste {
        let (part, kerf) = (self.part, self.part.kerf);
        let waste = rip.near - self.edge;
        let flush = self.flush(rip);
        if waste > kerf && (flush || self.kept().is_some() || waste - kerf >= STOUT) {
            let fence = waste - kerf;
            let action = Action::Rip { section: self.s, edge: self.edge, fence, rip: None };
            let text = match self.kept() {
                Some(keep) => {
                    format!("keep {} comes off on the fence side: write that on it.", keep.number)
                }
                None => "waste comes off on the fence side.".to_owned(),
            };
            let mut off = step(action, part.letter.clone(), text);
            off.left = self.left(rip.near);
            off.caution = self.caution(fence);
            self.push(fence, off);
        } else if waste > Length::ZERO && flush {
            let action = Action::Shave { section: self.s, line: rip.near };
            let text = format!("plane {} off the sawn edge.", tape(waste, self.layout.units()));
            let mut shave = step(action, part.letter.clone(), text);
            shave.left = self.left(rip.near);
            self.push(Length::ZERO, shave);
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
            let setting = (self.part.curved(), wide);
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
        cut.caution = self.caution(fence);
        self.push(fence, cut);
        if waste == Waste::WithRip {
            let text = format!(
                "again, its other edge on the fence: the waste falls off outside the blade; {lies}."
            );
            let mut pare = step(Action::Pare { section: self.s, rip: r, fence: wide }, name, text);
            pare.strips = names(rip);
            pare.caution = self.caution(wide);
            // The section goes on from the cut before: paring is done to the rip alone.
            let before = self.last;
            self.push(wide, pare);
            self.last = before;
        }
    }

    /// Is a rip what is left when the one before it is off? Beside a straightened edge the far
    /// edge is curved: there the last rip is sawn free of it too.
    fn flush(&self, rip: &Rip) -> bool {
        let bent = self.part.section.edge == Edge::Lined && self.part.crook > Length::ZERO;
        rip.far >= self.part.limit && !bent
    }

    /// The offcut worth keeping that begins at the true edge.
    fn kept(&self) -> Option<&Keep> {
        let here = |k: &&Keep| k.place == Place::Beside(self.s) && k.near == self.edge;
        self.layout.keeps.iter().find(here)
    }

    /// What is left of the section from a line on.
    fn left(&self, at: Length) -> Option<Length> {
        Some((self.part.limit - at).max(Length::ZERO))
    }

    fn caution(&self, fence: Length) -> Option<String> {
        let part = self.part;
        caution::rip(fence, part.length(), part.curved(), self.layout.units())
    }

    fn push(&mut self, fence: Length, what: Step) {
        self.cuts.push(Cut { setting: (self.part.curved(), fence), after: self.last, what });
        self.last = Some(self.cuts.len() - 1);
    }

    /// Says on the last cut that what is left then is worth keeping.
    fn name_the_rest(&mut self) {
        let Some(number) = self.kept().map(|k| k.number) else { return };
        if let Some(cut) = self.last.and_then(|i| self.cuts.get_mut(i)) {
            cut.what.text += &format!(" What is left is keep {number}: write that on it.");
        }
    }
}
