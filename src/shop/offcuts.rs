//! Offcuts worth keeping: the one rule of which are, for sheets and totals alike.
//!
//! A piece is worth keeping for the longest clear rectangle in it: without zones and their margins,
//! without grain that serves no strip of the job, and without what is kept off the edges and ends
//! that are still the board's. It must be as wide as the narrowest rip of the job that
//! its thickness serves, and `min_rip` long; what is left of a leaf or below the leaves of a rip is
//! good for nothing but another strip, so there it must be as long as the shortest strip too.
//!
//! What is kept has a name, which the sheets write on the wood and `tally` lists it by.

use crate::length::Length;
use crate::lumber::grain::Band;
use crate::lumber::{Board, Zone, ZoneKind};
use crate::paddle::{Job, Margin, Shop, StripKind, strip_kinds};
use crate::plan::{Edge, Section};
use crate::shop::area::{Rectangle, longest};

/// Where an offcut worth keeping lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// Full width, between crosscuts or a crosscut and the board's end.
    Along,
    /// Beside the rips of a section, by its place in the layout.
    Beside(usize),
    /// What is left of a leaf: section, rip, leaf.
    Stick(usize, usize, usize),
    /// What is resawn off below the last leaf of a rip: section, rip.
    Below(usize, usize),
}

impl Place {
    /// The section that it comes from, by its place in the layout.
    pub(crate) fn section(self) -> Option<usize> {
        match self {
            Place::Along => None,
            Place::Beside(s) | Place::Stick(s, _, _) | Place::Below(s, _) => Some(s),
        }
    }

    /// Is it as wide as a rip, so that it is good for nothing but another strip?
    pub(crate) fn of_a_rip(self) -> bool {
        matches!(self, Place::Stick(..) | Place::Below(..))
    }
}

/// An offcut worth keeping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Keep {
    /// From 1 on each board.
    pub number: usize,
    /// What is written on it: `keep 1 off H`. No board of the list and no other offcut of the plan
    /// bears that name.
    pub name: String,
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
    /// The clear piece in it, for which it is kept.
    pub clear: Rectangle,
}

/// What an offcut must hold to be worth keeping in a job.
pub(crate) struct WorthKeeping {
    kinds: Vec<StripKind>,
    /// The least length of a piece that can be ripped.
    long: Length,
    /// The least length of a piece that can only become another strip.
    strip: Length,
    shop: Shop,
}

impl WorthKeeping {
    /// The rule for a job.
    pub(crate) fn of(job: &Job) -> WorthKeeping {
        let kinds = strip_kinds(job);
        let long = job.shop.min_rip;
        let shortest = kinds.iter().map(|k| k.length).min().unwrap_or_default();
        WorthKeeping { long, strip: long.max(shortest), shop: job.shop.clone(), kinds }
    }

    /// The narrowest rip of the job that a piece so thick serves, if it serves any: upright where
    /// it is thick enough for the depth of a strip, turned where it is for its thickness.
    fn narrowest(&self, thick: Length) -> Option<Length> {
        let upright = self.kinds.iter().filter(|k| k.depth <= thick).map(|k| k.thickness);
        let turned = self.kinds.iter().filter(|k| k.thickness <= thick).map(|k| k.depth);
        upright.chain(turned).min()
    }

    /// The clear rectangle for which a piece of a board is kept, `None` where it is not worth
    /// keeping; `marks` are those of its section.
    pub(crate) fn clear(
        &self,
        place: Place,
        piece: Rectangle,
        thick: Length,
        marks: &[Rectangle],
    ) -> Option<Rectangle> {
        let least = if place.of_a_rip() { self.strip } else { self.long };
        longest(piece, marks, self.narrowest(thick)?).filter(|clear| clear.to - clear.from >= least)
    }

    /// The zones, and the bands whose grain serves nothing, as they lie in a section: lifted
    /// where its edge is straightened.
    pub(crate) fn marks(&self, board: &Board, section: Option<&Section>) -> Vec<Rectangle> {
        self.rectangles(board, section, |_| Margin::default())
    }

    /// The same with what the shop keeps clear around zones.
    pub(crate) fn bars(&self, board: &Board, section: Option<&Section>) -> Vec<Rectangle> {
        self.rectangles(board, section, |kind| self.shop.margin(kind))
    }

    fn rectangles(
        &self,
        board: &Board,
        section: Option<&Section>,
        margin: impl Fn(&ZoneKind) -> Margin,
    ) -> Vec<Rectangle> {
        let grown = |z: &Zone| {
            let Margin { along, across } = margin(&z.kind);
            let (from, to) = (z.from - along, z.to + along);
            Rectangle { from, to, near: z.near - across, far: z.far + across }
        };
        let mut all: Vec<Rectangle> = board.zones.iter().map(grown).collect();
        let mut bands = vec![(Length::ZERO, board.width)];
        for kind in &self.kinds {
            for turned in [false, true] {
                let band = board
                    .grain
                    .map_or(Band::Everywhere, |g| g.serves(kind.rings, turned, board.thickness));
                bands = bands.into_iter().flat_map(|b| unserved(b, band)).collect();
            }
        }
        let along = |(near, far)| Rectangle { from: Length::ZERO, to: board.length, near, far };
        all.extend(bands.into_iter().map(along));
        let Some(section) = section.filter(|s| s.edge == Edge::Lined) else { return all };
        let lift = |r: Rectangle| {
            let (from, to) = (r.from.max(section.from), r.to.min(section.to));
            (from < to).then(|| {
                let (low, high) = board.crook().lifts(from, to, section.from, section.to);
                Rectangle { from, to, near: r.near + low, far: r.far + high }
            })
        };
        all.into_iter().filter_map(lift).collect()
    }
}

/// What of a stretch across the board a band leaves unserved.
fn unserved((near, far): (Length, Length), band: Band) -> Vec<(Length, Length)> {
    let pieces = match band {
        Band::Everywhere => vec![],
        Band::Nowhere => vec![(near, far)],
        Band::Within(a, b) => vec![(near, far.min(a)), (near.max(b), far)],
        Band::Outside(a, b) => vec![(near.max(a), far.min(b))],
    };
    pieces.into_iter().filter(|p| p.0 < p.1).collect()
}
