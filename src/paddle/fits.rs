//! Which laminations a strip in hand serves (MODEL 10).

use crate::lumber::{Bend, StripInHand};
use crate::paddle::Job;
use std::cmp::Ordering;

/// How a strip in hand may go in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// Anywhere, alone.
    Free,
    /// As half of a flipped pair.
    Paired,
}

/// Why a strip in hand does not serve a lamination: the first reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unfit {
    /// It was cut for another paddle or lamination.
    Named,
    /// It is of another wood.
    Species,
    /// It is shorter than the rough length.
    Length,
    /// It is thinner than the lamination is when finished.
    Thickness,
    /// It is less deep than the paddle is when finished.
    Depth,
    /// Its rings are not steep enough to the blade's face.
    Rings,
    /// It bends more sidewise than clamps may pull out.
    Sidewise,
    /// It bends more depthwise than a flipped pair may cancel.
    Depthwise,
    /// It bends more depthwise than may lie on the centreline.
    Centre,
}

/// How a strip serves a lamination of a job, given as (paddle, lamination).
///
/// # Errors
/// Why it doesn't. A lamination that the job doesn't have is none that it was cut for.
pub fn fit(job: &Job, strip: &StripInHand, (p, l): (usize, usize)) -> Result<Fit, Unfit> {
    let paddle = job.paddles.get(p).ok_or(Unfit::Named)?;
    let lamination = paddle.laminations.get(l).ok_or(Unfit::Named)?;
    let other = |named: &Option<String>, name: &String| named.as_ref().is_some_and(|n| n != name);
    if other(&strip.paddle, &paddle.name) || other(&strip.lamination, &lamination.name) {
        return Err(Unfit::Named);
    }
    let woods = &lamination.species;
    if !woods.is_empty() && !woods.iter().any(|s| s.matches(&strip.species)) {
        return Err(Unfit::Species);
    }
    let rough = paddle.rough_length(lamination);
    if strip.length < rough {
        return Err(Unfit::Length);
    }
    if strip.thickness < lamination.thickness {
        return Err(Unfit::Thickness);
    }
    if strip.depth < paddle.thickness {
        return Err(Unfit::Depth);
    }
    if strip.rings.is_some_and(|found| found < paddle.rings) {
        return Err(Unfit::Rings);
    }
    let (shop, deep) = (&job.shop, strip.deep());
    if !strip.side().within(rough, shop.pull) {
        return Err(Unfit::Sidewise);
    }
    if deep.within(rough, shop.straight) {
        Ok(Fit::Free)
    } else if lamination.centre {
        Err(Unfit::Centre)
    } else if deep.within(rough, shop.pair) {
        Ok(Fit::Paired)
    } else {
        Err(Unfit::Depthwise)
    }
}

/// May two strips that serve a lamination go into it as a flipped pair? Their bends over its
/// rough length differ by at most `straight`. Which face bears the name is nothing to the wood, so
/// bends count without their signs: each strip can be laid the other face up.
pub fn partners(job: &Job, [one, other]: [&StripInHand; 2], (p, l): (usize, usize)) -> bool {
    let Some(paddle) = job.paddles.get(p) else { return false };
    let Some(lamination) = paddle.laminations.get(l) else { return false };
    if lamination.centre {
        return false;
    }
    let rough = i128::from(paddle.rough_length(lamination).units()).pow(2);
    let over = |bend: Bend| {
        (i128::from(bend.gap.abs().units()) * rough, i128::from(bend.over.units()).pow(2))
    };
    let (one, other) = (over(one.deep()), over(other.deep()));
    let (less, more) = if compare(one, other).is_le() { (one, other) } else { (other, one) };
    // more ≤ less + straight
    let least = less.0 + i128::from(job.shop.straight.units()) * less.1;
    compare(more, (least, less.1)).is_le()
}

/// How much a strip is curved depthwise, to put strips in order: `gap/over²`, without its sign.
pub fn curve(strip: &StripInHand) -> (i128, i128) {
    (i128::from(strip.depthwise.abs().units()), i128::from(strip.length.units()).pow(2))
}

/// Compares two fractions that are not below 0, exactly, without a product: whole parts first, then
/// what is left of both the other way up.
pub fn compare((a, b): (i128, i128), (c, d): (i128, i128)) -> Ordering {
    let (mut one, mut other, mut swapped) = ((a, b), (c, d), false);
    loop {
        let turn = |order: Ordering| if swapped { order.reverse() } else { order };
        // A fraction over nothing is more than any other.
        let order = match (one.1, other.1) {
            (0, 0) => Ordering::Equal,
            (0, _) => Ordering::Greater,
            (_, 0) => Ordering::Less,
            _ => (one.0 / one.1).cmp(&(other.0 / other.1)),
        };
        if order.is_ne() || one.1 == 0 {
            return turn(order);
        }
        (one, other) = ((one.1, one.0 % one.1), (other.1, other.0 % other.1));
        swapped = !swapped;
    }
}

#[cfg(test)]
mod tests {
    use super::compare;
    use proptest::prelude::*;
    use std::cmp::Ordering;

    #[test]
    fn fractions_too_large_for_products_compare() {
        let big = 1_i128 << 100;
        assert_eq!(compare((big, big + 1), (big - 1, big)), Ordering::Greater);
        assert_eq!(compare((2 * big, 3 * big), (2, 3)), Ordering::Equal);
        assert_eq!(compare((0, 5), (0, 7)), Ordering::Equal);
    }

    proptest! {
        #[test]
        fn fractions_compare_as_their_products(a in 0..50_i128, b in 1..50_i128, c in 0..50_i128, d in 1..50_i128) {
            prop_assert_eq!(compare((a, b), (c, d)), (a * d).cmp(&(c * b)));
        }
    }
}
