//! A section of a board with its name, its saw lines and its waste.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Job, Shop};
use crate::plan::{Edge, Face, Rip, Section};
use crate::shop::area::Rectangle;
use crate::shop::offcuts::{Place, WorthKeeping};
use crate::shop::words::letters;

/// Up to this much is planed off rather than resawn, 3/16 in.
pub(super) const THIN: Length = Length::inch_fraction(3, 16);

/// A section with its name and its saw lines.
pub(crate) struct Part<'a> {
    /// `A`, `B` …
    pub letter: String,
    /// The section in the plan.
    pub section: &'a Section,
    /// Where it is crosscut, from the board's marked end: at its first strip, so that a split at an
    /// end is cut away once and not strip by strip.
    pub from: Length,
    /// Where it is crosscut at its far end.
    pub to: Length,
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
    /// It is wider than the planer takes.
    pub wide: bool,
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
        let wide = board.width > shop.planer.widest;
        let kerf = shop.kerf(follows);
        let (from, to) = sawn(section, board, shop);
        let length = to - from;
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
        let planed = stoutest(section, thickness, shop.resaw_kerf);
        // A first piece of waste that is worth keeping is ripped off; any other goes in one with
        // straightening the edge.
        let waste = Rectangle { from, to, near: base, far: first - kerf };
        let kept = rule.clear((board, Some(section)), Place::Beside(0), waste, planed).is_some();
        let line = if kept { base.min(first) } else { first };
        Part { letter, section, from, to, line, limit, crook: gap, thickness, follows, kerf, wide }
    }

    /// Where a strip that lies so begins or ends, from the piece's marked end.
    pub(crate) fn within(&self, at: Length) -> Length {
        at - self.from
    }

    /// How much thickness the leaves of a rip take, kerfs between them counted.
    pub(crate) fn stack(&self, rip: &Rip, resaw: Option<Length>) -> Length {
        stack(rip, resaw)
    }

    /// The thickness to which the whole section is planed before it is ripped: that of its
    /// stoutest rip. A section wider than the planer is ripped first; so is one whose strips all
    /// lie turned and which is much too thick, since each can be resawn or planed on its wide
    /// face, and what is kept beside them stays as thick as it is.
    pub(crate) fn planed(&self, resaw: Option<Length>) -> Length {
        let most = self.stoutest(resaw);
        let turned = self.section.rips.iter().all(|r| r.turned);
        if self.wide || turned && self.thickness - most > THIN {
            return self.thickness;
        }
        most
    }

    /// The thickness of its stoutest rip; its own where it has none.
    pub(crate) fn stoutest(&self, resaw: Option<Length>) -> Length {
        stoutest(self.section, self.thickness, resaw)
    }

    /// Its length.
    pub(crate) fn length(&self) -> Length {
        self.to - self.from
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

/// How much thickness the leaves of a rip take, kerfs between them counted.
fn stack(rip: &Rip, resaw: Option<Length>) -> Length {
    let cuts = i64::try_from(rip.leaves.len().saturating_sub(1)).unwrap_or(0);
    rip.leaves.iter().map(|l| l.thickness).sum::<Length>() + resaw.unwrap_or_default() * cuts
}

/// The thickness of a section once it is planed to its stoutest rip.
fn stoutest(section: &Section, thickness: Length, resaw: Option<Length>) -> Length {
    let most = section.rips.iter().map(|r| stack(r, resaw)).max();
    most.filter(|&m| m > Length::ZERO && m < thickness).unwrap_or(thickness)
}

/// Where a section is crosscut: at its first and its last strip, where that takes no cut more than
/// the plan's. A straightened one stays as it is, since its places are from its chord.
pub(crate) fn sawn(section: &Section, board: &Board, shop: &Shop) -> (Length, Length) {
    let strips = || section.rips.iter().flat_map(|r| &r.leaves).flat_map(|l| &l.strips);
    let (first, last) = (strips().map(|s| s.from).min(), strips().map(|s| s.to).max());
    let (Some(first), Some(last)) = (first, last) else { return (section.from, section.to) };
    let (mut from, mut to) = (section.from, section.to);
    let kerf = shop.crosscut_kerf;
    if from > Length::ZERO || first >= kerf {
        from = from.max(first);
    }
    if to < board.length || board.length - last >= kerf {
        to = to.min(last);
    }
    if section.edge == Edge::Lined && board.crook != Length::ZERO || to - from < shop.min_rip {
        return (section.from, section.to);
    }
    (from, to)
}
