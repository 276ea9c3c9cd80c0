//! The files of a job whose boards may come from a yard's list.

use crate::cli::Failure;
use crate::cli::folder::Folder;
use crate::glue::GlueSettings;
use crate::lumber::{Board, look};
use crate::paddle::Job;
use crate::read;
use crate::survey::buy::together;
use std::collections::HashSet;
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
    ) -> Result<Lists, Failure> {
        let read::Wanted { mut job, glue } = read::wanted(paddles)?;
        let rack = read::rack(strips, job.units, Some(&job));
        let in_hand = match boards {
            Some(path) => read::boards_and_text(path, &job),
            None => Ok(Default::default()),
        };
        let offered = match yard {
            Some(path) => read::text(path).and_then(|text| {
                let name = path.display().to_string();
                let list = read::priced_text(&name, &text, &job)?;
                Ok((list, read::yard_notes(&text)))
            }),
            None => Ok(Default::default()),
        };
        let ((offered, notes), (listed, text), rack) = match (offered, in_hand, rack) {
            (Ok(offered), Ok(in_hand), Ok(rack)) => (offered, in_hand, rack),
            (offered, in_hand, rack) => {
                let mut problems = offered.err().unwrap_or_default();
                problems.extend(in_hand.err().unwrap_or_default());
                problems.extend(rack.err().unwrap_or_default());
                return Err(problems.into());
            }
        };
        let (yard_boards, in_hand) = (offered.boards, listed.boards);
        let file = yard.unwrap_or(Path::new("")).display();
        let names: HashSet<String> = in_hand.iter().map(|b| look(&b.name)).collect();
        if let Some(same) = yard_boards.iter().find(|y| names.contains(&look(&y.name))) {
            // The plan names boards by their names alone.
            return Err(Failure::new(format!(
                "{file}: board \"{}\" is the name of a board in hand too; give one of the two another name.",
                same.name
            )));
        }
        let read::Rack { strips, doubts: of_strips } = rack;
        let doubts = [listed.doubts, offered.doubts, of_strips].concat();
        job.strips = strips;
        Ok(Lists { job, glue, in_hand, text, yard: yard_boards, notes, doubts })
    }
}
