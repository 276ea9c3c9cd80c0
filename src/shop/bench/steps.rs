//! The steps of a bench sheet, from the dry stack to the planed blank.

use super::amounts::{area, bend, rough, volume};
use super::{Step, text};
use crate::glue::{Blank, GlueSettings, Reach};
use crate::length::{Length, Units};
use crate::paddle::Job;
use crate::shop::clamps::Clamping;

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
pub(super) fn steps(blank: &Blank, c: &Clamping, job: &Job, settings: &GlueSettings) -> Vec<Step> {
    let units = job.units;
    let order = across(blank);
    vec![
        lay_out(blank, &order, units),
        get_ready(c),
        open_stack(&order),
        spread(c, settings.open_time, units),
        close(c, &order, units),
        while_it_sets(),
        afterwards(blank, job),
    ]
}

fn lay_out(blank: &Blank, order: &[String], units: Units) -> Step {
    let blade = if blank.places.iter().any(|p| p.reach != Reach::Through) {
        format!(
            " Blade strips end flush with the through strips at the tips; their inner ends are {} apart, the length of the loom.",
            blank.loom.with_unit(units)
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
                "Draw the witness mark: one long triangle over the upper faces of all strips, its point toward A; a small one on each blade too. Whatever gets mixed up, the triangle puts right.",
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

fn get_ready(c: &Clamping) -> Step {
    step(
        "Get ready",
        vec![
            format!(
                "Set out {} bar clamps opened to width, {} small clamps, cauls, blocks, mallet, string, gloves, scraper. Cover the bench.",
                2 * c.blade_clamps,
                c.loom_clamps
            ),
            text("Wax or tape cauls and blocks where glue can reach them."),
            text(
                "Wipe dust off every glue face. Oily or resinous wood: follow the glue maker's sheet.",
            ),
        ],
    )
}

/// The outermost strips, left and right.
fn outer(order: &[String]) -> (&str, &str) {
    (order.first().map_or("", String::as_str), order.last().map_or("", String::as_str))
}

fn open_stack(order: &[String]) -> Step {
    let (first, last) = outer(order);
    let body = order.get(..order.len().saturating_sub(1)).unwrap_or_default();
    step(
        "Open the stack like a book",
        vec![
            format!(
                "From the left, tip each strip over to the left so that its right face looks up: {}. Leave {last} standing, the left face open.",
                body.join("; ")
            ),
            format!(
                "Glue goes on the faces that look up; the other face of each joint gets a fine mist of water if the glue cures by moisture. The two outer faces, left of {first} and right of {last}, get neither."
            ),
            text(
                "Where a blade strip meets a through strip, glue no farther than the blade strip reaches.",
            ),
        ],
    )
}

fn spread(c: &Clamping, open: f64, units: Units) -> Step {
    step(
        "Spread",
        vec![
            format!(
                "{} joints, {}: {} of glue. {:.0} seconds a joint, if half of the {open:.0} minutes goes to closing and clamping.",
                c.joints,
                area(c.area, units),
                volume(c.glue, units),
                c.seconds_a_joint
            ),
            format!(
                "The clock: glue on by {:.0} min, stack closed by {:.0} min, last clamp tight by {open:.0} min, at the very most {:.0} min. These are common practice for a fast moisture-cured glue; your glue's sheet comes first.",
                open * 0.5,
                open * 0.7,
                open * 1.5
            ),
        ],
    )
}

fn close(c: &Clamping, order: &[String], units: Units) -> Step {
    let (first, last) = outer(order);
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
                "Begin at the loom with the small clamps, then bar clamps from the loom to the tips, {} apart, every other one from below. Snug first, then tight in a second round; an even thin line of squeeze-out is enough.",
                rough(c.spacing, units)
            ),
            text(
                "Pull the string from end to end over the upper face and over an edge. The gap should be even; shift clamps or wedge the blank on the bench until it is straight.",
            ),
        ],
    )
}

fn while_it_sets() -> Step {
    step(
        "While it sets",
        vec![
            text("After 15 to 30 min take off the alignment blocks, before they are glued in."),
            text(
                "At about 2 h, while the squeeze-out is still rubbery, clean it up with a scraper or an old chisel, away from you.",
            ),
            text("Leave the clamps on as long as the maker's sheet says; longer in the cold."),
        ],
    )
}

fn afterwards(blank: &Blank, job: &Job) -> Step {
    let units = job.units;
    step(
        "Afterwards",
        vec![
            format!(
                "Check with the string: foretold are {} depthwise and {} sidewise.",
                bend(blank.after.depthwise, units),
                bend(blank.after.sidewise, units)
            ),
            format!(
                "Plane both faces, {} off each, with the grain as it rises: then cut {} off each end, square.",
                job.shop.plane.with_unit(units),
                job.paddles.get(blank.paddle).map_or(Length::ZERO, |p| p.trim).with_unit(units)
            ),
        ],
    )
}
