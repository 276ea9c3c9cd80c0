//! Where rips can lie across a section (MODEL 4).
//!
//! A rip is pushed towards the reference edge until it meets the section's usable edge, the far
//! side of an obstacle, or its neighbour and a kerf. The places that this leaves are the points
//! of a graph; its arcs are rips.

use crate::cut::serve::RipForm;
use crate::length::Length;
use crate::stop::Stop;
use rustc_hash::FxHashMap;
use std::collections::BTreeMap;

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
    /// Indices of the obstacles under the rip, sorted.
    pub under: Vec<u16>,
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

/// What lies under a rip that moves across the board: there may be very many obstacles, few of
/// them under it at once.
struct Under {
    /// Not reached yet, the nearest last.
    ahead: Vec<Lying>,
    /// Under it.
    met: Vec<Lying>,
}

impl Under {
    fn new(mut ahead: Vec<Lying>) -> Under {
        ahead.sort_by_key(|l| std::cmp::Reverse(l.near));
        Under { ahead, met: Vec::new() }
    }

    /// What lies under the rip from `near` to `far`, neither of them less than before.
    fn at(&mut self, near: Length, far: Length) -> &[Lying] {
        while let Some(next) = self.ahead.pop_if(|l| l.near < far) {
            self.met.push(next);
        }
        self.met.retain(|l| l.far > near);
        &self.met
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

/// Builds the graph. `concerns(form, obstacle)` says whether the obstacle bars any strip of the
/// rip; `useful(row)` whether the rip could give a strip at all. If it is asked to stop, what it has
/// is a part of the graph.
pub fn graph(
    forms: &[RipForm],
    lying: &[Lying],
    across: Across,
    concerns: impl Fn(usize, u16) -> bool,
    mut useful: impl FnMut(&Row) -> bool,
    stop: &Stop,
) -> Graph {
    let room = (across.far - across.near + across.kerf).units();
    let mut graph = Graph { room, follows: across.follows, ..Graph::default() };
    let Some(narrowest) = forms.iter().map(|f| f.width_in(across.follows)).min() else {
        return graph;
    };
    let last_start = across.far - narrowest;
    // Far sides where a skipped rip may begin instead.
    let mut fars: Vec<Length> = lying.iter().map(|l| l.far).filter(|&f| f <= last_start).collect();
    fars.sort_unstable();
    fars.dedup();
    let mut under: Vec<Under> = (0..forms.len())
        .map(|f| Under::new(lying.iter().copied().filter(|l| concerns(f, l.obstacle)).collect()))
        .collect();
    let mut rows: FxHashMap<Row, Option<u32>> = FxHashMap::default();
    // Points are reached in ascending order, so each is complete when it is taken.
    let mut waiting: BTreeMap<Length, ()> = BTreeMap::new();
    let mut arcs: Vec<(Length, u32, Length)> = Vec::new();
    let mut skips: Vec<(Length, Option<Length>)> = Vec::new();
    if across.near <= last_start {
        waiting.insert(across.near, ());
    }
    while let Some((at, ())) = waiting.pop_first() {
        // Under a rip there may be thousands: each point is looked at before the clock again.
        if stop.asked() {
            break;
        }
        let skip = fars.get(fars.partition_point(|&f| f <= at)).copied();
        if let Some(skip) = skip {
            waiting.insert(skip, ());
        }
        skips.push((at, skip));
        for (f, form) in forms.iter().enumerate() {
            let width = form.width_in(across.follows);
            let far = at + width;
            if far > across.far {
                continue;
            }
            let mut ids: Vec<u16> = under[f].at(at, far).iter().map(|l| l.obstacle).collect();
            ids.sort_unstable();
            let row = Row { form: u16::try_from(f).unwrap_or(u16::MAX), under: ids };
            let known = rows.get(&row).copied();
            let index = known.unwrap_or_else(|| {
                let index = useful(&row).then(|| graph.add_row(&row, width + across.kerf));
                rows.insert(row, index);
                index
            });
            let Some(index) = index else { continue };
            let next = far + across.kerf;
            if next <= last_start {
                waiting.insert(next, ());
            }
            arcs.push((at, index, next));
        }
    }
    graph.link(&skips, &arcs);
    graph
}

impl Graph {
    /// Makes points of the places reached, and arcs of the rips that begin there: both in
    /// ascending order.
    fn link(&mut self, skips: &[(Length, Option<Length>)], arcs: &[(Length, u32, Length)]) {
        let place: FxHashMap<Length, u32> =
            skips.iter().enumerate().map(|(i, s)| (s.0, u32::try_from(i).unwrap_or(END))).collect();
        let index = |at: Length| place.get(&at).copied().unwrap_or(END);
        let mut arcs = arcs.iter().peekable();
        for &(at, skip) in skips {
            let first = u32::try_from(self.arcs.len()).unwrap_or(END);
            while let Some(&(_, row, next)) = arcs.next_if(|a| a.0 == at) {
                self.arcs.push(Arc { row, next: index(next) });
            }
            let last = u32::try_from(self.arcs.len()).unwrap_or(END);
            self.points.push(Point { at, skip: skip.map_or(END, index), arcs: first..last });
        }
    }

    /// The index of a new row, which takes so much of the width.
    fn add_row(&mut self, row: &Row, takes: Length) -> u32 {
        self.rows.push(row.clone());
        self.takes.push(takes.units());
        u32::try_from(self.rows.len() - 1).unwrap_or(u32::MAX)
    }
}
