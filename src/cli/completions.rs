//! `stripwright completions`.

use crate::cli::output::print;
use crate::cli::{Ended, Ending};
use clap::CommandFactory;
use clap_complete::Shell;

/// Print what makes a shell complete commands and options
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright completions bash > ~/.local/share/bash-completion/completions/stripwright
  stripwright completions fish > ~/.config/fish/completions/stripwright.fish")]
pub struct Arguments {
    /// The shell
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

/// Runs the command.
///
/// # Errors
/// None of its own: see [`Ended`].
pub fn run(arguments: &Arguments) -> Ended {
    let mut command = super::Arguments::command();
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, "stripwright", &mut script);
    print(|out| out.write_all(&script));
    Ok(Ending::Done)
}
