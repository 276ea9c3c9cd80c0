//! Are these boards enough? The question left once every board's fate is decided.
//!
//! With prices π, boards that are enough satisfy `Σ most(π) ≥ π·need`. If some prices break that
//! ([`crate::choose::tight`]), they are not enough. If none do, then in any choice that is enough
//! each board's way comes within `δ = Σ most(π) − π·need` of the most it could come to: a short
//! list of ways when π is the tightest found.

use crate::choose::ascend::Decided;
use crate::choose::cover::{Choice, Cover, Fate, Lot, Stock, Way, worth};
use crate::choose::dive::Dive;
use crate::choose::sums::{self, Part, Summed};
use crate::choose::tight::{Asked, Tightened, exact_slack, tighten};
use crate::cut::list::Floor;

/// The answer.
pub enum Enough {
    /// They are, so cut.
    Yes(Choice),
    /// They are not, in no way of cutting them.
    No,
    /// Not sure yet.
    Maybe(Maybe),
}

/// What is known where it isn't sure whether boards are enough.
pub struct Maybe {
    /// The boards.
    pub boards: Vec<usize>,
    /// Prices near the tightest found, that one last, in price parts.
    pub near: Vec<Vec<i64>>,
}

/// Steps towards the tightest prices.
const STEPS: usize = 160;
/// More ways than this for one board are not worth listing here.
const WAYS: usize = 20_000;
/// Sums that go on from board to board, and additions in all.
const SUMS: usize = 100_000;
const ADDED: u64 = 200_000_000;

/// Decides whether the boards that must be opened are enough.
pub fn enough(
    cover: &Cover<'_>,
    decided: &Decided,
    first_prices: &[f64],
    scales: &[f64],
    stop: &(dyn Fn() -> bool + Sync),
) -> (Enough, Vec<(usize, Way)>) {
    let boards: Vec<usize> =
        (0..cover.stock.len()).filter(|&b| decided.fates[b] == Fate::In).collect();
    let mut met: Vec<(usize, Way)> = Vec::new();
    let asked = Asked { need: &cover.need, boards: &boards, decided, scales };
    let all = |ways: Vec<(usize, Way)>| {
        let mut choice: Choice = vec![None; cover.stock.len()];
        ways.into_iter().for_each(|(b, way)| choice[b] = Some(way));
        choice
    };
    let tight = match tighten(cover, asked, first_prices, STEPS, &mut met) {
        Tightened::Short(_) => return (Enough::No, met),
        Tightened::Enough(ways) => {
            return (Enough::Yes(all(boards.iter().copied().zip(ways).collect())), met);
        }
        Tightened::Open(tight) => tight,
    };
    let mut dive = Dive::new(cover, (decided, scales), boards.len(), stop, met);
    let found = match dive.together(&cover.need, &boards, &tight) {
        Some(None) => return (Enough::No, dive.met),
        Some(found) => found,
        None => dive.from(&cover.need, &boards, &tight),
    };
    let met = dive.met;
    if let Some(ways) = found {
        return (Enough::Yes(all(ways)), met);
    }
    (Enough::Maybe(Maybe { boards, near: tight.near }), met)
}

/// A cover of these boards alone, each a lot of its own.
fn only<'a>(cover: &Cover<'a>, boards: &[usize], ways: impl Fn(usize) -> Vec<Way>) -> Cover<'a> {
    let lots = boards
        .iter()
        .map(|&b| Lot { cuts: None, cost: cover.lot(b).cost, ways: ways(b), listed: true })
        .collect();
    let stock = (0..boards.len()).map(|lot| Stock { lot, twin_before: None }).collect();
    Cover { need: cover.need.clone(), lots, stock }
}

/// These boards alone with every way that could be in a choice that is enough; `None` where that
/// takes more than `effort` steps. A board without ways shows that they are not enough.
fn all_ways<'a>(
    cover: &Cover<'a>,
    decided: &Decided,
    boards: &[usize],
    whole: &[i64],
    effort: u64,
) -> Option<Cover<'a>> {
    let asked = Asked { need: &cover.need, boards, decided, scales: &[] };
    let slack = exact_slack(cover, asked, whole);
    let mut listed: Vec<Vec<Way>> = Vec::with_capacity(boards.len());
    for &b in boards {
        let lot = cover.lot(b);
        let least = i128::from(cover.most(cover.stock[b].lot, whole, decided.limit(b))) - slack;
        let good = |way: &Way| i128::from(worth(way, whole)) >= least;
        let ways: Vec<Way> = match (decided.limit(b), lot.cuts) {
            (Some(limit), _) => limit
                .iter()
                .map(|&w| &lot.ways[usize::from(w)])
                .filter(|w| good(w))
                .cloned()
                .collect(),
            (None, Some(cuts)) if !lot.listed => {
                let valued = cuts.value(whole);
                let least = i64::try_from(least).unwrap_or(i64::MIN);
                let floor = Floor { valued: &valued, least };
                match cuts.list(&cover.need, Some(floor), effort) {
                    Some(ways) if ways.len() <= WAYS => ways.into_iter().map(Way::from).collect(),
                    _ => return None,
                }
            }
            _ => lot.ways.iter().filter(|w| good(w)).cloned().collect(),
        };
        listed.push(ways);
    }
    let place = |b: usize| boards.iter().position(|&x| x == b).unwrap_or(0);
    Some(only(cover, boards, |b| listed[place(b)].clone()))
}

/// What came of putting all ways of these boards together.
pub enum Together<'a> {
    /// They are enough, so cut.
    Yes(Vec<(usize, Way)>),
    /// They are not.
    No,
    /// There were too many sums; the boards with all their ways.
    Unknown(Cover<'a>),
}

/// Decides the question by every way that could be in a choice that is enough; `None` where
/// listing them takes more than `effort` steps.
pub fn together<'a>(
    cover: &Cover<'a>,
    decided: &Decided,
    maybe: &Maybe,
    (effort, stop): (u64, &(dyn Fn() -> bool + Sync)),
) -> Option<Together<'a>> {
    let Maybe { boards, near } = maybe;
    let all = all_ways(cover, decided, boards, near.last()?, effort)?;
    let mut order: Vec<usize> = (0..boards.len()).collect();
    order.sort_by_key(|&i| (all.lots[i].ways.len(), i));
    // All are opened: with a cost of nothing each, any choice will do.
    let parts: Vec<Part<'_>> = order
        .iter()
        .map(|&i| {
            let most = |p: &Vec<i64>| all.lots[i].ways.iter().map(|w| worth(w, p)).max();
            Part {
                board: boards[i],
                cost: 0,
                most: near.iter().map(|p| most(p).unwrap_or(0)).collect(),
                ways: &all.lots[i].ways,
            }
        })
        .collect();
    let asked = sums::Asked {
        need: &cover.need,
        prices: near,
        ceiling: 1,
        beam: SUMS,
        effort: ADDED,
        stop,
    };
    Some(match sums::add_up(&parts, &asked) {
        Summed::Better { ways, .. } => Together::Yes(ways),
        Summed::NoBetter => Together::No,
        Summed::Unknown => Together::Unknown(all),
    })
}
