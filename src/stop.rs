//! One way to ask a long piece of work for an early end: by hand (Ctrl-C, TERM) or by the clock.
//!
//! A [`Stop`] goes down to whatever may take long, the cutting of a single board included. What
//! hears it gives up what it is at and says that it did: a board's ways that were cut short prove
//! nothing, a listing is no listing, a value is a bound from above.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Asks for an early end. Clones ask for the same.
#[derive(Clone, Debug, Default)]
pub struct Stop {
    /// Raised by hand.
    flag: Arc<AtomicBool>,
    /// Not later than this.
    deadline: Option<Instant>,
}

impl Stop {
    /// One that asks after this time from now on, if a time is given, or when its flag is raised.
    pub fn after(limit: Option<Duration>) -> Stop {
        let deadline = limit.and_then(|t| Instant::now().checked_add(t));
        Stop { flag: Arc::default(), deadline }
    }

    /// What a handler raises to ask for an end.
    pub fn flag(&self) -> Arc<AtomicBool> {
        Arc::clone(&self.flag)
    }

    /// Asks for an end from now on.
    pub fn ask(&self) {
        self.flag.store(true, Ordering::Relaxed);
    }

    /// Is an end asked for?
    pub fn asked(&self) -> bool {
        self.flag.load(Ordering::Relaxed) || self.deadline.is_some_and(|d| Instant::now() >= d)
    }

    /// Was it asked by hand, not by the clock?
    pub fn by_hand(&self) -> bool {
        self.flag.load(Ordering::Relaxed)
    }

    /// Time left, if there is a limit.
    pub fn left(&self) -> Option<Duration> {
        self.deadline.map(|d| d.saturating_duration_since(Instant::now()))
    }

    /// For what is still to be said once the work has ended: this stop, or where it has asked
    /// already half a second more.
    #[must_use]
    pub fn grace(&self) -> Stop {
        if self.asked() { Stop::after(Some(Duration::from_millis(500))) } else { self.clone() }
    }

    /// The same, but asking after `part` of what is left of the time too.
    #[must_use]
    pub fn part(&self, part: f64) -> Stop {
        let share = |left: Duration| self.at_most(left.mul_f64(part.clamp(0.0, 1.0)));
        self.left().map_or_else(|| self.clone(), share)
    }

    /// The same, but asking so much earlier that what was found can be laid out in time: a fortieth
    /// of what is left, no more than a second and a half.
    #[must_use]
    pub fn early(&self) -> Stop {
        let early = |left: Duration| left.saturating_sub((left / 40).min(LAYING));
        self.left().map_or_else(|| self.clone(), |left| self.at_most(early(left)))
    }

    /// The same, but asking after this time from now on too.
    #[must_use]
    pub fn at_most(&self, limit: Duration) -> Stop {
        let limit = self.left().map_or(limit, |left| left.min(limit));
        Stop { flag: self.flag(), deadline: Instant::now().checked_add(limit) }
    }

    /// For loops whose turns are short: looks at the clock now and then only.
    pub fn watch(&self) -> Watch<'_> {
        Watch { stop: self, turns: 0, asked: false }
    }
}

/// The longest that is kept of a limit for laying out what was found.
const LAYING: Duration = Duration::from_millis(1_500);

/// Turns between two looks at the clock.
const TURNS: u32 = 256;

/// A [`Stop`] as loops with short turns ask it.
#[derive(Debug)]
pub struct Watch<'a> {
    stop: &'a Stop,
    turns: u32,
    asked: bool,
}

impl Watch<'_> {
    /// Is an end asked for? Once it is, it stays so.
    pub fn asked(&mut self) -> bool {
        self.turns += 1;
        if self.turns >= TURNS {
            self.turns = 0;
            self.asked = self.asked || self.stop.asked();
        }
        self.asked
    }
}

#[cfg(test)]
mod tests {
    use super::{Stop, TURNS};
    use std::time::Duration;

    #[test]
    fn by_hand_and_by_the_clock() {
        let never = Stop::default();
        assert!(!never.asked() && !never.by_hand() && never.left().is_none());
        let clone = never.clone();
        never.ask();
        assert!(clone.asked());
        assert!(clone.by_hand());
        let over = Stop::after(Some(Duration::ZERO));
        assert!(over.asked() && !over.by_hand());
        let hour = Stop::after(Some(Duration::from_secs(3600)));
        assert!(!hour.asked());
        assert!(hour.part(0.5).left() <= Some(Duration::from_secs(1800)));
        assert!(hour.early().left() <= Some(Duration::from_millis(3_598_500)));
        assert!(hour.early().left() > Some(Duration::from_secs(3_590)));
        let second = Stop::after(Some(Duration::from_secs(1)));
        assert!(second.early().left() <= Some(Duration::from_millis(975)));
        assert!(Stop::default().early().left().is_none() && over.early().asked());
        // Raised by hand a part ends with the whole.
        let part = hour.part(0.5);
        hour.ask();
        assert!(part.asked());
    }

    #[test]
    fn a_watch_hears_it_within_its_turns() {
        let stop = Stop::default();
        let mut watch = stop.watch();
        assert!(!watch.asked());
        stop.ask();
        let turns = (0..).take_while(|_| !watch.asked()).count();
        assert!(turns < TURNS as usize);
        assert!(watch.asked());
    }
}
