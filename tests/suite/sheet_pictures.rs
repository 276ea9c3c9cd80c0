//! The pictures that README shows are what the tool draws of its demonstration job. Set
//! `BLESS=1` to write them anew, and look at them.

use std::path::Path;
use stripwright::choose::{self, Options};
use stripwright::read;
use stripwright::report;
use stripwright::verify::verify;

/// The job that is drawn.
const BOARDS: &str = "examples/loft/boards.csv";
const PADDLES: &str = "examples/loft/paddles.toml";
/// Which of its drawings README shows.
const SHOWN: [&str; 3] = ["blank-1.svg", "board-1.svg", "board-2.svg"];

#[test]
fn readme_shows_what_the_tool_draws() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let inputs = read::inputs(&root.join(BOARDS), &root.join(PADDLES)).unwrap();
    let (job, boards) = (inputs.job, inputs.boards);
    let Ok(plan) = choose::plan(&job, &boards, &Options::default()) else {
        panic!("the demonstration job has no plan");
    };
    let plan = verify(plan, &job, &boards).unwrap();
    let page = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet-loft.html");
    std::fs::write(page, report::html(&plan, &job, &boards, &[])).unwrap();
    let drawn = report::svgs(&plan, &job, &boards, &[]);
    for name in SHOWN {
        let (_, svg) = drawn.iter().find(|(n, _)| n == name).unwrap();
        let path = root.join("examples/pictures").join(name);
        if std::env::var_os("BLESS").is_some() {
            std::fs::write(&path, svg).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(kept == *svg, "examples/pictures/{name} is out of step; run with BLESS=1");
        assert!(svg.len() < 60_000);
    }
}
