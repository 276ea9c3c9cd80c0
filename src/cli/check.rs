//! `stripwright check`.

mod many;
mod warn;

use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::{Ended, Ending, Files};
use crate::length::{Length, Units};
use crate::lumber::grain::Band;
use crate::lumber::{Angle, Board, Grain, StripInHand};
use crate::paddle::fits::fit;
use crate::paddle::strips::needed;
use crate::paddle::{Job, Paddle, StripKind, Tally, strip_kinds};
use crate::plan::Measure;
use crate::read;
use crate::report::text::rack;
use crate::report::text::table::{indented, table};
use crate::report::understood_in_pieces;
use crate::shop::defaults::defaults;
use crate::shop::words::counted;
use crate::survey::hindrance::{PLENTY, at_most, most_alone};
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::path::{Path, PathBuf};

/// Show what was understood of both files: strips needed, boards, and warnings
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright check              the job in the folder where you stand
  stripwright check my-job
  stripwright check --boards shed.csv --paddles paddles.toml --yard tuesday.csv")]
pub struct Arguments {
    #[command(flatten)]
    files: Files,
    /// A yard's list to look at too, as buy and odds read it, if not yard.csv in the folder
    #[arg(long, value_name = "FILE")]
    yard: Option<PathBuf>,
    /// Write a page of the boards as they were understood, to hold beside the wood; - for standard
    /// output
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`](crate::cli::Failure) for bad input.
pub fn run(arguments: &Arguments) -> Ended {
    let (files, yard) = arguments.files.found_beside(arguments.yard.as_ref())?;
    let sheet = [("--sheet", arguments.sheet.as_ref())];
    let paths: Vec<&Path> = files.paths().into_iter().chain(yard.as_deref()).collect();
    let mut outputs = Outputs::of(&paths, &sheet, None)?;
    let (paddles, asked) = files.asked();
    let mut read = read::Files::read(paddles, read::Asked { yard: yard.as_deref(), ..asked });
    let mut broken = None;
    // A list that only lies there keeps no one from looking at the boards.
    if let (None, Err(problems)) = (&arguments.yard, &read.yard) {
        broken = problems.to_string().lines().next().map(|first| {
            format!("buy and odds can't read the yard's list; check --yard lists all. {first}")
        });
        read.yard = Ok(Default::default());
    }
    let read::All { job, boards, yard: offered, doubts, .. } = read.settle()?;
    let doubts = [boards.doubts, doubts, offered.doubts].concat();
    let (boards, offered) = (boards.boards, offered.boards);
    outputs.open()?;
    let checked = Checked::new(&job, &boards);
    let mut warnings = warn::warnings(&checked, &offered);
    warnings.extend(broken);
    warnings.extend(crate::cli::rack::warnings(&job, &doubts, true));
    outputs.put_in_pieces("--sheet", &mut |out| {
        understood_in_pieces((&job, &boards), &warnings, out, &mut |_, _| {})
    });
    if !outputs.takes_standard_output() {
        say(&report(&checked, warnings, width(arguments.width)));
    }
    outputs.commit()?;
    Ok(Ending::Done)
}

/// What is worked out once for tables and warnings.
struct Checked<'a> {
    job: &'a Job,
    boards: &'a [Board],
    kinds: Vec<StripKind>,
    need: Tally,
    /// For each board, the most strips of each kind that one copy gives alone.
    gives: Vec<Vec<u32>>,
    /// For each kind, no more strips than this come from all boards together.
    at_most: Vec<u64>,
    /// For each kind, how many strips in hand serve it.
    in_hand: Vec<u64>,
}

impl<'a> Checked<'a> {
    fn new(job: &'a Job, boards: &'a [Board]) -> Self {
        let kinds = strip_kinds(job);
        let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
        let need = needed(job, &kinds, &wanted);
        let mut gives: Vec<Vec<u32>> = Vec::new();
        let mut seen: HashMap<String, usize> = HashMap::new();
        for (b, board) in boards.iter().enumerate() {
            // Equal boards under different names give the same. All that a board is but its
            // name, written out, finds them in a list of any length.
            let unnamed = Board { name: String::new(), ..board.clone() };
            let like = match seen.entry(format!("{unnamed:?}")) {
                Entry::Occupied(like) => Some(*like.get()),
                Entry::Vacant(new) => {
                    new.insert(b);
                    None
                }
            };
            let row = match like {
                Some(like) => gives[like].clone(),
                None => kinds
                    .iter()
                    .zip(&need)
                    .map(|(kind, &n)| most_alone(board, &job.shop, kind, n.max(PLENTY)))
                    .collect(),
            };
            gives.push(row);
        }
        let at_most = |(kind, &n): (&StripKind, &u32)| {
            boards
                .iter()
                .map(|b| u64::from(b.quantity) * u64::from(at_most(b, &job.shop, kind, n)))
                .fold(0, u64::saturating_add)
        };
        let at_most = kinds.iter().zip(&need).map(at_most).collect();
        let in_hand = |kind: &StripKind| {
            let serves = |s: &&StripInHand| kind.lines.iter().any(|&l| fit(job, s, l).is_ok());
            job.strips.iter().filter(serves).count() as u64
        };
        let in_hand = kinds.iter().map(in_hand).collect();
        Checked { job, boards, kinds, need, gives, at_most, in_hand }
    }

    /// The name of a kind of strip: its laminations, with their paddle where there are several.
    fn name(&self, kind: &StripKind) -> String {
        let name = |&(p, l): &(usize, usize)| {
            let paddle: &Paddle = &self.job.paddles[p];
            let lamination = &paddle.laminations[l].name;
            if self.job.paddles.len() == 1 {
                lamination.clone()
            } else {
                format!("{} {lamination}", paddle.name)
            }
        };
        kind.lines.iter().map(name).collect::<Vec<_>>().join(" = ")
    }
}

/// All that the command prints.
fn report(checked: &Checked<'_>, warnings: Vec<String>, width: usize) -> String {
    let (job, boards) = (checked.job, checked.boards);
    let mut out = String::new();
    out.push_str("Shop\n");
    out.push_str(&indented(&shop(job), "  ", width));
    if let Some(line) = defaults(job, boards) {
        out.push_str(&indented(&line, "  ", width));
    }
    out.push_str("\nPaddles\n");
    for paddle in &job.paddles {
        out.push_str(&indented(&paddle_line(job, paddle), "  ", width));
    }
    out.push_str("\nStrips to cut, rough sizes\n");
    let header = ["strip", "thickness", "depth", "length", "strips", "wood", "may contain"];
    out.push_str(&table(&header, &strips(checked), width));
    let title = "Boards, with how many strips each gives at most if it is cut for one kind alone";
    let of_lengths = if many::are(checked) { ", fewest to most by the paddle" } else { "" };
    out.push_str("\n\n");
    out.push_str(&indented(&format!("{title}{of_lengths}"), "", width));
    let header = ["board", "wood", "size", "grain", "bend", "zones", "gives"];
    out.push_str(&table(&header, &board_rows(checked), width));
    out.push_str("\n\n");
    out.push_str(&rack::table_of(job, width));
    out.push_str(&indented(&totals(checked), "", width));
    out.push_str(&match warnings.len() {
        0 => "\nNo warnings.\n".to_owned(),
        1 => "\n1 warning\n".to_owned(),
        n => format!("\n{n} warnings\n"),
    });
    for warning in warnings {
        out.push_str(&indented(&format!("- {warning}"), "  ", width));
    }
    out
}

fn shop(job: &Job) -> String {
    let shop = &job.shop;
    let show = |l: Length| l.with_unit(job.units);
    let resaw = match shop.resaw_kerf {
        Some(kerf) => format!("resaw {}", show(kerf)),
        None => "no resawing, since resaw_kerf is left out".to_owned(),
    };
    let curve = match shop.curve_kerf {
        Some(kerf) => format!("along a curve {}", show(kerf)),
        None => {
            "none along a curve: without curve_kerf every crooked board is straightened".to_owned()
        }
    };
    let margins: Vec<String> = shop
        .margins
        .iter()
        .map(|(kind, m)| format!("{kind} {} along and {} across", show(m.along), show(m.across)))
        .collect();
    let margins = if margins.is_empty() { "none".to_owned() } else { margins.join(", ") };
    format!(
        "Kerfs: rip {}, crosscut {}, {resaw}, {curve}. Taken off: edge {}, far edge {}, board end \
         {}, glue face {} ({} along a curve, {} resawn), blank's face {}. Kept clear around zones: \
         {margins}. Bends: alone up to {}, flipped pair up to {}, pulled out up to {}. \
         Shortest section to rip {}. Planer: \
         shortest piece {}, thinnest {}, widest {}, snipe {} at each end. Bare numbers are in {}.",
        show(shop.rip_kerf),
        show(shop.crosscut_kerf),
        show(shop.edge),
        show(shop.far_edge),
        show(shop.board_end),
        show(shop.dress),
        show(shop.curve_dress),
        show(shop.resaw_dress),
        show(shop.plane),
        show(shop.straight),
        show(shop.pair),
        show(shop.pull),
        show(shop.min_rip),
        show(shop.planer.shortest),
        show(shop.planer.thinnest),
        show(shop.planer.widest),
        show(shop.planer.snipe),
        match job.units {
            Units::Inch => "inches",
            Units::Mm => "millimetres",
        },
    )
}

/// A size with that in the other system beside it, where it was plainly measured in that one: no
/// fraction of an inch holds it, or no tenth of a millimetre, and the other's tape does.
fn both(length: Length, units: Units) -> String {
    let shown = length.with_unit(units);
    let whole = |part: i64| length != Length::ZERO && length.units() % part == 0;
    let (half, tenth) = (Length::MM.units() / 2, Length::MM.units() / 10);
    let sixteenth = Length::INCH.units() / 16;
    match units {
        Units::Inch if whole(half) && !whole(Length::INCH.units() / 64) => {
            format!("{shown} ({})", length.with_unit(Units::Mm))
        }
        Units::Mm if whole(sixteenth) && !whole(tenth) => {
            format!("{shown} ({})", length.with_unit(Units::Inch))
        }
        _ => shown,
    }
}

fn paddle_line(job: &Job, paddle: &Paddle) -> String {
    let show = |l: Length| both(l, job.units);
    let runout = match paddle.runout {
        Some(limit) => format!(", runout {limit} or flatter"),
        None => String::new(),
    };
    let grain = if paddle.rings == Angle::FLAT {
        "any ring angle".to_owned()
    } else {
        format!("rings {} or steeper to the blade's face", paddle.rings)
    };
    format!(
        "{} {}: {} long, loom {} long and {} wide, blades {} wide, {} thick, {} of trim at each \
         end; {grain}{runout}.",
        paddle.quantity,
        paddle.name,
        show(paddle.length),
        show(paddle.loom),
        show(paddle.loom_width()),
        show(paddle.blade_width()),
        show(paddle.thickness),
        show(paddle.trim),
    )
}

fn strips(checked: &Checked<'_>) -> Vec<Vec<String>> {
    let show = |l: Length| both(l, checked.job.units);
    let row = |(kind, need): (&StripKind, &u32)| {
        let wood: Vec<&str> = kind.species.iter().map(|s| s.name()).collect();
        let allow: Vec<&str> = kind.allow.iter().map(|z| z.as_str()).collect();
        vec![
            checked.name(kind),
            show(kind.thickness),
            show(kind.depth),
            show(kind.length),
            need.to_string(),
            if wood.is_empty() { "any".to_owned() } else { wood.join(" or ") },
            if allow.is_empty() { "nothing marked".to_owned() } else { allow.join(", ") },
        ]
    };
    checked.kinds.iter().zip(&checked.need).map(row).collect()
}

fn board_rows(checked: &Checked<'_>) -> Vec<Vec<String>> {
    let units = checked.job.units;
    let row = |(board, gives): (&Board, &Vec<u32>)| {
        let copies = if board.quantity > 1 {
            format!(", {} of them", board.quantity)
        } else {
            String::new()
        };
        let given = many::given(checked, gives);
        vec![
            format!("{}{copies}", board.name),
            board.species.to_string(),
            format!(
                "{} x {} x {}",
                board.length.with_unit(units),
                board.width.with_unit(units),
                board.thickness.with_unit(units)
            ),
            grain(checked.job, board),
            bend(board, units),
            zones(board),
            if given.is_empty() { "nothing".to_owned() } else { given.join(", ") },
        ]
    };
    checked.boards.iter().zip(&checked.gives).map(row).collect()
}

/// The grain as measured, and where across the board it serves strips cut upright and turned.
fn grain(job: &Job, board: &Board) -> String {
    let units = job.units;
    let mut out = match board.grain {
        None => "not given".to_owned(),
        Some(Grain::Rings(angle)) => format!("rings {angle}"),
        Some(Grain::Pith { across, depth }) => {
            format!("pith {} across, {} deep", across.with_unit(units), depth.with_unit(units))
        }
    };
    if let Some(grain) = board.grain {
        let mut angles: Vec<Angle> = job.paddles.iter().map(|p| p.rings).collect();
        angles.sort_unstable();
        angles.dedup();
        for &least in &angles {
            let serves = |turned: bool| {
                band(grain.serves(least, turned, board.thickness), board.width, units)
                    .map(|b| format!("{} {b}", if turned { "turned" } else { "upright" }))
            };
            let both: Vec<String> = [serves(false), serves(true)].into_iter().flatten().collect();
            let at = if angles.len() > 1 { format!(" for {least}") } else { String::new() };
            let both = if both.is_empty() { "serves nowhere".to_owned() } else { both.join(", ") };
            out.push_str(&format!("; {both}{at}"));
        }
    }
    if let Some(runout) = board.runout {
        out.push_str(&format!("; runout {runout}"));
    }
    out
}

/// The part of a board's width in a band; `None` if there is none.
fn band(band: Band, width: Length, units: Units) -> Option<String> {
    let span = |low: Length, high: Length| {
        let (low, high) = (low.max(Length::ZERO), high.min(width));
        (low < high).then(|| format!("{} to {}", low.show(units), high.with_unit(units)))
    };
    match band {
        Band::Everywhere => Some("anywhere".to_owned()),
        Band::Nowhere => None,
        Band::Within(low, high) if low <= Length::ZERO && high >= width => {
            Some("anywhere".to_owned())
        }
        Band::Within(low, high) => span(low, high),
        Band::Outside(low, high) if high <= Length::ZERO || low >= width => {
            Some("anywhere".to_owned())
        }
        Band::Outside(low, high) => {
            let sides: Vec<String> =
                [span(Length::ZERO, low), span(high, width)].into_iter().flatten().collect();
            (!sides.is_empty()).then(|| sides.join(" and "))
        }
    }
}

fn bend(board: &Board, units: Units) -> String {
    let one = |what: &str, gap: Length, hollow: &str, crowned: &str| {
        let side = if gap > Length::ZERO { hollow } else { crowned };
        (gap != Length::ZERO).then(|| format!("{what} {}, {side}", gap.abs().with_unit(units)))
    };
    let crook = one("crook", board.crook, "edge hollow", "edge crowned");
    let bow = one("bow", board.bow, "face hollow", "face crowned");
    let both: Vec<String> = [crook, bow].into_iter().flatten().collect();
    if both.is_empty() { "straight".to_owned() } else { both.join("; ") }
}

/// How many zones of each kind, in the order that kinds are first marked.
fn zones(board: &Board) -> String {
    let mut kinds: Vec<(&str, usize)> = Vec::new();
    for zone in &board.zones {
        match kinds.iter_mut().find(|(k, _)| *k == zone.kind.as_str()) {
            Some((_, n)) => *n += 1,
            None => kinds.push((zone.kind.as_str(), 1)),
        }
    }
    if kinds.is_empty() {
        return "none".to_owned();
    }
    kinds.iter().map(|(k, n)| format!("{n} {k}")).collect::<Vec<_>>().join(", ")
}

fn totals(checked: &Checked<'_>) -> String {
    let boards: u64 = checked.boards.iter().map(|b| u64::from(b.quantity)).sum();
    let strips: u64 = checked.need.iter().map(|&n| u64::from(n)).sum();
    let measure = match Measure::of(checked.boards) {
        Measure::Price => "Every board has a price: a plan costs the least money.",
        Measure::BoardFeet => "Not every board has a price: a plan opens the least wood.",
    };
    format!(
        "{} to cut from up to {}. {measure}",
        counted(strips, "strip"),
        counted(boards, "board")
    )
}
