//! Jobs for the bench: what a sheet is asked of, known without asking the program.

use crate::fixtures::Dice;
use stripwright::choose::{Options, plan};
use stripwright::glue::glue_up;
use stripwright::length::Units;
use stripwright::read::{List, boards_text, paddles_text};
use stripwright::report::text::bench::text_sheet;
use stripwright::shop::bench;
use stripwright::verify::verify;

/// What the test knows of the job without asking the program; lengths in the job's units.
pub struct Job {
    pub metric: bool,
    pub boards: String,
    pub paddles: String,
    /// From the centreline outwards: thickness, through, centre.
    pub laminations: Vec<(f64, bool, bool)>,
    pub blade: f64,
    pub loom: f64,
    pub length: f64,
    pub depth: f64,
    /// Pressure for the lightest wood, in psi or MPa as the sheet shows it.
    pub pressure: f64,
    pub load: f64,
    pub both: bool,
    pub open: u64,
    pub closed: Option<u64>,
    pub helpers: u64,
}

/// The first sheet of a job, as it is printed.
pub fn printed(job: &Job, width: usize) -> String {
    let read = paddles_text("p.toml", &job.paddles).unwrap_or_else(|e| panic!("{e}"));
    let units = if job.metric { Units::Mm } else { Units::Inch };
    let boards =
        boards_text("b.csv", &job.boards, units, List::OnHand).unwrap_or_else(|e| panic!("{e}"));
    let made = plan(&read.job, &boards, &Options::default()).unwrap_or_else(|_| panic!("no plan"));
    let plan = verify(made, &read.job, &boards).unwrap_or_else(|_| panic!("breaks rules"));
    let up = glue_up(&plan, &read.job, &boards, &read.glue);
    let sheets = bench::sheets(&up, &plan, &read.job, &boards, &read.glue);
    text_sheet(&sheets[0], width)
}

impl Dice {
    pub fn one<T: Copy>(&mut self, of: &[T]) -> T {
        let sides = u64::try_from(of.len()).unwrap();
        of[usize::try_from(self.roll(sides)).unwrap()]
    }
}

/// Woods with their specific gravity (Wood Handbook, Table 5-3a).
const WOODS: [(&str, f64); 4] = [
    ("western redcedar", 0.32),
    ("Sitka spruce", 0.40),
    ("black cherry", 0.50),
    ("white ash", 0.60),
];

#[allow(clippy::cast_precision_loss)]
pub fn made_up(seed: u64) -> Job {
    let mut dice = Dice(seed);
    for _ in 0..4 {
        dice.roll(2);
    }
    let metric = dice.roll(2) == 1;
    // In sixty-fourths of an inch, or in millimetres.
    let (one, text): (f64, fn(u64) -> String) = if metric {
        (1.0, |n| format!("{n}"))
    } else {
        (1.0 / 64.0, |n| format!("\"{} {}/64\"", n / 64, n % 64))
    };
    let pick = |dice: &mut Dice, inch: [u64; 2], mm: [u64; 2]| {
        let [from, to] = if metric { mm } else { inch };
        from + dice.roll(to - from + 1)
    };
    let long = pick(&mut dice, [78 * 64, 92 * 64], [1980, 2340]);
    let loom = pick(&mut dice, [16 * 64, 24 * 64], [405, 610]) / 2 * 2 + long % 2;
    let thick = pick(&mut dice, [72, 96], [28, 38]);
    let trim = pick(&mut dice, [8, 40], [5, 15]);
    let mut laminations = Vec::new();
    let mut parts = String::new();
    let mut woods = Vec::new();
    let through = 1 + dice.roll(2);
    let blades = dice.roll(3);
    for n in 0..through + blades {
        let t = pick(&mut dice, [12, 48], [5, 19]);
        let centre = n == 0 && dice.roll(2) == 0;
        let (wood, gravity) = dice.one(&WOODS);
        woods.push((wood, gravity));
        let runs = if n < through { "through" } else { "blade" };
        laminations.push((t as f64 * one, n < through, centre));
        parts.push_str(&format!(
            "[[paddle.lamination]]\nname = \"part {n}\"\nthickness = {}\nruns = \"{runs}\"\ncentre = {centre}\nspecies = [\"{wood}\"]\n",
            text(t)
        ));
    }
    if laminations.len() == 1 && laminations[0].2 {
        // One strip alone needs no glue.
        laminations[0].2 = false;
        parts = parts.replace("centre = true", "centre = false");
    }
    let both = dice.roll(2) == 1;
    let open = 3 + dice.roll(20);
    let closed = (dice.roll(2) == 1).then(|| open * 2);
    let helpers = dice.roll(3);
    let pounds = dice.one(&[150_u64, 370, 700, 1050]);
    let psi = dice.one(&[[5_u64; 3], [100, 150, 200], [60, 60, 60], [125, 175, 250]]);
    let mut glue = format!(
        "[glue]\nclamp_load = {pounds}\nhelpers = {helpers}\nspread_pace = {}\nclamp_pace = {}\n",
        3 + dice.roll(9),
        5 + dice.roll(25)
    );
    let kind = format!(
        "faces = \"{}\"\nopen_time = {open}\npressure = {psi:?}\n{}",
        if both { "both" } else { "one" },
        closed.map_or(String::new(), |c| format!("closed_time = {c}\n"))
    );
    if dice.roll(2) == 1 {
        glue.push_str("use = \"mine\"\n[[glue.kind]]\nname = \"slow\"\nfaces = 1\nopen_time = 45\npressure = 80\n[[glue.kind]]\nname = \"mine\"\n");
    }
    let mut boards = "board,species,length,width,thickness,crook,bow,runout,quantity\n".to_owned();
    for (n, (wood, _)) in WOODS.iter().enumerate() {
        let size = if metric { "2600,140,45,6,2" } else { "104,5 1/2,1 3/4,1/4,1/16" };
        boards.push_str(&format!("b{n},{wood},{size},1:20,20\n"));
    }
    let paddles = format!(
        "units = \"{}\"\n[shop]\ncurve_kerf = \"1/16 in\"\nresaw_kerf = \"1/16 in\"\nplane = {}\n{glue}{kind}[[paddle]]\nname = \"p\"\nlength = {}\nloom = {}\nthickness = {}\ntrim = {}\nrings = 0\n{parts}",
        if metric { "mm" } else { "in" },
        text(if metric { 1 } else { 2 }),
        text(long),
        text(loom),
        text(thick),
        text(trim)
    )
    .replace("1/16 in", if metric { "1.5" } else { "1/16" });
    let lightest = woods.iter().map(|w| w.1).fold(f64::MAX, f64::min);
    let band = usize::from(lightest >= 0.45) + usize::from(lightest > 0.55);
    let shown = if metric { 6.894_757e-3 } else { 1.0 };
    Job {
        metric,
        boards,
        paddles,
        blade: (((long - loom) / 2) + trim) as f64 * one,
        loom: loom as f64 * one,
        length: (long + 2 * trim) as f64 * one,
        depth: (thick + if metric { 2 } else { 4 }) as f64 * one,
        pressure: psi[band] as f64 * shown,
        load: pounds as f64 * if metric { 4.448_222 } else { 1.0 },
        laminations,
        both,
        open,
        closed,
        helpers,
    }
}

/// The example as it is shipped.
pub fn example() -> Job {
    let read = |name: &str| {
        let path =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/loft").join(name);
        std::fs::read_to_string(path).unwrap()
    };
    Job {
        metric: false,
        boards: read("boards.csv"),
        paddles: read("paddles.toml"),
        laminations: vec![
            (0.25, true, true),
            (0.5, true, false),
            (0.5625, false, false),
            (0.3125, false, false),
        ],
        blade: 31.875,
        loom: 21.0,
        length: 84.75,
        depth: 1.4375,
        pressure: 100.0,
        load: 700.0,
        both: false,
        open: 10,
        closed: None,
        helpers: 0,
    }
}
