//! Published cutting-stock problems typed in as a job: bars that take one rip, items that are
//! strips one after another along it, no kerf. The least costs are those of the literature.

use std::fmt::Write;
use stripwright::choose::{Options, plan};
use stripwright::length::Units;
use stripwright::plan::{Measure, Plan, Proof};
use stripwright::read::{List, boards_text, job_text};
use stripwright::verify::verify;

/// Stocks as (length, price, how many), items as (length, how many); plans and verifies.
/// Returns the plan, its cost and its proved bound in whole units of money.
fn solve(stocks: &[(u32, u32, u32)], items: &[(u32, u32)]) -> (Plan, i128, i128) {
    let mut csv = String::from("board,species,length,width,thickness,price,quantity\n");
    for (length, price, count) in stocks {
        writeln!(csv, "bar {length},fir,{length},10,12,{price},{count}").unwrap();
    }
    let mut toml = String::from(
        "units = \"mm\"\n[shop]\nrip_kerf = 0\ncrosscut_kerf = 0\nedge = 0\nfar_edge = 0\nboard_end = 0\n\
         dress = 0\nplane = 0\nmin_rip = 0\n",
    );
    for (length, count) in items {
        // One strip on the centreline a paddle, as long as the paddle.
        write!(
            toml,
            "[[paddle]]\nname = \"item {length}\"\nquantity = {count}\nlength = {length}\n\
             loom = \"0.5\"\nthickness = 12\ntrim = 0\nrings = 0\n[[paddle.lamination]]\n\
             name = \"strip\"\nthickness = 10\nruns = \"through\"\ncentre = true\n"
        )
        .unwrap();
    }
    let job = job_text("p.toml", &toml).unwrap();
    let boards = boards_text("b.csv", &csv, Units::Mm, List::OnHand).unwrap();
    let Ok(plan) = plan(&job, &boards, &Options::default()) else {
        panic!("there is a plan");
    };
    assert_eq!(plan.cost.measure, Measure::Price);
    let cut: usize = plan
        .boards
        .iter()
        .flat_map(|b| &b.sections)
        .flat_map(|s| &s.rips)
        .flat_map(|r| &r.leaves)
        .map(|l| l.strips.len())
        .sum();
    let wanted: u32 = items.iter().map(|i| i.1).sum();
    assert!(cut >= wanted as usize, "{cut} strips of {wanted}");
    let verified = verify(plan.clone(), &job, &boards);
    assert!(verified.is_ok(), "{:?}", verified.err());
    let one = Measure::Price.one();
    assert_eq!(plan.cost.parts % one, 0, "whole prices make whole costs");
    let bound = match plan.proof {
        Proof::Optimal => plan.cost.parts / one,
        // Whole prices: a cost between two whole numbers is the upper one.
        Proof::AtLeast(parts) => (parts + one - 1).div_euclid(one),
    };
    let cost = plan.cost.parts / one;
    (plan, cost, bound)
}

/// Chvátal, Linear Programming (1983), chapter 13: the relaxation comes to 452.25, the least is
/// 453 bars.
#[test]
fn chvatal_453_bars() {
    let items = [(45, 97), (36, 610), (31, 395), (14, 211)];
    let (plan, cost, bound) = solve(&[(100, 1, 600)], &items);
    assert_eq!((cost, bound, plan.proof), (453, 453, Proof::Optimal));
    assert_eq!(plan.boards.len(), 453);
}

/// The same book, from memory: as many bars as are needed and no more are on hand.
#[test]
fn chvatal_with_just_enough_bars() {
    let items = [(45, 97), (36, 610), (31, 395), (14, 211)];
    let (_, cost, bound) = solve(&[(100, 1, 453)], &items);
    assert_eq!((cost, bound), (453, 453));
}

/// A worked example of teaching: the relaxation comes to 600.375, the least is 601 bars.
#[test]
fn rolls_of_twenty_601() {
    let items = [(9, 511), (8, 301), (7, 263), (6, 383)];
    let (plan, cost, bound) = solve(&[(20, 1, 700)], &items);
    assert_eq!((cost, bound, plan.proof), (601, 601, Proof::Optimal));
}

/// Gilmore and Gomory, A linear programming approach to the cutting-stock problem (1961), from
/// memory: stocks of 5, 6 and 9 at 6, 7 and 10; least cost 170.
#[test]
fn gilmore_gomory_three_stocks_170() {
    let stocks = [(5, 6, 60), (6, 7, 60), (9, 10, 60)];
    let (plan, cost, bound) = solve(&stocks, &[(2, 20), (3, 10), (4, 20)]);
    assert_eq!((cost, bound, plan.proof), (170, 170, Proof::Optimal));
}

/// A worked example of teaching, thirteen widths from a roll of 5600: 73 rolls.
#[test]
fn thirteen_widths_73_rolls() {
    let items = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    let (_, cost, bound) = solve(&[(5600, 1, 100)], &items);
    assert!(bound <= 73 && 73 <= cost, "{bound} to {cost}");
    assert_eq!((cost, bound), (73, 73));
}
