//! What is said of strips in hand before a search.

use crate::paddle::Job;
use crate::read::{self, Problem, nearest};
use crate::report::text::rack::why_useless;
use crate::text::plain;
use crate::verify::VerifiedPlan;
use serde_json::Value;
use std::collections::{BTreeSet, HashMap, HashSet};
use std::path::Path;

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

/// Strips of the list that a plan neither cuts nor uses, a sentence each: of a measured one the name
/// may be misspelt, others were on the rack and were not wanted.
pub fn not_of_plan(plan: &VerifiedPlan, job: &Job) -> Vec<String> {
    let used = plan.in_hand.iter().filter_map(|u| job.strips.get(u.strip)).map(|s| s.name.as_str());
    let names: BTreeSet<&str> = plan.strips().map(|s| s.4.id.as_str()).chain(used).collect();
    let listed: Vec<&str> = job.strips.iter().map(|s| s.name.as_str()).collect();
    let mut out = Vec::new();
    let mut unused: Vec<String> = Vec::new();
    for (name, near) in others(&listed, &names) {
        match near {
            Some(near) if out.len() < NAMED => out.push(format!(
                "the plan has no strip named {}; what was measured of it changes nothing. Did you mean {}?",
                plain(name),
                plain(near)
            )),
            _ => unused.push(plain(name)),
        }
    }
    let more = match unused.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    let (strips, them) = if unused.len() == 1 { ("strip", "it") } else { ("strips", "them") };
    unused.truncate(NAMED);
    if !unused.is_empty() {
        out.push(format!(
            "the plan does not use {strips} {}{more}; what was measured of {them} changes nothing.",
            unused.join(", ")
        ));
    }
    out
}

/// Names that a list has and a plan hasn't, each with the name of the plan that seems to be meant:
/// one that the list doesn't have as well.
fn others<'a>(listed: &[&'a str], names: &BTreeSet<&'a str>) -> Vec<(&'a str, Option<&'a str>)> {
    let there: HashSet<&str> = listed.iter().copied().collect();
    let known: Vec<&str> = names.iter().copied().filter(|n| !there.contains(n)).collect();
    let strange = listed.iter().filter(|n| !names.contains(*n));
    // Comparing with thousands of names takes long; a few are told of one by one.
    let mut looks = 4 * NAMED;
    let near = |name: &&'a str| {
        looks = looks.saturating_sub(1);
        (*name, nearest(name, &known).filter(|_| looks > 0))
    };
    strange.map(near).collect()
}

/// The same of a list that can't be read as a whole, with lines, for a plan that was not checked.
pub fn strange(strips: &Path, plan: &Path) -> Vec<Problem> {
    // What came through a pipe is gone.
    let text = |path: &Path| path.is_file().then(|| read::text(path).ok()).flatten();
    let (Some(list), Some(json)) = (text(strips), text(plan)) else { return Vec::new() };
    let Ok(json) = serde_json::from_str::<Value>(&json) else { return Vec::new() };
    let mut names = BTreeSet::new();
    strip_names(&json, &mut names);
    let lines = read::names_in(&list, "strip");
    let listed: Vec<&str> = lines.iter().map(|(_, name)| name.as_str()).collect();
    if names.is_empty() {
        return Vec::new();
    }
    let strange: HashMap<&str, Option<&str>> = others(&listed, &names).into_iter().collect();
    let found =
        lines.iter().filter_map(|(line, name)| Some((*line, name, strange.get(name.as_str())?)));
    let problem = |(line, name, near): (usize, &String, &Option<&str>)| Problem {
        file: strips.display().to_string(),
        line: Some(line),
        column: Some("column strip".to_owned()),
        value: Some(name.clone()),
        rule: "is no strip of the plan".to_owned(),
        cure: match near {
            Some(near) => format!("did you mean {near}?"),
            None => "what was measured of it changes nothing".to_owned(),
        },
    };
    found.map(problem).collect()
}

/// The names of the strips that a plan file cuts or uses.
fn strip_names<'v>(json: &'v Value, into: &mut BTreeSet<&'v str>) {
    match json {
        Value::Array(all) => all.iter().for_each(|value| strip_names(value, into)),
        Value::Object(map) => {
            for (key, value) in map {
                match value.as_str() {
                    Some(name) if key == "id" || key == "strip" => {
                        into.insert(name);
                    }
                    _ => strip_names(value, into),
                }
            }
        }
        _ => {}
    }
}
