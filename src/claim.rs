//! What a plan file says of itself (MODEL 9). Nothing of it is worked out: a plan from a file
//! carries no proof of its own, so nothing that is printed from one can call it proved.

use crate::plan::{Cost, Most, Plan, Proof};

/// A plan as a file states it, and what the file claims of it.
#[derive(Clone, Debug, PartialEq)]
pub struct FilePlan {
    /// The plan, of which nothing is proved.
    pub plan: Plan,
    /// What the file claims.
    pub claim: Claim,
}

/// What a plan file claims: the figures as they stand there, whether they agree or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Claim {
    /// The status is `optimal`, not `bounded`.
    pub optimal: bool,
    /// The bound in parts; the exact one where the decimal agrees with it.
    pub bound: Option<i128>,
    /// The bound as a whole number of parts, as it stands beside the decimal.
    pub bound_parts: Option<i128>,
    /// How far the cost may lie above the least, as a share of the cost.
    pub gap: Option<f64>,
    /// What is claimed of the number of paddles.
    pub most: Option<Most>,
    /// The paddles are the most for so much money, in parts of [`crate::plan::Measure::Price`].
    pub budget: Option<i128>,
}

impl Claim {
    /// What is claimed of the cost.
    pub fn proof(&self, cost: Cost) -> Proof {
        match self.bound {
            _ if self.optimal => Proof::Optimal,
            // Where the number alone is open, the cost may be claimed to be the least.
            Some(bound) if bound == cost.parts => Proof::Optimal,
            bound => Proof::AtLeast(bound.unwrap_or(0)),
        }
    }

    /// May the plan make fewer paddles than are wanted?
    pub fn fewer(&self) -> bool {
        self.most.is_some() || self.budget.is_some()
    }
}
