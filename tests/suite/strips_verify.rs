//! Plans with strips in hand: each rule of MODEL 10, broken one at a time, is found by name.

use stripwright::{
    Angle, Board, Cost, InHand, Job, Length, Measure, Plan, Proof, Rule, Species, StripInHand,
    job_text, verify,
};

fn inch(top: i64, bottom: i64) -> Length {
    Length::inch_fraction(top, bottom)
}

fn job() -> Job {
    let text = "[shop]\nstraight = \"1/16\"\npair = \"3/4\"\npull = 1\n\
        [[paddle]]\nname = \"long\"\nlength = 80\nloom = 20\ntrim = \"1/2\"\nthickness = 1\nrings = 45\n\
        [[paddle.lamination]]\nname = \"spine\"\nthickness = \"1/4\"\nruns = \"through\"\ncentre = true\n\
        [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2\"\nruns = \"through\"\nspecies = [\"fir\"]\n\
        [[paddle.lamination]]\nname = \"blade\"\nthickness = \"3/4\"\nruns = \"blade\"\n";
    let mut job = job_text("p", text).unwrap_or_else(|p| panic!("{p}"));
    let strip = |name: &str, length, thickness, lamination: &str| StripInHand {
        lamination: Some(lamination.to_owned()),
        rings: Some(Angle::RIFT),
        ..StripInHand::plain(name, Species::new("fir"), [length, thickness, inch(1, 1)])
    };
    // Exactly as long, thick, deep and steep as they must be.
    job.strips = vec![strip("s", inch(81, 1), inch(1, 4), "spine")];
    for name in ["a", "b"] {
        let bent = StripInHand {
            sidewise: inch(1, 1),
            depthwise: inch(3, 4),
            ..strip(name, inch(81, 1), inch(1, 2), "side")
        };
        job.strips.push(bent);
    }
    // The other way, and 1/16 in less: a pair still.
    job.strips[2].depthwise = -inch(11, 16);
    for name in ["1", "2", "3", "4"] {
        let blade = strip(name, inch(61, 2), inch(3, 4), "blade");
        job.strips.push(StripInHand {
            depthwise: inch(1, 16),
            paddle: Some("long".to_owned()),
            ..blade
        });
    }
    job
}

fn plan() -> Plan {
    let of = |strip, lamination, mate: Option<&str>| InHand {
        strip,
        paddle: 0,
        lamination,
        flipped_with: mate.map(str::to_owned),
    };
    Plan {
        cost: Cost { measure: Measure::BoardFeet, parts: 0 },
        proof: Proof::Optimal,
        most: None,
        paddles: vec![1],
        boards: Vec::new(),
        in_hand: vec![
            of(0, 0, None),
            of(1, 1, Some("b")),
            of(2, 1, Some("a")),
            of(3, 2, None),
            of(4, 2, None),
            of(5, 2, None),
            of(6, 2, None),
        ],
    }
}

fn faults(job: &Job, plan: Plan) -> Vec<(Rule, String)> {
    match verify(plan, job, &[] as &[Board]) {
        Ok(_) => Vec::new(),
        Err(faults) => faults.iter().map(|f| (f.rule, f.to_string())).collect(),
    }
}

/// Breaks the job, and looks for a rule and words.
fn job_broken(change: impl Fn(&mut Job), rule: Rule, words: &str) {
    let mut job = job();
    change(&mut job);
    let found = faults(&job, plan());
    assert!(
        found.iter().any(|f| f.0 == rule && f.1.contains(words)),
        "{rule:?} {words}: {found:?}"
    );
}

fn plan_broken(change: impl Fn(&mut Plan), rule: Rule, words: &str) {
    let mut plan = plan();
    change(&mut plan);
    let found = faults(&job(), plan);
    assert!(
        found.iter().any(|f| f.0 == rule && f.1.contains(words)),
        "{rule:?} {words}: {found:?}"
    );
}

/// On every limit at once.
#[test]
fn a_plan_on_its_limits_passes() {
    assert_eq!(faults(&job(), plan()), []);
}

#[test]
fn each_measure_that_falls_short_is_refused() {
    let unit = Length::from_units(1);
    job_broken(|j| j.strips[0].length -= unit, Rule::Length, "strip s in hand: is");
    job_broken(|j| j.strips[3].length -= unit, Rule::Length, "long needs 30 1/2");
    job_broken(|j| j.strips[1].thickness -= unit, Rule::TooThin, "thick, side of long needs 1/2");
    job_broken(|j| j.strips[1].depth -= unit, Rule::TooThin, "deep, side of long needs 1");
    job_broken(
        |j| j.strips[1].species = Species::new("ash"),
        Rule::Species,
        "ash where fir is asked",
    );
    job_broken(
        |j| j.strips[0].rings = Angle::from_millionths(44_999_999),
        Rule::Rings,
        "45° is asked",
    );
    job_broken(|j| j.strips[1].sidewise = -inch(1, 1) - unit, Rule::Sidewise, "for clamps is 1\"");
    job_broken(|j| j.strips[1].sidewise = inch(5, 4), Rule::Sidewise, "bends 1 1/4\" over its");
    job_broken(|j| j.strips[1].depthwise += unit, Rule::Depthwise, "in a flipped pair is 3/4");
    job_broken(
        |j| j.strips[3].depthwise = -inch(1, 16) - unit,
        Rule::Depthwise,
        "unpaired is 1/16",
    );
    job_broken(
        |j| j.strips[0].depthwise = inch(1, 16) + unit,
        Rule::Depthwise,
        "on the centreline is 1/16",
    );
    job_broken(
        |j| j.strips[3].paddle = Some("short".to_owned()),
        Rule::CutFor,
        "\"short\", used for \"long\"",
    );
    job_broken(
        |j| j.strips[3].lamination = Some("side".to_owned()),
        Rule::CutFor,
        "\"side\", used for \"blade\"",
    );
    job_broken(|j| j.strips[0].thickness = Length::ZERO, Rule::Sizes, "strip s in hand");
}

/// One of the woods asked is enough.
#[test]
fn any_of_the_woods_asked_serves() {
    let mut job = job();
    job.paddles[0].laminations[1].species = vec![Species::new("ash"), Species::new("fir")];
    assert_eq!(faults(&job, plan()), []);
}

/// Half a unit that a blade leaves goes to the strip.
#[test]
fn a_blade_in_hand_is_rounded_up_to_a_unit() {
    let unit = Length::from_units(1);
    let mut job = job();
    job.strips.iter_mut().for_each(|s| s.depthwise = Length::ZERO);
    job.paddles[0].loom -= unit;
    let short = faults(&job, plan());
    assert!(short.len() == 4 && short.iter().all(|f| f.0 == Rule::Length), "{short:?}");
    job.strips[3..].iter_mut().for_each(|s| s.length += unit);
    assert_eq!(faults(&job, plan()), []);
    // A whole unit more leaves no half.
    job.paddles[0].loom -= unit;
    assert_eq!(faults(&job, plan()), []);
}

/// A strip that was longer when it was measured bends less over the rough length: c·(ℓ/length)².
#[test]
fn bends_count_over_the_rough_length() {
    let mut job = job();
    job.strips[3].length = inch(61, 1);
    job.strips[3].depthwise = inch(1, 4);
    assert_eq!(faults(&job, plan()), []);
    job.strips[3].depthwise += Length::from_units(1);
    assert_eq!(faults(&job, plan())[0].0, Rule::Depthwise);
}

#[test]
fn flipped_pairs_that_do_not_match_are_refused() {
    let unit = Length::from_units(1);
    job_broken(
        |j| j.strips[2].depthwise += unit,
        Rule::FlipInHand,
        "b has another bend, more than 1/16",
    );
    plan_broken(
        |p| p.in_hand[1].flipped_with = Some("x".to_owned()),
        Rule::FlipInHand,
        "is named \"x\"",
    );
    plan_broken(
        |p| p.in_hand[1].flipped_with = Some("a".to_owned()),
        Rule::FlipInHand,
        "with itself",
    );
    plan_broken(|p| p.in_hand[2].flipped_with = None, Rule::FlipInHand, "b does not name it back");
    plan_broken(|p| p.in_hand[1].flipped_with = None, Rule::Depthwise, "unpaired");
    plan_broken(
        |p| {
            p.in_hand[0].flipped_with = Some("1".to_owned());
            p.in_hand[3].flipped_with = Some("s".to_owned());
        },
        Rule::FlipInHand,
        "is for another lamination",
    );
    plan_broken(
        |p| {
            (p.in_hand[1].lamination, p.in_hand[2].lamination) = (0, 0);
        },
        Rule::FlipInHand,
        "lies on the centreline",
    );
}

#[test]
fn strips_used_twice_or_not_there_or_missing_are_refused() {
    plan_broken(
        |p| p.in_hand[4].strip = 3,
        Rule::UsedTwice,
        "strip 1 in hand: goes in a second time",
    );
    plan_broken(|p| p.in_hand[4].strip = 7, Rule::InHand, "number 7 of 7");
    plan_broken(|p| p.in_hand[4].lamination = 9, Rule::Lamination, "lamination number 9");
    plan_broken(
        |p| {
            p.in_hand.pop();
        },
        Rule::Demand,
        "3 strips of blade",
    );
    job_broken(|j| j.strips[4].name = "1".to_owned(), Rule::Id, "is used again");
}

/// Bends over lengths whose products pass 128 bits are compared to the last unit.
#[test]
fn long_strips_are_compared_exactly() {
    let mut job = job();
    job.paddles[0].length = inch(3_000, 1);
    for strip in &mut job.strips {
        strip.length = inch(3_900, 1);
    }
    job.strips[2].length = inch(3_800, 1);
    // Over 3001 in the first bends 3/4 in to within a unit; the other at the limit of 1/16 in less.
    let scaled = |gap: i64, over: i64| {
        Length::from_units(gap * 2_032_000 / 16 * over * over / (3_001 * 3_001))
    };
    job.strips[1].depthwise = scaled(12, 3_900);
    job.strips[2].depthwise = scaled(11, 3_800) + Length::from_units(2);
    let blades = [3, 4, 5, 6].map(|i: usize| i);
    for i in blades {
        job.strips[i].depthwise = Length::ZERO;
    }
    for strip in &mut job.strips {
        strip.sidewise = Length::ZERO;
    }
    assert_eq!(faults(&job, plan()), []);
    job.strips[2].depthwise -= Length::from_units(6);
    let found = faults(&job, plan());
    assert!(found.len() == 2 && found.iter().all(|f| f.0 == Rule::FlipInHand), "{found:?}");
}
