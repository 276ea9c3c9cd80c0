//! What is proved of a plan, in one sentence or two: the only place that says so.

use crate::claim::FilePlan;
use crate::length::{Length, Units};
use crate::lumber::Price;
use crate::plan::{Cost, Measure, Most, Plan, Proof};
use crate::shop::words::counted;

/// Who vouches for what is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Source {
    /// It was worked out in this run.
    Here,
    /// It stands in a file.
    File,
}

/// What the plan costs: `Price 18.75`.
pub fn cost(cost: Cost) -> String {
    match cost.measure {
        Measure::Price => format!("Price {cost}"),
        Measure::BoardFeet => format!("Wood opened {cost}"),
    }
}

/// As [`cost`], of wood in cubic decimetres too where the job is in millimetres.
pub fn cost_in(cost: Cost, units: Units) -> String {
    match (cost.measure, units) {
        (Measure::BoardFeet, Units::Mm) => {
            format!("Wood opened {cost} ({} dm³)", litres(cost.parts))
        }
        _ => self::cost(cost),
    }
}

/// A volume in cubic decimetres, to the nearest hundredth.
pub fn litres(parts: i128) -> String {
    let side = i128::from(Length::MM.units()) * 100;
    let one = side * side * side;
    let (whole, rest) = (parts / one, parts % one);
    let hundredths = whole * 100 + (rest * 200 / one + 1) / 2;
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}

/// What is proved of a plan that was worked out in this run.
pub fn proved(plan: &Plan) -> String {
    Said { source: Source::Here, several: plan.paddles.len() > 1, budget: None }
        .words(plan.cost, plan.proof, plan.most)
}

/// That a search was ended early, by hand or by its time limit, where more of it could have come to
/// something.
pub fn stopped(plan: &Plan, by_hand: bool) -> Option<&'static str> {
    let decided = plan.most.is_none_or(|most| most.at_most <= most.made);
    if decided && plan.proof.least(plan.cost) {
        return None;
    }
    Some(if by_hand {
        "You stopped the search: it might have found a better plan, or proved this one the best."
    } else {
        "The time limit stopped the search: with more time it may find a better plan, or prove this one the best."
    })
}

/// What is proved of a plan for as many paddles as a budget buys.
pub fn proved_within(plan: &Plan, budget: Price) -> String {
    Said { source: Source::Here, several: plan.paddles.len() > 1, budget: Some(budget) }
        .words(plan.cost, plan.proof, plan.most)
}

/// What a file claims of its plan.
pub fn claimed(file: &FilePlan) -> String {
    let (cost, claim) = (file.plan.cost, &file.claim);
    Said { source: Source::File, several: file.plan.paddles.len() > 1, budget: None }.words(
        cost,
        claim.proof(cost),
        claim.most,
    )
}

/// How far a cost may lie above the least, in hundredths of a percent of the bound, rounded up:
/// never nearer than is known. `None` where there is no bound to speak of.
pub fn above(cost: i128, bound: i128) -> Option<i128> {
    if bound <= 0 {
        return None;
    }
    let over = cost.checked_sub(bound)?.max(0);
    over.checked_mul(10_000)?.checked_add(bound - 1).map(|top| top / bound)
}

struct Said {
    source: Source,
    /// There are several kinds of paddle, of each of which no more are made than are wanted.
    several: bool,
    budget: Option<Price>,
}

impl Said {
    fn words(&self, cost: Cost, proof: Proof, most: Option<Most>) -> String {
        let lead = match self.source {
            Source::Here => "Proved",
            Source::File => "The file claims",
        };
        let of_cost = cheapest(cost, proof, most);
        let nothing = match self.source {
            Source::Here => "Nothing is proved of the cost: no bound was worked out.",
            Source::File => "The file claims nothing of the cost.",
        };
        let alone = match &of_cost {
            Some(words) => format!("{lead}: {words}."),
            None => nothing.to_owned(),
        };
        let Some(most) = most else { return alone };
        if most.at_most > most.made {
            let head = match self.source {
                Source::Here => "The search was stopped",
                Source::File => "The file says that its search was stopped",
            };
            let (made, can) = (counted(most.made, "paddle"), most.at_most);
            return format!("{head}: {made} made, at most {can} could be. {alone}");
        }
        let number = self.number();
        match of_cost {
            Some(words) => format!("{lead}: {number}, and {words}."),
            None => format!("{lead}: {number}. {nothing}"),
        }
    }

    /// That there are no more paddles to be had.
    fn number(&self) -> String {
        let paddles = if self.several { "of the paddles wanted " } else { "" };
        match self.budget {
            Some(money) => format!("no more {paddles}can be had for {money}"),
            None => format!("no more {paddles}can be made of these boards"),
        }
    }
}

/// That no choice is cheaper, or how much cheaper one can be at most; `None` where nothing is
/// known. As many paddles as possible are compared with as many.
fn cheapest(cost: Cost, proof: Proof, most: Option<Most>) -> Option<String> {
    let bound = proof.bound(cost);
    let choice = match most {
        None if bound >= cost.parts => "no choice of these boards costs less".to_owned(),
        None => "no choice costs less".to_owned(),
        Some(most) if most.at_most > most.made => {
            format!("no choice that makes {} costs less", most.made)
        }
        Some(_) => "no choice that makes as many costs less".to_owned(),
    };
    if bound >= cost.parts {
        return Some(choice);
    }
    if bound <= 0 {
        return None;
    }
    let least = no_more(Cost { parts: bound, ..cost });
    let above = above(cost.parts, bound).map_or(String::new(), |above| {
        format!(", so this one is at most {}.{:02} % above the least", above / 100, above % 100)
    });
    Some(format!("{choice} than {least}{above}"))
}

/// A bound to be read: rounded down where the digits shown can't hold it.
fn no_more(bound: Cost) -> String {
    match bound.measure {
        Measure::Price => bound.to_string(),
        Measure::BoardFeet => {
            let one = bound.measure.one();
            let hundredths = bound.parts / one * 100 + bound.parts % one * 100 / one;
            format!("{}.{:02} board feet", hundredths / 100, hundredths % 100)
        }
    }
}
