//! Plans the loft's paddles and lists each strip with the board it comes from:
//! `cargo run --release --example strips`.

use std::path::Path;
use std::process::ExitCode;
use stripwright::{Options, inputs, plan, verify};

fn main() -> ExitCode {
    let folder = Path::new("examples/loft");
    let read = match inputs(&folder.join("boards.csv"), &folder.join("paddles.toml")) {
        Ok(read) => read,
        Err(problems) => return failed(&problems.to_string()),
    };
    let Ok(found) = plan(&read.job, &read.boards, &Options::default()) else {
        return failed("The boards are not enough.");
    };
    let Ok(plan) = verify(found, &read.job, &read.boards) else {
        return failed("The plan breaks a rule: please report it.");
    };
    for (cut, _, _, leaf, strip) in plan.strips() {
        let (board, units) = (&read.boards[cut.board].name, read.job.units);
        let (from, to) = (strip.from.show(units), strip.to.with_unit(units));
        println!(
            "{}: board {board}, {from} to {to}, {} thick",
            strip.id,
            leaf.thickness.show(units)
        );
    }
    ExitCode::SUCCESS
}

fn failed(why: &str) -> ExitCode {
    eprintln!("{why}");
    ExitCode::from(2)
}
