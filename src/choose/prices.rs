//! Prices for strips from the dual of the linear cover, by cutting planes.
//!
//! microlp gives no duals, so the dual itself is stated with good_lp: a variable for the price of
//! each kind of strip and one for the profit of each board, as much as the needs are worth less
//! the profits, and one row for each way to cut a board that is known so far: the way's strips
//! are worth no more than the board's cost and profit. A new way is a new row, which microlp
//! takes warm.

use good_lp::{Expression, ProblemVariables, SolverModel, Variable, constraint, variable};

/// A row of the dual: a way to cut a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The board (or class of equal boards).
    pub board: usize,
    /// The way's counts.
    pub counts: Vec<u32>,
}

/// A class of equal boards, as the dual sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Class {
    /// Cost of one.
    pub cost: f64,
    /// How many there are.
    pub copies: u32,
}

/// Finds prices by cutting planes. `ask(prices)` gives the rows that the prices break (or the
/// best rows there are) and is called until it gives none, or `rounds` times. Costs should be
/// near 1. `ceiling` is the greatest price of a strip, so that the dual stays bounded where boards
/// are too few. Returns the last prices.
pub fn find(
    need: &[u32],
    classes: &[Class],
    first: Vec<Row>,
    ceiling: f64,
    rounds: usize,
    mut ask: impl FnMut(&[f64]) -> Vec<Row>,
) -> Vec<f64> {
    let mut vars = ProblemVariables::new();
    let prices: Vec<Variable> =
        need.iter().map(|_| vars.add(variable().min(0.0).max(ceiling))).collect();
    let profits: Vec<Variable> = classes.iter().map(|_| vars.add(variable().min(0.0))).collect();
    // Numbers near 1: the program is only as good as its floats.
    let all = f64::from(need.iter().copied().max().unwrap_or(1).max(1));
    let worth: Expression = prices.iter().zip(need).map(|(&p, &n)| f64::from(n) / all * p).sum();
    let profit: Expression =
        profits.iter().zip(classes).map(|(&p, c)| f64::from(c.copies) / all * p).sum();
    let row = |row: &Row| {
        let value: Expression = prices
            .iter()
            .zip(&row.counts)
            .filter(|(_, n)| **n > 0)
            .map(|(&p, &n)| f64::from(n) * p)
            .sum();
        constraint!(value - profits[row.board] <= classes[row.board].cost)
    };
    let mut model = vars.maximise(worth - profit).using(good_lp::microlp);
    for known in &first {
        model = model.with(row(known));
    }
    let Ok(solution) = model.solve() else { return vec![0.0; need.len()] };
    // From here on rows are added warm, which good_lp has no call for. microlp's variables come
    // in the order they were made above: prices first, then profits.
    let mut solution = solution.into_inner();
    let handles: Vec<microlp::Variable> = solution.iter().map(|(v, _)| v).collect();
    let read = |s: &microlp::Solution| -> Vec<f64> {
        handles[..need.len()].iter().map(|&v| s.var_value(v).max(0.0)).collect()
    };
    let mut now = read(&solution);
    for _ in 0..rounds {
        if now.iter().any(|p| !p.is_finite()) {
            return vec![0.0; need.len()];
        }
        let broken = ask(&now);
        if broken.is_empty() {
            break;
        }
        for new in &broken {
            let mut terms: Vec<(microlp::Variable, f64)> = handles
                .iter()
                .zip(&new.counts)
                .filter(|(_, n)| **n > 0)
                .map(|(&v, &n)| (v, f64::from(n)))
                .collect();
            terms.push((handles[need.len() + new.board], -1.0));
            let cost = classes[new.board].cost;
            match solution.add_constraint(terms, microlp::ComparisonOp::Le, cost) {
                Ok(microlp::SolveOutcome::Solution(next)) => solution = next,
                _ => return now,
            }
        }
        now = read(&solution);
    }
    now
}
