//! Figures of leaves, stacks, ranges and places beside ones worked out by hand: a bound that is
//! looser than it need be proves less, and nothing else would tell.

use crate::cut::BoardCuts;
use crate::cut::leaf::{Alike, Candidate, Profile, barred, profile};
use crate::cut::met::Met;
use crate::cut::ranges::{Places, Range};
use crate::cut::recent::Recent;
use crate::cut::serve::{LeafForm, Obstacle, serve};
use crate::cut::stack::stacks;
use crate::length::{Length, Units};
use crate::lumber::{Bend, Board, Species, Zone, ZoneKind};
use crate::paddle::{Margin, strip_kinds};
use crate::read::{List, boards_text, job_text};
use crate::stop::Stop;
use std::rc::Rc;

fn units(n: i64) -> Length {
    Length::from_units(n)
}

fn pair(a: i64, b: i64) -> (Length, Length) {
    (units(a), units(b))
}

/// A bend whose loss over a piece is a thousandth of its square, in units.
fn bend(gap: i64) -> Bend {
    Bend { gap: units(gap), over: units(1_000) }
}

/// Sections from 100 to 140 on, up to 500 to 560.
fn range(shortest: i64) -> Range {
    Range { first: pair(100, 500), last: pair(140, 560), shortest: units(shortest) }
}

#[test]
fn a_range_loses_what_its_shortest_section_loses_less_the_rounding() {
    let [hollow, crowned] = [1_000, -1_000].map(bend);
    let (near, far) = pair(10, 900);
    // 500 − 140 = 360, and 360² / 1000 = 129.6.
    assert_eq!(range(300).across(hollow, near, far), pair(10, 900 - 129));
    assert_eq!(range(300).across(crowned, near, far), pair(10 + 129, 900));
    // None is shorter than 400, which loses 160.
    assert_eq!(range(400).across(hollow, near, far), pair(10, 900 - 159));
    assert_eq!(range(400).across(bend(0), near, far), (near, far));
}

#[test]
fn a_zone_in_every_section_of_a_range_is_lifted_by_its_distance_from_the_middle() {
    let [hollow, crowned] = [1_000, -1_000].map(bend);
    // The middle lies from 300 to 350. Of 200 to 300 the farthest is at least 100 from it, which
    // lifts by 4 · 100² / 1000 = 40, and the nearest at most 50, by 10.
    let beside = [
        ((200, 300), (40, 10)),
        ((350, 400), (10, 10)),
        // 50 and 75 off: 22.5 is cut off.
        ((375, 400), (10, 22)),
        // Midway in it the least is 87.5 on both sides: 30.6.
        ((240, 415), (30, 0)),
        ((145, 480), (112, 0)),
    ];
    for ((from, to), (far, near)) in beside {
        let zone = pair(from, to);
        let lifts = (units(-(far - 1)), units(-(near + 1)));
        assert_eq!(range(300).lifts(hollow, zone), Some(lifts), "{from} to {to}");
        let lifts = (units(near + 1), units(far - 1));
        assert_eq!(range(300).lifts(crowned, zone), Some(lifts), "{from} to {to}");
    }
}

#[test]
fn a_zone_in_some_sections_of_a_range_only_is_lifted_off_the_longest_chord() {
    let [hollow, crowned] = [1_000, -1_000].map(bend);
    // The longest section loses 460² / 1000 = 211.6. From its chord the curve stands off
    // 4 · 30 · 430 / 1000 = 51.6 at 130, and 18 at 110.
    let lifts = |bend, from, to| range(300).lifts(bend, pair(from, to));
    assert_eq!(lifts(hollow, 90, 130), Some(pair(1 - 129, -212)));
    assert_eq!(lifts(hollow, 110, 130), Some(pair(18 + 1 - 129, -212)));
    assert_eq!(lifts(crowned, 90, 130), Some(pair(212, -1 + 129)));
    assert_eq!(lifts(crowned, 110, 130), Some(pair(212, -18 - 1 + 129)));
    // One that ends where the last section begins lies in none that is common.
    assert_eq!(lifts(hollow, 110, 140), Some(pair(18 + 1 - 129, -212)));
    // One that only touches the ends lies in none.
    assert_eq!((lifts(hollow, 50, 100), lifts(hollow, 560, 600)), (None, None));
}

#[test]
fn marks_and_places_are_counted_and_measured() {
    let set = |marks: &[i64]| marks.iter().map(|&m| units(m)).collect();
    let places = |starts: &[i64], ends: &[i64], ranges| Places {
        starts: set(starts),
        ends: set(ends),
        ranges,
        none: false,
        ..Places::default()
    };
    // Eight from 20 on, in four.
    assert_eq!(Places::parted(units(20), units(28), 4), places(&[22, 24, 26], &[22, 24, 26], true));
    assert_eq!(places(&[3, 5], &[4, 6, 9], true).pairs(), 6);
    for (starts, ends, widest) in [(&[3][..], &[1, 9][..], 8), (&[1], &[3, 4], 9), (&[], &[5], 10)]
    {
        assert_eq!(places(starts, ends, true).widest(units(0), units(10)), units(widest));
    }
    // One range of all places is one without marks.
    let whole = |starts: &[i64], ends: &[i64], ranges| places(starts, ends, ranges).whole();
    assert!(whole(&[], &[], true) && !whole(&[], &[], false));
    assert!(!whole(&[3], &[], true) && !whole(&[], &[3], true) && !whole(&[3], &[3], true));
    // From the mark itself the next one counts; beyond the last one the ends of the board do.
    let reach = places(&[10, 20], &[30, 40], true).reach(pair(10, 30), units(50), units(5));
    assert_eq!(reach, pair(20, 40));
    let reach = places(&[10, 20], &[30, 40], true).reach(pair(20, 41), units(50), units(5));
    assert_eq!(reach, pair(45, 50));
    let reach = places(&[], &[], true).reach(pair(48, 50), units(50), units(5));
    assert_eq!(reach, pair(48, 50));
}

fn leaf(thickness: i64, resawn: i64) -> LeafForm {
    LeafForm { thickness: units(thickness), resawn: units(resawn), kinds: vec![0] }
}

#[test]
fn what_fits_to_the_last_unit_is_stacked() {
    let two = [leaf(10, 10), leaf(20, 20)];
    let list = |leaves: &[LeafForm], thickness, kerf: Option<i64>| {
        let stacks = stacks(leaves, units(thickness), kerf.map(units));
        assert!(stacks.complete);
        stacks.list
    };
    // Without resawing one leaf, as thick as the rip or less.
    assert_eq!(list(&two, 20, None), [[1, 0], [0, 1]]);
    assert_eq!(list(&two, 19, None), [[1, 0]]);
    // Two leaves and a kerf of 2 between them.
    assert_eq!(list(&two, 22, Some(2)), [[0, 1], [2, 0]]);
    assert_eq!(list(&two, 21, Some(2)), [[0, 1], [1, 0]]);
    assert_eq!(list(&two, 32, Some(2)), [[1, 1], [2, 0]]);
    assert_eq!(list(&two, 9, Some(2)), Vec::<Vec<u32>>::new());
    // Two of three that just fit are no stack of their own.
    assert_eq!(list(&[leaf(10, 10)], 34, Some(2)), [[3]]);
    // Alone a leaf is planed: it may be thinner or thicker than beside others.
    assert_eq!(list(&[leaf(10, 12)], 11, Some(2)), [[1]]);
    assert_eq!(list(&[leaf(12, 10)], 11, Some(2)), Vec::<Vec<u32>>::new());
    assert_eq!(list(&[leaf(10, 12)], 26, Some(2)), [[2]]);
}

/// Where there are too many, first come as many as fit of one form with the rest of another, then
/// one less of it, and so on.
#[test]
fn of_too_many_stacks_the_fullest_of_two_forms_come_first() {
    let leaves: Vec<LeafForm> = (0..12).map(|i| leaf(100 + i, 100 + i)).collect();
    let (kerf, thickness) = (units(10), units(1_099));
    let cut = stacks(&leaves, thickness, Some(kerf));
    assert!(!cut.complete);
    assert_eq!(cut.list.len(), 2_000);
    let with = |of: &[(usize, u32)]| {
        let mut stack = vec![0; 12];
        of.iter().for_each(|&(l, n)| stack[l] = n);
        stack
    };
    // With kerfs they take 110, 111 and so on of 1,109: ten of the first leave 9, nine of the second
    // 110, room for one of the first.
    assert_eq!(cut.list[0], with(&[(0, 10)]));
    assert_eq!(cut.list[1], with(&[(1, 9), (0, 1)]));
    let one_less = with(&[(0, 9), (1, 1)]);
    let place = cut.list.iter().position(|s| *s == one_less).expect("one less of the first form");
    assert!(place < 2 * 12 * 11, "{place}");
    let mut different = cut.list.clone();
    different.sort_unstable();
    different.dedup();
    assert_eq!(different.len(), cut.list.len());
}

/// A strip so long of which so many are of use.
fn strip(item: u16, length: i64, cap: u16, family: usize, barred: &[(i64, i64)]) -> Candidate {
    let barred = Rc::new(barred.iter().map(|&(from, to)| pair(from, to)).collect());
    Candidate { item, length: units(length), cap, family, barred }
}

/// Strips of each entry, and where they lie.
fn laid(made: &Profile) -> Vec<Vec<(u16, i64, i64)>> {
    let plain = |(item, from, to): (u16, Length, Length)| (item, from.units(), to.units());
    (0..made.entries.len()).map(|e| made.strips(e).into_iter().map(plain).collect()).collect()
}

#[test]
fn strips_lie_where_their_multiset_ends_first() {
    let apart = Alike { class: |e| e, onwards: |_| None };
    // The long one first would end at 16, behind what bars the short one from 5 to 11.
    let two = [strip(0, 10, 1, 0, &[]), strip(1, 5, 1, 1, &[(5, 11)])];
    let made = profile(&two, pair(0, 40), units(0), &apart);
    let one = [vec![(1, 0, 5)], vec![(0, 0, 10)], vec![(1, 0, 5), (0, 5, 15)]];
    assert_eq!(laid(&made), one);
    // Where the short one alone is left out, since the long one serves as well, it still lies before
    // the long one.
    let alike = Alike { class: |_| 0, onwards: |_| None };
    let two = [strip(0, 10, 1, 0, &[]), strip(1, 9, 2, 0, &[(9, 12)])];
    let made = profile(&two, pair(0, 40), units(1), &alike);
    assert_eq!(laid(&made), [vec![(0, 0, 10)], vec![(1, 0, 9), (0, 10, 20)]]);
}

/// Where more fit than are wanted of the longest, shorter ones fill up, though no end is told from
/// another.
#[test]
fn shorter_strips_fill_up_where_few_long_ones_are_wanted() {
    let alike = || Alike { class: |_| 0, onwards: |_| Some(Length::LIMIT) };
    let kinds = |long, short| [strip(0, 10, long, 0, &[]), strip(1, 9, short, 0, &[])];
    let most = |caps: (u16, u16), ends: (i64, i64), kerf| {
        let made = profile(&kinds(caps.0, caps.1), pair(ends.0, ends.1), units(kerf), &alike());
        laid(&made).into_iter().max_by_key(Vec::len).unwrap()
    };
    let items = |laid: Vec<(u16, i64, i64)>| {
        let mut items: Vec<u16> = laid.into_iter().map(|l| l.0).collect();
        items.sort_unstable();
        items
    };
    // Two fit, to the last unit with the kerf between them: 10 + 2 + 10 from 5 to 27.
    assert_eq!(items(most((1, 9), (5, 27), 2)), [0, 1]);
    assert_eq!(items(most((2, 9), (5, 27), 2)), [0, 0]);
    assert_eq!(items(most((9, 9), (5, 26), 2)), [0, 1]);
    // Three fit, or nine; two are wanted in all, one of them long.
    assert_eq!(items(most((1, 2), (0, 31), 0)), [0, 1]);
    assert_eq!(items(most((1, 2), (0, 81), 0)), [0, 1]);
}

/// Of three lengths the long one with the short one serves for one thing, two of the middle for
/// another.
#[test]
fn neither_of_two_multisets_serves_for_the_other() {
    let alike = Alike { class: |_| 0, onwards: |_| None };
    let three = [12, 10, 9].map(|length| strip(21 - length, length.into(), 9, 0, &[]));
    let made = profile(&three, pair(0, 21), units(0), &alike);
    let two: Vec<_> = laid(&made).into_iter().filter(|l| l.len() == 2).collect();
    assert_eq!(two.len(), 2, "{two:?}");
    assert!(two.contains(&vec![(11, 0, 10), (11, 10, 20)]), "{two:?}");
}

#[test]
fn too_many_multisets_are_not_listed_and_that_is_told() {
    let apart = Alike { class: |e| e, onwards: |_| None };
    let many: Vec<Candidate> = (0..12).map(|i| strip(i, 10, 9, i.into(), &[])).collect();
    let made = profile(&many, pair(0, 80), units(0), &apart);
    assert!(!made.complete);
    assert_eq!(made.entries.len(), 30_000);
    assert!(profile(&many, pair(0, 20), units(0), &apart).complete);
}

#[test]
fn what_bars_a_strip_is_put_together_where_it_overlaps() {
    let obstacle = |(from, to), upright: &[usize], turned: &[usize]| {
        let ((from, to), (near, far)) = (pair(from, to), pair(0, 5));
        Obstacle { from, to, near, far, upright: upright.to_vec(), turned: turned.to_vec() }
    };
    let all = [
        obstacle((30, 40), &[7], &[]),
        obstacle((0, 20), &[7, 8], &[]),
        obstacle((2, 3), &[7], &[]),
        obstacle((10, 25), &[7], &[]),
        obstacle((25, 28), &[8], &[7]),
    ];
    let under = |under: &[u16], kind, turned| barred(&all, under, kind, turned);
    assert_eq!(under(&[0, 1, 2, 3, 4], 7, false), [pair(0, 25), pair(30, 40)]);
    assert_eq!(under(&[0, 2, 3], 7, false), [pair(2, 3), pair(10, 25), pair(30, 40)]);
    assert_eq!(under(&[0, 1, 2, 3, 4], 7, true), [pair(25, 28)]);
    assert_eq!(under(&[0, 1, 2, 3, 4], 8, false), [pair(0, 20), pair(25, 28)]);
}

/// Zones grow by their margins on all sides; what has no length or width then is none.
#[test]
fn zones_lie_with_their_margins_where_strips_may_not() {
    let mut job = job_text(
        "p",
        "[[paddle]]\nname = \"small\"\nlength = 24\nloom = 8\ntrim = 0\nthickness = 1\nrings = 0\n\
         [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2\"\nruns = \"through\"\n",
    )
    .unwrap();
    let (knot, mark) = (ZoneKind::new("knot"), ZoneKind::new("mark"));
    let margin = Margin { along: units(5), across: units(3) };
    job.shop.margins.insert(knot.clone(), margin);
    let zone = |kind: &ZoneKind, along: (i64, i64), across: (i64, i64)| {
        let ((from, to), (near, far)) = (pair(along.0, along.1), pair(across.0, across.1));
        Zone { kind: kind.clone(), from, to, near, far }
    };
    let sizes = [40, 4, 2].map(|n| Length::INCH * n);
    let mut board = Board::plain("A", Species::new("fir"), sizes);
    board.zones = vec![
        zone(&knot, (100, 200), (40, 50)),
        zone(&mark, (30, 30), (40, 50)),
        zone(&mark, (30, 40), (50, 50)),
        zone(&mark, (60, 70), (40, 50)),
        zone(&knot, (20, 20), (40, 40)),
    ];
    let kinds = strip_kinds(&job);
    let served = serve(&board, &job.shop, &kinds, &vec![9; kinds.len()]);
    let met: Vec<_> = served.obstacles.iter().map(|o| ((o.from, o.to), (o.near, o.far))).collect();
    let zones =
        [(pair(15, 25), pair(37, 43)), (pair(60, 70), pair(40, 50)), (pair(95, 205), pair(37, 53))];
    assert_eq!(met, zones);
}

/// What a section came to, times the greatest ratio of a price, is no less than what it comes to:
/// rounded up, and by no more than a unit.
#[test]
fn what_sections_came_to_bounds_what_they_come_to() {
    const MANY: usize = 48;
    let recent = Recent::default();
    let sections = |prices: [i64; 2]| {
        let bounds = recent.bounds(&prices, MANY);
        bounds.map(|b| [b.of(0), b.of(MANY - 1)])
    };
    assert_eq!(sections([3, 1]), Some([i64::MAX; 2]));
    assert!(recent.bounds(&[3, 1], MANY - 1).is_none());
    let mut came = vec![0; MANY];
    came[MANY - 1] = 1 << 40;
    came[0] = 30;
    recent.keep(&[3, 0], came);
    // Nothing is known of a strip that was worth nothing.
    assert_eq!(sections([3, 1]), Some([i64::MAX; 2]));
    let bound = sections([4, 0]).unwrap();
    assert_eq!(bound[0], 41);
    let exact = (1_i128 << 40) * 4 / 3;
    let over = i128::from(bound[1]) - exact;
    assert!((1..=1 << 12).contains(&over), "{over}");
    // At seven times the price it comes to seven times as much, and at the same to as much.
    assert_eq!(sections([21, 0]).map(|b| b[0]), Some(211));
    assert_eq!(sections([3, 0]).map(|b| b[0]), Some(31));
    assert_eq!(sections([0, 0]).map(|b| b[0]), Some(1));
    // Of several prices the nearest bounds best.
    recent.keep(&[20, 0], vec![170; MANY]);
    assert_eq!(sections([20, 0]).map(|b| b[0]), Some(171));
    assert_eq!(sections([3, 1]), Some([i64::MAX; 2]));
}

/// A board of so many millimetres with kerfs of 1, and strips 10 long of two sizes, thickness by
/// depth: its ways, and the two kinds in this order.
struct Small {
    sizes: &'static str,
    zones: &'static str,
    strips: [(i64, i64); 2],
    shop: &'static str,
    crook: Length,
    bow: Length,
}

const SMALL: Small = Small {
    sizes: "21,4,2",
    zones: "",
    strips: [(1, 2), (2, 2)],
    shop: "min_rip = 0\nfar_edge = 0\n",
    crook: Length::ZERO,
    bow: Length::ZERO,
};

impl Small {
    fn cuts(&self, places: &Places) -> (BoardCuts, [usize; 2]) {
        self.cuts_for(&[9, 9], places)
    }

    fn cuts_for(&self, wanted: &[u32], places: &Places) -> (BoardCuts, [usize; 2]) {
        let paddle = |(thickness, depth): (i64, i64)| {
            format!(
                "[[paddle]]\nname = \"{thickness} by {depth}\"\nlength = 10\nloom = \"0.5\"\n\
                 thickness = {depth}\ntrim = 0\nrings = 0\n[[paddle.lamination]]\n\
                 name = \"strip\"\nthickness = {thickness}\nruns = \"through\"\n"
            )
        };
        let toml = format!(
            "units = \"mm\"\n[shop]\nrip_kerf = 1\ncrosscut_kerf = 1\nedge = 0\n\
             board_end = 0\ndress = 0\nplane = 0\n{}{}",
            self.shop,
            self.strips.map(paddle).concat()
        );
        let job = job_text("p", &toml).unwrap();
        let csv = format!(
            "board,species,length,width,thickness,zone,from,to,near,far\nb,fir,{},,,,,\n{}",
            self.sizes, self.zones
        );
        let board = boards_text("b", &csv, Units::Mm, List::OnHand).unwrap().remove(0);
        let board = Board { crook: self.crook, bow: self.bow, ..board };
        let kinds = strip_kinds(&job);
        let stop = Stop::default();
        let cuts =
            BoardCuts::at_places_until_stopped(&board, &job.shop, &kinds, wanted, places, &stop);
        let place = |(t, d): (i64, i64)| {
            let size = (Length::MM * t, Length::MM * d);
            kinds.iter().position(|k| (k.thickness, k.depth) == size).unwrap()
        };
        (cuts, self.strips.map(place))
    }

    /// The most that the board comes to at these prices, pairs told.
    fn most(&self, prices: [i64; 2], places: &Places) -> i64 {
        let (cuts, place) = self.cuts(places);
        let mut by_kind = vec![0; 2];
        (0..2).for_each(|k| by_kind[place[k]] = prices[k]);
        cuts.best(&cuts.value(&by_kind)).0
    }
}

fn narrow(sizes: &'static str, zones: &'static str) -> BoardCuts {
    Small { sizes, zones, ..SMALL }.cuts(&Places::default()).0
}

/// Rips of each section of a cut, and strips of each rip.
pub(super) fn shape(cuts: &BoardCuts, needed: &[u32]) -> Vec<Vec<usize>> {
    let strips = |&(_, profile, entry): &(usize, u32, u32)| {
        cuts.profiles[profile as usize].entries[entry as usize].strips.len()
    };
    let cut = cuts.fewest_cuts(needed, &[], u64::MAX).unwrap();
    let of = |rips: &[crate::cut::value::ChosenRip]| {
        rips.iter().map(|r| r.leaves.iter().map(strips).sum()).collect()
    };
    cut.iter().map(|s| of(&s.rips)).collect()
}

#[test]
fn the_fewest_saw_cuts_take_one_section_and_long_rips_where_they_can() {
    // Side by side: two crosscuts, two rips and two strips are six cuts, end to end in two
    // sections eight.
    assert_eq!(shape(&narrow("21,4,2", ""), &[1, 1]), [[1, 1]]);
    // Too narrow for both: a section each.
    assert_eq!(shape(&narrow("21,3,2", ""), &[1, 1]), [[1], [1]]);
    // Of one kind two lie in one rip.
    assert_eq!(shape(&narrow("21,4,2", ""), &[2, 0]), [[2]]);
    assert_eq!(shape(&narrow("21,4,2", ""), &[0, 2]), [[2]]);
    assert_eq!(shape(&narrow("32,4,2", ""), &[3, 2]), [[3, 2]]);
    // Four in two rips over the length, or all in four short ones.
    assert_eq!(shape(&narrow("43,8,2", ""), &[0, 4]), [[4]]);
    // A knot on the way leaves a strip less to a rip over it.
    let knot = narrow("32,5,2", "b,,,,,knot,12,13,0,1\n");
    assert_eq!(shape(&knot, &[0, 3]), [[3]]);
    assert_eq!(shape(&knot, &[0, 4]).concat().iter().sum::<usize>(), 4);
}

/// Over one range of all places a straight-lined section loses no more than the shortest one: of
/// 5 with a crook of 4 over 21, 4.09 are left for a section of 10, which two strips and a kerf fit.
#[test]
fn a_crooked_board_over_all_places_gives_what_its_short_sections_do() {
    let far_edge = [0, 1].map(|edge| (edge, Places::default())).into_iter();
    for (edge, places) in far_edge.chain([0, 1].map(|edge| (edge, Places::everywhere()))) {
        // Hollow or crowned, with and without an allowance at the far edge.
        for sign in [-1, 1] {
            let most = |sizes: [&'static str; 2], shop: [&'static str; 2], crook: i64| {
                let crook = Length::from_units(sign * crook);
                Small { sizes: sizes[edge], shop: shop[edge], crook, ..SMALL }.most([1, 0], &places)
            };
            let short = ["min_rip = 0\nfar_edge = 0\n", "min_rip = 0\nfar_edge = 1\n"];
            assert_eq!(most(["21,5,2", "21,6,2"], short, 4 * 80_000), 4, "{places:?}");
            // Where no section is shorter than 22, two such have no room, and three strips lie
            // end to end in one: of 4 with a crook of 1/2 it keeps 3 1/2.
            let long = ["min_rip = 22\nfar_edge = 0\n", "min_rip = 22\nfar_edge = 1\n"];
            assert_eq!(most(["32,4,2", "32,5,2"], long, 40_000), 6, "{places:?}");
            // Two that end at 21 make a section of 22.
            assert_eq!(most(["25,4,2", "25,5,2"], long, 40_000), 4, "{places:?}");
        }
    }
}

/// Kept, strips go in as flipped pairs only: three of 6 count as two. Flattened, the board holds
/// the thin ones only, three of 5, and those are free.
#[test]
fn a_flattened_section_may_beat_an_odd_pair() {
    // Whether they could lie on their side or not.
    for shop in [
        "min_rip = 0\nfar_edge = 0\nstraight = 1\npair = 3\npull = 1\n",
        "min_rip = 0\nfar_edge = 0\nstraight = 1\npair = 3\npull = 3\n",
    ] {
        let (sizes, strips) = ("10,5,4", [(1, 4), (1, 2)]);
        let bowed = Small { sizes, strips, shop, bow: Length::MM * 2, ..SMALL };
        let most = [[6, 5], [8, 5], [6, 3]].map(|prices| bowed.most(prices, &Places::default()));
        assert_eq!(most, [15, 16, 12], "{shop}");
    }
}

/// A lane holds 255; a board that may give as many is not listed.
#[test]
fn more_strips_than_a_lane_holds_are_not_listed() {
    let list = |sizes, many: u32| {
        let small = Small { sizes, ..SMALL };
        let (_, place) = small.cuts(&Places::default());
        let mut wanted = [0; 2];
        wanted[place[0]] = many;
        let cuts = small.cuts_for(&wanted, &Places::default()).0;
        let listed = cuts.list(&wanted, &[], u64::MAX);
        // What is not listed is not called impossible.
        assert!(listed.is_some() || cuts.decide(&wanted, 1 << 40) != Some(None));
        listed.map(|l| l.concat().into_iter().sum::<u32>())
    };
    // Side by side: 254 take 507, 255 take 509.
    for many in [255, 256, 300] {
        assert_eq!(list("10,507,2", many), Some(254));
        assert_eq!(list("10,509,2", many), None, "{many}");
        assert_eq!(list("10,1200,2", many), None, "{many}");
    }
    // Where fewer are wanted it doesn't matter how many there could be.
    assert_eq!(list("10,1200,2", 254), Some(254));
    assert_eq!(list("10,1200,2", 7), Some(7));
}

/// Of several prices at which a way was met the least are kept, so that the order of threads
/// decides nothing.
#[test]
fn a_way_is_met_at_the_least_of_its_prices() {
    let met = Met::default();
    let prices = |needed: &[u32]| met.prices(needed).map(|p| p.to_vec());
    met.keep(&[3, 1], &[5, 5]);
    met.keep(&[3, 1], &[6, 4]);
    assert_eq!(prices(&[3, 1]), Some(vec![5, 5]));
    met.keep(&[3, 1], &[5, 4]);
    assert_eq!(prices(&[3, 1]), Some(vec![5, 4]));
    met.keep(&[2, 2], &[1, 9]);
    // The same counts, or the least of those that are enough.
    assert_eq!(prices(&[2, 2]), Some(vec![1, 9]));
    assert_eq!(prices(&[2, 1]), Some(vec![1, 9]));
    assert_eq!(prices(&[3, 0]), Some(vec![5, 4]));
    assert_eq!((prices(&[3, 2]), prices(&[4, 0])), (None, None));
}
