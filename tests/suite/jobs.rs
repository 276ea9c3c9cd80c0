//! Texts of jobs, as a person would write them in paddles.toml.
//!
//! ```text
//! shop("min_rip = 4").paddle("small", "24 loom 8 x 1", "trim = 0").through("side", "1/2").text()
//! ```

use assert_cmd::Command;
use std::fmt::Write as _;
use std::path::Path;
use stripwright::paddle::Job;
use stripwright::read::job_text;

/// A paddles.toml being written.
#[derive(Clone)]
pub struct JobText(String);

/// Begins with what the shop does: lines of `[shop]`, or one line with `;` between them.
pub fn shop(lines: &str) -> JobText {
    JobText(format!("[shop]\n{}", keys(lines)))
}

fn keys(lines: &str) -> String {
    lines.split([';', '\n']).map(|line| format!("{}\n", line.trim())).collect()
}

impl JobText {
    /// A kind of paddle: finished length and loom, and the blank's thickness, in inches; then
    /// further keys.
    pub fn paddle(mut self, name: &str, [length, loom, thick]: [&str; 3], more: &str) -> JobText {
        let _ = write!(
            self.0,
            "[[paddle]]\nname = \"{name}\"\nlength = \"{length}\"\nloom = \"{loom}\"\nthickness = \"{thick}\"\n{}",
            keys(more)
        );
        self
    }

    fn lamination(mut self, name: &str, thick: &str, runs: &str, more: &str) -> JobText {
        let _ = write!(
            self.0,
            "[[paddle.lamination]]\nname = \"{name}\"\nthickness = \"{thick}\"\nruns = \"{runs}\"\n{}",
            keys(more)
        );
        self
    }

    /// A pair of strips through loom and blades.
    pub fn through(self, name: &str, thick: &str) -> JobText {
        self.lamination(name, thick, "through", "")
    }

    /// One strip on the centreline.
    pub fn spine(self, thick: &str) -> JobText {
        self.lamination("spine", thick, "through", "centre = true")
    }

    /// Strips of the blades alone.
    pub fn blade(self, name: &str, thick: &str) -> JobText {
        self.lamination(name, thick, "blade", "")
    }

    /// Further keys of what was named last.
    pub fn with(mut self, more: &str) -> JobText {
        self.0.push_str(&keys(more));
        self
    }

    /// The text.
    pub fn text(&self) -> String {
        self.0.clone()
    }

    /// The job that it reads as.
    pub fn job(&self) -> Job {
        job_text("p.toml", &self.0).unwrap()
    }
}

/// So many paddles of three laminations, 7 ft long, as several tests want them.
pub fn bay(quantity: u32) -> JobText {
    shop("resaw_kerf = \"1/16\"")
        .paddle("bay", ["84", "20", "1 3/8"], &format!("quantity = {quantity}"))
        .spine("1/4")
        .through("side", "1/2")
        .blade("blade", "1/2")
}

/// Runs the program in a folder: status, standard output, standard error.
pub fn run(folder: &Path, words: &[&str]) -> (Option<i32>, String, String) {
    let mut command = Command::cargo_bin("stripwright").unwrap();
    let output = command.current_dir(folder).args(words).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

/// The same of a run that is not ended by a signal.
pub fn ended(folder: &Path, words: &[&str]) -> (i32, String, String) {
    let (status, out, err) = run(folder, words);
    (status.unwrap(), out, err)
}

/// Text without its line ends and the blanks that wrapping makes.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
