//! Whether what a plan file claims is so: planned again, and what is found held against the claim.

use crate::choose::{self, Aim, NoPlan, Options, Outcome};
use crate::claim::FilePlan;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{Most, Plan, Proof};
use crate::verify::{Fault, VerifiedPlan, verify};

/// What came of working out a claim anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// All that is claimed is so; of the file's plan this is proved.
    True(Proof, Option<Most>),
    /// A plan makes as many paddles for less than is claimed.
    Cheaper(Box<VerifiedPlan>),
    /// A plan makes more paddles than is claimed that can be made.
    More(Box<VerifiedPlan>),
    /// Neither shown; of the file's plan this is proved.
    Open(Proof, Option<Most>),
    /// The claim is about a budget, which a plan file doesn't hold in full.
    Budget,
}

/// Why no verdict can be given: what was worked out contradicts a plan that was verified.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Contradiction {
    /// A plan found breaks rules.
    #[error("the plan found breaks the rules")]
    Faults(Vec<Fault>),
    /// What is claimed to be impossible was done.
    #[error("it was worked out that no such plan exists, and the file holds one")]
    Impossible,
}

/// Works a verified file's claim out anew, with the options' limit and stop.
///
/// # Errors
/// [`Contradiction`], which is a fault of this program.
pub fn work_out(
    file: &FilePlan,
    job: &Job,
    boards: &[Board],
    options: &Options,
) -> Result<Verdict, Contradiction> {
    let same = |options: &Options| choose::plan_for(job, boards, &file.plan.paddles, options);
    if file.claim.budget.is_some() {
        return Ok(Verdict::Budget);
    }
    let Some(claimed) = file.claim.most else {
        let options = Options { aim: Aim::Wanted, ..options.clone() };
        return fixed(file, &found(same(&options), job, boards)?);
    };
    // As many as possible means of each of several kinds no more than are wanted.
    let beyond = job.paddles.iter().zip(&file.plan.paddles).any(|(p, &n)| n > p.quantity);
    if job.paddles.len() > 1 && beyond {
        return Ok(Verdict::Open(Proof::AtLeast(0), Some(unknown(file))));
    }
    let most = Options { aim: Aim::Most, ..options.clone() };
    let many = found(choose::plan(job, boards, &most), job, boards)?;
    let fresh = many.as_ref().map(|plan| (made(plan), plan));
    let at_most = fresh.and_then(|(_, p)| p.most).map_or(u32::MAX, |m| m.at_most);
    if at_most < claimed.made {
        return Err(Contradiction::Impossible);
    }
    if let Some((more, plan)) = fresh
        && more > u64::from(claimed.at_most)
    {
        return Ok(Verdict::More(Box::new(plan.clone())));
    }
    let bound = claimed_bound(file);
    let mut known = 0;
    if let Some((count, plan)) = fresh {
        // With a paddle fewer than it makes, a plan costs no more.
        if count >= u64::from(claimed.made) && plan.cost.parts < bound {
            return Ok(Verdict::Cheaper(Box::new(plan.clone())));
        }
        if count == u64::from(claimed.made) {
            known = plan.proof.bound(plan.cost);
        }
    }
    if known < bound {
        let options = Options { aim: Aim::Wanted, ..options.clone() };
        if let Some(plan) = found(same(&options), job, boards)? {
            if plan.cost.parts < bound {
                return Ok(Verdict::Cheaper(Box::new(plan)));
            }
            // Of several kinds, as many paddles can be had in other ways.
            if job.paddles.len() == 1 {
                known = known.max(plan.proof.bound(plan.cost));
            }
        }
    }
    if known > file.plan.cost.parts {
        return Err(Contradiction::Impossible);
    }
    let (proof, most) = (Proof::AtLeast(known), Some(Most { at_most, ..claimed }));
    let so = known >= bound && at_most <= claimed.at_most;
    Ok(if so { Verdict::True(proof, most) } else { Verdict::Open(proof, most) })
}

/// The verdict on a claim about a fixed number of paddles.
fn fixed(file: &FilePlan, found: &Option<VerifiedPlan>) -> Result<Verdict, Contradiction> {
    let bound = claimed_bound(file);
    let known = found.as_ref().map_or(0, |plan| plan.proof.bound(plan.cost));
    if known > file.plan.cost.parts {
        return Err(Contradiction::Impossible);
    }
    Ok(match found {
        Some(plan) if plan.cost.parts < bound => Verdict::Cheaper(Box::new(plan.clone())),
        _ if known >= bound => Verdict::True(Proof::AtLeast(known), None),
        _ => Verdict::Open(Proof::AtLeast(known), None),
    })
}

/// No plan costs less, as the file has it.
fn claimed_bound(file: &FilePlan) -> i128 {
    file.claim.proof(file.plan.cost).bound(file.plan.cost)
}

fn unknown(file: &FilePlan) -> Most {
    let made = u32::try_from(made(&file.plan)).unwrap_or(u32::MAX);
    Most { made, at_most: u32::MAX }
}

fn made(plan: &Plan) -> u64 {
    plan.paddles.iter().map(|&n| u64::from(n)).sum()
}

/// The plan found, checked; `None` where the search was stopped before it had one.
fn found(
    outcome: Outcome,
    job: &Job,
    boards: &[Board],
) -> Result<Option<VerifiedPlan>, Contradiction> {
    match outcome {
        Ok(plan) => verify(plan, job, boards).map(Some).map_err(Contradiction::Faults),
        Err(NoPlan::Stopped(_)) => Ok(None),
        Err(NoPlan::Infeasible(_)) => Err(Contradiction::Impossible),
    }
}
