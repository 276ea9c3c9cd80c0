//! What lies where on a board that is cut: names of sections and rips, straightened edges,
//! waste, and offcuts worth keeping. It reads a plan and knows nothing of how plans are made.

use crate::length::{Length, Units};
use crate::lumber::{Board, copy_name, look};
use crate::paddle::Job;
use crate::plan::{CutBoard, Plan, Rip, Strip};
use crate::shop::area::Rectangle;
use crate::shop::below::{below, stays};
use crate::shop::offcuts::{Keep, Place, WorthKeeping};
use crate::shop::part::Part;
use crate::shop::words::letters;
use crate::text::plain;
use std::collections::HashSet;

/// A board that is cut, with names for its parts.
pub(crate) struct Layout<'a> {
    /// Its place in the plan.
    pub index: usize,
    /// The board as measured.
    pub board: &'a Board,
    /// What is cut from it.
    pub cut: &'a CutBoard,
    /// The job.
    pub job: &'a Job,
    /// The board's name, with the number of the copy where there are several.
    pub title: String,
    /// Its sections, with names.
    pub sections: Vec<Part<'a>>,
    /// Offcuts worth keeping, in order of number.
    pub keeps: Vec<Keep>,
}

impl<'a> Layout<'a> {
    /// The layouts of every board in the plan; a board that isn't in the list is left out.
    pub(crate) fn all(plan: &'a Plan, job: &'a Job, boards: &'a [Board]) -> Vec<Layout<'a>> {
        let rule = WorthKeeping::of(job);
        let mut layouts: Vec<Layout<'a>> = plan
            .boards
            .iter()
            .enumerate()
            .filter_map(|(index, cut)| {
                boards.get(cut.board).map(|board| Layout::of(index, cut, board, job, &rule))
            })
            .collect();
        name_keeps(&mut layouts, boards);
        layouts
    }

    fn of(
        index: usize,
        cut: &'a CutBoard,
        board: &'a Board,
        job: &'a Job,
        rule: &WorthKeeping,
    ) -> Layout<'a> {
        let mut title = plain(&board.name);
        if board.quantity > 1 {
            title = format!("{title} (no. {} of {})", cut.copy, board.quantity);
        }
        let sections = cut
            .sections
            .iter()
            .enumerate()
            .map(|(i, section)| Part::of(letters(i), section, board, job, rule))
            .collect();
        let mut layout = Layout { index, board, cut, job, title, sections, keeps: Vec::new() };
        layout.keeps = layout.find_keeps(rule);
        layout
    }

    /// A board that nothing is cut from yet.
    pub(crate) fn bare(
        index: usize,
        cut: &'a CutBoard,
        board: &'a Board,
        job: &'a Job,
    ) -> Layout<'a> {
        let title = plain(&board.name);
        Layout { index, board, cut, job, title, sections: Vec::new(), keeps: Vec::new() }
    }

    /// The units that the sheet is written in.
    pub(crate) fn units(&self) -> Units {
        self.job.units
    }

    fn find_keeps(&self, rule: &WorthKeeping) -> Vec<Keep> {
        let mut keeps = Vec::new();
        self.along(rule, &mut keeps);
        for s in 0..self.sections.len() {
            self.within(s, rule, &mut keeps);
        }
        for (i, keep) in keeps.iter_mut().enumerate() {
            keep.number = i + 1;
        }
        keeps
    }

    /// What no section uses, the board's whole width.
    fn along(&self, rule: &WorthKeeping, keeps: &mut Vec<Keep>) {
        let (board, kerf) = (self.board, self.job.shop.crosscut_kerf);
        let sections = self.sections.iter().map(|p| (p.from, p.to));
        for (from, to) in gaps(sections, (Length::ZERO, board.length), kerf) {
            let whole = Rectangle { from, to, near: Length::ZERO, far: board.width };
            keeps.extend(self.keep(rule, Place::Along, whole, board.thickness));
        }
    }

    /// What a section leaves beside its rips, and beside the strips of its leaves.
    fn within(&self, s: usize, rule: &WorthKeeping, keeps: &mut Vec<Keep>) {
        let Some(part) = self.sections.get(s) else { return };
        let section = part.section;
        let resaw = self.job.shop.resaw_kerf;
        // A section is planed before it is ripped, and what is left beside its rips with it.
        let planed = part.planed(resaw);
        for (near, far) in part.waste(part.kerf) {
            let piece = Rectangle { from: part.from, to: part.to, near, far };
            keeps.extend(self.keep(rule, Place::Beside(s), piece, planed));
        }
        for (r, rip) in section.rips.iter().enumerate() {
            for (l, leaf) in rip.leaves.iter().enumerate() {
                // As it leaves the saw: what is left of a leaf that stays too deep is as deep.
                let last = l + 1 == rip.leaves.len();
                let over = if last { stays(part, rip, resaw) } else { Length::ZERO };
                let strips = leaf.strips.iter().map(|s| (s.from, s.to));
                let ends = (part.from, part.to);
                for (from, to) in gaps(strips, ends, self.job.shop.crosscut_kerf) {
                    let piece = Rectangle { from, to, near: rip.near, far: rip.far };
                    let place = Place::Stick(s, r, l);
                    keeps.extend(self.keep(rule, place, piece, leaf.thickness + over));
                }
            }
            if let Some((_, left)) = below(part, rip, resaw) {
                let (from, to) = (part.from, part.to);
                let piece = Rectangle { from, to, near: rip.near, far: rip.far };
                keeps.extend(self.keep(rule, Place::Below(s, r), piece, left));
            }
        }
    }

    /// A piece, if it is worth keeping; it has no number yet.
    fn keep(
        &self,
        rule: &WorthKeeping,
        place: Place,
        piece: Rectangle,
        thickness: Length,
    ) -> Option<Keep> {
        let shop = self.job.shop.at(self.board);
        // What is kept off the ends and edges that are still the board's is no part of what is clear.
        let (start, end) = (shop.board_end, self.board.length - shop.board_end);
        let (mut near, mut far) = (piece.near, piece.far);
        match place {
            Place::Along => (near, far) = (near + shop.edge, far - shop.far_edge),
            Place::Beside(s) if self.sections.get(s).is_some_and(|p| p.limit == far) => {
                far -= shop.far_edge;
            }
            _ => {}
        }
        let usable = Rectangle { from: piece.from.max(start), to: piece.to.min(end), near, far };
        let section = place.section().and_then(|s| self.sections.get(s)).map(|p| p.section);
        let (clear, serves) = rule.clear((self.board, section), place, usable, thickness)?;
        let Rectangle { from, to, near, far } = piece;
        let name = String::new();
        Some(Keep { number: 0, name, place, from, to, near, far, thickness, clear, serves })
    }
}

/// Names what is kept by where it comes from: no two alike, and none as a board of the list is
/// called already.
fn name_keeps(layouts: &mut [Layout<'_>], boards: &[Board]) {
    let mut taken: HashSet<String> = boards.iter().map(|b| look(&b.name)).collect();
    for layout in layouts {
        let origin = plain(&copy_name(boards, layout.cut.board, layout.cut.copy));
        for keep in &mut layout.keeps {
            let name = format!("keep {} off {origin}", keep.number);
            let again = (2_u64..).map(|n| format!("{name} ({n})"));
            let free = std::iter::once(name.clone()).chain(again).find(|n| taken.insert(look(n)));
            keep.name = free.unwrap_or(name);
        }
    }
}

/// What pieces one after another leave between and beyond them, a kerf beside each.
fn gaps(
    pieces: impl Iterator<Item = (Length, Length)>,
    (start, end): (Length, Length),
    kerf: Length,
) -> Vec<(Length, Length)> {
    let mut out = Vec::new();
    let mut at = start;
    for (from, to) in pieces {
        if from - at > kerf {
            out.push((at, from - kerf));
        }
        at = to + kerf;
    }
    if at < end {
        out.push((at, end));
    }
    out
}

/// The places where something begins or ends along a board: crosscuts, strips, zones, offcuts.
pub(crate) fn events(layout: &Layout<'_>) -> Vec<Length> {
    let zones = layout.board.zones.iter().flat_map(|z| [z.from, z.to]);
    let cuts = layout.sections.iter().flat_map(|p| [p.from, p.to]);
    let strips = strips(layout).flat_map(|(_, _, _, _, s)| [s.from, s.to]);
    zones.chain(cuts).chain(strips).collect()
}

/// Every strip of a board with the places of its section, rip, leaf and itself.
pub(crate) fn strips<'a>(
    layout: &'a Layout<'_>,
) -> impl Iterator<Item = (usize, usize, usize, usize, &'a Strip)> {
    layout.cut.sections.iter().enumerate().flat_map(|(s, section)| {
        section.rips.iter().enumerate().flat_map(move |(r, rip)| {
            rip.leaves.iter().enumerate().flat_map(move |(l, leaf)| {
                leaf.strips.iter().enumerate().map(move |(n, strip)| (s, r, l, n, strip))
            })
        })
    })
}

/// The names of the strips in a rip, in the order of its leaves.
pub(crate) fn names(rip: &Rip) -> Vec<String> {
    rip.leaves.iter().flat_map(|l| l.strips.iter().map(|s| plain(&s.id))).collect()
}
