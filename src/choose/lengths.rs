//! Jobs of many lengths, first as if they were of few.
//!
//! Where every paddle has a size of its own there are as many kinds of strip as laminations and
//! paddles, and neither prices nor lists get far with dozens of kinds. So the lengths of each
//! family of strips ([`crate::paddle::families`]) are put into few groups, and the job is planned
//! twice over:
//!
//! * **every strip as long as the longest of its group**: what can be cut then can be cut, since a
//!   longer strip serves for a shorter one, so the plan is a plan for the job;
//! * **every strip as short as the shortest of its group**: whatever the job needs is enough for
//!   that, so what is proved of it (no choice is cheaper, or there is none) is proved of the job.
//!
//! Groups are parted further, level after level, where that saves most wood. Each level begins
//! with the last one's choice. The last level is the job itself.

use crate::choose::effort::MANY_STRIPS;
use crate::choose::effort::lengths::{FEW, FINE, LEVELS, MANY, PLENTY};
use crate::choose::laid::{Laid, Opened};
use crate::choose::problem::Problem;
use crate::cut::BoardCuts;
use crate::cut::serve::Item;
use crate::lumber::Board;
use crate::paddle::{Families, Job, StripKind};
use crate::stop::Stop;
use rayon::prelude::*;

/// Kinds of strip put into groups: indices into the kinds of the job, each group the longest first.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Groups(Vec<Vec<usize>>);

impl Groups {
    /// Kinds with a group for each, of the length of one of its ends.
    fn merged(&self, kinds: &[StripKind], end: End) -> Vec<StripKind> {
        let merge = |group: &Vec<usize>| {
            let &of = end.of(group)?;
            // The lines of that end come first: strips in hand are tried with the first one.
            let others = group.iter().filter(|&&k| k != of);
            let all = std::iter::once(&of).chain(others);
            let lines = all.flat_map(|&k| kinds[k].lines.iter().copied()).collect();
            Some(StripKind { lines, ..kinds[of].clone() })
        };
        self.0.iter().filter_map(merge).collect()
    }

    /// What it costs, about, to cut every strip of a group for this one of its kinds.
    fn waste(group: &[usize], of: Option<&usize>, wanted: &[u32], dear: &[i128]) -> i128 {
        let one = of.map_or(0, |&k| dear[k]);
        group.iter().map(|&k| (one - dear[k]).abs() * i128::from(wanted[k])).sum()
    }

    /// Parts the group where that saves most; false if all are single kinds.
    fn part(&mut self, end: End, wanted: &[u32], dear: &[i128]) -> bool {
        let waste = |group: &[usize]| Groups::waste(group, end.of(group), wanted, dear);
        let mut best: Option<(i128, usize, usize)> = None;
        for (g, group) in self.0.iter().enumerate() {
            for at in 1..group.len() {
                let saved = waste(group) - waste(&group[..at]) - waste(&group[at..]);
                if best.is_none_or(|b| saved > b.0) {
                    best = Some((saved, g, at));
                }
            }
        }
        let Some((_, g, at)) = best else { return false };
        let rest = self.0[g].split_off(at);
        self.0.insert(g + 1, rest);
        true
    }
}

/// Which of a group's kinds stands for all of it.
#[derive(Clone, Copy)]
enum End {
    Longest,
    Shortest,
}

impl End {
    fn of(self, group: &[usize]) -> Option<&usize> {
        match self {
            End::Longest => group.first(),
            End::Shortest => group.last(),
        }
    }
}

/// A level: groups for a plan, and groups for a bound.
#[derive(Clone, Debug)]
pub struct Level {
    /// Kinds as long as the longest of their groups.
    pub longest: Vec<StripKind>,
    /// Kinds as short as the shortest of theirs.
    pub shortest: Vec<StripKind>,
}

/// Is a job of many lengths, few strips of each? Where many of a kind are wanted the length of a
/// longer strip is hardly ever wasted on a shorter one, and counts tell more than sums.
pub fn many(kinds: &[StripKind], wanted: &[u32]) -> bool {
    are_many(&families(kinds, wanted), wanted)
}

fn are_many(families: &[Vec<usize>], wanted: &[u32]) -> bool {
    let of: u64 = families.iter().map(|f| f.len() as u64).sum();
    let strips: u64 = wanted.iter().map(|&n| u64::from(n)).sum();
    // Some lengths in one family, or two in each on the average.
    let lengths = families.iter().any(|f| f.len() >= FEW) || of >= 2 * families.len() as u64;
    of >= MANY && strips <= of * PLENTY && lengths
}

/// The kinds that are wanted, by families, each the longest first.
fn families(kinds: &[StripKind], wanted: &[u32]) -> Vec<Vec<usize>> {
    let all = Families::of(kinds);
    let mut families: Vec<Vec<usize>> = Vec::new();
    for &kind in all.longest_first().iter().filter(|&&k| wanted[k] > 0) {
        let same = |f: &&mut Vec<usize>| all.served_by(kind).any(|longer| f.contains(&longer));
        match families.iter_mut().find(same) {
            Some(family) => family.push(kind),
            None => families.push(vec![kind]),
        }
    }
    families
}

/// The levels of a job that wants so many strips of each kind, coarse first; none where it is of
/// few lengths. The job itself is not among them.
pub fn levels(
    job: &Job,
    boards: &[Board],
    kinds: &[StripKind],
    wanted: &[u32],
    stop: &Stop,
) -> Vec<Level> {
    let groups = families(kinds, wanted);
    if !are_many(&groups, wanted) {
        return Vec::new();
    }
    let all: usize = groups.iter().map(Vec::len).sum();
    // Where hardly any family has several lengths, the first level takes as long as the job.
    if all < 2 * groups.len() {
        return Vec::new();
    }
    let dear = dear(job, boards, kinds, wanted, stop);
    let least = groups.len();
    let (mut long, mut short) = (Groups(groups.clone()), Groups(groups));
    let mut levels = Vec::new();
    let few = wanted.iter().sum::<u32>() <= MANY_STRIPS;
    for more in LEVELS.into_iter().filter(|&more| few || more <= FINE) {
        while long.0.len() < least + more && long.part(End::Longest, wanted, &dear) {}
        while short.0.len() < least + more && short.part(End::Shortest, wanted, &dear) {}
        if long.0.len() == all {
            break;
        }
        let longest = long.merged(kinds, End::Longest);
        levels.push(Level { longest, shortest: short.merged(kinds, End::Shortest) });
    }
    levels
}

/// The kinds that are wanted in groups, so many of them or one for each family, each the longest
/// first: such that little length is lost if every strip is as short as the shortest of its group.
pub fn shortest_of_groups(kinds: &[StripKind], wanted: &[u32], most: usize) -> Vec<Vec<usize>> {
    let mut groups = Groups(families(kinds, wanted));
    let long: Vec<i128> = kinds.iter().map(|k| i128::from(k.length.units())).collect();
    while groups.0.len() < most && groups.part(End::Shortest, wanted, &long) {}
    groups.0
}

/// How dear a strip of each kind is, for comparison: so many parts of all the boards, if they were
/// cut into nothing else. Where that is the same for two lengths there is no use in telling them
/// apart. Bent boards are passed over, if there are others.
fn dear(
    job: &Job,
    boards: &[Board],
    kinds: &[StripKind],
    wanted: &[u32],
    stop: &Stop,
) -> Vec<i128> {
    let any = boards.iter().any(|b| !b.bent());
    let of: Vec<&Board> = boards.iter().filter(|b| !any || !b.bent()).collect();
    let yields = |k: usize| -> i128 {
        let kind = std::slice::from_ref(&kinds[k]);
        let one = |board: &&Board| {
            let cuts = BoardCuts::until_stopped(board, &job.shop, kind, &[ASKED], stop);
            i128::from(cuts.value(&[1]).best) * i128::from(board.quantity)
        };
        of.iter().map(one).sum()
    };
    (0..kinds.len())
        .into_par_iter()
        .map(|k| {
            if wanted[k] == 0 || stop.asked() {
                return 0;
            }
            // Length decides between kinds of which there are equally many.
            (PARTS << 32) / yields(k).max(1) + i128::from(kinds[k].length.units())
        })
        .collect()
}

/// Parts of all boards.
const PARTS: i128 = 1 << 40;
/// Strips of one kind that a board is asked for at most.
const ASKED: u32 = 200;

/// A choice of one level, laid out, as the choice that another one of finer groups begins with.
/// `None` if it has boards or kinds that the other one doesn't know.
pub fn carried(from: &Problem<'_>, laid: &[Laid], to: &Problem<'_>) -> Option<Vec<Laid>> {
    let same = |a: &StripKind, b: &StripKind| a.length == b.length && a.alike_but_for_length(b);
    let kind_of: Vec<Option<usize>> =
        from.kinds.iter().map(|k| to.kinds.iter().position(|t| same(k, t))).collect();
    let carry = |laid: &Laid| {
        let board = from.classes[laid.board.class].boards[laid.board.member];
        let class = to.classes.iter().position(|c| c.boards.contains(&board))?;
        let member = to.classes[class].boards.iter().position(|b| *b == board)?;
        let mut counts = vec![0; to.kinds.len()];
        for (k, n) in from.families.counts(&laid.board.gives).into_iter().enumerate() {
            if n > 0 {
                counts[kind_of[k]?] += n;
            }
        }
        let gives = to.families.sums(&counts);
        let item = |i: &Item| Some(Item { kind: kind_of[i.kind]?, ..*i });
        let items: Option<Vec<Item>> = laid.items.iter().map(item).collect();
        let board = Opened { class, member, gives };
        Some(Laid { board, items: items?, sections: laid.sections.clone() })
    };
    laid.iter().map(carry).collect()
}

#[cfg(test)]
pub(crate) mod tests {
    use super::{families, shortest_of_groups};
    use crate::cut::BoardCuts;
    use crate::cut::outlook::Of;
    use crate::cut::ranges::Places;
    use crate::length::{Length, Units};
    use crate::paddle::strip_kinds;
    use crate::read::{List, boards_text, job_text};
    use crate::stop::Stop;
    use proptest::prelude::*;

    /// Paddles of these lengths and looms, in cm, alike in all else.
    pub(crate) fn job(sizes: &[(u32, u32)]) -> crate::paddle::Job {
        let shop = "units = \"mm\"\n[shop]\nfar_edge = 0\ncurve_kerf = 3\nmin_rip = 150\n";
        let paddle = |(n, (length, loom)): (usize, &(u32, u32))| {
            let (length, loom) = (length * 10, loom * 10);
            format!(
                "[[paddle]]\nname = \"p{n}\"\nlength = {length}\nloom = {loom}\nthickness = 35\n\
                 rings = 0\n\
                 [[paddle.lamination]]\nname = \"side\"\nthickness = 9\nruns = \"through\"\n\
                 [[paddle.lamination]]\nname = \"blade\"\nthickness = 12\nruns = \"blade\"\n"
            )
        };
        let text: String = sizes.iter().enumerate().map(paddle).collect();
        job_text("p.toml", &(shop.to_owned() + &text)).unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        /// Whatever a board gives, its outlook with lengths in groups gives too, also for needs of
        /// which a longer strip is wanted more often than a shorter one.
        #[test]
        fn lengths_in_groups_give_no_less(
            sizes in prop::collection::vec((90..130_u32, 30..50_u32), 2..5),
            (crook, bow) in prop::sample::select(vec![(0, 0), (20, 0), (-20, 0), (15, 40), (0, 45)]),
            knot in (100..1_900_i32, 10..60_i32),
            most in 1..8_usize,
            parts in 1..5_i64,
            needs in prop::collection::vec(0..5_u32, 8),
            prices in prop::collection::vec(0..50_i64, 8),
            in_sums: bool,
        ) {
            let job = job(&sizes);
            let kinds = strip_kinds(&job);
            // Of some lengths none may be wanted of the boards, since enough are in hand.
            let wanted: Vec<u32> = (0..kinds.len()).map(|k| needs[k % 8] % 3 * 2).collect();
            prop_assume!(wanted.iter().any(|&n| n > 0));
            let csv = format!(
                "board,species,length,width,thickness,crook,bow,zone,from,to,near,far\n\
                 b,fir,2400,80,40,{crook},{bow},,,,,\n\
                 b,,,,,,,knot,{},{},{},{}",
                knot.0, knot.0 + 40, knot.1, knot.1 + 15
            );
            let board = boards_text("b.csv", &csv, Units::Mm, List::OnHand).unwrap().remove(0);
            let stop = Stop::default();
            let of = Of { board: &board, shop: &job.shop, kinds: &kinds, stop: &stop };
            let groups = shortest_of_groups(&kinds, &wanted, most);
            let least = families(&kinds, &wanted).len();
            prop_assert!(groups.len() >= least && groups.len() <= most.max(least));
            let parted = Places::parted(Length::ZERO, board.length, parts);
            let few = of.cuts_as(&wanted, &parted, &groups);
            let real: BoardCuts = of.cuts(&wanted, &Places::default());
            prop_assume!(few.complete && real.complete);
            let prices: Vec<i64> = (0..kinds.len()).map(|k| prices[k % 8]).collect();
            let comes_to = few.best(&few.value(&prices)).0;
            prop_assert!(few.most_strips() >= real.most_strips());
            // As few more is asked of boards once others are cut.
            let need: Vec<u32> = match in_sums {
                true => crate::paddle::Families::of(&kinds).sums(&wanted),
                false => (0..kinds.len()).map(|k| needs[k % 8]).collect(),
            };
            let listed = |cuts: &BoardCuts| cuts.list(&need, &[], 10_000_000);
            let (Some(ways), Some(hoped)) = (listed(&real), listed(&few)) else { return Ok(()) };
            // What is said of a shorter strip may be as much as is had of a longer one, where no
            // more is wanted: so much it is at least.
            let covered = |way: &Vec<u32>| {
                hoped.iter().any(|h| {
                    let enough = |k: usize| {
                        let longer = of_families(&kinds, k).filter(|&l| need[l] >= need[k]);
                        h[k] >= way[k] || longer.into_iter().any(|l| h[l] >= way[l])
                    };
                    (0..need.len()).all(enough)
                })
            };
            // Either most is more than what is had where strips are odd, so ways are compared with it.
            let plenty = vec![20; kinds.len()];
            for way in ways.iter().chain(&real.list(&plenty, &[], 1_000_000).unwrap_or_default()) {
                let worth: i64 = way.iter().zip(&prices).map(|(&n, p)| i64::from(n) * p).sum();
                prop_assert!(worth <= comes_to, "{:?} at {:?} for {}", way, prices, comes_to);
            }
            for way in &ways {
                prop_assert!(covered(way), "{:?} of {:?} need {:?}", way, hoped, need);
                prop_assert!(few.decide(way, 10_000_000) != Some(None));
            }
        }
    }

    fn of_families(kinds: &[crate::paddle::StripKind], kind: usize) -> impl Iterator<Item = usize> {
        let families = crate::paddle::Families::of(kinds);
        let longer: Vec<usize> = families.served_by(kind).skip(1).collect();
        longer.into_iter()
    }
}
