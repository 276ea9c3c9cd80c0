//! The bench sheet of one blank: data that a text or a drawn sheet is made from.

use crate::glue::{Blank, Forecast, GlueSettings, GlueUp, Laid, Reach, Side};
use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::Job;
use crate::shop::clamps::{Clamping, GALLON};
use crate::shop::stack::Stack;

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
}

/// One step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Step {
    /// What it is, in a word or two.
    pub title: String,
    /// What to do.
    pub lines: Vec<String>,
}

/// A bend (metres) in the job's units: thousandths of an inch, hundredths of a millimetre.
pub fn bend(metres: f64, units: Units) -> String {
    let (number, places, mark) = match units {
        Units::Inch => (metres / 0.0254, 3, "\""),
        Units::Mm => (metres * 1000.0, 2, " mm"),
    };
    let text = format!("{number:.places$}");
    let zero = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    if zero { format!("0{mark}") } else { format!("{text}{mark}") }
}

/// A weight (kg): ounces and pounds, or grams.
pub fn weight(kilograms: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} oz", kilograms / 0.028_349_523_125),
        Units::Mm => format!("{:.0} g", kilograms * 1000.0),
    }
}

fn area(square_metres: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} ft²", square_metres / (0.3048 * 0.3048)),
        Units::Mm => format!("{square_metres:.2} m²"),
    }
}

fn volume(cubic_metres: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} fl oz", cubic_metres / (GALLON / 128.0)),
        Units::Mm => format!("{:.0} ml", cubic_metres * 1e6),
    }
}

fn force(newtons: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} lb", newtons / 4.448_221_615),
        Units::Mm => format!("{:.1} kN", newtons / 1000.0),
    }
}

fn stiffness(ei: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} lb·in²", ei / 4.448_221_615 / (0.0254 * 0.0254)),
        Units::Mm => format!("{ei:.0} N·m²"),
    }
}

fn density(kilograms: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} lb/ft³", kilograms * 0.028_316_846_592 / 0.453_592_37),
        Units::Mm => format!("{kilograms:.0} kg/m³"),
    }
}

/// The nearest 1/4 in or 5 mm, for spacings and cauls.
fn rough(length: Length, units: Units) -> String {
    let step = match units {
        Units::Inch => Length::inch_fraction(1, 4),
        Units::Mm => Length::MM * 5,
    };
    let steps = (length.units() + step.units() / 2).div_euclid(step.units());
    (step * steps).with_unit(units)
}

fn text(s: impl Into<String>) -> String {
    s.into()
}

/// The bench sheet of every blank.
pub fn sheets(
    up: &GlueUp,
    job: &Job,
    boards: &[Board],
    settings: &GlueSettings,
) -> Vec<BenchSheet> {
    up.blanks.iter().map(|blank| sheet(blank, job, boards, settings)).collect()
}

/// The bench sheet of one blank.
pub fn sheet(blank: &Blank, job: &Job, boards: &[Board], settings: &GlueSettings) -> BenchSheet {
    let of = job.paddles.get(blank.paddle).map_or(1, |p| p.quantity);
    let title = if of > 1 { format!("{} {}", blank.name, blank.copy) } else { blank.name.clone() };
    let clamping = Clamping::of(blank, settings);
    BenchSheet {
        title,
        stack: Stack::of(blank, job.units),
        warnings: warnings(blank, &clamping, job, boards),
        tables: vec![
            strips(blank, job),
            straightness(blank, job),
            figures(blank, job, settings),
            clamps(&clamping, job, settings),
        ],
        steps: steps(blank, &clamping, job, settings),
        cautions: cautions(),
    }
}

fn warnings(blank: &Blank, clamping: &Clamping, job: &Job, boards: &[Board]) -> Vec<String> {
    let units = job.units;
    let mut list = Vec::new();
    let limit = job.shop.straight.metres();
    let over = blank.after.depthwise.abs() - limit;
    if over > crate::glue::placing::STEP {
        list.push(format!(
            "The blank will bend {} depthwise, {} more than the {} allowed as straight: no flip of these strips does better. Choose straighter strips, or plane the bend out.",
            bend(blank.after.depthwise.abs(), units),
            bend(over, units),
            job.shop.straight.with_unit(units)
        ));
    }
    let side = blank.after.sidewise.abs() - limit;
    if side > crate::glue::placing::STEP {
        list.push(format!(
            "The blank will spring back to {} sidewise, {} more than {}: clamp it to a straight bench or caul, and expect to plane the edges.",
            bend(blank.after.sidewise.abs(), units),
            bend(side, units),
            job.shop.straight.with_unit(units)
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
    if !blank.proved {
        list.push(text(
            "There are more strips than could all be tried in every way: the placings are good, but not proved best.",
        ));
    }
    let slope = |p: &&Laid| boards.get(p.board).is_some_and(|b| b.runout.is_none());
    if job.paddles.get(blank.paddle).is_some_and(|p| p.runout.is_some())
        && blank.places.iter().any(|p| slope(&p))
    {
        list.push(text("Slope of grain was not measured on every board: look at each strip."));
    }
    if clamping.joints > 0 && clamping.seconds_a_joint < 20.0 {
        list.push(format!(
            "{} joints leave {:.0} seconds each: get a helper, a slower glue, or glue in two stages.",
            clamping.joints, clamping.seconds_a_joint
        ));
    }
    list
}

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

fn strips(blank: &Blank, job: &Job) -> Table {
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

fn straightness(blank: &Blank, job: &Job) -> Table {
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

fn figures(blank: &Blank, job: &Job, settings: &GlueSettings) -> Table {
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

fn clamps(c: &Clamping, job: &Job, settings: &GlueSettings) -> Table {
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

fn steps(blank: &Blank, c: &Clamping, job: &Job, settings: &GlueSettings) -> Vec<Step> {
    let units = job.units;
    let order = across(blank);
    let first = order.first().cloned().unwrap_or_default();
    let last = order.last().cloned().unwrap_or_default();
    let joined = |list: &[String]| list.join("; ");
    let body = order.get(..order.len().saturating_sub(1)).unwrap_or_default();
    let open = settings.open_time;
    let step = |title: &str, lines: Vec<String>| Step { title: text(title), lines };
    let blade = if blank.places.iter().any(|p| p.reach != Reach::Through) {
        format!(
            " Blade strips end flush with the through strips at the tips; their inner ends are {} apart, the length of the loom.",
            blank.loom.with_unit(units)
        )
    } else {
        String::new()
    };
    vec![
        step(
            "Lay out dry",
            vec![
                format!(
                    "Lay the strips on the bench from left to right, upper faces up, each as the table says: {}.{blade}",
                    joined(&order)
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
        ),
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
        ),
        step(
            "Open the stack like a book",
            vec![
                format!(
                    "From the left, tip each strip over to the left so that its right face looks up: {}. Leave {last} standing, the left face open.",
                    joined(body)
                ),
                format!(
                    "Glue goes on the faces that look up; the other face of each joint gets a fine mist of water if the glue cures by moisture. The two outer faces, left of {first} and right of {last}, get neither."
                ),
                text(
                    "Where a blade strip meets a through strip, glue no farther than the blade strip reaches.",
                ),
            ],
        ),
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
        ),
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
        ),
        step(
            "While it sets",
            vec![
                text("After 15 to 30 min take off the alignment blocks, before they are glued in."),
                text(
                    "At about 2 h, while the squeeze-out is still rubbery, clean it up with a scraper or an old chisel, away from you.",
                ),
                text("Leave the clamps on as long as the maker's sheet says; longer in the cold."),
            ],
        ),
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
        ),
    ]
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
