//! Why there is no plan, in sentences.

use crate::choose::NoPlan;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Job, StripKind, strip_kinds};
use crate::report::text::hindrance;
use crate::report::text::table::indented;
use crate::report::text::whom::lamination;
use crate::shop::words::{counted, listed};
use crate::stop::Stop;
use crate::survey::hindrance::{Hindrance, hindrance_within, longest_clear, most_alone_within};
use crate::text::plain;

/// Boards named for each kind of strip that is short.
const NEAREST: usize = 3;
/// Strips of one board are counted no further.
const MANY: u32 = 99;

/// Which strips are short by how many, and which boards come nearest to giving one, as far as that
/// is worked out before the stop.
pub fn text(no_plan: &NoPlan, job: &Job, boards: &[Board], width: usize, stop: &Stop) -> String {
    text_with(no_plan, None, job, boards, width, stop)
}

/// How far boards come that don't make all paddles wanted.
#[derive(Clone, Debug)]
pub struct Far {
    /// The paddles of each kind that they make, by a verified plan.
    pub made: Vec<u32>,
    /// It is proved that they make no more.
    pub most: bool,
    /// Why there is not one more, of a job of one kind.
    pub next: Option<NoPlan>,
}

/// As [`text`], with how far the boards come, where that is known.
pub fn text_with(
    no_plan: &NoPlan,
    far: Option<&Far>,
    job: &Job,
    boards: &[Board],
    width: usize,
    stop: &Stop,
) -> String {
    // What is missing for the next paddle says more than what is for all of them.
    let next = far.and_then(|far| far.next.as_ref());
    let short = next.unwrap_or(no_plan).shortage();
    let mut out = String::new();
    let head = if no_plan.proved() {
        "No plan: these boards don't give every strip (proved)."
    } else {
        "No plan was found before the search was stopped; there may be one."
    };
    // How much is missing is what the best cut found leaves, not what every cut must.
    let some = far.is_some_and(|far| far.made.iter().any(|&n| n > 0));
    let far_words = far.map_or_else(String::new, |far| format!(" {}", far_words(far, job)));
    let best = match short.missing.iter().any(|&n| n > 0) {
        true if next.is_some() => {
            let made = far.map_or(0, |far| far.made.iter().sum());
            &format!(" For the {} the best cut found leaves these short:", ordinal(made + 1))
        }
        true => " The best cut found leaves these short:",
        false if no_plan.proved() => "",
        false => " How far the boards come was not worked out in that time.",
    };
    out.push_str(&indented(&format!("{head}{far_words}{best}"), "", width));
    let counts = short.missing.iter().zip(&short.needed);
    for (kind, (&missing, &needed)) in strip_kinds(job).iter().zip(counts) {
        if missing > 0 {
            out.push_str(&kind_text(kind, (missing, needed), job, boards, (width, stop)));
        }
    }
    if far.is_some() {
        let most = if some { "plan --most plans what they make. " } else { "" };
        let text = format!("{most}buy finds what to add from a yard's list.");
        out.push_str(&indented(&text, "", width));
    }
    out
}

/// `They make 2 of 5 × touring.`
fn far_words(far: &Far, job: &Job) -> String {
    let of = |(paddle, made): (&crate::paddle::Paddle, &u32)| {
        let made = if *made == 0 { "none".to_owned() } else { made.to_string() };
        format!("{made} of {} × {}", paddle.quantity, plain(&paddle.name))
    };
    let all: Vec<String> = job.paddles.iter().zip(&far.made).map(of).collect();
    let least = if far.most { "" } else { "at least " };
    format!("They make {least}{}.", listed(&all))
}

/// `third`, `21st`.
fn ordinal(n: u32) -> String {
    const WORDS: [&str; 10] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth",
    ];
    let word = usize::try_from(n).ok().and_then(|n| n.checked_sub(1)).and_then(|n| WORDS.get(n));
    word.map_or_else(
        || {
            let end = match (n % 10, n % 100) {
                (_, 11..=13) => "th",
                (1, _) => "st",
                (2, _) => "nd",
                (3, _) => "rd",
                _ => "th",
            };
            format!("{n}{end}")
        },
        |word| (*word).to_owned(),
    )
}

/// What is said of one kind of strip, of which so many are missing out of so many needed.
fn kind_text(
    kind: &StripKind,
    (missing, needed): (u32, u32),
    job: &Job,
    boards: &[Board],
    (width, stop): (usize, &Stop),
) -> String {
    let units = job.units;
    let names: Vec<String> = kind.lines.iter().map(|&(p, l)| lamination(job, p, l)).collect();
    let size = [kind.thickness, kind.depth, kind.length].map(|l| l.show(units)).join(" x ");
    let strips = counted(missing, "strip");
    let head = format!(
        "{strips} short: {} ({size} {units} rough); it gives {} of {needed}.",
        names.join(", "),
        needed.saturating_sub(missing)
    );
    let mut out = indented(&head, "", width);
    // Boards that give such a strip are spoken for; the others say what stands in the way.
    let looked: Vec<(usize, Option<Hindrance>)> = boards
        .iter()
        .enumerate()
        .map_while(|(i, b)| Some((i, hindrance_within(b, &job.shop, kind, stop)?)))
        .collect();
    let giving: Vec<String> = looked
        .iter()
        .filter(|(_, why)| why.is_none())
        .map(|&(i, _)| {
            let b = &boards[i];
            let one = most_alone_within(b, &job.shop, kind, MANY, stop).max(1);
            let most = one.saturating_mul(b.quantity);
            let more = if one == MANY || stop.asked() { " or more" } else { "" };
            format!("{} ({most}{more})", plain(&b.name))
        })
        .collect();
    let unseen = boards.len() - looked.len();
    if giving.is_empty() {
        let text =
            if unseen == 0 { "No board gives one." } else { "No board looked at gives one." };
        out.push_str(&indented(text, "  ", width));
    } else {
        let text = format!(
            "Boards that give such strips, and how many, cut for nothing else: {}.",
            giving.join(", ")
        );
        out.push_str(&indented(&text, "  ", width));
    }
    if unseen > 0 {
        let text = format!(
            "Not looked at before the search was stopped: {unseen} of {} boards.",
            boards.len()
        );
        out.push_str(&indented(&text, "  ", width));
    }
    out.push_str(&nearest(kind, &looked, job, boards, (width, stop)));
    out
}

/// The boards that come nearest to giving such a strip, and what stands in their way.
fn nearest(
    kind: &StripKind,
    looked: &[(usize, Option<Hindrance>)],
    job: &Job,
    boards: &[Board],
    (width, stop): (usize, &Stop),
) -> String {
    let mut out = String::new();
    let some_give = looked.iter().any(|(_, why)| why.is_none());
    let mut near: Vec<(Reach, usize)> = looked
        .iter()
        .enumerate()
        .filter(|(_, (_, why))| why.is_some())
        .map(|(at, &(i, _))| (reach(&boards[i], job, kind, stop), at))
        .collect();
    near.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    for (n, &(_, at)) in near.iter().take(NEAREST).enumerate() {
        let (i, why) = &looked[at];
        let i = *i;
        if let Some(why) = why {
            let nearest = match (n, some_give) {
                (0, false) => "Nearest",
                (0, true) => "Nearest of the others",
                _ => "Then",
            };
            let words = hindrance::words(why, &boards[i], &job.shop, kind, job.units);
            let words = words.trim_end_matches('.');
            let text = format!("{nearest}, board {}: {words}.", plain(&boards[i].name));
            out.push_str(&indented(&text, "  ", width));
        }
    }
    out
}

/// How near a board comes: the right wood first, then straight grain, then the clear run.
type Reach = (bool, bool, Length);

fn reach(board: &Board, job: &Job, kind: &StripKind, stop: &Stop) -> Reach {
    // Runs take long where zones are very many.
    let run = [false, true].map(|turned| match stop.asked() {
        true => Length::ZERO,
        false => longest_clear(board, &job.shop, kind, turned),
    });
    (kind.takes_species(board), kind.takes_runout(board), run[0].max(run[1]))
}
