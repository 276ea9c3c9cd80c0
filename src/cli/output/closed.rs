//! Whether standard output was closed when the program began (`>&-`).
//!
//! The language's own start puts a null device where it was closed, so that what is printed would
//! be lost without a word. It can only be seen before that start.

use std::sync::atomic::{AtomicBool, Ordering};

static CLOSED: AtomicBool = AtomicBool::new(false);

/// Runs before `main`; does nothing that needs the language's runtime.
#[cfg(unix)]
#[ctor::ctor]
fn look() {
    let closed = rustix::io::fcntl_getfd(rustix::stdio::stdout()).is_err();
    CLOSED.store(closed, Ordering::Relaxed);
}

/// Was standard output closed at the start?
pub(super) fn is_closed() -> bool {
    CLOSED.load(Ordering::Relaxed)
}
