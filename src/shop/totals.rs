//! Where the wood goes: strips, sawdust, planing, defect and offcuts, to the last cubed unit.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{CutBoard, Edge, Rip, Section};
use crate::shop::area::{self, Rectangle};
use crate::shop::layout::Layout;
use crate::shop::offcuts::{Keep, WorthKeeping};
use crate::verify::VerifiedPlan;

/// The volumes of a plan, in cubed units of length. The parts add up to `wood` exactly.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// All the wood of the boards opened.
    pub wood: i128,
    /// Rough strips, as they come off the saw.
    pub strips: i128,
    /// Sawdust: every crosscut, rip and resaw that the plan needs. A gap between two pieces that
    /// is at least two kerfs wide holds two, a narrower one is all sawdust.
    pub kerf: i128,
    /// Thickness that rips lose to flattening and to planing down to their leaves.
    pub planed: i128,
    /// Wood outside the strips that is marked with a zone, and wood whose grain serves no strip
    /// of the job either way.
    pub defect: i128,
    /// The ends of boards, and the edges of ripped sections, that are cleaned or straightened
    /// away.
    pub edges: i128,
    /// Clear wood left over: unused lengths, what lies beside and between rips, and what is left
    /// of rips beside their strips.
    pub offcuts: i128,
    /// The best offcut worth keeping.
    pub best: Option<Offcut>,
    /// Strips cut.
    pub count: usize,
}

/// The clear piece of an offcut worth keeping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offcut {
    /// Index of the opened board in the plan.
    pub board: usize,
    /// Where it begins, from the marked end.
    pub from: Length,
    /// Along the grain.
    pub length: Length,
    /// Across: clear all along.
    pub width: Length,
    /// Its thickness, where it is not the board's.
    pub thickness: Option<Length>,
    /// The stoutest strip that it is large enough for, as (paddle, lamination).
    pub serves: Option<(usize, usize)>,
}

/// Adds up a plan, verified for this job and these boards.
pub fn totals(plan: &VerifiedPlan, job: &Job, boards: &[Board]) -> Totals {
    let rule = WorthKeeping::of(job);
    let best = best_offcut(plan, job, boards);
    let mut totals = Totals { count: plan.strips().count(), best, ..Totals::default() };
    for cut in &plan.boards {
        if let Some(board) = boards.get(cut.board) {
            totals.wood += board.volume();
            Pieces { job, board, cut, rule: &rule, totals: &mut totals }.sum();
        }
    }
    totals
}

/// The best of the offcuts worth keeping: that which is large enough for the stoutest strip; of
/// equals, and where none is, the longest, then the widest, then the thickest.
pub fn best_offcut(plan: &VerifiedPlan, job: &Job, boards: &[Board]) -> Option<Offcut> {
    let layouts = Layout::all(plan, job, boards);
    let all = layouts.iter().flat_map(|l| l.keeps.iter().map(move |keep| (l, keep)));
    let rank = |keep: &Keep| {
        let clear = keep.clear;
        let size = (clear.to - clear.from, clear.far - clear.near, keep.thickness);
        (keep.serves.map(|s| s.volume), size)
    };
    let best = all.reduce(|best, next| if rank(next.1) > rank(best.1) { next } else { best });
    best.map(|(layout, keep)| Offcut {
        board: layout.index,
        from: keep.clear.from,
        length: keep.clear.to - keep.clear.from,
        width: keep.clear.far - keep.clear.near,
        thickness: Some(keep.thickness).filter(|&t| t != layout.board.thickness),
        serves: keep.serves.map(|s| s.line),
    })
}

impl Totals {
    /// The parts by name, in the order they are shown in. They add up to the wood.
    pub fn parts(&self) -> [(&'static str, i128); 6] {
        [
            ("strips, rough", self.strips),
            ("sawdust", self.kerf),
            ("planed away", self.planed),
            ("zones and unfit grain", self.defect),
            ("board ends and edges", self.edges),
            ("offcuts", self.offcuts),
        ]
    }
}

/// Shares of a whole in thousandths, rounded so that they add up to 1000 exactly: each is
/// rounded down, and the largest remainders get what is missing (of equals, the first). All are
/// 0 where there is nothing to share.
pub fn shares(parts: &[i128]) -> Vec<u32> {
    let whole: i128 = parts.iter().sum();
    if whole <= 0 || parts.iter().any(|&p| p < 0) {
        return vec![0; parts.len()];
    }
    let mut out: Vec<(u32, i128, usize)> = parts
        .iter()
        .enumerate()
        .map(|(i, &p)| (u32::try_from(p * 1000 / whole).unwrap_or(1000), p * 1000 % whole, i))
        .collect();
    let missing = 1000_u32.saturating_sub(out.iter().map(|o| o.0).sum());
    out.sort_by_key(|o| (std::cmp::Reverse(o.1), o.2));
    for share in out.iter_mut().take(missing as usize) {
        share.0 += 1;
    }
    out.sort_by_key(|o| o.2);
    out.into_iter().map(|o| o.0).collect()
}

/// One board being added up.
struct Pieces<'a> {
    job: &'a Job,
    board: &'a Board,
    cut: &'a CutBoard,
    rule: &'a WorthKeeping,
    totals: &'a mut Totals,
}

fn wide(length: Length) -> i128 {
    i128::from(length.units())
}

/// Sawdust in a gap with pieces on so many sides of it.
fn sawdust(gap: Length, kerf: Length, sides: i64) -> Length {
    gap.min(kerf * sides).max(Length::ZERO)
}

impl Pieces<'_> {
    fn sum(&mut self) {
        let board = self.board;
        let mut at = Length::ZERO;
        let mut sides = 0;
        for section in &self.cut.sections {
            self.unused(at, section.from, sides, true);
            self.section(section);
            (at, sides) = (section.to, 1);
        }
        self.unused(at, board.length, sides, false);
    }

    /// A full-width stretch that no section uses, with pieces before and after it as said.
    fn unused(&mut self, from: Length, to: Length, before: i64, after: bool) {
        let (board, shop) = (self.board, &self.job.shop.at(self.board));
        if to <= from {
            return;
        }
        let face = wide(board.width) * wide(board.thickness);
        let (mut from, mut to) = (from, to);
        // The kerf of a cut lies beside its piece, and counts before the board's end does.
        let sides = before + i64::from(after);
        let dust = sawdust(to - from, shop.crosscut_kerf, sides);
        self.totals.kerf += wide(dust) * face;
        if before > 0 {
            from += if after && dust < shop.crosscut_kerf * 2 { dust } else { shop.crosscut_kerf };
        }
        if after {
            to = (to - shop.crosscut_kerf).max(from);
        }
        let from = from.min(to);
        // Board ends.
        let low = from.max(shop.board_end).min(to);
        let high = to.min(board.length - shop.board_end).max(low);
        self.totals.edges += (wide(low - from) + wide(to - high)) * face;
        let rest = Rectangle { from: low, to: high, near: Length::ZERO, far: board.width };
        let marked = self.rule.marks(board, None);
        self.leftover(&marked, rest, board.thickness);
    }

    fn section(&mut self, section: &Section) {
        let board = self.board;
        let length = section.to - section.from;
        let slab = wide(length) * wide(board.thickness);
        let marked = self.rule.marks(board, Some(section));
        let whole = |near, far| Rectangle { from: section.from, to: section.to, near, far };
        if section.rips.is_empty() {
            self.leftover(&marked, whole(Length::ZERO, board.width), board.thickness);
            return;
        }
        let lost = match section.edge {
            Edge::Kept => Length::ZERO,
            Edge::Lined => board.crook().loss(length),
        };
        let hollow = board.crook > Length::ZERO;
        let shop = self.job.shop.at(board);
        let low = shop.edge + if hollow { lost } else { Length::ZERO };
        let high = board.width - shop.far_edge - if hollow { Length::ZERO } else { lost };
        let first = section.rips.first().map_or(low, |r| r.near);
        // A plan that was verified begins at or beyond `low`, but for a part of a unit.
        let low = low.min(first);
        self.totals.edges += (wide(low) + wide(board.width - high)) * slab;
        let kerf = shop.kerf(section.follows(board));
        let mut at = low;
        let mut before = 0;
        for rip in &section.rips {
            let gap = rip.near - at;
            let dust = sawdust(gap, kerf, before + 1);
            self.totals.kerf += wide(dust) * slab;
            if gap > dust {
                let near = if before > 0 { at + kerf } else { at };
                self.leftover(&marked, whole(near, rip.near - kerf), board.thickness);
            }
            self.rip(section, rip, &marked);
            (at, before) = (rip.far, 1);
        }
        let high = high.max(at);
        let dust = sawdust(high - at, kerf, 1);
        self.totals.kerf += wide(dust) * slab;
        self.leftover(&marked, whole(at + dust, high), board.thickness);
    }

    fn rip(&mut self, section: &Section, rip: &Rip, marked: &[Rectangle]) {
        let (board, shop) = (self.board, &self.job.shop);
        let across = wide(rip.far - rip.near);
        let area = across * wide(section.to - section.from);
        let cuts = i128::try_from(rip.leaves.len().saturating_sub(1)).unwrap_or(0);
        let resawn = wide(shop.resaw_kerf.unwrap_or_default()) * cuts;
        let leaves: i128 = rip.leaves.iter().map(|l| wide(l.thickness)).sum();
        self.totals.kerf += resawn * area;
        self.totals.planed += (wide(board.thickness) - leaves - resawn) * area;
        for leaf in &rip.leaves {
            let face = across * wide(leaf.thickness);
            let kerf = shop.crosscut_kerf;
            let part = |from, to| Rectangle { from, to, near: rip.near, far: rip.far };
            let mut at = section.from;
            let mut before = 0;
            for strip in &leaf.strips {
                let gap = strip.from - at;
                let dust = sawdust(gap, kerf, before + 1);
                self.totals.kerf += wide(dust) * face;
                if gap > dust {
                    let from = if before > 0 { at + kerf } else { at };
                    self.leftover(marked, part(from, strip.from - kerf), leaf.thickness);
                }
                self.totals.strips += wide(strip.to - strip.from) * face;
                (at, before) = (strip.to, 1);
            }
            let dust = sawdust(section.to - at, kerf, before);
            self.totals.kerf += wide(dust) * face;
            self.leftover(marked, part(at + dust, section.to), leaf.thickness);
        }
    }

    /// Adds a piece that is no strip to defect and offcuts.
    fn leftover(&mut self, marked: &[Rectangle], piece: Rectangle, thick: Length) {
        if piece.to <= piece.from || piece.far <= piece.near {
            return;
        }
        let all = piece.area();
        let bad = area::covered(piece, marked);
        self.totals.defect += bad * wide(thick);
        self.totals.offcuts += (all - bad) * wide(thick);
    }
}
