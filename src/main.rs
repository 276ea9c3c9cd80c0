//! The `stripwright` command.

fn main() -> std::process::ExitCode {
    stripwright::cli::main()
}
