//! The steps of a bench sheet, from the dry stack to the planed blank.

use super::amounts::{area, bend, clock, shown, sized, temperature, volume};
use super::pressing::words;
use super::{Step, text};
use crate::glue::{Blank, GlueSettings, Reach};
use crate::length::{Length, Units};
use crate::paddle::Job;
use crate::shop::clamps::Clamping;
use crate::shop::clock::Clock;
use crate::shop::words::excess;

/// Strips of one place across, outermost left first, as they are named in the steps.
fn across(blank: &Blank) -> Vec<String> {
    let mut list: Vec<(Length, String)> = Vec::new();
    for p in &blank.places {
        match list.last_mut() {
            Some((left, names)) if *left == p.left => {
                names.push_str(" and ");
                names.push_str(&p.strip);
            }
            _ => list.push((p.left, p.strip.clone())),
        }
    }
    list.into_iter().map(|(_, names)| names).collect()
}

fn step(title: &str, lines: Vec<String>) -> Step {
    Step { title: text(title), lines }
}

/// Every step, in order.
pub(super) fn steps(
    blank: &Blank,
    c: &Clamping,
    clock: &Clock,
    deep: &[(Length, bool, Vec<String>)],
    job: &Job,
    settings: &GlueSettings,
) -> Vec<Step> {
    let units = job.units;
    let order = across(blank);
    vec![
        lay_out(blank, &order, units),
        get_ready(c, settings, units),
        open_stack(&order, settings),
        spread(c, clock, units),
        close(c, clock, &order, units),
        while_it_sets(blank, job, settings),
        afterwards(blank, deep, job),
    ]
}

fn lay_out(blank: &Blank, order: &[String], units: Units) -> Step {
    let blade = if blank.places.iter().any(|p| p.reach != Reach::Through) {
        format!(
            " Blade strips end flush with the through strips at the tips; their inner ends are {} apart, the length of the loom.",
            sized(blank.loom, units)
        )
    } else {
        String::new()
    };
    step(
        "Lay out dry",
        vec![
            format!(
                "Lay the strips on the bench from left to right, upper faces up, each as the table says: {}.{blade}",
                order.join("; ")
            ),
            text(
                "Sight along them, check the bends and that the grain rises one way on the upper face.",
            ),
            text(
                "Draw the witness marks on the upper faces: one triangle over all strips of the loom and one over all strips of each blade, every point toward A. Whatever gets mixed up, the triangles put right.",
            ),
            text(
                "Clamp up dry, with cauls and blocks. A joint that does not close dry will not close wet.",
            ),
            text(
                "Pull the string from end to end over both the face and an edge; note the gap, to know the blank that you will get back.",
            ),
        ],
    )
}

fn get_ready(c: &Clamping, settings: &GlueSettings, units: Units) -> Step {
    let mut lines = vec![format!(
        "Set out {} bar clamps opened to width, {} small clamps, cauls, {} pairs of blocks, mallet, string, gloves, scraper. Cover the bench.",
        c.bar_clamps(),
        c.small_clamps(),
        c.pairs()
    )];
    lines.push(text("Wax or tape cauls and blocks where glue can reach them."));
    lines.push(text(
        "Wipe dust off every glue face. Oily or resinous wood: follow the glue maker's sheet.",
    ));
    if let Some(name) = &settings.glue.name {
        lines.push(format!(
            "The glue is {name}, with the figures of its data sheet as [glue] has them."
        ));
    }
    if let Some(celsius) = settings.glue.least_temperature {
        let least = temperature(celsius, units);
        lines.push(format!("Room, wood and glue must be at {least} or warmer until it has set."));
    }
    step("Get ready", lines)
}

/// The outermost strips, left and right.
fn outer(order: &[String]) -> (&str, &str) {
    (order.first().map_or("", String::as_str), order.last().map_or("", String::as_str))
}

fn open_stack(order: &[String], settings: &GlueSettings) -> Step {
    let (first, last) = outer(order);
    let body = order.get(..order.len().saturating_sub(1)).unwrap_or_default();
    let faces = match (settings.glue.both_faces, settings.glue.moisture) {
        (true, _) => "Glue goes on both faces of each joint",
        (false, true) => {
            "Glue goes on the faces that look up; the other face of each joint gets a fine mist of water, if the glue's sheet says that it cures by moisture"
        }
        (false, false) => "Glue goes on the faces that look up, the other faces stay dry",
    };
    step(
        "Open the stack like a book",
        vec![
            format!(
                "From the left, tip each strip over to the left so that its right face looks up: {}. Leave {last} standing, the left face open.",
                body.join("; ")
            ),
            format!("{faces}. The two outer faces, left of {first} and right of {last}, get none."),
            text(
                "Where a blade strip meets a through strip, glue no farther than the blade strip reaches.",
            ),
        ],
    )
}

fn spread(c: &Clamping, at: &Clock, units: Units) -> Step {
    let stage = &at.stage;
    let closed = stage.spread + stage.close;
    step(
        "Spread",
        vec![
            format!(
                "{} joints, {}: {} of glue, {} seconds a joint.",
                c.joints,
                area(c.area, units),
                volume(c.glue, units),
                stage.spread / u64::from(c.joints.max(1))
            ),
            format!(
                "By the clock: glue on after {}, stack closed after {}, blocks set after {}, last clamp tight after {}. The glue allows {}{}.",
                clock(stage.spread),
                clock(closed),
                clock(closed + stage.blocks),
                clock(stage.total()),
                clock(at.allowed),
                if at.fits() {
                    ""
                } else {
                    ": see at the top what makes it fit, before any glue is opened"
                }
            ),
        ],
    )
}

fn close(c: &Clamping, at: &Clock, order: &[String], units: Units) -> Step {
    let (first, last) = outer(order);
    let of = |st: &crate::shop::clamps::Stretch| {
        let (name, from) = words(st.which);
        let places: Vec<String> = st.places.iter().map(|&l| sized(l, units)).collect();
        format!("on {name} at {} from {from}", places.join(", "))
    };
    let bars: Vec<String> = c.stretches.iter().rev().map(of).collect();
    step(
        "Close and clamp",
        vec![
            format!(
                "Close the book in reverse: raise the strips from right to left onto {last}, witness marks together, {first} last."
            ),
            text(
                "Set the alignment blocks with small clamps across the faces, so that no strip creeps up or down; then cauls along both edges.",
            ),
            format!(
                "Bar clamps from the middle to the tips, every other one from below: {}. Snug first, then tight in a second round, all within {}; an even thin line of squeeze-out is enough.",
                bars.join("; "),
                clock(at.stage.total())
            ),
            text(
                "Pull the string from end to end over the upper face and over an edge. The gap should be even; shift clamps or wedge the blank on the bench until it is straight.",
            ),
        ],
    )
}

/// How long in the clamps, and why.
fn in_clamps(blank: &Blank, job: &Job, settings: &GlueSettings) -> String {
    let kind = &settings.glue;
    let limit = job.shop.straight.metres() + crate::glue::placing::STEP;
    let bent = |p: &&crate::glue::Laid| p.depthwise.abs().max(p.sidewise.abs()) > limit;
    let names: Vec<&str> = blank.places.iter().filter(bent).map(|p| p.strip.as_str()).collect();
    match (names.is_empty(), kind.clamp_time) {
        (true, Some(hours)) => format!("Leave the clamps on for {hours} h; longer in the cold."),
        (true, None) => {
            text("Leave the clamps on as long as the maker's sheet says; longer in the cold.")
        }
        (false, _) => format!(
            "Leave the clamps on for {} h, longer in the cold: bends of more than {} are pulled straight in {}.",
            kind.bent_clamp_time,
            shown(job.shop.straight, job.units),
            names.join(", ")
        ),
    }
}

fn while_it_sets(blank: &Blank, job: &Job, settings: &GlueSettings) -> Step {
    let mut lines = if settings.glue.moisture {
        vec![
            text("After 15 to 30 min take off the alignment blocks, before they are glued in."),
            text(
                "At about 2 h, while the squeeze-out is still rubbery, clean it up with a scraper or an old chisel, away from you.",
            ),
        ]
    } else {
        vec![text(
            "Take off the alignment blocks as soon as the glue holds, before they are glued in; clean up squeeze-out when the maker's sheet says.",
        )]
    };
    lines.push(in_clamps(blank, job, settings));
    step("While it sets", lines)
}

/// Which way to plane the faces, by the strips whose grain is known.
fn planing(blank: &Blank) -> String {
    let of = |toward_b: bool| -> Vec<&str> {
        let rises = |p: &&crate::glue::Laid| if toward_b { p.rise > 0 } else { p.rise < 0 };
        blank.places.iter().filter(rises).map(|p| p.strip.as_str()).collect()
    };
    match (of(true), of(false)) {
        (b, a) if a.is_empty() && b.is_empty() => {
            text("find out by a light shaving which way it runs smooth")
        }
        (_, a) if a.is_empty() => text("the upper face toward B, the lower face toward A"),
        (b, _) if b.is_empty() => text("the upper face toward A, the lower face toward B"),
        (b, a) => format!(
            "the upper face toward B over {}, toward A over {}; the lower face the other way about",
            b.join(", "),
            a.join(", ")
        ),
    }
}

fn afterwards(blank: &Blank, deep: &[(Length, bool, Vec<String>)], job: &Job) -> Step {
    let units = job.units;
    let one = |(over, above, names): &(Length, bool, Vec<String>)| {
        let face = if *above { "upper" } else { "lower" };
        format!("{} ({}, {face} face)", names.join(", "), excess(*over, units))
    };
    let first = if deep.is_empty() {
        String::new()
    } else {
        let list: Vec<String> = deep.iter().map(one).collect();
        format!(
            "First plane off what was left too deep, down to the neighbours: {}. ",
            list.join("; ")
        )
    };
    // What takes nothing is no step.
    let faces = match job.shop.plane {
        Length::ZERO => String::new(),
        off => format!(
            "Plane both faces, {} off each, with the grain as it rises: {}. ",
            shown(off, units),
            planing(blank)
        ),
    };
    let ends = match job.paddles.get(blank.paddle).map_or(Length::ZERO, |p| p.trim) {
        Length::ZERO => String::new(),
        off => format!("Then cut {} off each end, square.", shown(off, units)),
    };
    step(
        "Afterwards",
        vec![
            format!(
                "Check with the string: foretold are {} depthwise and {} sidewise.",
                bend(blank.after.depthwise, units),
                bend(blank.after.sidewise, units)
            ),
            format!("{first}{faces}{ends}").trim().to_owned(),
        ],
    )
}
