//! The labels in the drawing of a board, each where it meets no other; what finds no place is
//! listed beneath.

use crate::length::Length;
use crate::lumber::board::Zone;
use crate::report::draw::board::{LEFT, ROOM, SMALL, View, keep_size, lane};
use crate::report::draw::canvas::{Canvas, Frame, Point};
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
        self.lines(canvas);
        let labels = kinds::labels(self.layout.board, signs);
        for (i, label) in labels.iter().enumerate() {
            self.label_zone(canvas, i, label, &mut notes);
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

    /// Lines across the board that labels keep clear of: crosscuts, and ends of strips and offcuts.
    fn lines(&self, canvas: &mut Canvas) {
        let board = self.layout.board;
        for part in &self.layout.sections {
            for x in [part.from, part.to] {
                canvas.avoid(self.point(x, Length::ZERO), self.point(x, board.width));
            }
            for rip in &part.section.rips {
                for (l, leaf) in rip.leaves.iter().enumerate() {
                    let (near, far) = lane(rip.near, rip.far, l, rip.leaves.len());
                    for x in leaf.strips.iter().flat_map(|s| [s.from, s.to]) {
                        canvas.avoid(self.within(part, x, near), self.within(part, x, far));
                    }
                }
            }
        }
        for shape in self.layout.keeps.iter().map(|keep| self.keep_shape(keep)) {
            let half = shape.len() / 2;
            if let [Some(a), Some(b), Some(c), Some(d)] =
                [0, shape.len().wrapping_sub(1), half.wrapping_sub(1), half].map(|i| shape.get(i))
            {
                canvas.avoid(*a, *b);
                canvas.avoid(*c, *d);
            }
        }
    }

    /// The box of a zone in the drawing.
    fn zone_box(&self, zone: &Zone) -> Frame {
        let corners = [
            (zone.from, zone.near),
            (zone.to, zone.near),
            (zone.from, zone.far),
            (zone.to, zone.far),
        ]
        .map(|(x, across)| self.point(x, across));
        let of = |pick: fn(&Point) -> f64, both: fn(f64, f64) -> f64| {
            corners.iter().map(pick).reduce(both).unwrap_or_default()
        };
        Frame {
            left: of(|p| p.0, f64::min),
            top: of(|p| p.1, f64::min),
            right: of(|p| p.0, f64::max),
            bottom: of(|p| p.1, f64::max),
        }
    }

    /// The letter and number of a zone: in it where it has room, else beside it, so that the hatch is
    /// seen, and in no other zone.
    fn label_zone(&self, canvas: &mut Canvas, i: usize, label: &str, notes: &mut Vec<String>) {
        let zones = &self.layout.board.zones;
        let Some(zone) = zones.get(i) else { return };
        let mut frame = self.zone_box(zone);
        let wide = width(label, SMALL);
        // A long one on a crooked board lies elsewhere at its middle than at its ends.
        let half = zone.from + Length::from_units((zone.to - zone.from).units() / 2);
        (frame.top, frame.bottom) = (self.point(half, zone.near).1, self.point(half, zone.far).1);
        let (x, y) = (
            f64::midpoint(frame.left, frame.right) - wide / 2.0,
            f64::midpoint(frame.top, frame.bottom) + 3.5,
        );
        let right = LEFT + ROOM - wide;
        let roomy = frame.right - frame.left >= wide + 2.0 && frame.bottom - frame.top >= SMALL;
        let beside = [
            (frame.right + 3.0, y),
            (frame.left - wide - 3.0, y),
            (x, frame.bottom + 9.5),
            (x, frame.top - 3.0),
        ];
        let inside = move |p: &Point| p.0 >= LEFT && p.0 <= right;
        let others: Vec<Frame> = zones
            .iter()
            .enumerate()
            .filter(|(j, _)| *j != i)
            .map(|(_, other)| self.zone_box(other))
            .collect();
        let own = |p: &Point| {
            let text = Frame::of_text(*p, label, SMALL);
            !others.iter().any(|other| other.meets(&text))
        };
        let middle = [(x, y)];
        let near_it: Vec<Point> = match roomy {
            true => middle.into_iter().chain(beside).collect(),
            false => beside.into_iter().filter(own).chain(middle).chain(beside).collect(),
        };
        let far = (1..12).map(|i| (x + f64::from(i) * 12.0, y));
        let spots = near_it.into_iter().chain(far).filter(inside);
        if canvas.place(spots, label, SMALL, "t b").is_none() {
            let kind = plain(zone.kind.as_str());
            notes.push(format!("{label} {kind}: at {}", near(zone.from, self.layout.units())));
        }
    }

    fn label_keep(&self, canvas: &mut Canvas, keep: &Keep, notes: &mut Vec<String>) {
        let shape = self.keep_shape(keep);
        let (Some(first), Some(last)) = (shape.first(), shape.last()) else { return };
        let (x0, x1) = (self.axis.at(keep.from), self.axis.at(keep.to));
        let size = keep_size(keep, self.layout.units());
        let long = format!("keep {}: {size}", keep.number);
        let short = format!("keep {}", keep.number);
        let tall = (last.1 - first.1).max(SMALL);
        // Its sizes where they stand in it whole; its number alone before it is left out.
        for (text, over_lines) in [(&long, false), (&short, false), (&short, true)] {
            let wide = width(text, SMALL);
            if wide + 4.0 > x1 - x0 {
                continue;
            }
            let shape = &shape;
            let spots = (0..40)
                .map(|i| x0 + 4.0 + f64::from(i) * 14.0)
                .filter(|x| x + wide <= x1)
                .flat_map(|x| {
                    let (left, right) = (middle(shape, x), middle(shape, x + wide));
                    let lean = (right - left).atan2(wide).to_degrees();
                    // Up or down a line where the offcut is wide enough.
                    let room = tall / 2.0 - SMALL;
                    [0.0, 12.0, -12.0]
                        .into_iter()
                        .filter(move |off: &f64| off.abs() <= room.max(0.0))
                        .map(move |off| (x, left + off + 3.4, lean))
                })
                .filter(|spot| over_lines || fits(*spot, wide, SMALL, |x| sides(shape, x)));
            if canvas.place_leaning(spots, text, SMALL, "t", over_lines).is_some() {
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
                    // In a narrow curve the line would run over both saw lines: a shorter one does not.
                    let sides = |x: f64| {
                        let share = (x - a.0) / (c.0 - a.0).max(1e-6);
                        let half = (b.1 - a.1) / 2.0;
                        let y = self.middle(part, strip.from, strip.to, near, far, share);
                        (y - half, y + half)
                    };
                    let spots = spots.filter(|spot| !curved || fits(*spot, wide, size, sides));
                    let class = if size < SMALL { "fine" } else { "on" };
                    if canvas.place_leaning(spots, &text, size, class, true).is_some() {
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

/// Does a line of type so wide lie between two sides, as far as its size lets it?
fn fits(
    (x, y, lean): (f64, f64, f64),
    wide: f64,
    size: f64,
    sides: impl Fn(f64) -> (f64, f64),
) -> bool {
    (0..=4).all(|i| {
        let at = wide * f64::from(i) / 4.0;
        let middle = y - size * 0.34 + at * lean.to_radians().tan();
        let (near, far) = sides(x + at);
        let slack = ((far - near) / 2.0 - size * 0.38).max(1.2);
        (middle - f64::midpoint(near, far)).abs() <= slack
    })
}

/// The height midway between the near and the far side of a shape at a place along it.
fn middle(shape: &[Point], x: f64) -> f64 {
    let (near, far) = sides(shape, x);
    f64::midpoint(near, far)
}

/// The heights of the near and the far side of a shape at a place along it; its first half of corners
/// is the near side, its second the far side backwards.
fn sides(shape: &[Point], x: f64) -> (f64, f64) {
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
    (side(&mut near.iter()), side(&mut far.iter().rev()))
}
