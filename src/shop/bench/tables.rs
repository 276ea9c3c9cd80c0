//! The tables of a bench sheet: strips in order, bends, figures, clamps.

use super::amounts::{bend, density, force, shown, sized, slope, stiffness, weight};
use super::{Table, text};
use crate::glue::{Blank, Forecast, GlueSettings, Laid, Reach, Side};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::shop::hold::Hold;
use crate::shop::words::counted;

fn side(p: &Laid) -> &'static str {
    match p.side {
        Side::Left => "left",
        Side::Centre => "centre",
        Side::Right => "right",
    }
}

fn reach(p: &Laid) -> &'static str {
    match p.reach {
        Reach::BladeA => "blade A",
        Reach::Through => "through",
        Reach::BladeB => "blade B",
    }
}

/// The end that a rise goes to, of the upper face.
fn end(rise: i8) -> Option<&'static str> {
    match rise {
        0 => None,
        r if r > 0 => Some("B"),
        _ => Some("A"),
    }
}

/// Names of the strips' rows: counted across the blank, with the end of a blade strip.
pub(super) fn rows(blank: &Blank) -> Vec<String> {
    let mut lefts: Vec<Length> = blank.places.iter().map(|p| p.left).collect();
    lefts.sort_unstable();
    lefts.dedup();
    let of = |p: &Laid| {
        let number = lefts.partition_point(|&left| left < p.left) + 1;
        let end = match p.reach {
            Reach::BladeA => "A",
            Reach::Through => "",
            Reach::BladeB => "B",
        };
        format!("{number}{end}")
    };
    blank.places.iter().map(of).collect()
}

fn grain(p: &Laid, boards: &[Board]) -> String {
    let measured = p.board.and_then(|b| boards.get(b)).and_then(|b| b.runout);
    // Flatter than 1:1000 is straight on any board.
    match (measured, p.added_slope > 0.001) {
        (None, false) => text("?"),
        (None, true) => format!("? and {} from straightening", slope(p.added_slope)),
        (Some(m), false) => m.to_string(),
        (Some(m), true) => format!(
            "{} ({m} measured, {} from straightening)",
            slope(m.ratio().hypot(p.added_slope)),
            slope(p.added_slope)
        ),
    }
}

pub(super) fn strips(blank: &Blank, boards: &[Board], job: &Job) -> Table {
    let units = job.units;
    let row = |(name, p): (String, &Laid)| {
        vec![
            name,
            p.strip.clone(),
            p.lamination_name.clone(),
            p.species.name().to_owned(),
            side(p).to_owned(),
            reach(p).to_owned(),
            sized(p.thickness(), units),
            p.placing.word().to_owned(),
            p.placing.how().to_owned(),
            bend(p.depthwise, units),
            bend(p.sidewise, units),
            end(p.rise).map_or_else(|| text("?"), |e| format!("to {e}")),
            end(p.rise).map_or_else(|| text("?"), |e| format!("toward {e}")),
            grain(p, boards),
        ]
    };
    Table {
        title: text("Strips from left to right, seen from end A with the upper face up"),
        head: [
            "",
            "strip",
            "lamination",
            "wood",
            "side",
            "runs",
            "thick",
            "lies",
            "how",
            "depthwise",
            "sidewise",
            "grain rises",
            "plane",
            "slope of grain",
        ]
        .map(text)
        .to_vec(),
        rows: rows(blank).into_iter().zip(&blank.places).map(row).collect(),
        notes: vec![
            text(
                "Bends are each strip's own, as placed: depthwise + has the upper face hollow, sidewise + has the middle to the right. Sight along each strip and check that it bends the way the table says.",
            ),
            text(
                "Grain rises to the end towards which it comes up to the upper face; plane the upper face toward that end and the lower face toward the other. ?: not known. Slopes of grain on face and edge combine as the root of the sum of their squares (ANC-19 §2.3022); straightening a bent edge or face adds its own.",
            ),
            text(
                "The name of a strip is on the face that was the board's marked face, of a turned strip on the edge that lay toward the reference edge; the arrow points to the board's marked end. All this holds with the reference edge on your left as you stand at the marked end with the marked face up. Of a mirrored board, with its reference edge on your right, every sidewise sign turns about: its strips bend to the other side. Depthwise bend and rise stay.",
            ),
        ],
        gluing: false,
    }
}

/// Strips that must be held flat.
pub(super) fn holds(blank: &Blank, holds: &[Hold], job: &Job) -> Table {
    let units = job.units;
    let names = rows(blank);
    let row = |hold: &Hold| {
        let (name, p) = (names.get(hold.place)?, blank.places.get(hold.place)?);
        let held = hold.force.map_or_else(|| text("not known"), |f| force(f, units));
        Some(vec![
            name.clone(),
            p.strip.clone(),
            bend(p.depthwise, units),
            sized(p.length, units),
            held,
        ])
    };
    Table {
        title: text("Depthwise bends that must be held flat while the glue sets"),
        head: ["", "strip", "depthwise", "over", "force"].map(text).to_vec(),
        rows: holds.iter().filter_map(row).collect(),
        notes: vec![text(
            "Force in all, spread along the strip: 384·E·I·bend ÷ (5·length³), I = thickness·depth³ ÷ 12 (the handbooks' beam on two supports). The two strips of a flipped pair press against each other.",
        )],
        gluing: false,
    }
}

pub(super) fn straightness(blank: &Blank, job: &Job) -> Table {
    let units = job.units;
    let row = |name: &str, f: &Forecast| {
        vec![text(name), bend(f.depthwise, units), bend(f.sidewise, units)]
    };
    let mut rows = vec![
        row("blank, all as they lie", &blank.before),
        row("blank, placed as said", &blank.after),
    ];
    for (name, s) in ["blade A", "loom", "blade B"].iter().zip(&blank.after.stretches) {
        rows.push(vec![
            format!("{name} alone, {}", counted(s.strips, "strip")),
            bend(s.depthwise, units),
            format!("{} of {} pulled", bend(s.sidewise, units), bend(s.pulled, units)),
        ]);
    }
    Table {
        title: text("Straightness foretold, when the clamps come off"),
        head: ["", "depthwise", "sidewise"].map(text).to_vec(),
        rows,
        notes: vec![format!(
            "Allowed as straight: {}. Depthwise + has the upper face hollow, sidewise + has the middle to the right. The clamps pull strips straight sidewise; what springs back is told by beam theory from each wood's stiffness.",
            shown(job.shop.straight, units)
        )],
        gluing: false,
    }
}

pub(super) fn figures(blank: &Blank, job: &Job, settings: &GlueSettings) -> Table {
    let (units, f) = (job.units, &blank.figures);
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut add = |name: &str, value: Option<String>| {
        rows.push(vec![text(name), value.unwrap_or_else(|| text("not known"))]);
    };
    add("blank as glued", f.glued.map(|w| weight(w, units)));
    add("blank planed and cut to length", f.planed.map(|w| weight(w, units)));
    add("paddle shaped", f.paddle.map(|w| weight(w, units)));
    add(
        "balance point",
        f.balance.map(|b| match bend(b.abs(), units) {
            at if at == "0\"" || at == "0 mm" => text("the middle"),
            at => format!("{at} from the middle, toward {}", if b > 0.0 { "B" } else { "A" }),
        }),
    );
    add("right half less left half, planed", f.right_less_left.map(|w| weight(w, units)));
    add("loom, density", f.loom_density.map(|d| density(d, units)));
    add("loom, stiffness EI depthwise", f.loom_depthwise.map(|s| stiffness(s, units)));
    add("loom, stiffness EI sidewise", f.loom_sidewise.map(|s| stiffness(s, units)));
    if let (Some(r), Some(deep), Some(side)) = (&f.reference, f.loom_depthwise, f.loom_sidewise)
        && r.depthwise > 0.0
        && r.sidewise > 0.0
    {
        let name = format!(
            "against a solid {} loom, {} wide and {} thick",
            r.species,
            shown(r.width, units),
            shown(r.thickness, units)
        );
        let value = format!(
            "{:.0} % depthwise, {:.0} % sidewise",
            100.0 * deep / r.depthwise,
            100.0 * side / r.sidewise
        );
        add(&name, Some(value));
    }
    Table {
        title: text("Weight, balance and stiffness"),
        head: ["", "figure"].map(text).to_vec(),
        rows,
        notes: vec![format!(
            "Wood at 12 % moisture, without glue and finish. Shaped: loom as planed with corners rounded to a quarter of its thickness; blades that widen evenly to the tip and thin evenly to {} there, {} at the edges. Handbook averages: single boards differ by a tenth or more.",
            shown(settings.blade_tip, units),
            shown(settings.blade_edge, units)
        )],
        gluing: false,
    }
}
