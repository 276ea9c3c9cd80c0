//! Which strip in hand serves which lamination, against every assignment there is, and what holds
//! of any rack. Racks and boards are invented.

use crate::choose_exhaustive::{Wood, choices, pile_as, wood};
use proptest::collection::vec;
use proptest::prelude::*;
use std::collections::BTreeSet;
use stripwright::length::Units;
use stripwright::paddle::strips::needed;
use stripwright::read::{List, boards_text};
use stripwright::{
    Aim, Angle, Board, Job, Length, NoPlan, Options, Plan, Species, StripInHand, job_text, plan,
    plan_json, plan_text, strip_kinds, verify, verify_file,
};

/// Sixteenths of an inch.
fn sixteenths(n: i64) -> Length {
    Length::inch_fraction(n, 16)
}

/// One or two kinds of small paddle whose sides can't be told apart at the saw.
fn job(quantity: u32, spares: u32, two: bool) -> Job {
    let paddle = |name: &str, spine: &str| {
        format!(
            "[[paddle]]\nname = \"{name}\"\nquantity = {quantity}\nlength = 24\nloom = 8\ntrim = 0\nthickness = 1\nrings = 45\n{spine}\
             [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2\"\nruns = \"through\"\nspares = {spares}\n\
             [[paddle.lamination]]\nname = \"edge\"\nthickness = \"3/8\"\nruns = \"blade\"\nspecies = [\"fir\"]\n"
        )
    };
    let spine = "[[paddle.lamination]]\nname = \"spine\"\nthickness = \"1/4\"\nruns = \"through\"\ncentre = true\n";
    let mut text = String::from(
        "[shop]\nfar_edge = 0\ncurve_kerf = \"1/8\"\nboard_end = \"1/2\"\nmin_rip = 6\nstraight = \"1/16\"\npair = \"3/8\"\npull = \"1/2\"\n",
    );
    text += &paddle("small", spine);
    if two {
        text += &paddle("twin", "");
    }
    job_text("p.toml", &text).unwrap_or_else(|p| panic!("{p}"))
}

/// A strip in sixteenths of an inch: length, thickness, depth; bends; degrees of its rings; whether
/// it is of fir; what it names.
type Made = ([i64; 3], [i64; 2], Option<i64>, bool, u8);

fn made() -> impl Strategy<Value = Made> {
    // Long enough for a blade strip or a through one, or just not; stout enough, or just not.
    let length = prop::sample::select(vec![127, 128, 140, 383, 384, 400, 440]);
    let thickness = prop::sample::select(vec![3, 4, 6, 8, 9, 10]);
    let depth = prop::sample::select(vec![15, 16, 17]);
    let side = prop::sample::select(vec![0, 0, 3, -8, 20]);
    let deep = prop::sample::select(vec![0, 0, 1, 2, -2, 3, 4, -5, 6, 8]);
    let rings = prop::sample::select(vec![None, None, Some(45), Some(44), Some(90)]);
    ((length, thickness, depth), (side, deep), rings, prop::bool::weighted(0.8), 0..8_u8)
        .prop_map(|((l, t, d), (s, b), rings, fir, names)| ([l, t, d], [s, b], rings, fir, names))
}

fn rack(made: &[Made]) -> Vec<StripInHand> {
    let strip = |(i, (size, bends, rings, fir, names)): (usize, &Made)| {
        let named = |paddle: Option<&str>, lamination: Option<&str>| {
            (paddle.map(str::to_owned), lamination.map(str::to_owned))
        };
        let (paddle, lamination) = match names {
            0 => named(Some("small"), Some("side")),
            1 => named(Some("twin"), None),
            2 => named(None, Some("edge")),
            _ => named(None, None),
        };
        let species = Species::new(if *fir { "fir" } else { "ash" });
        StripInHand {
            rings: rings.and_then(|r| Angle::from_millionths(r * 1_000_000)),
            sidewise: sixteenths(bends[0]),
            depthwise: sixteenths(bends[1]),
            paddle,
            lamination,
            ..StripInHand::plain(&format!("r{i}"), species, size.map(sixteenths))
        }
    };
    made.iter().enumerate().map(strip).collect()
}

/// What of a strip counts for a line, worked out anew from MODEL 10 in sixteenths of an inch: its
/// depthwise bend as a fraction, if it fits.
fn bend_in(job: &Job, strip: &StripInHand, p: usize, l: usize) -> Option<(i128, i128)> {
    let (paddle, lamination) = (&job.paddles[p], &job.paddles[p].laminations[l]);
    let whole = |length: Length| i128::from(length.units() / (2_032_000 / 16));
    let rough: i128 = if lamination.name == "edge" { 8 * 16 } else { 24 * 16 };
    let long = whole(strip.length);
    let named = strip.paddle.as_ref().is_none_or(|n| *n == paddle.name)
        && strip.lamination.as_ref().is_none_or(|n| *n == lamination.name);
    let fits = named
        && (lamination.name != "edge" || strip.species.name() == "fir")
        && long >= rough
        && whole(strip.thickness) >= whole(lamination.thickness)
        && whole(strip.depth) >= 16
        && strip.rings.is_none_or(|r| r.degrees() >= 45.0)
        && whole(strip.sidewise).abs() * rough.pow(2) <= 8 * long.pow(2);
    let bend = (whole(strip.depthwise).abs() * rough.pow(2), long.pow(2));
    // `pair`, 6/16
    (fits && bend.0 <= 6 * bend.1).then_some(bend)
}

/// Can the strips of one line, given by their bends, all go in? Those bent beyond 1/16 each with
/// another whose bend differs by 1/16 at most.
fn all_go_in(bends: &[(i128, i128)], centre: bool) -> bool {
    let Some(at) = bends.iter().position(|b| b.0 > b.1) else { return true };
    if centre {
        return false;
    }
    (0..bends.len()).filter(|&o| o != at).any(|o| {
        let ((a, b), (c, d)) = (bends[at], bends[o]);
        let near = (a * d - c * b).abs() <= b * d;
        let rest = |i: &usize| *i != at && *i != o;
        let rest: Vec<_> = (0..bends.len()).filter(rest).map(|i| bends[i]).collect();
        near && all_go_in(&rest, centre)
    })
}

/// Every count of strips of each kind that some assignment of the rack gives, cut off at the need.
fn given(job: &Job, need: &[u32]) -> BTreeSet<Vec<u32>> {
    let kinds = strip_kinds(job);
    let lines: Vec<(usize, usize)> = job
        .paddles
        .iter()
        .enumerate()
        .flat_map(|(p, paddle)| (0..paddle.laminations.len()).map(move |l| (p, l)))
        .collect();
    let mut out = BTreeSet::new();
    let mut digits = vec![0_usize; job.strips.len()];
    loop {
        let mut bends: Vec<Vec<(i128, i128)>> = vec![Vec::new(); lines.len()];
        let fits = digits.iter().zip(&job.strips).all(|(&d, strip)| {
            let Some(line) = d.checked_sub(1) else { return true };
            bend_in(job, strip, lines[line].0, lines[line].1).is_some_and(|bend| {
                bends[line].push(bend);
                true
            })
        });
        let centre = |line: usize| job.paddles[lines[line].0].laminations[lines[line].1].centre;
        if fits && (0..lines.len()).all(|line| all_go_in(&bends[line], centre(line))) {
            let count = |(k, &n): (usize, &u32)| {
                let of = kinds[k].lines.iter().map(|at| {
                    bends[lines.iter().position(|line| line == at).unwrap()].len() as u32
                });
                of.sum::<u32>().min(n)
            };
            out.insert(need.iter().enumerate().map(count).collect());
        }
        let Some(at) = (0..digits.len()).find(|&i| digits[i] < lines.len()) else { break };
        digits[..at].fill(0);
        digits[at] += 1;
    }
    out
}

/// The least cost of rack and boards together, by every choice of both.
fn least(job: &Job, boards: &[Board], paddles: &[u32]) -> Option<i128> {
    let need = needed(job, &strip_kinds(job), paddles);
    let given = given(job, &need);
    choices(job, boards, &need)
        .iter()
        .filter(|(counts, _)| {
            given
                .iter()
                .any(|g| g.iter().zip(counts.iter()).zip(&need).all(|((g, c), n)| g + c >= *n))
        })
        .map(|(_, cost)| cost.0)
        .min()
}

fn pile(woods: &[Wood]) -> Vec<Board> {
    let price = |w: &Wood| w.price.to_string();
    let mut boards = if woods.is_empty() {
        Vec::new()
    } else {
        pile_as(woods, Some(&price), &|long, wide, thick| {
            [long.to_string(), format!("{wide}/4"), format!("{thick}/8")]
        })
    };
    boards.iter_mut().for_each(|b| {
        b.quantity = 1;
        b.grain = Some(stripwright::Grain::Rings(Angle::RIFT));
    });
    boards
}

/// Planned, verified, written and read back; the cost, or that there is none.
fn planned(job: &Job, boards: &[Board]) -> Option<Plan> {
    match plan(job, boards, &Options::default()) {
        Ok(found) => {
            assert!(found.proof.least(found.cost), "{:?}", found.proof);
            let passed = verify(found.clone(), job, boards)
                .unwrap_or_else(|f| panic!("{f:?}\n{found:?}\n{:?}", job.strips));
            let text = plan_json(&passed, job, boards);
            let file = plan_text("plan.json", &text, job, boards).unwrap_or_else(|p| panic!("{p}"));
            assert_eq!(file.plan.in_hand, found.in_hand);
            assert!(verify_file(&file, job, boards).is_ok());
            Some(found)
        }
        Err(NoPlan::Infeasible(_)) => None,
        Err(NoPlan::Stopped(_)) => panic!("nothing was said of it"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn the_choice_is_the_best_of_every_assignment(
        strips in vec(made(), 0..6),
        woods in vec(wood(), 0..3),
        spares in 0..2_u32,
    ) {
        let mut job = job(1, spares, false);
        job.strips = rack(&strips);
        let boards = pile(&woods);
        let found = planned(&job, &boards).map(|p| p.cost.parts);
        prop_assert_eq!(found, least(&job, &boards, &[1]), "{:?}", job.strips);
    }

    #[test]
    fn lines_that_look_alike_are_told_apart_by_what_strips_were_cut_for(
        strips in vec(made(), 0..5),
        woods in vec(wood(), 0..3),
    ) {
        let mut job = job(1, 0, true);
        job.strips = rack(&strips);
        let boards = pile(&woods);
        let found = planned(&job, &boards).map(|p| p.cost.parts);
        prop_assert_eq!(found, least(&job, &boards, &[1, 1]), "{:?}", job.strips);
    }

    /// Bent strips of nearly one curve, so that who goes with whom decides.
    #[test]
    fn pairs_are_the_best_of_every_pairing(
        bends in vec((0..9_i64, prop::sample::select(vec![384, 400, 440, 128])), 1..8),
        quantity in 1..3_u32,
    ) {
        let mut job = job(quantity, 0, false);
        let of = |&(bend, length): &(i64, i64)| ([length, 8, 16], [0, bend], None, true, 7);
        job.strips = rack(&bends.iter().map(of).collect::<Vec<Made>>());
        // One board gives the spine, and whatever else is missing costs ten.
        let sizes = |l, w, t| [l, w, t].map(|n| Length::inch_fraction(n, 1));
        let board = |name: &str, size, price| {
            let mut board = Board::plain(name, Species::new("fir"), size);
            board.grain = Some(stripwright::Grain::Rings(Angle::RIFT));
            board.price = Some(stripwright::Price::from_parts(price));
            board
        };
        let boards = [board("a", sizes(26, 2, 2), 1), board("b", sizes(60, 8, 2), 10)];
        let paddles = [quantity];
        let found = planned(&job, &boards).map(|p| p.cost.parts);
        prop_assert_eq!(found, least(&job, &boards, &paddles), "{:?}", job.strips);
    }

    #[test]
    fn a_strip_in_hand_never_makes_a_plan_dearer_and_their_order_is_nothing_to_the_cost(
        strips in vec(made(), 1..12),
        woods in vec(wood(), 1..4),
        turn in 0..12_usize,
    ) {
        let boards = pile(&woods);
        let mut job = job(2, 1, true);
        let bare = planned(&job, &boards).map(|p| p.cost.parts);
        job.strips = rack(&strips);
        let with = planned(&job, &boards).map(|p| p.cost.parts);
        prop_assert!(bare.is_none_or(|bare| with.is_some_and(|with| with <= bare)));
        let turn = turn % job.strips.len();
        job.strips.rotate_left(turn);
        prop_assert_eq!(planned(&job, &boards).map(|p| p.cost.parts), with);
        job.strips.pop();
        let fewer = planned(&job, &boards).map(|p| p.cost.parts);
        prop_assert!(fewer.is_none_or(|fewer| with.is_some_and(|with| with <= fewer)));
    }

    #[test]
    fn the_most_counts_strips_in_hand(strips in vec(made(), 0..6), woods in vec(wood(), 0..2)) {
        let mut job = job(1, 0, false);
        job.strips = rack(&strips);
        let boards = pile(&woods);
        let options = Options { aim: Aim::Most, ..Options::default() };
        let most = (1..).take_while(|&n| least(&job, &boards, &[n]).is_some()).last().unwrap_or(0);
        match plan(&job, &boards, &options) {
            Ok(found) => {
                prop_assert_eq!(found.most.map(|m| (m.made, m.at_most)), Some((most, most)));
                prop_assert_eq!(Some(found.cost.parts), least(&job, &boards, &[most]));
            }
            Err(none) => prop_assert!(most == 0 && none.proved()),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Crooked boards have bounds of their own; the rack stands in them as in all others.
    #[test]
    fn crooked_boards_and_a_rack_of_many_ways_are_planned_together(
        strips in vec(made(), 2..8),
        woods in vec(wood(), 1..3),
        crook in prop::sample::select(vec![-6_i64, 3, 9]),
    ) {
        let mut job = job(1, 0, true);
        job.shop.curve_kerf = None;
        let mut boards = pile(&woods);
        boards.iter_mut().for_each(|b| b.crook = sixteenths(crook));
        job.strips = rack(&strips);
        let least = least(&job, &boards, &[1, 1]);
        match plan(&job, &boards, &Options::default()) {
            Ok(found) => {
                prop_assert!(verify(found.clone(), &job, &boards).is_ok());
                // Sections may begin anywhere, so there may be more than the listed ways give.
                prop_assert!(least.is_none_or(|least| found.cost.parts <= least));
            }
            Err(none) => prop_assert!(least.is_none() || !none.proved()),
        }
    }
}

/// A whole paddle on the rack.
fn whole() -> Job {
    let mut job = job(1, 0, false);
    let strip = |name: &str, size: [i64; 3]| {
        StripInHand::plain(name, Species::new("fir"), size.map(sixteenths))
    };
    job.strips = vec![
        strip("1", [384, 4, 16]),
        strip("2", [384, 8, 16]),
        strip("3", [384, 8, 16]),
        strip("4", [128, 6, 16]),
        strip("5", [128, 6, 16]),
        strip("6", [128, 6, 16]),
        strip("7", [384, 8, 16]),
    ];
    job
}

#[test]
fn a_whole_job_on_the_rack_needs_no_board_and_costs_nothing() {
    let job = whole();
    let found = planned(&job, &[]).expect("a plan");
    assert_eq!((found.cost.parts, found.boards.len(), found.in_hand.len()), (0, 0, 7));
    // The seventh, long enough for a side, serves as an edge.
    let seventh =
        found.in_hand.iter().filter(|i| job.paddles[0].laminations[i.lamination].name == "edge");
    assert_eq!(seventh.count(), 4);
    let options = Options { aim: Aim::Most, ..Options::default() };
    let most = plan(&job, &[], &options).expect("a plan").most.expect("counted");
    assert_eq!((most.made, most.at_most), (1, 1));
    let short = StripInHand { length: sixteenths(383), ..job.strips[0].clone() };
    let job = Job { strips: [vec![short], job.strips[1..].to_vec()].concat(), ..job };
    match plan(&job, &[], &Options::default()) {
        Err(NoPlan::Infeasible(short)) => {
            assert_eq!(short.needed.iter().sum::<u32>(), 7);
            assert_eq!(short.missing.iter().sum::<u32>(), 1);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_shortest_strips_go_in_and_long_ones_stay() {
    let mut job = whole();
    let long =
        StripInHand { name: "0".to_owned(), length: sixteenths(900), ..job.strips[1].clone() };
    job.strips.insert(0, long);
    let found = planned(&job, &[]).expect("a plan");
    assert!(found.in_hand.iter().all(|i| job.strips[i.strip].name != "0"));
}

#[test]
fn a_strip_that_is_cut_never_bears_the_name_of_one_in_hand() {
    let mut job = whole();
    job.strips.truncate(1);
    job.strips[0].name = "B.2".to_owned();
    let board = |name: &str| Board {
        grain: Some(stripwright::Grain::Rings(Angle::RIFT)),
        ..Board::plain(name, Species::new("fir"), [40, 8, 2].map(|n| Length::inch_fraction(n, 1)))
    };
    let found = planned(&job, &[board("B")]).expect("a plan");
    let names: Vec<&str> = found.strips().map(|s| s.4.id.as_str()).collect();
    assert!(
        names.contains(&"B.1") && names.contains(&"B.3") && !names.contains(&"B.2"),
        "{names:?}"
    );
}

/// Ten kinds of strip that may serve each other's places: more ways than are listed. Strips that
/// cost nothing go in before any board is opened, and what is proved of the plan holds.
#[test]
fn a_rack_with_too_many_ways_goes_in_before_any_board() {
    let mut text = String::from(
        "[[paddle]]\nname = \"p\"\nlength = 24\nloom = 8\ntrim = 0\nthickness = 1\nrings = 0\nquantity = 9\n",
    );
    for n in 0..10 {
        text += &format!(
            "[[paddle.lamination]]\nname = \"l{n}\"\nthickness = \"{}/64\"\nruns = \"through\"\n",
            16 + n
        );
    }
    let mut job = job_text("p", &text).unwrap_or_else(|p| panic!("{p}"));
    let strip = |i: i64| {
        let size = [Length::INCH * 24, Length::inch_fraction(16 + i % 10, 64), Length::INCH];
        StripInHand::plain(&format!("s{i}"), Species::new("fir"), size)
    };
    job.strips = (0..150).map(strip).collect();
    let price = Some(stripwright::Price::from_parts(10_000));
    let size = [26, 9, 2].map(|n| Length::inch_fraction(n, 1));
    let board = Board { price, quantity: 40, ..Board::plain("B", Species::new("fir"), size) };
    let boards = [board];
    let found = plan(&job, &boards, &Options::default()).unwrap();
    // 15 strips of each thickness are there and 18 wanted, so boards give 30; one gives 18 at most.
    assert_eq!(found.cost.parts, 2 * 10_000);
    assert!(matches!(found.proof, stripwright::Proof::Optimal), "{:?}", found.proof);
    assert!(found.in_hand.len() > 100, "{}", found.in_hand.len());
    assert!(verify(found, &job, &boards).is_ok());
}

/// Four builders with a size each, two strips in hand, and bowed boards whose strips go in as pairs: a
/// pair takes the place that the strip in hand was counted for, which goes in for a shorter one then.
#[test]
fn a_strip_in_hand_makes_room_for_a_pair_of_longer_ones() {
    let paddle = |(n, (length, loom)): (usize, (u32, u32))| {
        format!(
            "[[paddle]]\nname = \"p{n}\"\nlength = {length}\nloom = {loom}\nthickness = \"1 3/8\"\n\
             trim = \"3/8\"\nrings = 30\n\
             [[paddle.lamination]]\nname = \"spine\"\nthickness = \"3/8\"\nruns = \"through\"\n\
             centre = true\nspecies = [\"pine\", \"spruce\"]\n\
             [[paddle.lamination]]\nname = \"side\"\nthickness = \"5/8\"\nruns = \"through\"\n\
             species = [\"pine\"]\n\
             [[paddle.lamination]]\nname = \"blade\"\nthickness = \"1/2\"\nruns = \"blade\"\n\
             species = [\"pine\"]\nallow = [\"sap\"]\n"
        )
    };
    let sizes = [(91, 16), (82, 22), (81, 18), (86, 21)];
    let shop = "[shop]\nresaw_kerf = \"1/16\"\nboard_end = 2\nplane = \"1/32\"\npull = 1\nmin_rip = 12\n\
                far_edge = 0\ncurve_kerf = \"1/8\"\n";
    let text: String = sizes.into_iter().enumerate().map(paddle).collect();
    let mut job = job_text("p.toml", &format!("{shop}{text}")).unwrap_or_else(|p| panic!("{p}"));
    let strip = |name: &str, wood: &str, [length, thickness]: [i64; 2]| {
        let size = [length, thickness, 24].map(sixteenths);
        StripInHand {
            rings: Angle::from_degrees(90.0),
            ..StripInHand::plain(name, Species::new(wood), size)
        }
    };
    job.strips = vec![strip("S1", "pine", [632, 9]), strip("S3", "spruce", [1328, 7])];
    let csv = "\
board,species,length,width,thickness,rings,pith_across,pith_depth,crook,bow,runout,price,quantity,zone,from,to,near,far
B01,pine,96,7 1/4,1 3/4,80,,,,3/4,,29.08,1,,,,,
B01,,,,,,,,,,,,,knot,9 3/4,12 3/8,0,3/8
B01,,,,,,,,,,,,,knot,91 5/8,92 3/4,4 5/8,5 5/8
B01,,,,,,,,,,,,,knot,11 1/4,13 7/8,1 7/8,3 3/8
B01,,,,,,,,,,,,,sap,,,0,1 1/4
B02,pine,120,5 1/2,1 1/2,45,,,,,,46.42,1,,,,,
B02,,,,,,,,,,,,,knot,2 5/8,5,4 7/8,5 1/2
B12,pine,120,5 1/2,1 3/4,90,,,,,,29.57,1,,,,,
B12,,,,,,,,,,,,,knot,4,4 7/8,5/8,2 1/4
B12,,,,,,,,,,,,,pitch,71 3/4,74 1/4,1 3/8,3
B12,,,,,,,,,,,,,knot,115 1/2,116 5/8,0,3/4
B12,,,,,,,,,,,,,pitch,106 1/8,108 3/4,1 3/4,3 1/8
B14,pine,96,5 1/2,1 1/2,80,,,,,,27.85,1,,,,,
B14,,,,,,,,,,,,,pitch,68 1/2,70,2,3 3/8
B14,,,,,,,,,,,,,pitch,1 1/4,2,1 1/4,2
B14,,,,,,,,,,,,,knot,48 3/8,50 5/8,5 1/8,5 1/2
";
    let boards =
        boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap_or_else(|p| panic!("{p}"));
    let found = plan(&job, &boards, &Options::default()).unwrap();
    assert_eq!(found.in_hand.len(), 2);
    verify(found, &job, &boards).unwrap_or_else(|faults| panic!("{faults:?}"));
}
