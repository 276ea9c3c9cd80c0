//! Dimensions from the marked end, above a board: each beside its own line, in rows, so that no line
//! runs through a figure.

use crate::length::Length;
use crate::report::draw::axis::Axis;
use crate::report::draw::board::{LEFT, SMALL};
use crate::report::draw::canvas::WIDTH;
use crate::report::text_width::width;
use crate::shop::layout::Layout;
use crate::shop::words::bare;

/// A dimension from the marked end.
pub(super) struct Mark {
    pub(super) place: Length,
    pub(super) text: String,
    /// It stands left of its line.
    pub(super) before: bool,
    pub(super) row: usize,
    /// Where a crosscut is made, as against the board's own end.
    pub(super) cut: bool,
}

/// From a line to its figure.
pub(super) const GAP: f64 = 3.0;

/// Crosscuts from the marked end; how many rows their figures take.
pub(super) fn crosscut_marks(layout: &Layout<'_>, axis: &Axis) -> (usize, Vec<Mark>) {
    let (units, kerf) = (layout.units(), layout.job.shop.crosscut_kerf);
    let mut places: Vec<(Length, bool)> = Vec::new();
    let mut end: Option<Length> = None;
    for section in &layout.sections {
        if section.from > Length::ZERO && end.is_none_or(|e| section.from != e + kerf) {
            places.push((section.from, true));
        }
        if section.to < layout.board.length {
            places.push((section.to, true));
        }
        end = Some(section.to);
    }
    places.push((layout.board.length, false));
    let texts: Vec<String> = places.iter().map(|(place, _)| bare(*place, units)).collect();
    let wanted: Vec<(f64, f64)> = places
        .iter()
        .zip(&texts)
        .map(|((place, _), text)| (axis.at(*place), width(text, SMALL)))
        .collect();
    let arranged = arrange(&wanted, (LEFT + 1.0, WIDTH - 4.0));
    let rows = arranged.iter().map(|(_, row)| row + 1).max().unwrap_or(0);
    let marks =
        places.into_iter().zip(texts).zip(arranged).map(|(((place, cut), text), (left, row))| {
            let before = left < axis.at(place);
            Mark { place, text, before, row, cut }
        });
    (rows, marks.collect())
}

/// Where figures begin and in which row each stands, for lines at these places (from left to right)
/// and figures so wide. Each line runs from its row down through all below it.
fn arrange(wanted: &[(f64, f64)], (low, high): (f64, f64)) -> Vec<(f64, usize)> {
    // A figure stands right of its line, but left of it at the end of the drawing, and where it would
    // stand over the line of one that does so.
    let mut after = vec![true; wanted.len()];
    for i in (0..wanted.len()).rev() {
        let (x, wide) = wanted[i];
        let right = x + GAP + wide;
        let before = x - GAP - wide >= low;
        let turned = |j: usize| !after[j] && wanted[j].0 < right + GAP;
        after[i] = !before || right <= high && !(i + 1..wanted.len()).any(turned);
    }
    let from = |i: usize| {
        let (x, wide) = wanted[i];
        let left = if after[i] { x + GAP } else { x - GAP - wide };
        left.min(high - wide)
    };
    let mut rows: Vec<Option<usize>> = vec![None; wanted.len()];
    let right = (0..wanted.len()).rev().filter(|&i| after[i]);
    for i in right.chain((0..wanted.len()).filter(|&i| !after[i])) {
        let (left, wide) = (from(i), wanted[i].1);
        // Above every line that runs through it, and every figure that it would run into.
        let above = |j: usize| {
            let row = rows[j].filter(|_| j != i)?;
            let (x, begins) = (wanted[j].0, from(j));
            let line = left - GAP < x && x < left + wide + GAP;
            let figure = left - GAP < begins + wanted[j].1 && begins < left + wide + GAP;
            (line || figure).then_some(row + 1)
        };
        rows[i] = Some((0..wanted.len()).filter_map(above).max().unwrap_or(0));
    }
    (0..wanted.len()).map(|i| (from(i), rows[i].unwrap_or(0))).collect()
}

#[cfg(test)]
mod tests {
    use super::{GAP, arrange};
    use proptest::prelude::*;

    /// Does a line run through a figure that is not its own, or its own, or figures into one another?
    fn meets(wanted: &[(f64, f64)], arranged: &[(f64, usize)]) -> bool {
        let pairs = (0..wanted.len()).flat_map(|i| (0..wanted.len()).map(move |j| (i, j)));
        pairs.into_iter().any(|(i, j)| {
            let ((left, row), wide) = (arranged[i], wanted[i].1);
            let x = wanted[j].0;
            let line = arranged[j].1 >= row && left < x && x < left + wide;
            let other = arranged[j];
            let figure =
                i != j && row == other.1 && left < other.0 + wanted[j].1 && other.0 < left + wide;
            line || figure
        })
    }

    #[test]
    fn a_long_figure_at_the_end_stands_before_its_line() {
        let wanted = [(42.0, 6.0), (621.0, 30.0), (640.0, 110.0)];
        let arranged = arrange(&wanted, (37.0, 716.0));
        assert!(!meets(&wanted, &arranged), "{arranged:?}");
        assert_eq!(arranged[0], (45.0, 0));
        assert!((arranged[2].0 + 110.0 + GAP - 640.0).abs() < 1e-9);
    }

    /// The line of a figure that stands before it runs through no figure that began farther left.
    #[test]
    fn a_figure_stands_before_its_line_where_the_next_would_run_through_it() {
        let wanted = [(550.7, 107.2), (636.9, 77.4)];
        let arranged = arrange(&wanted, (37.0, 716.0));
        assert!(!meets(&wanted, &arranged), "{arranged:?}");
    }

    proptest! {
        /// Up to six cuts of figures in two units, as close as a kerf and as far as the drawing.
        #[test]
        fn no_line_runs_through_a_figure(
            cuts in proptest::collection::vec((40.0_f64..648.0, 6.0_f64..125.0), 1..6)
        ) {
            let mut wanted = cuts;
            wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
            wanted.dedup_by(|a, b| (a.0 - b.0).abs() < 0.5);
            let arranged = arrange(&wanted, (37.0, 716.0));
            let crowded = wanted.iter().any(|w| w.0 - GAP - w.1 < 37.0)
                && wanted.iter().any(|w| w.0 + GAP + w.1 > 716.0);
            prop_assert!(crowded || !meets(&wanted, &arranged), "{wanted:?} {arranged:?}");
            for (&(_, wide), &(left, row)) in wanted.iter().zip(&arranged) {
                prop_assert!(left + wide <= 716.01 && row < wanted.len());
            }
        }
    }
}
