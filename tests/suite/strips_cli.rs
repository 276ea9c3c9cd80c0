//! Strips in hand through the command: planned, verified, shown, measured anew and glued.

use crate::jobs::run;
use std::fs;

const PADDLES: &str = r#"units = "in"
[shop]
curve_kerf = "1/8"
[[paddle]]
name = "plain"
length = "84"
loom = "20"
thickness = "1 3/8"
rings = 0
  [[paddle.lamination]]
  name = "spine"
  thickness = "1/4"
  runs = "through"
  centre = true
  [[paddle.lamination]]
  name = "side"
  thickness = "1/2"
  runs = "through"
  [[paddle.lamination]]
  name = "blade"
  thickness = "3/4"
  runs = "blade"
"#;
const BOARDS: &str = "board,species,length,width,thickness,bow,rises\n\
                      A,WRC,100,5 1/2,1 1/2,,far\n\
                      B,WRC,100,5 1/2,1 1/2,1/4,far\n";
const HEAD: &str =
    "strip,species,length,thickness,depth,sidewise,depthwise,rises,weight,paddle,lamination\n";

fn folder(strips: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("boards.csv"), BOARDS).unwrap();
    fs::write(folder.path().join("paddles.toml"), PADDLES).unwrap();
    fs::write(folder.path().join("strips.csv"), format!("{HEAD}{strips}")).unwrap();
    folder
}

const FILES: [&str; 6] =
    ["--boards", "boards.csv", "--paddles", "paddles.toml", "--strips", "strips.csv"];

/// Every strip of a paddle, whole and straight.
fn whole() -> String {
    let mut text = String::from("r1,fir,86,1/4,1 3/8,,,,,,spine\n");
    for n in 2..4 {
        text += &format!("r{n},fir,86,1/2,1 3/8,,,B,,plain,side\n");
    }
    for n in 4..8 {
        text += &format!("r{n},fir,33,3/4,1 3/8,,,B,,,blade\n");
    }
    text
}

#[test]
fn a_job_on_the_rack_is_planned_without_boards_and_verified() {
    let folder = folder(&whole());
    let rack = ["--paddles", "paddles.toml", "--strips", "strips.csv"];
    let plan =
        [&["plan"], &rack[..], &["--json", "plan.json", "--sheet", "s.html", "--cuts", "c.csv"]]
            .concat();
    let (code, out, err) = run(folder.path(), &plan);
    assert_eq!((code, err.as_str()), (Some(0), ""), "{out}");
    assert!(out.starts_with("1 × plain from 7 strips in hand."), "{out}");
    assert!(out.contains("On the rack: 7 strips") && out.contains("0.00 board feet"), "{out}");
    let json = fs::read_to_string(folder.path().join("plan.json")).unwrap();
    assert!(
        json.contains("\"status\": \"optimal\"") && json.contains("\"strip\": \"r4\""),
        "{json}"
    );
    let page = fs::read_to_string(folder.path().join("s.html")).unwrap();
    assert_eq!(page.matches("on the rack").count(), 7 + 3, "seven labels and three laminations");
    let cuts = fs::read_to_string(folder.path().join("c.csv")).unwrap();
    assert!(
        cuts.lines()
            .nth(1)
            .is_some_and(|l| l.starts_with(",,,,,,,,,,on the rack,,1/4,r1,0,86,plain,spine,")),
        "{cuts}"
    );
    let (code, out, err) =
        run(folder.path(), &[&["verify"], &rack[..], &["plan.json", "--prove"]].concat());
    assert_eq!((code, err.as_str()), (Some(0), ""), "{out}");
    assert!(out.contains("7 strips in hand, 0 strips from 0 boards"), "{out}");
    let (code, out, _) = run(folder.path(), &[&["glue"], &rack[..], &["plan.json"]].concat());
    assert!(code == Some(0) && out.contains("Bench sheet: plain"), "{out}");
    // An empty list of boards will do, too.
    fs::write(folder.path().join("boards.csv"), "board,species,length,width,thickness\n").unwrap();
    assert_eq!(run(folder.path(), &[&["plan"], &FILES[..]].concat()).0, Some(0));
    assert_eq!(
        run(folder.path(), &["plan", "--boards", "boards.csv", "--paddles", "paddles.toml"]).0,
        Some(2)
    );
}

#[test]
fn what_is_missing_is_cut_and_the_rack_stands_in_check_survey_and_buy() {
    let strips: String = whole().lines().take(3).map(|l| format!("{l}\n")).collect();
    let folder = folder(&format!("{strips}x,fir,20,1/2,1 3/8,,,,,,\n"));
    let (code, out, err) =
        run(folder.path(), &[&["plan"], &FILES[..], &["--json", "plan.json"]].concat());
    assert_eq!(code, Some(0), "{out}{err}");
    assert_eq!(
        err,
        "Warning: strip x serves nothing: it is 20\" long, plain blade needs 32 3/8\".\n"
    );
    assert!(out.starts_with("1 × plain from 1 board and 3 strips in hand."), "{out}");
    let (code, out, _) = run(folder.path(), &[&["check"], &FILES[..]].concat());
    assert!(code == Some(0) && out.contains("Strips in hand, and what each may serve"), "{out}");
    assert!(out.contains("strip x serves nothing"), "{out}");
    let (code, out, _) = run(folder.path(), &[&["survey"], &FILES[..]].concat());
    assert!(code == Some(0) && out.contains("Strips in hand"), "{out}");
    let yard = "board,species,length,width,thickness,price\nY,WRC,100,7 1/4,1 1/2,20\nZ,WRC,40,5 1/2,1 1/2,8\n";
    fs::write(folder.path().join("yard.csv"), yard).unwrap();
    let buy = ["buy", "--yard", "yard.csv", "--paddles", "paddles.toml"];
    let (code, out, _) = run(folder.path(), &[&buy[..], &["--strips", "strips.csv"]].concat());
    assert!(code == Some(0) && out.contains("8.00") && !out.contains("28.00"), "{out}");
}

#[test]
fn the_list_of_strips_is_an_input_that_no_output_replaces() {
    let folder = folder(&whole());
    for option in ["--json", "--cuts", "--sheet"] {
        let (code, _, err) =
            run(folder.path(), &[&["plan"], &FILES[..], &[option, "strips.csv"]].concat());
        assert!(code == Some(2) && err.contains("strips.csv"), "{err}");
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("strips.csv")).unwrap(),
        format!("{HEAD}{}", whole())
    );
    // Problems of all files come in one run.
    fs::write(
        folder.path().join("boards.csv"),
        "board,species,length,width,thickness\nA,fir,long,5,1\n",
    )
    .unwrap();
    fs::write(folder.path().join("strips.csv"), format!("{HEAD}a,fir,86,thin,1\n")).unwrap();
    let (code, _, err) = run(folder.path(), &[&["plan"], &FILES[..]].concat());
    assert!(
        code == Some(2)
            && err.contains("boards.csv, line 2")
            && err.contains("strips.csv, line 2, column thickness")
            && err.contains("2 problems."),
        "{err}"
    );
}

/// A plan of two boards' strips, of which B's are bent, and what glue says of them as measured.
fn glued(measured: &str) -> (Option<i32>, String, String) {
    let folder = folder("");
    let files = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
    let (code, out, err) =
        run(folder.path(), &[&["plan"], &files[..], &["--json", "plan.json"]].concat());
    assert_eq!(code, Some(0), "{out}{err}");
    fs::write(folder.path().join("strips.csv"), format!("{HEAD}{measured}")).unwrap();
    run(folder.path(), &[&["glue"], &FILES[..], &["plan.json"]].concat())
}

/// The names of the strips of a lamination, cut from which board.
fn planned(lamination: &str) -> Vec<String> {
    let folder = folder("");
    let files = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
    run(folder.path(), &[&["plan"], &files[..], &["--json", "plan.json"]].concat());
    let text = fs::read_to_string(folder.path().join("plan.json")).unwrap();
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    let mut names = Vec::new();
    let list = |v: &serde_json::Value, key: &str| v[key].as_array().unwrap().clone();
    for board in list(&json, "boards") {
        for section in list(&board, "sections") {
            for rip in list(&section, "rips") {
                for leaf in list(&rip, "leaves") {
                    let strips = list(&leaf, "strips").into_iter();
                    let those = strips.filter(|s| s["lamination"] == lamination);
                    names.extend(those.map(|s| s["id"].as_str().unwrap().to_owned()));
                }
            }
        }
    }
    names
}

#[test]
fn a_strip_that_bends_more_than_was_foretold_gets_a_partner_or_is_told_of() {
    let side = planned("side");
    let line =
        |name: &str, deep: &str| format!("{name},WRC,86,17/32,1 7/16,,{deep},,,plain,side\n");
    // Both bent alike: a flipped pair now.
    let (code, out, err) = glued(&(line(&side[0], "1/4") + &line(&side[1], "-1/4")));
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(!out.contains("no longer fits"), "{out}");
    assert!(out.contains("must be held flat"), "{out}");
    // One alone: there is no partner; the rack's, the rack's straight one.
    let one = line(&side[0], "1/4");
    let (code, out, _) = glued(&one);
    assert_eq!(code, Some(1), "{out}");
    let told = format!("{} no longer fits as plain side", side[0]);
    assert!(
        out.contains(&told) && out.contains("no strip is there that it could be flipped with"),
        "{out}"
    );
    assert!(out.contains("make 0 of 1 plain"), "{out}");
    let (code, out, err) = glued(&(one.clone() + &line("r1", "9/32") + &line("r2", "")));
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let unknown = "the plan does not use strips r1, r2; what was measured of them changes nothing.";
    assert!(err.contains(unknown), "{err}");
    assert_eq!(code, Some(1), "{out}");
    assert!(
        out.contains("flip it with r1, from the rack; or take r2 from the rack in its place"),
        "{out}"
    );
    // Beyond the clamps.
    let pulled = format!("{},WRC,86,17/32,1 7/16,1 1/4,,,,,\n", side[0]);
    let (code, out, _) = glued(&pulled);
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(code == Some(1) && out.contains("sidewise, clamps may pull out 1\""), "{out}");
    assert!(
        out.contains("it fits as plain blade") || out.contains("cut another in its place"),
        "{out}"
    );
}

#[test]
fn measured_bends_rise_and_weight_are_what_is_foretold_with() {
    let side = planned("side");
    let (_, plain, _) = glued("");
    let (code, out, err) =
        glued(&format!("{},WRC,86 3/4,1/2,1 7/16,3/16,1/32,A,2 lb,,\n", side[0]));
    assert_eq!((code, err.as_str()), (Some(0), ""), "{out}");
    assert_ne!(plain, out);
    // 3/16 in over 86 3/4 is 11/64 over 84 3/4; the grain was read off the other way.
    let told = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let row = told
        .split(&format!(": {}, side,", side[0]))
        .nth(1)
        .unwrap()
        .split(" slope")
        .next()
        .unwrap();
    assert!(row.contains("11/64\"") && row.contains("depthwise 1/32\""), "{row}");
    assert!(row.contains("spun") || row.contains("rolled"), "{row}");
    let weight =
        |text: &str| text.lines().find(|l| l.contains("blank as glued")).unwrap().to_owned();
    assert_ne!(weight(&plain), weight(&out));
}

#[test]
fn the_page_has_a_row_to_write_on_for_every_strip_that_is_cut() {
    let folder = folder("");
    let files = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
    let (code, ..) = run(folder.path(), &[&["plan"], &files[..], &["--sheet", "s.html"]].concat());
    assert_eq!(code, Some(0));
    let page = fs::read_to_string(folder.path().join("s.html")).unwrap();
    let sheet = page.split("id=\"measures\"").nth(1).unwrap().split("</section>").next().unwrap();
    let rows: Vec<&str> = sheet.split("<tr>").skip(2).collect();
    assert_eq!(rows.len(), 7);
    for name in planned("side").iter().chain(&planned("blade")) {
        let row = rows.iter().find(|r| r.contains(&format!("<b>{name}</b>"))).unwrap();
        // Seven foretold and one for the weight.
        assert_eq!(
            (row.matches("class=\"blank\"").count(), row.matches("class=\"foretold\"").count()),
            (8, 7)
        );
        assert!(row.contains("7/16&quot;"), "{row}");
    }
    for column in
        ["length", "thickness", "depth", "rings", "sidewise", "depthwise", "rises", "weight"]
    {
        assert!(sheet.contains(&format!("<th>{column}</th>")), "{column}");
    }
}

/// The other half of a pair that broke serves nothing, and is told of with what makes it serve: one
/// more strip, ripped from what is left of the board, that bends as it does.
#[test]
fn a_bent_strip_without_its_partner_is_told_of_with_what_would_be_one() {
    let mut strips = whole().lines().map(str::to_owned).collect::<Vec<_>>();
    strips[1] = "r2,fir,86,1/2,1 3/8,,1/4,B,,plain,side".to_owned();
    let mate = "r3,fir,86,1/2,1 3/8,,1/4,B,,,".to_owned();
    strips.remove(2);
    let broken = folder(&strips.iter().map(|l| format!("{l}\n")).collect::<String>());
    let plan = [&["plan"], &FILES[..]].concat();
    let (code, out, err) = run(broken.path(), &plan);
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(
        err.contains("strip r2 serves nothing") && err.contains("could be its partner"),
        "{err}"
    );
    strips.push(mate);
    let mended = folder(&strips.iter().map(|l| format!("{l}\n")).collect::<String>());
    let (code, out, err) = run(mended.path(), &plan);
    assert_eq!((code, err.as_str()), (Some(0), ""), "{out}");
    assert!(out.starts_with("1 × plain from 7 strips in hand."), "{out}");
}

/// What is crosscut by a tape measures as a tape shows it, which may be a hair less than the exact length
/// that the plan asks for. Typed in so, strips were refused as too short.
#[test]
fn a_strip_that_measures_what_a_tape_shows_of_its_length_is_long_enough() {
    // With 3/8 in left for trimming at each end: 84.76 in rough, which a tape shows as 84 3/4.
    let paddles = PADDLES.replace("length = \"84\"", "length = \"84.01\"");
    assert_ne!(paddles, PADDLES);
    let side = planned("side");
    let measured = |length: &str| {
        let folder = folder("");
        fs::write(folder.path().join("paddles.toml"), &paddles).unwrap();
        let files = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
        let words = [&["plan"], &files[..], &["--json", "plan.json"]].concat();
        assert_eq!(run(folder.path(), &words).0, Some(0));
        let strip = format!("{HEAD}{},WRC,{length},17/32,1 7/16,,,,,plain,side\n", side[0]);
        fs::write(folder.path().join("strips.csv"), strip).unwrap();
        run(folder.path(), &[&["glue"], &FILES[..], &["plan.json"]].concat())
    };
    let (code, out, err) = measured("84 3/4");
    assert_eq!(code, Some(0), "{out}{err}");
    assert!(!out.contains("no longer fits"), "{out}");
    let (code, out, _) = measured("84 23/32");
    assert!(code == Some(1) && out.contains("no longer fits"), "{out}");
}

/// In a class a strip that is too short for its builder fits many others.
#[test]
fn of_many_other_places_for_a_strip_two_are_named() {
    let mut paddles = PADDLES.to_owned();
    for (n, shorter) in ["Una", "Bram", "Cleo", "Dov"].into_iter().enumerate() {
        let more =
            format!("[[paddle]]\nname = \"{shorter}\"\nlike = \"plain\"\nlength = {}\n", 40 + n);
        paddles.push_str(&more);
    }
    let folder = folder("");
    fs::write(folder.path().join("paddles.toml"), &paddles).unwrap();
    let boards =
        BOARDS.replace("B,WRC", "C,WRC,100,5 1/2,1 1/2,,far\nD,WRC,100,5 1/2,1 1/2,,far\nB,WRC");
    fs::write(folder.path().join("boards.csv"), boards).unwrap();
    let files = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
    let (code, out, err) =
        run(folder.path(), &[&["plan"], &files[..], &["--json", "plan.json"]].concat());
    assert_eq!(code, Some(0), "{out}{err}");
    let cuts = run(folder.path(), &[&["plan"], &files[..], &["--cuts", "-"]].concat()).1;
    let line = cuts.lines().find(|l| l.contains(",plain,side")).unwrap().to_owned();
    let name =
        line.split(',').find(|cell| cell.contains('.') && !cell.contains(' ')).unwrap().to_owned();
    fs::write(
        folder.path().join("strips.csv"),
        format!("{HEAD}{name},WRC,60,17/32,1 7/16,,,,,,\n"),
    )
    .unwrap();
    let (code, out, _) = run(folder.path(), &[&["glue"], &FILES[..], &["plan.json"]].concat());
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(code == Some(1) && out.contains(" more place"), "{out}");
}
