//! A folder is a job: files that no option names are those of the usual names in it.
//!
//! Strips in hand are not among them. After `tally` a job's folder holds strips whose boards
//! still stand in its boards.csv: read together, that wood would be counted twice.

use crate::cli::output::complain;
use crate::cli::{Failure, warn};
use crate::shop::words::listed;
use crate::text::shown;
use std::path::{Path, PathBuf};

/// The usual names of a job's files.
const BOARDS: &str = "boards.csv";
const PADDLES: &str = "paddles.toml";
const YARD: &str = "yard.csv";
const MARKED: &str = "marked.csv";
const STRIPS: &str = "strips.csv";

/// A job's folder: one that was named, or the one where the user stands.
pub struct Folder<'a> {
    named: Option<&'a Path>,
    /// What was taken from it.
    taken: Vec<&'static str>,
}

impl<'a> Folder<'a> {
    /// The folder named, or that where the user stands.
    ///
    /// # Errors
    /// [`Failure`] where what was named is no folder.
    pub fn of(named: Option<&'a Path>) -> Result<Self, Failure> {
        if let Some(path) = named.filter(|path| !path.is_dir()) {
            let name = shown(&path.display().to_string());
            let lower = name.to_lowercase();
            let why = if path == Path::new("-") {
                "-: is no folder; to read a file from standard input name it so: --boards -"
                    .to_owned()
            } else if !path.exists() {
                format!("{name}: is not there; name the job's folder, or its files with options")
            } else if lower.ends_with(".toml") {
                format!("{name}: is a file, not a folder; name it with --paddles")
            } else {
                format!("{name}: is a file, not a folder; name it with --boards")
            };
            return Err(Failure::new(format!("{why}.")));
        }
        Ok(Folder { named, taken: Vec::new() })
    }

    fn at(&self, name: &str) -> PathBuf {
        self.named.map_or_else(|| PathBuf::from(name), |folder| folder.join(name))
    }

    /// A file that must be there, unless an option names another.
    fn needed(
        &mut self,
        given: Option<&PathBuf>,
        name: &'static str,
        option: &str,
    ) -> Result<PathBuf, Failure> {
        if let Some(path) = given {
            return Ok(path.clone());
        }
        let path = self.at(name);
        if !path.exists() {
            return Err(self.missing(name, option));
        }
        self.taken.push(name);
        Ok(path)
    }

    fn missing(&self, name: &str, option: &str) -> Failure {
        let place = match self.named {
            Some(folder) => format!("the folder {}", shown(&folder.display().to_string())),
            None => "the folder where you stand".to_owned(),
        };
        Failure::new(format!(
            "{name}: is not in {place}; name the file with {option}, or the folder that holds it."
        ))
    }

    /// The shop and the paddles wanted.
    ///
    /// # Errors
    /// [`Failure`] where there are none.
    pub fn paddles(&mut self, given: Option<&PathBuf>) -> Result<PathBuf, Failure> {
        self.needed(given, PADDLES, "--paddles")
    }

    /// The yard's list.
    ///
    /// # Errors
    /// [`Failure`] where there is none.
    pub fn yard(&mut self, given: Option<&PathBuf>) -> Result<PathBuf, Failure> {
        self.needed(given, YARD, "--yard")
    }

    /// Marked boards, as a sample.
    ///
    /// # Errors
    /// [`Failure`] where there are none.
    pub fn marked(&mut self, given: Option<&PathBuf>) -> Result<PathBuf, Failure> {
        self.needed(given, MARKED, "--like")
    }

    /// The boards on hand. Where `other` wood is named they may be missing; where the paddles are
    /// named too and no folder is, all that is meant was named, and none are looked for.
    ///
    /// # Errors
    /// [`Failure`] where there are none and no other wood.
    pub fn boards(
        &mut self,
        given: Option<&PathBuf>,
        paddles: Option<&PathBuf>,
        other: bool,
    ) -> Result<Option<PathBuf>, Failure> {
        if let Some(path) = given {
            return Ok(Some(path.clone()));
        }
        if other && paddles.is_some() && self.named.is_none() {
            return Ok(None);
        }
        let path = self.at(BOARDS);
        if path.exists() {
            self.taken.push(BOARDS);
            return Ok(Some(path));
        }
        if other { Ok(None) } else { Err(self.missing(BOARDS, "--boards")) }
    }

    /// Says which files were taken from the folder, and of a list of strips there that it was not.
    pub fn tell(&self, strips: bool) {
        if self.taken.is_empty() {
            return;
        }
        let place = match self.named {
            Some(folder) if folder != Path::new(".") => {
                format!(" in {}", shown(&folder.display().to_string()))
            }
            _ => " here".to_owned(),
        };
        let mut taken = self.taken.clone();
        taken.sort_unstable();
        complain(&format!("Reading {}{place}.", listed(&taken)));
        let list = self.at(STRIPS);
        if strips && list.is_file() {
            let list = shown(&list.display().to_string());
            warn(&format!(
                "{list} is not read, since its strips may come from boards that are still listed; \
                 where they are there besides, add --strips {list}"
            ));
        }
    }
}
