//! What is said of strips in hand before a search.

use crate::paddle::Job;
use crate::read::{Problem, nearest};
use crate::report::text::rack::why_useless;
use crate::text::plain;
use crate::verify::VerifiedPlan;
use std::collections::BTreeSet;

/// The most strips that are named one by one.
const NAMED: usize = 8;

/// What deserves a second look, a sentence each: what was doubtful in reading the lists, strips cut
/// for what this job doesn't have, and strips that serve nothing in it. The first few, unless
/// `all` are asked for.
pub fn warnings(job: &Job, doubts: &[Problem], all: bool) -> Vec<String> {
    // What a doubt tells of is not told again.
    let told = |s: usize| {
        let strip = &job.strips[s];
        let named = |p: &crate::paddle::Paddle| {
            strip.paddle.as_ref().is_none_or(|n| *n == p.name)
                && p.laminations
                    .iter()
                    .any(|l| strip.lamination.as_ref().is_none_or(|n| *n == l.name))
        };
        !job.paddles.iter().any(named)
    };
    let useless = (0..job.strips.len()).filter(|&s| !told(s)).filter_map(|s| {
        let why = why_useless(job, s)?;
        Some(format!("strip {} serves nothing: {why}.", plain(&job.strips[s].name)))
    });
    let found: Vec<String> = doubts.iter().map(ToString::to_string).chain(useless).collect();
    let shown = if all { found.len() } else { NAMED };
    let rest = match found.len().saturating_sub(shown) {
        0 => None,
        1 => Some("and one doubt more; check lists them all.".to_owned()),
        n => Some(format!("and {n} doubts more; check lists them all.")),
    };
    found.into_iter().take(shown).chain(rest).collect()
}

/// Strips of the list that a plan neither cuts nor uses: of a measured one the name may be misspelt.
pub fn not_of_plan(plan: &VerifiedPlan, job: &Job) -> Option<String> {
    let used = plan.in_hand.iter().filter_map(|u| job.strips.get(u.strip)).map(|s| s.name.as_str());
    let names: BTreeSet<&str> = plan.strips().map(|s| s.4.id.as_str()).chain(used).collect();
    let others = job.strips.iter().map(|s| s.name.as_str()).filter(|n| !names.contains(n));
    let others: Vec<&str> = others.collect();
    let first = others.first()?;
    let shown: Vec<String> = others.iter().take(NAMED).map(|n| plain(n)).collect();
    let more = match others.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    let known: Vec<&str> = names.into_iter().collect();
    let meant = match nearest(first, &known) {
        Some(near) if others.len() == 1 => format!(" Did you mean {}?", plain(near)),
        _ => String::new(),
    };
    Some(format!(
        "the plan has no strip named {}{more}; what was measured of it changes nothing.{meant}",
        shown.join(", ")
    ))
}
