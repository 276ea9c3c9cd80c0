//! The prices at which given boards come nearest to falling short, by cutting planes.
//!
//! Boards that are enough come to `Σ most(π) ≥ π·need` at any prices π. The slack of boards is
//! the least that `Σ most(π) − π·need` can be brought to, prices being scaled to one worth of the
//! needs. Prices that make it negative prove, in whole numbers, that the boards are not enough.
//!
//! With `share` the part of the needs' worth that each kind of strip has, what boards come to is a
//! convex function of the shares. A row for each way known so far bounds it from below. Where
//! that bound is least is asked next, halfway back to the best shares met, until the two ends
//! meet.
//!
//! Where one kind of strip can only just be had, all worth goes to it, and prices say nothing of
//! the others. With floors below the shares they do.

use crate::choose::effort::tight::{FIRST, FIRST_OF_ALL, MEET, NEAR};
use crate::choose::kernel::cover::{Cover, Way, owed, worth};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Solution, Variable};
use rayon::prelude::*;
use std::collections::VecDeque;
use std::sync::Arc;

/// The tightest prices found for some boards.
pub struct Tight {
    /// Prices, scaled so that the needs are worth as much as the boards cost.
    pub prices: Vec<f64>,
    /// Slack at these prices, in units of cost.
    pub slack: f64,
    /// Prices met on the way that were nearly as tight, as whole numbers, the tightest last.
    pub near: Vec<Vec<i64>>,
    /// How ways of the boards, by their places, are mixed to come as far beyond the needs.
    pub parts: Vec<(usize, Way, f64)>,
}

impl Tight {
    /// What a board, by its place, is mixed to give of each kind of strip.
    pub fn mixture(&self, place: usize, kinds: usize) -> Vec<f64> {
        let mut mean = vec![0.0; kinds];
        for (_, way, part) in self.parts.iter().filter(|p| p.0 == place) {
            mean.iter_mut().zip(way.iter()).for_each(|(m, &n)| *m += part * f64::from(n));
        }
        mean
    }

    /// The ways that it is mixed of.
    pub fn mixed(&self, place: usize) -> impl Iterator<Item = Way> {
        self.parts.iter().filter(move |p| p.0 == place).map(|p| Arc::clone(&p.1))
    }
}

/// What came of it.
pub enum Tightened {
    /// The boards are not enough, in no way of cutting them; the prices prove it, unless a board
    /// has no way left.
    Short(Vec<f64>),
    /// They are, cut so.
    Enough(Vec<Way>),
    /// Not known.
    Open(Tight),
}

/// Which boards, for what.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    /// Strips of each kind.
    pub need: &'a [u32],
    /// Boards that are all opened.
    pub boards: &'a [usize],
    /// Typical price of each kind of strip.
    pub scales: &'a [f64],
}

/// Slack at whole-number prices, in price parts, exact.
pub fn exact_slack(cover: &Cover<'_>, asked: Asked<'_>, whole: &[i64]) -> i128 {
    let most = |&b: &usize| i128::from(cover.most(cover.stock[b].lot, whole));
    asked.boards.iter().map(most).sum::<i128>() - owed(asked.need, whole)
}

/// A search for the tightest prices of some boards.
pub struct Tightest<'a> {
    cover: &'a Cover<'a>,
    asked: Asked<'a>,
    /// Kinds of strip that are needed.
    kinds: Vec<usize>,
    size: f64,
    shares: Vec<f64>,
    program: Program,
    /// Ways met of lots that aren't listed.
    pub met: Vec<(usize, Way)>,
    /// Times that all boards were asked for their best ways.
    pub times: u64,
}

#[allow(clippy::cast_precision_loss)]
impl<'a> Tightest<'a> {
    /// Prepares a search from some prices on. `more` are ways beside those of the lots.
    pub fn new(
        cover: &'a Cover<'a>,
        asked: Asked<'a>,
        first: &[f64],
        more: &[(usize, Way)],
    ) -> Self {
        let Asked { need, boards, scales } = asked;
        let kinds: Vec<usize> = (0..need.len()).filter(|&k| need[k] > 0).collect();
        let size = cover.size(boards).max(1) as f64;
        let worth_of = |k: usize, price: f64| price.max(0.0) * f64::from(need[k]);
        let mut shares: Vec<f64> = kinds.iter().map(|&k| worth_of(k, first[k])).collect();
        if shares.iter().sum::<f64>() <= 0.0 {
            shares = kinds.iter().map(|&k| worth_of(k, scales[k].max(1e-9))).collect();
        }
        normal(&mut shares);
        let mut program = Program::new(&kinds, need, boards.len());
        let search = Tightest {
            cover,
            asked,
            kinds,
            size,
            shares,
            program: Program::empty(),
            met: Vec::new(),
            times: 0,
        };
        // The ways known that come to most at the first prices are rows from the beginning.
        let whole = cover.whole_prices(&search.prices(&search.shares));
        for (i, &b) in boards.iter().enumerate() {
            let lot = cover.stock[b].lot;
            let more = more.iter().filter(|m| m.0 == lot).map(|m| &m.1);
            let mut known: Vec<(i64, &Way)> =
                cover.lots[lot].ways.iter().chain(more).map(|w| (-worth(w, &whole), w)).collect();
            known.sort();
            known.dedup();
            let first = (FIRST_OF_ALL / boards.len().max(1)).clamp(3, FIRST);
            known.iter().take(first).for_each(|w| program.row(i, w.1));
        }
        Tightest { program, ..search }
    }

    fn prices(&self, shares: &[f64]) -> Vec<f64> {
        let need = self.asked.need;
        let mut prices = vec![0.0; need.len()];
        let kinds = self.kinds.iter().zip(shares);
        kinds.for_each(|(&k, s)| prices[k] = s * self.size / f64::from(need[k]));
        prices
    }

    /// Floors of the shares that let every kind count: so much of typical prices' shares.
    pub fn floors(&self, part: f64) -> Vec<f64> {
        let typical = |&k: &usize| self.asked.scales[k].max(1e-9) * f64::from(self.asked.need[k]);
        let mut floors: Vec<f64> = self.kinds.iter().map(typical).collect();
        normal(&mut floors);
        floors.iter_mut().for_each(|f| *f *= part);
        floors
    }

    /// Looks for the tightest prices in so many rounds, shares not below `floors` (none if there
    /// are none).
    pub fn find(&mut self, floors: &[f64], rounds: usize) -> Tightened {
        let Asked { need, boards, .. } = self.asked;
        let cover = self.cover;
        let left = 1.0 - floors.iter().sum::<f64>();
        let floor = |i: usize| floors.get(i).copied().unwrap_or(0.0);
        let mut shares: Vec<f64> =
            self.shares.iter().enumerate().map(|(i, s)| s.max(floor(i))).collect();
        normal(&mut shares);
        self.program.begin(floors);
        let mut best = (f64::INFINITY, shares.clone());
        let mut near: VecDeque<Vec<i64>> = VecDeque::new();
        let mut last: Vec<Way> = Vec::new();
        for _ in 0..rounds.max(1) {
            self.times += 1;
            let now = self.prices(&shares);
            let whole = cover.whole_prices(&now);
            let answers: Vec<Option<Way>> =
                boards.par_iter().map(|&b| cover.best_way(cover.stock[b].lot, &whole)).collect();
            let mut ways = Vec::with_capacity(boards.len());
            for answer in answers {
                let Some(way) = answer else { return Tightened::Short(now) };
                ways.push(way);
            }
            let given = |k: usize| ways.iter().map(|w| w[k]).sum::<u32>();
            if (0..need.len()).all(|k| given(k) >= need[k]) {
                return Tightened::Enough(ways);
            }
            let come_to: i128 = ways.iter().map(|w| i128::from(worth(w, &whole))).sum();
            let slack = come_to as f64 / owed(need, &whole).max(1) as f64 - 1.0;
            if slack < 0.0 && exact_slack(cover, self.asked, &whole) < 0 {
                return Tightened::Short(now);
            }
            if slack < best.0 {
                best = (slack, shares.clone());
            }
            if slack <= best.0 + 0.2 * best.0.abs() {
                if near.len() >= NEAR {
                    near.pop_front();
                }
                near.push_back(whole);
            }
            for (i, (&b, way)) in boards.iter().zip(&ways).enumerate() {
                let lot = cover.stock[b].lot;
                if !cover.lots[lot].listed && last.get(i) != Some(way) {
                    self.met.push((lot, Arc::clone(way)));
                }
                self.program.row(i, way);
            }
            last = ways;
            if cover.stopped() {
                break;
            }
            let Some((low, at)) = self.program.least() else { break };
            if best.0 - low <= MEET + 0.01 * low.abs() {
                break;
            }
            let half = |(a, b): (&f64, &f64)| 0.5 * (a + b);
            shares = at.iter().zip(&best.1).map(half).collect();
        }
        self.shares.clone_from(&best.1);
        let prices = self.prices(&best.1);
        near.push_back(cover.whole_prices(&prices));
        let parts = if cover.stopped() { None } else { self.program.parts(floors, left) };
        let parts = parts.unwrap_or_default();
        Tightened::Open(Tight { prices, slack: best.0 * self.size, near: near.into(), parts })
    }
}

fn normal(shares: &mut [f64]) {
    let sum: f64 = shares.iter().sum();
    if sum > 0.0 {
        shares.iter_mut().for_each(|s| *s /= sum);
    }
}

/// The rows so far and their program.
struct Program {
    kinds: Vec<usize>,
    needs: Vec<f64>,
    boards: usize,
    shares: Vec<Variable>,
    tops: Vec<Variable>,
    /// The program before it is solved first, then its solution.
    fresh: Option<Problem>,
    solution: Option<Solution>,
    /// Ways of boards; those from `taken` on are not in the program yet.
    rows: Vec<(usize, Way)>,
    taken: usize,
}

impl Program {
    fn new(kinds: &[usize], need: &[u32], boards: usize) -> Self {
        Program {
            kinds: kinds.to_vec(),
            needs: kinds.iter().map(|&k| f64::from(need[k])).collect(),
            boards,
            ..Program::empty()
        }
    }

    fn empty() -> Self {
        Program {
            kinds: Vec::new(),
            needs: Vec::new(),
            boards: 0,
            shares: Vec::new(),
            tops: Vec::new(),
            fresh: None,
            solution: None,
            rows: Vec::new(),
            taken: 0,
        }
    }

    /// States the program anew with floors of the shares.
    fn begin(&mut self, floors: &[f64]) {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let floor = |i: usize| floors.get(i).copied().unwrap_or(0.0);
        self.shares =
            (0..self.kinds.len()).map(|i| problem.add_var(0.0, (floor(i), 1.0))).collect();
        self.tops = (0..self.boards).map(|_| problem.add_var(1.0, (0.0, f64::INFINITY))).collect();
        let all: Vec<(Variable, f64)> = self.shares.iter().map(|&s| (s, 1.0)).collect();
        problem.add_constraint(all, ComparisonOp::Eq, 1.0);
        (self.fresh, self.solution, self.taken) = (Some(problem), None, 0);
    }

    /// A way that a board can be cut in.
    fn row(&mut self, board: usize, way: &Way) {
        let row = (board, Arc::clone(way));
        if !self.rows.contains(&row) {
            self.rows.push(row);
        }
    }

    /// For each kind what a way gives of its need.
    fn gives<'a>(&'a self, way: &'a Way) -> impl Iterator<Item = f64> + 'a {
        self.kinds.iter().zip(&self.needs).map(|(&k, need)| f64::from(way[k]) / need)
    }

    fn terms(&self, (board, way): &(usize, Way)) -> Vec<(Variable, f64)> {
        let gives = self.shares.iter().zip(self.gives(way));
        let mut terms: Vec<(Variable, f64)> =
            gives.filter(|g| g.1 > 0.0).map(|(&s, g)| (s, -g)).collect();
        terms.push((self.tops[*board], 1.0));
        terms
    }

    /// The least that the rows allow, beyond the needs, and the shares there.
    fn least(&mut self) -> Option<(f64, Vec<f64>)> {
        let new: Vec<Vec<(Variable, f64)>> =
            self.rows[self.taken..].iter().map(|r| self.terms(r)).collect();
        self.taken = self.rows.len();
        let solution = if let Some(mut problem) = self.fresh.take() {
            new.into_iter().for_each(|t| problem.add_constraint(t, ComparisonOp::Ge, 0.0));
            problem.solve().ok()?.into_solution().ok()?
        } else {
            let mut solution = self.solution.take()?;
            for terms in new {
                let outcome = solution.add_constraint(terms, ComparisonOp::Ge, 0.0);
                solution = outcome.ok()?.into_solution().ok()?;
            }
            solution
        };
        let shares: Vec<f64> =
            self.shares.iter().map(|&s| solution.var_value(s).max(0.0)).collect();
        let low = solution.objective() - 1.0;
        self.solution = Some(solution);
        (low.is_finite() && shares.iter().all(|s| s.is_finite())).then_some((low, shares))
    }

    /// How boards' ways are mixed so that the set comes as far beyond the needs as it can: of the
    /// kind that it gives least of for its need, and to the extent of the floors of each.
    fn parts(&self, floors: &[f64], left: f64) -> Option<Vec<(usize, Way, f64)>> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let beyond = problem.add_var(left, (0.0, f64::INFINITY));
        let parts: Vec<Variable> = self
            .rows
            .iter()
            .map(|(_, way)| {
                let worth: f64 = floors.iter().zip(self.gives(way)).map(|(f, g)| f * g).sum();
                problem.add_var(worth, (0.0, 1.0))
            })
            .collect();
        for board in 0..self.boards {
            let of = self.rows.iter().zip(&parts).filter(|(r, _)| r.0 == board);
            let of: Vec<(Variable, f64)> = of.map(|(_, &p)| (p, 1.0)).collect();
            problem.add_constraint(of, ComparisonOp::Eq, 1.0);
        }
        for i in 0..self.kinds.len() {
            let give = |row: &(usize, Way)| self.gives(&row.1).nth(i).unwrap_or(0.0);
            let gives = self.rows.iter().zip(&parts).map(|(r, &p)| (p, give(r)));
            let mut terms: Vec<(Variable, f64)> = gives.filter(|g| g.1 > 0.0).collect();
            terms.push((beyond, -1.0));
            problem.add_constraint(terms, ComparisonOp::Ge, 0.0);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let part = |(row, &p): (&(usize, Way), &Variable)| {
            (row.0, Arc::clone(&row.1), solution.var_value(p))
        };
        Some(self.rows.iter().zip(&parts).map(part).filter(|p| p.2 > 1e-9).collect())
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::{Asked, Tight, Tightened, Tightest, exact_slack};
    use crate::choose::kernel::cover::Cover;
    use crate::choose::kernel::trial::{least, priced, prices};
    use proptest::prelude::*;

    /// The tightest prices of boards, all scales one, where that decides nothing.
    pub fn tightest(cover: &Cover<'_>, boards: &[usize], prices: &[f64]) -> Option<Tight> {
        let scales = vec![1.0; prices.len()];
        let asked = Asked { need: &cover.need, boards, scales: &scales };
        match Tightest::new(cover, asked, prices, &[]).find(&[], 40) {
            Tightened::Open(tight) => Some(tight),
            Tightened::Short(_) | Tightened::Enough(_) => None,
        }
    }

    proptest! {
        #[test]
        fn no_prices_are_tighter_than_the_tightest(
            (cover, first) in priced(),
            others in prices(3),
            floored: bool,
        ) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let boards: Vec<usize> = (0..cover.stock.len()).collect();
            let scales = vec![1.0; first.len()];
            let asked = Asked { need: &cover.need, boards: &boards, scales: &scales };
            let mut search = Tightest::new(&cover, asked, &first, &[]);
            let floors = if floored { search.floors(0.3) } else { Vec::new() };
            let worth = |prices: &[f64]| -> f64 {
                cover.need.iter().zip(prices).map(|(&n, p)| f64::from(n) * p).sum()
            };
            match search.find(&floors, 60) {
                Tightened::Short(prices) => {
                    prop_assert!(exact_slack(&cover, asked, &cover.whole_prices(&prices)) < 0);
                    prop_assert_eq!(least(&cover), None);
                }
                Tightened::Enough(ways) => {
                    let choice = ways.into_iter().map(Some).collect();
                    prop_assert!(cover.meets(&choice));
                }
                Tightened::Open(tight) => {
                    let slack = |prices: &[f64]| {
                        let whole = cover.whole_prices(prices);
                        exact_slack(&cover, asked, &whole) as f64 / worth(prices)
                    };
                    let others = &others[..first.len()];
                    if floors.is_empty() && worth(others) > 0.1 {
                        prop_assert!(slack(&tight.prices) <= slack(others) * 1.011 + 1.0);
                    }
                    // The mixture is one of whole boards, and enough where no floors ask for more
                    // of some kinds.
                    for board in 0..boards.len() {
                        let of = tight.parts.iter().filter(|p| p.0 == board);
                        let sum: f64 = of.map(|p| p.2).sum();
                        prop_assert!((sum - 1.0).abs() < 1e-6);
                    }
                    for (k, &need) in cover.need.iter().enumerate().filter(|_| floors.is_empty()) {
                        let given = tight.parts.iter().map(|p| p.2 * f64::from(p.1[k]));
                        prop_assert!(given.sum::<f64>() >= f64::from(need) * (1.0 - 1e-5));
                    }
                }
            }
        }
    }
}
