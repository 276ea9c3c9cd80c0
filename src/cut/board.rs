//! All candidate ways to cut one board, as data.

use crate::cut::across::Graph;
use crate::cut::leaf::Profile;
use crate::cut::met::Met;
use crate::cut::recent::Recent;
use crate::cut::serve::{Mode, Served, Standing};
use crate::cut::stack::Stack;
use crate::length::Length;
use crate::paddle::{Families, StripKind};
use crate::stop::Stop;
use smallvec::SmallVec;
use std::sync::{Arc, OnceLock};

/// The leaves of one rip of a section: for each leaf form the profile and how many of its
/// entries end within the section.
#[derive(Clone, Debug)]
pub struct Offer {
    /// Index into [`BoardCuts::stacks`].
    pub stacks: u32,
    /// Profile and number of entries, in the order of the rip's leaf forms.
    pub leaves: SmallVec<[(u32, u32); 3]>,
}

/// A candidate section.
#[derive(Clone, Debug)]
pub struct SectionCuts {
    /// From the marked end.
    pub from: Length,
    /// From the marked end.
    pub to: Length,
    /// How late the sections that it stands for begin and end: as it does itself, but where it
    /// stands for a range.
    pub reach: (Length, Length),
    /// How it is prepared.
    pub mode: Mode,
    /// Index of its beginning in [`BoardCuts::starts`].
    pub start: u32,
    /// Index of the first beginning that is free after it; the number of starts if none is.
    pub next: u32,
    /// Index into [`BoardCuts::graphs`].
    pub graph: u32,
    /// What each row of the graph gives here; `None` where nothing fits.
    pub offers: Vec<Option<Offer>>,
    /// Some of its strips could only go in as half of a flipped pair.
    pub pairs: bool,
}

impl SectionCuts {
    /// Bytes that it takes, about.
    pub(super) fn size(&self) -> usize {
        size_of::<SectionCuts>() + size_of_val(self.offers.as_slice())
    }
}

/// What serves for what, among kinds of strip and among a board's items.
#[derive(Clone, Debug)]
pub struct Nested {
    /// Kinds of strip.
    pub kinds: Families,
    /// Items: of one family are those whose kinds are and that stand alike.
    pub items: Families,
    /// For each item its family's longest one.
    pub family: Vec<usize>,
    /// For each kind the items whose sums together are the kind's, one of each standing: the
    /// shortest that serves for it.
    pub of_kind: Vec<SmallVec<[usize; 3]>>,
    /// For each item the kind that one of it is worth as much as: its own, but where it stands for
    /// longer ones too.
    pub worth_as: Vec<usize>,
}

impl Nested {
    /// Of these items, of these kinds of strip.
    pub fn new(kinds: &[StripKind], served: &Served) -> Self {
        let of_kinds = Families::of(kinds);
        let items = &served.items;
        let root = |kind: usize| of_kinds.served_by(kind).last();
        let roots: Vec<Option<usize>> = items.iter().map(|i| root(i.kind)).collect();
        let alike =
            |a: usize, b: usize| roots[a] == roots[b] && items[a].standing == items[b].standing;
        let of_items = Families::new(items.len(), |i| kinds[items[i].kind].length, alike);
        let family = (0..items.len()).map(|i| of_items.served_by(i).last().unwrap_or(i)).collect();
        let standings = [Standing::Free, Standing::PairUpright, Standing::PairTurned];
        let of_kind = (0..kinds.len())
            .map(|kind| {
                let item = |standing| {
                    of_kinds.served_by(kind).find_map(|k| {
                        items.iter().position(|i| i.kind == k && i.standing == standing)
                    })
                };
                standings.into_iter().filter_map(item).collect()
            })
            .collect();
        let worth_as = items.iter().map(|i| i.kind).collect();
        Nested { kinds: of_kinds, items: of_items, family, of_kind, worth_as }
    }

    /// How many strips are wanted of an item: the most of any kind that it is the shortest to serve
    /// for.
    pub fn wanted(&self, item: usize, wanted: &[u32]) -> u32 {
        let serves = self.of_kind.iter().zip(wanted).filter(|k| k.0.contains(&item));
        serves.map(|k| *k.1).max().unwrap_or(0)
    }
}

/// All candidate ways to cut one board, before any price.
#[derive(Clone, Debug)]
pub struct BoardCuts {
    /// What the board can serve.
    pub served: Served,
    /// Where a section may begin, ascending; the first is the usable start.
    pub starts: Vec<Length>,
    /// Candidate sections, by beginning.
    pub sections: Vec<SectionCuts>,
    /// Places of rips, shared by sections where they can be.
    pub graphs: Vec<Graph>,
    /// Leaf profiles, shared.
    pub profiles: Vec<Profile>,
    /// Sets of stacks, shared.
    pub stacks: Vec<Vec<Stack>>,
    /// What sections came to lately.
    pub recent: Recent,
    /// False when some leaf or rip had too many choices to list, or listing them was stopped:
    /// then no bound is proved with it.
    pub complete: bool,
    /// Not all sections of a bent board were tried, since there are too many lengths.
    pub thinned: bool,
    /// Strips wanted of each kind, as sums.
    pub wanted: Vec<u32>,
    /// Which kinds, and which items, serve for which.
    pub nested: Arc<Nested>,
    /// Asks for an end of what takes long with them.
    pub stop: Stop,
    /// Prices at which ways were met.
    pub met: Met,
    /// The most strips, once they were counted.
    pub strips: OnceLock<i64>,
}

impl BoardCuts {
    /// Could sections beside those listed give what none of these does? Straight-lined ones can't
    /// where nothing stands in the way of strips: then the shortest sections serve best, and they
    /// are listed.
    pub fn may_give_more(&self) -> bool {
        let lined = self.served.modes.iter().any(|m| m.lined);
        !self.served.items.is_empty()
            && (self.thinned || lined && !self.served.obstacles.is_empty())
    }

    /// Is all that the board gives in these sections? If not, nothing is proved with them.
    pub fn all_listed(&self) -> bool {
        self.complete && !self.may_give_more()
    }
}
