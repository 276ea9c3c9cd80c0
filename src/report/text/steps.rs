//! The cuts of each board in shop order, as text: the same steps as on the page.

use crate::lumber::Board;
use crate::paddle::Job;
use crate::report::text::table::paragraph;
use crate::shop::caution::ALWAYS;
use crate::shop::layout::Layout;
use crate::shop::steps::{StepGroup, StepLine, of_layout};
use crate::shop::words::about;
use crate::verify::VerifiedPlan;

/// Every step of every board that a plan opens, wrapped to `width` columns, a box before each.
pub fn text(plan: &VerifiedPlan, job: &Job, boards: &[Board], width: usize) -> String {
    let width = width.max(20);
    let mut out = String::new();
    paragraph(&mut out, "Before the saw", width, "", "");
    for line in ALWAYS {
        paragraph(&mut out, line, width, "- ", "  ");
    }
    for layout in &Layout::all(plan, job, boards) {
        let title = format!("Board {}: cuts in shop order", layout.title);
        out.push('\n');
        paragraph(&mut out, &title, width, "", "");
        out.push_str(&"=".repeat(textwrap::core::display_width(&title).min(width)));
        out.push('\n');
        let note = "Lies: from the reference edge (its chord, where straightened). Left: what then remains, the kerf of that saw taken off. Write each name as the piece comes off. (!): take care.";
        paragraph(&mut out, note, width, "", "");
        let steps = of_layout(layout);
        for (i, group) in steps.groups.iter().enumerate() {
            let before = i.checked_sub(1).and_then(|b| steps.groups.get(b));
            one(&mut out, group, before, layout, width);
        }
    }
    out
}

fn one(
    out: &mut String,
    group: &StepGroup,
    before: Option<&StepGroup>,
    layout: &Layout<'_>,
    width: usize,
) {
    out.push('\n');
    paragraph(out, &group.heading, width, "", "  ");
    let shared = group.shared_caution();
    // A caution that stands just above is not told again; its sign still stands at each step.
    let told = before.and_then(StepGroup::shared_caution);
    if let Some(caution) = shared.filter(|c| told != Some(*c)) {
        paragraph(out, caution, width, "  (!) ", "      ");
    }
    for line in group.lines() {
        let text = sentence(&line, shared.is_some(), layout);
        paragraph(out, &text, width, "  [ ] ", "      ");
        if let (None, Some(caution)) = (shared, &line.caution) {
            paragraph(out, caution, width, "      (!) ", "          ");
        }
    }
}

fn sentence(line: &StepLine, shared: bool, layout: &Layout<'_>) -> String {
    let mut text = line.to_string();
    if shared && line.caution.is_some() {
        text += " (!)";
    }
    if let Some(left) = line.left {
        text += &format!(" Left: {}.", about(left, layout.units()));
    }
    text
}
