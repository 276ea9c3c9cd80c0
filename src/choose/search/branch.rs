//! Which board to decide next in the search for sets.

use crate::choose::effort::node::CLOSE;
use crate::choose::kernel::cover::{Cover, Fate};

/// What it did to the cost, so far, to open less or more of each lot.
#[derive(Clone, Debug)]
pub struct Gains {
    /// Sum and number for less, and for more.
    by_lot: Vec<[(f64, f64); 2]>,
}

impl Gains {
    /// Nothing known of so many lots.
    pub fn new(lots: usize) -> Self {
        Gains { by_lot: vec![[(0.0, 0.0); 2]; lots] }
    }

    /// Takes in what one board less, and one more, of a lot did for each whole board.
    pub fn learn(&mut self, lot: usize, gains: [Option<f64>; 2]) {
        for (known, gain) in self.by_lot[lot].iter_mut().zip(gains) {
            if let Some(gain) = gain {
                *known = (known.0 + gain, known.1 + 1.0);
            }
        }
    }

    /// The board to decide next: of a lot that is opened in part, where it has cost most so far
    /// to open less or more of it.
    pub fn halfway(
        &self,
        cover: &Cover<'_>,
        fates: &[Fate],
        (boards, opened): (&[usize], &[f64]),
    ) -> Option<usize> {
        let mean = |side: usize| {
            let known = self.by_lot.iter().map(|g| g[side]);
            let (sum, number) = known.fold((0.0, 0.0), |a, g| (a.0 + g.0, a.1 + g.1));
            if number > 0.0 { sum / number } else { 1.0 }
        };
        let means = [mean(0), mean(1)];
        let mut best: Option<(f64, usize)> = None;
        let mut at = 0;
        while at < boards.len() {
            let lot = cover.stock[boards[at]].lot;
            let mut end = at;
            while end < boards.len() && cover.stock[boards[end]].lot == lot {
                end += 1;
            }
            let here = at..end;
            at = end;
            let open: Vec<usize> = here.filter(|&i| fates[boards[i]] == Fate::Open).collect();
            let whole = |x: f64| !(CLOSE..=1.0 - CLOSE).contains(&x);
            if open.iter().all(|&i| whole(opened[i])) {
                continue;
            }
            let sum: f64 = open.iter().map(|&i| opened[i]).sum();
            let part = sum - sum.floor();
            let part = if whole(part) { 0.5 } else { part };
            let gain = |side: usize| {
                let (sum, number) = self.by_lot[lot][side];
                if number > 0.0 { sum / number } else { means[side] }
            };
            let score = (gain(0) * part).max(1e-6) * (gain(1) * (1.0 - part)).max(1e-6);
            // Boards of a lot are opened in their order: this one and the next, or not.
            let mut count = 0;
            let place = open.iter().find(|_| {
                count += 1;
                f64::from(count) > sum
            });
            let board = boards[*place.unwrap_or(&open[open.len() - 1])];
            if best.is_none_or(|b| score > b.0) {
                best = Some((score, board));
            }
        }
        best.map(|b| b.1)
    }
}
