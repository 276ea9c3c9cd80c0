//! `stripwright man`.

use crate::cli::output::{Outputs, print, say};
use crate::cli::{Ended, Ending, Failure};
use crate::shop::words::listed;
use clap::CommandFactory;
use std::path::PathBuf;

/// Every page: its file and the command it is of. A test holds it against the commands there are.
const PAGES: [(&str, &str); 13] = [
    ("stripwright.1", ""),
    ("stripwright-start.1", "start"),
    ("stripwright-check.1", "check"),
    ("stripwright-plan.1", "plan"),
    ("stripwright-verify.1", "verify"),
    ("stripwright-glue.1", "glue"),
    ("stripwright-survey.1", "survey"),
    ("stripwright-buy.1", "buy"),
    ("stripwright-odds.1", "odds"),
    ("stripwright-look-for.1", "look-for"),
    ("stripwright-tally.1", "tally"),
    ("stripwright-completions.1", "completions"),
    ("stripwright-man.1", "man"),
];

/// Print a manual page, or write all of them
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright man plan > plan.1 && man ./plan.1
  stripwright man --into ~/.local/share/man/man1")]
pub struct Arguments {
    /// The command that the page is of [if left out: stripwright itself]
    #[arg(value_name = "COMMAND")]
    of: Option<String>,
    /// Write every page into this folder, over those of an older version
    #[arg(long, value_name = "FOLDER", conflicts_with = "of")]
    into: Option<PathBuf>,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for a command that is none, and where pages can't be written.
pub fn run(arguments: &Arguments) -> Ended {
    if let Some(folder) = &arguments.into {
        let paths = PAGES.map(|(file, _)| folder.join(file));
        let files: Vec<_> = PAGES.iter().zip(&paths).map(|((f, _), p)| (*f, Some(p))).collect();
        // A folder that is not there yet is made, as manual pages of one's own often need.
        std::fs::create_dir_all(folder).map_err(|why| {
            Failure::new(format!(
                "{}: can't be made: {why}; name another folder.",
                folder.display()
            ))
        })?;
        let mut outputs = Outputs::of(&[], &files, None)?;
        outputs.open()?;
        for (file, name) in PAGES {
            let text = page(name).unwrap_or_default();
            outputs.put(file, || text);
        }
        outputs.commit()?;
        say(&format!("Wrote {} pages to {}.", PAGES.len(), folder.display()));
        return Ok(Ending::Done);
    }
    let name = arguments.of.as_deref().unwrap_or_default();
    let Some(text) = page(name) else {
        let names: Vec<&str> = PAGES.iter().map(|p| p.1).filter(|n| !n.is_empty()).collect();
        return Err(Failure::new(format!(
            "\"{name}\" is not a command; there are {}.",
            listed(&names)
        )));
    };
    print(|out| out.write_all(text.as_bytes()));
    Ok(Ending::Done)
}

/// The page of a command, of the program itself where no name is given.
fn page(name: &str) -> Option<String> {
    let mut all = super::Arguments::command().disable_help_subcommand(true);
    all.build();
    let command = if name.is_empty() {
        all
    } else {
        let command = all.find_subcommand(name)?.clone();
        // As a file of that name is asked for: `man stripwright-plan`.
        command.display_name(format!("stripwright-{name}")).version(super::VERSION)
    };
    let mut page = Vec::new();
    // Writing to memory does not fail.
    let _ = clap_mangen::Man::new(command).render(&mut page);
    String::from_utf8(page).ok()
}

#[cfg(test)]
mod tests {
    use super::{PAGES, page};
    use clap::CommandFactory;

    #[test]
    fn there_is_a_page_of_every_command() {
        let all = super::super::Arguments::command();
        let names: Vec<&str> = all.get_subcommands().map(|c| c.get_name()).collect();
        let pages: Vec<&str> = PAGES.iter().map(|p| p.1).filter(|n| !n.is_empty()).collect();
        assert_eq!(pages, names);
        for (file, name) in PAGES {
            let text = page(name).unwrap();
            assert!(text.contains(".SH SYNOPSIS") && text.contains(".TH"), "{file}");
        }
    }
}
