//! The labels in the drawing of a board, each where it meets no other; what finds no place is
//! listed beneath.

use crate::length::Length;
use crate::report::draw::board::{LEFT, ROOM, SMALL, View, keep_size, lane};
use crate::report::draw::canvas::{Canvas, Point};
use crate::report::kinds::{self, Sign};
use crate::report::text_width::width;
use crate::shop::offcuts::Keep;
use crate::shop::part::Part;
use crate::shop::words::{bare, near};
use crate::text::plain;

impl View<'_> {
    /// Labels of zones, rips, strips and offcuts; what found no place comes back as notes.
    pub(super) fn labels(&self, canvas: &mut Canvas, signs: &[Sign], alone: bool) -> Vec<String> {
        let mut notes = Vec::new();
        let labels = kinds::labels(self.layout.board, signs);
        for (zone, label) in self.layout.board.zones.iter().zip(&labels) {
            let (x0, x1) = (self.axis.at(zone.from), self.axis.at(zone.to));
            let (_, y0) = self.point(zone.from, zone.near);
            let (_, y1) = self.point(zone.from, zone.far);
            let wide = width(label, SMALL);
            let (x, y) = (f64::midpoint(x0, x1) - wide / 2.0, f64::midpoint(y0, y1) + 3.5);
            let right = LEFT + ROOM - wide;
            let close = [(x, y), (x1 + 2.0, y), (x0 - wide - 2.0, y), (x, y1 + 9.0), (x, y0 - 3.0)];
            let far = (1..12).map(|i| (x + f64::from(i) * 12.0, y));
            let inside = move |p: &Point| p.0 >= LEFT && p.0 <= right;
            let spots = close.into_iter().chain(far).filter(inside);
            if canvas.place(spots, label, SMALL, "t b").is_none() {
                let kind = plain(zone.kind.as_str());
                notes.push(format!("{label} {kind}: at {}", near(zone.from, self.layout.units())));
            }
        }
        for keep in &self.layout.keeps {
            self.label_keep(canvas, keep, &mut notes);
        }
        // The page lists zones and offcuts beside the drawing.
        if !alone {
            notes.clear();
        }
        for part in &self.layout.sections {
            for r in 0..part.section.rips.len() {
                self.label_rip(canvas, part, r, &mut notes);
            }
        }
        notes
    }

    fn label_keep(&self, canvas: &mut Canvas, keep: &Keep, notes: &mut Vec<String>) {
        let shape = self.keep_shape(keep);
        let (Some(first), Some(last)) = (shape.first(), shape.last()) else { return };
        let (x0, x1) = (self.axis.at(keep.from), self.axis.at(keep.to));
        let size = keep_size(keep, self.layout.units());
        let long = format!("keep {}: {size}", keep.number);
        let short = format!("keep {}", keep.number);
        let tall = (last.1 - first.1).max(SMALL);
        for text in [&long, &short] {
            let wide = width(text, SMALL);
            if wide + 4.0 > x1 - x0 {
                continue;
            }
            let spots = (0..40)
                .map(|i| x0 + 4.0 + f64::from(i) * 14.0)
                .filter(|x| x + wide <= x1)
                .flat_map(|x| {
                    let (left, right) = (middle(&shape, x), middle(&shape, x + wide));
                    let lean = (right - left).atan2(wide).to_degrees();
                    // Up or down a line where the offcut is wide enough.
                    let room = tall / 2.0 - SMALL;
                    [0.0, 12.0, -12.0]
                        .into_iter()
                        .filter(move |off: &f64| off.abs() <= room.max(0.0))
                        .map(move |off| (x, left + off + 3.4, lean))
                });
            if canvas.place_leaning(spots, text, SMALL, "t").is_some() {
                if text == &short {
                    notes.push(long.clone());
                }
                return;
            }
        }
        notes.push(long);
    }

    /// The rip's name, its strips, and where it lies from the reference edge, as far as they fit.
    fn label_rip(&self, canvas: &mut Canvas, part: &Part<'_>, r: usize, notes: &mut Vec<String>) {
        let Some(rip) = part.section.rips.get(r) else { return };
        let units = self.layout.units();
        let lies = format!("{} to {}", bare(rip.near, units), bare(rip.far, units));
        for (l, leaf) in rip.leaves.iter().enumerate() {
            let (near, far) = lane(rip.near, rip.far, l, rip.leaves.len());
            let mut hidden = Vec::new();
            for (n, strip) in leaf.strips.iter().enumerate() {
                let a = self.within(part, strip.from, near);
                let b = self.within(part, strip.from, far);
                let c = self.within(part, strip.to, near);
                let tall = b.1 - a.1;
                let size = (tall * 0.86).clamp(7.5, SMALL);
                let room = c.0 - a.0 - 6.0;
                let code = if n == 0 { part.leaf_name(r, l) + " · " } else { String::new() };
                let last = n + 1 == leaf.strips.len() && l == 0;
                let id = plain(&strip.id);
                let tail = if last { format!(" · {lies}") } else { String::new() };
                let full = format!("{code}{id}{tail}");
                // A name is told whole or not at all: then its number stands for it, and the list
                // below the drawing has it.
                let number = id.rfind('.').map_or(String::new(), |at| id[at..].to_owned());
                let bare_code = code.trim_end_matches(" · ").to_owned();
                let mut shown = false;
                for text in [
                    full.clone(),
                    format!("{code}{id}"),
                    format!("{code}{number}{tail}"),
                    format!("{code}{number}"),
                    bare_code,
                ] {
                    let wide = width(&text, size);
                    if text.is_empty() || wide > room {
                        continue;
                    }
                    // A line of type in a curve lies truest at its summit: begin there.
                    let curved = part.crook != Length::ZERO;
                    let middle = f64::midpoint(a.0, c.0) - wide / 2.0;
                    let first = if curved { middle } else { a.0 + 3.0 };
                    let spots = (0..48).flat_map(|i| {
                        let step = f64::from(i) * 16.0;
                        [first + step, if curved { first - step } else { first + step }]
                    });
                    let spots = spots.filter(|x| *x >= a.0 + 2.0);
                    let spots = spots.filter(|x| x + wide <= c.0 - 2.0).map(|x| {
                        let at = |x: f64| {
                            let share = (x - a.0) / (c.0 - a.0).max(1e-6);
                            self.middle(part, strip.from, strip.to, near, far, share)
                        };
                        let (left, right) = (at(x), at(x + wide));
                        let lean = (right - left).atan2(wide).to_degrees();
                        // In a curve the line of type is its chord, moved half way to the arc.
                        let sag = (at(x + wide / 2.0) - f64::midpoint(left, right)) / 2.0;
                        (x, left + sag + size * 0.34, lean)
                    });
                    let class = if size < SMALL { "fine" } else { "on" };
                    if canvas.place_leaning(spots, &text, size, class).is_some() {
                        shown = text.contains(&id);
                        break;
                    }
                }
                if !shown {
                    hidden.push(id);
                }
            }
            if !hidden.is_empty() {
                notes.push(format!("{}: {}", part.leaf_name(r, l), hidden.join(", ")));
            }
        }
    }

    /// The middle of a lane at a share of the way from one end of a strip to the other.
    fn middle(
        &self,
        part: &Part<'_>,
        from: Length,
        to: Length,
        near: Length,
        far: Length,
        share: f64,
    ) -> f64 {
        #[allow(clippy::cast_possible_truncation)]
        let thousandths = (share.clamp(0.0, 1.0) * 1000.0) as i64;
        let along = i128::from((to - from).units()) * i128::from(thousandths) / 1000;
        let x = from + Length::from_units(i64::try_from(along).unwrap_or(0));
        let (a, b) = (self.within(part, x, near), self.within(part, x, far));
        f64::midpoint(a.1, b.1)
    }
}

/// The height midway between the near and the far side of a shape at a place along it; its
/// first half of corners is the near side, its second the far side backwards.
fn middle(shape: &[Point], x: f64) -> f64 {
    let side = |points: &mut dyn Iterator<Item = &Point>| {
        let mut last: Option<Point> = None;
        for &(px, py) in points {
            if let Some((lx, ly)) = last
                && px >= x
            {
                let share = ((x - lx) / (px - lx).max(1e-9)).clamp(0.0, 1.0);
                return ly + (py - ly) * share;
            }
            last = Some((px, py));
        }
        last.map_or(0.0, |(_, y)| y)
    };
    let (near, far) = shape.split_at(shape.len() / 2);
    f64::midpoint(side(&mut near.iter()), side(&mut far.iter().rev()))
}
