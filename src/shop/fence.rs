//! In which order to make cuts so that a fence or a stop moves least, and which settings are not
//! rounded, since there is no wood for it.

use crate::length::{Length, Units};
use crate::shop::words::upward;
use std::collections::{BTreeSet, VecDeque};

/// A cut to be made at one setting, perhaps only once another cut is made.
#[derive(Clone, Debug)]
pub(crate) struct Cut<S, T> {
    /// The setting.
    pub setting: S,
    /// The cut, by its place in the list, that must come first.
    pub after: Option<usize>,
    /// What it is.
    pub what: T,
}

/// Cuts that follow one another in one piece of wood: whatever a setting is rounded up by moves all
/// that follows.
#[derive(Clone, Debug)]
pub(crate) struct Chain<S> {
    /// Their settings, in order.
    pub settings: Vec<S>,
    /// How far the last of them may move: wood that nothing is made of.
    pub room: Length,
}

/// Settings that are set as they are and not rounded up to what a rule shows, so that all cuts of
/// each piece of wood, with what was rounded, come to no more than the wood: those that take most are
/// left unrounded first.
pub(crate) fn unrounded<S: Ord + Clone>(
    chains: &[Chain<S>],
    length: impl Fn(&S) -> Length,
    units: Units,
) -> BTreeSet<S> {
    let more = |setting: &S| upward(length(setting), units) - length(setting);
    let mut out: BTreeSet<S> = BTreeSet::new();
    for chain in chains {
        loop {
            let rounded = || chain.settings.iter().filter(|s| !out.contains(s));
            if rounded().map(more).sum::<Length>() <= chain.room.max(Length::ZERO) {
                break;
            }
            let takes = |setting: &S| {
                chain.settings.iter().filter(|s| *s == setting).map(more).sum::<Length>()
            };
            let Some(most) = rounded().max_by_key(|s| (takes(s), (*s).clone())).cloned() else {
                break;
            };
            out.insert(most);
        }
    }
    out
}

/// States that the search may look at before it settles for the greedy order.
const STATES: usize = 4_000;

/// The cuts grouped by setting, each after what it needs, with the fewest settings where the
/// search stays small; else by the setting at which most can be done next.
pub(crate) fn order<S: Ord + Clone, T>(cuts: &[Cut<S, T>]) -> Vec<(S, Vec<usize>)> {
    let settings = fewest(cuts).unwrap_or_else(|| greedy(cuts));
    let mut done = vec![false; cuts.len()];
    let mut out = Vec::new();
    for setting in settings {
        let made = make(cuts, &mut done, &setting);
        if !made.is_empty() {
            out.push((setting, made));
        }
    }
    out
}

/// Makes every cut that can be made at a setting; says which, in order.
fn make<S: Ord, T>(cuts: &[Cut<S, T>], done: &mut [bool], setting: &S) -> Vec<usize> {
    let mut made = Vec::new();
    loop {
        let before = made.len();
        for (i, cut) in cuts.iter().enumerate() {
            let ready = cut.after.is_none_or(|a| a != i && done.get(a).copied().unwrap_or(true));
            if !done[i] && ready && cut.setting == *setting {
                done[i] = true;
                made.push(i);
            }
        }
        if made.len() == before {
            return made;
        }
    }
}

/// Settings at which some cut can be made now.
fn open<S: Ord + Clone, T>(cuts: &[Cut<S, T>], done: &[bool]) -> BTreeSet<S> {
    let ready = |(i, cut): &(usize, &Cut<S, T>)| {
        !done[*i] && cut.after.is_none_or(|a| a != *i && done.get(a).copied().unwrap_or(true))
    };
    cuts.iter().enumerate().filter(ready).map(|(_, c)| c.setting.clone()).collect()
}

/// Breadth first over what is done; making all that can be made at a setting never hurts.
fn fewest<S: Ord + Clone, T>(cuts: &[Cut<S, T>]) -> Option<Vec<S>> {
    let mut seen = BTreeSet::new();
    let mut queue = VecDeque::from([(vec![false; cuts.len()], Vec::<S>::new())]);
    while let Some((done, settings)) = queue.pop_front() {
        if done.iter().all(|&d| d) {
            return Some(settings);
        }
        let mut choices = open(cuts, &done);
        // Widest first: the stock is still stout when the wide cuts are made.
        while let Some(setting) = choices.pop_last() {
            let mut next = done.clone();
            make(cuts, &mut next, &setting);
            if seen.insert(next.clone()) {
                if seen.len() > STATES {
                    return None;
                }
                let mut longer = settings.clone();
                longer.push(setting);
                queue.push_back((next, longer));
            }
        }
    }
    None
}

fn greedy<S: Ord + Clone, T>(cuts: &[Cut<S, T>]) -> Vec<S> {
    let mut done = vec![false; cuts.len()];
    let mut out = Vec::new();
    loop {
        let gain = |setting: &S| {
            let mut next = done.clone();
            make(cuts, &mut next, setting).len()
        };
        let Some(best) = open(cuts, &done).into_iter().max_by_key(gain) else {
            return out;
        };
        make(cuts, &mut done, &best);
        out.push(best);
    }
}

#[cfg(test)]
mod tests {
    use super::{Chain, Cut, greedy, order, unrounded};
    use crate::length::{Length, Units};
    use crate::shop::words::upward;
    use proptest::prelude::*;

    proptest! {
        /// What is set, rounded or not, comes to no more than the wood; and nothing is left unrounded
        /// that all chains have room for.
        #[test]
        fn settings_as_shown_take_no_wood_that_is_not_there(
            chains in proptest::collection::vec(
                (proptest::collection::vec(0_usize..5, 0..7), 0_i64..120_000), 0..4),
            lengths in proptest::collection::vec(100_000_i64..9_000_000, 5),
            inch in any::<bool>(),
        ) {
            let units = if inch { Units::Inch } else { Units::Mm };
            let lengths: Vec<Length> = lengths.into_iter().map(Length::from_units).collect();
            let chains: Vec<Chain<usize>> = chains
                .into_iter()
                .map(|(settings, room)| Chain { settings, room: Length::from_units(room) })
                .collect();
            let kept = unrounded(&chains, |s| lengths[*s], units);
            let shown = |s: &usize, kept: &std::collections::BTreeSet<usize>| {
                if kept.contains(s) { lengths[*s] } else { upward(lengths[*s], units) }
            };
            let more = |chain: &Chain<usize>, kept: &std::collections::BTreeSet<usize>| {
                chain.settings.iter().map(|s| shown(s, kept) - lengths[*s]).sum::<Length>()
            };
            for chain in &chains {
                prop_assert!(more(chain, &kept) <= chain.room);
            }
            let none = std::collections::BTreeSet::new();
            if chains.iter().all(|c| more(c, &none) <= c.room) {
                prop_assert!(kept.is_empty());
            }
        }
    }

    fn chain(out: &mut Vec<Cut<u32, ()>>, settings: &[u32]) {
        let mut last = None;
        for &setting in settings {
            out.push(Cut { setting, after: last, what: () });
            last = Some(out.len() - 1);
        }
    }

    /// Fewest settings by trying every next setting.
    fn brute(cuts: &[Cut<u32, ()>], done: &[bool]) -> usize {
        if done.iter().all(|&d| d) {
            return 0;
        }
        let next = super::open(cuts, done).into_iter().map(|s| {
            let mut after = done.to_vec();
            super::make(cuts, &mut after, &s);
            1 + brute(cuts, &after)
        });
        next.min().unwrap_or(usize::MAX / 2)
    }

    #[test]
    fn two_sections_share_their_settings() {
        let mut cuts = Vec::new();
        chain(&mut cuts, &[5, 5, 3, 3]);
        chain(&mut cuts, &[3, 5, 3]);
        let groups = order(&cuts);
        assert_eq!(groups.len(), 3);
        assert_eq!(groups.len(), brute(&cuts, &vec![false; cuts.len()]));
    }

    #[test]
    fn every_cut_is_made_once_and_after_what_it_needs() {
        for seed in 0_u32..60 {
            let mut cuts = Vec::new();
            for c in 0..3 {
                let settings: Vec<u32> =
                    (0..4).map(|i| (seed * 7 + c * 5 + i * (seed % 5 + 1)) % 3).collect();
                chain(&mut cuts, &settings);
            }
            let groups = order(&cuts);
            let flat: Vec<usize> = groups.iter().flat_map(|(_, made)| made.clone()).collect();
            let mut all = flat.clone();
            all.sort_unstable();
            assert_eq!(all, (0..cuts.len()).collect::<Vec<_>>());
            for (at, &cut) in flat.iter().enumerate() {
                assert!(cuts[cut].after.is_none_or(|a| flat[..at].contains(&a)));
            }
            for (setting, made) in &groups {
                assert!(made.iter().all(|&m| cuts[m].setting == *setting));
            }
            assert_eq!(groups.len(), brute(&cuts, &vec![false; cuts.len()]));
            assert!(greedy(&cuts).len() >= groups.len());
        }
    }
}
