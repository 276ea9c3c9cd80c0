//! The printed page followed to the letter (`sheet_sawyer.rs`): the example, some hundred made-up
//! jobs, and pages with one figure damaged.

use crate::fixtures;
use crate::sheet_sawyer::{INCH, follow};
use crate::sheet_words::{Group, Line, first, groups};

use std::collections::BTreeMap;
use stripwright::choose;
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::Plan;
use stripwright::read::{List, boards_text, job_text};
use stripwright::report;

fn follow_all(plan: &Plan, job: &Job, boards: &[Board]) -> BTreeMap<&'static str, usize> {
    let page = report::html(&fixtures::passed(plan, job, boards), job, boards, &[]);
    let mut met = BTreeMap::new();
    for (i, cut) in plan.boards.iter().enumerate() {
        let groups = groups(&page, i + 1);
        match follow(&groups, cut, job, &boards[cut.board]) {
            Ok(shop) => shop.met.into_iter().for_each(|(k, n)| *met.entry(k).or_default() += n),
            Err(error) => panic!("board {}: {error}\n{cut:#?}", boards[cut.board].name),
        }
    }
    met
}

fn read(boards: &str, paddles: &str) -> (Job, Vec<Board>) {
    let job = job_text("p.toml", paddles).unwrap();
    let boards = boards_text("b.csv", boards, job.units, List::OnHand).unwrap();
    (job, boards)
}

fn loft() -> (Job, Vec<Board>, Plan) {
    let (job, boards) = read(
        include_str!("../../examples/loft/boards.csv"),
        include_str!("../../examples/loft/paddles.toml"),
    );
    let plan = choose::plan(&job, &boards, &Default::default()).expect("the example plans");
    (job, boards, plan)
}

#[test]
fn the_example_is_followed_to_the_letter() {
    let (job, boards, plan) = loft();
    let met = follow_all(&plan, &job, &boards);
    assert!(met["along a curve"] > 0 && met["by the jig"] > 0 && met["resawn"] > 0, "{met:?}");
}

#[test]
fn a_hundred_jobs_are_followed_to_the_letter() {
    let (mut planned, mut strips) = (0, 0);
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    for seed in 1..=220_u64 {
        let (boards, paddles) = crate::sheet_words::job(seed);
        let (job, boards) = read(&boards, &paddles);
        let Ok(plan) = choose::plan(&job, &boards, &Default::default()) else { continue };
        planned += 1;
        strips += plan.strips().count();
        for (what, n) in follow_all(&plan, &job, &boards) {
            *met.entry(what).or_default() += n;
        }
    }
    assert!(planned >= 100 && strips >= 600, "{planned} jobs, {strips} strips");
    for what in [
        "along a curve",
        "by the jig",
        "by the fence",
        "far edge straightened for the jig",
        "flattened",
        "straightened",
        "resawn",
        "planed before it is ripped",
    ] {
        assert!(met.get(what).is_some_and(|&n| n >= 5), "hardly any {what}: {met:?}");
    }
}

/// A sawyer who would not notice a wrong figure proves nothing.
#[test]
fn a_damaged_step_is_noticed() {
    let (job, boards, plan) = loft();
    let page = report::html(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]);
    let mut damaged = 0;
    for (i, cut) in plan.boards.iter().enumerate() {
        let whole = groups(&page, i + 1);
        let board = &boards[cut.board];
        assert_eq!(follow(&whole, cut, &job, board).err(), None);
        for (g, group) in whole.iter().enumerate() {
            if group.heading.contains("Before the first cut") {
                continue;
            }
            for n in 0..=group.lines.len() {
                let mut wrong = whole.clone();
                // Every figure of the heading's setting and of the line's own work.
                let text = match n.checked_sub(1) {
                    None => &mut wrong[g].heading,
                    Some(line) => &mut wrong[g].lines[line].text,
                };
                let words = [
                    "kerf ",
                    "fence ",
                    "jig ",
                    "Cut at ",
                    "cut at ",
                    "from ",
                    "a line ",
                    "section to ",
                    "dress to ",
                ];
                for word in words {
                    let Some(at) = text.find(word).map(|a| a + word.len()) else { continue };
                    if !text[at..].starts_with(|c: char| c.is_ascii_digit()) {
                        continue;
                    }
                    let kept = text.clone();
                    let end = text[at..].find('"').map_or(text.len(), |e| at + e);
                    let old = first(&format!("{}\"", &text[at..end])).unwrap();
                    // Three millimetres more, in decimals of an inch: nothing rounds to it.
                    text.replace_range(
                        at..end,
                        &format!("{:.3}", old as f64 / INCH as f64 + 0.118),
                    );
                    damaged += 1;
                    // A wider kerf makes no difference where it falls into waste that is not measured.
                    let told = |l: &Line| l.left.is_some_and(|(left, _)| left > INCH / 4);
                    let free = word == "kerf " && !group.lines.iter().any(told);
                    let seen = follow(&wrong_of(&whole, g, n, text), cut, &job, board).is_err();
                    assert!(seen || free, "not noticed: {text}");
                    *text = kept;
                }
            }
        }
        let mut short = whole.clone();
        short.retain(|g| !g.heading.contains("dress to"));
        assert!(follow(&short, cut, &job, board).is_err(), "nothing dressed, not noticed");
    }
    assert!(damaged > 60, "{damaged}");
}

fn wrong_of(whole: &[Group], g: usize, n: usize, text: &str) -> Vec<Group> {
    let mut wrong = whole.to_vec();
    match n.checked_sub(1) {
        None => wrong[g].heading = text.to_owned(),
        Some(line) => wrong[g].lines[line].text = text.to_owned(),
    }
    wrong
}
