//! What boards answer when they are asked: ways over a floor, the fewest saw cuts, ways met before,
//! what is said at a stop; on boards so small that the answers can be reasoned out.
//!
//! Boards are 40 mm long and 5 mm thick, as in `by_hand_sections.rs`.

use super::by_hand::shape;
use super::by_hand_sections::{BENT, Bent, Strip};
use crate::cut::BoardCuts;
use crate::cut::list::Floor;
use crate::cut::ranges::Places;
use crate::length::Length;
use crate::stop::Stop;

const FLAT: Bent = Bent { bow: Length::ZERO, ..BENT };
const SHOP: &str = "far_edge = 0\nmin_rip = 4\n";

fn at_places(bent: Bent) -> (BoardCuts, Vec<u32>, Vec<usize>) {
    bent.cuts(&Places::default())
}

/// Counts of strips as counts of kinds.
fn by_kind(of: &[usize], strips: &[u32]) -> Vec<u32> {
    of.iter().map(|&strip| strips[strip]).collect()
}

/// A deep strip lies from 0 to 10 only, where there is no sap. Of the shallow ones beyond it none is
/// wanted.
#[test]
fn what_is_not_wanted_is_passed() {
    let strips = &[("1", "4", "10", false), ("1", "1", "14", true)];
    let sap = Bent { zones: &["sap,10,40,0,1"], strips, shop: SHOP, ..BENT };
    let (cuts, _, of) = at_places(sap);
    let listed = |wanted: [u32; 2]| {
        Bent::by_strip(cuts.list(&by_kind(&of, &wanted), &[], u64::MAX).unwrap(), &of)
    };
    assert_eq!(listed([1, 0]), [[1, 0]]);
    assert_eq!(listed([1, 1]), [[1, 1]]);
    assert_eq!(listed([9, 9]), [[1, 2]]);
}

/// 5 − 10²/100 = 4: three flattened sections of a strip each.
#[test]
fn what_reaches_a_floor_is_listed_section_after_section() {
    let deep = Bent { strips: &[("1", "4", "10", false)], wanted: &[9], shop: SHOP, ..BENT };
    let (cuts, wanted, _) = at_places(deep);
    let valued = cuts.value(&[7]);
    assert_eq!(valued.best, 21);
    for least in 0..=21 {
        let listed = cuts.list(&wanted, &[Floor { valued: &valued, least }], u64::MAX);
        assert_eq!(listed, Some(vec![vec![3]]), "{least}");
    }
    let beyond = cuts.list(&wanted, &[Floor { valued: &valued, least: 22 }], u64::MAX);
    assert_eq!(beyond, Some(vec![]));
}

/// Deep strips fit from 0 to 10 and from 11 to 21, long ones from 11 to 31, and others as deep as the
/// first from 0 to 10. In the second place a deep one is enough after a deep one, not after another; a
/// long one is enough after either.
#[test]
fn a_section_is_enough_after_some_ways_and_not_after_others() {
    let strips = &[("1", "4", "10", false), ("1", "\"3.9\"", "10", false), ("1", "1", "20", true)];
    let zones = &["sap,21,40,0,1", "knot,31.5,40,0,1"];
    let deep = Bent { zones, strips, wanted: &[9, 9, 9], shop: SHOP, ..BENT };
    let (cuts, wanted, of) = at_places(deep);
    let prices: Vec<i64> = of.iter().map(|&strip| [10, 5, 15][strip]).collect();
    let valued = cuts.value(&prices);
    let listed = |least| {
        let floor = Floor { valued: &valued, least };
        Bent::by_strip(cuts.list(&wanted, &[floor], u64::MAX).unwrap(), &of)
    };
    assert_eq!(listed(25), [[1, 0, 1]]);
    assert_eq!(listed(20), [[2, 0, 0], [1, 0, 1], [0, 1, 1]]);
    assert_eq!(listed(15), [[2, 0, 0], [1, 1, 0], [1, 0, 1], [0, 1, 1]]);
    // Those four ways are four, or none.
    let few =
        |most| cuts.list_few(&wanted, &[Floor { valued: &valued, least: 15 }], most, u64::MAX);
    assert_eq!(
        [0, 1, 3, 4, 5].map(|most| few(most).map(|l| l.len())),
        [None, None, None, Some(4), Some(4)]
    );
}

/// Two of three rips are crossed by a knot and have a strip each before it; the third has two one
/// after another: five saw cuts, not six.
#[test]
fn strips_one_after_another_take_fewer_cuts_wherever_their_rip_lies() {
    let strips: &[Strip] = &[("1", "5", "15", false)];
    for zones in [&["knot,16,26,0,3.5"][..], &["knot,16,26,1.5,5"], &["knot,16,26,0,1.5"]] {
        let knot = Bent { width: "5", zones, strips, wanted: &[9], shop: SHOP, ..FLAT };
        let (cuts, ..) = at_places(knot);
        assert_eq!(shape(&cuts, &[2]), [[2]], "{zones:?}");
    }
}

/// Turned, a rip of 5 has three leaves, and before the knot a strip in each. That takes six cuts.
/// Upright, one rip of 1 has two strips beside the knot and another one: five.
#[test]
fn every_leaf_but_the_first_takes_a_cut() {
    let shop = "far_edge = 0\nmin_rip = 4\nresaw_kerf = 1\n";
    let strips = &[("1", "5", "15", false)];
    let zones = &["knot,16,26,1.2,1.8"];
    let leaves = Bent { width: "5", zones, strips, wanted: &[9], shop, ..FLAT };
    let (cuts, ..) = at_places(leaves);
    let mut rips = shape(&cuts, &[3]);
    rips.iter_mut().for_each(|rips| rips.sort_unstable());
    assert_eq!(rips, [[1, 2]]);
}

/// Of 21, 12.6 and 12.4 as many are wanted that three of the short ones fit and one of the longest.
/// Of the middle ones two are enough, so that a third had better be short.
#[test]
fn a_shorter_strip_is_tried_where_enough_longer_ones_fit() {
    let lengths = |strips, sums: &[u32]| {
        // One of each, and those that longer ones serve for with them.
        let lengths = Bent { strips, wanted: &[1, 1, 1], shop: SHOP, ..FLAT };
        let (cuts, _, of) = at_places(lengths);
        Bent::by_strip(cuts.list(&by_kind(&of, sums), &[], u64::MAX).unwrap(), &of)
    };
    let three: &[Strip] =
        &[("1", "5", "21", false), ("1", "5", "\"12.6\"", false), ("1", "5", "\"12.4\"", false)];
    assert_eq!(lengths(three, &[1, 2, 3]), [[1, 2, 2], [0, 2, 3]]);
    // Two of the longer fit to the last unit, and one of them is wanted.
    let two: &[Strip] = &[("1", "5", "\"19.5\"", false), ("1", "5", "\"19.2\"", false)];
    assert_eq!(lengths(two, &[1, 2]), [[1, 2]]);
}

/// With a bow of 4 a section of 21 keeps 5 − 21²/400 = 3.8975 of the thickness, and one of 23 too
/// little for the deep strip. The others may keep the bow, which goes sideways in them, and where
/// the face is kept the longer one is as good as the shorter. Not so beside a deep one, which must
/// lie before the sap.
#[test]
fn leaves_of_a_flattened_section_are_not_those_of_one_that_keeps_its_face() {
    let beside = Bent {
        width: "3",
        bow: Length::MM * 4,
        zones: &["sap,21,40,0,3"],
        strips: &[("1", "\"3.89\"", "21", false), ("3", "1", "21", true), ("3", "1", "23", true)],
        wanted: &[9, 18, 9],
        shop: "far_edge = 0\nmin_rip = 4\npull = 20\n",
        ..BENT
    };
    assert_eq!(beside.ways(), [[2, 0, 0], [1, 1, 0], [0, 2, 2]]);
    // Nor where strips of another kind could come from the same leaf, but for the sap.
    let strips: &[Strip] = &[
        ("1", "\"3.89\"", "21", false),
        ("3", "1", "21", true),
        ("3", "1", "23", true),
        ("3", "1", "30", false),
    ];
    let three = Bent { strips, wanted: &[9, 18, 9, 1], ..beside };
    assert_eq!(three.ways(), [[2, 0, 0, 0], [1, 1, 0, 0], [0, 2, 2, 0]]);
}

/// Two kinds of six lengths each have more multisets than are listed of a leaf 40 long, and leaves
/// of ten depths more stacks.
#[test]
fn a_board_with_too_many_choices_in_one_rip_proves_nothing() {
    let complete = |bent: Bent| at_places(bent).0.complete;
    let lengths: &[Strip] = &[
        ("1", "5", "2", false),
        ("1", "5", "2.1", false),
        ("1", "5", "2.2", false),
        ("1", "5", "2.3", false),
        ("1", "5", "2.4", false),
        ("1", "5", "2.5", false),
        ("1", "5", "2.6", true),
        ("1", "5", "2.7", true),
        ("1", "5", "2.8", true),
        ("1", "5", "2.9", true),
        ("1", "5", "3", true),
        ("1", "5", "3.1", true),
    ];
    let shop = "far_edge = 0\nmin_rip = 40\n";
    let of = |strips| Bent { strips, wanted: &[2; 12], shop, ..FLAT };
    assert!(!complete(of(lengths)));
    assert!(complete(of(&lengths[..2])));
    let depths: &[Strip] = &[
        ("1", "0.50", "30", false),
        ("1", "0.51", "30", false),
        ("1", "0.52", "30", false),
        ("1", "0.53", "30", false),
        ("1", "0.54", "30", false),
        ("1", "0.55", "30", false),
        ("1", "0.56", "30", false),
        ("1", "0.57", "30", false),
        ("1", "0.58", "30", false),
        ("1", "0.59", "30", false),
    ];
    let resaw =
        |strips| Bent { shop: "far_edge = 0\nmin_rip = 40\nresaw_kerf = 0\n", ..of(strips) };
    assert!(!complete(resaw(depths)));
    assert!(complete(resaw(&depths[..2])));
}

/// Three narrow strips side by side, or a narrow and a wide one, or two wide ones.
const SIDE: Bent = Bent {
    width: "5",
    strips: &[("1", "5", "30", false), ("2", "5", "30", false)],
    shop: SHOP,
    ..FLAT
};

#[test]
fn a_way_is_met_only_where_its_cut_gives_enough() {
    let (cuts, _, of) = at_places(SIDE);
    let counts = |cut| cuts.counts(&cut, 2);
    let (narrow, mixed) = (by_kind(&of, &[3, 0]), by_kind(&of, &[1, 1]));
    let dear = by_kind(&of, &[9, 1]).iter().map(|&p| i64::from(p)).collect::<Vec<_>>();
    assert_eq!(cuts.met(&narrow), None);
    cuts.met.keep(&narrow, &dear);
    assert_eq!(cuts.met(&narrow).map(counts), Some(narrow.clone()));
    assert_eq!(cuts.met(&by_kind(&of, &[2, 0])).map(counts), Some(narrow.clone()));
    assert_eq!(cuts.met(&mixed), None);
    // At these prices another way is worth more: it is not taken for the one that was met.
    cuts.met.keep(&mixed, &dear);
    assert_eq!(cuts.met(&mixed), None);
    assert_eq!(cuts.most_strips(), 3);
}

/// A board gives 20 short strips in each of 15 rips, and none of those that are longer than what the
/// knot leaves.
#[test]
fn more_strips_than_are_counted_are_told_beside_other_kinds_and_lengths() {
    let strips = &[("1", "5", "1", false), ("1", "5", "2", true), ("1", "5", "30", false)];
    let wanted = &[300, 9, 1];
    let many =
        Bent { width: "29", zones: &["knot,19,21,0,29"], strips, wanted, shop: SHOP, ..FLAT };
    let (cuts, _, of) = at_places(many);
    for short in [255, 300] {
        assert_eq!(cuts.list(&by_kind(&of, &[short, 0, 0]), &[], 1 << 20), None);
        assert_ne!(cuts.decide(&by_kind(&of, &[short, 0, 0]), 1 << 20), Some(None));
    }
    assert!(cuts.list(&by_kind(&of, &[2, 1, 0]), &[], 1 << 40).is_some());
}

#[test]
fn at_a_stop_a_board_comes_to_no_less_than_it_could() {
    let deep = Bent { strips: &[("1", "4", "10", false)], wanted: &[5], shop: SHOP, ..BENT };
    let (cuts, wanted, _) = at_places(deep);
    let all = cuts.value(&[7]);
    let stop = Stop::default();
    stop.ask();
    let cuts = BoardCuts { stop, ..cuts };
    let valued = cuts.value(&[7]);
    assert!((all.best..=7 * 6).contains(&valued.best));
    for (some, most) in [(&all.from_start, &valued.from_start), (&all.sections, &valued.sections)] {
        assert_eq!(some.len(), most.len());
        assert!(some.iter().zip(most).all(|(some, most)| some <= most));
    }
    let (best, cut) = cuts.best(&valued);
    assert!(best >= all.best && cut.is_empty());
    // Prices beyond measure overflow nothing.
    let most = cuts.value(&[i64::MAX]).best;
    assert!(most > 1 << 59 && most.checked_mul(8).is_some());
    assert_eq!(cuts.list(&wanted, &[], u64::MAX), None);
    assert_eq!(cuts.decide(&[4], u64::MAX), None);
}

/// A strip upright in a rip of 1 takes a flipped pair; two that are laid on their side go in as they
/// are, one of them beside the sap only. Upright and beside the sap are worth most, but the odd one
/// counts nothing; so the best is what lies on its side in both rips: the long one in the sap, the
/// dear one beside it. Where the latter lies, the long one that ends later is worth less.
#[test]
fn of_what_a_leaf_may_hold_the_dearest_counts_wherever_it_ends() {
    let strips = &[("1", "5", "10", true), ("5", "1", "10", false), ("5", "1", "12", true)];
    let zones = &["sap,0,13,0,1", "knot,13,40,0,3"];
    let shop = "far_edge = 0\nmin_rip = 4\npull = 3\n";
    let wanted = &[9, 9, 9];
    let laid = Bent { width: "3", zones, strips, wanted, shop, pair: 10, ..BENT };
    let (cuts, _, of) = at_places(laid);
    let best = |worth: [i64; 3]| {
        let prices: Vec<i64> = of.iter().map(|&strip| worth[strip]).collect();
        let valued = cuts.value(&prices);
        let (best, cut) = cuts.best(&valued);
        let counts = cuts.counts(&cut, 3);
        (valued.best, best, of.iter().zip(counts).map(|(&s, n)| worth[s] * i64::from(n)).sum())
    };
    assert_eq!(best([4, 9, 1]), (13, 10, 10));
    // A pair is worth more.
    assert_eq!(best([6, 9, 1]), (15, 12, 12));
    assert_eq!(best([4, 9, 3]), (13, 12, 12));
}
