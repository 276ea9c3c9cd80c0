//! What to look for, what boards give and what to buy, on cards for the pocket.

use super::card::{Cards, Item, page};
use crate::length::{Length, Units};
use crate::lumber::{Angle, Board};
use crate::paddle::{Job, Paddle};
use crate::plan::{Cost, Measure, Most};
use crate::report::text::proof;
use crate::report::text::survey::{near_words, strips_of};
use crate::report::text::tables::{board_name, paddles};
use crate::shop::words::{bare, by, counted};
use crate::survey::buy::Purchase;
use crate::survey::look::{LONG, Look};
use crate::survey::{BoardSurvey, Part};
use crate::text::plain;
use crate::verify::VerifiedPlan;

/// Lengths, in feet, whose bends are told of.
const BENDS: [i64; 3] = [8, 12, 16];

fn texts(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|&cell| cell.to_owned()).collect()
}

/// What to look for: a card for each kind of paddle.
pub(crate) fn look(looks: &[Look], job: &Job) -> String {
    let mut cards: Vec<Cards> = Vec::new();
    for (p, paddle) in job.paddles.iter().enumerate() {
        let of: Vec<&Look> = looks.iter().filter(|look| look.paddle == p).collect();
        let mut items = Vec::new();
        for look in &of {
            items.extend(wood(look, paddle, job));
        }
        items.extend(bends(&of, job.units));
        items.extend(grain(paddle.rings).map(Item::Line));
        let title = format!("Look for: {}", plain(&paddle.name));
        // Paddles that want the same share a card.
        let same = |c: &Cards| format!("{:?}", c.items) == format!("{items:?}");
        match cards.iter_mut().find(|c| same(c)) {
            Some(card) => card.title = format!("{}, {}", card.title, plain(&paddle.name)),
            None => cards.push(Cards { title, items }),
        }
    }
    page("Look for", &cards)
}

fn wood(look: &Look, paddle: &Paddle, job: &Job) -> Vec<Item> {
    let units = job.units;
    let name = look.species.as_ref().map_or("any wood".to_owned(), |s| plain(s.name()));
    let runs = look.runs.iter().map(|run| {
        let lamination = plain(&paddle.laminations[run.lamination].name);
        let size = by(&[run.length, run.upright.0, run.upright.1], units);
        vec![lamination, run.strips.to_string(), size]
    });
    let head = texts(&["strip", "n", "clear, long × wide × thick"]);
    let mut items = vec![
        Item::Head(format!("{name}: clear runs")),
        Item::Table { head, rows: runs.collect(), tick: false },
    ];
    let mut rows: Vec<Vec<String>> = Vec::new();
    let thick = |size: &str| size.split(['x', ',']).next().unwrap_or_default().to_owned();
    let mut told: Vec<String> = Vec::new();
    for size in &look.sizes {
        let of = |pick: fn(&(Most, Most)) -> &Most| -> Option<String> {
            let counts = || LONG.iter().zip(&size.counts).map(|(feet, c)| (feet, pick(c).made));
            let (feet, first) = counts().find(|(_, made)| *made > 0)?;
            let (end, last) = counts().next_back()?;
            let more = if last > first { format!(", {end} ft {last}") } else { String::new() };
            Some(format!("{feet} ft {first}{more}"))
        };
        let (flat, vertical) = (of(|c| &c.0), of(|c| &c.1));
        // Of a thickness the narrowest that gives anything.
        if !told.contains(&thick(&size.size)) && (flat.is_some() || vertical.is_some()) {
            told.push(thick(&size.size));
            let cell = |c: Option<String>| c.unwrap_or_else(|| "none".to_owned());
            rows.push(vec![size.size.clone(), cell(flat), cell(vertical)]);
        }
    }
    if rows.is_empty() {
        items
            .push(Item::Line("No clear board of a common size gives a paddle's worth.".to_owned()));
    } else {
        let head = texts(&["paddles' worth", "flat grain", "vertical grain"]);
        items.push(Item::Table { head, rows, tick: false });
    }
    items
}

/// Bends that a board may have, for the longest strips of all woods.
fn bends(looks: &[&Look], units: Units) -> Vec<Item> {
    let longest = |look: &&&Look| look.runs.iter().map(|r| r.length).max().unwrap_or(Length::ZERO);
    let Some(look) = looks.iter().max_by_key(longest) else { return Vec::new() };
    let wanted = |b: &&crate::survey::look::BendAllowed| {
        BENDS.iter().any(|&feet| b.length == Length::FOOT * feet)
    };
    let row = |b: &crate::survey::look::BendAllowed| {
        let feet = b.length.units() / Length::FOOT.units();
        let [free, pairs, pull] = [b.free, b.pairs, b.pull].map(|l| bare(l, units));
        vec![format!("{feet} ft"), free, pairs, pull]
    };
    let rows: Vec<Vec<String>> = look.bends.iter().filter(wanted).map(row).collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let head = texts(&["board", "face, any", "face, pairs", "edge"]);
    vec![
        Item::Head(format!("Bend at most, {units}, of the whole board")),
        Item::Table { head, rows, tick: false },
        Item::Line("For strips cut upright; cut turned, face and edge change places. More: it loses width or thickness.".to_owned()),
    ]
}

/// End grain and pith, a sentence each.
fn grain(rings: Angle) -> impl Iterator<Item = String> {
    let turned = rings.turned();
    let (ends, pith) = match rings {
        Angle::FLAT => ("End grain: any ring angle serves.".to_owned(), None),
        Angle::VERTICAL => (
            "End grain: rings at 90° to the wide face, cut upright; at 0°, cut turned. No board with the pith in or near it.".to_owned(),
            None,
        ),
        _ => {
            let times = |angle: Angle| format!("{:.1}", angle.degrees().to_radians().tan());
            (
                format!("End grain: rings at {rings} or more to the wide face, cut upright; {turned} or less, cut turned."),
                Some(format!(
                    "Pith: upright, stay {} × its distance from the farther face away across; turned, within {} × that from the nearer face.",
                    times(rings),
                    times(turned)
                )),
            )
        }
    };
    std::iter::once(ends).chain(pith)
}

/// What each board gives by itself.
pub(crate) fn survey(surveys: &[BoardSurvey], job: &Job, boards: &[Board]) -> String {
    let mut cards = Vec::new();
    for (p, paddle) in job.paddles.iter().enumerate() {
        let row = |survey: &BoardSurvey| {
            let (board, part) = (boards.get(survey.board)?, survey.parts.get(p)?);
            Some(vec![plain(&board.name), gives(part, paddle, job, board)])
        };
        let rows = surveys.iter().filter_map(row).collect();
        let head = texts(&["board", "gives, or what is short; what would do"]);
        cards.push(Cards {
            title: format!("Each board alone: {}", plain(&paddle.name)),
            items: vec![Item::Table { head, rows, tick: false }],
        });
    }
    page("What each board gives", &cards)
}

fn gives(part: &Part, paddle: &Paddle, job: &Job, board: &Board) -> String {
    if part.laminations.is_empty() {
        return "wood not wanted".to_owned();
    }
    let whole = part.laminations.len() == paddle.laminations.len();
    let of = if whole { "" } else { " (this wood's part)" };
    if part.covers > 0 {
        let more = if part.proved { "" } else { " or more" };
        return format!("{}{more}{of}", counted(part.covers, "paddle"));
    }
    let name = |l: usize| plain(&paddle.laminations[l].name);
    let missing: Vec<String> = part.missing.iter().map(|&(l, n)| strips_of(n, &name(l))).collect();
    let short = match missing.len() {
        0 => "none".to_owned(),
        _ => format!("short {}", missing.join(", ")),
    };
    match part.near.first() {
        Some(near) => format!("{short}; {}", near_words(near, job, paddle, part, board)),
        None => short,
    }
}

/// What to buy; `then` are the answers to what if.
pub(crate) fn purchase(
    plan: &VerifiedPlan,
    purchase: &Purchase,
    job: &Job,
    then: &[String],
) -> String {
    let mut rows = Vec::new();
    for cut in &plan.boards {
        let board = &purchase.boards[cut.board];
        let price = Cost { measure: Measure::Price, parts: Measure::Price.parts(board) };
        rows.push(vec![
            board_name(&purchase.boards, cut),
            plain(board.species.name()),
            by(&[board.length, board.width, board.thickness], job.units),
            if cut.board < purchase.in_hand { "in hand".to_owned() } else { price.to_string() },
        ]);
    }
    let head = texts(&["board", "wood", "size", "price"]);
    let mut items = vec![
        Item::Table { head, rows, tick: true },
        Item::Line(format!("{}. {}", proof::cost(plan.cost), proof::proved(plan))),
    ];
    if !then.is_empty() {
        items.push(Item::Head("If it is otherwise".to_owned()));
        items.extend(then.iter().cloned().map(Item::Line));
    }
    let title = format!("Buy for {}", paddles(plan, job).join(", "));
    page("What to buy", &[Cards { title, items }])
}
