//! How many unmarked boards to buy: boards drawn at random from marked ones of the same wood and
//! grade, and the planner asked whether they are enough (MODEL 12).

pub mod beside;
pub mod draw;
pub mod interval;
pub mod mix;
pub mod pile;
pub mod sample;
pub mod typical;

use crate::lumber::{Board, Species};
use crate::paddle::Job;
use crate::stop::Stop;
use draw::Stream;
use interval::{Chance, Seen, between, chance};
use pile::{Needed, Question, Source};
use rayon::prelude::*;
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
/// Not more boards are drawn for one pile: a pile of more is said to be that. Beyond it a person
/// marks boards, and every draw takes long.
pub const MOST: usize = 200;
/// So many times as many boards as clear ones would be needed are drawn, and some more.
pub const TIMES: usize = 4;

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
    /// Its grade is clear: there is no sample, and nothing is left to chance.
    pub certain: bool,
    /// The board wanted is longer, wider, thicker than any of the sample.
    pub beyond: [bool; 3],
    /// Some lamination may be of its wood.
    pub serves: bool,
    /// The work was stopped before all draws were made.
    pub stopped: bool,
    /// Boards that were drawn for a pile.
    pub most: usize,
    /// What each draw needs, in their order.
    pub needed: Vec<Needed>,
}

impl Line {
    /// Was the work stopped before anything was known of it?
    pub fn unknown(&self) -> bool {
        self.stopped && self.draws.0 == 0
    }

    /// Nothing is known of it yet.
    fn new(board: usize, wanted: &Board, source: &Source<'_>) -> Line {
        Line {
            board,
            chances: Vec::new(),
            buy: None,
            draws: (0, 0),
            spare: 0.0,
            clear: None,
            sample: source.size(),
            certain: source.certain(),
            beyond: match source {
                Source::Drawn(_, sample) => sample.beyond(wanted),
                Source::Clear(_) => [false; 3],
            },
            serves: true,
            stopped: false,
            most: 0,
            needed: Vec::new(),
        }
    }
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
    let Some(part) = part_of(job, &wanted.species) else {
        let known = Line::new(board, wanted, &Source::of(wanted, marked));
        return Some(Line { serves: false, ..known });
    };
    line_of(&part, (in_hand, marked, yard), board, (ask, stop), heard)
}

/// The same for a job as it is, with all of its laminations.
pub fn line_of(
    job: &Job,
    (in_hand, marked, yard): (&[Board], &[Board], &[Board]),
    board: usize,
    (ask, stop): (&Ask, &Stop),
    heard: Heard<'_>,
) -> Option<Line> {
    let wanted = yard.get(board)?;
    // A list may have a thousand lines, and a sample as many boards.
    let source = if stop.asked() { Source::unknown(wanted) } else { Source::of(wanted, marked) };
    let mut line = Line::new(board, wanted, &source);
    if stop.asked() {
        return Some(Line { stopped: true, most: MOST, ..line });
    }
    let question = Question::of(job, in_hand, stop);
    if question.enough(&[]) == Some(true) {
        return Some(Line { buy: Some(0), ..line });
    }
    let Some(clear) = clear(&question, &source) else {
        line.stopped = stop.asked();
        line.most = MOST;
        return Some(line);
    };
    line.clear = Some(clear);
    // All of its boards are alike: so many are enough, and fewer are not.
    line.most = if source.certain() { clear } else { (clear * TIMES + 2).min(MOST).max(clear) };
    draw_all(&mut line, &question, &source, ask, heard);
    Some(line)
}

/// Draws all piles of a line, and what is to be learnt of how far another sample would have led.
fn draw_all(
    line: &mut Line,
    question: &Question<'_>,
    source: &Source<'_>,
    ask: &Ask,
    heard: Heard<'_>,
) {
    let stop = &question.options.stop;
    let certain = source.certain();
    let all = if certain { 1 } else { ask.draws.max(1) };
    let groups = Groups::of(ask);
    let again = if certain { 0 } else { groups.count };
    let begin = line.clear.unwrap_or(1).max(1);
    let (most, done) = (line.most, AtomicUsize::new(0));
    let pile = |source: &Source<'_>, mut stream: Stream| -> Option<Needed> {
        if stop.asked() {
            return None;
        }
        let needed = question.needed(&source.pile(most, &mut stream), begin);
        heard(done.fetch_add(1, Ordering::Relaxed) + 1, (all + again * groups.size) as usize);
        Some(needed)
    };
    // In order, whichever thread made which.
    let drawn: Vec<Needed> =
        (0..all).into_par_iter().filter_map(|n| pile(source, Stream::of(u64::from(n)))).collect();
    let again: Vec<Vec<Needed>> = (0..again)
        .into_par_iter()
        .map(|r| {
            let other = source.resampled(&mut groups.sample(r));
            (0..groups.size).filter_map(|n| pile(&other, groups.draw(r, n))).collect()
        })
        .collect();
    line.stopped = stop.asked();
    fill(line, (&drawn, &again), source.worth(), ask.sure);
    line.needed = drawn;
}

/// Draws from resampled samples, each by random numbers of its own.
#[derive(Clone, Copy, Debug)]
struct Groups {
    count: u32,
    size: u32,
}

impl Groups {
    fn of(ask: &Ask) -> Groups {
        Groups { count: RESAMPLED, size: (ask.draws.max(1) / RESAMPLED).max(4) }
    }

    /// The numbers that make resampled sample `r`.
    fn sample(self, r: u32) -> Stream {
        Stream::of((u64::from(r) + 1) << 32)
    }

    /// The numbers of draw `n` from it.
    fn draw(self, r: u32, n: u32) -> Stream {
        Stream::of((u64::from(r) + 1) << 32 | (u64::from(n) + 1))
    }
}

/// How many boards would do if they were clear, as straight and as steep as any of the sample:
/// `None` where not even many would, or where it was stopped.
fn clear(question: &Question<'_>, source: &Source<'_>) -> Option<usize> {
    let pile = |kind: Board| question.needed(&vec![kind; MOST], 1).at_most;
    source.clear().into_iter().filter_map(pile).min()
}

/// Chances for every number of boards until one is sure enough.
fn fill(line: &mut Line, (drawn, again): (&[Needed], &[Vec<Needed>]), worth: f64, sure: f64) {
    let count = |of: &[Needed], is: &dyn Fn(&Needed) -> bool| {
        u32::try_from(of.iter().filter(|n| is(n)).count()).unwrap_or(u32::MAX)
    };
    let draws = count(drawn, &|_| true);
    line.draws = (draws, count(drawn, &|n| n.at_most.is_none()));
    if draws == 0 {
        return;
    }
    for boards in 1..=line.most {
        let is = |n: &Needed| n.at_most.is_some_and(|m| m <= boards);
        let not = |n: &Needed| n.above.is_some_and(|a| a >= boards);
        let enough = count(drawn, &is);
        let open = draws - enough - count(drawn, &not);
        let between = spread(again, is);
        let mut chance = match line.certain {
            // Nothing is left to chance, so nothing to an interval.
            true => certain(enough > 0, open > 0),
            false => {
                let sample = line.sample.0;
                chance(Seen { enough, open, draws, between, worth, sample, boards })
            }
        };
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

/// How far the chance of `is` varies from one resampled sample to the next.
fn spread(again: &[Vec<Needed>], is: impl Fn(&Needed) -> bool) -> f64 {
    let groups = again.iter().filter(|g| !g.is_empty());
    #[allow(clippy::cast_precision_loss)] // some hundreds
    let of = |g: &Vec<Needed>| g.iter().filter(|n| is(n)).count() as f64 / g.len() as f64;
    let chances: Vec<f64> = groups.clone().map(of).collect();
    let size = groups.map(Vec::len).min().unwrap_or(0);
    #[allow(clippy::cast_precision_loss)] // some dozens
    between(&chances, size as f64)
}

/// What is known for sure.
fn certain(enough: bool, open: bool) -> Chance {
    let at = |is: bool| f64::from(u8::from(is));
    Chance { chance: at(enough), low: at(enough), high: at(enough || open) }
}
