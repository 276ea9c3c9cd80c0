//! What else would be bought, in sentences that say no more than was found.

use crate::choose::NoPlan;
use crate::lumber::Price;
use crate::paddle::Job;
use crate::plan::Plan;
use crate::survey::nothing::Nothing;
use crate::text::plain;

/// What is asked of a board that is bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gone {
    /// It is the only one of its line.
    Only,
    /// One of several, all of which are bought.
    One,
    /// All of its line, of which the list has more than are bought: one less would change nothing.
    All,
}

/// The question, as progress names it.
pub fn stage(gone: Gone, name: &str) -> String {
    match gone {
        Gone::Only => format!("if {name} is gone"),
        Gone::One => format!("if one {name} is gone"),
        Gone::All => format!("if {name} is sold out"),
    }
}

/// What is best if a board is gone. `then` says what a plan costs and buys.
pub fn gone(
    gone: Gone,
    name: &str,
    outcome: Result<&Plan, &NoPlan>,
    then: impl Fn(&Plan) -> String,
) -> String {
    let mut asked = stage(gone, name);
    asked.replace_range(..1, "I");
    match outcome {
        Ok(plan) if plan.proof.least(plan.cost) => {
            format!("{asked}, the next best costs {}.", then(plan))
        }
        Ok(plan) => format!(
            "{asked}, the best found costs {}; that nothing is cheaper is not proved.",
            then(plan)
        ),
        Err(none) if none.proved() => format!("{asked}, what is left is not enough (proved)."),
        Err(_) => format!(
            "{asked}: the search was stopped before it found boards that are enough; there may be some."
        ),
    }
}

/// What one more paddle of a kind would cost.
pub fn one_more(
    name: &str,
    outcome: Result<&Plan, &NoPlan>,
    then: impl Fn(&Plan) -> String,
) -> String {
    match outcome {
        Ok(plan) if plan.proof.least(plan.cost) => {
            format!("With one more {name} it costs {}.", then(plan))
        }
        Ok(plan) => format!(
            "With one more {name} the best found costs {}; that nothing is cheaper is not proved.",
            then(plan)
        ),
        Err(none) if none.proved() => {
            format!("One more {name} can't be had from this list (proved).")
        }
        Err(_) => format!(
            "One more {name}: the search was stopped before it found boards that are enough; there may be some."
        ),
    }
}

/// Why a budget buys nothing.
pub fn nothing(why: &Nothing, budget: Price, job: &Job) -> String {
    match why {
        Nothing::OverBudget { paddle, plan, proved } => {
            let name = job.paddles.get(*paddle).map_or(String::new(), |p| plain(&p.name));
            let least = if plan.proof.least(plan.cost) { "costs" } else { "was found for" };
            let cost = plan.cost;
            if *proved {
                format!("Not even one paddle can be had for {budget}; one {name} {least} {cost}.")
            } else {
                format!(
                    "No paddle was found for {budget}, and that there is none is not proved; one {name} {least} {cost}."
                )
            }
        }
        Nothing::Short(none) if none.proved() => {
            "These boards don't give even one paddle, whatever the budget.".to_owned()
        }
        Nothing::Short(_) => format!(
            "No paddle was found for {budget} before the search was stopped; there may be one."
        ),
    }
}
