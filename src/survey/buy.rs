//! What to buy: the cheapest boards of a yard's list for the paddles wanted, with those in hand
//! free, and true answers to what if.

use crate::choose::{NoPlan, Options, most_for, plan_for};
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
    /// The plan, not verified yet: verify it against [`Purchase::boards`], since its boards are
    /// counted in that list and not in the yard's.
    pub plan: Plan,
}

impl Purchase {
    /// The yard's boards that are bought, as (board, copy), in the order of the plan.
    pub fn bought(&self) -> Vec<(usize, u32)> {
        let bought = self.plan.boards.iter().filter(|b| b.board >= self.in_hand);
        bought.map(|b| (b.board, b.copy)).collect()
    }
}

/// How many of each of the yard's boards a plan opens, in the order of the plan; the first
/// `in_hand` boards are in hand.
pub fn counts(plan: &Plan, in_hand: usize) -> Vec<(usize, u32)> {
    let mut counts: Vec<(usize, u32)> = Vec::new();
    for cut in plan.boards.iter().filter(|b| b.board >= in_hand) {
        match counts.iter_mut().find(|(b, _)| *b == cut.board) {
            Some((_, n)) => *n += 1,
            None => counts.push((cut.board, 1)),
        }
    }
    counts
}

/// Boards in hand, free, and a yard's boards together.
pub fn together(in_hand: &[Board], yard: &[Board]) -> Vec<Board> {
    let free =
        in_hand.iter().map(|b| Board { price: Some(Price::default()), offcut: true, ..b.clone() });
    free.chain(yard.iter().cloned()).collect()
}

/// The cheapest purchase for so many paddles of each kind, counted as [`plan_for`] has it.
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
    let plan = plan_for(job, &boards, paddles, options)?;
    Ok(Purchase { boards, in_hand: in_hand.len(), plan })
}

/// The next best purchase if so many copies of a yard's board are gone: `board` is its index in
/// [`Purchase::boards`]. The plan is verified against those, too.
///
/// # Errors
/// As [`buy`].
pub fn without(
    job: &Job,
    purchase: &Purchase,
    board: usize,
    copies: u32,
    options: &Options,
) -> Result<Plan, NoPlan> {
    let mut boards = purchase.boards.clone();
    match boards.get_mut(board) {
        Some(gone) if gone.quantity > copies => gone.quantity -= copies,
        Some(gone) => {
            // Kept in its place so that the others keep theirs, but no strip can come from it.
            gone.quantity = 1;
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
/// count, with several it is the most wanted of each.
///
/// # Errors
/// Not even one can be had, or none was found before the search was stopped.
pub fn within_budget(
    job: &Job,
    in_hand: &[Board],
    yard: &[Board],
    budget: Price,
    options: &Options,
) -> Result<Purchase, NoPlan> {
    let boards = together(in_hand, yard);
    let plan = most_for(job, &boards, i128::from(budget.parts()), options)?;
    Ok(Purchase { boards, in_hand: in_hand.len(), plan })
}
