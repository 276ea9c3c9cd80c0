//! Whether a plan can be cut as it says (MODEL 3 to 7, 10), derived anew from the plan and the files.
//!
//! Nothing here is shared with planning: bends, lifts and bands of grain are worked out again,
//! in exact fractions over the board's length squared. Only a [`VerifiedPlan`] can be shown.

mod claim;
mod demand;
mod fault;
mod faults;
mod piece;
mod rack;
mod strip;
mod tangent;
mod wood;

pub use claim::made;
pub use fault::{Fault, Place, Rule};

use crate::claim::FilePlan;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Plan;
use faults::Faults;
use std::ops::Deref;

/// A plan that has passed [`verify`], for the job and boards that it was verified against.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VerifiedPlan(Plan);

impl Deref for VerifiedPlan {
    type Target = Plan;

    fn deref(&self) -> &Plan {
        &self.0
    }
}

impl VerifiedPlan {
    /// The plan, which is no longer vouched for.
    pub fn into_plan(self) -> Plan {
        self.0
    }
}

/// Checks every kerf and every strip of a plan, its demand and its cost.
///
/// # Errors
/// Every [`Fault`] found, in the order of the plan. Sizes beyond what files may hold are
/// reported alone, since nothing further can be worked out from them.
pub fn verify(plan: Plan, job: &Job, boards: &[Board]) -> Result<VerifiedPlan, Vec<Fault>> {
    let mut faults = Faults::new(job.units);
    wood::sizes(&plan, &mut faults);
    rack::sizes(&plan, job, &mut faults);
    if faults.found.is_empty() {
        wood::check(&plan, job, boards, &mut faults);
        demand::check(&plan, job, boards, &mut faults);
    }
    if faults.found.is_empty() { Ok(VerifiedPlan(plan)) } else { Err(faults.found) }
}

/// As [`verify_file`], of a plan whose strips are measured anew before they are glued: that a strip
/// in hand no longer fits is for [`glue_up`](crate::glue::glue_up) to tell, with what would help.
///
/// # Errors
/// As [`verify`], but for what measures alone have changed.
pub fn verify_cut(
    file: &FilePlan,
    job: &Job,
    boards: &[Board],
) -> Result<VerifiedPlan, Vec<Fault>> {
    verify_file(file, job, boards).or_else(|mut faults| {
        faults.retain(|fault| !rack::measured_anew(fault));
        if faults.is_empty() { Ok(VerifiedPlan(file.plan.clone())) } else { Err(faults) }
    })
}

/// Checks a plan from a file, and that what the file claims agrees with the plan and with itself.
/// The plan that passes carries no proof: the claim is the file's alone.
///
/// # Errors
/// As [`verify`].
pub fn verify_file(
    file: &FilePlan,
    job: &Job,
    boards: &[Board],
) -> Result<VerifiedPlan, Vec<Fault>> {
    let mut faults = Faults::new(job.units);
    let verified = verify(file.plan.clone(), job, boards);
    claim::check(file, job, &mut faults);
    match verified {
        Ok(plan) if faults.found.is_empty() => Ok(plan),
        Ok(_) => Err(faults.found),
        Err(mut found) => {
            found.extend(faults.found);
            Err(found)
        }
    }
}
