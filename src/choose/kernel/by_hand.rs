//! The kernel's figures beside ones worked out by hand: a sign that is turned, a comparison that
//! is off by one or a board left out would show in them.

use crate::choose::kernel::bound::{bound, decide, settle};
use crate::choose::kernel::cover::{Cover, Fate, Lot, MOST, Scale, Way, clamped, owed, worth};
use crate::choose::kernel::rows::{self, Row, whole_weight};
use crate::cut::BoardCuts;
use crate::length::Length;
use crate::lumber::{Board, Species};
use crate::paddle::strip_kinds;
use crate::read::job_text;

/// Parts of a unit in a small cover.
const P: i64 = 1 << 16;
/// Half of a weight of one.
const HALF: i64 = 1 << 19;

fn way(counts: [u32; 2]) -> Way {
    Way::from(counts.to_vec())
}

/// 3 and 2 strips wanted; two boards A and B at 5 that give (2, 0) or (1, 1), C at 7 gives (0, 3).
fn cover() -> Cover<'static> {
    let lot = |cost, ways: &[[u32; 2]]| Lot {
        cuts: None,
        cost,
        ways: ways.iter().map(|&w| way(w)).collect(),
        listed: true,
    };
    let lots = vec![lot(5, &[[2, 0], [1, 1]]), lot(7, &[[0, 3]])];
    Cover::new(vec![3, 2], lots, &[2, 1]).expect("small numbers")
}

/// The finest parts with which the dearest price, for all strips of one board, is at most 2^60.
#[test]
fn parts_are_as_fine_as_fit_and_no_finer() {
    // All cost nothing: the dearest is 2 units. 2^60 / 2^45 leaves 2^15 parts for it.
    assert_eq!(Scale::new(0, 1 << 45).map(|s| s.parts), Some(1 << 14));
    assert_eq!(Scale::new(0, (1 << 45) + 1).map(|s| s.parts), Some(1 << 13));
    assert_eq!(Scale::new(0, 1 << 40).map(|s| s.parts), Some(P));
    // No strips count as one.
    assert_eq!(Scale::new(0, 0), Scale::new(0, 1));
    // 2·(E + 1) = 2^15 parts in all.
    assert_eq!(Scale::room(1 << 45), 16_383);
    assert_eq!(Scale::new(16_383, 1 << 45).map(|s| s.parts), Some(1));
    assert_eq!(Scale::new(16_384, 1 << 45), None);
    assert_eq!(Scale::room(0), i128::from(MOST) / 2 - 1);
    assert_eq!(Scale::new(i128::MAX, 1), None);
}

#[test]
fn price_parts_are_rounded_up_to_units() {
    let scale = Scale::new(0, 1 << 45).unwrap();
    let one = 1_i128 << 14;
    assert_eq!(scale.parts_of(3), 3 * one);
    let cases =
        [(3 * one, 3), (3 * one + 1, 4), (3 * one - 1, 3), (-1, 0), (-one, -1), (-one - 1, -1)];
    for (parts, units) in cases {
        assert_eq!(scale.whole_units(parts), units, "{parts}");
    }
    assert_eq!(scale.whole_units(i128::MAX), i64::MAX);
    assert_eq!(scale.whole_units(i128::MIN), i64::MIN);
    let ends = [i128::from(i64::MAX) + 1, i128::from(i64::MIN) - 1];
    assert_eq!(ends.map(clamped), [i64::MAX, i64::MIN]);
    assert_eq!(clamped(-7), -7);
}

#[test]
fn prices_become_whole_parts_from_nothing_to_the_dearest() {
    let scale = Scale::new(0, 1 << 45).unwrap();
    let half_a_part = 1.0 / f64::from(1 << 15);
    let given = [0.5, half_a_part, half_a_part * 0.9, -1.0, f64::NAN, f64::INFINITY, 1e300, 2.0];
    assert_eq!(scale.whole_prices(&given), [1 << 13, 1, 0, 0, 0, 0, 1 << 15, 1 << 15]);
    assert_eq!(cover().whole_prices(&[1.0, 2.5]), [P, 5 * P / 2]);
}

/// Beyond 2^53 the float nearest to the dearest price may lie above it.
#[test]
fn the_dearest_price_does_not_round_up() {
    // 2·(E + 1) = 2^59 − 2 units in two parts each; as a float that is 2^60.
    let everything = (1_i128 << 58) - 2;
    let scale = Scale::new(everything, 1).unwrap();
    assert_eq!(scale.parts, 2);
    let dearest = (1_i64 << 60) - 4;
    assert_eq!(scale.whole_prices(&[1e300]), [dearest]);
    assert!(dearest as f64 > 1e18 && (dearest as f64) as i64 > dearest);
}

#[test]
fn boards_with_a_copy_before_them_know_it() {
    let cover = cover();
    let twins: Vec<_> = cover.stock.iter().map(|s| (s.lot, s.twin_before)).collect();
    assert_eq!(twins, [(0, None), (0, Some(0)), (1, None)]);
    let stock = Cover::stock(&[0, 1, 3]);
    let twins: Vec<_> = stock.iter().map(|s| (s.lot, s.twin_before)).collect();
    assert_eq!(twins, [(1, None), (2, None), (2, Some(1)), (2, Some(2))]);
}

#[test]
fn costs_and_what_is_missing_are_added_up() {
    let cover = cover();
    assert_eq!((cover.everything(), cover.lot(1).cost, cover.lot(2).cost), (17, 5, 7));
    let all = vec![Some(way([2, 0])), Some(way([1, 1])), Some(way([0, 3]))];
    assert_eq!((cover.cost(&all), cover.missing(&all), cover.meets(&all)), (17, vec![0, -2], true));
    let some = vec![Some(way([2, 0])), None, Some(way([0, 3]))];
    assert_eq!((cover.cost(&some), cover.missing(&some)), (12, vec![1, -1]));
    assert!(!cover.meets(&some));
    let still = |choice| cover.still_needed(choice);
    assert_eq!(
        (still(&all), still(&some), still(&vec![None; 3])),
        (vec![0, 0], vec![1, 0], vec![3, 2])
    );
    assert!(!cover.stopped());
    cover.stop.ask();
    assert!(cover.stopped());
}

#[test]
fn a_cover_that_pays_for_boards_is_refused() {
    let lot = |cost| Lot { cuts: None, cost, ways: vec![way([1, 1])], listed: true };
    assert!(Cover::new(vec![1, 1], vec![lot(0)], &[1]).is_some());
    assert!(Cover::new(vec![1, 1], vec![lot(0), lot(-1)], &[1, 1]).is_none());
    // The board that gives most sets the scale: 2^32 strips; boards of which there is none cost
    // nothing.
    let many = Lot { ways: vec![way([0, 0]), way([u32::MAX, 1]), way([7, 0])], ..lot(0) };
    let lots = vec![lot(1 << 25), many, lot(1 << 40)];
    let scale = Cover::new(vec![1, 1], lots, &[2, 1, 0]).unwrap().scale;
    assert_eq!(Some(scale), Scale::new(1 << 26, 1 << 32));
}

#[test]
fn the_best_way_is_the_one_that_comes_to_most() {
    let cover = cover();
    let prices = [2 * P, P];
    assert_eq!((worth(&[2, 3], &prices), owed(&cover.need, &prices)), (7 * P, 8 * i128::from(P)));
    assert_eq!((cover.most(0, &prices), cover.most(1, &prices)), (4 * P, 3 * P));
    assert_eq!(cover.best_way(0, &prices), Some(way([2, 0])));
    assert_eq!(cover.best_way(0, &[P, 2 * P]), Some(way([1, 1])));
    // Of two that come to the same the first: a plan does not hang on chance.
    assert_eq!(cover.best_way(0, &[P, P]), Some(way([2, 0])));
    let mut none = cover;
    none.lots[0].ways.clear();
    assert_eq!((none.best_way(0, &prices), none.most(0, &prices)), (None, 0));
}

/// Of a lot that is not listed, the board itself is asked: six strips of 1/2 in with kerfs of 1/8
/// between take 3 5/8 in of 4. Of one that is, its ways are all there is.
#[test]
fn a_board_is_asked_where_its_ways_are_not_listed() {
    let job = job_text(
        "p",
        "[shop]\ndress = 0\nplane = 0\nedge = 0\nfar_edge = 0\nboard_end = 0\nmin_rip = 6\nrip_kerf = \"1/8\"\n\
         [[paddle]]\nname = \"small\"\nlength = 24\nloom = 8\ntrim = 0\nthickness = 1\nrings = 0\n\
         [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2\"\nruns = \"through\"\n",
    )
    .unwrap();
    let sizes = [30, 4, 1].map(|n| Length::INCH * n);
    let board = Board::plain("A", Species::new("fir"), sizes);
    let cuts = BoardCuts::new(&board, &job.shop, &strip_kinds(&job), &[200]);
    let one = Way::from(vec![1]);
    let lot = |listed| Lot { cuts: Some(&cuts), cost: 5, ways: vec![one.clone()], listed };
    let cover = Cover::new(vec![200], vec![lot(false), lot(true)], &[1, 1]).unwrap();
    assert_eq!((cover.most(0, &[P]), cover.most(1, &[P])), (6 * P, P));
    assert!(cuts.met(&[6]).is_none());
    assert_eq!(cover.best_way(0, &[P]), Some(Way::from(vec![6])));
    // How it is cut is known from then on.
    let cut = cuts.met(&[6]).expect("the way that was met");
    assert_eq!(cuts.counts(&cut, 1), [6]);
    assert!(cuts.met(&[5]).is_some() && cuts.met(&[7]).is_none());
    // No cut gives more: the scale of prices hangs on it.
    assert_eq!(cuts.most_strips(), 6);
    assert_eq!(Some(cover.scale), Scale::new(10, 6));
    assert_eq!(cover.best_way(1, &[P]), Some(one));
}

#[test]
fn ways_met_are_kept_once_and_four_hundred_of_them() {
    let mut cover = cover();
    cover.keep(vec![(1, way([0, 3])), (1, way([1, 2])), (1, way([1, 2])), (0, way([9, 9]))]);
    assert_eq!((cover.lots[0].ways.len(), cover.lots[1].ways.len()), (3, 2));
    cover.keep((0..500).map(|n| (1, way([n, 7]))).collect());
    assert_eq!((cover.lots[0].ways.len(), cover.lots[1].ways.len()), (3, 400));
}

#[test]
fn the_bound_at_prices_is_as_its_formula_says() {
    let cover = cover();
    let p = i128::from(P);
    // Needs 8; the boards come to 4, 4 and 3, less than they cost.
    assert_eq!(bound(&cover, &[2 * P, P]), (8 * p, vec![p, p, 4 * p]));
    // Needs 20; they come to 3, 3 and 5 more than they cost.
    assert_eq!(bound(&cover, &[4 * P, 4 * P]), (9 * p, vec![-3 * p, -3 * p, -5 * p]));
    assert_eq!(bound(&cover, &[3 * P, 2 * P]), (11 * p, vec![-p, -p, p]));
}

#[test]
fn equal_boards_are_opened_in_their_order() {
    use Fate::{In, Open, Out};
    let cover = cover();
    let decided = |mut fates: [Fate; 3], board, fate| {
        decide(&cover, &mut fates, board, fate);
        fates
    };
    assert_eq!(decided([Open; 3], 0, Out), [Out, Out, Open]);
    assert_eq!(decided([Open; 3], 1, Out), [Open, Out, Open]);
    assert_eq!(decided([Open; 3], 1, In), [In, In, Open]);
    assert_eq!(decided([Open; 3], 0, In), [In, Open, Open]);
    assert_eq!(decided([Open; 3], 2, In), [Open, Open, In]);
    // What is decided stays.
    assert_eq!(decided([In, In, Open], 0, Out), [Out, In, Open]);
}

/// A board is settled where the other fate would bring the bound to the ceiling, and not before.
#[test]
fn boards_are_settled_at_the_ceiling() {
    use Fate::{In, Open, Out};
    let cover = cover();
    let p = i128::from(P);
    let settled = |total, reduced: [i128; 3], ceiling| {
        let reduced = reduced.map(|r| r * p);
        settle(&cover, (total * p, &reduced), ceiling)
    };
    assert_eq!(settled(8, [1, 1, 4], 13), [Open, Open, Open]);
    assert_eq!(settled(8, [1, 1, 4], 12), [Open, Open, Out]);
    assert_eq!(settled(8, [1, 1, 4], 9), [Out, Out, Out]);
    assert_eq!(settled(9, [-3, -3, -5], 15), [Open, Open, Open]);
    assert_eq!(settled(9, [-3, -3, -5], 14), [Open, Open, In]);
    assert_eq!(settled(9, [-3, -3, -5], 12), [In, In, In]);
    // A part of a unit brings it to the next whole one.
    let reduced = [p, p, 3 * p + 1];
    assert_eq!(settle(&cover, (8 * p, &reduced), 12), [Open, Open, Out]);
}

#[test]
fn rows_are_what_boards_come_to_up_to_the_need() {
    use Fate::{In, Open, Out};
    let cover = cover();
    let prices = [4 * P, 4 * P];
    let most = |fates: [Fate; 3]| Row::priced(&cover, &fates, &prices).map(|r| r.most);
    let row = Row::priced(&cover, &[Open; 3], &prices).unwrap();
    assert_eq!(row, Row { need: 20 * P, most: vec![8 * P, 8 * P, 12 * P], priced: true });
    // A lot of which no board is left counts nothing.
    assert_eq!(most([Out, Out, Open]), Some(vec![0, 0, 12 * P]));
    assert_eq!(most([Out, In, Out]), Some(vec![8 * P, 8 * P, 0]));
    // No board helps by more than the need; no need, and needs too great, are no row.
    let with = |need: [u32; 2]| Cover { need: need.to_vec(), ..cover.clone() };
    let row = Row::priced(&with([1, 0]), &[Open; 3], &[P, P]).unwrap();
    assert_eq!(row.most, [P, P, P]);
    assert_eq!(Row::priced(&with([1, 0]), &[Open; 3], &[0, P]), None);
    assert_eq!(Row::priced(&with([u32::MAX, 0]), &[Open; 3], &[1 << 40, 0]), None);
}

#[test]
fn a_row_asks_for_a_board_beside_these() {
    let cover = cover();
    let row = Row::beside(&cover, &[0, 2], 7);
    assert_eq!(row, Row { need: 7 * P, most: vec![0, 7 * P, 0], priced: false });
    assert_eq!(Row::beside(&cover, &[], 0).need, P);
}

#[test]
fn boards_are_short_of_a_row_by_a_part_and_by_a_trifle() {
    let row = Row { need: 10, most: vec![4, 6, 5], priced: true };
    let short = |boards: &[usize]| row.short(boards.iter().copied());
    assert!(!short(&[0, 1]) && short(&[0, 2]) && !short(&[1, 2]) && short(&[]));
    let row = Row { need: 3_000_000, most: vec![2_999_997, 2_999_996], priced: true };
    assert!(!row.short_by_more_than_a_trifle(&[0]) && row.short_by_more_than_a_trifle(&[1]));
}

#[test]
fn weights_become_whole_parts_from_nothing_to_the_heaviest() {
    let given = [1.0, 0.5, 1.5 / f64::from(1 << 20), -1.0, f64::NEG_INFINITY, 1e9];
    assert_eq!(given.map(whole_weight), [2 * HALF, HALF, 2, 0, 0, 100_000 * 2 * HALF]);
}

#[test]
fn the_bound_of_rows_is_as_its_formula_says() {
    use Fate::{In, Open, Out};
    let cover = cover();
    let rows = [
        Row { need: 20 * P, most: vec![8 * P, 8 * P, 12 * P], priced: true },
        Row { need: P, most: vec![8 * P, 0, 0], priced: false },
    ];
    let bound =
        |fates: [Fate; 3], weights: &[(usize, i64)]| rows::bound(&cover, &fates, &rows, weights);
    // At a half no board comes to what it costs; at one they come to 3, 3 and 5 more.
    assert_eq!(bound([Open; 3], &[(0, HALF)]), 10);
    assert_eq!(bound([Open; 3], &[(0, 2 * HALF)]), 9);
    assert_eq!(bound([In, Open, Open], &[(0, HALF)]), 11);
    assert_eq!(bound([Open, Open, Out], &[(0, 2 * HALF)]), 14);
    assert_eq!(bound([In, Open, Open], &[(1, 2 * HALF)]), -2);
    // Together: 10 + 1/2, and A comes to 3 more than it costs.
    assert_eq!(bound([Open; 3], &[(0, HALF), (1, HALF)]), 8);
    // The least part of a unit is rounded up to one, and what is below nothing to nothing.
    assert_eq!(bound([Open; 3], &[(0, 1)]), 1);
    assert_eq!(bound([Out, Out, Out], &[]), 0);
}
