//! What every request passes before a handler sees it, in this order: connections, time, Host, encoding, rate, device,
//! role, same site, size; then the headers of every answer. Nothing of a body is read before.

use std::panic::AssertUnwindSafe;
use std::time::Instant;

use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use actix_web::middleware::Next;
use actix_web::{HttpMessage, HttpResponse, ResponseError, web};
use futures_util::FutureExt as _;
use scantling_takeoff::record::Role;
use scantling_web::assets;
use uuid::Uuid;

use crate::clock;
use crate::error::HttpError;
use crate::journal::Answered;
use crate::limits::{Open, Whose};
use crate::passes::Passes;
use crate::router::{ROUTES, Route};
use crate::session;
use crate::state::State;
use crate::sync::{Refusal, is_sync};

/// The headers of every answer (reliability: nothing from elsewhere, no framing, no sniffing).
pub(crate) const HEADERS: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(self), geolocation=(), microphone=()",
    ),
];

/// Longest address, in bytes.
const URL_BYTES: usize = 4 * 1024;
/// Names and values of all headers together, in bytes.
const HEAD_BYTES: usize = 16 * 1024;

/// The outermost layer.
pub(crate) async fn gate(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, actix_web::Error> {
    let method = request.method().clone();
    let pattern = request.match_pattern().unwrap_or_default();
    let for_script = is_sync(request.path());
    let path_is_ping = request.path() == "/sync/v1/ping";
    let refused = |error: HttpError| -> HttpResponse {
        if for_script {
            Refusal::from(error).error_response()
        } else {
            error.error_response()
        }
    };
    let (request_id, began) = (clock::new_id(), Instant::now());
    let journal = request.app_data::<web::Data<State>>().cloned();
    let time_limit = row(&pattern, &method)
        .map_or(Passes::Page, |row| row.passes)
        .time();
    let mut device = None;
    let mut response = match check(&request, &mut device).await {
        Ok(()) => {
            // An error and no answer: what is left of the request can't be had back from the handler.
            let answering = AssertUnwindSafe(next.call(request)).catch_unwind();
            let given_up = |error: HttpError| -> actix_web::Error {
                if for_script {
                    Refusal::from(error).into()
                } else {
                    error.into()
                }
            };
            tokio::time::timeout(time_limit, answering)
                .await
                .map_err(|_| given_up(HttpError::TooSlow))?
                .map_err(|_| given_up(HttpError::Broken("a handler panicked")))??
                .map_into_boxed_body()
        }
        Err(error) => {
            if let (Some(state), Some(what)) = (&journal, error.by_rule()) {
                state.journal().security(what, &pattern, device);
            }
            request.into_response(refused(error))
        }
    };
    if path_is_ping {
        // A page of another address asks whether this one is reached: it may see that there is an answer, not what it says.
        response.headers_mut().insert(
            header::CROSS_ORIGIN_RESOURCE_POLICY,
            HeaderValue::from_static("cross-origin"),
        );
    }
    add_headers(response.headers_mut());
    if let Some(state) = journal {
        state.journal().answered(Answered {
            request: request_id,
            device,
            method: method.as_str(),
            pattern: &pattern,
            status: response.status().as_u16(),
            ms: began.elapsed().as_millis(),
        });
    }
    Ok(response)
}

/// Those of every answer; a narrower policy of its own stays.
pub(crate) fn add_headers(headers: &mut HeaderMap) {
    for (name, value) in HEADERS {
        let name = HeaderName::from_static(name);
        if !headers.contains_key(&name) {
            headers.insert(name, HeaderValue::from_static(value));
        }
    }
    if !headers.contains_key(header::CACHE_CONTROL) {
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    }
    headers.insert(
        HeaderName::from_static("x-app-build"),
        HeaderValue::from_static(assets::build()),
    );
}

/// The layer of the plain port beside TLS, which answers with the setup alone.
pub(crate) async fn plain(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, actix_web::Error> {
    if let Err(error) = check_plain(&request) {
        let mut answer = error.error_response();
        add_headers(answer.headers_mut());
        return Ok(request.into_response(answer));
    }
    let answering = tokio::time::timeout(Passes::Page.time(), next.call(request)).await;
    let mut response = answering
        .map_err(|_| HttpError::TooSlow)??
        .map_into_boxed_body();
    add_headers(response.headers_mut());
    Ok(response)
}

/// The same limits as on the port with TLS; a request counts with all others of its address that have no phone.
fn check_plain(request: &ServiceRequest) -> Result<(), HttpError> {
    let state = request
        .app_data::<web::Data<State>>()
        .ok_or(HttpError::Broken("the server's state is missing"))?;
    connection(request, state)?;
    let mut hosts = request.headers().get_all(header::HOST);
    if !(hosts.next().is_some_and(is_local) && hosts.next().is_none()) {
        return Err(HttpError::WrongHost);
    }
    head(request)?;
    match request.peer_addr() {
        Some(peer) if is_counted(request.match_pattern().as_deref()) => {
            let whose = Whose::Stranger(peer.ip());
            let counted = state.rates().count(whose, Instant::now());
            counted.map_err(HttpError::TooMany)
        }
        _ => Ok(()),
    }
}

/// Whether a host is an address, or a name that only a local network can have: a name of the open net leads nowhere else
/// than to what it was made for.
fn is_local(host: &HeaderValue) -> bool {
    let Ok(host) = host.to_str() else {
        return false;
    };
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    let name = name.to_ascii_lowercase();
    name.parse::<std::net::Ipv4Addr>().is_ok()
        || name == "localhost"
        || [".local", ".lan", ".home.arpa", ".internal"]
            .iter()
            .any(|ending| name.ends_with(ending))
}

/// The row of a request's route, by its method.
fn row(pattern: &str, method: &Method) -> Option<&'static Route> {
    let method = match *method {
        Method::HEAD => "GET",
        ref other => other.as_str(),
    };
    let mut rows = ROUTES.iter();
    rows.find(|row| row.path == pattern && row.method == method)
}

/// Refuses what may not pass; `device` becomes the phone that asks, shut out or not.
async fn check(request: &ServiceRequest, device: &mut Option<Uuid>) -> Result<(), HttpError> {
    let state = request
        .app_data::<web::Data<State>>()
        .ok_or(HttpError::Broken("the server's state is missing"))?
        .clone();
    connection(request, &state)?;
    host(request, &state)?;
    head(request)?;
    // Rows are found by the path as it came, the router goes by the path decoded: what could be read in two ways is no path
    // here. No address of this server has a letter that is written in another way.
    let path = request
        .match_pattern()
        .filter(|_| !request.path().contains('%'));
    let row = path.as_deref().and_then(|path| row(path, request.method()));
    // Closed by default: a known path asks for the role of its row, with another method for the highest of its rows; a
    // pattern that has no row for the lead; an unknown path is counted like any other, and is nothing to nobody.
    let rows = || {
        ROUTES
            .iter()
            .filter(|row| Some(row.path) == path.as_deref())
    };
    let least = match row {
        Some(row) => row.role,
        None if rows().next().is_some() => rows().map(|row| row.role).max().unwrap_or(Role::Lead),
        None if path.is_some() => Role::Lead,
        None => Role::Stranger,
    };
    let counts = is_counted(path.as_deref());
    let found = if counts || least != Role::Stranger {
        session::found(&state, request.request()).await?
    } else {
        None
    };
    *device = found.as_ref().map(|found| found.who.device);
    let who = found.as_ref().filter(|found| !found.is_revoked);
    let whose = match (who, request.peer_addr()) {
        (Some(found), _) if is_outbox(path.as_deref()) => Some(Whose::Sync(found.who.device)),
        (Some(found), _) => Some(Whose::Device(found.who.device)),
        (None, Some(peer)) => Some(Whose::Stranger(peer.ip())),
        (None, None) => None,
    };
    if let Some(whose) = whose.filter(|_| counts) {
        state
            .rates()
            .count(whose, Instant::now())
            .map_err(HttpError::TooMany)?;
    }
    if path.is_none() {
        return Err(HttpError::NotFound);
    }
    if least != Role::Stranger {
        let who = match (&found, who) {
            (_, Some(found)) => found.who,
            (Some(_), None) => return Err(HttpError::Revoked),
            (None, None) => return Err(HttpError::SignIn),
        };
        if who.role < least {
            return Err(HttpError::NotAllowed(least));
        }
        request.extensions_mut().insert(who);
    }
    let passes = row.map_or(Passes::Page, |row| row.passes);
    if request.method() == Method::GET || request.method() == Method::HEAD {
        if is_asked_by_another_site(request, passes) {
            return Err(HttpError::OtherSiteReads);
        }
    } else if !same_origin(request, state.origin()) {
        return Err(HttpError::OtherSite);
    }
    // A known path with another method has the router's own answer: nothing is read for it.
    row.map_or(Ok(()), |row| body(request, row.passes))
}

/// A connection that is one too many for its address, where it could not be closed.
fn connection(request: &ServiceRequest, state: &State) -> Result<(), HttpError> {
    match request.request().conn_data::<Open>() {
        Some(open) if open.number > state.limits().of_address => Err(HttpError::TooMany(1)),
        _ => Ok(()),
    }
}

/// A head that is too long, or that says of its body what nobody here unpacks.
fn head(request: &ServiceRequest) -> Result<(), HttpError> {
    if request.headers().contains_key(header::CONTENT_ENCODING) {
        return Err(HttpError::Encoded);
    }
    if request.uri().to_string().len() > URL_BYTES {
        return Err(HttpError::LongUrl);
    }
    let headers = request.headers().iter();
    let head = headers.map(|(name, value)| name.as_str().len() + value.len() + 4);
    if head.sum::<usize>() > HEAD_BYTES {
        return Err(HttpError::LongHead);
    }
    Ok(())
}

/// A body that says how large it is, or that comes where none is taken; how much of one that doesn't say is read, the
/// handler sees to.
fn body(request: &ServiceRequest, passes: Passes) -> Result<(), HttpError> {
    let headers = request.headers();
    let says = headers
        .get(header::CONTENT_LENGTH)
        .map(|length| length.to_str().ok().and_then(|text| text.parse().ok()));
    let is_over = match says {
        Some(length) => length.unwrap_or(usize::MAX) > passes.bytes(),
        None => passes.bytes() == 0 && headers.contains_key(header::TRANSFER_ENCODING),
    };
    if is_over {
        return Err(HttpError::TooLarge(passes.words()));
    }
    Ok(())
}

/// One canonical address for life: a page asked for by another name of this server leads there, anything else is refused.
fn host(request: &ServiceRequest, state: &State) -> Result<(), HttpError> {
    let mut hosts = request.headers().get_all(header::HOST);
    let host = hosts.next().and_then(|host| host.to_str().ok());
    let expected = state.authority();
    let target = request.uri().authority().map(ToString::to_string);
    let is_one =
        hosts.next().is_none() && target.is_none_or(|target| Some(target.as_str()) == host);
    match host {
        Some(host) if is_one && host == expected => Ok(()),
        Some(host)
            if is_one
                && request.method() == Method::GET
                && !is_sync(request.path())
                && state.is_another_name(host) =>
        {
            let there = request
                .uri()
                .path_and_query()
                .map_or("/", |path| path.as_str());
            Err(HttpError::Elsewhere(format!("{}{there}", state.origin())))
        }
        _ => Err(HttpError::WrongHost),
    }
}

/// Files that never change and small pictures are not counted: putting a job by for later asks for many at once.
fn is_counted(pattern: Option<&str>) -> bool {
    !matches!(
        pattern,
        Some("/a/{build}/{file}" | "/jobs/{job}/photo/{id}/small")
    )
}

fn is_outbox(pattern: Option<&str>) -> bool {
    pattern == Some("/sync/v1/ops")
}

fn text<'a>(request: &'a ServiceRequest, name: &str) -> Option<&'a str> {
    let value = request.headers().get(name)?;
    value.to_str().ok()
}

fn same_origin(request: &ServiceRequest, origin: &str) -> bool {
    match text(request, "sec-fetch-site") {
        Some(site) => site == "same-origin",
        None => text(request, "origin") == Some(origin),
    }
}

/// Whether another site's page asks for this: it may lead to a page here by a link, and gets nothing else.
fn is_asked_by_another_site(request: &ServiceRequest, passes: Passes) -> bool {
    let is_link = text(request, "sec-fetch-mode") == Some("navigate")
        && text(request, "sec-fetch-dest") == Some("document");
    text(request, "sec-fetch-site") == Some("cross-site")
        && match passes {
            Passes::Anyone => false,
            Passes::Page => !is_link,
            _ => true,
        }
}
