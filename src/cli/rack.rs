//! What is said of strips in hand before a search.

use crate::paddle::Job;
use crate::read::Problem;
use crate::report::text::rack::why_useless;
use crate::text::plain;

/// The most strips that are named one by one.
const NAMED: usize = 8;

/// What deserves a second look, a sentence each: strips cut for what this job doesn't have, and
/// strips that serve nothing in it.
pub fn warnings(job: &Job, doubts: &[Problem]) -> Vec<String> {
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
    let all: Vec<String> = doubts.iter().map(ToString::to_string).chain(useless).collect();
    let more = all.len().saturating_sub(NAMED);
    let rest = match more {
        0 => None,
        1 => Some("and one strip more serves nothing; check lists them all.".to_owned()),
        n => Some(format!("and {n} strips more serve nothing; check lists them all.")),
    };
    all.into_iter().take(NAMED).chain(rest).collect()
}
