//! `stripwright verify`.

use crate::choose::Options;
use crate::claim::FilePlan;
use crate::cli::lists::FilesOfPlan;
use crate::cli::output::{Outputs, say};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Failure, fault_list};
use crate::paddle::Job;
use crate::plan::{Plan, Proof};
use crate::prove::{Contradiction, Verdict, work_out};
use crate::read;
use crate::report::text::proof;
use crate::shop::words::counted;
use crate::stop::Stop;
use crate::verify::{made, verify_file};
use std::path::PathBuf;
use std::time::Duration;

/// Check a plan file against the boards, the paddles and every rule of cutting
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright verify plan.json           with boards.csv and paddles.toml where you stand
  stripwright verify plan.json --boards boards.csv --paddles paddles.toml --prove
  stripwright verify bought.json --yard yard.csv --paddles paddles.toml")]
pub struct Arguments {
    #[command(flatten)]
    files: FilesOfPlan,
    /// The plan, as `plan --json` writes it
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// Work out anew whether what the file claims of its cost and number is so: exit status 2
    /// where it is not, 1 where it could not be decided
    #[arg(long)]
    prove: bool,
    /// Stop proving after so many seconds
    #[arg(long, value_name = "SECONDS", value_parser = super::limit::seconds, requires = "prove")]
    time_limit: Option<Duration>,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input, for a plan that breaks a rule, and for a claim that is false.
pub fn run(arguments: &Arguments) -> Ended {
    let files = arguments.files.found()?;
    let mut inputs = files.paths();
    inputs.push(&arguments.plan);
    Outputs::none(&inputs)?;
    let read::Inputs { job, boards, .. } = files.read()?;
    let file = read::plan(&arguments.plan, &job, &boards)?;
    if let Err(faults) = verify_file(&file, &job, &boards) {
        let count = counted(faults.len(), "fault");
        return Err(Failure::new(format!("{}\n{count}.", fault_list(&faults))));
    }
    say(&report(&file, &job, arguments.prove));
    if arguments.prove {
        let mut options = Options { stop: Stop::after(arguments.time_limit), ..Options::default() };
        let verdict = {
            let _progress = Progress::start(&mut options);
            work_out(&file, &job, &boards, &options)
        };
        return judged(&file, verdict);
    }
    // A plan that makes nothing keeps every rule and is none.
    let none = file.plan.paddles.iter().all(|&n| n == 0);
    Ok(if none { Ending::NoPlan } else { Ending::Done })
}

/// What was checked, what the plan makes, and what its file claims.
fn report(file: &FilePlan, job: &Job, prove: bool) -> String {
    let plan = &file.plan;
    let (mut strips, opened) =
        (counted(plan.strips().count(), "strip"), counted(plan.boards.len(), "board"));
    if !plan.in_hand.is_empty() {
        strips = format!("{} in hand, {strips}", counted(plan.in_hand.len(), "strip"));
    }
    let made = made(plan, job);
    let head = if plan.paddles.iter().all(|&n| n == 0) {
        format!(
            "No rule is broken, but the plan makes no paddle: {made}. It has {strips} from {opened}."
        )
    } else {
        format!(
            "The plan holds: {strips} from {opened}, every cut and every strip checked. It makes {made}."
        )
    };
    let hint = if prove { "" } else { " Whether that is so was not worked out; --prove does." };
    format!("{head}\n{}. {}{hint}", proof::cost_in(plan.cost, job.units), proof::claimed(file))
}

/// The verdict on the claim, as it is said and as the command ends.
fn judged(file: &FilePlan, verdict: Result<Verdict, Contradiction>) -> Ended {
    let now = |proof: Proof, most| proof::proved(&Plan { proof, most, ..file.plan.clone() });
    match verdict {
        Ok(Verdict::True(proof, most)) => {
            say(&format!("Worked out anew, the claim is true. {}", now(proof, most)));
            Ok(Ending::Done)
        }
        Ok(Verdict::Open(proof, most)) => {
            say(&format!(
                "Whether the claim is true could not be decided before the search ended. {}",
                now(proof, most)
            ));
            Ok(Ending::NoPlan)
        }
        Ok(Verdict::Budget) => {
            say(
                "The claim is about a budget, and is not worked out here: run buy with that budget again.",
            );
            Ok(Ending::NoPlan)
        }
        Ok(Verdict::Cheaper(plan)) => Err(Failure::new(format!(
            "The claim is false: a plan for as many paddles costs {}, and it passes every check. The file's costs {}.",
            plan.cost, file.plan.cost
        ))),
        Ok(Verdict::More(plan)) => Err(Failure::new(format!(
            "The claim is false: a plan makes {} paddles, and it passes every check.",
            plan.paddles.iter().map(|&n| u64::from(n)).sum::<u64>()
        ))),
        Err(contradiction) => {
            let list = match &contradiction {
                Contradiction::Faults(faults) => format!("\n{}", fault_list(faults)),
                Contradiction::Impossible => String::new(),
            };
            Err(Failure::new(format!(
                "The claim could not be worked out, through a fault of this program: {contradiction}.{list}"
            )))
        }
    }
}
