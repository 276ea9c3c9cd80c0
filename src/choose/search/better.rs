//! Better choices: around the best one, and by sets of boards with slack.
//!
//! A set that comes to just what is needed can hardly ever be cut into whole strips. One that comes to
//! somewhat more is easier to cut and costs more. How much more it takes is found by halving.

use crate::choose::effort::freed::{MENDED_AGAIN, MENDS_FAILED};
use crate::choose::effort::rounded::MANY;
use crate::choose::effort::stages::{CLOSE_ENOUGH, CLOSE_PART, SLACK_NODES, SLACK_SETS, TURNS};
use crate::choose::effort::{Depth, Effort};
use crate::choose::kernel::bound::settle;
use crate::choose::kernel::cover::{Choice, Cover};
use crate::choose::search::drawn::Drawn;
use crate::choose::search::enough::Pains;
use crate::choose::search::freed;
use crate::choose::search::near::around;
use crate::choose::search::pains;
use crate::choose::search::sets::{Found, Limits, Master};

/// Looks for a better choice around the best so far and by sets that come to somewhat more than is
/// needed, by turns. `trail` are prices for rows, `prices` good ones, `scales` typical ones, and
/// the last are a bound and what each board costs over what it comes to.
#[allow(clippy::cast_precision_loss)]
pub fn better(
    cover: &mut Cover<'_>,
    mut found: Found,
    (trail, prices, scales): (&[Vec<i64>], &[f64], &[f64]),
    (total, reduced): &(i128, Vec<i128>),
    (drawn, effort): (&mut Drawn, Effort<'_>),
    tell: &mut dyn FnMut(Option<i64>, i64),
) -> Found {
    let cost = |cover: &Cover<'_>, c: &Option<Choice>| {
        c.as_ref().map_or(cover.everything() + 1, |c| cover.cost(c))
    };
    let lowest = found.bound;
    let part = effort.depth == Depth::Part;
    let soon = effort.depth == Depth::Soon;
    // Sets that could not be cut, but lack little.
    let mut nearest = std::mem::take(&mut found.nearest);
    // Sets that could not be cut with little work, and those that could not be with more.
    let mut tried: [Vec<Vec<usize>>; 2] = [Vec::new(), Vec::new()];
    for _ in 0..if effort.depth == Depth::Full { TURNS } else { 1 } {
        let before = cost(cover, &found.choice);
        if before <= lowest || (effort.stop)() {
            break;
        }
        found.choice = found.choice.map(|c| around(cover, c, prices, effort.stop));
        tell(found.choice.as_ref().map(|c| cover.cost(c)), lowest);
        let gap = cost(cover, &found.choice) as f64 / (lowest.max(1) as f64) - 1.0;
        let (mut low, mut high) = (0.0, gap.clamp(0.002, 0.3));
        let close = if part { CLOSE_PART } else { CLOSE_ENOUGH };
        while high - low > close && !(effort.stop)() {
            let more = (low + high) / 2.0;
            let mut reached = true;
            let rounds = [(Pains::LITTLE, SLACK_SETS), (pains(effort.depth, 1), 1)];
            // Few boards are soon decided, and very many are not cut near their mixtures.
            let opened = found.choice.iter().flatten().flatten().count();
            let little = !part && opened <= *MANY.end();
            let most = if soon { 1 } else { rounds.len() };
            let rounds = rounds.into_iter().enumerate().take(most).skip(usize::from(!little));
            for (longer, (pains, undecided)) in rounds {
                let now = cost(cover, &found.choice);
                let fates = settle(cover, (*total, reduced), now);
                let before = (trail, std::mem::take(&mut found.memory));
                let master = Master::new(cover, fates, found.choice, before, (prices, scales));
                let passed = tried[longer..].concat();
                let limits = Limits { pains, ..Limits::new(SLACK_NODES, undecided, effort.stop) };
                let mut new = master.with_slack(more, &passed).run(lowest, limits, &mut |_, _| {});
                cover.keep(std::mem::take(&mut new.met));
                new.refuted.append(&mut found.refuted);
                found = new;
                tell(found.choice.as_ref().map(|c| cover.cost(c)), lowest);
                let failed = std::mem::take(&mut found.failed);
                nearest.append(&mut found.nearest);
                reached = cost(cover, &found.choice) < now || failed.is_empty();
                tried[longer].extend(failed);
                if !reached && mended(cover, &mut found, &mut nearest, (drawn, prices), effort) {
                    tell(found.choice.as_ref().map(|c| cover.cost(c)), lowest);
                    reached = true;
                }
                if reached {
                    break;
                }
            }
            if reached {
                high = more;
            } else {
                low = more;
            }
        }
        while mended(cover, &mut found, &mut nearest, (drawn, prices), effort) {
            tell(found.choice.as_ref().map(|c| cover.cost(c)), lowest);
        }
        if cost(cover, &found.choice) == before {
            break;
        }
    }
    if soon {
        found.nearest = nearest;
    }
    found
}

/// Mends sets that lack little, the one first that costs least with what it lacks, until one comes
/// out cheaper than the best choice; that one is improved.
#[allow(clippy::cast_precision_loss)]
fn mended(
    cover: &Cover<'_>,
    found: &mut Found,
    nearest: &mut Vec<Choice>,
    (drawn, prices): (&mut Drawn, &[f64]),
    effort: Effort<'_>,
) -> bool {
    // Sets that lack little are asked for otherwise then, which mends more of them in less time.
    if effort.depth == Depth::Soon {
        return false;
    }
    // A part of a choice is no choice to be mended by parts of it.
    if effort.depth == Depth::Part {
        nearest.clear();
    }
    let dear = |choice: &Choice| -> f64 {
        let missing = cover.missing(choice);
        let lacking = missing.iter().zip(prices).map(|(&m, p)| m.max(0) as f64 * p);
        cover.cost(choice) as f64 + lacking.sum::<f64>()
    };
    // The cheapest stands last.
    nearest.sort_by(|a, b| dear(b).total_cmp(&dear(a)).then_with(|| b.cmp(a)));
    let now = found.choice.as_ref().map_or(cover.everything() + 1, |c| cover.cost(c));
    let mut failed = 0;
    while let Some(lacking) = nearest.pop() {
        if (effort.stop)() || dear(&lacking) >= now as f64 || failed >= MENDS_FAILED {
            nearest.clear();
            break;
        }
        failed += 1;
        if let Some(better) = freed::mend(cover, &lacking, (&mut *drawn, prices), now, effort) {
            let (least, again) = (found.bound, MENDED_AGAIN);
            let better =
                freed::improve(cover, better, (drawn, prices), (least, again), effort, &mut |_| {});
            found.choice = Some(better);
            return true;
        }
    }
    false
}
