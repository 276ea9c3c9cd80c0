//! Ctrl-C and other requests to end.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, Once, PoisonError};

/// The flag that stops a search.
static STOP: Mutex<Option<Arc<AtomicBool>>> = Mutex::new(None);
static LISTENING: Once = Once::new();

/// The first request to end raises a flag from now on; the next one ends the program.
pub fn raises(stop: &Arc<AtomicBool>) {
    *STOP.lock().unwrap_or_else(PoisonError::into_inner) = Some(Arc::clone(stop));
    listen();
}

/// A request to end removes temporary files before it ends the program.
pub fn listen() {
    LISTENING.call_once(|| {
        // Without a handler Ctrl-C ends the program at once; temporary files are then swept by
        // the next run.
        let _ = ctrlc::set_handler(heard);
    });
}

fn heard() {
    let stop = STOP.lock().unwrap_or_else(PoisonError::into_inner).clone();
    if stop.is_some_and(|stop| !stop.swap(true, Ordering::Relaxed)) {
        return;
    }
    super::output::remove_all();
    std::process::exit(130);
}
