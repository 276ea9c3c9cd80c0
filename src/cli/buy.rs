//! `stripwright buy`.

use crate::choose::Options;
use crate::cli::limit::TimeLimit;
use crate::cli::output::{Output, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Failure};
use crate::lumber::{Board, Price};
use crate::paddle::Job;
use crate::plan::Plan;
use crate::read;
use crate::show;
use crate::survey::buy::{Purchase, buy, least, within_budget, without};
use crate::verify::{VerifiedPlan, verify};
use std::path::PathBuf;

/// Find the cheapest boards of a yard's list for the paddles wanted, boards in hand free
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The yard's list: columns as in boards.csv, with price, or price_per_foot and foot, and
    /// nominal sizes allowed in a column size
    #[arg(long, value_name = "FILE")]
    yard: PathBuf,
    /// Boards in hand, which cost nothing
    #[arg(long, value_name = "FILE")]
    boards: Option<PathBuf>,
    /// The shop and the paddles wanted
    #[arg(long, value_name = "FILE")]
    paddles: PathBuf,
    /// Make the most paddles for this much money (with several kinds, at most as many of each as
    /// wanted)
    #[arg(long, value_name = "MONEY")]
    budget: Option<String>,
    /// Write the plan as JSON; - for standard output
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    #[command(flatten)]
    limit: TimeLimit,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS")]
    width: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input.
pub fn run(arguments: &Arguments) -> Ended {
    let mut options = arguments.limit.options();
    let budget = arguments.budget.as_deref().map(money).transpose()?;
    let (job, in_hand, yard) = inputs(arguments)?;
    let json = Output::maybe(arguments.json.as_ref())?;
    // What goes to standard output for another program stands there alone.
    let quiet = arguments.json.as_deref() == Some("-".as_ref());
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    let columns = width(arguments.width);
    let progress = Progress::start(&mut options);
    let found = match budget {
        None => buy(&job, &in_hand, &yard, &wanted, &options),
        Some(budget) => within_budget(&job, &in_hand, &yard, budget, &options),
    };
    let purchase = match found {
        Ok(purchase) => purchase,
        Err(short) => {
            let text = match budget {
                Some(budget) if short.proved() => {
                    let cheapest = least(&job, &in_hand, &yard, &options);
                    not_one(&job, budget, cheapest.as_ref(), options.stop.asked())
                }
                _ => {
                    let boards = crate::survey::buy::together(&in_hand, &yard);
                    show::short::text(&short, &job, &boards, columns)
                }
            };
            drop(progress);
            if !quiet {
                say(&text);
            }
            if let Some(json) = json {
                json.write(&show::json::short_json(&short, &job))?;
            }
            return Ok(Ending::NoPlan);
        }
    };
    // The answer first, then what else might be, as it is worked out.
    let plan = verified(purchase.plan.clone(), &job, &purchase.boards)?;
    if let Some(json) = json {
        json.write(&show::json::to_string(&plan, &job, &purchase.boards))?;
    }
    if quiet {
        return Ok(Ending::Done);
    }
    let notes = read::yard_notes(&arguments.yard)?;
    let tell = |text: &str| progress.aside(|| say(text));
    tell(&show::survey::purchase(&purchase, &job, budget, columns));
    what_if(&purchase, &job, &options, |text| tell(&show::table::indented(text, "", columns)));
    drop(progress);
    for note in notes {
        say(&show::table::indented(note, "", columns));
    }
    Ok(Ending::Done)
}

/// Why a budget buys nothing.
fn not_one(
    job: &Job,
    budget: Price,
    cheapest: Option<&(usize, Purchase)>,
    stopped: bool,
) -> String {
    match cheapest {
        _ if stopped => format!("Not even one paddle can be had for {budget}."),
        Some((paddle, purchase)) => format!(
            "Not even one paddle can be had for {budget}; one {} costs {}.",
            show::tables::plain(&job.paddles[*paddle].name),
            purchase.plan.cost
        ),
        None => "These boards don't give even one paddle, whatever the budget.".to_owned(),
    }
}

fn money(text: &str) -> Result<Price, Failure> {
    read::price(text).ok_or_else(|| {
        Failure::new(format!(
            "--budget \"{text}\" is not an amount of money; write it as 120 or 120.50."
        ))
    })
}

fn inputs(arguments: &Arguments) -> Result<(Job, Vec<Board>, Vec<Board>), Failure> {
    let job = read::job(&arguments.paddles)?;
    let yard = read::boards(&arguments.yard, job.units, read::List::Yard);
    let in_hand = match &arguments.boards {
        Some(path) => read::boards(path, job.units, read::List::OnHand),
        None => Ok(Vec::new()),
    };
    let (yard, in_hand) = match (yard, in_hand) {
        (Ok(yard), Ok(in_hand)) => (yard, in_hand),
        (yard, in_hand) => {
            let mut problems = yard.err().unwrap_or_default();
            problems.0.extend(in_hand.err().unwrap_or_default().0);
            return Err(problems.into());
        }
    };
    if let Some(board) = yard.iter().find(|b| b.price.is_none()) {
        return Err(Failure::new(format!(
            "{}: board \"{}\" has no price; give price for the board, or price_per_foot with foot = board or running.",
            arguments.yard.display(),
            board.name
        )));
    }
    if let Some(same) = yard.iter().find(|y| in_hand.iter().any(|b| b.name == y.name)) {
        // The plan names boards by their names alone.
        return Err(Failure::new(format!(
            "{}: board \"{}\" is the name of a board in hand too; give one of the two another name.",
            arguments.yard.display(),
            same.name
        )));
    }
    Ok((job, in_hand, yard))
}

fn verified(plan: Plan, job: &Job, boards: &[Board]) -> Result<VerifiedPlan, Failure> {
    super::plan::verified(verify(plan, job, boards))
}

/// What else is best if a board is gone, and what one more paddle would cost, line by line as it
/// is worked out.
fn what_if(purchase: &Purchase, job: &Job, options: &Options, line: impl Fn(&str)) {
    // Every copy of one board is as good as the next: one line for all.
    let mut bought: Vec<usize> = purchase.bought().into_iter().map(|(b, _)| b).collect();
    bought.dedup();
    let then = |plan: &Plan| {
        let cost = show::survey::dearer(&purchase.plan, plan);
        let boards = show::survey::bought(plan, &purchase.boards, purchase.in_hand);
        format!("{cost}: {boards}")
    };
    let questions = bought.len() + job.paddles.len();
    for (asked, board) in bought.into_iter().enumerate() {
        let one = if purchase.boards[board].quantity > 1 { "one " } else { "" };
        let name = format!("{one}{}", show::tables::plain(&purchase.boards[board].name));
        let text = match without(job, purchase, board, &share(options, questions - asked)) {
            Ok(plan) => format!("If {name} is gone, the next best costs {}.", then(&plan)),
            Err(short) if short.proved() => {
                format!("If {name} is gone, what is left is not enough (proved).")
            }
            Err(_) => {
                format!("If {name} is gone: not worked out, the search was stopped before.")
            }
        };
        line(&text);
    }
    for (p, paddle) in job.paddles.iter().enumerate() {
        let mut more = purchase.plan.paddles.clone();
        more[p] = more[p].saturating_add(1);
        let name = show::tables::plain(&paddle.name);
        let (in_hand, yard) = purchase.boards.split_at(purchase.in_hand);
        let text = match buy(job, in_hand, yard, &more, &share(options, job.paddles.len() - p)) {
            Ok(next) => format!("With one more {name} it costs {}.", then(&next.plan)),
            Err(short) if short.proved() => {
                format!("One more {name} can't be had from this list (proved).")
            }
            Err(_) => {
                format!("One more {name}: not worked out, the search was stopped before.")
            }
        };
        line(&text);
    }
}

/// The time left shared among so many questions.
fn share(options: &Options, questions: usize) -> Options {
    let questions = u32::try_from(questions.max(1)).unwrap_or(u32::MAX);
    Options { stop: options.stop.part(1.0 / f64::from(questions)), ..options.clone() }
}
