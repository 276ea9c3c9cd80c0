//! `stripwright glue` from files to bench sheets.

use crate::jobs::run;
use std::fs;

const BOARDS: &str = "board,species,length,width,thickness,crook,bow,rises\n\
                      A,WRC,100,5 1/2,1 1/2,1/4,1/32,far\n\
                      B,white ash,90,2,1 1/2,,,\n";
const PADDLES: &str = r#"units = "in"
[glue]
open_time = 12
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
  species = ["white ash"]
  [[paddle.lamination]]
  name = "side"
  thickness = "1/2"
  runs = "through"
  species = ["Western Red-Cedar"]
"#;

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("boards.csv"), BOARDS).unwrap();
    fs::write(folder.path().join("paddles.toml"), PADDLES).unwrap();
    let files = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
    let plan = [&["plan"], &files[..], &["--json", "plan.json"]].concat();
    let (status, out, err) = run(folder.path(), &plan);
    assert_eq!(status, Some(0), "{out}{err}");
    folder
}

const GLUE: [&str; 6] =
    ["glue", "--boards", "boards.csv", "--paddles", "paddles.toml", "plan.json"];

#[test]
fn bench_sheets_on_the_terminal_and_in_a_file() {
    let folder = folder();
    let (status, out, err) = run(folder.path(), &GLUE);
    assert_eq!((status, err.as_str()), (Some(0), ""), "{out}");
    for said in ["Bench sheet: plain", "12:00 min", "loom, stiffness EI", "Cautions", "WRC"] {
        assert!(out.contains(said), "{said}: {out}");
    }
    assert!(!out.contains("not known:"), "{out}");
    let to_file = [&GLUE[..], &["--out", "bench.txt"]].concat();
    let (status, said, _) = run(folder.path(), &to_file);
    assert_eq!((status, said.as_str()), (Some(0), ""));
    assert_eq!(fs::read_to_string(folder.path().join("bench.txt")).unwrap(), out);
}

#[test]
fn a_bad_setting_or_plan_ends_with_status_two() {
    let folder = folder();
    let paddles = PADDLES.replace("open_time = 12", "open_time = \"soon\"");
    fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    let (status, out, err) = run(folder.path(), &GLUE);
    assert_eq!((status, out.as_str()), (Some(2), ""));
    assert_eq!(
        err,
        "paddles.toml, line 3, glue, open_time: \"soon\" is not a number of 0.5 to 1440; check the figure.\n\
         1 problem.\n"
    );
    fs::write(folder.path().join("paddles.toml"), PADDLES).unwrap();
    let boards = BOARDS.replace("1/4,1/32", "6,6");
    fs::write(folder.path().join("boards.csv"), boards).unwrap();
    let (status, out, err) = run(folder.path(), &GLUE);
    assert_eq!((status, out.as_str()), (Some(2), ""));
    assert!(err.contains("nothing was glued up"), "{err}");
}

/// What is foretold of a strip is one figure on the sheet to measure by and on the bench sheet,
/// whichever way it lies there.
#[test]
fn bends_are_foretold_alike_for_measuring_and_for_the_bench() {
    let folder = folder();
    let (_, bench, _) = run(folder.path(), &GLUE);
    let measures = [&GLUE[..], &["--measures", "--width", "160"]].concat();
    let (_, measures, _) = run(folder.path(), &measures);
    let bench = bench.replace("\n    ", " ");
    let after = |line: &str, word: &str| {
        let figure = line.split(&format!(" {word} ")).nth(1)?.split(',').next()?;
        Some(figure.trim_start_matches('-').to_owned())
    };
    let mut bent = 0;
    for row in measures.lines() {
        let cells: Vec<&str> = row.split('│').map(str::trim).collect();
        let [_, strip, _, _, _, _, _, sidewise, depthwise, ..] = cells[..] else { continue };
        let line = bench.lines().find(|l| l.contains(&format!(": {strip}, ")));
        let Some(line) = line.filter(|_| strip.contains('.')) else { continue };
        for (word, figure) in [("sidewise", sidewise), ("depthwise", depthwise)] {
            let figure = figure.trim_start_matches(['+', '−']);
            assert_eq!(after(line, word).as_deref(), Some(figure), "{row}\n{line}");
            bent += usize::from(figure != "0\"");
        }
    }
    assert!(bent > 1, "{measures}\n{bench}");
}
