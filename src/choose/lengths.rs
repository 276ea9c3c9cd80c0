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

use crate::choose::assemble::{Laid, Opened};
use crate::choose::effort::lengths::{FEW, LEVELS, MANY};
use crate::choose::problem::Problem;
use crate::cut::serve::Item;
use crate::paddle::{Families, StripKind};

/// Kinds of strip put into groups: indices into the kinds of the job, each group the longest first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Groups(Vec<Vec<usize>>);

impl Groups {
    /// Kinds with a group for each, as long as its longest.
    pub fn longest(&self, kinds: &[StripKind]) -> Vec<StripKind> {
        self.merged(kinds, |group| group.first())
    }

    /// Kinds with a group for each, as short as its shortest.
    pub fn shortest(&self, kinds: &[StripKind]) -> Vec<StripKind> {
        self.merged(kinds, |group| group.last())
    }

    fn merged(
        &self,
        kinds: &[StripKind],
        of: impl Fn(&[usize]) -> Option<&usize>,
    ) -> Vec<StripKind> {
        let merge = |group: &Vec<usize>| {
            let lines = group.iter().flat_map(|&k| kinds[k].lines.iter().copied()).collect();
            of(group).map(|&k| StripKind { lines, ..kinds[k].clone() })
        };
        self.0.iter().filter_map(merge).collect()
    }

    /// The wood that it takes to cut every strip as long as the longest of its group.
    fn waste(group: &[usize], kinds: &[StripKind], wanted: &[u32]) -> i128 {
        let most = group.first().map_or(0, |&k| kinds[k].volume());
        group.iter().map(|&k| (most - kinds[k].volume()) * i128::from(wanted[k])).sum()
    }

    /// Parts the group where that saves most; false if all are single kinds.
    fn part(&mut self, kinds: &[StripKind], wanted: &[u32]) -> bool {
        let waste = |group: &[usize]| Groups::waste(group, kinds, wanted);
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

/// The levels of a job that wants so many strips of each kind, coarse first; none where it is of
/// few lengths. The job itself is not among them.
pub fn levels(kinds: &[StripKind], wanted: &[u32]) -> Vec<Groups> {
    let families = Families::of(kinds);
    let mut groups = Groups(Vec::new());
    for &kind in families.longest_first().iter().filter(|&&k| wanted[k] > 0) {
        let same = |g: &&mut Vec<usize>| g.iter().any(|&k| families.serves(k).any(|s| s == kind));
        match groups.0.iter_mut().find(same) {
            Some(group) => group.push(kind),
            None => groups.0.push(vec![kind]),
        }
    }
    let kinds_wanted: usize = groups.0.iter().map(Vec::len).sum();
    if kinds_wanted < MANY || groups.0.iter().all(|g| g.len() < FEW) {
        return Vec::new();
    }
    let least = groups.0.len();
    let mut levels = Vec::new();
    for more in LEVELS {
        while groups.0.len() < least + more && groups.part(kinds, wanted) {}
        if groups.0.len() == kinds_wanted {
            break;
        }
        levels.push(groups.clone());
    }
    levels
}

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
