//! Where sections that keep the edge may begin.

use crate::cut::sections::Builder;
use crate::length::Length;
use std::collections::BTreeSet;

/// More beginnings than this are too many to work out: sections from each of them to each of their
/// ends would fill the memory. A long board and a dozen odd lengths have millions.
const MANY_STARTS: usize = 20_000;
/// Rows of strips whose lengths differ by no more pairs than take a moment.
const MANY_ROWS: usize = 5_000;

impl Builder<'_> {
    /// Where a flattened section begins whose strips in one rip fill it, and in another lie behind
    /// a zone and end level with them: the zone's far side, less what the first strips are longer
    /// by. `None` where those are too many.
    pub(super) fn level_starts(&mut self) -> Option<Vec<Length>> {
        let kerf = self.shop.crosscut_kerf;
        let lengths = self.lengths();
        let room = self.high - self.low;
        let tos: BTreeSet<Length> = self.served.obstacles.iter().map(|o| o.to).collect();
        let Some(&last) = tos.last() else { return Some(Vec::new()) };
        // What strips one after another take.
        let mut rows: BTreeSet<Length> = BTreeSet::new();
        let mut waiting: BTreeSet<Length> = lengths.iter().copied().collect();
        while let Some(row) = waiting.pop_first() {
            if rows.len() > MANY_ROWS {
                return None;
            }
            if row <= room && rows.insert(row) {
                waiting.extend(lengths.iter().map(|&l| row + kerf + l));
            }
        }
        let mut longer: BTreeSet<Length> = BTreeSet::new();
        for &a in rows.iter().chain([&self.shop.min_rip]) {
            if self.stopped() || longer.len() > MANY_STARTS {
                return None;
            }
            let of_use = |d: &Length| *d > Length::ZERO && last - *d > self.low;
            longer.extend(rows.iter().map(|&b| a - b).filter(of_use));
        }
        let mut starts: BTreeSet<Length> = BTreeSet::new();
        for to in tos {
            starts.extend(longer.iter().map(|&d| to - d).filter(|&s| s > self.low));
            if self.stopped() || starts.len() > MANY_STARTS {
                return None;
            }
        }
        Some(starts.into_iter().collect())
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

#[cfg(test)]
mod tests {
    use crate::cut::BoardCuts;
    use crate::length::Units;
    use crate::paddle::strips::needed;
    use crate::paddle::{Job, strip_kinds};
    use crate::read::{List, boards_text, job_text};
    use crate::stop::Stop;
    use std::fmt::Write;
    use std::time::{Duration, Instant};

    /// Paddles of so many builders, each of its own odd size.
    fn class(builders: u32, (shortest, loom): (u32, u32)) -> Job {
        let mut text =
            "units = \"mm\"\n[shop]\nboard_end = 20\nfar_edge = 0\nmin_rip = 150\n".to_owned();
        for n in 0..builders {
            let (length, loom) = (shortest + 137 * n * n + 311 * n, loom + 59 * n * n);
            writeln!(
                text,
                "[[paddle]]\nname = \"p{n}\"\nlength = \"{}.{}\"\nloom = \"{}.{}\"\nthickness = 35\n\
                 rings = 0\n[[paddle.lamination]]\nname = \"spine\"\nthickness = 9\nruns = \"through\"\n\
                 centre = true\n[[paddle.lamination]]\nname = \"blade\"\nthickness = 9\nruns = \"blade\"",
                length / 10, length % 10, loom / 10, loom % 10,
            )
            .unwrap();
        }
        job_text("p.toml", &text).unwrap()
    }

    fn cuts(job: &Job, (length, crook, bow): (u32, u32, u32), stop: &Stop) -> BoardCuts {
        let csv = format!(
            "board,species,length,width,thickness,crook,bow,zone,from,to,near,far\n\
             b,fir,{length},45,39,{crook},{bow}\nb,,,,,,,knot,1000,1100,20,30"
        );
        let board = boards_text("b.csv", &csv, Units::Mm, List::OnHand).unwrap().remove(0);
        let kinds = strip_kinds(job);
        let paddles: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
        let wanted = needed(job, &kinds, &paddles);
        BoardCuts::until_stopped(&board, &job.shop, &kinds, &wanted, stop)
    }

    #[test]
    fn a_long_bent_board_of_a_dozen_odd_lengths_has_too_many_beginnings_or_ends() {
        let six = class(6, (20_500, 4_000));
        for (length, crook, bow) in [(6_100, 0, 61), (6_100, 30, 0)] {
            // Sections come after it is settled that not all are tried; there may be very many.
            let stop = &Stop::after(Some(Duration::from_secs(20)));
            let board = cuts(&six, (length, crook, bow), stop);
            assert!(board.thinned && board.may_give_more(), "{length}");
            assert!(!board.sections.is_empty(), "{length}");
        }
    }

    #[test]
    fn beginnings_and_ends_without_number_hear_a_stop() {
        let small = class(6, (9_000, 4_000));
        for bends in [(0, 300), (40, 0), (40, 300)] {
            let clock = Instant::now();
            let stop = &Stop::after(Some(Duration::from_millis(20)));
            let board = cuts(&small, (12_000, bends.0, bends.1), stop);
            assert!(!board.complete, "{bends:?}");
            // Machines may be busy.
            assert!(clock.elapsed() < Duration::from_secs(5), "{bends:?} {:?}", clock.elapsed());
        }
    }
}
