//! The tables of what presses and of what the clock says.

use super::amounts::{area, clock, film, force, pressed, pressure, sized, temperature, volume};
use super::{Table, text};
use crate::glue::GlueSettings;
use crate::glue::settings::PSI;
use crate::length::{Length, Units};
use crate::paddle::Job;
use crate::shop::clamps::{Across, Clamping, Stretch, Which};
use crate::shop::clock::Clock;

/// What a stretch is called, and what its places are measured from.
pub(super) fn words(which: Which) -> (&'static str, &'static str) {
    match which {
        Which::Blade => ("each blade", "the tip"),
        Which::Loom => ("the loom", "the shoulder of blade A"),
        Which::Whole => ("the blank", "tip A"),
    }
}

fn list(lengths: &[Length], units: Units) -> String {
    lengths.iter().map(|&l| sized(l, units)).collect::<Vec<_>>().join(", ")
}

/// Strips and glue lines, added up.
pub(super) fn across(c: &Clamping, job: &Job, settings: &GlueSettings) -> Table {
    let units = job.units;
    let row = |a: &Across| {
        let name = match a.which {
            Which::Blade => "blade",
            Which::Loom => "loom",
            Which::Whole => "blank",
        };
        let strips: Length = a.strips.iter().copied().sum();
        let parts: Vec<String> = a.strips.iter().map(|&t| sized(t, units)).collect();
        let sum = match parts.as_slice() {
            [one] => one.clone(),
            parts => format!("{} = {}", parts.join(" + "), sized(strips, units)),
        };
        vec![
            text(name),
            sum,
            format!(
                "{} of {} = {}",
                a.strips.len().saturating_sub(1),
                film(settings.line),
                sized(a.lines, units)
            ),
            sized(a.width(), units),
        ]
    };
    Table {
        title: text("Across the glued blank"),
        head: ["", "strips", "glue lines", "width"].map(text).to_vec(),
        rows: c.across.iter().map(row).collect(),
        notes: vec![text("Strips dressed to their finished thickness; edges not planed yet.")],
        gluing: true,
    }
}

fn stretch(st: &Stretch, c: &Clamping, job: &Job, settings: &GlueSettings) -> Vec<Vec<String>> {
    let units = job.units;
    let (name, from) = words(st.which);
    let count = st.places.len();
    let row = |what: &str, value: String| vec![format!("{name}, {what}"), value];
    let mut clamps = format!("{count}");
    if let (Some(first), true) = (st.places.first(), count > 1) {
        clamps = format!(
            "{count}: the first {} from {from}, then every {}",
            sized(*first, units),
            sized(st.spacing, units)
        );
    }
    let length = sized(st.length, units);
    let mut rows = vec![
        row("length", length),
        row("bar clamps", clamps),
        row("places of the clamps", format!("{} from {from}", list(&st.places, units))),
        row(
            "each clamp presses",
            format!(
                "{} = {} × {} ÷ {count}; a clamp is taken to press {} at most",
                force(st.force, units),
                pressure(st.pressure, units),
                pressed(st.area, units),
                force(settings.clamp_load, units)
            ),
        ),
        row("jaws open", format!("at least {}: blank and two cauls", sized(st.opening, units))),
        row(
            "cauls, waxed or taped",
            format!(
                "{} of {}{}",
                2 * st.times(),
                st.caul.map(|l| sized(l, units)).join(" × "),
                if st.which == Which::Loom { ", to lie between the shoulders" } else { "" }
            ),
        ),
    ];
    if !st.blocks.is_empty() {
        rows.push(row(
            "alignment blocks",
            format!(
                "{} from {from}: pairs across both faces, waxed or taped, each held by 2 small clamps",
                list(&st.blocks, units)
            ),
        ));
    }
    if !st.enough {
        rows.push(row(
            "short of pressure",
            format!(
                "{} is wanted: clamps of {}, or a glue that needs less",
                pressure(c.wanted * PSI, units),
                force(st.force * c.wanted * PSI / st.pressure.max(1.0), units)
            ),
        ));
    }
    rows
}

pub(super) fn clamps(c: &Clamping, job: &Job, settings: &GlueSettings) -> Table {
    let units = job.units;
    let faces = if settings.glue.both_faces { "both faces" } else { "one face" };
    let mut rows = vec![
        vec![text("glue joints"), c.joints.to_string()],
        vec![text("glue area"), area(c.area, units)],
        vec![
            text("glue"),
            format!(
                "{} for a film of {} on {faces} and {:.0} % more",
                volume(c.glue, units),
                film(settings.film),
                settings.margin
            ),
        ],
    ];
    if let Some(celsius) = settings.glue.least_temperature {
        rows.push(vec![
            text("room, wood and glue"),
            format!("{} or warmer until it has set", temperature(celsius, units)),
        ]);
    }
    for st in &c.stretches {
        rows.extend(stretch(st, c, job, settings));
    }
    if !c.stretches.is_empty() {
        let all = match c.more {
            Some(more) => format!("{} of {more} wanted", c.bar_clamps()),
            None => c.bar_clamps().to_string(),
        };
        rows.push(vec![text("bar clamps in all"), all]);
        rows.push(vec![text("small clamps in all"), c.small_clamps().to_string()]);
    }
    Table {
        title: text("Glue and clamps"),
        head: ["", "how much"].map(text).to_vec(),
        rows,
        notes: vec![text(
            "The maker's sheet for your glue comes first. Pressure is for the lightest wood of the blank. A clamp's force goes through all joints under it: pressed is length by depth. It spreads at about 45°, so caul and outer strip together are as thick as half the spacing (common practice).",
        )],
        gluing: true,
    }
}

pub(super) fn timing(clock_of: &Clock, job: &Job, settings: &GlueSettings) -> Table {
    let (stage, kind, pace) = (&clock_of.stage, &settings.glue, &settings.pace);
    let spread = match job.units {
        Units::Inch => format!("{:.1} s a foot", pace.spread * 0.3048),
        Units::Mm => format!("{:.1} s a metre", pace.spread),
    };
    let faces = if kind.both_faces { "both faces" } else { "one face" };
    let mut rows = vec![
        vec![text("spreading"), clock(stage.spread), format!("{faces} of each joint, {spread}")],
        vec![
            text("closing"),
            clock(stage.close),
            format!("{} strips, {:.0} s each", stage.strips, pace.close),
        ],
        vec![
            text("alignment blocks"),
            clock(stage.blocks),
            format!("{} small clamps, {:.0} s each", stage.small, pace.small_clamp),
        ],
        vec![
            text("bar clamps"),
            clock(stage.clamps),
            format!("{} clamps, {:.0} s each", stage.bars, pace.clamp),
        ],
        vec![text("in all"), clock(stage.total()), String::new()],
    ];
    if let Some(closed) = kind.closed_time {
        rows.push(vec![
            text("counted"),
            clock(clock_of.counted),
            format!(
                "a minute after closing counts as {:.2} open: {closed} min closed time to {} open",
                kind.closed_share(),
                kind.open_time
            ),
        ]);
    }
    let fits = |counted: u64, allowed: u64| {
        if counted <= allowed { "fits" } else { "does not fit" }
    };
    rows.push(vec![
        text("the glue allows"),
        clock(clock_of.allowed),
        text(fits(clock_of.counted, clock_of.allowed)),
    ]);
    for cure in &clock_of.cures {
        rows.push(vec![
            cure.what.clone(),
            clock(cure.counted),
            format!("{} of {}", fits(cure.counted, cure.allowed), clock(cure.allowed)),
        ]);
    }
    let hands = match settings.helpers {
        0 => "one pair of hands".to_owned(),
        n => format!("{} pairs of hands", n + 1),
    };
    Table {
        title: text("The clock, from the first glue to the last clamp"),
        head: ["", "figure", "how much"].map(text).to_vec(),
        rows,
        notes: vec![format!(
            "For {hands}. Paces are guesses until you time a dry run: put your own in [glue]. Times are for the room that the glue's sheet names; heat shortens them."
        )],
        gluing: true,
    }
}

/// Where the shop has fewer clamps than are wanted: what comes of it.
pub(super) fn too_few(c: &Clamping, settings: &GlueSettings) -> Option<String> {
    let (more, have) = (c.more?, settings.clamps?);
    let set = c.bar_clamps();
    if set > have {
        return Some(format!(
            "The shop has {have} bar clamps, {more} are wanted, and with fewer than {set} no blank is pressed from end to end: borrow clamps before any glue is opened."
        ));
    }
    let pressed = if c.stretches.iter().all(|st| st.enough) {
        "They press hard enough, each nearer to what it can."
    } else {
        "They do not press hard enough: see below."
    };
    Some(format!(
        "The shop has {have} bar clamps, {more} are wanted. {set} lie farther apart, under thicker cauls. {pressed}"
    ))
}

/// Where the clock does not fit: what to do.
pub(super) fn too_long(clock_of: &Clock) -> Option<String> {
    if clock_of.fits() {
        return None;
    }
    let (need, have) = (clock(clock_of.counted), clock(clock_of.allowed));
    let fits: Vec<&str> =
        clock_of.cures.iter().filter(|c| c.fits()).map(|c| c.what.as_str()).collect();
    let slower = format!("a glue that allows {} or more", clock(clock_of.counted));
    let end = if fits.is_empty() {
        format!("None of the ways that the clock lists fits; it takes {slower}, or more hands.")
    } else {
        format!("It fits {}; or take {slower}.", fits.join("; or "))
    };
    Some(format!("The glue-up takes {need} of the glue's time, which is {have}. {end}"))
}
