//! How a sheet is printed so that it is one page if it can be: as it is, or with a lower drawing and
//! somewhat smaller type. What runs over all the same ends with parts that stay together, so that no
//! page bears a few lines. All of it is an estimate: where it is wrong nothing is lost but a page.

use crate::shop::steps::{BoardSteps, StepGroup, StepLine};

/// Millimetres of a page of Letter, the shorter one, between its margins; so much may stay empty.
const PAGE: f64 = 255.0;
const ROUGHLY: f64 = 3.0;
/// Width between the margins, and the units that drawings are wide.
const WIDE: (f64, f64) = (190.0, 720.0);
/// Headings of a board's sheet and of its cuts, with their notes; that of a list.
const HEADS: f64 = 30.0;
const LIST: f64 = 6.5;
/// Headings shrink so much with the lines: some of their room does not.
const HEADS_SHRINK: f64 = 0.57;

/// How small a sheet is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Print {
    /// As every sheet.
    Full,
    /// Somewhat smaller.
    Tight,
    /// As small as is read at arm's length.
    Tighter,
    /// As every sheet, and it runs over to further pages.
    Runs,
}

impl Print {
    /// The classes of a sheet, as page.css has them.
    pub(super) fn class(self) -> &'static str {
        match self {
            Print::Full | Print::Runs => "sheet",
            Print::Tight => "sheet tight",
            Print::Tighter => "sheet tighter",
        }
    }
}

/// A size of print: millimetres of a line in columns that do not end level, as measured on pages;
/// share of the width that a drawing takes; how many letters go on a line where `1.0` is as many as in
/// full size; and millimetres of a row in a table of strips.
struct Face {
    print: Print,
    line: f64,
    drawing: f64,
    letters: f64,
    row: f64,
}

const FACES: [Face; 3] = [
    Face { print: Print::Full, line: 4.0, drawing: 1.0, letters: 1.0, row: 0.0 },
    Face { print: Print::Tight, line: 3.5, drawing: 0.88, letters: 1.095, row: 0.0 },
    Face { print: Print::Tighter, line: 3.25, drawing: 0.84, letters: 1.15, row: 0.0 },
];
/// Bench sheets, whose drawing is smaller.
const BENCH: [Face; 3] = [
    Face { print: Print::Full, line: 3.38, drawing: 0.78, letters: 1.0, row: 4.0 },
    Face { print: Print::Tight, line: 3.2, drawing: 0.72, letters: 1.04, row: 3.75 },
    Face { print: Print::Tighter, line: 3.08, drawing: 0.66, letters: 1.08, row: 3.55 },
];
/// Headings of a bench sheet, with what stands below them.
const BENCH_HEADS: f64 = 25.0;
/// Letters on a line of its table, all columns together; and letters that the room between two
/// columns takes.
const ROW_LETTERS: f64 = 136.0;
const COLUMN: usize = 1;

#[allow(clippy::cast_precision_loss)] // some hundreds
fn many(n: usize) -> f64 {
    n as f64
}

/// How a board's sheet is printed, with so many zones and offcuts in its lists, by its drawing and by
/// a lower one; and whether the lower drawing is taken.
pub(super) fn board(
    [full, low]: [&str; 2],
    [zones, keeps]: [usize; 2],
    steps: &BoardSteps,
) -> (Print, bool) {
    let list = |many: usize| if many > 0 { LIST } else { 0.0 };
    // Two stand beside one another; most offcuts take two lines.
    let listed = many(zones.div_ceil(2) + 2 * keeps.div_ceil(2));
    for face in &FACES {
        for (drawing, lower) in [(full, false), (low, true)] {
            let cuts: f64 = steps.groups.iter().map(|g| group(g, face.letters)).sum();
            let lines = listed + cuts / 2.0;
            let shrink = 1.0 - HEADS_SHRINK * (1.0 - face.line / FACES[0].line);
            let heads = (HEADS + list(zones) + list(keeps)) * shrink;
            if heads + height(drawing) * face.drawing + lines * face.line <= PAGE - ROUGHLY {
                return (face.print, lower);
            }
        }
    }
    (Print::Runs, false)
}

/// How a bench sheet is printed, with the head and the rows of its table, and texts of its parts in
/// columns.
pub(super) fn bench(drawing: &str, table: &[Vec<String>], parts: &[Vec<String>]) -> Print {
    let columns = table.first().map_or(0, Vec::len);
    let widest = |c: usize| {
        let cells = table.iter().filter_map(|row| row.get(c)).map(|cell| cell.chars().count());
        cells.max().unwrap_or_default() + COLUMN
    };
    let letters: usize = (0..columns).map(widest).sum();
    for face in &BENCH {
        // Where a table is too wide its widest cells go on, on one line more at each turn.
        let high = (many(letters) / (ROW_LETTERS * face.letters)).ceil().max(1.0);
        let of = |part: &Vec<String>| {
            0.5 + part.iter().map(|t| text_lines(t, face.letters)).sum::<f64>()
        };
        let lines = parts.iter().map(of).sum::<f64>() / 2.0;
        let rows = many(table.len()) * (face.row + (high - 1.0) * face.line);
        let heads = BENCH_HEADS + rows;
        if heads + height(drawing) * face.drawing + lines * face.line <= PAGE - ROUGHLY {
            return face.print;
        }
    }
    Print::Runs
}

/// Lines that a text takes in a column of a bench sheet.
fn text_lines(text: &str, letters: f64) -> f64 {
    (many(text.chars().count()) / (54.0 * letters)).ceil().max(1.0)
}

/// Lines, of both columns, that a page bears at least, if it bears any.
const FEW: usize = 24;

/// Where the last parts of a sheet begin that stay together, by the lines of each part: so that
/// what runs over to a page of its own is more than a few lines.
pub(super) fn tail(lines: impl DoubleEndedIterator<Item = usize> + ExactSizeIterator) -> usize {
    let count = lines.len();
    let mut all = 0;
    let few = |n: &usize| {
        let before = all;
        all += n;
        // Parts as long as half a page would leave a hole where they do not fit.
        before < FEW && all < 3 * FEW
    };
    count - lines.rev().take_while(few).count()
}

/// How high a drawing is printed.
fn height(drawing: &str) -> f64 {
    let of = || {
        let (_, rest) = drawing.split_once("viewBox=\"")?;
        let (numbers, _) = rest.split_once('"')?;
        numbers.split(' ').nth(3)?.parse::<f64>().ok()
    };
    of().unwrap_or_default() * WIDE.0 / WIDE.1
}

/// Letters on a line of a column: of a step, of a heading, of a caution.
const LETTERS: [f64; 3] = [52.0, 54.0, 58.0];

/// Lines that a group of steps takes in its column, the room below it counted.
fn group(group: &StepGroup, letters: f64) -> f64 {
    group_lines(group, letters) + 0.6
}

/// Lines that a group of steps takes in its column.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // some hundreds
pub(super) fn lines(group: &StepGroup) -> usize {
    group_lines(group, 1.0) as usize
}

fn group_lines(group: &StepGroup, letters: f64) -> f64 {
    let lines = |count: usize, on_line: f64| (many(count) / (on_line * letters)).ceil();
    let [step, heading, caution] = LETTERS;
    let shared = group.shared_caution();
    let of = |line: &StepLine| {
        let left = if line.left.is_some() { 12 } else { 0 };
        let words = lines(line.to_string().chars().count() + left, step);
        let own = line.caution.as_deref().filter(|_| shared.is_none());
        words + own.map_or(0.0, |c| lines(c.chars().count(), caution))
    };
    lines(group.heading.chars().count(), heading)
        + shared.map_or(0.0, |c| lines(c.chars().count(), caution))
        + group.lines().iter().map(of).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::{Print, board, height, tail};
    use crate::length::Length;
    use crate::shop::steps::{Action, BoardSteps, Stage, Step, StepGroup};

    fn steps(lines: usize) -> BoardSteps {
        let step = |n: usize| Step {
            action: Action::End { at: Length::ZERO, after: false },
            piece: String::new(),
            text: format!("Cut {n}."),
            strips: Vec::new(),
            left: None,
            caution: None,
        };
        let steps = (0..lines).map(step).collect();
        let heading = "A saw".to_owned();
        let groups = vec![StepGroup { stage: Stage::Crosscut, setting: None, heading, steps }];
        BoardSteps { board: 0, copy: 1, title: "A".into(), groups }
    }

    /// A sheet gets smaller only as far as it takes to be one page; what is far too long is printed
    /// as ever.
    #[test]
    fn a_sheet_gets_smaller_only_where_that_saves_a_page() {
        let (full, low) = ("<svg viewBox=\"0 0 720 360\">", "<svg viewBox=\"0 0 720 300\">");
        assert!((height(full) - 95.0).abs() < 1e-9);
        let order = [
            (Print::Full, false),
            (Print::Full, true),
            (Print::Tight, false),
            (Print::Tight, true),
            (Print::Tighter, false),
            (Print::Tighter, true),
            (Print::Runs, false),
        ];
        let place = |n: usize| {
            let print = board([full, low], [2, 0], &steps(n));
            order.iter().position(|o| *o == print).unwrap()
        };
        let found: Vec<usize> = (0..200).map(place).collect();
        assert!(found.windows(2).all(|w| w[0] <= w[1]), "{found:?}");
        assert_eq!((found[0], found[199]), (0, order.len() - 1));
        // By hand: 252 mm less heads (36.5), drawing (95) and a line of zones leave 116.5 mm, 58 lines
        // in two columns of which the heading and the room below take 1.6.
        assert_eq!(found.iter().position(|&f| f > 0), Some(57));
    }

    /// What stays together at the end is more than a few lines, and no half page.
    #[test]
    fn the_end_of_a_sheet_is_more_than_a_few_lines() {
        assert_eq!(tail([30, 5, 5, 6, 4, 5].into_iter()), 1);
        assert_eq!(tail([90, 10, 9, 9, 3].into_iter()), 1);
        assert_eq!(tail([90, 40, 90].into_iter()), 3);
        assert_eq!(tail([60, 60, 20, 8].into_iter()), 2);
    }
}
