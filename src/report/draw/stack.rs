//! The stack of a blank as it lies on the bench: every strip in its place, and which way round.
//!
//! Which way round is told three times, so that it can't be misread: by an arrowhead at the end
//! where the strip's own arrow points, by an outline that is whole where the written name is up
//! and broken where it is down, and in words.

use crate::report::draw::axis::mm;
use crate::report::draw::canvas::{Anchor, Canvas, Frame, Point};
use crate::report::draw::numbers;
use crate::report::text_width::{lines, width};
use crate::shop::stack::{Bar, Run, Stack};
use crate::text::plain;

/// Share of the blank's length that a blade strip takes.
fn blade_share(stack: &Stack) -> f64 {
    (mm(stack.blade) / mm(stack.length).max(1.0)).clamp(0.05, 0.5)
}

const LEFT: f64 = 40.0;
const ROOM: f64 = 640.0;
const ROW: f64 = 26.0;
const TYPE: f64 = 10.0;
/// The middle of a blade's witness mark from the inner ends of its strips: clear of arrowheads.
const INWARD: f64 = 27.0;
/// Half of what a witness mark takes along the strips.
const HALF: f64 = 11.0;

/// The stack from above and in section, as SVG text.
pub(crate) fn draw(stack: &Stack, id: &str, title: &str, alone: bool) -> String {
    let mut canvas = Canvas::new(id);
    let head =
        if alone { canvas.wrapped((LEFT, 16.0), title, 12.0, 660.0, "t b") - 6.0 } else { 0.0 };
    let top = head + 22.0;
    let share = blade_share(stack);
    canvas.text((LEFT, top - 8.0), "END A", 8.5, Anchor::Start, "t soft");
    canvas.text((LEFT + ROOM, top - 8.0), "END B", 8.5, Anchor::End, "t soft");
    let above = "from above; widths not to scale";
    canvas.text((LEFT + ROOM / 2.0, top - 8.0), above, 8.5, Anchor::Middle, "t soft");
    let mut y = top;
    let mut listed: Vec<String> = Vec::new();
    for (i, row) in stack.rows.iter().enumerate() {
        for (n, bar) in row.iter().enumerate() {
            let (x0, x1) = match bar.run {
                Run::Through => (LEFT, LEFT + ROOM),
                Run::LeftBlade => (LEFT, LEFT + ROOM * share),
                Run::RightBlade => (LEFT + ROOM * (1.0 - share), LEFT + ROOM),
            };
            if let Some(key) = one(&mut canvas, bar, (x0, y), x1, (i, n)) {
                listed.push(format!("{key}: {}", plain(&bar.name)));
            }
        }
        canvas.text(
            (LEFT - 8.0, y + ROW / 2.0 + 3.5),
            &(i + 1).to_string(),
            TYPE,
            Anchor::End,
            "t b",
        );
        y += ROW;
    }
    witness(&mut canvas, stack, top, y);
    let mut y = sections(&mut canvas, stack, y + 30.0);
    for line in listed.iter().flat_map(|text| lines(text, TYPE, 650.0)) {
        y += 12.0;
        canvas.text((LEFT, y - 5.0), &line, TYPE, Anchor::Start, "t");
    }
    canvas.finish(y + 6.0, title, alone)
}

/// Draws a strip. A name that finds no place in it is not shortened: then the number of its row
/// stands for it, with the end of a blade strip, and comes back to be listed.
fn one(
    canvas: &mut Canvas,
    bar: &Bar,
    (x0, y): Point,
    x1: f64,
    (i, n): (usize, usize),
) -> Option<String> {
    let at = &format!("{i}.{n}");
    let frame = Frame { left: x0, top: y + 1.5, right: x1, bottom: y + ROW - 1.5 };
    canvas.rect(frame, if bar.name_up { "up" } else { "down" }, at);
    let middle = y + ROW / 2.0;
    let head = |x: f64, to: f64| [(x, middle - 6.0), (to, middle), (x, middle + 6.0)];
    if bar.arrow_left {
        canvas.polygon(&head(x0 + 13.0, x0 + 3.0), "dot", "");
    } else {
        canvas.polygon(&head(x1 - 13.0, x1 - 3.0), "dot", "");
    }
    let way = if bar.name_up { "name up" } else { "name DOWN" };
    let towards = if bar.arrow_left { "arrow to A" } else { "arrow to B" };
    let words = format!("{way}, {towards}");
    // Text lies clear of the witness marks, in the half of the bar that the arrow is in; a blade's
    // mark stands at its inner end.
    let room = if bar.run == Run::Through { ROOM / 2.0 - 36.0 } else { x1 - x0 - 60.0 };
    let (wide, big) = (width(&words, TYPE), TYPE + 1.0);
    let mut name = plain(&bar.name);
    let beside = |name: &str| width(name, big) + 8.0 + wide;
    // Beside one another, or the name above the words, or a key for the name.
    let above = beside(&name) > room && width(&name, big) <= room;
    let key = (beside(&name) > room && !above).then(|| {
        let end = match bar.run {
            Run::Through => "",
            Run::LeftBlade => "A",
            Run::RightBlade => "B",
        };
        format!("{}{end}", i + 1)
    });
    if let Some(key) = &key {
        name.clone_from(key);
    }
    let both = if above { width(&name, big).max(wide) } else { beside(&name) };
    let start = if bar.run == Run::RightBlade { x0 + 42.0 } else { x0 + 18.0 };
    let end = if bar.run == Run::LeftBlade { x1 - 42.0 } else { x1 - 18.0 };
    let x = if bar.arrow_left || both > room { start } else { end - both };
    let (first, second) = if above {
        ((x, middle - 2.2), (x, middle + 7.8))
    } else {
        ((x, middle + 3.6), (x + width(&name, big) + 8.0, middle + 3.6))
    };
    canvas.text(first, &name, big, Anchor::Start, "t b");
    canvas.text(second, &words, TYPE, Anchor::Start, "t");
    key
}

/// Witness marks: a triangle over the loom's strips and one over each blade's, points toward A.
fn witness(canvas: &mut Canvas, stack: &Stack, top: f64, bottom: f64) {
    let share = blade_share(stack);
    let through = |row: &Vec<Bar>| row.iter().any(|b| b.run == Run::Through);
    let rows = |keep: &dyn Fn(&Vec<Bar>) -> bool| {
        let mut y = top;
        let mut span: Option<(f64, f64)> = None;
        for row in &stack.rows {
            if keep(row) {
                span = Some((span.map_or(y, |s| s.0), y + ROW));
            }
            y += ROW;
        }
        span
    };
    let mut at = Vec::new();
    if let Some(span) = rows(&through) {
        at.push((LEFT + ROOM / 2.0, span));
    }
    if stack.rows.iter().any(|r| r.iter().any(|b| b.run != Run::Through)) {
        at.push((LEFT + ROOM * share - INWARD, (top, bottom)));
        at.push((LEFT + ROOM * (1.0 - share) + INWARD, (top, bottom)));
    }
    for (x, (y0, y1)) in at {
        let (y0, y1) = (y0 + 2.0, y1 - 2.0);
        let point = (x - HALF, f64::midpoint(y0, y1));
        canvas.polyline(&[(x + HALF, y0), point, (x + HALF, y1), (x + HALF, y0)], "mark");
    }
    canvas.text(
        (LEFT, bottom + 13.0),
        "Triangles: witness marks, points toward A. Draw them over the strips once they lie as shown.",
        TYPE,
        Anchor::Start,
        "t",
    );
}

/// The stack in section, from the left end: rows run from left to right.
fn sections(canvas: &mut Canvas, stack: &Stack, y: f64) -> f64 {
    let total: f64 = stack.rows.iter().filter_map(|r| r.first()).map(|b| mm(b.thickness)).sum();
    let scale = (430.0 / total.max(1.0)).min(84.0 / mm(stack.thickness).max(1.0));
    // Of many thin strips the section is larger, so that they bear their numbers.
    let firsts = stack.rows.iter().filter_map(|row| row.first());
    let thin = firsts.filter(|bar| mm(bar.thickness) * scale < TYPE).count();
    let large = (430.0 / total.max(1.0)).min(230.0 / mm(stack.thickness).max(1.0));
    let scale = if thin > 6 { scale.max(large) } else { scale };
    let tall = mm(stack.thickness) * scale;
    let mut bottom = y;
    let mut x = LEFT;
    for (title, blade) in [("Through a blade, from end A", true), ("Through the loom", false)] {
        let rows: Vec<(usize, &Bar)> = stack
            .rows
            .iter()
            .enumerate()
            .filter_map(|(i, r)| r.first().map(|b| (i, b)))
            .filter(|(_, b)| blade || b.run == Run::Through)
            .collect();
        canvas.text((x, y + 8.0), title, TYPE, Anchor::Start, "t b");
        let mut left = x;
        // Where a strip is too thin for its number that stands below.
        let mut below: Vec<(f64, String)> = Vec::new();
        for (i, bar) in rows {
            let right = left + mm(bar.thickness) * scale;
            let frame = Frame { left, top: y + 14.0, right, bottom: y + 14.0 + tall };
            let at = format!("{}{i}", if blade { "s" } else { "l" });
            canvas.rect(frame, "up", &at);
            let text = (i + 1).to_string();
            if width(&text, TYPE) <= right - left + 1.0 {
                let middle = (f64::midpoint(left, right), y + 14.0 + tall / 2.0 + 3.5);
                canvas.text(middle, &text, TYPE, Anchor::Middle, "on b");
            } else {
                below.push((f64::midpoint(left, right), text));
            }
            // A bar on the side that bears the name.
            let side = if bar.name_up { frame.top + 3.0 } else { frame.bottom - 3.0 };
            let inset = ((right - left) / 4.0).min(2.0);
            canvas.line((left + inset, side), (right - inset, side), "name");
            left = right;
        }
        let under = y + 14.0 + tall;
        bottom = bottom.max(under + numbers::below(canvas, &below, under, (x - 20.0, left + 30.0)));
        x = (left + 40.0).max(x + width(title, TYPE) + 20.0);
    }
    let note = "To scale. Row 1 is at your left, standing at end A. The thick line is the side that bears the name.";
    canvas.text((LEFT, bottom + 13.0), note, TYPE, Anchor::Start, "t");
    bottom + 18.0
}

#[cfg(test)]
mod tests {
    use super::{Bar, Run, Stack, draw};
    use crate::length::Length;

    fn bar(name: &str, run: Run, arrow_left: bool, name_up: bool) -> Bar {
        Bar {
            name: name.into(),
            lamination: "1 spine".into(),
            run,
            arrow_left,
            name_up,
            thickness: Length::MM * 9,
            how: String::new(),
        }
    }

    fn stack() -> Stack {
        let blades = |a: &str, b: &str| {
            vec![bar(a, Run::LeftBlade, true, true), bar(b, Run::RightBlade, false, false)]
        };
        Stack {
            rows: vec![
                blades("B2.1", "B2.2"),
                vec![bar("B1.2", Run::Through, true, false)],
                vec![bar("a very long name for a strip of wood.7", Run::Through, false, true)],
                vec![bar("B1.3", Run::Through, false, false)],
                blades("B2.3", "B2.4"),
            ],
            length: Length::MM * 2150,
            blade: Length::MM * 820,
            thickness: Length::MM * 35,
        }
    }

    #[test]
    fn each_strip_says_three_times_which_way_round_it_lies() {
        let svg = draw(&stack(), "x", "Blank 1", true);
        if let Some(path) = std::env::var_os("STACK") {
            std::fs::write(path, &svg).unwrap();
        }
        let doc = roxmltree::Document::parse(&svg).unwrap();
        let of = |class: &str| {
            doc.descendants()
                .filter(|n| n.attribute("class") == Some(class))
                .filter(|n| n.attribute("data-at").is_some_and(|a| a.contains('.')))
                .count()
        };
        // Seven strips: 3 with the name up, 4 with it down; as many arrowheads.
        assert_eq!((of("up"), of("down")), (3, 4));
        assert_eq!(svg.matches("name DOWN").count(), 4);
        assert_eq!(svg.matches("arrow to B").count(), 4);
        assert_eq!(doc.descendants().filter(|n| n.attribute("class") == Some("dot")).count(), 7);
        // Three witness marks, each a triangle whose point is the end nearest to A, at the left.
        let marks: Vec<Vec<(f64, f64)>> = doc
            .descendants()
            .filter(|n| n.attribute("class") == Some("mark"))
            .map(|n| {
                let points = n.attribute("points").unwrap_or_default().split(' ');
                let pair = |p: &str| {
                    let (x, y) = p.split_once(',').unwrap();
                    (x.parse().unwrap(), y.parse().unwrap())
                };
                points.map(pair).collect()
            })
            .collect();
        assert_eq!(marks.len(), 3);
        for mark in marks {
            let [base, point, other, again] = mark[..] else { panic!("{mark:?}") };
            assert!((base.0 - again.0).abs() < 1e-9 && (base.1 - again.1).abs() < 1e-9);
            assert!(point.0 < base.0 && point.0 < other.0);
            assert!(base.1 < point.1 && point.1 < other.1);
        }
        // In section: five strips through a blade, three through the loom.
        let at = |c: char| {
            doc.descendants()
                .filter(|n| n.attribute("data-at").is_some_and(|a| a.starts_with(c)))
                .count()
        };
        assert_eq!((at('s'), at('l')), (5, 3));
    }
}
