//! Leaves through the thickness of a rip.

use crate::cut::serve::LeafForm;
use crate::length::Length;

/// How many of each leaf form a rip holds, in the order of its leaves.
pub type Stack = Vec<u32>;

/// Every stack that fits into `thickness` and to which no leaf can be added. Without a resaw
/// kerf a rip holds one leaf, and the rest of its thickness is planed away.
pub fn stacks(leaves: &[LeafForm], thickness: Length, resaw_kerf: Option<Length>) -> Vec<Stack> {
    let mut found = Vec::new();
    match resaw_kerf {
        None => {
            for (i, leaf) in leaves.iter().enumerate() {
                if leaf.thickness <= thickness {
                    let mut stack = vec![0; leaves.len()];
                    stack[i] = 1;
                    found.push(stack);
                }
            }
        }
        Some(kerf) => {
            // One kerf more than there is room for makes every leaf take leaf + kerf.
            let mut stack = vec![0; leaves.len()];
            fill(leaves, kerf, thickness + kerf, 0, &mut stack, &mut found);
            // One leaf alone is not resawn, so it may be of another thickness.
            found.retain(|s| s.iter().sum::<u32>() > 1);
            for (i, leaf) in leaves.iter().enumerate() {
                if leaf.thickness <= thickness && !found.iter().any(|s| s[i] > 0) {
                    let mut stack = vec![0; leaves.len()];
                    stack[i] = 1;
                    found.push(stack);
                }
            }
            found.sort_unstable();
        }
    }
    found
}

fn fill(
    leaves: &[LeafForm],
    kerf: Length,
    room: Length,
    at: usize,
    stack: &mut Stack,
    found: &mut Vec<Stack>,
) {
    if at == leaves.len() {
        let full = leaves.iter().all(|l| l.resawn + kerf > room);
        if full && stack.iter().any(|&n| n > 0) {
            found.push(stack.clone());
        }
        return;
    }
    let mut left = room;
    loop {
        fill(leaves, kerf, left, at + 1, stack, found);
        left -= leaves[at].resawn + kerf;
        if left < Length::ZERO {
            break;
        }
        stack[at] += 1;
    }
    stack[at] = 0;
}

#[cfg(test)]
mod tests {
    use super::stacks;
    use crate::cut::serve::LeafForm;
    use crate::length::Length;

    fn leaf(top: i64, bottom: i64) -> LeafForm {
        {
            let thickness = Length::inch_fraction(top, bottom);
            LeafForm { thickness, resawn: thickness, kinds: vec![0] }
        }
    }

    #[test]
    fn without_resawing_one_leaf() {
        let leaves = [leaf(1, 2), leaf(2, 1)];
        assert_eq!(stacks(&leaves, Length::inch_fraction(3, 2), None), vec![vec![1, 0]]);
    }

    #[test]
    fn a_kerf_lies_between_leaves_only() {
        let kerf = Some(Length::inch_fraction(1, 16));
        // 2 × 1/2 + 1/16 is exactly 1 1/16.
        assert_eq!(stacks(&[leaf(1, 2)], Length::inch_fraction(17, 16), kerf), vec![vec![2]]);
        assert_eq!(stacks(&[leaf(1, 2)], Length::inch_fraction(33, 32), kerf), vec![vec![1]]);
        let mixed = stacks(&[leaf(1, 2), leaf(1, 4)], Length::inch_fraction(17, 16), kerf);
        assert_eq!(mixed, vec![vec![0, 3], vec![1, 1], vec![2, 0]]);
    }
}
