//! Files under temporary names, of which none is left behind.

use std::collections::BTreeMap;
use std::collections::hash_map::DefaultHasher;
use std::fs::{File, OpenOptions};
use std::hash::{Hash, Hasher};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::{Duration, Instant};

/// What this run has made and not yet given a name: files, and folders that go if they are empty.
static LIVE: Mutex<Live> = Mutex::new(Live { next: 0, paths: BTreeMap::new() });

/// What is to be removed, in the order in which it was made; there may be many thousands.
pub(super) struct Live {
    next: u64,
    paths: BTreeMap<u64, PathBuf>,
}

impl Live {
    /// Adds something, and gives the number that it goes by.
    pub(super) fn add(&mut self, path: PathBuf) -> u64 {
        self.next += 1;
        self.paths.insert(self.next, path);
        self.next
    }

    /// What goes by this number is no longer to be removed. Was it until now?
    pub(super) fn forget(&mut self, number: u64) -> bool {
        self.paths.remove(&number).is_some()
    }
}

/// Numbers of temporary files so far.
static MADE: AtomicU64 = AtomicU64::new(0);

/// A program that was asked to end takes no longer than this to remove what is temporary.
const LEAVING: Duration = Duration::from_secs(1);

/// Names of temporary files begin so, then name the machine and the process: see [`sweep`].
const BEGIN: &str = ".stripwright-";

/// What another machine left in a shared folder is swept when it is older than this.
const OLD: Duration = Duration::from_secs(7 * 24 * 60 * 60);

/// The list of what is to be removed. While it is held no signal ends the program.
pub(super) fn held() -> MutexGuard<'static, Live> {
    LIVE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Removes everything temporary, for good: nothing can be made afterwards. Only for a program
/// that ends with the next statement. Of very many files what takes too long is left to the next
/// run's [`sweep`].
pub fn remove_all() {
    let live = held();
    let begun = Instant::now();
    for path in live.paths.values().rev().take_while(|_| begun.elapsed() < LEAVING) {
        if std::fs::remove_file(path).is_err() {
            let _ = std::fs::remove_dir(path);
        }
    }
    std::mem::forget(live);
}

/// A file under a temporary name, removed when it is dropped.
pub(super) struct Temp {
    pub(super) path: PathBuf,
    /// Its number among what is to be removed.
    pub(super) number: u64,
    /// Open until it is whole: more files than may be open at once can wait for their names.
    pub(super) file: Option<File>,
}

impl Temp {
    /// Makes a file in a folder, as readable as a new file is there, or as `like`.
    pub(super) fn new(folder: &Path, like: Option<&std::fs::Metadata>) -> io::Result<Temp> {
        let prefix = own();
        let mut options = File::options();
        options.write(true).create_new(true);
        rights(&mut options, like);
        let mut live = held();
        // A name that is taken was left by a process of the same number, on a machine that
        // doesn't tell itself from others.
        for number in MADE.fetch_add(1, Ordering::Relaxed).. {
            let path = folder.join(format!("{prefix}{number}.tmp"));
            match options.open(&path) {
                Ok(file) => {
                    let number = live.add(path.clone());
                    return Ok(Temp { path, number, file: Some(file) });
                }
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Err(io::ErrorKind::AlreadyExists.into())
    }

    /// A name for what is set aside.
    pub(super) fn aside(&self) -> PathBuf {
        self.path.with_extension("old")
    }
}

impl Drop for Temp {
    fn drop(&mut self) {
        let mut live = held();
        if live.forget(self.number) {
            let _ = std::fs::remove_file(&self.path);
        }
    }
}

/// A new file gets all rights that the umask leaves; one that replaces another gets the other's.
#[cfg(unix)]
fn rights(options: &mut OpenOptions, like: Option<&std::fs::Metadata>) {
    use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
    options.mode(like.map_or(0o666, |meta| meta.permissions().mode() & 0o777));
}

#[cfg(not(unix))]
fn rights(_options: &mut OpenOptions, _like: Option<&std::fs::Metadata>) {}

/// A folder that was made for outputs; it goes again if nothing is written into it.
pub(super) struct Made(Vec<(PathBuf, u64)>);

impl Made {
    /// Makes a folder, and those above it.
    pub(super) fn folder(path: &Path) -> io::Result<Made> {
        let missing: Vec<&Path> =
            path.ancestors().take_while(|p| !p.as_os_str().is_empty() && !p.exists()).collect();
        let mut made = Made(Vec::new());
        for folder in missing.into_iter().rev() {
            let mut live = held();
            match std::fs::create_dir(folder) {
                Ok(()) => {
                    let number = live.add(folder.to_owned());
                    made.0.push((folder.to_owned(), number));
                }
                // `a/../b` names folders twice.
                Err(_) if folder.is_dir() => {}
                Err(error) => return Err(error),
            }
        }
        std::fs::create_dir_all(path).map(|()| made)
    }
}

impl Drop for Made {
    fn drop(&mut self) {
        let mut live = held();
        for (folder, number) in self.0.iter().rev() {
            let _ = std::fs::remove_dir(folder);
            live.forget(*number);
        }
    }
}

/// Removes from a folder what runs that were killed have left there. Was one of them killed while
/// it gave its files their names? Only then it had set aside what stood there.
pub(super) fn sweep(folder: &Path) -> bool {
    let mut between = false;
    let Ok(entries) = folder.read_dir() else { return between };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let Some(run) = name.to_str().and_then(run) else { continue };
        let Ok(meta) = entry.metadata() else { continue };
        let age = meta.modified().ok().and_then(|at| at.elapsed().ok()).unwrap_or_default();
        if meta.is_file() && (gone(run) || age > OLD) {
            between |= name.to_str().is_some_and(|name| name.ends_with(".old"));
            let _ = std::fs::remove_file(entry.path());
        }
    }
    between
}

/// What a temporary name says of the run that made it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Run {
    machine: u32,
    process: u32,
    /// When the process was started, in ticks of the machine; 0 where that isn't told.
    since: u64,
}

fn run(name: &str) -> Option<Run> {
    let rest = name.strip_prefix(BEGIN)?;
    let rest = rest.strip_suffix(".tmp").or(rest.strip_suffix(".old"))?;
    let mut parts = rest.splitn(4, '-');
    let machine = u32::from_str_radix(parts.next()?, 16).ok()?;
    let process = parts.next()?.parse().ok()?;
    // Before the start was told its place had the file's number, and nothing came behind.
    let since = parts.next()?.parse().unwrap_or(0);
    Some(Run { machine, process, since: parts.next().map_or(0, |_| since) })
}

/// Has a process of this machine ended? Of another one that can't be known. Whatever its program is
/// called now, it has not as long as a process of its number is there that was started when it was.
fn gone(run: Run) -> bool {
    if run.machine != machine() || !Path::new("/proc/self").exists() {
        return false;
    }
    match since(run.process) {
        Some(started) => run.since != 0 && started != 0 && started != run.since,
        None => true,
    }
}

/// When a process of this machine was started, in ticks; 0 where that isn't told, `None` where no such
/// process is there.
fn since(process: u32) -> Option<u64> {
    // proc_pid_stat(5): the name stands in brackets and may hold anything; the start is field 22.
    match std::fs::read_to_string(format!("/proc/{process}/stat")) {
        Ok(text) => {
            let (_, fields) = text.rsplit_once(')')?;
            Some(fields.split_whitespace().nth(19).and_then(|f| f.parse().ok()).unwrap_or(0))
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(_) => Some(0),
    }
}

/// How names of this run begin: there may be many thousands.
fn own() -> &'static str {
    static OWN: OnceLock<String> = OnceLock::new();
    OWN.get_or_init(|| {
        let process = std::process::id();
        format!("{BEGIN}{:08x}-{process}-{}-", machine(), since(process).unwrap_or(0))
    })
}

/// This machine since it was started, and who counts processes on it; 0 where that isn't told.
fn machine() -> u32 {
    static MACHINE: OnceLock<u32> = OnceLock::new();
    *MACHINE.get_or_init(|| {
        let boot = std::fs::read_to_string("/proc/sys/kernel/random/boot_id");
        let counted = std::fs::read_link("/proc/self/ns/pid");
        let (Ok(boot), Ok(counted)) = (boot, counted) else { return 0 };
        let mut hasher = DefaultHasher::new();
        (boot, counted).hash(&mut hasher);
        u32::try_from(hasher.finish() >> 32).unwrap_or_default()
    })
}

#[cfg(test)]
mod tests {
    use super::{Run, Temp, gone, machine, run, sweep};

    #[test]
    fn only_what_a_run_that_is_gone_has_left_is_swept() {
        let folder = tempfile::tempdir().unwrap();
        let kept = Temp::new(folder.path(), None).unwrap();
        let name = kept.path.file_name().unwrap().to_str().unwrap();
        let own = std::process::id();
        let since = super::since(own).unwrap_or(0);
        assert_eq!(since > 0, cfg!(target_os = "linux"));
        assert_eq!(run(name), Some(Run { machine: machine(), process: own, since }));
        let others = [
            format!(".stripwright-{:08x}-1-abc.tmp", machine() ^ 1),
            ".stripwright-notes".to_owned(),
            ".stripwright-0-x-y.tmp".to_owned(),
            // This process, whatever it is called: as old names told it, and new ones.
            format!(".stripwright-{:08x}-{own}-7.tmp", machine()),
            format!(".stripwright-{:08x}-{own}-{since}-7.tmp", machine()),
            "plan.json".to_owned(),
        ];
        for name in &others {
            std::fs::write(folder.path().join(name), "mine").unwrap();
        }
        // No process has a number this high, and the one that had this one's was started before.
        let left = format!(".stripwright-{:08x}-4294967295-5-abc", machine());
        for end in ["tmp", "old"] {
            std::fs::write(folder.path().join(format!("{left}.{end}")), "").unwrap();
        }
        let before = format!(".stripwright-{:08x}-{own}-{}-7.tmp", machine(), since + 1);
        std::fs::write(folder.path().join(&before), "").unwrap();
        assert_eq!(sweep(folder.path()), cfg!(target_os = "linux"));
        assert!(!sweep(folder.path()));
        assert!(kept.path.exists());
        assert!(others.iter().all(|name| folder.path().join(name).exists()));
        let swept = gone(Run { machine: machine(), process: u32::MAX, since: 5 });
        assert_eq!(folder.path().join(before).exists(), !swept);
        assert_eq!(folder.path().join(format!("{left}.tmp")).exists(), !swept);
        assert_eq!(folder.path().join(format!("{left}.old")).exists(), !swept);
        assert!(swept || !cfg!(target_os = "linux"));
        let path = kept.path.clone();
        drop(kept);
        assert!(!path.exists());
    }
}
