//! Plan JSON (MODEL 9).

use crate::choose::NoPlan;
use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::lumber::Price;
use crate::paddle::{Job, StripKind, strip_kinds};
use crate::plan::{Cost, Edge, Face, InHand, Leaf, Measure, Plan, Rip, Section, Strip};
use crate::survey::nothing::Nothing;
use crate::verify::VerifiedPlan;
use serde::Serialize;

#[derive(Serialize)]
struct Document<'a> {
    version: u32,
    units: &'a str,
    cost: CostOut,
    proof: ProofOut,
    /// What is proved of the number, where as many as possible were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    most: Option<MostOut>,
    /// What money there was, where the most for it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    budget: Option<f64>,
    paddles: Vec<PaddleOut<'a>>,
    boards: Vec<BoardOut<'a>>,
    /// Strips in hand that go in, where any do.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    strips: Vec<InHandOut<'a>>,
}

#[derive(Serialize)]
struct InHandOut<'a> {
    strip: &'a str,
    paddle: &'a str,
    lamination: &'a str,
    flipped_with: Option<&'a str>,
}

#[derive(Serialize)]
struct CostOut {
    total: f64,
    measure: &'static str,
}

#[derive(Serialize)]
struct ProofOut {
    status: &'static str,
    bound: f64,
    gap: f64,
    /// The bound as a whole number of parts, which a decimal can't always hold.
    bound_parts: String,
}

#[derive(Serialize)]
struct MostOut {
    made: u32,
    at_most: u32,
}

#[derive(Serialize)]
struct PaddleOut<'a> {
    paddle: &'a str,
    made: u32,
}

#[derive(Serialize)]
struct BoardOut<'a> {
    board: &'a str,
    copy: u32,
    sections: Vec<SectionOut<'a>>,
}

#[derive(Serialize)]
struct SectionOut<'a> {
    from: f64,
    to: f64,
    edge: &'static str,
    face: &'static str,
    rips: Vec<RipOut<'a>>,
}

#[derive(Serialize)]
struct RipOut<'a> {
    near: f64,
    far: f64,
    turned: bool,
    leaves: Vec<LeafOut<'a>>,
}

#[derive(Serialize)]
struct LeafOut<'a> {
    thickness: f64,
    strips: Vec<StripOut<'a>>,
}

#[derive(Serialize)]
struct StripOut<'a> {
    id: &'a str,
    label: String,
    paddle: &'a str,
    lamination: &'a str,
    from: f64,
    to: f64,
    flipped_with: Option<&'a str>,
}

#[derive(Serialize)]
struct WithoutPlan<'a> {
    proof: Status,
    short: Vec<ShortOut<'a>>,
}

/// What is said where a budget doesn't buy one paddle.
#[derive(Serialize)]
struct OverBudget<'a> {
    proof: Status,
    budget: f64,
    /// The cheapest single paddle found, if any was.
    cheapest: Option<CheapestOut<'a>>,
    short: Vec<ShortOut<'a>>,
}

#[derive(Serialize)]
struct CheapestOut<'a> {
    paddle: &'a str,
    price: f64,
    /// The price is proved to be the least for one such paddle.
    proved: bool,
}

#[derive(Serialize)]
struct Status {
    status: &'static str,
}

#[derive(Serialize)]
struct ShortOut<'a> {
    paddle: &'a str,
    lamination: &'a str,
    missing: u32,
}

/// The plan as JSON in the job's units, with a line break at the end. Reading it with
/// [`crate::read::plan_json::plan_text`] gives the same plan.
pub fn to_string(plan: &VerifiedPlan, job: &Job, boards: &[Board]) -> String {
    document(plan, job, boards, None)
}

/// As [`to_string`], for a plan that makes the most paddles for so much money.
pub fn within_budget(plan: &VerifiedPlan, job: &Job, boards: &[Board], budget: Price) -> String {
    document(plan, job, boards, Some(budget))
}

/// Is it proved that no plan costs less, and of the number too where it was asked for?
fn all_proved(plan: &Plan) -> bool {
    plan.proof.least(plan.cost) && plan.most.is_none_or(|m| m.at_most <= m.made)
}

fn document(plan: &VerifiedPlan, job: &Job, boards: &[Board], budget: Option<Price>) -> String {
    let document = Document {
        version: 1,
        units: job.units.name(),
        cost: CostOut { total: plan.cost.value(), measure: plan.cost.measure.name() },
        proof: ProofOut {
            status: if all_proved(plan) { "optimal" } else { "bounded" },
            bound: Cost { parts: plan.proof.bound(plan.cost), ..plan.cost }.value(),
            gap: plan.proof.gap(plan.cost),
            bound_parts: plan.proof.bound(plan.cost).to_string(),
        },
        most: plan.most.map(|m| MostOut { made: m.made, at_most: m.at_most }),
        budget: budget.map(money),
        paddles: (job.paddles.iter().zip(&plan.paddles))
            .map(|(paddle, &made)| PaddleOut { paddle: &paddle.name, made })
            .collect(),
        boards: (plan.boards.iter())
            .map(|cut| BoardOut {
                board: boards.get(cut.board).map_or("", |b| &b.name),
                copy: cut.copy,
                sections: cut.sections.iter().map(|section| section_out(section, job)).collect(),
            })
            .collect(),
        strips: plan.in_hand.iter().map(|used| in_hand_out(used, job)).collect(),
    };
    pretty(&document)
}

fn in_hand_out<'a>(used: &'a InHand, job: &'a Job) -> InHandOut<'a> {
    let (paddle, lamination) = job.names(used.paddle, used.lamination);
    InHandOut {
        strip: job.strips.get(used.strip).map_or("", |s| &s.name),
        paddle,
        lamination,
        flipped_with: used.flipped_with.as_deref(),
    }
}

fn section_out<'a>(section: &'a Section, job: &'a Job) -> SectionOut<'a> {
    SectionOut {
        from: number(section.from, job.units),
        to: number(section.to, job.units),
        edge: match section.edge {
            Edge::Kept => "kept",
            Edge::Lined => "straight-lined",
        },
        face: match section.face {
            Face::Kept => "kept",
            Face::Flattened => "flattened",
        },
        rips: section.rips.iter().map(|rip| rip_out(rip, job)).collect(),
    }
}

fn rip_out<'a>(rip: &'a Rip, job: &'a Job) -> RipOut<'a> {
    let leaf = |leaf: &'a Leaf| LeafOut {
        thickness: number(leaf.thickness, job.units),
        strips: leaf.strips.iter().map(|strip| strip_out(strip, job)).collect(),
    };
    RipOut {
        near: number(rip.near, job.units),
        far: number(rip.far, job.units),
        turned: rip.turned,
        leaves: rip.leaves.iter().map(leaf).collect(),
    }
}

fn strip_out<'a>(strip: &'a Strip, job: &'a Job) -> StripOut<'a> {
    let (paddle, lamination) = job.names(strip.paddle, strip.lamination);
    StripOut {
        id: &strip.id,
        label: format!("{} {paddle} {lamination}", strip.id),
        paddle,
        lamination,
        from: number(strip.from, job.units),
        to: number(strip.to, job.units),
        flipped_with: strip.flipped_with.as_deref(),
    }
}

/// The JSON of a job without a plan: what is missing of each lamination. `missing` is in the
/// order of [`strip_kinds`]; a kind that several laminations share is named by its first.
pub fn short_json(no_plan: &NoPlan, job: &Job) -> String {
    // A search that was stopped proves nothing.
    let status = Status { status: if no_plan.proved() { "infeasible" } else { "not found" } };
    pretty(&WithoutPlan { proof: status, short: short_out(no_plan, job) })
}

fn short_out<'a>(no_plan: &NoPlan, job: &'a Job) -> Vec<ShortOut<'a>> {
    let kinds = strip_kinds(job);
    let short = kinds.iter().zip(&no_plan.shortage().missing).filter(|&(_, &n)| n > 0);
    let out = |(kind, &missing): (&StripKind, &u32)| {
        let &(p, l) = kind.lines.first()?;
        let paddle = job.paddles.get(p)?;
        let lamination = &paddle.laminations.get(l)?.name;
        Some(ShortOut { paddle: &paddle.name, lamination, missing })
    };
    short.filter_map(out).collect()
}

/// The JSON of a budget that buys nothing. It is not infeasible: more money would do, or a longer
/// search might.
pub fn over_budget_json(nothing: &Nothing, budget: Price, job: &Job) -> String {
    let status = match nothing {
        Nothing::OverBudget { proved: true, .. } => "over budget",
        Nothing::Short(no_plan) if no_plan.proved() => "infeasible",
        Nothing::OverBudget { .. } | Nothing::Short(_) => "not found",
    };
    let (cheapest, short) = match nothing {
        Nothing::OverBudget { paddle, plan, .. } => {
            let name = job.paddles.get(*paddle).map_or("", |p| &p.name);
            let (price, proved) = (plan.cost.value(), plan.proof.least(plan.cost));
            (Some(CheapestOut { paddle: name, price, proved }), Vec::new())
        }
        Nothing::Short(no_plan) => (None, short_out(no_plan, job)),
    };
    pretty(&OverBudget { proof: Status { status }, budget: money(budget), cheapest, short })
}

fn money(price: Price) -> f64 {
    Cost { measure: Measure::Price, parts: i128::from(price.parts()) }.value()
}

/// A decimal that reads back to the same unit: nine places are finer than half a unit in either
/// system, and a double holds them up to the greatest length.
#[allow(clippy::float_arithmetic)]
fn number(length: Length, units: Units) -> f64 {
    let exact = length.to_f64(units);
    let short = (exact * 1e9).round() / 1e9;
    if Length::from_f64(short, units) == Some(length) { short } else { exact }
}

fn pretty(document: &impl Serialize) -> String {
    // Writing plain structs of strings and finite numbers to memory can't fail.
    let mut text = serde_json::to_string_pretty(document).unwrap_or_default();
    text.push('\n');
    text
}
