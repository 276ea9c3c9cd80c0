//! End views: how the rings run, where the rips fall, and how leaves lie in the thickness.

use crate::length::Length;
use crate::lumber::Grain;
use crate::plan::{Face, Rip, Section};
use crate::report::draw::axis::mm;
use crate::report::draw::canvas::{Anchor, Canvas, Frame, WIDTH};
use crate::report::text_width::width;
use crate::shop::layout::Layout;
use crate::shop::part::Part;
use crate::shop::words::{letters, near};

const SMALL: f64 = 9.5;
/// Size of the names of rips and leaves.
const NAME: f64 = 8.0;
/// Between two rings, drawing units.
const RINGS: f64 = 7.0;

/// Draws the end views below `y`; gives where they end.
pub(crate) fn draw(canvas: &mut Canvas, layout: &Layout<'_>, across: f64, y: f64) -> f64 {
    let board = layout.board;
    let (wide, thick) = (mm(board.width).max(0.1), mm(board.thickness).max(0.1));
    let scale = across.min(300.0 / wide).min(84.0 / thick);
    // Larger where that gives thin leaves room for their names.
    let leaves = layout.cut.sections.iter().flat_map(|s| &s.rips).flat_map(|r| &r.leaves);
    let thinnest = leaves.map(|l| mm(l.thickness)).fold(thick, f64::min).max(0.1);
    let scale = scale.max((NAME / thinnest).min(480.0 / wide).min(84.0 / thick));
    let (mut x, mut top, mut bottom) = (36.0, y + 32.0, y);
    let groups = alike(layout);
    for parts in groups {
        let Some(part) = parts.first() else { continue };
        let beside = width(&face(layout), SMALL).max(120.0) + 10.0;
        let heads = [width(&grain(layout), SMALL), width(&heading(&parts), SMALL)];
        let needed =
            heads.map(|w| w + 20.0).into_iter().fold((wide * scale + beside).max(230.0), f64::max);
        if x > 36.0 && x + needed > WIDTH - 10.0 {
            x = 36.0;
            top = bottom + 32.0;
        }
        one(canvas, layout, part, &parts, (x, top), scale);
        bottom = top + thick * scale + 22.0;
        x += needed;
    }
    bottom + 2.0
}

/// The end of a whole board below `y`; gives where it ends.
pub(super) fn whole(canvas: &mut Canvas, layout: &Layout<'_>, across: f64, y: f64) -> f64 {
    let board = layout.board;
    let (wide, thick) = (mm(board.width).max(0.1), mm(board.thickness).max(0.1));
    let scale = across.min(300.0 / wide).min(84.0 / thick);
    let (x, top) = (36.0, y + 32.0);
    let frame = Frame { left: x, top, right: x + wide * scale, bottom: top + thick * scale };
    canvas.text((x, top - 17.0), "End, from the marked end", SMALL, Anchor::Start, "t b");
    canvas.text((x, top - 6.0), &grain(layout), SMALL, Anchor::Start, "t");
    canvas.rect(frame, "board", "end");
    canvas.clipped(frame, |c| rings(c, board.grain, frame, scale));
    canvas.text((x, frame.bottom + 10.0), "ref. edge", 8.5, Anchor::Start, "t soft");
    let thick = face(layout);
    let beside = (frame.right + 5.0, f64::midpoint(frame.top, frame.bottom) + 3.0);
    canvas.text(beside, &thick, SMALL, Anchor::Start, "t");
    frame.bottom + 14.0
}

/// Sections whose end views are the same.
fn alike<'a, 'b>(layout: &'b Layout<'a>) -> Vec<Vec<&'b Part<'a>>> {
    let shape = |s: &Section| {
        let rip = |r: &Rip| {
            let leaves: Vec<Length> = r.leaves.iter().map(|l| l.thickness).collect();
            (r.near, r.far, leaves)
        };
        (s.face, s.rips.iter().map(rip).collect::<Vec<_>>())
    };
    let mut out: Vec<Vec<&Part<'a>>> = Vec::new();
    for part in &layout.sections {
        let same = out.iter_mut().find(|g| {
            g.first().is_some_and(|p| {
                shape(p.section) == shape(part.section) && p.thickness == part.thickness
            })
        });
        match same {
            Some(group) => group.push(part),
            None => out.push(vec![part]),
        }
    }
    out
}

/// An end view: where the end lies in the drawing, and its scale.
struct View<'a> {
    layout: &'a Layout<'a>,
    part: &'a Part<'a>,
    frame: Frame,
    scale: f64,
    /// What planing takes off the marked face and off the other, drawing units.
    planed: (f64, f64),
    /// Have all rips room for their names?
    roomy: bool,
}

fn one(
    canvas: &mut Canvas,
    layout: &Layout<'_>,
    part: &Part<'_>,
    parts: &[&Part<'_>],
    (x, y): (f64, f64),
    scale: f64,
) {
    let board = layout.board;
    let frame = Frame {
        left: x,
        top: y,
        right: x + mm(board.width) * scale,
        bottom: y + mm(board.thickness) * scale,
    };
    canvas.text((x, y - 17.0), &heading(parts), SMALL, Anchor::Start, "t b");
    canvas.text((x, y - 6.0), &grain(layout), SMALL, Anchor::Start, "t");
    canvas.rect(frame, "board", "end");
    canvas.clipped(frame, |c| rings(c, layout.board.grain, frame, scale));
    let lost = mm(board.thickness - part.thickness) * scale;
    let planed = match part.section.face {
        Face::Kept => (0.0, 0.0),
        Face::Flattened if board.bow > Length::ZERO => (lost, 0.0),
        Face::Flattened => (0.0, lost),
    };
    let view = View { layout, part, frame, scale, planed, roomy: roomy(part, scale) };
    view.planing(canvas, lost);
    for r in 0..part.section.rips.len() {
        view.rip(canvas, r);
    }
    view.sides(canvas);
}

fn heading(parts: &[&Part<'_>]) -> String {
    format!("{}, from the marked end", title(parts))
}

fn title(parts: &[&Part<'_>]) -> String {
    let names: Vec<&str> = parts.iter().map(|p| p.letter.as_str()).collect();
    match names.as_slice() {
        [one] => format!("End of section {one}"),
        [first, .., last] if names.len() > 4 => format!("End of sections {first} to {last}"),
        _ => format!("End of sections {}", names.join(", ")),
    }
}

/// Do the names of all rips fit into them?
fn roomy(part: &Part<'_>, scale: f64) -> bool {
    let widest = format!("{}a", part.section.rips.len());
    part.section.rips.iter().all(|rip| {
        let text =
            if rip.leaves.len() > 1 { widest.as_str() } else { widest.trim_end_matches('a') };
        width(text, NAME) <= mm(rip.far - rip.near) * scale + 1.5
    })
}

impl View<'_> {
    /// The line down to which the face is planed flat.
    fn planing(&self, canvas: &mut Canvas, lost: f64) {
        let frame = self.frame;
        if lost > 0.0 {
            let hollow = self.layout.board.bow > Length::ZERO;
            let line =
                if hollow { frame.top + self.planed.0 } else { frame.bottom - self.planed.1 };
            canvas.line((frame.left, line), (frame.right, line), "true");
        }
    }

    /// A rip with its kerf and its leaves.
    fn rip(&self, canvas: &mut Canvas, r: usize) {
        let Some(rip) = self.part.section.rips.get(r) else { return };
        let (frame, scale) = (self.frame, self.scale);
        let (left, right) = (frame.left + mm(rip.near) * scale, frame.left + mm(rip.far) * scale);
        let mut top = frame.top + self.planed.0;
        let lowest = frame.bottom - self.planed.1;
        let end = (right + mm(self.part.kerf) * scale).min(frame.right);
        canvas.rect(Frame { left: right, top, right: end, bottom: lowest }, "kerf", "");
        let kerf = mm(self.layout.job.shop.resaw_kerf.unwrap_or_default()) * scale;
        for (l, leaf) in rip.leaves.iter().enumerate() {
            let bottom = top + mm(leaf.thickness) * scale;
            let shape = Frame { left, top, right, bottom };
            canvas.rect(shape, "cut", &format!("e{r}.{l}"));
            if l + 1 < rip.leaves.len() {
                canvas.rect(Frame { left, top: bottom, right, bottom: bottom + kerf }, "kerf", "");
            }
            self.name(canvas, (r, l), rip.leaves.len(), shape);
            top = bottom + kerf;
        }
    }

    /// The name of a leaf in its shape; where rips are too narrow, under every fifth.
    fn name(&self, canvas: &mut Canvas, (r, l): (usize, usize), leaves: usize, shape: Frame) {
        let letter = if leaves > 1 { letters(l).to_lowercase() } else { String::new() };
        let text = format!("{}{letter}", r + 1);
        let middle = f64::midpoint(shape.left, shape.right);
        if self.roomy && shape.bottom - shape.top >= NAME - 1.0 {
            let at = (middle, f64::midpoint(shape.top, shape.bottom) + 2.8);
            canvas.text(at, &text, NAME, Anchor::Middle, "t b");
        } else if !self.roomy && (r == 0 || (r + 1) % 5 == 0) && l == 0 {
            let at = (middle, self.frame.bottom + 9.0);
            canvas.text(at, &text, NAME, Anchor::Middle, "t");
        }
    }

    /// Which side is the reference edge, and which face is up.
    fn sides(&self, canvas: &mut Canvas) {
        let frame = self.frame;
        let below = frame.bottom + if self.roomy { 10.0 } else { 19.0 };
        canvas.text((frame.left, below), "ref. edge", 8.5, Anchor::Start, "t soft");
        let thick = face(self.layout);
        let beside = (frame.right + 5.0, f64::midpoint(frame.top, frame.bottom) + 3.0);
        canvas.text(beside, &thick, SMALL, Anchor::Start, "t");
    }
}

fn face(layout: &Layout<'_>) -> String {
    format!("{}, marked face above", near(layout.board.thickness, layout.units()))
}

fn grain(layout: &Layout<'_>) -> String {
    let units = layout.units();
    match layout.board.grain {
        None => "rings not measured".to_owned(),
        Some(Grain::Rings(angle)) => format!("rings at {angle} to the wide face"),
        Some(Grain::Pith { across, depth }) => {
            let side = if across < Length::ZERO { "outside" } else { "in from" };
            let level = if depth < Length::ZERO { "above" } else { "below" };
            format!(
                "pith {} {side} ref. edge, {} {level} face",
                near(across.abs(), units),
                near(depth.abs(), units)
            )
        }
    }
}

fn rings(canvas: &mut Canvas, grain: Option<Grain>, frame: Frame, scale: f64) {
    let (wide, tall) = (frame.right - frame.left, frame.bottom - frame.top);
    match grain {
        None => {}
        Some(Grain::Rings(angle)) => {
            // Lines with this slope, spaced by their distance from one another.
            let slope = angle.degrees().to_radians();
            let (cos, sin) = (slope.cos(), slope.sin());
            let reach = wide + tall;
            let middle =
                (f64::midpoint(frame.left, frame.right), f64::midpoint(frame.top, frame.bottom));
            #[allow(clippy::cast_possible_truncation)]
            let count = (reach / 2.0 / RINGS).ceil() as i32;
            for i in -count..=count {
                let off = f64::from(i) * RINGS;
                let (px, py) = (middle.0 + off * sin, middle.1 + off * cos);
                canvas.line(
                    (px - reach * cos, py + reach * sin),
                    (px + reach * cos, py - reach * sin),
                    "ring",
                );
            }
        }
        Some(Grain::Pith { across, depth }) => {
            let pith = (frame.left + mm(across) * scale, frame.top + mm(depth) * scale);
            let dx = (frame.left - pith.0).max(pith.0 - frame.right).max(0.0);
            let dy = (frame.top - pith.1).max(pith.1 - frame.bottom).max(0.0);
            let nearest = dx.hypot(dy);
            let fx = (frame.left - pith.0).abs().max((frame.right - pith.0).abs());
            let fy = (frame.top - pith.1).abs().max((frame.bottom - pith.1).abs());
            let farthest = fx.hypot(fy);
            let first = (nearest / RINGS).floor();
            #[allow(clippy::cast_possible_truncation)]
            let count = (((farthest - nearest) / RINGS).ceil() as i32 + 1).min(400);
            for i in 0..=count {
                let radius = (first + f64::from(i)) * RINGS;
                if radius > 0.0 {
                    canvas.circle(pith, radius, "ring");
                }
            }
            canvas.line((pith.0 - 4.0, pith.1), (pith.0 + 4.0, pith.1), "mark");
            canvas.line((pith.0, pith.1 - 4.0), (pith.0, pith.1 + 4.0), "mark");
        }
    }
}
