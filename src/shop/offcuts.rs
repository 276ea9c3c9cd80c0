//! Offcuts worth keeping.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{Edge, Section};

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

/// The job's thinnest rough strip.
pub(crate) fn thinnest(job: &Job) -> Length {
    let rough = |l: &crate::paddle::Lamination| l.thickness + job.shop.dress * 2;
    job.paddles.iter().flat_map(|p| &p.laminations).map(rough).min().unwrap_or(Length::INCH)
}

/// The job's shortest rough strip.
pub(crate) fn shortest(job: &Job) -> Length {
    let lengths = job.paddles.iter().flat_map(|p| p.laminations.iter().map(|l| p.rough_length(l)));
    lengths.min().unwrap_or_default()
}

/// What a leaf leaves between and beyond its strips.
pub(crate) fn gaps(
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
pub(crate) fn clear(board: &Board, section: Option<&Section>, keep: &Keep, end: Length) -> Length {
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
