//! Certificates, held against an X.509 parser of its own and against a verifier that browsers' rules are built on.

use rustls::RootCertStore;
use rustls::client::WebPkiServerVerifier;
use rustls::client::danger::ServerCertVerifier as _;
use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use x509_parser::extensions::{GeneralName, ParsedExtension};
use x509_parser::prelude::{FromDer as _, X509Certificate};

use super::*;

fn at(text: &str) -> OffsetDateTime {
    OffsetDateTime::parse(text, &time::format_description::well_known::Rfc3339).unwrap()
}

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("scantling-lan-{}-{name}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn lan() -> Lan {
    Lan {
        name: "elm-street".to_owned(),
        ..Lan::default()
    }
}

const HERE: Ipv4Addr = Ipv4Addr::new(192, 168, 1, 20);

/// Whether a client that trusts the authority takes the certificate for this name at this time (RFC 5280, with name
/// constraints).
fn is_taken(authority: &Authority, leaf: &[u8], name: &str, when: OffsetDateTime) -> bool {
    let mut roots = RootCertStore::empty();
    roots
        .add(CertificateDer::from(authority.der().to_vec()))
        .unwrap();
    let verifier = WebPkiServerVerifier::builder_with_provider(
        Arc::new(roots),
        Arc::new(rustls::crypto::ring::default_provider()),
    )
    .build()
    .unwrap();
    let seconds = u64::try_from(when.unix_timestamp()).unwrap();
    verifier
        .verify_server_cert(
            &CertificateDer::from(leaf.to_vec()),
            &[],
            &ServerName::try_from(name.to_owned()).unwrap(),
            &[],
            UnixTime::since_unix_epoch(Duration::from_secs(seconds)),
        )
        .is_ok()
}

#[test]
fn the_authority_is_made_once_and_only_its_owner_may_read_its_key() {
    let folder = folder("once");
    let now = at("2026-11-25T12:00:00Z");
    let first = Authority::load_or_make(&folder, None, false, now).unwrap();
    let again = Authority::load_or_make(&folder, None, false, now).unwrap();
    assert_eq!(first.der(), again.der());
    assert_eq!(first.fingerprint().len(), 32 * 3 - 1);
    #[cfg(unix)]
    for file in ["authority.pem", "authority-key.pem"] {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = std::fs::metadata(folder.join("tls").join(file)).unwrap();
        assert_eq!(mode.permissions().mode() & 0o777, 0o600, "{file}");
    }
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn the_certificates_say_what_phones_ask_for() {
    let folder = folder("fields");
    let now = at("2026-11-25T12:00:00Z");
    let authority = Authority::load_or_make(&folder, None, false, now).unwrap();
    let (_, ca) = X509Certificate::from_der(authority.der()).unwrap();
    let basic = ca.basic_constraints().unwrap().unwrap().value;
    assert_eq!((basic.ca, basic.path_len_constraint), (true, Some(0)));
    let usage = ca.key_usage().unwrap().unwrap().value;
    assert!(usage.key_cert_sign() && usage.crl_sign() && !usage.digital_signature());
    let limits = ca.name_constraints().unwrap().unwrap();
    assert!(limits.critical);
    assert_eq!(
        limits.value.permitted_subtrees.as_ref().unwrap().len(),
        ENDINGS_AND_NETWORKS
    );
    assert_eq!(
        (ca.validity().not_after.to_datetime() - now).whole_days(),
        3_651
    );

    let leaf = authority.leaf(&lan().names(), &[HERE], now).unwrap();
    let (_, cert) = X509Certificate::from_der(leaf.der()).unwrap();
    let days = cert.validity().not_after.to_datetime() - cert.validity().not_before.to_datetime();
    assert_eq!(days.whole_days(), 397);
    assert_eq!(
        (now - cert.validity().not_before.to_datetime()).whole_days(),
        1
    );
    let usage = cert.extended_key_usage().unwrap().unwrap().value;
    assert!(usage.server_auth && !usage.client_auth && !usage.any);
    let names = cert.subject_alternative_name().unwrap().unwrap().value;
    let words: Vec<String> = names
        .general_names
        .iter()
        .map(|name| match name {
            GeneralName::DNSName(name) => (*name).to_owned(),
            GeneralName::IPAddress(bytes) => format!("{bytes:?}"),
            other => format!("{other}"),
        })
        .collect();
    assert_eq!(
        words,
        [
            "elm-street.local",
            "elm-street.lan",
            "elm-street.home.arpa",
            "localhost",
            "[127, 0, 0, 1]",
            "[192, 168, 1, 20]"
        ]
    );
    assert!(!cert.extensions().iter().any(|one| matches!(
        one.parsed_extension(),
        ParsedExtension::BasicConstraints(basic) if basic.ca
    )));
    std::fs::remove_dir_all(folder).unwrap();
}

/// Five endings and five networks.
const ENDINGS_AND_NETWORKS: usize = 10;

#[test]
fn a_lost_half_of_the_authority_and_a_name_beyond_it_stop_with_what_to_do() {
    let folder = folder("tls-lost");
    let now = at("2026-11-25T12:00:00Z");
    let authority = Authority::load_or_make(&folder, None, false, now).unwrap();
    for (name, may) in [
        ("elm-street.local", true),
        ("local", true),
        ("house.example.org", false),
        ("notlocal", false),
    ] {
        assert_eq!(authority.may_vouch_for(name), may, "{name}");
        // The same by a client's own library.
        let leaf = authority.leaf(&[name.to_owned()], &[], now).unwrap();
        assert_eq!(is_taken(&authority, leaf.der(), name, now), may, "{name}");
    }
    let beyond = Lan {
        origin: Some("https://house.example.org:8443".to_owned()),
        ..lan()
    };
    let refused = tls(&folder, &beyond, &[HERE]).err().unwrap().to_string();
    assert!(
        refused.contains("can't vouch for house.example.org"),
        "{refused}"
    );
    // Made for it, or without limits, it may.
    for (n, unconstrained) in [(1, false), (2, true)] {
        let folder = folder.join(format!("other-{n}"));
        std::fs::create_dir_all(&folder).unwrap();
        let made =
            Authority::load_or_make(&folder, Some("example.org"), unconstrained, now).unwrap();
        assert!(made.may_vouch_for("house.example.org"));
    }
    for lost in ["authority-key.pem", "authority.pem"] {
        let (file, away) = (folder.join("tls").join(lost), folder.join("tls/away"));
        std::fs::rename(&file, &away).unwrap();
        let refused = Authority::load_or_make(&folder, None, false, now)
            .err()
            .unwrap();
        let refused = refused.to_string();
        assert!(
            refused.contains(lost) && refused.contains("is lost"),
            "{refused}"
        );
        std::fs::rename(&away, &file).unwrap();
    }
    let again = Authority::load_or_make(&folder, None, false, now).unwrap();
    assert_eq!(again.der(), authority.der());
}

#[test]
fn a_client_takes_the_names_of_local_networks_and_no_others() {
    let folder = folder("taken");
    let now = at("2026-11-25T12:00:00Z");
    let authority = Authority::load_or_make(&folder, None, false, now).unwrap();
    let leaf = authority.leaf(&lan().names(), &[HERE], now).unwrap();
    for name in ["elm-street.local", "localhost", "192.168.1.20", "127.0.0.1"] {
        assert!(is_taken(&authority, leaf.der(), name, now), "{name}");
    }
    assert!(!is_taken(&authority, leaf.der(), "oak-street.local", now));
    assert!(!is_taken(
        &authority,
        leaf.der(),
        "elm-street.local",
        at("2028-01-01T00:00:00Z")
    ));
    // Made for a name beyond its limits, the whole certificate is refused.
    let names = vec!["elm-street.local".to_owned(), "bank.example".to_owned()];
    let beyond = authority.leaf(&names, &[], now).unwrap();
    assert!(!is_taken(&authority, beyond.der(), "elm-street.local", now));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn the_certificate_is_renewed_at_sixty_days_and_with_the_addresses_and_not_before() {
    let folder = folder("renew");
    let made = at("2026-11-25T12:00:00Z");
    let authority = Authority::load_or_make(&folder, None, false, made).unwrap();
    let lan = lan();
    let current = Current::new(authority.leaf(&lan.names(), &[HERE], made).unwrap());
    let renewed = |addresses: &[Ipv4Addr], now: &str| {
        renew(&lan, (&current, Some(&authority)), addresses, at(now)).unwrap()
    };
    let first = current.der();
    assert!(
        !renewed(&[HERE], "2027-10-20T12:00:00Z"),
        "67 days are left"
    );
    assert_eq!(current.der(), first);
    assert!(renewed(&[HERE], "2027-11-01T12:00:00Z"), "less than 60 are");
    assert_ne!(current.der(), first);
    assert!(!renewed(&[HERE], "2027-11-01T12:00:01Z"));
    assert!(renewed(
        &[HERE, Ipv4Addr::new(10, 0, 0, 9)],
        "2027-11-01T12:00:02Z"
    ));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn names_and_addresses_that_cant_be_are_refused_in_words() {
    for name in ["", "Elm", "elm street", "-elm", "elm-", "elm.local"] {
        let lan = Lan {
            name: name.to_owned(),
            ..Lan::default()
        };
        assert!(
            lan.check()
                .unwrap_err()
                .to_string()
                .contains("as in elm-street"),
            "{name}"
        );
    }
    for origin in [
        "http://a.example",
        "https://",
        "https://a.example/x",
        "a.example",
    ] {
        let lan = Lan {
            origin: Some(origin.to_owned()),
            ..Lan::default()
        };
        assert!(lan.check().is_err(), "{origin}");
    }
    let lan = Lan {
        origin: Some("https://house.example.org:8443".to_owned()),
        ..Lan::default()
    };
    lan.check().unwrap();
    assert_eq!(lan.own_domain().as_deref(), Some("house.example.org"));
}

#[test]
fn a_certificate_of_ones_own_is_read_and_a_wrong_key_is_said() {
    let folder = folder("own");
    let pair = rcgen::generate_simple_self_signed(vec!["house.example.org".to_owned()]).unwrap();
    let other = rcgen::generate_simple_self_signed(vec!["house.example.org".to_owned()]).unwrap();
    let (certificate, key, wrong) = (
        folder.join("cert.pem"),
        folder.join("key.pem"),
        folder.join("wrong.pem"),
    );
    std::fs::write(&certificate, pair.cert.pem()).unwrap();
    std::fs::write(&key, pair.signing_key.serialize_pem()).unwrap();
    std::fs::write(&wrong, other.signing_key.serialize_pem()).unwrap();
    read_own(&certificate, &key).unwrap();
    assert!(read_own(&certificate, &wrong).is_err());
    assert!(
        read_own(&key, &key)
            .unwrap_err()
            .to_string()
            .contains("no certificate")
    );
    std::fs::remove_dir_all(folder).unwrap();
}
