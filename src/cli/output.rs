//! Writing to the terminal and to files, so that nothing is half-written.

use crate::cli::Failure;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Prints to standard output. A reader that has gone away (`| head`) is no failure.
pub fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    if !text.ends_with('\n') {
        let _ = out.write_all(b"\n");
    }
    let _ = out.flush();
}

/// Prints to standard error.
pub fn complain(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = out.write_all(text.trim_end().as_bytes());
    let _ = out.write_all(b"\n");
}

/// The width to print at: as asked, else the terminal's, else 100 columns where there is none.
pub fn width(asked: Option<usize>) -> usize {
    let terminal = || terminal_size::terminal_size().map(|(w, _)| usize::from(w.0));
    asked.or_else(terminal).unwrap_or(100).max(20)
}

/// A file to be written: opened under a temporary name beside its own before slow work begins,
/// renamed when it is whole.
pub struct Output {
    path: PathBuf,
    /// `None` for standard output, written as `-`.
    file: Option<tempfile::NamedTempFile>,
}

impl Output {
    /// Opens an output.
    ///
    /// # Errors
    /// [`Failure`] naming the path where its folder can't be written to.
    pub fn open(path: &Path) -> Result<Self, Failure> {
        if path == Path::new("-") {
            return Ok(Output { path: path.to_owned(), file: None });
        }
        let cannot = |why: &dyn std::fmt::Display| {
            Failure::new(format!(
                "{}: cannot be written: {why}; name another file.",
                path.display()
            ))
        };
        if path.is_dir() {
            return Err(cannot(&"it is a folder"));
        }
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let file = tempfile::Builder::new()
            .prefix(".stripwright-")
            .tempfile_in(folder)
            .map_err(|error| cannot(&error))?;
        Ok(Output { path: path.to_owned(), file: Some(file) })
    }

    /// Sees that no two outputs go to one place.
    ///
    /// # Errors
    /// [`Failure`] naming the path.
    pub fn apart(paths: &[&Option<PathBuf>]) -> Result<(), Failure> {
        for (n, path) in paths.iter().enumerate() {
            if let Some(path) = path
                && paths[..n].iter().any(|p| p.as_ref() == Some(path))
            {
                let path = path.display();
                return Err(Failure::new(format!(
                    "{path}: two outputs would be written there; name another file for one."
                )));
            }
        }
        Ok(())
    }

    /// Opens an output that may not have been asked for.
    ///
    /// # Errors
    /// As [`Output::open`].
    pub fn maybe(path: Option<&PathBuf>) -> Result<Option<Self>, Failure> {
        path.map(|p| Output::open(p)).transpose()
    }

    /// Writes the whole text and gives the file its name.
    ///
    /// # Errors
    /// [`Failure`] naming the path.
    pub fn write(self, text: &str) -> Result<(), Failure> {
        let path = self.path;
        let Some(mut file) = self.file else {
            say(text);
            return Ok(());
        };
        let cannot = |error: std::io::Error| {
            Failure::new(format!(
                "{}: cannot be written: {error}; name another file.",
                path.display()
            ))
        };
        file.write_all(text.as_bytes()).map_err(cannot)?;
        file.as_file().sync_all().map_err(cannot)?;
        readable(file.as_file());
        file.persist(&path).map_err(|error| cannot(error.error))?;
        Ok(())
    }
}

/// Temporary files are private; a finished one is as readable as any other.
#[cfg(unix)]
pub(super) fn readable(file: &std::fs::File) {
    use std::os::unix::fs::PermissionsExt;
    let _ = file.set_permissions(std::fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
pub(super) fn readable(_file: &std::fs::File) {}
