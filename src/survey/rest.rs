//! What the paddles that a plan leaves out lack, beside it.

use crate::choose::{NoPlan, Options, plan_for};
use crate::lumber::Board;
use crate::paddle::Job;
use crate::shop::left::offcuts;
use crate::verify::VerifiedPlan;

/// What is left once a plan is cut, and what it lacks for the paddles wanted that the plan doesn't
/// make.
#[derive(Clone, Debug)]
pub struct Rest {
    /// The job with the strips in hand that are left.
    pub job: Job,
    /// The boards that are whole and the offcuts worth keeping.
    pub boards: Vec<Board>,
    /// How many of each kind of paddle the plan doesn't make.
    pub paddles: Vec<u32>,
    /// Why what is left gives none of them in full.
    pub why: NoPlan,
}

/// Works out what the others lack; `None` where the plan makes all that is wanted, and where what
/// is left gives the rest or was not looked at before the stop.
pub fn rest(plan: &VerifiedPlan, job: &Job, boards: &[Board], options: &Options) -> Option<Rest> {
    let made = plan.paddles.iter().copied().chain(std::iter::repeat(0));
    let paddles: Vec<u32> =
        job.paddles.iter().zip(made).map(|(p, made)| p.quantity.saturating_sub(made)).collect();
    if paddles.iter().all(|&n| n == 0) || options.stop.asked() {
        return None;
    }
    let mut whole = boards.to_vec();
    for cut in &plan.boards {
        if let Some(board) = whole.get_mut(cut.board) {
            board.quantity = board.quantity.saturating_sub(1);
        }
    }
    whole.retain(|board| board.quantity > 0);
    whole.extend(offcuts(plan, job, boards, |_| true).into_iter().map(|offcut| offcut.board));
    let mut job = job.clone();
    let used = |s: &usize| plan.in_hand.iter().any(|u| u.strip == *s);
    let strips = std::mem::take(&mut job.strips).into_iter().enumerate();
    job.strips = strips.filter(|(s, _)| !used(s)).map(|(_, strip)| strip).collect();
    let why = plan_for(&job, &whole, &paddles, options).err()?;
    let some = why.shortage().missing.iter().any(|&n| n > 0);
    some.then_some(Rest { job, boards: whole, paddles, why })
}
