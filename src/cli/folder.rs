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
    /// What should be there and is not, with the options that name it.
    missing: Vec<(&'static str, &'static str)>,
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
        Ok(Folder { named, taken: Vec::new(), missing: Vec::new() })
    }

    fn at(&self, name: &str) -> PathBuf {
        self.named.map_or_else(|| PathBuf::from(name), |folder| folder.join(name))
    }

    /// A file that must be there, unless an option names another. What is not is told by
    /// [`Folder::tell`], all that is missing at once.
    fn needed(
        &mut self,
        given: Option<&PathBuf>,
        name: &'static str,
        option: &'static str,
    ) -> PathBuf {
        if let Some(path) = given {
            return path.clone();
        }
        let path = self.at(name);
        if path.exists() {
            self.taken.push(name);
        } else {
            self.missing.push((name, option));
        }
        path
    }

    /// All that is missing, and what to do.
    fn lacks(&self) -> Option<Failure> {
        let place = match self.named {
            Some(folder) => format!("the folder {}", shown(&folder.display().to_string())),
            None => "the folder where you stand".to_owned(),
        };
        let mut missing = self.missing.clone();
        missing.sort_unstable();
        let (names, options): (Vec<&str>, Vec<&str>) = missing.into_iter().unzip();
        let (is, file, holds) = match names.len() {
            0 => return None,
            1 => ("is", "file", "holds it"),
            _ => ("are", "files", "holds them"),
        };
        // Who has none of a job's files may want to begin one.
        let begin = if names.contains(&PADDLES) && names.len() > 1 {
            "; `stripwright start` makes a folder with a job to begin with"
        } else {
            ""
        };
        Some(Failure::new(format!(
            "{}: {is} not in {place}; name the {file} with {}, or the folder that {holds}{begin}.",
            listed(&names),
            listed(&options)
        )))
    }

    /// The shop and the paddles wanted.
    pub fn paddles(&mut self, given: Option<&PathBuf>) -> PathBuf {
        self.needed(given, PADDLES, "--paddles")
    }

    /// The yard's list.
    pub fn yard(&mut self, given: Option<&PathBuf>) -> PathBuf {
        self.needed(given, YARD, "--yard")
    }

    /// The yard's list where one is in the folder and the folder is read at all.
    pub fn yard_beside(&mut self, given: Option<&PathBuf>) -> Option<PathBuf> {
        if given.is_some() {
            return given.cloned();
        }
        let path = self.at(YARD);
        let read = !self.taken.is_empty() && path.exists();
        if read {
            self.taken.push(YARD);
        }
        read.then_some(path)
    }

    /// Marked boards, as a sample.
    pub fn marked(&mut self, given: Option<&PathBuf>) -> PathBuf {
        self.needed(given, MARKED, "--like")
    }

    /// The boards on hand. Where `other` wood is named they may be missing; where the paddles are
    /// named too and no folder is, all that is meant was named, and none are looked for.
    pub fn boards(
        &mut self,
        given: Option<&PathBuf>,
        paddles: Option<&PathBuf>,
        other: bool,
    ) -> Option<PathBuf> {
        let alone = other && paddles.is_some() && self.named.is_none();
        let there = || self.at(BOARDS).exists();
        if given.is_none() && (alone || other && !there()) {
            return None;
        }
        Some(self.needed(given, BOARDS, "--boards"))
    }

    /// Says which files were taken from the folder, and of a list of strips there that it was not.
    ///
    /// # Errors
    /// [`Failure`] where files are missing: all of them.
    pub fn tell(&self, strips: bool) -> Result<(), Failure> {
        if let Some(failure) = self.lacks() {
            return Err(failure);
        }
        if self.taken.is_empty() {
            return Ok(());
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
        Ok(())
    }
}
