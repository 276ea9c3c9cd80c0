//! What there is once some of a plan's boards are cut, and what is still missing (MODEL 11).

use crate::glue::GlueUp;
use crate::lumber::{Board, StripInHand, look};
use crate::paddle::Job;
use crate::shop::cut_strips::Cut;
use crate::shop::kept;
use crate::shop::left::{Offcut, offcuts};
use crate::verify::VerifiedPlan;
use std::collections::{BTreeMap, HashMap, HashSet};

/// What a person says of the work so far.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// The boards that are cut, by their places in the plan.
    pub cut: Vec<usize>,
    /// The strips that are spoiled, cut or in hand, by name.
    pub spoiled: Vec<String>,
    /// The blanks that are glued, by their places in the glue-up.
    pub glued: Vec<usize>,
}

/// What there is now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Left {
    /// How many of each board of the list are still whole.
    pub whole: Vec<u32>,
    /// Offcuts worth keeping of the boards that are cut.
    pub offcuts: Vec<Offcut>,
    /// Strips in hand that were there before, then those that were cut; none of them spoiled.
    pub strips: Vec<StripInHand>,
    /// How many of them were there before.
    pub before: usize,
    /// Of each lamination of the paddles that the plan makes, in the order of the job.
    pub lines: Vec<Line>,
    /// Of each kind of paddle, in the order of the job: blanks that are glued, and paddles that the
    /// plan makes.
    pub glued: Vec<(u32, u32)>,
}

/// The strips of a lamination: those that the plan makes, by where they are now.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// Its kind of paddle, as an index into the job's.
    pub paddle: usize,
    /// Its lamination, as an index into the paddle's.
    pub lamination: usize,
    /// Strips that the paddles need.
    pub needed: usize,
    /// Spares wanted besides.
    pub spares: usize,
    /// In blanks that are glued.
    pub glued: usize,
    /// Cut, and good.
    pub good: usize,
    /// Cut, and spoiled.
    pub spoiled: usize,
    /// Cut, and measured since so that they fit no longer.
    pub unfit: usize,
    /// On boards that are not cut yet.
    pub to_come: usize,
}

impl Line {
    /// Strips of the paddles that neither are there nor come from the boards still to be cut.
    pub fn anew(&self) -> usize {
        self.needed.saturating_sub(self.glued + self.good + self.to_come)
    }

    /// Spares that stand in for strips that are spoiled, or fit no longer.
    pub fn stand_in(&self) -> usize {
        (self.spoiled + self.unfit).saturating_sub(self.anew()).min(self.spares)
    }
}

impl Left {
    /// What is left of a plan, where so much is done. Of the job's strips in hand, those that bear
    /// the name of a strip that is cut are that strip, measured since; the others were there before.
    pub fn of(plan: &VerifiedPlan, job: &Job, boards: &[Board], up: &GlueUp, done: &Done) -> Left {
        let spoiled: HashSet<String> = done.spoiled.iter().map(|s| look(s)).collect();
        let opened = |&index: &usize| plan.boards.get(index);
        let cut: HashSet<String> = done
            .cut
            .iter()
            .filter_map(opened)
            .flat_map(|cut| &cut.sections)
            .flat_map(|s| &s.rips)
            .flat_map(|r| &r.leaves)
            .flat_map(|l| &l.strips)
            .map(|strip| look(&strip.id))
            .collect();
        let mut left = Left {
            whole: boards.iter().map(|b| b.quantity).collect(),
            offcuts: offcuts(plan, job, boards, |index| done.cut.contains(&index)),
            ..Left::default()
        };
        for &index in &done.cut {
            let whole = plan.boards.get(index).and_then(|cut| left.whole.get_mut(cut.board));
            if let Some(whole) = whole {
                *whole = whole.saturating_sub(1);
            }
        }
        let (measured, before): (Vec<&StripInHand>, Vec<&StripInHand>) =
            job.strips.iter().partition(|strip| cut.contains(&look(&strip.name)));
        let measured: HashMap<String, &StripInHand> =
            measured.into_iter().map(|strip| (look(&strip.name), strip)).collect();
        let glued = up.glued_strips(&done.glued);
        let unfit: HashSet<String> = up.misfits.iter().map(|m| look(&m.strip)).collect();
        let here = |strip: &&StripInHand| {
            let name = look(&strip.name);
            !spoiled.contains(&name) && !glued.contains(&name)
        };
        let good = before.into_iter().filter(here);
        left.strips.extend(good.cloned());
        left.before = left.strips.len();
        let mut lines = lines(plan, job);
        for used in &plan.in_hand {
            let Some(line) = lines.get_mut(&(used.paddle, used.lamination)) else { continue };
            let name = job.strips.get(used.strip).map(|strip| look(&strip.name));
            if name.as_ref().is_some_and(|name| glued.contains(name)) {
                line.glued += 1;
            } else if name.as_ref().is_some_and(|name| spoiled.contains(name)) {
                line.spoiled += 1;
            } else if name.is_some_and(|name| unfit.contains(&name)) {
                line.unfit += 1;
            } else {
                line.good += 1;
            }
        }
        let kept = kept::kept(plan, job, boards);
        let spares: HashSet<&str> = up.spares.iter().map(|s| s.strip.as_str()).collect();
        for (index, opened) in plan.boards.iter().enumerate() {
            let Some(board) = boards.get(opened.board) else { continue };
            let is_cut = done.cut.contains(&index);
            for cut in strips_of(board, &opened.sections) {
                let at = (cut.strip.paddle, cut.strip.lamination);
                let name = look(&cut.strip.id);
                let mut none = Line::default();
                let line = lines.get_mut(&at).unwrap_or(&mut none);
                if !is_cut {
                    line.to_come += 1;
                } else if glued.contains(&name) {
                    line.glued += 1;
                } else if spoiled.contains(&name) {
                    line.spoiled += 1;
                } else {
                    match unfit.contains(&name) {
                        true => line.unfit += 1,
                        false => line.good += 1,
                    }
                    let spare = spares.contains(cut.strip.id.as_str());
                    let now = measured.get(&name).copied();
                    // As it left the saw, so that a true reading is no surprise.
                    let over = kept::over(&kept, &cut.strip.id);
                    let sawn = || {
                        let foretold = cut.in_hand(job, spare);
                        StripInHand { depth: foretold.depth + over, ..foretold }
                    };
                    left.strips.push(now.map_or_else(sawn, Clone::clone));
                }
            }
        }
        left.lines = lines.into_values().collect();
        let of = |p: usize| {
            done.glued.iter().filter(|&&b| up.blanks.get(b).is_some_and(|b| b.paddle == p)).count()
        };
        left.glued = (0..job.paddles.len())
            .map(|p| {
                let made = plan.paddles.get(p).copied().unwrap_or(0);
                (u32::try_from(of(p)).unwrap_or(u32::MAX), made)
            })
            .collect();
        left
    }

    /// Is every paddle of the plan glued?
    pub fn all_glued(&self) -> bool {
        self.glued.iter().all(|(glued, made)| glued >= made)
    }

    /// Counts of a yard's list only what was bought of it: the boards that the plan opens and that
    /// aren't cut. Those before `in_hand` are in hand. What was bought is given back.
    pub fn bought(
        &mut self,
        plan: &VerifiedPlan,
        in_hand: usize,
        done: &Done,
    ) -> Vec<(usize, u32)> {
        let mut bought: BTreeMap<usize, u32> = BTreeMap::new();
        for (index, opened) in plan.boards.iter().enumerate() {
            if opened.board >= in_hand && !done.cut.contains(&index) {
                *bought.entry(opened.board).or_default() += 1;
            }
        }
        for (board, whole) in self.whole.iter_mut().enumerate().skip(in_hand) {
            *whole = bought.get(&board).copied().unwrap_or(0);
        }
        bought.into_iter().collect()
    }

    /// Has all been cut that the paddles need, and nothing that must be cut anew?
    pub fn is_whole(&self) -> bool {
        self.lines.iter().all(|line| line.to_come == 0 && line.spoiled == 0 && line.unfit == 0)
    }
}

/// A line for each lamination of the paddles that are made, with what is wanted of it.
fn lines(plan: &VerifiedPlan, job: &Job) -> BTreeMap<(usize, usize), Line> {
    let made = job.paddles.iter().zip(&plan.paddles).enumerate().filter(|(_, (_, n))| **n > 0);
    made.flat_map(|(p, (paddle, &n))| {
        paddle.laminations.iter().enumerate().map(move |(l, lamination)| {
            let line = Line {
                paddle: p,
                lamination: l,
                needed: n as usize * lamination.strips() as usize,
                spares: lamination.spares as usize,
                ..Line::default()
            };
            ((p, l), line)
        })
    })
    .collect()
}

/// Every strip of an opened board.
fn strips_of<'a>(
    board: &'a Board,
    sections: &'a [crate::plan::Section],
) -> impl Iterator<Item = Cut<'a>> {
    sections.iter().flat_map(move |section| {
        section.rips.iter().flat_map(move |rip| {
            rip.leaves.iter().flat_map(move |leaf| {
                leaf.strips.iter().map(move |strip| Cut { board, section, rip, leaf, strip })
            })
        })
    })
}
