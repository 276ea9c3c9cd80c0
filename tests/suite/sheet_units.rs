//! Drawings of jobs in two units, where figures are long (`~96" (2438.4 mm)`): no figure stands over
//! another or under a line that leads to one, and no layer is without its number. Through the real
//! binary; boards and paddles are invented. Widths of letters are those of the narrowest usual faces
//! (about half the size of type, as in the Core 14 metrics of Helvetica), so that what touches here
//! touches everywhere; `.ci/page-check` measures them in a browser.

use crate::jobs::run;
use roxmltree::{Document, Node};
use std::fs;

/// Laminations, each a name, a thickness, where it runs and of what.
fn paddle(laminations: &[(&str, &str, &str, &str)]) -> String {
    let mut out = String::from(
        "units = \"in\"\n[shop]\nresaw_kerf = \"1/16\"\ncurve_kerf = \"1/16\"\nmin_rip = 12\n[[paddle]]\nname = \
         \"skerry\"\nlength = \"84\"\nloom = \"533 mm\"\nthickness = \"35 mm\"\ntrim = \"3/8\"\nrings = 45\n",
    );
    for (i, (name, thick, runs, wood)) in laminations.iter().enumerate() {
        let centre = if i == 0 { "centre = true\n" } else { "" };
        out += &format!(
            "[[paddle.lamination]]\nname = \"{name}\"\nthickness = \"{thick}\"\nruns = \"{runs}\"\n{centre}species = \
             [\"{wood}\"]\n"
        );
    }
    out
}

const HEAD: &str = "board,species,length,width,thickness,rings,crook,bow,zone,from,to,near,far\n";

/// Boards typed in mm: crooked, with zones, and one nearly as short as its strips.
fn boards() -> String {
    let mut out = HEAD.to_owned();
    for (name, wood, length, width, thick, bends) in [
        ("A", "red alder", "3093", "165", "45", "-15 mm,6 mm"),
        ("B", "red alder", "2245", "238", "38", ","),
        ("C", "white ash", "2187", "99", "45", "4 mm,-2 mm"),
        ("D", "white ash", "2438.4", "140", "38", ","),
    ] {
        out += &format!("{name},{wood},{length} mm,{width} mm,{thick} mm,80,{bends},,,,,\n");
        for (kind, at, near) in [("knot", 711, 30), ("sap", 803, 61)] {
            let (to, far) = (at + 12, near + 17);
            out += &format!("{name},,,,,,,,{kind},{at} mm,{to} mm,{near} mm,{far} mm\n");
        }
    }
    out
}

/// The drawings of a job, by file name.
fn drawn(boards: &str, paddles: &str) -> Vec<(String, String)> {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("boards.csv"), boards).unwrap();
    fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    let (code, out, err) = run(folder.path(), &["plan", "--svg", "svg", "--time-limit", "120"]);
    assert_eq!(code, Some(0), "{out}{err}");
    let files = fs::read_dir(folder.path().join("svg")).unwrap().map(|f| f.unwrap().path());
    let mut files: Vec<_> = files.collect();
    files.sort();
    let name = |path: &std::path::Path| path.file_name().unwrap().to_string_lossy().into_owned();
    files.iter().map(|path| (name(path), fs::read_to_string(path).unwrap())).collect()
}

fn number(node: Node<'_, '_>, key: &str) -> f64 {
    node.attribute(key).and_then(|v| v.parse().ok()).unwrap_or_default()
}

/// What an upright line of type takes at least: left, top, right, bottom.
fn frame(node: Node<'_, '_>) -> [f64; 4] {
    let text = node.text().unwrap_or_default().trim();
    let thin = |c: char| " .,:;'|ijl/()[]\"-~·".contains(c);
    let size = number(node, "font-size");
    let wide: f64 = text.chars().map(|c| if thin(c) { 0.22 } else { 0.5 } * size).sum();
    let (x, y) = (number(node, "x"), number(node, "y"));
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - wide / 2.0,
        Some("end") => x - wide,
        _ => x,
    };
    [left, y - size * 0.68, left + wide, y]
}

fn level<'a>(doc: &'a Document<'_>) -> Vec<Node<'a, 'a>> {
    let texts = doc.descendants().filter(|n| n.has_tag_name("text"));
    texts.filter(|n| n.attribute("transform").is_none()).collect()
}

/// Figures over one another, lines through figures, figures off the drawing.
fn faults(svg: &str) -> Vec<String> {
    let doc = Document::parse(svg).unwrap();
    let texts = level(&doc);
    let said = |n: Node<'_, '_>| n.text().unwrap_or_default().trim().to_owned();
    let mut out = Vec::new();
    for (i, &one) in texts.iter().enumerate() {
        let a = frame(one);
        if a[0] < 0.0 || a[2] > 720.0 {
            out.push(format!("off the drawing: {}", said(one)));
        }
        for &other in &texts[..i] {
            let b = frame(other);
            let (w, h) = (a[2].min(b[2]) - a[0].max(b[0]), a[3].min(b[3]) - a[1].max(b[1]));
            if w > 0.5 && h > 1.5 {
                out.push(format!("over one another: {} / {}", said(one), said(other)));
            }
        }
        let lines = doc.descendants().filter(|n| n.has_tag_name("line"));
        for line in lines.filter(|n| n.attribute("class") == Some("dim")) {
            let (x, x2) = (number(line, "x1"), number(line, "x2"));
            let (y1, y2) = (number(line, "y1"), number(line, "y2"));
            let (top, bottom) = (y1.min(y2), y1.max(y2));
            let through = (x - x2).abs() < 0.1 && a[0] + 0.5 < x && x < a[2] - 0.5;
            if through && top < a[3] - 1.0 && a[1] + 1.0 < bottom && !said(one).starts_with("keep")
            {
                out.push(format!("a line through {}", said(one)));
            }
        }
    }
    out
}

#[test]
fn no_figure_of_two_units_stands_over_another_or_under_a_line() {
    let woods = [
        ("spine", "1/4", "through", "white ash"),
        ("loom side", "12 mm", "through", "red alder"),
        ("blade", "14 mm", "blade", "red alder"),
        ("edge", "7 mm", "blade", "white ash"),
    ];
    let thin = [
        ("spine", "1/2", "through", "red alder"),
        ("accent", "1/16", "through", "white ash"),
        ("loom side", "12 mm", "through", "red alder"),
        ("pin line", "0.8 mm", "blade", "white ash"),
        ("blade", "14 mm", "blade", "red alder"),
    ];
    let (mut boards_seen, mut long) = (0, 0);
    for laminations in [&woods[..], &thin[..]] {
        for (name, svg) in drawn(&boards(), &paddle(laminations)) {
            assert_eq!(faults(&svg), Vec::<String>::new(), "{name}");
            boards_seen += usize::from(name.starts_with("board"));
            long += svg.matches(" mm)</text>").count() + svg.matches(" mm)\n</text>").count();
        }
    }
    assert!(boards_seen >= 4 && long > 10, "{boards_seen} boards, {long} long figures");
}

/// A section whose layers were too thin for their numbers came out blank.
#[test]
fn every_layer_bears_its_number_however_thin_it_is() {
    let mut layers = vec![("ply 0".to_owned(), "3 mm".to_owned(), "through")];
    for i in 1..9 {
        let runs = if i < 4 { "through" } else { "blade" };
        layers.push((format!("ply {i}"), format!("{}.{} mm", 1 + i / 6, (i * 3) % 10), runs));
    }
    let layers: Vec<(&str, &str, &str, &str)> =
        layers.iter().map(|(n, t, r)| (n.as_str(), t.as_str(), *r, "red alder")).collect();
    let boards = format!("{HEAD}Q,red alder,2438.4 mm,240 mm,38 mm,80,,,,,,,\n");
    for (name, svg) in drawn(&boards, &paddle(&layers)) {
        assert_eq!(faults(&svg), Vec::<String>::new(), "{name}");
        if !name.starts_with("blank") {
            continue;
        }
        let doc = Document::parse(&svg).unwrap();
        let texts: Vec<String> =
            level(&doc).iter().map(|n| n.text().unwrap_or_default().trim().to_owned()).collect();
        for number in 1..=9 {
            // In the section through a blade on both sides, but for the middle one, and in that
            // through the loom.
            let sides = if number == 1 { 1 } else { 2 };
            let wanted = if number <= 4 { 2 * sides } else { sides };
            let alone = texts.iter().filter(|t| **t == number.to_string()).count();
            assert!(alone >= wanted, "{number}: {alone} of {wanted}: {texts:?}");
            let named = format!("{number} ply {}", number - 1);
            assert!(texts.contains(&named), "{named}: {texts:?}");
        }
    }
}
