//! Strips in hand: that each is on the list, used once, fits what it goes in for, and lies in a
//! flipped pair where it must (MODEL 10).

use super::fault::{Fault, Place, Rule};
use super::faults::{Faults, wide};
use crate::length::Length;
use crate::lumber::StripInHand;
use crate::paddle::{Job, Lamination, Paddle, Runs};
use crate::plan::{InHand, Plan};
use std::collections::{BTreeMap, BTreeSet};

/// A strip in hand with what it goes in for.
struct Used<'a> {
    used: &'a InHand,
    strip: &'a StripInHand,
    paddle: &'a Paddle,
    lamination: &'a Lamination,
    place: Place,
}

/// Sizes and bends of strips in hand must be such as a file may hold.
pub(super) fn sizes(plan: &Plan, job: &Job, faults: &mut Faults) {
    for strip in plan.in_hand.iter().filter_map(|used| job.strips.get(used.strip)) {
        let sizes = [strip.length, strip.thickness, strip.depth];
        let small = sizes.iter().any(|&l| l <= Length::ZERO);
        let bends = [strip.sidewise.abs(), strip.depthwise.abs()];
        if small || sizes.iter().chain(&bends).any(|&l| l > Length::LIMIT) {
            let place = Place { strip: Some(strip.name.clone()), ..Place::default() };
            let figures = sizes.map(|l| faults.show(wide(l))).join(" x ");
            faults.add(&place, Rule::Sizes, figures);
        }
    }
}

/// Is a fault of a strip in hand one that measuring it anew may have brought about?
pub(super) fn measured_anew(fault: &Fault) -> bool {
    let of_strip = fault.place.board.is_none() && fault.place.strip.is_some();
    let rules = [
        Rule::Length,
        Rule::TooThin,
        Rule::Rings,
        Rule::Sidewise,
        Rule::Depthwise,
        Rule::FlipInHand,
    ];
    of_strip && rules.contains(&fault.rule)
}

/// Checks every strip in hand of a plan; says how many serve each (paddle, lamination).
pub(super) fn check(plan: &Plan, job: &Job, faults: &mut Faults) -> BTreeMap<(usize, usize), u64> {
    let mut counts = BTreeMap::new();
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut names: BTreeSet<&str> = plan.strips().map(|s| s.4.id.as_str()).collect();
    let mut all: Vec<Used> = Vec::new();
    for used in &plan.in_hand {
        let Some(strip) = job.strips.get(used.strip) else {
            let figures = format!("strip in hand number {} of {}", used.strip, job.strips.len());
            faults.add(&Place::default(), Rule::InHand, figures);
            continue;
        };
        let place = Place { strip: Some(strip.name.clone()), ..Place::default() };
        if !seen.insert(used.strip) {
            faults.add(&place, Rule::UsedTwice, "goes in a second time".to_owned());
        } else if !names.insert(&strip.name) {
            let figures = format!("the name {:?} is used again", strip.name);
            faults.add(&place, Rule::Id, figures);
        }
        let paddle = job.paddles.get(used.paddle);
        let lamination = paddle.and_then(|p| p.laminations.get(used.lamination));
        let (Some(paddle), Some(lamination)) = (paddle, lamination) else {
            let figures =
                format!("paddle number {}, lamination number {}", used.paddle, used.lamination);
            faults.add(&place, Rule::Lamination, figures);
            continue;
        };
        *counts.entry((used.paddle, used.lamination)).or_default() += 1;
        all.push(Used { used, strip, paddle, lamination, place });
    }
    for one in &all {
        fits(one, faults);
        bends(one, &all, job, faults);
    }
    counts
}

fn fits(one: &Used, faults: &mut Faults) {
    let Used { strip, paddle, lamination, place, .. } = one;
    for (what, named, name) in [
        ("paddle", &strip.paddle, &paddle.name),
        ("lamination", &strip.lamination, &lamination.name),
    ] {
        if let Some(named) = named.as_ref().filter(|n| *n != name) {
            let figures = format!("was cut for the {what} {named:?}, used for {name:?}");
            faults.add(place, Rule::CutFor, figures);
        }
    }
    let takes = &lamination.species;
    if !takes.is_empty() && !takes.iter().any(|s| s.key() == strip.species.key()) {
        let names: Vec<_> = takes.iter().map(|s| s.name()).collect();
        let figures = format!("{} where {} is asked", strip.species, names.join(" or "));
        faults.add(place, Rule::Species, figures);
    }
    for (what, rule, found, asked) in [
        ("long", Rule::Length, wide(strip.length), rough(paddle, lamination)),
        ("thick", Rule::TooThin, wide(strip.thickness), wide(lamination.thickness)),
        ("deep", Rule::TooThin, wide(strip.depth), wide(paddle.thickness)),
    ] {
        if found < asked {
            let figures = format!(
                "is {} {what}, {} of {} needs {}",
                faults.show(found),
                lamination.name,
                paddle.name,
                faults.show(asked)
            );
            faults.add(place, rule, figures);
        }
    }
    if let Some(found) = strip.rings.filter(|r| r.millionths() < paddle.rings.millionths()) {
        let figures = format!("rings at {found} to the blade's face, {} is asked", paddle.rings);
        faults.add(place, Rule::Rings, figures);
    }
}

/// Rough length: half a unit that a blade leaves goes to the strip.
fn rough(paddle: &Paddle, lamination: &Lamination) -> i128 {
    let (length, trim) = (wide(paddle.length), wide(paddle.trim));
    match lamination.runs {
        Runs::Through => length + 2 * trim,
        Runs::Blade => (length - wide(paddle.loom) + 2 * trim + 1).div_euclid(2),
    }
}

/// A bend over the rough length as a fraction: of `gap·rough²` over the square of the length that
/// it was measured over.
fn over(one: &Used, gap: i128) -> (u128, u128) {
    let rough = rough(one.paddle, one.lamination).max(0);
    ((gap * rough * rough).unsigned_abs(), wide(one.strip.length).pow(2).unsigned_abs())
}

fn bends(one: &Used, all: &[Used], job: &Job, faults: &mut Faults) {
    let shop = &job.shop;
    let more = |(top, bottom): (u128, u128), limit| top > wide(limit).unsigned_abs() * bottom;
    let shown = |faults: &Faults, (top, bottom): (u128, u128)| {
        faults.show(i128::try_from(top.div_ceil(bottom.max(1))).unwrap_or(i128::MAX))
    };
    let (side, deep) = (over(one, wide(one.strip.sidewise)), over(one, wide(one.strip.depthwise)));
    let mut limit = |bend, rule, limit, why: &str| {
        let figures = format!(
            "bends {} over its length, the limit {why} is {}",
            shown(faults, bend),
            faults.show(wide(limit))
        );
        faults.add(&one.place, rule, figures);
    };
    if more(side, shop.pull) {
        limit(side, Rule::Sidewise, shop.pull, "for clamps");
    }
    if more(deep, shop.straight) {
        if one.lamination.centre {
            limit(deep, Rule::Depthwise, shop.straight, "on the centreline");
        } else if one.used.flipped_with.is_none() {
            limit(deep, Rule::Depthwise, shop.straight, "unpaired");
        } else if more(deep, shop.pair) {
            limit(deep, Rule::Depthwise, shop.pair, "in a flipped pair");
        }
    }
    let Some(partner) = &one.used.flipped_with else { return };
    let named: Vec<&Used> = all.iter().filter(|o| o.strip.name == *partner).collect();
    let trouble = match named.first() {
        None => Some(format!("no strip in hand that goes in is named {partner:?}")),
        Some(other) => mismatch(one, other, job, faults),
    };
    if let Some(figures) = trouble {
        faults.add(&one.place, Rule::FlipInHand, figures);
    }
}

/// What keeps two strips in hand from being a flipped pair.
fn mismatch(one: &Used, other: &Used, job: &Job, faults: &Faults) -> Option<String> {
    let line = |u: &Used| (u.used.paddle, u.used.lamination);
    let name = &other.strip.name;
    if one.used.strip == other.used.strip {
        return Some("is paired with itself".to_owned());
    }
    if other.used.flipped_with.as_ref() != Some(&one.strip.name) {
        return Some(format!("{name} does not name it back"));
    }
    if line(one) != line(other) {
        return Some(format!("{name} is for another lamination"));
    }
    if one.lamination.centre {
        return Some("lies on the centreline".to_owned());
    }
    let (a, b) = (over(one, wide(one.strip.depthwise)), over(other, wide(other.strip.depthwise)));
    let straight = wide(job.shop.straight).unsigned_abs();
    // a ≤ b + straight and b ≤ a + straight, as whole numbers of 256 bits.
    let within = |a: (u128, u128), b: (u128, u128)| {
        let right = add(product(straight * a.1, b.1), product(b.0, a.1));
        product(a.0, b.1) <= right
    };
    if within(a, b) && within(b, a) {
        return None;
    }
    Some(format!(
        "{name} has another bend, more than {} from its own",
        faults.show(wide(job.shop.straight))
    ))
}

/// A product of two numbers as (high, low) halves.
fn product(a: u128, b: u128) -> (u128, u128) {
    const LOW: u128 = u64::MAX as u128;
    let (a1, a0, b1, b0) = (a >> 64, a & LOW, b >> 64, b & LOW);
    let low = a0 * b0;
    // Neither sum of these passes 128 bits: each product is at most (2^64 − 1)².
    let middle = a1 * b0 + (low >> 64);
    let other = a0 * b1 + (middle & LOW);
    (a1 * b1 + (middle >> 64) + (other >> 64), (other << 64) | (low & LOW))
}

/// A sum of two such numbers; both are far below the greatest.
fn add(a: (u128, u128), b: (u128, u128)) -> (u128, u128) {
    let (low, over) = a.1.overflowing_add(b.1);
    (a.0.saturating_add(b.0).saturating_add(u128::from(over)), low)
}

#[cfg(test)]
mod tests {
    use super::{add, product};
    use proptest::prelude::*;

    #[test]
    fn the_greatest_product_is_right() {
        // (2^128 − 1)² = 2^256 − 2^129 + 1
        assert_eq!(product(u128::MAX, u128::MAX), (u128::MAX - 1, 1));
        assert_eq!(product(1 << 100, 1 << 100), (1 << 72, 0));
        assert_eq!(add((0, u128::MAX), (0, 1)), (1, 0));
    }

    proptest! {
        #[test]
        fn products_that_fit_are_products(a in any::<u64>(), b in any::<u64>()) {
            prop_assert_eq!(product(a.into(), b.into()), (0, u128::from(a) * u128::from(b)));
        }
    }
}
