//! The library as a program calls it: boards made in code, lists of any length, another job's plan.
//! Boards and paddles are invented.

use crate::jobs::shop;
use stripwright::{
    Board, GlueSettings, Job, Length, NoPlan, Options, Problems, Species, Zone, ZoneKind,
    bench_sheets, buy, check_boards, cut_list, drawings, glue_up, needed, plan, plan_for,
    plan_json, plan_tables, sheet_page, strip_kinds, verify,
};

fn inch(n: i64, of: i64) -> Length {
    Length::inch_fraction(n, of)
}

fn job(more: &str) -> Job {
    let text =
        ["short", "long"].into_iter().zip(["40", "60"]).fold(shop(more), |text, (name, length)| {
            text.paddle(name, [length, "12", "1"], "trim = 0; rings = 0").through("side", "1/2")
        });
    text.job()
}

fn board(long: i64) -> Board {
    Board::plain("A", Species::new("fir"), [inch(long, 1), inch(7, 2), inch(3, 2)])
}

fn knot(from: Length, to: Length, near: Length, far: Length) -> Zone {
    Zone { kind: ZoneKind::new("knot"), from, to, near, far }
}

#[test]
fn a_list_of_paddles_may_be_shorter_or_longer_than_the_job() {
    let (job, boards) = (job(""), [board(96)]);
    let options = Options::default();
    for (list, made) in [(&[1][..], [1, 0]), (&[], [0, 0]), (&[0, 1, 7], [0, 1])] {
        let plan = plan_for(&job, &boards, list, &options).unwrap();
        assert_eq!(verify(plan, &job, &boards).unwrap().paddles, made);
        let bought = buy(&job, &[], &boards, list, &options).unwrap();
        let plan = verify(bought.plan, &job, &bought.boards).unwrap();
        assert_eq!(plan.paddles, made);
    }
    assert_eq!(needed(&job, &strip_kinds(&job), &[3]), [6, 0]);
    match plan_for(&job, &[board(50)], &[0, 1, 1], &options) {
        Err(NoPlan::Infeasible(short)) => assert_eq!(short.missing, [0, 2]),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_cut_list_of_another_jobs_plan_leaves_open_what_that_does_not_have() {
    let (two, boards) = (job(""), [board(96)]);
    let plan = plan_for(&two, &boards, &[0, 1], &Options::default()).unwrap();
    let plan = verify(plan, &two, &boards).unwrap();
    let mut one = two.clone();
    one.paddles.truncate(1);
    let lines = cut_list(&plan, &one, &[]);
    assert_eq!(lines.lines().count(), 3);
    // Paddle, lamination and flipped pair; the rough sizes behind them are the plan's own.
    let open = |l: &str| l.split(',').skip(16).take(3).all(str::is_empty);
    assert!(lines.lines().skip(1).all(|l| l.starts_with(",1,") && open(l)), "{lines}");
}

/// Whatever prints, draws or glues takes a plan with any job and any boards: it tells what they
/// have of it. The tables for the terminal panicked.
#[test]
fn another_jobs_plan_is_printed_as_far_as_it_goes() {
    let (two, boards) = (job(""), [board(50), board(96)]);
    let plan = plan_for(&two, &boards, &[1, 1], &Options::default()).unwrap();
    let plan = verify(plan, &two, &boards).unwrap();
    let mut one = two.clone();
    one.paddles.truncate(1);
    let mut none = two.clone();
    none.paddles.clear();
    let mut bare = two.clone();
    bare.paddles.iter_mut().for_each(|p| p.laminations.clear());
    let bent = Board { crook: inch(2, 1), bow: -inch(1, 1), ..board(60) };
    let zero = Board::plain("0", Species::new("ash"), [Length::ZERO; 3]);
    let marked =
        Board { zones: vec![knot(inch(3, 1), inch(90, 1), -inch(1, 1), inch(9, 1))], ..board(9) };
    let others: [&[Board]; 6] = [
        &boards,
        &[],
        &[board(5)],
        &[zero.clone(), Board { crook: inch(1, 1), bow: inch(1, 1), ..zero }],
        &[bent.clone(), Board { crook: -inch(2, 1), ..bent }],
        &[Board { quantity: 9, ..board(96) }, marked],
    ];
    let glue = GlueSettings::default();
    for job in [&two, &one, &none, &bare] {
        for boards in others {
            let up = glue_up(&plan, job, boards, &glue);
            let sheets = bench_sheets(&up, &plan, job, boards, &glue);
            let page = sheet_page(&plan, job, boards, &sheets);
            assert!(page.ends_with("</html>"));
            let drawn = drawings(&plan, job, boards, &sheets).len();
            let known = plan.boards.iter().filter(|cut| cut.board < boards.len()).count();
            assert_eq!(drawn, job.paddles.len() + known + sheets.len());
            for width in [20, 100] {
                let tables = plan_tables(&plan, job, boards, width);
                assert_eq!(tables.matches("Crosscut, measured").count().min(1), known.min(1));
                let _ = stripwright::report::text::sheet::text(&plan, job, boards, width);
            }
            assert_eq!(cut_list(&plan, job, boards).lines().count(), 5);
            assert!(plan_json(&plan, job, boards).contains("\"cost\""));
        }
    }
}

fn problems(boards: &[Board]) -> String {
    check_boards(boards).err().as_ref().map(Problems::to_string).unwrap_or_default()
}

#[test]
fn boards_made_in_code_are_held_to_the_rules_of_the_file() {
    let zoned = |zone: Zone| Board { zones: vec![zone], ..board(96) };
    let (zero, ten) = (Length::ZERO, inch(10, 1));
    for (wrong, told) in [
        (Board { width: zero, ..board(96) }, "board 1 \"A\", width: \"0 in\" is not within"),
        (Board { crook: inch(25, 1), ..board(96) }, "crook: \"25 in\" is not within"),
        (Board { quantity: 0, ..board(96) }, "quantity: \"0\" is not a whole number"),
        (Board { name: " ".into(), ..board(96) }, "name: \" \" is empty"),
        (Board { edge: Some(-inch(1, 8)), ..board(96) }, "edge: \"-1/8 in\" is not within"),
        (Board { length: Length::LIMIT * 2, ..board(96) }, "length: "),
        (
            zoned(knot(zero, ten, zero, inch(4, 1))),
            "zone 1: \"4 in\" is not within 0 in to 3 1/2 in",
        ),
        (zoned(knot(ten, zero, zero, inch(1, 1))), "zone 1: \"0 in\" is where it ends"),
        (
            Board { quantity: 2, ..zoned(knot(zero, ten, zero, inch(1, 1))) },
            "quantity: \"2\" is more than 1 on a board with zones",
        ),
    ] {
        let found = problems(&[wrong]);
        assert!(found.contains(told) && found.ends_with("1 problem."), "{told}: {found}");
    }
    let found = problems(&[board(96), board(60)]);
    assert!(found.contains("board 2 \"A\", name: \"A\" is the name of board 1"), "{found}");
    assert_eq!(problems(&[zoned(knot(ten, ten, zero, inch(1, 1)))]), "");
}

/// A mark without width, or with its sides the wrong way about, is no zone for planning nor for
/// the verifier; with a margin it is as wide as that for both.
#[test]
fn an_empty_zone_is_no_zone_and_a_mark_with_a_margin_is_one() {
    let across = |near, far| knot(Length::ZERO, inch(42, 1), near, far);
    let along = knot(inch(21, 1), inch(21, 1), Length::ZERO, inch(7, 2));
    let marks = [across(inch(1, 1), inch(1, 1)), across(inch(2, 1), inch(1, 1)), along];
    for margin in ["", "[shop.margin]\nknot = { along = 1, across = 1 }\n"] {
        let job = job(margin);
        for mark in &marks {
            let clear = [board(42)];
            let marked = [Board { zones: vec![mark.clone()], ..board(42) }];
            let options = Options::default();
            let through = plan_for(&job, &clear, &[1], &options).unwrap();
            let planned = plan_for(&job, &marked, &[1], &options);
            if margin.is_empty() {
                let plan = planned.unwrap();
                assert!(verify(plan, &job, &marked).is_ok(), "{mark:?}");
                assert!(verify(through, &job, &marked).is_ok(), "{mark:?}");
            } else if let Ok(plan) = planned {
                assert!(verify(plan, &job, &marked).is_ok(), "{mark:?}");
            }
        }
        if !margin.is_empty() {
            let marked = [Board { zones: vec![marks[2].clone()], ..board(42) }];
            assert!(plan_for(&job, &marked, &[1], &Options::default()).is_err());
        }
    }
    assert!(plan(&job(""), &[board(96)], &Options::default()).is_ok());
}
