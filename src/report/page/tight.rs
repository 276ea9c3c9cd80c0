//! Would a board's sheet run over its page by a few lines? Then it is printed a little smaller, so
//! that no page bears three lines. An estimate: where it is wrong nothing is lost but a page.

use crate::shop::steps::{BoardSteps, StepGroup, StepLine};

/// Millimetres of a page of Letter, the shorter one, between its margins.
const PAGE: f64 = 255.0;
/// Width between the margins, and the units that drawings are wide.
const WIDE: (f64, f64) = (190.0, 720.0);
/// A printed line.
const LINE: f64 = 3.96;
/// Heading of the sheet, of the zones and of the cuts, with their notes.
const HEADS: f64 = 34.0;
/// What smaller print and drawing gain.
const GAIN: f64 = 34.0;
/// Columns do not end level: so much of a page may stay empty.
const ROUGHLY: f64 = 16.0;
/// Letters on a line of a column: of a step, of a heading, of a caution.
const LETTERS: [usize; 3] = [54, 56, 60];

/// A sheet with so many listed zones and offcuts and this drawing.
pub(super) fn tight(drawing: &str, listed: usize, steps: &BoardSteps) -> bool {
    #[allow(clippy::cast_precision_loss)] // some hundreds
    let lines = |n: usize| n as f64 * LINE;
    let cuts: f64 = steps.groups.iter().map(group).sum::<f64>() * LINE / 2.0;
    let all = HEADS + height(drawing) + lines(listed.div_ceil(2)) + cuts;
    all > PAGE - ROUGHLY && all <= PAGE + GAIN
}

/// Lines that a page bears at least, if it bears any.
const FEW: usize = 9;

/// Where the last parts of a sheet begin that stay together, by the lines of each part: so that
/// what runs over to a page of its own is more than a few lines.
pub(super) fn tail(lines: impl DoubleEndedIterator<Item = usize> + ExactSizeIterator) -> usize {
    let count = lines.len();
    let mut all = 0;
    let few = |n: &usize| {
        let before = all;
        all += n;
        // A part as long as a column would leave a hole where it does not fit.
        before < FEW && all < 4 * FEW
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

/// Lines that a group of steps takes in its column, the room below it counted.
#[allow(clippy::cast_precision_loss)] // some hundreds
fn group(group: &StepGroup) -> f64 {
    lines(group) as f64 + 0.6
}

/// Lines that a group of steps takes in its column.
pub(super) fn lines(group: &StepGroup) -> usize {
    let lines = |text: &str, letters: usize| text.chars().count().div_ceil(letters);
    let [step, heading, caution] = LETTERS;
    let shared = group.shared_caution();
    let of = |line: &StepLine| {
        let left = if line.left.is_some() { 12 } else { 0 };
        let words = (line.to_string().chars().count() + left).div_ceil(step);
        let own = line.caution.as_deref().filter(|_| shared.is_none());
        words + own.map_or(0, |c| lines(c, caution))
    };
    lines(&group.heading, heading)
        + shared.map_or(0, |c| lines(c, caution))
        + group.lines().iter().map(of).sum::<usize>()
}

#[cfg(test)]
mod tests {
    use super::{PAGE, height, tight};
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

    /// Only a sheet that runs over by little is printed smaller.
    #[test]
    fn only_a_few_lines_too_many_make_a_sheet_tight() {
        let drawing = "<svg viewBox=\"0 0 720 360\">";
        assert!((height(drawing) - 95.0).abs() < 1e-9);
        let found: Vec<bool> = (0..200).map(|n| tight(drawing, 2, &steps(n))).collect();
        let first = found.iter().position(|&t| t).unwrap();
        let last = found.iter().rposition(|&t| t).unwrap();
        assert!(found[first..=last].iter().all(|&t| t));
        // 239 mm less heads, drawing and a line leave 106 mm: 53 lines in two columns.
        assert!((50..56).contains(&first) && (74..82).contains(&last), "{first} {last}");
        assert!(PAGE > height(drawing));
    }
}
