//! Figures of leaves, stacks, ranges and places beside ones worked out by hand: a bound that is
//! looser than it need be proves less, and nothing else would tell.

use crate::cut::leaf::{Alike, Candidate, Profile, profile};
use crate::cut::ranges::{Places, Range};
use crate::cut::serve::LeafForm;
use crate::cut::stack::stacks;
use crate::length::Length;
use crate::lumber::Bend;
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
    // Three fit; two are wanted in all, one of them long.
    assert_eq!(items(most((1, 2), (0, 31), 0)), [0, 1]);
}
