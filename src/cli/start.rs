//! `stripwright start`.

use crate::cli::output::say;
use crate::cli::{Ended, Ending, Failure};
use std::io::Write;
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
/// [`Failure`] where a file of that name is there already or the folder can't be written to.
pub fn run(arguments: &Arguments) -> Ended {
    let folder = &arguments.folder;
    let there: Vec<String> = FILES
        .iter()
        .map(|(name, _)| folder.join(name))
        .filter(|path| path.symlink_metadata().is_ok())
        .map(|path| format!("{}: is there already; name another folder.", path.display()))
        .collect();
    if !there.is_empty() {
        return Err(Failure::new(there.join("\n")));
    }
    std::fs::create_dir_all(folder).map_err(|error| cannot(folder, &error))?;
    for (name, text) in FILES {
        let path = folder.join(name);
        write_new(folder, &path, text).map_err(|error| cannot(&path, &error))?;
    }
    let (boards, paddles) = (folder.join("boards.csv"), folder.join("paddles.toml"));
    say(&format!(
        "Wrote boards.csv, paddles.toml and README.txt to {}.\nNext: stripwright plan --boards {} --paddles {}",
        folder.display(),
        quoted(&boards),
        quoted(&paddles),
    ));
    Ok(Ending::Done)
}

/// Writes a file that must not be there yet, never half.
fn write_new(folder: &Path, path: &Path, text: &str) -> std::io::Result<()> {
    let mut file = tempfile::Builder::new().prefix(".stripwright-").tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    super::output::readable(file.as_file());
    file.persist_noclobber(path).map_err(|error| error.error)?;
    Ok(())
}

fn cannot(path: &Path, error: &std::io::Error) -> Failure {
    Failure::new(format!("{}: cannot be written: {error}; name another folder.", path.display()))
}

/// A path as it is typed in a shell.
fn quoted(path: &Path) -> String {
    let shown = path.display().to_string();
    if shown.contains(char::is_whitespace) { format!("\"{shown}\"") } else { shown }
}
