//! The data folder's own certificate authority, made once: every phone of the crew trusts it.
//!
//! ECDSA P-256, ten years, for signing servers' certificates alone, and only for names and addresses of local networks
//! (critical name constraints, RFC 5280 4.2.1.10). Its key never leaves the folder.

use std::fmt::Write as _;
use std::io::Write as _;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};

use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType,
    ExtendedKeyUsagePurpose, GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose,
    NameConstraints, SanType,
};
use rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer, pem::PemObject};
use sha2::{Digest as _, Sha256};
use time::{Duration, OffsetDateTime};
use x509_parser::extensions::GeneralName;
use x509_parser::prelude::{FromDer as _, X509Certificate};

use super::LanError;
use super::certificate::Shown;

/// How long the authority is good for.
const AUTHORITY_DAYS: i64 = 3_652;
/// How long a server's certificate is good for: the most that browsers take with a margin (398 days).
const LEAF_DAYS: i64 = 397;
/// Names that the authority may vouch for.
const ENDINGS: [&str; 5] = ["local", "lan", "home.arpa", "internal", "localhost"];
/// Addresses that it may vouch for: RFC 1918, RFC 3927 and loopback.
const NETWORKS: [([u8; 4], u8); 5] = [
    ([10, 0, 0, 0], 8),
    ([172, 16, 0, 0], 12),
    ([192, 168, 0, 0], 16),
    ([169, 254, 0, 0], 16),
    ([127, 0, 0, 0], 8),
];

/// The authority.
pub(crate) struct Authority {
    der: CertificateDer<'static>,
    issuer: Issuer<'static, KeyPair>,
}

impl Authority {
    /// The folder's authority; made where there is none.
    pub(crate) fn load_or_make(
        folder: &Path,
        own_domain: Option<&str>,
        unconstrained: bool,
        now: OffsetDateTime,
    ) -> Result<Self, LanError> {
        let certificate = folder.join("tls").join("authority.pem");
        let key = folder.join("tls").join("authority-key.pem");
        match (certificate.exists(), key.exists()) {
            (true, true) => return Self::load(&certificate, &key),
            (false, false) => {}
            // Made anew it would be another authority, which no phone trusts.
            (has_certificate, _) => {
                let [there, lost] = if has_certificate {
                    [&certificate, &key]
                } else {
                    [&key, &certificate]
                };
                return Err(LanError::File {
                    path: lost.clone(),
                    why: format!(
                        "it is lost, though {} is there. Put it back from a copy of the data folder; or remove both, and \
                         set every phone up again",
                        there.display()
                    ),
                });
            }
        }
        let (pem, key_pem) = make(own_domain, unconstrained, now)?;
        let home = folder.join("tls");
        std::fs::create_dir_all(&home).map_err(|error| file(&home, &error))?;
        // The key first: a certificate without its key would be of no use.
        write_private(&key, &key_pem)?;
        write_private(&certificate, &pem)?;
        Self::load(&certificate, &key)
    }

    fn load(certificate: &Path, key: &Path) -> Result<Self, LanError> {
        let read = |path: &Path| std::fs::read_to_string(path).map_err(|error| file(path, &error));
        let (pem, key_pem) = (read(certificate)?, read(key)?);
        let wrong = |path: &Path, why: String| LanError::File {
            path: path.to_owned(),
            why,
        };
        let der = CertificateDer::from_pem_slice(pem.as_bytes())
            .map_err(|error| wrong(certificate, error.to_string()))?;
        let pair = KeyPair::from_pem(&key_pem).map_err(|error| wrong(key, error.to_string()))?;
        let issuer = Issuer::from_ca_cert_der(&der, pair)
            .map_err(|error| wrong(certificate, error.to_string()))?;
        Ok(Self { der, issuer })
    }

    /// Whether it may vouch for a name: one within its limits, where it has any.
    ///
    /// Source: RFC 5280 4.2.1.10 (a name is within a limit that it ends in, from a dot on).
    pub(crate) fn may_vouch_for(&self, name: &str) -> bool {
        let Ok((_, read)) = X509Certificate::from_der(&self.der) else {
            return false;
        };
        let Ok(Some(limits)) = read.name_constraints() else {
            return true;
        };
        let permitted = limits.value.permitted_subtrees.iter().flatten();
        let mut names = permitted.filter_map(|one| match &one.base {
            GeneralName::DNSName(name) => Some(*name),
            _ => None,
        });
        names.any(|limit| {
            name.strip_suffix(limit)
                .is_some_and(|before| before.is_empty() || before.ends_with('.'))
        })
    }

    /// Its certificate, as phones take it.
    pub(crate) fn der(&self) -> &[u8] {
        &self.der
    }

    /// Its SHA-256 in pairs, to compare by eye: `3F:A0:…`.
    pub(crate) fn fingerprint(&self) -> String {
        let mut text = String::new();
        for (at, byte) in Sha256::digest(&self.der).iter().enumerate() {
            let colon = if at == 0 { "" } else { ":" };
            let _writing_to_a_string_cannot_fail = write!(text, "{colon}{byte:02X}");
        }
        text
    }

    /// A server's certificate for these names and addresses, with a key of its own.
    pub(crate) fn leaf(
        &self,
        names: &[String],
        addresses: &[Ipv4Addr],
        now: OffsetDateTime,
    ) -> Result<Shown, LanError> {
        let failed = |error: rcgen::Error| LanError::Certificate(error.to_string());
        let pair = KeyPair::generate().map_err(failed)?;
        let mut params = CertificateParams::default();
        let first = names.first().map_or("localhost", String::as_str);
        params.distinguished_name = named(first);
        params.not_before = now - Duration::days(1);
        params.not_after = params.not_before + Duration::days(LEAF_DAYS);
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.use_authority_key_identifier_extension = true;
        for name in names {
            let name = name.as_str().try_into().map_err(failed)?;
            params.subject_alt_names.push(SanType::DnsName(name));
        }
        for address in [Ipv4Addr::LOCALHOST].iter().chain(addresses) {
            params
                .subject_alt_names
                .push(SanType::IpAddress((*address).into()));
        }
        let not_after = params.not_after;
        let certificate = params.signed_by(&pair, &self.issuer).map_err(failed)?;
        let key = PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(pair.serialize_der()));
        let mut shown = Shown::new(vec![certificate.der().clone()], &key)?;
        shown.of = Some((names.to_vec(), addresses.to_vec(), not_after));
        Ok(shown)
    }
}

/// A new authority: certificate and key, PEM.
fn make(
    own_domain: Option<&str>,
    unconstrained: bool,
    now: OffsetDateTime,
) -> Result<(String, String), LanError> {
    let failed = |error: rcgen::Error| LanError::Certificate(error.to_string());
    let pair = KeyPair::generate().map_err(failed)?;
    let mut tail = String::new();
    for byte in Sha256::digest(pair.public_key_pem()).iter().take(2) {
        let _writing_to_a_string_cannot_fail = write!(tail, "{byte:02x}");
    }
    let mut params = CertificateParams::default();
    params.distinguished_name = named(&format!("Scantling local CA {tail}"));
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    params.not_before = now - Duration::days(1);
    params.not_after = params.not_before + Duration::days(AUTHORITY_DAYS);
    if !unconstrained {
        let names = ENDINGS.iter().copied().chain(own_domain);
        let names = names.map(|name| GeneralSubtree::DnsName(name.to_owned()));
        let networks = NETWORKS
            .iter()
            .map(|(net, bits)| GeneralSubtree::IpAddress(CidrSubnet::from_v4_prefix(*net, *bits)));
        params.name_constraints = Some(NameConstraints {
            permitted_subtrees: names.chain(networks).collect(),
            excluded_subtrees: Vec::new(),
        });
    }
    let certificate = params.self_signed(&pair).map_err(failed)?;
    Ok((certificate.pem(), pair.serialize_pem()))
}

fn named(common: &str) -> DistinguishedName {
    let mut name = DistinguishedName::new();
    name.push(DnType::CommonName, common);
    name
}

fn file(path: &Path, error: &std::io::Error) -> LanError {
    LanError::File {
        path: path.to_owned(),
        why: error.to_string(),
    }
}

/// Writes a file for its owner alone: under another name first, on disk, then in its place.
fn write_private(path: &Path, text: &str) -> Result<(), LanError> {
    let half: PathBuf = path.with_extension("half");
    let write = || -> std::io::Result<()> {
        let mut options = std::fs::OpenOptions::new();
        options.write(true).create(true).truncate(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let mut file = options.open(&half)?;
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
        std::fs::rename(&half, path)
    };
    write().map_err(|error| file(path, &error))
}
