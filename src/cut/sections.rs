//! Where sections can lie along a board, and all that a section offers (MODEL 4 and 6).
//!
//! A section that keeps the edge begins at the board's usable start or one kerf after its
//! neighbour, and ends where one of its strips ends. Ends between which nothing that follows
//! could tell the difference are one: only the farthest is kept. A flattened section loses less
//! the shorter it is, but that matters only where it makes room for other leaves: of its ends the
//! farthest of each such step is kept, and it also begins where it can be shortest around its
//! strips. Straight-lined sections are tried from far sides of zones, and from further places or
//! over ranges of places: see [`crate::cut::ranges`].

use crate::cut::across::{Across, Graph, Lying, Row, Shared, graph};
use crate::cut::board::{BoardCuts, Nested, Offer, SectionCuts};
use crate::cut::leaf::{Candidate, Profile};
use crate::cut::met::Met;
use crate::cut::needless::drop_needless;
use crate::cut::ranges::Places;
use crate::cut::recent::Recent;
use crate::cut::room::{Tried, keep_used};
use crate::cut::serve::{Mode, Served, Standing, serve};
use crate::cut::stack::Stack;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Shop, StripKind};
use crate::stop::Stop;
use rustc_hash::{FxHashMap, FxHashSet};
use smallvec::SmallVec;
use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::{Arc, OnceLock};

/// With more lengths of strips than this a bent board has too many sections; so has one where far
/// more beginnings would have to be tried (`starts.rs`). Then a flattened one
/// begins after its neighbour only, and a straight-lined one ends only where what follows
/// could tell the difference, though a shorter one would lose less. What is proved of such a board
/// comes from [`Places::everywhere`].
const MANY_LENGTHS: usize = 12;

/// What may begin at a place along the board.
#[derive(Clone, Copy, Default)]
struct Begin {
    /// A section that keeps edge and face.
    kept: bool,
    /// A flattened one that keeps its edge.
    flattened: bool,
    /// A straight-lined one.
    lined: bool,
}

impl Begin {
    const ANY: Begin = Begin { kept: true, flattened: true, lined: true };
    const FLATTENED: Begin = Begin { kept: false, flattened: true, lined: false };
    const LINED: Begin = Begin { kept: false, flattened: false, lined: true };

    /// This and that as well.
    fn and(&mut self, other: Begin) {
        self.kept |= other.kept;
        self.flattened |= other.flattened;
        self.lined |= other.lined;
    }
}

/// Which ends of sections need not be told apart.
#[derive(Default)]
pub(super) struct Ends {
    /// Between two of these nothing that follows could tell the difference; empty if all are told
    /// apart.
    classes: Vec<Length>,
    /// Lengths up to which a flattened section is as thick, for its leaves; `None` if every length
    /// counts.
    steps: Option<Vec<Length>>,
}

impl Ends {
    /// The class of ends with this first place free after them.
    fn class(&self, after: Length) -> Length {
        if self.classes.is_empty() {
            return after;
        }
        let at = self.classes.partition_point(|&c| c < after);
        self.classes.get(at).copied().unwrap_or(Length::LIMIT)
    }

    /// The step of thickness of a flattened section of this length.
    fn step(&self, length: Length) -> Option<usize> {
        self.steps.as_ref().map(|steps| steps.partition_point(|&s| s < length))
    }
}

/// Ends of a class are alike for what follows and for the section itself. Later ends are of later
/// classes.
pub(super) type Class = (Length, Option<usize>);

/// What tells a leaf from others with the same beginning.
pub(super) type Told = (Option<Mode>, SmallVec<[i64; 12]>);

/// The profiles of a rip's leaves.
pub(super) type Leaves = SmallVec<[u32; 3]>;

/// What is known of a board while its ways are worked out.
pub(super) struct Builder<'a> {
    pub(super) board: &'a Board,
    pub(super) shop: &'a Shop,
    pub(super) kinds: &'a [StripKind],
    /// As sums.
    pub(super) wanted: &'a [u32],
    pub(super) places: &'a Places,
    pub(super) served: Rc<Served>,
    /// Which obstacles bar strips of which form of rip, form after form.
    pub(super) concerned: Rc<Vec<bool>>,
    pub(super) nested: &'a Nested,
    /// Of sections that keep the edge.
    pub(super) ends: Ends,
    /// Usable length of the board.
    pub(super) low: Length,
    pub(super) high: Length,
    /// The shortest strip.
    least: Length,
    /// The shortest section.
    pub(super) shortest: Length,
    pub(super) profiles: Vec<Profile>,
    pub(super) by_profile: FxHashMap<Profile, u32>,
    pub(super) across: Shared,
    /// Leaves with one beginning, by what tells them apart.
    pub(super) by_leaf: FxHashMap<Told, u32>,
    /// What may be crosscut from a leaf, by how its rip is prepared, its form, what is under it and
    /// which leaf it is.
    pub(super) by_set: FxHashMap<(Mode, u16, u32, usize), Rc<Vec<Candidate>>>,
    /// Of a rip's leaves with one beginning, by how it is prepared, its form and what is under it.
    pub(super) by_row: FxHashMap<(Mode, u16, u32), Leaves>,
    pub(super) stacks: Vec<Vec<Stack>>,
    pub(super) by_stack: FxHashMap<(u16, Length), u32>,
    pub(super) by_stacks: FxHashMap<Vec<Stack>, u32>,
    pub(super) graphs: Vec<Graph>,
    pub(super) sections: Vec<SectionCuts>,
    /// Bytes that sections and what they are made of take, about.
    pub(super) used: usize,
    pub(super) complete: bool,
    /// Not all sections are tried.
    pub(super) thinned: bool,
    pub(super) stop: Stop,
}

impl BoardCuts {
    /// Works out the candidate ways to cut a board into the kinds of strip that are wanted.
    pub fn new(board: &Board, shop: &Shop, kinds: &[StripKind], wanted: &[u32]) -> Self {
        Self::until_stopped(board, shop, kinds, wanted, &Stop::default())
    }

    /// The same, and whatever is asked of them later, until it is stopped: then there are some ways
    /// only, and they are not complete.
    pub fn until_stopped(
        board: &Board,
        shop: &Shop,
        kinds: &[StripKind],
        wanted: &[u32],
        stop: &Stop,
    ) -> Self {
        Self::at_places_until_stopped(board, shop, kinds, wanted, &Places::default(), stop)
    }

    /// The same with more places where straight-lined sections begin and end, or with ranges.
    pub fn at_places_until_stopped(
        board: &Board,
        shop: &Shop,
        kinds: &[StripKind],
        wanted: &[u32],
        places: &Places,
        stop: &Stop,
    ) -> Self {
        Self::worked_out(board, shop, kinds, wanted, places, (true, stop))
    }

    /// The same, with or without the sections that others make needless.
    pub(super) fn worked_out(
        board: &Board,
        shop: &Shop,
        kinds: &[StripKind],
        wanted: &[u32],
        places: &Places,
        (drop, stop): (bool, &Stop),
    ) -> Self {
        let shop = &shop.at(board);
        let mut served = serve(board, shop, kinds, wanted);
        // Places in these lists are counted in 16 bits. A board with more on it is not cut, and
        // nothing is claimed of it.
        let counted = [served.obstacles.len(), served.items.len(), served.forms.len()];
        let complete = counted.into_iter().all(|n| n <= usize::from(u16::MAX));
        if !complete {
            served.items.clear();
        }
        let nested = Arc::new(Nested::new(kinds, &served));
        let wanted = nested.kinds.sums(wanted);
        let (low, high) = shop.usable(board);
        let least =
            served.items.iter().map(|i| kinds[i.kind].length).min().unwrap_or(Length::LIMIT);
        let mut builder = Builder {
            board,
            shop,
            kinds,
            wanted: &wanted,
            places,
            served: Rc::new(served),
            concerned: Rc::default(),
            nested: &nested,
            ends: Ends::default(),
            low,
            high,
            least,
            shortest: least.max(shop.min_rip),
            profiles: Vec::new(),
            by_profile: FxHashMap::default(),
            across: Shared::default(),
            by_leaf: FxHashMap::default(),
            by_set: FxHashMap::default(),
            by_row: FxHashMap::default(),
            stacks: Vec::new(),
            by_stack: FxHashMap::default(),
            by_stacks: FxHashMap::default(),
            graphs: Vec::new(),
            sections: Vec::new(),
            used: 0,
            complete,
            thinned: false,
            stop: stop.clone(),
        };
        builder.sections();
        builder.place();
        let Builder { sections, graphs, profiles, stacks, .. } = &mut builder;
        if drop {
            drop_needless(sections, graphs, profiles, stacks, stop);
        }
        keep_used(&mut builder.sections, &mut builder.graphs);
        if builder.too_many() {
            builder.complete = false;
            builder.clear();
        }
        let starts = builder.place();
        builder.sections.sort_by_key(|s| (s.start, s.to, s.mode));
        BoardCuts {
            served: Rc::unwrap_or_clone(builder.served),
            starts,
            sections: builder.sections,
            graphs: builder.graphs,
            profiles: builder.profiles,
            stacks: builder.stacks,
            recent: Recent::default(),
            complete: builder.complete,
            thinned: builder.thinned,
            stop: builder.stop,
            wanted,
            nested,
            met: Met::default(),
            strips: OnceLock::new(),
        }
    }
}

impl Builder<'_> {
    /// Is an end asked for? Then the ways are not complete.
    pub(super) fn stopped(&mut self) -> bool {
        let stopped = self.stop.asked();
        self.complete &= !stopped;
        stopped
    }

    /// Tells sections where they begin and what may follow, and returns all beginnings.
    fn place(&mut self) -> Vec<Length> {
        let mut starts: Vec<Length> = self.sections.iter().map(|s| s.from).collect();
        starts.sort_unstable();
        starts.dedup();
        let index =
            |at: Length| u32::try_from(starts.partition_point(|&s| s < at)).unwrap_or(u32::MAX);
        for section in &mut self.sections {
            section.start = index(section.from);
            section.next = index(section.to + self.shop.crosscut_kerf);
        }
        starts
    }

    pub(super) fn sections_of(&mut self, tried: Tried) {
        let kept: Vec<Mode> = self.served.modes.iter().copied().filter(|m| !m.lined).collect();
        let none = self.places.none || tried == Tried::Fewest;
        let lined = |m: &Mode| m.lined && !none;
        let lined: Vec<Mode> = self.served.modes.iter().copied().filter(lined).collect();
        // Over one range of all places every section is as thick as the shortest one, and what
        // stands in its way stands still.
        let whole = self.places.whole();
        let steps = match self.served.modes.iter().any(|m| m.flattened) && !whole {
            true => self.thickness_steps(),
            false => Some(Vec::new()),
        };
        let any_begin = steps.as_ref().is_none_or(|steps| !steps.is_empty());
        let bent = !lined.is_empty() || any_begin;
        let bent = bent || tried != Tried::All;
        let many = none || tried != Tried::All || self.lengths().len() > MANY_LENGTHS;
        self.thinned = bent && !self.places.ranges && many;
        let level = if any_begin && !self.thinned { self.level_starts() } else { Some(Vec::new()) };
        // Too many to try: as with too many lengths, or over ranges nothing is proved.
        self.complete &= level.is_some() || !self.places.ranges;
        self.thinned |=
            !self.places.ranges && (level.is_none() || !lined.is_empty() && self.many_lined_ends());
        // A straight-lined section loses less the shorter it is, little by little.
        let tight = !lined.is_empty() && !self.lined_alike() || steps.is_none();
        let rights = self.right_starts();
        let classes = if tight { Vec::new() } else { rights.clone() };
        self.ends = Ends { classes, steps };
        let shared = self.kept_graph(&kept);
        let everywhere = if whole { self.whole_graph(&lined) } else { shared };
        // Beginnings in ascending order, and what may begin there.
        let mut waiting: BTreeMap<Length, Begin> = BTreeMap::from([(self.low, Begin::ANY)]);
        let low = self.low;
        let wait = |waiting: &mut BTreeMap<Length, Begin>, at: Length, begin: Begin| {
            if at > low {
                waiting.entry(at).or_default().and(begin);
            }
        };
        if any_begin && !self.thinned {
            let beside = self.served.obstacles.iter().map(|o| o.to);
            for at in beside.chain(rights).chain(level.into_iter().flatten()) {
                wait(&mut waiting, at, Begin::FLATTENED);
            }
        }
        if !lined.is_empty() {
            let beside = self.served.obstacles.iter().map(|o| o.to).filter(|_| !self.places.ranges);
            for at in beside.chain(self.places.starts.iter().copied()) {
                wait(&mut waiting, at, Begin::LINED);
            }
        }
        while let Some((start, begin)) = waiting.pop_first() {
            if self.stopped() || self.full() {
                break;
            }
            if start + self.shortest > self.high {
                continue;
            }
            self.by_row.clear();
            self.by_leaf.clear();
            let mut after: Vec<Length> = Vec::new();
            for &mode in &kept {
                if begin.kept || (begin.flattened && mode.flattened) {
                    after.extend(self.kept(mode, shared, start));
                }
            }
            for &mode in lined.iter().filter(|_| begin.lined) {
                after.extend(match whole {
                    true => self.kept(mode, everywhere, start),
                    false => self.lined(mode, start),
                });
            }
            after.sort_unstable();
            after.dedup();
            for end in after {
                waiting.entry(end + self.shop.crosscut_kerf).or_default().and(Begin::ANY);
            }
        }
    }

    fn kept_graph(&mut self, kept: &[Mode]) -> usize {
        let lying: Vec<Lying> = self
            .served
            .obstacles
            .iter()
            .enumerate()
            .map(|(i, o)| Lying {
                obstacle: u16::try_from(i).unwrap_or(u16::MAX),
                near: o.near,
                far: o.far,
            })
            .collect();
        self.graph(&lying, Across::kept(self.board, self.shop), kept, self.low)
    }

    pub(super) fn graph(
        &mut self,
        lying: &[Lying],
        across: Across,
        modes: &[Mode],
        start: Length,
    ) -> usize {
        let (served, concerned) = (Rc::clone(&self.served), Rc::clone(&self.concerned));
        let (obstacles, stop) = (served.obstacles.len(), self.stop.clone());
        let mut shared = std::mem::take(&mut self.across);
        let concerns = |f: usize, o: u16| concerned[f * obstacles + usize::from(o)];
        let useful = |row: &Row| {
            modes.iter().any(|&mode| {
                let leaves = self.leaves(mode, row, start);
                leaves.iter().any(|&p| !self.profiles[p as usize].entries.is_empty())
            })
        };
        let made = graph(&served.forms, lying, across, concerns, useful, (&mut shared, &stop));
        self.across = shared;
        self.stopped();
        self.used += made.size();
        self.graphs.push(made);
        self.graphs.len() - 1
    }

    /// Takes back the graph that was made last.
    pub(super) fn forget_graph(&mut self) {
        self.used -= self.graphs.pop().map_or(0, |graph| graph.size());
    }

    /// Are ends of straight-lined sections that nothing can tell apart one? Over one range of all
    /// places they are, and where not all are tried.
    pub(super) fn lined_alike(&self) -> bool {
        self.places.whole() || self.thinned
    }

    /// The class of a strip's end in a section that begins at `start`. In straight-lined sections
    /// every end counts, but where there are many lengths.
    pub(super) fn class(&self, mode: Mode, start: Length, end: Length) -> Class {
        if mode.lined && !self.lined_alike() {
            return (end, None);
        }
        let end = end.max(start + self.shop.min_rip);
        let after = end + self.shop.crosscut_kerf;
        let step = if mode.flattened { self.ends.step(end - start) } else { Some(0) };
        let rest = match step {
            None => after,
            _ if after + self.shortest > self.high => Length::LIMIT,
            _ => self.ends.class(after),
        };
        (rest, step)
    }

    /// The class of a strip's end for strips that follow it in its leaf, or beyond. `None` where
    /// every end counts: how thick a flattened section is depends on where its last strip ends.
    pub(super) fn onwards(&self, mode: Mode, end: Length) -> Option<Length> {
        let thick = || self.ends.steps.as_ref().is_some_and(Vec::is_empty);
        // Where straight-lined ones are tried everywhere, all ends are told apart.
        let told = self.ends.classes.is_empty();
        if told || mode.flattened && !self.thinned && !thick() {
            return None;
        }
        // A leaf takes strips that are too short for a section of their own.
        let after = end + self.shop.crosscut_kerf;
        Some(if after + self.least > self.high { Length::LIMIT } else { self.ends.class(after) })
    }

    /// Sections that keep the edge, or straight-lined ones over all places, that begin at `start`;
    /// returns their ends.
    fn kept(&mut self, mode: Mode, shared: usize, start: Length) -> Vec<Length> {
        let rows = self.graphs[shared].rows.clone();
        let mut profiles: Vec<Leaves> = Vec::with_capacity(rows.len());
        let mut ends: Vec<Length> = Vec::new();
        let mut seen: FxHashSet<u32> = FxHashSet::default();
        for row in &rows {
            if self.stopped() {
                return Vec::new();
            }
            let of_row = self.leaves(mode, row, start);
            for &p in of_row.iter().filter(|&&p| seen.insert(p)) {
                ends.extend(self.profiles[p as usize].entries.iter().map(|e| e.end));
            }
            profiles.push(of_row);
        }
        ends.sort_unstable();
        ends.dedup();
        let ends = self.farthest(mode, start, ends);
        for &end in &ends {
            if self.stopped() || self.full() {
                break;
            }
            // Over all places it may be as short as can be.
            let last = if self.places.whole() { end - self.shortest } else { start };
            self.add((start, end), (last, end), mode, shared, &rows, &profiles);
        }
        ends
    }

    /// The farthest of the ends that the rest of the board, and the section itself, can't tell
    /// apart.
    pub(super) fn farthest(&self, mode: Mode, start: Length, ends: Vec<Length>) -> Vec<Length> {
        let mut farthest: Vec<(Class, Length)> = Vec::with_capacity(ends.len());
        for end in ends {
            let class = self.class(mode, start, end);
            let end = end.max(start + self.shop.min_rip);
            if end <= self.high {
                farthest.push((class, end));
            }
        }
        // Of each class the farthest comes first.
        farthest.sort_unstable_by_key(|&(class, end)| (class, Reverse(end)));
        farthest.dedup_by_key(|f| f.0);
        farthest.into_iter().map(|f| f.1).collect()
    }

    /// Does a profile hold strips that could only go in as half of a flipped pair?
    fn pairs(&self, profile: u32) -> bool {
        let standing = |i: &u16| self.served.items[usize::from(*i)].standing;
        self.profiles[profile as usize].items.iter().any(|i| standing(i) != Standing::Free)
    }

    /// Adds a section, unless nothing at all fits into it.
    #[allow(clippy::too_many_arguments)]
    pub(super) fn add(
        &mut self,
        (from, to): (Length, Length),
        reach: (Length, Length),
        mode: Mode,
        graph: usize,
        rows: &[Row],
        profiles: &[Leaves],
    ) -> bool {
        let shortest = (to - reach.0).max(self.shortest);
        let loss = if mode.flattened { self.board.bow().loss(shortest) } else { Length::ZERO };
        let thickness = self.board.thickness - loss;
        let mut offers = Vec::with_capacity(rows.len());
        let (mut any, mut pairs) = (false, false);
        for (row, profiles) in rows.iter().zip(profiles) {
            let leaves: SmallVec<[(u32, u32); 3]> = profiles
                .iter()
                .map(|&p| {
                    let upto = self.profiles[p as usize].upto(to);
                    (p, u32::try_from(upto).unwrap_or(u32::MAX))
                })
                .collect();
            let stacks = self.stacks(row.form, thickness);
            let gives = leaves.iter().enumerate().any(|(l, &(_, upto))| {
                upto > 0 && self.stacks[stacks as usize].iter().any(|s| s[l] > 0)
            });
            any |= gives;
            pairs |= leaves.iter().any(|&(p, upto)| upto > 0 && self.pairs(p));
            offers.push(gives.then_some(Offer { stacks, leaves }));
        }
        if any {
            let graph = u32::try_from(graph).unwrap_or(u32::MAX);
            let section =
                SectionCuts { from, to, reach, mode, start: 0, next: 0, graph, offers, pairs };
            self.used += section.size();
            self.sections.push(section);
        }
        any
    }
}
