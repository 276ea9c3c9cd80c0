//! All outputs of a run: refused before any work where one would destroy an input or another
//! output, written in one step.

use super::same::{Same, folder, is_open_already, is_pipe, is_standard_output, resolved};
use super::step::{Change, ONE_BY_ONE, Pieces, fill, send, settle, step};
use super::wrong::{cannot, why};
use super::{complain, drawings, print, said, say};
use crate::cli::temps::{Made, Temp, sweep};
use crate::cli::{Failure, interrupt};
use std::collections::BTreeSet;
use std::fmt;
use std::fs::Metadata;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// All outputs of a run.
pub struct Outputs {
    inputs: Vec<(PathBuf, Option<Same>)>,
    slots: Vec<Slot>,
    drawings: Option<Drawings>,
    /// Must every file be new?
    fresh: bool,
    made: Vec<Made>,
}

/// An output that was asked for.
struct Slot {
    option: &'static str,
    /// As it was named.
    path: PathBuf,
    target: Target,
    given: Option<Given>,
}

/// What an output was given.
enum Given {
    /// All of its text, still to be written.
    Text(String),
    /// It stands whole under a temporary name already, or could not be written there.
    Written(Result<Temp, Failure>),
}

/// Where an output goes.
enum Target {
    Standard,
    /// A device or a pipe, or what is open already: written to, not replaced.
    Direct,
    /// A file, at the end of links; the file that stood there, and the one to come.
    File {
        at: PathBuf,
        before: Option<Box<Metadata>>,
        temp: Option<Temp>,
    },
}

struct Drawings {
    folder: PathBuf,
    /// The drawings, whole under temporary names, and those of an older plan that go.
    changes: Option<Result<Vec<Change>, Failure>>,
}

/// Takes a drawing's name and its text; an error ends the drawing.
pub type Draw<'a> = dyn FnMut(&str, &str) -> fmt::Result + 'a;

impl Outputs {
    /// The outputs of a run that reads `inputs`: files by the options that name them, and a
    /// folder for drawings. Nothing is made yet.
    ///
    /// # Errors
    /// [`Failure`] where an output is an input or another output.
    pub fn of(
        inputs: &[&Path],
        files: &[(&'static str, Option<&PathBuf>)],
        drawn: Option<&PathBuf>,
    ) -> Result<Self, Failure> {
        let inputs: Vec<_> = inputs.iter().map(|p| ((*p).to_owned(), Same::of_input(p))).collect();
        let mut slots = Vec::new();
        for (option, path) in files.iter().filter_map(|(o, p)| p.map(|p| (*o, p))) {
            slots.push(Slot { option, path: path.clone(), target: Target::of(path)?, given: None });
        }
        let drawings = drawn.map(|f| Drawings { folder: f.clone(), changes: None });
        let outputs = Outputs { inputs, slots, drawings, fresh: false, made: Vec::new() };
        outputs.refuse_pipes_read_twice()?;
        outputs.refuse_inputs()?;
        outputs.refuse_twice()?;
        outputs.refuse_drawings()?;
        outputs.refuse_missing_folders()?;
        Ok(outputs)
    }

    /// A run that writes to standard output only.
    ///
    /// # Errors
    /// [`Failure`] where standard output is an input.
    pub fn none(inputs: &[&Path]) -> Result<(), Failure> {
        Outputs::of(inputs, &[], None).map(|_| ())
    }

    /// Files that must not be there yet, in a folder that is made.
    ///
    /// # Errors
    /// [`Failure`] where one is there, or the folder can't be made.
    pub fn fresh(inside: &Path, names: &[&'static str]) -> Result<Self, Failure> {
        refuse_standard(inside)?;
        let paths: Vec<PathBuf> = names.iter().map(|name| inside.join(name)).collect();
        let there: Vec<String> = paths
            .iter()
            .filter(|path| path.symlink_metadata().is_ok())
            .map(|path| format!("{}: is there already; name another folder.", path.display()))
            .collect();
        if !there.is_empty() {
            return Err(Failure::new(there.join("\n")));
        }
        let made = make(inside, "written")?;
        let files: Vec<_> = names.iter().copied().zip(paths.iter().map(Some)).collect();
        let mut outputs = Outputs::of(&[], &files, None)?;
        outputs.fresh = true;
        outputs.made.push(made);
        outputs.open()?;
        Ok(outputs)
    }

    fn refuse_pipes_read_twice(&self) -> Result<(), Failure> {
        let standard = |(path, _): &&(PathBuf, Option<Same>)| path == Path::new("-");
        if self.inputs.iter().filter(standard).count() > 1 {
            return Err(Failure::new(
                "-: is named twice, and standard input can be read only once; give the other as a file.",
            ));
        }
        for (n, (path, same)) in self.inputs.iter().enumerate() {
            let pipe = std::fs::metadata(path).is_ok_and(|meta| is_pipe(&meta));
            if let Some((other, _)) = self.inputs[..n].iter().find(|(_, s)| pipe && s == same) {
                return Err(Failure::new(format!(
                    "{} and {}: are one pipe, which can be read only once; write one of the two to a file.",
                    other.display(),
                    path.display()
                )));
            }
        }
        Ok(())
    }

    /// The input that something is, if it is one, as it is called.
    fn input(&self, same: Option<&Same>) -> Option<String> {
        let (path, _) = self.inputs.iter().find(|(_, s)| s.is_some() && s.as_ref() == same)?;
        let standard = path == Path::new("-");
        Some(if standard { "standard input".to_owned() } else { path.display().to_string() })
    }

    fn refuse_inputs(&self) -> Result<(), Failure> {
        for slot in &self.slots {
            let same = slot.same();
            if let Some(input) = self.input(same.as_ref()) {
                return Err(Failure::new(format!(
                    "{}: is {}, which this run reads; name another file for {}.",
                    slot.path.display(),
                    input,
                    slot.option
                )));
            }
        }
        let standard = Same::of_standard_output();
        if let Some(input) = self.input(standard.as_ref().map(|(same, _)| same)) {
            return Err(Failure::new(format!(
                "standard output: is {input}, which this run reads; send it to another file."
            )));
        }
        Ok(())
    }

    fn refuse_twice(&self) -> Result<(), Failure> {
        let fail = |a: &Path, b: &Path| {
            let both = if a == b {
                format!("{}:", a.display())
            } else {
                format!("{} and {}: are one file;", a.display(), b.display())
            };
            Err(Failure::new(format!(
                "{both} two outputs would be written there; name another file for one."
            )))
        };
        for (n, slot) in self.slots.iter().enumerate() {
            for other in &self.slots[..n] {
                let standard = |s: &Slot| matches!(s.target, Target::Standard);
                let same = slot.same();
                if (standard(slot) && standard(other)) || (same.is_some() && same == other.same()) {
                    return fail(&other.path, &slot.path);
                }
            }
        }
        // What is printed goes to standard output even where no option names it.
        let standard = Same::of_standard_output().map(|(same, _)| same);
        let met = self.slots.iter().find(|s| standard.is_some() && s.same() == standard);
        met.map_or(Ok(()), |slot| fail(&slot.path, "standard output".as_ref()))
    }

    /// Drawings have names of their own, which nothing else may have.
    fn refuse_drawings(&self) -> Result<(), Failure> {
        let Some(Drawings { folder: drawn, .. }) = &self.drawings else { return Ok(()) };
        refuse_standard(drawn)?;
        let fail = |path: &Path, why: &str| {
            Err(Failure::new(format!("{}: {why}; name another folder for --svg.", path.display())))
        };
        if drawn.exists() && !drawn.is_dir() {
            return fail(drawn, "is not a folder");
        }
        // Nor is there anything yet where one name stands for a file and for a folder.
        let folders = || drawn.ancestors().filter(|p| !p.as_os_str().is_empty());
        for slot in self.slots.iter().filter(|s| matches!(s.target, Target::File { .. })) {
            if folders().any(|folder| Same::of(folder) == slot.same()) {
                let why = format!("would be a file, for {}, and a folder, for --svg", slot.option);
                return fail(&slot.path, &why);
            }
        }
        for (_, _, path) in drawings::named(drawn) {
            if let Some(input) = self.input(Same::of(&path).as_ref()) {
                let why = format!("could be written over and is {input}, an input");
                return fail(&path, &why);
            }
        }
        let place = |folder: &Path| Same::of(folder);
        for slot in &self.slots {
            let Target::File { at, .. } = &slot.target else { continue };
            let name = at.file_name().and_then(|n| n.to_str()).unwrap_or_default();
            let among = drawings::named(drawn).iter().any(|(.., p)| Same::of(p) == slot.same());
            let inside = drawings::number(name).is_some() && place(folder(at)) == place(drawn);
            if among || inside {
                return fail(&slot.path, &format!("a drawing and {} could be one", slot.option));
            }
        }
        Ok(())
    }

    /// Files go into folders that are there, or into the one that is made for drawings.
    fn refuse_missing_folders(&self) -> Result<(), Failure> {
        let drawn = self.drawings.as_ref().map(|d| Same::of(&d.folder));
        for slot in &self.slots {
            let Target::File { at, .. } = &slot.target else { continue };
            if !folder(at).is_dir() && drawn != Some(Same::of(folder(at))) {
                return Err(cannot(&slot.path, &ErrorKind::NotFound.into(), "file"));
            }
        }
        Ok(())
    }

    /// Refuses a folder of drawings where a file that this program didn't draw could be written
    /// over: `most` drawings of blanks, boards and stacks. So is one that is protected refused.
    ///
    /// # Errors
    /// [`Failure`] naming the file.
    pub fn foresee(&self, most: [u64; 3]) -> Result<(), Failure> {
        let Some(drawn) = &self.drawings else { return Ok(()) };
        for (kind, number, path) in drawings::named(&drawn.folder) {
            if number <= most[kind] {
                drawings::refuse_others(&path)?;
            }
            if let Ok(meta) = path.metadata()
                && drawings::is_ours(&path)
            {
                refuse_protected(&path, &meta, "folder")?;
            }
        }
        Ok(())
    }

    /// Begins all files beside their places, before slow work, so that a place that can't be
    /// written to is known in time. What killed runs have left there is swept.
    ///
    /// # Errors
    /// [`Failure`] naming the place.
    pub fn open(&mut self) -> Result<(), Failure> {
        interrupt::listen();
        if let Some(drawn) = &self.drawings {
            let made = make(&drawn.folder, "made")?;
            self.made.push(made);
            swept(&drawn.folder);
            // Drawings are begun when their number is known.
            let trial = Temp::new(&drawn.folder, None);
            trial.map_err(|error| cannot(&drawn.folder, &error, "folder"))?;
        }
        for slot in &mut self.slots {
            match &mut slot.target {
                Target::File { at, before, temp } => {
                    swept(folder(at));
                    let begun = Temp::new(folder(at), before.as_deref());
                    let begun = begun.map_err(|error| cannot(&slot.path, &error, "file"))?;
                    *temp = Some(begun);
                }
                Target::Standard | Target::Direct => {}
            }
        }
        Ok(())
    }

    /// Does an output have standard output for itself? What goes there for another program
    /// stands there alone.
    pub fn takes_standard_output(&self) -> bool {
        self.slots.iter().any(|slot| matches!(slot.target, Target::Standard))
    }

    /// Prints why there is no plan: to standard error where standard output belongs to an output.
    pub fn tell(&self, text: &str) {
        if self.takes_standard_output() { complain(text) } else { say(text) }
    }

    /// Was this output asked for?
    pub fn has(&self, option: &str) -> bool {
        self.slots.iter().any(|slot| slot.option == option)
    }

    /// Gives an output its text, where it was asked for.
    pub fn put(&mut self, option: &str, text: impl FnOnce() -> String) {
        if let Some(slot) = self.slots.iter_mut().find(|slot| slot.option == option) {
            slot.given = Some(Given::Text(text()));
        }
    }

    /// As [`Outputs::put`] for a text that may be very long: for a file it is written as it is
    /// made. That this failed is told by [`Outputs::commit`].
    pub fn put_in_pieces(&mut self, option: &str, pieces: &mut Pieces<'_>) {
        let Some(slot) = self.slots.iter_mut().find(|slot| slot.option == option) else { return };
        slot.given = Some(if matches!(slot.target, Target::File { .. }) {
            Given::Written(slot.write(pieces))
        } else {
            let mut text = String::new();
            // Writing to memory does not fail.
            let _ = pieces(&mut text);
            Given::Text(text)
        });
    }

    /// Gives the drawings, each of which is written as it is made. That this failed is told by
    /// [`Outputs::commit`].
    pub fn draw(&mut self, all: impl FnOnce(&mut Draw<'_>) -> fmt::Result) {
        if self.drawings.is_none() {
            return;
        }
        let changes = self.drawn(all);
        if let Some(drawings) = &mut self.drawings {
            drawings.changes = Some(changes);
        }
    }

    /// As [`Outputs::put`] for a run that has no plan: what an earlier run wrote stays, so that
    /// its files still agree, unless it is of no `worth`.
    pub fn put_if_nothing_is_lost(
        &mut self,
        option: &str,
        worth: impl Fn(&str) -> bool,
        text: impl FnOnce() -> String,
    ) {
        let Some(slot) = self.slots.iter_mut().find(|slot| slot.option == option) else { return };
        let kept = match &slot.target {
            Target::File { at, before: Some(before), .. } if before.len() > 0 => {
                crate::read::text(at).map_or(true, |old| worth(&old))
            }
            _ => false,
        };
        if !kept {
            slot.given = Some(Given::Text(text()));
        }
    }

    /// Says what becomes of files of an earlier run: which stay as they are, and why, and which
    /// are replaced though others stay.
    pub fn tell_what_stays(&self, why: &str) {
        for slot in self.slots.iter().filter(|slot| slot.given.is_some()) {
            if matches!(&slot.target, Target::File { before: Some(before), .. } if before.len() > 0)
            {
                complain(&format!("{}: says now that {why}.", slot.path.display()));
            }
        }
        for slot in self.slots.iter().filter(|slot| slot.given.is_none()) {
            let path = slot.path.display();
            match &slot.target {
                Target::File { before: Some(_), .. } => complain(&format!(
                    "{path}: left as it was, since {why}: it is not of this run."
                )),
                Target::File { before: None, .. } => {
                    complain(&format!("{path}: not written, since {why}."));
                }
                Target::Standard | Target::Direct => {}
            }
        }
        if let Some(Drawings { folder, changes: None }) = &self.drawings
            && drawings::named(folder).iter().any(|(.., path)| drawings::is_ours(path))
        {
            complain(&format!(
                "{}: drawings left as they were, since {why}: they are not of this run.",
                folder.display()
            ));
        }
    }

    /// Writes all outputs that have a text, in one step: all or none.
    ///
    /// # Errors
    /// [`Failure`] naming what can't be written. Then all files are as they were.
    pub fn commit(mut self) -> Result<(), Failure> {
        said()?;
        let drawn = self.drawings.as_mut().and_then(|d| d.changes.take());
        let mut changes = drawn.transpose()?.unwrap_or_default();
        for slot in &mut self.slots {
            if !matches!(slot.target, Target::File { .. }) {
                continue;
            }
            let temp = match slot.given.take() {
                None => continue,
                Some(Given::Written(temp)) => temp,
                Some(Given::Text(text)) => slot.write(&mut |out| out.write_str(&text)),
            };
            let (temp, at, shown) = (Some(temp?), slot.place(), slot.path.clone());
            changes.push(Change { temp, at, shown, aside: None });
        }
        // What is sent can't be called back, so it goes before anything is replaced, and after
        // all files are known to be whole.
        for slot in &self.slots {
            let Some(Given::Text(text)) = &slot.given else { continue };
            match slot.target {
                Target::Standard => {
                    print(|out| out.write_all(text.as_bytes()));
                    said()?;
                }
                Target::Direct => {
                    let sent = interrupt::ends(|| send(&slot.path, text));
                    sent.map_err(|error| cannot(&slot.path, &error, "file"))?;
                }
                Target::File { .. } => {}
            }
        }
        step(changes, self.fresh)
    }

    /// The drawings, whole under temporary names, and those of an older plan that go.
    fn drawn(
        &self,
        all: impl FnOnce(&mut Draw<'_>) -> fmt::Result,
    ) -> Result<Vec<Change>, Failure> {
        let Some(Drawings { folder: drawn, .. }) = &self.drawings else { return Ok(Vec::new()) };
        let mut changes: Vec<Change> = Vec::new();
        let mut names = BTreeSet::new();
        let mut failed = None;
        let _ = all(&mut |name, text| {
            names.insert(name.to_owned());
            match self.drawing(drawn.join(name), text, changes.len() < ONE_BY_ONE) {
                Ok(change) => changes.push(change),
                Err(failure) => failed = Some(failure),
            }
            if failed.is_some() { Err(fmt::Error) } else { Ok(()) }
        });
        if let Some(failure) = failed {
            return Err(failure);
        }
        if changes.len() > ONE_BY_ONE {
            settle(&changes)?;
        }
        for (_, _, path) in drawings::named(drawn) {
            let now = path.file_name().and_then(|n| n.to_str()).is_some_and(|n| names.contains(n));
            let file = path.symlink_metadata().is_ok_and(|meta| meta.is_file());
            if !now && file && drawings::is_ours(&path) {
                changes.push(Change { temp: None, at: path.clone(), shown: path, aside: None });
            }
        }
        Ok(changes)
    }

    /// One drawing under a temporary name.
    fn drawing(&self, shown: PathBuf, text: &str, safe: bool) -> Result<Change, Failure> {
        let at = resolved(&shown);
        drawings::refuse_others(&shown)?;
        if let Some(input) = self.input(Same::of(&at).as_ref()) {
            return Err(Failure::new(format!(
                "{}: is {input}, which this run reads; name another folder for --svg.",
                shown.display()
            )));
        }
        let before = at.metadata().ok();
        let marked = drawings::marked(text);
        let temp = Temp::new(folder(&at), before.as_ref())
            .and_then(|temp| fill(temp, before.as_ref(), safe, &mut |out| out.write_str(&marked)))
            .map_err(|error| cannot(&shown, &error, "folder"))?;
        Ok(Change { temp: Some(temp), at, shown, aside: None })
    }
}

impl Slot {
    /// Where its file is to stand, at the end of links.
    fn place(&self) -> PathBuf {
        match &self.target {
            Target::File { at, .. } => at.clone(),
            Target::Standard | Target::Direct => self.path.clone(),
        }
    }

    /// Writes its file whole under a temporary name.
    fn write(&mut self, pieces: &mut Pieces<'_>) -> Result<Temp, Failure> {
        let at = self.place();
        let (before, begun) = match &mut self.target {
            Target::File { before, temp, .. } => (before.as_deref(), temp.take()),
            Target::Standard | Target::Direct => (None, None),
        };
        let temp = begun.map_or_else(|| Temp::new(folder(&at), before), Ok);
        let written = temp.and_then(|temp| fill(temp, before, true, pieces));
        written.map_err(|error| cannot(&self.path, &error, "file"))
    }

    /// What the output is, unless it is a device.
    fn same(&self) -> Option<Same> {
        match &self.target {
            Target::Standard => None,
            Target::Direct => Same::of(&self.path),
            Target::File { at, .. } => Same::of(at),
        }
    }
}

impl Target {
    fn of(path: &Path) -> Result<Target, Failure> {
        if is_standard_output(path) {
            return Ok(Target::Standard);
        }
        if is_open_already(path) {
            return Ok(Target::Direct);
        }
        if names_a_folder(path) {
            return Err(cannot(path, &ErrorKind::IsADirectory.into(), "file"));
        }
        match std::fs::metadata(path) {
            Ok(meta) if meta.is_dir() => Err(cannot(path, &ErrorKind::IsADirectory.into(), "file")),
            Ok(meta) if !meta.is_file() => Ok(Target::Direct),
            Ok(meta) => {
                refuse_protected(path, &meta, "file")?;
                Ok(Target::File { at: resolved(path), before: Some(Box::new(meta)), temp: None })
            }
            Err(error) if error.kind() == ErrorKind::NotFound => {
                Ok(Target::File { at: resolved(path), before: None, temp: None })
            }
            Err(error) => Err(cannot(path, &error, "file")),
        }
    }
}

/// Removes what killed runs have left in a folder, and says what else they may have left.
fn swept(folder: &Path) {
    if sweep(folder) {
        complain(&format!(
            "{}: an earlier run was killed while it put its files in place here; files that this run doesn't write may be of two plans.",
            folder.display()
        ));
    }
}

/// Is it spelled as a folder, with a stroke or a dot at its end?
fn names_a_folder(path: &Path) -> bool {
    let spelled = path.to_string_lossy();
    let last = spelled.rsplit(std::path::is_separator).next();
    matches!(last, Some("" | "." | ".."))
}

/// What stands for standard output elsewhere makes no folder of that name.
fn refuse_standard(folder: &Path) -> Result<(), Failure> {
    if folder != Path::new("-") {
        return Ok(());
    }
    Err(Failure::new(
        "-: stands for standard output, which holds no files; name a folder (./- for one of that name).",
    ))
}

/// A file that is protected is not replaced, though its folder would allow it.
fn refuse_protected(path: &Path, meta: &Metadata, what: &str) -> Result<(), Failure> {
    // Opening it to add to it shows whether that is allowed, and changes nothing.
    let open = || std::fs::OpenOptions::new().append(true).open(path);
    let no_right = |error: std::io::Error| {
        matches!(error.kind(), ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem)
    };
    if !meta.permissions().readonly() && !open().is_err_and(no_right) {
        return Ok(());
    }
    Err(Failure::new(format!(
        "{}: is protected from being written; allow it (chmod u+w) or name another {what}.",
        path.display()
    )))
}

fn make(folder: &Path, done: &str) -> Result<Made, Failure> {
    Made::folder(folder).map_err(|error| {
        let why = why(&error);
        let folder = folder.display();
        Failure::new(format!("{folder}: cannot be {done}: {why}; name another folder."))
    })
}
