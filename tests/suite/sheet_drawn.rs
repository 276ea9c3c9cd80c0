//! Drawings are read back and measured against the plan: every part where it belongs, none
//! missing, none over another, none off the sheet.

use crate::fixtures;

use roxmltree::{Document, Node};
use std::collections::BTreeMap;
use stripwright::choose;
use stripwright::length::{Length, Units};
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::{CutBoard, Edge, Plan};
use stripwright::report;

type Corners = Vec<(f64, f64)>;

fn corners(node: Node<'_, '_>) -> Corners {
    let number = |t: &str| t.parse::<f64>().unwrap();
    node.attribute("points")
        .unwrap()
        .split(' ')
        .map(|p| p.split_once(',').map(|(x, y)| (number(x), number(y))).unwrap())
        .collect()
}

fn of_class<'a>(doc: &'a Document<'a>, class: &str) -> BTreeMap<String, Corners> {
    doc.descendants()
        .filter(|n| n.has_tag_name("polygon") && n.attribute("class") == Some(class))
        .map(|n| (n.attribute("data-at").unwrap_or("").to_owned(), corners(n)))
        .collect()
}

fn mm(l: Length) -> f64 {
    l.to_f64(Units::Mm)
}

/// The maps of a drawing, found from its board outline alone.
struct Maps<'a> {
    board: &'a Board,
    left: f64,
    top: f64,
    along: f64,
    across: f64,
}

impl Maps<'_> {
    fn of<'a>(outline: &Corners, board: &'a Board) -> Maps<'a> {
        let left = outline.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
        let right = outline.iter().map(|p| p.0).fold(0.0, f64::max);
        // The marked end: its two corners stand on the chords.
        let ends: Vec<f64> =
            outline.iter().filter(|p| (p.0 - left).abs() < 1e-6).map(|p| p.1).collect();
        let top = ends.iter().copied().fold(f64::INFINITY, f64::min);
        let bottom = ends.iter().copied().fold(0.0, f64::max);
        let along = (right - left) / mm(board.length);
        Maps { board, left, top, along, across: (bottom - top) / mm(board.width) }
    }

    fn bend(&self, x: Length) -> f64 {
        let l = mm(self.board.length);
        4.0 * mm(self.board.crook) * mm(x) * (l - mm(x)) / (l * l)
    }

    fn point(&self, cut: &CutBoard, section: usize, x: Length, v: Length) -> (f64, f64) {
        let s = &cut.sections[section];
        let base = if s.edge == Edge::Kept {
            self.bend(x)
        } else {
            let share = mm(x - s.from) / mm(s.to - s.from);
            self.bend(s.from) * (1.0 - share) + self.bend(s.to) * share
        };
        (self.left + mm(x) * self.along, self.top + (base + mm(v)) * self.across)
    }
}

fn near(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 - b.0).abs() < 0.06 && (a.1 - b.1).abs() < 0.06
}

/// Do two convex-enough shapes overlap by more than a hair? Both run from the marked end on and
/// have few corners, so their boxes in a common stretch tell.
fn overlap(a: &Corners, b: &Corners) -> bool {
    let x = |c: &Corners| {
        let least = c.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
        (least, c.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max))
    };
    let (ax, bx) = (x(a), x(b));
    let (from, to) = (ax.0.max(bx.0), ax.1.min(bx.1));
    if to - from < 0.05 {
        return false;
    }
    // Heights at the middle of the common stretch.
    let at = f64::midpoint(from, to);
    let span = |c: &Corners| {
        let half = c.len() / 2;
        let edge = |points: &[(f64, f64)]| {
            let mut sorted = points.to_vec();
            sorted.sort_by(|p, q| p.0.total_cmp(&q.0));
            sorted
                .windows(2)
                .find(|w| w[0].0 <= at && at <= w[1].0)
                .map(|w| w[0].1 + (w[1].1 - w[0].1) * (at - w[0].0) / (w[1].0 - w[0].0).max(1e-9))
                .unwrap()
        };
        let (y0, y1) = (edge(&c[..half]), edge(&c[half..]));
        (y0.min(y1), y0.max(y1))
    };
    let (ay, by) = (span(a), span(b));
    ay.1.min(by.1) - ay.0.max(by.0) > 0.05
}

fn check_board(svg: &str, cut: &CutBoard, board: &Board) {
    let doc = Document::parse(svg).unwrap();
    let size: Vec<f64> = doc
        .root_element()
        .attribute("viewBox")
        .unwrap()
        .split(' ')
        .map(|n| n.parse().unwrap())
        .collect();
    let outlines = of_class(&doc, "board");
    let maps = Maps::of(&outlines[""], board);

    // Off the sheet?
    for node in doc.descendants().filter(|n| n.has_tag_name("polygon")) {
        for (x, y) in corners(node) {
            assert!((0.0..=size[2]).contains(&x) && (0.0..=size[3]).contains(&y), "{x},{y}");
        }
    }
    for node in doc.descendants().filter(|n| n.has_tag_name("text")) {
        let y: f64 = node.attribute("y").unwrap().parse().unwrap();
        assert!(y > 0.0 && y <= size[3], "text {:?} off the sheet", node.text());
    }

    // Rips, strips: each once, at its place.
    let rips = of_class(&doc, "rip");
    let mut strips = of_class(&doc, "strip");
    // Leaves of a resawn rip bear no outline, which would be read as a rip line.
    strips.extend(of_class(&doc, "leaf"));
    let (mut r_count, mut s_count) = (0, 0);
    for (s, section) in cut.sections.iter().enumerate() {
        // A section is crosscut at its first and its last strip, if it was not cut closer.
        let strips_in = || section.rips.iter().flat_map(|r| &r.leaves).flat_map(|l| &l.strips);
        let shape_of = &rips[&format!("{s}.0")];
        let at = |x: f64| shape_of.iter().any(|p| (p.0 - maps.left - x * maps.along).abs() < 0.06);
        let ends = [section.from, strips_in().map(|s| s.from).min().unwrap_or(section.from)];
        let from = ends.into_iter().find(|&l| at(mm(l))).expect("begins at no such place");
        let ends = [section.to, strips_in().map(|s| s.to).max().unwrap_or(section.to)];
        let to = ends.into_iter().find(|&l| at(mm(l))).expect("ends at no such place");
        for (r, rip) in section.rips.iter().enumerate() {
            r_count += 1;
            let shape = &rips[&format!("{s}.{r}")];
            let half = shape.len() / 2;
            let want = |x, v| maps.point(cut, s, x, v);
            assert!(near(shape[0], want(from, rip.near)));
            assert!(near(shape[half - 1], want(to, rip.near)));
            assert!(near(shape[half], want(to, rip.far)));
            assert!(near(shape[shape.len() - 1], want(from, rip.far)));
            for (l, leaf) in rip.leaves.iter().enumerate() {
                for (n, strip) in leaf.strips.iter().enumerate() {
                    s_count += 1;
                    let shape = &strips[&format!("{s}.{r}.{l}.{n}")];
                    let half = shape.len() / 2;
                    let x = |l: Length| maps.left + mm(l) * maps.along;
                    assert!((shape[0].0 - x(strip.from)).abs() < 0.06);
                    assert!((shape[half - 1].0 - x(strip.to)).abs() < 0.06);
                }
            }
        }
    }
    assert_eq!((rips.len(), strips.len()), (r_count, s_count));

    // No strip over another strip, no kerf of no width.
    let all: Vec<(&String, &Corners)> = strips.iter().collect();
    for (i, (name, a)) in all.iter().enumerate() {
        for (other, b) in &all[..i] {
            assert!(!overlap(a, b), "{name} over {other}");
        }
    }

    // Zones: where they were measured, along the board's own curve.
    let zones = of_class(&doc, "zone");
    for (i, zone) in board.zones.iter().enumerate() {
        let shape = &zones[&format!("z{i}")];
        let at = |x: Length, v: Length| {
            (maps.left + mm(x) * maps.along, maps.top + (maps.bend(x) + mm(v)) * maps.across)
        };
        assert!(near(shape[0], at(zone.from, zone.near)));
        assert!(near(shape[shape.len() - 1], at(zone.from, zone.far)));
    }

    // Every strip's name can be read somewhere, on the strip or beneath.
    let words: String = doc.descendants().filter_map(|n| n.text()).collect::<Vec<_>>().join(" | ");
    for section in &cut.sections {
        for (r, rip) in section.rips.iter().enumerate() {
            for strip in rip.leaves.iter().flat_map(|l| &l.strips) {
                assert!(words.contains(&strip.id), "{} (rip {r}) has no name", strip.id);
            }
        }
    }
}

fn check((job, boards, plan): (Job, Vec<Board>, Plan)) {
    let files = report::svgs(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]);
    let drawn: Vec<_> = files.iter().filter(|(n, _)| n.starts_with("board-")).collect();
    assert_eq!(drawn.len(), plan.boards.len());
    for (cut, (_, svg)) in plan.boards.iter().zip(drawn) {
        check_board(svg, cut, &boards[cut.board]);
    }
}

#[test]
fn every_part_is_drawn_where_it_lies() {
    check(fixtures::mixed());
    check(fixtures::forty_rips());
    check(fixtures::two_hundred());
}

#[test]
fn plans_as_they_come_are_drawn_where_they_lie() {
    let mut planned = 0;
    for seed in 1..=25 {
        let job = fixtures::touring();
        let boards = fixtures::some_boards(seed, 8);
        if let Ok(plan) = choose::plan(&job, &boards, &Default::default()) {
            planned += 1;
            check((job, boards, plan));
        }
    }
    assert!(planned >= 10);
}

#[test]
fn crowned_boards_bend_the_other_way() {
    let (job, mut boards, plan) = fixtures::mixed();
    boards[1].crook = -boards[1].crook;
    let width = boards[1].width;
    let mut plan = plan;
    // On the crowned side the far edge gives way: the last rips must still be on the board.
    plan.boards[1].sections[1].rips.retain(|r| r.far <= width - Length::INCH);
    check((job, boards, plan));
}

#[test]
fn a_break_leaves_out_only_what_is_uneventful() {
    let (job, boards, plan) = fixtures::metric();
    for (name, svg) in report::svgs(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]) {
        let doc = Document::parse(&svg).unwrap();
        let gaps = of_class(&doc, "gap");
        let mut strips = of_class(&doc, "strip");
        // Leaves of a resawn rip bear no outline, which would be read as a rip line.
        strips.extend(of_class(&doc, "leaf"));
        if name.starts_with("board-") {
            assert_eq!(gaps.len(), 1);
            let ends = strips.values().flatten().map(|p| p.0);
            let gap: Vec<f64> = gaps.values().flatten().map(|p| p.0).collect();
            let from = gap.iter().copied().fold(f64::INFINITY, f64::min);
            let to = gap.iter().copied().fold(0.0, f64::max);
            assert!(ends.into_iter().all(|x| x < from || x > to));
            assert!(svg.contains("Left out at each break mark"));
        }
    }
}

#[test]
fn end_views_stack_leaves_and_kerfs_within_the_thickness() {
    let (job, boards, plan) = fixtures::mixed();
    for (i, (_, svg)) in report::svgs(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[])
        .iter()
        .skip(1)
        .enumerate()
    {
        let doc = Document::parse(svg).unwrap();
        let rect = |n: Node<'_, '_>| {
            let get = |k: &str| n.attribute(k).unwrap().parse::<f64>().unwrap();
            (get("x"), get("y"), get("width"), get("height"))
        };
        let ends: Vec<_> =
            doc.descendants().filter(|n| n.attribute("data-at") == Some("end")).collect();
        let cut = &plan.boards[i];
        assert_eq!(ends.len(), cut.sections.len());
        let board = &boards[cut.board];
        for (end, section) in ends.iter().zip(&cut.sections) {
            let (x, y, w, h) = rect(*end);
            let scale = w / mm(board.width);
            assert!((h - mm(board.thickness) * scale).abs() < 0.05);
            let leaves: Vec<_> = end
                .next_siblings()
                .skip(1)
                .take_while(|n| n.attribute("data-at") != Some("end"))
                .filter(|n| n.attribute("data-at").is_some_and(|a| a.starts_with('e')))
                .collect();
            let planned: usize = section.rips.iter().map(|r| r.leaves.len()).sum();
            assert_eq!(leaves.len(), planned);
            let want = section.rips.iter().flat_map(|r| r.leaves.iter().map(move |l| (r, l)));
            for (leaf, (rip, planned)) in leaves.iter().zip(want) {
                let (lx, ly, lw, lh) = rect(*leaf);
                assert!((lx - x - mm(rip.near) * scale).abs() < 0.05);
                assert!((lw - mm(rip.far - rip.near) * scale).abs() < 0.05);
                assert!((lh - mm(planned.thickness) * scale).abs() < 0.05);
                assert!(ly >= y - 0.01 && ly + lh <= y + h + 0.02);
            }
        }
    }
}

#[test]
fn the_blank_shows_every_strip_of_a_paddle() {
    let (job, boards, plan) = fixtures::mixed();
    let files = report::svgs(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]);
    let doc = Document::parse(&files[0].1).unwrap();
    let strips: Vec<(String, f64, f64)> = doc
        .descendants()
        .filter(|n| n.has_tag_name("rect") && n.attribute("class") == Some("strip"))
        .map(|n| {
            let get = |k: &str| n.attribute(k).unwrap().parse::<f64>().unwrap();
            (n.attribute("data-at").unwrap().to_owned(), get("width"), get("height"))
        })
        .collect();
    // From above: 1 spine, 2 loom sides, 4 blade edges, 4 cores; in section 7 and 3.
    let above = strips.iter().filter(|s| s.0.contains('.')).count();
    let blade = strips.iter().filter(|s| s.0.starts_with('s')).count();
    let loom = strips.iter().filter(|s| s.0.starts_with('l')).count();
    assert_eq!((above, blade, loom), (11, 7, 3));
    let wide: f64 = strips.iter().filter(|s| s.0.starts_with('s')).map(|s| s.1).sum();
    let one = strips.iter().find(|s| s.0 == "s0").unwrap();
    // 3 1/8 wide, 1 3/8 thick.
    assert!((wide / one.2 - 3.125 / 1.375).abs() < 0.01);
}
