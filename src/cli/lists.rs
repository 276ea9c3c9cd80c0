//! The files of a job whose boards may come from a yard's list.

use crate::cli::Failure;
use crate::glue::GlueSettings;
use crate::lumber::{Board, look};
use crate::paddle::Job;
use crate::read;
use crate::survey::buy::together;
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// The files of a job for a plan that exists: boards in hand, a yard's list, or both, as they
/// were given when it was made.
#[derive(Debug, clap::Args)]
pub struct FilesOfPlan {
    /// The boards on hand, one line a board and one a zone
    #[arg(long, value_name = "FILE", required_unless_present_any = ["yard", "strips"])]
    boards: Option<PathBuf>,
    /// The yard's list, for a plan that buy wrote
    #[arg(long, value_name = "FILE")]
    yard: Option<PathBuf>,
    /// The shop and the paddles wanted
    #[arg(long, value_name = "FILE")]
    paddles: PathBuf,
    /// Strips in hand, as measured: those that the plan makes use of
    #[arg(long, value_name = "FILE")]
    strips: Option<PathBuf>,
}

impl FilesOfPlan {
    /// Every path given.
    pub fn paths(&self) -> Vec<&Path> {
        let lists = [
            self.boards.as_deref(),
            self.yard.as_deref(),
            Some(self.paddles.as_path()),
            self.strips.as_deref(),
        ];
        lists.into_iter().flatten().collect()
    }

    /// The job, and the boards as the plan counts them.
    ///
    /// # Errors
    /// Every problem of the files.
    pub fn read(&self) -> Result<read::Inputs, Failure> {
        let (boards, strips) = (self.boards.as_deref(), self.strips.as_deref());
        let Some(yard) = &self.yard else {
            return Ok(read::inputs_in_hand(boards, &self.paddles, strips)?);
        };
        let lists = Lists::read((boards, Some(yard)), &self.paddles, strips)?;
        let boards = together(&lists.in_hand, &lists.yard);
        let Lists { job, glue, doubts, .. } = lists;
        Ok(read::Inputs { job, glue, boards, doubts })
    }
}

/// What the files of a purchase say.
pub struct Lists {
    /// The shop and the paddles wanted.
    pub job: Job,
    /// How the shop glues.
    pub glue: GlueSettings,
    /// Boards in hand.
    pub in_hand: Vec<Board>,
    /// The list of boards in hand as it is spelled; empty where there is none.
    pub text: String,
    /// Boards of the yard, each with a price.
    pub yard: Vec<Board>,
    /// How the yard's sizes and prices were taken.
    pub notes: Vec<&'static str>,
    /// What deserves a second look of strips in hand.
    pub doubts: Vec<read::Problem>,
}

impl Lists {
    /// Reads the files, each once: any may come through a pipe.
    ///
    /// # Errors
    /// Every problem of the files; a board of the yard without a price, or with the name of one
    /// in hand.
    pub fn read(
        (boards, yard): (Option<&Path>, Option<&Path>),
        paddles: &Path,
        strips: Option<&Path>,
    ) -> Result<Lists, Failure> {
        let read::Wanted { mut job, glue } = read::wanted(paddles)?;
        let rack = read::rack(strips, job.units, Some(&job));
        let in_hand = match boards {
            Some(path) => read::boards_and_text(path, job.units, Some(&job.shop.margins)),
            None => Ok(Default::default()),
        };
        let offered = match yard {
            Some(path) => read::text(path).and_then(|text| {
                let name = path.display().to_string();
                let boards = read::priced_text(&name, &text, job.units)?;
                Ok((boards, read::yard_notes(&text)))
            }),
            None => Ok(Default::default()),
        };
        let ((yard_boards, notes), (in_hand, text), rack) = match (offered, in_hand, rack) {
            (Ok(offered), Ok(in_hand), Ok(rack)) => (offered, in_hand, rack),
            (offered, in_hand, rack) => {
                let mut problems = offered.err().unwrap_or_default();
                problems.extend(in_hand.err().unwrap_or_default());
                problems.extend(rack.err().unwrap_or_default());
                return Err(problems.into());
            }
        };
        let file = yard.unwrap_or(Path::new("")).display();
        let names: HashSet<String> = in_hand.iter().map(|b| look(&b.name)).collect();
        if let Some(same) = yard_boards.iter().find(|y| names.contains(&look(&y.name))) {
            // The plan names boards by their names alone.
            return Err(Failure::new(format!(
                "{file}: board \"{}\" is the name of a board in hand too; give one of the two another name.",
                same.name
            )));
        }
        let read::Rack { strips, doubts } = rack;
        job.strips = strips;
        Ok(Lists { job, glue, in_hand, text, yard: yard_boards, notes, doubts })
    }
}
