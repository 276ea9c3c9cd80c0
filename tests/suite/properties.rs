//! What must hold of plans whatever the boards are: no numbers, only comparisons. Boards are
//! invented.

use crate::jobs::{JobText, shop};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;
use stripwright::choose::{Aim, Options, plan, plan_for};
use stripwright::cut::BoardCuts;
use stripwright::length::{Length, Units};
use stripwright::lumber::{Board, Price, Zone, ZoneKind};
use stripwright::paddle::strips::needed;
use stripwright::paddle::{Job, strip_kinds};
use stripwright::plan::{CutBoard, Edge, Face, Leaf, Plan, Proof, Rip, Section, Strip};
use stripwright::read::{List, boards_text};
use stripwright::verify::verify;

fn text() -> JobText {
    shop(r#"far_edge = 0; curve_kerf = "1/8"; board_end = "1/2"; min_rip = 6"#)
        .paddle("small", ["24", "8", "1"], "trim = 0; rings = 0")
        .spine("1/4")
        .through("side", "1/2")
        .blade("edge", "3/8")
        .with(r#"allow = ["sap"]"#)
}

fn job() -> Job {
    text().job()
}

/// Sixteenths of an inch.
fn sixteenths(n: i64) -> Length {
    Length::inch_fraction(n, 16)
}

fn board_of((long, wide, thick): (i64, i64, i64), zones: Vec<Zone>) -> Board {
    let csv = "board,species,length,width,thickness\nb,fir,1,1,1\n";
    let board = boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap().remove(0);
    Board {
        length: sixteenths(long),
        width: sixteenths(wide),
        thickness: sixteenths(thick),
        zones,
        ..board
    }
}

fn zone_of(kind: &str, along: (i64, i64), across: (i64, i64)) -> Zone {
    Zone {
        kind: ZoneKind::new(kind),
        from: sixteenths(along.0),
        to: sixteenths(along.1),
        near: sixteenths(across.0),
        far: sixteenths(across.1),
    }
}

/// A stretch of something so long.
fn span(over: i64) -> impl Strategy<Value = (i64, i64)> {
    (0..over, 1..over / 2).prop_map(move |(from, long)| (from, (from + long).min(over)))
}

fn zone(long: i64, wide: i64) -> impl Strategy<Value = Zone> {
    (prop::sample::select(&["knot", "sap"][..]), span(long), span(wide))
        .prop_map(|(kind, along, across)| zone_of(kind, along, across))
}

/// Which bends boards may have.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Bent {
    Straight,
    Bow,
    CrookAndBow,
}

/// A board and a zone that it does not have.
fn board(bent: Bent) -> impl Strategy<Value = (Board, Zone)> {
    (24 * 16..60 * 16_i64, 12..56_i64, 16..40_i64).prop_flat_map(move |sizes| {
        let bows = if bent == Bent::Straight { 0..=0_i64 } else { -12..=12 };
        let crooks = if bent == Bent::CrookAndBow { vec![0, 0, 6, -9, 14] } else { vec![0] };
        let crook = prop::sample::select(crooks);
        (vec(zone(sizes.0, sizes.1), 0..3), zone(sizes.0, sizes.1), crook, bows).prop_map(
            move |(zones, extra, crook, bow)| {
                let board = board_of(sizes, zones);
                let (crook, bow) = (sixteenths(crook), sixteenths(bow));
                (Board { crook, bow, ..board }, extra)
            },
        )
    })
}

fn pile(bent: Bent) -> impl Strategy<Value = (Vec<Board>, Vec<Zone>)> {
    (vec(board(bent), 1..=3), vec(1..9_i64, 3), any::<bool>()).prop_map(|(pile, prices, priced)| {
        let (mut boards, zones): (Vec<_>, Vec<_>) = pile.into_iter().unzip();
        for (i, board) in boards.iter_mut().enumerate() {
            board.name = format!("b{i}");
            board.price = priced.then_some(Price::from_parts(prices[i] * Price::SCALE));
        }
        (boards, zones)
    })
}

/// The plan, verified and proved. Where a board is crooked it may stay open, rarely: then the case
/// is passed over.
fn planned(job: &Job, boards: &[Board]) -> Result<Option<Plan>, TestCaseError> {
    let found = plan(job, boards, &Options::default());
    let proved = match &found {
        Ok(plan) => plan.proof == Proof::Optimal,
        Err(short) => short.proved(),
    };
    let verified = found.as_ref().ok().map(|plan| verify(plan.clone(), job, boards));
    assert!(verified.is_none_or(|v| v.is_ok()));
    if !proved && boards.iter().any(|b| b.crook != Length::ZERO) {
        return Err(TestCaseError::reject("a crooked board stays open"));
    }
    assert!(proved);
    Ok(found.ok())
}

/// Its cost; more than any plan's if there is none.
fn cost(job: &Job, boards: &[Board]) -> Result<i128, TestCaseError> {
    Ok(planned(job, boards)?.map_or(i128::MAX, |p| p.cost.parts))
}

fn touches(strip: &Strip, rip: &Rip, zone: &Zone) -> bool {
    strip.from < zone.to && zone.from < strip.to && rip.near < zone.far && zone.near < rip.far
}

/// The counts of both, no one of which covers another, cut off at what is wanted.
fn both(a: &[Vec<u32>], b: &[Vec<u32>], wanted: &[u32]) -> Vec<Vec<u32>> {
    let nothing = vec![0; wanted.len()];
    let mut sums: Vec<Vec<u32>> = Vec::new();
    for x in a.iter().chain([&nothing]) {
        for y in b.iter().chain([&nothing]) {
            let sum = x.iter().zip(y).zip(wanted).map(|((p, q), w)| (p + q).min(*w));
            sums.push(sum.collect());
        }
    }
    let covered =
        |s: &Vec<u32>| sums.iter().any(|t| t != s && t.iter().zip(s).all(|(x, y)| x >= y));
    let mut kept: Vec<_> = sums.iter().filter(|s| !covered(s) && **s != nothing).cloned().collect();
    kept.sort();
    kept.dedup();
    kept
}

type Checked = Result<(), TestCaseError>;

fn a_zone_never_helps(boards: Vec<Board>, zones: Vec<Zone>) -> Checked {
    let job = job();
    let clean = cost(&job, &boards)?;
    let mut marked = boards;
    for (board, zone) in marked.iter_mut().zip(zones) {
        board.zones.push(zone);
        prop_assert!(cost(&job, std::slice::from_ref(board))? > 0);
    }
    prop_assert!(cost(&job, &marked)? >= clean);
    Ok(())
}

fn a_bigger_zone_never_helps(boards: Vec<Board>, zones: Vec<Zone>, grow: [i64; 4]) -> Checked {
    let job = job();
    let mut marked = boards;
    for (board, zone) in marked.iter_mut().zip(zones) {
        board.zones.push(zone);
    }
    let before = cost(&job, &marked)?;
    for board in &mut marked {
        let (length, width) = (board.length, board.width);
        for zone in &mut board.zones {
            zone.from = (zone.from - sixteenths(grow[0])).max(Length::ZERO);
            zone.to = (zone.to + sixteenths(grow[1])).min(length);
            zone.near = (zone.near - sixteenths(grow[2])).max(Length::ZERO);
            zone.far = (zone.far + sixteenths(grow[3])).min(width);
        }
    }
    prop_assert!(cost(&job, &marked)? >= before);
    Ok(())
}

fn more_kerf_never_helps(boards: Vec<Board>, _: Vec<Zone>, more: [i64; 3]) -> Checked {
    let mut job = job();
    job.shop.resaw_kerf = Some(sixteenths(1));
    let before = cost(&job, &boards)?;
    job.shop.rip_kerf += sixteenths(more[0]);
    job.shop.crosscut_kerf += sixteenths(more[1]);
    job.shop.resaw_kerf = Some(sixteenths(1 + more[2]));
    let wide = cost(&job, &boards)?;
    prop_assert!(wide >= before);
    job.shop.resaw_kerf = None;
    prop_assert!(cost(&job, &boards)? >= wide);
    Ok(())
}

fn mirrored_end_for_end_it_costs_the_same(boards: Vec<Board>, _: Vec<Zone>) -> Checked {
    let job = job();
    let mut mirrored = boards.clone();
    for board in &mut mirrored {
        for zone in &mut board.zones {
            (zone.from, zone.to) = (board.length - zone.to, board.length - zone.from);
        }
    }
    prop_assert_eq!(cost(&job, &mirrored)?, cost(&job, &boards)?);
    Ok(())
}

/// With nothing taken off the reference edge either edge may be it; hollow becomes crowned.
fn mirrored_edge_for_edge_it_costs_the_same(boards: Vec<Board>, _: Vec<Zone>) -> Checked {
    let mut job = job();
    job.shop.edge = Length::ZERO;
    let mut mirrored = boards.clone();
    for board in &mut mirrored {
        board.crook = -board.crook;
        for zone in &mut board.zones {
            (zone.near, zone.far) = (board.width - zone.far, board.width - zone.near);
        }
    }
    prop_assert_eq!(cost(&job, &mirrored)?, cost(&job, &boards)?);
    Ok(())
}

fn the_same_input_gives_the_same_plan(boards: Vec<Board>, _: Vec<Zone>) -> Checked {
    let job = job();
    let options = Options::default();
    prop_assert_eq!(plan(&job, &boards, &options), plan(&job, &boards, &options));
    Ok(())
}

/// More paddles never cost less.
fn one_paddle_more_never_costs_less(boards: Vec<Board>, _: Vec<Zone>) -> Checked {
    let job = job();
    let of = |n: u32| match plan_for(&job, &boards, &[n], &Options::default()) {
        Ok(plan) => plan.cost.parts,
        Err(_) => i128::MAX,
    };
    let (one, two, three) = (of(1), of(2), of(3));
    prop_assert!(one <= two && two <= three);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// Marks what the plan leaves: knots of every reach tried that no strip touches.
    #[test]
    fn a_zone_in_the_waste_changes_nothing(
        (boards, _) in pile(Bent::Straight),
        tries in vec(((0..100_i64, 1..60_i64), (0..100_i64, 1..60_i64)), 30),
    ) {
        let job = job();
        let Some(plan) = planned(&job, &boards)? else { return Ok(()) };
        let mut marked = boards.clone();
        for (b, board) in marked.iter_mut().enumerate() {
            for &(along, across) in &tries {
                let share = |of: Length, n: i64| Length::from_units(of.units() * n.min(100) / 100);
                let zone = Zone {
                    kind: ZoneKind::new("rot"),
                    from: share(board.length, along.0),
                    to: share(board.length, along.0 + along.1),
                    near: share(board.width, across.0),
                    far: share(board.width, across.0 + across.1),
                };
                let hit = plan.strips().any(|(cut, _, rip, _, s)| cut.board == b && touches(s, rip, &zone));
                if !hit && board.zones.len() < 8 {
                    board.zones.push(zone);
                }
            }
        }
        let verified = verify(plan.clone(), &job, &marked);
        prop_assert!(verified.is_ok(), "{:?}", verified.err());
        prop_assert_eq!(cost(&job, &marked)?, plan.cost.parts);
    }

    /// Rot right across, at least a kerf long, in a straight board: the two parts, each with its
    /// unusable end, give the same strips. No strip is shorter than what may be ripped.
    #[test]
    fn a_zone_of_full_width_makes_two_boards(
        (board, _) in board(Bent::Straight),
        cut in 10..90_i64,
        gap in 2..40_i64,
        wanted in 1..5_u32,
    ) {
        let job = job();
        let mut kinds = strip_kinds(&job);
        kinds.iter_mut().for_each(|k| k.apart = true);
        let end = job.shop.board_end;
        let a = Length::from_units(board.length.units() * cut / 100);
        let b = (a + sixteenths(gap)).min(board.length - end * 2);
        let mut whole = board.clone();
        whole.zones.push(Zone { kind: ZoneKind::new("rot"), from: a, to: b, near: Length::ZERO, far: board.width });
        // Each part keeps the zones it holds; it is longer by an end that is lost.
        let part = |name: &str, from: Length, to: Length| {
            let mut part = Board { name: name.into(), length: to - from, ..board.clone() };
            part.zones = board.zones.iter().filter_map(|z| {
                let (x0, x1) = (z.from.max(from), z.to.min(to));
                (x0 < x1).then(|| Zone { from: x0 - from, to: x1 - from, ..z.clone() })
            }).collect();
            part
        };
        prop_assume!(b > a + job.shop.crosscut_kerf && a > end);
        let parts = [part("one", Length::ZERO, a + end), part("two", b - end, board.length)];
        let need = needed(&job, &kinds, &[wanted]);
        let list = |board: &Board| {
            BoardCuts::new(board, &job.shop, &kinds, &need).list(&need, &[], u64::MAX).unwrap()
        };
        prop_assert_eq!(both(&list(&whole), &[], &need), both(&list(&parts[0]), &list(&parts[1]), &need));
        // And so do plans: as many paddles, whichever way.
        let most = |boards: &[Board]| {
            match plan(&job, boards, &Options { aim: Aim::Most, ..Options::default() }) {
                Ok(plan) => plan.paddles[0],
                Err(_) => 0,
            }
        };
        prop_assert_eq!(most(&[whole]), most(&parts));
    }
}

/// Boards with bow and no crook.
mod bowed {
    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

        #[test]
        fn a_zone_never_helps((boards, zones) in pile(Bent::Bow)) {
            super::a_zone_never_helps(boards, zones)?;
        }

        #[test]
        fn a_bigger_zone_never_helps((boards, zones) in pile(Bent::Bow), grow in [0..60_i64, 0..60_i64, 0..9_i64, 0..9_i64]) {
            super::a_bigger_zone_never_helps(boards, zones, grow)?;
        }

        #[test]
        fn more_kerf_never_helps((boards, zones) in pile(Bent::Bow), more in [0..5_i64, 0..5_i64, 0..3_i64]) {
            super::more_kerf_never_helps(boards, zones, more)?;
        }

        #[test]
        fn mirrored_end_for_end_it_costs_the_same((boards, zones) in pile(Bent::Bow)) {
            super::mirrored_end_for_end_it_costs_the_same(boards, zones)?;
        }

        #[test]
        fn mirrored_edge_for_edge_it_costs_the_same((boards, zones) in pile(Bent::Bow)) {
            super::mirrored_edge_for_edge_it_costs_the_same(boards, zones)?;
        }

        #[test]
        fn the_same_input_gives_the_same_plan((boards, zones) in pile(Bent::Bow)) {
            super::the_same_input_gives_the_same_plan(boards, zones)?;
        }

        #[test]
        fn one_paddle_more_never_costs_less((boards, zones) in pile(Bent::Bow)) {
            super::one_paddle_more_never_costs_less(boards, zones)?;
        }
    }
}

/// Boards with crook and bow.
mod crooked {
    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

        #[test]
        fn a_zone_never_helps((boards, zones) in pile(Bent::CrookAndBow)) {
            super::a_zone_never_helps(boards, zones)?;
        }

        #[test]
        fn a_bigger_zone_never_helps((boards, zones) in pile(Bent::CrookAndBow), grow in [0..60_i64, 0..60_i64, 0..9_i64, 0..9_i64]) {
            super::a_bigger_zone_never_helps(boards, zones, grow)?;
        }

        #[test]
        fn more_kerf_never_helps((boards, zones) in pile(Bent::CrookAndBow), more in [0..5_i64, 0..5_i64, 0..3_i64]) {
            super::more_kerf_never_helps(boards, zones, more)?;
        }

        #[test]
        fn mirrored_end_for_end_it_costs_the_same((boards, zones) in pile(Bent::CrookAndBow)) {
            super::mirrored_end_for_end_it_costs_the_same(boards, zones)?;
        }

        #[test]
        fn mirrored_edge_for_edge_it_costs_the_same((boards, zones) in pile(Bent::CrookAndBow)) {
            super::mirrored_edge_for_edge_it_costs_the_same(boards, zones)?;
        }

        #[test]
        fn the_same_input_gives_the_same_plan((boards, zones) in pile(Bent::CrookAndBow)) {
            super::the_same_input_gives_the_same_plan(boards, zones)?;
        }

        #[test]
        fn one_paddle_more_never_costs_less((boards, zones) in pile(Bent::CrookAndBow)) {
            super::one_paddle_more_never_costs_less(boards, zones)?;
        }
    }
}

/// A hollow board with a knot at its edge near one end. Straight-lined from the marked end the
/// knot is lifted into the only strip; begun further along, beside the knot, it stays in what is
/// cut away. Beyond the knot there is not enough length left.
#[test]
fn a_straight_lined_section_may_begin_beside_a_knot() {
    let job = shop(r#"far_edge = 0; curve_kerf = "1/8"; board_end = 0; edge = 0; min_rip = 6; dress = 0; plane = 0; pull = "1/2""#)
        .paddle("stick", ["36", "8", "1"], "trim = 0")
        .spine("1/2").job();
    let csv = "board,species,length,width,thickness,rings,crook,zone,from,to,near,far\n\
               b,fir,39 1/2,1.34,1,vertical,1,,,,,\nb,,,,,,,knot,3,4,0,0.6\n";
    let boards = boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap();
    let inch = |text: &str| Length::parse(text, Units::Inch).unwrap();
    // By hand.
    let strip = Strip {
        id: "b.1".into(),
        paddle: 0,
        lamination: 0,
        from: inch("3 1/2"),
        to: inch("39 1/2"),
        flipped_with: None,
    };
    let rip = Rip {
        near: inch("0.84"),
        far: inch("1.34"),
        turned: false,
        leaves: vec![Leaf { thickness: inch("1"), strips: vec![strip] }],
    };
    let section = Section {
        from: inch("3 1/2"),
        to: inch("39 1/2"),
        edge: Edge::Lined,
        face: Face::Kept,
        rips: vec![rip],
    };
    let by_hand = Plan {
        in_hand: Vec::new(),
        cost: stripwright::plan::Cost {
            measure: stripwright::plan::Measure::BoardFeet,
            parts: boards[0].volume(),
        },
        proof: Proof::Optimal,
        most: None,
        paddles: vec![1],
        boards: vec![CutBoard { board: 0, copy: 1, sections: vec![section] }],
    };
    let verified = verify(by_hand, &job, &boards);
    assert!(verified.is_ok(), "{:?}", verified.err());
    assert!(matches!(planned(&job, &boards), Ok(Some(_))), "there is a plan");
}
