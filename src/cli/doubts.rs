//! What can be cut and planned, but hardly be meant: told of, never refused.

use crate::cli::sizes::{likewise, of_all, sizes, together};
use crate::cli::woods::not_wanted;
use crate::cli::{rack, warn, zones};
use crate::length::{Length, Units};
use crate::lumber::{BENT, Board, Slope, Species, Zone, ZoneKind, look};
use crate::paddle::{Job, strip_kinds};
use crate::read::Problem;
use crate::shop::words::listed;
use crate::text::plain;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// Tells of everything doubtful before a search, on standard error.
pub fn tell(job: &Job, boards: &[Board], read: &[Problem]) {
    for text in doubts(job, boards).iter().chain(&mistaken(job, boards)) {
        warn(text);
    }
    for text in rack::warnings(job, read, false) {
        warn(&text);
    }
}

/// What deserves a second look of the job and its boards, a sentence each.
pub fn doubts(job: &Job, boards: &[Board]) -> Vec<String> {
    // What no board is cut for comes first: all that is short may come of it.
    let misspelt = not_wanted(job, boards).into_iter().filter(|n| n.near.is_some());
    let mut out: Vec<String> = misspelt.map(|n| n.text).collect();
    out.extend(zones::misspelt(job, boards));
    out.extend(sizes(job, boards));
    out.extend(settings(job));
    out.extend(taken_off(job, boards));
    out.extend(bends(job, boards));
    out.extend(covered(job, boards));
    out.extend(runouts(job, boards));
    out.extend(capitals("board", boards.iter().map(|b| b.name.as_str())));
    out.extend(capitals("strip", job.strips.iter().map(|s| s.name.as_str())));
    out
}

/// Names that differ by capitals only: by hand on wood, c and C look alike. Those that differ by
/// blanks only were refused.
fn capitals<'a>(what: &str, names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut seen: HashMap<String, &str> = HashMap::new();
    let mut out = Vec::new();
    for name in names {
        match seen.entry(look(name).to_lowercase()) {
            // The same name in two lists, as of boards in hand that are the sample too, is one board.
            Entry::Occupied(other) if look(other.get()) == look(name) => {}
            Entry::Occupied(other) => out.push(format!(
                "{what}s {} and {} differ only by capitals; by hand on the wood they look alike",
                plain(other.get()),
                plain(name)
            )),
            Entry::Vacant(new) => {
                new.insert(name);
            }
        }
    }
    out
}

/// More than any shop's setting: thousandths of an inch, by key. Table saws take 1/16 to 5/32 in,
/// chop saws no more, bandsaws less (common practice); a quarter of an inch is a dado head.
const KERF: i64 = 375;
const SETTINGS: [(&str, i64); 8] = [
    ("edge", 3_000),
    ("far_edge", 3_000),
    ("board_end", 24_000),
    ("dress", 250),
    ("plane", 500),
    ("straight", 1_000),
    ("pair", 12_000),
    ("pull", 12_000),
];

/// Settings of the shop that no shop has.
fn settings(job: &Job) -> Vec<String> {
    let (shop, units) = (&job.shop, job.units);
    let thousandths = |n: i64| Length::from_units(Length::INCH.units() / 1000 * n);
    let mut out = Vec::new();
    let kerfs = [
        ("rip_kerf", Some(shop.rip_kerf)),
        ("crosscut_kerf", Some(shop.crosscut_kerf)),
        ("resaw_kerf", shop.resaw_kerf),
        ("curve_kerf", shop.curve_kerf),
    ];
    for (key, kerf) in kerfs.into_iter().filter_map(|(key, kerf)| Some((key, kerf?))) {
        if kerf > thousandths(KERF) {
            // A fraction of which only the part below the line was written.
            let parts = kerf.units() / Length::INCH.units();
            let whole = kerf.units() % Length::INCH.units() == 0;
            let meant = match parts {
                2..=64 if whole && units == Units::Inch => format!("was 1/{parts} meant?"),
                _ => "check the figure and its unit".to_owned(),
            };
            out.push(format!(
                "{key} is {}, more than any saw takes: {meant}",
                kerf.with_unit(units)
            ));
        } else if units == Units::Mm && kerf > Length::ZERO && kerf < thousandths(16) {
            out.push(format!(
                "{key} is {}, less than any saw takes; bare numbers are in millimetres: was it \
                 measured in inches?",
                kerf.with_unit(units)
            ));
        }
    }
    // With 0 the shop makes none.
    if shop.pair < shop.straight && shop.pair > Length::ZERO {
        out.push(format!(
            "pair is {}, less than straight, {}: strips that bend so little go in by themselves, so \
             no flipped pair is ever made; are the two exchanged?",
            shop.pair.with_unit(units),
            shop.straight.with_unit(units)
        ));
    }
    let others = [
        shop.edge,
        shop.far_edge,
        shop.board_end,
        shop.dress,
        shop.plane,
        shop.straight,
        shop.pair,
        shop.pull,
    ];
    for ((key, most), size) in SETTINGS.into_iter().zip(others) {
        if size > thousandths(most) {
            out.push(format!(
                "{key} is {}, which is more than shops have use for: check the figure and its unit",
                size.with_unit(units)
            ));
        }
    }
    out
}

/// Boards of which the shop's allowances, or their own, leave nothing.
fn taken_off(job: &Job, boards: &[Board]) -> Vec<String> {
    let units = job.units;
    let show = |l: Length| l.with_unit(units);
    let wide = |board: &Board| {
        let shop = job.shop.at(board);
        (shop.edge + shop.far_edge >= board.width).then(|| {
            format!(
                "{} wide, and edge takes {} of that and far_edge {}: nothing is left to rip",
                show(board.width),
                show(shop.edge),
                show(shop.far_edge)
            )
        })
    };
    let long = |board: &Board| {
        let ends = job.shop.at(board).board_end;
        (ends * 2 >= board.length).then(|| {
            format!(
                "{} long, and board_end takes {} off at each end: nothing is left",
                show(board.length),
                show(ends)
            )
        })
    };
    let all = [of_all(boards, wide), of_all(boards, long)];
    let check = |(what, likewise)| format!("{what}; check the figures and their unit.{likewise}");
    all.into_iter().flatten().map(check).collect()
}

/// Boards bent so much that hardly anything is left of their thickness or width.
fn bends(job: &Job, boards: &[Board]) -> Option<String> {
    let units = job.units;
    let bent = |bend: Length, board: &Board| bend.abs() * BENT > board.length;
    let find = |board: &Board| {
        let (of, size, side, bend) = if bent(board.bow, board) && board.bow.abs() >= board.thickness
        {
            ("bow", board.thickness, "thick", board.bow.abs())
        } else if bent(board.crook, board) && board.crook.abs() * 2 >= board.width {
            ("crook", board.width, "wide", board.crook.abs())
        } else {
            return None;
        };
        Some(format!(
            "{} {side} and has a {of} of {} over its length",
            size.with_unit(units),
            bend.with_unit(units)
        ))
    };
    let meant = "is that the greatest gap to a straight line from end to end?";
    together(boards, units, meant, find)
}

/// Boards that one zone covers whole, of a kind that no lamination of their wood may contain.
fn covered(job: &Job, boards: &[Board]) -> Option<String> {
    let kinds = strip_kinds(job);
    let find = |board: &Board| {
        let allowed = |kind: &ZoneKind| {
            kinds.iter().any(|k| k.takes_species(board) && k.allow.contains(kind))
        };
        let all = |z: &Zone| {
            z.from <= Length::ZERO
                && z.to >= board.length
                && z.near <= Length::ZERO
                && z.far >= board.width
        };
        let zone = board.zones.iter().find(|z| all(z) && !allowed(&z.kind))?;
        Some(format!("covered whole by its {}", plain(zone.kind.as_str())))
    };
    // No number is in doubt.
    let (what, likewise) = of_all(boards, find)?;
    Some(format!(
        "{what}, and gives nothing: a side that is left blank runs to the board's end or edge, so \
         give from, to, near and far.{likewise}"
    ))
}

/// Slopes of grain that no one would make a paddle of, or that allow everything.
fn runouts(job: &Job, boards: &[Board]) -> Vec<String> {
    let steep = |slope: Slope| slope.steeper_than(Slope::STEEPEST);
    let mut out = Vec::new();
    for paddle in &job.paddles {
        if let Some(limit) = paddle.runout.filter(|&limit| steep(limit)) {
            out.push(format!(
                "paddle {} allows grain that runs out at {limit}, steeper than {}: was 1:15 or so meant?",
                plain(&paddle.name),
                Slope::STEEPEST
            ));
        }
    }
    let found: Vec<&Board> = boards.iter().filter(|b| b.runout.is_some_and(steep)).collect();
    if let Some((first, slope)) = found.first().and_then(|b| Some((b, b.runout?))) {
        let others: Vec<String> = found[1..].iter().map(|b| plain(&b.name)).collect();
        let others: Vec<&str> = others.iter().map(String::as_str).collect();
        out.push(format!(
            "board {} has grain that runs out at {slope}, steeper than {}: measure how far along \
             it rises by one.{}",
            plain(&first.name),
            Slope::STEEPEST,
            likewise(&others)
        ));
    }
    out
}

/// Names that may be of several woods, each with the boards, strips and laminations of it and the
/// woods.
pub fn several_woods(job: &Job, boards: &[Board]) -> Vec<String> {
    let laminations = || job.paddles.iter().flat_map(|p| &p.laminations);
    let mut names: Vec<&Species> = boards.iter().map(|b| &b.species).collect();
    names.extend(laminations().flat_map(|l| &l.species));
    names.extend(job.strips.iter().map(|s| &s.species));
    let mut seen: Vec<&str> = Vec::new();
    let mut out = Vec::new();
    for name in names {
        let woods = name.may_be();
        if woods.len() < 2 || seen.contains(&name.key()) {
            continue;
        }
        seen.push(name.key());
        out.push(format!(
            "{} may be several woods: {}. It is taken for a wood of its own, whose weight and \
             stiffness only a [[species]] can tell: write which it is",
            plain(name.name()),
            listed(&woods)
        ));
    }
    out
}

/// Woods that may be those asked for but are named so that they are not taken for them.
fn mistaken(job: &Job, boards: &[Board]) -> Vec<String> {
    let wanted = || job.paddles.iter().flat_map(|p| &p.laminations).flat_map(|l| &l.species);
    let mut seen: Vec<&str> = Vec::new();
    let mut out = Vec::new();
    for wood in boards.iter().map(|b| &b.species).chain(job.strips.iter().map(|s| &s.species)) {
        if seen.contains(&wood.key()) || wanted().any(|w| w.matches(wood)) {
            continue;
        }
        seen.push(wood.key());
        let may = wood.may_be();
        let meant = wanted().find(|w| w.wood().is_some_and(|w| may.contains(&w.name)));
        if let Some(meant) = meant.filter(|_| may.len() > 1) {
            out.push(format!(
                "{} may be several woods, {}, and is not taken for {}: write which it is",
                plain(wood.name()),
                listed(&may),
                plain(meant.name())
            ));
        }
    }
    out
}
