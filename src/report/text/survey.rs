//! Survey, purchase and what to look for, in plain sentences and tables.

use crate::length::{Length, Units};
use crate::lumber::species::Trade;
use crate::lumber::{Angle, Board, Price};
use crate::paddle::{Job, Paddle};
use crate::plan::{Cost, Measure, Most, Plan};
use crate::report::text::proof;
use crate::report::text::table::{indented, table};
use crate::report::text::tables::{board_name, offcut_words, paddles, size};
use crate::shop::totals::best_offcut;
use crate::shop::words::{counted, listed, listed_with, upward};
use crate::survey::buy::{Purchase, counts};
use crate::survey::look::{Look, SizeGives, lengths};
use crate::survey::near::{Change, NearMiss};
use crate::survey::{BoardSurvey, Part};
use crate::text::plain;
use crate::verify::VerifiedPlan;
use std::collections::BTreeMap;
use std::fmt::Write;

/// What each board gives by itself.
pub fn survey(surveys: &[BoardSurvey], job: &Job, boards: &[Board], width: usize) -> String {
    let mut out = String::new();
    for survey in surveys {
        let board = &boards[survey.board];
        let head = format!(
            "Board {} ({}, {} {})",
            plain(&board.name),
            plain(board.species.name()),
            size(board, job.units),
            job.units
        );
        out.push_str(&indented(&head, "", width));
        for sentence in sentences(survey, job, board) {
            out.push_str(&indented(&sentence, "  ", width));
        }
        out.push('\n');
    }
    out
}

fn sentences(survey: &BoardSurvey, job: &Job, board: &Board) -> Vec<String> {
    let mut all = Vec::new();
    for (paddle, part) in job.paddles.iter().zip(&survey.parts) {
        part_sentences(part, paddle, job, board, &mut all);
    }
    let (used, whole) = survey.usable;
    let tenths = (used * 1000 + whole - 1) / whole.max(1);
    all.push(format!("At most {}.{} % of it can become strips.", tenths / 10, tenths % 10));
    all
}

fn part_sentences(part: &Part, paddle: &Paddle, job: &Job, board: &Board, all: &mut Vec<String>) {
    let name = plain(&paddle.name);
    let lamination = |l: usize| plain(&paddle.laminations[l].name);
    let wood = plain(board.species.name());
    if part.laminations.is_empty() {
        all.push(format!("No lamination of {name} may be of {wood}."));
        return;
    }
    let others: Vec<String> = (0..paddle.laminations.len())
        .filter(|l| !part.laminations.contains(l))
        .map(lamination)
        .collect();
    let whole = others.is_empty();
    // Of a paddle that needs other wood too, what is covered is its strips of this wood.
    let of = |what: String| if whole { what } else { format!("the {wood} of {what}") };
    let proved = if part.proved { " (proved)" } else { ", and perhaps more" };
    if part.covers > 0 {
        let what = of(format!("{} × {name}", part.covers));
        all.push(format!("Covers {what}{proved}."));
    } else {
        let what = of(format!("one {name}"));
        let missing: Vec<String> =
            part.missing.iter().map(|&(l, n)| strips_of(n, &lamination(l))).collect();
        let head = if part.proved {
            format!("Doesn't cover {what} (proved)")
        } else {
            format!("The search was stopped before it found a cut that covers {what}")
        };
        // How much is missing is what the best cut found leaves, not what every cut must.
        all.push(match missing.len() {
            0 => format!("{head}."),
            _ => format!("{head}; the best cut found is short of {}.", listed(&missing)),
        });
        for (n, near) in part.near.iter().enumerate() {
            let first = if n == 0 { "It would" } else { "Or" };
            all.push(format!("{first} {}.", near_words(near, job, paddle, part, board)));
        }
        if part.near.is_empty() && part.most.iter().any(|&n| n > 0) {
            all.push("No single change that was tried would do.".to_owned());
        }
    }
    if !whole {
        all.push(format!("Other wood is needed for {}.", listed(&others)));
    }
    let gives: Vec<String> = part
        .most
        .iter()
        .zip(&part.laminations)
        .filter(|(n, _)| **n > 0)
        .map(|(n, &l)| strips_of(*n, &lamination(l)))
        .collect();
    if gives.is_empty() {
        all.push(format!("It gives no strip of {name}; the command check says why."));
    } else {
        let gives = listed_with(&gives, "or");
        all.push(format!("Beside other boards, cut for one lamination alone, it gives {gives}."));
    }
}

/// `1 strip of loom side`.
pub(in crate::report) fn strips_of(count: u32, lamination: &str) -> String {
    format!("{} of {lamination}", counted(count, "strip"))
}

pub(in crate::report) fn near_words(
    near: &NearMiss,
    job: &Job,
    paddle: &Paddle,
    part: &Part,
    board: &Board,
) -> String {
    let units = job.units;
    let lamination = |l: usize| plain(&paddle.laminations[part.laminations[l]].name);
    match near.change {
        Change::Shorter { length, loom } => format!(
            "at a length of {} with a loom of {} in proportion",
            length.with_unit(units),
            loom.with_unit(units)
        ),
        Change::Zone(zone) => {
            let zone = &board.zones[zone];
            format!(
                "if the {} from {} to {} (across {} to {}) were not there",
                zone.kind,
                zone.from.show(units),
                zone.to.with_unit(units),
                zone.near.show(units),
                zone.far.with_unit(units)
            )
        }
        Change::Kerf(kerf) => {
            let resaws = job.shop.resaw_kerf.is_some_and(|resaw| resaw > kerf);
            format!(
                "with a rip kerf{} of {} instead of {}",
                if resaws { " and resaw kerf" } else { "" },
                kerf.with_unit(units),
                job.shop.rip_kerf.with_unit(units)
            )
        }
        Change::Resaw(kerf) => {
            format!("if it were resawn, with a kerf of {}", kerf.with_unit(units))
        }
        Change::BoardEnd(end) => format!(
            "with {} unusable at each end instead of {}",
            end.with_unit(units),
            job.shop.board_end.with_unit(units)
        ),
        Change::Pair(pair) => format!(
            "if flipped pairs may cancel {} of bend instead of {}",
            pair.with_unit(units),
            job.shop.pair.with_unit(units)
        ),
        Change::Trade(a, b) => {
            let thickness = |l: usize| paddle.laminations[part.laminations[l]].thickness;
            let loom = paddle.loom_width() + (thickness(b) - thickness(a)) * 2;
            format!(
                "if {} ran in the blades and {} through the loom, which makes the loom {} wide",
                lamination(a),
                lamination(b),
                loom.with_unit(units)
            )
        }
    }
}

/// What to buy by the verified plan of a purchase; with a budget, the most for it.
pub fn purchase(
    plan: &VerifiedPlan,
    purchase: &Purchase,
    job: &Job,
    budget: Option<Price>,
    width: usize,
) -> String {
    let mut out = String::new();
    let made = listed(&paddles(plan, job));
    if let Some(budget) = budget {
        out.push_str(&indented(&for_the_budget(plan, job, budget, &made), "", width));
    }
    let text = match purchase.bought().len() {
        0 => format!("For {made} nothing need be bought: the boards in hand are enough."),
        n => format!("For {made} buy {} for {}.", counted(n, "board"), plan.cost),
    };
    out.push_str(&indented(&text, "", width));
    out.push_str(&bought_table(plan, purchase, job, width));
    out.push('\n');
    out.push_str(&indented(&left_over(plan, purchase, job), "", width));
    let proved = match budget {
        Some(budget) => proof::proved_within(plan, budget),
        None => proof::proved(plan),
    };
    out.push_str(&indented(
        &format!("{}. {proved}", proof::cost_in(plan.cost, job.units)),
        "",
        width,
    ));
    out
}

/// How many paddles the budget buys, and whether that is the most.
fn for_the_budget(plan: &VerifiedPlan, job: &Job, budget: Price, made: &str) -> String {
    // With several kinds no more of each is made than is wanted.
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    match plan.most {
        _ if wanted.len() > 1 && plan.paddles == wanted => {
            format!("{budget} is enough for all that are wanted.")
        }
        Some(most) if most.at_most <= most.made => format!("The most for {budget} is {made}."),
        Some(most) => format!(
            "Found so far for {budget}: {made}. The search was stopped; at most {} could be had.",
            most.at_most
        ),
        None => {
            format!("Found so far for {budget}: {made}; that it is the most is not proved.")
        }
    }
}

/// The boards opened: what they cost and how many strips they give.
fn bought_table(plan: &VerifiedPlan, purchase: &Purchase, job: &Job, width: usize) -> String {
    let mut rows = Vec::new();
    for cut in &plan.boards {
        let board = &purchase.boards[cut.board];
        let strips: usize = cut
            .sections
            .iter()
            .flat_map(|s| &s.rips)
            .flat_map(|r| &r.leaves)
            .map(|l| l.strips.len())
            .sum();
        let price = Cost { measure: Measure::Price, parts: Measure::Price.parts(board) };
        rows.push(vec![
            board_name(&purchase.boards, cut),
            plain(board.species.name()),
            size(board, job.units),
            if cut.board < purchase.in_hand { "in hand".to_owned() } else { price.to_string() },
            strips.to_string(),
        ]);
    }
    let sizes = format!("size, {}", job.units);
    table(&["board", "wood", &sizes, "price", "strips"], &rows, width)
}

/// The best piece that stays over.
fn left_over(plan: &VerifiedPlan, purchase: &Purchase, job: &Job) -> String {
    match best_offcut(plan, job, &purchase.boards) {
        Some(offcut) => format!(
            "Left over, the best piece: {}.",
            offcut_words(&offcut, &board_name(&purchase.boards, &plan.boards[offcut.board]), job)
        ),
        None => {
            let least = job.shop.min_rip.with_unit(job.units);
            format!(
                "Left over: no clear piece worth keeping (a strip, or {least} of two strips' width)."
            )
        }
    }
}

/// What else would be bought, in words: `2 × rack 1 and sorted 2`.
pub fn bought(plan: &Plan, boards: &[Board], in_hand: usize) -> String {
    let counts = counts(plan, in_hand);
    let name = |&(b, n): &(usize, u32)| match n {
        1 => plain(&boards[b].name),
        n => format!("{n} × {}", plain(&boards[b].name)),
    };
    match counts.len() {
        0 => "nothing but what is in hand".to_owned(),
        _ => listed(&counts.iter().map(name).collect::<Vec<_>>()),
    }
}

/// How much dearer one plan is than another, in words.
pub fn dearer(now: &Plan, then: &Plan) -> String {
    let parts = then.cost.parts - now.cost.parts;
    let amount = Cost { measure: now.cost.measure, parts: parts.abs() };
    match parts {
        0 => format!("{}, as much as before", then.cost),
        p if p > 0 => format!("{}, {amount} more", then.cost),
        _ => format!("{}, {amount} less", then.cost),
    }
}

/// What to look for at the rack.
pub fn look(looks: &[Look], job: &Job, width: usize) -> String {
    let units = job.units;
    // What a tape shows, and no less than is needed.
    let up = |length: Length| upward(length, units).show(units);
    let mut out = String::new();
    let kinds = alike(looks, job);
    let looks: Vec<&Look> = looks.iter().filter(|look| kinds.contains_key(&look.paddle)).collect();
    for (place, look) in looks.iter().enumerate() {
        let paddle = &job.paddles[look.paddle];
        let names = kinds.get(&look.paddle).map_or(String::new(), |names| listed(names));
        let wood = look.species.as_ref().map_or("any wood".to_owned(), |s| plain(s.name()));
        let head = format!("{} for {names}", wood.to_uppercase());
        out.push_str(&indented(&head, "", width));
        out.push_str(&indented(
            "Clear runs to find, with no zone that the lamination doesn't allow:",
            "",
            width,
        ));
        let rows = look
            .runs
            .iter()
            .map(|r| {
                let l = &paddle.laminations[r.lamination];
                vec![
                    plain(&l.name),
                    format!("{} a paddle", r.strips),
                    up(r.length),
                    format!("{} wide, {} thick", up(r.upright.0), up(r.upright.1)),
                    format!("{} wide, {} thick", up(r.turned.0), up(r.turned.1)),
                ]
            })
            .collect::<Vec<_>>();
        let run = format!("clear run, {units}");
        let header = ["lamination", "strips", &run, "cut upright", "cut turned"];
        out.push_str(&table(&header, &rows, width));
        out.push('\n');
        let whole = look.runs.len() == paddle.laminations.len();
        let what = if whole { "whole paddles".to_owned() } else { format!("paddles' {wood}") };
        out.push_str(&indented(
            &format!(
                "How many {what} a clear board gives, flat grain / vertical grain, {}:",
                rule(look, &wood, units)
            ),
            "",
            width,
        ));
        let told = told_sizes(look);
        let rows = told
            .iter()
            .map(|s| {
                let cells = s.counts.iter().map(|(f, v)| format!("{} / {}", count(f), count(v)));
                std::iter::once(s.size.clone()).chain(cells).collect()
            })
            .collect::<Vec<Vec<String>>>();
        let feet: Vec<String> = lengths(units).map(|l| long(l, units)).to_vec();
        let header: Vec<&str> =
            std::iter::once("size").chain(feet.iter().map(String::as_str)).collect();
        if !rows.is_empty() {
            out.push_str(&table(&header, &rows, width));
            out.push('\n');
        }
        if let Some(text) = wider(look, told.len()) {
            out.push_str(&indented(text, "", width));
        }
        let open = |m: &Most| m.made < m.at_most;
        if look.sizes.iter().flat_map(|s| &s.counts).any(|(f, v)| open(f) || open(v)) {
            out.push_str(&indented(ABOUT_SIGNS, "", width));
        }
        // What the next wood of the same paddle repeats is said once, at the end.
        let next = looks.get(place + 1).filter(|n| n.paddle == look.paddle);
        if !look.bends.is_empty() && next.is_none_or(|n| n.bends != look.bends) {
            let centre = look.runs.iter().any(|r| paddle.laminations[r.lamination].centre);
            out.push_str(&bends(look, centre, units, width));
        }
        if next.is_none() {
            out.push_str(&grain(paddle.rings, look, job, width));
        }
        out.push('\n');
    }
    out
}

/// The length of a board as a yard gives it: `12 ft`, `3.6 m`.
pub(in crate::report) fn long(length: Length, units: Units) -> String {
    match units {
        Units::Inch => format!("{} ft", length.units() / Length::FOOT.units()),
        Units::Mm => {
            let metres = length.units() / (Length::MM.units() * 100);
            format!("{}.{} m", metres / 10, metres % 10)
        }
    }
}

/// Paddles for which the same is looked for, by the first of them, with the names of all.
fn alike(looks: &[Look], job: &Job) -> BTreeMap<usize, Vec<String>> {
    let of = |p: usize| -> Vec<Look> {
        let own = looks.iter().filter(|look| look.paddle == p);
        own.map(|look| Look { paddle: 0, ..look.clone() }).collect()
    };
    let laminations = |p: usize| -> Vec<(&str, bool)> {
        job.paddles[p].laminations.iter().map(|l| (l.name.as_str(), l.centre)).collect()
    };
    let same = |a: usize, b: usize| {
        job.paddles[a].rings == job.paddles[b].rings
            && laminations(a) == laminations(b)
            && of(a) == of(b)
    };
    let mut out: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for p in 0..job.paddles.len() {
        let first = out.keys().copied().find(|&first| same(first, p)).unwrap_or(p);
        out.entry(first).or_default().push(plain(&job.paddles[p].name));
    }
    out
}

/// Sizes that are told of: of each thickness the two narrowest that may give anything.
pub(in crate::report) fn told_sizes(look: &Look) -> Vec<&SizeGives> {
    let mut told: Vec<&SizeGives> = Vec::new();
    for size in giving(look) {
        if told.iter().filter(|t| t.thickness() == size.thickness()).count() < 2 {
            told.push(size);
        }
    }
    told
}

/// Sizes that may give anything.
fn giving(look: &Look) -> impl Iterator<Item = &SizeGives> {
    let some = |m: &Most| m.at_most > 0;
    look.sizes.iter().filter(move |s| s.counts.iter().any(|(f, v)| some(f) || some(v)))
}

/// What is said of the sizes beside the narrowest ones that are shown: `shown` of them.
pub(in crate::report) fn wider(look: &Look, shown: usize) -> Option<&'static str> {
    match (giving(look).count(), look.sizes.len()) {
        (give, _) if give > shown => {
            Some("Wider ones give no fewer; sizes that are not here give none.")
        }
        (_, all) if all > shown => Some("Sizes that are not here give none."),
        _ => None,
    }
}

/// What the signs at counts say.
pub(in crate::report) const ABOUT_SIGNS: &str =
    "+: so many or more; ?: not known, the search was stopped before.";

/// The boards that a search did not come to, as a sentence.
pub fn not_looked_at(left: &[String]) -> Option<String> {
    let text = "Not looked at before the search was stopped:";
    (!left.is_empty()).then(|| format!("{text} {}.", left.join(", ")))
}

/// By which rule boards of this wood are sized.
fn rule(look: &Look, wood: &str, units: Units) -> String {
    if units == Units::Mm {
        return match look.trade {
            Some(Trade::Hardwood) => "by sawn thickness, width and length in mm (thicknesses of hardwood as EN 1313-2 prefers; dried and planed they are thinner)".to_owned(),
            _ => "by sawn thickness, width and length in mm (sizes of softwood as EN 1313-1 prefers; planed they are some 3 to 5 mm less)".to_owned(),
        };
    }
    let softwood = "by nominal size and length (sizes dressed dry, PS 20";
    match (look.trade, &look.species) {
        (Some(Trade::Softwood), _) => format!("{softwood})"),
        (Some(Trade::Hardwood), _) => "by quarters, width as measured and length (hardwood is not sold by PS 20, but in random widths; surfaced on two sides 4/4 is 13/16 in, 5/4 1 1/16, 6/4 1 5/16, 8/4 1 3/4, by trade charts; its edges are seldom straight)".to_owned(),
        (None, None) => format!("{softwood}; sizes of softwood, since no wood is named)"),
        (None, Some(_)) => format!(
            "{softwood}; sizes of softwood are assumed, since it is not known whether {wood} is a hardwood)"
        ),
    }
}

/// How many a board gives, with what is not known of it.
pub(in crate::report) fn count(most: &Most) -> String {
    match (most.made, most.at_most) {
        (made, at_most) if made >= at_most => made.to_string(),
        (0, _) => "?".to_owned(),
        (made, _) => format!("{made}+"),
    }
}

fn bends(look: &Look, centre: bool, units: Units, width: usize) -> String {
    let longest = look.runs.iter().map(|r| r.length).max().unwrap_or(Length::ZERO);
    let mut out = indented(
        &format!(
            "Bend that may be accepted over the whole board, for its longest strips, {}. For strips cut upright the first two columns are bow and the last is crook; for strips cut turned the other way about:",
            upward(longest, units).with_unit(units)
        ),
        "",
        width,
    );
    let rows = look
        .bends
        .iter()
        .map(|b| {
            vec![long(b.length, units), b.free.show(units), b.pairs.show(units), b.pull.show(units)]
        })
        .collect::<Vec<_>>();
    let free = format!("strips go anywhere, {units}");
    let pairs = format!("only in flipped pairs, {units}");
    let pull = format!("clamps pull it out, {units}");
    out.push_str(&table(&["board", &free, &pairs, &pull], &rows, width));
    out.push('\n');
    out.push_str(&indented(
        "A board with more bend must be straight-lined or planed flat first, and loses that much width or thickness.",
        "",
        width,
    ));
    if centre {
        out.push_str(&indented(
            "A strip for the centreline can't be one of a flipped pair: for it the first column counts.",
            "",
            width,
        ));
    }
    out
}

fn grain(rings: Angle, look: &Look, job: &Job, width: usize) -> String {
    let mut out = String::new();
    let turned = rings.turned();
    let text = match rings {
        Angle::FLAT => "End grain: any ring angle serves, upright or turned.".to_owned(),
        Angle::VERTICAL => {
            "End grain: only rings at 90° to the wide face serve strips cut upright, and only at 0° strips cut turned.".to_owned()
        }
        _ => format!(
            "End grain: rings at {rings} or more to the wide face serve strips cut upright, at {turned} or less strips cut turned."
        ),
    };
    out.push_str(&indented(&text, "", width));
    let ends = [
        ["upright       ", "turned        ", "rift (45°)"],
        ["┌─────────┐   ", "┌─────────┐   ", "┌─────────┐"],
        ["│| | | | |│   ", "│─────────│   ", "│/ / / / /│"],
        ["│| | | | |│   ", "│─────────│   ", "│ / / / / │"],
        ["└─────────┘   ", "└─────────┘   ", "└─────────┘"],
    ];
    if width < 42 {
        for end in 0..3 {
            ends.iter().for_each(|line| {
                let _ = writeln!(out, "  {}", line[end].trim_end());
            });
        }
    } else {
        ends.iter().for_each(|line| {
            let _ = writeln!(out, "  {}", line.concat());
        });
    }
    out.push_str(&pith(rings, look, job, width));
    out
}

/// How to judge by two measurements where the pith lies.
fn pith(rings: Angle, look: &Look, job: &Job, width: usize) -> String {
    if rings == Angle::FLAT {
        return String::new();
    }
    let factor = rings.degrees().to_radians().tan();
    let other = turned_factor(rings);
    let mut out = indented(
        "Pith: lay a rule across the end. Find the centre of the rings, which may lie above or below the board, and measure two things: how far it lies from each wide face, and where it lies across.",
        "",
        width,
    );
    let deep = look.runs.iter().map(|r| r.upright.1).max().unwrap_or(Length::ZERO);
    if rings == Angle::VERTICAL {
        out.push_str(&indented(
            "With rings of 90° a board with the pith in or near it does not serve.",
            "",
            width,
        ));
        return out;
    }
    out.push_str(&indented(
        &format!(
            "Cut upright: stay at least {factor:.2} × its distance from the farther face away from the pith, across. In a board {} thick with the pith midway between the faces that is {} to each side.",
            deep.with_unit(job.units),
            tape_of(deep, factor / 2.0, job.units),
        ),
        "",
        width,
    ));
    out.push_str(&indented(
        &format!(
            "Cut turned: stay within {other:.2} × its distance from the nearer face, to each side of the pith; where the pith lies in the board none serves."
        ),
        "",
        width,
    ));
    out
}

fn turned_factor(rings: Angle) -> f64 {
    rings.turned().degrees().to_radians().tan()
}

fn tape_of(length: Length, times: f64, units: Units) -> String {
    let shown = length.to_f64(units) * times;
    Length::from_f64(shown, units).map_or(String::new(), |l| l.on_tape(units).with_unit(units))
}
