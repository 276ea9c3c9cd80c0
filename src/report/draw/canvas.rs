//! A drawing being made: shapes and texts in drawing units, and which places are taken.
//!
//! The `svg` crate escapes texts but not the quotes of attributes, so a name from a file is
//! only ever put into a text node here, never into an attribute.

use crate::report::text_width;
use crate::text::plain;
use std::fmt::Write as _;
use svg::Document;
use svg::node::element::{
    Circle, ClipPath, Definitions, Group, Line, Pattern, Polygon, Polyline, Rectangle, Style, Text,
    Title,
};

/// Drawing units across every drawing.
pub(crate) const WIDTH: f64 = 720.0;

/// The rules that drawings share; standalone drawings carry them, pages have them once.
pub(crate) const STYLE: &str = include_str!("drawing.css");

/// A point in drawing units.
pub(crate) type Point = (f64, f64);

/// A box that a label takes: left, top, right, bottom.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Frame {
    /// What a line of type takes whose left end and baseline are there.
    pub(crate) fn of_text((x, y): Point, text: &str, size: f64) -> Frame {
        Frame {
            left: x - 1.0,
            top: y - size * 0.78,
            right: x + text_width::width(text, size) + 1.0,
            bottom: y + size * 0.18,
        }
    }

    pub(crate) fn meets(&self, other: &Frame) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
}

/// Which end of a text lies at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A drawing being made.
pub(crate) struct Canvas {
    /// A prefix that makes the ids of this drawing its own on a page.
    id: String,
    body: Group,
    defs: Definitions,
    taken: Vec<Frame>,
    /// Lines that placed texts keep clear of as far as they can.
    lines: Vec<Frame>,
    clips: usize,
}

/// Rounds to hundredths of a drawing unit, so that drawings are the same on every machine.
pub(crate) fn r(value: f64) -> f64 {
    (value * 100.0).round() / 100.0 + 0.0
}

fn points(list: &[Point]) -> String {
    let mut out = String::new();
    for (i, (x, y)) in list.iter().enumerate() {
        let space = if i == 0 { "" } else { " " };
        let _ = write!(out, "{space}{},{}", r(*x), r(*y));
    }
    out
}

impl Canvas {
    pub(crate) fn new(id: impl Into<String>) -> Canvas {
        Canvas {
            id: id.into(),
            body: Group::new(),
            defs: Definitions::new(),
            taken: Vec::new(),
            lines: Vec::new(),
            clips: 0,
        }
    }

    pub(crate) fn line(&mut self, a: Point, b: Point, class: &str) {
        self.add(
            Line::new()
                .set("x1", r(a.0))
                .set("y1", r(a.1))
                .set("x2", r(b.0))
                .set("y2", r(b.1))
                .set("class", class),
        );
    }

    pub(crate) fn polyline(&mut self, list: &[Point], class: &str) {
        self.add(Polyline::new().set("points", points(list)).set("class", class));
    }

    /// A filled shape; `at` says in numbers which part of the plan it shows.
    pub(crate) fn polygon(&mut self, list: &[Point], class: &str, at: &str) {
        let mut shape = Polygon::new().set("points", points(list)).set("class", class);
        if !at.is_empty() {
            shape = shape.set("data-at", at);
        }
        self.add(shape);
    }

    /// A shape filled with one of the hatches.
    pub(crate) fn hatched(&mut self, list: &[Point], hatch: usize, at: &str) {
        let fill = format!("url(#{}h{})", self.id, hatch % HATCHES);
        let shape = Polygon::new()
            .set("points", points(list))
            .set("class", "zone")
            .set("fill", fill)
            .set("data-at", at);
        self.add(shape);
    }

    pub(crate) fn rect(&mut self, frame: Frame, class: &str, at: &str) {
        let mut shape = Rectangle::new()
            .set("x", r(frame.left))
            .set("y", r(frame.top))
            .set("width", r(frame.right - frame.left))
            .set("height", r(frame.bottom - frame.top))
            .set("class", class);
        if !at.is_empty() {
            shape = shape.set("data-at", at);
        }
        self.add(shape);
    }

    /// A text as it stands; nothing is checked.
    pub(crate) fn text(&mut self, at: Point, text: &str, size: f64, anchor: Anchor, class: &str) {
        let side = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let node = Text::new(plain(text))
            .set("x", r(at.0))
            .set("y", r(at.1))
            .set("font-size", r(size))
            .set("text-anchor", side)
            .set("class", class);
        self.add(node);
    }

    /// A text on as many lines as it needs, the first at a place; gives where the next would stand.
    pub(crate) fn wrapped(
        &mut self,
        (x, mut y): Point,
        text: &str,
        size: f64,
        room: f64,
        class: &str,
    ) -> f64 {
        for line in text_width::lines(text, size, room) {
            self.text((x, y), &line, size, Anchor::Start, class);
            y += size * 1.15;
        }
        y
    }

    /// A text turned to read upwards.
    pub(crate) fn upright(&mut self, at: Point, text: &str, size: f64) {
        let turn = format!("rotate(-90 {} {})", r(at.0), r(at.1));
        let node = Text::new(plain(text))
            .set("x", r(at.0))
            .set("y", r(at.1))
            .set("font-size", r(size))
            .set("text-anchor", "middle")
            .set("class", "t soft")
            .set("transform", turn);
        self.add(node);
    }

    /// Puts a text at the first of the places (left end, baseline) where it meets no other
    /// placed text, and no line where there is such a place. `None` where there is none.
    pub(crate) fn place(
        &mut self,
        places: impl IntoIterator<Item = Point>,
        text: &str,
        size: f64,
        class: &str,
    ) -> Option<Frame> {
        let frames: Vec<(Point, Frame)> =
            places.into_iter().map(|at| (at, Frame::of_text(at, text, size))).collect();
        let clear = |frame: &Frame| !self.taken.iter().any(|t| t.meets(frame));
        let whole = |frame: &Frame| clear(frame) && !self.lines.iter().any(|l| l.meets(frame));
        let found = frames.iter().find(|(_, frame)| whole(frame));
        let &(at, frame) = found.or_else(|| frames.iter().find(|(_, frame)| clear(frame)))?;
        self.text(at, text, size, Anchor::Start, class);
        self.taken.push(frame);
        Some(frame)
    }

    /// As [`Canvas::place`], for a line of type that leans by so many degrees; each place is a
    /// left end, a baseline and a lean. Over lines it goes only where that is said.
    pub(crate) fn place_leaning(
        &mut self,
        places: impl IntoIterator<Item = (f64, f64, f64)>,
        text: &str,
        size: f64,
        class: &str,
        over_lines: bool,
    ) -> Option<Frame> {
        let wide = text_width::width(text, size);
        for (x, y, lean) in places {
            let middle = y + (wide / 2.0) * lean.to_radians().tan();
            let frame = Frame {
                left: x - 1.0,
                top: middle - size * 0.78,
                right: x + wide + 1.0,
                bottom: middle + size * 0.18,
            };
            let met = |all: &[Frame]| all.iter().any(|t| t.meets(&frame));
            if met(&self.taken) || !over_lines && met(&self.lines) {
                continue;
            }
            let mut node = Text::new(plain(text))
                .set("x", r(x))
                .set("y", r(y))
                .set("font-size", r(size))
                .set("class", class);
            if lean.abs() > 0.2 {
                node = node.set("transform", format!("rotate({} {} {})", r(lean), r(x), r(y)));
            }
            self.add(node);
            self.taken.push(frame);
            return Some(frame);
        }
        None
    }

    /// Keeps placed texts out of a box.
    pub(crate) fn take(&mut self, frame: Frame) {
        self.taken.push(frame);
    }

    /// Keeps placed texts clear of a line, where they find another place.
    pub(crate) fn avoid(&mut self, a: Point, b: Point) {
        let (left, right) = (a.0.min(b.0) - 0.5, a.0.max(b.0) + 0.5);
        self.lines.push(Frame { left, top: a.1.min(b.1), right, bottom: a.1.max(b.1) });
    }

    /// Growth rings and the like: shapes that show only inside a box.
    pub(crate) fn clipped(&mut self, frame: Frame, draw: impl FnOnce(&mut Canvas)) {
        self.clips += 1;
        let id = format!("{}c{}", self.id, self.clips);
        let window = Rectangle::new()
            .set("x", r(frame.left))
            .set("y", r(frame.top))
            .set("width", r(frame.right - frame.left))
            .set("height", r(frame.bottom - frame.top));
        self.defs = self.defs.clone().add(ClipPath::new().set("id", id.as_str()).add(window));
        let outer = std::mem::replace(&mut self.body, Group::new());
        draw(self);
        let inner = std::mem::replace(&mut self.body, outer);
        self.add(inner.set("clip-path", format!("url(#{id})")));
    }

    pub(crate) fn circle(&mut self, at: Point, radius: f64, class: &str) {
        let shape = Circle::new().set("cx", r(at.0)).set("cy", r(at.1)).set("r", r(radius));
        self.add(shape.set("class", class));
    }

    /// The hatches used, by number, are defined in the drawing.
    pub(crate) fn define_hatches(&mut self, used: impl IntoIterator<Item = usize>) {
        for hatch in used {
            let id = format!("{}h{}", self.id, hatch % HATCHES);
            self.defs = self.defs.clone().add(pattern(hatch % HATCHES).set("id", id));
        }
    }

    fn add(&mut self, node: impl Into<Box<dyn svg::Node>>) {
        svg::Node::append(&mut self.body, node);
    }

    /// The drawing as SVG text. Standing alone it brings its style and a white ground.
    pub(crate) fn finish(self, height: f64, title: &str, alone: bool) -> String {
        let mut document = Document::new()
            .set("viewBox", format!("0 0 {} {}", r(WIDTH), r(height)))
            .set("role", "img")
            .set("class", "drawing")
            .add(Title::new(plain(title)));
        if alone {
            let ground = Rectangle::new()
                .set("width", r(WIDTH))
                .set("height", r(height))
                .set("fill", "#fff");
            document = document
                .set("width", r(WIDTH))
                .set("height", r(height))
                .add(Style::new(STYLE))
                .add(ground);
        }
        document.add(self.defs).add(self.body).to_string()
    }
}

/// How many hatches there are.
pub(crate) const HATCHES: usize = 10;

/// A hatch; each tells itself from the others without colour.
fn pattern(hatch: usize) -> Pattern {
    let base = |w: f64, h: f64| {
        Pattern::new().set("patternUnits", "userSpaceOnUse").set("width", w).set("height", h)
    };
    let stroke = |x1: f64, y1: f64, x2: f64, y2: f64| {
        Line::new().set("x1", x1).set("y1", y1).set("x2", x2).set("y2", y2).set("class", "hatch")
    };
    match hatch {
        0 => base(5.0, 5.0)
            .set("patternTransform", "rotate(45)")
            .add(stroke(0.0, 0.0, 0.0, 5.0))
            .add(stroke(0.0, 0.0, 5.0, 0.0)),
        1 => base(5.0, 5.0).set("patternTransform", "rotate(45)").add(stroke(0.0, 0.0, 0.0, 5.0)),
        2 => base(5.0, 5.0).set("patternTransform", "rotate(-45)").add(stroke(0.0, 0.0, 0.0, 5.0)),
        3 => base(6.0, 4.0).add(stroke(0.0, 2.0, 6.0, 2.0)),
        4 => base(4.0, 6.0).add(stroke(2.0, 0.0, 2.0, 6.0)),
        5 => base(5.0, 5.0)
            .add(Circle::new().set("cx", 2.5).set("cy", 2.5).set("r", 0.9).set("class", "dot")),
        6 => base(5.0, 5.0).add(stroke(0.0, 2.5, 5.0, 2.5)).add(stroke(2.5, 0.0, 2.5, 5.0)),
        7 => base(8.0, 6.0).add(stroke(0.0, 5.0, 4.0, 1.0)).add(stroke(4.0, 1.0, 8.0, 5.0)),
        8 => base(8.0, 6.0).add(stroke(1.0, 1.5, 5.0, 1.5)).add(stroke(5.0, 4.5, 8.0, 4.5)),
        _ => base(8.0, 8.0)
            .add(Circle::new().set("cx", 4.0).set("cy", 4.0).set("r", 2.4).set("class", "hatch")),
    }
}
