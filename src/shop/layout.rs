//! What lies where on a board that is cut: names of sections and rips, straightened edges,
//! waste, and offcuts worth keeping. It reads a plan and knows nothing of how plans are made.

use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{CutBoard, Plan, Rip, Strip};
use crate::shop::offcuts::{Keep, Place, clear, gaps, shortest, thinnest};
use crate::shop::part::Part;
use crate::shop::words::{clean, letters};

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
        plan.boards
            .iter()
            .enumerate()
            .filter_map(|(index, cut)| {
                boards.get(cut.board).map(|board| Layout::of(index, cut, board, job))
            })
            .collect()
    }

    fn of(index: usize, cut: &'a CutBoard, board: &'a Board, job: &'a Job) -> Layout<'a> {
        let mut title = clean(&board.name);
        if board.quantity > 1 {
            title = format!("{title} (no. {} of {})", cut.copy, board.quantity);
        }
        let sections = cut
            .sections
            .iter()
            .enumerate()
            .map(|(i, section)| Part::of(letters(i), section, board, job))
            .collect();
        let mut layout = Layout { index, board, cut, job, title, sections, keeps: Vec::new() };
        layout.find_keeps();
        layout
    }

    /// The units that the sheet is written in.
    pub(crate) fn units(&self) -> Units {
        self.job.units
    }

    fn find_keeps(&mut self) {
        let (board, shop) = (self.board, &self.job.shop);
        let mut found = Vec::new();
        let mut at = Length::ZERO;
        for part in &self.sections {
            let gap = part.section.from - at;
            if gap > shop.crosscut_kerf {
                found.push((Place::Along, at, part.section.from - shop.crosscut_kerf));
            }
            at = part.section.to + shop.crosscut_kerf;
        }
        if at < board.length {
            found.push((Place::Along, at, board.length));
        }
        let mut keeps: Vec<Keep> = found
            .into_iter()
            .map(|(place, from, to)| Keep {
                number: 0,
                place,
                from,
                to,
                near: Length::ZERO,
                far: board.width,
                thickness: board.thickness,
                clear: Length::ZERO,
            })
            .collect();
        for (s, part) in self.sections.iter().enumerate() {
            for (near, far) in part.waste(part.kerf) {
                keeps.push(Keep {
                    number: 0,
                    place: Place::Beside(s),
                    from: part.section.from,
                    to: part.section.to,
                    near,
                    far,
                    thickness: part.thickness,
                    clear: Length::ZERO,
                });
            }
            for (r, rip) in part.section.rips.iter().enumerate() {
                for (l, leaf) in rip.leaves.iter().enumerate() {
                    let ends = leaf.strips.iter().map(|s| (s.from, s.to));
                    for (from, to) in gaps(ends, part.section, shop.crosscut_kerf) {
                        keeps.push(Keep {
                            number: 0,
                            place: Place::Stick(s, r, l),
                            from,
                            to,
                            near: rip.near,
                            far: rip.far,
                            thickness: leaf.thickness,
                            clear: Length::ZERO,
                        });
                    }
                }
            }
        }
        for keep in &mut keeps {
            let section = match keep.place {
                Place::Along => None,
                Place::Beside(s) | Place::Stick(s, _, _) => self.sections.get(s),
            };
            keep.clear = clear(board, section.map(|p| p.section), keep, shop.at(board).board_end);
        }
        let (long, wide) = (shop.min_rip, thinnest(self.job));
        // A stick is good for nothing but another strip.
        let strip = shortest(self.job).max(long);
        keeps.retain(|k| {
            let least = if matches!(k.place, Place::Stick(..)) { strip } else { long };
            k.clear >= least && k.far - k.near >= wide && k.to > k.from
        });
        for (i, keep) in keeps.iter_mut().enumerate() {
            keep.number = i + 1;
        }
        self.keeps = keeps;
    }
}

/// The places where something begins or ends along a board: crosscuts, strips, zones, offcuts.
pub(crate) fn events(layout: &Layout<'_>) -> Vec<Length> {
    let zones = layout.board.zones.iter().flat_map(|z| [z.from, z.to]);
    let cuts = layout.cut.sections.iter().flat_map(|s| [s.from, s.to]);
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
    rip.leaves.iter().flat_map(|l| l.strips.iter().map(|s| clean(&s.id))).collect()
}
