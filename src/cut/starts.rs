//! Where sections that keep the edge may begin.

use crate::cut::sections::Builder;
use crate::length::Length;
use std::collections::BTreeSet;

impl Builder<'_> {
    /// Where a flattened section begins whose strips in one rip fill it, and in another lie behind
    /// a zone and end level with them: the zone's far side, less what the first strips are longer
    /// by.
    pub(super) fn level_starts(&mut self) -> Vec<Length> {
        let kerf = self.shop.crosscut_kerf;
        let lengths = self.lengths();
        let room = self.high - self.low;
        // What strips one after another take.
        let mut rows: BTreeSet<Length> = BTreeSet::new();
        let mut waiting: BTreeSet<Length> = lengths.iter().copied().collect();
        while let Some(row) = waiting.pop_first() {
            if row <= room && rows.insert(row) {
                waiting.extend(lengths.iter().map(|&l| row + kerf + l));
            }
        }
        let mut longer: BTreeSet<Length> = BTreeSet::new();
        for &a in rows.iter().chain([&self.shop.min_rip]) {
            if self.stopped() {
                return Vec::new();
            }
            longer.extend(rows.iter().map(|&b| a - b).filter(|&d| d > Length::ZERO));
        }
        let tos: BTreeSet<Length> = self.served.obstacles.iter().map(|o| o.to).collect();
        let mut starts: BTreeSet<Length> = BTreeSet::new();
        for to in tos {
            if self.stopped() {
                return Vec::new();
            }
            starts.extend(longer.iter().map(|&d| to - d).filter(|&s| s > self.low));
        }
        starts.into_iter().collect()
    }

    /// The lengths of the strips that can be counted on the board.
    pub(super) fn lengths(&self) -> Vec<Length> {
        let mut lengths: Vec<Length> =
            self.served.items.iter().map(|i| self.kinds[i.kind].length).collect();
        lengths.sort_unstable();
        lengths.dedup();
        lengths
    }

    /// Beginnings of strips pushed towards the far end: between two of them no section end makes a
    /// difference to what can follow.
    pub(super) fn right_starts(&mut self) -> Vec<Length> {
        let kerf = self.shop.crosscut_kerf;
        let mut lengths = self.lengths();
        lengths.push(self.shop.min_rip);
        lengths.sort_unstable();
        lengths.dedup();
        let mut ends: BTreeSet<Length> = BTreeSet::from([self.high]);
        ends.extend(self.served.obstacles.iter().map(|o| o.from).filter(|&f| f < self.high));
        let mut classes = BTreeSet::new();
        while let Some(end) = ends.pop_last() {
            if self.stopped() {
                break;
            }
            for &length in &lengths {
                let start = end - length;
                if start > self.low && classes.insert(start) {
                    ends.insert(start - kerf);
                }
            }
        }
        classes.into_iter().collect()
    }
}
