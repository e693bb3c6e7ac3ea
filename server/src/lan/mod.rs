//! Beyond loopback: TLS with an authority of the data folder's own, its names and addresses, and the page that sets a
//! phone up.
//!
//! Nothing here runs, and no port is opened beyond loopback, unless `--lan` asks for it.

mod addresses;
mod authority;
mod certificate;
#[cfg(feature = "mdns")]
mod mdns;
pub(crate) mod setup;

use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};

use rustls::ServerConfig;
use rustls::version::{TLS12, TLS13};
use thiserror::Error;
use time::OffsetDateTime;

use crate::state::State;

pub(crate) use addresses::{Addresses, private_addresses};
pub(crate) use authority::Authority;
pub(crate) use certificate::{Current, read_own};
#[cfg(feature = "mdns")]
pub(crate) use mdns::Announced;

/// How often names, addresses and what is left of the certificate's days are looked at.
pub(crate) const LOOK_EVERY: Duration = Duration::from_secs(60);

/// What `--lan` asks for.
#[derive(Clone, Debug)]
pub struct Lan {
    /// The name on the local network, without `.local`.
    pub name: String,
    /// Where TLS is served.
    pub https_port: u16,
    /// Where the setup page is served.
    pub http_port: u16,
    /// On which address both listen; all by default.
    pub bind: Ipv4Addr,
    /// The one address for life, where it is not `https://NAME.local:PORT`.
    pub origin: Option<String>,
    /// A certificate of one's own and its key, PEM; then no authority is made.
    pub own: Option<(PathBuf, PathBuf)>,
    /// An authority without limits on names, for a phone that refuses them.
    pub unconstrained: bool,
    /// Whether the name is answered for on the local network.
    pub announce: bool,
}

impl Default for Lan {
    fn default() -> Self {
        Self {
            name: "scantling".to_owned(),
            https_port: 8443,
            http_port: 8080,
            bind: Ipv4Addr::UNSPECIFIED,
            origin: None,
            own: None,
            unconstrained: false,
            announce: true,
        }
    }
}

/// Why TLS can't be served.
#[derive(Debug, Error)]
pub enum LanError {
    /// A file of a key or certificate.
    #[error("{path}: {why}", path = .path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// A name that can't be one.
    #[error(
        "{0} is no name for a server: letters, digits and hyphens, at most 63, as in elm-street"
    )]
    Name(String),
    /// An address that can't be the one for life.
    #[error("{0} can't be the server's address: write it like https://house.example.org:8443")]
    Origin(String),
    /// A name that the folder's authority was not made for.
    #[error(
        "the authority in {at} can't vouch for {domain}: it was made for other names, and with this one among them phones \
         would refuse the whole certificate. Leave --origin as it was; or bring a certificate of your own \
         (--own-certificate, --own-key); or move {at} away, and set every phone up again",
        at = .at.display()
    )]
    Beyond {
        /// The name.
        domain: String,
        /// Where the authority is.
        at: PathBuf,
    },
    /// A certificate that can't be made or used.
    #[error("the certificate can't be made: {0}")]
    Certificate(String),
    /// The addresses of this machine.
    #[error("this machine's addresses can't be read: {0}")]
    Addresses(String),
}

impl Lan {
    /// Checks what was asked for.
    ///
    /// # Errors
    /// A name or address that can't be one.
    pub fn check(&self) -> Result<(), LanError> {
        let is_name = (1..=63).contains(&self.name.len())
            && self
                .name
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
            && !self.name.starts_with('-')
            && !self.name.ends_with('-');
        if !is_name {
            return Err(LanError::Name(self.name.clone()));
        }
        if let Some(origin) = &self.origin {
            let host = origin
                .strip_prefix("https://")
                .filter(|host| !host.is_empty() && !host.contains(['/', '?', '#', '@', ' ']));
            if host.is_none() || !origin.is_ascii() {
                return Err(LanError::Origin(origin.clone()));
            }
        }
        Ok(())
    }

    /// The one address for life; `port` is the one that was really taken.
    pub(crate) fn origin(&self, port: u16) -> String {
        match &self.origin {
            Some(origin) => origin.clone(),
            None => format!("https://{}.local:{port}", self.name),
        }
    }

    /// The host of the one address, without its port.
    pub(crate) fn own_domain(&self) -> Option<String> {
        let host = self.origin.as_deref()?.strip_prefix("https://")?;
        let host = host.split(':').next().unwrap_or(host);
        host.parse::<Ipv4Addr>().is_err().then(|| host.to_owned())
    }

    /// Every name in the certificate. No bare name: one outside the authority's limits makes the whole certificate
    /// invalid.
    pub(crate) fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = ["local", "lan", "home.arpa"]
            .iter()
            .map(|ending| format!("{}.{ending}", self.name))
            .collect();
        names.push("localhost".to_owned());
        if let Some(domain) = self.own_domain().filter(|domain| !names.contains(domain)) {
            names.push(domain);
        }
        names
    }
}

/// TLS for the server: what is shown to phones, and who vouches for it.
pub(crate) struct Tls {
    pub(crate) current: Arc<Current>,
    pub(crate) config: ServerConfig,
    /// None with a certificate of one's own.
    pub(crate) authority: Option<Arc<Authority>>,
}

/// Keeps the one address for life in the data folder; where it was another before, says what that means for phones that
/// have entries there still.
pub(crate) fn moved(
    state: &State,
    folder: &Path,
    origin: &str,
) -> Result<Vec<String>, scantling_db::Error> {
    let path = folder.join("address");
    let before = std::fs::read_to_string(&path).unwrap_or_default();
    let before = before.trim();
    if before == origin {
        return Ok(Vec::new());
    }
    let mut said = Vec::new();
    if !before.is_empty() {
        said.push(format!(
            "The address was {before} and is {origin} now. What phones keep belongs to the old one: there each opens its \
             list of entries to send, and saves them to a file."
        ));
        for device in state.db().read(scantling_db::devices)? {
            if device.has_session && device.revoked_at.is_none() {
                let seen = device.last_seen_at.as_deref().unwrap_or("never");
                said.push(format!("  {}: last seen {seen}", device.name));
            }
        }
    }
    if let Err(error) = std::fs::write(&path, format!("{origin}\n")) {
        tracing::warn!("{}: {error}", path.display());
    }
    Ok(said)
}

/// Makes or reads what TLS needs.
pub(crate) fn tls(folder: &Path, lan: &Lan, addresses: &[Ipv4Addr]) -> Result<Tls, LanError> {
    let now = OffsetDateTime::from(SystemTime::now());
    let (first, authority) = if let Some((certificate, key)) = &lan.own {
        (read_own(certificate, key)?, None)
    } else {
        let authority =
            Authority::load_or_make(folder, lan.own_domain().as_deref(), lan.unconstrained, now)?;
        if let Some(domain) = lan.own_domain()
            && !authority.may_vouch_for(&domain)
        {
            let at = folder.join("tls");
            return Err(LanError::Beyond { domain, at });
        }
        let leaf = authority.leaf(&lan.names(), &in_order(addresses), now)?;
        (leaf, Some(Arc::new(authority)))
    };
    let current = Arc::new(Current::new(first));
    let mut config =
        ServerConfig::builder_with_provider(Arc::new(rustls::crypto::ring::default_provider()))
            .with_protocol_versions(&[&TLS13, &TLS12])
            .map_err(|error| LanError::Certificate(error.to_string()))?
            .with_no_client_auth()
            .with_cert_resolver(Arc::<Current>::clone(&current));
    // No HTTP/2: what speaks it has an open advisory.
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Tls {
        current,
        config,
        authority,
    })
}

/// In a certificate their order says nothing: another way out asks for no other certificate.
fn in_order(addresses: &[Ipv4Addr]) -> Vec<Ipv4Addr> {
    let mut all = addresses.to_vec();
    all.sort();
    all
}

/// Renews what is shown to phones where that is due: few days are left, the addresses changed, or the file did.
pub(crate) fn renew(
    lan: &Lan,
    tls: (&Current, Option<&Authority>),
    addresses: &[Ipv4Addr],
    now: OffsetDateTime,
) -> Result<bool, LanError> {
    let (current, authority) = tls;
    let addresses = &in_order(addresses);
    let due = match (&lan.own, authority) {
        (Some((certificate, key)), _) => {
            let read = read_own(certificate, key)?;
            (!current.is_same(&read)).then_some(read)
        }
        (None, Some(authority)) if current.is_due(&lan.names(), addresses, now) => {
            Some(authority.leaf(&lan.names(), addresses, now)?)
        }
        _ => None,
    };
    let is_due = due.is_some();
    if let Some(next) = due {
        current.swap(next);
    }
    Ok(is_due)
}

#[cfg(test)]
mod tests;
