//! Through TLS, as phones reach it: on loopback here, with the same ports, names and certificates.

use std::io::{Read as _, Write as _};
use std::net::{Ipv4Addr, TcpStream};
use std::path::PathBuf;
use std::sync::Arc;

use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use scantling_server::{Config, Lan, Limits, Running, start};

use crate::support::Client;

/// A server with `--lan`, on loopback.
struct OnLan {
    running: Option<Running>,
    folder: PathBuf,
    https: u16,
    http: u16,
}

impl OnLan {
    fn start(name: &str) -> Self {
        Self::start_in(
            std::env::temp_dir().join(format!("scantling-{}-{name}", std::process::id())),
        )
    }

    fn start_in(folder: PathBuf) -> Self {
        Self::start_with(folder, None)
    }

    /// With a certificate and key of one's own, or the folder's authority.
    fn start_with(folder: PathBuf, own: Option<(PathBuf, PathBuf)>) -> Self {
        Self::start_within(folder, own, Limits::none())
    }

    fn start_within(folder: PathBuf, own: Option<(PathBuf, PathBuf)>, limits: Limits) -> Self {
        let running = start(&Config {
            lan: Some(Lan {
                name: "elm-street".to_owned(),
                bind: Ipv4Addr::LOCALHOST,
                https_port: 0,
                http_port: 0,
                announce: false,
                own,
                ..Lan::default()
            }),
            limits,
            ..Config::on_loopback(folder.clone(), 0)
        })
        .unwrap();
        let https = running.origin.rsplit(':').next().unwrap().parse().unwrap();
        let http = running.setup.as_ref().unwrap().http_port;
        Self {
            running: Some(running),
            folder,
            https,
            http,
        }
    }

    fn running(&self) -> &Running {
        self.running.as_ref().unwrap()
    }

    /// What trusts the certificate that the plain port hands out.
    fn trust(&self) -> RootCertStore {
        let plain = Client::of(&format!("http://127.0.0.1:{}", self.http));
        let (answer, der) = plain.file("/ca.cer");
        assert_eq!(
            answer.header("content-type"),
            Some("application/x-x509-ca-cert")
        );
        let mut roots = RootCertStore::empty();
        roots.add(CertificateDer::from(der)).unwrap();
        roots
    }

    /// One request through TLS, with this name asked for and this Host sent; the whole answer as text.
    fn ask(&self, roots: RootCertStore, name: &str, request: &str) -> Result<String, String> {
        let config =
            ClientConfig::builder_with_provider(Arc::new(rustls::crypto::ring::default_provider()))
                .with_safe_default_protocol_versions()
                .unwrap()
                .with_root_certificates(roots)
                .with_no_client_auth();
        let name = ServerName::try_from(name.to_owned()).unwrap();
        let connection = ClientConnection::new(Arc::new(config), name).unwrap();
        let socket = TcpStream::connect((Ipv4Addr::LOCALHOST, self.https)).unwrap();
        let mut stream = StreamOwned::new(connection, socket);
        stream
            .write_all(request.as_bytes())
            .map_err(|error| error.to_string())?;
        let mut answer = Vec::new();
        // The server closes without a word more; what came is the answer.
        let _closed = stream.read_to_end(&mut answer);
        Ok(String::from_utf8_lossy(&answer).into_owned())
    }

    fn get(&self, name: &str, path: &str) -> Result<String, String> {
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: {name}:{}\r\nConnection: close\r\n\r\n",
            self.https
        );
        self.ask(self.trust(), name, &request)
    }
}

impl Drop for OnLan {
    fn drop(&mut self) {
        if let Some(running) = self.running.take() {
            running.stop().unwrap();
        }
        drop(std::fs::remove_dir_all(&self.folder));
    }
}

#[test]
fn a_phone_that_took_the_certificate_signs_in_through_tls() {
    let server = OnLan::start("tls");
    let origin = server.running().origin.clone();
    assert_eq!(origin, format!("https://elm-street.local:{}", server.https));
    let answer = server.get("elm-street.local", "/sign-in").unwrap();
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    let code = server.running().fresh_code().unwrap();
    let body = format!("code={code}");
    let request = format!(
        "POST /sign-in HTTP/1.1\r\nHost: elm-street.local:{}\r\nOrigin: {origin}\r\nContent-Type: \
         application/x-www-form-urlencoded\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
        server.https,
        body.len()
    );
    let signed = server
        .ask(server.trust(), "elm-street.local", &request)
        .unwrap();
    assert!(signed.starts_with("HTTP/1.1 303"), "{signed}");
    let cookie = signed
        .lines()
        .find(|line| line.starts_with("set-cookie: "))
        .unwrap_or_else(|| panic!("{signed}"));
    assert!(cookie.starts_with("set-cookie: __Host-device="), "{cookie}");
    for word in ["HttpOnly", "Secure", "SameSite=Lax", "Path=/"] {
        assert!(cookie.contains(word), "{word}: {cookie}");
    }
    assert!(!signed.to_lowercase().contains("strict-transport-security"));
}

#[test]
fn a_phone_that_trusts_nothing_gets_no_answer() {
    let server = OnLan::start("untrusted");
    let refused = server.ask(
        RootCertStore::empty(),
        "elm-street.local",
        "GET / HTTP/1.1\r\n\r\n",
    );
    assert!(refused.unwrap_err().contains("UnknownIssuer"));
}

#[test]
fn every_other_name_leads_to_the_one_and_a_strange_one_nowhere() {
    let server = OnLan::start("names");
    let origin = server.running().origin.clone();
    for name in ["localhost", "127.0.0.1", "elm-street.lan"] {
        let answer = server.get(name, "/help?x=1").unwrap();
        assert!(answer.starts_with("HTTP/1.1 307"), "{name}: {answer}");
        assert!(
            answer.contains(&format!("location: {origin}/help?x=1")),
            "{answer}"
        );
        let sync = server.get(name, "/sync/v1/ping").unwrap();
        assert!(sync.starts_with("HTTP/1.1 421"), "{name}: {sync}");
        assert!(sync.contains("wrong_origin"), "{sync}");
    }
    let strange = server
        .ask(
            server.trust(),
            "elm-street.local",
            "GET / HTTP/1.1\r\nHost: elsewhere.example\r\nConnection: close\r\n\r\n",
        )
        .unwrap();
    assert!(strange.starts_with("HTTP/1.1 421"), "{strange}");
    assert!(!strange.contains("elsewhere.example"), "nothing is echoed");
}

#[test]
fn without_tls_the_setup_page_promises_nothing_that_needs_it() {
    let server = crate::support::TestServer::start("setup-plain");
    let page = server.stranger().page("/setup");
    assert!(page.contains("runs without TLS"), "{page}");
    assert!(!page.contains("trust already") && !page.contains("no signal"));
}

#[test]
fn the_plain_port_answers_with_the_setup_alone() {
    let server = OnLan::start("plain");
    let origin = server.running().origin.clone();
    let plain = Client::of(&format!("http://127.0.0.1:{}", server.http));
    let page = plain.page("/setup");
    let fingerprint = server.running().setup.as_ref().unwrap().fingerprint.clone();
    assert!(
        page.contains(&fingerprint.unwrap()),
        "to compare with the console"
    );
    assert!(page.contains(&origin));
    let answer = plain.get("/setup");
    let policy = answer.header("content-security-policy").unwrap();
    assert!(
        policy.contains(&format!("connect-src 'self' {origin}")),
        "{policy}"
    );
    assert_eq!(plain.get("/setup/check.js").status, 200);
    let begun = plain.get("/");
    assert_eq!(
        (begun.status, begun.location.as_deref()),
        (307, Some("/setup"))
    );
    for path in ["/jobs/x", "/sign-in", "/sync/v1/ping"] {
        let answer = plain.get(path);
        assert_eq!(answer.status, 307, "{path}");
        assert_eq!(answer.location, Some(format!("{origin}{path}")));
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
    }
    assert_eq!(
        plain.get("/tls/authority-key.pem").status,
        307,
        "the key is nowhere"
    );
}

#[test]
fn a_flood_on_the_plain_port_is_told_when_to_come_again() {
    let folder = std::env::temp_dir().join(format!("scantling-{}-flood", std::process::id()));
    let limits = Limits {
        of_stranger: 3,
        ..Limits::none()
    };
    let server = OnLan::start_within(folder, None, limits);
    let plain = Client::of(&format!("http://127.0.0.1:{}", server.http));
    for path in ["/setup", "/ca.cer", "/elsewhere"] {
        assert_ne!(plain.file(path).0.status, 429, "{path}");
    }
    assert_eq!(plain.get(&format!("/{}", "x".repeat(4_100))).status, 414);
    let answer = plain.get("/setup");
    assert_eq!(answer.status, 429);
    assert!(answer.header("retry-after").is_some());
    assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
}

#[test]
fn a_restart_shows_the_same_authority_and_another_certificate() {
    let first = OnLan::start("again");
    let folder = first.folder.clone();
    let fingerprint = first.running().setup.as_ref().unwrap().fingerprint.clone();
    let mut first = first;
    first.running.take().unwrap().stop().unwrap();
    let second = OnLan::start_in(folder);
    assert_eq!(
        second.running().setup.as_ref().unwrap().fingerprint,
        fingerprint
    );
    assert!(second.get("elm-street.local", "/help").is_ok());
    // The ports were free ones, so the address moved: that is said, with the phones that may have entries there.
    assert!(
        second
            .running()
            .said
            .iter()
            .any(|said| said.contains("The address was"))
    );
}

/// The signal that asks for it ends a program that doesn't listen to it.
#[cfg(unix)]
#[test]
fn another_certificate_of_ones_own_is_shown_once_a_hang_up_asks_for_it() {
    let folder = std::env::temp_dir().join(format!("scantling-{}-hang-up", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let files = (folder.join("cert.pem"), folder.join("key.pem"));
    let name = "elm-street.local";
    let write = || {
        let pair = rcgen::generate_simple_self_signed(vec![name.to_owned()]).unwrap();
        std::fs::write(&files.1, pair.signing_key.serialize_pem()).unwrap();
        std::fs::write(&files.0, pair.cert.pem()).unwrap();
        let mut roots = RootCertStore::empty();
        roots.add(pair.cert.der().clone()).unwrap();
        roots
    };
    let first = write();
    let server = OnLan::start_with(folder.clone(), Some(files.clone()));
    let request = format!(
        "GET /sync/v1/ping HTTP/1.1\r\nHost: {name}:{}\r\nConnection: close\r\n\r\n",
        server.https
    );
    let answers = |roots: &RootCertStore| server.ask(roots.clone(), name, &request).is_ok();
    let second = write();
    assert!(answers(&first) && !answers(&second));
    let hung_up = std::process::Command::new("kill")
        .args(["-HUP", &std::process::id().to_string()])
        .status()
        .unwrap();
    assert!(hung_up.success());
    while !answers(&second) {}
    assert!(!answers(&first));
}
