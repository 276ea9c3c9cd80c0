//! On the line and one unit of 12.5 nm beyond it: zones that a straight line lifts, and the band of
//! grain beside the pith. Every figure is worked out by hand from MODEL 4 to 6.

use crate::verify_ties::{CROWNED, Case, HOLLOW, NO, UNIT, inch};
use stripwright::length::Length;
use stripwright::lumber::{Angle, Grain, Zone, ZoneKind};
use stripwright::paddle::Margin;
use stripwright::plan::Edge;
use stripwright::verify::Rule;

fn knot(from: Length, to: Length, near: Length, far: Length) -> Zone {
    Zone { kind: ZoneKind::new("knot"), from, to, near, far }
}

/// With a crook c over the length L what lies at x is lifted by 4c/L²·x(L − x): at 8 in of 32 by 3/4
/// of c, in the middle by all of it. A zone's far side by the most of what it is lifted anywhere, its
/// near side by the least; crowned the other way round.
#[test]
fn zones_are_lifted_by_the_least_and_the_most_along_them() {
    let of = |crook, from: i64, to: i64| {
        let mut case = Case::new(false).lined(crook);
        let zone = knot(inch(from, 1), inch(to, 1), inch(10, 1), inch(12, 1));
        case.board().zones.push(zone);
        case
    };
    let (near, far) = (inch(10, 1), inch(12, 1));
    // (from, to, least, most) in 64ths of an inch: c is 16 of them.
    for (from, to, least, most) in
        [(8, 24, 12, 16), (20, 28, 7, 15), (4, 12, 7, 15), (8, 16, 12, 16), (0, 32, 0, 16)]
    {
        of(HOLLOW, from, to).ends(near + inch(least, 64), Rule::Zone);
        of(HOLLOW, from, to).begins(far + inch(most, 64), Rule::Zone);
        of(CROWNED, from, to).ends(near - inch(most, 64), Rule::Zone);
        of(CROWNED, from, to).begins(far - inch(least, 64), Rule::Zone);
    }
    // Kept, the edge bends with the zone.
    let mut kept = of(HOLLOW, 8, 24);
    kept.section().edge = Edge::Kept;
    kept.ends(near, Rule::Zone);
    kept.begins(far, Rule::Zone);
}

/// Only the part of a zone that lies in the section is lifted: from 8 to 24 in the chord is 16 in
/// long, and at 20 in the lift is 4c/32²·12·4 = 3/16 of c.
#[test]
fn a_zone_is_lifted_over_its_part_in_the_section() {
    let of = |from: i64, to: i64| {
        let mut case = Case::new(false).lined(HOLLOW);
        case.job.paddles[0].length = inch(16, 1);
        (case.section().from, case.section().to) = (inch(8, 1), inch(24, 1));
        (case.strip().from, case.strip().to) = (inch(8, 1), inch(24, 1));
        case.board().zones.push(knot(inch(from, 1), inch(to, 1), inch(10, 1), inch(12, 1)));
        case
    };
    for (from, to) in [(20, 30), (2, 12)] {
        of(from, to).ends(inch(10, 1), Rule::Zone);
        of(from, to).begins(inch(12, 1) + inch(3, 64), Rule::Zone);
    }
    // What lies beside the section is not met.
    for (from, to) in [(24, 30), (2, 8)] {
        assert_eq!(of(from, to).near(inch(11, 1)), []);
    }
}

/// A margin of 1/2 in along and 1/4 in across, and zones that end where a strip begins.
#[test]
fn a_strip_may_touch_the_margin_of_a_zone() {
    let of = |from: Length, to: Length| {
        let mut case = Case::new(false);
        case.job.paddles[0].length = inch(16, 1);
        (case.strip().from, case.strip().to) = (inch(8, 1), inch(24, 1));
        let margin = Margin { along: inch(1, 2), across: inch(1, 4) };
        case.job.shop.margins.insert(ZoneKind::new("knot"), margin);
        case.board().zones.push(knot(from, to, inch(10, 1), inch(12, 1)));
        case
    };
    let over = of(inch(9, 1), inch(10, 1));
    over.ends(inch(39, 4), Rule::Zone);
    over.begins(inch(49, 4), Rule::Zone);
    assert_eq!(of(inch(49, 2), inch(30, 1)).near(inch(11, 1)), []);
    assert_eq!(of(inch(49, 2) - UNIT, inch(30, 1)).near(inch(11, 1)), [Rule::Zone]);
    assert_eq!(of(inch(1, 1), inch(15, 2)).near(inch(11, 1)), []);
    assert_eq!(of(inch(1, 1), inch(15, 2) + UNIT).near(inch(11, 1)), [Rule::Zone]);
    // A mark of no size is a zone by its margin alone; without one it is nothing.
    let mut mark = of(inch(9, 1), inch(9, 1));
    mark.board().zones[0].far = inch(10, 1);
    mark.ends(inch(39, 4), Rule::Zone);
    mark.begins(inch(41, 4), Rule::Zone);
    let no_margin = |along, across| {
        let mut case = mark.clone();
        case.job.shop.margins.insert(ZoneKind::new("knot"), Margin { along, across });
        case.near(inch(10, 1) - inch(1, 8))
    };
    assert_eq!(no_margin(UNIT, UNIT), [Rule::Zone]);
    assert_eq!(no_margin(NO, UNIT), []);
    assert_eq!(no_margin(UNIT, NO), []);
}

/// At 45° the band that does not serve is as wide to either side as the pith is away from the
/// farther face, and in a straight line as much wider as the line lifts what lies under it.
#[test]
fn upright_rips_keep_clear_of_the_pith() {
    let of = |crook: Length, depth: Length, rings: i64| {
        let mut case = Case::new(false);
        if crook != NO {
            case = case.lined(crook);
        }
        case.job.paddles[0].rings = Angle::from_millionths(rings).unwrap();
        case.board().grain = Some(Grain::Pith { across: inch(20, 1), depth });
        case
    };
    let (above, below) = (inch(18, 1), inch(22, 1));
    // An inch above the board of an inch, and as much below it: 2 in at the farther face.
    for depth in [inch(-1, 1), inch(2, 1)] {
        of(NO, depth, 45_000_000).ends(above, Rule::Rings);
        of(NO, depth, 45_000_000).begins(below, Rule::Rings);
        of(HOLLOW, depth, 45_000_000).ends(above, Rule::Rings);
        of(HOLLOW, depth, 45_000_000).begins(below + HOLLOW, Rule::Rings);
        of(CROWNED, depth, 45_000_000).ends(above + CROWNED, Rule::Rings);
        of(CROWNED, depth, 45_000_000).begins(below, Rule::Rings);
    }
    // Within the board the farther face counts as well: 3/4 in.
    for depth in [inch(1, 4), inch(3, 4)] {
        of(NO, depth, 45_000_000).ends(inch(20, 1) - inch(3, 4), Rule::Rings);
        of(NO, depth, 45_000_000).begins(inch(20, 1) + inch(3, 4), Rule::Rings);
    }
    // √3 of 2 in is 7,039,054.5 units: where no whole unit is right, the nearest in favour counts.
    let half = Length::from_units(7_039_054);
    of(NO, inch(-1, 1), 60_000_000).ends(inch(20, 1) - half, Rule::Rings);
    of(NO, inch(-1, 1), 60_000_000).begins(inch(20, 1) + half, Rule::Rings);
}

/// A turned rip lies within the band that serves: at 45° as far to either side as the pith is away
/// from the nearer face, less what a straight line lifts.
#[test]
fn turned_rips_lie_over_the_pith() {
    let of = |crook: Length, depth: Length, rings: i64| {
        let mut case = Case::new(true);
        if crook != NO {
            case = case.lined(crook);
        }
        case.job.paddles[0].rings = Angle::from_millionths(rings).unwrap();
        case.board().grain = Some(Grain::Pith { across: inch(20, 1), depth });
        case
    };
    for depth in [inch(-1, 1), inch(2, 1)] {
        of(NO, depth, 45_000_000).begins(inch(19, 1), Rule::Rings);
        of(NO, depth, 45_000_000).ends(inch(21, 1), Rule::Rings);
        of(HOLLOW, depth, 45_000_000).begins(inch(19, 1) + HOLLOW, Rule::Rings);
        of(HOLLOW, depth, 45_000_000).ends(inch(21, 1), Rule::Rings);
        of(CROWNED, depth, 45_000_000).begins(inch(19, 1), Rule::Rings);
        of(CROWNED, depth, 45_000_000).ends(inch(21, 1) + CROWNED, Rule::Rings);
    }
    // 1/√3 of an inch is 1,173,175.7 units; the nearest whole one in favour counts.
    let half = Length::from_units(1_173_176);
    of(NO, inch(-1, 1), 60_000_000).begins(inch(20, 1) - half, Rule::Rings);
    of(NO, inch(-1, 1), 60_000_000).ends(inch(20, 1) + half, Rule::Rings);
    // With the pith in the board, or on its face, no turned rip serves.
    for depth in [NO, inch(1, 2), inch(1, 1)] {
        assert_eq!(of(NO, depth, 45_000_000).near(inch(39, 2)), [Rule::Rings]);
    }
}

/// Rings of 60° stand 60° in an upright strip and 30° in a turned one.
#[test]
fn rings_serve_at_the_very_angle() {
    for (turned, steep) in [(false, 60_000_000), (true, 30_000_000)] {
        let at = |least: i64| {
            let mut case = Case::new(turned);
            case.board().grain = Some(Grain::Rings(Angle::from_millionths(60_000_000).unwrap()));
            case.job.paddles[0].rings = Angle::from_millionths(least).unwrap();
            case.rules()
        };
        assert_eq!(at(steep), []);
        assert_eq!(at(steep + 1), [Rule::Rings]);
        // Nothing asked is nothing to break, measured or not.
        assert_eq!(at(0), []);
    }
    let mut unmeasured = Case::new(false);
    assert_eq!(unmeasured.clone().rules(), []);
    unmeasured.job.paddles[0].rings = Angle::from_millionths(1).unwrap();
    assert_eq!(unmeasured.rules(), [Rule::Rings]);
}
