//! What is named as standing in a strip's way, against the planner's own answer.

use crate::jobs::{JobText, shop};
use proptest::collection::vec;
use proptest::prelude::*;
use stripwright::length::{Length, Units};
use stripwright::lumber::{Angle, Board, Grain, Species, Zone, ZoneKind};
use stripwright::paddle::{Job, StripKind, strip_kinds};
use stripwright::read::{List, boards_text};
use stripwright::report::text::hindrance::words;
use stripwright::survey::hindrance::{Bar, Hindrance, hindrance, longest_clear, most_alone};

fn text() -> JobText {
    shop(r#"far_edge = 0; curve_kerf = "1/8"; board_end = 0; min_rip = 4"#)
        .paddle("small", ["24", "8", "1"], "trim = 0")
        .through("side", "1/2")
        .blade("edge", "1/4")
        .with(r#"allow = ["sap"]"#)
}

fn job() -> (Job, Vec<StripKind>) {
    let job = text().job();
    let kinds = strip_kinds(&job);
    (job, kinds)
}

/// A straight board of whole inches across and along, its zones with it.
fn board() -> impl Strategy<Value = Board> {
    let sizes = (6..40_i64, 1..5_i64, 1..4_i64);
    sizes.prop_flat_map(|(long, wide, halves)| {
        let span = |over: i64| {
            (0..over).prop_flat_map(move |low| (Just(low), low + 1..=over))
        };
        let kind = prop::sample::select(&["knot", "sap"][..]);
        let grain = prop_oneof![
            (0..=90_i64).prop_map(|d| Grain::Rings(Angle::from_millionths(d * 1_000_000).unwrap())),
            (-3..8_i64, -3..4_i64).prop_map(|(across, depth)| Grain::Pith {
                across: Length::INCH * across,
                depth: Length::INCH * depth,
            }),
        ];
        (Just((long, wide, halves)), grain, vec((kind, span(long), span(wide)), 0..4))
    })
    .prop_map(|((long, wide, halves), grain, zones)| {
        let mut text = format!(
            "board,species,length,width,thickness,zone,from,to,near,far\nb,fir,{long},{wide},{halves}/2,,,,,\n"
        );
        for (kind, (from, to), (near, far)) in zones {
            text.push_str(&format!("b,,,,,{kind},{from},{to},{near},{far}\n"));
        }
        let board = boards_text("b.csv", &text, Units::Inch, List::OnHand).unwrap().remove(0);
        Board { grain: Some(grain), ..board }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    /// On a straight board a strip can be cut exactly where the grain serves, the board is thick
    /// and wide enough, and a clear run is as long as the strip.
    #[test]
    fn what_is_named_does_stand_in_the_way(board in board()) {
        let (job, kinds) = job();
        for kind in &kinds {
            let found = hindrance(&board, &job.shop, kind);
            prop_assert_eq!(found.is_none(), most_alone(&board, &job.shop, kind, 9) > 0);
            match found {
                None => {
                    let clear = |turned| longest_clear(&board, &job.shop, kind, turned);
                    let long = clear(false).max(clear(true)) >= kind.length;
                    prop_assert!(long);
                }
                Some(Hindrance::Length(usable)) => prop_assert!(usable < kind.length),
                Some(Hindrance::Ways(upright, turned)) => {
                    for bar in [upright, turned] {
                        match bar {
                            Bar::Run { run, .. } => prop_assert!(run < kind.length, "{run:?}"),
                            Bar::Rings(angle) => prop_assert!(angle < Angle::RIFT),
                            Bar::Thickness(needed) => prop_assert!(needed > board.thickness),
                            Bar::Width(needed) => prop_assert!(needed > board.width - job.shop.edge),
                            Bar::Pith => {}
                            other => prop_assert!(false, "{other:?} on a straight board"),
                        }
                    }
                }
                Some(other) => prop_assert!(false, "{other:?}"),
            }
        }
    }
}

/// Crooked, bowed or both, in a shop with a saw for curves that leaves much to clean off, or none.
fn bent() -> impl Strategy<Value = (Board, Job)> {
    let sizes = (24..40_i64, 8..40_i64, 4..24_i64, -8..=8_i64, -8..=8_i64);
    (sizes, 0..5_i64, prop::bool::ANY, vec((0..30_i64, 1..8_i64, 0..30_i64, 1..8_i64), 0..3))
        .prop_map(|((long, wide, thick, crook, bow), dress, curves, zones)| {
            let inch = |n| Length::inch_fraction(n, 8);
            let sizes = [Length::INCH * long, inch(wide), inch(thick)];
            let mut board = Board::plain("b", Species::new("fir"), sizes);
            board.grain = Some(Grain::Rings(Angle::RIFT));
            (board.crook, board.bow) = (inch(crook), inch(bow));
            for (from, by, near, over) in zones {
                let (from, near) = (Length::INCH * from, inch(near));
                let (to, far) = (from + Length::INCH * by, near + inch(over));
                if to <= board.length && far <= board.width {
                    board.zones.push(Zone { kind: ZoneKind::new("knot"), from, to, near, far });
                }
            }
            let (mut job, _) = job();
            job.shop.curve_dress = inch(dress);
            job.shop.curve_kerf = curves.then(|| inch(1));
            (board, job)
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// What is named of a bent board is less than what is needed of it.
    #[test]
    fn what_is_named_of_a_bent_board_is_short_of_what_it_needs((board, job) in bent()) {
        let room = board.width - job.shop.edge - job.shop.far_edge;
        for kind in &strip_kinds(&job) {
            let Some(Hindrance::Ways(upright, turned)) = hindrance(&board, &job.shop, kind) else {
                continue;
            };
            for bar in [upright, turned] {
                match bar {
                    Bar::Run { width, run } => {
                        prop_assert!(run < kind.length, "{run:?}");
                        prop_assert!(width <= room, "{width:?}");
                    }
                    Bar::Thickness(needed) => prop_assert!(needed > board.thickness),
                    Bar::Width(needed) => prop_assert!(needed > room),
                    Bar::Lined { curve, left, .. } => {
                        prop_assert!(board.crook != Length::ZERO);
                        prop_assert!(curve.is_none_or(|width| width > room));
                        prop_assert!(left.is_none_or(|left| left < room && left >= Length::ZERO));
                    }
                    Bar::NotFound => prop_assert!(false, "{board:?}"),
                    _ => {}
                }
            }
        }
    }
}

/// A crooked board as long as the strip and wide enough for a straight rip: along its curve the rip
/// must be wider, and straight-lined too little of the board is left. A run as long as needed was
/// named as what is in the way.
#[test]
fn of_a_narrow_crooked_board_no_clear_run_is_named_that_is_long_enough() {
    let job = shop(
        r#"curve_kerf = "1/16"; curve_dress = "1/2"; edge = "1/8"; far_edge = 0; board_end = 1"#,
    )
    .paddle("long", ["60", "20", "1 1/4"], "trim = 0; rings = 0")
    .through("side", "7/8")
    .job();
    let kind = strip_kinds(&job).remove(0);
    let inch = Length::inch_fraction;
    let sizes = [inch(70, 1), inch(17, 16), inch(3, 2)];
    let mut board = Board::plain("b", Species::new("fir"), sizes);
    board.crook = inch(1, 8);
    let why = hindrance(&board, &job.shop, &kind).unwrap();
    let Hindrance::Ways(upright, turned) = why else { panic!("{why:?}") };
    let Bar::Lined { curve, left, .. } = upright else { panic!("{upright:?}") };
    assert_eq!(curve, Some(inch(15, 8)));
    assert!(left.is_some_and(|left| left < inch(29, 32)), "{left:?}");
    assert_eq!(turned, Bar::Width(inch(21, 16)));
    let words = words(&why, &board, &job.shop, &kind, Units::Inch);
    assert!(!words.contains("clear run"), "{words}");
    assert!(words.contains("too narrow for a rip of 1 7/8\" along it"), "{words}");
}

/// A board's own allowance is what is said to be kept off its edges.
#[test]
fn of_a_board_with_its_own_edge_that_edge_is_named() {
    let (job, kinds) = job();
    let sizes = [Length::INCH * 40, Length::inch_fraction(3, 4), Length::INCH * 2];
    let mut board = Board::plain("b", Species::new("fir"), sizes);
    board.grain = Some(Grain::Rings(Angle::RIFT));
    board.edge = Some(Length::inch_fraction(1, 2));
    let why = hindrance(&board, &job.shop, &kinds[0]).unwrap();
    let words = words(&why, &board, &job.shop, &kinds[0], Units::Inch);
    assert!(words.contains("3/4\" wide with 1/2\" kept off its edges"), "{words}");
}

/// A board as long as the strip with so much crook and bow, in whole eighths of an inch, and so
/// wide.
fn bent_board(crook: i64, bow: i64, wide: Length) -> (Board, Job, StripKind) {
    let job = shop(r#"edge = "1/8"; far_edge = 0; board_end = 1"#)
        .paddle("long", ["60", "20", "1 1/4"], "trim = 0; rings = 0")
        .through("side", "7/8")
        .job();
    let kind = strip_kinds(&job).remove(0);
    let inch = Length::inch_fraction;
    let mut board = Board::plain("b", Species::new("fir"), [inch(70, 1), wide, inch(3, 2)]);
    (board.crook, board.bow) = (inch(crook, 8), inch(bow, 8));
    (board, job, kind)
}

/// A board that is straight-lined leaves room for one strip of a flipped pair: that nothing long
/// enough is clear was said of it, though a whole strip is.
#[test]
fn of_a_lined_board_with_room_for_one_of_a_pair_that_is_what_is_said() {
    let inch = Length::inch_fraction;
    // Straight-lined over 60 in it loses 1.47 in; 2 5/8 in leave one strip, 4 in leave two.
    let (board, job, kind) = bent_board(16, 3, inch(21, 8));
    let why = hindrance(&board, &job.shop, &kind).unwrap();
    let Hindrance::Ways(Bar::LinedOddPair { bend, deep }, _) = why else { panic!("{why:?}") };
    assert_eq!((bend, deep), (board.crook().loss(kind.length), board.bow().loss(kind.length)));
    let told = words(&why, &board, &job.shop, &kind, Units::Inch);
    assert!(told.contains("needs a second strip to flip against"), "{told}");
    assert!(!told.contains("nothing long enough is clear"), "{told}");
    let (wide, job, kind) = bent_board(16, 3, inch(4, 1));
    assert_eq!(hindrance(&wide, &job.shop, &kind), None);
    assert_eq!(most_alone(&wide, &job.shop, &kind, 9), 2);
    // A knot right across leaves not even one.
    let mut knotty = board;
    let (from, to) = (inch(30, 1), inch(31, 1));
    let (near, far) = (Length::ZERO, knotty.width);
    knotty.zones.push(Zone { kind: ZoneKind::new("knot"), from, to, near, far });
    let why = hindrance(&knotty, &job.shop, &kind).unwrap();
    let Hindrance::Ways(Bar::Lined { left: None, .. }, _) = why else { panic!("{why:?}") };
}

/// Of a board that loses more than its width when it is straight-lined nothing is left, not less
/// than nothing.
#[test]
fn what_is_left_of_a_board_is_never_below_zero() {
    let (board, job, kind) = bent_board(40, 0, Length::inch_fraction(2, 1));
    let why = hindrance(&board, &job.shop, &kind).unwrap();
    let Hindrance::Ways(Bar::Lined { left, .. }, _) = why else { panic!("{why:?}") };
    assert_eq!(left, Some(Length::ZERO));
    let told = words(&why, &board, &job.shop, &kind, Units::Inch);
    assert!(told.contains("and no width is left once"), "{told}");
}
