//! A section with what straightening and flattening take off it (MODEL 6).

use super::faults::wide;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{Edge, Face, Section};

/// A section with what its bends come to, as fractions over the board's length squared.
pub(super) struct Piece<'a> {
    pub job: &'a Job,
    pub board: &'a Board,
    pub section: &'a Section,
    /// The board's length squared.
    pub square: i128,
}

impl Piece<'_> {
    /// Do its rips follow a curve?
    pub fn curved(&self) -> bool {
        self.section.edge == Edge::Kept && self.board.crook != Length::ZERO
    }

    /// What straightening takes off, times `square`; 0 when the edge is kept.
    pub fn lining(&self) -> i128 {
        match self.section.edge {
            Edge::Kept => 0,
            Edge::Lined => self.over_section(self.board.crook),
        }
    }

    /// What flattening takes off, times `square`; 0 when the face is kept.
    pub fn flattening(&self) -> i128 {
        match self.section.face {
            Face::Kept => 0,
            Face::Flattened => self.over_section(self.board.bow),
        }
    }

    fn over_section(&self, bend: Length) -> i128 {
        wide(bend).abs() * (wide(self.section.to) - wide(self.section.from)).pow(2)
    }
}
