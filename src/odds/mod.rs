//! How many unmarked boards to buy: boards drawn at random from marked ones of the same wood and
//! grade, and the planner asked whether they are enough (MODEL 12).

pub mod draw;
pub mod interval;
pub mod sample;
pub mod typical;

use crate::choose::{Options, enough};
use crate::lumber::{Board, Species};
use crate::paddle::Job;
use crate::stop::Stop;
use draw::Stream;
use interval::{Chance, Seen, between, chance};
use rayon::prelude::*;
use sample::Sample;
use std::sync::atomic::{AtomicUsize, Ordering};

/// How to draw.
#[derive(Clone, Debug)]
pub struct Ask {
    /// How sure it is to be, from above 0 to 1.
    pub sure: f64,
    /// Piles drawn for each line.
    pub draws: u32,
}

impl Default for Ask {
    fn default() -> Self {
        Ask { sure: 0.9, draws: 400 }
    }
}

/// Samples that are made from the sample, for how far another one would have led.
const RESAMPLED: u32 = 40;
/// Not more boards are drawn for one pile.
const MOST: usize = 40;
/// So many times as many boards as clear ones would be needed are drawn, and some more.
const TIMES: usize = 4;

/// What is known of one line of a yard.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its place in the yard's list.
    pub board: usize,
    /// What 1, 2, 3 … boards are likely to be enough for, until one is sure enough.
    pub chances: Vec<Chance>,
    /// The least number that is sure enough; 0 where what is in hand is enough.
    pub buy: Option<usize>,
    /// Draws that were made, and those of them that no number drawn was enough for.
    pub draws: (u32, u32),
    /// Boards of those bought that are not needed, on the average of the draws that come out.
    pub spare: f64,
    /// How many boards would do if all were clear, where any number drawn would.
    pub clear: Option<usize>,
    /// Boards and zones of the sample.
    pub sample: (usize, usize),
    /// The board wanted is longer, wider, thicker than any of the sample.
    pub beyond: [bool; 3],
    /// Some lamination may be of its wood.
    pub serves: bool,
    /// The work was stopped before all draws were made.
    pub stopped: bool,
}

/// How many boards of one drawn pile are enough.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Needed {
    /// So many are known not to be enough, if any are.
    pub above: Option<usize>,
    /// So many are known to be enough, if any are.
    pub at_most: Option<usize>,
}

/// The part of a job that boards of a wood can serve; `None` where there is none.
pub fn part_of(job: &Job, wood: &Species) -> Option<Job> {
    let mut part = job.clone();
    for paddle in &mut part.paddles {
        paddle
            .laminations
            .retain(|l| l.species.is_empty() || l.species.iter().any(|s| s.matches(wood)));
    }
    part.paddles.retain(|p| !p.laminations.is_empty() && p.quantity > 0);
    (!part.paddles.is_empty()).then_some(part)
}

/// What a pile of boards is asked for.
struct Question<'a> {
    job: &'a Job,
    in_hand: &'a [Board],
    wanted: Vec<u32>,
    options: Options,
}

impl Question<'_> {
    /// Are these enough, with those in hand? `None` where that was not decided.
    fn enough(&self, pile: &[Board]) -> Option<bool> {
        if self.options.stop.asked() {
            return None;
        }
        let free = |b: &Board| Board { price: None, offcut: true, ..b.clone() };
        // What they cost is nothing to the question, and boards of one cost are soon counted.
        let bare = |b: &Board| Board { price: None, ..b.clone() };
        let boards: Vec<Board> =
            self.in_hand.iter().map(free).chain(pile.iter().map(bare)).collect();
        enough(self.job, &boards, &self.wanted, &self.options)
    }

    /// The least number of boards from the beginning of a pile that is enough: a board more never
    /// makes them fewer.
    fn needed(&self, pile: &[Board], begin: usize) -> Needed {
        let (mut above, mut at_most) = (None, None);
        let mut open = false;
        let mut next = begin.min(pile.len());
        loop {
            match self.enough(&pile[..next]) {
                Some(true) => at_most = Some(next),
                Some(false) => above = Some(next),
                None => open = true,
            }
            if open || at_most == Some(0) || above == Some(pile.len()) {
                break;
            }
            let low = above.map_or(0, |a| a + 1);
            next = match at_most {
                Some(high) if high == low => break,
                // One by one near the first guess, then in greater steps.
                None => (next + 1 + (next - begin.min(next))).min(pile.len()),
                Some(high) if above.is_none() => high.saturating_sub(1),
                Some(high) => low + (high - low) / 2,
            };
        }
        Needed { above, at_most }
    }
}

/// Told how many draws are done, of how many.
pub type Heard<'a> = &'a (dyn Fn(usize, usize) + Sync);

/// What is known of one line: boards like `yard[board]`, drawn from the sample of `marked`, for the
/// part of the job that they can serve, beside what is in hand.
pub fn line(
    job: &Job,
    (in_hand, marked, yard): (&[Board], &[Board], &[Board]),
    board: usize,
    (ask, stop): (&Ask, &Stop),
    heard: Heard<'_>,
) -> Option<Line> {
    let wanted = yard.get(board)?;
    let sample = Sample::of(marked, wanted);
    let mut line = Line {
        board,
        chances: Vec::new(),
        buy: None,
        draws: (0, 0),
        spare: 0.0,
        clear: None,
        sample: (sample.boards.len(), sample.zones()),
        beyond: sample.beyond(wanted),
        serves: true,
        stopped: false,
    };
    let Some(part) = part_of(job, &wanted.species) else {
        return Some(Line { serves: false, ..line });
    };
    let question = Question {
        job: &part,
        in_hand,
        wanted: part.paddles.iter().map(|p| p.quantity).collect(),
        options: Options { stop: stop.clone(), ..Options::default() },
    };
    if question.enough(&[]) == Some(true) {
        return Some(Line { buy: Some(0), ..line });
    }
    let Some(clear) = clear(&question, wanted, &sample) else {
        line.stopped = stop.asked();
        return Some(line);
    };
    line.clear = Some(clear);
    let most = (clear * TIMES + 2).clamp(clear, MOST.max(clear));
    let done = AtomicUsize::new(0);
    let all = ask.draws.max(1);
    let size = (all / RESAMPLED).max(4);
    let begin = clear.max(1);
    let pile = |sample: &Sample, mut stream: Stream| -> Option<Needed> {
        if stop.asked() {
            return None;
        }
        let draw = |_| draw::board(wanted, sample, &mut stream);
        let pile: Vec<Board> = (0..most).map_while(draw).collect();
        let needed = question.needed(&pile, begin);
        heard(done.fetch_add(1, Ordering::Relaxed) + 1, (all + RESAMPLED * size) as usize);
        Some(needed)
    };
    // In order, whichever thread made which.
    let drawn: Vec<Needed> =
        (0..all).into_par_iter().filter_map(|n| pile(&sample, Stream::of(u64::from(n)))).collect();
    let again: Vec<Vec<Needed>> = (0..RESAMPLED)
        .into_par_iter()
        .map(|r| {
            let other = draw::resampled(&sample, &mut Stream::of((u64::from(r) + 1) << 32));
            let stream = |n: u32| Stream::of((u64::from(r) + 1) << 32 | (u64::from(n) + 1));
            (0..size).filter_map(|n| pile(&other, stream(n))).collect()
        })
        .collect();
    line.stopped = stop.asked();
    let worth = sample.worth(wanted);
    fill(&mut line, (&drawn, &again), (most, worth), ask.sure);
    Some(line)
}

/// How many boards would do if they were clear, as straight and as steep as any of the sample:
/// `None` where not even many would, or where it was stopped.
fn clear(question: &Question<'_>, wanted: &Board, sample: &Sample) -> Option<usize> {
    // One clear board of each kind of grain, slope and bend that the sample knows.
    let most = 2 * MOST;
    let mut kinds: Vec<Board> = Vec::new();
    for of in &sample.boards {
        let bare = Sample { boards: vec![Board { zones: Vec::new(), ..of.clone() }] };
        let drawn = draw::board(wanted, &bare, &mut Stream::of(u64::MAX))?;
        if !kinds.contains(&drawn) {
            kinds.push(drawn);
        }
    }
    let pile: Vec<Vec<Board>> = kinds.into_iter().map(|k| vec![k; most]).collect();
    pile.iter().filter_map(|pile| question.needed(pile, 1).at_most).min()
}

/// Chances for every number of boards until one is sure enough.
fn fill(
    line: &mut Line,
    (drawn, again): (&[Needed], &[Vec<Needed>]),
    (most, worth): (usize, f64),
    sure: f64,
) {
    let count = |of: &[Needed], is: &dyn Fn(&Needed) -> bool| {
        u32::try_from(of.iter().filter(|n| is(n)).count()).unwrap_or(u32::MAX)
    };
    let draws = count(drawn, &|_| true);
    line.draws = (draws, count(drawn, &|n| n.at_most.is_none()));
    if draws == 0 {
        return;
    }
    for boards in 1..=most {
        let is = |n: &Needed| n.at_most.is_some_and(|m| m <= boards);
        let not = |n: &Needed| n.above.is_some_and(|a| a >= boards);
        let enough = count(drawn, &is);
        let open = draws - enough - count(drawn, &not);
        let groups = again.iter().filter(|g| !g.is_empty());
        let of = |g: &Vec<Needed>| f64::from(count(g, &is)) / f64::from(count(g, &|_| true));
        let chances: Vec<f64> = groups.clone().map(of).collect();
        let size = groups.map(Vec::len).min().unwrap_or(0);
        #[allow(clippy::cast_precision_loss)] // some dozens
        let between = between(&chances, size as f64);
        let mut chance = chance(Seen { enough, open, draws, between, worth });
        // Where fewer than clear ones would do, no sample makes them enough.
        if line.clear.is_some_and(|c| boards < c) && enough == 0 && open == 0 {
            chance.high = 0.0;
        }
        line.chances.push(chance);
        // Whole counts: no rounding decides.
        if f64::from(enough) >= sure * f64::from(draws) - 1e-9 {
            line.buy = Some(boards);
            let over = drawn.iter().filter_map(|n| boards.checked_sub(n.at_most?));
            #[allow(clippy::cast_precision_loss)] // some hundreds
            let spare = over.sum::<usize>() as f64 / f64::from(enough.max(1));
            line.spare = spare;
            return;
        }
    }
}
