//! Whether what a file says of its plan agrees with the plan and with itself. Whether it is so is
//! for [`crate::prove`] to work out.

use super::fault::{Place, Rule};
use super::faults::Faults;
use crate::claim::FilePlan;
use crate::paddle::Job;
use crate::plan::{Cost, Measure, Plan};

/// A gap written with three decimals is exact enough.
const ROUNDING: f64 = 0.0005;
/// What a decimal may be off by where it stands for an exact figure.
const DIGITS: f64 = 1e-9;

pub(super) fn check(file: &FilePlan, job: &Job, faults: &mut Faults) {
    bound(file, faults);
    gap(file, faults);
    number(file, faults);
    budget(file, faults);
    if !file.claim.fewer()
        && job.paddles.iter().zip(&file.plan.paddles).any(|(p, &made)| made < p.quantity)
    {
        add(faults, Rule::Wanted, format!("makes {}", made(&file.plan, job)));
    }
}

/// `2 of 3 touring and 0 of 1 storm`.
pub fn made(plan: &Plan, job: &Job) -> String {
    let one = |(p, n): (&crate::paddle::Paddle, &u32)| {
        let name = crate::text::plain(&p.name);
        format!("{n} of {} {name}", p.quantity)
    };
    let all: Vec<String> = job.paddles.iter().zip(&plan.paddles).map(one).collect();
    match all.as_slice() {
        [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.concat(),
    }
}

fn add(faults: &mut Faults, rule: Rule, figures: String) {
    faults.add(&Place::default(), rule, figures);
}

fn bound(file: &FilePlan, faults: &mut Faults) {
    let (cost, claim) = (file.plan.cost, &file.claim);
    let shown = |parts: i128| figure(Cost { parts, ..cost });
    if let (Some(bound), Some(parts)) = (claim.bound, claim.bound_parts)
        && bound != parts
    {
        add(faults, Rule::Bound, format!("bound {}, bound_parts {}", shown(bound), shown(parts)));
    }
    let bounds = [claim.bound, claim.bound_parts];
    if let Some(over) = bounds.iter().flatten().copied().find(|&b| b > cost.parts) {
        let figures = format!("bound {}, cost {}", shown(over), figure(cost));
        add(faults, Rule::Proof, figures);
    }
    if !claim.optimal {
        // A cost that is the least leaves only the number of paddles to be open.
        let open = claim.most.is_some_and(|m| m.at_most > m.made);
        if !open && bounds.contains(&Some(cost.parts)) {
            let figures = format!("bounded with bound and cost {}", figure(cost));
            add(faults, Rule::Status, figures);
        }
        return;
    }
    if let Some(off) = bounds.iter().flatten().copied().find(|&b| b != cost.parts) {
        let figures = format!("optimal with bound {} and cost {}", shown(off), figure(cost));
        add(faults, Rule::Status, figures);
    }
    if let Some(most) = claim.most
        && most.at_most > most.made
    {
        let figures = format!("optimal with {} made and at most {}", most.made, most.at_most);
        add(faults, Rule::Status, figures);
    }
}

#[allow(clippy::cast_precision_loss, clippy::float_arithmetic)]
fn gap(file: &FilePlan, faults: &mut Faults) {
    let (cost, claim) = (file.plan.cost.parts, &file.claim);
    let Some(gap) = claim.gap else { return };
    let (right, off) = match claim.bound {
        _ if claim.optimal => (0.0, DIGITS),
        Some(bound) if cost > 0 => ((cost - bound) as f64 / cost as f64, ROUNDING),
        _ => (0.0, DIGITS),
    };
    let agrees = (gap - right).abs() <= off;
    if !agrees {
        add(faults, Rule::Gap, format!("gap {gap}, cost and bound give {right:.4}"));
    }
}

fn number(file: &FilePlan, faults: &mut Faults) {
    let Some(most) = file.claim.most else { return };
    let made: u64 = file.plan.paddles.iter().map(|&n| u64::from(n)).sum();
    if u64::from(most.made) != made {
        let figures = format!("{} made by `most`, {made} by `paddles`", most.made);
        add(faults, Rule::Most, figures);
    }
    if most.at_most < most.made {
        add(faults, Rule::Most, format!("{} made, at most {}", most.made, most.at_most));
    }
}

fn budget(file: &FilePlan, faults: &mut Faults) {
    let (cost, Some(parts)) = (file.plan.cost, file.claim.budget) else { return };
    if cost.measure != Measure::Price || cost.parts > parts {
        let money = Cost { measure: Measure::Price, parts }.value();
        add(faults, Rule::Budget, format!("cost {}, budget {money}", figure(cost)));
    }
}

/// A cost with all its digits: two that differ must look different.
fn figure(cost: Cost) -> String {
    format!("{} {}", cost.value(), cost.measure.name())
}
