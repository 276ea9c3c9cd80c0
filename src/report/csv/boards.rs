//! Boards that are left and offcuts, in the columns that `--boards` reads (MODEL 2, 11).

use crate::length::{Length, Units};
use crate::lumber::board::Rise;
use crate::lumber::{Board, Grain, Slope, look};
use crate::read::{BOARD_COLUMNS, RawBoards, guarded};
use crate::report::csv::strips::degrees;
use std::collections::HashMap;

/// Columns of names.
const NAMES: [&str; 4] = ["board", "species", "grade", "zone"];

/// A list of boards as it is spelled in `raw`, but for those that are gone, with `offcuts` below
/// it. `left` says of each board how many there still are.
pub fn boards(
    raw: &RawBoards,
    boards: &[Board],
    left: &[u32],
    offcuts: &[&Board],
    units: Units,
) -> String {
    let written: Vec<Vec<(&str, String)>> =
        offcuts.iter().flat_map(|board| lines(board, units)).collect();
    let used = |column: &&str| {
        raw.columns.contains(column) || written.iter().flatten().any(|(c, _)| c == column)
    };
    let mut columns = raw.columns.clone();
    columns.extend(BOARD_COLUMNS.iter().filter(|c| !raw.columns.contains(c)).filter(|c| used(c)));
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(&columns);
    let counts: HashMap<String, (u32, u32)> = boards
        .iter()
        .zip(left)
        .map(|(board, &left)| (look(&board.name), (board.quantity, left)))
        .collect();
    for line in &raw.lines {
        let (before, now) = counts.get(&raw.name(line)).copied().unwrap_or((1, 1));
        if now == 0 {
            continue;
        }
        let cells = columns.iter().enumerate().map(|(at, column)| {
            let cell = line.get(at).map_or("", String::as_str);
            match *column {
                // A board that there are several of has no zones, and so one line.
                "quantity" if before != now => now.to_string(),
                column if NAMES.contains(&column) => guarded(cell),
                _ => cell.to_owned(),
            }
        });
        let _ = writer.write_record(cells);
    }
    for line in &written {
        let cell = |column: &&str| line.iter().find(|(c, _)| c == column).map_or("", |(_, v)| v);
        let _ = writer.write_record(columns.iter().map(cell));
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// The lines of one board: its own, then one for each of its zones. Cells that would say nothing
/// are left out.
fn lines(board: &Board, units: Units) -> Vec<Vec<(&'static str, String)>> {
    let mut own = vec![
        ("board", guarded(&board.name)),
        ("species", guarded(board.species.name())),
        ("length", board.length.exact(units)),
        ("width", board.width.exact(units)),
        ("thickness", board.thickness.exact(units)),
    ];
    match board.grain {
        Some(Grain::Rings(angle)) => own.push(("rings", degrees(angle))),
        Some(Grain::Pith { across, depth }) => {
            own.push(("pith_across", across.exact(units)));
            own.push(("pith_depth", depth.exact(units)));
        }
        None => {}
    }
    for (column, bend) in [("crook", board.crook), ("bow", board.bow)] {
        if bend != Length::ZERO {
            own.push((column, bend.exact(units)));
        }
    }
    if let Some(slope) = board.runout {
        own.push(("runout", slope_of(slope)));
    }
    if let Some(rise) = board.rise {
        let word = match rise {
            Rise::Far => "far",
            Rise::Marked => "marked",
        };
        own.push(("rises", word.to_owned()));
    }
    for (column, allowance) in
        [("edge", board.edge), ("far_edge", board.far_edge), ("board_end", board.board_end)]
    {
        if let Some(allowance) = allowance {
            own.push((column, allowance.exact(units)));
        }
    }
    if board.offcut {
        own.push(("offcut", "yes".to_owned()));
    }
    if board.quantity > 1 {
        own.push(("quantity", board.quantity.to_string()));
    }
    let mut out = vec![own];
    for zone in &board.zones {
        let mut line = vec![("board", guarded(&board.name)), ("zone", guarded(zone.kind.as_str()))];
        line.push(("from", zone.from.exact(units)));
        line.push(("to", zone.to.exact(units)));
        // What is left blank is the board's edge.
        if zone.near != Length::ZERO {
            line.push(("near", zone.near.exact(units)));
        }
        if zone.far != board.width {
            line.push(("far", zone.far.exact(units)));
        }
        out.push(line);
    }
    out
}

/// A slope of grain with all its digits: `1:16.64`.
fn slope_of(slope: Slope) -> String {
    let (rise, run) = (i128::from(slope.rise), i128::from(slope.run));
    let millionths = run * 1_000_000;
    if rise > 0 && millionths % rise == 0 {
        let (whole, part) = (millionths / rise / 1_000_000, millionths / rise % 1_000_000);
        let digits = format!("{whole}.{part:06}");
        return format!("1:{}", digits.trim_end_matches('0').trim_end_matches('.'));
    }
    format!("{rise}:{run}")
}
