//! What lies where on a board that is cut: names of sections and rips, straightened edges,
//! waste, and offcuts worth keeping. It reads a plan and knows nothing of how plans are made.

use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{CutBoard, Edge, Face, Plan, Rip, Section, Strip};
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

/// A section with its name and its saw lines.
pub(crate) struct Part<'a> {
    /// `A`, `B` …
    pub letter: String,
    /// The section in the plan.
    pub section: &'a Section,
    /// Where its straight (or clean) edge lies, from the reference edge or its chord.
    pub line: Length,
    /// Where its wood surely ends on the far side.
    pub limit: Length,
    /// The greatest gap of its own edge's curve, without sign.
    pub crook: Length,
    /// Its thickness once a face is flat.
    pub thickness: Length,
    /// Its rips follow a curve.
    pub follows: bool,
    /// What is lost between its rips.
    pub kerf: Length,
}

/// Where an offcut worth keeping lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// Full width, between crosscuts or a crosscut and the board's end.
    Along,
    /// Beside the rips of a section, by its place in the layout.
    Beside(usize),
    /// What is left of a leaf: section, rip, leaf.
    Stick(usize, usize, usize),
}

/// An offcut worth keeping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Keep {
    /// From 1 on each board.
    pub number: usize,
    /// Which piece.
    pub place: Place,
    /// Along the board, from its marked end.
    pub from: Length,
    /// Along the board, from its marked end.
    pub to: Length,
    /// Across, as the section's coordinates are.
    pub near: Length,
    /// Across, as the section's coordinates are.
    pub far: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Its longest stretch without a zone.
    pub clear: Length,
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

    /// The job's thinnest rough strip: no offcut narrower than this is worth keeping.
    fn thinnest(&self) -> Length {
        thinnest(self.job)
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
        let (long, wide) = (shop.min_rip, self.thinnest());
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

/// The job's thinnest rough strip.
pub(crate) fn thinnest(job: &Job) -> Length {
    let rough = |l: &crate::paddle::Lamination| l.thickness + job.shop.dress * 2;
    job.paddles.iter().flat_map(|p| &p.laminations).map(rough).min().unwrap_or(Length::INCH)
}

/// The job's shortest rough strip.
fn shortest(job: &Job) -> Length {
    let lengths = job.paddles.iter().flat_map(|p| p.laminations.iter().map(|l| p.rough_length(l)));
    lengths.min().unwrap_or_default()
}

/// What a leaf leaves between and beyond its strips.
fn gaps(
    strips: impl Iterator<Item = (Length, Length)>,
    section: &Section,
    kerf: Length,
) -> Vec<(Length, Length)> {
    let mut out = Vec::new();
    let mut at = section.from;
    for (from, to) in strips {
        if from - at > kerf {
            out.push((at, from - kerf));
        }
        at = to + kerf;
    }
    if at < section.to {
        out.push((at, section.to));
    }
    out
}

/// The longest stretch of an offcut that no zone touches, the board's ends left off.
fn clear(board: &Board, section: Option<&Section>, keep: &Keep, end: Length) -> Length {
    let (x0, x1) = (keep.from.max(end), keep.to.min(board.length - end));
    let mut busy: Vec<(Length, Length)> = Vec::new();
    for zone in &board.zones {
        let (from, to) = (zone.from.max(x0), zone.to.min(x1));
        if from >= to {
            continue;
        }
        let (mut near, mut far) = (zone.near, zone.far);
        if let Some(s) = section.filter(|s| s.edge == Edge::Lined) {
            let lifts = board.crook().lifts(from.max(s.from), to.min(s.to), s.from, s.to);
            near += lifts.0;
            far += lifts.1;
        }
        if near < keep.far && far > keep.near {
            busy.push((from, to));
        }
    }
    busy.sort_unstable();
    let (mut at, mut best) = (x0, Length::ZERO);
    for (from, to) in busy {
        best = best.max(from - at);
        at = at.max(to);
    }
    best.max(x1 - at)
}

impl<'a> Part<'a> {
    fn of(letter: String, section: &'a Section, board: &Board, job: &Job) -> Part<'a> {
        let shop = &job.shop.at(board);
        let follows = section.follows(board);
        let kerf = shop.kerf(follows);
        let length = section.to - section.from;
        let gap = board.crook().loss(length);
        let lined = section.edge == Edge::Lined;
        let hollow = board.crook > Length::ZERO;
        let base = if lined && hollow { shop.edge + gap } else { shop.edge };
        let limit = if lined && !hollow { board.width - gap } else { board.width };
        let thickness = match section.face {
            Face::Kept => board.thickness,
            Face::Flattened => board.thickness - board.bow().loss(length),
        };
        let first = section.rips.first().map_or(base, |r| r.near);
        // A first piece of waste that is worth keeping is ripped off; any other goes in one with
        // straightening the edge.
        let wide = first - base - kerf >= thinnest(job) && length >= shop.min_rip;
        let line = if wide { base.min(first) } else { first };
        Part { letter, section, line, limit, crook: gap, thickness, follows, kerf }
    }

    /// Its length.
    pub(crate) fn length(&self) -> Length {
        self.section.to - self.section.from
    }

    /// Must it be ripped along a curved edge?
    pub(crate) fn curved(&self) -> bool {
        self.follows
    }

    /// The name of a rip.
    pub(crate) fn rip_name(&self, rip: usize) -> String {
        format!("{}{}", self.letter, rip + 1)
    }

    /// The name of a leaf: that of its rip, with a small letter where there are several.
    pub(crate) fn leaf_name(&self, rip: usize, leaf: usize) -> String {
        let several = self.section.rips.get(rip).is_some_and(|r| r.leaves.len() > 1);
        if several {
            format!("{}{}", self.rip_name(rip), letters(leaf).to_lowercase())
        } else {
            self.rip_name(rip)
        }
    }

    /// Pieces of waste as wide as they come off the saw, from the edge on.
    pub(crate) fn waste(&self, kerf: Length) -> Vec<(Length, Length)> {
        let mut out = Vec::new();
        let mut at = self.line;
        for rip in &self.section.rips {
            if rip.near - kerf > at {
                out.push((at, rip.near - kerf));
            }
            at = rip.far + kerf;
        }
        if at < self.limit {
            out.push((at, self.limit));
        }
        out
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
