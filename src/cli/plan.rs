//! `stripwright plan`.

use crate::choose::{self, Aim, NoPlan, Options};
use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Failure, Files, doubts, fault_list, whose};
use crate::glue::glue_up_until;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::read;
use crate::report::text::short::Far;
use crate::report::{self, Part, csv, json, text as show};
use crate::shop::bench;
use crate::shop::kept::kept;
use crate::survey::rest::rest;
use crate::verify::{Fault, VerifiedPlan, verify};
use std::path::PathBuf;
use std::time::Duration;

/// Plan the cheapest boards to open and how to cut them, verified and with what is proved
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright plan                       the job in the folder where you stand
  stripwright plan my-job --sheet sheet.html --json plan.json
  stripwright plan my-class --sheet class.html --json plan.json
  stripwright plan --boards left.csv --strips strips.csv --most")]
pub struct Arguments {
    #[command(flatten)]
    files: Files,
    /// Make as many whole paddles as the boards give (with several kinds, at most as many of
    /// each as wanted)
    #[arg(long)]
    most: bool,
    /// Write the plan as JSON; - for standard output
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Write the cut list as CSV, one line a strip; - for standard output
    #[arg(long, value_name = "FILE")]
    cuts: Option<PathBuf>,
    /// Write a page to print and take to the saw, as one HTML file; - for standard output
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// What the page holds, if not all: job, boards, labels, measures, gluing, bench
    #[arg(long, value_name = "PARTS", value_delimiter = ',', requires = "sheet", value_parser = Part::parse)]
    pages: Vec<Part>,
    /// Page and bench sheets for these paddles alone, as for one builder of a class: where each strip comes
    /// from, labels, measures, the bench. May be given more than once. Planned again, strips may come
    /// from other boards: pages of a plan that is sawn by are written with `glue PLAN.json --for`
    #[arg(long = "for", value_name = "PADDLES", requires = "sheet")]
    whose: Vec<String>,
    /// Write every drawing as an SVG file into this folder
    #[arg(long, value_name = "FOLDER")]
    svg: Option<PathBuf>,
    /// Print the bench sheets too: how each blank goes together
    #[arg(long)]
    bench: bool,
    /// Print the cuts of each board in shop order too, as the page has them
    #[arg(long)]
    steps: bool,
    /// Draw each board in the terminal too
    #[arg(long)]
    draw: bool,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
    #[command(flatten)]
    limit: TimeLimit,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input.
pub fn run(arguments: &Arguments) -> Ended {
    let mut options = arguments.limit.options();
    let files = [
        ("--json", arguments.json.as_ref()),
        ("--cuts", arguments.cuts.as_ref()),
        ("--sheet", arguments.sheet.as_ref()),
    ];
    let read = arguments.files.found()?;
    let mut outputs = Outputs::of(&read.paths(), &files, arguments.svg.as_ref())?;
    let read::Inputs { job, glue: settings, boards, doubts: read_so } = read.read()?;
    let pages = whose::pages(&arguments.pages, &arguments.whose, &job)?;
    let copies = boards.iter().map(|b| u64::from(b.quantity)).sum();
    let blanks = job.paddles.iter().map(|p| u64::from(p.quantity)).sum();
    outputs.foresee([job.paddles.len() as u64, copies, blanks])?;
    outputs.open()?;
    doubts::tell(&job, &boards, &read_so);
    let quiet = outputs.takes_standard_output();
    options.aim = if arguments.most { Aim::Most } else { Aim::Wanted };
    let progress = Progress::start(&mut options);
    // A little of a time limit is for laying out what was found.
    let search = Options { stop: options.stop.early(), ..options.clone() };
    let outcome = choose::plan(&job, &boards, &search);
    let stopped = search.stop.asked().then(|| search.stop.by_hand());
    match outcome {
        Ok(plan) => {
            // From here on nothing is kept that is not finished: a request to end ends the program.
            progress.searched();
            progress.stage("verifying");
            let plan = verified(verify(plan, &job, &boards))?;
            // Only pages and drawings show how blanks lie, and of thousands that takes long.
            let shown = outputs.has("--sheet") || arguments.svg.is_some();
            progress.stage("placing strips in blanks");
            // What is left of a time limit is for it too, and half a second where nothing is.
            let stop = options.stop.grace();
            let glued = || glue_up_until(&plan, &job, &boards, &settings, &stop);
            let up = (shown || !quiet).then(glued);
            let blanks = up.as_ref().map_or(&[][..], |up| &up.blanks);
            let kept = if shown { kept(&plan, &job, &boards) } else { Vec::new() };
            let sheet =
                |i: usize| Some(bench::sheet(blanks.get(i)?, &kept, &job, &boards, &settings));
            let benches = report::Benches { count: blanks.len(), sheet: &sheet };
            let own: Vec<usize> =
                (0..blanks.len()).filter(|&b| pages.serves(blanks[b].paddle)).collect();
            let of_own = |i: usize| sheet(*own.get(i)?);
            let own_benches = report::Benches { count: own.len(), sheet: &of_own };
            let of = (&plan, &job, &boards[..]);
            outputs.put("--json", || json::to_string(&plan, &job, &boards));
            outputs.put("--cuts", || csv::cuts(&plan, &job, &boards));
            let mut told = |done, all| progress.part("writing the page", done, all);
            outputs.put_in_pieces("--sheet", &mut |out| {
                report::html_in_pieces(of, &own_benches, &pages, out, &mut told)
            });
            let mut told = |done, all| progress.part("drawing", done, all);
            outputs.draw(|take| report::svgs_one_by_one(of, &benches, &mut told, take));
            let rest = match arguments.most && job.paddles.len() > 1 && !quiet {
                true => {
                    progress.stage("what the others lack");
                    rest(&plan, &job, &boards, &short_while(&options))
                }
                false => None,
            };
            drop(progress);
            let Some(up) = up.as_ref().filter(|_| !quiet) else {
                outputs.commit()?;
                return Ok(Ending::Done);
            };
            let columns = width(arguments.width);
            say(&show::tables::heading(&plan, &job, &boards, columns));
            if arguments.draw {
                say(&format!("\n{}", show::sheet::text(&plan, &job, &boards, columns)));
            }
            say(&show::tables::below(&plan, &job, &boards, columns));
            if let Some(line) = stopped.and_then(|by_hand| show::proof::stopped(&plan, by_hand)) {
                say(&show::table::indented(line, "", columns));
            }
            if arguments.steps {
                say(&show::steps::text(&plan, &job, &boards, columns));
            } else {
                say(&show::table::indented(show::tables::STEPS, "", columns));
            }
            if arguments.bench {
                say("");
                let sheets = bench::sheets(up, &plan, &job, &boards, &settings);
                let serves = |paddle| pages.serves(paddle);
                say(&show::bench::sheets((up, &sheets), &job, &serves, columns));
            } else {
                say(&show::bench::summary(up, &job, columns));
            }
            // What the others lack is told last: it is for the next trip to the yard.
            let most = plan.most.is_some_and(|m| m.at_most <= m.made);
            if let Some(rest) = rest {
                say(&show::short::left_out(&rest, most, &arguments.files.to_buy(&read), columns));
            }
            outputs.commit()?;
            Ok(Ending::Done)
        }
        Err(short) => {
            progress.about("how many paddles the boards give");
            let far = if arguments.most { None } else { far(&short, &job, &boards, &options) };
            drop(progress);
            let columns = width(arguments.width);
            let stop = options.stop.grace();
            let buy = arguments.files.to_buy(&read);
            let known = (far.as_ref(), Some(&buy[..]));
            let text = show::short::text_with(&short, known, &job, &boards, columns, &stop);
            outputs.tell(&text);
            no_plan(outputs, &short, &job)?;
            Ok(Ending::NoPlan)
        }
    }
}

/// The longest that is spent on saying how far boards come that are not enough.
const FAR: Duration = Duration::from_secs(20);

/// How many of the paddles wanted the boards make where they don't make all, by a plan that is
/// verified, and what the next one lacks. `None` where that is not known, or says nothing.
fn far(short: &NoPlan, job: &Job, boards: &[Board], options: &Options) -> Option<Far> {
    let wanted: u64 = job.paddles.iter().map(|p| u64::from(p.quantity)).sum();
    if !short.proved() || wanted < 2 || options.stop.asked() {
        return None;
    }
    let mut options = short_while(options);
    options.aim = Aim::Most;
    let (made, most, rest) = match choose::plan(job, boards, &options) {
        Ok(plan) => {
            let plan = verify(plan, job, boards).ok()?;
            let several = job.paddles.len() > 1;
            let rest = several.then(|| rest(&plan, job, boards, &options)).flatten();
            (plan.paddles.clone(), plan.most.is_some_and(|m| m.at_most <= m.made), rest)
        }
        Err(none) if none.proved() => (vec![0; job.paddles.len()], true, None),
        Err(_) => return None,
    };
    // With several kinds there is no one that is the next.
    let next = match made[..] {
        [made] if most && !options.stop.asked() => {
            choose::plan_for(job, boards, &[made + 1], &options).err().filter(NoPlan::proved)
        }
        _ => None,
    };
    Some(Far { made, most, next, rest })
}

/// The same options for what is told besides.
fn short_while(options: &Options) -> Options {
    Options { stop: options.stop.at_most(FAR), ..options.clone() }
}

/// A verified plan, or the failure that a faulty one is: nothing of it leaves the program.
///
/// # Errors
/// The faults.
pub(super) fn verified(checked: Result<VerifiedPlan, Vec<Fault>>) -> Result<VerifiedPlan, Failure> {
    checked.map_err(|faults| {
        Failure::new(format!(
            "The plan found breaks the rules, which is a fault of this program; nothing was written.\n{}",
            fault_list(&faults)
        ))
    })
}

/// Is this JSON of a run that had no plan either?
pub(super) fn says_no_plan(text: &str) -> bool {
    let json = serde_json::from_str::<serde_json::Value>(text).ok();
    json.is_some_and(|json| {
        read::plan_json::NO_PLAN.iter().any(|status| json["proof"]["status"] == *status)
    })
}

/// Writes what came of a run that has no plan, and says what becomes of an earlier run's files.
///
/// # Errors
/// As [`Outputs::commit`].
pub(super) fn no_plan(outputs: Outputs, short: &NoPlan, job: &Job) -> Result<(), Failure> {
    answer(outputs, short.proved(), || json::short_json(short, job))
}

/// That there is no plan is an answer, and is written; that none was found in time replaces none.
///
/// # Errors
/// As [`Outputs::commit`].
pub(super) fn answer(
    mut outputs: Outputs,
    decided: bool,
    json: impl FnOnce() -> String,
) -> Result<(), Failure> {
    if decided {
        outputs.put("--json", json);
        outputs.tell_what_stays("there is no plan to write");
    } else {
        outputs.put_if_nothing_is_lost("--json", |old| !says_no_plan(old), json);
        outputs.tell_what_stays("the search was stopped before it had a plan");
    }
    outputs.commit()
}
