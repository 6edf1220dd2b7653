//! Parses, calls, prints, and turns an error into an exit code.

fn main() -> std::process::ExitCode {
    tackfree::cli::run(std::env::args_os())
}
