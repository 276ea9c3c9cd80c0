//! The blank of a paddle from above and in section, its laminations numbered and named.

use crate::length::{Length, Units};
use crate::paddle::{Lamination, Paddle, Runs};
use crate::report::draw::axis::mm;
use crate::report::draw::canvas::{Anchor, Canvas, Frame, WIDTH};
use crate::report::draw::numbers;
use crate::report::text_width::{lines, width};
use crate::shop::words::near;
use crate::text::plain;

const LEFT: f64 = 44.0;
const ROOM: f64 = 620.0;
const SMALL: f64 = 10.0;
/// The smallest type that is read at arm's length.
const LEAST: f64 = 7.0;

/// A lamination's place across the blank.
struct Layer<'a> {
    number: usize,
    lamination: &'a Lamination,
    /// From the blank's left edge, millimetres.
    from: f64,
    to: f64,
}

/// Every strip across the blade from one edge to the other.
fn layers(paddle: &Paddle) -> Vec<Layer<'_>> {
    let mut order: Vec<(usize, &Lamination)> = Vec::new();
    for (i, lamination) in paddle.laminations.iter().enumerate() {
        order.push((i + 1, lamination));
        if !lamination.centre {
            order.insert(0, (i + 1, lamination));
        }
    }
    let mut at = 0.0;
    order
        .into_iter()
        .map(|(number, lamination)| {
            let from = at;
            at += mm(lamination.thickness);
            Layer { number, lamination, from, to: at }
        })
        .collect()
}

/// The drawing of a kind of paddle's blank as SVG text.
pub(crate) fn draw(paddle: &Paddle, index: usize, units: Units, alone: bool) -> String {
    let mut canvas = Canvas::new(format!("p{index}"));
    let layers = layers(paddle);
    let wide = mm(paddle.blade_width()).max(0.1);
    let thinnest = layers.iter().map(|l| l.to - l.from).fold(f64::INFINITY, f64::min).max(0.1);
    let scale = (13.0 / thinnest).clamp(80.0 / wide, 150.0 / wide).min(2.4);
    // Of many thin layers the drawing is larger, so that they bear their numbers.
    let thin = layers.iter().filter(|l| (l.to - l.from) * scale < LEAST / 0.8).count();
    let scale = if thin > 6 { scale.max((10.0 / thinnest).min(340.0 / wide)) } else { scale };
    let length = mm(paddle.blank_length()).max(1.0);
    let along = ROOM / length;
    let title = format!("Blank of {}", plain(&paddle.name));
    let head =
        if alone { canvas.wrapped((LEFT, 15.0), &title, 12.0, 660.0, "t b") - 7.0 } else { 4.0 };
    // Names that found no place in their layer, which bears the number alone; and layers too thin for
    // a line of type, whose numbers stand beside the blank.
    let mut unnamed: Vec<(usize, String)> = Vec::new();
    let mut beside: Vec<(f64, String)> = Vec::new();
    let top = head + 38.0;
    let strip = mm(paddle.rough_blade());
    let (x0, x1) = (LEFT, LEFT + ROOM);
    let (loom0, loom1) = (LEFT + strip * along, x1 - strip * along);
    for (n, layer) in layers.iter().enumerate() {
        let (a, b) = (top + layer.from * scale, top + layer.to * scale);
        let spans = match layer.lamination.runs {
            Runs::Through => vec![(x0, x1)],
            Runs::Blade => vec![(x0, loom0), (loom1, x1)],
        };
        for (i, (from, to)) in spans.into_iter().enumerate() {
            let frame = Frame { left: from, top: a, right: to, bottom: b };
            canvas.rect(frame, "strip", &format!("{n}.{i}"));
            let size = ((b - a) * 0.8).min(SMALL);
            let name = plain(&layer.lamination.name);
            let text = format!("{} {name}", layer.number);
            if size < LEAST {
                if to >= x1 {
                    beside.push((f64::midpoint(a, b), layer.number.to_string()));
                }
                unnamed.push((layer.number, text));
                continue;
            }
            let text = if width(&text, size) <= to - from - 8.0 {
                text
            } else {
                unnamed.push((layer.number, text));
                layer.number.to_string()
            };
            let at = (from + 6.0, f64::midpoint(a, b) + size * 0.34);
            canvas.text(at, &text, size, Anchor::Start, "on");
        }
    }
    let bottom = top + wide * scale;
    numbers::right(&mut canvas, &beside, x1, (top - 4.0, bottom + 40.0));
    // Lengths: blank, then blade and loom.
    let dims = [
        (x0, x1, head + 12.0, format!("blank {}", near(paddle.blank_length(), units))),
        (loom0, loom1, head + 30.0, format!("loom {}", near(paddle.loom, units))),
    ];
    for (a, b, y, text) in dims {
        canvas.polyline(&[(a, y + 5.0), (a, y), (b, y), (b, y + 5.0)], "dim");
        canvas.text((f64::midpoint(a, b), y - 3.0), &text, SMALL, Anchor::Middle, "t");
    }
    canvas.upright(
        (LEFT - 12.0, f64::midpoint(top, bottom)),
        &near(paddle.blade_width(), units),
        SMALL,
    );
    let y = sections(&mut canvas, paddle, &layers, units, scale, bottom + 26.0);
    let note = format!(
        "Dressed sizes. Widths drawn {:.1} times larger than lengths; both sections as the widths.",
        scale / along
    );
    canvas.text((LEFT, y + 10.0), &note, SMALL, Anchor::Start, "t");
    let (mut x, mut y) = (LEFT, y);
    unnamed.sort();
    unnamed.dedup();
    y += if unnamed.is_empty() { 0.0 } else { 12.0 };
    for name in unnamed.iter().flat_map(|(_, name)| lines(name, SMALL, 650.0)) {
        let wide = width(&name, SMALL);
        if x > LEFT && x + wide > WIDTH - 10.0 {
            (x, y) = (LEFT, y + 12.0);
        }
        canvas.text((x, y + 10.0), &name, SMALL, Anchor::Start, "t");
        x += wide + 14.0;
    }
    canvas.finish(y + 18.0, &format!("Blank of {}", plain(&paddle.name)), alone)
}

/// Sections through blade and loom, seen from an end.
fn sections(
    canvas: &mut Canvas,
    paddle: &Paddle,
    layers: &[Layer<'_>],
    units: Units,
    scale: f64,
    y: f64,
) -> f64 {
    let tall = mm(paddle.thickness) * scale;
    let wide = mm(paddle.blade_width()) * scale;
    let loom = mm(paddle.loom_width()) * scale;
    let thick = near(paddle.thickness, units);
    let across = |blade: bool| -> String {
        let wide: Length = if blade { paddle.blade_width() } else { paddle.loom_width() };
        near(wide, units)
    };
    // How far what stands below a section reaches beyond it at each side.
    let over = |blade: bool, wide: f64| ((width(&across(blade), SMALL) - wide) / 2.0).max(0.0);
    let beyond = |blade: bool, wide: f64| (6.0 + width(&thick, SMALL)).max(over(blade, wide));
    let start = LEFT + (over(true, wide) - LEFT + 4.0).max(0.0);
    let next = (start + wide + beyond(true, wide) + 24.0 + over(false, loom))
        .max(start + width(BLADE, SMALL) + 24.0)
        .max(start + wide + 70.0);
    let beside = next + loom + beyond(false, loom) < WIDTH - 4.0;
    let mut low = y;
    for (title, shown_wide, blade) in [(BLADE, wide, true), (LOOM, loom, false)] {
        let at = match (blade, beside) {
            (true, _) => (start, y),
            (false, true) => (next, y),
            (false, false) => (LEFT + (over(false, loom) - LEFT + 4.0).max(0.0), low + 20.0),
        };
        canvas.text((at.0, at.1 - 4.0), title, SMALL, Anchor::Start, "t b");
        let shown: Vec<&Layer<'_>> =
            layers.iter().filter(|l| blade || l.lamination.runs == Runs::Through).collect();
        // Where not all numbers find room in their layers those that don't stand below.
        let mut below: Vec<(f64, String)> = Vec::new();
        let mut x = at.0;
        for (n, layer) in shown.iter().enumerate() {
            let right = x + (layer.to - layer.from) * scale;
            let frame = Frame { left: x, top: at.1, right, bottom: at.1 + tall };
            canvas.rect(frame, "strip", &format!("{}{n}", if blade { "s" } else { "l" }));
            let (text, middle) = (layer.number.to_string(), f64::midpoint(x, right));
            if width(&text, SMALL) <= right - x + 1.0 {
                let middle = (middle, at.1 + tall / 2.0 + 3.2);
                canvas.text(middle, &text, SMALL, Anchor::Middle, "on b");
            } else {
                below.push((middle, text));
            }
            x = right;
        }
        let bottom = at.1 + tall;
        let bottom = bottom + numbers::below(canvas, &below, bottom, (at.0 - 20.0, x + 40.0));
        canvas.text((x + 5.0, at.1 + tall / 2.0 + 3.0), &thick, SMALL, Anchor::Start, "t");
        let middle = (at.0 + shown_wide / 2.0, bottom + 11.0);
        canvas.text(middle, &across(blade), SMALL, Anchor::Middle, "t");
        low = low.max(bottom + 14.0);
    }
    low
}

/// Titles of the sections.
const BLADE: &str = "Through a blade";
const LOOM: &str = "Through the loom";
