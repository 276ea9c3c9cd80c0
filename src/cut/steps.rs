//! How thick a flattened section is, as far as it matters (MODEL 6).
//!
//! The longer a flattened section is, the more of the thickness it loses. But what a rip holds
//! changes at a few thicknesses only. Between two of those, sections of different lengths are
//! alike.

use crate::cut::sections::Builder;
use crate::length::Length;

/// More steps than this are not told apart: then every end of a flattened section is tried.
const STEPS: usize = 64;

impl Builder<'_> {
    /// The lengths up to which a flattened section is as thick for its leaves, ascending: one that
    /// is longer than one of them, and no longer than the next, holds less than those before.
    /// Empty where the longest holds as much as the shortest; `None` if there are too many.
    ///
    /// What fits into a thickness fits into a greater one. So where the stacks of two lengths are
    /// the same, those of all lengths between are.
    pub(super) fn thickness_steps(&mut self) -> Option<Vec<Length>> {
        let (short, long) = (self.shortest, self.high - self.low);
        let mut steps = Vec::new();
        let (first, last) = (self.stacks_at(short), self.stacks_at(long));
        // Stretches of lengths, with what fits at both of their ends, the shortest last.
        let mut stretches = vec![((short, first), (long, last))];
        while let Some((short, long)) = stretches.pop() {
            if short.1 == long.1 {
                continue;
            }
            if steps.len() >= STEPS || self.stopped() {
                return None;
            }
            if (long.0 - short.0).units() <= 1 {
                steps.push(short.0);
                continue;
            }
            let middle = Length::from_units((short.0 + long.0).units() / 2);
            let between = (middle, self.stacks_at(middle));
            stretches.push((between.clone(), long));
            stretches.push((short, between));
        }
        Some(steps)
    }

    /// What rips of every form hold in a flattened section of this length.
    fn stacks_at(&mut self, length: Length) -> Vec<u32> {
        let thickness = self.board.thickness - self.board.bow().loss(length);
        let forms = 0..u16::try_from(self.served.forms.len()).unwrap_or(u16::MAX);
        forms.map(|form| self.stacks(form, thickness)).collect()
    }
}
