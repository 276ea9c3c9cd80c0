//! Progress on a terminal, and an early end on request.

use crate::choose::{Listener, News, Options};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::Duration;

/// A line of progress that goes away when the work is done. It draws nothing when standard error
/// is not a terminal.
pub struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// Starts a line of progress and makes Ctrl-C ask for the best plan so far; a second Ctrl-C
    /// ends the program.
    pub fn start(options: &mut Options) -> Self {
        let bar = ProgressBar::new_spinner();
        if !std::io::stderr().is_terminal() {
            bar.set_draw_target(ProgressDrawTarget::hidden());
        }
        if let Ok(style) = ProgressStyle::with_template("{spinner} {elapsed} {msg}") {
            bar.set_style(style);
        }
        bar.enable_steady_tick(Duration::from_millis(200));
        let shown = bar.clone();
        let listener: Listener = Arc::new(move |news: News| shown.set_message(line(&news)));
        options.listener = Some(listener);
        let stop = options.stop.flag();
        // Without a handler Ctrl-C ends the program at once, which is no harm either.
        let _ = ctrlc::set_handler(move || {
            if stop.swap(true, Ordering::Relaxed) {
                std::process::exit(130);
            }
        });
        Progress { bar }
    }

    /// Does something with the line of progress out of the way, such as printing.
    pub fn aside<T>(&self, what: impl FnOnce() -> T) -> T {
        self.bar.suspend(what)
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

fn line(news: &News) -> String {
    match news.cost {
        None => format!("{} (Ctrl-C for the best so far)", news.stage),
        Some(cost) => {
            let gap = if cost > 0.0 { (cost - news.bound) / cost * 100.0 } else { 0.0 };
            format!(
                "{}: best {cost:.2}, at least {:.2}, gap {gap:.2} % (Ctrl-C for the best so far)",
                news.stage, news.bound
            )
        }
    }
}
