//! What of a board looks wrong before anything is planned: slips of the pen that the rules allow.

use crate::length::{Length, Units};
use crate::lumber::{BENT, Board, Slope, Zone};
use crate::shop::words::near;

/// Something about a board that looks wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// The zone it is about, by its place in the board's list.
    pub zone: Option<usize>,
    /// What looks wrong, as a sentence without its subject.
    pub text: String,
}

/// A zone that covers so much of its board, in per cent, is rather a board of another grade.
const MOST: i128 = 80;

/// What looks wrong about a board.
pub fn doubts(board: &Board, units: Units) -> Vec<Doubt> {
    let mut out = Vec::new();
    let mut say = |zone: Option<usize>, text: String| out.push(Doubt { zone, text });
    if board.thickness > board.width {
        say(None, "thicker than it is wide: are the two exchanged?".to_owned());
    }
    if board.width > board.length {
        say(None, "wider than it is long: are the two exchanged?".to_owned());
    }
    let most = Length::from_units(board.length.units() / BENT);
    for (what, bend) in [("crook", board.crook), ("bow", board.bow)] {
        if bend.abs() > most {
            let text = format!(
                "{what} of {} is more than 1 in {BENT} of its length: is it the gap at the middle?",
                near(bend.abs(), units)
            );
            say(None, text);
        }
    }
    if board.runout.is_some_and(|slope| slope.steeper_than(Slope::STEEPEST)) {
        say(None, format!("slope of grain steeper than {}: is it rise to run?", Slope::STEEPEST));
    }
    for (z, zone) in board.zones.iter().enumerate() {
        for text in zone_doubts(board, z, zone) {
            say(Some(z), text);
        }
    }
    out
}

fn zone_doubts(board: &Board, z: usize, zone: &Zone) -> Vec<String> {
    let mut out = Vec::new();
    let area = |l: Length, w: Length| i128::from(l.units()) * i128::from(w.units());
    let share = area(zone.to - zone.from, zone.far - zone.near) * 100;
    if share >= area(board.length, board.width) * MOST {
        out.push("covers nearly the whole board".to_owned());
    }
    let knot = zone.kind.as_str().contains("knot");
    if knot && zone.to - zone.from > board.width * 2 {
        out.push("is a knot longer than twice the board's width".to_owned());
    }
    let within = |other: &Zone| {
        other.kind == zone.kind
            && other.from <= zone.from
            && zone.to <= other.to
            && other.near <= zone.near
            && zone.far <= other.far
    };
    let twice = |(o, other): (usize, &Zone)| o != z && within(other) && (other != zone || o < z);
    if board.zones.iter().enumerate().any(twice) {
        out.push("lies inside another of its kind: is it listed twice?".to_owned());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::doubts;
    use crate::length::{Length, Units};
    use crate::lumber::{Board, Species, Zone, ZoneKind};

    fn zone([from, to, near, far]: [i64; 4]) -> Zone {
        let [from, to, near, far] = [from, to, near, far].map(|n| Length::INCH * n);
        Zone { kind: ZoneKind::new("knot"), from, to, near, far }
    }

    #[test]
    fn slips_of_the_pen_are_told_and_sound_boards_are_not() {
        let sizes = [96, 6, 1].map(|n| Length::INCH * n);
        let sound = Board {
            zones: vec![zone([10, 12, 1, 2]), zone([40, 41, 0, 1])],
            crook: Length::INCH,
            ..Board::plain("one", Species::new("red alder"), sizes)
        };
        assert_eq!(doubts(&sound, Units::Inch), []);
        let texts = |board: &Board| -> Vec<(Option<usize>, String)> {
            doubts(board, Units::Inch).into_iter().map(|d| (d.zone, d.text)).collect()
        };
        let zones = vec![zone([10, 12, 1, 2]), zone([0, 96, 0, 6]), zone([10, 12, 1, 2])];
        let odd =
            Board { zones, width: Length::INCH, thickness: Length::INCH * 6, ..sound.clone() };
        let found = texts(&odd);
        assert!(found[0].1.contains("thicker than it is wide"));
        let of = |z| found.iter().filter(move |f| f.0 == Some(z)).count();
        assert_eq!([of(0), of(1), of(2)], [1, 2, 1], "{found:?}");
        let bent = Board { crook: Length::INCH * 3, ..sound };
        assert!(texts(&bent)[0].1.contains("more than 1 in 48"));
    }
}
