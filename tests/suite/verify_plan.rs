//! Hand-made plans that pass, and one change for each rule that must be caught.

use proptest::prelude::*;
use stripwright::choose::{NoPlan, Shortage};
use stripwright::length::{Length, Units};
use stripwright::lumber::{Angle, Board, Grain, Species, Zone, ZoneKind};
use stripwright::paddle::{Job, Lamination, Paddle, Runs, Shop};
use stripwright::plan::*;
use stripwright::read::plan_json::plan_text;
use stripwright::report::json;
use stripwright::verify::{Rule, verify, verify_file};

const UNIT: Length = Length::from_units(1);

fn inch(top: i64, bottom: i64) -> Length {
    Length::inch_fraction(top, bottom)
}

/// One centre strip and one through pair, 1/4 in rough, 1 in deep, 24 in long.
fn job() -> Job {
    let lamination = |name: &str, centre| Lamination {
        name: name.into(),
        thickness: inch(1, 4),
        runs: Runs::Through,
        centre,
        species: vec![Species::new("spruce")],
        allow: vec![ZoneKind::new("sap")],
        spares: 0,
    };
    Job {
        strips: Vec::new(),
        units: Units::Inch,
        shop: Shop { dress: Length::ZERO, plane: Length::ZERO, ..Shop::default() },
        paddles: vec![Paddle {
            name: "short".into(),
            quantity: 1,
            length: inch(24, 1),
            loom: inch(10, 1),
            thickness: inch(1, 1),
            trim: Length::ZERO,
            rings: Angle::RIFT,
            runout: None,
            laminations: vec![lamination("spine", true), lamination("side", false)],
        }],
    }
}

fn boards() -> Vec<Board> {
    vec![Board {
        grain: Some(Grain::Rings(Angle::VERTICAL)),
        ..Board::plain("B1", Species::new("Spruce"), [inch(30, 1), inch(2, 1), inch(1, 1)])
    }]
}

fn plan() -> Plan {
    // Rips 1/4 wide from 1/8, a kerf of 1/8 between.
    let rip = |n: i64| Rip {
        near: inch(1 + 3 * n, 8),
        far: inch(3 + 3 * n, 8),
        turned: false,
        leaves: vec![Leaf {
            thickness: inch(1, 1),
            strips: vec![Strip {
                id: format!("B1.{}", n + 1),
                paddle: 0,
                lamination: usize::from(n > 0),
                from: inch(1, 1),
                to: inch(25, 1),
                flipped_with: None,
            }],
        }],
    };
    Plan {
        in_hand: Vec::new(),
        cost: Cost { measure: Measure::BoardFeet, parts: boards()[0].volume() },
        proof: Proof::Optimal,
        most: None,
        paddles: vec![1],
        boards: vec![CutBoard {
            board: 0,
            copy: 1,
            sections: vec![Section {
                from: inch(1, 1),
                to: inch(29, 1),
                edge: Edge::Kept,
                face: Face::Kept,
                rips: (0..3).map(rip).collect(),
            }],
        }],
    }
}

type Change = fn(&mut Plan, &mut Job, &mut Vec<Board>);

fn rules(change: Change) -> Vec<Rule> {
    let (mut plan, mut job, mut boards) = (plan(), job(), boards());
    change(&mut plan, &mut job, &mut boards);
    match verify(plan, &job, &boards) {
        Ok(_) => vec![],
        Err(faults) => faults.iter().map(|f| f.rule).collect(),
    }
}

fn section(p: &mut Plan) -> &mut Section {
    &mut p.boards[0].sections[0]
}

fn strip(p: &mut Plan, rip: usize) -> &mut Strip {
    &mut section(p).rips[rip].leaves[0].strips[0]
}

fn zone(kind: &str, from: Length, near: Length, far: Length) -> Zone {
    Zone { kind: ZoneKind::new(kind), from, to: from + inch(1, 1), near, far }
}

fn pair(p: &mut Plan) {
    strip(p, 1).flipped_with = Some("B1.3".into());
    strip(p, 2).flipped_with = Some("B1.2".into());
}

#[test]
fn the_plan_as_made_passes() {
    assert_eq!(rules(|_, _, _| ()), []);
}

#[test]
fn each_rule_catches_its_change() {
    let cases: &[(Rule, Change)] = &[
        (Rule::Sizes, |p, _, _| section(p).to = Length::from_units(i64::MAX)),
        (Rule::Board, |p, _, _| p.boards[0].board = 9),
        (Rule::Copy, |p, _, _| p.boards[0].copy = 2),
        (Rule::Twice, |p, _, _| p.boards.push(p.boards[0].clone())),
        (Rule::BoardEnd, |p, _, _| section(p).to += UNIT),
        (Rule::SectionGap, |p, _, _| {
            section(p).to = inch(25, 1);
            let rest = Section {
                from: inch(25, 1) + inch(1, 8) - UNIT,
                to: inch(29, 1),
                rips: vec![],
                ..section(p).clone()
            };
            p.boards[0].sections.push(rest);
        }),
        (Rule::MinRip, |_, j, _| j.shop.min_rip = inch(28, 1) + UNIT),
        (Rule::Edge, |_, j, _| j.shop.edge += UNIT),
        (Rule::FarEdge, |_, _, b| b[0].width = inch(9, 8) - UNIT),
        (Rule::RipGap, |_, j, _| j.shop.rip_kerf += UNIT),
        (Rule::Thickness, |_, _, b| b[0].thickness -= UNIT),
        (Rule::Thickness, |p, _, b| {
            section(p).face = Face::Flattened;
            b[0].bow = Length::from_units(2);
        }),
        (Rule::Resaw, |p, _, b| {
            b[0].thickness = inch(3, 1);
            section(p).rips[0].leaves.push(Leaf { thickness: inch(1, 4), strips: vec![] });
        }),
        (Rule::Width, |p, _, _| section(p).rips[2].far += UNIT),
        (Rule::Leaf, |p, _, _| section(p).rips[0].leaves[0].thickness -= UNIT),
        (Rule::Inside, |p, _, _| section(p).to = inch(25, 1) - UNIT),
        (Rule::StripGap, |p, _, _| {
            let more = Strip { id: "more".into(), ..strip(p, 0).clone() };
            section(p).rips[0].leaves[0].strips.push(more);
        }),
        (Rule::Length, |p, _, _| strip(p, 0).to -= UNIT),
        (Rule::Lamination, |p, _, _| strip(p, 0).lamination = 7),
        (Rule::Zone, |_, _, b| b[0].zones.push(zone("knot", inch(9, 1), inch(0, 1), inch(3, 16)))),
        (Rule::Species, |_, _, b| b[0].species = Species::new("oak")),
        (Rule::Runout, |_, j, b| {
            j.paddles[0].runout = Some(stripwright::lumber::Slope { rise: 1, run: 15 });
            b[0].runout = Some(stripwright::lumber::Slope { rise: 1, run: 14 });
        }),
        (Rule::Rings, |_, _, b| b[0].grain = None),
        (Rule::Rings, |_, _, b| b[0].grain = Some(Grain::Rings(Angle::FLAT))),
        (Rule::Rings, |_, _, b| {
            b[0].grain = Some(Grain::Pith { across: inch(1, 1), depth: inch(1, 2) });
        }),
        (Rule::Sidewise, |_, _, b| b[0].crook = inch(2, 1)),
        (Rule::Depthwise, |_, _, b| b[0].bow = inch(1, 2)),
        (Rule::Flip, |p, _, _| strip(p, 1).flipped_with = Some("B1.3".into())),
        (Rule::Flip, |p, _, _| strip(p, 0).flipped_with = Some("B1.1".into())),
        (Rule::Id, |p, _, _| strip(p, 1).id = "B1.1".into()),
        (Rule::Demand, |p, _, _| p.paddles = vec![2]),
        (Rule::Demand, |_, j, _| j.paddles[0].laminations[1].spares = 1),
        (Rule::Cost, |p, _, _| p.cost.parts += 1),
        (Rule::Proof, |p, _, _| p.proof = Proof::AtLeast(p.cost.parts + 1)),
        (Rule::Most, |p, _, _| p.most = Some(Most { made: 2, at_most: 2 })),
        (Rule::Most, |p, _, _| p.most = Some(Most { made: 1, at_most: 0 })),
    ];
    for (i, (rule, change)) in cases.iter().enumerate() {
        let found = rules(*change);
        assert!(found.contains(rule), "case {i}: {rule:?} not in {found:?}");
    }
}

/// MODEL 9: the order in lists does not matter, and a strip may be longer than it must be.
#[test]
fn lists_in_any_order_and_longer_strips_pass() {
    let (job, boards) = (job(), boards());
    let text = json::to_string(&verify(plan(), &job, &boards).unwrap(), &job, &boards);
    let mut value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let section = &mut value["boards"][0]["sections"][0];
    let end = section["to"].clone();
    section["rips"].as_array_mut().unwrap().reverse();
    let strip = &mut section["rips"][0]["leaves"][0]["strips"][0];
    strip["to"] = end;
    let file = plan_text("plan.json", &value.to_string(), &job, &boards).unwrap();
    assert!(stripwright::verify::verify_file(&file, &job, &boards).is_ok());
}

#[test]
fn what_only_comes_near_a_rule_passes() {
    // MODEL 4: sharing an edge is not touching; an allowed kind may be touched.
    assert_eq!(
        rules(|_, _, b| b[0].zones.push(zone("knot", inch(9, 1), inch(0, 1), inch(1, 8)))),
        []
    );
    assert_eq!(
        rules(|_, _, b| b[0].zones.push(zone("sap", inch(9, 1), inch(0, 1), inch(1, 1)))),
        []
    );
    // MODEL 5 at 45°: the last rip ends at 9/8; pith 1 in above, so 2 in from it is just enough.
    let pith = |short: Length| {
        let mut boards = boards();
        let across = inch(9, 8) + inch(2, 1) - short;
        boards[0].grain = Some(Grain::Pith { across, depth: inch(-1, 1) });
        verify(plan(), &job(), &boards).is_ok()
    };
    assert!(pith(Length::ZERO));
    assert!(!pith(UNIT));
    // And on the other side: the first rip begins at 1/8, 2 in from the pith.
    let below = |over: Length| {
        let mut boards = boards();
        let across = inch(1, 8) - inch(2, 1) + over;
        boards[0].grain = Some(Grain::Pith { across, depth: inch(-1, 1) });
        verify(plan(), &job(), &boards).is_ok()
    };
    assert!(below(Length::ZERO));
    assert!(!below(UNIT));
}

#[test]
fn a_lined_edge_lifts_zones_and_takes_its_share() {
    let lined = |edge: Length, zones: Vec<Zone>| -> Result<(), Vec<Rule>> {
        let (mut plan, mut job, mut boards) = (plan(), job(), boards());
        boards[0].crook = inch(1, 8);
        boards[0].zones = zones;
        section(&mut plan).edge = Edge::Lined;
        job.shop.edge = edge;
        let faults = verify(plan, &job, &boards).map(|_| ());
        faults.map_err(|f| f.iter().map(|f| f.rule).collect())
    };
    // s = 1/8·(28/30)² in = 254000·784/900 = 221262.2 units: 1/8 − s holds 32737 whole units.
    assert_eq!(lined(Length::from_units(32_737), vec![]), Ok(()));
    assert_eq!(lined(Length::from_units(32_738), vec![]), Err(vec![Rule::Edge]));
    // A zone that ends below the first rip is lifted into it at the middle of the section.
    let low = zone("knot", inch(29, 2), Length::ZERO, inch(1, 16));
    assert_eq!(lined(Length::ZERO, vec![low]), Err(vec![Rule::Zone]));
}

#[test]
fn a_flipped_pair_may_bend_but_the_centre_may_not() {
    let found = rules(|p, _, b| {
        b[0].bow = inch(1, 2);
        pair(p);
    });
    assert_eq!(found, [Rule::Depthwise]);
    // With the spine gone the pair stands: only the demand is short.
    let found = rules(|p, _, b| {
        b[0].bow = inch(1, 2);
        pair(p);
        section(p).rips.remove(0);
    });
    assert_eq!(found, [Rule::Demand]);
}

#[test]
fn json_reads_back_and_says_what_is_wrong() {
    let (job, boards) = (job(), boards());
    let text = json::to_string(&verify(plan(), &job, &boards).unwrap(), &job, &boards);
    let file = plan_text("plan.json", &text, &job, &boards).unwrap();
    // The plan reads back; its proof is a claim, and the plan itself is proved nothing.
    assert_eq!(file.plan, Plan { proof: Proof::AtLeast(0), ..plan() });
    assert_eq!(file.claim.proof(file.plan.cost), Proof::Optimal);
    let bad = text.replace("\"spine\"", "\"spin\"").replace("\"copy\": 1", "\"copy\": \"one\"");
    let found = plan_text("plan.json", &bad, &job, &boards).unwrap_err();
    let paths: Vec<_> = found.0.iter().filter_map(|p| p.column.as_deref()).collect();
    assert_eq!(
        paths,
        ["boards[0].copy", "boards[0].sections[0].rips[0].leaves[0].strips[0].lamination"]
    );
    let short = Shortage { missing: vec![0, 2], needed: vec![1, 2] };
    let none = json::short_json(&NoPlan::Infeasible(short), &job);
    let found = plan_text("plan.json", &none, &job, &boards).unwrap_err();
    assert_eq!(found.0[0].column.as_deref(), Some("proof.status"));
}

proptest! {
    #[test]
    fn any_unit_reads_back_in_inches_and_mm(units in 0_i64..=8_128_000, mm: bool, bound: u64) {
        let (mut job, boards) = (job(), boards());
        job.units = if mm { Units::Mm } else { Units::Inch };
        let mut plan = plan();
        section(&mut plan).to = inch(25, 1) + Length::from_units(units);
        let bound = Proof::AtLeast(i128::from(bound).min(plan.cost.parts - 1));
        plan.proof = bound;
        let text = json::to_string(&verify(plan.clone(), &job, &boards).unwrap(), &job, &boards);
        let file = plan_text("p", &text, &job, &boards).unwrap();
        prop_assert_eq!(file.claim.proof(plan.cost), bound);
        prop_assert!(verify_file(&file, &job, &boards).is_ok());
        prop_assert_eq!(file.plan, Plan { proof: Proof::AtLeast(0), ..plan });
    }

    #[test]
    fn a_shifted_rip_or_strip_is_caught(which in 0_usize..3, by in -254_000_i64..0, along: bool) {
        let mut plan = plan();
        let by = Length::from_units(by);
        if along {
            strip(&mut plan, which).from += by;
            strip(&mut plan, which).to += by;
        } else {
            section(&mut plan).rips[which].near += by;
            section(&mut plan).rips[which].far += by;
        }
        prop_assert!(verify(plan, &job(), &boards()).is_err());
    }

    #[test]
    fn mirrored_end_for_end_the_verdict_stays(at in 0_i64..29, across in 1_i64..9) {
        let (mut plan, job, mut boards) = (plan(), job(), boards());
        boards[0].zones.push(zone("knot", inch(at, 1), Length::ZERO, inch(across, 8)));
        let before = verify(plan.clone(), &job, &boards).is_ok();
        let length = boards[0].length;
        for z in &mut boards[0].zones {
            (z.from, z.to) = (length - z.to, length - z.from);
        }
        let s = section(&mut plan);
        (s.from, s.to) = (length - s.to, length - s.from);
        for t in s.rips.iter_mut().flat_map(|r| &mut r.leaves).flat_map(|l| &mut l.strips) {
            (t.from, t.to) = (length - t.to, length - t.from);
        }
        prop_assert_eq!(verify(plan, &job, &boards).is_ok(), before);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "[\\[\\]{}\":,a-z0-9.eE-]{0,80}") {
        let _ = plan_text("p", &text, &job(), &boards());
    }
}
