//! Plan JSON back into a plan (MODEL 9). Names and sizes are read here; the rules of cutting are
//! checked by [`crate::verify`].

use crate::claim::{Claim, FilePlan};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{
    Cost, CutBoard, Edge, Face, Leaf, Measure, Most, Plan, Proof, Rip, Section, Strip,
};
use crate::read::problem::{Problems, cut_off};
use serde_json::{Map, Value};
use std::collections::HashMap;

/// Something in a plan file that can't be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {path}: {value} {rule}; {cure}")]
pub struct PlanProblem {
    /// The file.
    pub file: String,
    /// Where in the JSON, as `boards[0].copy`; for text that is no JSON the line and column.
    pub path: String,
    /// The value found.
    pub value: String,
    /// What it breaks.
    pub rule: String,
    /// What to write instead.
    pub cure: String,
}

/// Reads a plan file's text.
///
/// The stated cost is taken as exact where it agrees with the boards opened to the digits that a
/// decimal holds; a cost that differs is kept, for verification to refuse. Without `paddles` all
/// paddles of the job count as made. What the file says of its proof is kept apart from the plan, of
/// which nothing is proved by being read. Further keys are ignored.
///
/// # Errors
/// Every [`PlanProblem`] found.
pub fn plan_text(
    name: &str,
    text: &str,
    job: &Job,
    boards: &[Board],
) -> Result<FilePlan, Vec<PlanProblem>> {
    counted(name, text, job, boards).map_err(|(problems, _)| problems)
}

/// As [`plan_text`]; of a flood of problems the first, and how many others there are.
pub(super) fn counted(
    name: &str,
    text: &str,
    job: &Job,
    boards: &[Board],
) -> Result<FilePlan, (Vec<PlanProblem>, usize)> {
    let names = boards.iter().enumerate().rev().map(|(i, b)| (b.name.as_str(), i)).collect();
    let mut reader = Reader { file: name, job, boards, names, problems: Vec::new(), others: 0 };
    let plan = match serde_json::from_str::<Value>(text) {
        Ok(value) => reader.plan(&value),
        Err(error) => {
            let path = format!("line {}, column {}", error.line(), error.column());
            reader.problem(&path, "the text", "is not JSON", "give a file written by --json");
            None
        }
    };
    match plan {
        Some(plan) if reader.problems.is_empty() => Ok(plan),
        _ => Err((reader.problems, reader.others)),
    }
}

struct Reader<'a> {
    file: &'a str,
    job: &'a Job,
    boards: &'a [Board],
    /// Which board has a name.
    names: HashMap<&'a str, usize>,
    problems: Vec<PlanProblem>,
    /// Problems beyond those that are kept.
    others: usize,
}

impl Reader<'_> {
    fn problem(&mut self, path: &str, value: &str, rule: &str, cure: &str) {
        if self.problems.len() >= Problems::KEPT {
            self.others += 1;
            return;
        }
        self.problems.push(PlanProblem {
            file: self.file.to_owned(),
            path: path.to_owned(),
            value: value.to_owned(),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        });
    }

    fn wrong(&mut self, path: &str, value: &Value, rule: &str, cure: &str) {
        self.problem(path, &cut_off(&value.to_string(), 60), rule, cure);
    }

    fn object<'v>(&mut self, path: &str, value: &'v Value) -> Option<&'v Map<String, Value>> {
        if value.is_object() {
            return value.as_object();
        }
        self.wrong(path, value, "is not an object", "write { … }");
        None
    }

    fn key<'v>(&mut self, path: &str, map: &'v Map<String, Value>, key: &str) -> Option<&'v Value> {
        let found = map.get(key);
        if found.is_none() {
            let cure = format!("add the key {key}");
            self.problem(&join(path, key), "nothing", "stands where a value must be", &cure);
        }
        found
    }

    /// Reads every item of a list, all problems in one run.
    fn list<T>(
        &mut self,
        path: &str,
        map: &Map<String, Value>,
        key: &str,
        read: impl Fn(&mut Self, &str, &Map<String, Value>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let value = self.key(path, map, key)?;
        let path = join(path, key);
        let Some(items) = value.as_array() else {
            self.wrong(&path, value, "is not a list", "write [ … ]");
            return None;
        };
        let mut out = Some(Vec::new());
        for (i, item) in items.iter().enumerate() {
            let path = format!("{path}[{i}]");
            let item = self.object(&path, item).and_then(|map| read(self, &path, map));
            out = out.zip(item).map(|(mut list, item)| {
                list.push(item);
                list
            });
        }
        out
    }

    fn text<'v>(&mut self, path: &str, map: &'v Map<String, Value>, key: &str) -> Option<&'v str> {
        let value = self.key(path, map, key)?;
        if !value.is_string() {
            self.wrong(&join(path, key), value, "is not text", "write it in double quotes");
        }
        value.as_str()
    }

    fn length(&mut self, path: &str, map: &Map<String, Value>, key: &str) -> Option<Length> {
        let value = self.key(path, map, key)?;
        let path = join(path, key);
        let Some(number) = value.as_f64() else {
            let cure = format!("write a number in {}", self.job.units);
            self.wrong(&path, value, "is not a number", &cure);
            return None;
        };
        let length = Length::from_f64(number, self.job.units).filter(|&l| l >= Length::ZERO);
        if length.is_none() {
            self.wrong(&path, value, "is not from 0 to 100 m", "write a size that is on a board");
        }
        length
    }

    fn count(&mut self, path: &str, map: &Map<String, Value>, key: &str) -> Option<u32> {
        let value = self.key(path, map, key)?;
        let count = value.as_u64().and_then(|n| u32::try_from(n).ok());
        if count.is_none() {
            self.wrong(&join(path, key), value, "is not a count", "write a whole number");
        }
        count
    }

    /// Reads one of a few words.
    fn word<T: Copy>(
        &mut self,
        path: &str,
        map: &Map<String, Value>,
        key: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let text = self.text(path, map, key)?;
        let found = words.iter().find(|(word, _)| *word == text).map(|&(_, meaning)| meaning);
        if found.is_none() {
            let all: Vec<_> = words.iter().map(|(word, _)| format!("{word:?}")).collect();
            let cure = format!("write {}", all.join(" or "));
            let shown = cut_off(&format!("{text:?}"), 60);
            self.problem(&join(path, key), &shown, "is not known here", &cure);
        }
        found
    }

    /// Finds a name in a list.
    fn name(
        &mut self,
        path: &str,
        map: &Map<String, Value>,
        key: &str,
        names: impl Fn(&str) -> Option<usize>,
        file: &str,
    ) -> Option<usize> {
        let text = self.text(path, map, key)?;
        let found = names(text);
        if found.is_none() {
            let rule = format!("is not in {file}");
            let cure = format!("write a {key} that is");
            let shown = cut_off(&format!("{text:?}"), 60);
            self.problem(&join(path, key), &shown, &rule, &cure);
        }
        found
    }

    fn plan(&mut self, value: &Value) -> Option<FilePlan> {
        let map = self.object("the file", value)?;
        let proof = self.key("", map, "proof").and_then(|v| self.object("proof", v));
        let status = proof.and_then(|p| self.text("proof", p, "status"));
        if let Some(none @ ("infeasible" | "not found" | "over budget")) = status {
            let cure = match none {
                "infeasible" => {
                    "there is nothing to verify; plan again when there are boards enough"
                }
                _ => "there is nothing to verify; plan again",
            };
            self.problem("proof.status", &format!("{none:?}"), "says that there is no plan", cure);
            return None;
        }
        let units = [(self.job.units.name(), ())];
        let units = self.word("", map, "units", &units);
        let boards = self.list("", map, "boards", Self::board);
        let cost = self.cost(map, boards.as_deref());
        let claim = proof.zip(cost).and_then(|(p, cost)| self.claim(p, cost));
        let paddles = self.paddles(map);
        units?;
        let most = self.most(map);
        let claim = Claim { most: most?, budget: map.contains_key("budget"), ..claim? };
        let (cost, paddles, boards) = (cost?, paddles?, boards?);
        let plan = Plan { cost, proof: Proof::AtLeast(0), most: None, paddles, boards };
        Some(FilePlan { plan, claim })
    }

    fn cost(&mut self, map: &Map<String, Value>, opened: Option<&[CutBoard]>) -> Option<Cost> {
        let value = self.key("", map, "cost")?;
        let cost = self.object("cost", value)?;
        let measures = [Measure::Price, Measure::BoardFeet].map(|m| (m.name(), m));
        let measure = self.word("cost", cost, "measure", &measures);
        let total = self.amount("cost", cost, "total");
        let (measure, total) = (measure?, total?);
        let exact: i128 =
            opened?.iter().filter_map(|c| self.boards.get(c.board)).map(|b| measure.parts(b)).sum();
        Some(Cost { measure, parts: nearest(total, measure, exact) })
    }

    /// A cost as a number, not below 0 and not huge.
    fn amount(&mut self, path: &str, map: &Map<String, Value>, key: &str) -> Option<f64> {
        let value = self.key(path, map, key)?;
        let found = value.as_f64().filter(|n| (0.0..=1e13).contains(n));
        if found.is_none() {
            self.wrong(&join(path, key), value, "is not a cost", "write a number from 0 on");
        }
        found
    }

    /// What is said of the number of paddles, where anything is.
    fn most(&mut self, map: &Map<String, Value>) -> Option<Option<Most>> {
        if !map.contains_key("most") {
            return Some(None);
        }
        let most = self.key("", map, "most").and_then(|v| self.object("most", v))?;
        let (made, at_most) =
            (self.count("most", most, "made"), self.count("most", most, "at_most"));
        Some(Some(Most { made: made?, at_most: at_most? }))
    }

    /// The claim as it stands, but for the number of paddles.
    fn claim(&mut self, map: &Map<String, Value>, cost: Cost) -> Option<Claim> {
        let words = [("optimal", true), ("bounded", false)];
        let optimal = self.word("proof", map, "status", &words);
        let bound_parts = match map.get("bound_parts") {
            None | Some(Value::Null) => Some(None),
            Some(value) => {
                let parts = value.as_str().and_then(|digits| digits.parse::<i128>().ok());
                if parts.is_none() {
                    let rule = "is not a whole number in double quotes";
                    self.wrong("proof.bound_parts", value, rule, "leave the key out");
                }
                parts.map(Some)
            }
        };
        let given = |key: &str| map.get(key).is_some_and(|v| !v.is_null());
        let bound = if given("bound") || optimal == Some(false) {
            self.amount("proof", map, "bound").map(Some)
        } else {
            Some(None)
        };
        let gap = if given("gap") {
            let gap = map.get("gap").and_then(Value::as_f64);
            if let (None, Some(value)) = (gap, map.get("gap")) {
                self.wrong("proof.gap", value, "is not a number", "write a share, as 0.02");
            }
            gap.map(Some)
        } else {
            Some(None)
        };
        let (optimal, bound_parts, bound) = (optimal?, bound_parts?, bound?);
        // The exact bound counts where it is the stated one.
        let exact = bound_parts.unwrap_or(cost.parts);
        let bound = bound.map(|bound| match bound_parts {
            // A bound that falls short of the cost by a hair falls short of it.
            None if !optimal && bound < cost.value() => whole(bound, cost.measure),
            _ => nearest(bound, cost.measure, exact),
        });
        Some(Claim { optimal, bound, bound_parts, gap: gap?, most: None, budget: false })
    }

    fn paddles(&mut self, map: &Map<String, Value>) -> Option<Vec<u32>> {
        if !map.contains_key("paddles") {
            return Some(self.job.paddles.iter().map(|p| p.quantity).collect());
        }
        let listed = self.list("", map, "paddles", |reader, path, map| {
            let job = reader.job;
            let names = |name: &str| job.paddles.iter().position(|p| p.name == name);
            let paddle = reader.name(path, map, "paddle", names, "paddles.toml");
            let made = reader.count(path, map, "made");
            paddle.zip(made)
        })?;
        let mut made = vec![None; self.job.paddles.len()];
        for (place, (paddle, count)) in listed.into_iter().enumerate() {
            let Some(slot) = made.get_mut(paddle) else { continue };
            if slot.replace(count).is_some() {
                let path = format!("paddles[{place}].paddle");
                let name = format!("{:?}", self.job.paddles[paddle].name);
                self.problem(&path, &name, "is counted twice", "count every paddle once");
            }
        }
        Some(made.into_iter().map(Option::unwrap_or_default).collect())
    }

    fn board(&mut self, path: &str, map: &Map<String, Value>) -> Option<CutBoard> {
        let known = std::mem::take(&mut self.names);
        let names = |name: &str| known.get(name).copied();
        let board = self.name(path, map, "board", names, "boards.csv");
        self.names = known;
        let copy = self.count(path, map, "copy");
        let sections = self.list(path, map, "sections", Self::section);
        Some(CutBoard { board: board?, copy: copy?, sections: sections? })
    }

    fn section(&mut self, path: &str, map: &Map<String, Value>) -> Option<Section> {
        let from = self.length(path, map, "from");
        let to = self.length(path, map, "to");
        let edges = [("kept", Edge::Kept), ("straight-lined", Edge::Lined)];
        let edge = self.word(path, map, "edge", &edges);
        let faces = [("kept", Face::Kept), ("flattened", Face::Flattened)];
        let face = self.word(path, map, "face", &faces);
        let rips = self.list(path, map, "rips", Self::rip);
        Some(Section { from: from?, to: to?, edge: edge?, face: face?, rips: rips? })
    }

    fn rip(&mut self, path: &str, map: &Map<String, Value>) -> Option<Rip> {
        let near = self.length(path, map, "near");
        let far = self.length(path, map, "far");
        let turned = self.key(path, map, "turned").and_then(|value| {
            if !value.is_boolean() {
                let cure = "write true or false";
                self.wrong(&join(path, "turned"), value, "is not true or false", cure);
            }
            value.as_bool()
        });
        let leaves = self.list(path, map, "leaves", Self::leaf);
        Some(Rip { near: near?, far: far?, turned: turned?, leaves: leaves? })
    }

    fn leaf(&mut self, path: &str, map: &Map<String, Value>) -> Option<Leaf> {
        let thickness = self.length(path, map, "thickness");
        let strips = self.list(path, map, "strips", Self::strip);
        Some(Leaf { thickness: thickness?, strips: strips? })
    }

    fn strip(&mut self, path: &str, map: &Map<String, Value>) -> Option<Strip> {
        let id = self.text(path, map, "id");
        let job = self.job;
        let names = |name: &str| job.paddles.iter().position(|p| p.name == name);
        let paddle = self.name(path, map, "paddle", names, "paddles.toml");
        let lamination = paddle.and_then(|p| job.paddles.get(p)).and_then(|p| {
            let names = |name: &str| p.laminations.iter().position(|l| l.name == name);
            self.name(path, map, "lamination", names, "paddles.toml")
        });
        let from = self.length(path, map, "from");
        let to = self.length(path, map, "to");
        let flipped_with = match map.get("flipped_with") {
            None | Some(Value::Null) => Some(None),
            Some(_) => self.text(path, map, "flipped_with").map(|t| Some(t.to_owned())),
        };
        Some(Strip {
            id: id?.to_owned(),
            paddle: paddle?,
            lamination: lamination?,
            from: from?,
            to: to?,
            flipped_with: flipped_with?,
        })
    }
}

/// The exact number of parts where the decimal agrees with it to a billionth, else the decimal's.
#[allow(clippy::float_arithmetic, clippy::cast_possible_truncation, clippy::cast_precision_loss)]
fn nearest(decimal: f64, measure: Measure, exact: i128) -> i128 {
    let value = Cost { measure, parts: exact }.value();
    if (decimal - value).abs() <= value.abs() * 1e-9 {
        return exact;
    }
    whole(decimal, measure)
}

/// The decimal's number of parts.
#[allow(clippy::float_arithmetic, clippy::cast_possible_truncation, clippy::cast_precision_loss)]
fn whole(decimal: f64, measure: Measure) -> i128 {
    (decimal * measure.one() as f64).round() as i128
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}
