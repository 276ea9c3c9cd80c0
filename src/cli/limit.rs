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

/// The greatest limit, some thirty years: a clock may not reach further.
const GREATEST: f64 = 1e9;

/// A number of seconds above 0.
pub(super) fn seconds(text: &str) -> Result<Duration, String> {
    let seconds: f64 = text.parse().map_err(|_| "not a number of seconds".to_owned())?;
    if seconds.is_nan() {
        return Err("not a number of seconds".to_owned());
    }
    if seconds <= 0.0 {
        return Err("give more than 0 seconds".to_owned());
    }
    if seconds > GREATEST {
        return Err(format!("give at most {GREATEST} seconds; for no limit leave the option out"));
    }
    // The least that can be told.
    let limit = Duration::try_from_secs_f64(seconds).unwrap_or_default();
    Ok(limit.max(Duration::from_nanos(1)))
}

#[cfg(test)]
mod tests {
    use super::seconds;
    use std::time::Duration;

    #[test]
    fn a_limit_without_end_is_called_too_long_not_too_short() {
        for text in ["inf", "1e20", "1e300", "1e999", "1000000001"] {
            let said = seconds(text).unwrap_err();
            assert!(said.contains("at most 1000000000 seconds; for no limit leave"), "{said}");
        }
        for text in ["0", "-1", "-inf", "-0"] {
            assert_eq!(seconds(text).unwrap_err(), "give more than 0 seconds");
        }
        assert_eq!(seconds("nan").unwrap_err(), "not a number of seconds");
        assert_eq!(seconds("1e-300"), Ok(Duration::from_nanos(1)));
        assert_eq!(seconds("1e9"), Ok(Duration::from_secs(1_000_000_000)));
    }
}
