//! A sawyer who reads the printed page and does what it says, to the letter: nothing here knows
//! how steps are made. The words of the page are read from its HTML, every saw takes the kerf that
//! its heading names, and what lies on the bench at the end must be the plan's strips, each in its
//! place. Lengths are whole numbers of 1/80 µm.

use crate::sheet_words::{Done, Group, behind, each, first, last_to, letters, named, need};

use std::collections::BTreeMap;
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::{CutBoard, Edge, Face};

pub const INCH: i64 = 2_032_000;

/// A section on its way through the shop.
#[derive(Clone, Debug, Default)]
struct Slab {
    from: i64,
    to: i64,
    thick: i64,
    flattened: bool,
    /// The true edge, once there is one, and the far side where it is known to be straight.
    edge: Option<i64>,
    far: Option<i64>,
    lined: bool,
    curve: bool,
}

/// A rip, and what its leaves have taken of it from the marked face down.
#[derive(Clone, Debug)]
struct Stick {
    near: i64,
    far: i64,
    top: i64,
    thick: i64,
    leaves: BTreeMap<String, i64>,
    /// Left too deep for the blank.
    over: i64,
}

/// What came out: along, across, thickness, what is too deep, finished thickness.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Made {
    along: (i64, i64),
    across: (i64, i64),
    thick: i64,
    over: i64,
    finished: Option<i64>,
}

pub struct Shop<'a> {
    board: &'a Board,
    slabs: BTreeMap<String, Slab>,
    sticks: BTreeMap<String, Stick>,
    strips: BTreeMap<String, Made>,
    /// What the page rounds when it gives exact figures in decimals.
    slack: i64,
    /// Kinds of work met, to know that the jobs hold them all.
    pub met: BTreeMap<&'static str, usize>,
}

impl Shop<'_> {
    fn note(&mut self, what: &'static str) {
        *self.met.entry(what).or_default() += 1;
    }

    fn same(&self, a: i64, b: i64) -> bool {
        (a - b).abs() <= self.slack
    }

    fn slab(&mut self, name: &str) -> Result<&mut Slab, String> {
        let letter = letters(name);
        self.slabs.get_mut(&letter).ok_or_else(|| format!("no section {letter:?} for {name:?}"))
    }

    /// Does every step of a board in turn.
    fn work(&mut self, groups: &[Group], cut: &CutBoard) -> Done {
        let (crosscuts, rest): (Vec<&Group>, Vec<&Group>) =
            groups.iter().partition(|g| g.heading.contains("from the board's marked end"));
        need(crosscuts.len() <= 1, || "crosscut twice".to_owned())?;
        self.crosscut(crosscuts.first().copied(), cut.sections.len())?;
        for group in rest {
            let done = self.group(group);
            done.map_err(|e| format!("{e}\nin {group:#?}"))?;
        }
        Ok(())
    }

    /// Full-width pieces, from the marked end on; they are named in that order.
    fn crosscut(&mut self, group: Option<&Group>, sections: usize) -> Done {
        let (mut begun, mut pieces) = (0, Vec::new());
        let length = self.board.length.units();
        if let Some(group) = group {
            need(group.heading.starts_with("Crosscut saw, kerf "), || group.heading.clone())?;
            let kerf = first(&group.heading)?;
            for line in &group.lines {
                let at = behind(&line.text, "Cut at ")?;
                if line.text.contains("blade on the marked-end side") {
                    need(at - begun >= kerf, || format!("less than a kerf goes: {line:?}"))?;
                    begun = at;
                } else {
                    need(line.text.contains("blade on the far side"), || format!("{line:?}"))?;
                    need(length - at >= kerf, || format!("less than a kerf goes: {line:?}"))?;
                    pieces.push((begun, at));
                    begun = at + kerf;
                }
            }
        }
        if pieces.len() < sections {
            pieces.push((begun, length));
        }
        need(pieces.len() == sections, || format!("{} sections: {pieces:?}", pieces.len()))?;
        for (n, (from, to)) in pieces.into_iter().enumerate() {
            need(from < to, || format!("section of no length: {from} to {to}"))?;
            let letter = char::from(b'A' + u8::try_from(n).unwrap()).to_string();
            let thick = self.board.thickness.units();
            self.slabs.insert(letter, Slab { from, to, thick, ..Slab::default() });
        }
        Ok(())
    }

    fn group(&mut self, group: &Group) -> Done {
        let heading = group.heading.as_str();
        need(heading.contains("kerf"), || format!("no kerf named: {heading}"))?;
        let has = |words: &str| heading.contains(words);
        for line in &group.lines {
            let text = line.text.as_str();
            if has("Before the first cut") {
                continue;
            } else if has("less than a kerf, planed and not sawn") {
                self.end(text)?;
            } else if has("one face flat") {
                let loss = behind(text, "Up to ")?;
                let hollow = self.board.bow.units() > 0;
                need(
                    text.contains(if hollow { "marked face is hollow" } else { "is crowned" }),
                    || text.to_owned(),
                )?;
                let slab = self.slab(text)?;
                (slab.flattened, slab.thick) = (true, slab.thick - loss);
                self.note("flattened");
            } else if has("the whole section to") {
                let (from, to) = (behind(text, "from ")?, behind(text, " to ")?);
                let set = behind(heading, "section to ")?;
                let whole = self.board.thickness.units();
                let slab = self.slab(text)?;
                need(from == whole && to == set && to < from, || text.to_owned())?;
                need(slab.edge.is_none(), || "planed too late".to_owned())?;
                need(to <= slab.thick + 300, || format!("no {to} in {}", slab.thick))?;
                (slab.thick, slab.flattened) = (to, false);
                self.note("planed before it is ripped");
            } else if has("true one edge") {
                self.edge(heading, text)?;
            } else if has("No machine, no kerf: no cut needed")
                || has("saw, kerf") && (has("fence") || has("sled: line"))
            {
                self.rip(heading, text, line.left)?;
            } else if has("plane the edge back") {
                self.shave(text, line.left)?;
            } else if has("along the curve") {
                self.rip(heading, text, line.left)?;
            } else if has("Bandsaw for resawing") {
                self.resaw(heading, text)?;
            } else if has("to thickness, lying on the wide face") {
                self.thickness(text)?;
            } else if has("left for the blank") {
                self.left_over(text)?;
            } else if has("strips to length") {
                self.trim(heading, text)?;
            } else if has("dress to") {
                self.dress(heading, text)?;
            } else {
                return Err(format!("what is this? {heading}"));
            }
        }
        Ok(())
    }

    fn end(&mut self, text: &str) -> Done {
        let (by, at) = (behind(text, "back by ")?, behind(text, ", to ")?);
        let slab = self.slab(text)?;
        if text.contains("marked end back") {
            need(slab.from + by == at, || text.to_owned())?;
            slab.from = at;
        } else {
            need(slab.to - by == at, || text.to_owned())?;
            slab.to = at;
        }
        self.note("end planed");
        Ok(())
    }

    fn edge(&mut self, heading: &str, text: &str) -> Done {
        let line = if text.contains("take nothing off") { 0 } else { first(&text[2..])? };
        let (curve, lined) = (text.contains("keep the curve"), text.contains("straightedge"));
        let slab = self.slab(text)?;
        need(!slab.flattened, || "the other face is still curved".to_owned())?;
        need(slab.edge.is_none(), || "a second edge".to_owned())?;
        (slab.edge, slab.curve, slab.lined) = (Some(line), curve, lined);
        if heading.contains("no kerf") {
            return Ok(());
        }
        let kerf = first(heading)?;
        let crowned = lined && self.board.crook.units() < 0;
        need(crowned || line >= kerf, || format!("less than a kerf is sawn: {text}"))?;
        need(curve == heading.starts_with("Bandsaw"), || heading.to_owned())
    }

    /// Rips: by fence, by jig, along a curve, and what is left over.
    fn rip(&mut self, heading: &str, text: &str, left: Option<(i64, bool)>) -> Done {
        let (board, bent) = (self.board, self.board.crook.units() != 0);
        let width = board.width.units();
        let name: String = text.chars().take_while(char::is_ascii_alphanumeric).collect();
        let slack = self.slack;
        let slab = self.slab(&name)?;
        let thick = slab.thick;
        let edge = slab.edge.ok_or("no true edge yet")?;
        if text.contains("is what is left") {
            need(!(slab.lined && bent && slab.far.is_none()), || "curved far edge".to_owned())?;
            let far = slab.far.unwrap_or(width);
            slab.edge = None;
            return self.stick(name, edge, far, thick);
        }
        let kerf = first(heading)?;
        let setting = ["jig ", "fence ", "sled: line ", "up to a line "].iter().find_map(|w| {
            let at = heading.find(w)? + w.len();
            heading[at..].starts_with(|c: char| c.is_ascii_digit()).then(|| first(&heading[at..]))
        });
        let mut fence = setting.ok_or_else(|| format!("no setting: {heading}"))??;
        let to_line = heading.contains("up to a line ");
        if to_line {
            fence -= kerf;
        }
        let (curve, jig) = (heading.contains("along the curve"), heading.contains("thin-rip jig"));
        need(slab.curve == curve, || format!("{name} at {heading}"))?;
        let sled = heading.contains("on a straight sled");
        need(curve || (jig || sled || to_line) == (fence < INCH * 3 / 4), || {
            format!("a finger's room: {heading}")
        })?;
        if jig || to_line {
            need(!(slab.lined && bent && slab.far.is_none()), || {
                "a curved edge on the fence".to_owned()
            })?;
        }
        if text.contains("the far edge, which is curved") {
            need(slab.far.is_none() && slab.lined, || text.to_owned())?;
            let at = behind(text, "falls off at ")?;
            need((edge + fence - at).abs() <= slack, || text.to_owned())?;
            slab.far = Some(edge + fence);
            self.note("far edge straightened for the jig");
            return Ok(());
        }
        if text.contains("again, its other edge") {
            let stick = self.sticks.get_mut(&name).ok_or("not sawn off yet")?;
            let near = stick.far - fence;
            need(near - stick.near >= kerf, || format!("less than a kerf is sawn off {name}"))?;
            stick.near = near;
            self.note("pared");
            return Ok(());
        }
        let after = edge + fence + kerf;
        slab.edge = Some(after);
        let far = match (slab.far, slab.lined) {
            (Some(far), _) => far,
            (None, true) if board.crook.units() < 0 => {
                let (s, l) = (i128::from(slab.to - slab.from), i128::from(board.length.units()));
                let gap = i128::from(-board.crook.units()) * s * s / (l * l);
                width - i64::try_from(gap).unwrap()
            }
            _ => width,
        };
        need(edge + fence <= far + slack, || format!("off the board: {text}"))?;
        let (left, about) = left.ok_or("nothing said of what is left")?;
        let room = if about { INCH / 64 } else { 0 } + slack;
        need(((far - after).max(0) - left).abs() <= room, || {
            format!("{left} left is said, {} is", far - after)
        })?;
        self.note(if curve {
            "along a curve"
        } else if jig {
            "by the jig"
        } else {
            "by the fence"
        });
        if text.contains("comes off") && !text.contains('\u{2192}') {
            return Ok(());
        }
        self.stick(name, edge, edge + fence, thick)
    }

    fn stick(&mut self, name: String, near: i64, far: i64, thick: i64) -> Done {
        let stick = Stick { near, far, top: 0, thick, leaves: BTreeMap::new(), over: 0 };
        need(self.sticks.insert(name.clone(), stick).is_none(), || format!("{name} twice"))
    }

    fn shave(&mut self, text: &str, left: Option<(i64, bool)>) -> Done {
        let by = behind(text, "plane ")?;
        let width = self.board.width.units();
        let slab = self.slab(text)?;
        slab.edge = Some(slab.edge.ok_or("no edge to plane")? + by);
        need(left.is_some() && by < width, || text.to_owned())?;
        self.note("edge planed back");
        Ok(())
    }

    fn leaf_of(&mut self, name: &str) -> Result<&mut Stick, String> {
        let rip = name.trim_end_matches(|c: char| c.is_ascii_lowercase());
        self.sticks.get_mut(rip).ok_or_else(|| format!("no rip {rip} for {name}"))
    }

    fn resaw(&mut self, heading: &str, text: &str) -> Done {
        let (kerf, fence) = (first(heading)?, behind(heading, "fence ")?);
        let name: String = text.chars().take_while(char::is_ascii_alphanumeric).collect();
        let stick = self.leaf_of(&name)?;
        if text.contains("is what is left") {
            stick.leaves.insert(name, stick.thick - stick.top);
            return Ok(());
        }
        need(text.contains("off the marked-face side"), || text.to_owned())?;
        need(stick.top + fence + kerf <= stick.thick, || format!("no wood for {text}"))?;
        stick.leaves.insert(name, fence);
        stick.top += fence + kerf;
        self.note("resawn");
        Ok(())
    }

    fn thickness(&mut self, text: &str) -> Done {
        let (from, to) = (behind(text, "from ")?, last_to(text)?);
        for name in named(text).0 {
            let slack = self.slack;
            let stick = self.leaf_of(&name)?;
            let left = stick.thick - stick.top;
            let was = stick.leaves.get(&name).copied().unwrap_or(left);
            need((was - from).abs() <= slack && to < from, || format!("{name} is {was}: {text}"))?;
            need(stick.far - stick.near >= to, || format!("{name} stands on edge"))?;
            stick.leaves.insert(name, to);
            self.note("leaf planed");
        }
        Ok(())
    }

    fn left_over(&mut self, text: &str) -> Done {
        let (stays, over) = (behind(text, "stays ")?, behind(text, "which is ")?);
        for name in named(text).0 {
            let slack = self.slack;
            let stick = self.leaf_of(&name)?;
            let is = stick.thick - stick.top;
            need((is - stays).abs() <= slack, || format!("{name} is {is}: {text}"))?;
            stick.over = over;
            stick.leaves.insert(name, stays - over);
            self.note("left for the blank");
        }
        Ok(())
    }

    fn trim(&mut self, heading: &str, text: &str) -> Done {
        let kerf = first(heading)?;
        let (pieces, names) = named(text);
        let words = text.split(": ").nth(1).ok_or("nothing to do")?;
        for (piece, strips) in pieces.iter().zip(names) {
            let (from, to) = {
                let slab = self.slab(piece)?;
                (slab.from, slab.to)
            };
            let long = to - from;
            let (mut begun, mut got) = (0, Vec::new());
            for part in words.split(';').filter(|p| !p.contains("no cut")) {
                let part = part.split(". Keep").next().unwrap_or(part);
                if let Some(rest) = part.trim().strip_prefix("plane ") {
                    let (by, at) = (first(rest)?, behind(rest, "back to ")?);
                    need(by < kerf, || format!("{part} could be sawn"))?;
                    if rest.contains("far end") {
                        need(at + by == long, || part.to_owned())?;
                        got.push((begun, at));
                        begun = long;
                    } else {
                        need(begun + by == at, || part.to_owned())?;
                        begun = at;
                    }
                    continue;
                }
                let at = behind(part, "cut at ")?;
                if part.contains("marked-end side") {
                    need(at - begun >= kerf, || format!("less than a kerf goes: {part}"))?;
                    begun = at;
                } else {
                    need(part.contains("far side"), || part.to_owned())?;
                    need(long - at >= kerf, || format!("less than a kerf goes: {part}"))?;
                    got.push((begun, at));
                    begun = at + kerf;
                }
            }
            if begun < long && got.len() < strips.len() {
                got.push((begun, long));
            }
            need(got.len() == strips.len(), || format!("{piece}: {got:?} for {strips:?}"))?;
            let stick = self.leaf_of(piece)?.clone();
            let thick = stick.leaves.get(piece).copied().unwrap_or(stick.thick);
            for (name, (a, z)) in strips.into_iter().zip(got) {
                let made = Made {
                    along: (from + a, from + z),
                    across: (stick.near, stick.far),
                    thick,
                    over: stick.over,
                    finished: None,
                };
                need(self.strips.insert(name.clone(), made).is_none(), || format!("{name} twice"))?;
            }
        }
        Ok(())
    }

    fn dress(&mut self, heading: &str, text: &str) -> Done {
        let (from, to) = (behind(text, "from ")?, behind(text, " to ").and(last_to(text))?);
        let (set, face) = (behind(heading, "dress to ")?, behind(text, ": ").and(each(text))?);
        need(set == to, || format!("{text} at {heading}"))?;
        for name in named(text).0 {
            let slack = self.slack;
            let made = self.strips.get_mut(&name).ok_or_else(|| format!("no strip {name}"))?;
            let upright = text.contains("toward the reference edge");
            let is = if upright { made.across.1 - made.across.0 } else { made.thick };
            need((is - from).abs() <= slack, || format!("{name} is {is}: {text}"))?;
            need((from - 2 * face - to).abs() <= slack + 2, || format!("two faces: {text}"))?;
            made.finished = Some(to);
        }
        Ok(())
    }
}

/// Follows the steps of one board and compares what is made with the plan.
pub fn follow<'a>(
    groups: &[Group],
    cut: &CutBoard,
    job: &Job,
    board: &'a Board,
) -> Result<Shop<'a>, String> {
    let text = format!("{groups:?}");
    let slack = if text.contains("exact") { INCH / 1000 } else { 0 };
    let mut shop = Shop {
        board,
        slabs: BTreeMap::new(),
        sticks: BTreeMap::new(),
        strips: BTreeMap::new(),
        slack,
        met: BTreeMap::new(),
    };
    shop.work(groups, cut)?;
    let mut wanted = 0;
    for section in &cut.sections {
        if section.edge == Edge::Lined {
            shop.note("straightened");
        }
        if section.face == Face::Flattened {
            shop.note("planned flat");
        }
        for rip in &section.rips {
            for leaf in &rip.leaves {
                for strip in &leaf.strips {
                    wanted += 1;
                    let made = shop.strips.get(&strip.id);
                    let made = made.ok_or_else(|| format!("{} was never made", strip.id))?;
                    let same = |a: i64, b: stripwright::length::Length| shop.same(a, b.units());
                    let places = same(made.along.0, strip.from)
                        && same(made.along.1, strip.to)
                        && same(made.across.0, rip.near)
                        && same(made.across.1, rip.far)
                        && same(made.thick, leaf.thickness);
                    need(places, || format!("{} is {made:?}, planned {strip:?}", strip.id))?;
                    let lamination = &job.paddles[strip.paddle].laminations[strip.lamination];
                    let sawn = if rip.turned { leaf.thickness } else { rip.far - rip.near };
                    let finished = made.finished.unwrap_or(sawn.units());
                    need(same(finished, lamination.thickness), || {
                        format!("{} comes out {finished} thick", strip.id)
                    })?;
                    clear(made, section.edge == Edge::Lined, section, job, board, strip.lamination)
                        .map_err(|e| format!("{}: {e}", strip.id))?;
                }
            }
        }
    }
    need(wanted == shop.strips.len(), || "strips that nobody planned".to_owned())?;
    Ok(shop)
}

/// Is a strip clear of every zone that its lamination does not allow, margins and all?
#[allow(clippy::cast_precision_loss)]
fn clear(
    made: &Made,
    lined: bool,
    section: &stripwright::plan::Section,
    job: &Job,
    board: &Board,
    lamination: usize,
) -> Done {
    let allow = &job.paddles[0].laminations[lamination].allow;
    let (c, l) = (board.crook.units() as f64, board.length.units() as f64);
    let (x0, x1) = (section.from.units() as f64, section.to.units() as f64);
    for zone in board.zones.iter().filter(|z| !allow.contains(&z.kind)) {
        let margin = job.shop.margins.get(&zone.kind).copied().unwrap_or_default();
        let from = (zone.from - margin.along).units().max(made.along.0);
        let to = (zone.to + margin.along).units().min(made.along.1);
        if from >= to {
            continue;
        }
        // From place to place under the zone: there it must lie beside the strip.
        for i in 0..=20 {
            let x = from as f64 + (to - from) as f64 * f64::from(i) / 20.0;
            let lift = if lined { 4.0 * c / (l * l) * (x - x0) * (x1 - x) } else { 0.0 };
            let near = (zone.near - margin.across).units() as f64 + lift;
            let far = (zone.far + margin.across).units() as f64 + lift;
            let apart =
                near + 2100.0 >= made.across.1 as f64 || far - 2100.0 <= made.across.0 as f64;
            need(apart, || format!("lies on a {}", zone.kind.as_str()))?;
        }
    }
    Ok(())
}
