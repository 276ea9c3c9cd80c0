//! Sizes that were probably typed in another unit than the job's: told of, not refused.

use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::{Job, strip_kinds};
use crate::shop::words::listed;
use crate::text::plain;

/// More than any board that a builder of paddles buys or rips: no yard stocks boards of 60 ft,
/// slabs are no wider than a few feet, and the largest timbers in PS 20's tables of sizes are
/// 16 in nominal (from memory). Millimetres read as inches are 25 times too large: a board of
/// 2400 x 140 x 38 passes every one of these, and 305 x 19 stock still one.
const GREATEST: [(Length, &str); 3] = [
    (Length::from_units(60 * Length::FOOT.units()), "long"),
    (Length::from_units(5 * Length::FOOT.units()), "wide"),
    (Length::from_units(16 * Length::INCH.units()), "thick"),
];

/// Boards no longer than this may have been measured in feet (yards seldom stock more than 16 ft), or, in a
/// job in millimetres, in inches, centimetres or metres. Only those are told of that are also too
/// short for every strip wanted, so a board that can be of use never is.
const SHORT: [Length; 2] =
    [Length::from_units(16 * Length::INCH.units()), Length::from_units(250 * Length::MM.units())];

/// Paddles and their blanks outside of this are toys or slips of the pen: Greenland-type paddles
/// are about 1.8 to 2.5 m long and 25 to 40 mm thick at the loom (common practice).
const PADDLE: [Length; 2] = [Length::from_units(500 * 80_000), Length::from_units(5000 * 80_000)];
const BLANK: [Length; 2] = [Length::from_units(8 * 80_000), Length::from_units(100 * 80_000)];

/// The most boards named in one warning.
pub(super) const NAMED: usize = 8;

/// What deserves a second look, a sentence each.
pub fn sizes(job: &Job, boards: &[Board]) -> Vec<String> {
    let units = job.units;
    let mut out = Vec::new();
    for paddle in &job.paddles {
        let name = plain(&paddle.name);
        for (what, size, [least, most]) in
            [("long", paddle.length, PADDLE), ("thick", paddle.thickness, BLANK)]
        {
            if size < least || size > most {
                out.push(format!(
                    "paddle {name} is {} {what}; bare numbers are in {}: check the figure and its unit",
                    size.with_unit(units),
                    units.word()
                ));
            }
        }
    }
    let large = |board: &Board| {
        let sizes = [board.length, board.width, board.thickness];
        let found = sizes.into_iter().zip(GREATEST).find(|&(size, (most, _))| size > most);
        found.map(|(size, (_, what))| format!("{} {what}", large_size(size, units)))
    };
    let meant = match units {
        Units::Inch => "were they measured in millimetres?",
        Units::Mm => "check the figures and their unit",
    };
    out.extend(together(boards, units, meant, large));
    let shortest = strip_kinds(job).iter().map(|kind| kind.length).min().unwrap_or_default();
    let (limit, meant) = match units {
        Units::Inch => (SHORT[0], "were they measured in feet?"),
        Units::Mm => (SHORT[1], "were they measured in inches, centimetres or metres?"),
    };
    let short = |board: &Board| {
        (board.length <= limit && board.length < shortest)
            .then(|| format!("{} long, less than any strip wanted", board.length.with_unit(units)))
    };
    out.extend(together(boards, units, meant, short));
    out.extend(strips(job));
    out
}

/// A size that is out of all bounds, beside inches in feet too: as it may have been thought of.
fn large_size(size: Length, units: Units) -> String {
    let feet = size.units() / Length::FOOT.units();
    match units {
        Units::Inch if feet > 20 => format!("{} ({feet} ft)", size.with_unit(units)),
        _ => size.with_unit(units),
    }
}

/// Strips larger than these are none: a rack's longest are those of a blank, a paddle of 8 ft with
/// its trim; strips are as deep as a blank, as thick as a board at most.
const STRIP: [Length; 3] = [
    Length::from_units(20 * Length::FOOT.units()),
    Length::from_units(4 * Length::INCH.units()),
    Length::from_units(6 * Length::INCH.units()),
];

/// Strips in hand whose sizes were probably measured in another unit.
fn strips(job: &Job) -> Option<String> {
    let units = job.units;
    let shortest = strip_kinds(job).iter().map(|kind| kind.length).min().unwrap_or_default();
    let mut found = job.strips.iter().filter_map(|strip| {
        let sizes = [strip.length, strip.thickness, strip.depth];
        let large = sizes.iter().zip(STRIP).any(|(&size, most)| size > most);
        let (short, thin) = match units {
            Units::Inch => (SHORT[0], Length::inch_fraction(1, 32)),
            Units::Mm => (SHORT[1], Length::MM),
        };
        let small = (strip.length <= short && strip.length < shortest) || strip.thickness < thin;
        let meant = match (large, units) {
            (true, Units::Inch) => "millimetres",
            (true, Units::Mm) => "another unit",
            (false, Units::Inch) => "feet",
            (false, Units::Mm) => "inches, centimetres or metres",
        };
        let size = sizes.map(|s| s.show(units)).join(" x ");
        (large || small).then(|| (plain(&strip.name), size, meant))
    });
    let (name, size, meant) = found.next()?;
    let others = match found.count() {
        0 => String::new(),
        1 => " Likewise one strip more.".to_owned(),
        n => format!(" Likewise {n} strips more."),
    };
    Some(format!(
        "strip {name} is {size} {}; bare numbers are in {}: was it measured in {meant}?{others}",
        units,
        units.word()
    ))
}

/// One warning for all boards of which the same is found.
pub(super) fn together(
    boards: &[Board],
    units: Units,
    meant: &str,
    find: impl Fn(&Board) -> Option<String>,
) -> Option<String> {
    let (first, likewise) = of_all(boards, find)?;
    Some(format!("{first}; bare numbers are in {}: {meant}{likewise}", units.word()))
}

/// What is found of the first of the boards of which anything is, `board B is …`, and of which
/// others it is.
pub(super) fn of_all(
    boards: &[Board],
    find: impl Fn(&Board) -> Option<String>,
) -> Option<(String, String)> {
    let found: Vec<(String, String)> =
        boards.iter().filter_map(|b| find(b).map(|what| (plain(&b.name), what))).collect();
    let ((name, what), rest) = found.split_first()?;
    let others: Vec<&str> = rest.iter().map(|(name, _)| name.as_str()).collect();
    Some((format!("board {name} is {what}"), likewise(&others)))
}

/// `B, C and 4 others`.
pub(super) fn named<T: AsRef<str>>(names: &[T]) -> String {
    // "1 other" is no shorter than its name.
    let shown = if names.len() == NAMED + 1 { names.len() } else { NAMED };
    let mut all: Vec<String> = names.iter().take(shown).map(|n| n.as_ref().to_owned()).collect();
    if names.len() > shown {
        all.push(format!("{} others", names.len() - shown));
    }
    listed(&all)
}

/// ` Likewise B, C and 4 others.`
pub(super) fn likewise(names: &[&str]) -> String {
    if names.is_empty() { String::new() } else { format!(" Likewise {}.", named(names)) }
}

#[cfg(test)]
mod tests {
    use super::sizes;
    use crate::length::{Length, Units};
    use crate::lumber::{Board, Species};
    use crate::paddle::Job;

    fn job(units: &str, sizes: [&str; 3]) -> Job {
        let [length, loom, thickness] = sizes;
        let text = format!(
            "units = \"{units}\"\n[[paddle]]\nname = \"p\"\nlength = \"{length}\"\nloom = \"{loom}\"\n\
             thickness = \"{thickness}\"\n[[paddle.lamination]]\nname = \"a\"\nthickness = \"1/4 in\"\nruns = \"through\"\n"
        );
        crate::read::job_text("p", &text).unwrap()
    }

    fn board(name: &str, size: [&str; 3], units: Units) -> Board {
        Board::plain(name, Species::new("ash"), size.map(|l| Length::parse(l, units).unwrap()))
    }

    #[test]
    fn millimetres_read_as_inches_and_feet_read_as_inches_are_told_of() {
        let job = job("in", ["84", "20", "1 3/8"]);
        let mm = ["2400", "140", "38"];
        let boards = ["A", "B", "C"].map(|name| board(name, mm, Units::Inch));
        assert_eq!(
            sizes(&job, &boards),
            ["board A is 2400\" (200 ft) long; bare numbers are in inches: were they measured in \
              millimetres? Likewise B and C."]
        );
        // Only the thickness.
        let thick = board("T", ["96", "6", "38"], Units::Inch);
        assert!(sizes(&job, &[thick])[0].contains("board T is 38\" thick"));
        let feet = board("F", ["8", "6", "1"], Units::Inch);
        assert!(sizes(&job, &[feet])[0].ends_with("were they measured in feet?"));
    }

    #[test]
    fn inches_read_as_millimetres_and_paddles_of_other_units_are_told_of() {
        let mm = job("mm", ["2130", "500", "35"]);
        let inches = board("I", ["96", "5.5", "1.5"], Units::Mm);
        assert!(sizes(&mm, &[inches])[0].contains("board I is 96 mm long, less than any strip"));
        for sizes_of in [["7", "2", "1 3/8"], ["2134", "500", "35"]] {
            assert!(!sizes(&job("in", sizes_of), &[]).is_empty(), "{sizes_of:?}");
        }
        assert!(!sizes(&job("mm", ["84", "20", "1.375"]), &[]).is_empty());
    }

    #[test]
    fn ordinary_boards_never_are() {
        let inch = job("in", ["84", "20", "1 3/8"]);
        for size in
            [["240", "12", "2"], ["96", "5 1/2", "1 1/2"], ["24", "2", "1/4"], ["144", "36", "12"]]
        {
            assert_eq!(sizes(&inch, &[board("a", size, Units::Inch)]), [""; 0], "{size:?}");
        }
        let mm = job("mm", ["2130", "500", "35"]);
        for size in [["6000", "300", "50"], ["2400", "140", "19"], ["400", "40", "6"]] {
            assert_eq!(sizes(&mm, &[board("a", size, Units::Mm)]), [""; 0], "{size:?}");
        }
    }
}
