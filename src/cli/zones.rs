//! Words for zones that seem to be misspelt: what is kept clear around a kind, or allowed of it, holds
//! for no other word, so a slip of the pen would be cut close to.

use crate::cli::sizes::named;
use crate::lumber::{Board, ZoneKind};
use crate::paddle::Job;
use crate::read::nearest;
use crate::shop::words::listed;
use crate::text::plain;
use std::collections::BTreeSet;

/// Words of the trade for what boards have; any other word is a kind as well.
const KINDS: [&str; 9] = ["knot", "check", "split", "wane", "pitch", "sap", "stain", "rot", "pith"];

/// Kinds of zone that nothing is said of and that are spelled nearly as one that is, and words of
/// margins and of what is allowed that are spelled nearly as a kind, a sentence each without its end.
pub fn misspelt(job: &Job, boards: &[Board]) -> Vec<String> {
    let mut out = Vec::new();
    let mut said: Vec<&str> = job.shop.margins.keys().map(ZoneKind::as_str).collect();
    said.extend(laminations(job).flat_map(|l| &l.1.allow).map(ZoneKind::as_str));
    said.sort_unstable();
    said.dedup();
    let doubtful = |word: &str| !KINDS.contains(&word) && !said.contains(&word);
    // A list may hold tens of thousands of zones, each of a kind of its own.
    let all: BTreeSet<&str> =
        boards.iter().flat_map(|b| &b.zones).map(|z| z.kind.as_str()).collect();
    let others: Vec<&str> = all.iter().copied().filter(|kind| doubtful(kind)).collect();
    for &kind in &others {
        let Some(meant) = nearest(kind, &said) else { continue };
        let of = boards.iter().filter(|b| b.zones.iter().any(|z| z.kind.as_str() == kind));
        let of: Vec<String> = of.map(|b| plain(&b.name)).collect();
        let several = if of.len() == 1 { "" } else { "s" };
        out.push(format!(
            "board{several} {}: a zone is of kind {}, of which nothing is said; did you mean {meant}? {}",
            named(&of),
            plain(kind),
            unheeded(job, meant)
        ));
    }
    let known: Vec<&str> = KINDS.iter().copied().chain(others.iter().copied()).collect();
    for word in said {
        if KINDS.contains(&word) || all.contains(word) {
            continue;
        }
        let Some(meant) = nearest(word, &known) else { continue };
        let mut at: Vec<String> = Vec::new();
        if job.shop.margins.contains_key(&ZoneKind::new(word)) {
            at.push("[shop.margin]".to_owned());
        }
        let allowing = laminations(job).filter(|l| l.1.allow.iter().any(|a| a.as_str() == word));
        at.extend(allowing.map(|(paddle, l)| format!("{} {}", plain(paddle), plain(&l.name))));
        out.push(format!(
            "{} names zones of kind {}, and no board has any; did you mean {meant}?",
            listed(&at),
            plain(word)
        ));
    }
    out
}

/// What holds for a kind and not for a word like it.
fn unheeded(job: &Job, kind: &str) -> String {
    let kind = ZoneKind::new(kind);
    let allowing = laminations(job).any(|l| l.1.allow.contains(&kind));
    match (job.shop.margins.get(&kind), allowing) {
        (Some(margin), _) => format!(
            "Its margin, {} along and {} across, is not kept clear",
            margin.along.with_unit(job.units),
            margin.across.with_unit(job.units)
        ),
        (None, true) => "Strips are cut around it that may contain it".to_owned(),
        (None, false) => String::new(),
    }
}

/// All laminations with their paddles' names.
fn laminations(job: &Job) -> impl Iterator<Item = (&str, &crate::paddle::Lamination)> {
    job.paddles.iter().flat_map(|p| p.laminations.iter().map(|l| (p.name.as_str(), l)))
}
