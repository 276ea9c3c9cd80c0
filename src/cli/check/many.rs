//! Strips of many kinds in few words: a class has a paddle of its own length for each builder, and
//! what is said of each would fill pages.

use super::{Checked, PLENTY};
use crate::paddle::StripKind;

/// More kinds of strips than this are told by lamination.
const FEW: usize = 12;

/// Are there too many kinds to tell each?
pub(super) fn are(checked: &Checked<'_>) -> bool {
    checked.kinds.len() > FEW && checked.job.paddles.len() > 1
}

/// What a kind is called whatever its paddle: the names of its laminations.
fn lamination(checked: &Checked<'_>, kind: &StripKind) -> String {
    let mut names: Vec<&str> = Vec::new();
    for &(p, l) in &kind.lines {
        let name = checked.job.names(p, l).1;
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(" = ")
}

/// How many strips of each kind a board gives; of many kinds the fewest and the most of those of
/// one lamination.
pub(super) fn given(checked: &Checked<'_>, gives: &[u32]) -> Vec<String> {
    struct Line {
        name: String,
        fewest: u32,
        most: u32,
        more: bool,
    }
    let many = are(checked);
    let mut lines: Vec<Line> = Vec::new();
    for ((&n, kind), &need) in gives.iter().zip(&checked.kinds).zip(&checked.need) {
        let name = if many { lamination(checked, kind) } else { checked.name(kind) };
        let more = n >= need.max(PLENTY);
        match lines.iter_mut().find(|line| many && line.name == name) {
            Some(line) => {
                line.more =
                    if n > line.most { more } else { line.more || (n == line.most && more) };
                (line.fewest, line.most) = (line.fewest.min(n), line.most.max(n));
            }
            None => lines.push(Line { name, fewest: n, most: n, more }),
        }
    }
    let told = |line: &Line| {
        let more = if line.more { " or more" } else { "" };
        let fewest =
            if line.fewest < line.most { format!("{} to ", line.fewest) } else { String::new() };
        format!("{fewest}{}{more} {}", line.most, line.name)
    };
    lines.iter().filter(|line| line.most > 0).map(told).collect()
}

/// The names of kinds; of many, `every edge` where all kinds of that lamination are among them.
pub(super) fn names(checked: &Checked<'_>, kinds: &[&StripKind]) -> String {
    let mut out: Vec<String> = Vec::new();
    for &kind in kinds {
        let of = lamination(checked, kind);
        let same = |k: &&StripKind| lamination(checked, k) == of;
        let all = checked.kinds.iter().filter(same).count();
        let name = if are(checked) && kinds.iter().filter(|k| same(k)).count() == all && all > 1 {
            format!("every {of}")
        } else {
            checked.name(kind)
        };
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out.join(", ")
}
