//! The clock of a glue-up: from the first glue to the last clamp, and what to do where it does not
//! fit.

use crate::glue::{Blank, GlueKind, GlueSettings, Laid, Reach};
use crate::length::Units;
use crate::shop::clamps::{Clamping, Which, has_joint};

/// What is done in one go, in whole seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stage {
    /// Strips that are tipped into the stack.
    pub strips: u32,
    /// Small clamps of alignment blocks.
    pub small: u32,
    /// Bar clamps.
    pub bars: u32,
    /// Spreading.
    pub spread: u64,
    /// Closing the stack.
    pub close: u64,
    /// Setting the blocks.
    pub blocks: u64,
    /// Setting the bar clamps.
    pub clamps: u64,
}

impl Stage {
    /// From the first glue to the last clamp.
    pub fn total(&self) -> u64 {
        self.spread + self.close + self.blocks + self.clamps
    }

    /// The same, with time after closing counted as the glue counts it.
    pub fn counted(&self, kind: &GlueKind) -> u64 {
        let closed = self.blocks + self.clamps;
        self.spread + self.close + seconds(whole(closed) * kind.closed_share())
    }
}

/// One way to make it fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cure {
    /// What it is, in words.
    pub what: String,
    /// The longest it takes of the glue's time, seconds.
    pub counted: u64,
    /// The glue's time, seconds.
    pub allowed: u64,
}

impl Cure {
    /// Does it fit then?
    pub fn fits(&self) -> bool {
        self.counted <= self.allowed
    }
}

/// The clock of one blank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clock {
    /// All in one go, with the hands that there are.
    pub stage: Stage,
    /// What counts against the glue's open time, seconds.
    pub counted: u64,
    /// The open time, seconds.
    pub allowed: u64,
    /// What else there is to do, where it does not fit.
    pub cures: Vec<Cure>,
}

#[allow(clippy::cast_precision_loss)] // far below 2^53
fn whole(seconds: u64) -> f64 {
    seconds as f64
}

/// Whole seconds, rounded up but for a hair.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
fn seconds(time: f64) -> u64 {
    (time - 1e-6).ceil().clamp(0.0, 1e9) as u64
}

/// A part of the work: laminations from one to before another.
#[derive(Clone, Copy)]
struct Part {
    from: usize,
    to: usize,
    people: u32,
}

impl Part {
    fn stage(self, blank: &Blank, c: &Clamping, s: &GlueSettings, kind: &GlueKind) -> Stage {
        let here = |p: &&Laid| p.lamination >= self.from && p.lamination < self.to;
        let joints: Vec<&Laid> =
            blank.places.iter().filter(here).filter(|p| has_joint(p)).collect();
        let strips = blank.places.iter().filter(here).count();
        let through = joints.iter().any(|p| p.reach == Reach::Through);
        // The loom is pressed only with the joints that run through it.
        let pressed = c.stretches.iter().filter(|st| through || st.which == Which::Blade);
        let (mut bars, mut small) = (0, 0);
        for stretch in pressed {
            bars += stretch.clamps();
            small += 2 * stretch.pairs();
        }
        let faces = if kind.both_faces { 2.0 } else { 1.0 };
        let metres: f64 = joints.iter().map(|p| p.length.metres()).sum();
        let people = f64::from(self.people.max(1));
        let each =
            |many: u32, pace: f64| seconds(f64::from(many.div_ceil(self.people.max(1))) * pace);
        let strips = u32::try_from(strips).unwrap_or(u32::MAX);
        Stage {
            strips,
            small,
            bars,
            spread: seconds(metres * faces * s.pace.spread / people),
            // The stack is closed by all hands together.
            close: seconds(f64::from(strips) * s.pace.close),
            blocks: each(small, s.pace.small_clamp),
            clamps: each(bars, s.pace.clamp),
        }
    }
}

fn allowed(kind: &GlueKind) -> u64 {
    seconds(kind.open_time * 60.0)
}

impl Clock {
    /// Works it out for one blank.
    pub fn of(blank: &Blank, c: &Clamping, settings: &GlueSettings, units: Units) -> Clock {
        let kind = &settings.glue;
        let all = blank.places.iter().map(|p| p.lamination + 1).max().unwrap_or(0);
        let people = settings.helpers + 1;
        let go = Part { from: 0, to: all, people };
        let stage = go.stage(blank, c, settings, kind);
        let (counted, allowed) = (stage.counted(kind), allowed(kind));
        let mut clock = Clock { stage, counted, allowed, cures: Vec::new() };
        if clock.fits() {
            return clock;
        }
        // The best parting: its longer half is least.
        let parted = |people: u32| {
            let half =
                |from, to| Part { from, to, people }.stage(blank, c, settings, kind).counted(kind);
            let both = |k: usize| half(0, k).max(half(k, all));
            (1..all).filter(|&k| has_joints(blank, k)).map(|k| (both(k), k)).min()
        };
        let more = |people| Part { people, ..go }.stage(blank, c, settings, kind).counted(kind);
        clock.cure("with one helper more".to_owned(), more(people + 1), allowed);
        for (words, people) in [("", people), (" and with one helper more", people + 1)] {
            // Where either alone makes it fit, nobody asks for both.
            if people > settings.helpers + 1 && clock.cures.iter().any(Cure::fits) {
                continue;
            }
            if let Some((longest, k)) = parted(people) {
                let name = |lamination: usize| {
                    let strip = blank.places.iter().find(|p| p.lamination == lamination);
                    strip.map(|p| p.lamination_name.as_str())
                };
                let names: Vec<&str> = (0..k).filter_map(name).collect();
                let names = names.join(", ");
                let what = format!("in two stages{words}, first {names}, the rest on another day");
                clock.cure(what, longest, allowed);
            }
        }
        for other in &settings.others {
            let pressed = Clamping::of(blank, settings, other, units);
            let counted = go.stage(blank, &pressed, settings, other).counted(other);
            let what = format!("with {}", other.name.as_deref().unwrap_or("the other glue"));
            clock.cure(what, counted, self::allowed(other));
        }
        clock
    }

    fn cure(&mut self, what: String, counted: u64, allowed: u64) {
        self.cures.push(Cure { what, counted, allowed });
    }

    /// Does it fit the open time?
    pub fn fits(&self) -> bool {
        self.counted <= self.allowed
    }
}

/// Are there joints on both sides of this parting of the laminations?
fn has_joints(blank: &Blank, k: usize) -> bool {
    let joint = |inner: bool| {
        blank.places.iter().filter(|p| has_joint(p)).any(|p| (p.lamination < k) == inner)
    };
    joint(true) && joint(false)
}
