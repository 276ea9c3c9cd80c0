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

/// Sentences that differ by a name alone, told once for all its names: of a class one more for any
/// builder mostly costs the same.
#[derive(Default)]
pub struct Alike(Vec<(String, Vec<String>)>);

impl Alike {
    /// What is told of a name. Names are plain, so that none holds what stands for them meanwhile.
    pub fn add(&mut self, name: String, told: impl FnOnce(&str) -> String) {
        let told = told(NAME);
        match self.0.iter_mut().find(|(known, _)| *known == told) {
            Some((_, names)) => names.push(name),
            None => self.0.push((told, vec![name])),
        }
    }

    /// The sentences, in the order in which they first came.
    pub fn lines(&self) -> Vec<String> {
        let line = |(told, names): &(String, Vec<String>)| {
            let names = match names.split_last() {
                Some((last, first @ [_, ..])) => format!("{} or {last}", first.join(", ")),
                _ => names.concat(),
            };
            told.replacen(NAME, &names, 1)
        };
        self.0.iter().map(line).collect()
    }
}

/// Stands for a name.
const NAME: &str = "\u{0}";

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

#[cfg(test)]
mod tests {
    use super::Alike;

    #[test]
    fn what_is_the_same_for_every_builder_is_told_once() {
        let mut alike = Alike::default();
        for (name, cost) in [("Ada", 3), ("Bert", 4), ("Cleo", 3), ("Dirk", 3)] {
            alike.add(name.to_owned(), |name| format!("With one more {name} it costs {cost}."));
        }
        assert_eq!(
            alike.lines(),
            ["With one more Ada, Cleo or Dirk it costs 3.", "With one more Bert it costs 4."]
        );
    }
}
