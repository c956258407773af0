//! The program: hands over to [`knockwise::cli`] and returns its exit code.

use std::process::ExitCode;

fn main() -> ExitCode {
    knockwise::cli::main()
}
