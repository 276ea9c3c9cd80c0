//! The drawing of one board: from above, on edge where it is bowed, and from its end.

use crate::length::{Length, Units};
use crate::plan::Edge;
use crate::report::draw::axis::{Axis, mm};
use crate::report::draw::canvas::{Anchor, Canvas, Frame, Point, WIDTH};
use crate::report::draw::end;
use crate::report::draw::marks::{GAP, Mark, crosscut_marks};
use crate::report::kinds::{self, Sign};
use crate::report::text_width::{lines, width};
use crate::shop::layout::{Layout, events};
use crate::shop::offcuts::{Keep, Place};
use crate::shop::part::Part;
use crate::shop::words::{about, by, near};
use crate::text::plain;

/// Left end of the board, drawing units.
pub(super) const LEFT: f64 = 36.0;
/// Its length, drawing units; the rest to the right holds the last dimension and the bar.
pub(super) const ROOM: f64 = 612.0;
/// Type sizes.
pub(super) const SMALL: f64 = 10.0;
const TYPE: f64 = 10.5;

/// The maps from the board to the drawing.
pub(crate) struct View<'a> {
    pub(super) layout: &'a Layout<'a>,
    pub(super) axis: Axis,
    /// Drawing units for a millimetre across the board.
    pub(super) scale: f64,
    /// Where the chord of the reference edge lies.
    pub(super) top: f64,
}

/// The drawing of a board as SVG text.
pub(crate) fn draw(layout: &Layout<'_>, signs: &[Sign], alone: bool) -> String {
    drawn(layout, signs, alone, across_scale(layout))
}

/// The drawing for a page that has little room: no higher than its lines of type take.
pub(crate) fn draw_low(layout: &Layout<'_>, signs: &[Sign]) -> String {
    let (lines, wide) = (lines_scale(layout, LOW), mm(layout.board.width).max(0.1));
    drawn(layout, signs, false, lines.max(60.0 / wide).min(across_scale(layout)))
}

fn drawn(layout: &Layout<'_>, signs: &[Sign], alone: bool, scale: f64) -> String {
    let mut canvas = Canvas::new(format!("b{}", layout.index));
    let used: Vec<&Sign> =
        signs.iter().filter(|s| layout.board.zones.iter().any(|z| z.kind == s.kind)).collect();
    let mut hatches: Vec<usize> = used.iter().map(|s| s.hatch).collect();
    hatches.sort_unstable();
    hatches.dedup();
    canvas.define_hatches(hatches);

    let held: Vec<(Length, Length)> = layout.sections.iter().map(|p| (p.from, p.to)).collect();
    let axis = Axis::new(layout.board.length, &events(layout), &held, LEFT, ROOM);
    let head = if alone { heading(&mut canvas, layout) } else { 0.0 };
    let (rows, marks) = crosscut_marks(layout, &axis);
    let mut view = View { layout, axis, scale, top: 0.0 };
    let (low, high) = view.bends();
    #[allow(clippy::cast_precision_loss)]
    let dims = head + 14.0 + 13.0 * rows as f64;
    view.top = dims + 16.0 - low * scale;

    view.outline(&mut canvas);
    view.pieces(&mut canvas);
    view.zones(&mut canvas, signs);
    view.keeps(&mut canvas);
    view.break_marks(&mut canvas, high);
    view.crosscuts(&mut canvas, &marks, dims);
    view.edges(&mut canvas, &marks);
    let notes = view.labels(&mut canvas, signs, alone);
    let mut y = view.top + (high + mm(layout.board.width)) * scale;
    y = view.brackets(&mut canvas, y);
    y = view.on_edge(&mut canvas, y);
    y = end::draw(&mut canvas, layout, scale, y);
    y = view.scale_notes(&mut canvas, y);
    y = legend(&mut canvas, &used, y);
    y = footnotes(&mut canvas, &notes, y);
    canvas.finish(y + 4.0, &format!("Board {}, cut plan", layout.title), alone)
}

/// Wide enough for a line of type in the narrowest rip, within what a page holds.
pub(super) fn across_scale(layout: &Layout<'_>) -> f64 {
    let scale = lines_scale(layout, ROOMY);
    let wide = mm(layout.board.width).max(0.1);
    let most = layout.cut.sections.iter().map(|s| s.rips.len()).max().unwrap_or(0);
    let tallest = match most {
        0..=6 => 205.0,
        7..=16 => 270.0,
        17..=28 => 440.0,
        _ => 620.0,
    };
    let roomy = scale.clamp(120.0 / wide, tallest / wide).min(2.6);
    // Strips of a few millimetres: higher, as far as it takes for a line of the smallest type.
    roomy.max(lines_scale(layout, FINE).min(440.0 / wide).min(3.6))
}

/// Drawing units for a line of type in a rip, and where there is little room.
const ROOMY: f64 = 17.0;
const LOW: f64 = 12.5;
/// The least that a line of type takes.
const FINE: f64 = 8.5;

/// Wide enough for a line of type in every rip.
fn lines_scale(layout: &Layout<'_>, line: f64) -> f64 {
    let mut scale = 0.0_f64;
    for section in &layout.cut.sections {
        for rip in &section.rips {
            #[allow(clippy::cast_precision_loss)]
            let lanes = rip.leaves.len().max(1) as f64;
            scale = scale.max(line * lanes / mm(rip.far - rip.near).max(0.1));
        }
    }
    scale
}

/// The board's name and what it is; gives the room that takes.
fn heading(canvas: &mut Canvas, layout: &Layout<'_>) -> f64 {
    let b = layout.board;
    let units = layout.units();
    let y = canvas.wrapped((LEFT, 16.0), &layout.title, 14.0, 660.0, "t b");
    let sizes = by(&[b.length, b.width, b.thickness], units);
    let line = format!("{} · {sizes}", plain(b.species.name()));
    canvas.wrapped((LEFT, y - 2.0), &line, TYPE, 660.0, "t") - 8.0
}

impl View<'_> {
    /// How far the reference edge stands off its chord at a place, in millimetres.
    fn bend(&self, x: Length) -> f64 {
        let (c, l) = (mm(self.layout.board.crook), mm(self.layout.board.length).max(1e-6));
        let x = mm(x);
        4.0 * c * x * (l - x) / (l * l)
    }

    /// The least and the greatest stand-off of the reference edge.
    pub(super) fn bends(&self) -> (f64, f64) {
        let c = mm(self.layout.board.crook);
        (c.min(0.0), c.max(0.0))
    }

    /// A point of the board, across measured from the (curved) reference edge.
    pub(super) fn point(&self, x: Length, across: Length) -> Point {
        (self.axis.at(x), self.top + (self.bend(x) + mm(across)) * self.scale)
    }

    /// A point of a section, in the section's own coordinates.
    pub(super) fn within(&self, part: &Part<'_>, x: Length, across: Length) -> Point {
        if part.section.edge == Edge::Kept {
            return self.point(x, across);
        }
        let (x0, x1) = (part.section.from, part.section.to);
        let share = mm(x - x0) / mm(x1 - x0).max(1e-6);
        let chord = self.bend(x0) + (self.bend(x1) - self.bend(x0)) * share;
        (self.axis.at(x), self.top + (chord + mm(across)) * self.scale)
    }

    /// Places along a stretch at which a curve is drawn.
    fn along(&self, from: Length, to: Length) -> Vec<Length> {
        if self.layout.board.crook == Length::ZERO {
            return vec![from, to];
        }
        const PARTS: i64 = 16;
        let step = (to - from).units();
        (0..=PARTS)
            .map(|i| {
                let off = i128::from(step) * i128::from(i) / i128::from(PARTS);
                from + Length::from_units(i64::try_from(off).unwrap_or(0))
            })
            .collect()
    }

    /// A shape that follows the board's curve.
    fn band(&self, from: Length, to: Length, near: Length, far: Length) -> Vec<Point> {
        let xs = self.along(from, to);
        let there = xs.iter().map(|&x| self.point(x, near));
        there.chain(xs.iter().rev().map(|&x| self.point(x, far))).collect()
    }

    /// A shape in a section.
    fn piece(
        &self,
        part: &Part<'_>,
        from: Length,
        to: Length,
        near: Length,
        far: Length,
    ) -> Vec<Point> {
        let xs =
            if part.section.edge == Edge::Kept { self.along(from, to) } else { vec![from, to] };
        let there = xs.iter().map(|&x| self.within(part, x, near));
        there.chain(xs.iter().rev().map(|&x| self.within(part, x, far))).collect()
    }

    pub(super) fn outline(&self, canvas: &mut Canvas) {
        let board = self.layout.board;
        let shape = self.band(Length::ZERO, board.length, Length::ZERO, board.width);
        canvas.polygon(&shape, "board", "");
    }

    /// Kerfs, rips and strips.
    fn pieces(&self, canvas: &mut Canvas) {
        for (s, part) in self.layout.sections.iter().enumerate() {
            let kerf = part.kerf;
            let (from, to) = (part.from, part.to);
            let mut edge = part.line;
            for (r, rip) in part.section.rips.iter().enumerate() {
                if rip.near - kerf > edge {
                    let shape = self.piece(part, from, to, rip.near - kerf, rip.near);
                    canvas.polygon(&shape, "kerf", "");
                }
                let end = (rip.far + kerf).min(part.limit);
                if end > rip.far {
                    let next = part.section.rips.get(r + 1).map_or(end, |n| end.min(n.near));
                    canvas.polygon(&self.piece(part, from, to, rip.far, next), "kerf", "");
                }
                edge = rip.far + kerf;
                // Leaves lie over one another in the thickness: a line along the board between
                // them would be read as a rip line, so they get none.
                let class = if rip.leaves.len() > 1 { "leaf" } else { "strip" };
                for (l, leaf) in rip.leaves.iter().enumerate() {
                    let (near, far) = lane(rip.near, rip.far, l, rip.leaves.len());
                    for (n, strip) in leaf.strips.iter().enumerate() {
                        let shape = self.piece(part, strip.from, strip.to, near, far);
                        canvas.polygon(&shape, class, &format!("{s}.{r}.{l}.{n}"));
                        if class == "leaf" {
                            for at in [strip.from, strip.to] {
                                let ends =
                                    (self.within(part, at, near), self.within(part, at, far));
                                canvas.line(ends.0, ends.1, "dim");
                            }
                        }
                    }
                }
                let shape = self.piece(part, from, to, rip.near, rip.far);
                canvas.polygon(&shape, "rip", &format!("{s}.{r}"));
            }
        }
    }

    pub(super) fn zones(&self, canvas: &mut Canvas, signs: &[Sign]) {
        for (i, zone) in self.layout.board.zones.iter().enumerate() {
            let hatch = kinds::find(signs, &zone.kind).map_or(0, |s| s.hatch);
            let shape = self.band(zone.from, zone.to, zone.near, zone.far);
            canvas.hatched(&shape, hatch, &format!("z{i}"));
        }
    }

    pub(super) fn keep_shape(&self, keep: &Keep) -> Vec<Point> {
        let section = keep.place.section().and_then(|s| self.layout.sections.get(s));
        let (mut near, mut far) = (keep.near, keep.far);
        let leaves = |r: usize| {
            let rip = section.and_then(|part| part.section.rips.get(r));
            rip.map_or(1, |rip| rip.leaves.len().max(1))
        };
        match keep.place {
            Place::Along | Place::Beside(_) => {}
            Place::Stick(_, r, l) => (near, far) = lane(near, far, l, leaves(r)),
            // It lies under the leaves: named in the lane of the last.
            Place::Below(_, r) => (near, far) = lane(near, far, leaves(r) - 1, leaves(r)),
        }
        match section {
            Some(part) => self.piece(part, keep.from, keep.to, near, far),
            None => self.band(keep.from, keep.to, near, far),
        }
    }

    fn keeps(&self, canvas: &mut Canvas) {
        // What is resawn off below a strip lies under it: from above nothing is seen of it, and a line
        // there would be read as a rip.
        let seen = |k: &&Keep| !matches!(k.place, Place::Below(..));
        for keep in self.layout.keeps.iter().filter(seen) {
            canvas.polygon(&self.keep_shape(keep), "keep", &format!("k{}", keep.number));
        }
    }

    pub(super) fn break_marks(&self, canvas: &mut Canvas, high: f64) {
        let (low, _) = self.bends();
        for b in self.axis.breaks() {
            let (x0, x1) = (self.axis.at_mm(b.from), self.axis.at_mm(b.to));
            let (top, bottom) = (
                self.top + low * self.scale - 6.0,
                self.top + (high + mm(self.layout.board.width)) * self.scale + 6.0,
            );
            let (a, z) = (x0 + 4.0, x1 - 4.0);
            let zig = |x: f64| {
                let mid = f64::midpoint(top, bottom);
                vec![
                    (x, top),
                    (x, mid - 7.0),
                    (x + 4.0, mid - 3.0),
                    (x - 4.0, mid + 3.0),
                    (x, mid + 7.0),
                    (x, bottom),
                ]
            };
            let mut gap = zig(a);
            gap.extend(zig(z).into_iter().rev());
            canvas.polygon(&gap, "gap", "");
            canvas.polyline(&zig(a), "cut");
            canvas.polyline(&zig(z), "cut");
            canvas.take(Frame { left: x0 - 2.0, top, right: x1 + 2.0, bottom });
        }
    }

    pub(super) fn crosscuts(&self, canvas: &mut Canvas, marks: &[Mark], dims: f64) {
        let width = self.layout.board.width;
        for mark in marks {
            let x = self.axis.at(mark.place);
            #[allow(clippy::cast_precision_loss)]
            let y = dims - 2.0 - 13.0 * mark.row as f64;
            let edge = self.point(mark.place, Length::ZERO);
            canvas.line((x, y - 8.0), edge, "dim");
            let (at, anchor) =
                if mark.before { (x - GAP, Anchor::End) } else { (x + GAP, Anchor::Start) };
            canvas.text((at, y), &mark.text, SMALL, anchor, "t");
            if mark.cut {
                let far = self.point(mark.place, width);
                canvas.line((x, edge.1 - 3.0), (x, far.1 + 3.0), "cut");
            }
        }
        let (x, edge) = self.point(Length::ZERO, Length::ZERO);
        canvas.line((x, dims - 10.0), (x, edge), "dim");
        canvas.text((x - 3.0, dims - 2.0), "0", SMALL, Anchor::End, "t");
    }

    /// The names of the edges and ends, and the board's width.
    pub(super) fn edges(&self, canvas: &mut Canvas, marks: &[Mark]) {
        let board = self.layout.board;
        let middle = mm(board.width) / 2.0 * self.scale + self.top;
        canvas.upright((LEFT - 20.0, middle), "MARKED END", 8.5);
        canvas.polygon(
            &[(LEFT - 10.0, middle - 5.0), (LEFT - 3.0, middle), (LEFT - 10.0, middle + 5.0)],
            "dot",
            "",
        );
        self.reference_edge(canvas, marks);
        // The width, at the far end.
        let (right, top) = self.point(board.length, Length::ZERO);
        let (_, bottom) = self.point(board.length, board.width);
        let x = right + 9.0;
        canvas.line((x, top), (x, bottom), "dim");
        canvas.line((x - 3.0, top), (x + 3.0, top), "dim");
        canvas.line((x - 3.0, bottom), (x + 3.0, bottom), "dim");
        let text = near(board.width, self.layout.units());
        // A figure that is longer than the board is wide stands lower, clear of the dimensions above.
        let middle = f64::midpoint(top, bottom).max(top + width(&text, SMALL) / 2.0);
        canvas.upright((x + 11.0, middle), &text, SMALL);
    }

    /// The name of the reference edge, as near to its middle as no line from a dimension runs through.
    fn reference_edge(&self, canvas: &mut Canvas, marks: &[Mark]) {
        const NAME: &str = "REFERENCE EDGE";
        let board = self.layout.board;
        let half = width(NAME, 8.5) / 2.0 + 2.0;
        let lines = marks.iter().map(|m| (self.axis.at(m.place), self.axis.at(m.place)));
        let breaks =
            self.axis.breaks().iter().map(|b| (self.axis.at_mm(b.from), self.axis.at_mm(b.to)));
        let taken: Vec<(f64, f64)> = lines.chain(breaks).collect();
        let place = |share: i64| {
            let along = i128::from(board.length.units()) * i128::from(share) / 200;
            Length::from_units(i64::try_from(along).unwrap_or(0))
        };
        let free = |share: &i64| {
            let x = self.axis.at(place(*share));
            x - half >= LEFT && taken.iter().all(|(a, b)| *b < x - half || x + half < *a)
        };
        let shares = (0..90).flat_map(|off| [100 + off, 100 - off]);
        let share = shares.into_iter().find(free).unwrap_or(100);
        let (x, y) = self.point(place(share), Length::ZERO);
        // Over a curve its ends would meet the edge.
        let beside = [share - 18, share + 18].map(|s| self.point(place(s), Length::ZERO).1);
        let high = beside.into_iter().fold(y, f64::min);
        canvas.text((x, high - 4.0), NAME, 8.5, Anchor::Middle, "t soft");
    }

    /// Under the board: each section's name, length, and what is done about its bends.
    fn brackets(&self, canvas: &mut Canvas, y: f64) -> f64 {
        let units = self.layout.units();
        for part in &self.layout.sections {
            let (x0, x1) = (self.axis.at(part.from), self.axis.at(part.to));
            let line = y + 8.0;
            canvas.polyline(&[(x0, line - 4.0), (x0, line), (x1, line), (x1, line - 4.0)], "dim");
            let mut texts = vec![format!(
                "Section {}: {} long, {}",
                part.letter,
                near(part.length(), units),
                doing(self.layout, part)
            )];
            texts.push(format!("{}: {}", part.letter, near(part.length(), units)));
            texts.push(part.letter.clone());
            let middle = f64::midpoint(x0, x1);
            if let Some(text) = texts.iter().find(|t| width(t, TYPE) <= x1 - x0 + 4.0) {
                canvas.text((middle, line + 12.0), text, TYPE, Anchor::Middle, "t b");
            } else {
                canvas.text((middle, line + 12.0), &part.letter, SMALL, Anchor::Middle, "t b");
            }
        }
        y + 24.0
    }

    /// The board on edge, where it is bowed.
    pub(super) fn on_edge(&self, canvas: &mut Canvas, y: f64) -> f64 {
        let board = self.layout.board;
        if board.bow == Length::ZERO {
            return y;
        }
        let (bow, thick) = (mm(board.bow), mm(board.thickness));
        let scale = self.scale.min(70.0 / (thick + bow.abs()));
        let top = y + 16.0 + (-bow).max(0.0) * scale;
        let length = mm(board.length).max(1e-6);
        let drop = |x: Length| 4.0 * bow * mm(x) * (length - mm(x)) / (length * length);
        let at = |x: Length, down: f64| (self.axis.at(x), top + (drop(x) + down) * scale);
        let xs: Vec<Length> = (0..=16_i64)
            .map(|i| {
                let part = i128::from(board.length.units()) * i128::from(i) / 16;
                Length::from_units(i64::try_from(part).unwrap_or(0))
            })
            .collect();
        let mut shape: Vec<Point> = xs.iter().map(|&x| at(x, 0.0)).collect();
        shape.extend(xs.iter().rev().map(|&x| at(x, thick)));
        canvas.polygon(&shape, "board", "edge");
        for section in &self.layout.sections {
            for x in [section.from, section.to] {
                canvas.line(at(x, 0.0), at(x, thick), "cut");
            }
        }
        let how = if board.bow > Length::ZERO { "hollow" } else { "crowned" };
        let text = format!(
            "On edge: marked face above, {how} by {}{}",
            near(board.bow.abs(), self.layout.units()),
            if (scale - self.scale).abs() > 1e-9 {
                "; thickness and bow at a smaller scale"
            } else {
                ""
            }
        );
        canvas.text((LEFT, y + 10.0), &text, SMALL, Anchor::Start, "t");
        top + (bow.max(0.0) + thick) * scale + 10.0
    }

    /// Scale bars for both directions, and what they mean.
    pub(super) fn scale_notes(&self, canvas: &mut Canvas, y: f64) -> f64 {
        let units = self.layout.units();
        let (bar, text) = nice(units, 100.0 / self.axis.scale());
        let (line, x) = (y + 12.0, LEFT);
        let end = x + mm(bar) * self.axis.scale();
        canvas.polyline(&[(x, line - 4.0), (x, line), (end, line), (end, line - 4.0)], "bar");
        canvas.text((end + 5.0, line + 1.0), &format!("{text} along"), SMALL, Anchor::Start, "t");
        let (bar, text) = nice(units, 45.0 / self.scale);
        let x = 230.0;
        let end = x + mm(bar) * self.scale;
        canvas.polyline(&[(x, line - 4.0), (x, line), (end, line), (end, line - 4.0)], "bar");
        canvas.text((end + 5.0, line + 1.0), &format!("{text} across"), SMALL, Anchor::Start, "t");
        let ratio = self.scale / self.axis.scale();
        let mut note = "True to scale both ways.".to_owned();
        if !(0.95..=1.05).contains(&ratio) {
            note = format!("Widths and bends drawn {ratio:.1} times larger than lengths.");
        }
        canvas.text((WIDTH - 20.0, line + 1.0), &note, SMALL, Anchor::End, "t");
        let mut y = line + 6.0;
        if !self.axis.breaks().is_empty() {
            let out: Vec<String> = self
                .axis
                .breaks()
                .iter()
                .filter_map(|b| Length::from_f64(b.to - b.from, Units::Mm))
                .map(|l| about(l, units).trim_start_matches('~').to_owned())
                .collect();
            let text = format!("Left out at each break mark, from the left: {}.", out.join(", "));
            y += 11.0;
            canvas.text((LEFT, y), &text, SMALL, Anchor::Start, "t");
        }
        y + 4.0
    }
}

/// What is done about a section's bends, in words.
pub(crate) fn doing(layout: &Layout<'_>, part: &Part<'_>) -> String {
    let crook = layout.board.crook != Length::ZERO;
    let bow = layout.board.bow != Length::ZERO;
    let mut out = Vec::new();
    match part.section.edge {
        Edge::Lined => out.push("edge straightened"),
        Edge::Kept if crook => out.push("edge keeps its curve"),
        Edge::Kept => {}
    }
    match part.section.face {
        crate::plan::Face::Flattened => out.push("face flattened"),
        crate::plan::Face::Kept if bow => out.push("face keeps its bow"),
        crate::plan::Face::Kept => {}
    }
    if out.is_empty() { "edge and face straight".to_owned() } else { out.join(", ") }
}

/// Length, width and thickness of an offcut.
pub(crate) fn keep_size(keep: &Keep, units: Units) -> String {
    by(&[keep.to - keep.from, keep.far - keep.near, keep.thickness], units)
}

/// The share of a rip's width in which one of its leaves is shown.
pub(super) fn lane(near: Length, far: Length, leaf: usize, leaves: usize) -> (Length, Length) {
    let count = i64::try_from(leaves.max(1)).unwrap_or(1);
    let at = i64::try_from(leaf).unwrap_or(0);
    let part = |i: i64| near + Length::from_units((far - near).units() * i / count);
    (part(at), part(at + 1))
}

/// A round length near to so many millimetres, for a scale bar, and its name.
fn nice(units: Units, wanted: f64) -> (Length, String) {
    let steps: &[i64] = match units {
        Units::Inch => &[1, 2, 3, 6, 12, 24, 48],
        Units::Mm => &[10, 20, 50, 100, 200, 500, 1000],
    };
    let fits = steps.iter().rev().find(|&&s| mm(units.one() * s) <= wanted);
    let bar = units.one() * *fits.unwrap_or(&1);
    (bar, bar.with_unit(units))
}

/// The hatches on this board and their names.
pub(super) fn legend(canvas: &mut Canvas, used: &[&Sign], y: f64) -> f64 {
    let (mut x, mut y) = (LEFT, y);
    if used.is_empty() {
        return y;
    }
    y += 6.0;
    for sign in used {
        let kind = plain(sign.kind.as_str());
        let texts = lines(&format!("{} = {kind}", sign.code), SMALL, 620.0);
        let wide = texts.iter().map(|t| width(t, SMALL)).fold(0.0, f64::max) + 46.0;
        if x > LEFT && x + wide > WIDTH - 10.0 {
            x = LEFT;
            y += 15.0;
        }
        let swatch = [(x, y), (x + 24.0, y), (x + 24.0, y + 11.0), (x, y + 11.0)];
        canvas.hatched(&swatch, sign.hatch, "");
        for (n, text) in texts.iter().enumerate() {
            y += if n > 0 { 11.0 } else { 0.0 };
            canvas.text((x + 28.0, y + 9.0), text, SMALL, Anchor::Start, "t");
        }
        x += wide;
    }
    y + 16.0
}

/// What found no place in the drawing.
fn footnotes(canvas: &mut Canvas, notes: &[String], y: f64) -> f64 {
    let (mut x, mut y) = (LEFT, y + 4.0);
    for note in notes {
        let texts = lines(note, SMALL, 650.0);
        let wide = texts.iter().map(|t| width(t, SMALL)).fold(0.0, f64::max) + 14.0;
        if x > LEFT && x + wide > WIDTH - 10.0 {
            x = LEFT;
            y += 11.0;
        }
        for (n, text) in texts.iter().enumerate() {
            y += if n > 0 { 11.0 } else { 0.0 };
            canvas.text((x, y + 8.0), text, SMALL, Anchor::Start, "t");
        }
        x += wide;
    }
    if notes.is_empty() { y } else { y + 12.0 }
}
