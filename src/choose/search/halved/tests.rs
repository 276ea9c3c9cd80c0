//! Halving of lists beside every cut of few boards.

use super::{Halved, Learned, Step};
use crate::choose::kernel::cover::{Cover, Lot, Way};
use crate::choose::kernel::trial::priced;
use crate::choose::lengths::tests::job;
use crate::choose::search::enough::{Dive, Pains};
use crate::choose::search::together::Listed;
use crate::cut::BoardCuts;
use crate::length::Units;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::paddle::strip_kinds;
use crate::read::{List, boards_text};
use proptest::prelude::*;

/// Do ways, one of each list, come to what is needed?
pub fn enough(need: &[u32], lists: &[Vec<Way>]) -> bool {
    let Some((first, rest)) = lists.split_first() else { return need.iter().all(|&n| n == 0) };
    first.iter().any(|way| {
        let left: Vec<u32> =
            need.iter().zip(way.iter()).map(|(n, w)| n.saturating_sub(*w)).collect();
        enough(&left, rest)
    })
}

/// Is the answer right, and known at all where it must be?
fn right(answer: &Halved, need: &[u32], lists: &[Vec<Way>]) -> Result<(), TestCaseError> {
    match answer {
        Halved::Enough(ways) => {
            prop_assert!(ways.len() == lists.len());
            let given = |k: usize| ways.iter().map(|w| w.1[k]).sum::<u32>();
            prop_assert!(need.iter().enumerate().all(|(k, &n)| given(k) >= n));
            prop_assert!(enough(need, lists));
        }
        Halved::No => prop_assert!(!enough(need, lists), "{need:?} {lists:?}"),
        Halved::Open => {}
    }
    Ok(())
}

fn far() -> Pains {
    Pains { halves: 100_000, ..Pains::SHORT }
}

/// Two paddles, and boards of these widths, bowed or not, with a knot each that begins there.
pub fn shop(of: &[(i32, i32, i32, i32)]) -> (Job, Vec<Board>) {
    let job = job(&[(130, 42), (110, 40)]);
    let mut csv =
        "board,species,length,width,thickness,crook,bow,zone,from,to,near,far\n".to_owned();
    for (b, (width, bow, from, near)) in of.iter().enumerate() {
        // Bowed so that some strips go in as flipped pairs only.
        let bow = bow * 14;
        csv += &format!(
            "b{b},fir,2000,{width},40,0,{bow},,,,,\nb{b},,,,,,,knot,{0},{1},{near},{2}\n",
            from * 9,
            from * 9 + 40,
            near + 12
        );
    }
    let boards = boards_text("b.csv", &csv, Units::Mm, List::OnHand).unwrap();
    (job, boards)
}

/// Every best way of a board, and giving nothing.
pub fn every_way(cuts: &BoardCuts, need: &[u32]) -> Vec<Way> {
    let all = cuts.list(need, &[], 100_000_000).unwrap();
    all.into_iter().chain(std::iter::once(vec![0; need.len()])).map(Way::from).collect()
}

/// A way that another of its list covers is not taken for it, though prices don't tell them apart.
#[test]
fn of_two_ways_the_one_that_covers_the_other_is_taken() {
    let way = |n: [u32; 2]| Way::from(n.to_vec());
    let lists = [vec![way([0, 2]), way([3, 2])], vec![way([2, 1])]];
    let lot = |ways: &Vec<Way>| Lot { cuts: None, cost: 2, ways: ways.clone(), listed: true };
    let cover = Cover::new(vec![3, 3], lists.iter().map(lot).collect(), &[1, 1]).unwrap();
    let of = |(board, ways): (usize, &Vec<Way>)| Listed { board, ways: ways.clone(), alone: true };
    let mut listed: Vec<Listed> = lists.iter().enumerate().map(of).collect();
    let mut dive = Dive::new(&cover, &[0.0, 1.0], far(), &|| false);
    let answer = dive.halved(&[3, 3], &mut listed, vec![vec![0, 0]]);
    assert!(matches!(answer, Halved::Enough(_)));
    right(&answer, &[3, 3], &lists).unwrap();
}

proptest! {
    #[test]
    fn lists_that_are_halved_are_decided((cover, prices) in priced()) {
        prop_assume!(cover.need.iter().any(|&n| n > 0));
        let lists: Vec<Vec<Way>> = cover.stock.iter().map(|s| cover.lots[s.lot].ways.clone()).collect();
        let listed = lists.iter().cloned().enumerate();
        let mut listed: Vec<Listed> =
            listed.map(|(board, ways)| Listed { board, ways, alone: true }).collect();
        let scales = vec![1.0; prices.len()];
        let mut dive = Dive::new(&cover, &scales, far(), &|| false);
        let answer = dive.halved(&cover.need, &mut listed, vec![cover.whole_prices(&prices)]);
        prop_assert!(!matches!(answer, Halved::Open));
        right(&answer, &cover.need, &lists)?;
    }

    /// Of boards with little work for listing some are valued as they are, and asked at last.
    #[test]
    fn boards_that_are_not_listed_are_decided_as_if_they_were(
        needs in prop::collection::vec(0..7_u32, 4),
        boards in prop::collection::vec((50..110_i32, 0..2_i32, 10..200_i32, 4..36_i32), 2..4),
        listed in prop::collection::vec(any::<bool>(), 3),
        work in prop::sample::select(vec![1_u64, 20, 400, 100_000]),
        prices in prop::collection::vec(1..50_i64, 4),
    ) {
        let (job, boards) = shop(&boards);
        let kinds = strip_kinds(&job);
        let wanted = vec![9; kinds.len()];
        let cut = |b| BoardCuts::new(b, &job.shop, &kinds, &wanted);
        let cuts: Vec<BoardCuts> = boards.iter().map(cut).collect();
        let need: Vec<u32> = (0..kinds.len()).map(|k| needs[k % 4]).collect();
        prop_assume!(need.iter().any(|&n| n > 0));
        let lists: Vec<Vec<Way>> = cuts.iter().map(|c| every_way(c, &need)).collect();
        let lot = |c| Lot { cuts: Some(c), cost: 5, ways: Vec::new(), listed: false };
        let lots: Vec<Lot<'_>> = cuts.iter().map(lot).collect();
        let cover = Cover::new(need.clone(), lots, &vec![1; cuts.len()]).unwrap();
        let of = |(board, ways): (usize, &Vec<Way>)| {
            let alone = listed[board % 3] || board == 0;
            Listed { board, ways: if alone { ways.clone() } else { Vec::new() }, alone }
        };
        let mut some: Vec<Listed> = lists.iter().enumerate().map(of).collect();
        let scales = vec![1.0; need.len()];
        let pains = Pains { list: work, ..far() };
        let mut dive = Dive::new(&cover, &scales, pains, &|| false);
        let prices = (0..need.len()).map(|k| prices[k % 4]).collect();
        let answer = dive.halved(&need, &mut some, vec![prices]);
        right(&answer, &need, &lists)?;
        prop_assert!(work < 100_000 || !matches!(answer, Halved::Open));
    }

    /// What is learned of a board that can't give what is left is so, and refutes nothing else.
    #[test]
    fn what_is_learned_of_a_board_is_so(
        needs in prop::collection::vec(0..9_u32, 4),
        asked in prop::collection::vec(0..9_u32, 4),
        boards in prop::collection::vec((50..110_i32, 0..2_i32, 10..200_i32, 4..36_i32), 2..4),
        tries in 0..8_usize,
        first: bool,
    ) {
        let (job, boards) = shop(&boards);
        let kinds = strip_kinds(&job);
        let wanted = vec![9; kinds.len()];
        let cut = |b| BoardCuts::new(b, &job.shop, &kinds, &wanted);
        let cuts: Vec<BoardCuts> = boards.iter().map(cut).collect();
        let open = if first { 0 } else { cuts.len() - 1 };
        let asked: Vec<u32> = (0..kinds.len()).map(|k| asked[k % 4]).collect();
        prop_assume!(cuts[open].decide(&asked, 10_000_000) == Some(None));
        let need: Vec<u32> = (0..kinds.len()).map(|k| needs[k % 4]).collect();
        let lot = |c| Lot { cuts: Some(c), cost: 5, ways: Vec::new(), listed: false };
        let cover =
            Cover::new(need.clone(), cuts.iter().map(lot).collect(), &vec![1; cuts.len()]).unwrap();
        let scales = vec![1.0; need.len()];
        let dive = Dive::new(&cover, &scales, far(), &|| false);
        let mut left_of = tries;
        let less = dive.weakened(&cuts[open], asked.clone(), &mut left_of);
        prop_assert!(less.iter().zip(&asked).all(|(l, a)| l <= a));
        prop_assert_eq!(cuts[open].decide(&less, 10_000_000), Some(None));
        let lists: Vec<Vec<Way>> = cuts.iter().map(|c| every_way(c, &need)).collect();
        let of = |(board, ways): (usize, &Vec<Way>)| {
            let alone = board != open;
            Listed { board, ways: if alone { ways.clone() } else { Vec::new() }, alone }
        };
        let listed: Vec<Listed> = lists.iter().enumerate().map(of).collect();
        let learned = Learned { refuted: vec![(open, less)], ..Learned::default() };
        if learned.refutes(&need, &listed) {
            prop_assert!(!enough(&need, &lists), "{:?}", need);
        }
        // Each listed board cut in one way: the last one is asked for the rest.
        let single: Vec<Listed> = listed
            .iter()
            .map(|l| Listed { ways: l.ways.iter().take(1).cloned().collect(), ..l.clone() })
            .collect();
        let of_single = |l: &Listed| if l.alone { l.ways.clone() } else { lists[l.board].clone() };
        let ways: Vec<Vec<Way>> = single.iter().map(of_single).collect();
        let mut learned = Learned { tries, ..Learned::default() };
        match dive.last(&need, &single, &mut learned) {
            Step::Enough(_) => prop_assert!(enough(&need, &ways)),
            Step::Nothing => {
                prop_assert!(!enough(&need, &ways));
                prop_assert!(learned.refutes(&need, &single));
            }
            _ => prop_assert!(false),
        }
    }
}
