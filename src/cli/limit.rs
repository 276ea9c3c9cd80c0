//! `--time-limit`, the same for every command that may search long.

use crate::choose::Options;
use crate::stop::Stop;
use std::time::Duration;

/// How long a command may take.
#[derive(Debug, clap::Args)]
pub struct TimeLimit {
    /// Stop after so many seconds with the best so far
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    time_limit: Option<Duration>,
}

impl TimeLimit {
    /// Ways to search that stop so long after now: the clock starts before files are read.
    pub fn options(&self) -> Options {
        Options { stop: Stop::after(self.time_limit), ..Options::default() }
    }
}

/// A number of seconds above 0.
pub(super) fn seconds(text: &str) -> Result<Duration, String> {
    let seconds: f64 = text.parse().map_err(|_| "not a number of seconds".to_owned())?;
    Duration::try_from_secs_f64(seconds)
        .ok()
        .filter(|d| !d.is_zero())
        .ok_or_else(|| "give more than 0 seconds".to_owned())
}
