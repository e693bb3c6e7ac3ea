//! The binary `scantling`: reads its arguments and calls the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    scantling_server::cli::main()
}
