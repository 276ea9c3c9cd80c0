//! What a board serves, beside figures worked out by hand: pairs by how their strips lie, sizes by the
//! saw that leaves their faces, bands of grain, and what is said of a section's edge and face.
//!
//! Boards are 40 mm long and 5 mm thick, as in `by_hand_sections.rs`; most are straight.

use super::by_hand_sections::{BENT, Bent};
use crate::cut::ranges::Places;
use crate::cut::serve::{Mode, Standing, standing};
use crate::length::Length;
use crate::paddle::strip_kinds;
use crate::plan::{Edge, Face};

const FLAT: Bent =
    Bent { bow: Length::ZERO, wanted: &[9], shop: "far_edge = 0\nmin_rip = 4\n", ..BENT };

/// Upright the bow goes through the depth and the crook sideways, turned the other way about.
#[test]
fn pairs_are_told_by_how_their_strips_lie() {
    let shop = "far_edge = 0\ncurve_kerf = 1\npull = 1\n";
    let bent = Bent { strips: &[("1", "5", "20", false)], pair: 1, shop, ..BENT };
    let of = |bent: Bent, lined, flattened, turned| {
        let (board, job) = (bent.board(), bent.job());
        standing(&board, &job.shop, &strip_kinds(&job)[0], Mode { lined, flattened }, turned)
    };
    // Over half the board a quarter of each bend: 1, or 0.5.
    let both = Bent { crook: Length::MM * 4, bow: Length::MM * 2, ..bent };
    assert_eq!(of(both, false, false, false), Some(Standing::PairUpright));
    assert_eq!(of(both, false, false, true), Some(Standing::PairTurned));
    assert_eq!(of(both, true, false, false), Some(Standing::PairUpright));
    assert_eq!(of(both, true, false, true), Some(Standing::Free));
    assert_eq!(of(both, false, true, false), Some(Standing::Free));
    assert_eq!(of(both, false, true, true), Some(Standing::PairTurned));
    let bowed = Bent { crook: Length::ZERO, bow: Length::MM * 5, ..bent };
    assert_eq!(of(bowed, false, false, false), None);
    assert_eq!(of(bowed, false, false, true), None);
}

/// With a crook of 0.4 a straight-lined section of 30 loses 0.225 of a width of 4. Rips that follow
/// the curve are 0.5 wider at both faces, and 1 lies between them.
#[test]
fn rips_that_follow_the_curve_are_wider() {
    let crooked = Bent {
        width: "4",
        crook: Length::from_units(2 * Length::MM.units() / 5),
        strips: &[("1", "5", "30", false)],
        shop: "far_edge = 0\nmin_rip = 4\ncurve_kerf = 1\ncurve_dress = \"0.5\"\npull = 3\n",
        rip_kerf: 3,
        ..FLAT
    };
    assert_eq!(crooked.ways(), [[1]]);
    // In the straight-lined one there is room for two with 1 between them.
    assert_eq!(Bent { rip_kerf: 1, ..crooked }.ways(), [[2]]);
    // 2 and 1 and 2 take 5.
    assert_eq!(Bent { width: "5", ..crooked }.ways(), [[2]]);
    // One that has room in the straight-lined section only is served.
    assert_eq!(Bent { width: "1.3", ..crooked }.ways(), [[1]]);
}

/// A turned strip is as thick as the board where it is the only leaf; beside others it would be
/// thicker.
#[test]
fn a_strip_that_fits_as_the_only_leaf_is_served() {
    let shop = "far_edge = 0\nmin_rip = 4\nresaw_kerf = 1\nresaw_dress = \"0.5\"\n";
    let alone = Bent { strips: &[("5", "1", "30", false)], shop, ..FLAT };
    assert_eq!(alone.ways(), [[1]]);
    assert_eq!(
        Bent { strips: &[("5.1", "1", "30", false)], ..alone }.ways(),
        Vec::<Vec<u32>>::new()
    );
}

/// The pith lies 10 across and 3 over the marked face. Strips with rings at 45° serve turned where
/// they are no farther across from it than its least depth, 3: from 7 to 13; and upright where
/// they are as far as its greatest, 8: up to 2 and from 18 on.
#[test]
fn grain_serves_in_bands_beside_the_pith() {
    let grown =
        Bent { width: "20", strips: &[("1", "4", "30", false)], rings: 45, pith: "10,-3", ..FLAT };
    // Turned one of 4, upright one on each side.
    assert_eq!(grown.ways(), [[3]]);
    // Of 2.5 two side by side with the kerf.
    assert_eq!(Bent { strips: &[("1", "2.5", "30", false)], ..grown }.ways(), [[4]]);
    // Two upright on either side where the kerf leaves room.
    assert_eq!(Bent { strips: &[("0.5", "4", "30", false)], ..grown }.ways(), [[5]]);
    // Nothing is known of the grain.
    assert_eq!(Bent { pith: ",", ..grown }.ways(), Vec::<Vec<u32>>::new());
}

#[test]
fn edge_and_face_are_told_as_they_are() {
    let laid = |bent: Bent| {
        let (cuts, wanted, _) = bent.cuts(&Places::default());
        let ways = cuts.list(&wanted, &[], u64::MAX).unwrap();
        let cut = cuts.fewest_cuts(&ways[0], &[], u64::MAX).unwrap();
        cuts.lay(&cut).iter().map(|s| (s.edge, s.face)).collect::<Vec<_>>()
    };
    let short = Bent { strips: &[("1", "3", "30", false)], ..FLAT };
    assert_eq!(laid(short), [(Edge::Kept, Face::Kept)]);
    // 5 − 30²/40² · 2 = 3.875 are left.
    let bow = Length::MM * 2;
    assert_eq!(laid(Bent { bow, ..short }), [(Edge::Kept, Face::Flattened)]);
    let crooked = Bent { width: "3", crook: Length::MM, ..short };
    assert_eq!(laid(crooked), [(Edge::Lined, Face::Kept)]);
    assert_eq!(laid(Bent { bow, ..crooked }), [(Edge::Lined, Face::Flattened)]);
}

/// With a crook of 0.4 a straight-lined section of 30 has 0.225 to 3.15 of the width, room for one strip.
/// A knot at the edge, up to 0.1, lies in what it loses; no rip begins behind it.
#[test]
fn no_rip_begins_behind_a_knot_in_the_edge() {
    let crooked = Bent {
        width: "3.15",
        crook: Length::from_units(2 * Length::MM.units() / 5),
        strips: &[("1", "5", "30", false)],
        zones: &["knot,0,1,0,0.1"],
        ..FLAT
    };
    assert_eq!(crooked.ways(), [[1]]);
    assert_eq!(Bent { width: "3.3", ..crooked }.ways(), [[2]]);
}
