//! The best places and placings for the strips of one blank.
//!
//! In order: depthwise bend least, grain rising all one way, sidewise bend least, left and right
//! weights equal, then both ends equal. Bends are compared in steps of [`STEP`], far below what a
//! string shows, so that a gain nobody can see never outweighs the next rule.
//!
//! A placing gives a strip any pair of signs (depthwise, sidewise), and rise goes with sidewise.
//! So three things come apart: which strips lie in which blade and on which side; depthwise signs;
//! sidewise signs. Grain can always rise one way: a known rise settles its strip's sidewise sign.
//! For each sharing of the strips between the blades, signs are a choice of one of two moments a
//! strip, and the bend is a convex function of the three sums of moments (through, blade A,
//! blade B); equal sums are kept once, and the best sum for blade B is found by halving. Moments
//! are whole numbers, so sums don't depend on their order and ties are exact.

use crate::glue::forecast::{Member, gap, stiff_sidewise};
use crate::stop::Stop;

/// Bends nearer than this count as equal: 0.01 mm.
pub const STEP: f64 = 1e-5;

/// Curvatures are whole numbers of 2⁻³⁴/m, stiffness of 2⁻³⁰ of the stiffest strip's.
const CURVE: f64 = 17_179_869_184.0;
const STIFF: f64 = 1_073_741_824.0;
/// Sharper curves than this (1/m) are no strips.
const SHARPEST: f64 = 8.0;
/// The most sums of one part of the blank that are weighed, and pairs of sums a blank.
const MOST_SUMS: usize = 4096;
const MOST_WORK: usize = 6_000_000;
/// The most ways of sharing strips between the blades that are weighed.
const MOST_WAYS: usize = 4096;

/// A strip to be placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Own depthwise curvature as it lies, 1/m.
    pub depthwise: f64,
    /// Own sidewise curvature as it lies, 1/m.
    pub sidewise: f64,
    /// Own rise of grain as it lies: +1, -1, 0 not known.
    pub rise: i8,
    /// Modulus of elasticity, in any one unit.
    pub modulus: f64,
    /// Weight, kg; 0 where it isn't known.
    pub weight: f64,
}

/// The strips of one lamination: one on the centreline, two through, or four in the blades.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Dressed thickness, m.
    pub thickness: f64,
    /// Rough depth, m.
    pub depth: f64,
    /// Inner edge of its right-hand place from the centreline, m; ignored for the centre.
    pub inner: f64,
    /// Its strips: 1, 2 or 4.
    pub pieces: Vec<Piece>,
    /// Flipped pairs, as indices of `pieces`.
    pub pairs: Vec<(usize, usize)>,
}

/// Where and how one piece of a row lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seat {
    /// Index of the piece.
    pub piece: usize,
    /// Is its depthwise bend as it lies, rather than reversed?
    pub depthwise_kept: bool,
    /// Is its sidewise bend as it lies?
    pub sidewise_kept: bool,
}

/// What placings are judged by, in order; less is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Merit {
    /// Depthwise bend of the blank, in steps.
    pub depthwise: i64,
    /// Strips whose grain is known to rise against the others.
    pub against: u32,
    /// Sidewise bend, in steps.
    pub sidewise: i64,
    /// Left against right, in tenths of a gram.
    pub balance: i64,
    /// End A against end B, in tenths of a gram.
    pub ends: i64,
}

/// Places and placings of one blank.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// For each row: the centre; left, right; or A left, A right, B left, B right.
    pub seats: Vec<Vec<Seat>>,
    /// How good they are.
    pub merit: Merit,
    /// Was every possibility weighed?
    pub proved: bool,
    /// How much was weighed to find them, in a measure that is the same on every machine.
    pub work: usize,
}

/// A bend in steps.
#[allow(clippy::cast_possible_truncation)]
pub fn steps(bend: f64) -> i64 {
    (bend.abs() / STEP).round() as i64
}

#[allow(clippy::cast_possible_truncation)]
fn tenths(weight: f64) -> i64 {
    (weight.abs() * 1e4).round() as i64
}

#[allow(clippy::cast_possible_truncation)]
fn whole(x: f64) -> i128 {
    x.round() as i128
}

/// Signed sums that can be reached, each with the least mask of reversed units, by sum.
type Sums = Vec<(i128, u64)>;

/// Adds units that count plus or minus to a fixed sum.
fn sums(fixed: i128, units: &[i128], all: &mut bool) -> Sums {
    let mut sums: Sums = vec![(fixed, 0)];
    for (bit, &unit) in units.iter().enumerate() {
        let flag = 1_u64.checked_shl(u32::try_from(bit).unwrap_or(64)).unwrap_or(0);
        let mut next: Sums = Vec::with_capacity(sums.len() * 2);
        next.extend(sums.iter().map(|&(sum, mask)| (sum + unit, mask)));
        // Past the 64th unit there is no flag left to reverse.
        if flag != 0 {
            next.extend(sums.iter().map(|&(sum, mask)| (sum - unit, mask | flag)));
        } else {
            *all = false;
        }
        next.sort_unstable();
        next.dedup_by_key(|s| s.0);
        if next.len() > MOST_SUMS {
            *all = false;
            next.sort_unstable_by_key(|s| (s.0.abs(), s.0));
            next.truncate(MOST_SUMS);
            next.sort_unstable();
        }
        sums = next;
    }
    sums
}

/// The least bend in steps over one sum of each part, and the masks that give it.
#[allow(clippy::cast_precision_loss)]
fn least(
    parts: [&Sums; 3],
    stiff: [f64; 3],
    lengths: [f64; 3],
    (work, stop): (&mut usize, &Stop),
) -> (i64, [u64; 3]) {
    let [through, a, b] = parts;
    let curve =
        |top: i128, stiff: f64| if stiff > 0.0 { top as f64 / (stiff * CURVE) } else { 0.0 };
    let bend = |t: i128, a: i128, b: i128| {
        let curves = [curve(t + a, stiff[0]), curve(t, stiff[1]), curve(t + b, stiff[2])];
        gap(curves, lengths).abs()
    };
    let near = |sums: &Sums| {
        let mut order = sums.clone();
        order.sort_unstable_by_key(|s| (s.0.abs(), s.1));
        order
    };
    let mut best: Option<(f64, [u64; 3])> = None;
    for (t, through_mask) in near(through) {
        for (a, a_mask) in near(a) {
            *work = work.saturating_add(1);
            // The bend is convex in the sum of blade B.
            let (mut low, mut high) = (0, b.len() - 1);
            while low < high {
                let middle = usize::midpoint(low, high);
                if bend(t, a, b[middle].0) <= bend(t, a, b[middle + 1].0) {
                    high = middle;
                } else {
                    low = middle + 1;
                }
            }
            let found = bend(t, a, b[low].0);
            if best.is_none_or(|(least, _)| found < least) {
                best = Some((found, [through_mask, a_mask, b[low].1]));
                if steps(found) == 0 {
                    return (0, [through_mask, a_mask, b[low].1]);
                }
            }
        }
        if *work > MOST_WORK || stop.asked() {
            break;
        }
    }
    best.map_or((0, [0; 3]), |(found, masks)| (steps(found), masks))
}

/// One sharing of a row's pieces: indices in the order of the seats.
type Share = Vec<usize>;

/// Every way that matters of sharing a row's pieces between the blades, left below right.
fn shares(row: &Row) -> Vec<Share> {
    if row.pieces.len() != 4 {
        return vec![(0..row.pieces.len()).collect()];
    }
    let mut shares: Vec<Share> = Vec::new();
    let mut seen: Vec<[Piece; 4]> = Vec::new();
    for [i, j, k, l] in
        [[0, 1, 2, 3], [2, 3, 0, 1], [0, 2, 1, 3], [1, 3, 0, 2], [0, 3, 1, 2], [1, 2, 0, 3]]
    {
        let together = |x, y| (x, y) == (i, j) || (x, y) == (k, l);
        if !row.pairs.iter().all(|&(x, y)| together(x.min(y), x.max(y))) {
            continue;
        }
        let order = |a: usize, b: usize| {
            let (p, q) = (row.pieces[a], row.pieces[b]);
            let key = |p: Piece| [p.depthwise, p.sidewise, f64::from(p.rise), p.modulus, p.weight];
            let first = key(p).iter().zip(key(q)).map(|(x, y)| x.total_cmp(&y)).find(|o| o.is_ne());
            if first.is_some_and(std::cmp::Ordering::is_gt) { [q, p] } else { [p, q] }
        };
        let ([a, b], [c, d]) = (order(i, j), order(k, l));
        let look = [a, b, c, d];
        // Pieces in a flipped pair are not free to change partners with their like.
        if row.pairs.is_empty() && seen.contains(&look) {
            continue;
        }
        seen.push(look);
        shares.push(vec![i, j, k, l]);
    }
    if shares.is_empty() {
        shares.push(vec![0, 1, 2, 3]);
    }
    shares
}

/// Which part of the blank a seat lies in: 0 through, 1 blade A, 2 blade B.
fn part(row: &Row, seat: usize) -> usize {
    match (row.pieces.len(), seat) {
        (4, 0 | 1) => 1,
        (4, _) => 2,
        _ => 0,
    }
}

struct Search<'a> {
    rows: &'a [Row],
    lengths: [f64; 3],
    /// The stiffest strip's E·I depthwise and sidewise.
    unit: (f64, f64),
    /// The way that known grain rises.
    rise: i8,
    /// Asks for an early end.
    stop: &'a Stop,
}

/// A unit of the choice of signs: one strip, or a flipped pair of which the second is reversed.
struct Unit {
    moment: i128,
    seats: Vec<(usize, usize, bool)>,
}

impl Search<'_> {
    fn member(&self, row: &Row, piece: usize, seat: usize) -> Member {
        let p = row.pieces[piece];
        let (left, right) = match (row.pieces.len(), seat % 2) {
            (1, _) => (-row.thickness / 2.0, row.thickness / 2.0),
            (_, 0) => (-row.inner - row.thickness, -row.inner),
            _ => (row.inner, row.inner + row.thickness),
        };
        Member {
            left,
            right,
            depth: row.depth,
            modulus: p.modulus,
            sidewise: p.sidewise,
            depthwise: p.depthwise,
        }
    }

    fn stiff(&self, row: &Row, piece: usize) -> (i128, i128) {
        let m = self.member(row, piece, 0);
        let of = |ei: f64, unit: f64| if unit > 0.0 { whole(ei / unit * STIFF) } else { 0 };
        (of(m.stiff_depthwise(), self.unit.0), of(m.stiff_sidewise(), self.unit.1))
    }

    fn curve(curvature: f64) -> i128 {
        let k = if curvature.is_finite() { curvature } else { 0.0 };
        whole(k.clamp(-SHARPEST, SHARPEST) * CURVE)
    }

    /// Units of the depthwise signs in each part.
    fn deep_units(&self, shares: &[&Share]) -> [Vec<Unit>; 3] {
        let mut units = [Vec::new(), Vec::new(), Vec::new()];
        for (r, (row, share)) in self.rows.iter().zip(shares).enumerate() {
            let moment =
                |piece: usize| self.stiff(row, piece).0 * Self::curve(row.pieces[piece].depthwise);
            for (seat, &piece) in share.iter().enumerate() {
                let pair = row.pairs.iter().find(|p| p.0 == piece || p.1 == piece);
                let Some(&(x, y)) = pair else {
                    let seats = vec![(r, seat, true)];
                    units[part(row, seat)].push(Unit { moment: moment(piece), seats });
                    continue;
                };
                let other = if x == piece { y } else { x };
                let Some(at) = share.iter().position(|&p| p == other) else { continue };
                if seat < at {
                    // They lie so that their bends are against one another: measured strips may
                    // bend to opposite sides as they lie.
                    let alike = row.pieces[piece].depthwise * row.pieces[other].depthwise >= 0.0;
                    let seats = vec![(r, seat, true), (r, at, !alike)];
                    let other = if alike { -moment(other) } else { moment(other) };
                    let moment = moment(piece) + other;
                    units[part(row, seat)].push(Unit { moment, seats });
                }
            }
        }
        units
    }

    /// Units of the sidewise signs in each part, and what strips of known rise come to.
    fn side_units(&self, shares: &[&Share]) -> [(i128, Vec<Unit>); 3] {
        let mut units = [(0, Vec::new()), (0, Vec::new()), (0, Vec::new())];
        for (r, (row, share)) in self.rows.iter().zip(shares).enumerate() {
            for (seat, &piece) in share.iter().enumerate() {
                let p = row.pieces[piece];
                let moment = self.stiff(row, piece).1 * Self::curve(p.sidewise);
                let (fixed, free) = &mut units[part(row, seat)];
                if p.rise == 0 {
                    free.push(Unit { moment, seats: vec![(r, seat, true)] });
                } else {
                    *fixed += i128::from(p.rise * self.rise) * moment;
                }
            }
        }
        units
    }

    /// Stiffness of blade A, loom and blade B, depthwise and sidewise, in units.
    fn sections(&self, shares: &[&Share]) -> ([f64; 3], [f64; 3]) {
        let mut sections: [Vec<Member>; 3] = [Vec::new(), Vec::new(), Vec::new()];
        for (row, share) in self.rows.iter().zip(shares) {
            for (seat, &piece) in share.iter().enumerate() {
                let m = self.member(row, piece, seat);
                match part(row, seat) {
                    0 => sections.iter_mut().for_each(|s| s.push(m)),
                    1 => sections[0].push(m),
                    _ => sections[2].push(m),
                }
            }
        }
        let ratio = |ei: f64, unit: f64| if unit > 0.0 { ei / unit * STIFF } else { 0.0 };
        let deep = |s: &Vec<Member>| ratio(crate::glue::forecast::stiff_depthwise(s), self.unit.0);
        let side = |s: &Vec<Member>| ratio(stiff_sidewise(s), self.unit.1);
        (sections.each_ref().map(deep), sections.each_ref().map(side))
    }

    /// Left against right and end against end.
    fn weights(&self, shares: &[&Share]) -> (i64, i64) {
        let (mut lean, mut ends) = (0.0, 0.0);
        for (row, share) in self.rows.iter().zip(shares) {
            for (seat, &piece) in share.iter().enumerate() {
                let w = row.pieces[piece].weight;
                if row.pieces.len() > 1 {
                    lean += if seat % 2 == 0 { -w } else { w };
                }
                match part(row, seat) {
                    1 => ends -= w,
                    2 => ends += w,
                    _ => {}
                }
            }
        }
        (tenths(lean), tenths(ends))
    }

    /// Which mirrored places hold strips that differ in modulus or weight: (row, left seat).
    fn mixed(&self, shares: &[&Share]) -> Vec<(usize, usize)> {
        let mut mixed = Vec::new();
        for (r, (row, share)) in self.rows.iter().zip(shares).enumerate() {
            for seat in (0..share.len().saturating_sub(1)).step_by(2) {
                let (p, q) = (row.pieces[share[seat]], row.pieces[share[seat + 1]]);
                let same = p.modulus.total_cmp(&q.modulus).is_eq()
                    && p.weight.total_cmp(&q.weight).is_eq();
                if !same {
                    mixed.push((r, seat));
                }
            }
        }
        mixed
    }
}

/// Which seats a mask reverses.
fn reversed(units: &[Unit], mask: u64) -> impl Iterator<Item = (usize, usize, bool)> + '_ {
    units.iter().enumerate().flat_map(move |(bit, unit)| {
        let turn = bit < 64 && (mask >> bit) & 1 == 1;
        unit.seats.iter().map(move |&(r, s, kept)| (r, s, kept != turn))
    })
}

/// Finds the best places and placings for the strips of one blank. `lengths` are those of the
/// blade at A, the loom and the blade at B, in metres.
pub fn place(rows: &[Row], lengths: [f64; 3]) -> Placed {
    place_until(rows, lengths, &Stop::default())
}

/// The same until it is stopped: then the best so far, which is not proved.
pub fn place_until(rows: &[Row], lengths: [f64; 3], stop: &Stop) -> Placed {
    let mut search = Search { rows, lengths, unit: (0.0, 0.0), rise: 1, stop };
    let mut rises = 0_i64;
    for row in rows {
        for (i, p) in row.pieces.iter().enumerate() {
            let m = search.member(row, i, 0);
            search.unit.0 = search.unit.0.max(m.stiff_depthwise());
            search.unit.1 = search.unit.1.max(m.stiff_sidewise());
            rises += i64::from(p.rise);
        }
    }
    search.rise = if rises < 0 { -1 } else { 1 };
    let choices: Vec<Vec<Share>> = rows.iter().map(shares).collect();
    let (mut proved, mut work) = (true, 0);
    let mut best: Option<(Merit, Vec<Vec<Seat>>)> = None;
    let mut deep_best = i64::MAX;
    let mut digits = vec![0_usize; rows.len()];
    for way in 0.. {
        // The first way is weighed whatever is asked: strips have to lie somehow.
        if way == MOST_WAYS || work > MOST_WORK || way > 0 && stop.asked() {
            proved = false;
            break;
        }
        let picked: Vec<&Share> = choices.iter().zip(&digits).map(|(c, &d)| &c[d]).collect();
        search.weigh(&picked, &mut deep_best, &mut best, &mut proved, &mut work);
        // The next way, as an odometer counts.
        let Some(at) = (0..digits.len()).find(|&i| digits[i] + 1 < choices[i].len()) else { break };
        digits[..at].fill(0);
        digits[at] += 1;
    }
    let nothing = Merit { depthwise: 0, against: 0, sidewise: 0, balance: 0, ends: 0 };
    let (merit, seats) = best.unwrap_or((nothing, Vec::new()));
    let proved = proved && work <= MOST_WORK && !stop.asked();
    Placed { seats, merit, proved, work }
}

impl Search<'_> {
    /// Weighs one sharing between the blades, and keeps it if it is the best so far.
    fn weigh(
        &self,
        picked: &[&Share],
        deep_best: &mut i64,
        best: &mut Option<(Merit, Vec<Vec<Seat>>)>,
        proved: &mut bool,
        work: &mut usize,
    ) {
        *work = work.saturating_add(64);
        let moments = |units: &[Unit]| units.iter().map(|u| u.moment).collect::<Vec<_>>();
        let deep = self.deep_units(picked);
        let deep_sums = deep.each_ref().map(|u| sums(0, &moments(u), proved));
        let stiff = self.sections(picked).0;
        let (bend, deep_masks) =
            least(deep_sums.each_ref(), stiff, self.lengths, (work, self.stop));
        if bend > *deep_best {
            return;
        }
        *deep_best = bend;
        let mixed = self.mixed(picked);
        let side = self.side_units(picked);
        let side_sums = side.each_ref().map(|(fixed, u)| sums(*fixed, &moments(u), proved));
        // The mirror image is as good, so the first mixed places may stay as they are.
        let swaps = u32::try_from(mixed.len().saturating_sub(1)).unwrap_or(u32::MAX);
        if swaps > 10 {
            *proved = false;
        }
        let mut plain: Option<(i64, [u64; 3])> = None;
        for swap in 0..1_u32 << swaps.min(10) {
            if swap > 0 && self.stop.asked() {
                *proved = false;
                break;
            }
            let mut shares: Vec<Share> = picked.iter().map(|&s| s.clone()).collect();
            for (bit, &(row, seat)) in mixed.iter().skip(1).take(10).enumerate() {
                if (swap >> bit) & 1 == 1 {
                    shares[row].swap(seat, seat + 1);
                }
            }
            let view: Vec<&Share> = shares.iter().collect();
            let found = match plain {
                Some(found) if mixed.is_empty() => found,
                _ => {
                    let stiff = self.sections(&view).1;
                    least(side_sums.each_ref(), stiff, self.lengths, (&mut *work, self.stop))
                }
            };
            plain = Some(found);
            let (balance, ends) = self.weights(&view);
            let merit = Merit { depthwise: bend, against: 0, sidewise: found.0, balance, ends };
            if best.as_ref().is_none_or(|(least, _)| merit < *least) {
                let seats = self.seats(picked, &shares, (&deep, deep_masks), (&side, found.1));
                *best = Some((merit, seats));
            }
        }
    }

    /// Seats from masks. Signs belong to strips: swapped strips take theirs along.
    fn seats(
        &self,
        picked: &[&Share],
        shares: &[Share],
        (deep, deep_masks): (&[Vec<Unit>; 3], [u64; 3]),
        (side, side_masks): (&[(i128, Vec<Unit>); 3], [u64; 3]),
    ) -> Vec<Vec<Seat>> {
        let seat = |(row, &piece): (&Row, &usize)| {
            let rise = row.pieces[piece].rise;
            Seat { piece, depthwise_kept: true, sidewise_kept: rise == 0 || rise == self.rise }
        };
        let mut signs: Vec<Vec<Seat>> = self
            .rows
            .iter()
            .zip(picked)
            .map(|(row, share)| share.iter().map(|p| seat((row, p))).collect())
            .collect();
        for part in 0..3 {
            for (r, s, kept) in reversed(&deep[part], deep_masks[part]) {
                signs[r][s].depthwise_kept = kept;
            }
            for (r, s, kept) in reversed(&side[part].1, side_masks[part]) {
                signs[r][s].sidewise_kept = kept;
            }
        }
        let of = |r: usize, piece: usize| signs[r].iter().copied().find(|s| s.piece == piece);
        shares
            .iter()
            .enumerate()
            .map(|(r, share)| share.iter().filter_map(|&piece| of(r, piece)).collect())
            .collect()
    }
}
