//! Areas covered by marks, and the longest clear run beside them.

use crate::clear::Clear;
use crate::length::Length;
use std::cmp::Reverse;

/// A rectangle on a board's face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Rectangle {
    pub from: Length,
    pub to: Length,
    pub near: Length,
    pub far: Length,
}

impl Rectangle {
    /// Its area, in squared units of length.
    pub(crate) fn area(self) -> i128 {
        i128::from((self.to - self.from).units()) * i128::from((self.far - self.near).units())
    }

    fn clip(self, piece: Rectangle) -> Option<Rectangle> {
        let cut = Rectangle {
            from: self.from.max(piece.from),
            to: self.to.min(piece.to),
            near: self.near.max(piece.near),
            far: self.far.min(piece.far),
        };
        (cut.from < cut.to && cut.near < cut.far).then_some(cut)
    }
}

/// How much of a piece is covered by marks, where they overlap counted once. Marks may be very
/// many: each comes and goes once on the way along the piece.
pub(crate) fn covered(piece: Rectangle, marks: &[Rectangle]) -> i128 {
    let marks: Vec<Rectangle> = marks.iter().filter_map(|m| m.clip(piece)).collect();
    let mut across = Across::new(&marks);
    let begins = marks.iter().map(|m| (m.from, true, (m.near, m.far)));
    let ends = marks.iter().map(|m| (m.to, false, (m.near, m.far)));
    let mut stops: Vec<_> = begins.chain(ends).collect();
    stops.sort_unstable();
    let mut total = 0_i128;
    let mut at = piece.from;
    for (place, comes, span) in stops {
        total += i128::from((place - at).units()) * i128::from(across.covered().units());
        at = place;
        across.change(span, comes);
    }
    total
}

/// A line across a piece, in halves of halves, and how much of each is covered.
struct Across {
    places: Vec<Length>,
    /// How many cover all of the part, of those that don't cover all of the part that it is of;
    /// and how much of it is covered.
    nodes: Vec<(u32, Length)>,
}

impl Across {
    fn new(marks: &[Rectangle]) -> Across {
        let mut places: Vec<Length> = marks.iter().flat_map(|m| [m.near, m.far]).collect();
        places.sort_unstable();
        places.dedup();
        Across { nodes: vec![(0, Length::ZERO); places.len() * 4], places }
    }

    fn covered(&self) -> Length {
        self.nodes.first().map_or(Length::ZERO, |node| node.1)
    }

    fn change(&mut self, (near, far): (Length, Length), comes: bool) {
        let place = |at: Length| self.places.partition_point(|&p| p < at);
        let span = (place(near), place(far));
        self.change_in(0, (0, self.places.len().saturating_sub(1)), span, comes);
    }

    fn change_in(
        &mut self,
        node: usize,
        (low, high): (usize, usize),
        span: (usize, usize),
        comes: bool,
    ) {
        if span.1 <= low || high <= span.0 {
            return;
        }
        let (left, right) = (node * 2 + 1, node * 2 + 2);
        if span.0 <= low && high <= span.1 {
            let count = self.nodes[node].0;
            self.nodes[node].0 = if comes { count + 1 } else { count.saturating_sub(1) };
        } else {
            let middle = low + (high - low) / 2;
            self.change_in(left, (low, middle), span, comes);
            self.change_in(right, (middle, high), span, comes);
        }
        self.nodes[node].1 = match self.nodes[node].0 {
            0 if high - low == 1 => Length::ZERO,
            0 => self.nodes[left].1 + self.nodes[right].1,
            _ => self.places[high] - self.places[low],
        };
    }
}

/// The longest clear rectangle of a piece that is at least so wide, and of those the widest.
pub(crate) fn longest(piece: Rectangle, marks: &[Rectangle], wide: Length) -> Option<Rectangle> {
    let mut marks: Vec<Rectangle> = marks.iter().filter_map(|m| m.clip(piece)).collect();
    marks.sort_unstable_by_key(|m| (m.from, m.to));
    let mut lanes: Vec<Length> = vec![piece.near];
    lanes.extend(marks.iter().map(|m| m.far));
    lanes.sort_unstable();
    lanes.dedup();
    // Marks may be very many: each comes under the lane once and leaves it once as it moves across.
    let mut clear = Clear::new(piece.from, piece.to, marks.iter().map(|m| (m.from, m.to)));
    let mut ahead: Vec<&Rectangle> = marks.iter().collect();
    ahead.sort_by_key(|m| Reverse(m.near));
    let mut met: Vec<&Rectangle> = ahead.clone();
    met.sort_by_key(|m| Reverse(m.far));
    let mut best: Option<Rectangle> = None;
    for near in lanes.into_iter().filter(|&n| wide > Length::ZERO && n + wide <= piece.far) {
        while let Some(mark) = ahead.pop_if(|m| m.near < near + wide) {
            clear.cover(mark.from, mark.to);
        }
        while let Some(mark) = met.pop_if(|m| m.far <= near) {
            clear.uncover(mark.from, mark.to);
        }
        let run = clear.longest();
        if run <= Length::ZERO || best.is_some_and(|b| run < b.to - b.from) {
            continue;
        }
        let inside = marks.iter().filter(|m| m.near < near + wide && near < m.far);
        let mut at = piece.from;
        for (from, to) in inside.map(|m| (m.from, m.to)).chain([(piece.to, piece.to)]) {
            if from - at == run {
                let beside = |m: &&Rectangle| m.from < from && at < m.to && m.near >= near;
                let far = marks.iter().filter(beside).map(|m| m.near).min().unwrap_or(piece.far);
                let found = Rectangle { from: at, to: from, near, far };
                let size = |r: &Rectangle| (r.to - r.from, r.far - r.near);
                if best.as_ref().is_none_or(|b| size(b) < size(&found)) {
                    best = Some(found);
                }
            }
            at = at.max(to);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::{Rectangle, covered, longest};
    use crate::length::Length;
    use proptest::prelude::*;

    fn rectangle(from: i64, to: i64, near: i64, far: i64) -> Rectangle {
        let [from, to, near, far] = [from, to, near, far].map(Length::from_units);
        Rectangle { from, to, near, far }
    }

    #[test]
    fn overlaps_count_once_and_only_inside() {
        let piece = rectangle(0, 10, 0, 10);
        assert_eq!(covered(piece, &[]), 0);
        let marks = [rectangle(-5, 5, 0, 4), rectangle(3, 8, 2, 6), rectangle(20, 30, 0, 4)];
        // 5×4 and 5×4, less the 2×2 that they share.
        assert_eq!(covered(piece, &marks), 36);
    }

    #[test]
    fn the_longest_run_passes_beside_a_mark() {
        let piece = rectangle(0, 100, 0, 10);
        let marks = [rectangle(40, 50, 0, 4)];
        assert_eq!(longest(piece, &marks, Length::from_units(3)), Some(rectangle(0, 100, 4, 10)));
        assert_eq!(longest(piece, &marks, Length::from_units(7)), Some(rectangle(50, 100, 0, 10)));
        assert_eq!(longest(piece, &marks, Length::from_units(11)), None);
    }

    proptest! {
        /// Beside looking at every unit square, and at every rectangle of them.
        #[test]
        fn areas_and_runs_are_those_of_unit_squares(
            marks in prop::collection::vec((-2..9_i64, 1..5_i64, -2..6_i64, 1..4_i64), 0..7),
            wide in 0..4_i64,
        ) {
            let piece = rectangle(0, 8, 0, 5);
            let marks: Vec<Rectangle> =
                marks.iter().map(|&(x, l, y, w)| rectangle(x, x + l, y, y + w)).collect();
            let units = Length::from_units;
            let bad = |x: i64, y: i64| marks.iter().any(|m| {
                m.from <= units(x) && units(x) < m.to && m.near <= units(y) && units(y) < m.far
            });
            let squares = (0..8).flat_map(|x| (0..5).map(move |y| (x, y)));
            let count = squares.filter(|&(x, y)| bad(x, y)).count();
            prop_assert_eq!(covered(piece, &marks), count as i128);
            let mut most = None;
            for (from, near) in (0..8).flat_map(|x| (0..5).map(move |y| (x, y))) {
                for (to, far) in (from + 1..9).flat_map(|x| (near + 1..6).map(move |y| (x, y))) {
                    let clear = (from..to).all(|x| (near..far).all(|y| !bad(x, y)));
                    if clear && wide > 0 && far - near >= wide {
                        most = most.max(Some((to - from, far - near)));
                    }
                }
            }
            let found = longest(piece, &marks, units(wide));
            let size = |r: Rectangle| ((r.to - r.from).units(), (r.far - r.near).units());
            prop_assert_eq!(found.map(size), most);
        }
    }
}
