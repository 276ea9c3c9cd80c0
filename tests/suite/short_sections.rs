//! Straight-lined sections are no longer than what is made of them: each loses wood in proportion
//! to the curve over its length (MODEL 6). Boards are invented.

use crate::fixtures::Dice;
use crate::jobs::{JobText, shop};
use std::fmt::Write;
use stripwright::choose::{Options, plan_for};
use stripwright::length::{Length, Units};
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::{Edge, Plan, Proof, Section, Strip};
use stripwright::read::{List, boards_text};
use stripwright::verify::verify;

const SHOP: &str = "board_end = 0; edge = 0; far_edge = 0; min_rip = 2; dress = 0; plane = 0";

/// Spines 1/2 in by 1 in of these lengths, each of a paddle of its own.
fn spines(shop_lines: &str, lengths: &[&str]) -> JobText {
    lengths.iter().enumerate().fold(shop(shop_lines), |text, (n, length)| {
        text.paddle(&format!("p{n}"), [length, "1", "1"], "trim = 0").spine("1/2")
    })
}

fn boards(lines: &str) -> Vec<Board> {
    let header = "board,species,length,width,thickness,rings,crook,price,zone,from,to,near,far\n";
    boards_text("b.csv", &format!("{header}{lines}"), Units::Inch, List::OnHand).unwrap()
}

fn planned(job: &Job, boards: &[Board]) -> Option<Plan> {
    let plan = plan_for(job, boards, &vec![1; job.paddles.len()], &Options::default()).ok()?;
    if let Err(faults) = verify(plan.clone(), job, boards) {
        panic!("{faults:?}");
    }
    Some(plan)
}

fn strips(section: &Section) -> impl Iterator<Item = &Strip> {
    section.rips.iter().flat_map(|r| &r.leaves).flat_map(|l| &l.strips)
}

/// From its first strip to its last one.
fn reach(section: &Section) -> (Length, Length) {
    let from = strips(section).map(|s| s.from).min().unwrap();
    (from, strips(section).map(|s| s.to).max().unwrap())
}

/// Where straight-lined sections begin and end, in sixteenths of an inch.
fn lined(plan: &Plan) -> Vec<(i64, i64)> {
    let sections = plan.boards.iter().flat_map(|b| &b.sections);
    let sixteenths = |l: Length| l.units() * 16 / Length::INCH.units();
    let lined = sections.filter(|s| s.edge == Edge::Lined);
    lined.map(|s| (sixteenths(s.from), sixteenths(s.to))).collect()
}

#[test]
fn of_rows_with_as_few_saw_cuts_the_shortest_are_cut() {
    // Both short strips in one rip take 60 1/8 in. One of them behind the long one would be as few
    // cuts in a section of 91 1/8 in.
    let job = spines(SHOP, &["61", "30", "30"]).job();
    let plan = planned(&job, &boards("b,fir,95,1 5/8,1,vertical,1/2,,,,,,\n")).unwrap();
    assert_eq!(lined(&plan), [(0, 61 * 16)]);
}

#[test]
fn a_section_begins_behind_the_zone_that_its_strips_lie_behind() {
    let job = spines(SHOP, &["61", "30"]).job();
    let knot = "b,fir,80,1 5/8,1,vertical,1/2,,,,,,\nb,,,,,,,,knot,12,16,,\n";
    let plan = planned(&job, &boards(knot)).unwrap();
    assert_eq!(lined(&plan), [(16 * 16, 77 * 16)]);
}

#[test]
fn a_section_of_a_class_is_as_long_as_the_longest_strip_that_is_made_of_it() {
    // Ten builders: planned as if lengths were fewer, so that 50 in was cut as 60.
    let lengths = ["60", "58 1/2", "57", "55 1/4", "54", "52 1/2", "50", "49", "47", "44 1/2"];
    let job = spines(SHOP, &lengths).job();
    let lots = "b0,fir,72,2 1/4,1,vertical,1/2,3,,,,,\nb1,fir,72,2 1/4,1,vertical,1/2,3,,,,,\n\
                b2,fir,65,3,1,vertical,1/4,3,,,,,\nb3,fir,65,3,1,vertical,1/4,3,,,,,\n";
    let boards = boards(lots);
    let plan = planned(&job, &boards).unwrap();
    assert_eq!(plan.proof, Proof::Optimal);
    let mut made: Vec<i64> = lined(&plan).iter().map(|s| s.1 - s.0).collect();
    made.sort_unstable();
    let sections = plan.boards.iter().flat_map(|b| &b.sections);
    for section in sections {
        assert_eq!((section.from, section.to), reach(section), "{section:?}");
    }
    assert!(made.len() >= 3 && made[0] < 60 * 16, "{made:?}");
}

/// A crooked board with some knots.
fn line(dice: &mut Dice, name: &str) -> String {
    let length = 72 + 12 * dice.roll(5);
    let width = 24 + dice.roll(40);
    let crook = dice.roll(12) + 2;
    let sign = if dice.roll(2) == 0 { "-" } else { "" };
    let mut text = format!(
        "{name},fir,{length},{width}/16,1,vertical,{sign}{crook}/16,{},,,,,\n",
        3 + dice.roll(6)
    );
    for _ in 0..dice.roll(4) {
        let from = dice.roll(length * 4 - 16);
        let near = dice.roll(width);
        let (to, far) = (from + 1 + dice.roll(16), (near + 2 + dice.roll(12)).min(width));
        if near < far {
            writeln!(text, "{name},,,,,,,,knot,{from}/4,{to}/4,{near}/16,{far}/16").unwrap();
        }
    }
    text
}

#[test]
fn no_section_as_it_lies_could_be_crosscut_at_its_strips() {
    let (mut sections, mut open) = (0, 0);
    for seed in 0..60 {
        let mut dice = Dice(seed * 977 + 5);
        let kinds = 2 + dice.roll(6);
        let lengths: Vec<String> =
            (0..kinds).map(|_| format!("{}/8", 160 + dice.roll(320))).collect();
        let lengths: Vec<&str> = lengths.iter().map(String::as_str).collect();
        // Every other shop follows curves as well, but no strip keeps as much of one as it likes.
        let follows = if seed % 2 == 0 { "" } else { "; curve_kerf = \"1/8\"; pull = \"1/8\"" };
        let job = spines(&format!("{SHOP}{follows}"), &lengths).job();
        let many = 2 + dice.roll(4);
        let text: String = (0..many).map(|n| line(&mut dice, &format!("b{n}"))).collect();
        let boards = boards(&text);
        let Some(plan) = planned(&job, &boards) else { continue };
        for b in 0..plan.boards.len() {
            for s in 0..plan.boards[b].sections.len() {
                let section = &plan.boards[b].sections[s];
                if section.edge == Edge::Kept {
                    continue;
                }
                sections += 1;
                let (from, to) = reach(section);
                if (section.from, section.to) == (from, to) {
                    continue;
                }
                open += 1;
                let mut other = plan.clone();
                let section = &mut other.boards[b].sections[s];
                (section.from, section.to) = (from, to);
                let faults = verify(other, &job, &boards);
                assert!(faults.is_err(), "{seed} {text}{:?}", plan.boards[b].sections[s]);
            }
        }
    }
    assert!(sections > 30 && open <= sections / 10, "{open} of {sections}");
}
