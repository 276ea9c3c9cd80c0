//! Where rips can lie across a section (MODEL 4).
//!
//! A rip is pushed towards the reference edge until it meets the section's usable edge, the far
//! side of an obstacle, or its neighbour and a kerf. The places that this leaves are the points
//! of a graph; its arcs are rips.

use crate::cut::serve::RipForm;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Shop;
use crate::stop::Stop;
use rustc_hash::FxHashMap;
use std::collections::VecDeque;
use std::sync;

/// No further point.
pub const END: u32 = u32::MAX;

/// A place where the next rip may begin.
#[derive(Clone, Debug)]
pub struct Point {
    /// Distance from the reference edge or chord.
    pub at: Length,
    /// The next point without a rip here: the far side of an obstacle; [`END`] if there is none.
    pub skip: u32,
    /// Arcs that begin here.
    pub arcs: std::ops::Range<u32>,
}

/// A rip that begins at a point.
#[derive(Clone, Copy, Debug)]
pub struct Arc {
    /// Index into [`Graph::rows`].
    pub row: u32,
    /// The point after it and its kerf; [`END`] if nothing more fits.
    pub next: u32,
}

/// A form of rip over one set of obstacles.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Row {
    /// Index of the form.
    pub form: u16,
    /// The number of the set of obstacles under the rip.
    pub set: u32,
    /// Indices of those, sorted.
    pub under: sync::Arc<[u16]>,
}

/// What the graphs of one board share while they are made.
#[derive(Debug, Default)]
pub struct Shared {
    /// Sets of obstacles under rips, each told by a number: rips over the same are many.
    sets: FxHashMap<sync::Arc<[u16]>, u32>,
    /// Points and arcs of the last graph: the next one is mostly about as large.
    last: (usize, usize),
    /// Queues that are not in use.
    queues: Vec<Queue>,
}

/// The first free places after rips of one form that may be followed by another one, ascending,
/// with the rips' arcs.
type Queue = VecDeque<(Length, u32)>;

impl Shared {
    /// The number of a set, and the set itself.
    fn set(&mut self, under: &[u16]) -> (u32, sync::Arc<[u16]>) {
        if let Some((known, &set)) = self.sets.get_key_value(under) {
            return (set, sync::Arc::clone(known));
        }
        let set = u32::try_from(self.sets.len()).unwrap_or(u32::MAX);
        let under: sync::Arc<[u16]> = under.into();
        self.sets.insert(sync::Arc::clone(&under), set);
        (set, under)
    }

    /// An empty graph with room for as much as the last one had.
    fn empty(&self, room: i64, follows: bool) -> Graph {
        let points = Vec::with_capacity(self.last.0);
        let arcs = Vec::with_capacity(self.last.1);
        Graph { points, arcs, room, follows, ..Graph::default() }
    }

    /// Takes back what a graph was made with, and leaves it no more room than it needs.
    fn put_back(&mut self, graph: &mut Graph, rips: Vec<Moving>) {
        self.last = (graph.points.len(), graph.arcs.len());
        graph.points.shrink_to_fit();
        graph.arcs.shrink_to_fit();
        for mut rip in rips {
            rip.next.clear();
            self.queues.push(rip.next);
        }
    }
}

/// The places and rips of a section.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    /// From the reference edge on; the first is where rips may begin.
    pub points: Vec<Point>,
    /// Arcs of all points.
    pub arcs: Vec<Arc>,
    /// The different rips.
    pub rows: Vec<Row>,
    /// What each row takes of the width, its kerf included, in units of length.
    pub takes: Vec<i64>,
    /// The width that there is to take, one kerf included, in units of length.
    pub room: i64,
    /// The rips follow a curve.
    pub follows: bool,
}

/// An obstacle as it lies across a section.
#[derive(Clone, Copy, Debug)]
pub struct Lying {
    /// Index of the obstacle.
    pub obstacle: u16,
    /// Its near side.
    pub near: Length,
    /// Its far side.
    pub far: Length,
}

/// A form of rip that moves across the board. There may be very many obstacles, few of them under
/// it at once.
struct Moving {
    width: Length,
    /// Not reached yet, the nearest last.
    ahead: Vec<Lying>,
    /// Under it.
    met: Vec<Lying>,
    /// Its row where it is; `None` until it is known, or what is under it has changed.
    row: Option<Option<u32>>,
    next: Queue,
}

impl Moving {
    /// Moves it to where it lies from `near` to `far`, neither of them less than before.
    fn to(&mut self, near: Length, far: Length) {
        while let Some(next) = self.ahead.pop_if(|l| l.near < far) {
            self.met.push(next);
            self.row = None;
        }
        if self.met.iter().any(|l| l.far <= near) {
            self.met.retain(|l| l.far > near);
            self.row = None;
        }
    }
}

/// The usable width of a section.
#[derive(Clone, Copy, Debug)]
pub struct Across {
    /// Where the first rip may begin.
    pub near: Length,
    /// Where the last rip may end.
    pub far: Length,
    /// Between two rips.
    pub kerf: Length,
    /// The rips follow a curve.
    pub follows: bool,
}

impl Across {
    /// Of sections that keep the board's edges; on a board with crook their rips follow it. Where the
    /// shop follows no curve there is no such section.
    pub fn kept(board: &Board, shop: &Shop) -> Across {
        let follows = board.crook != Length::ZERO;
        let far = board.width - shop.far_edge;
        Across { near: shop.edge, far, kerf: shop.kerf(follows), follows }
    }

    /// Of straight-lined sections of this length.
    pub fn lined(board: &Board, shop: &Shop, length: Length) -> Across {
        let crook = board.crook();
        let loss = crook.loss(length);
        let (near, far) = (shop.edge, board.width - shop.far_edge);
        let hollow = crook.gap > Length::ZERO;
        let (near, far) = if hollow { (near + loss, far) } else { (near, far - loss) };
        Across { near, far, kerf: shop.rip_kerf, follows: false }
    }
}

/// Builds the graph. `concerns(form, obstacle)` says whether the obstacle bars any strip of the
/// rip; `useful(row)` whether the rip could give a strip at all. If it is asked to stop, what it has
/// is a part of the graph.
pub fn graph(
    forms: &[RipForm],
    lying: &[Lying],
    across: Across,
    concerns: impl Fn(usize, u16) -> bool,
    mut useful: impl FnMut(&Row) -> bool,
    (shared, stop): (&mut Shared, &Stop),
) -> Graph {
    let room = (across.far - across.near + across.kerf).units();
    let mut graph = shared.empty(room, across.follows);
    let Some(narrowest) = forms.iter().map(|f| f.width_in(across.follows)).min() else {
        return graph;
    };
    let last_start = across.far - narrowest;
    // Far sides where a skipped rip may begin instead.
    let mut fars: Vec<Length> =
        lying.iter().map(|l| l.far).filter(|&f| across.near < f && f <= last_start).collect();
    fars.sort_unstable();
    fars.dedup();
    let mut nearest_last = lying.to_vec();
    nearest_last.sort_by_key(|l| std::cmp::Reverse(l.near));
    let mut rips: Vec<Moving> = (0..forms.len())
        .map(|f| Moving {
            width: forms[f].width_in(across.follows),
            ahead: nearest_last.iter().copied().filter(|l| concerns(f, l.obstacle)).collect(),
            met: Vec::new(),
            row: None,
            next: shared.queues.pop().unwrap_or_default(),
        })
        .collect();
    let mut rows: FxHashMap<(usize, u32), Option<u32>> = FxHashMap::default();
    let mut ids: Vec<u16> = Vec::new();
    let mut watch = stop.watch();
    let count = |n: usize| u32::try_from(n).unwrap_or(END);
    // Points in ascending order: what the rips of each form leave free ascends as they do. How many
    // far sides are passed, and from which point on the next one is not linked yet.
    let mut passed = 0;
    let mut unlinked = 0;
    let mut point = (across.near <= last_start).then_some(across.near);
    while let Some(at) = point {
        if watch.asked() {
            break;
        }
        let index = count(graph.points.len());
        if fars.get(passed) == Some(&at) {
            graph.points[unlinked..].iter_mut().for_each(|p| p.skip = index);
            unlinked = graph.points.len();
            passed += 1;
        }
        let first = count(graph.arcs.len());
        for (f, rip) in rips.iter_mut().enumerate() {
            while let Some(&(free, arc)) = rip.next.front()
                && free == at
            {
                graph.arcs[arc as usize].next = index;
                rip.next.pop_front();
            }
            let far = at + rip.width;
            if far > across.far {
                continue;
            }
            rip.to(at, far);
            let row = *rip.row.get_or_insert_with(|| {
                // Thousands may lie under it.
                watch.asked();
                ids.clear();
                ids.extend(rip.met.iter().map(|l| l.obstacle));
                ids.sort_unstable();
                let (set, under) = shared.set(&ids);
                *rows.entry((f, set)).or_insert_with(|| {
                    let row = Row { form: u16::try_from(f).unwrap_or(u16::MAX), set, under };
                    useful(&row).then(|| graph.add_row(row, rip.width + across.kerf))
                })
            });
            let Some(row) = row else { continue };
            let next = far + across.kerf;
            if next <= last_start {
                rip.next.push_back((next, count(graph.arcs.len())));
            }
            graph.arcs.push(Arc { row, next: END });
        }
        graph.points.push(Point { at, skip: END, arcs: first..count(graph.arcs.len()) });
        let free = rips.iter().filter_map(|rip| rip.next.front().map(|next| next.0));
        point = free.chain(fars.get(passed).copied()).min();
    }
    shared.put_back(&mut graph, rips);
    graph
}

impl Graph {
    /// Bytes that it takes, about.
    pub fn size(&self) -> usize {
        size_of::<Graph>()
            + size_of_val(self.points.as_slice())
            + size_of_val(self.arcs.as_slice())
            + size_of_val(self.rows.as_slice())
            + size_of_val(self.takes.as_slice())
    }

    /// The index of a new row, which takes so much of the width.
    fn add_row(&mut self, row: Row, takes: Length) -> u32 {
        self.rows.push(row);
        self.takes.push(takes.units());
        u32::try_from(self.rows.len() - 1).unwrap_or(u32::MAX)
    }
}
