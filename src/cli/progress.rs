//! Progress on a terminal, and an early end on request.

use crate::choose::{Listener, News, Options};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::Arc;
use std::time::Duration;

/// A line of progress that goes away when the work is done. It draws nothing when standard error
/// is not a terminal.
pub struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// Starts a line of progress and makes Ctrl-C ask for the best plan so far, as long as this
    /// lives; a second Ctrl-C ends the program.
    pub fn start(options: &mut Options) -> Self {
        let bar = ProgressBar::new_spinner();
        if !std::io::stderr().is_terminal() {
            bar.set_draw_target(ProgressDrawTarget::hidden());
        }
        if let Ok(style) = ProgressStyle::with_template("{spinner} {elapsed} {msg}") {
            bar.set_style(style);
        }
        // The ticks come from a thread, which the bar takes for granted.
        if !bar.is_hidden() && super::threads::can_be_had() {
            bar.enable_steady_tick(Duration::from_millis(200));
        }
        let shown = bar.clone();
        let listener: Listener = Arc::new(move |news: News| shown.set_message(line(&news)));
        options.listener = Some(listener);
        super::interrupt::raises(&options.stop.flag());
        Progress { bar }
    }

    /// The search is over: there is no best so far to ask for any more, and the first Ctrl-C ends
    /// the program.
    pub fn searched(&self) {
        super::interrupt::over();
        self.stage("");
    }

    /// The same search with what it is for named before each of its stages.
    pub fn named(&self, what: &str, options: &Options) -> Options {
        let (shown, what) = (self.bar.clone(), what.to_owned());
        let listener: Listener =
            Arc::new(move |news: News| shown.set_message(format!("{what}: {}", line(&news))));
        Options { listener: Some(listener), ..options.clone() }
    }

    /// What is being done.
    pub fn stage(&self, what: &'static str) {
        self.bar.set_message(what);
    }

    /// What is being done, and how far it is.
    pub fn part(&self, what: &str, done: usize, all: usize) {
        if !self.bar.is_hidden() {
            self.bar.set_message(format!("{what}: {done} of {all}"));
        }
    }

    /// Does something with the line of progress out of the way, such as printing.
    pub fn aside<T>(&self, what: impl FnOnce() -> T) -> T {
        self.bar.suspend(what)
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        super::interrupt::over();
        self.bar.finish_and_clear();
    }
}

fn line(news: &News) -> String {
    match news.cost {
        None => format!("{} (Ctrl-C for the best so far)", news.stage),
        Some(cost) if news.bound > 0.0 => {
            // Above the bound and rounded up, as the plan says it in the end.
            let above = ((cost - news.bound) / news.bound * 10_000.0).ceil().max(0.0) / 100.0;
            format!(
                "{}: best {cost:.2}, at most {above:.2} % above the least (Ctrl-C for the best so far)",
                news.stage
            )
        }
        Some(cost) => {
            format!("{}: best {cost:.2}, no bound yet (Ctrl-C for the best so far)", news.stage)
        }
    }
}
