//! Branch and bound over the boards of a cover.
//!
//! A node says of some boards that they are opened or stay whole, and limits the ways of some.
//! Its bound comes from prices, improved by subgradient steps from its parent's; what is believed
//! is the exact bound of [`Cover::bound`]. Boards whose opposite fate would pass the best cost are
//! settled on the way. Nodes are taken best bound first, in batches of fixed size that are worked
//! on side by side, so the number of cores changes nothing.

use crate::choose::cover::{Choice, Cover, Fate, PRICE_PARTS, Table, whole_prices, whole_units};
use crate::choose::first;
use rayon::prelude::*;
use std::collections::BinaryHeap;
use std::rc::Rc;
use std::sync::Arc;

/// When to stop.
#[derive(Clone, Copy)]
pub struct Limits<'a> {
    /// After so many nodes.
    pub nodes: usize,
    /// When this says so; asked between batches.
    pub stop: &'a (dyn Fn() -> bool + Sync),
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
const ROOT_STEPS: usize = 400;
const NODE_STEPS: usize = 45;
/// Nodes worked on side by side.
const BATCH: usize = 16;

#[derive(Clone)]
struct Node {
    bound: i64,
    id: usize,
    prices: Vec<f64>,
    fates: Vec<Fate>,
    /// Boards whose ways are limited, sorted by board.
    limits: Vec<(usize, Arc<Vec<u16>>)>,
    branch: Branch,
}

#[derive(Clone, Debug)]
enum Branch {
    /// Open this board or leave it whole.
    Board(usize),
    /// Cut this board in one of the first ways, or in one of the others.
    Ways(usize, Arc<Vec<u16>>, Arc<Vec<u16>>),
    /// Nothing is left to decide.
    None,
}

impl Node {
    fn limit(&self, board: usize) -> Option<&[u16]> {
        let at = self.limits.binary_search_by_key(&board, |l| l.0).ok()?;
        Some(&self.limits[at].1)
    }
}

/// Orders nodes for the heap: least bound first, then the earlier one.
struct Queued(Rc<Node>);

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
    cover: &'a Cover,
    table: Table,
    /// Size of a step for each kind of strip.
    scales: Vec<f64>,
    /// For each board the next equal one.
    twin_after: Vec<Option<usize>>,
}

/// What an ascent leaves behind.
struct Ascent {
    prices: Vec<f64>,
    /// Average fate and counts of each board along the ascent.
    opened: Vec<f64>,
    counts: Vec<f64>,
    last: Choice,
}

impl<'a> Search<'a> {
    /// Prepares a search; `scales` are typical prices of the kinds of strip.
    pub fn new(cover: &'a Cover, scales: Vec<f64>) -> Self {
        let mut twin_after = vec![None; cover.stock.len()];
        for (b, stock) in cover.stock.iter().enumerate() {
            if let Some(before) = stock.twin_before {
                twin_after[before] = Some(b);
            }
        }
        Search { cover, table: Table::new(cover), scales, twin_after }
    }

    /// Finds the cheapest choice, from prices to begin with and a choice already known.
    /// `tell(best cost, bound)` is called after each batch.
    pub fn run(
        &self,
        prices: &[f64],
        known: Option<Choice>,
        limits: Limits<'_>,
        tell: &mut dyn FnMut(Option<i64>, i64),
    ) -> Found {
        let everything: i64 = self.cover.stock.iter().map(|s| s.cost).sum();
        let mut best = known;
        let mut cost = best.as_ref().map_or(everything + 1, |c| self.cover.cost(c));
        let take = |best: &mut Option<Choice>, cost: &mut i64, new: Option<Choice>| {
            if let Some(new) = new {
                let its = self.cover.cost(&new);
                if its < *cost && self.cover.meets(&new) {
                    (*best, *cost) = (Some(new), its);
                    return true;
                }
            }
            false
        };
        let root = Node {
            bound: 0,
            id: 0,
            prices: prices.to_vec(),
            fates: vec![Fate::Open; self.cover.stock.len()],
            limits: Vec::new(),
            branch: Branch::None,
        };
        let mut heap = BinaryHeap::new();
        let (mut nodes, mut ids) = (1, 1);
        // The root again after each better choice: a smaller gap settles more boards.
        let mut root = root;
        for round in 0..4 {
            let steps = if round == 0 { ROOT_STEPS } else { NODE_STEPS * 2 };
            let (next, found) = self.work(root, cost, steps);
            let better = take(&mut best, &mut cost, found);
            match next {
                None => return Found { bound: cost, choice: best, nodes },
                Some(next) => root = next,
            }
            if better && let Some(choice) = best.clone() {
                let improved = first::improve(self.cover, &root.prices, choice, 20);
                take(&mut best, &mut cost, Some(improved));
            } else if round > 0 {
                break;
            }
        }
        if matches!(root.branch, Branch::None) {
            return Found { bound: cost, choice: best, nodes };
        }
        tell(best.as_ref().map(|_| cost), root.bound);
        heap.push(Queued(Rc::new(root)));
        while let Some(first) = heap.pop() {
            if first.0.bound >= cost {
                heap.clear();
                break;
            }
            if nodes >= limits.nodes || (limits.stop)() {
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
                    parent = heap.pop().filter(|n| n.0.bound < cost);
                }
            }
            nodes += children.len();
            let ceiling = cost;
            let worked: Vec<(Option<Node>, Option<Choice>)> = children
                .into_par_iter()
                .map(|child| self.work(child, ceiling, NODE_STEPS))
                .collect();
            let mut better = false;
            for (node, found) in worked {
                better |= take(&mut best, &mut cost, found);
                if let Some(node) = node.filter(|n| !matches!(n.branch, Branch::None)) {
                    heap.push(Queued(Rc::new(node)));
                }
            }
            if better && let Some(choice) = best.clone() {
                let improved = first::improve(self.cover, prices, choice, 20);
                take(&mut best, &mut cost, Some(improved));
            }
            tell(best.as_ref().map(|_| cost), heap.peek().map_or(cost, |n| n.0.bound.min(cost)));
        }
        let bound = heap.peek().map_or(cost, |n| n.0.bound.min(cost));
        Found { choice: best, bound, nodes }
    }

    /// The two children of a node; fates of equal boards follow each other.
    fn children(&self, node: &Node) -> Vec<Node> {
        match &node.branch {
            Branch::None => Vec::new(),
            Branch::Board(b) => [Fate::In, Fate::Out]
                .into_iter()
                .map(|fate| {
                    let mut child = node.clone();
                    self.decide(&mut child.fates, *b, fate);
                    child
                })
                .collect(),
            Branch::Ways(b, these, others) => [these, others]
                .into_iter()
                .map(|ways| {
                    let mut child = node.clone();
                    match child.limits.binary_search_by_key(b, |l| l.0) {
                        Ok(at) => child.limits[at].1 = Arc::clone(ways),
                        Err(at) => child.limits.insert(at, (*b, Arc::clone(ways))),
                    }
                    child
                })
                .collect(),
        }
    }

    fn decide(&self, fates: &mut [Fate], board: usize, fate: Fate) {
        fates[board] = fate;
        let mut twin = Some(board);
        while let Some(b) = twin {
            if fates[b] == Fate::Open {
                fates[b] = fate;
            }
            twin = match fate {
                Fate::In => self.cover.stock[b].twin_before,
                _ => self.twin_after[b],
            };
        }
    }

    /// Bounds a node, settles what it can, looks for a choice, and says where to branch. `None`
    /// in place of the node if nothing in it costs less than `ceiling`.
    fn work(&self, mut node: Node, ceiling: i64, steps: usize) -> (Option<Node>, Option<Choice>) {
        if !self.possible(&node) {
            return (None, None);
        }
        let ascent = self.ascend(&node, ceiling, steps);
        let whole = whole_prices(&ascent.prices);
        let bound = self.cover.bound(&whole, &node.fates, |b| node.limit(b));
        node.bound = node.bound.max(bound);
        node.prices.clone_from(&ascent.prices);
        let found = first::complete(self.cover, &ascent.prices, self.known(&node, &ascent));
        if node.bound >= ceiling {
            return (None, found);
        }
        if !self.settle(&mut node, &whole, ceiling) {
            return (None, found);
        }
        node.branch = self.branch(&node, &ascent);
        (Some(node), found)
    }

    /// The choice that the last step of an ascent made, with every board that must be opened.
    fn known(&self, node: &Node, ascent: &Ascent) -> Choice {
        let mut choice = ascent.last.clone();
        for (b, way) in choice.iter_mut().enumerate() {
            if node.fates[b] == Fate::Out || ascent.opened[b] < 0.4 {
                *way = None;
            }
        }
        choice
    }

    /// Could the boards that may be opened give every kind of strip at all, kind by kind?
    fn possible(&self, node: &Node) -> bool {
        let mut left: Vec<i64> = self.cover.need.iter().map(|&n| i64::from(n)).collect();
        for (b, stock) in self.cover.stock.iter().enumerate() {
            if node.fates[b] == Fate::Out {
                continue;
            }
            for (k, left) in left.iter_mut().enumerate() {
                let most = match node.limit(b) {
                    Some(ways) => ways.iter().map(|&w| stock.ways[usize::from(w)][k]).max(),
                    None => stock.ways.iter().map(|w| w[k]).max(),
                };
                *left -= i64::from(most.unwrap_or(0));
            }
        }
        left.iter().all(|&l| l <= 0)
    }

    /// Improves the node's prices step by step towards a bound of `ceiling`.
    #[allow(clippy::cast_precision_loss)]
    fn ascend(&self, node: &Node, ceiling: i64, steps: usize) -> Ascent {
        let (boards, kinds) = (self.cover.stock.len(), self.cover.need.len());
        let mut prices = node.prices.clone();
        let mut best = (f64::NEG_INFINITY, prices.clone());
        let mut opened = vec![0.0; boards];
        let mut counts = vec![0.0; boards * kinds];
        let mut last: Choice = vec![None; boards];
        let mut slope = vec![0.0; kinds];
        let mut direction = vec![0.0; kinds];
        let (mut pace, mut since) = (1.0_f64, 0);
        let target = ceiling as f64;
        for step in 0..steps {
            let mut value: f64 =
                self.cover.need.iter().zip(&prices).map(|(&n, p)| f64::from(n) * p).sum();
            for (s, &n) in slope.iter_mut().zip(&self.cover.need) {
                *s = f64::from(n);
            }
            // The averages forget their beginning.
            let weight = if step == 0 { 1.0 } else { (2.0 / (step + 2) as f64).max(0.06) };
            for b in 0..boards {
                if node.fates[b] == Fate::Out {
                    continue;
                }
                let (worth, way) = self.table.best(b, &prices, node.limit(b));
                if way == usize::MAX {
                    continue;
                }
                let reduced = self.cover.stock[b].cost as f64 - worth;
                let taken = node.fates[b] == Fate::In || reduced < 0.0;
                last[b] = Some(way);
                opened[b] *= 1.0 - weight;
                let mine = &mut counts[b * kinds..(b + 1) * kinds];
                mine.iter_mut().for_each(|c| *c *= 1.0 - weight);
                if taken {
                    value += reduced;
                    opened[b] += weight;
                    for ((s, c), n) in slope.iter_mut().zip(mine).zip(self.table.way(b, way)) {
                        *s -= n;
                        *c += weight * n;
                    }
                }
            }
            if value > best.0 + 1e-9 * value.abs() {
                if value > best.0 + 1e-5 * value.abs() {
                    since = 0;
                }
                best.0 = value;
                best.1.clone_from(&prices);
            } else {
                since += 1;
            }
            if since >= 6 {
                pace *= 0.6;
                since = 0;
                if pace < 1e-4 {
                    break;
                }
                prices.clone_from(&best.1);
            }
            if value >= target {
                break;
            }
            let mut norm = 0.0;
            for k in 0..kinds {
                direction[k] = slope[k] + 0.5 * direction[k];
                if prices[k] <= 0.0 && direction[k] < 0.0 {
                    direction[k] = 0.0;
                }
                norm += (direction[k] * self.scales[k]).powi(2);
            }
            if norm <= 0.0 {
                break;
            }
            let length = pace * (target - value).max(1e-6 * target.abs()) / norm;
            for k in 0..kinds {
                let moved = prices[k] + length * direction[k] * self.scales[k].powi(2);
                prices[k] = moved.max(0.0);
            }
        }
        Ascent { prices: best.1, opened, counts, last }
    }

    /// Settles boards whose opposite fate, and drops ways that, would reach `ceiling`; exact.
    /// False if nothing is left of the node.
    fn settle(&self, node: &mut Node, whole: &[i64], ceiling: i64) -> bool {
        let parts = i128::from(PRICE_PARTS);
        let worth = |way: &[u32]| -> i128 {
            way.iter().zip(whole).map(|(&n, &p)| i128::from(n) * i128::from(p)).sum()
        };
        let mut total = worth(&self.cover.need);
        let mut reduced = vec![0_i128; self.cover.stock.len()];
        for (b, stock) in self.cover.stock.iter().enumerate() {
            if node.fates[b] == Fate::Out {
                continue;
            }
            let best = match node.limit(b) {
                Some(ways) => ways.iter().map(|&w| worth(&stock.ways[usize::from(w)])).max(),
                None => stock.ways.iter().map(|w| worth(w)).max(),
            };
            reduced[b] = i128::from(stock.cost) * parts - best.unwrap_or(0);
            total += if node.fates[b] == Fate::In { reduced[b] } else { reduced[b].min(0) };
        }
        for (b, stock) in self.cover.stock.iter().enumerate() {
            if node.fates[b] == Fate::Open
                && whole_units(total + reduced[b].abs()) >= ceiling {
                    let fate = if reduced[b] > 0 { Fate::Out } else { Fate::In };
                    // Equal boards have equal figures, so they never contradict each other.
                    self.decide(&mut node.fates, b, fate);
                }
            if node.fates[b] == Fate::Out {
                continue;
            }
            // With this board cut that way instead of its best.
            let base =
                total - if node.fates[b] == Fate::In { reduced[b] } else { reduced[b].min(0) };
            let keep = |w: usize| {
                let with = i128::from(stock.cost) * parts - worth(&stock.ways[w]);
                whole_units(base + with) < ceiling
            };
            let all = node.limit(b).map_or(stock.ways.len(), <[u16]>::len);
            let kept: Vec<u16> = match node.limit(b) {
                Some(ways) => ways.iter().copied().filter(|&w| keep(usize::from(w))).collect(),
                None => (0..stock.ways.len())
                    .filter(|&w| keep(w))
                    .filter_map(|w| u16::try_from(w).ok())
                    .collect(),
            };
            if kept.is_empty() {
                if node.fates[b] == Fate::In {
                    return false;
                }
                node.fates[b] = Fate::Out;
            } else if kept.len() < all {
                let kept = Arc::new(kept);
                match node.limits.binary_search_by_key(&b, |l| l.0) {
                    Ok(at) => node.limits[at].1 = kept,
                    Err(at) => node.limits.insert(at, (b, kept)),
                }
            }
        }
        true
    }

    /// Where to branch: on a board half opened; else on a board's counts; else on any board or
    /// way not settled.
    fn branch(&self, node: &Node, ascent: &Ascent) -> Branch {
        let kinds = self.cover.need.len();
        let half = (0..self.cover.stock.len())
            .filter(|&b| node.fates[b] == Fate::Open)
            .filter(|&b| {
                // Of equal boards the first that is not settled.
                self.cover.stock[b].twin_before.is_none_or(|t| node.fates[t] != Fate::Open)
            })
            .map(|b| (self.half(b, ascent), b))
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        if let Some((score, b)) = half
            && score > 0.02
        {
            return Branch::Board(b);
        }
        let mut split: Option<(f64, usize, usize, f64)> = None;
        for b in 0..self.cover.stock.len() {
            if node.fates[b] == Fate::Out || ascent.opened[b] < 0.3 {
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
            && let Some(branch) = self.split(node, b, k, mean)
        {
            return branch;
        }
        if let Some((_, b)) = half {
            return Branch::Board(b);
        }
        for b in 0..self.cover.stock.len() {
            if node.fates[b] == Fate::Out {
                continue;
            }
            for k in 0..kinds {
                let counts = self.allowed(node, b).map(|w| self.cover.stock[b].ways[w][k]);
                let (low, high) = counts.fold((u32::MAX, 0), |(l, h), n| (l.min(n), h.max(n)));
                if low < high {
                    let mean = f64::from(low) + 0.5;
                    if let Some(branch) = self.split(node, b, k, mean) {
                        return branch;
                    }
                }
            }
        }
        Branch::None
    }

    #[allow(clippy::cast_precision_loss)]
    fn half(&self, board: usize, ascent: &Ascent) -> f64 {
        // Twins share one average: count how far the sum is from whole.
        let mut sum = ascent.opened[board];
        let mut twin = self.twin_after[board];
        while let Some(t) = twin {
            sum += ascent.opened[t];
            twin = self.twin_after[t];
        }
        let off = (sum - sum.round()).abs();
        let total: f64 = self.cover.stock.iter().map(|s| s.cost as f64).sum();
        let share = self.cover.stock[board].cost as f64 * self.cover.stock.len() as f64;
        off * (0.3 + 0.7 * (share / total.max(1.0)).min(2.0))
    }

    fn allowed<'n>(&self, node: &'n Node, board: usize) -> Box<dyn Iterator<Item = usize> + 'n> {
        match node.limit(board) {
            Some(ways) => Box::new(ways.iter().map(|&w| usize::from(w))),
            None => Box::new(0..self.cover.stock[board].ways.len()),
        }
    }

    fn split(&self, node: &Node, board: usize, kind: usize, mean: f64) -> Option<Branch> {
        let ways = &self.cover.stock[board].ways;
        let (mut few, mut many) = (Vec::new(), Vec::new());
        for w in self.allowed(node, board) {
            let part = if f64::from(ways[w][kind]) <= mean { &mut few } else { &mut many };
            part.push(u16::try_from(w).ok()?);
        }
        (!few.is_empty() && !many.is_empty())
            .then(|| Branch::Ways(board, Arc::new(many), Arc::new(few)))
    }
}
