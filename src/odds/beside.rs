//! Marked boards of a yard and likely ones together: which marked ones to buy, as they are, and how
//! many of those that are not marked besides, at least cost for the sureness wanted (MODEL 12).

use crate::choose::{Options, plan_for};
use crate::lumber::{Board, Price};
use crate::odds::mix::price;
use crate::odds::pile::Source;
use crate::odds::sample::Sample;
use crate::odds::{Ask, Heard, Line, line_of};
use crate::paddle::Job;
use crate::survey::buy::{counts, together};

/// Marked boards and likely ones.
#[derive(Clone, Debug)]
pub struct Beside {
    /// Marked boards that are bought: which of the yard's, and how many.
    pub marked: Vec<(usize, u32)>,
    /// What they cost.
    pub paid: Price,
    /// The likely ones, with how many to buy.
    pub line: Line,
    /// What all of it costs.
    pub cost: Price,
}

/// Sets of marked boards that are tried with likely ones: those for so many of four quarters of the
/// paddles, and all.
const QUARTERS: u32 = 4;

/// The cheapest that was found for less than `limit`, and whether all was tried that is meant to be.
/// Tried are, for every likely line: no marked boards, those that are cheapest for a quarter, half,
/// three quarters and all of the paddles, and all there are. `likely` are the lines of `unmarked`
/// that the sample knows.
pub fn beside(
    job: &Job,
    (in_hand, yard): (&[Board], &[Board]),
    (sample, unmarked): (&[Board], &[Board]),
    (ask, limit, options): (&Ask, Option<Price>, &Options),
    heard: Heard<'_>,
) -> (Option<Beside>, bool) {
    let likely: Vec<usize> = (0..unmarked.len())
        .filter(|&b| Source::is_clear(&unmarked[b]) || Sample::knows(sample, &unmarked[b]))
        .collect();
    let mut best: Option<Beside> = None;
    // First by few draws, to leave out what isn't near; then those that may be cheaper in full.
    for &board in &likely {
        if options.stop.asked() {
            break;
        }
        for marked in sets(job, (in_hand, yard), &unmarked[board], options) {
            if options.stop.asked() {
                break;
            }
            let Some(paid) = paid(&marked, yard) else { continue };
            let below = best.as_ref().map(|b| b.cost).or(limit);
            let dearer = |n: usize| {
                let cost = price(&unmarked[board], n).and_then(|p| sum(paid, p));
                below.is_some_and(|below| cost.is_none_or(|cost| cost >= below))
            };
            if dearer(1) {
                continue;
            }
            let copies = |&(b, n): &(usize, u32)| Board { quantity: n, ..yard[b].clone() };
            let bought: Vec<Board> = marked.iter().map(copies).collect();
            let boards = together(&[in_hand, &bought].concat(), &[]);
            let lists = (&boards[..], sample, unmarked);
            let few = Ask { draws: ask.draws.min(FEW), ..*ask };
            let first = line_of(job, lists, board, (&few, &options.stop), heard);
            // A few draws are no proof: what is two boards beyond is left out.
            if first.is_some_and(|l| l.buy.is_none_or(|n| n == 0 || dearer(n.saturating_sub(2)))) {
                continue;
            }
            let Some(line) = line_of(job, lists, board, (ask, &options.stop), heard) else {
                continue;
            };
            if let Some(n) = line.buy.filter(|&n| n > 0 && !dearer(n))
                && let Some(cost) = price(&unmarked[board], n).and_then(|p| sum(paid, p))
            {
                best = Some(Beside { marked, paid, line, cost });
            }
        }
    }
    (best, !options.stop.asked())
}

/// Draws to find out what is not near.
const FEW: u32 = 40;

fn sum(a: Price, b: Price) -> Option<Price> {
    a.parts().checked_add(b.parts()).map(Price::from_parts)
}

fn paid(marked: &[(usize, u32)], yard: &[Board]) -> Option<Price> {
    marked
        .iter()
        .try_fold(Price::default(), |all, &(b, n)| sum(all, price(yard.get(b)?, n as usize)?))
}

/// The sets of marked boards to try beside boards of one wood, the cheapest first.
fn sets(
    job: &Job,
    (in_hand, yard): (&[Board], &[Board]),
    board: &Board,
    options: &Options,
) -> Vec<Vec<(usize, u32)>> {
    let mut all: Vec<Vec<(usize, u32)>> = Vec::new();
    let boards = together(in_hand, yard);
    let bought = |job: &Job, paddles: &[u32]| -> Option<Vec<(usize, u32)>> {
        let plan = plan_for(job, &boards, paddles, options).ok()?;
        let mut bought = counts(&plan, in_hand.len());
        bought.iter_mut().for_each(|(board, _)| *board -= in_hand.len());
        bought.sort_unstable();
        Some(bought)
    };
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    match rest_of(job, board) {
        // Laminations that may not be of that wood come from marked boards, whatever else.
        Some(rest) => {
            let wanted: Vec<u32> = rest.paddles.iter().map(|p| p.quantity).collect();
            all.extend(bought(&rest, &wanted));
        }
        None => {
            let paddles: u32 = wanted.iter().fold(0, |a, &n| a.saturating_add(n));
            for quarter in 0..=QUARTERS {
                let part = u64::from(paddles) * u64::from(quarter) / u64::from(QUARTERS);
                all.extend(bought(job, &first(&wanted, part)));
            }
        }
    }
    all.push(yard.iter().enumerate().map(|(b, board)| (b, board.quantity)).collect());
    let mut out: Vec<Vec<(usize, u32)>> = Vec::new();
    for set in all {
        if !out.contains(&set) {
            out.push(set);
        }
    }
    out
}

/// So many paddles, of the first kinds first.
fn first(wanted: &[u32], mut paddles: u64) -> Vec<u32> {
    let mut take = |&n: &u32| {
        let of = u64::from(n).min(paddles);
        paddles -= of;
        u32::try_from(of).unwrap_or(n)
    };
    wanted.iter().map(&mut take).collect()
}

/// What of a job boards of a wood can't serve; `None` where that is nothing.
fn rest_of(job: &Job, board: &Board) -> Option<Job> {
    let mut rest = job.clone();
    for paddle in &mut rest.paddles {
        paddle.laminations.retain(|l| {
            !l.species.is_empty() && !l.species.iter().any(|s| s.matches(&board.species))
        });
    }
    rest.paddles.retain(|p| !p.laminations.is_empty() && p.quantity > 0);
    (!rest.paddles.is_empty()).then_some(rest)
}

#[cfg(test)]
mod tests {
    use super::first;

    #[test]
    fn the_first_kinds_come_first() {
        assert_eq!(first(&[2, 3], 0), [0, 0]);
        assert_eq!(first(&[2, 3], 3), [2, 1]);
        assert_eq!(first(&[2, 3], 9), [2, 3]);
    }
}
