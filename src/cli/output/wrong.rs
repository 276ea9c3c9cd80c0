//! What went wrong with an output, in words.

use crate::cli::Failure;
use std::io::ErrorKind;
use std::path::Path;

pub(super) fn cannot(path: &Path, error: &std::io::Error, what: &str) -> Failure {
    let why = why(error);
    Failure::new(format!("{}: cannot be written: {why}; name another {what}.", path.display()))
}

/// What went wrong, in words that say what of the named place it was.
pub(super) fn why(error: &std::io::Error) -> String {
    let words = match error.kind() {
        ErrorKind::NotFound => "its folder is not there",
        ErrorKind::PermissionDenied => "you have no right to write there",
        ErrorKind::NotADirectory => "what should be its folder is a file",
        ErrorKind::IsADirectory => "it names a folder",
        ErrorKind::AlreadyExists => "a file of that name is there already",
        ErrorKind::FileTooLarge => "it would be larger than a file may be here",
        ErrorKind::StorageFull => "the disk is full",
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only",
        _ => return error.to_string(),
    };
    words.to_owned()
}
