//! Where a budget buys nothing: whether more money would do, and how sure that is.

use crate::choose::{NoPlan, Options};
use crate::lumber::{Board, Price};
use crate::paddle::Job;
use crate::plan::Plan;
use crate::survey::buy::{Purchase, buy};

/// Why a budget buys nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Nothing {
    /// The cheapest paddle found costs more.
    OverBudget {
        /// Which kind it is.
        paddle: usize,
        /// The plan for it, not verified yet.
        plan: Box<Plan>,
        /// It is proved that no paddle of any kind can be had for the budget.
        proved: bool,
    },
    /// No paddle was found whatever the money: for the kind that comes nearest, why.
    Short(NoPlan),
}

impl Nothing {
    /// Is it proved that nothing can be had for the budget?
    pub fn decided(&self) -> bool {
        match self {
            Nothing::OverBudget { proved, .. } => *proved,
            Nothing::Short(none) => none.proved(),
        }
    }
}

/// Looks why a budget buys nothing.
///
/// # Errors
/// None: a purchase of one paddle is returned where one is found after all, since a search that
/// was stopped may have missed it.
pub fn nothing(
    job: &Job,
    in_hand: &[Board],
    yard: &[Board],
    budget: Price,
    options: &Options,
) -> Result<Purchase, Nothing> {
    let money = i128::from(budget.parts());
    let one = |p: usize| {
        let mut paddles = vec![0; job.paddles.len()];
        if let Some(count) = paddles.get_mut(p) {
            *count = 1;
        }
        buy(job, in_hand, yard, &paddles, options)
    };
    let mut proved = true;
    let mut cheapest: Option<(usize, Purchase)> = None;
    let mut short: Option<NoPlan> = None;
    for p in 0..job.paddles.len() {
        match one(p) {
            Ok(found) => {
                proved &= found.plan.proof.bound(found.plan.cost) > money;
                let cost = found.plan.cost.parts;
                if cheapest.as_ref().is_none_or(|(_, c)| cost < c.plan.cost.parts) {
                    cheapest = Some((p, found));
                }
            }
            Err(none) => {
                proved &= none.proved();
                if short.as_ref().is_none_or(|s| order(&none) < order(s)) {
                    short = Some(none);
                }
            }
        }
    }
    match (cheapest, short) {
        (Some((_, found)), _) if found.plan.cost.parts <= money => Ok(found),
        (Some((paddle, found)), _) => {
            Err(Nothing::OverBudget { paddle, plan: Box::new(found.plan), proved })
        }
        (None, short) => Err(Nothing::Short(short.unwrap_or_else(none))),
    }
}

/// What was stopped first, since then nothing is proved; then by what is missing.
fn order(none: &NoPlan) -> (bool, u64) {
    (none.proved(), none.shortage().missing.iter().map(|&n| u64::from(n)).sum())
}

/// A job without paddles, which can't be read from a file, asks for nothing.
fn none() -> NoPlan {
    NoPlan::Stopped(crate::choose::Shortage { missing: Vec::new(), needed: Vec::new() })
}
