//! Whether two paths are one file.

use std::fs::Metadata;
use std::path::{Path, PathBuf};

/// What a path stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Same {
    /// A file or a pipe that is there, by device and number.
    #[cfg(unix)]
    There(u64, u64),
    /// A place that nothing is at yet; elsewhere than on Unix, any place.
    Place(PathBuf),
}

/// Names of standard output.
const STANDARD: [&str; 4] = ["-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"];

impl Same {
    /// What a path stands for; `None` for devices, which any number of inputs and outputs may be.
    pub(super) fn of(path: &Path) -> Option<Same> {
        match std::fs::metadata(path) {
            Ok(meta) => Same::there(path, &meta),
            Err(_) => Some(Same::Place(place(&resolved(path)))),
        }
    }

    /// What an input stands for: `-` is what standard input comes from.
    pub(super) fn of_input(path: &Path) -> Option<Same> {
        if path == Path::new("-") { Same::of_standard_input() } else { Same::of(path) }
    }

    #[cfg(unix)]
    fn of_standard_input() -> Option<Same> {
        use std::os::fd::AsFd;
        let from = std::io::stdin().as_fd().try_clone_to_owned().ok()?;
        let meta = std::fs::File::from(from).metadata().ok()?;
        Same::there(Path::new("-"), &meta)
    }

    #[cfg(not(unix))]
    fn of_standard_input() -> Option<Same> {
        None
    }

    #[cfg(unix)]
    fn there(_path: &Path, meta: &Metadata) -> Option<Same> {
        use std::os::unix::fs::MetadataExt;
        (meta.is_file() || meta.is_dir() || is_pipe(meta))
            .then(|| Same::There(meta.dev(), meta.ino()))
    }

    #[cfg(not(unix))]
    fn there(path: &Path, meta: &Metadata) -> Option<Same> {
        (meta.is_file() || meta.is_dir())
            .then(|| Same::Place(path.canonicalize().unwrap_or_else(|_| place(path))))
    }

    /// What standard output goes to.
    #[cfg(unix)]
    pub(super) fn of_standard_output() -> Option<(Same, Metadata)> {
        use std::os::fd::AsFd;
        let out = std::io::stdout().as_fd().try_clone_to_owned().ok()?;
        let meta = std::fs::File::from(out).metadata().ok()?;
        Some((Same::there(Path::new("-"), &meta)?, meta))
    }

    #[cfg(not(unix))]
    pub(super) fn of_standard_output() -> Option<(Same, Metadata)> {
        None
    }
}

/// Is it standard output by another name?
pub(super) fn is_standard_output(path: &Path) -> bool {
    let pipe = || {
        let (same, meta) = Same::of_standard_output()?;
        (is_pipe(&meta) && Same::of(path)? == same).then_some(())
    };
    STANDARD.iter().any(|name| path == Path::new(name)) || pipe().is_some()
}

/// Is it something that is open already, which must not be replaced?
pub(super) fn is_open_already(path: &Path) -> bool {
    path.starts_with("/dev/fd") || path.starts_with("/proc") || path == Path::new("/dev/stderr")
}

/// Does what is read from there come once only?
#[cfg(unix)]
pub(super) fn is_pipe(meta: &Metadata) -> bool {
    use std::os::unix::fs::FileTypeExt;
    meta.file_type().is_fifo() || meta.file_type().is_socket()
}

#[cfg(not(unix))]
pub(super) fn is_pipe(_meta: &Metadata) -> bool {
    false
}

/// The path at the end of links, whether there is anything there or not.
pub(super) fn resolved(path: &Path) -> PathBuf {
    let mut path = path.to_owned();
    // As many links as systems follow before they call it a circle.
    for _ in 0..40 {
        match std::fs::read_link(&path) {
            Ok(target) => path = folder(&path).join(target),
            Err(_) => break,
        }
    }
    path
}

/// The folder that a path is in.
pub(super) fn folder(path: &Path) -> &Path {
    path.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."))
}

/// One spelling for a place that nothing is at yet.
fn place(path: &Path) -> PathBuf {
    let within = folder(path);
    let within = within.canonicalize().unwrap_or_else(|_| within.to_owned());
    let name = path.file_name().unwrap_or_default();
    if cfg!(any(windows, target_os = "macos")) {
        // Capitals make no difference there.
        return within.join(name.to_string_lossy().to_lowercase());
    }
    within.join(name)
}
