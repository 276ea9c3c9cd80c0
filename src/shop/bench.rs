//! The bench sheet of one blank: data that a text or a drawn sheet is made from.

mod amounts;
mod pressing;
mod steps;
mod tables;

use crate::glue::{Blank, GlueSettings, GlueUp, Laid};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Plan;
use crate::shop::clamps::Clamping;
use crate::shop::clock::Clock;
use crate::shop::hold::{Hold, holds};
use crate::shop::kept::{Kept, in_blank, kept};
use crate::shop::stack::Stack;
use crate::shop::steep;
use crate::shop::words::excess;
use amounts::{bend, density, force, shown};

/// What to do at the bench for one blank, in order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BenchSheet {
    /// The blank's name and number.
    pub title: String,
    /// How its strips lie.
    pub stack: Stack,
    /// What may go wrong with this blank.
    pub warnings: Vec<String>,
    /// Strips in order, bends, figures, clamps.
    pub tables: Vec<Table>,
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// What can hurt.
    pub cautions: Vec<String>,
}

/// A table of the bench sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// Above the table.
    pub title: String,
    /// Names of the columns.
    pub head: Vec<String>,
    /// The rows, each as long as the head.
    pub rows: Vec<Vec<String>>,
    /// Below the table.
    pub notes: Vec<String>,
    /// Its rows are of the gluing (glue, clamps, clock) and not of this one blank.
    pub gluing: bool,
}

/// One step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Step {
    /// What it is, in a word or two.
    pub title: String,
    /// What to do.
    pub lines: Vec<String>,
}

fn text(s: impl Into<String>) -> String {
    s.into()
}

/// The bench sheet of every blank.
pub fn sheets(
    up: &GlueUp,
    plan: &Plan,
    job: &Job,
    boards: &[Board],
    settings: &GlueSettings,
) -> Vec<BenchSheet> {
    let kept = kept(plan, job, boards);
    up.blanks.iter().map(|blank| sheet(blank, &kept, job, boards, settings)).collect()
}

/// The bench sheet of one blank; `kept` are strips that the saw left too deep.
pub fn sheet(
    blank: &Blank,
    kept: &[Kept],
    job: &Job,
    boards: &[Board],
    settings: &GlueSettings,
) -> BenchSheet {
    let of = job.paddles.get(blank.paddle).map_or(1, |p| p.quantity);
    let title = if of > 1 { format!("{} {}", blank.name, blank.copy) } else { blank.name.clone() };
    let clamping = Clamping::of(blank, settings, &settings.glue, job.units);
    let clock = Clock::of(blank, &clamping, settings, job.units);
    let held = holds(blank, job.shop.straight, settings);
    let mut tables = vec![
        tables::strips(blank, boards, job),
        tables::straightness(blank, job),
        tables::figures(blank, job, settings),
        pressing::across(&clamping, job, settings),
        pressing::clamps(&clamping, job, settings),
        pressing::timing(&clock, job, settings),
    ];
    if !held.is_empty() {
        tables.insert(2, tables::holds(blank, &held, job));
    }
    let mut warnings = warnings(blank, job, boards);
    warnings.extend(glue_warnings(blank, &clamping, &clock, job, settings));
    warnings.extend(held_warning(blank, &held, job, settings));
    let deep = in_blank(blank, kept);
    warnings.extend(too_deep(&deep, job));
    BenchSheet {
        title,
        stack: Stack::of(blank, job.units),
        warnings,
        tables,
        steps: steps::steps(blank, &clamping, &clock, &deep, job, settings),
        cautions: cautions(),
    }
}

/// What is said of blanks whose strips were shared in too little time.
pub const CUT_SHORT: &str = "The time limit ended before all was tried: strips are shared among the blanks and placed well, but not proved best. tally and glue, which have no limit, may share them otherwise: print this sheet anew with glue before you glue up.";

fn warnings(blank: &Blank, job: &Job, boards: &[Board]) -> Vec<String> {
    let units = job.units;
    let mut list = Vec::new();
    let limit = job.shop.straight.metres();
    let over = blank.after.depthwise.abs() - limit;
    if over > crate::glue::placing::STEP {
        list.push(format!(
            "The blank will bend {} depthwise, {} more than the {} allowed as straight: {} does better. Choose straighter strips, or plane the bend out.",
            bend(blank.after.depthwise.abs(), units),
            bend(over, units),
            shown(job.shop.straight, units),
            if blank.proved && !blank.cut_short { "no flip of these strips" } else { "no flip that was tried" }
        ));
    }
    let side = blank.after.sidewise.abs() - limit;
    if side > crate::glue::placing::STEP {
        list.push(format!(
            "The blank will spring back to {} sidewise, {} more than {}: clamp it to a straight bench or caul, and expect to plane the edges.",
            bend(blank.after.sidewise.abs(), units),
            bend(side, units),
            shown(job.shop.straight, units)
        ));
    }
    if blank.places.iter().any(|p| p.rise == 0) {
        list.push(text(
            "Grain direction is not known of the strips marked ? (boards.csv has no rises for their board, or they were turned). Read it off the strip: look at an edge where the fibres or the tiny pores show as slanting lines, or shave the upper face both ways; the plane runs smooth uphill with the grain. If it rises the wrong way, lay the strip in its other placing: as it lies for spun, rolled for tumbled. Depthwise bend stays as foretold, its sidewise bend turns round.",
        ));
    }
    if blank.figures.heavy_loom() {
        let loom = blank.figures.loom_density.unwrap_or_default();
        list.push(format!(
            "The loom weighs {}. Common practice keeps a solid loom to about 27 to 28 lb/ft³ (430 to 450 kg/m³).",
            density(loom, units)
        ));
    }
    for species in &blank.figures.unknown {
        list.push(format!(
            "The figures of {species} are not all known: weights and stiffness that need them are left out{}. Add it as [[species]] in paddles.toml.",
            if blank.equal_modulus { ", and bends are foretold as if all strips were equally stiff" } else { "" }
        ));
    }
    if blank.cut_short {
        list.push(text(CUT_SHORT));
    } else if !blank.proved {
        list.push(text(
            "There are more strips than could all be tried in every way: the placings are good, but not proved best.",
        ));
    }
    let slope = |p: &&Laid| p.board.and_then(|b| boards.get(b)).is_some_and(|b| b.runout.is_none());
    if job.paddles.get(blank.paddle).is_some_and(|p| p.runout.is_some())
        && blank.places.iter().any(|p| slope(&p))
    {
        list.push(text("Slope of grain was not measured on every board: look at each strip."));
    }
    if let Some(limit) = job.paddles.get(blank.paddle).and_then(|p| p.runout) {
        let board = |p: &Laid| p.board.and_then(|b| boards.get(b));
        let steep = |p: &&Laid| steep::steeper(board(p), p.added_slope, limit);
        let names: Vec<&str> =
            blank.places.iter().filter(steep).map(|p| p.strip.as_str()).collect();
        if !names.is_empty() {
            list.push(format!(
                "With what straightening a bent board adds, the grain is steeper than {limit} in {}: lay the fibres beside a straightedge, and change a strip that is too steep.",
                names.join(", ")
            ));
        }
    }
    list
}

fn glue_warnings(
    blank: &Blank,
    clamping: &Clamping,
    clock: &Clock,
    job: &Job,
    settings: &GlueSettings,
) -> Vec<String> {
    let mut list: Vec<String> = pressing::too_long(clock).into_iter().collect();
    list.extend(pressing::too_few(clamping, settings));
    for st in clamping.stretches.iter().filter(|st| !st.enough) {
        let (many, borrow) = match clamping.more {
            Some(_) => ("all that there are", "borrow clamps, "),
            None => ("as many as find room", ""),
        };
        list.push(format!(
            "On {} {} bar clamps, {many}, press {} where {} is wanted: {borrow}take stronger clamps and set clamp_load, or a glue that needs less pressure.",
            pressing::words(st.which).0,
            st.places.len(),
            amounts::pressure(st.pressure, job.units),
            amounts::pressure(clamping.wanted * crate::glue::settings::PSI, job.units),
        ));
    }
    let unknown: Vec<&str> = blank
        .places
        .iter()
        .filter(|p| settings.density(&p.species).is_none())
        .map(|p| p.species.name())
        .collect();
    if unknown.len() == blank.places.len() && !unknown.is_empty() {
        list.push(text("The density of no wood here is known: pressure is that for light wood."));
    }
    list
}

/// Strips that stand out of a face until the blank is planed.
fn too_deep(deep: &[(Length, bool, Vec<String>)], job: &Job) -> Option<String> {
    if deep.is_empty() {
        return None;
    }
    let one = |(over, above, names): &(Length, bool, Vec<String>)| {
        let face = if *above { "upper" } else { "lower" };
        format!("{} by {} on the {face} face", names.join(", "), excess(*over, job.units))
    };
    let list: Vec<String> = deep.iter().map(one).collect();
    Some(format!(
        "Left too deep at the saw, on the face away from the name: {}. Lay their other face flush with its neighbours; blocks go where nothing stands out, or are cut out for it. What stands out is planed off with the blank.",
        list.join("; ")
    ))
}

/// Strips that hands and blocks can hardly hold flat.
fn held_warning(
    blank: &Blank,
    held: &[Hold],
    job: &Job,
    settings: &GlueSettings,
) -> Option<String> {
    let hard = |h: &&Hold| h.force.is_some_and(|f| f > settings.hold);
    let name = |h: &Hold| {
        let strip = blank.places.get(h.place).map_or("", |p| p.strip.as_str());
        format!("{strip} {}", force(h.force.unwrap_or_default(), job.units))
    };
    let list: Vec<String> = held.iter().filter(hard).map(name).collect();
    (!list.is_empty()).then(|| {
        format!(
            "Held flat against their depthwise bend, strips take more than the {} that blocks and hands hold: {}. A short strip resists with the third power of its shortness. Choose straighter strips for these places, or more blocks and strong clamps across the faces.",
            force(settings.hold, job.units),
            list.join(", ")
        )
    })
}

fn cautions() -> Vec<String> {
    [
        "Local rules, the makers' sheets of glue, saw and finish, and a licensed or trained person's word come before this sheet.",
        "Glues with isocyanate (moisture-cured ones) and epoxies can make skin and lungs allergic for good: air the room, wear gloves and eye protection, and the respirator that the maker's sheet asks for.",
        "Wood dust harms lungs, and some woods, western redcedar among them, make people allergic. Collect it at the machine and wear a dust mask. Dust of half-cured glue is worse: scrape, don't sand.",
        "Saw: guard, riving knife or spreader and anti-kickback in place, fence parallel, push sticks near the blade; let no strip shorter than 12 in through a machine.",
        "Chisel and scraper: sharp, pushed away from you, the work held by clamps and not by a hand. Clamps are heavy and the blank is long: have a second pair of hands.",
    ]
    .map(text)
    .to_vec()
}
