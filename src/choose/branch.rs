//! Branch and bound over the boards of a cover.
//!
//! A node says of some boards that they are opened or stay whole, and limits the ways of some.
//! Its bound comes from prices, improved by subgradient steps from its parent's; what is believed
//! is the exact bound in whole numbers. Boards whose opposite fate would reach the best cost are
//! settled on the way. Once all fates are decided, [`crate::choose::fixed`] asks whether the boards
//! are enough. Nodes are taken best bound first, in batches of fixed size that are worked on side
//! by side, so the number of cores changes nothing.

use crate::choose::around::around;
use crate::choose::ascend::{Ascent, Decided, Pace, ascend, bound, decide, settle};
use crate::choose::cover::{Choice, Cover, Fate, Way, whole_prices, whole_units};
use crate::choose::first;
use crate::choose::fixed::{Enough, Together, enough, together};
use rayon::prelude::*;
use std::collections::BinaryHeap;
use std::sync::Arc;

/// When to stop.
#[derive(Clone, Copy)]
pub struct Limits<'a> {
    /// After about so many valuations of boards.
    pub valuations: usize,
    /// When this says so; asked between batches.
    pub stop: &'a (dyn Fn() -> bool + Sync),
    /// Comparisons of labels for listing one board's ways.
    pub list: u64,
}

/// What was found.
#[derive(Clone, Debug)]
pub struct Found {
    /// The best choice, if any gives every strip.
    pub choice: Option<Choice>,
    /// No choice costs less than this.
    pub bound: i64,
    /// Nodes looked at.
    pub nodes: usize,
}

/// Subgradient steps at the root and at a node.
const ROOT_STEPS: usize = 150;
const NODE_STEPS: usize = 45;
/// Nodes worked on side by side.
const BATCH: usize = 16;

#[derive(Clone)]
struct Node {
    bound: i64,
    id: usize,
    prices: Vec<f64>,
    decided: Decided,
    branch: Branch,
}

#[derive(Clone, Debug)]
enum Branch {
    /// Open this board or leave it whole.
    Board(usize),
    /// Cut this board in one of the first ways, or in one of the others.
    Ways(usize, Arc<Vec<u16>>, Arc<Vec<u16>>),
    /// All fates are decided; the boards may or may not be enough.
    Fixed,
}

/// What became of a node.
struct Worked {
    node: Option<Node>,
    found: Option<Choice>,
    met: Vec<(usize, Way)>,
    /// Not decided, and not to be split further: its bound stands for it.
    open: Option<i64>,
}

/// Orders nodes for the heap: least bound first, then the earlier one.
struct Queued(Node);

impl PartialEq for Queued {
    fn eq(&self, other: &Self) -> bool {
        self.0.id == other.0.id
    }
}
impl Eq for Queued {}
impl PartialOrd for Queued {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Queued {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (other.0.bound, other.0.id).cmp(&(self.0.bound, self.0.id))
    }
}

/// The search over one cover.
pub struct Search<'a> {
    cover: Cover<'a>,
    scales: Vec<f64>,
    best: Option<Choice>,
    cost: i64,
}

impl<'a> Search<'a> {
    /// Prepares a search; `scales` are typical prices of the kinds of strip, `known` a choice to
    /// begin with.
    pub fn new(cover: Cover<'a>, scales: Vec<f64>, known: Option<Choice>) -> Self {
        let cost = known.as_ref().map_or(cover.everything() + 1, |c| cover.cost(c));
        Search { cover, scales, best: known, cost }
    }

    /// Takes a choice if it is better than the best so far.
    fn take(&mut self, choice: Option<Choice>) -> bool {
        let Some(choice) = choice else { return false };
        let cost = self.cover.cost(&choice);
        let better = cost < self.cost && self.cover.meets(&choice);
        if better {
            (self.best, self.cost) = (Some(choice), cost);
        }
        better
    }

    /// What a node costs, in valuations of boards; one that is listed is quick.
    fn price(&self) -> usize {
        let unlisted = self.cover.lots.iter().filter(|l| !l.listed).count();
        NODE_STEPS * (unlisted + self.cover.lots.len() / 10 + 1)
    }

    /// Swaps boards of the best choice while that helps.
    fn improve(&mut self, prices: &[f64], limits: Limits<'_>) {
        if let Some(choice) = self.best.clone() {
            let improved = first::improve(&self.cover, prices, choice, 20, limits.stop);
            let improved = around(&self.cover, improved, prices, limits.stop);
            self.take(Some(improved));
        }
    }

    /// Finds the cheapest choice, from prices to begin with. `tell(best cost, bound)` is called
    /// after each batch.
    pub fn run(
        mut self,
        prices: &[f64],
        limits: Limits<'_>,
        tell: &mut dyn FnMut(Option<i64>, i64),
    ) -> Found {
        let boards = self.cover.stock.len();
        let mut root = Node {
            bound: 0,
            id: 0,
            prices: prices.to_vec(),
            decided: Decided { fates: vec![Fate::Open; boards], limits: Vec::new() },
            branch: Branch::Fixed,
        };
        let (mut nodes, mut ids) = (1, 1);
        // The root again after a better choice: a smaller gap settles more boards.
        for round in 0..4 {
            let steps = if round == 0 { ROOT_STEPS } else { NODE_STEPS * 2 };
            let worked = self.work(root, steps, limits);
            self.cover.keep(worked.met);
            let better = self.take(worked.found);
            match worked.node {
                None => {
                    let bound = worked.open.map_or(self.cost, |o| o.min(self.cost));
                    return Found { bound, choice: self.best, nodes };
                }
                Some(next) => root = next,
            }
            if better {
                self.improve(&root.prices, limits);
            } else if round > 0 {
                break;
            }
        }
        tell(self.best.as_ref().map(|_| self.cost), root.bound);
        let mut heap = BinaryHeap::from([Queued(root)]);
        let mut open = i64::MAX;
        while let Some(first) = heap.pop() {
            if first.0.bound >= self.cost {
                heap.clear();
                break;
            }
            if nodes * self.price() >= limits.valuations || (limits.stop)() {
                heap.push(first);
                break;
            }
            let mut children = Vec::with_capacity(2 * BATCH);
            let mut parent = Some(first);
            while let Some(Queued(node)) = parent.take() {
                for child in self.children(&node) {
                    children.push(Node { id: ids, ..child });
                    ids += 1;
                }
                if children.len() < 2 * BATCH {
                    parent = heap.pop().filter(|n| n.0.bound < self.cost);
                }
            }
            nodes += children.len();
            let worked: Vec<Worked> = children
                .into_par_iter()
                .map(|child| self.work(child, NODE_STEPS, limits))
                .collect();
            let mut better = false;
            for one in worked {
                self.cover.keep(one.met);
                better |= self.take(one.found);
                open = open.min(one.open.unwrap_or(i64::MAX));
                if let Some(node) = one.node {
                    heap.push(Queued(node));
                }
            }
            if better {
                self.improve(prices, limits);
            }
            let bound = heap.peek().map_or(self.cost, |n| n.0.bound.min(self.cost)).min(open);
            tell(self.best.as_ref().map(|_| self.cost), bound);
        }
        let bound = heap.peek().map_or(self.cost, |n| n.0.bound.min(self.cost)).min(open);
        Found { choice: self.best, bound, nodes }
    }

    /// The two children of a node; fates of equal boards follow each other.
    fn children(&self, node: &Node) -> Vec<Node> {
        match &node.branch {
            Branch::Fixed => Vec::new(),
            Branch::Board(b) => [Fate::In, Fate::Out]
                .into_iter()
                .map(|fate| {
                    let mut child = node.clone();
                    decide(&self.cover, &mut child.decided.fates, *b, fate);
                    child
                })
                .collect(),
            Branch::Ways(b, these, others) => [these, others]
                .into_iter()
                .map(|ways| {
                    let mut child = node.clone();
                    child.decided.set_limit(*b, Arc::clone(ways));
                    child
                })
                .collect(),
        }
    }

    /// Bounds a node, settles what it can, looks for a choice, and says where to branch. No node
    /// comes back if nothing in it costs less than the best.
    fn work(&self, mut node: Node, steps: usize, limits: Limits<'_>) -> Worked {
        let mut done = Worked { node: None, found: None, met: Vec::new(), open: None };
        if !self.possible(&node.decided) {
            return done;
        }
        let pace = Pace { steps, target: self.cost, scales: &self.scales, stop: limits.stop };
        let mut ascent = ascend(&self.cover, &node.decided, &node.prices, pace);
        done.met.append(&mut ascent.met);
        let whole = whole_prices(&ascent.prices);
        let (total, reduced) = bound(&self.cover, &node.decided, &whole);
        node.bound = node.bound.max(whole_units(total));
        node.prices.clone_from(&ascent.prices);
        if node.bound >= self.cost {
            return done;
        }
        let start = self.known(&node.decided, &ascent);
        done.found = first::complete(&self.cover, &ascent.prices, start);
        if !settle(&self.cover, &mut node.decided, &whole, (total, &reduced), self.cost) {
            return done;
        }
        node.branch = self.branch(&node.decided, &ascent);
        match node.branch {
            Branch::Fixed => self.fixed(node, limits, &mut done),
            _ => done.node = Some(node),
        }
        done
    }

    /// All fates are decided: are the boards enough?
    fn fixed(&self, node: Node, limits: Limits<'_>, done: &mut Worked) {
        let cost: i64 = (0..self.cover.stock.len())
            .filter(|&b| node.decided.fates[b] == Fate::In)
            .map(|b| self.cover.lot(b).cost)
            .sum();
        if cost >= self.cost {
            return;
        }
        // Nothing in the node costs less than its bound, nor than its boards.
        let least = cost.max(node.bound);
        if (limits.stop)() {
            done.open = Some(least);
            return;
        }
        let stop = limits.stop;
        let (answer, met) = enough(&self.cover, &node.decided, &node.prices, &self.scales, stop);
        done.met.extend(met);
        let maybe = match answer {
            Enough::No => return,
            Enough::Yes(choice) => {
                done.found = Some(choice);
                return;
            }
            Enough::Maybe(maybe) => maybe,
        };
        match together(&self.cover, &node.decided, &maybe, (limits.list, stop)) {
            Some(Together::No) => {}
            Some(Together::Yes(ways)) => {
                let mut all: Choice = vec![None; self.cover.stock.len()];
                ways.into_iter().for_each(|(b, way)| all[b] = Some(way));
                done.found = Some(all);
            }
            Some(Together::Unknown(all)) => {
                match self.within(all, &maybe.boards, &node.prices, limits, 3_000) {
                    (None, true) => {}
                    (None, false) => done.open = Some(least),
                    (found, _) => done.found = found,
                }
            }
            None => done.open = Some(least),
        }
    }

    /// Depth first over the listed ways of boards that are all opened. Returns a choice that is
    /// enough, or whether it is sure that there is none.
    fn within(
        &self,
        smaller: Cover<'_>,
        boards: &[usize],
        prices: &[f64],
        limits: Limits<'_>,
        nodes: usize,
    ) -> (Option<Choice>, bool) {
        let decided = Decided { fates: vec![Fate::In; boards.len()], limits: Vec::new() };
        let ceiling = smaller.everything() + 1;
        let search =
            Search { cover: smaller, scales: self.scales.clone(), best: None, cost: ceiling };
        let mut stack = vec![(decided, prices.to_vec())];
        let mut left = nodes;
        while let Some((mut decided, prices)) = stack.pop() {
            left -= 1;
            if left == 0 || (limits.stop)() {
                return (None, false);
            }
            if !search.possible(&decided) {
                continue;
            }
            let steps = NODE_STEPS * 2;
            let pace = Pace { steps, target: ceiling, scales: &self.scales, stop: limits.stop };
            let ascent = ascend(&search.cover, &decided, &prices, pace);
            let whole = whole_prices(&ascent.prices);
            let (total, reduced) = bound(&search.cover, &decided, &whole);
            if whole_units(total) >= ceiling {
                continue;
            }
            let start = ascent.last.clone();
            if let Some(choice) = first::complete(&search.cover, &ascent.prices, start) {
                let mut all: Choice = vec![None; self.cover.stock.len()];
                boards.iter().zip(choice).for_each(|(&b, way)| all[b] = way);
                return (Some(all), true);
            }
            if !settle(&search.cover, &mut decided, &whole, (total, &reduced), ceiling) {
                continue;
            }
            if let Some(Branch::Ways(b, these, others)) = search.branch_ways(&decided, &ascent) {
                for ways in [others, these] {
                    let mut child = decided.clone();
                    child.set_limit(b, ways);
                    stack.push((child, ascent.prices.clone()));
                }
            }
        }
        (None, true)
    }

    /// The choice at the end of an ascent, boards seldom opened on the way left out.
    fn known(&self, decided: &Decided, ascent: &Ascent) -> Choice {
        let mut choice = ascent.last.clone();
        for (b, way) in choice.iter_mut().enumerate() {
            if decided.fates[b] == Fate::Out || ascent.opened[b] < 0.4 {
                *way = None;
            }
        }
        choice
    }

    /// Could the boards that may be opened give every kind of strip at all, kind by kind? Lots
    /// that aren't listed are taken to give enough.
    fn possible(&self, decided: &Decided) -> bool {
        let mut left: Vec<i64> = self.cover.need.iter().map(|&n| i64::from(n)).collect();
        for b in 0..self.cover.stock.len() {
            if decided.fates[b] == Fate::Out {
                continue;
            }
            let lot = self.cover.lot(b);
            if !lot.listed {
                return true;
            }
            for (k, left) in left.iter_mut().enumerate() {
                let most = match decided.limit(b) {
                    Some(ways) => ways.iter().map(|&w| lot.ways[usize::from(w)][k]).max(),
                    None => lot.ways.iter().map(|w| w[k]).max(),
                };
                *left -= i64::from(most.unwrap_or(0));
            }
        }
        left.iter().all(|&l| l <= 0)
    }

    /// Where to branch: on a board half opened, else on any board not settled.
    fn branch(&self, decided: &Decided, ascent: &Ascent) -> Branch {
        let half = (0..self.cover.stock.len())
            .filter(|&b| decided.fates[b] == Fate::Open)
            .filter(|&b| {
                // Of equal boards the first that is not settled.
                let before = self.cover.stock[b].twin_before;
                before.is_none_or(|t| decided.fates[t] != Fate::Open)
            })
            .map(|b| (self.half(b, ascent), b))
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        if let Some((score, b)) = half {
            // Nearly whole everywhere: where a listed board's counts are not, ask there first.
            if score < 0.02
                && let Some(ways) = self.branch_ways(decided, ascent)
                && self.all_listed()
            {
                return ways;
            }
            return Branch::Board(b);
        }
        if self.all_listed() {
            return self.branch_ways(decided, ascent).unwrap_or(Branch::Fixed);
        }
        Branch::Fixed
    }

    fn all_listed(&self) -> bool {
        self.cover.lots.iter().all(|l| l.listed)
    }

    /// Splits the ways of the listed board whose counts are farthest from whole.
    fn branch_ways(&self, decided: &Decided, ascent: &Ascent) -> Option<Branch> {
        let kinds = self.cover.need.len();
        let mut split: Option<(f64, usize, usize, f64)> = None;
        for b in 0..self.cover.stock.len() {
            if decided.fates[b] == Fate::Out || ascent.opened[b] < 0.3 {
                continue;
            }
            for k in 0..kinds {
                let mean = ascent.counts[b * kinds + k] / ascent.opened[b];
                let off = (mean - mean.round()).abs() * ascent.prices[k];
                if off > 1e-6 && split.is_none_or(|s| off > s.0) {
                    split = Some((off, b, k, mean));
                }
            }
        }
        if let Some((_, b, k, mean)) = split
            && let Some(branch) = self.split(decided, b, k, mean)
        {
            return Some(branch);
        }
        for b in 0..self.cover.stock.len() {
            if decided.fates[b] == Fate::Out {
                continue;
            }
            for k in 0..kinds {
                let counts =
                    self.allowed(decided, b).into_iter().map(|w| self.cover.lot(b).ways[w][k]);
                let (low, high) = counts.fold((u32::MAX, 0), |(l, h), n| (l.min(n), h.max(n)));
                if low < high {
                    let branch = self.split(decided, b, k, f64::from(low) + 0.5);
                    if branch.is_some() {
                        return branch;
                    }
                }
            }
        }
        None
    }

    #[allow(clippy::cast_precision_loss)]
    fn half(&self, board: usize, ascent: &Ascent) -> f64 {
        // Equal boards share one average: count how far their sum is from whole.
        let lot = self.cover.stock[board].lot;
        let sum: f64 = (board..self.cover.stock.len())
            .take_while(|&b| self.cover.stock[b].lot == lot)
            .map(|b| ascent.opened[b])
            .sum();
        let off = (sum - sum.round()).abs();
        let mean = self.cover.everything() as f64 / self.cover.stock.len().max(1) as f64;
        off * (0.3 + 0.7 * (self.cover.lot(board).cost as f64 / mean.max(1.0)).min(2.0))
    }

    fn allowed(&self, decided: &Decided, board: usize) -> Vec<usize> {
        match decided.limit(board) {
            Some(ways) => ways.iter().map(|&w| usize::from(w)).collect(),
            None => (0..self.cover.lot(board).ways.len()).collect(),
        }
    }

    fn split(&self, decided: &Decided, board: usize, kind: usize, mean: f64) -> Option<Branch> {
        let lot = self.cover.lot(board);
        if !lot.listed {
            return None;
        }
        let (mut few, mut many) = (Vec::new(), Vec::new());
        for w in self.allowed(decided, board) {
            let part = if f64::from(lot.ways[w][kind]) <= mean { &mut few } else { &mut many };
            part.push(u16::try_from(w).ok()?);
        }
        (!few.is_empty() && !many.is_empty())
            .then(|| Branch::Ways(board, Arc::new(many), Arc::new(few)))
    }
}
