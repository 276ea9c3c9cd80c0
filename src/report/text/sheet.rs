//! Each board as a text drawing that fits the width of a terminal.

use crate::length::Length;
use crate::lumber::{Board, Zone};
use crate::paddle::Job;
use crate::report::draw::board::{doing, keep_size};
use crate::report::kinds::{self, Sign};
use crate::report::text::table::fill;
use crate::report::text_width::clip;
use crate::shop::layout::Layout;
use crate::shop::part::Part;
use crate::shop::words::{bare, by, near};
use crate::text::plain;
use crate::verify::VerifiedPlan;

/// Columns for widths at the left, at least.
const GUTTER: usize = 10;
/// In fewer columns a drawing says nothing.
const LEAST: usize = 40;

/// Text drawings of the boards that a plan opens, no line longer than `width` columns. Below 40
/// columns no board is drawn; what is said of it stays. Along the board runs to the right, the
/// reference edge is on top.
pub fn text(plan: &VerifiedPlan, job: &Job, boards: &[Board], width: usize) -> String {
    let layouts = Layout::all(plan, job, boards);
    let signs = kinds::signs(layouts.iter().map(|l| l.board));
    let mut out = String::new();
    for layout in &layouts {
        if !out.is_empty() {
            out.push('\n');
        }
        one(&mut out, layout, &signs, width);
    }
    out
}

/// A row of the drawing: what lies between two widths.
struct Row {
    near: Length,
    far: Length,
    /// Text at the left: where it begins, across the board.
    label: String,
    cells: Vec<char>,
}

fn push(out: &mut String, line: &str, width: usize) {
    out.push_str(clip(line, width).trim_end());
    out.push('\n');
}

fn one(out: &mut String, layout: &Layout<'_>, signs: &[Sign], width: usize) {
    let (b, units) = (layout.board, layout.units());
    let sizes = by(&[b.length, b.width, b.thickness], units);
    let title = format!("{}: {}, {sizes}", layout.title, plain(b.species.name()));
    // A narrow terminal gets it on several lines, with all its figures.
    let (first, next) = if width < LEAST { ("  ", "    ") } else { ("", "    ") };
    for line in fill(&title, width, first, next).lines() {
        push(out, line, width);
    }
    let mut bends = Vec::new();
    for (gap, what) in [(b.crook, "reference edge"), (b.bow, "marked face")] {
        if gap != Length::ZERO {
            let way = if gap > Length::ZERO { "hollow" } else { "crowned" };
            bends.push(format!("{what} {way} by {}", near(gap.abs(), units)));
        }
    }
    if !bends.is_empty() {
        wrap(out, &format!("  {}; drawn straight", bends.join(", ")), width);
    }
    if width < LEAST {
        wrap(out, &format!("  too narrow to draw: {LEAST} columns are needed"), width);
    } else {
        drawn(out, layout, signs, width);
    }
    for part in &layout.sections {
        let line = format!(
            "  section {}: {} to {} ({} long), {}",
            part.letter,
            near(part.from, units),
            near(part.to, units),
            near(part.length(), units),
            doing(layout, part)
        );
        wrap(out, &line, width);
    }
    for keep in &layout.keeps {
        let line = format!("  keep {}: {}", keep.number, keep_size(keep, units));
        wrap(out, &line, width);
    }
    let labels = kinds::labels(b, signs);
    for (zone, label) in b.zones.iter().zip(&labels) {
        let line = format!(
            "  {label} {}: along {} to {}, across {} to {}",
            plain(zone.kind.as_str()),
            near(zone.from, units),
            near(zone.to, units),
            near(zone.near, units),
            near(zone.far, units)
        );
        wrap(out, &line, width);
    }
}

/// The drawing itself.
fn drawn(out: &mut String, layout: &Layout<'_>, signs: &[Sign], width: usize) {
    let (b, units) = (layout.board, layout.units());
    // As wide as its figures: none of them is cut short.
    let figures = |room: usize| rows(layout, signs, room).into_iter().map(|r| r.label);
    let wide = figures(1).chain([bare(b.width, units)]).map(|l| l.chars().count()).max();
    let gutter = wide.unwrap_or(0).clamp(GUTTER, width / 2);
    let room = width - gutter - 2;
    for line in dimensions(layout, room) {
        push(out, &format!("{:gutter$} {line}", ""), width);
    }
    let rule: String = std::iter::repeat_n('-', room).collect();
    push(out, &format!("{:>gutter$}+{rule}+", "ref. edge"), width);
    for row in rows(layout, signs, room) {
        let cells: String = row.cells.iter().collect();
        push(out, &format!("{:>gutter$}|{cells}|", row.label), width);
    }
    push(out, &format!("{:>gutter$}+{rule}+", bare(b.width, units)), width);
}

fn wrap(out: &mut String, line: &str, width: usize) {
    for piece in fill(line.trim_start(), width, "  ", "    ").lines() {
        push(out, piece, width);
    }
}

/// The column, from 0 to `room`, where a place along the board falls.
fn column(layout: &Layout<'_>, place: Length, room: usize) -> usize {
    let long = i128::from(layout.board.length.units().max(1));
    let room = i128::try_from(room).unwrap_or(0);
    let at = (i128::from(place.units()) * room * 2 + long) / (long * 2);
    usize::try_from(at.clamp(0, room)).unwrap_or(0)
}

/// Crosscuts from the marked end, on as many lines as they need.
fn dimensions(layout: &Layout<'_>, room: usize) -> Vec<String> {
    let (units, kerf) = (layout.units(), layout.job.shop.crosscut_kerf);
    let mut places = vec![Length::ZERO];
    let mut end = None;
    for section in &layout.sections {
        if section.from > Length::ZERO && end != Some(section.from - kerf) {
            places.push(section.from);
        }
        places.push(section.to);
        end = Some(section.to);
    }
    if end.is_none_or(|e| e < layout.board.length) {
        places.push(layout.board.length);
    }
    let mut lines: Vec<Vec<char>> = Vec::new();
    for place in places {
        let text: Vec<char> = format!("|{}", bare(place, units)).chars().collect();
        let at = column(layout, place, room);
        // Near the right end the figure stands left of its mark.
        let (start, text) = if at + text.len() > room + 1 {
            let turned: Vec<char> = text[1..].iter().copied().chain(['|']).collect();
            ((at + 1).saturating_sub(turned.len()), turned)
        } else {
            (at, text)
        };
        let free = |l: &Vec<char>| l.len() < start.max(1) || l.is_empty();
        let line = match lines.iter().position(free) {
            Some(i) => i,
            None => {
                lines.push(Vec::new());
                lines.len() - 1
            }
        };
        if let Some(row) = lines.get_mut(line) {
            row.resize(start.max(row.len()), ' ');
            row.extend(text);
        }
    }
    lines.iter().map(|l| l.iter().collect()).collect()
}

/// The rows of a board: every place across at which something begins or ends starts a new one.
fn rows(layout: &Layout<'_>, signs: &[Sign], room: usize) -> Vec<Row> {
    let (b, units) = (layout.board, layout.units());
    let mut edges = vec![Length::ZERO, b.width];
    for part in &layout.sections {
        edges.extend(part.section.rips.iter().flat_map(|r| [r.near, r.far]));
    }
    edges.extend(b.zones.iter().flat_map(|z| [z.near, z.far]));
    edges.retain(|e| (Length::ZERO..=b.width).contains(e));
    edges.sort_unstable();
    edges.dedup();
    let kerf = layout.job.shop.rip_kerf;
    let mut out: Vec<Row> = Vec::new();
    for pair in edges.windows(2) {
        let (near_side, far_side) = (pair[0], pair[1]);
        let ripped = layout
            .sections
            .iter()
            .any(|p| p.section.rips.iter().any(|r| r.near < far_side && near_side < r.far));
        let zoned = b.zones.iter().any(|z| z.near < far_side && near_side < z.far);
        // A kerf between two rips takes no row of its own, and nor does a sliver.
        if !ripped && far_side - near_side <= kerf * 2 && !(zoned && far_side - near_side > kerf) {
            continue;
        }
        let mut cells = vec![' '; room];
        zones(&mut cells, layout, signs, (near_side, far_side), room);
        out.push(Row { near: near_side, far: far_side, label: bare(near_side, units), cells });
    }
    for part in &layout.sections {
        section(&mut out, layout, part, room);
    }
    keeps(&mut out, layout, room);
    for row in &mut out {
        zones_again(row, layout, signs, room);
    }
    out
}

/// Where brackets took the only column of a zone, its letter goes beside them.
fn zones_again(row: &mut Row, layout: &Layout<'_>, signs: &[Sign], room: usize) {
    for zone in &layout.board.zones {
        if zone.near >= row.far || zone.far <= row.near {
            continue;
        }
        let mut only = vec![' '; room];
        mark(&mut only, layout, signs, zone, room);
        let of: Vec<usize> = (0..room).filter(|&i| only[i] != ' ').collect();
        let (Some(&first), Some(&last)) = (of.first(), of.last()) else { continue };
        if of.iter().any(|&i| row.cells[i] == only[i]) {
            continue;
        }
        // Not among the cells of a strip, where it would seem to lie in the strip.
        let end = (last + 1).min(room - 1);
        let outside = |i: usize| {
            let before = row.cells[..i].iter().rev().find(|c| "[]|".contains(**c));
            row.cells[i] == ' ' && (i > first || before != Some(&'['))
        };
        if let Some(free) = (first..=end).chain(first.checked_sub(1)).find(|&i| outside(i)) {
            row.cells[free] = only[first];
        }
    }
}

fn zones(
    cells: &mut [char],
    layout: &Layout<'_>,
    signs: &[Sign],
    (near_side, far_side): (Length, Length),
    room: usize,
) {
    for zone in &layout.board.zones {
        if zone.near >= far_side || zone.far <= near_side {
            continue;
        }
        mark(cells, layout, signs, zone, room);
    }
}

/// Writes a zone's letters where it lies along the board.
fn mark(cells: &mut [char], layout: &Layout<'_>, signs: &[Sign], zone: &Zone, room: usize) {
    let code = kinds::find(signs, &zone.kind).map_or("Z", |s| s.code.as_str());
    let letter: Vec<char> = code.to_lowercase().chars().collect();
    let (a, z) = (column(layout, zone.from, room), column(layout, zone.to, room));
    let last = z.max(a + 1).min(cells.len());
    let first = a.min(last.saturating_sub(1));
    for (i, cell) in cells[first..last].iter_mut().enumerate() {
        *cell = letter.get(i % letter.len().max(1)).copied().unwrap_or('z');
    }
}

/// Writes text over the cells from a column on, no further than `end`.
fn write(cells: &mut [char], at: usize, end: usize, text: &str) {
    let end = end.min(cells.len());
    if at >= end {
        return;
    }
    for (cell, c) in cells[at..end].iter_mut().zip(text.chars()) {
        *cell = c;
    }
}

fn section(rows: &mut [Row], layout: &Layout<'_>, part: &Part<'_>, room: usize) {
    let (a, z) = (
        column(layout, part.from, room),
        column(layout, part.to, room).min(room.saturating_sub(1)),
    );
    for row in rows.iter_mut() {
        for at in [a, z] {
            if let Some(cell) = row.cells.get_mut(at).filter(|c| **c == ' ') {
                *cell = ':';
            }
        }
    }
    for (r, rip) in part.section.rips.iter().enumerate() {
        // The rip's name goes on the first row that it covers.
        let covered = rows.iter_mut().filter(|row| row.near < rip.far && rip.near < row.far);
        for (i, row) in covered.enumerate() {
            if let Some(leaf) = rip.leaves.first() {
                for strip in &leaf.strips {
                    let from = column(layout, strip.from, room).min(room.saturating_sub(2));
                    let to = column(layout, strip.to, room).min(room.saturating_sub(1));
                    let (open, close) = if i == 0 { ("[", "]") } else { ("|", "|") };
                    write(&mut row.cells, from, from + 1, open);
                    write(&mut row.cells, to.max(from + 1), room, close);
                }
            }
            if i > 0 {
                continue;
            }
            for (n, strip) in rip.leaves.iter().flat_map(|l| l.strips.iter().enumerate()) {
                let from = column(layout, strip.from, room) + 1;
                let to = column(layout, strip.to, room).min(room.saturating_sub(1));
                let same: Vec<String> = rip
                    .leaves
                    .iter()
                    .filter_map(|l| l.strips.get(n))
                    .filter(|s| s.from == strip.from && s.to == strip.to)
                    .map(|s| plain(&s.id))
                    .collect();
                let code = if n == 0 { part.rip_name(r) + " " } else { String::new() };
                let text = format!("{code}{} ", same.join("/"));
                write(&mut row.cells, from, to, &clip(&text, to.saturating_sub(from)));
            }
        }
    }
}

fn keeps(rows: &mut [Row], layout: &Layout<'_>, room: usize) {
    for keep in &layout.keeps {
        if keep.place.of_a_rip() {
            continue;
        }
        let (a, z) = (column(layout, keep.from, room) + 1, column(layout, keep.to, room));
        let text = format!("keep {}", keep.number);
        let long = text.len();
        let fits = |row: &&mut Row| {
            keep.near < row.far
                && row.near < keep.far
                && z > a + long
                && row.cells.get(a..a + long).is_some_and(|c| c.iter().all(|x| *x == ' '))
        };
        if let Some(row) = rows.iter_mut().find(fits) {
            write(&mut row.cells, a, z, &text);
        }
    }
}
