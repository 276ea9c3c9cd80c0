//! Straight-lined sections: where they begin and end, and what stands in their way (MODEL 6).

use crate::cut::across::{Across, Lying};
use crate::cut::ranges::Range;
use crate::cut::sections::{Builder, Leaves};
use crate::cut::serve::{Mode, Obstacle};
use crate::length::Length;
use std::collections::BTreeSet;

/// With more ends than this from one beginning on there are too many pairs of a beginning and an
/// end: a board of 20 ft and a dozen odd lengths took 700 MB.
const MANY_ENDS: usize = 2_000;

impl Builder<'_> {
    /// Would straight-lined sections have far more ends than can be tried?
    pub(super) fn many_lined_ends(&mut self) -> bool {
        self.lined_ends(self.low).len() > MANY_ENDS
    }

    /// Straight-lined sections that begin at `start`; returns their ends.
    pub(super) fn lined(&mut self, mode: Mode, start: Length) -> Vec<Length> {
        let mut ends = self.lined_ends(start);
        if self.lined_alike() {
            ends = self.farthest(mode, start, ends);
        }
        let least = start + self.shortest;
        ends.extend(self.places.ends.iter().copied().filter(|&e| e >= least && e <= self.high));
        ends.sort_unstable();
        ends.dedup();
        for &end in &ends {
            if self.stopped() || self.full() {
                break;
            }
            let reach = self.places.reach((start, end), self.high, self.shortest);
            let (lying, across) = if self.places.ranges {
                self.over_range(Range { first: (start, end), last: reach, shortest: self.shortest })
            } else {
                self.lifted(start, end)
            };
            let graph = self.graph(&lying, across, &[mode], start);
            let rows = self.graphs[graph].rows.clone();
            if rows.is_empty() {
                self.forget_graph();
                continue;
            }
            let profiles: Vec<Leaves> =
                rows.iter().map(|row| self.leaves(mode, row, start)).collect();
            if !self.add((start, end), reach, mode, graph, &rows, &profiles) {
                self.forget_graph();
            }
        }
        ends
    }

    /// The graph of straight-lined sections over one range of all places.
    pub(super) fn whole_graph(&mut self, modes: &[Mode]) -> usize {
        let (low, high, shortest) = (self.low, self.high, self.shortest);
        let range = Range { first: (low, low + shortest), last: (high - shortest, high), shortest };
        let (lying, across) = self.over_range(range);
        self.graph(&lying, across, modes, low)
    }

    /// Where strips that begin at `start`, at a zone's far side or after a neighbour can end.
    fn lined_ends(&mut self, start: Length) -> Vec<Length> {
        let kerf = self.shop.crosscut_kerf;
        let lengths = self.lengths();
        let mut begins: BTreeSet<Length> = BTreeSet::from([start]);
        begins.extend(self.served.obstacles.iter().map(|o| o.to).filter(|&t| t > start));
        let mut ends = BTreeSet::new();
        let stop = self.stop.clone();
        let mut watch = stop.watch();
        while let Some(begin) = begins.pop_first() {
            if watch.asked() {
                self.complete = false;
                return Vec::new();
            }
            for &length in &lengths {
                let end = begin + length;
                if end <= self.high && ends.insert(end) {
                    begins.insert(end + kerf);
                }
            }
        }
        let least = start + self.shop.min_rip;
        let mut ends: Vec<Length> = ends.into_iter().map(|e| e.max(least)).collect();
        ends.dedup();
        ends.retain(|&e| e <= self.high);
        ends
    }

    /// The obstacles that a straight-lined section meets, lifted by the board's curve over their
    /// own reach, and its usable width.
    fn lifted(&self, start: Length, end: Length) -> (Vec<Lying>, Across) {
        let crook = self.board.crook();
        let lying = self.lying(|o| {
            let (from, to) = (o.from.max(start), o.to.min(end));
            (from < to).then(|| crook.lifts(from, to, start, end))
        });
        (lying, Across::lined(self.board, self.shop, end - start))
    }

    /// The obstacles that all sections of a range meet, as much of them as is common to all, and
    /// the greatest usable width.
    fn over_range(&self, range: Range) -> (Vec<Lying>, Across) {
        let crook = self.board.crook();
        let lying = self.lying(|o| range.lifts(crook, (o.from, o.to)));
        let (near, far) =
            range.across(crook, self.shop.edge, self.board.width - self.shop.far_edge);
        (lying, Across { near, far, kerf: self.shop.rip_kerf, follows: false })
    }

    /// Obstacles lifted on their near and far sides; those that are not met, or of which nothing
    /// is left, are left out.
    fn lying(&self, lifts: impl Fn(&Obstacle) -> Option<(Length, Length)>) -> Vec<Lying> {
        let mut lying = Vec::new();
        for (i, o) in self.served.obstacles.iter().enumerate() {
            let Some(lift) = lifts(o) else { continue };
            let (near, far) = (o.near + lift.0, o.far + lift.1);
            if near < far {
                let obstacle = u16::try_from(i).unwrap_or(u16::MAX);
                lying.push(Lying { obstacle, near, far });
            }
        }
        lying
    }
}
