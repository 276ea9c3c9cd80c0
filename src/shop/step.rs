//! A cut as data: what it is in figures and in words, which cuts share a setting.

use crate::length::Length;
use crate::shop::layout::Layout;
use crate::shop::offcuts::Place;
use std::fmt;

/// The cuts of one board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoardSteps {
    /// The board's place in the list of boards.
    pub board: usize,
    /// Which of its copies, from 1.
    pub copy: u32,
    /// Its name, safe to print.
    pub title: String,
    /// Groups in shop order.
    pub groups: Vec<StepGroup>,
}

/// Cuts made one after another at one setting of one machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepGroup {
    /// The stage of the work.
    pub stage: Stage,
    /// The fence or stop setting that all its cuts share.
    pub setting: Option<Length>,
    /// What to set up, in words.
    pub heading: String,
    /// The cuts.
    pub steps: Vec<Step>,
}

/// One cut or one mark to make.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The cut in figures.
    pub action: Action,
    /// The piece that comes off, by the name to write on it.
    pub piece: String,
    /// The cut in words.
    pub text: String,
    /// The strips that the piece becomes.
    pub strips: Vec<String>,
    /// What is left of the section after it, at its narrowest.
    pub left: Option<Length>,
    /// The caution that belongs to this cut.
    pub caution: Option<String>,
}

/// A stage of the work; stages come in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// What to look for before the first cut.
    Look,
    /// Board into sections.
    Crosscut,
    /// One face flat.
    Flatten,
    /// The whole section to thickness.
    Plane,
    /// One edge straight, or clean along its curve.
    Edge,
    /// Sections into rips.
    Rip,
    /// Rips into leaves.
    Resaw,
    /// Leaves into strips.
    Trim,
    /// Strips to their finished thickness, just before the glue.
    Dress,
}

/// A cut in figures. Sections, rips and leaves are named by their place in the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Action {
    /// No cut: look the board over.
    Look,
    /// Cut across the board; the wood that is kept ends or begins at `at` from the marked end,
    /// and the kerf lies beyond it (`after`) or before it.
    Crosscut {
        /// From the board's marked end.
        at: Length,
        /// Does the kerf lie on the far side of the line?
        after: bool,
    },
    /// Less than a kerf would come off an end: plane it back to a line.
    End {
        /// From the board's marked end.
        at: Length,
        /// Does the wood that goes lie on the far side of the line?
        after: bool,
    },
    /// Plane a face of a section flat.
    Flatten {
        /// The section.
        section: usize,
        /// What it loses.
        loss: Length,
    },
    /// Plane a whole section to one thickness.
    Plane {
        /// The section.
        section: usize,
        /// The board's thickness.
        from: Length,
        /// The section's thickness after.
        to: Length,
    },
    /// Saw or plane a section's edge to a line this far from its reference edge or chord.
    Edge {
        /// The section.
        section: usize,
        /// From the reference edge, or from its chord.
        line: Length,
    },
    /// The sawn edge at `edge` runs on the fence; the blade takes a kerf beyond `edge + fence`.
    Rip {
        /// The section.
        section: usize,
        /// Where the edge on the fence lies in the section.
        edge: Length,
        /// Blade to fence.
        fence: Length,
        /// The rip that comes off; `None` for waste.
        rip: Option<usize>,
    },
    /// The true edge at `edge` runs on the fence; the blade takes a kerf beyond `edge + fence`, so
    /// that what stays has two edges that are straight and parallel.
    Far {
        /// The section.
        section: usize,
        /// Where the edge on the fence lies in the section.
        edge: Length,
        /// Blade to fence.
        fence: Length,
    },
    /// A rip that came off with waste on its near side: its far edge on the fence, the waste
    /// falls away outside the blade.
    Pare {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
        /// Blade to fence.
        fence: Length,
    },
    /// Less than a kerf stands in the way: plane the edge back to a line.
    Shave {
        /// The section.
        section: usize,
        /// The line, in the section's coordinates.
        line: Length,
    },
    /// No cut: what is left is the rip.
    Rest {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
    },
    /// The marked face, or the face sawn last, runs on the fence.
    Resaw {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
        /// The leaf that comes off.
        leaf: usize,
        /// Blade to fence.
        fence: Length,
    },
    /// Plane a leaf down from `from` to its thickness.
    Thickness {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
        /// The leaf.
        leaf: usize,
        /// Its thickness before.
        from: Length,
        /// Its thickness after.
        to: Length,
    },
    /// No cut: what is left is the leaf.
    Last {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
        /// The leaf.
        leaf: usize,
    },
    /// A leaf that would be planed standing on edge: it keeps what is too much until the blank
    /// is planed.
    Keep {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
        /// The leaf.
        leaf: usize,
        /// How much too deep it stays.
        over: Length,
    },
    /// Cut a leaf into its strips, marked once from end to end.
    Trim {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
        /// The leaf.
        leaf: usize,
        /// The strips, from the piece's marked end.
        strips: Vec<(Length, Length)>,
    },
    /// Plane a strip from its sawn to its finished thickness, both glue faces alike.
    Dress {
        /// The section.
        section: usize,
        /// The rip.
        rip: usize,
        /// The leaf.
        leaf: usize,
        /// The strip.
        strip: usize,
        /// As sawn.
        from: Length,
        /// Finished.
        to: Length,
    },
}

/// A line of a list of steps: one step, or several that are done alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepLine {
    /// The pieces and the strips that they become: `A1 → B1.1`; empty where the text says it.
    pub pieces: Vec<(String, Vec<String>)>,
    /// What to do.
    pub text: String,
    /// What is left of the section afterwards.
    pub left: Option<Length>,
    /// The caution that belongs beside it.
    pub caution: Option<String>,
}

impl StepGroup {
    /// The steps as lines to tick: pieces that are planed or trimmed alike share one.
    pub fn lines(&self) -> Vec<StepLine> {
        let mut out: Vec<StepLine> = Vec::new();
        for step in &self.steps {
            // Planing changes no names.
            let planed = matches!(
                step.action,
                Action::Thickness { .. } | Action::Keep { .. } | Action::Dress { .. }
            );
            let alike = planed || matches!(step.action, Action::Trim { .. });
            let strips = if planed { Vec::new() } else { step.strips.clone() };
            let piece = (step.piece.clone(), strips);
            let same = out.iter_mut().find(|l| alike && l.text == step.text);
            if let Some(line) = same {
                line.pieces.push(piece);
                line.caution = line.caution.take().or_else(|| step.caution.clone());
                continue;
            }
            let named = self.stage >= Stage::Rip;
            out.push(StepLine {
                pieces: if named { vec![piece] } else { Vec::new() },
                text: step.text.clone(),
                left: step.left,
                caution: step.caution.clone(),
            });
        }
        out
    }

    /// The caution of all steps that carry one, where they carry the same.
    pub fn shared_caution(&self) -> Option<&str> {
        let mut all = self.steps.iter().filter_map(|s| s.caution.as_deref());
        let first = all.next()?;
        all.all(|c| c == first).then_some(first)
    }
}

impl StepLine {
    /// The pieces, those that follow one another and name no strips told as `A1 to A9`.
    pub fn runs(&self) -> Vec<(String, Vec<String>)> {
        let parts = |name: &str| {
            let at = name.rfind(|c: char| !c.is_ascii_digit()).map_or(0, |i| i + 1);
            let (letters, digits) = name.split_at(at);
            digits.parse::<u32>().ok().map(|n| (letters.to_owned(), n))
        };
        let mut out: Vec<(String, Vec<String>)> = Vec::new();
        let mut run: Option<(String, u32, u32)> = None;
        for (piece, strips) in &self.pieces {
            let here = parts(piece).filter(|_| strips.is_empty());
            if let (Some((letters, first, last)), Some((l, n))) = (&mut run, &here)
                && letters == l
                && *n == *last + 1
            {
                *last = *n;
                if let Some(entry) = out.last_mut() {
                    // Two are named, three and more are a run.
                    let between = if *last == *first + 1 { ", " } else { " to " };
                    entry.0 = format!("{letters}{first}{between}{letters}{last}");
                }
                continue;
            }
            run = here.map(|(letters, n)| (letters, n, n));
            out.push((piece.clone(), strips.clone()));
        }
        out
    }
}

impl fmt::Display for StepLine {
    /// The line in words, without what is left and without its caution.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (piece, strips)) in self.runs().iter().enumerate() {
            let comma = if i == 0 { "" } else { ", " };
            write!(f, "{comma}{piece}")?;
            if !strips.is_empty() {
                write!(f, "\u{A0}\u{2192} {}", strips.join(", "))?;
            }
        }
        let colon = if self.pieces.is_empty() { "" } else { ": " };
        write!(f, "{colon}{}", self.text)
    }
}

pub(super) fn step(action: Action, piece: String, text: String) -> Step {
    Step { action, piece, text, strips: Vec::new(), left: None, caution: None }
}

pub(super) fn group(
    stage: Stage,
    setting: Option<Length>,
    heading: &str,
    steps: Vec<Step>,
) -> Vec<StepGroup> {
    if steps.is_empty() {
        return Vec::new();
    }
    vec![StepGroup { stage, setting, heading: heading.to_owned(), steps }]
}

/// Names an offcut worth keeping that begins here, if there is one.
pub(super) fn offcut(layout: &Layout<'_>, place: Place, from: Length) -> String {
    let here = layout.keeps.iter().find(|k| k.place == place && k.from == from);
    here.map_or_else(String::new, |k| format!(" Keep the offcut: write keep {} on it.", k.number))
}
