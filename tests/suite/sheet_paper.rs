//! What a person at the saw stumbled over on paper, each by name: sizes that no tape has, names cut
//! short, steps that take nothing, how a class is told, figures that differ from the terminal's.
//! Through the real binary; boards and paddles are invented.

use crate::jobs::{flat, run};
use std::collections::BTreeSet;
use std::fs;

/// A folder with the example's boards, or these, and paddles.
fn folder(boards: Option<&str>, paddles: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let example = include_str!("../../examples/loft/boards.csv");
    fs::write(folder.path().join("boards.csv"), boards.unwrap_or(example)).unwrap();
    fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    folder
}

/// The page as it reads, tags and styles left out and spaces of one kind; its source; the terminal's
/// text.
fn told(boards: Option<&str>, paddles: &str) -> (String, String, String) {
    let (source, out) = planned(boards, paddles);
    (read(&source), source, flat(&out))
}

/// The page's source, and what the terminal shows.
fn planned(boards: Option<&str>, paddles: &str) -> (String, String) {
    let folder = folder(boards, paddles);
    let (code, out, err) =
        run(folder.path(), &["plan", "--sheet", "s.html", "--steps", "--bench", "--draw"]);
    assert_eq!(code, Some(0), "{err}");
    (fs::read_to_string(folder.path().join("s.html")).unwrap(), out)
}

fn read(source: &str) -> String {
    let mut out = String::new();
    let body = source.split("<body>").nth(1).unwrap_or(source);
    for piece in body.split('<').skip(1) {
        let (tag, text) = piece.split_once('>').unwrap_or(("", piece));
        let tag = tag.trim_start_matches('/').split([' ', '/']).next().unwrap_or_default();
        if !matches!(tag, "b" | "strong" | "a") {
            out.push(' ');
        }
        if tag != "script" && tag != "style" {
            out.push_str(text);
        }
    }
    let out = out.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">");
    flat(&out.replace("&amp;", "&").replace('\u{A0}', " "))
}

/// The example with paddles in millimetres.
fn metric_paddles() -> String {
    let text = include_str!("../../examples/loft/paddles.toml");
    let of = [
        ("length = \"84\"", "length = \"2080 mm\""),
        ("loom = \"21\"", "loom = \"520 mm\""),
        ("thickness = \"1 3/8\"", "thickness = \"35 mm\""),
        ("trim = \"3/8\"", "trim = \"10 mm\""),
        ("thickness = \"1/4\"\n", "thickness = \"6 mm\"\n"),
        ("thickness = \"1/2\"\n", "thickness = \"12 mm\"\n"),
        ("\"9/16\"", "\"14 mm\""),
        ("\"5/16\"", "\"8 mm\""),
    ];
    of.iter().fold(text.to_owned(), |text, (inch, mm)| {
        assert!(text.contains(inch), "{inch}");
        text.replace(inch, mm)
    })
}

/// Inches in decimals, which no tape has, outside the brackets of an exact figure.
fn decimals(text: &str) -> Vec<&str> {
    let mark = |(at, _): (usize, &str)| {
        let before = &text[..at];
        let from = before.rfind(|c: char| !(c.is_ascii_digit() || c == '.')).map_or(0, |i| i + 1);
        let bare = !text[..from].ends_with("exact ") && text[..from].is_char_boundary(from);
        (before[from..].contains('.') && bare).then(|| &text[from.saturating_sub(1).max(from)..=at])
    };
    text.match_indices('"').filter_map(mark).collect()
}

/// 520 mm was 20.4724", which no tape has.
#[test]
fn a_metric_paddle_among_inches_is_told_in_both_wherever_a_size_of_it_stands() {
    let (page, source, terminal) = told(None, &metric_paddles());
    for (name, text) in [("page", &page), ("terminal", &terminal)] {
        assert_eq!(decimals(text), Vec::<&str>::new(), "{name}");
        // By hand: 520 mm is 20.472 in, nearest to 20 30/64; 6 mm is 0.2362, 15/64; 12 mm 0.4724,
        // 30/64; together 30 mm, 1.1811 in, 1 12/64.
        for said in [
            "their inner ends are ~20 15/32\" (520 mm) apart",
            "the loom, length: ~20 15/32\" (520 mm)",
            "~15/32\" (12 mm) + ~15/64\" (6 mm) + ~15/32\" (12 mm) = ~1 3/16\" (30 mm)",
            "Then cut ~25/64\" (10 mm) off each end",
        ] {
            assert!(text.contains(said), "{name}: {said}\n{text}");
        }
    }
    // Labels: every size with its own unit, none behind the brackets.
    let labels = source.split("id=\"labels\"").nth(1).unwrap().split("</section>").next().unwrap();
    let labels = read(&format!("<body>{labels}"));
    assert!(!labels.contains("mm) in"), "{labels}");
    // 2100 mm is 82.677 in, above 82 43/64; 12.794 mm 0.5037; 36.588 mm 1.4405.
    let one = "82 11/16\" (2100 mm) × 33/64\" (12.794 mm) × 1 29/64\" (36.588 mm)";
    assert!(labels.contains(one), "{labels}");
}

/// Wherever a figure is only near, the exact one stands beside it, but where nothing is marked or cut
/// by it: what is left of a section, how short a piece is, what a planer takes.
#[test]
fn no_place_is_told_without_its_exact_figure() {
    let crooked = "board,species,length,width,thickness,rings,crook,bow,runout,zone,from,to,near,far\n\
        one,red alder,96,6,1 1/2,80,5/8,3/16,1:20,knot,30 1/128,31,2 1/100,3\n\
        two,red alder,90.3,5,1 1/2,80,-3/8,,1:20,,,,,\n";
    let alder =
        include_str!("../../examples/loft/paddles.toml").replace("quantity = 2", "quantity = 1");
    let alder = alder
        .replace("\"white ash\"", "\"red alder\"")
        .replace("\"Sitka spruce\"", "\"red alder\"");
    let alder = alder.replace("\"western redcedar\", \"red alder\"", "\"red alder\"");
    let alder = alder.replace("\"red alder\", \"red alder\"", "\"red alder\"");
    let mut near = 0;
    for (boards, paddles) in [(None, metric_paddles()), (Some(crooked), alder)] {
        let (source, out) = planned(boards, &paddles);
        // A cell of a table goes on below itself: there the figures in brackets are counted.
        let (table, sentences): (Vec<&str>, Vec<&str>) =
            out.lines().partition(|line| line.starts_with('│'));
        let table = table.join(" ");
        assert!(table.matches('(').count() >= table.matches('~').count(), "{table}");
        near += table.matches('~').count();
        for text in [read(&source), flat(&sentences.join("\n"))] {
            for (at, _) in text.match_indices('~') {
                let (before, after) = (&text[..at], &text[at + 1..]);
                let about = [
                    "left ",
                    "Left: ",
                    "Only ",
                    "Short (",
                    "takes (",
                    "takes ",
                    "only ",
                    "as thick, ",
                ];
                if about.iter().any(|word| before.ends_with(word)) || before.ends_with("A ") {
                    continue;
                }
                let end = after.find(|c: char| !(c.is_ascii_digit() || " /\"".contains(c)));
                let rest = &after[end.unwrap_or(0)..];
                let bracket = rest.strip_prefix('(').and_then(|r| r.split_once(" mm)"));
                let exact = bracket.is_some_and(|(figure, _)| figure.parse::<f64>().is_ok());
                let whole: String =
                    before.chars().rev().take(60).collect::<Vec<_>>().into_iter().rev().collect();
                let after: String = after.chars().take(40).collect();
                assert!(exact, "{whole}~{after}");
                near += 1;
            }
        }
    }
    assert!(near > 100, "{near}");
}

/// `take 0" off the reference edge`, it said.
#[test]
fn no_step_takes_nothing() {
    let boards = "board,species,length,width,thickness,rings,crook,bow,edge\n\
        straight,red alder,96,6,1 1/2,80,,,\n\
        bent,red alder,96,6,1 1/2,80,3/4,1/4,\n";
    let text = |kerf: &str| {
        format!(
            "units = \"in\"\n[shop]\nedge = 0\nfar_edge = 0\nplane = 0\ndress = 0\nboard_end = 0\n{kerf}\n\
             [[paddle]]\nname = \"p\"\nquantity = 4\nlength = 80\nloom = 20\nthickness = 1\ntrim = 0\n\
             [[paddle.lamination]]\nname = \"spine\"\nthickness = \"1/2\"\nruns = \"through\"\ncentre = true\n\
             [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2\"\nruns = \"through\"\n"
        )
    };
    for kerf in ["", "curve_kerf = \"1/16\""] {
        let (page, _, terminal) = told(Some(boards), &text(kerf));
        assert!(page.contains("Board straight") && page.contains("Board bent"), "{page}");
        for text in [&page, &terminal] {
            for nothing in [
                " 0\" off",
                "take 0\"",
                "off 0\"",
                "cut 0\"",
                "by 0\"",
                "takes 0\"",
                "Up to 0\"",
                "plane 0\"",
            ] {
                assert!(!text.contains(nothing), "{nothing}: {text}");
            }
            assert!(text.contains("the reference edge must be straight"), "{text}");
            assert!(text.contains("Check with the string"), "{text}");
        }
        assert!(terminal.contains("nothing comes off it"), "{terminal}");
    }
    // Where something comes off it is told as ever.
    let (page, _, terminal) = told(None, include_str!("../../examples/loft/paddles.toml"));
    assert!(terminal.contains("take 1/8\" off the reference edge"), "{terminal}");
    assert!(page.contains("Plane both faces, 1/32\" off each"), "{page}");
    assert!(page.contains("Then cut 3/8\" off each end, square."), "{page}");
}

/// The plan knows of no cup and no twist, so every board's sheet says what to look for, by what, and
/// what to do, before its first cut.
#[test]
fn every_board_says_what_to_do_about_cup_and_twist_before_its_first_cut() {
    let (page, source, terminal) = told(None, include_str!("../../examples/loft/paddles.toml"));
    let sheets: Vec<String> = source
        .split("<section ")
        .filter(|s| s.contains("id=\"board"))
        .map(|s| read(&format!("<body><section {s}")))
        .collect();
    assert_eq!(sheets.len(), 3);
    let of_terminal = terminal.split(": cuts in shop order").skip(1).map(str::to_owned);
    for sheet in sheets.into_iter().chain(of_terminal) {
        let look = sheet.find("Cup and twist:").unwrap_or_else(|| panic!("{sheet}"));
        for cut in ["Crosscut saw, kerf", "Thickness planer, no kerf", "Table saw, kerf", "Bandsaw"]
        {
            assert!(sheet.find(cut).is_none_or(|at| at > look), "{cut} comes first: {sheet}");
        }
        let advice = &sheet[look..];
        for said in [
            // By what they are seen.
            "straightedge across, winding sticks at both ends.",
            // How much is too much.
            "Hollow across by more than a strip's dressing, or rocking on the table:",
            // What is done.
            "flatten it, measure the thickness that is left, and plan again.",
        ] {
            assert!(
                advice.starts_with("Cup and twist: ") && advice.contains(said),
                "{said}: {sheet}"
            );
        }
    }
    // Once more in the cautions that come before all boards.
    let general = "Before the first cut look for cup and twist, which no plan here knows of: a straightedge \
                   across the faces, winding sticks at the ends. Wood that rocks on the table is flattened first.";
    assert!(page.split("Board B").next().unwrap().contains(general), "{page}");
    assert!(terminal.contains(general), "{terminal}");
}

/// `Lon…ar.7`, it said.
#[test]
fn no_name_is_shortened_on_paper_or_in_a_drawing() {
    let long = "Long plank from under the loft stairs, north wall, second from the left";
    let example = include_str!("../../examples/loft/boards.csv");
    let boards: String = example
        .lines()
        .map(|line| {
            line.strip_prefix("G,").map_or(line.to_owned(), |rest| format!("\"{long}\",{rest}"))
                + "\n"
        })
        .collect();
    let paddles = include_str!("../../examples/loft/paddles.toml");
    let (page, source, _) = told(Some(&boards), paddles);
    assert!(!page.contains('…'), "{page}");
    let drawings: Vec<String> = source
        .split("<svg ")
        .skip(1)
        .filter_map(|s| s.split_once("</svg>"))
        .map(|(svg, _)| read(&format!("<body><svg {svg}")))
        .collect();
    let folder = folder(Some(&boards), paddles);
    assert_eq!(run(folder.path(), &["plan", "--svg", "drawings", "--json", "p.json"]).0, Some(0));
    let plan = fs::read_to_string(folder.path().join("p.json")).unwrap();
    let names: BTreeSet<String> = plan
        .split(long)
        .skip(1)
        .filter_map(|rest| rest.strip_prefix('.'))
        .map(|rest| {
            format!("{long}.{}", rest.chars().take_while(char::is_ascii_digit).collect::<String>())
        })
        .collect();
    assert!(names.len() >= 6, "{names:?}");
    let alone: Vec<String> = fs::read_dir(folder.path().join("drawings"))
        .unwrap()
        .map(|file| read(&format!("<body>{}", fs::read_to_string(file.unwrap().path()).unwrap())))
        .collect();
    for name in &names {
        // On its board's drawing and on that of its blank, in the page and as a file.
        for drawings in [&drawings, &alone] {
            let found = drawings.iter().filter(|d| flat(d).contains(name.as_str())).count();
            assert!(found >= 2, "{name}: {found}");
        }
        assert!(page.contains(&format!("◂ {name}")), "the label of {name}");
    }
    assert!(alone.iter().all(|d| !d.contains('…')));
}

/// A class, each builder with a size of his or her own.
const BUILDERS: [(&str, u32, u32); 3] = [("Ines", 80, 19), ("Oskar", 84, 21), ("Wren", 86, 20)];

/// Each builder's strips, labels and bench sheet bear the builder's name; boards come once, and so do
/// how to glue and the cautions, on paper and in the terminal.
#[test]
fn builders_of_their_own_sizes_have_a_bench_sheet_each_and_the_rest_once() {
    let example = include_str!("../../examples/loft/paddles.toml");
    let (shop, paddle) = example.split_once("[[paddle]]").unwrap();
    let one = |(name, length, loom): &(&str, u32, u32)| {
        let paddle = paddle.replace("estuary", name).replace("quantity = 2", "quantity = 1");
        let paddle = paddle.replace("length = \"84\"", &format!("length = {length}"));
        format!("[[paddle]]{}", paddle.replace("loom = \"21\"", &format!("loom = {loom}")))
    };
    let paddles = shop.to_owned() + &BUILDERS.iter().map(one).collect::<String>();
    let boards = "board,species,length,width,thickness,rings,runout\n\
        ash,white ash,96,6,1 1/2,85,1:20\n\
        one,western redcedar,96,6,1 1/2,80,1:20\n\
        two,western redcedar,96,6,1 1/2,80,1:20\n\
        three,western redcedar,96,6,1 1/2,80,1:20\n\
        four,western redcedar,96,6,1 1/2,80,1:20\n";
    let (page, source, terminal) = told(Some(boards), &paddles);
    let sheets: Vec<&str> = source.split("<section ").filter(|s| s.contains(" bench\"")).collect();
    assert_eq!(sheets.len(), BUILDERS.len());
    let labels = source.split("id=\"labels\"").nth(1).unwrap().split("</section>").next().unwrap();
    for ((name, _, loom), sheet) in BUILDERS.iter().zip(&sheets) {
        let sheet = read(&format!("<body><section {sheet}"));
        assert!(sheet.contains(&format!("Bench: {name}")), "{sheet}");
        assert!(sheet.contains(&format!("inner ends are {loom}\" apart")), "{sheet}");
        // What is set up before stands on the sheet that all read.
        assert!(!sheet.contains("jaws open") && !sheet.contains("isocyanate"), "{sheet}");
        // Four through and blade strips of each of two kinds: 11 strips.
        assert_eq!(labels.matches(&format!("<strong>{name}</strong>, ")).count(), 11);
        assert_eq!(terminal.matches(&format!("Bench sheet: {name} ==")).count(), 1, "{terminal}");
        assert!(terminal.contains(&format!("{name} spine")), "strips named for {name}");
        let gluing = page.split("Gluing up: the same for every blank").nth(1).unwrap();
        assert!(gluing.contains(&format!("{name}: Glue and clamps")), "{gluing}");
    }
    for board in ["ash", "one"] {
        assert_eq!(source.matches(&format!("<h2>Board {board}</h2>")).count(), 1);
        assert_eq!(terminal.matches(&format!("Board {board}: cuts in shop order")).count(), 1);
    }
    for text in [&page, &terminal] {
        assert_eq!(text.matches("Gluing up: the same for every blank").count(), 1);
        for once in [
            "Glues with isocyanate",
            "Draw the witness marks on the upper faces",
            "Wax or tape cauls and blocks",
            "Bends are each strip's own, as placed",
            "The maker's sheet for your glue comes first",
        ] {
            assert_eq!(text.matches(once).count(), 1, "{once}: {text}");
        }
    }
    // One drawing for blanks that differ in their lengths alone.
    assert_eq!(page.matches("The blank of ").count(), 1);
    assert!(page.contains("Drawn for Ines; the others differ in their lengths alone"), "{page}");
}

/// The terminal had cubic decimetres, the page had not.
#[test]
fn page_and_terminal_tell_the_same_volumes_and_shares() {
    let paddles = "units = \"mm\"\n[[paddle]]\nname = \"p\"\nlength = 2100\nloom = 500\nthickness = 34\nrings = 0\n\
        [[paddle.lamination]]\nname = \"spine\"\nthickness = 6\nruns = \"through\"\ncentre = true\n\
        [[paddle.lamination]]\nname = \"side\"\nthickness = 12\nruns = \"through\"\n";
    let boards = "board,species,length,width,thickness\none,western redcedar,2400,140,38\n";
    let (page, _, terminal) = told(Some(boards), paddles);
    // By hand: 2.4 m × 1.4 dm × 0.38 dm = 12.768 dm³, 0.0127680 m³ ÷ 0.002359737216 = 5.41 board feet.
    for text in [&page, &terminal] {
        assert!(text.contains("Wood opened 5.41 board feet (12.77 dm³). Proved"), "{text}");
    }
    assert!(page.contains("from 1 board, 12.77 dm³. Of the wood: rough strips "), "{page}");
    let shares = page.split("Of the wood: ").nth(1).unwrap().split(". The").next().unwrap();
    for part in
        ["sawdust", "planed away", "zones and unfit grain", "board ends and edges", "offcuts"]
    {
        let share = shares.split(&format!("{part} ")).nth(1).unwrap().split('%').next().unwrap();
        let row = terminal.split(&format!("│ {part} ")).nth(1).unwrap();
        assert!(row.split('%').next().unwrap().ends_with(&format!(" {share}")), "{part} {share}");
    }
}

/// `grade no. 2`, it said of a No. 2.
#[test]
fn a_grade_is_printed_as_it_is_written() {
    let boards =
        "board,species,length,width,thickness,grade\none,western redcedar,96,6,1 1/2,No. 2 Btr\n";
    let folder = folder(Some(boards), include_str!("../../examples/loft/paddles.toml"));
    let (code, _, err) = run(folder.path(), &["check", "--sheet", "c.html"]);
    assert_eq!(code, Some(0), "{err}");
    let page = read(&fs::read_to_string(folder.path().join("c.html")).unwrap());
    assert!(page.contains("grade No. 2 Btr"), "{page}");
}

/// A zone of no extent is one that the rules allow where a margin is kept around its kind: it was
/// marked as a slip of the pen.
#[test]
fn an_allowed_zone_of_no_extent_is_no_doubt() {
    let boards = "board,species,length,width,thickness,rings,runout,rises,zone,from,to,near,far\n\
        one,western redcedar,96,6,1 1/2,80,1:20,far,nail,40,40,2,2\n";
    let paddles = include_str!("../../examples/loft/paddles.toml").to_owned()
        + "\n[shop.margin]\nnail = { along = 1, across = \"1/4\" }\n";
    let folder = folder(Some(boards), &paddles);
    let (code, _, err) = run(folder.path(), &["check", "--sheet", "c.html"]);
    assert_eq!(code, Some(0), "{err}");
    let source = fs::read_to_string(folder.path().join("c.html")).unwrap();
    assert!(source.contains("nail"), "{source}");
    for mark in ["no extent", "N1 has", "<circle class=\"board\""] {
        assert!(!source.contains(mark), "{mark}");
    }
}

/// On a phone a drawing is wider than the screen: it says so.
#[test]
fn a_page_says_on_a_phone_that_a_drawing_goes_on() {
    let (_, source, _) = told(None, include_str!("../../examples/loft/paddles.toml"));
    let style = source.split("<style>").nth(1).unwrap().split("</style>").next().unwrap();
    let narrow = style.split("@media screen and (max-width: 40rem) {").nth(1).unwrap();
    assert!(
        narrow.contains(".scroll::before { content: \"Goes on to the right: slide it"),
        "{narrow}"
    );
    // Every drawing lies in a box that scrolls.
    assert_eq!(
        source.matches("<svg ").count(),
        source.matches("<div class=\"scroll\"><svg ").count()
    );
}
