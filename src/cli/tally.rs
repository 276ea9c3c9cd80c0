//! `stripwright tally`.

pub(super) mod names;

use crate::cli::folder::Folder;
use crate::cli::lists::Lists;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::{Ended, Ending, Failure, fault_list, warn};
use crate::glue::glue_up;
use crate::lumber::{Board, StripInHand, look};
use crate::paddle::Job;
use crate::read::{self, Problem, Problems, RawBoards};
use crate::report::csv;
use crate::report::text::tally::{self as words, Given};
use crate::shop::tally::Left;
use crate::survey::buy::together;
use crate::verify::{Fault, VerifiedPlan, verify_cut};
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// Say what there is once boards of a plan are cut: boards, offcuts and strips, as files to plan
/// with again, and what is still missing
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Example: H and M are cut, a knot turned up in strip H.3:

  stripwright tally plan.json --boards boards.csv --paddles paddles.toml \\
      --cut H,M --spoiled H.3 --left left.csv --strips strips.csv
  stripwright plan --boards left.csv --paddles paddles.toml --strips strips.csv

A name that holds a comma is found as it is. The copies of a board are named as on
the wood: B/2 is the second board of B; B#2 where another board is called B/2 already.")]
pub struct Arguments {
    /// The boards that the plan was made from [if left out: boards.csv here; none are needed
    /// beside --rack or --yard]
    #[arg(long, value_name = "FILE")]
    boards: Option<PathBuf>,
    /// The yard's list, for a plan that buy wrote: the boards it opens count as bought
    #[arg(long, value_name = "FILE")]
    yard: Option<PathBuf>,
    /// The shop and the paddles wanted [if left out: paddles.toml here]
    #[arg(long, value_name = "FILE")]
    paddles: Option<PathBuf>,
    /// The plan, as `plan --json` writes it
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// The strips in hand that the plan was made with, and strips of the plan as measured since
    /// (what other commands read as --strips)
    #[arg(long, value_name = "FILE")]
    rack: Option<PathBuf>,
    /// The boards that are cut; left out: all that the plan opens; '': none
    #[arg(long, value_name = "NAME,...")]
    cut: Option<Vec<String>>,
    /// Strips that are spoiled, by name
    #[arg(long, value_name = "STRIP,...")]
    spoiled: Vec<String>,
    /// Blanks that are glued, by the names on their bench sheets: their strips leave the list. Give
    /// as --rack what was measured before they were glued
    #[arg(long, value_name = "BLANK,...")]
    glued: Vec<String>,
    /// Write the boards that are whole and the offcuts worth keeping, as a boards file; - for
    /// standard output
    #[arg(long, value_name = "FILE")]
    left: Option<PathBuf>,
    /// Write the strips there are now, as a strips file to measure on and to plan with; - for
    /// standard output
    #[arg(long, value_name = "FILE")]
    strips: Option<PathBuf>,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input, and for a plan that is not of these boards.
pub fn run(arguments: &Arguments) -> Ended {
    let (rack, yard) = (arguments.rack.as_deref(), arguments.yard.as_deref());
    let mut folder = Folder::of(None)?;
    let other = rack.is_some() || yard.is_some();
    let listed = folder.boards(arguments.boards.as_ref(), arguments.paddles.as_ref(), other);
    let paddles = folder.paddles(arguments.paddles.as_ref());
    folder.tell(false)?;
    let inputs: Vec<&Path> = [listed.as_deref(), yard, Some(paddles.as_path()), rack]
        .into_iter()
        .flatten()
        .chain([arguments.plan.as_path()])
        .collect();
    let files = [("--left", arguments.left.as_ref()), ("--strips", arguments.strips.as_ref())];
    let mut outputs = Outputs::of(&inputs, &files, None)?;
    let (read::Inputs { job, glue: settings, boards, doubts }, text, in_hand) = match yard {
        None => {
            let (read, text) = read::inputs_and_text(listed.as_deref(), &paddles, rack)?;
            let all = read.boards.len();
            (read, text, all)
        }
        Some(_) => {
            let lists = Lists::read((listed.as_deref(), yard), &paddles, rack)?;
            let in_hand = lists.in_hand.len();
            let boards = together(&lists.in_hand, &lists.yard);
            let Lists { job, glue, doubts, text, .. } = lists;
            (read::Inputs { job, glue, boards, doubts }, text, in_hand)
        }
    };
    for doubt in &doubts {
        warn(&doubt.to_string());
    }
    let file = read::plan(&arguments.plan, &job, &boards)?;
    let given = (arguments.cut.as_deref(), arguments.spoiled.as_slice());
    let (mut done, problems) = names::done(&file.plan, &boards, &job.strips, given);
    let plan = ours(verify_cut(&file, &job, &boards), &problems, arguments)?;
    let up = glue_up(&plan, &job, &boards, &settings);
    let problems = names::glued(&plan, &boards, &up, &mut done, &arguments.glued);
    if !problems.is_empty() {
        return Err(Failure::new(&problems));
    }
    let mut left = Left::of(&plan, &job, &boards, &up, &done);
    let bought = left.bought(&plan, in_hand, &done);
    if let Some(path) = &arguments.strips {
        keep_strange(path, &plan, &job, &left)?;
    }
    outputs.open()?;
    outputs.put("--left", || {
        let bought: Vec<Board> =
            bought.iter().map(|&(b, n)| Board { quantity: n, ..boards[b].clone() }).collect();
        let more: Vec<&Board> =
            bought.iter().chain(left.offcuts.iter().map(|o| &o.board)).collect();
        let (boards, whole) = (&boards[..in_hand], &left.whole[..in_hand]);
        csv::boards(&RawBoards::of(&text), boards, whole, &more, job.units)
    });
    outputs.put("--strips", || csv::strips(&left.strips, job.units));
    if !outputs.takes_standard_output() {
        let given = Given {
            plan: &arguments.plan,
            boards: listed.as_deref(),
            paddles: &paddles,
            yard,
            rack,
            left: arguments.left.as_deref(),
            strips: arguments.strips.as_deref(),
        };
        let columns = width(arguments.width);
        say(&words::text(&left, &done, &plan, &job, &boards, &given, columns));
    }
    outputs.commit()?;
    Ok(Ending::Done)
}

/// The plan, if it is one of these boards and names are of it.
fn ours(
    checked: Result<VerifiedPlan, Vec<Fault>>,
    problems: &Problems,
    arguments: &Arguments,
) -> Result<VerifiedPlan, Failure> {
    match checked {
        Ok(plan) if problems.is_empty() => Ok(plan),
        Ok(_) => Err(Failure::new(problems)),
        Err(faults) => {
            let names = if problems.is_empty() { String::new() } else { format!("{problems}\n") };
            Err(Failure::new(format!(
                "{names}{}\n{}: is not a plan of these boards and paddles; give the files that it \
                 was made from. Nothing was written.",
                fault_list(&faults),
                arguments.plan.display()
            )))
        }
    }
}

/// Refuses to replace a list of strips that holds more than this run knows: other strips, or what
/// was measured since. It may be the rack.
fn keep_strange(path: &Path, plan: &VerifiedPlan, job: &Job, left: &Left) -> Result<(), Failure> {
    if !std::fs::metadata(path).is_ok_and(|meta| meta.is_file() && meta.len() > 0) {
        return Ok(());
    }
    let lost = |value: Option<&str>, rule: &str| {
        let problem = Problem {
            file: path.display().to_string(),
            line: None,
            column: None,
            value: value.map(str::to_owned),
            rule: rule.to_owned(),
            cure: "give strips in hand as --rack, and name another file for --strips".to_owned(),
        };
        Err(Problems::from(problem).into())
    };
    let Ok(there) = read::rack(Some(path), job.units, Some(job)) else {
        // Strips that this job can't use are strips all the same.
        return match holds_strips(path) {
            true => lost(None, "holds strips, not all of which can be read, and would be lost"),
            false => Ok(()),
        };
    };
    let known: HashSet<String> = plan
        .strips()
        .map(|(.., strip)| look(&strip.id))
        .chain(job.strips.iter().map(|strip| look(&strip.name)))
        .collect();
    if let Some(strip) = there.strips.iter().find(|s| !known.contains(&look(&s.name))) {
        return lost(Some(&strip.name), "is a strip in that file, which would be lost");
    }
    // As foretold strips are compared as a file holds them, rounded. What --rack holds is kept.
    let foretold = csv::strips(&left.strips, job.units);
    let foretold = read::strips_text("", &foretold, job).unwrap_or_default().strips;
    let measured = there.strips.iter().find(|strip| {
        let same = |other: &&StripInHand| look(&other.name) == look(&strip.name);
        !job.strips.iter().any(|other| same(&other))
            && foretold.iter().find(same).is_some_and(|other| figures(other) != figures(strip))
    });
    measured.map_or(Ok(()), |strip| {
        lost(
            Some(&strip.name),
            "has other figures in that file, measured since, which would be lost",
        )
    })
}

/// What is measured of a strip.
fn figures(strip: &StripInHand) -> impl PartialEq + '_ {
    let sizes = [strip.length, strip.thickness, strip.depth];
    (sizes, strip.rings, [strip.sidewise, strip.depthwise], strip.rises, &strip.weight)
}

/// Does a file look like a list of strips, with a line of at least one?
fn holds_strips(path: &Path) -> bool {
    let bytes = std::fs::read(path).unwrap_or_default();
    let text = String::from_utf8_lossy(&bytes).to_lowercase();
    let mut lines = text.trim_start_matches('\u{feff}').lines().filter(|l| !l.trim().is_empty());
    let head = lines.next().unwrap_or_default();
    let cells: Vec<&str> =
        head.split([',', ';', '\t']).map(|c| c.trim_matches(['"', ' '])).collect();
    ["strip", "thickness", "depth"].iter().all(|c| cells.contains(c)) && lines.next().is_some()
}
