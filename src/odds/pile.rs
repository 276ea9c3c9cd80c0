//! Piles of drawn boards, and the planner asked whether they are enough.

use crate::choose::{Options, enough};
use crate::lumber::Board;
use crate::odds::draw::{self, Stream};
use crate::odds::sample::{CLEAR, Sample, grade_of};
use crate::paddle::Job;
use crate::stop::Stop;

/// Where the boards of a line come from.
#[derive(Clone, Debug)]
pub enum Source<'a> {
    /// Clear by its grade: every board is as the list has it.
    Clear(&'a Board),
    /// Drawn from a sample.
    Drawn(&'a Board, Sample),
}

impl<'a> Source<'a> {
    /// That of a line of a yard. A grade that the sample doesn't know has no boards.
    pub fn of(wanted: &'a Board, marked: &[Board]) -> Source<'a> {
        if Source::is_clear(wanted) {
            return Source::Clear(wanted);
        }
        Source::Drawn(wanted, Sample::of(marked, wanted))
    }

    /// Is a board clear by its grade?
    pub fn is_clear(wanted: &Board) -> bool {
        grade_of(wanted).is_some_and(|g| g == CLEAR) && wanted.zones.is_empty()
    }

    /// That of a line of which nothing is known.
    pub fn unknown(wanted: &'a Board) -> Source<'a> {
        Source::Drawn(wanted, Sample::default())
    }

    /// Is nothing of it left to chance?
    pub fn certain(&self) -> bool {
        matches!(self, Source::Clear(_))
    }

    /// So many boards by these random numbers: the first of a longer pile are those of a shorter
    /// one.
    pub fn pile(&self, boards: usize, stream: &mut Stream) -> Vec<Board> {
        let one = |_| match self {
            Source::Clear(wanted) => Some(Board { quantity: 1, ..(*wanted).clone() }),
            Source::Drawn(wanted, sample) => draw::board(wanted, sample, stream),
        };
        (0..boards).map_while(one).collect()
    }

    /// The same from a resampled sample.
    pub fn resampled(&self, stream: &mut Stream) -> Source<'a> {
        match self {
            Source::Clear(wanted) => Source::Clear(wanted),
            Source::Drawn(wanted, sample) => Source::Drawn(wanted, draw::resampled(sample, stream)),
        }
    }

    /// Its boards as they would be if all were clear: one for each kind of grain, slope and bend.
    pub fn clear(&self) -> Vec<Board> {
        let (wanted, sample) = match self {
            Source::Clear(wanted) => return vec![Board { quantity: 1, ..(*wanted).clone() }],
            Source::Drawn(wanted, sample) => (wanted, sample),
        };
        let mut kinds: Vec<Board> = Vec::new();
        for of in &sample.boards {
            let bare = Sample { boards: vec![Board { zones: Vec::new(), ..of.clone() }] };
            let drawn = draw::board(wanted, &bare, &mut Stream::of(u64::MAX));
            kinds.extend(drawn.filter(|drawn| !kinds.contains(drawn)));
        }
        kinds
    }

    /// How many boards the sample comes to; of what is certain any number.
    pub fn worth(&self) -> f64 {
        match self {
            Source::Clear(_) => f64::INFINITY,
            Source::Drawn(wanted, sample) => sample.worth(wanted),
        }
    }

    /// Are the two drawn from one sample?
    pub fn shares(&self, other: &Source<'_>) -> bool {
        matches!((self, other), (Source::Drawn(_, a), Source::Drawn(_, b)) if a == b)
    }

    /// Boards and zones of the sample.
    pub fn size(&self) -> (usize, usize) {
        match self {
            Source::Clear(_) => (0, 0),
            Source::Drawn(_, sample) => (sample.boards.len(), sample.zones()),
        }
    }
}

/// How many boards of one drawn pile are enough.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Needed {
    /// So many are known not to be enough, if any are.
    pub above: Option<usize>,
    /// So many are known to be enough, if any are.
    pub at_most: Option<usize>,
}

/// What a pile of boards is asked for.
pub struct Question<'a> {
    /// The part of the job.
    pub job: &'a Job,
    /// Boards in hand, used as they are.
    pub in_hand: &'a [Board],
    /// Paddles of each kind.
    pub wanted: Vec<u32>,
    /// How to search.
    pub options: Options,
}

impl<'a> Question<'a> {
    /// Are boards enough for all that a job wants?
    pub fn of(job: &'a Job, in_hand: &'a [Board], stop: &Stop) -> Question<'a> {
        let wanted = job.paddles.iter().map(|p| p.quantity).collect();
        let options = Options { stop: stop.clone(), ..Options::default() };
        Question { job, in_hand, wanted, options }
    }

    /// Are these enough, with those in hand? `None` where that was not decided.
    pub fn enough(&self, pile: &[Board]) -> Option<bool> {
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
    pub fn needed(&self, pile: &[Board], begin: usize) -> Needed {
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
