//! Plan JSON back into a plan (MODEL 9). Names and sizes are read here; the rules of cutting are
//! checked by [`crate::verify`].

mod json;

use crate::claim::{Claim, FilePlan};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{
    Cost, CutBoard, Edge, Face, InHand, Leaf, Measure, Most, Plan, Proof, Rip, Section, Strip,
};
use crate::read::looks::{Looks, swapped};
use crate::read::names::name_fault;
use crate::read::problem::{Problem, Problems, cut_off};
use serde_json::{Map, Value};
use std::collections::HashMap;

/// Reads a plan file's text.
///
/// The stated cost is taken as exact where it agrees with the boards opened to the digits that a
/// decimal holds; a cost that differs is kept, for verification to refuse. Without `paddles` all
/// paddles of the job count as made. What the file says of its proof is kept apart from the plan, of
/// which nothing is proved by being read. Further keys are ignored, but not one that seems to be a
/// known one misspelt.
///
/// # Errors
/// Every [`Problem`] found.
pub fn plan_text(
    name: &str,
    text: &str,
    job: &Job,
    boards: &[Board],
) -> Result<FilePlan, Problems> {
    if let Some(problems) = swapped(name, text, Looks::Plan) {
        return Err(problems);
    }
    let value = json::value(text).map_err(|why| {
        let mut problem = Problem::of_file(name, &why.rule, why.cure);
        (problem.line, problem.column) = (why.line, why.column.map(|n| format!("column {n}")));
        Problems::from(problem)
    })?;
    let names = boards.iter().enumerate().rev().map(|(i, b)| (b.name.as_str(), i)).collect();
    let mut reader = Reader { file: name, job, boards, names, problems: Problems::default() };
    match reader.plan(&value) {
        Some(plan) if reader.problems.is_empty() => Ok(plan),
        _ => Err(reader.problems),
    }
}

/// The statuses of a run that has no plan.
pub const NO_PLAN: [&str; 3] = ["infeasible", "not found", "over budget"];

/// The versions of plan files that are read.
const VERSIONS: [u64; 1] = [1];

/// Keys that may be left out: a misspelt one would be left out unseen. Others are missed.
const OPTIONAL: [&str; 5] = ["version", "most", "budget", "paddles", "strips"];
const OPTIONAL_OF_PROOF: [&str; 3] = ["bound", "gap", "bound_parts"];
const OPTIONAL_OF_STRIP: [&str; 2] = ["label", "flipped_with"];
/// Keys of the whole plan and of its parts; none of them is a misspelt other.
const KNOWN: [&str; 33] = [
    "version",
    "units",
    "cost",
    "total",
    "measure",
    "proof",
    "status",
    "bound",
    "gap",
    "bound_parts",
    "most",
    "made",
    "at_most",
    "budget",
    "paddles",
    "paddle",
    "boards",
    "board",
    "copy",
    "sections",
    "from",
    "to",
    "edge",
    "face",
    "rips",
    "near",
    "far",
    "turned",
    "leaves",
    "thickness",
    "strips",
    "strip",
    "lamination",
];

struct Reader<'a> {
    file: &'a str,
    job: &'a Job,
    boards: &'a [Board],
    /// Which board has a name.
    names: HashMap<&'a str, usize>,
    problems: Problems,
}

impl Reader<'_> {
    fn problem(&mut self, path: &str, value: Option<&str>, rule: &str, cure: &str) {
        if self.problems.is_full() {
            self.problems.count(1);
            return;
        }
        self.problems.push(Problem {
            file: self.file.to_owned(),
            line: None,
            column: Some(path.to_owned()),
            value: value.map(str::to_owned),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        });
    }

    fn wrong(&mut self, path: &str, value: &Value, rule: &str, cure: &str) {
        let shown = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        self.problem(path, Some(&cut_off(&shown, 60)), rule, cure);
    }

    fn object<'v>(&mut self, path: &str, value: &'v Value) -> Option<&'v Map<String, Value>> {
        let Some(map) = value.as_object() else {
            self.wrong(path, value, "is not an object", "write { … }");
            return None;
        };
        Some(map)
    }

    /// Refuses keys that seem to be misspelt ones.
    fn misspelt(&mut self, path: &str, map: &Map<String, Value>, optional: &[&str]) {
        for key in map.keys().filter(|k| !KNOWN.contains(&k.as_str())) {
            if optional.contains(&key.as_str()) || key.len() > 20 {
                continue;
            }
            // Two letters off in a long word, one in a short one.
            let far = |known: &&str| {
                let off = strsim::damerau_levenshtein(&key.to_lowercase(), known);
                off <= 1 + usize::from(known.len() > 7)
            };
            if let Some(meant) = optional.iter().copied().find(far)
                && !map.contains_key(meant)
            {
                let cure = format!("did you mean {meant}?");
                self.problem(&join(path, key), None, "is not a key that is known here", &cure);
            }
        }
    }

    fn key<'v>(&mut self, path: &str, map: &'v Map<String, Value>, key: &str) -> Option<&'v Value> {
        let found = map.get(key);
        if found.is_none() {
            self.problem(&join(path, key), None, "is missing", &format!("add the key {key}"));
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
            let cure = format!("write a number of {}", self.job.units.word());
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
            self.problem(&join(path, key), Some(text), "is not known here", &cure);
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
            self.problem(&join(path, key), Some(text), &rule, &cure);
        }
        found
    }

    fn plan(&mut self, value: &Value) -> Option<FilePlan> {
        let map = self.object("the file", value)?;
        self.misspelt("", map, &OPTIONAL);
        if let Some(version) = map.get("version")
            && !version.as_u64().is_some_and(|n| VERSIONS.contains(&n))
        {
            let cure = "this program reads version 1; plan again, or verify with the program that wrote it";
            self.wrong("version", version, "is not a version that is known here", cure);
            return None;
        }
        let proof = self.key("", map, "proof").and_then(|v| self.object("proof", v));
        if let Some(proof) = proof {
            self.misspelt("proof", proof, &OPTIONAL_OF_PROOF);
        }
        let status = proof.and_then(|p| self.text("proof", p, "status"));
        if let Some(none) = status.filter(|status| NO_PLAN.contains(status)) {
            let cure = match none {
                "infeasible" => {
                    "there is nothing to verify; plan again when there are boards enough"
                }
                _ => "there is nothing to verify; plan again",
            };
            self.problem("proof.status", Some(none), "says that there is no plan", cure);
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
        let budget = match map.get("budget") {
            None | Some(Value::Null) => Some(None),
            Some(_) => self.amount("", map, "budget").map(Some),
        };
        let budget = budget?.map(|money| whole(money, Measure::Price));
        let in_hand = match map.get("strips") {
            None | Some(Value::Null) => Some(Vec::new()),
            Some(_) => self.list("", map, "strips", Self::in_hand),
        };
        let claim = Claim { most: most?, budget, ..claim? };
        let (cost, paddles, boards) = (cost?, paddles?, boards?);
        let mut in_hand = in_hand?;
        in_hand.sort_by_key(|i| i.strip);
        let plan = Plan { cost, proof: Proof::AtLeast(0), most: None, paddles, boards, in_hand };
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
        Some(Claim { optimal, bound, bound_parts, gap: gap?, most: None, budget: None })
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
                let name = self.job.paddles.get(paddle).map(|p| p.name.clone());
                self.problem(&path, name.as_deref(), "is counted twice", "count every paddle once");
            }
        }
        Some(made.into_iter().map(Option::unwrap_or_default).collect())
    }

    fn board(&mut self, path: &str, map: &Map<String, Value>) -> Option<CutBoard> {
        let known = std::mem::take(&mut self.names);
        let names = |name: &str| known.get(name).copied();
        let board = self.name(path, map, "board", names, "the boards given");
        self.names = known;
        let copy = self.count(path, map, "copy");
        // The order in lists does not matter (MODEL 9); the plan's own is along and across.
        let sections = self.list(path, map, "sections", Self::section).map(|mut sections| {
            sections.sort_by_key(|s| s.from);
            sections
        });
        Some(CutBoard { board: board?, copy: copy?, sections: sections? })
    }

    fn section(&mut self, path: &str, map: &Map<String, Value>) -> Option<Section> {
        let from = self.length(path, map, "from");
        let to = self.length(path, map, "to");
        let edges = [("kept", Edge::Kept), ("straight-lined", Edge::Lined)];
        let edge = self.word(path, map, "edge", &edges);
        let faces = [("kept", Face::Kept), ("flattened", Face::Flattened)];
        let face = self.word(path, map, "face", &faces);
        let rips = self.list(path, map, "rips", Self::rip).map(|mut rips| {
            rips.sort_by_key(|r| r.near);
            rips
        });
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
        let strips = self.list(path, map, "strips", Self::strip).map(|mut strips| {
            strips.sort_by_key(|s| s.from);
            strips
        });
        Some(Leaf { thickness: thickness?, strips: strips? })
    }

    /// The paddle and the lamination that a strip is for.
    fn line(&mut self, path: &str, map: &Map<String, Value>) -> (Option<usize>, Option<usize>) {
        let job = self.job;
        let names = |name: &str| job.paddles.iter().position(|p| p.name == name);
        let paddle = self.name(path, map, "paddle", names, "paddles.toml");
        let lamination = paddle.and_then(|p| job.paddles.get(p)).and_then(|p| {
            let names = |name: &str| p.laminations.iter().position(|l| l.name == name);
            self.name(path, map, "lamination", names, "paddles.toml")
        });
        (paddle, lamination)
    }

    /// The other strip of a flipped pair, where one is named.
    fn partner(&mut self, path: &str, map: &Map<String, Value>) -> Option<Option<String>> {
        match map.get("flipped_with") {
            None | Some(Value::Null) => Some(None),
            Some(_) => self.text(path, map, "flipped_with").map(|t| Some(t.to_owned())),
        }
    }

    /// A strip in hand that goes in.
    fn in_hand(&mut self, path: &str, map: &Map<String, Value>) -> Option<InHand> {
        self.misspelt(path, map, &OPTIONAL_OF_STRIP);
        let strips = &self.job.strips;
        let names = |name: &str| strips.iter().position(|s| s.name == name);
        let (file, cure) = match strips.is_empty() {
            true => ("any list of strips in hand", "give the list of strips in hand with --strips"),
            false => (
                "the strips in hand given",
                "the list given with --strips needs the strips in hand that the plan was made with, too",
            ),
        };
        let strip = self.text(path, map, "strip").and_then(|name| {
            let found = names(name);
            if found.is_none() {
                let rule = format!("is not in {file}");
                self.problem(&join(path, "strip"), Some(name), &rule, cure);
            }
            found
        });
        let (paddle, lamination) = self.line(path, map);
        let flipped_with = self.partner(path, map);
        Some(InHand {
            strip: strip?,
            paddle: paddle?,
            lamination: lamination?,
            flipped_with: flipped_with?,
        })
    }

    fn strip(&mut self, path: &str, map: &Map<String, Value>) -> Option<Strip> {
        self.misspelt(path, map, &OPTIONAL_OF_STRIP);
        let id = self.text(path, map, "id");
        let (paddle, lamination) = self.line(path, map);
        let from = self.length(path, map, "from");
        let to = self.length(path, map, "to");
        let flipped_with = self.partner(path, map);
        for (key, name) in
            [("id", id), ("flipped_with", flipped_with.as_ref().and_then(|f| f.as_deref()))]
        {
            if let Some((rule, cure)) = name.and_then(name_fault) {
                self.problem(&join(path, key), name, &rule, cure);
            }
        }
        if let (Some(id), Some(p), Some(l)) = (id, paddle, lamination) {
            self.label(path, map, id, p, l);
        }
        Some(Strip {
            id: id?.to_owned(),
            paddle: paddle?,
            lamination: lamination?,
            from: from?,
            to: to?,
            flipped_with: flipped_with?,
        })
    }

    /// A label is for those who read the file: it must not name another strip than the keys do.
    fn label(&mut self, path: &str, map: &Map<String, Value>, id: &str, paddle: usize, l: usize) {
        let Some(label) = map.get("label").filter(|label| !label.is_null()) else { return };
        let Some(p) = self.job.paddles.get(paddle) else { return };
        let lamination = p.laminations.get(l).map_or("", |l| &l.name);
        let right = format!("{id} {} {lamination}", p.name);
        if label.as_str() != Some(&right) {
            let rule = "is not what id, paddle and lamination say";
            let cure = format!("write {right}, or leave the key out");
            self.wrong(&join(path, "label"), label, rule, &cure);
        }
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
