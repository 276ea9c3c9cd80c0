//! The one step in which all files of a run get their names, or none.

use super::same::folder;
use super::wrong::cannot;
use crate::cli::Failure;
use crate::cli::temps::{Temp, held};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::fs::Metadata;
use std::io::{BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};

/// A change of the step in which everything is written.
pub(super) struct Change {
    /// What is put there; `None` where a file goes.
    pub temp: Option<Temp>,
    pub at: PathBuf,
    pub shown: PathBuf,
    /// Where the file that stood there is kept until all is done, with its number among what is
    /// then removed.
    pub aside: Option<(PathBuf, u64)>,
}

/// A text as it is made, piece by piece.
pub(super) type Pieces<'a> = dyn FnMut(&mut dyn fmt::Write) -> fmt::Result + 'a;

/// Writes a temporary file whole, with the rights of the file before it, and closes it. Where the
/// disk is to have it before this returns, `safe` says so.
pub(super) fn fill(
    mut temp: Temp,
    before: Option<&Metadata>,
    safe: bool,
    pieces: &mut Pieces<'_>,
) -> std::io::Result<Temp> {
    let Some(file) = temp.file.take() else { return Err(ErrorKind::NotFound.into()) };
    let mut out = Pouring { out: BufWriter::new(file), failed: None };
    let poured = pieces(&mut out);
    if let Some(error) = out.failed {
        return Err(error);
    }
    poured.map_err(std::io::Error::other)?;
    let file = out.out.into_inner().map_err(std::io::IntoInnerError::into_error)?;
    if let Some(before) = before {
        like(&temp.path, &file, before)?;
    }
    if safe {
        file.sync_all()?;
    }
    Ok(temp)
}

/// Takes a text's pieces to a file, and keeps what went wrong there.
struct Pouring<W> {
    out: W,
    failed: Option<std::io::Error>,
}

impl<W: Write> fmt::Write for Pouring<W> {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.out.write_all(text.as_bytes()).map_err(|error| {
            self.failed = Some(error);
            fmt::Error
        })
    }
}

/// Files are brought down to the disk one by one as they are written, up to so many of one run;
/// of more, all together where the system can do that.
#[cfg(target_os = "linux")]
pub(super) const ONE_BY_ONE: usize = 64;
#[cfg(not(target_os = "linux"))]
pub(super) const ONE_BY_ONE: usize = usize::MAX;

/// Brings down to the disk what was written without that.
#[cfg(target_os = "linux")]
pub(super) fn settle(changes: &[Change]) -> Result<(), Failure> {
    let new = changes.iter().filter(|c| c.temp.is_some());
    let folders: BTreeMap<&Path, &Change> = new.map(|c| (folder(&c.at), c)).collect();
    for (folder, change) in folders {
        // A folder that can't be read may be written to still.
        let Ok(open) = std::fs::File::open(folder) else { continue };
        rustix::fs::syncfs(&open).map_err(|error| cannot(&change.shown, &error.into(), "file"))?;
    }
    Ok(())
}

#[cfg(not(target_os = "linux"))]
pub(super) fn settle(_changes: &[Change]) -> Result<(), Failure> {
    Ok(())
}

#[cfg(unix)]
fn like(path: &Path, file: &std::fs::File, before: &Metadata) -> std::io::Result<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    let now = file.metadata()?;
    if (now.uid(), now.gid()) != (before.uid(), before.gid()) {
        // Only some may give files away; else the file is the writer's.
        let _ = std::os::unix::fs::chown(path, Some(before.uid()), Some(before.gid()));
    }
    let mode = before.permissions().mode() & 0o777;
    file.set_permissions(std::fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn like(_path: &Path, _file: &std::fs::File, _before: &Metadata) -> std::io::Result<()> {
    Ok(())
}

/// Writes to a device or a pipe. A reader that goes away is no failure.
pub(super) fn send(path: &Path, text: &str) -> std::io::Result<()> {
    let mut file = std::fs::OpenOptions::new().append(true).open(path)?;
    match file.write_all(text.as_bytes()).and_then(|()| file.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        written => written,
    }
}

/// Gives all files their names, and takes away those that go. If one can't be, all that was done
/// is undone. No request to end comes between; one that comes before leaves all as it was, one that
/// comes afterwards all as it is to be. A program that is killed outright can leave some of each:
/// then what it had set aside is left too, and the next run says so.
pub(super) fn step(mut changes: Vec<Change>, fresh: bool) -> Result<(), Failure> {
    // One file is replaced in one step by itself.
    let mut failed = match changes.len() > 1 && !fresh {
        true => set_aside(&mut changes).err(),
        false => None,
    };
    let mut live = held();
    let mut done = 0;
    while failed.is_none() && done < changes.len() {
        match put_in_place(&changes[done], fresh) {
            Ok(()) => done += 1,
            Err(error) => failed = Some(cannot(&changes[done].shown, &error, "file")),
        }
    }
    let mut lost = Vec::new();
    if failed.is_some() {
        for change in changes[..done].iter_mut().rev() {
            let undone = match &change.aside {
                Some((aside, _)) => std::fs::rename(aside, &change.at),
                None => std::fs::remove_file(&change.at),
            };
            if undone.is_err()
                && let Some((aside, number)) = change.aside.take()
            {
                live.forget(number);
                let (shown, aside) = (change.shown.display(), aside.display());
                lost.push(format!("{shown}: could not be put back; what stood there is {aside}."));
            }
        }
    }
    for temp in changes.iter().filter_map(|c| c.temp.as_ref()).filter(|_| failed.is_none()) {
        live.forget(temp.number);
    }
    drop(live);
    for (aside, number) in changes.iter().filter_map(|c| c.aside.as_ref()) {
        let mut live = held();
        let _ = std::fs::remove_file(aside);
        live.forget(*number);
    }
    match failed {
        Some(failure) if lost.is_empty() => Err(failure),
        Some(failure) => Err(Failure::new(format!("{failure}\n{}", lost.join("\n")))),
        None => {
            // The names should last as well as the texts; not every system can do this.
            for folder in changes.iter().map(|c| folder(&c.at)).collect::<BTreeSet<_>>() {
                let _ = std::fs::File::open(folder).and_then(|f| f.sync_all());
            }
            Ok(())
        }
    }
}

/// Keeps what stands where files are to go under another name too. Nothing is replaced yet, so a
/// request to end may come between.
fn set_aside(changes: &mut [Change]) -> Result<(), Failure> {
    let mut number = 0;
    let names: Vec<Option<PathBuf>> =
        changes.iter().map(|c| c.temp.as_ref().map(Temp::aside)).collect();
    let any = names.iter().flatten().next().cloned();
    for (change, name) in changes.iter_mut().zip(names) {
        if change.at.symlink_metadata().is_err() {
            continue;
        }
        let mut aside = name;
        if aside.is_none() {
            // A file that only goes has no temporary name to go by.
            number += 1;
            aside = any.as_ref().and_then(|any| {
                let stem = any.file_stem()?.to_str()?;
                Some(folder(&change.at).join(format!("{stem}-{number}.old")))
            });
        }
        let Some(aside) = aside else { continue };
        let mut live = held();
        let listed = live.add(aside.clone());
        let kept = std::fs::hard_link(&change.at, &aside)
            .or_else(|_| std::fs::copy(&change.at, &aside).map(|_| ()));
        change.aside = Some((aside, listed));
        kept.map_err(|error| cannot(&change.shown, &error, "file"))?;
    }
    Ok(())
}

fn put_in_place(change: &Change, fresh: bool) -> std::io::Result<()> {
    let Some(temp) = &change.temp else { return std::fs::remove_file(&change.at) };
    if !fresh {
        return std::fs::rename(&temp.path, &change.at);
    }
    match std::fs::hard_link(&temp.path, &change.at) {
        Ok(()) => std::fs::remove_file(&temp.path),
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Err(error),
        // Not every disk has links.
        Err(_) if change.at.symlink_metadata().is_ok() => Err(ErrorKind::AlreadyExists.into()),
        Err(_) => std::fs::rename(&temp.path, &change.at),
    }
}
