//! A board as it was understood, before anything is planned: to hold beside the wood.

use crate::length::Length;
use crate::lumber::board::Rise;
use crate::report::draw::axis::{Axis, mm};
use crate::report::draw::board::{LEFT, ROOM, SMALL, View, across_scale, legend};
use crate::report::draw::canvas::{Anchor, Canvas, WIDTH};
use crate::report::draw::end;
use crate::report::draw::marks::crosscut_marks;
use crate::report::kinds::Sign;
use crate::shop::layout::{Layout, events};
use crate::text::plain;

/// The drawing as SVG text; zones that look wrong, by their place in the list, bear a mark.
pub(crate) fn draw(layout: &Layout<'_>, signs: &[Sign], odd: &[usize]) -> String {
    let board = layout.board;
    let mut canvas = Canvas::new(format!("u{}", layout.index));
    let used: Vec<&Sign> =
        signs.iter().filter(|s| board.zones.iter().any(|z| z.kind == s.kind)).collect();
    let mut hatches: Vec<usize> = used.iter().map(|s| s.hatch).collect();
    hatches.sort_unstable();
    hatches.dedup();
    canvas.define_hatches(hatches);
    let axis = Axis::new(board.length, &events(layout), &[], LEFT, ROOM);
    // Two boards find room on a page, beside what it begins with.
    let scale = across_scale(layout).min(84.0 / mm(board.width).max(0.1));
    let (_, marks) = crosscut_marks(layout, &axis);
    let mut view = View { layout, axis, scale, top: 0.0 };
    let (low, high) = view.bends();
    let dims = 27.0;
    view.top = dims + 16.0 - low * scale;
    view.outline(&mut canvas);
    view.zones(&mut canvas, signs);
    view.break_marks(&mut canvas, high);
    view.crosscuts(&mut canvas, &marks, dims);
    view.edges(&mut canvas, &marks);
    for zone in odd.iter().filter_map(|&z| board.zones.get(z)) {
        let middle = view.point(zone.to, zone.near);
        canvas.circle((middle.0 + 9.0, middle.1 - 2.0), 8.0, "board");
        canvas.text((middle.0 + 9.0, middle.1 + 2.5), "?", 13.0, Anchor::Middle, "b");
        canvas.take(crate::report::draw::canvas::Frame {
            left: middle.0,
            top: middle.1 - 11.0,
            right: middle.0 + 18.0,
            bottom: middle.1 + 7.0,
        });
    }
    let _ = view.labels(&mut canvas, signs, false);
    let mut y = view.top + (high + mm(board.width)) * scale + 4.0;
    y = view.on_edge(&mut canvas, y);
    y = fibres(&mut canvas, &view, y);
    y = end::whole(&mut canvas, layout, scale, y);
    y = view.scale_notes(&mut canvas, y);
    y = legend(&mut canvas, &used, y);
    canvas.finish(y + 4.0, &format!("Board {}, as understood", plain(&board.name)), false)
}

/// How the grain runs along an edge, where something of it was measured.
fn fibres(canvas: &mut Canvas, view: &View<'_>, y: f64) -> f64 {
    let board = view.layout.board;
    if board.runout.is_none() && board.rise.is_none() {
        return y;
    }
    let (x0, x1) = (view.axis.at(Length::ZERO), view.axis.at(board.length));
    let (top, bottom) = (y + 16.0, y + 30.0);
    let slope = board.runout.map_or_else(
        || "slope of grain not measured".to_owned(),
        |slope| format!("slope of grain {slope}"),
    );
    let rise = match board.rise {
        Some(Rise::Far) => "comes up to the marked face towards the far end",
        Some(Rise::Marked) => "comes up to the marked face towards the marked end",
        None => "which way it rises was not read off",
    };
    let text = format!("Grain along the edge, not to scale: {slope}, {rise}");
    canvas.text((LEFT, y + 10.0), &text, SMALL, Anchor::Start, "t");
    let shape = [(x0, top), (x1, top), (x1, bottom), (x0, bottom)];
    canvas.polygon(&shape, "board", "grain");
    let lean = match board.rise {
        Some(Rise::Far) => 60.0,
        Some(Rise::Marked) => -60.0,
        None => 0.0,
    };
    let mut x = x0 + 8.0;
    while x + 60.0 < x1.min(WIDTH) {
        let (from, to) = match lean {
            l if l > 0.0 => (bottom - 2.0, top + 2.0),
            l if l < 0.0 => (top + 2.0, bottom - 2.0),
            _ => (f64::midpoint(top, bottom), f64::midpoint(top, bottom)),
        };
        canvas.line((x, from), (x + 60.0, to), "ring");
        x += 40.0;
    }
    bottom
}
