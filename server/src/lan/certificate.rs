//! What is shown to phones now; swapped without a restart.

use std::net::Ipv4Addr;
use std::path::Path;
use std::sync::{Arc, PoisonError, RwLock};

use rustls::crypto::ring::sign::any_supported_type;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, pem::PemObject};
use rustls::server::{ClientHello, ResolvesServerCert};
use rustls::sign::CertifiedKey;
use time::{Duration, OffsetDateTime};

use super::LanError;

/// A certificate of our own authority is renewed when fewer days are left.
const RENEW_DAYS: i64 = 60;

/// A certificate with its key.
#[derive(Debug)]
pub(crate) struct Shown {
    key: Arc<CertifiedKey>,
    /// Names, addresses and last moment, of one that we made.
    pub(crate) of: Option<(Vec<String>, Vec<Ipv4Addr>, OffsetDateTime)>,
}

impl Shown {
    pub(crate) fn new(
        chain: Vec<CertificateDer<'static>>,
        key: &PrivateKeyDer<'static>,
    ) -> Result<Self, LanError> {
        let signing =
            any_supported_type(key).map_err(|error| LanError::Certificate(error.to_string()))?;
        let key = CertifiedKey::new(chain, signing);
        key.keys_match()
            .map_err(|error| LanError::Certificate(error.to_string()))?;
        Ok(Self {
            key: Arc::new(key),
            of: None,
        })
    }

    #[cfg(test)]
    pub(super) fn der(&self) -> &[u8] {
        self.key.cert.first().map_or(&[], |der| der)
    }
}

/// A certificate of one's own and its key, PEM files.
pub(crate) fn read_own(certificate: &Path, key: &Path) -> Result<Shown, LanError> {
    let wrong = |path: &Path, why: String| LanError::File {
        path: path.to_owned(),
        why,
    };
    let chain: Vec<CertificateDer<'static>> = CertificateDer::pem_file_iter(certificate)
        .and_then(Iterator::collect)
        .map_err(|error| wrong(certificate, error.to_string()))?;
    if chain.is_empty() {
        return Err(wrong(
            certificate,
            "there is no certificate in it. Name a PEM file with one".to_owned(),
        ));
    }
    let private =
        PrivateKeyDer::from_pem_file(key).map_err(|error| wrong(key, error.to_string()))?;
    Shown::new(chain, &private)
}

/// The one that is shown now.
#[derive(Debug)]
pub(crate) struct Current(RwLock<Shown>);

impl Current {
    pub(crate) fn new(first: Shown) -> Self {
        Self(RwLock::new(first))
    }

    /// Shows another from the next connection on.
    pub(crate) fn swap(&self, next: Shown) {
        *self.0.write().unwrap_or_else(PoisonError::into_inner) = next;
    }

    /// Whether it is this one.
    pub(crate) fn is_same(&self, other: &Shown) -> bool {
        let now = self.0.read().unwrap_or_else(PoisonError::into_inner);
        now.key.cert == other.key.cert
    }

    /// Whether one that we made is due for another: few days are left, or names or addresses changed.
    pub(crate) fn is_due(
        &self,
        names: &[String],
        addresses: &[Ipv4Addr],
        now: OffsetDateTime,
    ) -> bool {
        let shown = self.0.read().unwrap_or_else(PoisonError::into_inner);
        shown.of.as_ref().is_some_and(|(of, at, until)| {
            of != names || at != addresses || *until - now < Duration::days(RENEW_DAYS)
        })
    }

    #[cfg(test)]
    pub(super) fn der(&self) -> Vec<u8> {
        let shown = self.0.read().unwrap_or_else(PoisonError::into_inner);
        shown.der().to_vec()
    }
}

impl ResolvesServerCert for Current {
    fn resolve(&self, _hello: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        let shown = self.0.read().unwrap_or_else(PoisonError::into_inner);
        Some(Arc::clone(&shown.key))
    }
}
