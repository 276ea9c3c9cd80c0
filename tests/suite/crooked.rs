//! Straight-lined sections may begin and end anywhere. What is claimed of crooked boards is
//! compared with every beginning and end on a grid of 1/16 in, counted here from the rules alone.
//! Boards are invented.

use crate::fixtures::Dice;
use std::fmt::Write;
use stripwright::choose::{NoPlan, Options, plan_for};
use stripwright::length::Units;
use stripwright::plan::{Edge, Proof};
use stripwright::read::{List, boards_text, job_text};
use stripwright::verify::verify;

/// Strips 1/2 in by 1 in, upright only; bent ones are no use, so every section is straight-lined.
fn toml(length: f64) -> String {
    format!(
        r#"
[shop]
board_end = 0
edge = 0
far_edge = 0
curve_kerf = "1/8"
min_rip = 2
rip_kerf = "1/8"
crosscut_kerf = "1/8"
dress = 0
plane = 0
straight = 0
pair = 0
pull = "1/1000"
[[paddle]]
name = "stick"
quantity = 1
length = {length}
loom = 1
trim = 0
thickness = 1
[[paddle.lamination]]
name = "spine"
thickness = "1/2"
runs = "through"
centre = true
"#
    )
}

const KERF: f64 = 0.125;
const RIP: f64 = 0.5;

#[derive(Clone, Debug)]
struct Rough {
    length: f64,
    width: f64,
    crook: f64,
    /// from, to, near, far
    zones: Vec<[f64; 4]>,
}

impl Rough {
    fn csv(&self, name: &str, price: u64) -> String {
        let mut csv = String::new();
        writeln!(
            csv,
            "{name},fir,{},{},1,vertical,{},{price},,,,,",
            self.length, self.width, self.crook
        )
        .unwrap();
        for [from, to, near, far] in &self.zones {
            writeln!(csv, "{name},,,,,,,,knot,{from},{to},{near},{far}").unwrap();
        }
        csv
    }

    /// Strips that a straight-lined section gives.
    fn section(&self, x0: f64, x1: f64, strip: f64) -> u32 {
        let square = self.length * self.length;
        let lift = |x: f64| 4.0 * self.crook / square * (x - x0) * (x1 - x);
        let loss = self.crook.abs() * (x1 - x0) * (x1 - x0) / square;
        let (low, high) =
            if self.crook > 0.0 { (loss, self.width) } else { (0.0, self.width - loss) };
        let mut lifted: Vec<[f64; 4]> = Vec::new();
        for &[from, to, near, far] in &self.zones {
            let (a, b) = (from.max(x0), to.min(x1));
            if a >= b {
                continue;
            }
            let mut lifts = vec![lift(a), lift(b)];
            let middle = (x0 + x1) / 2.0;
            if a < middle && middle < b {
                lifts.push(lift(middle));
            }
            let least = lifts.iter().copied().fold(f64::INFINITY, f64::min);
            let greatest = lifts.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            lifted.push([from, to, near + least - 1e-7, far + greatest + 1e-7]);
        }
        // Strips one after another in a rip at `y`.
        let along = |y: f64| {
            let (mut at, mut count) = (x0, 0);
            loop {
                let in_way =
                    |z: &&[f64; 4]| z[2] < y + RIP && z[3] > y && z[0] < at + strip && z[1] > at;
                if let Some(zone) = lifted.iter().find(in_way) {
                    at = zone[1];
                    continue;
                }
                if at + strip > x1 {
                    return count;
                }
                count += 1;
                at += strip + KERF;
            }
        };
        // Places of rips from the far edge back; each the best of a rip here or none.
        let mut places: Vec<f64> = Vec::new();
        let begins = std::iter::once(low).chain(lifted.iter().map(|z| z[3]).filter(|&f| f > low));
        for begin in begins {
            let mut at = begin;
            while at + RIP <= high - 1e-7 {
                places.push(at);
                at += RIP + KERF + 1e-9;
            }
        }
        places.sort_by(f64::total_cmp);
        let mut best = vec![0; places.len() + 1];
        for i in (0..places.len()).rev() {
            let next = places.partition_point(|&p| p < places[i] + RIP + KERF);
            best[i] = best[i + 1].max(along(places[i]) + best[next]);
        }
        best[0]
    }

    /// Strips that sections on the grid give, one after another.
    fn most(&self, strip: f64) -> u32 {
        const GRID: usize = 16;
        let steps = (self.length * GRID as f64).floor() as usize;
        let at = |i: usize| i as f64 / GRID as f64;
        let mut best = vec![0; steps + 4];
        for from in (0..=steps).rev() {
            best[from] = best[from + 1];
            for to in from + 1..=steps {
                if at(to) - at(from) >= strip.max(2.0) {
                    // A kerf is two steps.
                    let rest = best.get(to + 2).copied().unwrap_or(0);
                    best[from] = best[from].max(self.section(at(from), at(to), strip) + rest);
                }
            }
        }
        best[0]
    }
}

const HEADER: &str =
    "board,species,length,width,thickness,rings,crook,price,zone,from,to,near,far\n";

impl Dice {
    fn between(&mut self, from: u64, to: u64) -> f64 {
        (from + self.roll(to - from + 1)) as f64
    }

    fn board(&mut self) -> Rough {
        let length = self.between(136, 176) / 16.0;
        let width = self.between(16, 36) / 16.0;
        let crook = self.between(2, 12) / 16.0 * if self.between(0, 1) > 0.0 { 1.0 } else { -1.0 };
        let zones = (0..self.between(1, 3) as u64)
            .map(|_| {
                let from = self.between(0, length as u64 * 16 - 8) / 16.0;
                let near = self.between(0, width as u64 * 16 + 4) / 16.0;
                let to = (from + self.between(1, 20) / 16.0).min(length);
                let far = (near + self.between(2, 12) / 16.0).min(width);
                [from, to, near.min(far - 0.0625), far]
            })
            .collect();
        Rough { length, width, crook, zones }
    }
}

/// Least price of boards that give so many strips; `None` if all give too few.
fn least(gives: &[(u32, u64)], need: u32) -> Option<u64> {
    (0..1_u32 << gives.len())
        .filter_map(|set| {
            let of = gives.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1);
            let (n, price) = of.fold((0, 0), |s, (_, g)| (s.0 + g.0, s.1 + g.1));
            (n >= need).then_some(price)
        })
        .min()
}

#[derive(Debug, Default)]
struct Tally {
    jobs: u32,
    better_than_grid: u32,
    open: u32,
}

fn compare(seeds: std::ops::Range<u64>, strip: f64, boards: usize) -> Tally {
    let job = job_text("p.toml", &toml(strip)).unwrap();
    let mut tally = Tally::default();
    for seed in seeds {
        let mut dice = Dice(seed * 7919 + 17);
        let rough: Vec<Rough> = (0..boards).map(|_| dice.board()).collect();
        let prices: Vec<u64> = (0..boards).map(|_| dice.between(3, 9) as u64).collect();
        let mut csv = HEADER.to_owned();
        for (i, (board, &price)) in rough.iter().zip(&prices).enumerate() {
            csv += &board.csv(&format!("b{i}"), price);
        }
        let read = boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap();
        let gives: Vec<(u32, u64)> =
            rough.iter().zip(&prices).map(|(b, &p)| (b.most(strip), p)).collect();
        let most: u32 = gives.iter().map(|g| g.0).sum();
        for need in most.saturating_sub(1).max(1)..=most + 1 {
            let grid = least(&gives, need);
            tally.jobs += 1;
            match plan_for(&job, &read, &[need], &Options::default()) {
                Ok(plan) => {
                    let verified = verify(plan.clone(), &job, &read);
                    assert!(verified.is_ok(), "{csv}{need}: {:?}", verified.err());
                    let price = |parts: i128| parts as f64 / 10_000.0;
                    let cost = price(plan.cost.parts);
                    let known = grid.map_or(f64::INFINITY, |g| g as f64);
                    tally.better_than_grid += u32::from(cost < known);
                    let bound = match plan.proof {
                        Proof::Optimal => cost,
                        Proof::AtLeast(parts) => {
                            tally.open += 1;
                            price(parts)
                        }
                    };
                    assert!(bound <= known, "{csv}{need}: bound {bound}, on the grid {known}");
                }
                Err(NoPlan::Infeasible(_)) => {
                    assert_eq!(grid, None, "{csv}{need}: called impossible");
                }
                Err(NoPlan::Stopped(_)) => tally.open += 1,
            }
        }
    }
    tally
}

#[test]
fn no_claim_is_below_what_a_fine_grid_of_sections_gives() {
    // Strips longer than half a board: one section.
    let long = compare(0..40, 6.0, 1);
    assert!(long.open * 50 <= long.jobs, "{long:?}");
    // Sections after one another.
    let short = compare(100..120, 3.5, 1);
    assert!(short.open * 50 <= short.jobs, "{short:?}");
    // Which boards are cheapest.
    let several = compare(200..212, 6.0, 3);
    println!("{long:?} {short:?} {several:?}");
    assert!(several.open * 50 <= several.jobs, "{several:?}");
    println!("{long:?} {short:?} {several:?}");
}

/// A hollow board, rotten from 20 1/2 in on, with a knot that leaves a strip's width below it only
/// where the section runs on into the rot: the longer it is, the farther the knot is lifted, and
/// that is more than the edge loses.
#[test]
fn a_straight_lined_section_may_run_on_to_lift_a_knot_away() {
    let job = job_text("p.toml", &toml(20.0)).unwrap();
    let board = Rough {
        length: 38.5,
        width: 1.5,
        crook: 1.0,
        zones: vec![[18.0, 19.0, 0.55, 1.5], [20.5, 38.5, 0.0, 1.5]],
    };
    assert_eq!((board.section(0.0, 20.0, 20.0), board.section(0.0, 37.0, 20.0)), (0, 1));
    let csv = HEADER.to_owned() + &board.csv("b", 5);
    let boards = boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap();
    let plan = plan_for(&job, &boards, &[1], &Options::default()).expect("there is a plan");
    assert_eq!(plan.proof, Proof::Optimal);
    let verified = verify(plan.clone(), &job, &boards);
    assert!(verified.is_ok(), "{:?}", verified.err());
    let section = &plan.boards[0].sections[0];
    let strip = &section.rips[0].leaves[0].strips[0];
    assert!(section.edge == Edge::Lined && section.to > strip.to);
}

/// The knot is wider: no section lifts it far enough, and that is proved.
#[test]
fn where_no_place_serves_it_is_proved() {
    let job = job_text("p.toml", &toml(20.0)).unwrap();
    let board = Rough {
        length: 38.5,
        width: 1.5,
        crook: 1.0,
        zones: vec![[18.0, 19.0, 0.45, 1.5], [20.5, 38.5, 0.0, 1.5]],
    };
    let csv = HEADER.to_owned() + &board.csv("b", 5);
    let boards = boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap();
    let outcome = plan_for(&job, &boards, &[1], &Options::default());
    assert!(matches!(outcome, Err(NoPlan::Infeasible(_))), "{outcome:?}");
}

/// Over ranges a crooked board may give more strips than at places. Units of cost that have room
/// for the latter only left no bound at all, where boards are measured so finely that units are
/// as small as can be.
#[test]
fn finely_measured_crooked_boards_have_a_bound() {
    let lamination = |name: &str, thickness: &str, more: &str| {
        format!(
            "[[paddle.lamination]]\nname = \"{name}\"\nthickness = \"{thickness}\"\nallow = [\"sap\"]\n{more}\n"
        )
    };
    let toml = [
        "[shop]\nboard_end = 1\nfar_edge = 0\ncurve_kerf = \"1/8\"\n[[paddle]]\nname = \"fine\"\nquantity = 2\nlength = 85\nloom = 16\nthickness = \"1 3/8\"\nrings = 60\n".to_owned(),
        lamination("spine", "3/16", "runs = \"through\"\ncentre = true"),
        lamination("loom side", "3/8", "runs = \"through\""),
        lamination("blade", "3/16", "runs = \"blade\""),
    ];
    let job = job_text("p.toml", &toml.concat()).unwrap();
    let csv = "board,species,length,width,thickness,rings,crook,bow,zone,from,to,near,far\n\
        a,yellow cedar,144.0007,9.2687,1.5083,vertical,-0.7773,-0.7780,,,,,\n\
        a,,,,,,,,pitch,1.4761,4.1017,3.8875,5.6408\n\
        b,yellow cedar,96.0121,7.2551,0.7467,15,,,,,,,\n";
    let boards = boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap();
    let plan = plan_for(&job, &boards, &[2], &Options::default()).unwrap();
    assert!(matches!(plan.proof, Proof::Optimal), "{:?}", plan.proof);
}
