//! Limits of time and interrupts: searches that would take minutes end soon after they are asked
//! to, with what they have, and claim no more than they know. And the most paddles against every
//! mix.

use crate::fixtures::Dice;
use crate::jobs::shop;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use std::fmt::Write;
use std::sync::mpsc;
use std::time::{Duration, Instant};
use stripwright::choose::{Aim, NoPlan, Options, most_count, most_for, plan, plan_for};
use stripwright::cut::BoardCuts;
use stripwright::length::{Length, Units};
use stripwright::lumber::{Board, Species, Zone, ZoneKind};
use stripwright::paddle::{Job, strip_kinds};
use stripwright::plan::{Plan, Proof};
use stripwright::read::{List, boards_text, job_text};
use stripwright::stop::Stop;
use stripwright::survey::look::look_until;
use stripwright::survey::survey_board;
use stripwright::verify::verify;

/// Kinds of paddle: how many, and laminations as (thickness, through?).
fn job(kinds: &[(u32, &[(&str, bool)])]) -> Job {
    job_text("paddles.toml", &job_file(kinds)).unwrap()
}

fn job_file(kinds: &[(u32, &[(&str, bool)])]) -> String {
    let mut text = shop("resaw_kerf = \"1/16\"");
    for (k, (quantity, laminations)) in kinds.iter().enumerate() {
        let (name, length) = (format!("k{k}"), (84 + 6 * k).to_string());
        let more = format!("quantity = {quantity}; rings = 0");
        text = text.paddle(&name, [&length, "20", "1 3/8"], &more);
        for (l, &(thick, through)) in laminations.iter().enumerate() {
            let name = format!("l{l}");
            text = if through { text.through(&name, thick) } else { text.blade(&name, thick) };
        }
    }
    text.text()
}

const FIRST: &[(&str, bool)] = &[("1/4", true), ("1/2", true), ("3/8", false)];
const SECOND: &[(&str, bool)] = &[("3/8", true), ("1/4", true), ("1/2", false)];
const THIRD: &[(&str, bool)] = &[("1/2", true), ("3/8", false)];
const FOURTH: &[(&str, bool)] = &[("5/16", true), ("7/16", true), ("1/4", false)];

fn four(quantity: u32) -> Job {
    job(&[(quantity, FIRST), (quantity, SECOND), (quantity, THIRD), (quantity, FOURTH)])
}

/// Nine laminations from 1/16 in on, which stack in thousands of ways.
fn thin() -> Job {
    let all: Vec<(String, bool)> = (4..13).map(|n| (format!("{n}/64"), n < 8)).collect();
    let all: Vec<(&str, bool)> = all.iter().map(|(t, r)| (t.as_str(), *r)).collect();
    job(&[(1, &all)])
}

/// Knotty boards, some thick, the same every time.
fn boards_file(count: usize, copies: u32) -> String {
    let mut dice = Dice(7);
    let mut next = |below: u64| dice.roll(below);
    let mut text =
        String::from("board,species,length,width,thickness,rings,quantity,zone,from,to,near,far\n");
    for b in 0..count {
        let length = 96 + next(96);
        let width = ["3 1/2", "5 1/2", "7 1/4", "11 1/4"][usize::try_from(next(4)).unwrap()];
        let thick = ["1 1/2", "2 1/2", "3 1/2"][usize::try_from(next(3)).unwrap()];
        writeln!(text, "b{b},fir,{length},{width},{thick},{},{copies},,,,,", next(91)).unwrap();
        for _ in 0..if copies == 1 { next(6) } else { 0 } {
            let (x, y) = (2 + next(length - 8), next(3));
            writeln!(text, "b{b},,,,,,,knot,{x},{},{y},{}", x + 2, y + 1).unwrap();
        }
    }
    text
}

fn boards(count: usize, copies: u32) -> Vec<Board> {
    boards_text("b.csv", &boards_file(count, copies), Units::Inch, List::OnHand).unwrap()
}

fn limit(seconds: f64) -> Options {
    Options { stop: Stop::after(Some(Duration::from_secs_f64(seconds))), ..Options::default() }
}

/// Runs something that is to end within so many seconds. The bounds are generous: tests run beside
/// others, and what they guard against takes minutes.
fn within<T: Send + 'static>(seconds: u64, what: impl FnOnce() -> T + Send + 'static) -> T {
    let (send, receive) = mpsc::channel();
    std::thread::spawn(move || send.send(what()));
    receive.recv_timeout(Duration::from_secs(seconds)).expect("it did not end in time")
}

/// A plan that is verified, and whose claims agree with themselves.
fn sound(plan: &Plan, job: &Job, boards: &[Board]) {
    let verified = verify(plan.clone(), job, boards);
    assert!(verified.is_ok(), "{:?}", verified.err());
    if let Some(most) = plan.most {
        assert_eq!(most.made, plan.paddles.iter().sum::<u32>());
        assert!(most.made <= most.at_most);
        assert!(most.made == most.at_most || plan.proof != Proof::Optimal);
    }
    assert!(plan.proof.bound(plan.cost) <= plan.cost.parts);
}

/// Took 214 s with a limit of 2.
#[test]
fn strips_of_a_sixteenth_end_with_the_limit() {
    within(20, || {
        let (job, boards) = (thin(), boards(12, 1));
        match plan(&job, &boards, &limit(1.0)) {
            Ok(plan) => sound(&plan, &job, &boards),
            Err(none) => assert!(!none.proved(), "stacks were cut short"),
        }
    });
}

/// Took 461 s with a limit of 2.
#[test]
fn the_most_of_four_kinds_ends_with_the_limit() {
    within(20, || {
        let (job, boards) = (four(20), boards(30, 1));
        let options = Options { aim: Aim::Most, ..limit(2.0) };
        let plan = plan(&job, &boards, &options).expect("one paddle is had early");
        sound(&plan, &job, &boards);
    });
}

/// Took 13 s with a limit of 5, and over 250 s with ten times as many.
#[test]
fn thousands_of_paddles_end_with_the_limit() {
    for quantity in [1_000, 10_000] {
        within(30, move || {
            let (job, boards) = (job(&[(quantity, FIRST)]), boards(8, 2_000));
            if let Ok(plan) = plan(&job, &boards, &limit(2.0)) {
                sound(&plan, &job, &boards);
            }
        });
    }
}

/// Of boards that were all cut short nothing is left to be asked for an end: what is missing was
/// worked out to its end then, 12 s after a limit of 1.
#[test]
fn what_thousands_of_paddles_are_short_of_is_not_worked_out_after_the_limit() {
    within(20, || {
        let (job, boards) = (four(10_000), boards(60, 10_000));
        let options = limit(60.0);
        options.stop.ask();
        let began = Instant::now();
        assert!(matches!(plan(&job, &boards, &options), Err(NoPlan::Stopped(_))));
        assert!(began.elapsed() < Duration::from_secs(4), "{:?}", began.elapsed());
    });
}

/// Quantities at the documented limit, from few boards: totals are walked by bounds, not one by
/// one.
#[test]
fn the_most_of_thousands_wanted_ends_by_itself() {
    within(120, || {
        let (job, boards) = (four(10_000), boards(1, 1));
        let plan = plan(&job, &boards, &Options { aim: Aim::Most, ..limit(60.0) });
        if let Ok(plan) = plan {
            sound(&plan, &job, &boards);
        }
    });
}

/// An end that is asked for before anything is known is no proof of anything.
#[test]
fn stopped_at_once_nothing_is_claimed() {
    let (job, boards) = (four(2), boards(6, 1));
    for aim in [Aim::Wanted, Aim::Most] {
        let options = Options { aim, ..Options::default() };
        options.stop.ask();
        match plan(&job, &boards, &options) {
            Err(NoPlan::Stopped(_)) => {}
            other => panic!("{other:?}"),
        }
        let count = most_count(&job, &boards, &options);
        assert!(count.made == 0 && count.at_most > 0);
        assert!(matches!(most_for(&job, &boards, 1 << 40, &options), Err(NoPlan::Stopped(_))));
    }
}

/// A board that is cut short is not complete, and its listing is none.
#[test]
fn a_board_cut_short_proves_nothing() {
    let (job, boards) = (four(2), boards(1, 1));
    let kinds = strip_kinds(&job);
    let wanted = vec![2; kinds.len()];
    let whole = BoardCuts::new(&boards[0], &job.shop, &kinds, &wanted);
    assert!(whole.complete);
    let stop = Stop::default();
    stop.ask();
    let short = BoardCuts::until_stopped(&boards[0], &job.shop, &kinds, &wanted, &stop);
    assert!(!short.complete && short.sections.is_empty());
    // Stopped later, it comes to no less than any way of cutting it to what is wanted, and lists
    // nothing.
    let late = BoardCuts { stop, ..whole.clone() };
    let prices: Vec<i64> = (0..kinds.len()).map(|k| 100 + i64::try_from(k).unwrap()).collect();
    let cut = whole.counts(&whole.cut(&whole.value(&prices)), kinds.len());
    let worth: i64 =
        cut.iter().zip(&wanted).zip(&prices).map(|((&n, &w), p)| i64::from(n.min(w)) * p).sum();
    assert!(worth > 0 && late.value(&prices).best >= worth);
    assert_eq!(late.list(&wanted, &[], u64::MAX), None);
}

#[test]
fn survey_and_look_for_end_when_asked() {
    let job = four(20);
    let boards = boards(3, 1);
    let stop = Stop::default();
    stop.ask();
    assert!(survey_board(&job, &boards, 0, &stop).is_none());
    let looks = within(20, move || look_until(&job, &stop));
    assert_eq!(looks.len(), 4);
    let all = looks.iter().flat_map(|l| &l.sizes).flat_map(|s| &s.counts);
    assert!(all.clone().all(|(f, v)| f.made == 0 && v.made == 0));
    assert!(all.clone().any(|(f, _)| f.at_most > 0), "none is claimed of what was not looked at");
}

/// Up to three kinds of small paddles, which one board or another gives a few of.
fn small_job(wanted: &[u32]) -> Job {
    let mut text = shop(
        r#"board_end = 0; edge = 0; far_edge = 0; curve_kerf = "1/8"; min_rip = 4; rip_kerf = "1/8"; resaw_kerf = "1/16""#,
    );
    let sizes = [("24", "8", "1/2", "1/4"), ("20", "6", "3/8", "3/8"), ("16", "4", "1/4", "1/2")];
    for (k, (quantity, (length, loom, through, blade))) in wanted.iter().zip(sizes).enumerate() {
        let more = format!("quantity = {quantity}; trim = 0; rings = 0");
        let paddle = text.paddle(&format!("k{k}"), [length, loom, "1"], &more);
        let spares = format!("spares = {}", k % 2);
        text = paddle.through("a", through).with(&spares).blade("b", blade);
    }
    text.job()
}

fn small_boards() -> impl Strategy<Value = Vec<Board>> {
    vec((16..34_i64, 2..6_i64, 2..4_i64, 0..14_i64, 1..40_i64), 1..4).prop_map(|all| {
        let mut text =
            String::from("board,species,length,width,thickness,price,zone,from,to,near,far\n");
        for (b, (long, wide, thick, knot, price)) in all.into_iter().enumerate() {
            writeln!(text, "b{b},fir,{long},{wide}/2,{thick}/2,{price},,,,,").unwrap();
            writeln!(text, "b{b},,,,,,knot,{knot},{},0,1/2", knot + 1).unwrap();
        }
        boards_text("b.csv", &text, Units::Inch, List::OnHand).unwrap()
    })
}

/// Every mix that can be made, planned by itself: how many paddles, and the least cost.
fn every_mix(job: &Job, boards: &[Board], wanted: &[u32]) -> Vec<(u32, i128)> {
    let mut mixes: Vec<Vec<u32>> = vec![Vec::new()];
    for &most in wanted {
        let more = |m: Vec<u32>| (0..=most).map(move |n| [m.clone(), vec![n]].concat());
        mixes = mixes.into_iter().flat_map(more).collect();
    }
    let mut made = Vec::new();
    for mix in mixes {
        let total: u32 = mix.iter().sum();
        if total == 0 {
            continue;
        }
        match plan_for(job, boards, &mix, &Options::default()) {
            Ok(plan) => {
                assert_eq!(plan.proof, Proof::Optimal, "so small a job is proved");
                made.push((total, plan.cost.parts));
            }
            Err(none) => assert!(none.proved()),
        }
    }
    made
}

/// The most for a budget, and its least cost.
fn most_of(mixes: &[(u32, i128)], budget: i128) -> (u32, i128) {
    let paid = mixes.iter().filter(|m| m.1 <= budget);
    paid.max_by_key(|m| (m.0, -m.1)).copied().unwrap_or((0, 0))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// As many as every mix tried one by one gives, at as little cost, and proved; for a budget
    /// too. With a limit of time no more is claimed than is true.
    #[test]
    fn the_most_is_that_of_every_mix(
        boards in small_boards(),
        wanted in prop_oneof![vec(1..4_u32, 2..=2), vec(1..3_u32, 3..=3)],
        budget in 1..60_i128,
        hurry in 0..30_u64,
    ) {
        let job = small_job(&wanted);
        let most = |options: &Options| {
            plan(&job, &boards, &Options { aim: Aim::Most, ..options.clone() })
        };
        let mixes = every_mix(&job, &boards, &wanted);
        let free = most_of(&mixes, i128::MAX);
        match most(&Options::default()) {
            Ok(plan) => {
                sound(&plan, &job, &boards);
                let count = plan.most.unwrap();
                prop_assert_eq!((count.made, plan.cost.parts), free);
                prop_assert_eq!((count.at_most, plan.proof), (free.0, Proof::Optimal));
                prop_assert_eq!(most_count(&job, &boards, &Options::default()), count);
            }
            Err(none) => prop_assert!(free.0 == 0 && none.proved()),
        }
        let budget = budget * 10_000;
        let paid = most_of(&mixes, budget);
        match most_for(&job, &boards, budget, &Options::default()) {
            Ok(plan) => {
                sound(&plan, &job, &boards);
                let count = plan.most.unwrap();
                prop_assert_eq!((count.made, plan.cost.parts), paid);
                prop_assert_eq!(count.at_most, paid.0);
            }
            Err(none) => prop_assert!(paid.0 == 0 && none.proved()),
        }
        match most(&limit(f64::from(u32::try_from(hurry).unwrap()) / 1000.0)) {
            Ok(plan) => {
                sound(&plan, &job, &boards);
                let count = plan.most.unwrap();
                prop_assert!(count.made <= free.0 && free.0 <= count.at_most);
                if plan.proof == Proof::Optimal {
                    prop_assert_eq!((count.made, plan.cost.parts), free);
                }
            }
            Err(none) => prop_assert!(free.0 == 0 || !none.proved()),
        }
    }
}

/// The piles tried above give some, and not all that are wanted, often enough.
#[test]
fn some_piles_give_some_paddles() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let job = small_job(&[2, 2, 2]);
    let between = (0..40)
        .filter(|_| {
            let boards = small_boards().new_tree(&mut runner).unwrap().current();
            (1..6).contains(&most_count(&job, &boards, &Options::default()).made)
        })
        .count();
    assert!(between >= 8, "{between} of 40");
}

/// Without a limit it is the same plan every time.
#[test]
fn the_most_is_the_same_every_time() {
    let (job, boards) = (small_job(&[3, 3, 2]), {
        let text = "board,species,length,width,thickness\na,fir,50,4,1\nb,fir,40,3,1 1/2\n";
        boards_text("b.csv", text, Units::Inch, List::OnHand).unwrap()
    });
    let options = Options { aim: Aim::Most, ..Options::default() };
    assert_eq!(plan(&job, &boards, &options), plan(&job, &boards, &options));
}

/// Knots of a tenth of an inch, so many, on the first part of a board.
fn knots(count: i64) -> Vec<Zone> {
    let tenth = |n| Length::inch_fraction(n, 10);
    let knot = |i: i64| Zone {
        kind: ZoneKind::new("knot"),
        from: tenth(i * 7 % 1500),
        to: tenth(i * 7 % 1500 + 1),
        near: tenth(i * 3 % 110),
        far: tenth(i * 3 % 110 + 1),
    };
    (0..count).map(knot).collect()
}

/// To tell boards of one size apart each was copied and compared with every other: of six thousand
/// with ten knots each that took a minute, whatever the limit.
#[test]
fn thousands_of_boards_with_zones_are_told_apart_within_the_limit() {
    let inch = Length::INCH;
    let one = Board::plain("b", Species::new("fir"), [inch * 300, inch * 12, inch * 2]);
    let knots = knots(16);
    let board = |b: usize| {
        // No two of them have the same knots.
        let mut zones: Vec<Zone> =
            (0..13).filter(|i| b >> i & 1 == 1).map(|i| knots[i].clone()).collect();
        zones.extend(knots[13..].iter().cloned());
        Board { name: format!("b{b}"), zones, ..one.clone() }
    };
    let boards: Vec<Board> = (0..6000).map(board).collect();
    let job = four(1);
    let stop = limit(1.0);
    if let Ok(plan) = within(40, move || plan(&job, &boards, &stop)) {
        assert_eq!(plan.paddles, [1; 4]);
    }
}

/// Offcuts and totals of a board looked at each pair of its zones: with thirty thousand a plan that
/// was found at once was printed after a minute.
#[test]
fn a_plan_on_a_board_of_very_many_zones_is_printed_soon() {
    let inch = Length::INCH;
    let mut board = Board::plain("b", Species::new("fir"), [inch * 300, inch * 12, inch * 2]);
    board.zones = knots(30_000);
    // The strips may have them, so they are in nothing's way.
    let text = shop("")
        .paddle("knotty", ["84", "20", "1 3/8"], "rings = 0")
        .through("side", "1/2")
        .with("allow = [\"knot\"]");
    let (tables, made) = within(40, move || {
        let (job, boards) = (text.job(), [board]);
        let plan = plan(&job, &boards, &Options::default()).unwrap();
        let plan = stripwright::verify(plan, &job, &boards).unwrap();
        let tables = stripwright::plan_tables(&plan, &job, &boards, 100);
        (tables, plan.paddles.clone())
    });
    assert_eq!(made, [1]);
    assert!(tables.contains("zones and unfit grain"), "{tables}");
}

/// Places of zones were counted in 16 bits and those beyond taken for one.
#[test]
fn a_board_of_more_zones_than_are_counted_proves_nothing() {
    let boards = |zones: usize| {
        let mut board = boards_file(1, 10).lines().take(2).collect::<Vec<_>>().join("\n");
        board = board.replace(",10,,,,,", ",1,knot,2,2 1/64,0,1/64");
        for n in 0..zones {
            let (along, across) = (2.0 + (n % 300) as f64 / 64.0, (n / 300) as f64 / 1000.0);
            write!(board, "\nb0,,,,,,,knot,{along},{},{across},{}", along + 0.01, across + 0.0005)
                .unwrap();
        }
        boards_text("b.csv", &board, Units::Inch, List::OnHand).unwrap()
    };
    let job = job(&[(1, SECOND)]);
    let few = plan(&job, &boards(10), &Options::default());
    let many = plan(&job, &boards(70_000), &Options::default());
    assert!(few.is_ok() || few.is_err_and(|none| none.proved()));
    assert!(!many.unwrap_err().proved());
}

/// Asks a command that runs to end, and waits for it.
#[cfg(unix)]
fn asked_to_end(command: &[&str], files: &[(&str, String)]) -> (Option<i32>, String) {
    use std::process::{Command, Stdio};
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let mut child = Command::new(env!("CARGO_BIN_EXE_stripwright"))
        .current_dir(folder.path())
        .args(command)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(Duration::from_secs(3));
    let asked = Instant::now();
    let kill = Command::new("kill").args(["-TERM", &child.id().to_string()]).status().unwrap();
    assert!(kill.success(), "it had ended before");
    // A pipe holds so much and no more: a program that waits for its reader has not failed to hear.
    let mut pipe = child.stdout.take().unwrap();
    let printed = std::thread::spawn(move || {
        let mut text = String::new();
        std::io::Read::read_to_string(&mut pipe, &mut text).map(|_| text)
    });
    let ended = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if asked.elapsed() > Duration::from_secs(20) {
            child.kill().unwrap();
            panic!("{command:?} did not hear TERM");
        }
        std::thread::sleep(Duration::from_millis(50));
    };
    (ended.code(), printed.join().unwrap().unwrap())
}

#[cfg(unix)]
fn four_files(quantity: u32) -> String {
    job_file(&[(quantity, FIRST), (quantity, SECOND), (quantity, THIRD), (quantity, FOURTH)])
}

/// It never heard the first Ctrl-C.
#[cfg(unix)]
#[test]
fn the_most_hears_term_and_keeps_its_plan() {
    let files = [("b.csv", boards_file(40, 1)), ("p.toml", four_files(40))];
    let command = ["plan", "--most", "--boards", "b.csv", "--paddles", "p.toml", "--json", "-"];
    let (code, json) = asked_to_end(&command, &files);
    assert_eq!(code, Some(0));
    assert!(json.contains("\"most\""), "{json:.300}");
}

#[cfg(unix)]
#[test]
fn buy_hears_term() {
    let yard = boards_file(40, 1)
        .replacen("quantity,", "quantity,price,", 1)
        .replace(",1,,,,,\n", ",1,9.37,,,,,\n")
        .replace(",,,,,,,knot", ",,,,,,,,knot");
    let files = [("y.csv", yard), ("p.toml", four_files(3))];
    let (code, _) = asked_to_end(&["buy", "--yard", "y.csv", "--paddles", "p.toml"], &files);
    assert!(matches!(code, Some(0 | 1)), "{code:?}");
}

#[cfg(unix)]
#[test]
fn look_for_hears_term() {
    let files = [("p.toml", four_files(1))];
    let (code, text) = asked_to_end(&["look-for", "--paddles", "p.toml"], &files);
    assert_eq!(code, Some(0));
    // A quick machine has worked out every size before it is asked.
    assert!(text.contains("Clear runs"), "{text:.300}");
}
