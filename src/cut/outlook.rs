//! Looking for ways of a crooked board over ranges of places, and halving those.

use crate::cut::board::{BoardCuts, SectionCuts};
use crate::cut::ranges::{Places, middle};
use crate::cut::value::Cut;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Families, Shop, StripKind};
use crate::stop::Stop;
use std::sync::Arc;

/// Ranges this narrow are not halved any more: a tape reads no finer.
pub const TAPE: Length = Length::inch_fraction(1, 64);
/// Steps that deciding one way may take.
pub const DECIDE: u64 = 1_000_000;
/// Places tried within a range.
const STEPS: i64 = 4;
/// Rounds of halving for one way, and marks.
const ROUNDS: usize = 40;
const MARKS: usize = 160;

impl Places {
    /// Adds the places of a cut's straight-lined sections.
    pub fn add(&mut self, cuts: &BoardCuts, cut: &Cut) {
        for section in lined(cuts, cut) {
            self.starts.insert(section.from);
            self.ends.insert(section.to);
        }
    }

    /// Adds places to try within the ranges of a cut's straight-lined sections: their ends, and
    /// what parts them in equal steps.
    pub fn add_within(&mut self, cuts: &BoardCuts, cut: &Cut) {
        let step = |from: Length, to: Length, i: i64| {
            from + Length::from_units((to - from).units() * i / STEPS)
        };
        for section in lined(cuts, cut) {
            let (latest, longest) = section.reach;
            self.starts.extend((0..=STEPS).map(|i| step(section.from, latest, i)));
            self.ends.extend((0..=STEPS).map(|i| step(section.to, longest, i)));
            // As late as its strips can begin in the longest of them.
            let late = section.from + (longest - section.to);
            self.starts.extend([late].into_iter().filter(|&s| s <= latest));
        }
    }

    /// Halves the ranges of a cut's straight-lined sections; false if all are at `least` already.
    pub fn halve(&mut self, cuts: &BoardCuts, cut: &Cut, least: Length) -> bool {
        let mut halved = false;
        for section in lined(cuts, cut) {
            let (latest, longest) = section.reach;
            if latest - section.from > least {
                halved |= self.starts.insert(middle(section.from, latest));
            }
            if longest - section.to > least {
                halved |= self.ends.insert(middle(section.to, longest));
            }
        }
        halved
    }
}

fn lined<'a>(cuts: &'a BoardCuts, cut: &'a Cut) -> impl Iterator<Item = &'a SectionCuts> {
    cut.iter().map(|chosen| &cuts.sections[chosen.section as usize]).filter(|s| s.mode.lined)
}

/// A board, and what it is to be cut into.
#[derive(Clone, Copy, Debug)]
pub struct Of<'a> {
    /// The board.
    pub board: &'a Board,
    /// The shop.
    pub shop: &'a Shop,
    /// Kinds of strip.
    pub kinds: &'a [StripKind],
    /// Asks for an end.
    pub stop: &'a Stop,
}

/// What came of looking for a way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sought {
    /// It can be cut with the places given.
    Known,
    /// It can be cut with these places.
    Found(Places),
    /// It can't be cut, wherever sections begin and end.
    Refuted,
    /// Neither is known.
    Undecided,
}

impl Of<'_> {
    /// The board's ways with these places.
    pub fn cuts(&self, wanted: &[u32], places: &Places) -> BoardCuts {
        BoardCuts::at_places_until_stopped(
            self.board, self.shop, self.kinds, wanted, places, self.stop,
        )
    }

    /// What the board gives at most if kinds are put into groups, each the longest first: every
    /// strip is as short as the shortest of its group, and counts as the longest.
    pub fn cuts_as(&self, wanted: &[u32], places: &Places, groups: &[Vec<usize>]) -> BoardCuts {
        let mut of_groups = vec![0; wanted.len()];
        for group in groups {
            if let Some(&shortest) = group.last() {
                of_groups[shortest] = group.iter().map(|&k| wanted[k]).sum();
            }
        }
        let mut cuts = self.cuts(&of_groups, places);
        let mut nested = (*cuts.nested).clone();
        for group in groups {
            let (Some(&longest), Some(&shortest)) = (group.first(), group.last()) else { continue };
            // Kinds between them too that are not wanted: a longer one counts for those as well.
            let between: Vec<usize> =
                nested.kinds.serves(longest).take_while(|&k| k != shortest).collect();
            for kind in between {
                nested.of_kind[kind] = nested.of_kind[shortest].clone();
            }
            for (item, of) in cuts.served.items.iter().enumerate() {
                if of.kind == shortest {
                    nested.worth_as[item] = longest;
                }
            }
        }
        cuts.wanted = nested.kinds.sums(wanted);
        cuts.nested = Arc::new(nested);
        cuts
    }

    /// Strips of each kind, from sums.
    fn counts(&self, way: &[u32]) -> Vec<u32> {
        Families::of(self.kinds).counts(way)
    }

    /// Places, more than those given, with which the board gives a way that `cut` has over ranges.
    pub fn within(
        &self,
        way: &[u32],
        places: &Places,
        cuts: &BoardCuts,
        cut: &Cut,
    ) -> Option<Places> {
        let mut tried = places.clone();
        tried.add_within(cuts, cut);
        let trial = self.cuts(&self.counts(way), &tried);
        let real = trial.decide(way, DECIDE).flatten()?;
        let mut more = places.clone();
        more.add(&trial, &real);
        Some(more)
    }

    /// Looks for one way: within the ranges where it could be cut, which are halved until it is
    /// found or certain not to be there.
    pub fn seek(
        &self,
        way: &[u32],
        places: &Places,
        marks: &mut Places,
        stop: &dyn Fn() -> bool,
    ) -> Sought {
        let counts = self.counts(way);
        if self.cuts(&counts, places).decide(way, DECIDE).flatten().is_some() {
            return Sought::Known;
        }
        for _ in 0..ROUNDS {
            let hoped = self.cuts(&counts, marks);
            if stop() || !hoped.complete {
                break;
            }
            let cut = match hoped.decide(way, DECIDE) {
                Some(Some(cut)) => cut,
                Some(None) => return Sought::Refuted,
                None => break,
            };
            if let Some(more) = self.within(way, places, &hoped, &cut) {
                return Sought::Found(more);
            }
            let many = marks.starts.len() + marks.ends.len() > MARKS;
            if many || !marks.halve(&hoped, &cut, TAPE) {
                break;
            }
        }
        Sought::Undecided
    }
}

#[cfg(test)]
mod tests {
    use super::{Of, Places, Sought, TAPE};
    use crate::cut::BoardCuts;
    use crate::cut::by_hand_sections::{BENT, Bent};
    use crate::cut::value::{ChosenSection, Cut};
    use crate::length::Length;
    use crate::paddle::strip_kinds;
    use crate::stop::Stop;
    use std::collections::BTreeSet;

    /// A crook of 2 over 40; a section must be straight-lined, since strips would be bent sideways.
    const CROOKED: Bent = Bent {
        width: "3",
        crook: Length::from_units(2 * Length::MM.units()),
        bow: Length::ZERO,
        strips: &[("1", "5", "20", false)],
        wanted: &[9],
        shop: "far_edge = 0\nmin_rip = 10\npull = \"0.1\"\n",
        ..BENT
    };

    /// Quarters of a millimetre.
    fn quarters(all: &[i64]) -> BTreeSet<Length> {
        all.iter().map(|&n| Length::from_units(Length::MM.units() * n / 4)).collect()
    }

    fn marks(starts: &[i64], ends: &[i64]) -> Places {
        Places { starts: quarters(starts), ends: quarters(ends), ranges: true, ..Places::default() }
    }

    /// The section that begins at 0 and ends at 20, as a cut.
    fn first(cuts: &BoardCuts) -> Cut {
        let is = |s: &_| {
            let s: &crate::cut::board::SectionCuts = s;
            s.mode.lined && (s.from, s.to) == (Length::ZERO, Length::MM * 20)
        };
        let section = u32::try_from(cuts.sections.iter().position(is).unwrap()).unwrap();
        vec![ChosenSection { section, rips: Vec::new() }]
    }

    #[test]
    fn a_range_is_halved_and_parted_in_steps() {
        // From 0 to 20 and up to the board's end, where none is shorter than 20.
        let (cuts, ..) = CROOKED.cuts(&marks(&[80], &[80]));
        let cut = first(&cuts);
        let mut places = Places::default();
        places.add(&cuts, &cut);
        assert_eq!((&places.starts, &places.ends), (&quarters(&[0]), &quarters(&[80])));
        let mut places = Places::default();
        places.add_within(&cuts, &cut);
        assert_eq!(places.starts, quarters(&[0, 20, 40, 60, 80]));
        assert_eq!(places.ends, quarters(&[80, 100, 120, 140, 160]));
        let halved = |least| {
            let mut halved = marks(&[], &[]);
            let any = halved.halve(&cuts, &cut, least);
            (any, halved.starts, halved.ends)
        };
        assert_eq!(halved(TAPE), (true, quarters(&[40]), quarters(&[120])));
        assert_eq!(halved(Length::MM * 20), (false, quarters(&[]), quarters(&[])));
        // A narrow range of beginnings, a wider one of ends.
        let (cuts, ..) = CROOKED.cuts(&marks(&[4], &[92]));
        let cut = first(&cuts);
        let halved = |least| {
            let mut halved = marks(&[], &[]);
            let any = halved.halve(&cuts, &cut, least);
            (any, halved.starts, halved.ends)
        };
        assert_eq!(halved(Length::MM), (true, quarters(&[]), quarters(&[86])));
        assert_eq!(halved(Length::MM * 3), (false, quarters(&[]), quarters(&[])));
        // As late as its strips can begin in the longest section: from 3 on, but for the mark at 1.
        let mut places = Places::default();
        places.add_within(&cuts, &cut);
        assert_eq!(places.starts, quarters(&[0, 1, 2, 3, 4]));
        assert_eq!(places.ends, quarters(&[80, 83, 86, 89, 92]));
        // Where sections of 10 are long enough, they begin up to 20, and strips of 20 up to 19.
        let strips = &[("1", "5", "20", false), ("1", "4", "10", false)];
        let short = Bent { strips, wanted: &[9, 9], ..CROOKED };
        let (cuts, ..) = short.cuts(&marks(&[80], &[156]));
        let mut places = Places::default();
        places.add_within(&cuts, &first(&cuts));
        assert_eq!(places.starts, quarters(&[0, 20, 40, 60, 76, 80]));
    }

    /// Rot leaves 9.5 to 30. The section's middle must be near 23.3, since the knot there comes down
    /// (as in `by_hand_both.rs`): it runs on into the rot. Or all of that the other way about.
    const KNOT: [&[&str]; 2] = [
        &["rot,0,9.5,0,3", "knot,22.1,24.5,1.009,3", "rot,30,40,0,3"],
        &["rot,0,10,0,3", "knot,15.5,17.9,1.009,3", "rot,30.5,40,0,3"],
    ];
    /// Two thousandths lower the knot is in the way wherever the middle is.
    const LOWER: [&[&str]; 2] = [
        &["rot,0,9.5,0,3", "knot,22.1,24.5,1.007,3", "rot,30,40,0,3"],
        &["rot,0,10,0,3", "knot,15.5,17.9,1.007,3", "rot,30.5,40,0,3"],
    ];

    fn seek(bent: Bent, way: u32, places: &Places, marks: Places, end: bool) -> Sought {
        let (board, job) = (bent.board(), bent.job());
        let kinds = strip_kinds(&job);
        let stop = &Stop::default();
        let of = Of { board: &board, shop: &job.shop, kinds: &kinds, stop };
        let sought = of.seek(&[way], places, &mut marks.clone(), &|| end);
        if let Sought::Found(more) = &sought {
            let has = |places: &Places| of.cuts(&[9], places).decide(&[way], 1 << 40).unwrap();
            assert!(has(places).is_none() && has(more).is_some());
        }
        sought
    }

    #[test]
    fn a_way_is_found_or_refuted_by_halving_ranges() {
        let (low, high) = (Length::ZERO, Length::MM * 40);
        let parted = || Places::parted(low, high, 4);
        let none = Places::default();
        for (knot, lower) in KNOT.into_iter().zip(LOWER) {
            let knot = Bent { zones: knot, ..CROOKED };
            let Sought::Found(places) = seek(knot, 1, &none, parted(), false) else {
                panic!("not found")
            };
            assert_eq!(seek(knot, 1, &places, parted(), false), Sought::Known);
            assert_eq!(seek(knot, 1, &none, parted(), true), Sought::Undecided);
            let lower = Bent { zones: lower, ..CROOKED };
            assert_eq!(seek(lower, 1, &none, parted(), false), Sought::Refuted);
            assert_eq!(seek(lower, 1, &places, parted(), false), Sought::Refuted);
            // With ranges that are not all there nothing is refuted.
            let little = Places { room: Some(1), ..parted() };
            assert_eq!(seek(lower, 1, &none, little, false), Sought::Undecided);
        }
        // Without knots two rips of one strip each have room.
        assert_eq!(seek(CROOKED, 1, &none, parted(), false), Sought::Known);
        assert_eq!(seek(CROOKED, 9, &none, parted(), false), Sought::Refuted);
    }
}
