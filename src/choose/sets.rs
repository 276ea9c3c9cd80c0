//! Good plans by way of sets of boards.
//!
//! Boards that are enough come to `π·need` at any prices π. Kept for some prices, what each board
//! comes to makes the choice of a set a small problem of sums: the cheapest boards that come to
//! somewhat more than the needs at all of these prices. Swaps of up to two boards for up to two
//! others solve it well in no time. Whether the set really is enough is asked by
//! [`crate::choose::tight`], which gives new prices where it isn't, and [`crate::choose::dive`],
//! which cuts it. How much more than the needs a set must come to, so that it can be cut into
//! whole strips, is found by halving.

use crate::choose::ascend::Decided;
use crate::choose::cover::{Choice, Cover, Fate, PRICE_PARTS, Way, whole_prices};
use crate::choose::dive::Dive;
use crate::choose::tight::{Asked, Tightened, tighten};
use rayon::prelude::*;

/// Boards out and boards in that swaps look at.
const OUTS: usize = 36;
const INS: usize = 90;
/// Steps towards the tightest prices of a set.
const STEPS: usize = 60;
/// Sets that are cut, or tried to be.
const ATTEMPTS: usize = 14;
/// New prices that a set may be asked at before it is cut.
const ASKS: usize = 12;

/// Boards out and boards in.
type Swap = (Vec<usize>, Vec<usize>);

/// Prices at which every set must come to the needs.
struct Asking {
    /// What each lot comes to, in units of cost.
    most: Vec<f64>,
    /// What the needs come to.
    need: f64,
}

/// A search for good sets.
pub struct Sets<'a> {
    cover: &'a Cover<'a>,
    scales: &'a [f64],
    undecided: Decided,
    askings: Vec<Asking>,
    /// `cost − most` of each lot at the prices to begin with.
    reduced: Vec<f64>,
    /// Sets that could not be cut.
    failed: Vec<Vec<usize>>,
    /// Ways met of lots that aren't listed.
    pub met: Vec<(usize, Way)>,
}

impl<'a> Sets<'a> {
    /// Prepares a search; `prices` are good ones for the whole cover.
    #[allow(clippy::cast_precision_loss)]
    pub fn new(cover: &'a Cover<'a>, prices: &[f64], scales: &'a [f64]) -> Self {
        let fates = vec![Fate::Open; cover.stock.len()];
        let mut sets = Sets {
            cover,
            scales,
            undecided: Decided { fates, limits: Vec::new() },
            askings: Vec::new(),
            reduced: Vec::new(),
            failed: Vec::new(),
            met: Vec::new(),
        };
        // Where boards cost nothing prices may be nothing too: then any typical ones will do.
        let worth = cover.need.iter().zip(prices).any(|(&n, &p)| n > 0 && p > 0.0);
        sets.ask(if worth { prices } else { scales });
        let whole = whole_prices(prices);
        sets.reduced = cover
            .lots
            .par_iter()
            .enumerate()
            .map(|(l, lot)| {
                let most = cover.most(l, &whole, None) as f64 / PRICE_PARTS as f64;
                lot.cost as f64 - most
            })
            .collect();
        sets
    }

    /// Keeps what boards come to at some prices.
    #[allow(clippy::cast_precision_loss)]
    fn ask(&mut self, prices: &[f64]) {
        let whole = whole_prices(prices);
        let value = |lot: usize| self.cover.most(lot, &whole, None) as f64;
        let most: Vec<f64> = (0..self.cover.lots.len()).into_par_iter().map(value).collect();
        let worth = |(&n, &p): (&u32, &i64)| f64::from(n) * p as f64;
        let need: f64 = self.cover.need.iter().zip(&whole).map(worth).sum();
        if need <= 0.0 {
            return;
        }
        // Scaled so that the needs come to 1.
        let most = most.into_iter().map(|m| m / need).collect();
        self.askings.push(Asking { most, need: 1.0 });
    }

    /// Looks for a choice that costs less than the known one. `lowest` is a proved bound.
    #[allow(clippy::cast_precision_loss)]
    pub fn improve(
        &mut self,
        known: Option<Choice>,
        lowest: i64,
        prices: &[f64],
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Option<Choice> {
        let cover = self.cover;
        let mut best = known;
        let cost_of = |c: &Option<Choice>| {
            c.as_ref().map_or_else(|| cover.everything() + 1, |c| cover.cost(c))
        };
        let gap = cost_of(&best) as f64 / (lowest.max(1) as f64) - 1.0;
        let (mut low, mut high) = (0.0, gap.clamp(0.002, 0.3));
        let mut prices = prices.to_vec();
        for _ in 0..ATTEMPTS {
            if stop() || high - low < 2e-4 || cost_of(&best) <= lowest {
                break;
            }
            let more = (low + high) / 2.0;
            let Some((set, tight)) = self.set(&best, more, &prices, stop) else { break };
            let cost: i64 = set.iter().map(|&b| cover.lot(b).cost).sum();
            if cost >= cost_of(&best) {
                high = more;
                continue;
            }
            if self.failed.contains(&set) {
                low = more;
                continue;
            }
            prices.clone_from(&tight);
            match self.cut(&set, &tight, stop) {
                Some(choice) => {
                    high = more;
                    best = Some(choice);
                }
                None => {
                    self.failed.push(set);
                    low = more;
                }
            }
        }
        best
    }

    /// Tries to cut a set.
    fn cut(
        &mut self,
        set: &[usize],
        prices: &[f64],
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Option<Choice> {
        let met = std::mem::take(&mut self.met);
        let mut dive = Dive::new(self.cover, (&self.undecided, self.scales), set.len(), stop, met);
        let ways = dive.cut(&self.cover.need, set, prices);
        self.met = dive.met;
        let mut choice: Choice = vec![None; self.cover.stock.len()];
        for (b, way) in ways? {
            choice[b] = Some(way);
        }
        self.cover.meets(&choice).then_some(choice)
    }

    /// A cheap set that comes to so much more than the needs at the prices known, and at the
    /// tightest that are found for it, which come with it.
    fn set(
        &mut self,
        best: &Option<Choice>,
        more: f64,
        prices: &[f64],
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Option<(Vec<usize>, Vec<f64>)> {
        let cover = self.cover;
        let mut start: Vec<bool> = cover.stock.iter().map(|s| self.reduced[s.lot] < 0.0).collect();
        let mut tight = prices.to_vec();
        for round in 0..ASKS {
            let mut opened = self.cheapest(start.clone(), more)?;
            if round == 0 {
                let none = vec![false; cover.stock.len()];
                let known = best.as_ref().map(|b| b.iter().map(Option::is_some).collect());
                for start in [Some(none), known].into_iter().flatten() {
                    let other = self.cheapest(start, more)?;
                    if self.cost(&other) < self.cost(&opened) {
                        opened = other;
                    }
                }
            }
            let set: Vec<usize> = (0..opened.len()).filter(|&b| opened[b]).collect();
            let asked = Asked {
                need: &cover.need,
                boards: &set,
                decided: &self.undecided,
                scales: self.scales,
            };
            let size = self.cost(&opened);
            match tighten(cover, asked, &tight, STEPS, &mut self.met) {
                Tightened::Short(at) => tight = at,
                Tightened::Enough(_) => return Some((set, tight)),
                Tightened::Open(at) => {
                    tight = at.prices;
                    if at.slack >= more * size * 0.9 || round + 1 == ASKS || stop() {
                        return Some((set, tight));
                    }
                }
            }
            self.ask(&tight.clone());
            start = opened;
        }
        None
    }

    #[allow(clippy::cast_precision_loss)]
    fn cost(&self, opened: &[bool]) -> f64 {
        (0..opened.len()).filter(|&b| opened[b]).map(|b| self.cover.lot(b).cost as f64).sum()
    }

    /// What a board comes to, asking by asking.
    fn most(&self, asking: usize, board: usize) -> f64 {
        self.askings[asking].most[self.cover.stock[board].lot]
    }

    /// From a set to begin with, one that comes to `1 + more` times the needs at all askings and
    /// that no swap of up to two boards for up to two others makes cheaper.
    fn cheapest(&self, mut opened: Vec<bool>, more: f64) -> Option<Vec<bool>> {
        let mut slack: Vec<f64> = (0..self.askings.len())
            .map(|j| {
                let most: f64 =
                    (0..opened.len()).filter(|&b| opened[b]).map(|b| self.most(j, b)).sum();
                most - self.askings[j].need * (1.0 + more)
            })
            .collect();
        while slack.iter().any(|&s| s < 0.0) {
            let (_, board) = (0..opened.len())
                .filter(|&b| !opened[b])
                .map(|b| (self.help(b, &slack), b))
                .filter(|h| h.0 > 0.0)
                .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))?;
            self.turn(&mut opened, &mut slack, board);
        }
        while let Some((outs, ins)) = self.swap(&opened, &slack) {
            for board in outs.into_iter().chain(ins) {
                self.turn(&mut opened, &mut slack, board);
            }
        }
        Some(opened)
    }

    /// Opens a board, or closes it.
    fn turn(&self, opened: &mut [bool], slack: &mut [f64], board: usize) {
        opened[board] = !opened[board];
        for (j, s) in slack.iter_mut().enumerate() {
            *s += if opened[board] { self.most(j, board) } else { -self.most(j, board) };
        }
    }

    /// How much a board takes off what is lacking, for its cost.
    #[allow(clippy::cast_precision_loss)]
    fn help(&self, board: usize, slack: &[f64]) -> f64 {
        let helped: f64 = slack
            .iter()
            .enumerate()
            .filter(|s| *s.1 < 0.0)
            .map(|(j, &s)| self.most(j, board).min(-s))
            .sum();
        helped / (self.cover.lot(board).cost.max(1) as f64)
    }

    /// The swap that saves most: boards out, boards in, up to two each.
    fn swap(&self, opened: &[bool], slack: &[f64]) -> Option<Swap> {
        let cost = |b: usize| self.cover.lot(b).cost;
        let reduced = |b: usize| self.reduced[self.cover.stock[b].lot];
        let mut outs: Vec<usize> = (0..opened.len()).filter(|&b| opened[b]).collect();
        outs.sort_by(|&a, &b| reduced(b).total_cmp(&reduced(a)).then(a.cmp(&b)));
        outs.truncate(OUTS);
        let mut ins: Vec<usize> = (0..opened.len()).filter(|&b| !opened[b]).collect();
        ins.sort_by(|&a, &b| reduced(a).total_cmp(&reduced(b)).then(a.cmp(&b)));
        ins.truncate(INS);
        ins.sort_by_key(|&b| (cost(b), b));
        // Those that lack most are asked first.
        let mut order: Vec<usize> = (0..slack.len()).collect();
        order.sort_by(|&a, &b| slack[a].total_cmp(&slack[b]).then(a.cmp(&b)));
        let table = |b: &usize| -> Vec<f64> { order.iter().map(|&j| self.most(j, *b)).collect() };
        let slack: Vec<f64> = order.iter().map(|&j| slack[j]).collect();
        let gives: Vec<Vec<f64>> = ins.iter().map(table).collect();
        let takes: Vec<Vec<f64>> = outs.iter().map(table).collect();
        let none = vec![0.0; slack.len()];
        let mut best: (i64, Option<Swap>) = (0, None);
        for (o, &first) in outs.iter().enumerate() {
            for p in o..outs.len() {
                let pair = p > o;
                let saved = cost(first) + if pair { cost(outs[p]) } else { 0 };
                let second = if pair { &takes[p] } else { &none };
                let lack: Vec<f64> =
                    (0..slack.len()).map(|j| takes[o][j] + second[j] - slack[j]).collect();
                let chosen_outs = || if pair { vec![first, outs[p]] } else { vec![first] };
                if saved > best.0 && lack.iter().all(|&l| l <= 0.0) {
                    best = (saved, Some((chosen_outs(), Vec::new())));
                }
                for i in 0..ins.len() {
                    if saved - cost(ins[i]) <= best.0 {
                        break;
                    }
                    if (0..lack.len()).all(|j| gives[i][j] >= lack[j]) {
                        best = (saved - cost(ins[i]), Some((chosen_outs(), vec![ins[i]])));
                    }
                    for k in i + 1..ins.len() {
                        let left = saved - cost(ins[i]) - cost(ins[k]);
                        if left <= best.0 {
                            break;
                        }
                        if (0..lack.len()).all(|j| gives[i][j] + gives[k][j] >= lack[j]) {
                            best = (left, Some((chosen_outs(), vec![ins[i], ins[k]])));
                        }
                    }
                }
            }
        }
        best.1
    }
}
