//! The cheapest that is sure enough among the lines of one wood: boards of one line, or of two
//! where that costs less.

use crate::lumber::{Board, Price};
use crate::odds::draw::Stream;
use crate::odds::interval::{Chance, Seen, chance};
use crate::odds::pile::{Needed, Question, Source};
use crate::odds::{Ask, Groups, Heard, Line, certain, part_of, spread};
use crate::paddle::Job;
use crate::stop::Stop;
use rayon::prelude::*;
use std::sync::atomic::{AtomicU32, Ordering};

/// Of so many lines of a wood, those that are cheapest by themselves, every two are tried together.
pub const TOGETHER: usize = 4;

/// What to buy of one wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Lines, by their places among those asked, and how many boards of each.
    pub boards: Vec<(usize, usize)>,
    /// What they cost.
    pub cost: Price,
    /// How likely they are enough; `None` for what is in hand.
    pub chance: Option<Chance>,
    /// The list has so many.
    pub listed: bool,
    /// Lines were looked at together; else they were left out, or the work was stopped before.
    pub mixed: bool,
}

/// The cheapest for every wood of which several lines have a price, in the order of the lines.
/// What the list has not so many of is taken only where nothing else is sure enough.
pub fn cheapest(
    job: &Job,
    (in_hand, marked, yard): (&[Board], &[Board], &[Board]),
    lines: &[Line],
    (ask, stop): (&Ask, &Stop),
    heard: Heard<'_>,
) -> Vec<Choice> {
    let mut all = Vec::new();
    for (n, first) in lines.iter().enumerate() {
        let wood = &yard[first.board].species;
        let same = |l: &Line| yard[l.board].species.matches(wood) && yard[l.board].price.is_some();
        let earlier = |l: &Line| yard[l.board].species.matches(wood);
        if lines[..n].iter().any(earlier) {
            continue;
        }
        let of: Vec<usize> = (0..lines.len()).filter(|&l| same(&lines[l])).collect();
        if of.len() < 2 || of.iter().any(|&l| lines[l].buy == Some(0)) {
            continue;
        }
        let mut best = of.iter().filter_map(|&l| alone(l, &lines[l], yard)).min_by_key(order);
        let Some(part) = part_of(job, wood) else { continue };
        let question = Question::of(&part, in_hand, stop);
        let mut mixed = true;
        for [a, b] in pairs(&of, lines, yard) {
            let pair = [&lines[a], &lines[b]].map(|l| (l, &yard[l.board]));
            let limit = best.as_ref().filter(|b| b.listed).map(|b| b.cost);
            match Pair::of(pair, marked, &question, ask).least(limit, heard) {
                Ok(Some(([i, j], cost, chance))) => {
                    let boards = vec![(a, i), (b, j)];
                    let chance = Some(chance);
                    best = Some(Choice { boards, cost, chance, listed: true, mixed });
                }
                Ok(None) => {}
                Err(Stopped) => mixed = false,
            }
        }
        all.extend(best.map(|best| Choice { mixed, ..best }));
    }
    all
}

/// What the list has comes first, then what costs less, then fewer boards.
fn order(choice: &Choice) -> (bool, Price, usize) {
    (!choice.listed, choice.cost, choice.boards.iter().map(|b| b.1).sum())
}

/// Boards of one line.
fn alone(at: usize, line: &Line, yard: &[Board]) -> Option<Choice> {
    let board = &yard[line.board];
    let boards = line.buy?;
    Some(Choice {
        boards: vec![(at, boards)],
        cost: price(board, boards)?,
        chance: line.chances.last().copied(),
        listed: boards <= board.quantity as usize,
        mixed: true,
    })
}

/// What so many of a board cost, if it has a price.
pub fn price(board: &Board, boards: usize) -> Option<Price> {
    let parts = board.price?.parts().checked_mul(i64::try_from(boards).ok()?)?;
    Some(Price::from_parts(parts))
}

/// Every two of the lines that are cheapest by themselves.
fn pairs(of: &[usize], lines: &[Line], yard: &[Board]) -> Vec<[usize; 2]> {
    // A line that no draw was made of has nothing to give.
    let mut of: Vec<usize> = of.iter().copied().filter(|&l| !lines[l].needed.is_empty()).collect();
    of.sort_by_key(|&l| {
        let cost = lines[l].buy.and_then(|n| price(&yard[lines[l].board], n));
        (cost.is_none(), cost, l)
    });
    of.truncate(TOGETHER);
    of.sort_unstable();
    let then = |(n, &a): (usize, &usize)| of[n + 1..].iter().map(move |&b| [a, b]).collect();
    of.iter().enumerate().flat_map(|pair| -> Vec<[usize; 2]> { then(pair) }).collect()
}

/// It was stopped before it was known.
struct Stopped;

/// Two lines, and the piles that were drawn of each.
struct Pair<'a> {
    lines: [(&'a Line, &'a Board); 2],
    sources: [Source<'a>; 2],
    question: &'a Question<'a>,
    draws: u32,
    groups: Groups,
    sure: f64,
}

impl<'a> Pair<'a> {
    fn of(
        lines: [(&'a Line, &'a Board); 2],
        marked: &[Board],
        question: &'a Question<'a>,
        ask: &Ask,
    ) -> Pair<'a> {
        let sources = lines.map(|(_, board)| Source::of(board, marked));
        let groups = Groups::of(ask);
        Pair { lines, sources, question, draws: ask.draws.max(1), groups, sure: ask.sure }
    }

    /// The cheapest numbers of both, at least one of each, that are sure enough, cost less than
    /// `limit` and are on the list. A board more never hurts, so those that are enough have an edge
    /// like a stair, and it is walked along.
    fn least(&self, limit: Option<Price>, heard: Heard<'_>) -> Result<Option<Mixed>, Stopped> {
        let most = self.lines.map(|(line, board)| (board.quantity as usize).min(line.most));
        let cost = |[i, j]: [usize; 2]| {
            let [a, b] = [(0, i), (1, j)].map(|(l, n)| price(self.lines[l].1, n));
            Some(Price::from_parts(a?.parts().checked_add(b?.parts())?))
        };
        // The lines' own draws are of use only if all were made.
        let whole = |(line, _): &(&Line, &Board)| line.certain || line.draws.0 == self.draws;
        if !self.lines.iter().all(whole) {
            return Err(Stopped);
        }
        let (mut best, mut limit) = (None, limit);
        let [mut i, mut j] = [1, most[1]];
        let mut piles: Option<Vec<[Vec<Board>; 2]>> = None;
        while i <= most[0] {
            while j > 0 && cost([i, j]).is_none_or(|c| limit.is_some_and(|limit| c >= limit)) {
                j -= 1;
            }
            if j == 0 {
                break;
            }
            let piles = piles.get_or_insert_with(|| self.piles([most[0], j]));
            heard(i + most[1] - j, most[0] + most[1]);
            match self.enough(piles, [i, j])? {
                Some(seen) => {
                    limit = cost([i, j]);
                    best = Some(([i, j], seen));
                    j -= 1;
                }
                None => i += 1,
            }
        }
        let Some((boards, seen)) = best else { return Ok(None) };
        let chance = if self.sources.iter().all(Source::certain) {
            certain(true, false)
        } else {
            chance(Seen { between: self.between(boards), ..seen })
        };
        if self.question.options.stop.asked() {
            return Err(Stopped);
        }
        Ok(limit.map(|cost| (boards, cost, chance)))
    }

    /// Which of the second line's draws goes with one of the first's. Not the same: those were made
    /// by the same numbers, and two piles that are lucky together are no chance.
    fn other(&self, draw: u32) -> u32 {
        (draw + self.draws / 2 + 1) % self.draws
    }

    /// The lines' own piles, by draws.
    fn piles(&self, most: [usize; 2]) -> Vec<[Vec<Board>; 2]> {
        let pile =
            |l: usize, draw: u32| self.sources[l].pile(most[l], &mut Stream::of(u64::from(draw)));
        (0..self.draws).map(|n| [pile(0, n), pile(1, self.other(n))]).collect()
    }

    /// Are so many boards of one line enough by themselves, by its own draw?
    fn alone(&self, l: usize, draw: u32, boards: usize) -> bool {
        let line = self.lines[l].0;
        let at = if line.certain { 0 } else { draw as usize };
        line.needed.get(at).is_some_and(|n| n.at_most.is_some_and(|most| most <= boards))
    }

    /// In enough of the draws these numbers of both are enough: what was seen. As soon as too many
    /// fail, the others aren't asked.
    fn enough(
        &self,
        piles: &[[Vec<Board>; 2]],
        [i, j]: [usize; 2],
    ) -> Result<Option<Seen>, Stopped> {
        let wanted = self.sure * f64::from(self.draws) - 1e-9;
        let (failed, open) = (AtomicU32::new(0), AtomicU32::new(0));
        let hopeless = || f64::from(self.draws - failed.load(Ordering::Relaxed)) < wanted;
        (0..self.draws).into_par_iter().zip(piles).for_each(|(n, [a, b])| {
            if hopeless() || self.alone(0, n, i) || self.alone(1, self.other(n), j) {
                return;
            }
            let pile = [&a[..i.min(a.len())], &b[..j.min(b.len())]].concat();
            let enough = self.question.enough(&pile);
            failed.fetch_add(u32::from(enough != Some(true)), Ordering::Relaxed);
            open.fetch_add(u32::from(enough.is_none()), Ordering::Relaxed);
        });
        if self.question.options.stop.asked() {
            return Err(Stopped);
        }
        let (failed, open) = (failed.into_inner(), open.into_inner());
        let worth = self.sources[0].worth().min(self.sources[1].worth());
        // What is certain takes nothing from a sample.
        let drawn = |l: &usize| !self.sources[*l].certain();
        let boards = [0, 1].into_iter().filter(drawn).map(|l| [i, j][l]).sum();
        let sample = [0, 1].into_iter().filter(drawn).map(|l| self.sources[l].size().0).min();
        let sample = sample.unwrap_or(usize::MAX);
        let enough = self.draws - failed;
        let draws = self.draws;
        let seen = Seen { enough, open, draws, between: 0.0, worth, sample, boards };
        Ok((f64::from(enough) >= wanted).then_some(seen))
    }

    /// How far the chance varies from one resampled sample to the next. Lines of one sample are
    /// resampled together.
    fn between(&self, [i, j]: [usize; 2]) -> f64 {
        let [a, b] = &self.sources;
        let same = a.shares(b);
        let groups = self.groups;
        let again: Vec<Vec<Needed>> = (0..groups.count)
            .into_par_iter()
            .map(|r| {
                let first = a.resampled(&mut groups.sample(r));
                let r2 = if same { r } else { r + groups.count };
                let second = b.resampled(&mut groups.sample(r2));
                let draw = |n| {
                    let mut pile = first.pile(i, &mut groups.draw(r, n));
                    // Numbers of its own: those of the first are used up.
                    pile.extend(second.pile(j, &mut groups.draw(r + 2 * groups.count, n)));
                    let enough = self.question.enough(&pile) == Some(true);
                    Needed { above: None, at_most: enough.then_some(0) }
                };
                (0..groups.size).map(draw).collect()
            })
            .collect();
        spread(&again, |n| n.at_most.is_some())
    }
}

/// Numbers of both, what they cost, and how likely they are enough.
type Mixed = ([usize; 2], Price, Chance);
