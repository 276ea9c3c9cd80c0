//! The long axis of a drawing: lengths to drawing units, with breaks.
//!
//! One scale holds over the whole length. Where a board is so long that its details would run
//! together, stretches in which nothing begins or ends are shortened and carry a break mark.

use crate::length::{Length, Units};

/// A map from lengths along a board to drawing units.
#[derive(Clone, Debug)]
pub(crate) struct Axis {
    start: f64,
    /// Drawing units for one millimetre.
    scale: f64,
    breaks: Vec<Break>,
}

/// A stretch that is drawn shorter than it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Break {
    /// Where the stretch left out begins, in millimetres.
    pub from: f64,
    /// Where it ends, in millimetres.
    pub to: f64,
}

/// Drawing units that a break mark takes.
const MARK: f64 = 14.0;
/// A board no longer than this is drawn whole, in millimetres (12 ft).
const WHOLE: f64 = 3_660.0;
/// An uneventful stretch keeps this much at each side of its break, in millimetres.
const MARGIN: f64 = 150.0;

/// A length in millimetres, for drawing.
pub(crate) fn mm(length: Length) -> f64 {
    length.to_f64(Units::Mm)
}

impl Axis {
    /// An axis of `room` drawing units from `start` for a board of `length`; `events` are all
    /// places where something begins or ends, `held` the stretches that strips come from, which
    /// are broken last.
    pub(crate) fn new(
        length: Length,
        events: &[Length],
        held: &[(Length, Length)],
        start: f64,
        room: f64,
    ) -> Axis {
        let total = mm(length).max(1e-6);
        let mut places: Vec<f64> = events.iter().map(|&l| mm(l)).collect();
        places.push(0.0);
        places.push(total);
        places.retain(|p| (0.0..=total).contains(p));
        places.sort_by(f64::total_cmp);
        let mut breaks = Vec::new();
        let mut spare = (total - WHOLE).max(0.0);
        for sawn in [false, true] {
            let margin = if sawn { 2.0 * MARGIN } else { MARGIN };
            for pair in places.windows(2) {
                let middle = f64::midpoint(pair[0], pair[1]);
                let inside = held.iter().any(|&(a, b)| mm(a) < middle && middle < mm(b));
                // A break that saves little is not worth its mark.
                let save = (pair[1] - pair[0] - 2.0 * margin).min(spare);
                if inside == sawn && save > 2.0 * MARGIN {
                    breaks.push(Break { from: middle - save / 2.0, to: middle + save / 2.0 });
                    spare -= save;
                }
            }
        }
        breaks.sort_by(|a, b| a.from.total_cmp(&b.from));
        let left: f64 = total - breaks.iter().map(|b| b.to - b.from).sum::<f64>();
        #[allow(clippy::cast_precision_loss)]
        let marks = breaks.len() as f64 * MARK;
        Axis { start, scale: (room - marks).max(room / 2.0) / left, breaks }
    }

    /// Where a place along the board is drawn.
    pub(crate) fn at(&self, length: Length) -> f64 {
        self.at_mm(mm(length))
    }

    /// Where a place along the board, in millimetres, is drawn.
    pub(crate) fn at_mm(&self, place: f64) -> f64 {
        let mut out = self.start + place * self.scale;
        for b in &self.breaks {
            let inside = (place.min(b.to) - b.from).max(0.0);
            let share = inside / (b.to - b.from);
            out += share * MARK - inside * self.scale;
        }
        out
    }

    /// Drawing units for one millimetre, outside the breaks.
    pub(crate) fn scale(&self) -> f64 {
        self.scale
    }

    /// The stretches left out.
    pub(crate) fn breaks(&self) -> &[Break] {
        &self.breaks
    }
}

#[cfg(test)]
mod tests {
    use super::{Axis, mm};
    use crate::length::Length;

    #[test]
    fn one_scale_from_end_to_end_without_breaks() {
        let axis = Axis::new(Length::INCH * 96, &[Length::INCH * 30], &[], 10.0, 960.0);
        assert!(axis.breaks().is_empty());
        assert!((axis.at(Length::INCH * 24) - 250.0).abs() < 1e-9);
        assert!((axis.at(Length::INCH * 96) - 970.0).abs() < 1e-9);
    }

    #[test]
    fn breaks_fall_where_nothing_happens_and_the_rest_keeps_one_scale() {
        let events = [Length::INCH * 10, Length::INCH * 20, Length::INCH * 30, Length::INCH * 200];
        let axis = Axis::new(Length::INCH * 240, &events, &[], 0.0, 1000.0);
        assert!(!axis.breaks().is_empty());
        for b in axis.breaks() {
            assert!(events.iter().all(|&e| mm(e) < b.from || mm(e) > b.to));
        }
        let ten = axis.at(Length::INCH * 20) - axis.at(Length::INCH * 10);
        assert!((ten - axis.scale() * 254.0).abs() < 1e-9);
        assert!((axis.at(Length::INCH * 240) - 1000.0).abs() < 1e-6);
        let mut last = -1.0;
        for inch in 0..=240 {
            let here = axis.at(Length::INCH * inch);
            assert!(here > last);
            last = here;
        }
    }
}
