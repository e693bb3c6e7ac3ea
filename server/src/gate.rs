//! What every request passes before a handler sees it, in this order: Host, encoding, device and role, same site; then
//! the headers of every answer. Nothing of a body is read before.

use std::panic::AssertUnwindSafe;
use std::time::Duration;

use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::http::header::{self, HeaderName, HeaderValue};
use actix_web::middleware::Next;
use actix_web::{HttpMessage, HttpResponse, ResponseError, web};
use futures_util::FutureExt as _;
use scantling_takeoff::record::Role;

use crate::error::HttpError;
use crate::router::ROUTES;
use crate::session;
use crate::state::State;

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

/// The outermost layer.
pub(crate) async fn gate(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, actix_web::Error> {
    let method = request.method().clone();
    let pattern = request.match_pattern().unwrap_or_default();
    let mut response = match check(&request).await {
        Ok(()) => {
            // An error and no answer: what is left of the request can't be had back from the handler.
            let answering = AssertUnwindSafe(next.call(request)).catch_unwind();
            tokio::time::timeout(time_limit(&pattern), answering)
                .await
                .map_err(|_| HttpError::TooSlow)?
                .map_err(|_| HttpError::Broken("a handler panicked"))??
                .map_into_boxed_body()
        }
        Err(error) => {
            let refused: HttpResponse<BoxBody> = error.error_response();
            request.into_response(refused)
        }
    };
    for (name, value) in HEADERS {
        let name = HeaderName::from_static(name);
        // A narrower policy of its own stays.
        if !response.headers().contains_key(&name) {
            response
                .headers_mut()
                .insert(name, HeaderValue::from_static(value));
        }
    }
    if !response.headers().contains_key(header::CACHE_CONTROL) {
        response
            .headers_mut()
            .insert(header::CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    }
    tracing::debug!(%method, route = %pattern, status = response.status().as_u16(), "answered");
    Ok(response)
}

/// How long a request with its body may take up to its answer: files longer than forms, and a zip longest, since every
/// picture is looked at before its first byte.
fn time_limit(pattern: &str) -> Duration {
    Duration::from_secs(match pattern {
        "/jobs/{job}/prices" | "/jobs/{job}/photo" => 120,
        "/jobs/{job}/job.zip" => 600,
        _ => 20,
    })
}

async fn check(request: &ServiceRequest) -> Result<(), HttpError> {
    let state = request
        .app_data::<web::Data<State>>()
        .ok_or(HttpError::Broken("the server's state is missing"))?
        .clone();
    let mut hosts = request.headers().get_all(header::HOST);
    let host = hosts.next().and_then(|host| host.to_str().ok());
    let expected = state.origin().trim_start_matches("http://");
    if hosts.next().is_some()
        || host != Some(expected)
        || request
            .uri()
            .authority()
            .is_some_and(|a| a.as_str() != expected)
    {
        return Err(HttpError::WrongHost);
    }
    if request.headers().contains_key(header::CONTENT_ENCODING) {
        return Err(HttpError::Encoded);
    }
    let path = request.match_pattern();
    let method = match *request.method() {
        Method::HEAD => "GET",
        ref other => other.as_str(),
    };
    // Closed by default: a known path asks for the role of its row, with another method for the highest of its rows; a
    // pattern that has no row for the lead; an unknown path is the router's 404.
    let rows = || {
        ROUTES
            .iter()
            .filter(|row| Some(row.path) == path.as_deref())
    };
    let least = match rows().find(|row| row.method == method) {
        Some(row) => row.role,
        None if rows().next().is_some() => rows().map(|row| row.role).max().unwrap_or(Role::Lead),
        None if path.is_some() => Role::Lead,
        None => Role::Stranger,
    };
    if least != Role::Stranger {
        let who = session::who(&state, request.request())
            .await?
            .ok_or(HttpError::SignIn)?;
        if who.role < least {
            return Err(HttpError::NotAllowed(least));
        }
        request.extensions_mut().insert(who);
    }
    if request.method() != Method::GET
        && request.method() != Method::HEAD
        && !same_origin(request, state.origin())
    {
        return Err(HttpError::OtherSite);
    }
    Ok(())
}

fn same_origin(request: &ServiceRequest, origin: &str) -> bool {
    let text = |name: &str| {
        request
            .headers()
            .get(name)
            .and_then(|value| value.to_str().ok())
    };
    match text("sec-fetch-site") {
        Some(site) => site == "same-origin",
        None => text("origin") == Some(origin),
    }
}
