//! A section of a board with its name, its saw lines and its waste.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{Edge, Face, Section};
use crate::shop::area::Rectangle;
use crate::shop::offcuts::{Place, WorthKeeping};
use crate::shop::words::letters;

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

impl<'a> Part<'a> {
    pub(crate) fn of(
        letter: String,
        section: &'a Section,
        board: &Board,
        job: &Job,
        rule: &WorthKeeping,
    ) -> Part<'a> {
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
        let (from, to) = (section.from, section.to);
        let waste = Rectangle { from, to, near: base, far: first - kerf };
        let marks = rule.marks(board, Some(section));
        let kept = rule.clear(Place::Beside(0), waste, &marks).is_some();
        let line = if kept { base.min(first) } else { first };
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
