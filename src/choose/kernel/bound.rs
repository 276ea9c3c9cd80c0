//! The bound at given prices, and what it settles about single boards.

use crate::choose::kernel::cover::{Cover, Fate, owed};

/// The exact bound at whole-number prices, in price parts, and each board's `cost − most`.
pub fn bound(cover: &Cover<'_>, whole: &[i64]) -> (i128, Vec<i128>) {
    let most = cover.most_of_all(whole);
    let reduced: Vec<i128> = (0..cover.stock.len()).map(|b| cover.over(b, &most)).collect();
    let gains: i128 = reduced.iter().map(|&r| r.min(0)).sum();
    (owed(&cover.need, whole) + gains, reduced)
}

/// Gives a board a fate, and equal boards what follows: the first of them is opened first.
pub fn decide(cover: &Cover<'_>, fates: &mut [Fate], board: usize, fate: Fate) {
    fates[board] = fate;
    let lot = cover.stock[board].lot;
    let twins = match fate {
        Fate::In => 0..board,
        _ => board + 1..cover.stock.len(),
    };
    for twin in twins {
        if cover.stock[twin].lot == lot && fates[twin] == Fate::Open {
            fates[twin] = fate;
        }
    }
}

/// Settles boards whose opposite fate would bring the exact bound to `ceiling`.
pub fn settle(cover: &Cover<'_>, (total, reduced): (i128, &[i128]), ceiling: i64) -> Vec<Fate> {
    let mut fates = vec![Fate::Open; cover.stock.len()];
    for (b, &reduced) in reduced.iter().enumerate() {
        if fates[b] == Fate::Open && cover.scale.whole_units(total + reduced.abs()) >= ceiling {
            let fate = if reduced > 0 { Fate::Out } else { Fate::In };
            decide(cover, &mut fates, b, fate);
        }
    }
    fates
}
