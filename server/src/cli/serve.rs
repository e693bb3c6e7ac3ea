//! `scantling serve`: serves a data folder on loopback, and prints sign-in codes.

use std::io::BufRead as _;
use std::path::{Path, PathBuf};

use super::{Failed, say};
use crate::{Codes, Config, start};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Example: scantling serve --data elm-street
It prints a link that signs you in once, and \"Ready.\" when it answers. The end of its input doesn't end it.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The data folder; made if it isn't there.
    #[arg(long, default_value = "scantling-data")]
    data: PathBuf,
    /// The port on loopback; 0 takes a free one.
    #[arg(long, default_value_t = 8080)]
    port: u16,
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    serve(&arguments.data, arguments.port)
}

/// Serves until Ctrl-C. Says where, and how to sign in; says it anew at each Enter.
pub(super) fn serve(folder: &Path, port: u16) -> Result<(), Failed> {
    let running = start(&Config {
        folder: folder.to_owned(),
        port,
    })?;
    say(&format!(
        "Serving {} on {}",
        folder.display(),
        running.origin
    ))?;
    say_code(&running.codes(), &running.origin)?;
    say("Enter: a fresh sign-in code. Ctrl-C: stop.")?;
    say("Ready.")?;
    // The console is read in a thread of its own; its end (no console at all) is no error, the server goes on.
    let (codes, origin) = (running.codes(), running.origin.clone());
    std::thread::spawn(move || {
        for line in std::io::stdin().lock().lines() {
            if line.is_err() || say_code(&codes, &origin).is_err() {
                break;
            }
        }
    });
    running.wait()?;
    Ok(())
}

fn say_code(codes: &Codes, origin: &str) -> Result<(), Failed> {
    let code = codes.fresh()?;
    say(&format!(
        "Sign in once, within ten minutes: {origin}/sign-in#{code}"
    ))?;
    say(&format!(
        "Where scripts are off: {origin}/sign-in and the code {code}"
    ))
}
