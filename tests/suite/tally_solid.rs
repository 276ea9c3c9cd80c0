//! Offcuts as solids: nothing that a strip or a kerf took is in one, none overlaps another, and
//! none gives a strip that touches a zone of its board. Worked out here from the plan and the
//! rules alone. Boards are invented.

use crate::fixtures::Dice;
use stripwright::choose::{Aim, Options, plan};
use stripwright::glue::{GlueSettings, glue_up};
use stripwright::length::{Length, Units};
use stripwright::lumber::{Board, Grain, Zone};
use stripwright::paddle::{Job, Margin, strip_kinds};
use stripwright::plan::{Edge, Face, Section};
use stripwright::read::{List, boards_text, check_boards, job_text};
use stripwright::shop::left::{BOARD_END, Offcut, offcuts};
use stripwright::shop::tally::{Done, Left};
use stripwright::verify::{VerifiedPlan, verify};

const SHOP: &str = r#"
[shop]
curve_kerf = "3/32"
curve_dress = "1/32"
resaw_kerf = "1/16"
board_end = "1/2"
min_rip = 6
pair = "1/2"
pull = 1
straight = "1/8"
"#;
const MARGIN: &str = r#"
[shop.margin]
knot = { along = "3/8", across = "1/8" }
split = { along = "1/4", across = 0 }
"#;
const PADDLE: &str = r#"
[[paddle]]
name = "small"
quantity = 1
length = 26
loom = 8
trim = "1/4"
thickness = 1
rings = 0
[[paddle.lamination]]
name = "spine"
thickness = "1/4"
runs = "through"
centre = true
[[paddle.lamination]]
name = "side"
thickness = "3/8"
runs = "through"
spares = 1
[[paddle.lamination]]
name = "edge"
thickness = "5/16"
runs = "blade"
allow = ["sap"]
"#;

fn job_of(dice: &mut Dice) -> Job {
    let margin = if dice.roll(2) == 0 { MARGIN } else { "" };
    let mut job = job_text("p.toml", &format!("{SHOP}{margin}{PADDLE}")).unwrap();
    if dice.roll(3) == 0 {
        job.shop.curve_kerf = None;
    }
    if dice.roll(3) == 0 {
        job.shop.resaw_kerf = None;
    }
    job
}

/// Boards of every kind: crooked, bowed, thick enough to be resawn, with zones.
fn boards_of(dice: &mut Dice) -> Vec<Board> {
    let mut csv = "board,species,length,width,thickness,crook,bow,pith_across,pith_depth,zone,from,to,near,far\n"
        .to_owned();
    for b in 0..4 {
        let length = 30 + dice.roll(40);
        let (width, thick) = (20 + dice.roll(24), [10, 19, 20, 28][dice.roll(4) as usize]);
        let bend = |dice: &mut Dice| ["0", "1/4", "-1/4", "3/16", "-1/8"][dice.roll(5) as usize];
        let (crook, bow) = (bend(dice), bend(dice));
        csv += &format!("b{b},fir,{length},{width}/8,{thick}/16,{crook},{bow},1,-2,,,,,\n");
        for _ in 0..dice.roll(4) {
            let kind = ["knot", "split", "sap", "check"][dice.roll(4) as usize];
            let from = dice.roll(length - 4);
            let (to, near) = (from + 1 + dice.roll(3), dice.roll(width - 4));
            let far = near + 1 + dice.roll(4);
            csv += &format!("b{b},,,,,,,,,{kind},{from},{to},{near}/8,{far}/8\n");
        }
    }
    boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap_or_else(|p| panic!("{p}\n{csv}"))
}

/// A verified plan of some job, if these boards give one.
fn planned(seed: u64) -> Option<(Job, Vec<Board>, VerifiedPlan)> {
    let mut dice = Dice(seed);
    let job = job_of(&mut dice);
    let boards = boards_of(&mut dice);
    let found = plan(&job, &boards, &Options::default()).ok()?;
    let plan = verify(found, &job, &boards).unwrap();
    Some((job, boards, plan))
}

/// Inches, for what is compared with a tolerance.
fn inches(length: Length) -> f64 {
    length.to_f64(Units::Inch)
}

/// How far the reference edge stands off the chord of a piece at `x`; + into the board.
fn lift(crook: Length, length: Length, (x0, x1): (f64, f64), x: f64) -> f64 {
    4.0 * inches(crook) / inches(length).powi(2) * (x - x0) * (x1 - x)
}

fn lift_in(board: &Board, section: Option<&Section>, x: f64) -> f64 {
    match section {
        Some(s) if s.edge == Edge::Lined => {
            lift(board.crook, board.length, (inches(s.from), inches(s.to)), x)
        }
        _ => 0.0,
    }
}

/// A box: along, across, down.
#[derive(Clone, Debug)]
struct Solid {
    name: String,
    spans: [(Length, Length); 3],
}

impl Solid {
    fn meets(&self, other: &Solid) -> bool {
        self.spans.iter().zip(&other.spans).all(|(a, b)| a.0 < b.1 && b.0 < a.1)
    }

    fn volume(&self) -> i128 {
        self.spans.iter().map(|(a, b)| i128::from((*b - *a).units())).product()
    }
}

/// What a section's strips and kerfs take, as far as an offcut of the same section may know.
fn taken(job: &Job, board: &Board, section: &Section) -> Vec<Solid> {
    let shop = &job.shop;
    let curved = section.edge == Edge::Kept && board.crook != Length::ZERO;
    let kerf = if curved { shop.curve_kerf.unwrap() } else { shop.rip_kerf };
    let all = (Length::ZERO, board.thickness);
    let mut out = Vec::new();
    for rip in &section.rips {
        let long = (section.from, section.to);
        for (name, side) in [
            ("kerf before", (rip.near - kerf, rip.near)),
            ("kerf after", (rip.far, rip.far + kerf)),
        ] {
            out.push(Solid { name: name.into(), spans: [long, side, all] });
        }
        let wide = (rip.near, rip.far);
        let mut top = Length::ZERO;
        for (l, leaf) in rip.leaves.iter().enumerate() {
            let deep = (top, top + leaf.thickness);
            for strip in &leaf.strips {
                let spans = [(strip.from, strip.to), wide, deep];
                out.push(Solid { name: strip.id.clone(), spans });
                let cross = shop.crosscut_kerf;
                for ends in [(strip.from - cross, strip.from), (strip.to, strip.to + cross)] {
                    out.push(Solid { name: "crosscut".into(), spans: [ends, wide, deep] });
                }
            }
            top = deep.1;
            if l + 1 < rip.leaves.len() {
                let kerf = (top, top + shop.resaw_kerf.unwrap());
                out.push(Solid { name: "resaw".into(), spans: [long, wide, kerf] });
                top = kerf.1;
            }
        }
    }
    out
}

fn solid(offcut: &Offcut) -> Solid {
    let Offcut { board, from, near, top, .. } = offcut;
    let spans = [
        (*from, *from + board.length),
        (*near, *near + board.width),
        (*top, *top + board.thickness),
    ];
    Solid { name: board.name.clone(), spans }
}

/// The thickness that a section has, once flat.
fn thickness(board: &Board, section: &Section) -> f64 {
    let share = inches(section.to - section.from) / inches(board.length);
    match section.face {
        Face::Kept => inches(board.thickness),
        Face::Flattened => inches(board.thickness) - inches(board.bow).abs() * share * share,
    }
}

#[test]
fn offcuts_never_overlap_strips_kerfs_or_one_another() {
    let (mut seen, mut kinds) = (0, [0; 4]);
    for seed in 0..60 {
        let Some((job, boards, plan)) = planned(seed) else { continue };
        let all = offcuts(&plan, &job, &boards, |_| true);
        seen += all.len();
        check_boards(&all.iter().map(|o| o.board.clone()).collect::<Vec<_>>()).unwrap();
        for (index, cut) in plan.boards.iter().enumerate() {
            let board = &boards[cut.board];
            let mine: Vec<&Offcut> = all.iter().filter(|o| o.index == index).collect();
            for (n, offcut) in mine.iter().enumerate() {
                let shape = solid(offcut);
                let [(x0, x1), (y0, y1), (z0, z1)] = shape.spans;
                assert!(x0 >= Length::ZERO && x1 <= board.length, "{seed} {shape:?}");
                assert!(offcut.board.offcut && offcut.board.species == board.species);
                // It is good for a strip: so wide between what is kept off the board's own edges.
                let own = job.shop.at(&offcut.board);
                let usable = offcut.board.width - own.edge - own.far_edge;
                let serves = strip_kinds(&job).iter().any(|k| {
                    let thick = offcut.board.thickness;
                    (thick >= k.depth && usable >= k.thickness)
                        || (thick >= k.thickness && usable >= k.depth)
                });
                // What is rounded down may fall short of it by less than 1/64 in.
                let rounded = board.crook != Length::ZERO || board.bow != Length::ZERO;
                assert!(serves || rounded, "{seed}: {shape:?}");
                let other_section = |o: &&&Offcut| o.section == offcut.section;
                for other in mine[..n].iter().filter(other_section) {
                    assert!(!shape.meets(&solid(other)), "{seed}: {shape:?} {:?}", solid(other));
                }
                let Some(s) = offcut.section else {
                    kinds[0] += 1;
                    assert_eq!((y0, y1, z1), (Length::ZERO, board.width, board.thickness));
                    // Off everything along the board, with a kerf between.
                    let kerf = job.shop.crosscut_kerf;
                    for section in &cut.sections {
                        for strip in
                            section.rips.iter().flat_map(|r| &r.leaves).flat_map(|l| &l.strips)
                        {
                            let clear = x1 <= strip.from - kerf || strip.to + kerf <= x0;
                            assert!(clear, "{seed}: {shape:?} {strip:?}");
                        }
                    }
                    for other in mine.iter().filter(|o| o.section.is_some()) {
                        let [(a, b), ..] = solid(other).spans;
                        assert!(x1 + kerf <= a || b + kerf <= x0, "{seed}: {shape:?}");
                    }
                    continue;
                };
                let section = &cut.sections[s];
                let of_rip = offcut.board.edge == Some(Length::ZERO)
                    && offcut.board.far_edge == Some(Length::ZERO);
                kinds[if !of_rip {
                    1
                } else if z0 == Length::ZERO {
                    2
                } else {
                    3
                }] += 1;
                for solid in taken(&job, board, section) {
                    assert!(!shape.meets(&solid), "{seed}: {shape:?} {solid:?}");
                }
                assert!(section.from <= x0 && x1 <= section.to);
                // It is wood: its sides lie between the board's edges all along it.
                for step in 0..=40 {
                    let x = inches(x0) + (inches(x1) - inches(x0)) * f64::from(step) / 40.0;
                    let edge = lift_in(board, Some(section), x);
                    assert!(inches(y0) >= edge - 1e-6, "{seed}: {shape:?} {edge}");
                    assert!(inches(y1) <= inches(board.width) + edge + 1e-6, "{seed}: {shape:?}");
                }
                assert!(inches(z1) <= thickness(board, section) + 1e-6, "{seed}: {shape:?}");
            }
            // What comes off a board is no more than was in it.
            let strips = cut.sections.iter().flat_map(|s| taken(&job, board, s));
            let cut_out: i128 = strips.filter(|s| s.name.contains('.')).map(|s| s.volume()).sum();
            let kept: i128 = mine.iter().map(|o| o.board.volume()).sum();
            assert!(cut_out + kept <= board.volume(), "{seed}: {}", board.name);
        }
    }
    assert!(seen > 60 && kinds.iter().all(|&n| n > 2), "{seen} {kinds:?}");
}

/// Is a point of an offcut, in its own coordinates, marked by one of its zones with its margin?
fn marked(job: &Job, offcut: &Board, (x, y): (f64, f64), kind: &str) -> bool {
    offcut.zones.iter().filter(|z| z.kind.as_str() == kind).any(|zone| {
        let Margin { along, across } = job.shop.margin(&zone.kind);
        let (from, to) = (inches(zone.from - along), inches(zone.to + along));
        let (near, far) = (inches(zone.near - across), inches(zone.far + across));
        from - 1e-6 <= x && x <= to + 1e-6 && near - 1e-6 <= y && y <= far + 1e-6
    })
}

/// A zone with its margin, as it lies at `x` of a section: its sides, if it reaches there.
fn sides(
    job: &Job,
    board: &Board,
    section: Option<&Section>,
    zone: &Zone,
    x: f64,
) -> Option<(f64, f64)> {
    let Margin { along, across } = job.shop.margin(&zone.kind);
    let inside = inches(zone.from - along) < x && x < inches(zone.to + along);
    let up = lift_in(board, section, x);
    inside.then(|| (inches(zone.near - across) + up, inches(zone.far + across) + up))
}

#[test]
fn whatever_was_marked_on_a_board_is_marked_on_its_offcuts() {
    let (mut points, mut ends) = (0, 0);
    for seed in 0..60 {
        let Some((job, boards, plan)) = planned(seed) else { continue };
        for offcut in offcuts(&plan, &job, &boards, |_| true) {
            let cut = &plan.boards[offcut.index];
            let (board, own) = (&boards[cut.board], &offcut.board);
            let section = offcut.section.map(|s| &cut.sections[s]);
            for zone in &board.zones {
                for i in 0..160 {
                    let x = inches(own.length) * (f64::from(i) + 0.5) / 160.0;
                    let at = x + inches(offcut.from);
                    let Some((near, far)) = sides(&job, board, section, zone, at) else { continue };
                    for j in 0..40 {
                        let y = inches(own.width) * (f64::from(j) + 0.5) / 40.0;
                        let across = y + inches(offcut.near);
                        if near < across && across < far {
                            points += 1;
                            let kind = zone.kind.as_str();
                            assert!(
                                marked(&job, own, (x, y), kind),
                                "{seed}: {} {zone:?}",
                                own.name
                            );
                        }
                    }
                }
            }
            // Bends are what the piece's length leaves of them, and no less.
            let share = (inches(own.length) / inches(board.length)).powi(2);
            let lined = section.is_some_and(|s| s.edge == Edge::Lined);
            let flat = section.is_some_and(|s| s.face == Face::Flattened);
            for (gone, whole, left) in [(lined, board.crook, own.crook), (flat, board.bow, own.bow)]
            {
                let exact = if gone { 0.0 } else { inches(whole) * share };
                assert!((inches(left) - exact).abs() <= 0.0006, "{seed}: {left:?} {exact}");
                assert!(inches(left).abs() >= exact.abs() - 1e-7 && inches(left) * exact >= 0.0);
            }
            // The end that is still the board's is kept clear of, and no sawn one is.
            let end = job.shop.board_end;
            let own_ends = [offcut.from == Length::ZERO, offcut.from + own.length == board.length];
            if section.is_none() && own_ends != [true, true] {
                assert_eq!(own.board_end, Some(Length::ZERO));
                for (mine, x) in own_ends.into_iter().zip([0.01, inches(own.length) - 0.01]) {
                    ends += usize::from(mine);
                    let clear = marked(&job, own, (x, 1.0), BOARD_END);
                    assert_eq!(clear, mine && end > Length::ZERO, "{seed}: {}", own.name);
                }
            }
            assert!(matches!(own.grain, Some(Grain::Pith { .. })));
        }
    }
    assert!(points > 1000 && ends > 5, "{points} {ends}");
}

/// Paddles of one short strip each, so that an offcut alone gives some.
const SCRAPS: &str = r#"
[[paddle]]
name = "short"
quantity = 4
length = 7
loom = 2
trim = 0
thickness = "1/4"
rings = 0
[[paddle.lamination]]
name = "one"
thickness = "3/16"
runs = "through"
centre = true
allow = ["sap"]
[[paddle]]
name = "tall"
quantity = 2
length = 9
loom = 2
trim = 0
thickness = "7/8"
rings = 0
[[paddle.lamination]]
name = "one"
thickness = "1/4"
runs = "through"
centre = true
"#;

#[test]
fn an_offcut_planned_alone_gives_no_strip_that_touches_a_zone_of_its_board() {
    let scraps = job_text("p.toml", SCRAPS).unwrap();
    let (mut strips, mut beside) = (0, 0);
    for seed in 0..40 {
        let Some((job, boards, plan)) = planned(seed) else { continue };
        let small = Job { shop: job.shop.clone(), paddles: scraps.paddles.clone(), ..job.clone() };
        for offcut in offcuts(&plan, &job, &boards, |_| true) {
            let cut = &plan.boards[offcut.index];
            let board = &boards[cut.board];
            let section = offcut.section.map(|s| &cut.sections[s]);
            let own = vec![offcut.board.clone()];
            let options = Options { aim: Aim::Most, ..Options::default() };
            let Ok(found) = stripwright::choose::plan(&small, &own, &options) else { continue };
            let found = verify(found, &small, &own).unwrap();
            for (_, part, rip, _, strip) in found.strips() {
                strips += 1;
                let lamination = &small.paddles[strip.paddle].laminations[strip.lamination];
                let bars = board.zones.iter().filter(|z| !lamination.allow.contains(&z.kind));
                for zone in bars {
                    for i in 0..=200 {
                        let (a, b) = (inches(strip.from), inches(strip.to));
                        let x = a + (b - a) * f64::from(i) / 200.0;
                        let at = x + inches(offcut.from);
                        let Some((near, far)) = sides(&job, board, section, zone, at) else {
                            continue;
                        };
                        beside += 1;
                        // From the chord of the new section back to the old one's coordinates.
                        let up = lift_in(&offcut.board, Some(part), x);
                        let low = inches(rip.near) - up + inches(offcut.near);
                        let high = inches(rip.far) - up + inches(offcut.near);
                        let over = high.min(far) - low.max(near);
                        assert!(over <= 1e-6, "{seed}: {} {strip:?} {zone:?}", offcut.board.name);
                    }
                }
            }
        }
    }
    assert!(strips > 100 && beside > 500, "{strips} {beside}");
}

/// The volumes of what is left, of strips and of whole boards add up to no more than there was,
/// and what is not cut is untouched.
#[test]
fn a_tally_of_some_boards_leaves_the_others_whole() {
    let mut seen = 0;
    for seed in 0..60 {
        let Some((job, boards, plan)) = planned(seed) else { continue };
        let up = glue_up(&plan, &job, &boards, &GlueSettings::default());
        for number in 0..=plan.boards.len() {
            let done = Done { cut: (0..number).collect(), spoiled: Vec::new(), glued: Vec::new() };
            let left = Left::of(&plan, &job, &boards, &up, &done);
            let opened: Vec<usize> = plan.boards[..number].iter().map(|c| c.board).collect();
            for (b, whole) in left.whole.iter().enumerate() {
                assert_eq!(*whole, u32::from(!opened.contains(&b)), "{seed}");
            }
            assert!(left.offcuts.iter().all(|o| o.index < number));
            let come: usize = left.lines.iter().map(|l| l.to_come).sum();
            assert_eq!(left.strips.len() + come, plan.strips().count(), "{seed}");
            let volume = |l: [Length; 3]| l.iter().map(|l| i128::from(l.units())).product::<i128>();
            let strips: i128 =
                left.strips.iter().map(|s| volume([s.length, s.thickness, s.depth])).sum();
            let kept: i128 = left.offcuts.iter().map(|o| o.board.volume()).sum();
            let were: i128 = opened.iter().map(|&b| boards[b].volume()).sum();
            assert!(strips + kept <= were, "{seed}");
            assert_eq!(left.is_whole(), number == plan.boards.len(), "{seed}");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}
