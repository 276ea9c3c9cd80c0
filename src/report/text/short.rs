//! Why there is no plan, in sentences.

use crate::choose::NoPlan;
use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::{Job, StripKind, strip_kinds};
use crate::report::text::hindrance;
use crate::report::text::table::indented;
use crate::report::text::tables::class;
use crate::report::text::whom::lamination;
use crate::shop::words::{counted, listed, listed_with, rough};
use crate::stop::Stop;
use crate::survey::hindrance::{Hindrance, hindrance_within, longest_clear, most_alone_within};
use crate::survey::rest::Rest;
use crate::text::plain;
use std::collections::BTreeMap;

/// Boards named for each kind of strip that is short.
const NEAREST: usize = 3;
/// Strips of one board are counted no further.
const MANY: u32 = 99;

/// Which strips are short by how many, and which boards come nearest to giving one, as far as that
/// is worked out before the stop.
pub fn text(no_plan: &NoPlan, job: &Job, boards: &[Board], width: usize, stop: &Stop) -> String {
    text_with(no_plan, (None, None), job, boards, width, stop)
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
    /// What the others lack beside that plan, of a job of several kinds.
    pub rest: Option<Rest>,
}

/// As [`text`], with how far the boards come, where that is known, and the command that finds what
/// to buy.
pub fn text_with(
    no_plan: &NoPlan,
    (far, buy): (Option<&Far>, Option<&str>),
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
    let some = far.is_some_and(|far| far.made.iter().any(|&n| n > 0));
    let far_words = far.map_or_else(String::new, |far| format!(" {}", far_words(far, job)));
    if let Some(rest) = far.and_then(|far| far.rest.as_ref()).filter(|_| some) {
        // What another cut lacks would not agree with who gets a paddle.
        out.push_str(&indented(&format!("{head}{far_words}"), "", width));
        out.push_str(&rest_text(rest, width));
    } else {
        // How much is missing is what the best cut found leaves, not what every cut must.
        let best = match short.missing.iter().any(|&n| n > 0) {
            true if next.is_some() => {
                let made = far.map_or(0, |far| far.made.iter().sum());
                &format!(" For the {} the best cut found leaves these short:", ordinal(made + 1))
            }
            // Whoever gets a paddle by another cut may lack strips here.
            true if some => " Another cut, the best found for all of them, leaves these short:",
            true => " The best cut found leaves these short:",
            false if no_plan.proved() => "",
            false => " How far the boards come was not worked out in that time.",
        };
        out.push_str(&indented(&format!("{head}{far_words}{best}"), "", width));
        let kinds = strip_kinds(job);
        out.push_str(&sums(&kinds, &short.missing, job.units, width));
        let counts = short.missing.iter().zip(&short.needed);
        for (kind, (&missing, &needed)) in kinds.iter().zip(counts) {
            if missing > 0 {
                out.push_str(&kind_text(kind, (missing, needed), job, boards, (width, stop)));
            }
        }
    }
    if some {
        out.push_str(&indented("plan --most plans what they make.", "", width));
    }
    if let Some(buy) = buy.filter(|_| no_plan.proved()) {
        out.push_str(&indented(&what_to_buy(buy), "", width));
    }
    out
}

/// Which paddles a plan leaves out, and what they lack beside it; nothing where it leaves out none
/// or that is not known.
pub fn left_out(rest: &Rest, most: bool, buy: &str, width: usize) -> String {
    let job = &rest.job;
    let wanted = job.paddles.iter().zip(&rest.paddles).filter(|(_, n)| **n > 0);
    let names: Vec<String> = wanted
        .map(|(p, n)| match p.quantity {
            1 => plain(&p.name),
            _ => format!("{n} × {}", plain(&p.name)),
        })
        .collect();
    let proved =
        if most { "the boards give no more paddles (proved)" } else { "no more was found" };
    let mut out = indented(&format!("Not made: {}; {proved}.", listed(&names)), "", width);
    out.push_str(&rest_text(rest, width));
    out.push_str(&indented(&what_to_buy(buy), "", width));
    out
}

/// What the others lack, wood by wood and kind by kind.
fn rest_text(rest: &Rest, width: usize) -> String {
    let (job, short) = (&rest.job, rest.why.shortage());
    let kinds = strip_kinds(job);
    let head = "Once that is cut, what is left of the boards leaves the others short of these, by the best cut of it that was found:";
    let mut out = indented(head, "", width);
    out.push_str(&sums(&kinds, &short.missing, job.units, width));
    for (kind, (&missing, &needed)) in kinds.iter().zip(short.missing.iter().zip(&short.needed)) {
        if missing > 0 {
            let text = format!("{} of {needed}: {}.", missing, kind_named(kind, job));
            out.push_str(&indented(&text, "  ", width));
        }
    }
    out
}

/// Missing strips wood by wood: how many, the longest of them and what they come to, as a list for
/// a yard wants them. Where a wood is one kind of strip that says it all.
fn sums(kinds: &[StripKind], missing: &[u32], units: Units, width: usize) -> String {
    let mut woods: BTreeMap<Vec<String>, (u64, Length, i128, usize)> = BTreeMap::new();
    for (kind, &n) in kinds.iter().zip(missing).filter(|(_, n)| **n > 0) {
        let names = kind.species.iter().map(|s| plain(s.name())).collect();
        let of = woods.entry(names).or_default();
        *of = (
            of.0.saturating_add(u64::from(n)),
            of.1.max(kind.length),
            of.2.saturating_add(i128::from(kind.length.units()) * i128::from(n)),
            of.3 + 1,
        );
    }
    let mut out = String::new();
    for (names, (strips, longest, all, _)) in woods.iter().filter(|(_, of)| of.3 > 1) {
        let wood = if names.is_empty() { "any wood".to_owned() } else { listed_with(names, "or") };
        let foot = i128::from(Length::FOOT.units());
        let (one, unit) = match units {
            Units::Inch => (foot, "ft"),
            Units::Mm => (i128::from(Length::MM.units()) * 1000, "m"),
        };
        // To a tenth upwards: it is for a list to buy by.
        let tenths = (all * 10 + one - 1) / one;
        let text = format!(
            "In all {strips} strips of {wood}, the longest {}, together {}.{} {unit} long, rough.",
            rough(&[*longest], units),
            tenths / 10,
            tenths % 10
        );
        out.push_str(&indented(&text, "", width));
    }
    out
}

/// `stripwright buy my-job --yard YARD.csv finds …`
fn what_to_buy(command: &str) -> String {
    format!("What to buy beside these boards, from a yard's list: {command}")
}

/// `They make 2 of 5 × touring.` Of a class, where everybody wants one, who gets one.
fn far_words(far: &Far, job: &Job) -> String {
    let least = if far.most { "" } else { "at least " };
    if let Some((some, none)) = class(&far.made, job)
        && !some.is_empty()
        && !none.is_empty()
    {
        return format!(
            "They make {least}{} of {} paddles, for {}, and none for {}.",
            some.len(),
            job.paddles.len(),
            listed(&some),
            listed(&none)
        );
    }
    let of = |(paddle, made): (&crate::paddle::Paddle, &u32)| {
        let made = if *made == 0 { "none".to_owned() } else { made.to_string() };
        format!("{made} of {} × {}", paddle.quantity, plain(&paddle.name))
    };
    let all: Vec<String> = job.paddles.iter().zip(&far.made).map(of).collect();
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

/// A kind of strip: whose it is and its rough size, in millimetres too where inches don't hold it.
fn kind_named(kind: &StripKind, job: &Job) -> String {
    let names: Vec<String> = kind.lines.iter().map(|&(p, l)| lamination(job, p, l)).collect();
    let size = rough(&[kind.thickness, kind.depth, kind.length], job.units).replace(" × ", " x ");
    format!("{} ({size} rough)", names.join(", "))
}

/// What is said of one kind of strip, of which so many are missing out of so many needed.
fn kind_text(
    kind: &StripKind,
    (missing, needed): (u32, u32),
    job: &Job,
    boards: &[Board],
    (width, stop): (usize, &Stop),
) -> String {
    let strips = counted(missing, "strip");
    let head = format!(
        "{strips} short: {}; it gives {} of {needed}.",
        kind_named(kind, job),
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
