//! What the leaves of a board's rips give, each worked out once.

use crate::cut::across::Row;
use crate::cut::leaf::{self, Alike, Candidate, profile};
use crate::cut::sections::{Builder, Leaves, Told};
use crate::cut::serve::{Mode, Standing, standing};
use crate::cut::stack::{Stacks, stacks};
use crate::length::Length;
use smallvec::SmallVec;
use std::rc::Rc;

impl Builder<'_> {
    /// The profiles of a rip's leaves from a beginning on.
    pub(super) fn leaves(&mut self, mode: Mode, row: &Row, start: Length) -> Leaves {
        let place = (mode, row.form, row.set);
        if let Some(known) = self.by_row.get(&place) {
            return known.clone();
        }
        let leaves = self.served.forms[usize::from(row.form)].leaves.len();
        let made: Leaves = (0..leaves).map(|l| self.profile(mode, row, l, start)).collect();
        self.by_row.insert(place, made.clone());
        made
    }

    /// What may be crosscut from a rip's leaf.
    fn candidates(&mut self, mode: Mode, row: &Row, leaf: usize) -> Rc<Vec<Candidate>> {
        let place = (mode, row.form, row.set, leaf);
        if let Some(known) = self.by_set.get(&place) {
            return Rc::clone(known);
        }
        let form = &self.served.forms[usize::from(row.form)];
        let item_of = |kind: usize| {
            let standing = standing(self.board, self.shop, &self.kinds[kind], mode, form.turned)?;
            let item =
                self.served.items.iter().position(|i| i.kind == kind && i.standing == standing)?;
            // Of a flipped pair's strips an odd one is no use: allow for one more.
            let cap = match standing {
                Standing::Free => self.wanted[kind],
                _ => self.wanted[kind].next_multiple_of(2),
            };
            let number = |n: usize| u16::try_from(n).unwrap_or(u16::MAX);
            let family = self.nested.family.get(item).copied()?;
            Some((number(item), family, self.kinds[kind].length, number(cap as usize)))
        };
        let barred_of =
            |kind: usize| leaf::barred(&self.served.obstacles, &row.under, kind, form.turned);
        let made = Rc::new(leaf::candidates(&form.leaves[leaf], item_of, barred_of));
        self.by_set.insert(place, Rc::clone(&made));
        made
    }

    /// The profile of a rip's leaf from a beginning on.
    fn profile(&mut self, mode: Mode, row: &Row, leaf: usize, start: Length) -> u32 {
        // Once it is stopped a leaf gives nothing, and what lies under it is not gathered.
        if self.stopped() {
            return self.listed(mode, &[], (start, start));
        }
        let candidates = self.candidates(mode, row, leaf);
        let told = self.tells(mode, &candidates, start);
        if let Some(&known) = self.by_leaf.get(&told) {
            return known;
        }
        let index = self.listed(mode, &candidates, (start, self.high));
        self.by_leaf.insert(told, index);
        index
    }

    /// What tells a leaf from others with the same beginning: its items, what bars each family of
    /// them from there on, and where lengths count for each other how its rip is prepared.
    fn tells(&self, mode: Mode, candidates: &[Candidate], start: Length) -> Told {
        let nested = candidates.windows(2).any(|pair| pair[0].family == pair[1].family);
        let mut told = SmallVec::new();
        let mut family = None;
        for candidate in candidates {
            if family != Some(candidate.family) {
                family = Some(candidate.family);
                let barred = candidate.barred.iter().filter(|b| b.1 > start);
                told.extend(barred.flat_map(|b| [b.0.units(), b.1.units()]));
                told.push(i64::MIN);
            }
            told.push(i64::from(candidate.item));
        }
        (nested.then_some(mode), told)
    }

    /// The profile of a leaf within some stretch of the board.
    fn listed(
        &mut self,
        mode: Mode,
        candidates: &[Candidate],
        (start, high): (Length, Length),
    ) -> u32 {
        let alike = Alike {
            class: |end| self.class(mode, start, end),
            onwards: |end| self.onwards(mode, end),
        };
        let made = profile(candidates, (start, high), self.shop.crosscut_kerf, &alike);
        self.complete &= made.complete;
        match self.by_profile.get(&made) {
            Some(&known) => known,
            None => {
                let index = u32::try_from(self.profiles.len()).unwrap_or(u32::MAX);
                // It is a key as well.
                self.used += 2 * made.size();
                self.profiles.push(made.clone());
                self.by_profile.insert(made, index);
                index
            }
        }
    }

    /// The stacks of a rip in so much thickness.
    pub(super) fn stacks(&mut self, form: u16, thickness: Length) -> u32 {
        if let Some(&known) = self.by_stack.get(&(form, thickness)) {
            return known;
        }
        let leaves = &self.served.forms[usize::from(form)].leaves;
        let Stacks { list: made, complete } = stacks(leaves, thickness, self.shop.resaw_kerf);
        self.complete &= complete;
        let index = match self.by_stacks.get(&made) {
            Some(&known) => known,
            None => {
                let index = u32::try_from(self.stacks.len()).unwrap_or(u32::MAX);
                self.stacks.push(made.clone());
                self.by_stacks.insert(made, index);
                index
            }
        };
        self.by_stack.insert((form, thickness), index);
        index
    }
}
