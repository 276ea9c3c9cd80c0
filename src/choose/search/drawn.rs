//! Numbers that look drawn by lot, so that a search tries this and that, and a run repeats.

use crate::choose::kernel::cover::Choice;

/// Numbers that look drawn, the same in every run.
pub struct Drawn(u64);

impl Drawn {
    /// The first of them are to come.
    pub fn new() -> Self {
        Drawn(1)
    }

    /// Others for each of some searches side by side.
    pub fn of_search(search: usize) -> Self {
        Drawn(1 + search as u64)
    }

    /// A number below `end`, which is not 0.
    pub fn below(&mut self, end: usize) -> usize {
        // Knuth's multiplier and increment for 64 bits (The Art of Computer Programming 2, 3.3.4).
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % end
    }

    /// So many of these boards: one, and others that give strips of the same kinds, as long as
    /// there are any.
    pub fn alike(&mut self, choice: &Choice, mut of: Vec<usize>, count: usize) -> Vec<usize> {
        let first = of.swap_remove(self.below(of.len()));
        let shared = |b: &usize| match (&choice[first], &choice[*b]) {
            (Some(a), Some(b)) => a.iter().zip(b.iter()).any(|(a, b)| a.min(b) > &0),
            _ => false,
        };
        let (near, far): (Vec<usize>, Vec<usize>) = of.into_iter().partition(shared);
        let mut boards = vec![first];
        boards.extend(self.some(near, count - 1));
        boards.extend(self.some(far, count.saturating_sub(boards.len())));
        boards
    }

    /// So many of these, in the order in which they were drawn.
    pub fn some(&mut self, mut of: Vec<usize>, count: usize) -> Vec<usize> {
        (0..count.min(of.len())).map(|_| of.swap_remove(self.below(of.len()))).collect()
    }
}
