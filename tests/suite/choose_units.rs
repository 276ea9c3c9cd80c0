//! Boards measured and priced in every unit: what is proved holds whatever the costs' common part
//! is. Each case was a false proof, or a search that drowned, when the unit of cost was the
//! greatest common part of all costs. Boards are invented.

use crate::choose_exhaustive::{
    Wood, choices, job, need_of, pile_as, planned_as_every_choice, wood,
};
use crate::jobs::shop;
use proptest::collection::vec;
use proptest::prelude::*;
use stripwright::choose::{Options, plan};
use stripwright::length::Units;
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::{Measure, Plan, Proof};
use stripwright::read::{List, boards_text};
use stripwright::verify::verify;

/// How a board's sizes are measured.
#[derive(Clone, Copy, Debug)]
enum Tape {
    Fractions,
    Thirds,
    Sevenths,
    TenthsOfMm,
    TenThousandths,
}

const TAPES: [Tape; 5] =
    [Tape::Fractions, Tape::Thirds, Tape::Sevenths, Tape::TenthsOfMm, Tape::TenThousandths];

/// A size of so many inches over a denominator, a little more where the tape is odd.
fn spelled(tape: Tape, top: u32, bottom: u32) -> String {
    let (top, bottom) = (u64::from(top), u64::from(bottom));
    match tape {
        Tape::Fractions => format!("{top}/{bottom}"),
        Tape::Thirds => format!("{}/{}", 3 * top + 1, 3 * bottom),
        Tape::Sevenths => format!("{}/{}", 7 * top + 1, 7 * bottom),
        Tape::TenthsOfMm => {
            let tenths = top * 254 / bottom + 1;
            format!("{}.{} mm", tenths / 10, tenths % 10)
        }
        Tape::TenThousandths => {
            let parts = top * 10_000 / bottom + 7;
            format!("{}.{:04}", parts / 10_000, parts % 10_000)
        }
    }
}

/// What boards cost, from a small number each.
#[derive(Clone, Copy, Debug)]
enum Till {
    Volume,
    FourDecimals,
    /// The cheapest and the dearest price that a file may hold, side by side.
    BothEnds,
}

fn price(till: Till, n: u32) -> String {
    match till {
        Till::Volume => String::new(),
        Till::FourDecimals => format!("{n}.{:04}", (n * 7919) % 10_000),
        Till::BothEnds if n.is_multiple_of(4) => "1000000000".to_owned(),
        Till::BothEnds => format!("0.000{}", n % 4),
    }
}

fn boards(woods: &[Wood], tapes: &[Tape], till: Till) -> Vec<Board> {
    let next = std::cell::Cell::new(0);
    let spell = |long, wide, thick| {
        let tape = tapes[next.get() % tapes.len()];
        next.set(next.get() + 1);
        [spelled(tape, long, 1), spelled(tape, wide, 4), spelled(tape, thick, 8)]
    };
    let of = |w: &Wood| price(till, w.price);
    let price: Option<&dyn Fn(&Wood) -> String> = match till {
        Till::Volume => None,
        _ => Some(&of),
    };
    pile_as(woods, price, &spell)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    #[test]
    fn least_cost_of_every_choice_in_any_units(
        woods in vec(wood(), 3..=6),
        tapes in vec(prop::sample::select(TAPES.to_vec()), 1..=4),
        till in prop::sample::select(vec![Till::Volume, Till::FourDecimals, Till::BothEnds]),
        quantity in 1..=2_u32,
    ) {
        let (job, boards) = (job(quantity, 0, false), boards(&woods, &tapes, till));
        let need = need_of(&job, &[quantity]);
        let all = choices(&job, &boards, &need);
        planned_as_every_choice(&job, &boards, &need, &all)?;
    }
}

/// One paddle that takes a board or two.
fn touring(quantity: u32) -> Job {
    let text = shop("")
        .paddle("touring", ["84", "20", "1 3/8"], "")
        .spine("1/4")
        .through("side", "1/2")
        .blade("blade", "1/2");
    let mut job = text.job();
    job.paddles[0].quantity = quantity;
    job
}

fn inches(csv: &str) -> Vec<Board> {
    boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap()
}

fn planned(job: &Job, boards: &[Board]) -> Plan {
    let plan = plan(job, boards, &Options::default()).expect("these boards are enough");
    assert!(verify(plan.clone(), job, boards).is_ok());
    plan
}

/// Six boards in thirds and sevenths: "no plan (proved)", though the first three alone plan fine;
/// the same in another order: proved at twice the least cost.
#[test]
fn thirds_and_sevenths_of_an_inch_in_any_order() {
    let job = touring(2);
    let lines = [
        "A,fir,96 1/3,5 1/2,1 1/2,vertical",
        "B,fir,95 2/7,7 1/3,1 1/2,vertical",
        "C,fir,97,5 3/7,1 2/3,vertical",
        "D,fir,101 1/7,9 1/4,1 5/7,vertical",
        "E,fir,110 2/3,11 1/7,1 1/2,vertical",
        "F,fir,98 5/7,6 2/3,1 4/7,vertical",
    ];
    let csv = |order: &[usize]| {
        let lines: Vec<&str> = order.iter().map(|&i| lines[i]).collect();
        format!("board,species,length,width,thickness,rings\n{}\n", lines.join("\n"))
    };
    let three = planned(&job, &inches(&csv(&[0, 1, 2])));
    let six = planned(&job, &inches(&csv(&[0, 1, 2, 3, 4, 5])));
    assert!(six.cost.parts <= three.cost.parts);
    assert_eq!(six.proof, Proof::Optimal);
    for order in [[5, 4, 3, 2, 1, 0], [3, 0, 5, 1, 4, 2], [2, 1, 0, 5, 4, 3]] {
        let again = planned(&job, &inches(&csv(&order)));
        assert_eq!((again.cost.parts, again.proof), (six.cost.parts, six.proof), "{order:?}");
    }
}

/// Eight clear boards with one measured in millimetres, and forty, end as soon as their copies in
/// fractions do.
#[test]
fn one_board_in_millimetres_among_many_in_inches() {
    let job = touring(2);
    for count in [8, 40] {
        let mut csv = String::from("board,species,length,width,thickness,rings\n");
        for i in 1..count {
            csv += &format!("b{i},fir,{},{}/8,1 1/2,vertical\n", 90 + i % 7, 36 + i % 11);
        }
        csv += "mm,fir,2405 mm,140 mm,41 mm,vertical\n";
        let plan = planned(&job, &inches(&csv));
        assert_eq!(plan.proof, Proof::Optimal);
        assert_eq!(plan.cost.measure, Measure::BoardFeet);
    }
}

/// The most copies and paddles that files may ask for, at the dearest price and the cheapest.
#[test]
fn documented_limits_at_once() {
    let job = touring(10_000);
    let csv = "board,species,length,width,thickness,rings,price,quantity\n\
               dear,fir,100,12,1 1/2,vertical,1000000000,10000\n\
               cheap,fir,100,12,1 1/2,vertical,0.0001,10000\n";
    let plan = planned(&job, &inches(csv));
    // So many boards are not searched to the end; what is claimed holds and is near.
    let bound = plan.proof.bound(plan.cost);
    assert!(
        bound <= plan.cost.parts && bound * 100 > plan.cost.parts * 98,
        "{bound} {}",
        plan.cost.parts
    );
    // Strips of every paddle come from the cheap boards alone.
    assert!(plan.boards.iter().all(|b| b.board == 1));
}
