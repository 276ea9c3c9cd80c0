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
#[command(after_help = "\
Example:
  stripwright start my-job
  stripwright plan my-job")]
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
    let here = Path::new(".").canonicalize().ok();
    let (to, next) = match folder.canonicalize().ok() {
        Some(place) if Some(&place) == here.as_ref() => ("this folder".to_owned(), String::new()),
        _ => (format!("the folder {}", quoted(folder)), format!(" {}", quoted(folder))),
    };
    say(&format!(
        "Wrote boards.csv, paddles.toml and README.txt to {to}.\nNext: stripwright plan{next}"
    ));
    Ok(Ending::Done)
}

/// A path as it is typed in a shell, where it means itself and is no option.
fn quoted(path: &Path) -> String {
    let shown = path.display().to_string();
    let shown = if shown.starts_with('-') { format!("./{shown}") } else { shown };
    // No path holds the zero byte, the one thing that can't be quoted.
    shlex::try_quote(&shown).map_or(shown.clone(), Into::into)
}
