//! What freed boards are changed for, and what prices become for it, beside figures worked out by
//! hand.

use crate::choose::effort::EFFORT;
use crate::choose::effort::freed::AGAIN;
use crate::choose::kernel::cover::{Choice, Cover, Lot, Way};
use crate::choose::search::freed::{Drawn, at_need, improve, instead, mend};
use crate::cut::BoardCuts;
use crate::length::Length;
use crate::lumber::{Board, Species};
use crate::paddle::strip_kinds;
use crate::read::job_text;

/// Boards of one way each: what one costs and gives.
fn boards(need: &[u32], of: &[(i64, [u32; 2])]) -> Cover<'static> {
    let lot = |&(cost, way): &(i64, [u32; 2])| Lot {
        cuts: None,
        cost,
        ways: vec![Way::from(way)],
        listed: true,
    };
    let copies = vec![1; of.len()];
    Cover::new(need.to_vec(), of.iter().map(lot).collect(), &copies).expect("small numbers")
}

/// The choice that opens these boards.
fn opened(cover: &Cover<'_>, boards: &[usize]) -> Choice {
    let way = |b| boards.contains(&b).then(|| cover.lot(b).ways[0].clone());
    (0..cover.stock.len()).map(way).collect()
}

fn open(choice: &Choice) -> Vec<usize> {
    (0..choice.len()).filter(|&b| choice[b].is_some()).collect()
}

/// Two boards at 9 that give two strips each; whole ones at 5, 8 and 9 that give the same, and
/// one at 30 that gives all.
const DEAR: [(i64, [u32; 2]); 7] =
    [(9, [2, 0]), (9, [0, 2]), (5, [2, 0]), (8, [0, 2]), (9, [2, 0]), (30, [2, 2]), (4, [2, 0])];

#[test]
fn dear_boards_are_changed_for_the_cheapest_whole_ones() {
    let cover = boards(&[2, 2], &DEAR);
    let prices = [2.0, 4.0];
    let mut told = Vec::new();
    let mut tell = |cost| told.push(cost);
    let start = opened(&cover, &[0, 1]);
    let new =
        improve(&cover, start.clone(), (&mut Drawn::new(), &prices), (0, AGAIN), EFFORT, &mut tell);
    assert_eq!((open(&new), told.last()), (vec![3, 6], Some(&12)));
    // Known to be the best, or within a two hundredth of it: not a try is made.
    for (by, least, then) in [(1, 18, [0, 1]), (1_000, 17_999, [0, 1]), (1_000, 17_900, [3, 6])] {
        let cover = boards(&[2, 2], &DEAR.map(|(cost, way)| (cost * by, way)));
        let drawn = &mut Drawn::new();
        let new =
            improve(&cover, start.clone(), (drawn, &prices), (least, AGAIN), EFFORT, &mut |_| {});
        assert_eq!(open(&new), then, "{least}");
    }
}

#[test]
fn what_freed_boards_gave_is_had_for_less_or_not_at_all() {
    let cover = boards(&[2, 2], &DEAR);
    let free = |from: &[usize], freed: &[usize], prices: [f64; 2]| {
        let start = opened(&cover, from);
        let (new, all) = instead(&cover, &start, freed, &prices, (cover.cost(&start), EFFORT));
        (new.map(|n| open(&n)), all)
    };
    // Prices that pass nothing over, and prices that tell what is of no use.
    for prices in [[0.0, 0.0], [2.0, 4.0]] {
        assert_eq!(free(&[0, 1], &[0, 1], prices), (Some(vec![3, 6]), true));
        // What is not freed stays.
        assert_eq!(free(&[0, 1], &[0], prices), (Some(vec![1, 6]), true));
        assert_eq!(free(&[0, 1], &[1], prices), (Some(vec![0, 3]), true));
        assert_eq!(free(&[5], &[5], prices), (Some(vec![3, 6]), true));
        // One that costs as much is not better.
        assert_eq!(free(&[3, 6], &[3, 6], prices), (None, true));
        assert_eq!(free(&[0, 3], &[3], prices), (None, true));
        // More than is needed: the board stays whole.
        assert_eq!(free(&[0, 2, 3], &[0], prices), (Some(vec![2, 3]), true));
    }
    // A unit less is better.
    let cover = boards(&[2, 2], &[(9, [2, 0]), (9, [0, 2]), (8, [2, 0]), (9, [0, 2])]);
    for prices in [[0.0, 0.0], [4.0, 4.5]] {
        let start = opened(&cover, &[0, 1]);
        let new = instead(&cover, &start, &[0, 1], &prices, (18, EFFORT));
        assert_eq!((new.0.map(|n| open(&n)), new.1), (Some(vec![1, 2]), true));
    }
}

#[test]
fn a_choice_that_lacks_a_strip_is_mended_for_less_than_is_known() {
    // Boards 0 and 1 come to 10 and lack a strip of the second kind. With 1 kept, 2 and 4 give the
    // rest for 4 + 3; with 0 kept, 3 does for 8; both freed, 2, 3 and no other.
    let of = [(5, [2, 0]), (5, [0, 2]), (4, [2, 0]), (8, [0, 3]), (3, [0, 1])];
    let cover = boards(&[2, 3], &of);
    let prices = [2.0, 2.5];
    let mended = |lacking: &[usize], dear| {
        let start = opened(&cover, lacking);
        let new = mend(&cover, &start, (&mut Drawn::new(), &prices), dear, EFFORT);
        new.map(|new| (cover.meets(&new), cover.cost(&new)))
    };
    // All there is: 2, 1 and 4, or 2 and 3.
    assert_eq!(mended(&[0, 1], 100), Some((true, 12)));
    assert_eq!(mended(&[0, 1], 13), Some((true, 12)));
    assert_eq!(mended(&[0, 1], 12), None);
    // A single board is no choice to be mended.
    assert_eq!(mended(&[0], 100), None);
}

/// Strips of three lengths, the longer ones of use for the shorter ones.
#[test]
fn prices_go_to_the_longer_strip_that_serves_for_as_many() {
    let paddle = |length: i64| {
        format!(
            "[[paddle]]\nname = \"{length}\"\nlength = {length}\nloom = 8\ntrim = 0\n\
             thickness = 1\nrings = 0\n[[paddle.lamination]]\nname = \"side\"\n\
             thickness = \"1/2\"\nruns = \"through\"\n"
        )
    };
    let job = job_text("p", &[30, 24, 20].map(paddle).concat()).unwrap();
    let kinds = strip_kinds(&job);
    let sizes = [40, 4, 2].map(|n| Length::INCH * n);
    let board = Board::plain("A", Species::new("fir"), sizes);
    let cuts = BoardCuts::new(&board, &job.shop, &kinds, &[9; 3]);
    let cover = Cover {
        lots: vec![Lot { cuts: Some(&cuts), cost: 5, ways: Vec::new(), listed: false }],
        ..boards(&[9, 9], &[(5, [1, 1])])
    };
    // Of each kind its place when the longest is first.
    let place = |k: usize| kinds.iter().filter(|l| l.length > kinds[k].length).count();
    let sorted = |by: [f64; 3]| -> [f64; 3] { [0, 1, 2].map(|k| by[place(k)]) };
    let at = |need: [u32; 3], prices: [f64; 3]| {
        let need = [0, 1, 2].map(|k| need[place(k)]);
        at_need(&cover, &need, &sorted(prices))
    };
    for (need, prices) in [
        ([2, 1, 1], [9.0, 0.0, 0.0]),
        ([2, 2, 2], [9.0, 0.0, 0.0]),
        ([1, 2, 3], [5.0, 3.0, 1.0]),
        ([1, 2, 1], [5.0, 4.0, 0.0]),
        ([1, 0, 1], [6.0, 0.0, 0.0]),
        ([1, 0, 2], [5.0, 0.0, 1.0]),
        ([0, 2, 0], [0.0, 3.0, 0.0]),
        ([0, 0, 0], [0.0, 0.0, 0.0]),
    ] {
        assert_eq!(at(need, [5.0, 3.0, 1.0]), sorted(prices), "{need:?}");
    }
}
