//! The files of a job whose boards may come from a yard's list.

use crate::cli::Failure;
use crate::cli::folder::Folder;
use crate::glue::GlueSettings;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::read::{self, Problems};
use crate::survey::buy::together;
use std::path::{Path, PathBuf};

/// The files of a job for a plan that exists: boards in hand, a yard's list, or both, as they
/// were given when it was made. What is not named is looked for where the user stands.
#[derive(Debug, clap::Args)]
pub struct FilesOfPlan {
    /// The boards on hand, one line a board and one a zone [if left out: boards.csv here]
    #[arg(long, value_name = "FILE")]
    boards: Option<PathBuf>,
    /// The yard's list, for a plan that buy wrote
    #[arg(long, value_name = "FILE")]
    yard: Option<PathBuf>,
    /// The shop and the paddles wanted [if left out: paddles.toml here]
    #[arg(long, value_name = "FILE")]
    paddles: Option<PathBuf>,
    /// Strips in hand, as measured: those that the plan makes use of
    #[arg(long, value_name = "FILE")]
    strips: Option<PathBuf>,
}

impl FilesOfPlan {
    /// The files, those that were not named from where the user stands.
    ///
    /// # Errors
    /// [`Failure`] where one is missing.
    pub fn found(&self) -> Result<FoundOfPlan, Failure> {
        let mut folder = Folder::of(None)?;
        let other = self.yard.is_some() || self.strips.is_some();
        let boards = folder.boards(self.boards.as_ref(), self.paddles.as_ref(), other);
        let paddles = folder.paddles(self.paddles.as_ref());
        folder.tell(false)?;
        Ok(FoundOfPlan { boards, yard: self.yard.clone(), paddles, strips: self.strips.clone() })
    }
}

/// The files of a job for a plan that exists, found.
pub struct FoundOfPlan {
    boards: Option<PathBuf>,
    yard: Option<PathBuf>,
    paddles: PathBuf,
    strips: Option<PathBuf>,
}

impl FoundOfPlan {
    /// Every path.
    pub fn paths(&self) -> Vec<&Path> {
        let lists = [
            self.boards.as_deref(),
            self.yard.as_deref(),
            Some(self.paddles.as_path()),
            self.strips.as_deref(),
        ];
        lists.into_iter().flatten().collect()
    }

    /// The list of strips in hand, if one was given.
    pub fn strips(&self) -> Option<&Path> {
        self.strips.as_deref()
    }

    /// The job, and the boards as the plan counts them.
    ///
    /// # Errors
    /// Every problem of the files.
    pub fn read(&self) -> Result<read::Inputs, Problems> {
        let (boards, strips) = (self.boards.as_deref(), self.strips.as_deref());
        let Some(yard) = &self.yard else {
            return read::inputs_in_hand(boards, &self.paddles, strips);
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
    /// What deserves a second look in the lists.
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
    ) -> Result<Lists, Problems> {
        let asked = read::Asked { boards, yard, strips, to_buy: true, ..Default::default() };
        Self::of(paddles, asked).map(|(lists, _)| lists)
    }

    /// The same with a sample of marked boards.
    ///
    /// # Errors
    /// As [`Lists::read`], with every problem of the sample.
    pub fn of(paddles: &Path, asked: read::Asked<'_>) -> Result<(Lists, Vec<Board>), Problems> {
        let read::All { job, glue, boards, text, yard, notes, like, doubts } =
            read::Files::read(paddles, asked).settle()?;
        let doubts = [boards.doubts, yard.doubts, doubts, like.doubts].concat();
        let (in_hand, yard) = (boards.boards, yard.boards);
        Ok((Lists { job, glue, in_hand, text, yard, notes, doubts }, like.boards))
    }
}
