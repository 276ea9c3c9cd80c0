//! The files of a run, each read once, with the problems of all of them reported together.

use crate::glue::GlueSettings;
use crate::length::Units;
use crate::lumber::look;
use crate::paddle::Job;
use crate::read::boards::{self, List, Listed};
use crate::read::paddles::{self, Wanted};
use crate::read::problem::{Problem, Problems};
use crate::read::strips::{self, Rack};
use crate::read::text;
use std::collections::HashSet;
use std::path::Path;

/// The files beside paddles.toml.
#[derive(Clone, Copy, Default)]
pub(crate) struct Asked<'a> {
    /// Boards on hand.
    pub boards: Option<&'a Path>,
    /// A yard's list.
    pub yard: Option<&'a Path>,
    /// Must every board of the yard have a price, and a name that none in hand has?
    pub to_buy: bool,
    /// Boards that were marked as a sample.
    pub like: Option<&'a Path>,
    /// Strips in hand.
    pub strips: Option<&'a Path>,
}

/// What came of reading each. What can be checked without paddles.toml is checked where that can't
/// be read, in the units meant if they can be told.
pub(crate) struct Files {
    to_buy: bool,
    yard_name: String,
    wanted: Result<Wanted, Problems>,
    boards: Result<(Listed, String), Problems>,
    /// The yard's list, with how its sizes and prices were taken.
    pub yard: Result<(Listed, Vec<&'static str>), Problems>,
    like: Result<Listed, Problems>,
    rack: Result<Rack, Problems>,
}

/// What the files say.
pub(crate) struct All {
    /// The shop and the paddles wanted, with the strips in hand.
    pub job: Job,
    /// How the shop glues.
    pub glue: GlueSettings,
    /// Boards on hand.
    pub boards: Listed,
    /// The list of boards on hand as it is spelled; empty where there is none.
    pub text: String,
    /// Boards of the yard.
    pub yard: Listed,
    /// How the yard's sizes and prices were taken.
    pub notes: Vec<&'static str>,
    /// The sample.
    pub like: Listed,
    /// What deserves a second look in the strips in hand.
    pub doubts: Vec<Problem>,
}

impl Files {
    /// Reads the files.
    pub fn read(paddles: &Path, asked: Asked<'_>) -> Files {
        let (wanted, units) = match text(paddles) {
            Ok(text) => paddles::wanted_and_units(&paddles.display().to_string(), &text),
            Err(problems) => (Err(problems), None),
        };
        let job = wanted.as_ref().ok().map(|w| &w.job);
        let margins = job.map(|job| &job.shop.margins);
        let list = |path: &Path, list: List, none_will_do: bool| {
            let (name, text) = (path.display().to_string(), text(path)?);
            let of = (margins, none_will_do);
            let listed = in_units(units, |units| match asked.to_buy && list == List::Yard {
                true => boards::priced(&name, &text, units, margins),
                false => boards::boards_marked(&name, &text, units, list, of),
            })?;
            Ok((listed, text))
        };
        let none_will_do = asked.strips.is_some() && !asked.to_buy;
        let or_none = |path: Option<&Path>, kind, none_will_do| {
            path.map_or(Ok(Default::default()), |path| list(path, kind, none_will_do))
        };
        let boards = or_none(asked.boards, List::OnHand, none_will_do);
        let yard = or_none(asked.yard, List::Yard, false);
        let like = or_none(asked.like, List::OnHand, false);
        let rack = asked.strips.map_or(Ok(Rack::default()), |path| {
            let (name, text) = (path.display().to_string(), text(path)?);
            in_units(units, |units| strips::strips_for(&name, &text, units, job))
        });
        Files {
            to_buy: asked.to_buy,
            yard_name: asked.yard.map(|p| p.display().to_string()).unwrap_or_default(),
            yard: yard.map(|(listed, text)| (listed, boards::yard_notes(&text))),
            like: like.map(|(listed, _)| listed),
            wanted,
            boards,
            rack,
        }
    }

    /// Boards of the yard that have the name of one in hand: a plan names boards by their names
    /// alone.
    fn named_twice(&self) -> Vec<Problem> {
        let (Ok((in_hand, _)), Ok((yard, _)), true) = (&self.boards, &self.yard, self.to_buy)
        else {
            return Vec::new();
        };
        let names: HashSet<String> = in_hand.boards.iter().map(|b| look(&b.name)).collect();
        let lines = yard.lines.iter().map(|&line| Some(line)).chain(std::iter::repeat(None));
        let same = yard.boards.iter().zip(lines).filter(|(b, _)| names.contains(&look(&b.name)));
        let problem = |(board, line): (&crate::lumber::Board, Option<usize>)| Problem {
            file: self.yard_name.clone(),
            line,
            column: Some("column board".to_owned()),
            value: Some(board.name.clone()),
            rule: "is the name of a board in hand too".to_owned(),
            cure: "give one of the two another name".to_owned(),
        };
        same.map(problem).collect()
    }

    /// What the files say.
    ///
    /// # Errors
    /// Every [`Problem`] of every file: of paddles.toml first, then of boards on hand, the yard's
    /// list, the sample and strips in hand.
    pub fn settle(self) -> Result<All, Problems> {
        let twice = self.named_twice();
        let mut problems = Problems::default();
        let wanted = told(self.wanted, &mut problems, |_| Vec::new());
        let boards = told(self.boards, &mut problems, |(list, _)| list.doubts.clone());
        twice.into_iter().for_each(|problem| problems.push(problem));
        let yard = told(self.yard, &mut problems, |(list, _)| list.doubts.clone());
        let like = told(self.like, &mut problems, |list| list.doubts.clone());
        let rack = told(self.rack, &mut problems, |rack| rack.doubts.clone());
        match (wanted, boards, yard, like, rack) {
            (Some(wanted), Some(boards), Some(yard), Some(like), Some(rack))
                if problems.is_empty() =>
            {
                let Wanted { mut job, glue } = wanted;
                job.strips = rack.strips;
                let ((boards, text), (yard, notes)) = (boards, yard);
                Ok(All { job, glue, boards, text, yard, notes, like, doubts: rack.doubts })
            }
            _ => Err(problems),
        }
    }
}

/// A list in these units. Where they can't be told it is read in those in which less is wrong with it:
/// what is wrong in the others alone may be good.
fn in_units<T>(
    units: Option<Units>,
    read: impl Fn(Units) -> Result<T, Problems>,
) -> Result<T, Problems> {
    if let Some(units) = units {
        return read(units);
    }
    match (read(Units::Inch), read(Units::Mm)) {
        (Err(inch), Err(mm)) if mm.len() >= inch.len() => Err(inch),
        (Err(_), mm) => mm,
        (inch, _) => inch,
    }
}

/// What was read, or its problems among the others; what deserves a second look stands beside
/// them.
fn told<T>(
    read: Result<T, Problems>,
    problems: &mut Problems,
    doubts: impl Fn(&T) -> Vec<Problem>,
) -> Option<T> {
    match read {
        Ok(read) => {
            *problems = std::mem::take(problems).beside(doubts(&read));
            Some(read)
        }
        Err(others) => {
            problems.extend(others);
            None
        }
    }
}
