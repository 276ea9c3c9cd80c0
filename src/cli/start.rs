//! `stripwright start`.

use crate::cli::output::{Outputs, say};
use crate::cli::{Ended, Ending};
use std::path::{Path, PathBuf};

/// The files of the starter job.
const FILES: [(&str, &str); 3] = [
    ("boards.csv", include_str!("start/boards.csv")),
    ("paddles.toml", include_str!("start/paddles.toml")),
    ("README.txt", include_str!("start/README.txt")),
];

/// Write a starter job, explained, that plans as it stands
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder to write it in; made if it isn't there
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`](crate::cli::Failure) where a file of that name is there already or the folder can't be written to.
pub fn run(arguments: &Arguments) -> Ended {
    let folder = &arguments.folder;
    let mut outputs = Outputs::fresh(folder, &FILES.map(|(name, _)| name))?;
    for (name, text) in FILES {
        outputs.put(name, || text.to_owned());
    }
    outputs.commit()?;
    let (boards, paddles) = (folder.join("boards.csv"), folder.join("paddles.toml"));
    say(&format!(
        "Wrote boards.csv, paddles.toml and README.txt to {}.\nNext: stripwright plan --boards {} --paddles {}",
        folder.display(),
        quoted(&boards),
        quoted(&paddles),
    ));
    Ok(Ending::Done)
}

/// A path as it is typed in a shell.
fn quoted(path: &Path) -> String {
    let shown = path.display().to_string();
    if shown.contains(char::is_whitespace) { format!("\"{shown}\"") } else { shown }
}
