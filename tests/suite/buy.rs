//! What to buy, against trying every choice of boards.

use crate::jobs::{JobText, shop};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use stripwright::choose::{Options, plan_for};
use stripwright::length::Units;
use stripwright::lumber::{Board, Price};
use stripwright::paddle::Job;
use stripwright::read::{List, boards_text};
use stripwright::survey::buy::{buy, within_budget, without};
use stripwright::verify::verify;

fn text() -> JobText {
    shop(r#"far_edge = 0; curve_kerf = "1/8"; board_end = "1/2"; min_rip = 4"#)
        .paddle("small", ["24", "8", "1"], "trim = 0")
        .through("side", "1/2")
        .with("spares = 1")
        .blade("edge", "1/4")
        .with(r#"allow = ["sap"]"#)
}

fn job() -> Job {
    text().job()
}

/// Boards of a yard's list; one marked board to two clear lines.
fn list(name: &'static str, most: usize) -> impl Strategy<Value = Vec<Board>> {
    let line = (10..32_i64, 4..12_i64, 1..30_u32, 1..3_u32, 0..3_u32, 1..9_i64);
    vec(line, 1..=most).prop_map(move |lines| {
        let mut text =
            "board,species,length,width,thickness,rings,price,quantity,zone,from,to,near,far\n"
                .to_owned();
        for (n, (long, wide, price, quantity, marked, at)) in lines.iter().enumerate() {
            if *marked == 0 {
                text.push_str(&format!(
                    "{name}{n},fir,{long},{wide}/4,1 1/8,80,{price},1,knot,{at},{},0,3/4\n",
                    at + 1
                ));
            } else {
                text.push_str(&format!(
                    "{name}{n},fir,{long},{wide}/4,1 1/8,80,{price},{quantity},,,,,\n"
                ));
            }
        }
        boards_text("y.csv", &text, Units::Inch, List::Yard).unwrap()
    })
}

/// Every board by itself, its copies one by one.
fn each(boards: &[Board]) -> Vec<Board> {
    let copies = |b: &Board| vec![Board { quantity: 1, ..b.clone() }; b.quantity as usize];
    boards.iter().flat_map(copies).collect()
}

/// The least price of a choice of the yard's boards from which, with those in hand, so many
/// paddles can be planned: every choice tried.
fn least(in_hand: &[Board], yard: &[Board], paddles: u32) -> Option<i64> {
    let (hand, yard) = (each(in_hand), each(yard));
    let mut choices: Vec<(i64, u32)> = (0..1_u32 << yard.len())
        .map(|chosen| {
            let price = |i: usize| yard[i].price.unwrap().parts();
            ((0..yard.len()).filter(|i| chosen >> i & 1 == 1).map(price).sum(), chosen)
        })
        .collect();
    choices.sort_unstable();
    let enough = |chosen: u32| {
        let bought = (0..yard.len()).filter(|i| chosen >> i & 1 == 1).map(|i| yard[i].clone());
        let boards: Vec<Board> = hand.iter().cloned().chain(bought).collect();
        plan_for(&job(), &boards, &[paddles], &Options::default()).is_ok()
    };
    choices.into_iter().find(|&(_, chosen)| enough(chosen)).map(|(price, _)| price)
}

fn cost(in_hand: &[Board], yard: &[Board], paddles: u32) -> Option<i128> {
    let bought = buy(&job(), in_hand, yard, &[paddles], &Options::default()).ok()?;
    Some(bought.plan.cost.parts)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn no_choice_is_cheaper(yard in list("y", 4), hand in list("h", 2), paddles in 1..3_u32) {
        prop_assert_eq!(cost(&[], &yard, paddles), least(&[], &yard, paddles).map(i128::from));
        let mixed = cost(&hand, &yard, paddles);
        prop_assert_eq!(mixed, least(&hand, &yard, paddles).map(i128::from));
    }

    /// What is bought passes the check of plans, spares and all, and costs what its boards do.
    #[test]
    fn a_purchase_is_a_plan(yard in list("y", 4), hand in list("h", 2)) {
        let Ok(bought) = buy(&job(), &hand, &yard, &[1], &Options::default()) else {
            return Ok(());
        };
        let price = |(b, _): &(usize, u32)| i128::from(bought.boards[*b].price.unwrap().parts());
        let sum: i128 = bought.bought().iter().map(price).sum();
        prop_assert_eq!(sum, bought.plan.cost.parts);
        let sides = bought.plan.strips().filter(|(.., s)| s.lamination == 0).count();
        prop_assert_eq!(sides, 3, "two and a spare");
        let checked = verify(bought.plan.clone(), &job(), &bought.boards);
        prop_assert!(checked.is_ok(), "{:?}", checked.err());
    }

    /// The next best without a bought board is the best of the list without it.
    #[test]
    fn without_a_board(yard in list("y", 4)) {
        let Ok(bought) = buy(&job(), &[], &yard, &[1], &Options::default()) else {
            return Ok(());
        };
        for (board, _) in bought.bought() {
            let mut left = yard.clone();
            if left[board].quantity > 1 {
                left[board].quantity -= 1;
            } else {
                left.remove(board);
            }
            let next = without(&job(), &bought, board, 1, &Options::default()).ok();
            prop_assert_eq!(
                next.map(|p| p.cost.parts),
                least(&[], &left, 1).map(i128::from)
            );
        }
    }

    #[test]
    fn a_cheaper_yard_never_costs_more(yard in list("y", 4), which in 0..4_usize, off in 1..9_i64) {
        let mut cheaper = yard.clone();
        let which = which % yard.len();
        let parts = (yard[which].price.unwrap().parts() - off * Price::SCALE / 2).max(0);
        cheaper[which].price = Some(Price::from_parts(parts));
        match (cost(&[], &yard, 1), cost(&[], &cheaper, 1)) {
            (Some(before), Some(after)) => prop_assert!(after <= before),
            (before, after) => prop_assert_eq!(before, after),
        }
    }

    #[test]
    fn more_in_hand_never_costs_more(yard in list("y", 4), hand in list("h", 2)) {
        let (before, after) = (cost(&[], &yard, 1), cost(&hand, &yard, 1));
        if let Some(before) = before {
            prop_assert!(after.is_some_and(|after| after <= before), "{before} {after:?}");
        }
    }

    /// A budget gives the most paddles whose boards, tried one choice after the other, it pays.
    #[test]
    fn a_budget_gives_the_most(yard in list("y", 3), budget in 0..90_i64) {
        let budget = Price::from_parts(budget * Price::SCALE);
        let paid = |n: &u32| least(&[], &yard, *n).is_some_and(|c| c <= budget.parts());
        let most = (1..).take_while(paid).count();
        let bought = within_budget(&job(), &[], &yard, budget, &Options::default());
        prop_assert_eq!(bought.as_ref().map_or(0, |b| b.plan.paddles[0] as usize), most);
    }
}

/// The lists tried above are not all too poor, and not all enough.
#[test]
fn some_lists_are_enough() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let found: Vec<bool> = (0..60)
        .map(|_| {
            let yard = list("y", 4).new_tree(&mut runner).unwrap().current();
            cost(&[], &yard, 1).is_some()
        })
        .collect();
    let enough = found.iter().filter(|&&f| f).count();
    assert!((10..=55).contains(&enough), "{enough} of 60");
}

/// The example, as the command says it.
#[test]
fn the_example_from_the_shell() {
    let run = |yard: &str, more: &[&str]| {
        let mut command = assert_cmd::Command::cargo_bin("stripwright").unwrap();
        let output = command
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(["buy", "--paddles", "examples/loft/paddles.toml", "--width", "120"])
            .args(["--yard", yard])
            .args(more)
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    let yard = "examples/loft/yard.csv";
    let (code, text) = run(yard, &[]);
    assert_eq!(code, Some(0));
    for said in [
        "For 2 × estuary buy 3 boards for 31.30.",
        "If sorted 1 is gone, the next best costs 41.90, 10.60 more: 3 × rack 2 and sorted 2.",
        "With one more estuary it costs 56.10, 24.80 more: 2 × rack 2, rack 4, sorted 1 and sorted 2.",
        "Nominal sizes are taken as the dressed dry sizes of PS 20.",
        "Quarters are taken as hardwood surfaced on two sides",
        "A price by the running foot counts the length of the board.",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    let (code, text) = run(yard, &["--budget", "4"]);
    assert_eq!(
        (code, text.trim()),
        (Some(1), "Not even one paddle can be had for 4.00; one estuary costs 20.50.")
    );
    let (_, text) = run(yard, &["--budget", "56.10"]);
    // That it is the most is only said where the search for it has proved it.
    let most = ["The most for 56.10 is 3 × estuary.", "Found so far for 56.10: 3 × estuary"];
    assert!(most.iter().any(|m| text.starts_with(m)), "{text}");
    // In hand all is there, and what is in hand costs nothing.
    let (_, text) = run(yard, &["--boards", "examples/loft/boards.csv"]);
    assert!(text.starts_with("For 2 × estuary nothing need be bought"), "{text}");
    // One name for two boards would make the plan doubtful.
    let (code, _) = run("examples/loft/boards.csv", &["--boards", "examples/loft/boards.csv"]);
    assert_eq!(code, Some(2));
    // No nominal size and no price by the foot: nothing is said of them.
    let (code, text) = run("examples/loft/boards.csv", &[]);
    assert_eq!(code, Some(0));
    assert!(!text.contains("PS 20") && !text.contains("foot counts"), "{text}");
}
