//! What there is now, what is missing and how to go on, in words (MODEL 11).

use crate::lumber::{Board, copy_name};
use crate::paddle::Job;
use crate::report::text::table::{fill, table};
use crate::shop::tally::{Done, Left, Line};
use crate::shop::words::{by, counted, near};
use crate::text::{plain, shown};
use crate::verify::VerifiedPlan;
use std::path::Path;

/// The files of a tally, as they were named.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    /// The plan.
    pub plan: &'a Path,
    /// The boards that it was made from, if there were any.
    pub boards: Option<&'a Path>,
    /// The shop and the paddles.
    pub paddles: &'a Path,
    /// The yard's list, for a plan that buy wrote.
    pub yard: Option<&'a Path>,
    /// Strips in hand, or as they were measured.
    pub rack: Option<&'a Path>,
    /// Where boards and offcuts are written.
    pub left: Option<&'a Path>,
    /// Where strips are written.
    pub strips: Option<&'a Path>,
}

/// What there is now, what is missing, and the command to go on with.
pub fn text(
    left: &Left,
    done: &Done,
    plan: &VerifiedPlan,
    job: &Job,
    boards: &[Board],
    given: &Given<'_>,
    width: usize,
) -> String {
    let mut out = Vec::new();
    let mut say = |text: &str| out.push(fill(text, width, "", ""));
    say(&cut(plan, boards, done));
    say(&strips(left, done));
    if let Some(text) = glued(left, job) {
        say(&text);
    }
    say(&whole(left, plan, boards, done));
    if left.offcuts.is_empty() && !done.cut.is_empty() {
        say("Offcuts worth keeping: none.");
    } else if !left.offcuts.is_empty() {
        say("Offcuts worth keeping, by the names on them:");
        out.push(offcuts(left, job, width));
    }
    let mut say = |text: &str| out.push(fill(text, width, "", ""));
    for text in missing(left, job) {
        say(&text);
    }
    let unmade = unmade(left, job);
    if let Some(text) = &unmade {
        say(text);
    }
    let before = quantities(left, job);
    say(&next(left, before.as_deref()));
    if !left.is_whole() || left.glued.iter().all(|(glued, _)| *glued == 0) {
        out.push(format!("  {}", command(left, given, unmade.is_some())));
        if let Some(text) = unwritten(left, given) {
            out.push(fill(&text, width, "", ""));
        }
    }
    out.join("\n")
}

/// Which blanks are glued, with what becomes of their strips.
fn glued(left: &Left, job: &Job) -> Option<String> {
    let kinds = job.paddles.iter().zip(&left.glued).filter(|(_, (glued, _))| *glued > 0);
    let kinds: Vec<String> = kinds
        .map(|(paddle, (glued, made))| format!("{glued} of {made} {}", plain(&paddle.name)))
        .collect();
    let strips: usize = left.lines.iter().map(|line| line.glued).sum();
    (!kinds.is_empty()).then(|| {
        let strips = counted(strips, "strip");
        format!("Glued: {}; {strips} went in and are not in the list.", kinds.join(", "))
    })
}

/// The paddles wanted that the plan does not make. Planned without `--most` what is left would have
/// to give them too.
fn unmade(left: &Left, job: &Job) -> Option<String> {
    let kinds = job.paddles.iter().zip(&left.glued).filter_map(|(paddle, (_, made))| {
        let more = paddle.quantity.saturating_sub(*made);
        (more > 0).then(|| format!("{more} of {} {}", paddle.quantity, plain(&paddle.name)))
    });
    let kinds: Vec<String> = kinds.collect();
    (!kinds.is_empty()).then(|| format!("Wanted, and not made by this plan: {}.", kinds.join(", ")))
}

/// What paddles.toml must say from now on, since what is glued would be planned again.
fn quantities(left: &Left, job: &Job) -> Option<String> {
    let kinds = job.paddles.iter().zip(&left.glued).filter(|(_, (glued, _))| *glued > 0);
    let kinds: Vec<String> = kinds
        .map(|(paddle, (glued, made))| {
            let name = plain(&paddle.name);
            match made.saturating_sub(*glued) {
                0 => format!("take {name} out"),
                n => format!("quantity = {n} for {name}"),
            }
        })
        .collect();
    (!kinds.is_empty()).then(|| kinds.join(", "))
}

/// Which boards of the plan are cut.
fn cut(plan: &VerifiedPlan, boards: &[Board], done: &Done) -> String {
    let names: Vec<String> = done
        .cut
        .iter()
        .filter_map(|&i| plan.boards.get(i))
        .map(|cut| plain(&copy_name(boards, cut.board, cut.copy)))
        .collect();
    match (names.len(), plan.boards.len()) {
        (0, n) => format!("Cut: none of the {} of the plan.", counted(n, "board")),
        (n, all) if n == all => format!("Cut: every board of the plan ({}).", names.join(", ")),
        (n, all) => format!("Cut: {n} of the {all} boards of the plan ({}).", names.join(", ")),
    }
}

fn strips(left: &Left, done: &Done) -> String {
    let fresh = left.strips.len() - left.before;
    let mut text = format!("Strips: {} cut and good", fresh);
    if left.before > 0 {
        text += &format!(", and {} that were in hand before", left.before);
    }
    if !done.spoiled.is_empty() {
        let names: Vec<String> = done.spoiled.iter().map(|s| plain(s)).collect();
        text += &format!("; {} spoiled ({})", names.len(), names.join(", "));
    }
    text + "."
}

/// What is whole.
fn whole(left: &Left, plan: &VerifiedPlan, boards: &[Board], done: &Done) -> String {
    let all: u64 = left.whole.iter().map(|&n| u64::from(n)).sum();
    let planned: Vec<String> = plan
        .boards
        .iter()
        .enumerate()
        .filter(|(i, _)| !done.cut.contains(i))
        .map(|(_, cut)| plain(&copy_name(boards, cut.board, cut.copy)))
        .collect();
    let count = match all {
        1 => "1 board is".to_owned(),
        n => format!("{n} boards are"),
    };
    match planned.as_slice() {
        _ if all == 0 => "Boards: none is whole.".to_owned(),
        [] => format!("Boards: {count} whole; the plan needs none of them."),
        names => format!("Boards: {count} whole; the plan is still to cut {}.", names.join(", ")),
    }
}

fn offcuts(left: &Left, job: &Job, width: usize) -> String {
    let rows: Vec<Vec<String>> = left
        .offcuts
        .iter()
        .map(|offcut| {
            let board = &offcut.board;
            let mut marks = Vec::new();
            if !board.zones.is_empty() {
                marks.push(counted(board.zones.len(), "zone"));
            }
            for (bend, word) in [(board.crook, "crook"), (board.bow, "bow")] {
                if bend.units() != 0 {
                    marks.push(format!("{word} {}", near(bend, job.units)));
                }
            }
            vec![
                plain(&board.name),
                plain(board.species.name()),
                by(&[board.length, board.width, board.thickness], job.units),
                marks.join(", "),
            ]
        })
        .collect();
    table(&["offcut", "wood", "length × width × thickness", "marks"], &rows, width)
}

/// What is missing of every lamination, a sentence each.
fn missing(left: &Left, job: &Job) -> Vec<String> {
    let name = |line: &Line| {
        let (paddle, lamination) = job.names(line.paddle, line.lamination);
        format!("{}, {}", plain(paddle), plain(lamination))
    };
    let mut out: Vec<String> = Vec::new();
    for line in &left.lines {
        let mut parts = Vec::new();
        if line.to_come > 0 {
            parts.push(format!("{} on boards still to be cut", counted(line.to_come, "strip")));
        }
        if line.anew() > 0 {
            parts.push(format!("{} to be cut anew", counted(line.anew(), "strip")));
        }
        if line.unfit > 0 {
            let fit = if line.unfit == 1 { "fits" } else { "fit" };
            parts.push(format!("{} no longer {fit} as measured", counted(line.unfit, "strip")));
        }
        if line.stand_in() > 0 {
            parts.push(format!(
                "{} in for what is spoiled or fits no longer; planning again cuts as many spares anew, unless spares \
                 is {} in paddles.toml",
                match line.stand_in() {
                    1 => "a spare stands".to_owned(),
                    n => format!("{n} spares stand"),
                },
                line.spares - line.stand_in()
            ));
        }
        if !parts.is_empty() {
            out.push(format!("Missing of {}: {}.", name(line), parts.join("; ")));
        }
    }
    if out.is_empty() {
        out.push("Missing: nothing. Every strip of the plan is there.".to_owned());
    }
    out
}

/// What the command does; `quantities` is what paddles.toml must say before.
fn next(left: &Left, quantities: Option<&str>) -> String {
    match (left.is_whole(), quantities) {
        (true, _) if left.all_glued() => {
            "Every paddle of the plan is glued: nothing is left to do.".to_owned()
        }
        (true, Some(_)) => {
            "Glue the others up as their sheets say: their strips are there.".to_owned()
        }
        (true, None) => {
            "Measure the strips, correct the strips file, and go on at the bench with:".to_owned()
        }
        (false, Some(quantities)) => format!(
            "So that what is glued is not planned again, write in paddles.toml: {quantities}. Then go on with (what is cut already costs nothing):"
        ),
        (false, None) => "Go on with (what is cut already costs nothing):".to_owned(),
    }
}

/// The command to go on with; `most` where the plan made fewer paddles than are wanted.
fn command(left: &Left, given: &Given<'_>, most: bool) -> String {
    let measured = given.rack.filter(|_| left.is_whole());
    let strips = given.strips.or(measured).unwrap_or(Path::new("strips.csv"));
    let paddles = quoted(given.paddles);
    if left.is_whole() {
        let boards = given.boards.map_or(String::new(), |b| format!("--boards {} ", quoted(b)));
        let yard = given.yard.map_or(String::new(), |y| format!("--yard {} ", quoted(y)));
        return format!(
            "stripwright glue {} {boards}{yard}--paddles {paddles} --strips {}",
            quoted(given.plan),
            quoted(strips)
        );
    }
    let boards = given.left.unwrap_or(Path::new("left.csv"));
    format!(
        "stripwright plan {}--boards {} --paddles {paddles} --strips {}",
        if most { "--most " } else { "" },
        quoted(boards),
        quoted(strips)
    )
}

/// Which of the files in the command this run doesn't write.
fn unwritten(left: &Left, given: &Given<'_>) -> Option<String> {
    let mut files = Vec::new();
    if given.left.is_none() && !left.is_whole() {
        files.push("--left left.csv");
    }
    if given.strips.is_none() && !(left.is_whole() && given.rack.is_some()) {
        files.push("--strips strips.csv");
    }
    (!files.is_empty()).then(|| {
        let what = if files.len() == 1 { "is" } else { "are" };
        format!("What it reads {what} not written yet: give {} here first.", files.join(" and "))
    })
}

/// A path as a shell takes it.
pub(crate) fn quoted(path: &Path) -> String {
    let text = shown(&path.display().to_string());
    let bare = |c: char| c.is_alphanumeric() || "/._-+,:@%".contains(c);
    if !text.is_empty() && text.chars().all(bare) {
        text
    } else {
        format!("'{}'", text.replace('\'', "'\\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::quoted;
    use std::path::Path;

    #[test]
    fn a_path_is_one_word_for_a_shell() {
        assert_eq!(quoted(Path::new("shop/left-1.csv")), "shop/left-1.csv");
        assert_eq!(quoted(Path::new("my boards.csv")), "'my boards.csv'");
        assert_eq!(quoted(Path::new("o'k$.csv")), "'o'\\''k$.csv'");
    }
}
