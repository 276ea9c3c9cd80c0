//! The plan as a whole: names, flipped pairs, the paddles counted, cost and proof (MODEL 6, 7).

use super::fault::{Place, Rule};
use super::faults::{Faults, wide};
use super::{rack, strip};
use crate::lumber::Board;
use crate::paddle::{Job, Runs};
use crate::plan::{CutBoard, Measure, Plan, Proof, Rip, Section, Strip};
use std::collections::BTreeMap;

/// A strip with where it comes from.
#[derive(Clone, Copy)]
struct Found<'a> {
    cut: &'a CutBoard,
    section: &'a Section,
    rip: &'a Rip,
    strip: &'a Strip,
}

pub(super) fn check(plan: &Plan, job: &Job, boards: &[Board], faults: &mut Faults) {
    let mut named: BTreeMap<&str, Found> = BTreeMap::new();
    let all: Vec<Found> = plan
        .strips()
        .map(|(cut, section, rip, _, strip)| Found { cut, section, rip, strip })
        .collect();
    for found in &all {
        if named.insert(&found.strip.id, *found).is_some() {
            let figures = format!("the name {:?} is used again", found.strip.id);
            faults.add(&place(found, boards), Rule::Id, figures);
        }
    }
    for found in &all {
        if let Some(partner) = &found.strip.flipped_with {
            let trouble = match named.get(partner.as_str()) {
                None => Some(format!("no strip is named {partner:?}")),
                Some(other) => mismatch(found, other, job, boards),
            };
            if let Some(figures) = trouble {
                faults.add(&place(found, boards), Rule::Flip, figures);
            }
        }
    }
    let in_hand = rack::check(plan, job, faults);
    demand(plan, job, &all, in_hand, faults);
    cost(plan, boards, faults);
}

fn place(found: &Found, boards: &[Board]) -> Place {
    let board = boards.get(found.cut.board);
    let name = board.map_or_else(|| format!("number {}", found.cut.board), |b| b.name.clone());
    Place {
        board: Some((name, found.cut.copy)),
        strip: Some(found.strip.id.clone()),
        ..Place::default()
    }
}

/// What keeps two strips from being a flipped pair.
fn mismatch(one: &Found, other: &Found, job: &Job, boards: &[Board]) -> Option<String> {
    let line = |f: &Found| (f.strip.paddle, f.strip.lamination);
    let lamination = job.paddles.get(one.strip.paddle)?.laminations.get(one.strip.lamination)?;
    let board = boards.get(one.cut.board)?;
    let bends = |f: &Found| {
        strip::kept((f.section.edge, f.section.face), f.rip.turned, board.crook, board.bow)
    };
    let name = &other.strip.id;
    let trouble = if one.strip.id == other.strip.id {
        "is paired with itself".to_owned()
    } else if other.strip.flipped_with.as_ref() != Some(&one.strip.id) {
        format!("{name} does not name it back")
    } else if line(one) != line(other) {
        format!("{name} is for another lamination")
    } else if lamination.centre {
        "lies on the centreline".to_owned()
    } else if (one.cut.board, one.cut.copy) != (other.cut.board, other.cut.copy) {
        format!("{name} comes from another board")
    } else if one.rip.turned != other.rip.turned {
        format!("{name} is cut the other way up")
    } else if bends(one).1 != bends(other).1 {
        format!("{name} has another bend: its section keeps what this one straightens")
    } else {
        return None;
    };
    Some(trouble)
}

fn demand(
    plan: &Plan,
    job: &Job,
    all: &[Found],
    in_hand: BTreeMap<(usize, usize), u64>,
    faults: &mut Faults,
) {
    let plain = Place::default();
    if plan.paddles.len() != job.paddles.len() {
        let figures =
            format!("{} kinds of paddle counted of {}", plan.paddles.len(), job.paddles.len());
        faults.add(&plain, Rule::Demand, figures);
    }
    let mut cut = in_hand;
    for found in all {
        *cut.entry((found.strip.paddle, found.strip.lamination)).or_default() += 1;
    }
    for (p, (paddle, &made)) in job.paddles.iter().zip(&plan.paddles).enumerate() {
        if made == 0 {
            continue;
        }
        for (l, lamination) in paddle.laminations.iter().enumerate() {
            let each = match (lamination.centre, lamination.runs) {
                (true, _) => 1,
                (false, Runs::Through) => 2,
                (false, Runs::Blade) => 4,
            };
            // Partners come from one lamination in twos, and a lamination off the centreline
            // needs an even number: so pairs always find mirrored places in one blank.
            let asked = u64::from(made) * each + u64::from(lamination.spares);
            let found = cut.get(&(p, l)).copied().unwrap_or(0);
            if found < asked {
                let figures = format!(
                    "{found} strips of {} for {made} of {}, {asked} needed",
                    lamination.name, paddle.name
                );
                faults.add(&plain, Rule::Demand, figures);
            }
        }
    }
}

fn cost(plan: &Plan, boards: &[Board], faults: &mut Faults) {
    // Offcuts are paid for: they need no price and cost nothing by either measure.
    let priced = boards.iter().any(|b| b.price.is_some())
        && boards.iter().all(|b| b.price.is_some() || b.offcut);
    let measure = if priced { Measure::Price } else { Measure::BoardFeet };
    let opened = plan.boards.iter().filter_map(|cut| boards.get(cut.board));
    let parts: i128 = opened
        .map(|b| match b.price {
            _ if b.offcut => 0,
            Some(price) if priced => i128::from(price.parts()),
            _ => wide(b.length) * wide(b.width) * wide(b.thickness),
        })
        .fold(0, i128::saturating_add);
    let plain = Place::default();
    if plan.cost.measure != measure || plan.cost.parts != parts {
        let right = crate::plan::Cost { measure, parts };
        let figures = format!(
            "{} stated in {}, the boards come to {right} in {}",
            plan.cost,
            plan.cost.measure.name(),
            measure.name()
        );
        faults.add(&plain, Rule::Cost, figures);
    }
    if let Proof::AtLeast(bound) = plan.proof
        && bound > plan.cost.parts
    {
        let bound = crate::plan::Cost { measure, parts: bound };
        faults.add(&plain, Rule::Proof, format!("bound {bound}, cost {}", plan.cost));
    }
    if let Some(most) = plan.most {
        let made: u64 = plan.paddles.iter().map(|&n| u64::from(n)).sum();
        if u64::from(most.made) != made || most.at_most < most.made {
            let figures = format!(
                "{} made and at most {} by `most`, {made} counted",
                most.made, most.at_most
            );
            faults.add(&plain, Rule::Most, figures);
        }
    }
}
