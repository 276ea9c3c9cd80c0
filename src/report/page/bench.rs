//! The bench on the page: once what is the same for every blank, then a sheet for each.

use super::running;
use super::tight::{self, Print};
use crate::report::draw::stack;
use crate::report::{Benches, Pages, Part};
use crate::shop::bench::{BenchSheet, Table};
use crate::text::{plain, together};
use maud::{Markup, PreEscaped, html};

/// What a bench sheet begins with, where something may go wrong.
const LOOK_OUT: &str = "Look out";
/// What it ends with.
const CAUTIONS: &str = "Cautions";
/// Where the notes of the first table go, which stands beside the drawing.
const READING: &str = "How to read the table of strips";

/// What a bench sheet is called.
pub(crate) fn title(sheet: &BenchSheet) -> String {
    format!("Bench: {}", plain(&sheet.title))
}

/// A part of a bench sheet: a heading over lines.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Group {
    heading: String,
    /// Its lines are steps to tick off.
    tick: bool,
    /// It is of glue, clamps and clock: where blanks differ in it, it stands on the sheet of how to
    /// glue, once for all that are alike.
    gluing: bool,
    lines: Vec<Line>,
}

/// A line, which may be the same for every blank.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Line {
    text: String,
    general: bool,
}

impl Group {
    fn new(heading: &str, tick: bool, general: bool, lines: &[String]) -> Group {
        let line = |text: &String| Line { text: text.clone(), general };
        Group {
            heading: heading.to_owned(),
            tick,
            gluing: false,
            lines: lines.iter().map(line).collect(),
        }
    }
}

/// All parts of a sheet but its drawing and its first table.
fn groups_of(sheet: &BenchSheet, several: bool) -> Vec<Group> {
    let mut out = vec![Group::new(LOOK_OUT, false, several, &sheet.warnings)];
    let notes = sheet.tables.first().map_or(&[][..], |table| &table.notes);
    out.push(Group::new(READING, false, true, notes));
    for table in sheet.tables.iter().skip(1) {
        let mut group = Group::new(&table.title, false, table.gluing, &table_lines(table));
        group.gluing = table.gluing;
        group.lines.extend(table.notes.iter().map(|n| Line { text: n.clone(), general: true }));
        out.push(group);
    }
    for (n, step) in sheet.steps.iter().enumerate() {
        let heading = format!("{}. {}", n + 1, step.title);
        out.push(Group::new(&heading, true, true, &step.lines));
    }
    out.push(Group::new(CAUTIONS, false, true, &sheet.cautions));
    // What names a strip is of its blank alone.
    let names: Vec<String> =
        sheet.stack.rows.iter().flatten().map(|bar| plain(&bar.name)).collect();
    for line in out.iter_mut().flat_map(|group| &mut group.lines) {
        line.text = plain(&line.text);
        line.general &= !names.iter().any(|name| line.text.contains(name.as_str()));
    }
    out
}

/// What all bench sheets have in common, and is printed once.
pub(super) struct Shared {
    groups: Vec<Group>,
    /// Is there more than one blank?
    several: bool,
    /// Is it printed at all?
    printed: bool,
    /// Glue, clamps and clock where blanks differ in them: whose they are, and what.
    kinds: Vec<(Vec<String>, Vec<Group>)>,
}

impl Shared {
    /// Of all bench sheets. Cautions that are not printed with it stay on every sheet.
    pub(super) fn of(bench: &Benches<'_>, pages: &Pages) -> Shared {
        let (several, printed) = (bench.count > 1, pages.has(Part::Gluing));
        let general = |sheet: &BenchSheet| {
            let mut all = groups_of(sheet, several);
            all.iter_mut().for_each(|group| group.lines.retain(|line| line.general));
            all.retain(|group| printed || group.heading != CAUTIONS);
            all
        };
        let wanted = printed || pages.has(Part::Bench);
        let found = wanted.then(|| bench.seen(general, common)).flatten();
        let groups = found.unwrap_or_default();
        let mut shared = Shared { groups, several, printed, kinds: Vec::new() };
        if printed {
            let own = |sheet: &BenchSheet| {
                let mut own = shared.own(groups_of(sheet, several));
                own.retain(|group| group.gluing);
                vec![(vec![plain(&sheet.title)], own)]
            };
            let kinds = bench.seen(own, together_by_kind).unwrap_or_default();
            shared.kinds = kinds.into_iter().filter(|(_, own)| !own.is_empty()).collect();
        }
        shared
    }

    /// The parts of a sheet without what is shared.
    fn own(&self, mut own: Vec<Group>) -> Vec<Group> {
        for group in &mut own {
            let keep: Vec<bool> = group.lines.iter().map(|line| !self.has(group, line)).collect();
            let mut keep = keep.into_iter();
            group.lines.retain(|_| keep.next().unwrap_or(true));
        }
        own.retain(|group| group.tick || !group.lines.is_empty());
        own
    }

    fn has(&self, group: &Group, line: &Line) -> bool {
        let here = |g: &&Group| g.heading == group.heading;
        self.groups.iter().find(here).is_some_and(|g| g.lines.contains(line))
    }

    /// The sheet of what all blanks have in common.
    pub(super) fn sheet(&self, code: &str) -> Markup {
        let filled: Vec<&Group> = self.groups.iter().filter(|g| !g.lines.is_empty()).collect();
        let kinds: Vec<Group> =
            self.kinds.iter().flat_map(|(whose, own)| whose_groups(whose, own)).collect();
        let kinds: Vec<&Group> = kinds.iter().collect();
        let body = html! {
                    h2 { "Gluing up" @if self.several { ": the same for every blank" } }
                    p {
                        "What is one blank's own stands on its bench sheet, under the same headings: \
                         read both before any glue is opened."
                    }
                    // Of several blanks no step is done once.
                    (parts(&filled, !self.several, Print::Runs))
                    @if !kinds.is_empty() {
                        h3 { "What differs from blank to blank" }
                        (parts(&kinds, false, Print::Runs))
                    }
        };
        html! {
            @if self.printed && !filled.is_empty() {
                section class="sheet" id="gluing" { (running("Gluing up", code, &body)) }
            }
        }
    }
}

/// What two lists of parts have in common.
fn common(one: Vec<Group>, other: Vec<Group>) -> Vec<Group> {
    let both = |mut group: Group| {
        let same = other.iter().find(|o| o.heading == group.heading);
        group.lines.retain(|line| same.is_some_and(|o| o.lines.contains(line)));
        group
    };
    one.into_iter().map(both).collect()
}

/// The sheet of one blank, without what is printed once for all.
pub(super) fn sheet(index: usize, sheet: &BenchSheet, shared: &Shared, code: &str) -> Markup {
    let title = title(sheet);
    let drawing = stack::draw(&sheet.stack, &format!("s{index}"), &title, false);
    let mut own = shared.own(groups_of(sheet, shared.several));
    if !shared.kinds.is_empty() {
        own.retain(|group| !group.gluing);
    }
    // Every step stands on every sheet, if only with where to find it.
    for group in own.iter_mut().filter(|g| g.tick && g.lines.is_empty()) {
        let text = format!("{}: as the sheet Gluing up says.", group.heading);
        group.lines.push(Line { text, general: false });
        group.heading = String::new();
    }
    own.retain(|group| !group.lines.is_empty());
    let texts = |group: &Group| {
        let lines = group.lines.iter().map(|line| line.text.clone());
        std::iter::once(group.heading.clone()).chain(lines).filter(|t| !t.is_empty()).collect()
    };
    let texts: Vec<Vec<String>> = own.iter().map(texts).collect();
    let print = tight::bench(&drawing, &shown_cells(sheet), &texts);
    let own: Vec<&Group> = own.iter().collect();
    let body = html! {
            h2 { (title) }
            p {
                "Lay the strips out as drawn. A strip's arrow is the one you drew toward the \
                 marked end of its board. Whole outline: its name is up. Broken outline: its \
                 name is down, on the bench."
                @if shared.groups.iter().any(|g| !g.lines.is_empty()) {
                    " The rest of each step, clamps, clock and cautions: on the sheet Gluing up"
                    @if !shared.printed { " (--pages gluing)" }
                    "."
                }
            }
            div class="scroll" { (PreEscaped(drawing)) }
            @if let Some(table) = sheet.tables.first() { (strip_table(table)) }
            (parts(&own, true, print))
    };
    html! {
        section class=(format!("{} bench", print.class())) id=(format!("bench{}", index + 1)) {
            (running(&title, code, &body))
        }
    }
}

/// Blanks that have the same in common stand together.
fn together_by_kind(
    mut one: Vec<(Vec<String>, Vec<Group>)>,
    other: Vec<(Vec<String>, Vec<Group>)>,
) -> Vec<(Vec<String>, Vec<Group>)> {
    for (whose, own) in other {
        match one.iter_mut().find(|(_, like)| *like == own) {
            Some((all, _)) => all.extend(whose),
            None => one.push((whose, own)),
        }
    }
    one
}

/// The parts under the names of the blanks they are of.
fn whose_groups(whose: &[String], own: &[Group]) -> Vec<Group> {
    let named = |group: &Group| Group {
        heading: format!("{}: {}", whose.join(", "), group.heading),
        ..group.clone()
    };
    own.iter().map(named).collect()
}

/// Parts of a sheet in columns. Where it runs over, the last of them stay together, so that no page
/// bears a few lines.
fn parts(groups: &[&Group], ticks: bool, print: Print) -> Markup {
    let lines =
        |group: &&&Group| 1 + group.lines.iter().map(|l| l.text.len() / 56 + 1).sum::<usize>();
    let last = match print {
        Print::Runs => tight::tail(groups.iter().map(|group| lines(&group))),
        _ => groups.len(),
    };
    let (body, tail) = groups.split_at(last);
    html! {
        div class="steps" { @for group in body { (part(group, ticks)) } }
        @if !tail.is_empty() {
            div class="steps whole" { @for group in tail { (part(group, ticks)) } }
        }
    }
}

/// A part of so few lines is not broken.
const SHORT: usize = 12;

/// A part; its lines are steps to tick off or sentences.
fn part(group: &Group, ticks: bool) -> Markup {
    // What is short breaks over no column and no page.
    let lines: usize = group.lines.iter().map(|l| l.text.len() / 56 + 1).sum();
    let class = if lines <= SHORT { "group whole" } else { "group" };
    html! {
        div class=(class) {
            @if !group.heading.is_empty() { p class="set" { (plain(&group.heading)) } }
            @for line in &group.lines {
                @if group.tick && ticks {
                    label class="step" { input type="checkbox"; span { (together(&line.text)) } }
                } @else if group.tick {
                    p class="said" { (together(&line.text)) }
                } @else {
                    p { (together(&line.text)) }
                }
            }
        }
    }
}

/// A row of a table as one line of text.
fn table_lines(table: &Table) -> Vec<String> {
    let line = |row: &Vec<String>| {
        let cells = table.head.iter().zip(row).skip(1).filter(|(_, cell)| !cell.is_empty());
        let cells = cells.map(|(head, cell)| match head.as_str() {
            "figure" | "how much" => cell.clone(),
            head => format!("{head} {cell}"),
        });
        let name = row.first().map_or("", String::as_str);
        format!("{name}: {}", cells.collect::<Vec<_>>().join(", "))
    };
    // What is not known takes one line.
    let unknown = |row: &&Vec<String>| row.len() == 2 && row[1] == "not known";
    let mut lines: Vec<String> = table.rows.iter().filter(|r| !unknown(r)).map(line).collect();
    let names: Vec<&str> =
        table.rows.iter().filter(unknown).filter_map(|r| r.first()).map(String::as_str).collect();
    if !names.is_empty() {
        lines.push(format!("not known: {}", names.join(", ")));
    }
    lines
}

/// Columns of the strips that the page shows.
fn shown(head: &str) -> bool {
    !matches!(head, "wood" | "side" | "thick")
}

/// What the table of strips shows, its head first.
fn shown_cells(sheet: &BenchSheet) -> Vec<Vec<String>> {
    let Some(table) = sheet.tables.first() else { return Vec::new() };
    let cells = |row: &Vec<String>| {
        let of = table.head.iter().zip(row).filter(|(head, _)| shown(head));
        of.map(|(_, cell)| plain(cell)).collect()
    };
    std::iter::once(&table.head).chain(&table.rows).map(cells).collect()
}

/// The strips of a blank, row by row as the drawing numbers them.
fn strip_table(table: &Table) -> Markup {
    let name = |head: &str| if head.is_empty() { "row".to_owned() } else { plain(head) };
    html! {
        @if !table.rows.is_empty() {
            h3 { (plain(&table.title)) }
            div class="scroll" {
                table class="strips" {
                    thead { tr {
                        @for head in table.head.iter().filter(|h| shown(h)) { th { (name(head)) } }
                    } }
                    tbody {
                        @for row in &table.rows {
                            tr {
                                @for (head, cell) in table.head.iter().zip(row) {
                                    @if shown(head) { td { (together(&plain(cell))) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
