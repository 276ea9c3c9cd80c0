//! What is said where there is no plan, for each thing that stands in a strip's way.

use stripwright::choose::{Aim, Options, plan};
use stripwright::read::{List, boards_text, job_text};
use stripwright::report::text::{short, tables};
use stripwright::verify::verify;

/// One kind of strip: 1/2 × 1 × 24 in, rings at 45° or more.
const JOB: &str = r#"
[shop]
far_edge = 0
curve_kerf = "1/8"
board_end = 0
edge = 0
dress = 0
plane = 0
min_rip = 4
pull = "1/8"
pair = "1/8"
[[paddle]]
name = "small"
length = 24
loom = 8
trim = 0
thickness = 1
rings = 45
runout = "1:15"
[[paddle.lamination]]
name = "side"
thickness = "1/2"
runs = "through"
species = ["fir", "cedar"]
"#;

const COLUMNS: &str =
    "board,species,length,width,thickness,rings,crook,bow,runout,quantity,zone,from,to,near,far\n";

fn said(job: &str, boards: &str, width: usize) -> String {
    let job = job_text("paddles.toml", job).unwrap();
    let text = format!("{COLUMNS}{boards}");
    let boards = boards_text("boards.csv", &text, job.units, List::OnHand).unwrap();
    match plan(&job, &boards, &Options::default()) {
        Err(found) => short::text(&found, &job, &boards, width, &Default::default()),
        Ok(plan) => panic!("{plan:?}"),
    }
}

fn obstacle(board: &str) -> String {
    said(JOB, board, 200)
}

/// Of a class in which everybody wants one paddle it is said who gets one.
#[test]
fn of_a_class_it_is_said_who_gets_a_paddle() {
    let (shop, paddle) = JOB.split_once("[[paddle]]").unwrap();
    let one = |(name, length): (&str, u32)| {
        let paddle = paddle.replace("length = 24", &format!("length = {length}"));
        format!("[[paddle]]{}", paddle.replace("small", name))
    };
    let builders = [("Una", 24), ("Bram", 25), ("Cleo", 26), ("Dov", 60)];
    let job = builders.map(one).concat();
    let job = job_text("paddles.toml", &format!("{shop}{job}")).unwrap();
    let head = |boards: &str, most: bool| {
        let text = format!("{COLUMNS}{boards}");
        let boards = boards_text("boards.csv", &text, job.units, List::OnHand).unwrap();
        let aim = if most { Aim::Most } else { Aim::Wanted };
        let made = plan(&job, &boards, &Options { aim, ..Options::default() }).unwrap();
        let made = verify(made, &job, &boards).unwrap();
        tables::heading(&made, &job, &boards, 200)
            .split_once(" This is plan ")
            .unwrap()
            .0
            .to_owned()
    };
    let one = "b,fir,30,9,1,90,,,,,,,,,\n";
    let most = "3 of 4 paddles, for Una, Bram and Cleo, and none for Dov, from 1 board.";
    assert_eq!(head(one, true), most);
    let two = format!("{one}c,fir,72,3,1,90,,,,,,,,,\n");
    assert_eq!(head(&two, false), "A paddle each for Una, Bram, Cleo and Dov from 1 board.");
}

#[test]
fn wood() {
    insta::assert_snapshot!(obstacle("b,white ash,30,2,1,90,,,,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: is white ash; takes cedar or fir.
    "#);
}

#[test]
fn slope_of_grain() {
    insta::assert_snapshot!(obstacle("b,fir,30,2,1,90,,,1:10,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: its grain runs out at 1:10; 1:15 is the steepest allowed.
    "#);
}

#[test]
fn length() {
    insta::assert_snapshot!(obstacle("b,fir,23 3/4,2,1,90,,,,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: 23 3/4" usable of its length; needs 24".
    "#);
}

#[test]
fn unmeasured_grain() {
    insta::assert_snapshot!(obstacle("b,fir,30,2,1,,,,,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: its grain is not given; measure rings, or pith_across and pith_depth.
    "#);
}

#[test]
fn ring_angle_and_thickness() {
    insta::assert_snapshot!(obstacle("b,fir,30,2,3/8,60,,,,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: upright, 3/8" thick, needs 1"; turned, rings at 30° to the blade's face, needs 45°.
    "#);
}

#[test]
fn thickness_upright_and_width() {
    insta::assert_snapshot!(obstacle("b,fir,30,7/16,15/16,45,,,,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: upright, 15/16" thick, needs 1"; turned, 7/16" wide with 0" kept off its edges, needs a rip of 1".
    "#);
}

#[test]
fn clear_run() {
    let board = "b,fir,30,2,1,45,,,,,,,,,\nb,,,,,,,,,,knot,20,21,,\n";
    insta::assert_snapshot!(obstacle(board), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: upright, longest clear run 1/2" wide is 20", needs 24"; turned, longest clear run 1" wide is 20", needs 24".
    "#);
}

#[test]
fn bend() {
    insta::assert_snapshot!(obstacle("b,fir,24,1,1,90,3/4,,,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: upright, bent about 3/4" along the edge, and about 1/4" wide, less than a rip takes, once that is straight-lined; turned, rings at 0° to the blade's face, needs 45°.
    "#);
}

#[test]
fn bow() {
    insta::assert_snapshot!(obstacle("b,fir,24,1,1,90,,1/2,,,,,,,\n"), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    2 strips short: small side (1/2 x 1 x 24 in rough); it gives 0 of 2.
      No board gives one.
      Nearest, board b: upright, bent about 1/2" on the face, and about 1/2" thick once that is planed flat; turned, rings at 0° to the blade's face, needs 45°.
    "#);
}

#[test]
fn too_few_strips_with_boards_that_give_some_and_copies() {
    let job = JOB.replace("name = \"small\"", "name = \"small\"\nquantity = 4");
    let boards = "b,fir,24,1/2,1,90,,,,3,,,,,\nc,fir,24,1/2,1,90,,,,,,,,,\n";
    insta::assert_snapshot!(said(&job, boards, 200), @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    4 strips short: small side (1/2 x 1 x 24 in rough); it gives 4 of 8.
      Boards that give such strips, and how many, cut for nothing else: b (3), c (1).
    "#);
}

/// Spares are asked for too, and copies of a board count.
#[test]
fn spares_and_copies() {
    let job = JOB.replace("runs = \"through\"", "runs = \"through\"\nspares = 5");
    let text = said(&job, "b,fir,24,1/2,1,90,,,,6,,,,,\n", 200);
    insta::assert_snapshot!(text, @r#"
    No plan: these boards don't give every strip (proved). The best cut found leaves these short:
    1 strip short: small side (1/2 x 1 x 24 in rough); it gives 6 of 7.
      Boards that give such strips, and how many, cut for nothing else: b (6).
    "#);
}

#[test]
fn no_line_is_wider_than_asked() {
    let boards = "b,fir,24,1,1,90,3/4,,,,,,,,\nlong-named-board,fir,30,2,1,45,,,,,,,,,\nlong-named-board,,,,,,,,,,knot,20,21,,\n";
    for width in 20..100 {
        let text = said(JOB, boards, width);
        let widest = text.lines().map(|l| l.chars().count()).max().unwrap();
        assert!(widest <= width, "{width}: {text}");
    }
}
