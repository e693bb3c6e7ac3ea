//! The setup page, the authority's certificate and the live check, on the plain port and on the one with TLS.

use std::sync::Arc;

use actix_web::http::header;
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse, Responder};
use qrcode::{Color, QrCode};
use scantling_web::drawing::qr::Qr;
use scantling_web::pages::setup::{self, Trust};

use super::{Addresses, Authority};
use crate::error::{HttpError, html};
use crate::gate::HEADERS;
use crate::pages::asset;

/// What the setup page tells.
#[derive(Clone, Default)]
pub(crate) struct Setup {
    /// The one address for life.
    pub(crate) origin: String,
    /// The port with TLS.
    pub(crate) https_port: u16,
    /// The plain port.
    pub(crate) http_port: u16,
    /// This machine's addresses.
    pub(crate) addresses: Addresses,
    /// Who vouches for the server; none with a certificate of one's own.
    pub(crate) authority: Option<Arc<Authority>>,
}

impl Setup {
    /// The setup page's address for a phone; none where this machine has no address on a local network.
    pub(crate) fn address(&self) -> Option<String> {
        let addresses = self.addresses.now();
        let first = addresses.first()?;
        Some(format!("http://{first}:{}/setup", self.http_port))
    }

    fn by_address(&self) -> Vec<String> {
        let addresses = self.addresses.now();
        addresses
            .iter()
            .map(|address| format!("https://{address}:{}", self.https_port))
            .collect()
    }
}

/// A QR code's modules, row by row, and how many stand in a row; none where the text is too long for one.
pub(crate) fn qr(text: &str) -> Option<(Vec<bool>, usize)> {
    let code = QrCode::new(text).ok()?;
    let dark = code
        .to_colors()
        .into_iter()
        .map(|color| color == Color::Dark)
        .collect();
    Some((dark, code.width()))
}

/// The same for a terminal: two rows of modules a line, light on dark terminals and dark on light ones alike.
pub(crate) fn qr_lines(text: &str) -> Vec<String> {
    const QUIET: usize = 2;
    let Some((dark, width)) = qr(text) else {
        return Vec::new();
    };
    let side = width + 2 * QUIET;
    let is_light = |x: usize, y: usize| {
        let inside = (QUIET..QUIET + width).contains(&x) && (QUIET..QUIET + width).contains(&y);
        !inside || dark.get((y - QUIET) * width + x - QUIET) != Some(&true)
    };
    (0..side)
        .step_by(2)
        .map(|y| {
            let row: String = (0..side)
                .map(|x| match (is_light(x, y), is_light(x, y + 1)) {
                    (true, true) => '█',
                    (true, false) => '▀',
                    (false, true) => '▄',
                    (false, false) => ' ',
                })
                .collect();
            // White on black, whatever the terminal's own colours are.
            format!("\u{1b}[97;40m{row}\u{1b}[0m")
        })
        .collect()
}

/// The page.
pub(crate) async fn show(setup: web::Data<Setup>) -> impl Responder {
    let address = setup.address();
    let drawn = address.as_deref().and_then(qr);
    let here = address.zip(drawn.as_ref()).map(|(address, (dark, width))| {
        let code = Qr {
            id: "setup-qr",
            says: "This page’s address",
            dark,
            width: *width,
        };
        (address, code)
    });
    let view = setup::View {
        origin: &setup.origin,
        by_address: setup.by_address(),
        here,
        trust: match &setup.authority {
            Some(authority) => Trust::Authority(authority.fingerprint()),
            None if setup.origin.starts_with("https://") => Trust::Known,
            None => Trust::Plain,
        },
    };
    let mut answer = html(setup::page(&view));
    // The live check asks the server by its name and by each address, from whichever page this is.
    let all = setup.by_address().join(" ");
    let policy = format!(
        "default-src 'self'; connect-src 'self' {} {all}; img-src 'self' data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
        setup.origin
    );
    if let Ok(policy) = policy.parse() {
        answer
            .headers_mut()
            .insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    answer
}

/// The authority's certificate. DER under this type: as text, an iPhone shows it instead of taking it.
pub(crate) async fn certificate(setup: web::Data<Setup>) -> Result<HttpResponse, HttpError> {
    let authority = setup.authority.as_ref().ok_or(HttpError::NotFound)?;
    Ok(HttpResponse::Ok()
        .content_type("application/x-x509-ca-cert")
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .insert_header((
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"scantling-ca.cer\"",
        ))
        .body(authority.der().to_vec()))
}

/// The live check's script.
pub(crate) async fn check() -> Result<HttpResponse, HttpError> {
    asset::script("check.js")
}

/// All that the plain port answers.
pub(crate) fn register(config: &mut ServiceConfig) {
    config
        .route("/setup", web::get().to(show))
        .route("/setup/check.js", web::get().to(check))
        .route("/ca.cer", web::get().to(certificate))
        .route("/a/{build}/{file}", web::get().to(asset::send))
        .default_service(web::to(elsewhere));
}

/// Everything else is behind TLS; what has no address of its own there begins with the setup.
async fn elsewhere(setup: web::Data<Setup>, request: HttpRequest) -> HttpResponse {
    let path = request.uri().path_and_query();
    let there = match path.map_or("/", |path| path.as_str()) {
        "/" => "/setup".to_owned(),
        path => format!("{}{path}", setup.origin),
    };
    let mut answer = HttpResponse::TemporaryRedirect();
    for header in HEADERS {
        answer.insert_header(header);
    }
    answer.insert_header((header::LOCATION, there)).finish()
}
