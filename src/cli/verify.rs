//! `stripwright verify`.

use crate::cli::output::{Outputs, say};
use crate::cli::{Ended, Ending, Failure, Files, fault_list};
use crate::read;
use crate::verify::verify;
use std::path::PathBuf;

/// Check a plan file against the boards, the paddles and every rule of cutting
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(flatten)]
    files: Files,
    /// The plan, as `plan --json` writes it
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input, and for a plan that breaks a rule.
pub fn run(arguments: &Arguments) -> Ended {
    let [boards, paddles] = arguments.files.paths();
    Outputs::none(&[boards, paddles, &arguments.plan])?;
    let read::Inputs { job, boards } =
        read::inputs(&arguments.files.boards, &arguments.files.paddles)?;
    let plan = read::plan(&arguments.plan, &job, &boards)?;
    let strips = plan.strips().count();
    match verify(plan, &job, &boards) {
        Ok(plan) => {
            let opened = plan.boards.len();
            say(&format!(
                "The plan holds: {strips} strips from {opened} boards, every cut and every strip checked."
            ));
            Ok(Ending::Done)
        }
        Err(faults) => {
            let count = match faults.len() {
                1 => "1 fault".to_owned(),
                n => format!("{n} faults"),
            };
            Err(Failure::new(format!("{}\n{count}.", fault_list(&faults))))
        }
    }
}
