//! Every saw its own kerf and dressing, margins around zones, a board's own allowances, offcuts:
//! as planned, as verified, and as told apart. Boards and paddles are invented.

use crate::jobs::{JobText, shop};
use stripwright::choose::{Options, plan};
use stripwright::length::{Length, Units};
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::{Edge, Measure, Plan};
use stripwright::read::{List, boards_text};
use stripwright::verify::{Rule, verify};

fn text(more: &str) -> JobText {
    shop(&format!("board_end = 0\nplane = 0\n{more}"))
        .paddle("short", ["40", "12", "1"], "trim = 0; rings = 0")
        .through("side", "1/2")
        .blade("edge", "1/4")
        .with(r#"allow = ["sap"]"#)
}

fn job(shop: &str) -> Job {
    text(shop).job()
}

fn boards(lines: &str) -> Vec<Board> {
    let head = "board,species,length,width,thickness,crook,price,edge,far_edge,board_end,offcut,zone,from,to,near,far";
    boards_text("b.csv", &format!("{head}\n{lines}"), Units::Inch, List::OnHand).unwrap()
}

fn planned(job: &Job, boards: &[Board]) -> Plan {
    let plan = plan(job, boards, &Options::default()).expect("these boards are enough");
    verify(plan.clone(), job, boards).expect("a plan that is found passes").into_plan()
}

fn curved(plan: &Plan) -> usize {
    let sections = plan.boards.iter().flat_map(|b| &b.sections);
    sections.filter(|s| s.edge == Edge::Kept && !s.rips.is_empty()).count()
}

/// A crook of 1/4 in and 2 1/4 in of spare width: straightening costs nothing, so the board goes
/// to the fence, not to the bandsaw rip by rip.
#[test]
fn a_board_with_width_to_spare_is_straightened() {
    let job = job("curve_kerf = \"1/16\"\n");
    let boards = boards("b,fir,42,6,1,1/4,,,,,,,,,,\n");
    assert_eq!(curved(&planned(&job, &boards)), 0);
}

/// Only as wide as rips along the curve take: with a saw for it the curve is followed, without it
/// there is no plan.
#[test]
fn a_curve_is_followed_where_nothing_else_serves_and_the_shop_can() {
    // Two rips of 17/32 for the sides and two of 9/32 for the edges, three kerfs of 1/16, and 1/8
    // at either edge: 2 1/16 and no more.
    let boards = boards("b,fir,42,2 1/16,1,1/4,,,,,,,,,,\n");
    let with = job("curve_kerf = \"1/16\"\nstraight = 1\n");
    let plan = planned(&with, &boards);
    assert!(curved(&plan) > 0);
    let without = job("straight = 1\n");
    assert!(stripwright::choose::plan(&without, &boards, &Options::default()).is_err());
    // The plan breaks a rule in a shop that follows no curve.
    let faults = verify(plan, &without, &boards).unwrap_err();
    assert!(faults.iter().any(|f| f.rule == Rule::Curve), "{faults:?}");
}

/// The rough thickness is by the saw that leaves the glue faces.
#[test]
fn strips_are_as_thick_as_their_saw_leaves_them() {
    let shop = "curve_kerf = \"1/16\"\nresaw_kerf = \"1/16\"\ndress = 0\ncurve_dress = \"1/32\"\nresaw_dress = \"1/16\"\n";
    let job = job(shop);
    let boards = boards("b,fir,42,6,1,1/4,,,,,,,,,,\nt,fir,42,2 1/2,1 1/2,,,,,,,,,,,\n");
    let plan = planned(&job, &boards);
    for (cut, section, rip, leaf, strip) in plan.strips() {
        let finished = job.paddles[strip.paddle].laminations[strip.lamination].thickness;
        let sixteenth = |n| Length::inch_fraction(n, 32);
        let crooked = boards[cut.board].crook != Length::ZERO;
        let (is, more) = match (rip.turned, rip.leaves.len()) {
            (true, 1) => (leaf.thickness, sixteenth(0)),
            (true, _) => (leaf.thickness, sixteenth(4)),
            (false, _) if crooked && section.edge == Edge::Kept => {
                (rip.far - rip.near, sixteenth(2))
            }
            (false, _) => (rip.far - rip.near, sixteenth(0)),
        };
        assert_eq!(is, finished + more, "{}", strip.id);
    }
    // In a shop that dresses resawn faces less, the same plan is refused where it has any.
    let resawn = plan.strips().any(|(_, _, r, ..)| r.turned && r.leaves.len() > 1);
    let other = Job {
        shop: stripwright::paddle::Shop { resaw_dress: Length::ZERO, ..job.shop.clone() },
        ..job
    };
    assert_eq!(verify(plan, &other, &boards).is_err(), resawn);
}

/// A mark without length or width is as wide as its margin; without one it is an error that says
/// so.
#[test]
fn a_pin_knot_is_kept_clear_of_by_its_margin() {
    let shop = "[shop.margin]\nknot = { along = \"1/2\", across = \"3/8\" }\n";
    let job = job(shop);
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path
    };
    let paddles = |shop: &str| file("p.toml", &text(shop).text());
    let csv = file(
        "b.csv",
        "board,species,length,width,thickness,zone,from,to,near,far\nb,fir,41,4 1/4,1,knot,20,20,1,1\n",
    );
    let read = stripwright::read::inputs(&csv, &paddles(shop)).unwrap();
    assert_eq!(read.job, job);
    let plan = planned(&read.job, &read.boards);
    // No rip over the knot's place comes nearer than its margin.
    let grown = (Length::inch_fraction(5, 8), Length::inch_fraction(11, 8));
    for (_, _, rip, _, strip) in plan.strips() {
        let over =
            strip.from < Length::inch_fraction(41, 2) && strip.to > Length::inch_fraction(39, 2);
        assert!(!over || rip.far <= grown.0 || rip.near >= grown.1);
    }
    let problems = stripwright::read::inputs(&csv, &paddles("")).unwrap_err().to_string();
    assert!(problems.contains("no margin is kept around knot"), "{problems}");
}

/// Sawn edges and ends have allowances of 0; an offcut costs nothing by price and by volume, and
/// needs no price.
#[test]
fn an_offcut_costs_nothing_and_its_own_allowances_count() {
    let job = job("");
    let own = boards("o,fir,40,4 1/2,1,,,0,0,0,yes,,,,,\nb,fir,90,6,1,,30,,,,,,,,,\n");
    let plan = planned(&job, &own);
    assert_eq!((plan.cost.measure, plan.cost.parts), (Measure::Price, 0));
    let volume = boards("o,fir,40,4 1/2,1,,,0,0,0,yes,,,,,\n");
    let plan = planned(&job, &volume);
    assert_eq!((plan.cost.measure, plan.cost.parts), (Measure::BoardFeet, 0));
    // The shop's own allowances would not leave it wide enough.
    let shops = boards("o,fir,40,2 1/8,1,,,,,,yes,,,,,\n");
    let sawn = boards("o,fir,40,2 1/8,1,,,0,0,0,yes,,,,,\n");
    let short =
        |boards: &[Board]| stripwright::choose::plan(&job, boards, &Options::default()).is_err();
    assert!(short(&shops) && !short(&sawn));
}

/// Boards of one size were taken for equal though one is an offcut or has sawn edges.
#[test]
fn boards_of_one_size_are_not_equal_where_allowances_or_being_an_offcut_differ() {
    let job = job("");
    let two = boards("b,fir,40,4 1/2,1,,,0,0,0,,,,,,\no,fir,40,4 1/2,1,,,0,0,0,yes,,,,,\n");
    let plan = planned(&job, &two);
    assert_eq!((plan.cost.parts, plan.boards.len()), (0, 1));
    assert_eq!(two[plan.boards[0].board].name, "o");
    for lines in [
        "b,fir,40,2 1/8,1,,,,,,,,,,,\ns,fir,40,2 1/8,1,,,0,0,0,,,,,,\n",
        "s,fir,40,2 1/8,1,,,0,0,0,,,,,,\nb,fir,40,2 1/8,1,,,,,,,,,,,\n",
    ] {
        let two = boards(lines);
        assert_eq!(two[planned(&job, &two).boards[0].board].name, "s");
    }
}

/// Resawing takes less here than ripping, so that two leaves fit where one alone is too thick.
/// The one that is not wanted was left out, and the plan broke a rule.
#[test]
fn one_leaf_of_two_is_resawn_where_alone_it_would_be_too_thick() {
    let job = shop(r#"resaw_kerf = "1/32"; resaw_dress = 0; dress = "1/8""#)
        .paddle("p", ["20", "6", "1"], "rings = 90")
        .through("c", "1/8")
        .with("centre = true")
        .job();
    let text = "board,species,length,width,thickness,rings,price\nA,ash,24,2,5/16,0,1\nB,ash,24,2,1,0,50\n";
    let boards = boards_text("b.csv", text, Units::Inch, List::OnHand).unwrap();
    let plan = planned(&job, &boards);
    assert_eq!((plan.cost.value(), plan.boards[0].board), (1.0, 0));
}

/// The most was limited by wood as if every saw took the table saw's dressing: "2 at most", said
/// to be proved, of boards that give 3.
#[test]
fn the_most_by_wood_counts_what_each_saw_takes() {
    let job = shop(r#"edge = 0; far_edge = 0; board_end = 0; plane = 0; resaw_dress = 0; dress = "1/8"; resaw_kerf = "1/16""#)
        .paddle("p", ["60", "20", "1 1/2"], "trim = 0; rings = 0; quantity = 3")
        .through("c", "1/4").job();
    let text = "board,species,length,width,thickness,rings,quantity\nA,fir,60,1 1/2,1,0,2\n";
    let boards = boards_text("b.csv", text, Units::Inch, List::OnHand).unwrap();
    assert_eq!(planned(&job, &boards).paddles, [3]);
    let most = stripwright::choose::most_count(&job, &boards, &Options::default());
    assert_eq!((most.made, most.at_most), (3, 3));
}

/// Digits after a written fraction joined its denominator: 1½20 was read as 1 1/220.
#[test]
fn digits_after_a_written_fraction_are_no_part_of_it() {
    let read = |text| Length::parse(text, Units::Inch);
    for wrong in ["1\u{BD}20", "5\u{BD}0", "\u{BD}5"] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
    assert_eq!(read("1\u{BD}\""), read("1 1/2"));
    assert_eq!(read("7' 2\u{BD}\""), read("86 1/2"));
}
