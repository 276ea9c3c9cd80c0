//! Leaves through the thickness of a rip.

use crate::cut::serve::LeafForm;
use crate::length::Length;

/// How many of each leaf form a rip holds, in the order of its leaves.
pub type Stack = Vec<u32>;

/// The stacks of a rip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stacks {
    /// Stacks that fit and to which no leaf can be added.
    pub list: Vec<Stack>,
    /// False when there were too many to list.
    pub complete: bool,
}

/// Stacks of one rip at most, and steps in listing them.
const STACKS: usize = 2_000;
const STEPS: u32 = 200_000;

/// Every stack that fits into `thickness` and to which no leaf can be added. Without a resaw
/// kerf a rip holds one leaf, and the rest of its thickness is planed away. Where there are too
/// many, those of one or two forms of leaf come first, so that every form is among them.
pub fn stacks(leaves: &[LeafForm], thickness: Length, resaw_kerf: Option<Length>) -> Stacks {
    let mut found = Vec::new();
    let mut complete = true;
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
            let mut steps = STEPS;
            let room = thickness + kerf;
            let filled = fill(leaves, kerf, room, 0, &mut stack, (&mut found, &mut steps));
            if filled.is_none() {
                complete = false;
                found.splice(0..0, simple(leaves, kerf, room));
                let mut seen = rustc_hash::FxHashSet::default();
                found.retain(|s| seen.insert(s.clone()));
                found.truncate(STACKS);
            }
            // One leaf alone is not resawn, so it may be of another thickness.
            found.retain(|s| s.iter().sum::<u32>() > 1);
            for (i, leaf) in leaves.iter().enumerate() {
                if leaf.thickness <= thickness && !found.iter().any(|s| s[i] > 0) {
                    let mut stack = vec![0; leaves.len()];
                    stack[i] = 1;
                    found.push(stack);
                }
            }
            if complete {
                found.sort_unstable();
            }
        }
    }
    Stacks { list: found, complete }
}

/// Stacks of one or two forms of leaf, as full as they can be with them.
fn simple(leaves: &[LeafForm], kerf: Length, room: Length) -> Vec<Stack> {
    let fit = |l: usize, room: Length| {
        let takes = (leaves[l].resawn + kerf).units().max(1);
        u32::try_from(room.units().max(0) / takes).unwrap_or(0)
    };
    let mut found = Vec::new();
    // All of one form first, then a step less of it and the rest of another, and so on.
    for less in 0..fit_most(leaves.len(), &fit, room) {
        for a in 0..leaves.len() {
            let Some(many) = fit(a, room).checked_sub(less).filter(|&n| n > 0) else { continue };
            let left = room - (leaves[a].resawn + kerf) * i64::from(many);
            for b in (0..leaves.len()).filter(|&b| b != a) {
                let mut stack = vec![0; leaves.len()];
                stack[a] = many;
                stack[b] = fit(b, left);
                found.push(stack);
            }
            if found.len() >= STACKS {
                return found;
            }
        }
    }
    found
}

/// The most leaves of any form.
fn fit_most(forms: usize, fit: &impl Fn(usize, Length) -> u32, room: Length) -> u32 {
    (0..forms).map(|l| fit(l, room)).max().unwrap_or(0)
}

/// Fills up from form `at` on; `None` once there are too many.
fn fill(
    leaves: &[LeafForm],
    kerf: Length,
    room: Length,
    at: usize,
    stack: &mut Stack,
    (found, steps): (&mut Vec<Stack>, &mut u32),
) -> Option<()> {
    *steps = steps.checked_sub(1)?;
    if at == leaves.len() {
        let full = leaves.iter().all(|l| l.resawn + kerf > room);
        if full && stack.iter().any(|&n| n > 0) {
            if found.len() >= STACKS {
                return None;
            }
            found.push(stack.clone());
        }
        return Some(());
    }
    let mut left = room;
    loop {
        fill(leaves, kerf, left, at + 1, stack, (found, steps))?;
        left -= leaves[at].resawn + kerf;
        if left < Length::ZERO {
            break;
        }
        stack[at] += 1;
    }
    stack[at] = 0;
    Some(())
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
        assert_eq!(stacks(&leaves, Length::inch_fraction(3, 2), None).list, vec![vec![1, 0]]);
    }

    #[test]
    fn a_kerf_lies_between_leaves_only() {
        let kerf = Some(Length::inch_fraction(1, 16));
        // 2 × 1/2 + 1/16 is exactly 1 1/16.
        let list = |leaves: &[LeafForm], top, bottom| {
            let stacks = stacks(leaves, Length::inch_fraction(top, bottom), kerf);
            assert!(stacks.complete);
            stacks.list
        };
        assert_eq!(list(&[leaf(1, 2)], 17, 16), vec![vec![2]]);
        assert_eq!(list(&[leaf(1, 2)], 33, 32), vec![vec![1]]);
        let mixed = list(&[leaf(1, 2), leaf(1, 4)], 17, 16);
        assert_eq!(mixed, vec![vec![0, 3], vec![1, 1], vec![2, 0]]);
    }

    #[test]
    fn too_many_stacks_are_cut_short_and_each_form_is_among_them() {
        let leaves: Vec<LeafForm> = (0..8).map(|i| leaf(16 + i, 256)).collect();
        let kerf = Length::inch_fraction(1, 32);
        let cut = stacks(&leaves, Length::INCH * 3, Some(kerf));
        assert!(!cut.complete && cut.list.len() <= super::STACKS);
        for l in 0..leaves.len() {
            assert!(cut.list.iter().any(|s| s[l] > 10), "{l}");
        }
        let takes = |s: &super::Stack| -> Length {
            let one = |(&n, l): (&u32, &LeafForm)| (l.resawn + kerf) * i64::from(n);
            s.iter().zip(&leaves).map(one).fold(Length::ZERO, |a, b| a + b)
        };
        assert!(cut.list.iter().all(|s| takes(s) <= Length::INCH * 3 + kerf));
    }
}
