//! `stripwright buy`.

use crate::choose::Options;
use crate::cli::folder::Folder;
use crate::cli::limit::TimeLimit;
use crate::cli::lists::Lists;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Failure, doubts, warn};
use crate::lumber::{Board, Price};
use crate::odds::beside::{Beside, beside};
use crate::odds::sample::{Sample, grade_written, unmarked};
use crate::odds::{self, Ask};
use crate::paddle::Job;
use crate::plan::Plan;
use crate::read;
use crate::report::text::what_if::Gone;
use crate::report::{LikelyShown, json, purchase_cards, text as show};
use crate::survey::buy::{Purchase, buy, counts, together, within_budget, without};
use crate::survey::nothing::nothing;
use crate::text::{plain, shown};
use crate::verify::{VerifiedPlan, verify};
use std::cell::RefCell;
use std::path::{Path, PathBuf};

/// Find the cheapest boards of a yard's list for the paddles wanted, boards in hand free
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright buy                        yard.csv, paddles.toml and boards.csv where you stand
  stripwright buy my-job --budget 60
  stripwright buy --yard tuesday.csv --paddles paddles.toml --json bought.json
  stripwright buy --like marked.csv --sure 95 --sheet card.html
                                         with boards that nobody has marked, on a card")]
pub struct Arguments {
    /// The job's folder, with yard.csv and paddles.toml [if left out: where you stand]
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,
    /// The yard's list, if not yard.csv in the folder: columns as in boards.csv, with price, or
    /// price_per_foot and foot, and nominal sizes allowed in a column size (hardwood by quarters,
    /// as 5/4, beside its width)
    #[arg(long, value_name = "FILE")]
    yard: Option<PathBuf>,
    /// Boards in hand, which cost nothing, if not boards.csv in the folder; there may be none
    #[arg(long, value_name = "FILE")]
    boards: Option<PathBuf>,
    /// The shop and the paddles wanted, if not paddles.toml in the folder
    #[arg(long, value_name = "FILE")]
    paddles: Option<PathBuf>,
    /// Strips that are cut already, as measured, which cost nothing
    #[arg(long, value_name = "FILE")]
    strips: Option<PathBuf>,
    /// Make the most paddles for this much money (with several kinds, at most as many of each as
    /// wanted)
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true)]
    budget: Option<String>,
    /// Write the plan as JSON; - for standard output
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Write cards for the pocket, 3 1/2 by 5 in, as an HTML page, with what else might be; - for
    /// standard output
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// The sample: boards you marked, of the woods and grades of lines that nobody has marked. Say
    /// how many of those are likely to be enough, alone or beside the rest of the list
    #[arg(long, value_name = "FILE")]
    like: Option<PathBuf>,
    /// How sure it is to be that likely boards are enough, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "90", value_parser = super::odds::sure)]
    sure: f64,
    #[command(flatten)]
    limit: TimeLimit,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// Of a time limit, what the plan itself may take; the rest is for what if.
const FOR_THE_PLAN: f64 = 0.7;

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input.
pub fn run(arguments: &Arguments) -> Ended {
    let mut options = arguments.limit.options();
    let budget = arguments.budget.as_deref().map(money).transpose()?;
    let mut folder = Folder::of(arguments.folder.as_deref())?;
    let boards = folder.boards(arguments.boards.as_ref(), arguments.paddles.as_ref(), true);
    let paddles = folder.paddles(arguments.paddles.as_ref());
    let yard = folder.yard(arguments.yard.as_ref());
    folder.tell(arguments.strips.is_none())?;
    let read: Vec<&Path> = [
        Some(&yard),
        boards.as_ref(),
        Some(&paddles),
        arguments.strips.as_ref(),
        arguments.like.as_ref(),
    ]
    .into_iter()
    .flatten()
    .map(PathBuf::as_path)
    .collect();
    let files = [("--json", arguments.json.as_ref()), ("--sheet", arguments.sheet.as_ref())];
    let mut outputs = Outputs::of(&read, &files, None)?;
    let asked = read::Asked {
        boards: boards.as_deref(),
        yard: Some(&yard),
        to_buy: true,
        like: arguments.like.as_deref(),
        strips: arguments.strips.as_deref(),
    };
    let (Lists { job, in_hand, yard, notes, doubts: read_so, .. }, sample) =
        Lists::of(&paddles, asked)?;
    // What no one has marked is not known to be clear.
    let (likely, yard): (Vec<Board>, Vec<Board>) = yard.into_iter().partition(unmarked);
    outputs.open()?;
    for text in likely.iter().filter_map(|b| left_out(b, &sample)) {
        warn(&text);
    }
    doubts::tell(&job, &together(&in_hand, &yard), &read_so);
    // JSON on standard output stands there alone.
    let quiet = outputs.takes_standard_output();
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    let columns = width(arguments.width);
    let lists = (&in_hand[..], &yard[..], &sample[..], &likely[..]);
    let ask = Ask { sure: arguments.sure, ..Ask::default() };
    let more = Likely { job: &job, files: lists, ask, columns };
    let progress = Progress::start(&mut options);
    // Some of the time is for what else might be: an answer without it is half of one.
    let first = Options { stop: options.stop.part(FOR_THE_PLAN), ..options.clone() };
    let found = match budget {
        None => buy(&job, &in_hand, &yard, &wanted, &first),
        Some(budget) => match within_budget(&job, &in_hand, &yard, budget, &first) {
            Ok(purchase) => Ok(purchase),
            Err(_) => match nothing(&job, &in_hand, &yard, budget, &options) {
                Ok(purchase) => Ok(purchase),
                Err(why) => {
                    drop(progress);
                    outputs.tell(&show::what_if::nothing(&why, budget, &job));
                    let json = || json::over_budget_json(&why, budget, &job);
                    super::plan::answer(outputs, why.decided(), json)?;
                    return Ok(Ending::NoPlan);
                }
            },
        },
    };
    let purchase = match found {
        Ok(purchase) => purchase,
        Err(short) => {
            drop(progress);
            let boards = together(&in_hand, &yard);
            let stop = options.stop.grace();
            outputs.tell(&show::short::text(&short, &job, &boards, columns, &stop));
            let tell = |text: &str| outputs.tell(text);
            let mut told = more.beside(None, &mut options, &tell);
            if told.is_none() {
                told = more.by_wood(&boards, &mut options, &tell);
            }
            // What is likely to be enough is for the pocket as well.
            if let Some(told) = told.as_ref().filter(|t| t.found()) {
                outputs.put("--sheet", || purchase_cards(None, told.shown(&more, None), &job, &[]));
            }
            super::plan::no_plan(outputs, &short, &job)?;
            return Ok(Ending::NoPlan);
        }
    };
    // The answer first, then what else might be, as it is worked out.
    let plan = verified(purchase.plan.clone(), &job, &purchase.boards)?;
    outputs.put("--json", || match budget {
        Some(budget) => json::within_budget(&plan, &job, &purchase.boards, budget),
        None => json::to_string(&plan, &job, &purchase.boards),
    });
    // A card tells what else might be, so it comes when that is worked out.
    let mut later = None;
    if outputs.has("--sheet") {
        later = Some(outputs);
    } else {
        outputs.commit()?;
        if quiet {
            return Ok(Ending::Done);
        }
    }
    let tell = |text: &str| {
        if !quiet {
            progress.aside(|| say(text));
        }
    };
    tell(&show::survey::purchase(&plan, &purchase, &job, budget, columns));
    if !plan.in_hand.is_empty() {
        tell(&show::rack::used(&plan, &job, columns));
    }
    let then = RefCell::new(Vec::new());
    let line = |text: &str| {
        then.borrow_mut().push(text.to_owned());
        tell(&show::table::indented(text, "", columns));
    };
    what_if(&purchase, &job, &options, (line, &progress))?;
    drop(progress);
    let tell = |text: &str| {
        if !quiet {
            say(text);
        }
    };
    let cost = Price::from_parts(i64::try_from(plan.cost.parts).unwrap_or(i64::MAX));
    let told = match budget {
        None => more.beside(Some(cost), &mut options, &tell),
        Some(_) => None,
    };
    if let Some(mut outputs) = later {
        let likely = told.as_ref().and_then(|told| told.shown(&more, Some(cost)));
        let of = Some((&plan, &purchase));
        outputs.put("--sheet", || purchase_cards(of, likely, &job, &then.take()));
        outputs.commit()?;
    }
    if quiet {
        return Ok(Ending::Done);
    }
    for note in notes {
        say(&show::table::indented(note, "", columns));
    }
    Ok(Ending::Done)
}

/// Why a board that is not marked is left out, where no sample tells of it.
fn left_out(board: &Board, sample: &[Board]) -> Option<String> {
    let (name, wood) = (plain(&board.name), plain(board.species.name()));
    let grade = plain(&grade_written(board));
    (!Sample::knows(sample, board)).then(|| {
        format!(
            "{name} is left out: it is of grade {grade} and nothing is marked on it, so what it \
             gives is not known; give marked {wood} of that grade with --like, or call its grade \
             clear."
        )
    })
}

/// What is told of the boards that are not marked.
struct Likely<'a> {
    job: &'a Job,
    /// Boards in hand, marked ones of the yard, the sample, and those of the yard not marked.
    files: (&'a [Board], &'a [Board], &'a [Board], &'a [Board]),
    ask: Ask,
    columns: usize,
}

impl Likely<'_> {
    /// Lines that the sample knows.
    fn known(&self) -> Vec<usize> {
        let (_, _, sample, unmarked) = self.files;
        let known = |b: &usize| Sample::knows(sample, &unmarked[*b]);
        (0..unmarked.len()).filter(known).collect()
    }

    /// Marked boards of the list and likely ones together, where that is cheaper than the former
    /// alone; `None` where nothing of it is told.
    fn beside(
        &self,
        limit: Option<Price>,
        options: &mut Options,
        tell: &dyn Fn(&str),
    ) -> Option<Told> {
        let (in_hand, yard, sample, unmarked) = self.files;
        if self.known().is_empty() {
            return None;
        }
        let progress = Progress::start(options);
        progress.about("marked boards of the list and likely ones");
        let heard = |done: usize, all: usize| {
            progress.part("piles of the list's marked boards and likely ones", done, all);
        };
        let asked = (&self.ask, limit, &*options);
        let (found, tried) = beside(self.job, (in_hand, yard), (sample, unmarked), asked, &heard);
        drop(progress);
        let (job, sure, columns) = (self.job, self.ask.sure, self.columns);
        match &found {
            Some(found) => {
                let lists = (yard, unmarked);
                tell(&show::odds::beside(found, lists, job, (sure, limit), columns));
            }
            None if limit.is_none() => return None,
            None if tried => {
                let text = format!(
                    "With boards that nobody has marked nothing was found that is cheaper and enough with {}.",
                    show::odds::percent(sure)
                );
                tell(&show::table::indented(&text, "", columns));
            }
            None => {}
        }
        if !tried {
            let text = "The work was stopped before all that could be bought together was tried.";
            tell(&show::table::indented(text, "", columns));
        }
        Some(Told { beside: found, lines: Vec::new(), all: tried })
    }

    /// For every wood by itself: how many are likely to be enough beside all of the marked ones.
    fn by_wood(
        &self,
        boards: &[Board],
        options: &mut Options,
        tell: &dyn Fn(&str),
    ) -> Option<Told> {
        let asked = self.known();
        if asked.is_empty() {
            return None;
        }
        let head = "With what is in hand and all boards of the yard that are marked or clear, as \
                    they are, so many of those not marked are likely to be enough for what may be \
                    of their wood:";
        tell(&show::table::indented(head, "", self.columns));
        let (_, _, sample, likely) = self.files;
        let progress = Progress::start(options);
        let mut unknown = 0;
        let mut lines = Vec::new();
        for (n, &b) in asked.iter().enumerate() {
            let name = plain(&likely[b].name);
            let heard = |done: usize, all: usize| {
                progress.part(&format!("piles of {name}"), done, all);
            };
            let part = share(options, asked.len() - n);
            let lists = (boards, sample, likely);
            if let Some(line) = odds::line(self.job, lists, b, (&self.ask, &part.stop), &heard) {
                if options.stop.asked() && line.unknown() {
                    unknown += 1;
                    continue;
                }
                let (sure, columns) = (self.ask.sure, self.columns);
                let text = show::odds::line(&line, self.job, likely, sure, columns);
                progress.aside(|| tell(&text));
                lines.push(line);
            }
        }
        drop(progress);
        if let Some(text) = show::odds::not_looked_at(unknown) {
            tell(&show::table::indented(&text, "", self.columns));
        }
        Some(Told { beside: None, lines, all: unknown == 0 })
    }
}

/// What was told of likely boards.
struct Told {
    /// Together with the list's marked boards, where that was found to be best.
    beside: Option<Beside>,
    /// Else wood by wood, beside all of them.
    lines: Vec<odds::Line>,
    /// All was looked at.
    all: bool,
}

impl Told {
    /// Is there anything to buy among it?
    fn found(&self) -> bool {
        self.beside.is_some() || self.lines.iter().any(|l| l.buy.is_some())
    }

    /// The same for a card; `alone` is what the list's marked boards cost by themselves.
    fn shown<'a>(&'a self, of: &Likely<'a>, alone: Option<Price>) -> Option<LikelyShown<'a>> {
        let (_, yard, _, unmarked) = of.files;
        let (sure, all) = (of.ask.sure, self.all);
        let (beside, lines) = (self.beside.as_ref(), &self.lines[..]);
        Some(LikelyShown { beside, lines, yard, unmarked, sure, alone, all })
    }
}

fn money(text: &str) -> Result<Price, Failure> {
    read::price(text).map_err(|(rule, cure)| {
        Failure::new(format!("--budget: \"{}\" {rule}; {cure}.", shown(text)))
    })
}

fn verified(plan: Plan, job: &Job, boards: &[Board]) -> Result<VerifiedPlan, Failure> {
    super::plan::verified(verify(plan, job, boards))
}

/// What else is best if a board is gone, and what one more paddle would cost, line by line as it
/// is worked out.
///
/// # Errors
/// A plan that breaks a rule: what it would cost isn't told either.
fn what_if(
    purchase: &Purchase,
    job: &Job,
    options: &Options,
    (line, progress): (impl Fn(&str), &Progress),
) -> Result<(), Failure> {
    if options.stop.asked() {
        line("What else might be was not asked: the work was stopped before.");
        return Ok(());
    }
    // Every copy of one board is as good as the next: one line for all.
    let bought = counts(&purchase.plan, purchase.in_hand);
    let then = |plan: &Plan| {
        let cost = show::survey::dearer(&purchase.plan, plan);
        let boards = show::survey::bought(plan, &purchase.boards, purchase.in_hand);
        format!("{cost}: {boards}")
    };
    let questions = bought.len() + job.paddles.len();
    for (asked, (board, taken)) in bought.into_iter().enumerate() {
        // Where the rack has more of them than are bought, one that is gone is nothing: another is
        // as good. What matters then is that it is sold out.
        let all = purchase.boards[board].quantity;
        let more = all > taken;
        let gone = match (more, all) {
            (true, _) => Gone::All,
            (false, 2..) => Gone::One,
            (false, _) => Gone::Only,
        };
        let name = plain(&purchase.boards[board].name);
        progress.about(&show::what_if::stage(gone, &name));
        let options = share(options, questions - asked);
        let next = without(job, purchase, board, if more { all } else { 1 }, &options);
        checked(next.as_ref().ok(), job, purchase)?;
        line(&show::what_if::gone(gone, &name, next.as_ref(), then));
    }
    let mut alike = show::what_if::Alike::default();
    for (p, paddle) in job.paddles.iter().enumerate() {
        let mut more = purchase.plan.paddles.clone();
        more[p] = more[p].saturating_add(1);
        let name = plain(&paddle.name);
        progress.about(&format!("one more {name}"));
        let (in_hand, yard) = purchase.boards.split_at(purchase.in_hand);
        let next = buy(job, in_hand, yard, &more, &share(options, job.paddles.len() - p));
        let next = next.as_ref().map(|next| &next.plan);
        checked(next.ok(), job, purchase)?;
        alike.add(name, |name| show::what_if::one_more(name, next, then));
    }
    alike.lines().iter().for_each(|told| line(told));
    Ok(())
}

/// What a plan costs is told only if it obeys the rules.
fn checked(plan: Option<&Plan>, job: &Job, purchase: &Purchase) -> Result<(), Failure> {
    plan.map_or(Ok(()), |plan| verified(plan.clone(), job, &purchase.boards).map(|_| ()))
}

/// The time left shared among so many questions.
fn share(options: &Options, questions: usize) -> Options {
    let questions = u32::try_from(questions.max(1)).unwrap_or(u32::MAX);
    Options { stop: options.stop.part(1.0 / f64::from(questions)), ..options.clone() }
}
