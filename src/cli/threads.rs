//! Threads for the search, as many as the machine gives.

use std::num::NonZero;
use std::sync::mpsc::{Sender, channel};

/// Room for a thread's calls, as a main thread has.
const STACK: usize = 8 << 20;

/// A thread of the search, to be run by one that is there.
type Work = rayon::ThreadBuilder;

/// Starts the threads of the search: this one and as many more as were asked for or as there are
/// processors. A machine that gives fewer, or none, is served by those there are: the plan is the
/// same.
pub fn start() {
    let asked = std::env::var("RAYON_NUM_THREADS").ok().and_then(|n| n.parse().ok());
    let there = || std::thread::available_parallelism().map_or(1, NonZero::get);
    let wanted = asked.filter(|&n| n > 0).unwrap_or_else(there);
    // They are started before the search is told of them, which would fail if one were missing.
    let waiting = gather(wanted.saturating_sub(1), |run| {
        std::thread::Builder::new().stack_size(STACK).spawn(run).map(|_| ())
    });
    // This fails only if threads were started before, which is as well.
    let _ = rayon::ThreadPoolBuilder::new()
        .num_threads(waiting.len() + 1)
        .use_current_thread()
        .spawn_handler(give(waiting))
        .build_global();
}

/// Gives work to those that wait.
fn give(mut waiting: Vec<Sender<Work>>) -> impl FnMut(Work) -> std::io::Result<()> {
    let gone = || std::io::Error::other("no thread is left");
    move |work| {
        let thread = waiting.pop().ok_or_else(gone)?;
        thread.send(work).map_err(|_| gone())
    }
}

/// Starts up to so many threads that wait for work, until one can't be had.
fn gather(
    most: usize,
    spawn: impl Fn(Box<dyn FnOnce() + Send>) -> std::io::Result<()>,
) -> Vec<Sender<Work>> {
    let mut waiting = Vec::new();
    for _ in 0..most.min(1024) {
        let (sender, work) = channel::<Work>();
        let run = move || {
            if let Ok(work) = work.recv() {
                work.run();
            }
        };
        if spawn(Box::new(run)).is_err() {
            break;
        }
        waiting.push(sender);
    }
    waiting
}

/// Can a thread be had now?
pub fn can_be_had() -> bool {
    std::thread::Builder::new().spawn(|| ()).is_ok()
}

#[cfg(test)]
mod tests {
    use super::{gather, give};
    use rayon::prelude::*;
    use std::cell::Cell;

    #[test]
    fn threads_that_the_machine_does_not_give_are_done_without() {
        for given in [0, 1, 3, 7] {
            let left = Cell::new(given);
            let waiting = gather(4, |run| {
                if left.get() == 0 {
                    return Err(std::io::ErrorKind::WouldBlock.into());
                }
                left.set(left.get() - 1);
                std::thread::Builder::new().spawn(run).map(|_| ())
            });
            assert_eq!(waiting.len(), given.min(4));
            // As many as there are serve, with the one that asks.
            let asks = move || {
                let all = rayon::ThreadPoolBuilder::new()
                    .num_threads(waiting.len() + 1)
                    .use_current_thread()
                    .spawn_handler(give(waiting))
                    .build()
                    .unwrap();
                all.install(|| (0..1000_u64).into_par_iter().sum::<u64>())
            };
            assert_eq!(std::thread::spawn(asks).join().unwrap(), 499_500);
        }
    }
}
