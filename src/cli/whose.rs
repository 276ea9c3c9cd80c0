//! For whom pages are printed: `--for`.

use crate::cli::Failure;
use crate::cli::tally::names::{parted, problem, some};
use crate::lumber::look;
use crate::paddle::Job;
use crate::read::{Problems, nearest};
use crate::report::{Pages, Part};

/// The pages asked for: those of the builders named, or all.
///
/// # Errors
/// Every name that no paddle of the job has.
pub(super) fn pages(parts: &[Part], given: &[String], job: &Job) -> Result<Pages, Failure> {
    if given.is_empty() {
        return Ok(Pages::of(parts));
    }
    let places = |name: &str| -> Vec<usize> {
        let same = |(i, paddle): (usize, &crate::paddle::Paddle)| {
            (look(&paddle.name) == look(name.trim())).then_some(i)
        };
        job.paddles.iter().enumerate().filter_map(same).collect()
    };
    let known: Vec<&str> = job.paddles.iter().map(|p| p.name.as_str()).collect();
    let (mut paddles, mut problems) = (Vec::new(), Problems::default());
    let names = parted(given, |name| !places(name).is_empty());
    for name in &names {
        let found = places(name);
        if found.is_empty() {
            let cure = match nearest(name, &known) {
                Some(near) => format!("did you mean {near}?"),
                None => format!("its paddles are {}", some(&known)),
            };
            problem(&mut problems, "--for", name, "is not a paddle of this job", &cure);
        }
        paddles.extend(found);
    }
    if names.is_empty() {
        let cure = format!("name one of {}", some(&known));
        problem(&mut problems, "--for", "", "names no paddle", &cure);
    }
    if !problems.is_empty() {
        return Err(Failure::new(&problems));
    }
    paddles.sort_unstable();
    paddles.dedup();
    Ok(Pages::only(parts, paddles))
}
