//! The tables of a bench sheet: strips in order, bends, figures, clamps.

use super::amounts::{area, bend, density, force, rough, stiffness, volume, weight};
use super::{Table, text};
use crate::glue::{Blank, Forecast, GlueSettings, Laid, Reach, Side};
use crate::paddle::Job;
use crate::shop::clamps::Clamping;

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

pub(super) fn strips(blank: &Blank, job: &Job) -> Table {
    let units = job.units;
    let rise = |p: &Laid| match p.rise {
        0 => "?",
        r if r > 0 => "to B",
        _ => "to A",
    };
    let row = |(n, p): (usize, &Laid)| {
        vec![
            (n + 1).to_string(),
            p.strip.clone(),
            p.lamination_name.clone(),
            p.species.name().to_owned(),
            side(p).to_owned(),
            reach(p).to_owned(),
            p.thickness().with_unit(units),
            p.placing.word().to_owned(),
            p.placing.how().to_owned(),
            bend(p.depthwise, units),
            bend(p.sidewise, units),
            rise(p).to_owned(),
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
        ]
        .map(text)
        .to_vec(),
        rows: blank.places.iter().enumerate().map(row).collect(),
        notes: vec![
            text(
                "Bends are each strip's own, as placed: depthwise + has the upper face hollow, sidewise + has the middle to the right. Sight along each strip and check that it bends the way the table says.",
            ),
            text(
                "The name of a strip is on the face that was the board's marked face, of a turned strip on the edge that lay toward the reference edge; the arrow points to the board's marked end. This holds with the reference edge on your left as you stand at the marked end with the marked face up.",
            ),
        ],
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
            format!("{name} alone, {} strips", s.strips),
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
            job.shop.straight.with_unit(units)
        )],
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
            at if at.starts_with("0\"") || at == "0 mm" => text("the middle"),
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
            r.width.with_unit(units),
            r.thickness.with_unit(units)
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
            settings.blade_tip.with_unit(units),
            settings.blade_edge.with_unit(units)
        )],
    }
}

pub(super) fn clamps(c: &Clamping, job: &Job, settings: &GlueSettings) -> Table {
    let units = job.units;
    let mut rows = vec![
        vec![text("glue joints"), c.joints.to_string()],
        vec![text("glue area"), area(c.area, units)],
        vec![
            text("glue"),
            format!(
                "{} for a film of {} and {:.0} % more",
                volume(c.glue, units),
                bend(settings.film.metres(), units),
                settings.margin
            ),
        ],
        vec![
            text("bar clamps on each blade"),
            format!("{}, {} apart", c.blade_clamps, rough(c.spacing, units)),
        ],
        vec![text("small clamps along the loom"), c.loom_clamps.to_string()],
        vec![
            text("each bar clamp presses with"),
            format!("{} for {:.0} psi on the joints", force(c.force, units), settings.pressure),
        ],
    ];
    for (many, length, width, thick) in &c.cauls {
        rows.push(vec![
            text("cauls, waxed or taped"),
            format!(
                "{many} of {} × {} × {}",
                rough(*length, units),
                rough(*width, units),
                rough(*thick, units)
            ),
        ]);
    }
    rows.push(vec![
        text("pairs of alignment blocks, waxed or taped"),
        format!("{}: at both tips, the middle of both blades, both ends of the loom", c.blocks),
    ]);
    Table {
        title: text("Glue and clamps"),
        head: ["", "how much"].map(text).to_vec(),
        rows,
        notes: vec![text(
            "Common practice; the maker's sheet for your glue comes first. Pressure spreads at about 45°, so caul and outer strip together are as thick as half the spacing.",
        )],
    }
}
