//! Boards bent both ways, and crooked ones: where a section ends settles where a straight-lined one
//! after it begins, and that settles how far a knot is lifted.
//!
//! As in `by_hand_sections.rs` boards are 40 mm long and 5 mm thick, and crosscuts take 1 mm. All
//! have a crook of 2 mm: a straight-lined section of length ℓ loses ℓ²/800 mm of the width. Its
//! strip lies along the reference edge, under a knot: at x the knot comes down by (x − u)²/200
//! against the line that touches the curve at u, midway along the section, so the section serves
//! only where its middle is near the knot's. Two rips beside each other have room in the width of
//! 3 mm where they follow the curve (1 mm between them), not in a straight-lined section (2 mm).
//! Long strips have too much crook to follow the curve.

use super::by_hand_sections::{BENT, Bent, Strip};
use crate::cut::ranges::Places;
use crate::length::Length;
use std::collections::BTreeSet;

const CROOKED: Bent = Bent {
    width: "3",
    crook: Length::from_units(2 * Length::MM.units()),
    rip_kerf: 2,
    wanted: &[9, 9, 9],
    ..BENT
};

/// Ranges parted at every millimetre, and at these tenths of one.
fn ranges(start: i64, end: i64) -> Places {
    let marks = |tenths: i64| -> BTreeSet<Length> {
        let mark = |n: i64| Length::from_units(Length::MM.units() * n / 10);
        (1..40).map(|n| 10 * n).chain([tenths]).map(mark).collect()
    };
    Places { starts: marks(start), ends: marks(end), ranges: true, ..Places::default() }
}

/// 5 − 9.1²/100 = 4.1719: a section of 9.1 has the deep strips, a longer one has none. Three of them:
/// one in the far rip from 8.3 to 12.35, since a knot is before it; two in the near rip, since a knot
/// is before them as well, and no section is shorter than 8.5. The long strip then begins at 13.35.
/// Its section has its middle at 23.35, and the knot from 22.1 to 24.5 comes down by 1.25²/200 =
/// 0.0078 to 1.0012. A tenth of a millimetre later it comes down to less than 1. So a section from
/// 3.25 to 12.35 it must be: the strip behind the knot ends level with two that fill the section.
#[test]
fn a_flattened_section_begins_where_two_strips_end_level_with_one_behind_a_knot() {
    let level = Bent {
        zones: &[
            "knot,0,3.2,0,1.5",
            "knot,0,8.3,1.5,3",
            "knot,22.1,24.5,1.009,3",
            "knot,34,40,0,3",
        ],
        strips: &[("1", "\"4.1719\"", "\"4.05\"", false), ("1", "1", "20", false)],
        wanted: &[3, 1],
        shop: "far_edge = 0\nmin_rip = \"8.5\"\ncurve_kerf = 1\npull = \"0.1\"\n",
        ..CROOKED
    };
    assert_eq!(level.ways(), [[3, 1]]);
    let fine = ranges(134, 334);
    assert_eq!(level.ways_at(&fine), [[3, 1]]);
    // Two thousandths lower the knot is in the way wherever the section has its middle.
    let lower = Bent {
        zones: &[
            "knot,0,3.2,0,1.5",
            "knot,0,8.3,1.5,3",
            "knot,22.1,24.5,1.007,3",
            "knot,34,40,0,3",
        ],
        ..level
    };
    assert_eq!(lower.ways(), [[3, 0]]);
    assert_eq!(lower.ways_at(&fine), [[3, 0]]);
}

/// 5 − 8.5²/100 = 4.2775: a section just as long as a section must be has a deep strip. It can lie
/// from 8.3 to 12.3 only, and the section must end there, so that the long strip begins at 13.3:
/// it begins at 3.8.
#[test]
fn a_section_as_short_as_may_be_ends_level_with_a_strip_behind_a_knot() {
    let level = Bent {
        zones: &["knot,0,9,0,1.5", "knot,0,8.3,1.5,3", "knot,22.1,24.5,1.009,3", "knot,34,40,0,3"],
        strips: &[("1", "\"4.2775\"", "4", false), ("1", "1", "20", false)],
        wanted: &[3, 1],
        shop: "far_edge = 0\nmin_rip = \"8.5\"\ncurve_kerf = 1\npull = \"0.1\"\n",
        ..CROOKED
    };
    // Or three from 9 to 17.5 and from 18.5 on.
    assert_eq!(level.ways(), [[3, 0], [1, 1]]);
    assert_eq!(level.ways_at(&ranges(134, 334)), [[3, 0], [1, 1]]);
    // Deeper ones take a shorter section.
    let deeper =
        Bent { strips: &[("1", "\"4.28\"", "4", false), ("1", "1", "20", false)], ..level };
    assert_eq!(deeper.ways(), [[0, 1]]);
}

const ENDS: Bent = Bent {
    zones: &["knot,18.3,20.7,1.009,3", "knot,28,40,0,3"],
    strips: &[("1", "5", "11", false), ("1", "5", "\"11.4\"", true), ("1", "4", "15", false)],
    wanted: &[2, 2, 1],
    shop: "far_edge = 0\nmin_rip = 11\ncurve_kerf = 1\npull = \"0.2\"\n",
    bow: Length::ZERO,
    ..CROOKED
};

/// A long strip from 12 to 27 has its middle at 19.5 and the knot from 18.3 to 20.7 at 1.0018 over
/// it; from 12.4 on the knot comes down by 1.6²/200 = 0.0128. So it lies behind two strips of 11 that
/// follow the curve beside each other, not behind one of 11.4; or from 0 to 15. To a section that
/// keeps its edge after them, ends at 11 and at 11.4 would be all the same.
#[test]
fn ends_before_a_straight_lined_section_are_told_apart() {
    let ways = [[2, 1, 0], [2, 0, 1], [1, 2, 0], [0, 1, 1]];
    assert_eq!(ENDS.ways(), ways);
    assert_eq!(ENDS.ways_at(&ranges(121, 271)), ways);
    // Bent both ways: 5 − 11.4²/100 = 3.7004 for both of the short ones, 5 − 15²/100 for the long.
    let both = Bent {
        strips: &[
            ("1", "\"3.7\"", "11", false),
            ("1", "\"3.7\"", "\"11.4\"", true),
            ("1", "\"2.75\"", "15", false),
        ],
        bow: BENT.bow,
        ..ENDS
    };
    assert_eq!(both.ways(), ways);
    assert_eq!(both.ways_at(&ranges(121, 271)), ways);
}

/// Straight-lined, a section of 21 loses 0.551 of a width of 1.6 and has a strip, one of 23 loses
/// 0.661 and has none. Nothing can follow either.
#[test]
fn a_shorter_strip_is_not_left_out_for_a_longer_one_that_makes_the_section_too_narrow() {
    let narrow = Bent {
        width: "1.6",
        strips: &[("1", "5", "21", false), ("1", "5", "23", false)],
        wanted: &[18, 9],
        shop: "far_edge = 0\nmin_rip = 4\npull = \"0.1\"\n",
        bow: Length::ZERO,
        ..CROOKED
    };
    assert_eq!(narrow.ways(), [[1, 0]]);
    assert_eq!(Bent { width: "1.7", ..narrow }.ways(), [[1, 1]]);
    // Bent both ways: 5 − 21²/100 = 0.59, and in 23 there is too little of the thickness as well.
    let thin: &[Strip] = &[("1", "\"0.59\"", "21", false), ("1", "\"0.59\"", "23", false)];
    let both = Bent { bow: BENT.bow, strips: thin, ..narrow };
    assert_eq!(both.ways(), [[1, 0]]);
    // With bow alone.
    assert_eq!(Bent { crook: Length::ZERO, ..both }.ways(), [[1, 0]]);
}
