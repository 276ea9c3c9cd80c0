//! Areas covered by marks, and the longest clear run beside them.

use crate::length::Length;

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

/// How much of a piece is covered by marks, where they overlap counted once.
pub(crate) fn covered(piece: Rectangle, marks: &[Rectangle]) -> i128 {
    let mut marks: Vec<Rectangle> = marks.iter().filter_map(|m| m.clip(piece)).collect();
    marks.sort_by_key(|m| (m.near, m.far));
    let mut stops: Vec<Length> = marks.iter().flat_map(|m| [m.from, m.to]).collect();
    stops.sort_unstable();
    stops.dedup();
    let mut total = 0_i128;
    for (from, to) in stops.iter().zip(stops.iter().skip(1)) {
        let mut across = Length::ZERO;
        let mut clear = piece.near;
        for mark in marks.iter().filter(|m| m.from <= *from && *to <= m.to) {
            if mark.far > clear {
                across += mark.far - mark.near.max(clear);
                clear = mark.far;
            }
        }
        total += i128::from((*to - *from).units()) * i128::from(across.units());
    }
    total
}

/// The longest clear rectangle of a piece that is at least so wide, and of those the widest.
pub(crate) fn longest(piece: Rectangle, marks: &[Rectangle], wide: Length) -> Option<Rectangle> {
    let marks: Vec<Rectangle> = marks.iter().filter_map(|m| m.clip(piece)).collect();
    let mut lanes: Vec<Length> = vec![piece.near];
    lanes.extend(marks.iter().map(|m| m.far));
    lanes.sort_unstable();
    lanes.dedup();
    let mut best: Option<Rectangle> = None;
    for near in lanes.into_iter().filter(|&n| wide > Length::ZERO && n + wide <= piece.far) {
        let mut inside: Vec<(Length, Length)> = marks
            .iter()
            .filter(|m| m.near < near + wide && near < m.far)
            .map(|m| (m.from, m.to))
            .collect();
        inside.push((piece.to, piece.to));
        inside.sort_unstable();
        let mut clear = piece.from;
        for (from, to) in inside {
            if from > clear {
                let beside = |m: &&Rectangle| m.from < from && clear < m.to && m.near >= near;
                let far = marks.iter().filter(beside).map(|m| m.near).min().unwrap_or(piece.far);
                let found = Rectangle { from: clear, to: from, near, far };
                let size = |r: &Rectangle| (r.to - r.from, r.far - r.near);
                if best.as_ref().is_none_or(|b| size(b) < size(&found)) {
                    best = Some(found);
                }
            }
            clear = clear.max(to);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::{Rectangle, covered, longest};
    use crate::length::Length;

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
}
