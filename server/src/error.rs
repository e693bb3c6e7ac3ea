//! The only map from errors to status, page and log line.
//!
//! 4xx: the message. 5xx: one fixed sentence with a short reference; the cause goes to the log only.

use std::error::Error as _;

use actix_web::http::{StatusCode, header};
use actix_web::{HttpResponse, ResponseError};
use scantling_takeoff::record::Role;
use scantling_web::Page;
use scantling_web::pages::{message, sign_in};
use thiserror::Error;

use crate::clock;
use crate::gate::HEADERS;
use crate::pages::change::capital;

/// What can go wrong with a request.
#[derive(Debug, Error)]
pub(crate) enum HttpError {
    #[error("this address is not the server's")]
    WrongHost,
    #[error("a request with a content encoding")]
    Encoded,
    #[error("not signed in")]
    SignIn,
    #[error("this phone was shut out")]
    Revoked,
    #[error("a page by another name of this server")]
    Elsewhere(String),
    #[error("the address is over 4 kB")]
    LongUrl,
    #[error("the headers are over 16 kB")]
    LongHead,
    #[error("too many requests; again in {0} s")]
    TooMany(u32),
    #[error("this needs the role {}", .0.name())]
    NotAllowed(Role),
    #[error("a request from another site")]
    OtherSite,
    #[error("another site asked for this")]
    OtherSiteReads,
    #[error("nothing here")]
    NotFound,
    #[error("{0}")]
    BadInput(String),
    #[error("the body is over {0}")]
    TooLarge(&'static str),
    #[error("a zip can't be written: {0}")]
    NoZip(String),
    #[error("a picture is not here")]
    NoPicture,
    #[error("no copy of a picture can be made")]
    NoCopy,
    #[error("a picture is damaged")]
    DamagedPicture,
    #[error("this took too long")]
    TooSlow,
    #[error("a database error")]
    Db(#[from] scantling_db::Error),
    #[error("{0}")]
    Broken(&'static str),
}

impl HttpError {
    fn page(&self) -> Page {
        let home = || ("/".to_owned(), "To the jobs".to_owned());
        let say = |title: &str, text: &str| {
            message::page(&message::View {
                title: title.to_owned(),
                text: text.to_owned(),
                way: home(),
            })
        };
        match self {
            Self::SignIn | Self::Revoked => sign_in::page(&sign_in::View::default()),
            Self::TooMany(_) => say(
                "Wait a little",
                "Too many requests came from here at once. Nothing was saved. Wait some seconds, go back and try again.",
            ),
            Self::NotAllowed(role) => say(
                "Not yours to do",
                &format!("Only a {} can do this. Ask one.", role.name()),
            ),
            Self::OtherSite => say(
                "Not saved",
                "This came from another site. Open the page here and do it again.",
            ),
            Self::OtherSiteReads => say(
                "Not shown to another site",
                "A page of another site asked for this. Open it from a page here.",
            ),
            Self::NotFound => say(
                "Nothing here",
                "There is no such page, or it is not in a job of yours.",
            ),
            Self::BadInput(text) => say("Can’t be read", text),
            Self::TooLarge(limit) => say(
                "Too big",
                &format!("Not saved: this is over the limit of {limit}. Send less at once."),
            ),
            Self::NoZip(why) => say(
                "No zip",
                &format!("{}. The job file has all but the pictures.", capital(why)),
            ),
            Self::NoPicture => say(
                "The picture is not here",
                "The photo is in the record, but its picture is not in this data folder yet.",
            ),
            Self::NoCopy => say(
                "No smaller copy",
                "This picture can’t be made smaller here. It is kept as it came: open it in full size.",
            ),
            Self::DamagedPicture => say(
                "This picture is damaged",
                "What the disk holds is not what was kept, so it is not shown. A copy of the data folder, or the job in a zip, may hold it whole.",
            ),
            Self::TooSlow => say(
                "Not saved",
                "The request took too long to arrive. Your entry is still in the form: go back and press Save again.",
            ),
            Self::Db(scantling_db::Error::Busy) => say(
                "Not saved",
                "The server is busy; nothing was saved. Go back and try again.",
            ),
            Self::Db(scantling_db::Error::DiskFull) => say(
                "Not saved",
                "The server’s disk is full. Your entry is still in the form: free some room there, go back, and press Save again.",
            ),
            Self::Db(scantling_db::Error::NotSaving(_)) => say(
                "Not saved",
                "The server can’t write to its disk. Reading still works. Your entry is still in the form.",
            ),
            Self::LongUrl => say("Nothing here", "The address is over 4 kB long."),
            Self::LongHead => say("Can’t be read", "The request’s headers are over 16 kB."),
            Self::WrongHost | Self::Encoded | Self::Elsewhere(_) => {
                say("Not here", "This is not an address of this server.")
            }
            Self::Db(_) | Self::Broken(_) => {
                let reference = self.reference();
                say(
                    "Something broke here",
                    &format!(
                        "Number {reference}. Nothing was saved. The console’s log has the cause."
                    ),
                )
            }
        }
    }

    /// The rule that refuses, as the security log has it; none where somebody is only not signed in, or goes on.
    pub(crate) fn by_rule(&self) -> Option<&'static str> {
        match self {
            Self::WrongHost => Some("refused: another host"),
            Self::Encoded => Some("refused: an encoded body"),
            Self::LongUrl => Some("refused: a long address"),
            Self::TooMany(_) => Some("refused: too many"),
            Self::Revoked => Some("refused: shut out"),
            Self::NotAllowed(_) => Some("refused: role"),
            Self::OtherSite | Self::OtherSiteReads => Some("refused: another site"),
            Self::TooLarge(_) => Some("refused: too large"),
            _ => None,
        }
    }

    /// The refusal in words, for a script to show.
    pub(crate) fn words(&self) -> String {
        match self {
            Self::BadInput(text) => text.clone(),
            Self::NotFound => "There is no such thing in this job any more.".to_owned(),
            Self::NotAllowed(role) => format!("Only a {} can do this. Ask one.", role.name()),
            other => capital(&other.to_string()),
        }
    }

    /// A short reference, and the cause in the log under it.
    pub(crate) fn reference(&self) -> String {
        let id = clock::new_id().simple().to_string();
        let reference = id.get(28..).unwrap_or("0000").to_uppercase();
        let mut causes = String::new();
        let mut cause = self.source();
        while let Some(this) = cause {
            causes.push_str(": ");
            causes.push_str(&this.to_string());
            cause = this.source();
        }
        tracing::error!(reference, "{self}{causes}");
        reference
    }
}

impl ResponseError for HttpError {
    fn status_code(&self) -> StatusCode {
        match self {
            Self::WrongHost => StatusCode::MISDIRECTED_REQUEST,
            Self::Elsewhere(_) => StatusCode::TEMPORARY_REDIRECT,
            Self::LongUrl => StatusCode::URI_TOO_LONG,
            Self::LongHead => StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE,
            Self::Encoded => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::SignIn => StatusCode::UNAUTHORIZED,
            Self::TooMany(_) => StatusCode::TOO_MANY_REQUESTS,
            Self::Revoked | Self::NotAllowed(_) | Self::OtherSite | Self::OtherSiteReads => {
                StatusCode::FORBIDDEN
            }
            Self::NotFound | Self::NoPicture | Self::NoCopy | Self::NoZip(_) => {
                StatusCode::NOT_FOUND
            }
            Self::BadInput(_) => StatusCode::BAD_REQUEST,
            Self::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::Db(scantling_db::Error::DiskFull) => StatusCode::INSUFFICIENT_STORAGE,
            Self::Db(scantling_db::Error::Busy | scantling_db::Error::NotSaving(_)) => {
                StatusCode::SERVICE_UNAVAILABLE
            }
            Self::Db(_) | Self::Broken(_) | Self::DamagedPicture => {
                StatusCode::INTERNAL_SERVER_ERROR
            }
        }
    }

    fn error_response(&self) -> HttpResponse {
        let mut answer = HttpResponse::build(self.status_code());
        // The gate sets these on every answer; one that it gives up waiting for has them from here.
        for header in HEADERS {
            answer.insert_header(header);
        }
        answer.insert_header((header::CACHE_CONTROL, "no-cache"));
        match self {
            Self::Elsewhere(there) => {
                return answer
                    .insert_header((header::LOCATION, there.clone()))
                    .finish();
            }
            Self::WrongHost => {
                return answer
                    .content_type("text/plain; charset=utf-8")
                    .body("Not an address of this server.");
            }
            Self::Db(scantling_db::Error::Busy) => {
                answer.insert_header((header::RETRY_AFTER, "1"));
            }
            Self::TooMany(seconds) => {
                answer.insert_header((header::RETRY_AFTER, seconds.to_string()));
            }
            _ => {}
        }
        answer
            .content_type("text/html; charset=utf-8")
            .body(self.page().0)
    }
}

/// A page as an answer.
pub(crate) fn html(page: Page) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/html; charset=utf-8")
        .body(page.0)
}

/// A page that says what is wrong with what was typed.
pub(crate) fn refused(page: Page) -> HttpResponse {
    HttpResponse::UnprocessableEntity()
        .content_type("text/html; charset=utf-8")
        .body(page.0)
}

/// A page that says that there is no room left.
pub(crate) fn no_room(page: Page) -> HttpResponse {
    HttpResponse::InsufficientStorage()
        .content_type("text/html; charset=utf-8")
        .body(page.0)
}

/// After a save: go and look.
pub(crate) fn see(location: &str) -> HttpResponse {
    HttpResponse::SeeOther()
        .insert_header((header::LOCATION, location))
        .finish()
}
