//! What to look for, what boards give and what to buy, on cards for the pocket.

use super::card::{Cards, Item, page};
use super::likely_card::LikelyShown;
use crate::length::{Length, Units};
use crate::lumber::{Angle, Board};
use crate::paddle::{Job, Paddle};
use crate::plan::{Cost, Measure, Most};
use crate::report::text::proof;
use crate::report::text::survey::{
    ABOUT_SIGNS, count, long, near_words, not_looked_at, strips_of, told_sizes, wider,
};
use crate::report::text::tables::{board_name, paddles};
use crate::shop::words::{bare, by, counted};
use crate::survey::buy::Purchase;
use crate::survey::look::{Look, SizeGives, lengths};
use crate::survey::{BoardSurvey, Part};
use crate::text::plain;
use crate::verify::VerifiedPlan;

/// Which of the lengths that are looked at have their bends told of: the shortest, the middle one
/// and the longest.
const BENDS: [usize; 3] = [0, 2, 4];

fn texts(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|&cell| cell.to_owned()).collect()
}

/// What to look for: a card for each kind of paddle, one for those that are alike in all but
/// somewhat different lengths.
pub(crate) fn look(looks: &[Look], job: &Job) -> String {
    let mut cards: Vec<Cards> = Vec::new();
    for group in alike(job) {
        let p = group.longest;
        let Some(paddle) = job.paddles.get(p) else { continue };
        let of: Vec<&Look> = looks.iter().filter(|look| look.paddle == p).collect();
        let mut items = group.lengths(job);
        for look in &of {
            items.extend(wood(look, paddle, job));
        }
        items.extend(about_sizes(&of));
        items.extend(bends(&of, job.units));
        items.extend(grain(paddle.rings).map(Item::Line));
        let names: Vec<String> =
            group.paddles.iter().map(|&p| plain(&job.paddles[p].name)).collect();
        let names = names.join(", ");
        // Paddles that want the same share a card.
        let same = |c: &Cards| format!("{:?}", c.items) == format!("{items:?}");
        match cards.iter_mut().find(|c| same(c)) {
            Some(card) => card.title = format!("{}, {names}", card.title),
            None => cards.push(Cards { title: format!("Look for: {names}"), items }),
        }
    }
    page("Look for", &cards)
}

/// Paddles that differ in their lengths alone, and not by much: what is enough for the longest is
/// for all of them.
struct Alike {
    /// In the order of the job.
    paddles: Vec<usize>,
    longest: usize,
}

/// Of paddles on one card the longest is no longer than the shortest by more than an eighth: figures
/// for it would ask too much for the others.
const EIGHTH: i64 = 8;

fn alike(job: &Job) -> Vec<Alike> {
    let runs = |p: usize| -> Vec<Length> {
        let paddle = &job.paddles[p];
        paddle.laminations.iter().map(|l| paddle.rough_length(l)).collect()
    };
    let same = |a: &Paddle, b: &Paddle| {
        (a.thickness, a.rings, a.runout) == (b.thickness, b.rings, b.runout)
            && a.laminations == b.laminations
    };
    let mut left: Vec<usize> = (0..job.paddles.len()).collect();
    let mut out: Vec<Alike> = Vec::new();
    // The longest of those left, so that it serves as many of the others as may be.
    while let Some(&longest) = left.iter().max_by_key(|&&p| (runs(p), std::cmp::Reverse(p))) {
        let most = runs(longest);
        let served = |p: &usize| {
            same(&job.paddles[*p], &job.paddles[longest])
                && runs(*p)
                    .iter()
                    .zip(&most)
                    .all(|(run, most)| run <= most && *most * (EIGHTH - 1) <= *run * EIGHTH)
        };
        let paddles: Vec<usize> = left.iter().copied().filter(served).collect();
        left.retain(|p| !paddles.contains(p) && *p != longest);
        out.push(Alike {
            paddles: if paddles.is_empty() { vec![longest] } else { paddles },
            longest,
        });
    }
    out.sort_by_key(|group| group.paddles[0]);
    out
}

impl Alike {
    /// Whose figures the card has, and the clear runs of each, where lengths differ.
    fn lengths(&self, job: &Job) -> Vec<Item> {
        let runs = |p: usize| {
            let paddle = &job.paddles[p];
            let mut all: Vec<Length> =
                paddle.laminations.iter().map(|l| paddle.rough_length(l)).collect();
            all.sort_unstable_by(|a, b| b.cmp(a));
            all.dedup();
            all
        };
        let most = runs(self.longest);
        if self.paddles.iter().all(|&p| runs(p) == most) {
            return Vec::new();
        }
        let name = |p: usize| plain(&job.paddles[p].name);
        let row = |&p: &usize| {
            let runs: Vec<String> = runs(p).iter().map(|&run| bare(run, job.units)).collect();
            vec![name(p), runs.join(", ")]
        };
        let head = texts(&["for", &format!("clear runs, long, {}", job.units)]);
        let text = format!(
            "All figures below are for {}, the longest; they are enough for the others.",
            name(self.longest)
        );
        let rows = self.paddles.iter().map(row).collect();
        vec![Item::Table { head, rows, tick: false }, Item::Line(text)]
    }
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
    let row = |size: &&SizeGives| {
        let of = |pick: fn(&(Most, Most)) -> &Most| -> Option<String> {
            let counts = || lengths(units).into_iter().zip(size.counts.iter().map(pick));
            let (length, first) = counts().find(|(_, c)| c.at_most > 0)?;
            let (end, last) = counts().next_back()?;
            let more = if last == first {
                String::new()
            } else {
                format!(", {} {}", long(end, units), count(last))
            };
            Some(format!("{} {}{more}", long(length, units), count(first)))
        };
        let cell = |c: Option<String>| c.unwrap_or_else(|| "none".to_owned());
        vec![size.size.clone(), cell(of(|c| &c.0)), cell(of(|c| &c.1))]
    };
    let rows: Vec<Vec<String>> = narrowest(look).iter().map(row).collect();
    if rows.is_empty() {
        let text = "No clear board of a common size gives a paddle's worth.";
        items.push(Item::Line(text.to_owned()));
    } else {
        let head = texts(&["paddles' worth", "flat grain", "vertical grain"]);
        items.push(Item::Table { head, rows, tick: false });
    }
    items
}

/// Of each thickness the narrowest size that may give anything: there is no room for more.
fn narrowest(look: &Look) -> Vec<&SizeGives> {
    let mut out: Vec<&SizeGives> = Vec::new();
    for size in told_sizes(look) {
        if out.iter().all(|o| o.thickness() != size.thickness()) {
            out.push(size);
        }
    }
    out
}

/// What is said of sizes that are not on the card, and of signs at counts: once for all woods.
fn about_sizes(looks: &[&Look]) -> Vec<Item> {
    let rest = looks.iter().filter_map(|look| {
        let shown = narrowest(look).len();
        wider(look, shown).filter(|_| shown > 0)
    });
    // That wider ones give no fewer says it of those that are not here as well.
    let rest = rest.max_by_key(|text| text.len());
    let open = |m: &Most| m.made < m.at_most;
    let shown = looks.iter().flat_map(|look| narrowest(look));
    let signs = shown.flat_map(|size| &size.counts).any(|(f, v)| open(f) || open(v));
    let said = rest.into_iter().chain(signs.then_some(ABOUT_SIGNS));
    said.map(|text| Item::Line(text.to_owned())).collect()
}

/// Bends that a board may have, for the longest strips of all woods.
fn bends(looks: &[&Look], units: Units) -> Vec<Item> {
    let longest = |look: &&&Look| look.runs.iter().map(|r| r.length).max().unwrap_or(Length::ZERO);
    let Some(look) = looks.iter().max_by_key(longest) else { return Vec::new() };
    let wanted = |b: &&crate::survey::look::BendAllowed| {
        BENDS.iter().any(|&at| lengths(units).get(at) == Some(&b.length))
    };
    let row = |b: &crate::survey::look::BendAllowed| {
        let [free, pairs, pull] = [b.free, b.pairs, b.pull].map(|l| bare(l, units));
        vec![long(b.length, units), free, pairs, pull]
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
pub(crate) fn survey(
    (surveys, left): (&[BoardSurvey], &[String]),
    job: &Job,
    boards: &[Board],
) -> String {
    let mut cards = Vec::new();
    for (p, paddle) in job.paddles.iter().enumerate() {
        let row = |survey: &BoardSurvey| {
            let (board, part) = (boards.get(survey.board)?, survey.parts.get(p)?);
            Some(vec![plain(&board.name), gives(part, paddle, job, board)])
        };
        let rows = surveys.iter().filter_map(row).collect();
        let head = texts(&["board", "gives, or what is short; what would do"]);
        let mut items = vec![Item::Table { head, rows, tick: false }];
        // A board that a card does not name seems to be one that gives nothing.
        items.extend(not_looked_at(left).map(Item::Line));
        let title = format!("Each board alone: {}", plain(&paddle.name));
        cards.push(Cards { title, items });
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
    of: Option<(&VerifiedPlan, &Purchase)>,
    likely: Option<LikelyShown<'_>>,
    job: &Job,
    then: &[String],
) -> String {
    let mut cards = Vec::new();
    if let Some((plan, purchase)) = of {
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
        cards.push(Cards { title, items });
    }
    // On a card of its own: it is bought instead, not besides.
    if let Some(likely) = likely.map(|l| l.items(job)).filter(|items| !items.is_empty()) {
        let wanted = job.paddles.iter().filter(|p| p.quantity > 0);
        let wanted: Vec<String> =
            wanted.map(|p| format!("{} × {}", p.quantity, plain(&p.name))).collect();
        let instead = if cards.is_empty() { "Likely" } else { "Or, likely" };
        let title = format!("{instead}: buy for {}", wanted.join(", "));
        cards.push(Cards { title, items: likely });
    }
    page("What to buy", &cards)
}
