//! Numbers of layers that are too thin to bear them: beside the drawing, each with a line to its layer.

use crate::report::draw::canvas::{Anchor, Canvas};
use crate::report::text_width::width;

/// Size of the numbers, and from one that stands below another to the next.
const LINE: f64 = 9.0;

/// Heights at which numbers stand that belong to these heights: in order, a line of type apart, and
/// moved as little as that takes; within bounds, where they have room there.
fn spread(wanted: &[f64], line: f64, (low, high): (f64, f64)) -> Vec<f64> {
    // Rows that touch move together, to the mean of what their numbers want.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for &at in wanted {
        let (mut sum, mut count) = (at, 1);
        while let Some(&(before, many)) = blocks.last() {
            #[allow(clippy::cast_precision_loss)] // some dozens
            let (here, there) = (sum / count as f64, before / many as f64);
            #[allow(clippy::cast_precision_loss)]
            if there + line * (many + count) as f64 / 2.0 <= here {
                break;
            }
            blocks.pop();
            (sum, count) = (sum + before, count + many);
        }
        blocks.push((sum, count));
    }
    let mut out = Vec::with_capacity(wanted.len());
    for (sum, count) in blocks {
        #[allow(clippy::cast_precision_loss)]
        let (middle, half) = (sum / count as f64, (count - 1) as f64 / 2.0);
        #[allow(clippy::cast_precision_loss)]
        out.extend((0..count).map(|i| middle + (i as f64 - half) * line));
    }
    let mut least = low;
    for at in &mut out {
        *at = at.max(least);
        least = *at + line;
    }
    let mut most = high;
    for at in out.iter_mut().rev() {
        *at = at.min(most);
        most = *at - line;
    }
    out
}

/// The numbers of layers that are too thin to bear them, right of the blank, each with a line to its
/// layer.
pub(super) fn right(canvas: &mut Canvas, beside: &[(f64, String)], edge: f64, bounds: (f64, f64)) {
    let wanted: Vec<f64> = beside.iter().map(|(y, _)| *y).collect();
    for ((from, text), to) in beside.iter().zip(spread(&wanted, LINE, bounds)) {
        canvas.polyline(&[(edge, *from), (edge + 6.0, *from), (edge + 16.0, to)], "dim");
        canvas.text((edge + 18.0, to + 3.0), text, LINE, Anchor::Start, "t");
    }
}

/// The same below a section, from left to right; gives the room that takes.
pub(super) fn below(
    canvas: &mut Canvas,
    numbers: &[(f64, String)],
    bottom: f64,
    bounds: (f64, f64),
) -> f64 {
    let widest = numbers.iter().map(|(_, text)| width(text, LINE)).fold(0.0, f64::max);
    if numbers.is_empty() {
        return 0.0;
    }
    // Where there is no room for all, every second or third: they stand in order.
    let room = ((bounds.1 - bounds.0) / (widest + 2.0)).max(1.0);
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let step = (numbers.len() as f64 / room).ceil().max(1.0) as usize; // some dozens
    let numbers: Vec<&(f64, String)> = numbers.iter().step_by(step).collect();
    let wanted: Vec<f64> = numbers.iter().map(|(x, _)| *x).collect();
    for ((from, text), to) in numbers.into_iter().zip(spread(&wanted, widest + 2.0, bounds)) {
        canvas.polyline(&[(*from, bottom), (*from, bottom + 3.0), (to, bottom + 9.0)], "dim");
        canvas.text((to, bottom + 17.0), text, LINE, Anchor::Middle, "t");
    }
    18.0
}

#[cfg(test)]
mod tests {
    use super::spread;
    use proptest::prelude::*;

    const ALL: (f64, f64) = (-1e6, 1e6);

    #[test]
    fn numbers_that_would_touch_move_apart_evenly() {
        assert_eq!(spread(&[10.0, 40.0], 9.0, ALL), [10.0, 40.0]);
        assert_eq!(spread(&[10.0, 12.0], 9.0, ALL), [6.5, 15.5]);
        assert_eq!(spread(&[10.0, 12.0, 14.0, 50.0], 9.0, ALL), [3.0, 12.0, 21.0, 50.0]);
        assert!(spread(&[], 9.0, ALL).is_empty());
    }

    proptest! {
        #[test]
        fn no_two_numbers_touch(mut wanted in proptest::collection::vec(0.0_f64..200.0, 0..30)) {
            wanted.sort_by(f64::total_cmp);
            let out = spread(&wanted, 9.0, (20.0, 320.0));
            prop_assert_eq!(out.len(), wanted.len());
            prop_assert!(out.windows(2).all(|w| w[1] - w[0] >= 9.0 - 1e-9), "{:?}", out);
            prop_assert!(out.iter().all(|y| (19.99..=320.01).contains(y)), "{:?}", out);
        }
    }
}
