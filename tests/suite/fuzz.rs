//! Fuzzing in process, with what a stable compiler has: seeds are changed at random, what makes a
//! reader say something new is kept and changed further. Nothing may panic, hang, or be refused
//! without a word; what is read is used. Small jobs from bytes are planned, verified and compared
//! with every choice.
//!
//! A few seconds each unasked; `STRIPWRIGHT_FUZZ=600` gives each so many seconds, and
//! `STRIPWRIGHT_FUZZ_SEED=7` another beginning. Findings are kept in tests/data/fuzz and run first.

use crate::fixtures::Dice;
use crate::small_jobs::{Beside, beside, texts};
use std::collections::{BTreeMap, HashSet};
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use stripwright::choose::Options;
use stripwright::length::Units;
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::read::plan_json::plan_text;
use stripwright::read::{List, Problems, boards_text, check_boards, job_text, strips_text};
use stripwright::report::{csv, json};
use stripwright::stop::Stop;
use stripwright::verify::{verify, verify_file};

fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|v| v.parse().ok()).unwrap_or(otherwise)
}

fn seconds() -> Duration {
    Duration::from_secs(number("STRIPWRIGHT_FUZZ", 3))
}

fn dice() -> Dice {
    Dice(number("STRIPWRIGHT_FUZZ_SEED", 1))
}

/// Words that are likely to lead somewhere.
const WORDS: &[&str] = &[
    "\"",
    ",",
    ";",
    "\n",
    "\r\n",
    "\t",
    "[",
    "]",
    "{",
    "}",
    "=",
    ":",
    "-",
    "'",
    "0",
    "1/64",
    "1/0",
    "-1",
    "1e308",
    "nan",
    "9999999999999999999",
    "100 m",
    "100.0001 m",
    "0.0000001",
    "7' 2 1/2\"",
    "1 7/16",
    "36 mm",
    "1,5",
    "\u{BD}",
    "\u{FEFF}",
    "\u{202E}",
    "\u{0}",
    "knot",
    "yes",
    "flat",
    "1:20",
    "true",
    "null",
    "[[paddle]]\n",
    "[[paddle.lamination]]\n",
    "centre = true\n",
    "10000",
    "copies",
    "version",
    "units",
    "\"most\"",
    "\"bound\"",
    "kept",
    "straight-lined",
    "sep=;\n",
];

/// Changes bytes in one to four places.
fn changed(dice: &mut Dice, seeds: &[Vec<u8>]) -> Vec<u8> {
    let pick = |dice: &mut Dice, many: usize| dice.roll(many.max(1) as u64) as usize;
    let mut text = seeds[pick(dice, seeds.len())].clone();
    for _ in 0..=dice.roll(4) {
        let at = pick(dice, text.len() + 1);
        let end = (at + pick(dice, 24)).min(text.len());
        match dice.roll(8) {
            0 => {
                text.drain(at..end);
            }
            1 => {
                let part = text[at..end].to_vec();
                let to = pick(dice, text.len() + 1);
                text.splice(to..to, part);
            }
            2 | 3 => {
                let word = WORDS[pick(dice, WORDS.len())];
                let till = if dice.roll(2) == 0 { at } else { end };
                text.splice(at..till, word.bytes());
            }
            4 => {
                if let Some(byte) = text.get_mut(at) {
                    *byte = dice.roll(256) as u8;
                }
            }
            5 => {
                // The end of another seed.
                let other = &seeds[pick(dice, seeds.len())];
                let from = pick(dice, other.len() + 1);
                text.truncate(at);
                text.extend(&other[from..]);
            }
            6 => {
                // A digit for a digit: sizes stay sizes.
                if let Some(byte) = text[at..].iter_mut().find(|b| b.is_ascii_digit()) {
                    *byte = b'0' + dice.roll(10) as u8;
                }
            }
            _ => {
                // A line twice, or gone.
                let from = text[..at].iter().rposition(|&b| b == b'\n').map_or(0, |n| n + 1);
                let to =
                    text[at..].iter().position(|&b| b == b'\n').map_or(text.len(), |n| at + n + 1);
                let line = text[from..to].to_vec();
                if dice.roll(2) == 0 {
                    text.splice(from..from, line);
                } else {
                    text.drain(from..to);
                }
            }
        }
    }
    text.truncate(20_000);
    text
}

/// What kind of answer it was: its words without figures and values.
fn kind_of(problems: &Problems) -> String {
    // Names stand further on in a rule.
    let start = |rule: &str| rule.chars().filter(|c| !c.is_ascii_digit()).take(20).collect();
    let mut kinds: Vec<String> = problems.0.iter().map(|p| start(&p.rule)).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds.concat()
}

/// A refusal has words, and none that a terminal would obey.
fn refused(problems: &Problems) -> String {
    let said = problems.to_string();
    assert!(!problems.0.is_empty() && !said.trim().is_empty(), "refused without a word");
    let hidden = |c: char| (c.is_control() && c != '\n') || ('\u{202A}'..='\u{202E}').contains(&c);
    assert!(!said.contains(hidden), "{said:?}");
    kind_of(problems)
}

fn kept(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/fuzz").join(name)
}

/// Seeds that are kept: one file each, in the folder of the reader's name.
fn seeds(name: &str) -> Vec<Vec<u8>> {
    let mut files: Vec<PathBuf> =
        fs::read_dir(kept(name)).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    files.iter().map(|f| fs::read(f).unwrap()).collect()
}

/// Runs `one` on seeds and on changed seeds until the time is up. `one` gives a word for what it
/// met; a new word makes the input a seed. What panics or takes too long is written out.
fn fuzz(name: &str, one: impl Fn(&[u8]) -> String) -> BTreeMap<String, u64> {
    let (begun, mut dice) = (Instant::now(), dice());
    let mut seeds = seeds(name);
    assert!(!seeds.is_empty());
    let (mut met, mut counts, mut first) = (HashSet::new(), BTreeMap::new(), 0);
    let mut slowest = Duration::ZERO;
    let mut runs = 0_u64;
    while first < seeds.len() || begun.elapsed() < seconds() {
        let input =
            if first < seeds.len() { seeds[first].clone() } else { changed(&mut dice, &seeds) };
        let clock = Instant::now();
        let word = catch_unwind(AssertUnwindSafe(|| one(&input)));
        let took = clock.elapsed();
        slowest = slowest.max(took);
        runs += 1;
        let failed = word.is_err() || took > Duration::from_secs(120);
        if failed {
            let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("fuzz-{name}-found"));
            fs::write(&file, &input).unwrap();
            panic!("{name}: {took:?}, input {runs} is in {}", file.display());
        }
        let word = word.unwrap();
        *counts.entry(word.chars().take(60).collect()).or_default() += 1;
        if met.insert(word) && first >= seeds.len() && seeds.len() < 5_000 {
            seeds.push(input);
            first = seeds.len();
        } else {
            first = (first + 1).min(seeds.len());
        }
    }
    println!(
        "{name}: {runs} inputs, {} answers of different kinds, slowest {slowest:?}",
        met.len()
    );
    counts
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn boards_read(bytes: &[u8], list: List) -> String {
    // The last byte decides the unit of bare numbers.
    let units = if bytes.last().is_some_and(|b| b % 2 == 1) { Units::Mm } else { Units::Inch };
    match boards_text("b.csv", &text(bytes), units, list) {
        Ok(boards) => {
            assert!(check_boards(&boards).is_ok(), "what is read obeys the rules");
            format!("read {}", boards.len().min(9))
        }
        Err(problems) => refused(&problems),
    }
}

#[test]
fn fuzz_boards() {
    fuzz("boards", |bytes| boards_read(bytes, List::OnHand));
}

#[test]
fn fuzz_yard() {
    fuzz("yard", |bytes| boards_read(bytes, List::Yard));
}

#[test]
fn fuzz_paddles() {
    fuzz("paddles", |bytes| match job_text("p.toml", &text(bytes)) {
        Ok(job) => format!("read {} of {}", job.paddles.len(), job.units),
        Err(problems) => refused(&problems),
    });
}

fn example() -> (Job, Vec<Board>) {
    let loft = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/loft");
    let read = |name| fs::read_to_string(loft.join(name)).unwrap();
    let job = job_text("p.toml", &read("paddles.toml")).unwrap();
    let boards = boards_text("b.csv", &read("boards.csv"), job.units, List::OnHand).unwrap();
    (job, boards)
}

#[test]
fn fuzz_strips() {
    let (job, _) = example();
    fuzz("strips", |bytes| match strips_text("s.csv", &text(bytes), &job) {
        Ok(rack) => {
            // What is written reads back.
            let again = strips_text("s.csv", &csv::strips(&rack.strips, job.units), &job).unwrap();
            assert_eq!(again.strips, rack.strips);
            format!("read {}", rack.strips.len().min(9))
        }
        Err(problems) => refused(&problems),
    });
}

#[test]
fn fuzz_plans() {
    let (job, boards) = example();
    let counts = fuzz("plan", |bytes| match plan_text("p.json", &text(bytes), &job, &boards) {
        Ok(file) => match verify_file(&file, &job, &boards) {
            Ok(verified) => {
                // What is vouched for reads back as itself.
                let again = json::to_string(&verified, &job, &boards);
                let again = plan_text("p.json", &again, &job, &boards).unwrap();
                assert_eq!(again.plan.boards, verified.boards);
                "holds".to_owned()
            }
            Err(faults) => {
                assert!(!faults.is_empty());
                let mut rules: Vec<String> =
                    faults.iter().map(|f| format!("{:?}", f.rule)).collect();
                rules.sort();
                rules.dedup();
                rules.concat()
            }
        },
        Err(problems) => refused(&problems),
    });
    assert!(counts.contains_key("holds"), "the seed itself holds");
}

/// Bytes are a job: it is planned, verified, and compared with every choice there is.
#[test]
fn fuzz_small_jobs() {
    let counts = fuzz("jobs", |bytes| {
        let (job, boards) = texts(bytes).read();
        let options =
            Options { stop: Stop::after(Some(Duration::from_secs(3))), ..Options::default() };
        let came = beside(&job, &boards, &options).unwrap_or_else(|wrong| panic!("{wrong}"));
        let traits = [
            boards.iter().any(|b| b.crook.units() != 0),
            boards.iter().any(|b| b.bow.units() != 0),
            job.shop.resaw_kerf.is_some(),
            !job.strips.is_empty(),
            job.paddles.len() > 1,
        ];
        if came == Beside::SameNone { format!("{came:?}") } else { format!("{came:?} {traits:?}") }
    });
    let of = |came: Beside| -> u64 {
        let named = format!("{came:?}");
        counts.iter().filter(|(k, _)| k.split(' ').next() == Some(&named)).map(|(_, n)| n).sum()
    };
    let all = [Beside::Same, Beside::SameNone, Beside::Alone, Beside::Open].map(of);
    println!(
        "as every choice {}, none exists {}, verified alone {}, open {}",
        all[0], all[1], all[2], all[3]
    );
    assert!(all[0] > 0, "{counts:?}");
}

/// Bytes from the dice, for other tests that want jobs.
pub fn rolled(dice: &mut Dice) -> Vec<u8> {
    (0..400).map(|_| dice.roll(256) as u8).collect()
}

/// A job that plans, with its plan.
pub fn planned(dice: &mut Dice) -> Option<(Job, Vec<Board>, stripwright::plan::Plan)> {
    let (job, boards) = texts(&rolled(dice)).read();
    let options = Options { stop: Stop::after(Some(Duration::from_secs(5))), ..Options::default() };
    let plan = stripwright::choose::plan(&job, &boards, &options).ok()?;
    assert!(verify(plan.clone(), &job, &boards).is_ok());
    Some((job, boards, plan))
}
