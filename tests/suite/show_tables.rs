//! Tables, totals and cut list of plans made by hand.

use crate::fixtures::passed;
use stripwright::length::{Length, Units};
use stripwright::lumber::{Angle, Board, Grain, Species, Zone, ZoneKind};
use stripwright::paddle::{Job, Lamination, Paddle, Runs, Shop};
use stripwright::plan::*;
use stripwright::report::{csv, text::tables};
use stripwright::shop::totals::{Totals, shares, totals};

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
        species: vec![],
        allow: vec![],
        spares: 0,
    };
    Job {
        strips: Vec::new(),
        units: Units::Inch,
        shop: Shop {
            far_edge: Length::ZERO,
            dress: Length::ZERO,
            plane: Length::ZERO,
            resaw_kerf: Some(inch(1, 16)),
            ..Shop::default()
        },
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

fn board(name: &str) -> Board {
    let sizes = [inch(48, 1), inch(2, 1), inch(5, 4)];
    let grain = Some(Grain::Rings(Angle::VERTICAL));
    Board { grain, ..Board::plain(name, Species::new("Spruce"), sizes) }
}

fn strip(id: &str, lamination: usize, from: Length, with: Option<&str>) -> Strip {
    Strip {
        id: id.into(),
        paddle: 0,
        lamination,
        from,
        to: from + inch(24, 1),
        flipped_with: with.map(Into::into),
    }
}

fn rip(near: Length, strip: Strip) -> Rip {
    Rip {
        near,
        far: near + inch(1, 4),
        turned: false,
        leaves: vec![Leaf { thickness: inch(1, 1), strips: vec![strip] }],
    }
}

/// Three rips from a section of 26 in; the second is held off by 1/2 in.
fn plan(edge: Edge, face: Face, boards: &[Board]) -> Plan {
    let from = inch(1, 1);
    Plan {
        in_hand: Vec::new(),
        cost: Cost { measure: Measure::BoardFeet, parts: boards[0].volume() },
        proof: Proof::Optimal,
        most: None,
        paddles: vec![1],
        boards: vec![CutBoard {
            board: 0,
            copy: 1,
            sections: vec![Section {
                from,
                to: inch(27, 1),
                edge,
                face,
                rips: vec![
                    rip(inch(1, 8), strip("B1.1", 0, from, None)),
                    rip(inch(7, 8), strip("B1.2", 1, from, Some("B1.3"))),
                    rip(inch(10, 8), strip("B1.3", 1, from, Some("B1.2"))),
                ],
            }],
        }],
    }
}

/// Cubic inches as cubed units of length, given in 1/128.
fn cubic(parts: i128) -> i128 {
    let inch = i128::from(Length::INCH.units());
    parts * inch * inch * inch / 128
}

fn checked(plan: &Plan, boards: &[Board]) -> Totals {
    let sum = totals(&passed(plan, &job(), boards), &job(), boards);
    let parts: i128 = sum.parts().iter().map(|p| p.1).sum();
    assert_eq!(parts, sum.wood, "the parts are the whole");
    assert_eq!(sum.wood, boards[0].volume());
    assert!(sum.parts().iter().all(|p| p.1 >= 0), "{sum:?}");
    sum
}

/// Worked by hand for a board of 48 × 2 × 1 1/4.
#[test]
fn every_cubic_inch_has_its_place() {
    let boards = [board("B1")];
    let sum = checked(&plan(Edge::Kept, Face::Kept, &boards), &boards);
    assert_eq!(sum.count, 3);
    // 3 strips of 24 × 1/4 × 1.
    assert_eq!(sum.strips, cubic(18 * 128));
    // Two crosscuts 1/8 × 2 × 1 1/4, of which the first lies in the board end; four rips of
    // 26 × 1/8 × 1 1/4; three strip ends of 1/8 × 1/4 × 1.
    assert_eq!(sum.kerf, cubic(2 * 40 + 4 * 520 + 3 * 4));
    // 1/4 in of thickness off three rips of 26 × 1/4.
    assert_eq!(sum.planed, cubic(3 * 208));
    // Board ends of 7/8 (beside the kerf) and 1 by 2 × 1 1/4; the edge, 1/8 × 26 × 1 1/4.
    assert_eq!(sum.edges, cubic(280 + 320 + 520));
    assert_eq!(sum.defect, 0);
    let longest = sum.best.unwrap();
    // The section is crosscut where its last strip ends, so what lies beside the rips is no longer.
    assert_eq!((longest.from, longest.length), (inch(1, 1), inch(24, 1)));
    assert_eq!(longest.width, inch(3, 8));
}

#[test]
fn zones_in_the_waste_count_once_and_zones_in_strips_not_at_all() {
    let mut boards = [board("B1")];
    let zone = |from, to, near, far| Zone { kind: ZoneKind::new("sap"), from, to, near, far };
    // One inch square twice over, off the section; one across a strip and nothing else.
    boards[0].zones = vec![
        zone(inch(30, 1), inch(31, 1), inch(0, 1), inch(1, 1)),
        zone(inch(30, 1), inch(31, 1), inch(0, 1), inch(1, 1)),
        zone(inch(5, 1), inch(6, 1), inch(1, 8), inch(3, 8)),
    ];
    let sum = checked(&plan(Edge::Kept, Face::Kept, &boards), &boards);
    assert_eq!(sum.defect, cubic(160));
}

#[test]
fn wood_whose_grain_serves_nothing_is_defect() {
    let mut boards = [board("B1")];
    // The pith midway in a board 2 in wide: upright serves from 5/8 in off it, turned never.
    boards[0].grain = Some(Grain::Pith { across: inch(1, 1), depth: inch(5, 8) });
    let sum = checked(&plan(Edge::Kept, Face::Kept, &boards), &boards);
    // Of the unused length, 27 1/8 to 47: 1 1/4 × 1 1/4 in section; in the ripped section the
    // offcut from 1/2 to 3/4 and from 1 5/8 on, which is beyond it; beside strips 1 7/8 in of
    // each of the two rips within it.
    let unused = 159 * 25;
    let waste = 26 * 40;
    let beside = 15 * 4 * 2;
    assert_eq!(sum.defect, cubic(unused + waste + beside));
}

#[test]
fn bends_lose_width_and_thickness() {
    let mut boards = [board("B1")];
    for crook in [inch(1, 4), inch(-1, 4)] {
        boards[0].crook = crook;
        boards[0].bow = inch(1, 8);
        let mut plan = plan(Edge::Lined, Face::Flattened, &boards);
        let lost = boards[0].crook().loss(inch(26, 1));
        if crook > Length::ZERO {
            for rip in &mut plan.boards[0].sections[0].rips {
                rip.near += lost;
                rip.far += lost;
            }
        }
        let sum = checked(&plan, &boards);
        let slab = i128::from(inch(26, 1).units()) * i128::from(inch(5, 4).units());
        let straight = cubic(280 + 320 + 520);
        assert_eq!(sum.edges, straight + i128::from(lost.units()) * slab);
    }
}

#[test]
fn shares_always_add_up() {
    for parts in [vec![1, 1, 1], vec![0, 7, 0, 13, 1], vec![1; 7], vec![i128::MAX / 2000, 1, 3]] {
        assert_eq!(shares(&parts).iter().sum::<u32>(), 1000, "{parts:?}");
    }
    assert_eq!(shares(&[2, 1]), [667, 333]);
    assert_eq!(shares(&[0, 0]), [0, 0]);
}

#[test]
fn nothing_is_wider_than_the_terminal() {
    let mut boards = [board("北の杉板")];
    boards[0].crook = inch(1, 4);
    let plan = plan(Edge::Kept, Face::Kept, &boards);
    for width in 24..160 {
        let text = tables::plan(&passed(&plan, &job(), &boards), &job(), &boards, width);
        for line in text.lines() {
            assert!(textwrap::core::display_width(line) <= width, "{width}: {line}");
        }
        for id in ["B1.1", "B1.2", "B1.3"] {
            assert!(text.contains(id), "{width}: {id}");
        }
    }
}

#[test]
fn names_move_no_cursor_and_are_no_formula() {
    let mut boards = [board("=1+1\u{1b}[31m")];
    boards[0].quantity = 1;
    let plan = plan(Edge::Kept, Face::Kept, &boards);
    assert!(
        !tables::plan(&passed(&plan, &job(), &boards), &job(), &boards, 100).contains('\u{1b}')
    );
    let csv = csv::cuts(&passed(&plan, &job(), &boards), &job(), &boards);
    let mut lines = csv.lines();
    assert_eq!(
        lines.next(),
        Some(
            "board,copy,section,section_from,section_to,edge,face,rip,near,far,lies,leaf,\
             leaf_thickness,strip,from,to,paddle,lamination,flipped_with,\
             rough_length,rough_thickness,rough_depth"
        )
    );
    let first = lines.next().unwrap();
    assert!(first.starts_with("'=1+1"), "{first}");
    assert!(!first.contains('\u{1b}'), "{first}");
    assert_eq!(lines.count(), 2);
}

/// 0.3189 in (8.1 mm) is between 20/64 and 21/64: the cut list says the larger, as the page does,
/// and so for what a saw is set to in tenths of a millimetre.
#[test]
fn a_rough_size_in_the_cut_list_is_rounded_up() {
    use crate::fixtures::{inch, metric};
    let (mut job, boards, plan) = metric();
    let last = |csv: &str, column: usize| -> Vec<String> {
        let rows = csv.lines().skip(1);
        rows.map(|r| r.split(',').nth(column).unwrap().to_owned()).collect()
    };
    job.units = Units::Inch;
    let of = |plan: &Plan, job: &Job| csv::cuts(&passed(plan, job, &boards), job, &boards);
    let text = of(&plan, &job);
    assert!(last(&text, 20).contains(&"21/64".to_owned()), "{text}");
    // 36 mm deep is 1.4173 in, above 90/64.
    assert!(last(&text, 21).iter().all(|d| d == "1 27/64"), "{text}");
    // Every strip of the plan, its sizes against the plan's to the last unit.
    for units in [Units::Inch, Units::Mm] {
        job.units = units;
        let text = of(&plan, &job);
        let mut rows = text.lines().skip(1);
        for cut in &plan.boards {
            for rip in cut.sections.iter().flat_map(|s| &s.rips) {
                for leaf in &rip.leaves {
                    for strip in &leaf.strips {
                        let row: Vec<&str> = rows.next().unwrap().split(',').collect();
                        let wide = rip.far - rip.near;
                        let (thick, deep) = if rip.turned {
                            (leaf.thickness, wide)
                        } else {
                            (wide, leaf.thickness)
                        };
                        let step = if units == Units::Mm { 8_000 } else { inch("1/64").units() };
                        for (shown, real) in [
                            (row[12], leaf.thickness),
                            (row[19], strip.to - strip.from),
                            (row[20], thick),
                            (row[21], deep),
                        ] {
                            let shown = Length::parse(shown, units).unwrap();
                            let over = (shown - real).units();
                            assert!((0..step).contains(&over), "{shown:?} for {real:?}");
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn a_wasted_stretch_is_its_own_cut() {
    let boards = [board("B1")];
    let text = tables::plan(
        &passed(&plan(Edge::Kept, Face::Kept, &boards), &job(), &boards),
        &job(),
        &boards,
        140,
    );
    let waste: Vec<&str> = text.lines().filter(|l| l.contains("waste")).collect();
    assert_eq!(waste.len(), 1, "{text}");
    assert!(waste[0].contains("1/4") && waste[0].contains("1/2 to 3/4"), "{}", waste[0]);
    assert!(text.contains("Wide is the width that a rip is sawn to"), "{text}");
}

/// 102 over a bound of 100 is 2 % above it (and 1.96 % of itself).
#[test]
fn what_is_proved_is_never_flattered() {
    let boards = [board("B1")];
    let mut plan = plan(Edge::Kept, Face::Kept, &boards);
    assert_eq!(
        tables::proved(&plan),
        "Wood opened 0.83 board feet. Proved: no choice of these boards costs less."
    );
    plan.cost = Cost { measure: Measure::Price, parts: 1_020_000 };
    plan.proof = Proof::AtLeast(1_000_000);
    assert_eq!(
        tables::proved(&plan),
        "Price 102.00. Proved: no choice costs less than 100.00, so this one is at most 2.00 % \
         above the least."
    );
    plan.proof = Proof::AtLeast(1_019_999);
    assert!(tables::proved(&plan).contains("at most 0.01 % above"));
    plan.proof = Proof::AtLeast(0);
    assert_eq!(
        tables::proved(&plan),
        "Price 102.00. Nothing is proved of the cost: no bound was worked out."
    );
}

/// A plan that a limit or a hand cut short looked like one that had ended by itself.
#[test]
fn a_stopped_search_is_told_where_more_of_it_could_help() {
    use stripwright::plan::Most;
    use stripwright::report::text::proof::stopped;
    let mut plan = plan(Edge::Kept, Face::Kept, &[board("B1")]);
    plan.cost = Cost { measure: Measure::Price, parts: 1_020_000 };
    plan.proof = Proof::AtLeast(1_000_000);
    assert!(stopped(&plan, true).unwrap().starts_with("You stopped the search"));
    assert!(stopped(&plan, false).unwrap().starts_with("The time limit stopped the search"));
    plan.proof = Proof::AtLeast(1_020_000);
    assert_eq!(stopped(&plan, true), None);
    plan.most = Some(Most { made: 1, at_most: 2 });
    assert!(stopped(&plan, false).is_some());
    plan.most = Some(Most { made: 2, at_most: 2 });
    assert_eq!(stopped(&plan, false), None);
}
