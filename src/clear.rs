//! The longest stretch of a board that nothing covers, where very many obstacles come and go: in
//! looking at boards before they are cut, and for offcuts of those that are.

use crate::length::Length;

/// Stretches of a board and what covers them: halves of halves, each with the longest clear stretch
/// in it, so that one that comes or goes is reckoned with in a few steps.
pub(crate) struct Clear {
    /// Where anything begins or ends, and both ends of what counts, ascending.
    places: Vec<Length>,
    nodes: Vec<Node>,
}

/// What is clear of a part of the board.
#[derive(Clone, Copy, Default)]
struct Node {
    /// How many cover all of the part, of those that don't cover all of the part that it is of.
    covers: u32,
    /// Clear from its beginning on.
    first: Length,
    /// Clear up to its end.
    last: Length,
    /// The longest that is clear.
    longest: Length,
}

impl Clear {
    /// From `low` to `high`, with nothing covered yet; `spans` are all that may be.
    pub(crate) fn new(
        low: Length,
        high: Length,
        spans: impl Iterator<Item = (Length, Length)>,
    ) -> Clear {
        let mut places: Vec<Length> = spans.flat_map(|(from, to)| [from, to]).collect();
        places.retain(|&at| low < at && at < high);
        if low < high {
            places.extend([low, high]);
        }
        places.sort_unstable();
        places.dedup();
        let mut clear = Clear { nodes: vec![Node::default(); places.len() * 4], places };
        let steps = clear.steps();
        if steps > 0 {
            clear.reckon_all(0, 0, steps);
        }
        clear
    }

    /// The longest stretch that nothing covers.
    pub(crate) fn longest(&self) -> Length {
        self.nodes.first().map_or(Length::ZERO, |node| node.longest)
    }

    /// Covers one of the spans.
    pub(crate) fn cover(&mut self, from: Length, to: Length) {
        self.change(from, to, |covers| covers + 1);
    }

    /// Takes the cover off again.
    pub(crate) fn uncover(&mut self, from: Length, to: Length) {
        self.change(from, to, |covers| covers.saturating_sub(1));
    }

    /// Stretches between two places.
    fn steps(&self) -> usize {
        self.places.len().saturating_sub(1)
    }

    fn change(&mut self, from: Length, to: Length, more: impl Fn(u32) -> u32 + Copy) {
        let place = |at: Length| self.places.partition_point(|&p| p < at).min(self.steps());
        let (from, to) = (place(from), place(to));
        if from < to {
            self.change_in(0, (0, self.steps()), (from, to), more);
        }
    }

    fn change_in(
        &mut self,
        node: usize,
        (low, high): (usize, usize),
        (from, to): (usize, usize),
        more: impl Fn(u32) -> u32 + Copy,
    ) {
        if to <= low || high <= from {
            return;
        }
        if from <= low && high <= to {
            self.nodes[node].covers = more(self.nodes[node].covers);
        } else {
            let middle = low + (high - low) / 2;
            self.change_in(node * 2 + 1, (low, middle), (from, to), more);
            self.change_in(node * 2 + 2, (middle, high), (from, to), more);
        }
        self.reckon(node, low, high);
    }

    fn reckon_all(&mut self, node: usize, low: usize, high: usize) {
        if high - low > 1 {
            let middle = low + (high - low) / 2;
            self.reckon_all(node * 2 + 1, low, middle);
            self.reckon_all(node * 2 + 2, middle, high);
        }
        self.reckon(node, low, high);
    }

    /// Works a part out from its halves.
    fn reckon(&mut self, node: usize, low: usize, high: usize) {
        let covers = self.nodes[node].covers;
        let whole = self.places[high] - self.places[low];
        let nothing = Length::ZERO;
        let (first, last, longest) = if covers > 0 {
            (nothing, nothing, nothing)
        } else if high - low == 1 {
            (whole, whole, whole)
        } else {
            let middle = self.places[low + (high - low) / 2];
            let (a, b) = (self.nodes[node * 2 + 1], self.nodes[node * 2 + 2]);
            let left = middle - self.places[low];
            let right = self.places[high] - middle;
            (
                if a.first == left { left + b.first } else { a.first },
                if b.last == right { right + a.last } else { b.last },
                a.longest.max(b.longest).max(a.last + b.first),
            )
        };
        self.nodes[node] = Node { covers, first, last, longest };
    }
}

#[cfg(test)]
mod tests {
    use super::Clear;
    use crate::length::Length;
    use proptest::prelude::*;

    proptest! {
        /// Beside walking along the board from one to the next.
        #[test]
        fn what_is_clear_is_what_is_left_between_those_that_cover(
            spans in prop::collection::vec((-3..20_i64, 1..6_i64), 0..12),
            gone in prop::collection::vec(any::<bool>(), 12),
            high in -1..20_i64,
        ) {
            let inch = |n: i64| Length::INCH * n;
            let spans: Vec<_> = spans.iter().map(|&(at, n)| (inch(at), inch(at + n))).collect();
            let (low, high) = (inch(1), inch(high));
            let mut clear = Clear::new(low, high, spans.iter().copied());
            spans.iter().for_each(|&(from, to)| clear.cover(from, to));
            let mut left = Vec::new();
            for (&(from, to), &gone) in spans.iter().zip(&gone) {
                if gone { clear.uncover(from, to) } else { left.push((from, to)) }
            }
            left.sort_unstable();
            let (mut longest, mut at) = (Length::ZERO, low);
            for (from, to) in left {
                longest = longest.max(from.min(high) - at);
                at = at.max(to);
            }
            prop_assert_eq!(clear.longest(), longest.max(high - at));
        }
    }
}
