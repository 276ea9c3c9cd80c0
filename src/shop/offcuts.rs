//! Offcuts worth keeping: the one rule of which are, for sheets and totals alike.
//!
//! A piece is worth keeping if a strip of the job could be made of it: of its wood, with its grain,
//! as thick, wide and long, clear of what that strip may not contain with its margins, and of what is
//! kept off the edges and ends that are still the board's. Bends are not looked at. A piece that two
//! such rips come out of side by side may be shorter, down to `min_rip`; one that is a single rip wide
//! is good for nothing but a strip.
//!
//! What is kept has a name, which the sheets write on the wood and `tally` lists it by.

use crate::length::Length;
use crate::lumber::grain::Band;
use crate::lumber::{Board, Grain, Zone, ZoneKind};
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
    /// The stoutest strip of the job that it is large enough for.
    pub serves: Option<Serves>,
}

/// A strip that an offcut is large enough for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Serves {
    /// Its paddle and lamination.
    pub line: (usize, usize),
    /// Its rough volume.
    pub volume: i128,
}

/// A way in which a strip could be made of a piece.
struct Way<'a> {
    kind: &'a StripKind,
    /// The least width of a rip for it.
    wide: Length,
    band: Band,
}

/// What an offcut must hold to be worth keeping in a job.
pub(crate) struct WorthKeeping {
    kinds: Vec<StripKind>,
    shop: Shop,
}

impl WorthKeeping {
    /// The rule for a job.
    pub(crate) fn of(job: &Job) -> WorthKeeping {
        WorthKeeping { kinds: strip_kinds(job), shop: job.shop.clone() }
    }

    /// How strips of the job could be made of a piece of a board: upright where it is thick enough
    /// for their depth, turned where it is for their thickness.
    fn ways<'a>(&'a self, board: &'a Board, thick: Length) -> impl Iterator<Item = Way<'a>> {
        let fit = move |k: &&StripKind| k.takes_species(board) && k.takes_runout(board);
        self.kinds.iter().filter(fit).flat_map(move |kind| {
            [(kind.thickness, kind.depth, false), (kind.depth, kind.thickness, true)]
                .into_iter()
                .filter(move |(_, through, _)| *through <= thick)
                .map(move |(wide, _, turned)| {
                    let serves = |g: Grain| g.serves(kind.rings, turned, board.thickness);
                    Way { kind, wide, band: board.grain.map_or(Band::Everywhere, serves) }
                })
        })
    }

    /// The clear rectangle for which a piece of a board, or of one of its sections, is kept, and
    /// the stoutest strip that it is large enough for; `None` where it is not worth keeping.
    pub(crate) fn clear(
        &self,
        (board, section): (&Board, Option<&Section>),
        place: Place,
        piece: Rectangle,
        thick: Length,
    ) -> Option<(Rectangle, Option<Serves>)> {
        let size = |r: &Rectangle| (r.to - r.from, r.far - r.near);
        let mut best: Option<(Rectangle, Option<Serves>)> = None;
        let mut take = |clear: Rectangle, serves: Option<Serves>| {
            let rank = |c: &Rectangle, s: Option<Serves>| (s.map(|s| s.volume), size(c));
            if best.as_ref().is_none_or(|(c, s)| rank(c, *s) < rank(&clear, serves)) {
                best = Some((clear, serves));
            }
        };
        for way in self.ways(board, thick) {
            let strip = way.kind.length.max(self.shop.min_rip);
            let two = way.wide * 2 + self.shop.rip_kerf;
            let serves = way.kind.lines.first().map(|&line| {
                let volume = way.kind.volume();
                Serves { line, volume }
            });
            // Clear of everything first; then with what this strip may contain.
            for allow in [&[][..], &way.kind.allow] {
                let bars = self.bars((board, section), way.band, allow);
                let Some(clear) = longest(piece, &bars, way.wide) else { continue };
                let long = clear.to - clear.from;
                if long >= strip {
                    take(clear, serves);
                    break;
                }
                // The longest run that two rips come out of, side by side.
                let pair = (!place.of_a_rip() && allow.is_empty())
                    .then(|| longest(piece, &bars, two))
                    .flatten()
                    .filter(|pair| pair.to - pair.from >= self.shop.min_rip);
                if let Some(pair) = pair {
                    take(pair, None);
                }
                if way.kind.allow.is_empty() {
                    break;
                }
            }
        }
        best
    }

    /// The zones, and the bands whose grain serves nothing, as they lie in a section: lifted
    /// where its edge is straightened.
    pub(crate) fn marks(&self, board: &Board, section: Option<&Section>) -> Vec<Rectangle> {
        let mut bands = vec![(Length::ZERO, board.width)];
        for kind in &self.kinds {
            for turned in [false, true] {
                let band = board
                    .grain
                    .map_or(Band::Everywhere, |g| g.serves(kind.rings, turned, board.thickness));
                bands = bands.into_iter().flat_map(|b| unserved(b, band)).collect();
            }
        }
        let zones = board.zones.iter().map(|zone| grown(zone, Margin::default()));
        lifted(board, section, zones.chain(along(board, bands)).collect())
    }

    /// What stands in a strip's way in a section: zones but those allowed, with what the shop keeps
    /// clear around them, and grain that doesn't serve it.
    fn bars(
        &self,
        (board, section): (&Board, Option<&Section>),
        band: Band,
        allow: &[ZoneKind],
    ) -> Vec<Rectangle> {
        let barred = board.zones.iter().filter(|zone| !allow.contains(&zone.kind));
        let zones = barred.map(|zone| grown(zone, self.shop.margin(&zone.kind)));
        let bands = unserved((Length::ZERO, board.width), band);
        lifted(board, section, zones.chain(along(board, bands)).collect())
    }
}

fn grown(zone: &Zone, Margin { along, across }: Margin) -> Rectangle {
    let (from, to) = (zone.from - along, zone.to + along);
    Rectangle { from, to, near: zone.near - across, far: zone.far + across }
}

/// Bands across a board, from end to end.
fn along(board: &Board, bands: Vec<(Length, Length)>) -> impl Iterator<Item = Rectangle> {
    let (from, to) = (Length::ZERO, board.length);
    bands.into_iter().map(move |(near, far)| Rectangle { from, to, near, far })
}

/// What lies on a board as it lies in a section.
fn lifted(board: &Board, section: Option<&Section>, all: Vec<Rectangle>) -> Vec<Rectangle> {
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
