//! Signing in: one-time codes from the console, and the device cookie.
//!
//! A code has eight digits, is stored as argon2id, lives ten minutes and is spent by a POST. A session is 32 random bytes
//! in a cookie; only its SHA-256 is stored, and it is looked up at each request.

use std::fmt::Write as _;

use actix_web::cookie::{Cookie, SameSite, time::Duration};
use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse, web};
use argon2::password_hash::{PasswordHash, PasswordHasher, PasswordVerifier, SaltString};
use argon2::{Algorithm, Argon2, Params, Version};
use scantling_db::{Access, AccessAct, NewCode, Paired, Pairing, SignedIn, Who, sha256_hex};
use scantling_takeoff::record::Role;
use scantling_web::pages::sign_in;
use serde::Deserialize;

use crate::clock;
use crate::error::{HttpError, html, refused, see};
use crate::state::State;

/// The form.
#[derive(Debug, Deserialize)]
pub(crate) struct Typed {
    #[serde(default)]
    code: String,
}

/// The page.
pub(crate) async fn show() -> HttpResponse {
    html(sign_in::page(&sign_in::View::default()))
}

/// Spends a code and makes this browser a device of the lead.
pub(crate) async fn sign_in(
    state: web::Data<State>,
    request: HttpRequest,
    typed: web::Form<Typed>,
) -> Result<HttpResponse, HttpError> {
    let agent = request.headers().get(header::USER_AGENT);
    let agent = agent.and_then(|agent| agent.to_str().ok()).unwrap_or("");
    let code: String = typed.code.chars().filter(char::is_ascii_digit).collect();
    let token = random_hex(32)?;
    let pairing = Pairing {
        person: clock::new_id(),
        name: "Lead".to_owned(),
        device: clock::new_id(),
        device_name: device_words(agent).to_owned(),
        session_hash: sha256_hex(token.as_bytes()),
    };
    let (now, tried, own_device) = (clock::now(), code.clone(), pairing.device);
    let outcome = state
        .write(move |tx| {
            let paired =
                scantling_db::pair(tx, &now, &pairing, |stored| matches_code(stored, &tried))?;
            let act = |what, device, person| Access {
                device,
                person,
                ..Access::of(what)
            };
            match &paired {
                Paired::In { person, .. } => {
                    let act = act(AccessAct::Paired, Some(pairing.device), Some(*person));
                    scantling_db::log_access(tx, &act, &now)?;
                }
                Paired::Shut => {
                    scantling_db::log_access(tx, &act(AccessAct::PairingShut, None, None), &now)?;
                }
                Paired::Wrong => {}
            }
            Ok(paired)
        })
        .await?;
    let (what, device) = match &outcome {
        Paired::In { .. } => ("signed in", Some(own_device)),
        Paired::Wrong => ("refused: a wrong code", None),
        Paired::Shut => ("refused: signing in is shut", None),
    };
    state.journal().security(what, "/sign-in", device);
    let problem = match outcome {
        Paired::In { .. } => {
            let mut answer = see("/");
            keep_signed_in(&state, token, &mut answer)?;
            return Ok(answer);
        }
        Paired::Wrong => {
            "This code is not open. Type the eight digits that the console shows, or press Enter there for a fresh one."
        }
        Paired::Shut => {
            "Too many wrong codes: signing in is shut. Press Enter on the console for a fresh code; that opens it again."
        }
    };
    Ok(refused(sign_in::page(&sign_in::View {
        problem: Some(problem.to_owned()),
        code: typed.code.clone(),
    })))
}

/// The most days that a browser keeps a cookie for.
const COOKIE_DAYS: i64 = 400;

fn keep_signed_in(
    state: &State,
    token: String,
    answer: &mut HttpResponse,
) -> Result<(), HttpError> {
    let cookie = Cookie::build(cookie_name(state), token)
        .path("/")
        .http_only(true)
        .secure(state.is_secure())
        .same_site(SameSite::Lax)
        .max_age(Duration::days(COOKIE_DAYS))
        .finish();
    answer
        .add_cookie(&cookie)
        .map_err(|_| HttpError::Broken("the cookie could not be written"))
}

/// Sets the cookie of this request anew, so that its days count from now: a phone that is used stays signed in.
pub(crate) fn renew(
    state: &State,
    request: &HttpRequest,
    answer: &mut HttpResponse,
) -> Result<(), HttpError> {
    match request.cookie(cookie_name(state)) {
        Some(cookie) => keep_signed_in(state, cookie.value().to_owned(), answer),
        None => Ok(()),
    }
}

/// Whose device sends this request, by its cookie, also one that was shut out; nobody where there is none.
pub(crate) async fn found(
    state: &State,
    request: &HttpRequest,
) -> Result<Option<SignedIn>, HttpError> {
    let Some(cookie) = request.cookie(cookie_name(state)) else {
        return Ok(None);
    };
    let hash = sha256_hex(cookie.value().as_bytes());
    state
        .read(move |tx| scantling_db::signed_in(tx, &hash))
        .await
}

/// The cookie's name: only with TLS can it have the prefix that ties it to this very address.
fn cookie_name(state: &State) -> &'static str {
    if state.is_secure() {
        "__Host-device"
    } else {
        "device"
    }
}

/// Signs this phone out: its session ends, and what the browser kept of this server goes.
pub(crate) async fn sign_out(
    state: web::Data<State>,
    who: web::ReqData<Who>,
) -> Result<HttpResponse, HttpError> {
    let (device, now) = (who.device, clock::now());
    state
        .write(move |tx| scantling_db::revoke(tx, device, &now))
        .await?;
    state
        .journal()
        .security("signed out", "/sign-out", Some(device));
    let mut gone = Cookie::new(cookie_name(&state), "");
    gone.set_path("/");
    gone.set_secure(state.is_secure());
    gone.make_removal();
    let mut answer = see("/sign-in");
    answer
        .add_cookie(&gone)
        .map_err(|_| HttpError::Broken("the cookie could not be written"))?;
    answer.headers_mut().insert(
        header::HeaderName::from_static("clear-site-data"),
        header::HeaderValue::from_static("\"cache\", \"cookies\", \"storage\""),
    );
    Ok(answer)
}

/// A new code of eight digits, and its hash.
pub(crate) fn new_code() -> Result<(String, String), HttpError> {
    let mut bytes = [0_u8; 8];
    getrandom::fill(&mut bytes)
        .map_err(|_| HttpError::Broken("the system gave no random bytes"))?;
    let code = format!("{:08}", u64::from_le_bytes(bytes) % 100_000_000);
    let hash = hash_code(&code)?;
    Ok((code, hash))
}

/// Makes a fresh code for the lead, stores its hash and gives the digits for the console. Codes that were open are void,
/// and signing in that was shut opens: whoever presses Enter sits at the console.
///
/// # Errors
/// What the database says.
pub(crate) fn fresh_code(state: &State) -> Result<String, HttpError> {
    let (code, hash) = new_code()?;
    let (id, now) = (clock::new_id(), clock::now());
    state.db().write(move |tx| {
        scantling_db::open_pairing(tx)?;
        scantling_db::forget_codes(tx, &now)?;
        let lead = scantling_db::people(tx)?
            .into_iter()
            .find(|(_, person)| person.role == Role::Lead)
            .map(|(id, _)| id);
        scantling_db::add_code(
            tx,
            &NewCode {
                id,
                hash,
                role: Role::Lead,
                person: lead,
            },
            &now,
        )
    })?;
    Ok(code)
}

fn argon() -> Result<Argon2<'static>, HttpError> {
    // OWASP's least for argon2id: 19 MiB, two passes, one lane.
    let params =
        Params::new(19_456, 2, 1, None).map_err(|_| HttpError::Broken("argon2's settings"))?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

fn hash_code(code: &str) -> Result<String, HttpError> {
    let mut salt = [0_u8; 16];
    getrandom::fill(&mut salt).map_err(|_| HttpError::Broken("the system gave no random bytes"))?;
    let salt =
        SaltString::encode_b64(&salt).map_err(|_| HttpError::Broken("a salt could not be made"))?;
    let hash = argon()?
        .hash_password(code.as_bytes(), &salt)
        .map_err(|_| HttpError::Broken("a code could not be hashed"))?;
    Ok(hash.to_string())
}

fn matches_code(stored: &str, code: &str) -> bool {
    let (Ok(argon), Ok(hash)) = (argon(), PasswordHash::new(stored)) else {
        return false;
    };
    argon.verify_password(code.as_bytes(), &hash).is_ok()
}

fn random_hex(n: usize) -> Result<String, HttpError> {
    let mut bytes = vec![0_u8; n];
    getrandom::fill(&mut bytes)
        .map_err(|_| HttpError::Broken("the system gave no random bytes"))?;
    Ok(hex(&bytes))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _writing_to_a_string_cannot_fail = write!(text, "{byte:02x}");
        text
    })
}

/// What a device is, as its browser says; its name until another is given.
fn device_words(agent: &str) -> &'static str {
    const KNOWN: [(&str, &str); 6] = [
        ("iPhone", "iPhone"),
        ("iPad", "iPad"),
        ("Android", "Android phone"),
        ("Windows", "Windows computer"),
        ("Macintosh", "Mac"),
        ("Linux", "Linux computer"),
    ];
    let known = KNOWN.iter().find(|(word, _)| agent.contains(word));
    known.map_or("Browser", |(_, words)| words)
}
