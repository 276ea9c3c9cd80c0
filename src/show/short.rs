//! Why there is no plan, in sentences.

use crate::choose::NoPlan;
use crate::cut::hindrance::{hindrance, longest_clear, most_alone};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Job, StripKind, strip_kinds};
use crate::show::table::indented;
use crate::show::tables::{lamination, plain};

/// Boards named for each kind of strip that is short.
const NEAREST: usize = 3;
/// Strips of one board are counted no further.
const MANY: u32 = 99;

/// Which strips are short by how many, and which boards come nearest to giving one.
pub fn text(no_plan: &NoPlan, job: &Job, boards: &[Board], width: usize) -> String {
    let short = no_plan.shortage();
    let mut out = String::new();
    let head = if no_plan.proved() {
        "No plan: these boards don't give every strip (proved)."
    } else {
        "No plan was found before the search was stopped; there may be one."
    };
    // How much is missing is what the best cut found leaves, not what every cut must.
    let best = match short.missing.iter().any(|&n| n > 0) {
        true => " The best cut found leaves these short:",
        false => "",
    };
    out.push_str(&indented(&format!("{head}{best}"), "", width));
    let counts = short.missing.iter().zip(&short.needed);
    for (kind, (&missing, &needed)) in strip_kinds(job).iter().zip(counts) {
        if missing > 0 {
            out.push_str(&kind_text(kind, (missing, needed), job, boards, width));
        }
    }
    out
}

/// What is said of one kind of strip, of which so many are missing out of so many needed.
fn kind_text(
    kind: &StripKind,
    (missing, needed): (u32, u32),
    job: &Job,
    boards: &[Board],
    width: usize,
) -> String {
    let units = job.units;
    let names: Vec<String> = kind.lines.iter().map(|&(p, l)| lamination(job, p, l)).collect();
    let size = [kind.thickness, kind.depth, kind.length].map(|l| l.show(units)).join(" x ");
    let strips = if missing == 1 { "1 strip".to_owned() } else { format!("{missing} strips") };
    let head = format!(
        "{strips} short: {} ({size} {units} rough); it gives {} of {needed}.",
        names.join(", "),
        needed.saturating_sub(missing)
    );
    let mut out = indented(&head, "", width);
    // Boards that give such a strip are spoken for; the others say what stands in the way.
    let giving: Vec<String> = boards
        .iter()
        .filter(|b| hindrance(b, &job.shop, kind).is_none())
        .map(|b| {
            let one = most_alone(b, &job.shop, kind, MANY);
            let most = one.saturating_mul(b.quantity);
            let more = if one == MANY { " or more" } else { "" };
            format!("{} ({most}{more})", plain(&b.name))
        })
        .collect();
    if giving.is_empty() {
        out.push_str(&indented("No board gives one.", "  ", width));
    } else {
        let text = format!(
            "Boards that give such strips, and how many, cut for nothing else: {}.",
            giving.join(", ")
        );
        out.push_str(&indented(&text, "  ", width));
    }
    let mut near: Vec<(Reach, usize)> = boards
        .iter()
        .enumerate()
        .filter(|(_, b)| hindrance(b, &job.shop, kind).is_some())
        .map(|(i, b)| (reach(b, job, kind), i))
        .collect();
    near.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    for (n, &(_, i)) in near.iter().take(NEAREST).enumerate() {
        if let Some(why) = hindrance(&boards[i], &job.shop, kind) {
            let nearest = match (n, giving.is_empty()) {
                (0, true) => "Nearest",
                (0, false) => "Nearest of the others",
                _ => "Then",
            };
            let words = why.words(&boards[i], &job.shop, kind, units);
            let words = words.trim_end_matches('.');
            let text = format!("{nearest}, board {}: {words}.", plain(&boards[i].name));
            out.push_str(&indented(&text, "  ", width));
        }
    }
    out
}

/// How near a board comes: the right wood first, then straight grain, then the clear run.
type Reach = (bool, bool, Length);

fn reach(board: &Board, job: &Job, kind: &StripKind) -> Reach {
    let run = [false, true].map(|turned| longest_clear(board, &job.shop, kind, turned));
    (kind.takes_species(board), kind.takes_runout(board), run[0].max(run[1]))
}
