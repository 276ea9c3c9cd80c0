//! Ctrl-C and other requests to end.
//!
//! The first one asks a search for its best so far. Where no search runs that could keep a plan,
//! or the program waits for somebody to read what it writes, it ends the program soon. The second
//! ends it at once.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, Once, PoisonError};
use std::time::Duration;

/// What a request to end meets.
struct State {
    /// The flag that stops the search that runs.
    search: Option<Arc<AtomicBool>>,
    /// Says on the screen that the search was asked to end.
    told: Option<Told>,
    /// Is something being written?
    writing: bool,
    /// Which writing it is.
    turn: u64,
    /// Has an end been asked for?
    asked: bool,
}

impl State {
    /// Asks the search that runs to end, if one does, and says so.
    fn raise(&self) {
        if let Some(search) = &self.search {
            search.store(true, Ordering::Relaxed);
            // In a thread of its own: the screen may be waited for, and the second request must not.
            if let Some(told) = self.told.clone() {
                let _ = std::thread::Builder::new().spawn(move || told());
            }
        }
    }
}

/// Says that a request to end was heard.
pub type Told = Arc<dyn Fn() + Send + Sync>;

static STATE: Mutex<State> =
    Mutex::new(State { search: None, told: None, writing: false, turn: 0, asked: false });
static LISTENING: Once = Once::new();

/// What is almost done may be finished before the program ends.
const SOON: Duration = Duration::from_millis(700);

fn state() -> MutexGuard<'static, State> {
    STATE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The first request to end raises a flag and is told of, until [`over`]. One that came before the search
/// does so at once: it found nothing to end, and may have left the program to go on.
pub fn raises(stop: &Arc<AtomicBool>, told: Told) {
    {
        let mut state = state();
        state.search = Some(Arc::clone(stop));
        state.told = Some(told);
        if state.asked {
            state.raise();
        }
    }
    listen();
}

/// No search runs any more: a request to end ends the program.
pub fn over() {
    let mut state = state();
    state.search = None;
    state.told = None;
}

/// Does what may wait for others, such as writing to a pipe: a request to end that finds it
/// waiting ends the program.
pub fn ends<T>(what: impl FnOnce() -> T) -> T {
    let outer = {
        let mut state = state();
        state.turn += 1;
        std::mem::replace(&mut state.writing, true)
    };
    let done = what();
    state().writing = outer;
    done
}

/// A request to end removes temporary files before it ends the program.
pub fn listen() {
    LISTENING.call_once(start);
}

/// A file that grows beyond what is allowed (`ulimit -f`) is a failed write like any other: the
/// signal that comes with it would end the program at once and leave files half-written.
#[cfg(unix)]
pub fn outlive_file_limits() {
    let met = Arc::<AtomicBool>::default();
    // Where it can't be caught the run is ended by it, as it was before.
    let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, met);
}

#[cfg(not(unix))]
pub fn outlive_file_limits() {}

/// Without a handler a request ends the program at once; temporary files are then swept by the
/// next run.
#[cfg(unix)]
fn start() {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    let mut signals = vec![SIGINT, SIGTERM];
    if hears_hang_up() {
        signals.push(SIGHUP);
    }
    let (ready, is_ready) = std::sync::mpsc::channel();
    // The thread comes first: signals that nobody waits for would be lost.
    let thread = std::thread::Builder::new().spawn(move || {
        let mut signals = signal_hook::iterator::Signals::new(&signals);
        let _ = ready.send(());
        for _ in signals.iter_mut().flat_map(|s| s.forever()) {
            heard();
        }
    });
    if thread.is_ok() {
        let _ = is_ready.recv();
    }
}

#[cfg(not(unix))]
fn start() {
    let _ = ctrlc::set_handler(heard);
}

/// Is a hang-up to be heard? Not where the program was started to outlive it (`nohup`), nor where
/// that can't be told: then it does what it did at the start.
#[cfg(unix)]
fn hears_hang_up() -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let ignored = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let ignored = ignored.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok());
    ignored.is_some_and(|mask| mask & (1 << (signal_hook::consts::SIGHUP - 1)) == 0)
}

fn heard() {
    let mut state = state();
    if state.asked {
        drop(state);
        end();
    }
    state.asked = true;
    state.raise();
    if state.search.is_none() || state.writing {
        let turn = state.turn;
        drop(state);
        let wait = std::thread::Builder::new().spawn(move || soon(turn));
        if wait.is_err() {
            end();
        }
    }
}

/// Ends the program unless a search has gone on meanwhile.
fn soon(turn: u64) {
    std::thread::sleep(SOON);
    let stuck = {
        let state = state();
        state.search.is_none() || (state.writing && state.turn == turn)
    };
    if stuck {
        end();
    }
}

fn end() -> ! {
    super::temps::remove_all();
    std::process::exit(130);
}

#[cfg(test)]
mod tests {
    use super::{heard, over, raises, state};
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::sync::{Arc, mpsc};
    use std::time::Duration;

    /// The screen went on to offer Ctrl-C for seconds, and who pressed it again lost the plan.
    #[test]
    fn the_first_request_to_end_is_told_at_once() {
        let flag = Arc::new(AtomicBool::new(false));
        let (said, hears) = mpsc::channel();
        raises(&flag, Arc::new(move || said.send(()).unwrap_or(())));
        heard();
        assert!(flag.load(Ordering::Relaxed));
        assert_eq!(hears.recv_timeout(Duration::from_secs(30)), Ok(()));
        over();
        // It was heard before this search began: such a one was lost, and the second killed the run.
        let flag = Arc::new(AtomicBool::new(false));
        let (said, hears) = mpsc::channel();
        raises(&flag, Arc::new(move || said.send(()).unwrap_or(())));
        assert!(flag.load(Ordering::Relaxed));
        assert_eq!(hears.recv_timeout(Duration::from_secs(30)), Ok(()));
        over();
        state().asked = false;
    }
}
