//! What to buy: the cheapest boards of a yard's list for the paddles wanted, with those in hand
//! free, and true answers to what if.

use crate::choose::{NoPlan, Options, plan_for, shared};
use crate::lumber::{Board, Price};
use crate::paddle::Job;
use crate::plan::Plan;

/// What to buy.
#[derive(Clone, Debug)]
pub struct Purchase {
    /// Boards in hand first (free), then the yard's, as the plan counts them.
    pub boards: Vec<Board>,
    /// How many of them are in hand.
    pub in_hand: usize,
    /// The plan, not verified yet.
    pub plan: Plan,
}

impl Purchase {
    /// The yard's boards that are bought, as (board, copy), in the order of the plan.
    pub fn bought(&self) -> Vec<(usize, u32)> {
        let bought = self.plan.boards.iter().filter(|b| b.board >= self.in_hand);
        bought.map(|b| (b.board, b.copy)).collect()
    }
}

/// Boards in hand, free, and a yard's boards together.
pub fn together(in_hand: &[Board], yard: &[Board]) -> Vec<Board> {
    let free = in_hand.iter().map(|b| Board { price: Some(Price::default()), ..b.clone() });
    free.chain(yard.iter().cloned()).collect()
}

/// The cheapest purchase for so many paddles of each kind.
///
/// # Errors
/// How far hand and yard together fall short.
pub fn buy(
    job: &Job,
    in_hand: &[Board],
    yard: &[Board],
    paddles: &[u32],
    options: &Options,
) -> Result<Purchase, NoPlan> {
    let boards = together(in_hand, yard);
    match plan_for(job, &boards, paddles, options) {
        Ok(plan) => Ok(Purchase { boards, in_hand: in_hand.len(), plan }),
        Err(short) => Err(short),
    }
}

/// The next best purchase if one copy of a yard's board is gone.
///
/// # Errors
/// As [`buy`].
pub fn without(
    job: &Job,
    purchase: &Purchase,
    board: usize,
    options: &Options,
) -> Result<Plan, NoPlan> {
    let mut boards = purchase.boards.clone();
    match boards.get_mut(board) {
        Some(gone) if gone.quantity > 1 => gone.quantity -= 1,
        Some(gone) => {
            // Kept in its place so that the others keep theirs, but no strip can come from it.
            gone.length = crate::length::Length::from_units(1);
            gone.crook = crate::length::Length::ZERO;
            gone.bow = crate::length::Length::ZERO;
            gone.zones.clear();
        }
        None => {}
    }
    plan_for(job, &boards, &purchase.plan.paddles, options)
}

/// The most paddles whose boards cost no more than `budget`: with one kind its quantity doesn't
/// count, with several it is the most wanted of each. `None` if not even one can be had.
pub fn within_budget(
    job: &Job,
    in_hand: &[Board],
    yard: &[Board],
    budget: Price,
    options: &Options,
) -> Option<Purchase> {
    let affordable = |paddles: &[u32]| {
        let purchase = buy(job, in_hand, yard, paddles, options).ok()?;
        (purchase.plan.cost.parts <= i128::from(budget.parts())).then_some(purchase)
    };
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    if wanted.len() == 1 {
        // Doubling, then halving: more paddles never cost less.
        let mut best = affordable(&[1])?;
        let (mut can, mut cannot) = (1_u32, None);
        while cannot.is_none_or(|c| c - can > 1) {
            let next = cannot.map_or(can.saturating_mul(2), |c| can + (c - can) / 2);
            match affordable(&[next]) {
                Some(purchase) => (can, best) = (next, purchase),
                None => cannot = Some(next),
            }
        }
        return Some(best);
    }
    let mut beyond: Vec<Vec<u32>> = Vec::new();
    for count in (1..=wanted.iter().fold(0, |s: u32, &w| s.saturating_add(w))).rev() {
        let mut best: Option<Purchase> = None;
        for paddles in shared(count, &wanted) {
            if beyond.iter().any(|b| b.iter().zip(&paddles).all(|(b, p)| b <= p)) {
                continue;
            }
            match affordable(&paddles) {
                Some(new) => {
                    let cost = new.plan.cost.parts;
                    if best.as_ref().is_none_or(|b| cost < b.plan.cost.parts) {
                        best = Some(new);
                    }
                }
                None => beyond.push(paddles),
            }
        }
        if best.is_some() {
            return best;
        }
    }
    None
}
