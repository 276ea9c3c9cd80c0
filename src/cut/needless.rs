//! Sections that others make needless.
//!
//! A section that begins no earlier than another, leaves as much of the board after it and offers
//! the very same choice of strips serves wherever the other would. Bent boards have thousands of
//! candidate sections, since where a flattened or straight-lined section begins and ends changes
//! what it loses; mostly it changes nothing of what it gives.
//!
//! The same strips take as many saw cuts in either. But a straight edge on a fence beats a curve on
//! a bandsaw (MODEL 7), so none that follows the curve makes needless one that doesn't.

use crate::cut::across::Graph;
use crate::cut::board::{Offer, SectionCuts};
use crate::cut::leaf::{Profile, Strips};
use crate::cut::stack::Stack;
use crate::stop::Stop;
use rustc_hash::FxHashMap;
use smallvec::SmallVec;
use std::hash::Hash;
use std::rc::Rc;

/// Fewer sections than this are left as they are.
const MANY: usize = 48;

/// Numbers of a rip's leaves.
type OfLeaves = SmallVec<[u32; 4]>;

/// Numbers given to things in the order in which they are first seen.
struct Numbers<T>(FxHashMap<T, u32>);

impl<T: Hash + Eq> Numbers<T> {
    fn new() -> Self {
        Numbers(FxHashMap::default())
    }

    fn of(&mut self, thing: T) -> u32 {
        let next = u32::try_from(self.0.len()).unwrap_or(u32::MAX);
        *self.0.entry(thing).or_insert(next)
    }
}

/// Drops the sections that others make needless; all must know their `start` and `next`.
pub fn drop_needless(
    sections: &mut Vec<SectionCuts>,
    graphs: &[Graph],
    profiles: &[Profile],
    stacks: &[Vec<Stack>],
    stop: &Stop,
) {
    if sections.len() < MANY {
        return;
    }
    let mut choices = Choices::of(profiles, stacks);
    let mut choice_of: Vec<u32> = Vec::with_capacity(sections.len());
    let mut room = NUMBERS;
    for section in &*sections {
        let graph = &graphs[section.graph as usize];
        let size = section.offers.len() + graph.points.len() + graph.arcs.len();
        // Needless sections cost time only.
        match room.checked_sub(size) {
            Some(left) if !stop.asked() => room = left,
            _ => return,
        }
        choice_of.push(choices.section(section, graph));
    }
    keep_needed(sections, &choice_of, |s| graphs[s.graph as usize].follows);
}

/// Keeps of the sections of each choice those that no other makes needless.
fn keep_needed(
    sections: &mut Vec<SectionCuts>,
    choice_of: &[u32],
    follows: impl Fn(&SectionCuts) -> bool,
) {
    let mut order: Vec<usize> = (0..sections.len()).collect();
    order.sort_by_key(|&s| {
        let section = &sections[s];
        let place = (std::cmp::Reverse(section.start), section.next);
        (choice_of[s], place, follows(section), section.mode)
    });
    let mut keep = vec![false; sections.len()];
    // Of one choice, those before begin no earlier: the least that any of them leaves behind it,
    // and any that follows no curve.
    let mut last = (u32::MAX, u32::MAX, u32::MAX);
    for s in order {
        let next = sections[s].next;
        if last.0 != choice_of[s] {
            last = (choice_of[s], u32::MAX, u32::MAX);
        }
        let (any, straight) = (last.1, last.2);
        if follows(&sections[s]) {
            keep[s] = next < any;
        } else {
            keep[s] = next < straight;
            last.2 = straight.min(next);
        }
        last.1 = any.min(next);
    }
    let mut kept = keep.into_iter();
    sections.retain(|_| kept.next().unwrap_or(true));
}

/// Tells sections apart by the choice of strips that they offer.
struct Choices<'a> {
    profiles: &'a [Profile],
    stacks: &'a [Vec<Stack>],
    /// Pairs of multisets that may still be compared.
    work: u64,
    /// Multisets of the board's items.
    multisets: Numbers<Strips>,
    /// By profile; `None` where it has too many, or others had.
    listed: FxHashMap<u32, Option<Rc<Listed>>>,
    leaves: FxHashMap<(u32, u32), u32>,
    contents: Numbers<Contents>,
    /// What tells offers apart, and what tells that apart.
    known: FxHashMap<(u32, OfLeaves), u32>,
    offers: Numbers<(Vec<Vec<u32>>, OfLeaves)>,
    choices: Numbers<Vec<u32>>,
}

impl<'a> Choices<'a> {
    fn of(profiles: &'a [Profile], stacks: &'a [Vec<Stack>]) -> Self {
        Choices {
            profiles,
            stacks,
            work: WORK,
            multisets: Numbers::new(),
            listed: FxHashMap::default(),
            leaves: FxHashMap::default(),
            contents: Numbers::new(),
            known: FxHashMap::default(),
            offers: Numbers::new(),
            choices: Numbers::new(),
        }
    }

    fn listed(&mut self, profile: u32) -> Option<Rc<Listed>> {
        if let Some(known) = self.listed.get(&profile) {
            return known.clone();
        }
        let of = &self.profiles[profile as usize];
        let many = of.entries.len().min(ENTRIES as usize) as u64;
        let listed = self.work.checked_sub(many * many).map(|left| {
            self.work = left;
            Rc::new(Listed::of(of, &mut self.multisets))
        });
        self.listed.insert(profile, listed.clone());
        listed
    }

    fn leaf(&mut self, (profile, upto): (u32, u32)) -> u32 {
        if let Some(&known) = self.leaves.get(&(profile, upto)) {
            return known;
        }
        let listed = if upto <= ENTRIES { self.listed(profile) } else { None };
        let number = self.contents.of(match listed {
            Some(listed) => Contents::Of(listed.content(upto)),
            None => Contents::Many(profile, upto),
        });
        self.leaves.insert((profile, upto), number);
        number
    }

    fn offer(&mut self, offer: &Offer) -> u32 {
        let of_leaves: OfLeaves = offer.leaves.iter().map(|&l| self.leaf(l)).collect();
        let key = (offer.stacks, of_leaves);
        if let Some(&known) = self.known.get(&key) {
            return known;
        }
        // A leaf form that gives nothing makes no difference to a stack.
        let mut of_stacks: Vec<Vec<u32>> = self.stacks[offer.stacks as usize]
            .iter()
            .map(|stack| {
                let keep = |(&n, l): (&u32, &(u32, u32))| if l.1 == 0 { 0 } else { n };
                stack.iter().zip(&offer.leaves).map(keep).collect()
            })
            .collect();
        of_stacks.sort_unstable();
        of_stacks.dedup();
        let number = self.offers.of((of_stacks, key.1.clone()));
        self.known.insert(key, number);
        number
    }

    /// A section's choice: its graph, with offers for rows.
    fn section(&mut self, section: &SectionCuts, graph: &Graph) -> u32 {
        let of_rows: Vec<Option<u32>> =
            section.offers.iter().map(|o| o.as_ref().map(|o| self.offer(o))).collect();
        let mut choice: Vec<u32> = Vec::with_capacity(graph.points.len() + 2 * graph.arcs.len());
        for point in &graph.points {
            choice.push(point.skip);
            for arc in &graph.arcs[point.arcs.start as usize..point.arcs.end as usize] {
                if let Some(offer) = of_rows[arc.row as usize] {
                    choice.extend([offer, arc.next]);
                }
            }
            choice.push(u32::MAX - 1);
        }
        self.choices.of(choice)
    }
}

/// More multisets than this are compared with none but themselves.
const ENTRIES: u32 = 1_500;
/// Pairs of multisets that are compared for one board, about half a second's worth. Beyond,
/// sections count as different: a straight board of 100 m has thousands of ends.
const WORK: u64 = 200_000_000;
/// Numbers that all sections of one board are told apart by at most: some 100 MB.
const NUMBERS: usize = 12_000_000;

/// What tells a leaf's multisets from others: the multisets, or where those are very many, which
/// leaf it is.
#[derive(PartialEq, Eq, Hash)]
enum Contents {
    Of(Vec<u32>),
    Many(u32, u32),
}

/// The first multisets of a profile.
struct Listed {
    /// Their numbers.
    numbers: Vec<u32>,
    /// For each the first one that covers it, beyond all where none does.
    covered: Vec<usize>,
}

impl Listed {
    fn of(profile: &Profile, multisets: &mut Numbers<Strips>) -> Self {
        let all: Vec<&Strips> =
            profile.entries.iter().take(ENTRIES as usize).map(|e| &e.strips).collect();
        let marks: Vec<u64> = all.iter().map(|s| marks(s)).collect();
        let first = |s: usize| {
            let covers = |&more: &usize| {
                marks[s] & !marks[more] == 0
                    && all[s].len() < all[more].len()
                    && within(all[s], all[more])
            };
            (0..all.len()).find(covers).unwrap_or(usize::MAX)
        };
        let covered = (0..all.len()).map(first).collect();
        let items = |s: &&Strips| s.iter().map(|&c| profile.items[usize::from(c)]).collect();
        let numbers = all.iter().map(|s| multisets.of(items(s))).collect();
        Listed { numbers, covered }
    }

    /// The multisets among the first so many, those that others cover left out.
    fn content(&self, upto: u32) -> Vec<u32> {
        let upto = upto as usize;
        let first = self.numbers.iter().zip(&self.covered).take(upto);
        let mut content: Vec<u32> = first.filter(|(_, c)| **c >= upto).map(|(&n, _)| n).collect();
        content.sort_unstable();
        content
    }
}

/// A mark for every strip and for every further one like it: those of a multiset are among those of
/// any that holds it.
fn marks(strips: &[u16]) -> u64 {
    let mut marks = 0;
    let mut alike = (u16::MAX, 0);
    for &strip in strips {
        alike = (strip, if strip == alike.0 { alike.1 + 1 } else { 0 });
        marks |= 1 << ((u32::from(strip) + 21 * alike.1) % 64);
    }
    marks
}

/// Are all of these strips among the others? Both are ascending.
fn within(strips: &[u16], others: &[u16]) -> bool {
    let mut others = others.iter();
    strips.iter().all(|s| others.any(|o| o == s))
}

#[cfg(test)]
mod tests {
    use super::{Choices, Listed, Numbers, keep_needed, marks, within};
    use crate::cut::BoardCuts;
    use crate::cut::across::{Arc, END, Graph, Point};
    use crate::cut::board::{Offer, SectionCuts};
    use crate::cut::leaf::{Entry, Profile};
    use crate::cut::ranges::Places;
    use crate::cut::serve::Mode;
    use crate::cut::value::{ChosenRip, ChosenSection};
    use crate::length::Length;
    use crate::length::Units;
    use crate::paddle::strip_kinds;
    use crate::read::{List, boards_text, job_text};
    use crate::stop::Stop;
    use std::fmt::Write;

    const JOB: &str = r#"
[shop]
far_edge = 0
curve_kerf = "1/8"
board_end = "1/2"
min_rip = 6
straight = "1/32"
[[paddle]]
name = "small"
length = 24
loom = 8
trim = 0
thickness = 1
rings = 0
[[paddle.lamination]]
name = "side"
thickness = "1/2"
runs = "through"
[[paddle.lamination]]
name = "edge"
thickness = "3/8"
runs = "blade"
"#;

    /// A leaf that gives these multisets of the items 5 and 7.
    fn leaf(multisets: &[&[u16]]) -> Profile {
        let entry = |(i, strips): (i64, &&[u16])| Entry {
            end: Length::INCH * i,
            last: 0,
            strips: strips.iter().copied().collect(),
        };
        Profile {
            items: [5, 7].into_iter().collect(),
            entries: (1..).zip(multisets).map(entry).collect(),
            steps: Vec::new(),
            complete: true,
        }
    }

    /// A section in a choice of its own, from one start to another.
    fn section(start: u32, next: u32, offers: Vec<Option<Offer>>) -> SectionCuts {
        let none = Length::ZERO;
        SectionCuts {
            from: none,
            to: none,
            reach: (none, none),
            mode: Mode { lined: false, flattened: false },
            start,
            next,
            graph: 0,
            offers,
            pairs: false,
        }
    }

    #[test]
    fn what_a_leaf_gives_is_told_by_the_most_that_it_gives() {
        assert!(within(&[1, 3], &[1, 2, 3]) && within(&[], &[1]) && within(&[2, 2], &[1, 2, 2]));
        assert!(!within(&[1, 1], &[1, 2]) && !within(&[2], &[1, 3]) && !within(&[1], &[]));
        let leaf = leaf(&[&[0], &[1], &[0, 1], &[0, 0]]);
        let mut multisets = Numbers::new();
        let listed = Listed::of(&leaf, &mut multisets);
        let multiset = |n: u32| multisets.0.iter().find(|s| *s.1 == n).unwrap().0.to_vec();
        let of = |upto| {
            let mut all: Vec<_> = listed.content(upto).into_iter().map(multiset).collect();
            all.sort();
            all
        };
        assert_eq!(of(2), [[5], [7]]);
        assert_eq!(of(3), [[5, 7]]);
        assert_eq!(of(4), [[5, 5], [5, 7]]);
        assert_eq!(of(0), Vec::<Vec<u16>>::new());
    }

    #[test]
    fn marks_of_what_is_within_are_among_those_of_what_holds_it() {
        // Multisets of up to four of five items, some of which share a mark.
        let items = [0, 1, 21, 42, 64];
        let digits = |n: u32| {
            let mut all: Vec<u16> = (0..4)
                .map(|d| n / 6_u32.pow(d) % 6)
                .filter(|&d| d < 5)
                .map(|d| items[d as usize])
                .collect();
            all.sort_unstable();
            all
        };
        let mut held = 0;
        for a in (0..6_u32.pow(4)).map(digits) {
            for b in (0..6_u32.pow(4)).step_by(7).map(digits) {
                if within(&a, &b) {
                    assert_eq!(marks(&a) & !marks(&b), 0, "{a:?} {b:?}");
                    held += 1;
                }
            }
        }
        assert!(held > 1_000, "{held}");
    }

    #[test]
    fn of_one_choice_those_that_begin_late_and_end_early_are_kept() {
        let all = [(2, 5, 1), (1, 5, 1), (1, 4, 1), (0, 4, 1), (1, 9, 2), (2, 5, 1), (0, 3, 1)];
        let mut sections: Vec<SectionCuts> =
            all.iter().map(|&(start, next, _)| section(start, next, Vec::new())).collect();
        keep_needed(&mut sections, &all.map(|(_, _, choice)| choice), |_| false);
        let kept: Vec<_> = sections.iter().map(|s| (s.start, s.next)).collect();
        assert_eq!(kept, [(2, 5), (1, 4), (1, 9), (0, 3)]);
    }

    #[test]
    fn none_that_follows_the_curve_makes_needless_one_that_does_not() {
        let kept = |all: &[(u32, u32, bool)]| {
            let of = |&(start, next, lined)| {
                let mode = Mode { lined, flattened: false };
                SectionCuts { mode, ..section(start, next, Vec::new()) }
            };
            let mut sections: Vec<SectionCuts> = all.iter().map(of).collect();
            keep_needed(&mut sections, &vec![3; all.len()], |s| !s.mode.lined);
            sections.iter().map(|s| (s.start, s.next, s.mode.lined)).collect::<Vec<_>>()
        };
        // Alike but for the edge, in either order.
        assert_eq!(kept(&[(1, 5, false), (1, 5, true)]), [(1, 5, true)]);
        assert_eq!(kept(&[(1, 5, true), (1, 5, false)]), [(1, 5, true)]);
        // One that begins later and leaves more.
        assert_eq!(kept(&[(2, 4, false), (1, 5, true)]), [(2, 4, false), (1, 5, true)]);
        assert_eq!(kept(&[(2, 4, true), (1, 5, false)]), [(2, 4, true)]);
        // A straight one between two that follow the curve, and one after it.
        let three = [(3, 4, false), (2, 6, true), (1, 3, false), (1, 6, true), (0, 4, false)];
        assert_eq!(kept(&three), [(3, 4, false), (2, 6, true), (1, 3, false)]);
    }

    #[test]
    fn choices_are_told_apart_by_places_rips_and_leaves_only() {
        let profiles = [leaf(&[&[0], &[1]]), leaf(&[&[0], &[1]]), leaf(&[&[0], &[0, 1]])];
        let stacks = [vec![vec![1, 1], vec![1, 0]], vec![vec![1, 0]], vec![vec![2, 0]]];
        let mut choices = Choices::of(&profiles, &stacks);
        let graph = |points: [(u32, std::ops::Range<u32>); 2], next| Graph {
            points: points.map(|(skip, arcs)| Point { at: Length::ZERO, skip, arcs }).to_vec(),
            arcs: vec![Arc { row: 0, next }],
            ..Graph::default()
        };
        let offer = |stacks, leaves: [(u32, u32); 2]| {
            Some(Offer { stacks, leaves: leaves.into_iter().collect() })
        };
        let mut of = |graph: &Graph, offer: Option<Offer>| {
            choices.section(&section(0, 1, vec![offer]), graph)
        };
        let plain = graph([(1, 0..1), (END, 1..1)], 1);
        let first = of(&plain, offer(1, [(0, 2), (0, 0)]));
        // Another leaf that gives the same, and a form that gives nothing beside it.
        for same in [offer(1, [(1, 2), (0, 0)]), offer(0, [(0, 2), (0, 0)])] {
            assert_eq!(of(&plain, same), first);
        }
        let others = [
            offer(1, [(0, 1), (0, 0)]),
            offer(1, [(2, 2), (0, 0)]),
            offer(2, [(0, 2), (0, 0)]),
            offer(0, [(0, 2), (0, 2)]),
            None,
        ];
        for other in others {
            assert_ne!(of(&plain, other.clone()), first, "{other:?}");
        }
        let graphs = [
            graph([(END, 0..1), (END, 1..1)], 1),
            graph([(1, 0..1), (END, 1..1)], END),
            graph([(1, 0..0), (END, 0..1)], 1),
        ];
        for other in graphs {
            assert_ne!(of(&other, offer(1, [(0, 2), (0, 0)])), first, "{other:?}");
        }
    }

    /// A rip's offer and what follows it are not taken for points without rips.
    #[test]
    fn choices_are_told_apart_point_by_point() {
        let (profiles, stacks) = ([leaf(&[&[0], &[1]])], [vec![vec![1]]]);
        let mut choices = Choices::of(&profiles, &stacks);
        let [first, second] =
            [1, 2].map(|upto| Offer { stacks: 0, leaves: [(0, upto)].into_iter().collect() });
        let numbers = [choices.offer(&first), choices.offer(&second)];
        assert_eq!(numbers, [0, 1]);
        let point = |skip, arcs| Point { at: Length::ZERO, skip, arcs };
        let graph = |points, arcs| Graph { points, arcs, ..Graph::default() };
        // The second offer follows the first point, or the second and third stand without one.
        let rip = graph(vec![point(1, 0..1), point(END, 1..1)], vec![Arc { row: 0, next: 2 }]);
        let none = [1, 1, 2, END].map(|skip| point(skip, 0..0)).to_vec();
        let mut of = |graph| choices.section(&section(0, 1, vec![Some(second.clone())]), graph);
        assert_ne!(of(&rip), of(&graph(none, Vec::new())));
    }

    /// Sections that follow the curve, and saw cuts, of the cut that takes the fewest.
    fn sawn(cuts: &BoardCuts, way: &[u32]) -> (usize, usize) {
        let cut = cuts.fewest_cuts(way, &[], 1 << 40).unwrap();
        let follows = |s: &&ChosenSection| {
            cuts.graphs[cuts.sections[s.section as usize].graph as usize].follows
        };
        let strips =
            |&(_, p, e): &(usize, u32, u32)| cuts.profiles[p as usize].strips(e as usize).len();
        let rip = |r: &ChosenRip| r.leaves.len() + r.leaves.iter().map(strips).sum::<usize>();
        let section = |s: &ChosenSection| 2 + s.rips.iter().map(rip).sum::<usize>();
        (cut.iter().filter(follows).count(), cut.iter().map(section).sum())
    }

    #[test]
    fn without_needless_sections_a_board_gives_the_same() {
        let job = job_text("p.toml", JOB).unwrap();
        let kinds = strip_kinds(&job);
        let wanted = vec![200; kinds.len()];
        let mut dropped = 0;
        for bow in -6..=6 {
            for (crook, knots) in [(0, true), (5, true), (2, false)] {
                let mut csv = String::from(
                    "board,species,length,width,thickness,crook,bow,zone,from,to,near,far\n",
                );
                writeln!(csv, "b,fir,58,3 1/4,1 1/2,{crook}/16,{bow}/8,,,,,").unwrap();
                if knots {
                    csv += "b,,,,,,,knot,20,23,1,1 1/2\nb,,,,,,,knot,37,40,2 1/2,3\n";
                }
                let board =
                    boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap().remove(0);
                let all = BoardCuts::worked_out(
                    &board,
                    &job.shop,
                    &kinds,
                    &wanted,
                    &Places::default(),
                    (false, &Stop::default()),
                );
                let few = BoardCuts::new(&board, &job.shop, &kinds, &wanted);
                dropped += all.sections.len() - few.sections.len();
                let ways = all.list(&wanted, &[], 1 << 40).unwrap();
                assert_eq!(Some(&ways), few.list(&wanted, &[], 1 << 40).as_ref());
                // Nor does it take more sections that follow the curve, or saw cuts.
                for way in ways.iter().step_by(31) {
                    let [some, best] = [&few, &all].map(|of| sawn(of, way));
                    assert_eq!(some, best, "{way:?} {bow} {crook}");
                }
            }
        }
        assert!(dropped > 100, "{dropped}");
    }
}
