//! Which strips go into which of several blanks, and which stay over as spares.

use crate::glue::placing::{Placed, Row, place_until};
use crate::stop::Stop;
use rayon::prelude::*;

/// A strip of a lamination's stock, as the sharing sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// The strip as the placing sees it.
    pub piece: crate::glue::placing::Piece,
    /// Its wood's name, so that mirrored strips are of one wood where they can be.
    pub wood: String,
    /// The other strip of its flipped pair, as an index into the same stock.
    pub partner: Option<usize>,
}

/// Strips that go together: one, or two for mirrored places.
type Bundle = Vec<usize>;

/// How much may be weighed to share better, in [`Placed::work`]: a second or so.
const EFFORT: usize = 2_000_000;

/// Takes the worst strips out as spares, so many that `need` are left. Flipped pairs go whole.
/// Returns (kept, spares), both in the order of the stock.
pub fn set_aside(stock: &[Stock], need: usize) -> (Vec<usize>, Vec<usize>) {
    let mut order: Vec<usize> = (0..stock.len()).collect();
    let bend = |i: usize| (stock[i].piece.depthwise.abs(), stock[i].piece.sidewise.abs());
    order.sort_by(|&a, &b| {
        let (x, y) = (bend(a), bend(b));
        y.0.total_cmp(&x.0).then(y.1.total_cmp(&x.1)).then(b.cmp(&a))
    });
    let mut out = vec![false; stock.len()];
    let mut left = stock.len().saturating_sub(need);
    for i in order {
        match stock[i].partner {
            _ if out[i] => {}
            None if left >= 1 => {
                out[i] = true;
                left -= 1;
            }
            Some(other) if left >= 2 => {
                (out[i], out[other]) = (true, true);
                left -= 2;
            }
            _ => {}
        }
    }
    (0..stock.len()).partition(|&i| !out[i])
}

/// Bundles for mirrored places: flipped pairs, and other strips two by two of like wood and bend.
fn bundles(stock: &[Stock], kept: &[usize], single: bool) -> Vec<Bundle> {
    let size = |i: usize| stock[i].piece.depthwise.abs();
    let mut alone: Vec<usize> =
        kept.iter().copied().filter(|&i| single || stock[i].partner.is_none()).collect();
    alone.sort_by(|&a, &b| {
        stock[a].wood.cmp(&stock[b].wood).then(size(b).total_cmp(&size(a))).then(a.cmp(&b))
    });
    if single {
        return alone.into_iter().map(|i| vec![i]).collect();
    }
    let mut bundles: Vec<Bundle> = kept
        .iter()
        .filter_map(|&i| stock[i].partner.filter(|&j| i < j).map(|j| vec![i, j]))
        .collect();
    bundles.extend(alone.chunks(2).map(<[usize]>::to_vec));
    let rest = |b: &Bundle| match b[..] {
        [i, j] => (size(i) - size(j)).abs(),
        _ => 0.0,
    };
    bundles.sort_by(|a, b| {
        let wood = |b: &Bundle| stock[b[0]].wood.clone();
        wood(a).cmp(&wood(b)).then(rest(b).total_cmp(&rest(a))).then(a.cmp(b))
    });
    bundles
}

/// A lamination to be shared among blanks.
#[derive(Clone, Debug)]
pub struct Pool {
    /// The row of one blank, without its strips.
    pub row: Row,
    /// Strips in one blank: 1, 2 or 4.
    pub each: usize,
    /// Every strip of the lamination.
    pub stock: Vec<Stock>,
}

/// One blank: for each lamination the stock indices in it, and how they lie.
#[derive(Clone, Debug)]
pub struct Shared {
    /// For each lamination, the strips in it.
    pub strips: Vec<Vec<usize>>,
    /// How they lie; pieces are indices into `strips`.
    pub placed: Placed,
}

fn solve(pools: &[Pool], blank: &[Vec<Bundle>], lengths: [f64; 3], stop: &Stop) -> Shared {
    let strips: Vec<Vec<usize>> = blank.iter().map(|b| b.concat()).collect();
    let rows: Vec<Row> = pools
        .iter()
        .zip(&strips)
        .map(|(pool, strips)| {
            let at = |stock: usize| strips.iter().position(|&s| s == stock);
            let pair = |(i, &s): (usize, &usize)| {
                let j = pool.stock[s].partner.and_then(at)?;
                (i < j).then_some((i, j))
            };
            Row {
                pieces: strips.iter().map(|&s| pool.stock[s].piece).collect(),
                pairs: strips.iter().enumerate().filter_map(pair).collect(),
                ..pool.row.clone()
            }
        })
        .collect();
    Shared { placed: place_until(&rows, lengths, stop), strips }
}

/// Shares the strips of every lamination among so many blanks, so that the worst blank is as good
/// as exchanges of strips between it and the others can make it. Every pool must hold enough.
///
/// Returns the blanks, for each lamination the strips set aside, and whether it was stopped before
/// all exchanges were tried that are meant to be.
pub fn share(
    pools: &[Pool],
    blanks: usize,
    lengths: [f64; 3],
    stop: &Stop,
) -> (Vec<Shared>, Vec<Vec<usize>>, bool) {
    let mut dealt: Vec<Vec<Vec<Bundle>>> = vec![vec![Vec::new(); pools.len()]; blanks];
    let mut spares = Vec::new();
    for (l, pool) in pools.iter().enumerate() {
        let (kept, over) = set_aside(&pool.stock, pool.each * blanks);
        spares.push(over);
        let all = bundles(&pool.stock, &kept, pool.each == 1);
        let each = pool.each.div_ceil(2);
        let one_wood = kept.windows(2).all(|w| pool.stock[w[0]].wood == pool.stock[w[1]].wood);
        for (n, bundle) in all.into_iter().enumerate() {
            // Of one wood: out and back, so that a bad one meets a good one. Else wood by wood.
            let (turn, place) = (n / blanks.max(1), n % blanks.max(1));
            let back = if turn % 2 == 0 { place } else { blanks - 1 - place };
            let blank = if one_wood { back } else { n / each };
            if let Some(blank) = dealt.get_mut(blank) {
                blank[l].push(bundle);
            }
        }
    }
    let mut shared: Vec<Shared> =
        dealt.par_iter().map(|b| solve(pools, b, lengths, stop)).collect();
    let whole = improve(pools, lengths, (&mut dealt, &mut shared), stop);
    (shared, spares, !whole)
}

/// Exchanges bundles, and single strips of bundles, between the worst blank and the others while
/// the worse of the two gets better: one exchange at a time, two where no one helps. Was it left to
/// end by itself?
fn improve(
    pools: &[Pool],
    lengths: [f64; 3],
    (dealt, shared): (&mut [Vec<Vec<Bundle>>], &mut [Shared]),
    stop: &Stop,
) -> bool {
    let mut effort = 0;
    let key = |s: &Shared| (s.placed.merit.depthwise, s.placed.merit.sidewise);
    while let Some(worst) = (0..shared.len()).max_by_key(|&b| (key(&shared[b]), usize::MAX - b)) {
        if key(&shared[worst]).0 == 0 {
            return true;
        }
        let mut found = None;
        'search: for two in [false, true] {
            for other in (0..dealt.len()).filter(|&o| o != worst) {
                let before = key(&shared[worst]).max(key(&shared[other]));
                let start = [dealt[worst].clone(), dealt[other].clone()];
                for moves in moves(pools, &start, two) {
                    if stop.asked() {
                        return false;
                    }
                    let mut pair = start.clone();
                    moves.iter().for_each(|m| m.make(&mut pair));
                    let solved = pair.each_ref().map(|b| solve(pools, b, lengths, stop));
                    effort += solved.iter().map(|s| s.placed.work).sum::<usize>();
                    if solved.iter().map(key).max() < Some(before) {
                        found = Some((other, pair, solved));
                        break 'search;
                    }
                    if effort > EFFORT {
                        return true;
                    }
                }
            }
        }
        let Some((other, pair, solved)) = found else { return true };
        [dealt[worst], dealt[other]] = pair;
        [shared[worst], shared[other]] = solved;
    }
    true
}

/// An exchange between two blanks in one lamination: a whole bundle of each, or one strip of each.
#[derive(Clone, Copy, Debug)]
struct Exchange {
    lamination: usize,
    bundles: (usize, usize),
    strips: Option<(usize, usize)>,
}

impl Exchange {
    fn make(self, [one, two]: &mut [Vec<Vec<Bundle>>; 2]) {
        let (i, j) = self.bundles;
        let (a, b) = (&mut one[self.lamination][i], &mut two[self.lamination][j]);
        match self.strips {
            None => std::mem::swap(a, b),
            Some((x, y)) => std::mem::swap(&mut a[x], &mut b[y]),
        }
    }
}

/// Every exchange, or every two of them. Two of one lamination may share a bundle; what they make
/// is then still an exchange.
fn moves(
    pools: &[Pool],
    [one, two]: &[Vec<Vec<Bundle>>; 2],
    twice: bool,
) -> impl Iterator<Item = Vec<Exchange>> {
    let all: Vec<Exchange> =
        (0..pools.len()).flat_map(|l| exchanges(pools, &one[l], &two[l], l)).collect();
    let singles = all.clone();
    (0..all.len()).flat_map(move |i| {
        let second: Vec<Exchange> = if twice { all[i + 1..].to_vec() } else { Vec::new() };
        let first = singles[i];
        let alone = (!twice).then(|| vec![first]);
        // A flipped pair that a first exchange moved must not be taken apart by a second.
        let apart = move |e: &Exchange| {
            e.lamination != first.lamination || (e.strips.is_some() && first.strips.is_some())
        };
        alone.into_iter().chain(second.into_iter().filter(apart).map(move |e| vec![first, e]))
    })
}

fn exchanges(pools: &[Pool], one: &[Bundle], two: &[Bundle], lamination: usize) -> Vec<Exchange> {
    let stock = &pools[lamination].stock;
    let free = |b: &Bundle| b.iter().all(|&s| stock[s].partner.is_none());
    let same = |a: usize, b: usize| stock[a].piece == stock[b].piece;
    let mut list: Vec<Exchange> = Vec::new();
    for (i, a) in one.iter().enumerate() {
        for (j, b) in two.iter().enumerate() {
            let mut add = |strips| list.push(Exchange { lamination, bundles: (i, j), strips });
            let alike = a.len() == b.len() && a.iter().zip(b).all(|(&x, &y)| same(x, y));
            if !alike {
                add(None);
            }
            if free(a) && free(b) && a.len() > 1 {
                for (x, &s) in a.iter().enumerate() {
                    for (y, &t) in b.iter().enumerate() {
                        if !same(s, t) {
                            add(Some((x, y)));
                        }
                    }
                }
            }
        }
    }
    list
}
