//! What the sheet holds: its parts by name, what is printed once a job, labels, a class's sheets,
//! boards as understood, cards for the pocket. Through the real binary; boards and paddles are
//! invented.

use crate::jobs::run;
use std::fs;
use std::path::Path;
use stripwright::length::Length;
use stripwright::survey::look::look;

const SHOP: &str = r#"units = "in"
[shop]
rip_kerf = "1/8"
crosscut_kerf = "1/8"
resaw_kerf = "1/16"
edge = "1/8"
far_edge = "1/8"
board_end = 1
dress = "1/64"
plane = "1/32"
min_rip = 12
"#;

const LAMINATIONS: &str = r#"quantity = QUANTITY
length = 84
loom = 21
thickness = "1 3/8"
trim = "3/8"
rings = 45
  [[paddle.lamination]]
  name = "spine"
  thickness = "1/4"
  runs = "through"
  centre = true
  species = ["white ash"]
  [[paddle.lamination]]
  name = "side"
  thickness = "1/2"
  runs = "through"
  species = ["western redcedar"]
  [[paddle.lamination]]
  name = "blade"
  thickness = "9/16"
  runs = "blade"
  species = ["western redcedar"]
"#;

/// Ash that gives two spines one over the other, and cedar that gives one paddle's strips with
/// 11/32 in beside them.
const BOARDS: &str = "board,species,length,width,thickness,rings,runout,quantity,zone,from,to,near,far\n\
    ash,white ash,90,1 3/4,13/16,10,1:20,9,,,,,\n\
    red,western redcedar,90,3 11/32,1 1/2,80,1:20,9,,,,,\n";

fn paddles(names: &[(&str, u32)]) -> String {
    let one = |(name, many): &(&str, u32)| {
        let keys = LAMINATIONS.replace("QUANTITY", &many.to_string());
        format!("[[paddle]]\nname = \"{name}\"\n{keys}")
    };
    SHOP.to_owned() + &names.iter().map(one).collect::<String>()
}

fn folder(boards: &str, paddles: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("boards.csv"), boards).unwrap();
    fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    folder
}

const FILES: [&str; 4] = ["--boards", "boards.csv", "--paddles", "paddles.toml"];

/// The page, and what the terminal said.
fn planned(folder: &Path, more: &[&str]) -> (String, String) {
    let arguments = [&["plan"], &FILES[..], &["--sheet", "s.html"], more].concat();
    let (code, out, err) = run(folder, &arguments);
    assert_eq!(code, Some(0), "{err}");
    let page = fs::read_to_string(folder.join("s.html")).unwrap();
    (page.replace('\u{A0}', " "), out)
}

fn count(page: &str, what: &str) -> usize {
    page.matches(what).count()
}

#[test]
fn only_the_parts_that_were_chosen_are_printed() {
    let folder = folder(BOARDS, &paddles(&[("estuary", 2)]));
    let marks = [
        ("job", "Boards to open"),
        ("boards", "id=\"board1\""),
        ("labels", "id=\"labels\""),
        ("measures", "id=\"measures\""),
        ("gluing", "id=\"gluing\""),
        ("bench", "id=\"bench2\""),
    ];
    let (all, _) = planned(folder.path(), &[]);
    for (part, _) in marks {
        let (page, _) = planned(folder.path(), &["--pages", part]);
        for (other, mark) in marks {
            assert_eq!(page.contains(mark), other == part, "{part}: {mark}");
            assert!(all.contains(mark), "{mark}");
        }
        // What can hurt stands beside the work, whatever was chosen.
        assert_eq!(page.contains("Before the saw"), matches!(part, "job" | "boards"), "{part}");
        assert_eq!(page.contains("Glues with isocyanate"), matches!(part, "gluing" | "bench"));
    }
    let (page, _) = planned(folder.path(), &["--pages", "bench, Labels"]);
    let found: Vec<bool> = marks.iter().map(|(_, mark)| page.contains(mark)).collect();
    assert_eq!(found, [false, false, true, false, false, true]);
}

#[test]
fn a_part_that_is_not_there_is_refused_with_all_names() {
    let folder = folder(BOARDS, &paddles(&[("estuary", 1)]));
    let arguments = [&["plan"], &FILES[..], &["--sheet", "s.html", "--pages", "board"]].concat();
    let (code, _, err) = run(folder.path(), &arguments);
    assert_eq!(code, Some(2));
    assert!(err.contains("job, boards, labels, measures, gluing, bench"), "{err}");
    assert!(!folder.path().join("s.html").exists());
    let without = [&["plan"], &FILES[..], &["--pages", "boards"]].concat();
    let (code, _, err) = run(folder.path(), &without);
    assert_eq!(code, Some(2));
    assert!(err.contains("--sheet"), "{err}");
}

/// Six paddles took 24 pages of the bench, most of them alike.
#[test]
fn how_to_glue_and_cautions_stand_once_a_job() {
    let folder = folder(BOARDS, &paddles(&[("estuary", 3)]));
    let (page, _) = planned(folder.path(), &[]);
    for once in [
        "Glues with isocyanate",
        "Wax or tape cauls",
        "Draw the witness marks on the upper faces",
        "glue area:",
        "Force in all, spread along",
        "Gluing up: the same for every blank",
    ] {
        let expected = usize::from(!once.starts_with("Force"));
        assert_eq!(count(&page, once), expected, "{once}");
    }
    let sheets: Vec<&str> = page.split("<section class=\"sheet bench\"").skip(1).collect();
    assert_eq!(sheets.len(), 3);
    for sheet in sheets {
        // What is the blank's own is on its sheet, and every step, if only with where to read it.
        for own in ["Lay the strips on the bench from left to right", "paddle shaped", "END A"] {
            assert!(sheet.contains(own), "{own}");
        }
        for n in 1..=7 {
            let step = [format!("<p class=\"set\">{n}. "), format!("<span>{n}. ")];
            assert!(step.iter().any(|s| sheet.contains(s)), "step {n}");
        }
        assert!(sheet.contains("Get ready: as the sheet Gluing up says."));
    }
}

/// A caution that stood at the end of a step once kept the next step with it, and so on.
#[test]
fn before_the_saw_and_labels_are_not_broken() {
    let folder = folder(BOARDS, &paddles(&[("estuary", 1)]));
    let (page, _) = planned(folder.path(), &[]);
    let css = page.split("<style>").nth(1).unwrap().split("</style>").next().unwrap();
    let rule = |selector: &str| {
        let of = css.split(&format!("\n{selector} {{")).nth(1).unwrap_or_default();
        of.split('}').next().unwrap().to_owned()
    };
    for selector in [".box", ".label", ".whole", ".step"] {
        assert!(rule(selector).contains("break-inside: avoid") || selector == ".step");
    }
    assert!(!rule(".caution").contains("break-after"));
}

/// A builder's strips bear the builder's name, there is one bench sheet for each, and each board
/// comes once.
#[test]
fn a_class_has_labels_by_builder_and_boards_once() {
    let names = [("Ines", 1), ("Oskar", 1), ("Wren", 1)];
    let folder = folder(BOARDS, &paddles(&names));
    let (page, _) = planned(folder.path(), &["--json", "plan.json"]);
    for (name, _) in names {
        assert_eq!(count(&page, &format!("<strong>{name}</strong>, ")), 7, "labels of {name}");
        assert_eq!(count(&page, &format!("<h2>Bench: {name}</h2>")), 1);
    }
    assert_eq!(count(&page, "The blank of "), 1, "one drawing for blanks that are alike");
    assert!(page.contains("The blank of Ines, Oskar, Wren"));
    let plan = fs::read_to_string(folder.path().join("plan.json")).unwrap();
    let boards = serde_json::from_str::<serde_json::Value>(&plan).unwrap();
    let opened = boards["boards"].as_array().unwrap().len();
    assert_eq!(count(&page, "id=\"board"), opened);
    // One label for each strip, with its name as it is written on the wood.
    let labels = page.split("id=\"labels\"").nth(1).unwrap().split("</section>").next().unwrap();
    assert_eq!(count(labels, "class=\"label\""), 21);
    for strip in ["ash/1.1", "red/1.1"] {
        assert!(labels.contains(&format!("<b>◂ {strip}</b>")), "{strip}: {labels}");
    }
}

/// The terminal named a useless edging, since what is left of rips was not looked at; and kept it,
/// since a strip of another wood is as narrow.
#[test]
fn a_second_spine_is_the_best_offcut_and_a_useless_edging_is_none() {
    let folder = folder(BOARDS, &paddles(&[("estuary", 1)]));
    let (page, out) = planned(folder.path(), &[]);
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let best = out.split("Worth keeping, the best piece: ").nth(1).unwrap_or_default();
    // By hand: 13/16 less 9/32, 1/32 over for the dressing and a kerf of 1/16.
    let said = "84 3/4\" long, 1 7/16\" wide and 7/16\" thick off board ash/1, large enough for another spine of estuary.";
    assert!(best.starts_with(said), "{out}");
    assert!(page.contains("keep 1 off ash"), "{page}");
    assert!(!page.contains("keep 1 off red"), "the edging");
}

#[test]
fn boards_are_drawn_as_understood_and_what_looks_wrong_is_marked() {
    let boards = "board,species,length,width,thickness,rings,crook,bow,runout,rises,zone,from,to,near,far\n\
        sound,western redcedar,90,5,1 1/2,80,1/2,-1/4,1:20,far,knot,20,21,1,2\n\
        odd,western redcedar,90,5,1 1/2,80,6,,1:3,,knot,20,25,1,3\n\
        odd,,,,,,,,,,knot,21,22,1,2\n\
        tiny,western redcedar,40,5,1 1/2,80,,,1:20,,,,,,\n";
    let folder = folder(boards, &paddles(&[("estuary", 1)]));
    let arguments = [&["check"], &FILES[..], &["--sheet", "c.html"]].concat();
    let (code, out, err) = run(folder.path(), &arguments);
    assert_eq!(code, Some(0), "{err}");
    assert!(out.contains("Strips to cut"), "{out}");
    let page = fs::read_to_string(folder.path().join("c.html")).unwrap();
    let page = page.replace('\u{A0}', " ").replace("&quot;", "\"");
    let of = |name: &str| -> String {
        let all = page.split("<section class=\"understood").skip(1);
        all.filter(|s| s.contains(&format!("<h2>Board {name}</h2>"))).collect()
    };
    let sound = of("sound");
    for said in [
        "western redcedar, 90 × 5 × 1 1/2 in; reference edge hollow by 1/2\"; marked face crowned by 1/4\"",
        "rings at 80° to the wide face",
        "slope of grain 1:20, comes up to the marked face towards the far end",
        "MARKED END",
        "REFERENCE EDGE",
        "along 20\" to 21\", across 1\" to 2\"",
    ] {
        assert!(sound.contains(said), "{said}: {sound}");
    }
    assert!(!sound.contains("class=\"caution\"") && !sound.contains("<circle"), "{sound}");
    let odd = of("odd");
    for said in [
        "crook of 6\" is more than 1 in 48 of its length",
        "slope of grain steeper than 1:5",
        "K2 lies inside another of its kind: is it listed twice?",
        "<circle class=\"board\"",
    ] {
        assert!(odd.contains(said), "{said}: {odd}");
    }
    assert!(page.contains("<b>Look twice at: </b>odd."), "{page}");
    // No plan was made, and none is told of.
    assert!(!page.contains("Cuts in shop order") && !page.contains("Proved"));
}

/// 16 ft: clamps pull out 34 in, it said of short strips.
#[test]
fn a_card_for_the_rack_refuses_absurd_bends() {
    let short = paddles(&[("oar", 1)])
        .replace("length = 84", "length = 48")
        .replace("loom = 21", "loom = 12");
    let job = stripwright::read::job_text("p.toml", &short).unwrap();
    for look in look(&job) {
        for bend in &look.bends {
            for amount in [bend.free, bend.pairs, bend.pull] {
                assert!(amount.units() * 48 <= bend.length.units(), "{bend:?}");
            }
        }
        let long = look.bends.iter().find(|b| b.length == Length::FOOT * 16).unwrap();
        assert_eq!(long.pull, Length::INCH * 4);
    }
    let folder = folder(BOARDS, &short);
    let arguments = ["look-for", "--paddles", "paddles.toml", "--sheet", "card.html"];
    let (code, out, err) = run(folder.path(), &arguments);
    assert_eq!(code, Some(0), "{err}");
    assert!(out.lines().count() < 80, "{}", out.lines().count());
    let page = fs::read_to_string(folder.path().join("card.html")).unwrap();
    assert_eq!(count(&page, "class=\"card\""), 1, "{page}");
    for said in ["Look for: oar", "white ash: clear runs", "western redcedar: clear runs", "16 ft"]
    {
        assert!(page.contains(said), "{said}");
    }
    assert!(page.contains("width: 3.5in; min-height: 5in"));
}

#[test]
fn what_boards_give_and_what_to_buy_fit_a_pocket_too() {
    let folder = folder(BOARDS, &paddles(&[("estuary", 1)]));
    let arguments = [&["survey"], &FILES[..], &["--sheet", "-"]].concat();
    let (code, page, err) = run(folder.path(), &arguments);
    assert_eq!(code, Some(0), "{err}");
    assert!(page.starts_with("<!DOCTYPE html>"), "the page stands alone: {page}");
    assert!(page.contains("class=\"card\"") && page.contains("<td>red</td>"), "{page}");
    let yard = BOARDS.replace("runout,", "runout,price,").replace("1:20,", "1:20,12.50,");
    fs::write(folder.path().join("yard.csv"), yard).unwrap();
    let arguments =
        ["buy", "--yard", "yard.csv", "--paddles", "paddles.toml", "--sheet", "buy.html"];
    let (code, out, err) = run(folder.path(), &arguments);
    assert_eq!(code, Some(0), "{err}");
    assert!(out.contains("buy 2 boards for 25.00"), "{out}");
    let page = fs::read_to_string(folder.path().join("buy.html")).unwrap();
    for said in
        ["Buy for 1 × estuary", "12.50", "Proved", "If it is otherwise", "type=\"checkbox\""]
    {
        assert!(page.contains(said), "{said}: {page}");
    }
}

/// Ticks are kept under a name that is the page's own: another plan's page has none of them.
#[test]
fn ticks_are_kept_by_page() {
    let folder = folder(BOARDS, &paddles(&[("estuary", 1)]));
    let key = |page: &str| -> String {
        let of = page.split("\"ticks of ").nth(1).unwrap();
        of.split('"').next().unwrap().to_owned()
    };
    let (one, _) = planned(folder.path(), &[]);
    let (again, _) = planned(folder.path(), &[]);
    assert_eq!(count(&one, "<script>"), 1);
    assert_eq!(key(&one), key(&again));
    fs::write(folder.path().join("paddles.toml"), paddles(&[("estuary", 2)])).unwrap();
    let (other, _) = planned(folder.path(), &[]);
    assert_ne!(key(&one), key(&other));
    assert!(key(&one).len() == 16 && one.ends_with("</script></body></html>"));
}
