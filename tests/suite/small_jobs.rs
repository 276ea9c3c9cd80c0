//! Small whole jobs made from bytes: whatever the bytes are, they are a job that reads. Sizes come in
//! every unit, kerfs and allowances down to none, costs with hardly a common part. All of it invented.

use crate::fixtures::Dice;
use crate::fuzz::rolled;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::time::{Duration, Instant};
use stripwright::choose::{NoPlan, Options, Outcome, plan};
use stripwright::cut::BoardCuts;
use stripwright::lumber::Board;
use stripwright::paddle::strips::needed;
use stripwright::paddle::{Job, strip_kinds};
use stripwright::plan::{Measure, Proof};
use stripwright::read::{List, boards_text, job_text, strips_text};
use stripwright::stop::Stop;
use stripwright::verify::verify;

/// Bytes read as choices; beyond their end every choice is the first.
pub struct Bytes<'a>(pub &'a [u8]);

impl Bytes<'_> {
    /// From 0 to less than so many.
    pub fn below(&mut self, many: u32) -> u32 {
        let [high, low, rest @ ..] = self.0 else { return 0 };
        let number = u32::from(*high) << 8 | u32::from(*low);
        self.0 = rest;
        number % many
    }

    fn of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.below(u32::try_from(choices.len()).unwrap()) as usize]
    }

    /// A length near so many 1/64 in, spelled in any unit.
    fn length(&mut self, parts: u32) -> String {
        let inches = f64::from(parts) / 64.0;
        match self.below(9) {
            0..=2 => format!("{parts}/64 in"),
            3 => format!("{inches:.3}\""),
            4 => format!("{:.2} mm", inches * 25.4),
            5 => format!("{:.1} mm", inches * 25.4),
            6 => format!("{:.2} cm", inches * 2.54),
            7 => format!("{:.4} m", inches * 0.0254),
            _ => format!("{}' {}\"", parts / 768, f64::from(parts % 768) / 64.0),
        }
    }
}

/// The texts of a job: paddles, boards, strips in hand (empty where there are none).
#[derive(Clone, Debug)]
pub struct Texts {
    pub paddles: String,
    pub boards: String,
    pub strips: String,
}

const WOODS: [&str; 4] = ["fir", "fir", "white ash", "spruce"];

pub fn texts(bytes: &[u8]) -> Texts {
    let b = &mut Bytes(bytes);
    let mut paddles = format!("units = \"{}\"\n[shop]\n", b.of(&["in", "mm"]));
    for (key, values) in [
        ("rip_kerf", &["1/8 in", "3/32 in", "2 mm", "0.101 in", "0"][..]),
        ("crosscut_kerf", &["1/8 in", "3 mm", "0"]),
        ("resaw_kerf", &["", "1/16 in", "1.3 mm", "0"]),
        ("curve_kerf", &["1/16 in", "", "1 mm"]),
        ("edge", &["0", "1/8 in", "0.37 mm"]),
        ("far_edge", &["0", "1/8 in", "1 mm"]),
        ("curve_dress", &["", "1/32 in"]),
        ("resaw_dress", &["", "1/32 in", "0"]),
        ("board_end", &["0", "1/2 in", "10 mm"]),
        ("dress", &["1/64 in", "0", "0.4 mm"]),
        ("plane", &["0", "1/32 in", "0.5 mm"]),
        ("straight", &["1/16 in", "2 mm", "0"]),
        ("pair", &["3/4 in", "5 mm"]),
        ("pull", &["1 in", "1/4 in", "8 mm"]),
        ("min_rip", &["6 in", "12 in", "150 mm", "0"]),
        ("margin", &["", "", "{ knot = { along = \"1/2 in\", across = \"1/16 in\" } }"]),
    ] {
        match b.of(values) {
            "" => {}
            value if key == "margin" => writeln!(paddles, "margin = {value}").unwrap(),
            value => writeln!(paddles, "{key} = \"{value}\"").unwrap(),
        }
    }
    let kinds = 1 + b.below(5) / 4;
    let mut laminations = Vec::new();
    for kind in 0..kinds {
        laminations.extend(paddle(b, kind, &mut paddles));
    }
    let (mut boards, many) = (String::new(), 2 + b.below(4));
    boards.push_str("board,species,length,width,thickness,rings,pith_across,pith_depth,crook,bow,runout,price,quantity,offcut,edge,far_edge,board_end,zone,from,to,near,far\n");
    let priced = b.below(2) == 0;
    for n in 0..many {
        board(b, n, priced, &mut boards);
    }
    let mut strips = String::new();
    if b.below(3) == 2 {
        strips.push_str("strip,species,length,thickness,depth,rings,sidewise,depthwise\n");
        for n in 0..1 + b.below(4) {
            let (runs, thick) = b.of(&laminations);
            let long = if runs == "through" { 1800 } else { 700 } + b.below(400);
            let (bend, wood) = (b.of(&["0", "0", "1/8 in", "3 mm"]), b.of(&WOODS));
            writeln!(strips, "s{n},{wood},{long}/64 in,{thick}/64 in,72/64 in,,0,{bend}").unwrap();
        }
    }
    Texts { paddles, boards, strips }
}

fn paddle(b: &mut Bytes, kind: u32, text: &mut String) -> Vec<(&'static str, u32)> {
    let (length, loom, deep) = (1280 + b.below(512), 384 + b.below(192), 48 + b.below(24));
    let [length, loom, deep] = [length, loom, deep].map(|parts| b.length(parts));
    let (quantity, rings) = (1 + b.below(4) / 3, b.of(&["0", "45", "60", "37.5"]));
    let trim = b.of(&["0", "1/4 in", "5 mm"]);
    write!(
        text,
        "[[paddle]]\nname = \"p{kind}\"\nquantity = {quantity}\nlength = {length:?}\nloom = {loom:?}\n\
         thickness = {deep:?}\nrings = {rings}\ntrim = \"{trim}\"\n"
    )
    .unwrap();
    if b.below(4) == 3 {
        text.push_str("runout = \"1:15\"\n");
    }
    let mut all = Vec::new();
    for (name, runs) in [("spine", "through"), ("side", "through"), ("edge", "blade")] {
        if name != "side" && b.below(3) == 2 {
            continue;
        }
        let thick = 12 + b.below(28);
        let shown = b.length(thick);
        write!(
            text,
            "[[paddle.lamination]]\nname = \"{name}\"\nruns = \"{runs}\"\nthickness = {shown:?}\n"
        )
        .unwrap();
        if name == "spine" {
            text.push_str("centre = true\n");
        }
        text.push_str(b.of(&["", "", "allow = [\"sap\"]\n"]));
        text.push_str(b.of(&["", "", "", "species = [\"fir\"]\n"]));
        text.push_str(b.of(&["", "", "", "spares = 1\n"]));
        all.push((runs, thick + 2));
    }
    all
}

fn board(b: &mut Bytes, n: u32, priced: bool, text: &mut String) {
    let wood = b.of(&WOODS);
    let sizes = [1280 + b.below(2500), 48 + b.below(200), 48 + b.below(100)];
    let [length, width, thickness] = sizes.map(|parts| b.length(parts));
    let grain = match b.below(5) {
        0..=2 => format!("{},,", b.of(&["90", "50", "0", "37.5", "45"])),
        3 => format!(",{}/4 in,{}/4 in", b.below(20), i64::from(b.below(16)) - 8),
        _ => ",,".to_owned(),
    };
    let bends = [
        b.of(&["0", "0", "0", "1/16 in", "-3 mm"]),
        b.of(&["0", "0", "1/8 in", "-1/4 in", "1/2 in"]),
    ];
    let runout = b.of(&["", "1:20", "1:14"]);
    let price = match (priced, b.below(4)) {
        (false, _) => String::new(),
        (true, 0) => format!("{}.{:04}", b.below(20), b.below(10_000)),
        (true, _) => format!("{}", 1 + b.below(12)),
    };
    let marks = b.below(4).saturating_sub(1);
    let quantity = if marks > 0 { 1 } else { 1 + b.below(3) };
    let own = b.of(&[",,,", ",,,", ",,,", "yes,0,0,0", ",0.5 mm,,"]);
    let [crook, bow] = bends;
    writeln!(
        text,
        "b{n},{wood},{length},{width},{thickness},{grain},{crook},{bow},{runout},{price},{quantity},{own},,,,,"
    )
    .unwrap();
    for _ in 0..marks {
        // In 1/64 in and well on the board, however its sizes were rounded.
        let mut span = |of: u32| {
            let from = b.below(of - 10);
            (from, (from + 4 + b.below(of / 4)).min(of - 2))
        };
        let ((from, to), (near, far)) = (span(sizes[0]), span(sizes[1]));
        let kind = b.of(&["knot", "sap", "split"]);
        writeln!(
            text,
            "b{n}{}{kind},{from}/64 in,{to}/64 in,{near}/64 in,{far}/64 in",
            ",".repeat(17)
        )
        .unwrap();
    }
}

impl Texts {
    /// The job and its boards as they read.
    pub fn read(&self) -> (Job, Vec<Board>) {
        let mut job =
            job_text("p.toml", &self.paddles).unwrap_or_else(|p| panic!("{p}\n{}", self.paddles));
        let boards = boards_text("b.csv", &self.boards, job.units, List::OnHand);
        let boards = boards.unwrap_or_else(|p| panic!("{p}\n{}", self.boards));
        if !self.strips.is_empty() {
            let rack = strips_text("s.csv", &self.strips, &job);
            job.strips = rack.unwrap_or_else(|p| panic!("{p}\n{}", self.strips)).strips;
        }
        (job, boards)
    }
}

/// Least cost of all choices of listed ways, for every count that some choice gives; nothing where
/// a list is not complete or there are too many choices.
fn choices(job: &Job, boards: &[Board], need: &[u32]) -> Option<BTreeMap<Vec<u32>, i128>> {
    let mut kinds = strip_kinds(job);
    kinds.iter_mut().for_each(|k| k.apart = true);
    let measure = Measure::of(boards);
    let mut met = BTreeMap::from([(vec![0; need.len()], 0_i128)]);
    for board in boards {
        let cuts = BoardCuts::new(board, &job.shop, &kinds, need);
        let ways = cuts.list(need, &[], 20_000).filter(|_| cuts.complete)?;
        for _ in 0..board.quantity {
            let before = met.clone();
            if before.len().saturating_mul(ways.len()) > 100_000 {
                return None;
            }
            for (counts, cost) in &before {
                for way in &ways {
                    let sum = counts.iter().zip(way).zip(need).map(|((a, b), n)| (a + b).min(*n));
                    let more = cost + measure.parts(board);
                    met.entry(sum.collect()).and_modify(|c| *c = (*c).min(more)).or_insert(more);
                }
            }
        }
    }
    Some(met)
}

/// What came of a job beside every choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// As every choice has it.
    Same,
    /// As every choice has it: no plan exists.
    SameNone,
    /// Verified, but there were too many choices, or strips in hand.
    Alone,
    /// The plan has a gap, or nothing was found in time.
    Open,
}

/// Plans, verifies and compares. Whatever is wrong is said.
pub fn beside(job: &Job, boards: &[Board], options: &Options) -> Result<Beside, String> {
    let begun = Instant::now();
    let outcome = plan(job, boards, options);
    // Asked to stop after so long, it stops soon after; machines may be busy.
    if begun.elapsed() > Duration::from_secs(25) {
        return Err(format!("planning took {:?}", begun.elapsed()));
    }
    if let Ok(plan) = &outcome {
        verify(plan.clone(), job, boards).map_err(|f| format!("broken: {f:?}"))?;
        if plan.proof.bound(plan.cost) > plan.cost.parts {
            return Err(format!("bound above cost: {:?} {:?}", plan.proof, plan.cost));
        }
    }
    if !job.strips.is_empty() {
        return Ok(if matches!(outcome, Err(NoPlan::Stopped(_))) {
            Beside::Open
        } else {
            Beside::Alone
        });
    }
    if matches!(outcome, Err(NoPlan::Stopped(_))) {
        // Nothing is claimed.
        return Ok(Beside::Open);
    }
    let paddles: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    let need = needed(job, &strip_kinds(job), &paddles);
    // A straight-lined board has more ways than are listed: a plan may be better than these.
    let listed = boards.iter().all(|b| b.crook.units() == 0);
    let all = choices(job, boards, &need);
    judged(&outcome, all.map(|a| a.get(&need).copied()), listed, Measure::of(boards))
}

fn judged(
    outcome: &Outcome,
    least: Option<Option<i128>>,
    listed: bool,
    measure: Measure,
) -> Result<Beside, String> {
    // Volumes that differ by a millionth of a board foot are one (MODEL 7's costs are compared so).
    let trifle = if measure == Measure::BoardFeet { measure.one() / 1_000_000 } else { 0 };
    match (outcome, least) {
        (Err(NoPlan::Stopped(_)), _) => Ok(Beside::Open),
        (_, None) => Ok(Beside::Alone),
        (Err(_), Some(None)) => Ok(Beside::SameNone),
        (Err(_), Some(Some(cost))) => Err(format!("called impossible, but one costs {cost}")),
        (Ok(_), Some(None)) if !listed => Ok(Beside::Alone),
        (Ok(plan), Some(None)) => Err(format!("a plan of {:?} where no choice is", plan.cost)),
        (Ok(plan), Some(Some(cost))) => {
            let bound = plan.proof.bound(plan.cost);
            if bound > cost + trifle {
                Err(format!("claims at least {bound}, a choice costs {cost}"))
            } else if listed && plan.cost.parts < cost {
                Err(format!("costs {}, every choice at least {cost}", plan.cost.parts))
            } else if plan.proof == Proof::Optimal {
                Ok(Beside::Same)
            } else {
                Ok(Beside::Open)
            }
        }
    }
}

/// Two hundred jobs at random beside every choice there is: none may differ.
#[test]
fn two_hundred_jobs_cost_what_the_best_of_every_choice_costs() {
    let mut dice = Dice(2026);
    let (mut counts, mut tried) = (BTreeMap::new(), 0);
    let same = |counts: &BTreeMap<String, u32>| -> u32 {
        [Beside::Same, Beside::SameNone].iter().filter_map(|b| counts.get(&format!("{b:?}"))).sum()
    };
    while same(&counts) < 200 {
        tried += 1;
        assert!(tried < 2_000, "{counts:?}");
        let texts = texts(&rolled(&mut dice));
        let (job, boards) = texts.read();
        let options =
            Options { stop: Stop::after(Some(Duration::from_secs(10))), ..Options::default() };
        let came = beside(&job, &boards, &options)
            .unwrap_or_else(|wrong| panic!("job {tried}: {wrong}\n{texts:#?}"));
        *counts.entry(format!("{came:?}")).or_default() += 1;
    }
    println!("{tried} jobs: {counts:?}");
    // Not all of them are jobs without a plan.
    assert!(counts[&format!("{:?}", Beside::Same)] >= 50, "{counts:?}");
}
