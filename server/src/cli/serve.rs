//! `scantling serve`: serves a data folder on loopback, and prints sign-in codes.

use std::io::BufRead as _;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};

use super::{Failed, say};
use crate::lan::setup::qr_lines;
use crate::{Codes, Config, Lan, SetupSaid, start};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Example: scantling serve --data elm-street
         scantling serve --data elm-street --lan --name elm-street
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
    #[command(flatten)]
    beyond: Beyond,
}

/// Serving beyond loopback.
#[derive(Debug, Default, clap::Args)]
#[command(next_help_heading = "For phones in the local network")]
pub(super) struct Beyond {
    /// Serve phones in the local network through TLS; prints a QR code that sets a phone up.
    #[arg(long)]
    lan: bool,
    /// The server's name there: phones open `https://NAME.local:8443`.
    #[arg(long, default_value = "scantling", requires = "lan")]
    name: String,
    /// The port of TLS.
    #[arg(long, default_value_t = 8443, requires = "lan")]
    https_port: u16,
    /// The plain port of the setup page.
    #[arg(long, default_value_t = 8080, requires = "lan")]
    http_port: u16,
    /// The one address for life, where the name won't do: `https://192.168.1.20:8443` (reserved in the router), or a domain
    /// of your own.
    #[arg(long, requires = "lan")]
    origin: Option<String>,
    /// A certificate of your own, PEM, instead of one by the data folder's own authority.
    #[arg(long, requires_all = ["lan", "own_key"])]
    own_certificate: Option<PathBuf>,
    /// Its key, PEM.
    #[arg(long, requires_all = ["lan", "own_certificate"])]
    own_key: Option<PathBuf>,
    /// Make the authority without limits on names, for a phone that refuses them. Only when it is first made.
    #[arg(long, requires = "lan")]
    ca_unconstrained: bool,
    /// Don't answer for the name in the local network.
    #[arg(long, requires = "lan")]
    no_announce: bool,
    /// With --lan: without TLS, on --port. No page opens on a phone away from the server then.
    #[arg(long, requires = "lan", conflicts_with_all = ["origin", "own_certificate", "ca_unconstrained"])]
    plain_http: bool,
}

impl Beyond {
    fn config(&self, folder: &Path, port: u16) -> Config {
        let lan = (self.lan && !self.plain_http).then(|| Lan {
            name: self.name.clone(),
            https_port: self.https_port,
            http_port: self.http_port,
            origin: self.origin.clone(),
            own: self.own_certificate.clone().zip(self.own_key.clone()),
            unconstrained: self.ca_unconstrained,
            announce: !self.no_announce,
            ..Lan::default()
        });
        Config {
            lan,
            plain: self.plain_http.then_some(Ipv4Addr::UNSPECIFIED),
            ..Config::on_loopback(folder.to_owned(), port)
        }
    }
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    serve(&arguments.data, arguments.port, &arguments.beyond)
}

/// Serves until Ctrl-C. Says where, and how to sign in; says it anew at each Enter.
pub(super) fn serve(folder: &Path, port: u16, beyond: &Beyond) -> Result<(), Failed> {
    let running = start(&beyond.config(folder, port))?;
    say(&format!(
        "Serving {} on {}",
        folder.display(),
        running.origin
    ))?;
    for sentence in &running.said {
        say(sentence)?;
    }
    if let Some(setup) = &running.setup {
        say_setup(setup)?;
    }
    if beyond.plain_http {
        say(
            "Without TLS: everyone in this network can read along, and phones can't open pages away from the server.",
        )?;
    }
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

/// How a phone is set up, with a QR code of the page that says it.
fn say_setup(setup: &SetupSaid) -> Result<(), Failed> {
    let Some(address) = &setup.address else {
        return say(&format!(
            "Set a phone up: open http://ADDRESS-OF-THIS-MACHINE:{}/setup on it.",
            setup.http_port
        ));
    };
    say(&format!(
        "Set a phone up, once each: point its camera here, or open {address} on it."
    ))?;
    for line in qr_lines(address) {
        say(&line)?;
    }
    match &setup.fingerprint {
        Some(fingerprint) => say(&format!(
            "The certificate's SHA-256, to compare with what the phone shows:\n{fingerprint}"
        )),
        None => Ok(()),
    }
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
