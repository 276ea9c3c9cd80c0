//! The choice of boards by rows alone, boards being opened in part: a linear program for microlp.
//!
//! microlp takes what is decided about a board, and new rows, warm. It gives no duals; they are
//! read off the solution (rows that are just met, boards opened in part), or where that is not
//! enough worked out as a program of their own. They only need to be good: the bound that is
//! believed is worked out from them in whole numbers ([`crate::choose::kernel::rows::bound`]).

use crate::choose::effort::node::{CLOSE, LACKING};
use crate::choose::kernel::cover::{Cover, Fate};
use crate::choose::kernel::rows::{Row, bound, whole_weight};
use crate::stop::Stop;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Solution, Variable};

/// The program's variables.
pub struct Frame {
    /// Boards that may be opened, a variable each.
    pub boards: Vec<usize>,
    variables: Vec<Variable>,
    /// How much rows may lack, so that there is always a solution.
    lack: Variable,
    lacking: f64,
    /// Costs are divided by this.
    unit: f64,
    /// Boards must come to so much more than is needed, as a part of it.
    more: f64,
    /// Asks for an end: then a program has no solution.
    stop: Stop,
}

/// A solution.
#[derive(Clone)]
pub struct Relaxed {
    solution: Solution,
    /// Rows taken in so far.
    pub rows: usize,
    /// What it costs, in units of cost.
    pub cost: f64,
}

#[allow(clippy::cast_precision_loss)]
impl Frame {
    /// The program with these rows, boards that stay whole left out. Boards must come to `more`
    /// (as a part of it) than is needed at the prices of rows.
    pub fn new(
        cover: &Cover<'_>,
        fates: &[Fate],
        rows: &[Row],
        more: f64,
    ) -> Option<(Frame, Relaxed)> {
        let boards: Vec<usize> = (0..fates.len()).filter(|&b| fates[b] != Fate::Out).collect();
        let cost = |b: usize| cover.lot(b).cost as f64;
        let unit = boards.iter().map(|&b| cost(b)).fold(1.0, f64::max);
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let least = |b: usize| if fates[b] == Fate::In { 1.0 } else { 0.0 };
        let variables: Vec<Variable> =
            boards.iter().map(|&b| problem.add_var(cost(b) / unit, (least(b), 1.0))).collect();
        let all: f64 = boards.iter().map(|&b| cost(b) / unit).sum();
        let lacking = LACKING * all.max(1.0);
        let lack = problem.add_var(lacking, (0.0, 1.0));
        let frame =
            Frame { boards, variables, lack, lacking, unit, more, stop: cover.stop.clone() };
        for row in rows {
            problem.add_constraint(frame.terms(row), ComparisonOp::Ge, 1.0);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let relaxed = frame.relaxed(solution, rows.len())?;
        Some((frame, relaxed))
    }

    /// What boards must come to.
    fn need(&self, row: &Row) -> f64 {
        row.need as f64 * if row.priced { 1.0 + self.more } else { 1.0 }
    }

    /// A row's terms, scaled to a need of one.
    fn terms(&self, row: &Row) -> Vec<(Variable, f64)> {
        let mut terms: Vec<(Variable, f64)> = self
            .boards
            .iter()
            .zip(&self.variables)
            .filter(|(b, _)| row.most[**b] > 0)
            .map(|(&b, &v)| (v, row.most[b] as f64 / self.need(row)))
            .collect();
        terms.push((self.lack, 1.0));
        terms
    }

    fn relaxed(&self, solution: Solution, rows: usize) -> Option<Relaxed> {
        let cost = solution.objective() * self.unit;
        cost.is_finite().then_some(Relaxed { solution, rows, cost })
    }

    /// The solution once some boards are opened or stay whole.
    pub fn decide(&self, from: &Relaxed, fates: &[(usize, Fate)]) -> Option<Relaxed> {
        let mut solution = from.solution.clone();
        for &(board, fate) in fates {
            if self.stop.asked() {
                return None;
            }
            let Ok(at) = self.boards.binary_search(&board) else { continue };
            let value = if fate == Fate::In { 1.0 } else { 0.0 };
            solution = solution.fix_var(self.variables[at], value).ok()?.into_solution().ok()?;
        }
        self.relaxed(solution, from.rows)
    }

    /// The solution with all rows that it does not know.
    pub fn take_in(&self, from: Relaxed, rows: &[Row]) -> Option<Relaxed> {
        let mut solution = from.solution;
        for row in &rows[from.rows..] {
            if self.stop.asked() {
                return None;
            }
            let terms = self.terms(row);
            let outcome = solution.add_constraint(terms, ComparisonOp::Ge, 1.0).ok()?;
            solution = outcome.into_solution().ok()?;
        }
        self.relaxed(solution, rows.len())
    }

    /// How far each board is opened, in the order of [`Frame::boards`].
    pub fn opened(&self, relaxed: &Relaxed) -> Vec<f64> {
        self.variables.iter().map(|&v| relaxed.solution.var_value(v)).collect()
    }

    /// Is every row met?
    pub fn met(&self, relaxed: &Relaxed) -> bool {
        relaxed.solution.var_value(self.lack) < CLOSE
    }

    /// The exact bound of a solution.
    pub fn bound(&self, cover: &Cover<'_>, fates: &[Fate], rows: &[Row], relaxed: &Relaxed) -> i64 {
        let rows = &rows[..relaxed.rows];
        let opened = self.opened(relaxed);
        let lack = relaxed.solution.var_value(self.lack);
        let just_met: Vec<usize> = (0..rows.len())
            .filter(|&r| {
                let come_to: f64 =
                    self.boards.iter().zip(&opened).map(|(&b, x)| x * rows[r].most[b] as f64).sum();
                come_to / self.need(&rows[r]) + lack <= 1.0 + CLOSE
            })
            .collect();
        let weights = |of: &[usize], scaled: Vec<f64>| -> Vec<(usize, i64)> {
            let weigh = |(&r, w): (&usize, f64)| {
                let parts = w * self.unit * cover.scale.parts as f64 / rows[r].need as f64;
                (r, whole_weight(parts))
            };
            of.iter().zip(scaled).map(weigh).filter(|w| w.1 > 0).collect()
        };
        let read = self.read_off(cover, fates, rows, (&just_met, &opened, lack));
        let first = bound(cover, fates, rows, &weights(&just_met, read));
        if first as f64 >= relaxed.cost - 1e-6 * relaxed.cost.abs() {
            return first;
        }
        // Rounding on the way hides which rows are just met.
        let all: Vec<usize> = (0..rows.len()).collect();
        let program = self.dual(cover, fates, rows);
        first.max(program.map_or(i64::MIN, |w| bound(cover, fates, rows, &weights(&all, w))))
    }

    /// Weights of the rows that are just met so that every board opened in part costs what it
    /// comes to: linear equations, solved by elimination.
    fn read_off(
        &self,
        cover: &Cover<'_>,
        fates: &[Fate],
        rows: &[Row],
        (just_met, opened, lack): (&[usize], &[f64], f64),
    ) -> Vec<f64> {
        let mut equations: Vec<Vec<f64>> = Vec::new();
        for (&b, &x) in self.boards.iter().zip(opened) {
            if fates[b] != Fate::Open || !(CLOSE..=1.0 - CLOSE).contains(&x) {
                continue;
            }
            let most = |&r: &usize| rows[r].most[b] as f64 / rows[r].need as f64;
            let mut equation: Vec<f64> = just_met.iter().map(most).collect();
            equation.push(cover.lot(b).cost as f64 / self.unit);
            equations.push(equation);
        }
        if lack > CLOSE {
            let mut equation = vec![1.0; just_met.len()];
            equation.push(self.lacking);
            equations.push(equation);
        }
        eliminate(equations, just_met.len())
    }

    /// Weights of all rows from the dual program, for solutions that don't show them.
    fn dual(&self, cover: &Cover<'_>, fates: &[Fate], rows: &[Row]) -> Option<Vec<f64>> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let share = |row: &Row, b: usize| row.most[b] as f64 / row.need as f64;
        let ins = || self.boards.iter().filter(|b| fates[**b] == Fate::In);
        let weights: Vec<Variable> = rows
            .iter()
            .map(|row| {
                let opened: f64 = ins().map(|&b| share(row, b)).sum();
                problem.add_var(1.0 - opened, (0.0, self.lacking))
            })
            .collect();
        for &b in self.boards.iter().filter(|b| fates[**b] == Fate::Open) {
            let profit = problem.add_var(-1.0, (0.0, f64::INFINITY));
            let mut terms: Vec<(Variable, f64)> = rows
                .iter()
                .zip(&weights)
                .map(|(row, &w)| (w, share(row, b)))
                .filter(|t| t.1 > 0.0)
                .collect();
            terms.push((profit, -1.0));
            problem.add_constraint(terms, ComparisonOp::Le, cover.lot(b).cost as f64 / self.unit);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        Some(weights.iter().map(|&w| solution.var_value(w)).collect())
    }
}

/// Solves equations (coefficients, then the right-hand side) for so many unknowns; those that
/// are left over are nothing.
fn eliminate(mut equations: Vec<Vec<f64>>, unknowns: usize) -> Vec<f64> {
    let mut solved: Vec<(usize, usize)> = Vec::new();
    for _ in 0..equations.len() {
        let mut pivot: Option<(f64, usize, usize)> = None;
        for (e, equation) in equations.iter().enumerate() {
            if solved.iter().any(|s| s.0 == e) {
                continue;
            }
            for (u, c) in equation[..unknowns].iter().enumerate() {
                if pivot.is_none_or(|p| c.abs() > p.0) {
                    pivot = Some((c.abs(), e, u));
                }
            }
        }
        let Some((size, e, u)) = pivot else { break };
        if size < 1e-9 {
            break;
        }
        solved.push((e, u));
        let by = equations[e].clone();
        for (other, equation) in equations.iter_mut().enumerate() {
            let factor = equation[u] / by[u];
            if other != e && factor.abs() > 0.0 {
                equation.iter_mut().zip(&by).for_each(|(x, b)| *x -= factor * b);
            }
        }
    }
    let mut values = vec![0.0; unknowns];
    for (e, u) in solved {
        values[u] = equations[e][unknowns] / equations[e][u];
    }
    values
}

#[cfg(test)]
mod tests {
    use super::{CLOSE, Frame, eliminate};
    use crate::choose::kernel::cover::Fate;
    use crate::choose::kernel::rows::Row;
    use crate::choose::kernel::trial::{least, priced};
    use proptest::collection::vec;
    use proptest::prelude::*;

    proptest! {
        // Three of four covers are too dear.
        #![proptest_config(ProptestConfig { max_global_rejects: 10_000, ..ProptestConfig::default() })]

        #[test]
        fn a_program_costs_no_more_than_any_choice_and_its_bound_is_as_good(
            (cover, prices) in priced(),
            opened in vec(any::<bool>(), 8),
        ) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            // How good a bound is made from floats is only asked where costs are alike.
            prop_assume!(cover.everything() < 1 << 12);
            let fates = vec![Fate::Open; cover.stock.len()];
            let even = cover.whole_prices(&vec![1.0; prices.len()]);
            let rows: Vec<Row> = [cover.whole_prices(&prices), even]
                .iter()
                .filter_map(|p| Row::priced(&cover, &fates, p))
                .collect();
            let (frame, relaxed) = Frame::new(&cover, &fates, &rows[..1], 0.0).unwrap();
            let relaxed = frame.take_in(relaxed, &rows).unwrap();
            let bound = frame.bound(&cover, &fates, &rows, &relaxed);
            prop_assert!(bound as f64 >= relaxed.cost - 1e-3, "{bound} {}", relaxed.cost);
            if let Some(least) = least(&cover) {
                prop_assert!(relaxed.cost <= least as f64 + 1e-6 && bound <= least);
                prop_assert!(frame.met(&relaxed));
            }
            // One board after another, opened or not.
            let (mut fates, mut last) = (fates, relaxed);
            for (b, &open) in opened.iter().enumerate().take(cover.stock.len()) {
                let (fate, value) = if open { (Fate::In, 1.0) } else { (Fate::Out, 0.0) };
                fates[b] = fate;
                let decided = frame.decide(&last, &[(b, fate)]).unwrap();
                prop_assert!(decided.cost >= last.cost - 1e-6);
                prop_assert!((frame.opened(&decided)[b] - value).abs() < CLOSE);
                let bound = frame.bound(&cover, &fates, &rows, &decided);
                prop_assert!(bound as f64 >= decided.cost - 1e-3, "{bound} {}", decided.cost);
                last = decided;
            }
        }
    }

    #[test]
    fn equations_are_solved() {
        // 2a + b = 5, a - b = 1; c is left over.
        let values = eliminate(vec![vec![2.0, 1.0, 0.0, 5.0], vec![1.0, -1.0, 0.0, 1.0]], 3);
        for (value, wanted) in values.into_iter().zip([2.0, 1.0, 0.0]) {
            assert!((value - wanted).abs() < 1e-12);
        }
    }
}
