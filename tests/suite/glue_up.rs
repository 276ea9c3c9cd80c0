//! The glue-up of whole plans: signs, spares, several blanks, units, what is said.

use crate::fixtures;
use proptest::prelude::*;
use stripwright::glue::{Blank, GlueSettings, GlueUp, Placing, Reach, Side, glue_up};
use stripwright::length::{Length, Units};
use stripwright::lumber::board::Rise;
use stripwright::lumber::{Angle, Board, Slope, Species};
use stripwright::paddle::{Job, Lamination, Paddle, Runs, Shop};
use stripwright::plan::*;
use stripwright::report::text::bench::text_sheet;
use stripwright::shop::bench::{self, BenchSheet};
use stripwright::shop::clamps::{Clamping, spacing};

fn inch(top: i64, bottom: i64) -> Length {
    Length::inch_fraction(top, bottom)
}

fn lamination(name: &str, thickness: Length, runs: Runs, centre: bool) -> Lamination {
    Lamination {
        name: name.into(),
        thickness,
        runs,
        centre,
        species: vec![],
        allow: vec![],
        spares: 0,
    }
}

/// A paddle of a spine, a through pair and a blade lamination: seven strips.
fn job() -> Job {
    Job {
        strips: Vec::new(),
        units: Units::Inch,
        shop: Shop::default(),
        paddles: vec![Paddle {
            name: "long".into(),
            quantity: 1,
            length: inch(84, 1),
            loom: inch(20, 1),
            thickness: inch(11, 8),
            trim: inch(3, 8),
            rings: Angle::FLAT,
            runout: None,
            laminations: vec![
                lamination("spine", inch(1, 4), Runs::Through, true),
                lamination("side", inch(1, 2), Runs::Through, false),
                lamination("blade", inch(7, 8), Runs::Blade, false),
            ],
        }],
    }
}

fn board(name: &str, wood: &str, crook: i64, bow: i64) -> Board {
    let sizes = [inch(96, 1), inch(11, 2), inch(3, 2)];
    let (crook, bow) = (inch(crook, 64), inch(bow, 64));
    Board { crook, bow, ..Board::plain(name, Species::new(wood), sizes) }
}

/// A strip of a plan: board, lamination, turned, flipped with.
type Take = (usize, usize, bool, Option<usize>);

/// A plan that cuts each strip from a copy of its board, and a flipped pair from one.
fn plan(job: &Job, paddles: u32, takes: &[Take]) -> Plan {
    let mut boards: Vec<CutBoard> = Vec::new();
    let mut cut_from: Vec<usize> = Vec::new();
    for (n, &(board, lamination, turned, partner)) in takes.iter().enumerate() {
        let section = section(job, n, lamination, turned, partner);
        match partner.filter(|&p| p < n && takes[p].3 == Some(n)) {
            Some(mate) => {
                let cut = &mut boards[cut_from[mate]];
                cut.sections.push(further(section));
                cut_from.push(cut_from[mate]);
            }
            None => {
                let copy = u32::try_from(n).unwrap() + 1;
                boards.push(CutBoard { board, copy, sections: vec![section] });
                cut_from.push(boards.len() - 1);
            }
        }
    }
    Plan {
        in_hand: Vec::new(),
        cost: Cost { measure: Measure::BoardFeet, parts: 0 },
        proof: Proof::Optimal,
        most: None,
        paddles: vec![paddles],
        boards,
    }
}

fn section(
    job: &Job,
    n: usize,
    lamination: usize,
    turned: bool,
    partner: Option<usize>,
) -> Section {
    let paddle = &job.paddles[0];
    let thickness = paddle.laminations[lamination].rough_thickness(job.shop.dress);
    let depth = paddle.rough_depth(&job.shop);
    let (wide, thick) = if turned { (depth, thickness) } else { (thickness, depth) };
    let from = inch(1, 1);
    let to = from + paddle.rough_length(&paddle.laminations[lamination]);
    let flipped_with = partner.map(|p| format!("S{p}"));
    let strip = Strip { id: format!("S{n}"), paddle: 0, lamination, from, to, flipped_with };
    let leaves = vec![Leaf { thickness: thick, strips: vec![strip] }];
    let near = inch(1, 8);
    Section {
        from,
        to: inch(95, 1),
        edge: Edge::Kept,
        face: Face::Kept,
        rips: vec![Rip { near, far: near + wide, turned, leaves }],
    }
}

/// The section beyond the first of its board.
fn further(mut section: Section) -> Section {
    let by = inch(96, 1);
    (section.from, section.to) = (section.from + by, section.to + by);
    let strip = &mut section.rips[0].leaves[0].strips[0];
    (strip.from, strip.to) = (strip.from + by, strip.to + by);
    section
}

/// Glues a plan up that passes on boards long enough and copies enough.
fn glued(plan: &Plan, job: &Job, boards: &[Board], settings: &GlueSettings) -> GlueUp {
    let long = |b: &Board| Board { length: b.length * 2, quantity: 99, ..b.clone() };
    let ample: Vec<Board> = boards.iter().map(long).collect();
    glue_up(&fixtures::passed(plan, job, &ample), job, boards, settings)
}

fn seven(of: [usize; 7]) -> Vec<Take> {
    let lamination = [0, 1, 1, 2, 2, 2, 2];
    of.iter().zip(lamination).map(|(&b, l)| (b, l, false, None)).collect()
}

fn one(boards: &[Board], takes: &[Take]) -> Blank {
    let job = job();
    let up = glued(&plan(&job, 1, takes), &job, boards, &GlueSettings::default());
    assert_eq!(up.blanks.len(), 1);
    up.blanks[0].clone()
}

/// The bench sheet of a blank of the usual job.
fn sheet(boards: &[Board], blank: &Blank) -> BenchSheet {
    bench::sheet(blank, &[], &job(), boards, &GlueSettings::default())
}

fn warned(boards: &[Board], blank: &Blank, words: &[&str]) -> bool {
    sheet(boards, blank).warnings.iter().any(|w| words.iter().all(|word| w.contains(word)))
}

#[test]
fn strips_lie_in_order_across_the_blank() {
    let b = one(&[board("A", "western redcedar", 0, 0)], &seven([0; 7]));
    let order: Vec<_> = b.places.iter().map(|p| (p.lamination, p.side, p.reach)).collect();
    use {Reach::*, Side::*};
    assert_eq!(
        order,
        [
            (2, Left, BladeA),
            (2, Left, BladeB),
            (1, Left, Through),
            (0, Centre, Through),
            (1, Right, Through),
            (2, Right, BladeA),
            (2, Right, BladeB)
        ]
    );
    // 1/4 + 2·1/2 + 2·7/8 = 3 in, without gaps.
    assert_eq!((b.places[0].left, b.places[6].right), (inch(-3, 2), inch(3, 2)));
    for pair in b.places.windows(2) {
        assert!(pair[1].left == pair[0].right || pair[1].left == pair[0].left);
    }
    // Straight strips lie as they are, and the blank is straight.
    assert!(b.places.iter().all(|p| p.placing == Placing::AsItLies));
    assert!(b.after.depthwise.abs() < 1e-12 && b.after.sidewise.abs() < 1e-12);
    assert_eq!(b.blade, inch(259, 8));
}

/// Turned strips bend sidewise by the board's bow, reversed, and depthwise by its crook; bends
/// that were planed or sawn away are gone; a quarter of the bend over half the length.
#[test]
fn bends_come_through_cuts_and_turns() {
    let job = job();
    let boards = [board("A", "western redcedar", 32, -16)];
    let mut takes = seven([0; 7]);
    takes[1].2 = true;
    let mut p = plan(&job, 1, &takes);
    p.boards[2].sections[0].edge = Edge::Lined;
    p.boards[2].sections[0].face = Face::Flattened;
    let up = glued(&p, &job, &boards, &GlueSettings::default());
    let own = |id: &str| up.blanks[0].places.iter().find(|p| p.strip == id).unwrap().own;
    assert_eq!((own("S0").sidewise, own("S0").depthwise), (inch(1, 2), inch(-1, 4)));
    assert_eq!((own("S1").sidewise, own("S1").depthwise), (inch(1, 4), inch(1, 2)));
    assert_eq!((own("S2").sidewise, own("S2").depthwise), (Length::ZERO, Length::ZERO));
    let blade = up.blanks[0].places.iter().find(|p| p.strip == "S3").unwrap();
    let share = (259.0_f64 / 8.0 / 96.0).powi(2);
    assert!((blade.sidewise.abs() - 0.5 * 0.0254 * share).abs() < 1e-12);
}

/// A flipped pair, bent far beyond what may go in alone, leaves the blank straight.
#[test]
fn a_flipped_pair_cancels() {
    let boards = [board("A", "western redcedar", 0, 0), board("B", "western redcedar", 0, 40)];
    let mut takes = seven([0; 7]);
    takes[1] = (1, 1, false, Some(2));
    takes[2] = (1, 1, false, Some(1));
    let b = one(&boards, &takes);
    assert!(b.after.depthwise.abs() < 1e-12 && b.before.depthwise.abs() > 1e-3);
    let [x, y] = ["S1", "S2"].map(|id| b.places.iter().find(|p| p.strip == id).unwrap());
    assert!((x.depthwise + y.depthwise).abs() < 1e-12 && x.depthwise.abs() > 1e-3);
    assert_eq!(x.left, -y.right);
}

#[test]
fn known_grain_rises_one_way() {
    let mut boards = [board("A", "western redcedar", 20, 3), board("B", "Sitka spruce", -9, 5)];
    boards[0].rise = Some(Rise::Far);
    boards[1].rise = Some(Rise::Marked);
    let b = one(&boards, &seven([0, 1, 0, 1, 1, 0, 0]));
    assert!(b.places.iter().all(|p| p.rise == b.places[0].rise && p.rise != 0));
    assert!(!warned(&boards, &b, &["Grain direction"]));
    // Without the column the sheet says how to read it off.
    boards[1].rise = None;
    let b = one(&boards, &seven([0, 1, 0, 1, 1, 0, 0]));
    assert!(warned(&boards, &b, &["Read it off the strip"]));
}

/// Two blanks, bent strips enough for one bad blank: they are dealt so that neither is.
#[test]
fn no_blank_is_left_bad() {
    let mut job = job();
    job.paddles[0].quantity = 2;
    job.paddles[0].laminations.truncate(2);
    job.paddles[0].laminations[0].centre = false;
    let boards: Vec<Board> =
        [1, 5, 9, 1, 6, 2, 9, 5].iter().map(|&bow| board("A", "white ash", 0, bow)).collect();
    let takes: Vec<Take> = (0..8).map(|b| (b, usize::from(b >= 4), false, None)).collect();
    let up = glued(&plan(&job, 2, &takes), &job, &boards, &GlueSettings::default());
    let worst = |up: &GlueUp| up.blanks.iter().map(|b| b.after.depthwise.abs()).fold(0.0, f64::max);
    // The best sharing by hand: every choice of two and two strips of both laminations.
    let splits = [[0, 1, 2, 3], [0, 2, 1, 3], [0, 3, 1, 2]];
    let mut least = f64::MAX;
    for x in splits {
        for y in splits {
            for swap in [false, true] {
                let half = |h: usize| -> Vec<Take> {
                    let other = if swap { 1 - h } else { h };
                    let pick = |o: [usize; 4], h: usize| [o[2 * h], o[2 * h + 1]];
                    let (a, b) = (pick(x, h), pick(y, other));
                    a.iter()
                        .map(|&n| (n, 0, false, None))
                        .chain(b.iter().map(|&n| (4 + n, 1, false, None)))
                        .collect()
                };
                let bend = |h: usize| {
                    let p = plan(&job, 1, &half(h));
                    worst(&glued(&p, &job, &boards, &GlueSettings::default()))
                };
                least = least.min(bend(0).max(bend(1)));
            }
        }
    }
    assert!(worst(&up) <= least + 2e-5, "{} {least}", worst(&up));
    assert_eq!(up.blanks.len(), 2);
    assert!(up.spares.is_empty());
}

#[test]
fn the_most_bent_strips_stay_over() {
    let mut job = job();
    job.paddles[0].laminations.truncate(2);
    job.paddles[0].laminations[1].spares = 1;
    let boards = [board("A", "basswood", 0, 1), board("B", "basswood", 0, 4)];
    let takes: Vec<Take> =
        vec![(0, 0, false, None), (0, 1, false, None), (1, 1, false, None), (0, 1, false, None)];
    let up = glued(&plan(&job, 1, &takes), &job, &boards, &GlueSettings::default());
    let spares: Vec<&str> = up.spares.iter().map(|s| s.strip.as_str()).collect();
    assert_eq!(spares, ["S2"]);
    assert_eq!(up.blanks[0].places.len(), 3);
    // A flipped pair stays whole: the straighter single strip goes instead.
    let takes: Vec<Take> = vec![
        (0, 0, false, None),
        (1, 1, false, Some(2)),
        (1, 1, false, Some(1)),
        (0, 1, false, None),
    ];
    let up = glued(&plan(&job, 1, &takes), &job, &boards, &GlueSettings::default());
    assert_eq!(up.spares[0].strip, "S3");
}

#[test]
fn what_flips_cannot_straighten_is_said() {
    let boards = [board("A", "western redcedar", 0, 0), board("B", "white ash", 0, 36)];
    let b = one(&boards, &seven([1, 0, 0, 0, 0, 0, 0]));
    let sheet = sheet(&boards, &b);
    let said = sheet.warnings.iter().find(|w| w.contains("depthwise"));
    assert!(
        said.is_some_and(|w| w.contains("more than the 1/16\" allowed as straight")),
        "{said:?}"
    );
}

/// What a shop says of its glue and woods, beside a paddle.
fn settings(text: &str) -> GlueSettings {
    const PADDLE: &str = "[[paddle]]\nname = \"p\"\nlength = 84\nloom = 20\nthickness = 1\n\
                          [[paddle.lamination]]\nname = \"a\"\nthickness = 1\nruns = \"through\"\n";
    stripwright::read::paddles_text("p", &format!("{text}{PADDLE}")).unwrap().glue
}

#[test]
fn an_unknown_wood_leaves_out_only_its_figures() {
    let boards = [board("A", "bog oak", 8, 4), board("B", "western red cedar", 8, 4)];
    let b = one(&boards, &seven([0, 1, 1, 1, 1, 1, 1]));
    assert!(b.equal_modulus);
    assert_eq!(b.figures.glued, None);
    assert_eq!(b.figures.loom_depthwise, None);
    assert!(warned(&boards, &b, &["bog oak", "equally stiff"]));
    // One line in paddles.toml makes up for it.
    let text = "[[species]]\nname = \"Bog Oak\"\ndensity = 800\nmodulus = 11000\n";
    let settings = settings(text);
    let job = job();
    let up = glued(&plan(&job, 1, &seven([0, 1, 1, 1, 1, 1, 1])), &job, &boards, &settings);
    assert!(!up.blanks[0].equal_modulus);
    assert!(up.blanks[0].figures.glued.is_some());
}

/// Cedar paddles of 83 to 90 in weigh 26 to 32 oz, spruce about 36 (paddlers' reports).
#[test]
fn weights_as_paddlers_report_them() {
    let ounces = |wood: &str| {
        let b = one(&[board("A", wood, 0, 0)], &seven([0; 7]));
        assert!(b.figures.balance.unwrap().abs() < 1e-9);
        assert!(b.figures.right_less_left.unwrap().abs() < 1e-9);
        b.figures.paddle.unwrap() / 0.028_349_523
    };
    let cedar = ounces("western redcedar");
    assert!((22.0..32.0).contains(&cedar), "{cedar}");
    assert!((28.0..38.0).contains(&ounces("Sitka spruce")), "{}", ounces("Sitka spruce"));
    // The blank by hand: (1/4 + 1)·84 3/4 + 1 3/4·2·32 3/8 in² across 1 7/16 in deep, 358.4 kg/m³.
    let b = one(&[board("A", "western redcedar", 0, 0)], &seven([0; 7]));
    let cubic = (1.25 * 84.75 + 1.75 * 2.0 * 32.375) * 1.4375;
    let hand = cubic * 0.0254_f64.powi(3) * 358.4;
    assert!((b.figures.glued.unwrap() - hand).abs() < 1e-9);
}

/// Common practice keeps a solid loom to about 27 to 28 lb/ft³: white ash weighs 42, cedar 22.
#[test]
fn a_heavy_loom_is_warned_of() {
    let heavy = |wood: &str| {
        let boards = [board("A", wood, 0, 0)];
        warned(&boards, &one(&boards, &seven([0; 7])), &["27 to 28 lb/ft³"])
    };
    assert!(heavy("white ash"));
    assert!(!heavy("western redcedar"));
}

#[test]
fn a_stiff_spine_is_seen_against_the_solid_loom() {
    let text = "[glue]\nreference_width = \"1 1/4\"\nreference_thickness = \"1 3/8\"\n";
    let settings = settings(text);
    let job = job();
    let boards = [board("A", "western redcedar", 0, 0), board("B", "white ash", 0, 0)];
    let up = glued(&plan(&job, 1, &seven([1, 0, 0, 0, 0, 0, 0])), &job, &boards, &settings);
    let f = &up.blanks[0].figures;
    let r = f.reference.as_ref().unwrap();
    // Depthwise: (12 000·1/4 + 7700·1)/(7700·5/4); sidewise: 1 + (12 000/7700 − 1)/125.
    let deep = (12_000.0 * 0.25 + 7700.0) / (7700.0 * 1.25);
    let side = 1.0 + (12_000.0 / 7700.0 - 1.0) / 125.0;
    assert!((f.loom_depthwise.unwrap() / r.depthwise - deep).abs() < 1e-9);
    assert!((f.loom_sidewise.unwrap() / r.sidewise - side).abs() < 1e-9);
}

#[test]
fn glue_joints_and_area_by_hand() {
    let b = one(&[board("A", "western redcedar", 0, 0)], &seven([0; 7]));
    // Two joints beside the spine, four of blade strips; 1 7/16 in deep.
    let inches = (2.0 * 84.75 + 4.0 * 32.375) * 1.4375;
    let s = GlueSettings::default();
    let c = Clamping::of(&b, &s, &s.glue, Units::Inch);
    assert_eq!(c.joints, 6);
    assert!((c.area / 0.0254_f64.powi(2) - inches).abs() < 1e-6);
    assert!((c.glue - c.area * 0.00015 * 1.25).abs() < 1e-12);
    // 32 3/8 by 1 7/16 in at 100 psi are 4,654 lb: 7 clamps of 700 lb on a blade, and 20 by
    // 1 7/16 in are 2,875 lb: 5 on the loom.
    let clamps: Vec<usize> = c.stretches.iter().map(|s| s.places.len()).collect();
    assert_eq!((clamps, c.bar_clamps()), (vec![7, 5], 19));
    assert!((c.stretches[0].force / 4.448_22 - 4653.9 / 7.0).abs() < 0.1);
    assert_eq!(spacing(inch(1, 8)), inch(5, 1));
    assert_eq!(spacing(inch(1, 2)), inch(13, 2));
    assert_eq!(spacing(inch(2, 1)), inch(8, 1));
}

#[test]
fn the_sheet_wraps_and_says_the_cautions() {
    let boards = [board("A", "western redcedar", 5, 3)];
    let b = one(&boards, &seven([0; 7]));
    let sheet = sheet(&boards, &b);
    for width in [40, 80, 160] {
        let text = text_sheet(&sheet, width);
        for line in text.lines() {
            assert!(textwrap::core::display_width(line) <= width, "{width}: {line}");
        }
        for word in ["witness mark", "Cautions", "open", "string", "15 to 30 min", "2 h"] {
            assert!(text.contains(word), "{word}");
        }
    }
    assert_eq!(sheet.stack.rows.len(), 5);
}

/// A strip of western redcedar 3/8 in thick, 1 7/16 deep and 32 3/8 in long that bends 3/4 in takes
/// by hand 384·1,116,790·(0.375·1.4375³/12)·0.75/(5·32.375³) = 176 lb. Below that, no warning.
#[test]
fn what_a_short_bent_strip_takes_to_hold_is_said() {
    let mut narrow = job();
    narrow.paddles[0].laminations[2].thickness = inch(3, 8);
    let boards = [board("A", "western redcedar", 0, 0)];
    let p = plan(&narrow, 1, &seven([0; 7]));
    let mut blank = glued(&p, &narrow, &boards, &GlueSettings::default()).blanks.remove(0);
    let said = |blank: &Blank, s: &GlueSettings| {
        text_sheet(&bench::sheet(blank, &[], &narrow, &boards, s), 200)
    };
    assert!(!said(&blank, &GlueSettings::default()).contains("must be held"));
    blank.places[0].depthwise = 0.75 * 0.0254;
    let text = said(&blank, &GlueSettings::default());
    let row = text.lines().skip_while(|l| !l.contains("must be held flat")).nth(2).unwrap();
    assert_eq!(
        row.split("  ").map(str::trim).filter(|c| !c.is_empty()).collect::<Vec<_>>(),
        ["1A", "S3", "3/4\"", "32 3/8\"", "176 lb"],
        "{text}"
    );
    assert!(text.contains("more than the 50 lb that blocks and hands hold: S3 176 lb."), "{text}");
    // Clamps and hands that hold more: the force stands, the warning doesn't.
    let strong = settings("[glue]\nhold = 200\n");
    let text = said(&blank, &strong);
    assert!(text.contains("176 lb") && !text.contains("that blocks and hands hold"));
}

/// A straight-lined board of 96 in with a crook of 1/2 in: at x the fibres slope by
/// 4·(1/2)/96²·|x0 + x1 − 2x|, for a strip from 1 in in a section from 1 to 95 in by 94/4608, 1:49.
/// With 1:20 measured √(1/400 + 1/49²) makes 1:18.5 (ANC-19 §2.3022).
#[test]
fn straightening_adds_to_the_slope_of_grain() {
    let mut job = job();
    job.paddles[0].runout = Some(Slope { rise: 1, run: 19 });
    let mut boards = [board("A", "western redcedar", 32, 0)];
    let mut p = plan(&job, 1, &seven([0; 7]));
    for cut in &mut p.boards {
        for rip in &mut cut.sections[0].rips {
            // Lining takes width at the reference edge; the strip lies beyond it.
            (rip.near, rip.far) = (rip.near + inch(1, 1), rip.far + inch(1, 1));
        }
        cut.sections[0].edge = Edge::Lined;
    }
    let s = GlueSettings::default();
    for (measured, told, warned) in [
        (None, "? and 1:49 from straightening", false),
        (Some(Slope { rise: 1, run: 20 }), "1:18 (1:20 measured, 1:49 from straightening)", true),
        (Some(Slope { rise: 1, run: 25 }), "1:22 (1:25 measured, 1:49 from straightening)", false),
    ] {
        boards[0].runout = measured;
        let blank = glued(&p, &job, &boards, &s).blanks.remove(0);
        let text = text_sheet(&bench::sheet(&blank, &[], &job, &boards, &s), 300);
        assert!(text.contains(told), "{told}\n{text}");
        assert_eq!(text.contains("what straightening a bent board adds"), warned, "{text}");
    }
}

/// A plan glued up for another job than its own: no panic, and only whole blanks.
#[test]
fn strips_that_make_no_whole_paddle_make_no_blank() {
    let job = job();
    let boards = [board("A", "x", 1, 1)];
    let mut more = job.clone();
    more.paddles[0].laminations.push(lamination("core", inch(1, 4), Runs::Through, false));
    let ample = [Board { quantity: 9, ..boards[0].clone() }];
    let seven = fixtures::passed(&plan(&job, 1, &seven([0; 7])), &job, &ample);
    let settings = GlueSettings::default();
    assert!(glue_up(&seven, &more, &boards, &settings).blanks.is_empty());
    assert!(glue_up(&seven, &job, &[], &settings).blanks.is_empty());
    assert_eq!(glue_up(&seven, &job, &boards, &settings).blanks.len(), 1);
}

fn bends() -> impl Strategy<Value = Vec<(i64, i64, Option<bool>, usize)>> {
    proptest::collection::vec((-40_i64..40, -4_i64..5, any::<Option<bool>>(), 0_usize..3), 7)
}

fn made(bends: &[(i64, i64, Option<bool>, usize)]) -> Vec<Board> {
    bends
        .iter()
        .map(|&(crook, bow, far, wood)| {
            let wood = ["western redcedar", "white ash", "Sitka spruce"][wood];
            let rise = far.map(|f| if f { Rise::Far } else { Rise::Marked });
            Board { rise, ..board("A", wood, crook, bow) }
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Flipping never makes the foretold depthwise bend worse than all as they lie.
    #[test]
    fn flipping_never_bends_more(b in bends()) {
        let blank = one(&made(&b), &seven([0, 1, 2, 3, 4, 5, 6]));
        prop_assert!(blank.after.depthwise.abs() <= blank.before.depthwise.abs() + 1e-5);
        prop_assert!(blank.proved);
    }

    /// Every bend of every board the other way, and the blank comes out the mirror image: as
    /// straight as before.
    #[test]
    fn a_mirror_image_is_as_good(b in bends()) {
        let turned: Vec<_> = b.iter().map(|&(c, w, r, s)| (-c, -w, r, s)).collect();
        let all = seven([0, 1, 2, 3, 4, 5, 6]);
        let (one, two) = (one(&made(&b), &all), one(&made(&turned), &all));
        prop_assert!((one.after.depthwise.abs() - two.after.depthwise.abs()).abs() <= 1e-5);
        prop_assert!((one.after.sidewise.abs() - two.after.sidewise.abs()).abs() <= 1e-5);
    }

    /// The units of the job change the words, not the blank.
    #[test]
    fn units_do_not_matter(b in bends()) {
        let boards = made(&b);
        let inch = job();
        let mm = Job { units: Units::Mm, ..job() };
        let p = plan(&inch, 1, &seven([0, 1, 2, 3, 4, 5, 6]));
        let up = |job: &Job| glued(&p, job, &boards, &GlueSettings::default()).blanks.remove(0);
        let (one, two) = (up(&inch), up(&mm));
        prop_assert_eq!(&one.places, &two.places);
        prop_assert_eq!(&one.after, &two.after);
        prop_assert_eq!(&one.figures, &two.figures);
        let s = GlueSettings::default();
        let clamps = |blank: &Blank, units| {
            let c = Clamping::of(blank, &s, &s.glue, units);
            (c.joints, c.bar_clamps(), c.small_clamps())
        };
        prop_assert_eq!(clamps(&one, Units::Inch), clamps(&two, Units::Mm));
    }
}
