//! Progress on a terminal, and an early end on request.

use crate::choose::{Listener, News, Options};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::atomic::Ordering;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

/// A line of progress that goes away when the work is done. It draws nothing when standard error
/// is not a terminal.
pub struct Progress {
    bar: ProgressBar,
    asked: Arc<Mutex<Asked>>,
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
        let asked = Arc::new(Mutex::new(Asked::default()));
        let heard = asked.clone();
        let stopped = options.stop.flag();
        let listener: Listener = Arc::new(move |news: News| {
            // What a stopped search still says must not hide that it was told to stop.
            if !stopped.load(Ordering::Relaxed) {
                let line = heard.lock().unwrap_or_else(PoisonError::into_inner).line(&news);
                shown.set_message(line);
            }
        });
        options.listener = Some(listener);
        let shown = bar.clone();
        let told = Arc::new(move || shown.set_message(STOPPING));
        super::interrupt::raises(&options.stop.flag(), told);
        Progress { bar, asked }
    }

    /// The search is over: there is no best so far to ask for any more, and the first Ctrl-C ends
    /// the program.
    pub fn searched(&self) {
        super::interrupt::over();
        self.stage("");
    }

    /// What is asked of the search next, where a run asks several things.
    pub fn about(&self, what: &str) {
        let mut asked = self.asked.lock().unwrap_or_else(PoisonError::into_inner);
        *asked = Asked { about: crate::text::plain(what), ..Asked::default() };
        drop(asked);
        if !self.bar.is_hidden() {
            self.bar.set_message(crate::text::plain(what));
        }
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

/// What stands there once Ctrl-C was pressed: a cut that is being worked out may take seconds more.
const STOPPING: &str = "stopping, a few seconds more (a second Ctrl-C ends it with nothing)";

/// What is asked of the search, and how often it began with another problem in answering that: the
/// best of one is no better or worse than the best of another.
#[derive(Default)]
struct Asked {
    /// What the answer is about, where several are worked out.
    about: String,
    /// Problems begun, and the best cost of the last.
    step: u32,
    best: Option<f64>,
}

impl Asked {
    /// The line of progress for the news of a search.
    fn line(&mut self, news: &News) -> String {
        let worse = |best: f64| news.cost.is_none_or(|cost| cost > best);
        if self.step == 0 || self.best.is_some_and(worse) {
            self.step += 1;
        }
        self.best = news.cost;
        let about = if self.about.is_empty() { "" } else { ": " };
        let (step, best) = match self.step {
            1 => (String::new(), "best"),
            n => (format!("step {n}, "), "best of this step"),
        };
        let known = match news.cost {
            None => String::new(),
            Some(cost) if news.bound > 0.0 => {
                // Above the bound and rounded up, as the plan says it in the end.
                let above = ((cost - news.bound) / news.bound * 10_000.0).ceil().max(0.0) / 100.0;
                format!(": {best} {cost:.2}, at most {above:.2} % above the least")
            }
            Some(cost) => format!(": {best} {cost:.2}, how good is not known yet"),
        };
        format!("{}{about}{step}{}{known} (Ctrl-C for the best so far)", self.about, news.stage)
    }
}

#[cfg(test)]
mod tests {
    use super::{Asked, News};

    #[test]
    fn a_best_that_is_worse_than_the_one_before_is_of_another_step() {
        let mut asked = Asked::default();
        let mut line =
            |stage: &str, cost, bound| asked.line(&News { stage: stage.to_owned(), cost, bound });
        let end = " (Ctrl-C for the best so far)";
        assert_eq!(
            line("ways to cut each board", None, 0.0),
            format!("ways to cut each board{end}")
        );
        assert_eq!(
            line("choice of boards", Some(12.0), 0.0),
            format!("choice of boards: best 12.00, how good is not known yet{end}")
        );
        assert_eq!(
            line("choice of boards", Some(11.0), 10.0),
            format!("choice of boards: best 11.00, at most 10.00 % above the least{end}")
        );
        // A greater problem: its best is above what was shown, and is no worse for that.
        assert_eq!(
            line("choice of boards", Some(22.0), 20.0),
            format!(
                "step 2, choice of boards: best of this step 22.00, at most 10.00 % above the least{end}"
            )
        );
        assert_eq!(line("prices", None, 0.0), format!("step 3, prices{end}"));
        assert_eq!(
            line("choice of boards", Some(5.0), 5.0),
            format!(
                "step 3, choice of boards: best of this step 5.00, at most 0.00 % above the least{end}"
            )
        );
    }

    #[test]
    fn what_is_asked_is_named_before_its_stage() {
        let mut asked = Asked { about: "without rack 1".to_owned(), ..Asked::default() };
        let news = News { stage: "prices".to_owned(), cost: None, bound: 0.0 };
        assert_eq!(asked.line(&news), "without rack 1: prices (Ctrl-C for the best so far)");
    }
}
