//! Which boards to open, by rows that every choice must meet.
//!
//! The rows of a few prices ([`crate::choose::kernel::rows`]) nearly settle which sets of boards can be
//! enough, and asking nothing of boards they are quick: branch and bound over them, best first,
//! gives the sets in the order of their cost. Each set that meets all rows is asked for in
//! earnest. If it is not enough, prices that show it are a new row, or else at least one board
//! beside it must be opened, which is a row too. The first set that can be cut is the cheapest.
//!
//! Nodes are taken in batches of fixed size that are worked on side by side, so the number of
//! cores changes nothing.

use crate::choose::effort::node::CLOSE;
use crate::choose::effort::sets::{BATCH, FIRST, LONGER, NUMBERS};
use crate::choose::kernel::bound::decide;
use crate::choose::kernel::cover::{Choice, Cover, Fate, Way};
use crate::choose::kernel::rows::Row;
use crate::choose::search::branch::Gains;
use crate::choose::search::enough::{Cutting, Dive, Pains};
use crate::choose::search::node::{Frame, Relaxed};
use crate::choose::search::some_kinds::{AtOdds, TooFew};
use rayon::prelude::*;
use std::collections::BinaryHeap;

/// When to stop.
#[derive(Clone, Copy)]
pub struct Limits<'a> {
    /// After about so many nodes.
    pub nodes: usize,
    /// After so many sets that could not be decided with little work; then only the cheapest are
    /// worked on longer.
    pub undecided: usize,
    /// Those are worked on at all.
    pub longer: bool,
    /// Work that each set is worth at first.
    pub pains: Pains,
    /// When this says so; asked between batches.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

impl<'a> Limits<'a> {
    /// So many nodes and undecided sets, those worked on longer in the end.
    pub fn new(nodes: usize, undecided: usize, stop: &'a (dyn Fn() -> bool + Sync)) -> Self {
        Limits { nodes, undecided, longer: true, pains: Pains::SHORT, stop }
    }
}

/// What a search knows at its end, for another one after it.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    rows: Vec<Row>,
    postponed: Vec<Postponed>,
    at_odds: AtOdds,
}

impl Memory {
    /// Boards of which it is not known whether they are enough.
    pub fn undecided(&self) -> impl Iterator<Item = &Vec<usize>> {
        self.postponed.iter().map(|postponed| &postponed.boards)
    }
}

/// What was found.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// The best choice, if any gives every strip.
    pub choice: Option<Choice>,
    /// No choice costs less than this.
    pub bound: i64,
    /// Sets that were found but could not be cut, in a search with slack.
    pub failed: Vec<Vec<usize>>,
    /// Sets that are not decided, cut so that they lack little.
    pub nearest: Vec<Choice>,
    /// Sets that are not enough, as deciding them showed.
    pub refuted: Vec<Vec<usize>>,
    /// For another search.
    pub memory: Memory,
    /// Ways met of lots that are not listed.
    pub met: Vec<(usize, Way)>,
}

struct Node {
    id: usize,
    /// Exact bound, in units.
    bound: i64,
    /// What the program costs.
    cost: f64,
    fates: Vec<Fate>,
    relaxed: Option<Relaxed>,
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}
impl Eq for Node {}
impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
/// Least cost first, then the earlier one.
impl Ord for Node {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        other.cost.total_cmp(&self.cost).then(other.id.cmp(&self.id))
    }
}

/// What is still to be looked at.
struct Open {
    heap: BinaryHeap<Node>,
    /// A bound of the nodes that could not be solved.
    lost: i64,
}

impl Open {
    /// A bound of all of it; `None` if there is nothing.
    fn least(&self) -> Option<i64> {
        let lost = (self.lost < i64::MAX).then_some(self.lost);
        self.heap.iter().map(|n| n.bound).chain(lost).min()
    }
}

/// What became of a node.
enum Step {
    /// Nothing in it is cheaper than the best.
    Done,
    /// It costs more than it seemed to.
    Again(Node),
    /// A lot was taken up; what that did to the cost, for one board less and one more.
    Split { lot: usize, children: Vec<Node>, gains: [Option<f64>; 2] },
    /// Its boards meet all rows; ways were met in asking for them.
    Set(Node, Vec<usize>, Answer, Vec<(usize, Way)>),
    /// The program could not be solved.
    Lost(i64),
}

/// Is a set enough?
enum Answer {
    /// Cut so.
    Yes(Choice),
    /// These prices show that it isn't.
    Short(Vec<f64>),
    /// It isn't.
    No(TooFew),
    /// Not known; cut so, its boards lack little.
    Unknown(Vec<(usize, Way)>),
}

/// A set that could not be decided with little work.
#[derive(Clone, Debug)]
struct Postponed {
    boards: Vec<usize>,
    cost: i64,
    /// No part of it costs less and is enough.
    bound: i64,
}

/// A search over one cover.
pub struct Master<'a> {
    cover: &'a Cover<'a>,
    scales: &'a [f64],
    /// Fates that are settled everywhere.
    fates: Vec<Fate>,
    memory: Memory,
    /// Good prices to begin with for a set.
    prices: Vec<f64>,
    /// Sets must come to so much more than is needed, as a part of it, at any prices. Then
    /// nothing is proved.
    more: f64,
    /// Sets with so much slack that were found but could not be cut.
    failed: Vec<Vec<usize>>,
    /// Sets that are not decided, cut so that they lack little.
    nearest: Vec<Choice>,
    /// Sets that are not enough, as deciding them showed.
    refuted: Vec<Vec<usize>>,
    /// Rows that keep such sets from being found again; they may be enough all the same.
    guessed: Vec<usize>,
    best: Option<Choice>,
    cost: i64,
    /// No choice costs less, as was known before.
    lowest: i64,
    gains: Gains,
    ids: usize,
    met: Vec<(usize, Way)>,
}

impl<'a> Master<'a> {
    /// Prepares a search. `fates` are settled for all choices cheaper than `known`; `trail` are
    /// whole-number prices to begin with; `prices` good ones, `scales` typical ones.
    /// `memory` is of a search before.
    pub fn new(
        cover: &'a Cover<'a>,
        fates: Vec<Fate>,
        known: Option<Choice>,
        (trail, mut memory): (&[Vec<i64>], Memory),
        (prices, scales): (&[f64], &'a [f64]),
    ) -> Self {
        let cost = known.as_ref().map_or(cover.everything() + 1, |c| cover.cost(c));
        if memory.rows.is_empty() {
            memory.rows = trail.iter().filter_map(|p| Row::priced(cover, &fates, p)).collect();
        }
        Master {
            cover,
            scales,
            fates,
            memory,
            prices: prices.to_vec(),
            more: 0.0,
            failed: Vec::new(),
            nearest: Vec::new(),
            refuted: Vec::new(),
            guessed: Vec::new(),
            best: known,
            cost,
            lowest: 0,
            gains: Gains::new(cover.lots.len()),
            ids: 1,
            met: Vec::new(),
        }
    }

    /// The same, knowing that these sets are not enough.
    pub fn knowing(mut self, refuted: &[Vec<usize>]) -> Self {
        refuted.iter().for_each(|set| self.beside(set));
        self
    }

    /// A search for the cheapest set that comes to somewhat more than is needed, so that it is
    /// easier to cut. It ends with the first one that is cut, or as many that are not as may stay
    /// undecided; nothing is proved. Sets that were `tried` before are passed over.
    pub fn with_slack(self, more: f64, tried: &[Vec<usize>]) -> Self {
        let mut slack = Master { more, ..self };
        tried.iter().for_each(|set| slack.pass_over(set));
        slack
    }

    /// Keeps a set from being found again in a search with slack.
    fn pass_over(&mut self, set: &[usize]) {
        self.guessed.push(self.memory.rows.len());
        self.beside(set);
    }

    /// From now on at least one board beside these is opened.
    fn beside(&mut self, set: &[usize]) {
        self.memory.rows.push(Row::beside(self.cover, set, self.cover.size(set).min(self.cost)));
    }

    /// Searches. `lowest` is a bound known before.
    pub fn run(
        mut self,
        lowest: i64,
        limits: Limits<'_>,
        tell: &mut dyn FnMut(Option<i64>, i64),
    ) -> Found {
        self.lowest = lowest;
        let Some((frame, root)) = Frame::new(self.cover, &self.fates, &self.memory.rows, self.more)
        else {
            return self.found(lowest);
        };
        let bound = frame.bound(self.cover, &self.fates, &self.memory.rows, &root).max(lowest);
        let first = Node {
            id: 0,
            bound,
            cost: root.cost,
            fates: self.fates.clone(),
            relaxed: Some(root.clone()),
        };
        let mut open = Open { heap: BinaryHeap::from([first]), lost: i64::MAX };
        let mut nodes = 0;
        let known = self.memory.postponed.len();
        let short = |m: &Self| m.memory.postponed.len() - known < limits.undecided;
        while nodes < limits.nodes && short(&self) && !(limits.stop)() {
            let batch = self.batch(&mut open.heap);
            if batch.is_empty() {
                break;
            }
            nodes += 2 * batch.len();
            let least = batch.iter().map(|n| n.bound).chain(open.least()).min();
            // With slack asked for, nodes are dropped that may hold a cheaper choice.
            let least = if self.more > 0.0 { lowest } else { least.unwrap_or(self.cost) };
            let steps: Vec<Step> =
                batch.into_par_iter().map(|node| self.work(&frame, &root, node, limits)).collect();
            for step in steps {
                if self.follow(step, &frame, &mut open, (least, limits.undecided)) {
                    return self.found(lowest);
                }
            }
            tell(self.best.as_ref().map(|_| self.cost), self.proved(&open));
        }
        if self.more > 0.0 {
            return self.found(lowest);
        }
        // Where other searches are to follow, only the cheapest sets are worked on longer.
        let rounds: &[(u32, usize)] = match (limits.longer, short(&self)) {
            (false, _) => &[],
            (true, true) => &LONGER,
            (true, false) => &[(10, FIRST)],
        };
        for &(times, first) in rounds {
            self.decide_postponed(times, first, limits);
            tell(self.best.as_ref().map(|_| self.cost), self.proved(&open));
        }
        let bound = self.proved(&open).max(lowest);
        self.found(bound)
    }

    /// The next nodes that may hold anything cheaper than the best.
    fn batch(&self, heap: &mut BinaryHeap<Node>) -> Vec<Node> {
        let mut batch: Vec<Node> = Vec::with_capacity(BATCH);
        while batch.len() < BATCH
            && let Some(node) = heap.pop()
        {
            if self.hopeful(&node) {
                batch.push(node);
            }
        }
        batch
    }

    /// Goes on from what became of a node. `least` is a bound of everything. True if a search with
    /// slack ends with it: a set is cut, or so many are `undecided`.
    fn follow(
        &mut self,
        step: Step,
        frame: &Frame,
        open: &mut Open,
        (least, undecided): (i64, usize),
    ) -> bool {
        match step {
            Step::Done => {}
            Step::Lost(bound) => open.lost = open.lost.min(bound),
            Step::Again(node) => open.heap.push(node),
            Step::Split { lot, children, gains } => {
                self.gains.learn(lot, gains);
                let room = NUMBERS / (frame.boards.len() * self.memory.rows.len()).max(1);
                for mut child in children {
                    child.id = self.ids;
                    self.ids += 1;
                    if open.heap.len() > room {
                        child.relaxed = None;
                    }
                    open.heap.push(child);
                }
            }
            Step::Set(node, set, answer, met) => {
                self.met.extend(met);
                let cut = matches!(answer, Answer::Yes(_));
                self.learn(&set, answer, least);
                if self.more > 0.0 && (cut || self.failed.len() >= undecided) {
                    return true;
                }
                open.heap.push(node);
            }
        }
        false
    }

    /// No choice costs less: neither in what is open, nor in sets that are not decided.
    fn proved(&self, open: &Open) -> i64 {
        open.least().unwrap_or(self.cost).min(self.undecided()).min(self.cost)
    }

    fn found(mut self, bound: i64) -> Found {
        // From behind, so that those before keep their places.
        self.guessed.iter().rev().for_each(|&row| drop(self.memory.rows.remove(row)));
        let Master { best: choice, memory, met, failed, nearest, refuted, .. } = self;
        Found { choice, bound, failed, nearest, refuted, memory, met }
    }

    /// The least bound of the sets that are not decided.
    fn undecided(&self) -> i64 {
        self.memory.postponed.iter().map(|p| p.bound).min().unwrap_or(i64::MAX)
    }

    /// Asks again for sets that were not decided, with more work each.
    fn decide_postponed(&mut self, times: u32, first: usize, limits: Limits<'_>) {
        let mut sets = std::mem::take(&mut self.memory.postponed);
        sets.sort_by_key(|p| p.cost);
        for (i, set) in sets.into_iter().enumerate() {
            if set.bound >= self.cost {
                continue;
            }
            if i >= first || (limits.stop)() {
                self.memory.postponed.push(set);
                continue;
            }
            let pains = Pains { proof: limits.pains.proof, ..Pains::SHORT.times(times) };
            let (answer, met) = self.ask(&set.boards, pains, limits);
            self.met.extend(met);
            match answer {
                Answer::Yes(choice) => {
                    self.take(choice);
                    // Parts of the set might do.
                    if set.bound < self.cost {
                        self.memory.postponed.push(set);
                    }
                }
                Answer::No(of) => {
                    self.memory.at_odds.learn(&of);
                    self.refuted.push([set.boards, of.others].concat());
                }
                Answer::Short(_) => {}
                Answer::Unknown(_) => self.memory.postponed.push(set),
            }
        }
    }

    /// May there be anything in a node that is cheaper than the best?
    #[allow(clippy::cast_precision_loss)]
    fn hopeful(&self, node: &Node) -> bool {
        let cheaper = self.more <= 0.0 || node.cost <= (self.cost - 1) as f64 + CLOSE;
        cheaper && node.bound < self.cost
    }

    /// Do a row's prices show that a set comes to too little?
    #[allow(clippy::cast_precision_loss)]
    fn too_little(&self, row: &Row, set: &[usize]) -> bool {
        if self.more <= 0.0 {
            return row.short(set.iter().copied());
        }
        let most: f64 = set.iter().map(|&b| row.most[b] as f64).sum();
        most < row.need as f64 * (1.0 + 0.95 * self.more)
    }

    /// Takes a choice if it is better than the best so far.
    fn take(&mut self, choice: Choice) {
        let cost = self.cover.cost(&choice);
        if cost < self.cost && self.cover.meets(&choice) {
            (self.best, self.cost) = (Some(choice), cost);
        }
    }

    /// What an answer teaches. `least` is a bound of everything.
    fn learn(&mut self, set: &[usize], answer: Answer, least: i64) {
        match answer {
            Answer::Yes(choice) => self.take(choice),
            Answer::No(of) => {
                self.memory.at_odds.learn(&of);
                let all = [set, &of.others[..]].concat();
                self.beside(&all);
                self.refuted.push(all);
            }
            Answer::Short(prices) => {
                let whole = self.cover.whole_prices(&prices);
                self.prices = prices;
                match Row::priced(self.cover, &self.fates, &whole) {
                    Some(row) if self.too_little(&row, set) => {
                        // So little that programs in floats don't see it.
                        if self.more <= 0.0 && !row.short_by_more_than_a_trifle(set) {
                            self.beside(set);
                        }
                        self.memory.rows.push(row);
                    }
                    _ => self.postpone(set, least),
                }
            }
            Answer::Unknown(nearest) => {
                self.memory.at_odds.learn_nothing();
                if !nearest.is_empty() {
                    self.nearest.push(self.cover.opened(nearest));
                }
                self.postpone(set, least);
            }
        }
    }

    fn postpone(&mut self, set: &[usize], least: i64) {
        if self.more > 0.0 {
            self.failed.push(set.to_vec());
            self.pass_over(set);
            return;
        }
        // Where no part of the set meets the rows, nothing cheaper is left out with it.
        let whole = set.iter().all(|&without| {
            self.memory.rows.iter().any(|r| r.short(set.iter().copied().filter(|&b| b != without)))
        });
        let cost = self.cover.size(set);
        let bound = if whole { cost } else { least };
        self.memory.postponed.push(Postponed { boards: set.to_vec(), cost, bound });
        self.beside(set);
    }

    fn work(&self, frame: &Frame, root: &Relaxed, mut node: Node, limits: Limits<'_>) -> Step {
        let known = node.relaxed.take();
        let again = known.is_none();
        let relaxed = known.or_else(|| {
            let decided: Vec<(usize, Fate)> = (0..node.fates.len())
                .filter(|&b| self.fates[b] == Fate::Open && node.fates[b] != Fate::Open)
                .map(|b| (b, node.fates[b]))
                .collect();
            frame.decide(root, &decided)
        });
        let Some(mut relaxed) = relaxed else { return Step::Lost(node.bound) };
        if relaxed.rows < self.memory.rows.len() {
            let Some(new) = frame.take_in(relaxed, &self.memory.rows) else {
                return Step::Lost(node.bound);
            };
            relaxed = new;
            let before = node.cost;
            self.measure(frame, &mut node, &relaxed);
            if !self.hopeful(&node) {
                return Step::Done;
            }
            if !again && node.cost > before + CLOSE * before.abs() {
                node.relaxed = Some(relaxed);
                return Step::Again(node);
            }
        }
        let opened = frame.opened(&relaxed);
        if let Some(board) = self.gains.halfway(self.cover, &node.fates, (&frame.boards, &opened)) {
            return self.split(frame, &node, &relaxed, board);
        }
        let set: Vec<usize> =
            frame.boards.iter().zip(&opened).filter(|o| *o.1 > 0.5).map(|o| *o.0).collect();
        let cost = self.cover.size(&set);
        if !frame.met(&relaxed) || cost >= self.cost {
            // Rounding hides what is the case: decide board after board.
            let open = (0..node.fates.len()).find(|&b| node.fates[b] == Fate::Open);
            if let Some(board) = open {
                return self.split(frame, &node, &relaxed, board);
            }
            if cost >= self.cost || self.memory.rows.iter().any(|r| r.short(set.iter().copied())) {
                return Step::Done;
            }
        }
        // No choice is so cheap.
        let (answer, met) = match cost < self.lowest {
            true => (Answer::No(TooFew::default()), Vec::new()),
            false => self.ask(&set, limits.pains, limits),
        };
        node.relaxed = Some(relaxed);
        Step::Set(node, set, answer, met)
    }

    /// Bounds a node anew.
    fn measure(&self, frame: &Frame, node: &mut Node, relaxed: &Relaxed) {
        node.cost = node.cost.max(relaxed.cost);
        node.bound =
            node.bound.max(frame.bound(self.cover, &node.fates, &self.memory.rows, relaxed));
    }

    /// The children of a node: a board opened, or not.
    fn split(&self, frame: &Frame, node: &Node, relaxed: &Relaxed, board: usize) -> Step {
        let lot = self.cover.stock[board].lot;
        let opened = frame.opened(relaxed);
        let sum: f64 = frame
            .boards
            .iter()
            .zip(&opened)
            .filter(|o| self.cover.stock[*o.0].lot == lot)
            .map(|o| *o.1)
            .sum();
        let part = sum - sum.floor();
        let mut gains = [None, None];
        let mut children = Vec::with_capacity(2);
        for (side, fate) in [Fate::Out, Fate::In].into_iter().enumerate() {
            let mut fates = node.fates.clone();
            decide(self.cover, &mut fates, board, fate);
            let new: Vec<(usize, Fate)> = (0..fates.len())
                .filter(|&b| fates[b] != node.fates[b])
                .map(|b| (b, fates[b]))
                .collect();
            let Some(next) = frame.decide(relaxed, &new) else { return Step::Lost(node.bound) };
            let mut child =
                Node { id: 0, bound: node.bound, cost: node.cost, fates, relaxed: None };
            self.measure(frame, &mut child, &next);
            let way = if side == 0 { part } else { 1.0 - part };
            if (CLOSE..=1.0 - CLOSE).contains(&part) {
                gains[side] = Some((child.cost - node.cost) / way);
            }
            if self.hopeful(&child) {
                child.relaxed = Some(next);
                children.push(child);
            }
        }
        Step::Split { lot, children, gains }
    }

    /// Is a set enough?
    fn ask(&self, set: &[usize], pains: Pains, limits: Limits<'_>) -> (Answer, Vec<(usize, Way)>) {
        let dive = Dive::new(self.cover, self.scales, pains, limits.stop);
        let mut dive = dive.with_slack(0.9 * self.more);
        dive.at_odds.clone_from(&self.memory.at_odds);
        let answer = match dive.cut(set, &self.prices) {
            Cutting::Yes(ways) => Answer::Yes(self.cover.opened(ways)),
            Cutting::Short(prices) => Answer::Short(prices),
            Cutting::No(of) => Answer::No(of),
            Cutting::Unknown => Answer::Unknown(std::mem::take(&mut dive.nearest)),
        };
        (answer, dive.met)
    }
}

#[cfg(test)]
mod tests;
