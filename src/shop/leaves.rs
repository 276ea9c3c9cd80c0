//! Resaws and trims in shop order.

use crate::length::{Length, Units};
use crate::lumber::Grain;
use crate::lumber::grain::Band;
use crate::plan::{Leaf, Rip};
use crate::shop::below::{below, over, stays};
use crate::shop::caution;
use crate::shop::fence::{self, Chain, Cut};
use crate::shop::layout::Layout;
use crate::shop::machine::{CROSSCUT, PLANER, RESAW, plane, saw};
use crate::shop::offcuts::Place;
use crate::shop::part::{Part, THIN};
use crate::shop::planing::{machine_limits, snipe};
use crate::shop::step::{Action, Stage, Step, StepGroup, group, offcut, step};
use crate::shop::words::{NO_WOOD, excess, marked, precise, size, tape};
use crate::text::plain;

/// Rips into leaves, from the marked face down, then what is planed to thickness.
pub(super) fn resaws(layout: &Layout<'_>) -> Vec<StepGroup> {
    let mut all = Resaws {
        layout,
        cuts: Vec::new(),
        chains: Vec::new(),
        rests: Vec::new(),
        plane: Vec::new(),
        keep: Vec::new(),
    };
    for (s, part) in layout.sections.iter().enumerate() {
        for r in 0..part.section.rips.len() {
            all.rip(s, part, r);
        }
    }
    let unrounded = fence::unrounded(&all.chains, |setting| *setting, layout.units());
    let (mut out, mut told) = (Vec::new(), false);
    for (setting, made) in fence::order(&all.cuts) {
        let mut steps = Vec::new();
        for i in made {
            steps.push(all.cuts[i].what.clone());
            let rest = all.rests.iter().filter(|r| r.after == Some(i));
            steps.extend(rest.map(|r| r.what.clone()));
        }
        let exact = unrounded.contains(&setting);
        let show = if exact { precise } else { size };
        let fence = show(setting, layout.units());
        let kerf = layout.job.shop.resaw_kerf.unwrap_or_default();
        let heading = format!(
            "{}: tall fence {fence} from the blade, the marked side of the piece on it.{}{}",
            saw(RESAW, kerf, layout.units()),
            // Said once a board.
            if out.is_empty() { why(layout) } else { "" },
            if exact && !told { NO_WOOD } else { "" }
        );
        told |= exact;
        out.push(StepGroup { stage: Stage::Resaw, setting: Some(setting), heading, steps });
    }
    let heading = format!(
        "{}: to thickness, lying on the wide face toward the marked face.{}",
        plane(PLANER),
        snipe(layout)
    );
    out.extend(group(Stage::Resaw, None, &heading, all.plane));
    let heading = "No machine, no kerf: left for the blank. Planed now it would stand on edge; \
                   the planing of the glued blank takes it off.";
    out.extend(group(Stage::Resaw, None, heading, all.keep));
    out
}

/// Why the rips of a board are resawn, where the board tells it and it is one reason for all.
fn why(layout: &Layout<'_>) -> &'static str {
    let (job, board) = (layout.job, layout.board);
    let kerf = job.shop.resaw_kerf;
    let reason = |rip: &Rip| {
        let flat = |grain: Grain| {
            let strips = rip.leaves.iter().flat_map(|leaf| &leaf.strips);
            let rings = strips.filter_map(|s| job.paddles.get(s.paddle)).map(|p| p.rings).min();
            rings.is_some_and(|rings| grain.serves(rings, false, board.thickness) == Band::Nowhere)
        };
        if rip.turned && board.grain.is_some_and(flat) {
            " Resawn, since cut upright the rings would not be steep enough."
        } else if rip.leaves.len() > 1 {
            " Resawn, since several strips lie in the thickness."
        } else {
            ""
        }
    };
    let resawn = layout.sections.iter().flat_map(|part| {
        let more = |rip: &&Rip| rip.leaves.len() > 1 || below(part, rip, kerf).is_some();
        part.section.rips.iter().filter(more)
    });
    let mut reasons = resawn.map(reason);
    let first = reasons.next().unwrap_or_default();
    if reasons.all(|other| other == first) { first } else { "" }
}

/// What is done to the rips of a board to make leaves of them.
struct Resaws<'a> {
    layout: &'a Layout<'a>,
    cuts: Vec<Cut<Length, Step>>,
    /// Those of each rip.
    chains: Vec<Chain<Length>>,
    /// Leaves that need no cut of their own.
    rests: Vec<Cut<Length, Step>>,
    /// What is planed, once all is sawn.
    plane: Vec<Step>,
    /// What stays too deep until the blank is planed.
    keep: Vec<Step>,
}

impl Resaws<'_> {
    /// The leaves of one rip, the one at the marked face first.
    fn rip(&mut self, s: usize, part: &Part<'_>, r: usize) {
        let Some(rip) = part.section.rips.get(r) else { return };
        let kerf = self.layout.job.shop.resaw_kerf;
        let mut left = part.planed(kerf);
        let mut last = None;
        let before = self.cuts.len();
        // What the last leaf can spare; nothing where what lies below it is kept.
        let mut room = Length::ZERO;
        for (l, leaf) in rip.leaves.iter().enumerate() {
            let at = (s, r, l);
            let spare = left - leaf.thickness;
            if l + 1 < rip.leaves.len() {
                let kerf = kerf.unwrap_or_default();
                left = left - leaf.thickness - kerf;
                last = Some(self.saw(part, at, leaf.thickness, (left, last)));
                continue;
            }
            let over = over(rip);
            room = spare - over;
            match kerf {
                _ if spare <= Length::ZERO => {
                    if l > 0 {
                        self.rest(part, at, leaf, last);
                    }
                }
                Some(kerf) if spare > kerf.max(THIN) + over => {
                    left = left - leaf.thickness - over - kerf;
                    last = Some(self.saw(part, at, leaf.thickness + over, (left, last)));
                    self.name_the_rest(s, r);
                    if over > Length::ZERO {
                        self.plane(part, at, leaf, leaf.thickness + over);
                    }
                }
                _ if stays(part, rip, kerf) > Length::ZERO => self.keep(part, at, leaf, spare),
                _ => self.plane(part, at, leaf, left),
            }
        }
        if self.layout.keeps.iter().any(|k| k.place == Place::Below(s, r)) {
            room = Length::ZERO;
        }
        let settings = self.cuts.iter().skip(before).map(|cut| cut.setting).collect();
        self.chains.push(Chain { settings, room });
    }

    /// The leaf comes off between blade and fence; says which cut that is.
    fn saw(
        &mut self,
        part: &Part<'_>,
        (s, r, l): (usize, usize, usize),
        fence: Length,
        (left, after): (Length, Option<usize>),
    ) -> usize {
        let Some(leaf) = part.section.rips.get(r).and_then(|rip| rip.leaves.get(l)) else {
            return self.cuts.len().saturating_sub(1);
        };
        let action = Action::Resaw { section: s, rip: r, leaf: l, fence };
        let text = format!("off the marked-face side of {}.", part.rip_name(r));
        let mut cut = named(step(action, part.leaf_name(r, l), text), leaf);
        cut.left = Some(left.max(Length::ZERO));
        cut.caution = caution::resaw(fence, part.length(), self.layout.units());
        self.cuts.push(Cut { setting: fence, after, what: cut });
        self.cuts.len() - 1
    }

    /// Says on the last cut that what is left then is worth keeping.
    fn name_the_rest(&mut self, s: usize, r: usize) {
        let keep = self.layout.keeps.iter().find(|k| k.place == Place::Below(s, r));
        if let (Some(keep), Some(cut)) = (keep, self.cuts.last_mut()) {
            let text = format!(" What is left is keep {}: write that on it.", keep.number);
            cut.what.text += &text;
        }
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
        let mut how = machine_limits(self.layout, part.length(), to);
        let rip = part.section.rips.get(r);
        if rip.is_some_and(|rip| rip.far - rip.near < to) {
            how += " It stands on its narrow side: by hand, clamped between two straight pieces.";
        }
        let text = format!("from {} to {}.{how}", size(left, units), size(to, units));
        self.plane.push(named(step(action, part.leaf_name(r, l), text), leaf));
    }

    /// What is left stays as deep as it is.
    fn keep(
        &mut self,
        part: &Part<'_>,
        (s, r, l): (usize, usize, usize),
        leaf: &Leaf,
        over: Length,
    ) {
        let units = self.layout.units();
        let action = Action::Keep { section: s, rip: r, leaf: l, over };
        let text = format!(
            "stays {}, which is {} too deep.",
            size(leaf.thickness + over, units),
            excess(over, units)
        );
        self.keep.push(named(step(action, part.leaf_name(r, l), text), leaf));
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
    Step { strips: leaf.strips.iter().map(|s| plain(&s.id)).collect(), ..step }
}

/// Leaves into strips: each is marked once from end to end before it is cut.
pub(super) fn trims(layout: &Layout<'_>) -> Vec<StepGroup> {
    let (units, kerf) = (layout.units(), layout.job.shop.crosscut_kerf);
    let mut steps = Vec::new();
    for (s, part) in layout.sections.iter().enumerate() {
        for (r, rip) in part.section.rips.iter().enumerate() {
            for (l, leaf) in rip.leaves.iter().enumerate() {
                if leaf.strips.is_empty() {
                    continue;
                }
                let strips: Vec<(Length, Length)> =
                    leaf.strips.iter().map(|t| (part.within(t.from), part.within(t.to))).collect();
                let mut text = trim_text(&strips, part.length(), kerf, units);
                for strip in &leaf.strips {
                    text += &offcut(layout, Place::Stick(s, r, l), strip.to + kerf);
                }
                text += &offcut(layout, Place::Stick(s, r, l), part.from);
                let shortest = strips.iter().map(|(a, b)| *b - *a).min().unwrap_or_default();
                let action = Action::Trim { section: s, rip: r, leaf: l, strips };
                let mut cut = named(step(action, part.leaf_name(r, l), text), leaf);
                cut.caution = caution::short_piece(shortest, units);
                steps.push(cut);
            }
        }
    }
    let heading = format!(
        "{}: strips to length. Mark every line of a piece before its first cut, all from its \
         marked end.",
        saw(CROSSCUT, kerf, units)
    );
    group(Stage::Trim, None, &heading, steps)
}

/// Where a piece is cut, from its marked end, and on which side of each line the blade runs.
fn trim_text(strips: &[(Length, Length)], long: Length, kerf: Length, units: Units) -> String {
    let mut cuts = Vec::new();
    let mut begun = Length::ZERO;
    for (i, &(from, to)) in strips.iter().enumerate() {
        let waste = from - begun;
        if shows(waste, units) && waste < kerf {
            let off = tape(waste, units);
            cuts.push(format!("plane {off} off the marked end, back to {}", tape(from, units)));
        } else if shows(waste, units) {
            cuts.push(format!("cut at {}, blade on the marked-end side", tape(from, units)));
        }
        let last = i + 1 == strips.len();
        let waste = long - to;
        if last && shows(waste, units) && waste < kerf {
            let off = tape(waste, units);
            cuts.push(format!("plane {off} off the far end, back to {}", tape(to, units)));
        } else if !last || shows(waste, units) {
            cuts.push(format!("cut at {}, blade on the far side", tape(to, units)));
        }
        begun = to + kerf;
    }
    if cuts.is_empty() { "no cut: already that long.".to_owned() } else { cuts.join("; ") + "." }
}

/// Is it as much as a tape shows? What is less stays on the strip: no saw or plane takes it off.
fn shows(waste: Length, units: Units) -> bool {
    marked(waste, units) > Length::ZERO
}

#[cfg(test)]
mod tests {
    use super::{Length, Units, trim_text};

    /// Two strips of 844.525 mm, the second of which begins a thousandth of an inch beyond the
    /// kerf: nobody planes that off.
    #[test]
    fn what_no_tape_shows_is_not_planed_off() {
        let inch = |n: i64, d: i64| Length::inch_fraction(n, d);
        let kerf = inch(1, 8);
        let first = (Length::ZERO, inch(33_249, 1000));
        let second = |from: Length| (from, from + inch(33_249, 1000));
        let close = [first, second(inch(33_375, 1000))];
        let text = trim_text(&close, inch(86, 1), kerf, Units::Inch);
        assert!(!text.contains("plane"), "{text}");
        assert_eq!(text.matches("blade on the far side").count(), 2, "{text}");
        // A 64th shows, and is planed off.
        let apart = [first, second(inch(33_249, 1000) + kerf + inch(1, 64))];
        let text = trim_text(&apart, inch(86, 1), kerf, Units::Inch);
        assert!(text.contains("plane 1/64\" off the marked end"), "{text}");
        // The same at the far end.
        let text = trim_text(&[first], inch(33_250, 1000), kerf, Units::Inch);
        assert_eq!(text, "no cut: already that long.");
        let text = trim_text(&[first], inch(33_349, 1000), kerf, Units::Inch);
        assert!(text.starts_with("plane 3/32\"") && text.contains("far end"), "{text}");
    }
}
