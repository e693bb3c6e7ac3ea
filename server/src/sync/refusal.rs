//! Refusals of whole requests, as a phone's script reads them: a status, a code, a sentence.

use std::fmt;

use actix_web::http::{StatusCode, header};
use actix_web::{HttpResponse, ResponseError};
use serde_json::json;

use crate::error::HttpError;
use crate::gate::HEADERS;

/// Whether a path is one of those that scripts ask.
pub(crate) fn is_sync(path: &str) -> bool {
    path.starts_with("/sync/")
}

/// Why a whole request is refused.
#[derive(Debug)]
pub(crate) enum Refusal {
    /// As any page would be.
    Http(HttpError),
    /// It can't be read.
    BadRequest(String),
    /// It is for another phone than the one that is signed in.
    DeviceMismatch,
    /// The entry that the phone had an answer for is not here: an older record was put back.
    HistoryLost(i64),
    /// Another protocol.
    Protocol,
    /// A body that isn't what it should be.
    BadType,
    /// A picture that isn't kept: no picture, or one that can't be read whole. The next one may be.
    BadPicture(String),
    /// No entry names this picture.
    UnknownBlob,
    /// Another picture came under this id.
    BlobDiffers,
    /// There is no room.
    NoRoom(String),
}

impl From<HttpError> for Refusal {
    fn from(error: HttpError) -> Self {
        Self::Http(error)
    }
}

impl Refusal {
    fn code(&self) -> &'static str {
        match self {
            Self::Http(error) => match error {
                HttpError::WrongHost => "wrong_origin",
                HttpError::Encoded => "bad_type",
                HttpError::SignIn => "sign_in",
                HttpError::Revoked => "device_revoked",
                HttpError::NotAllowed(_) | HttpError::OtherSite | HttpError::OtherSiteReads => {
                    "not_allowed"
                }
                HttpError::TooLarge(_) => "too_large",
                HttpError::TooMany(_) | HttpError::Db(scantling_db::Error::Busy) => "busy",
                HttpError::Db(scantling_db::Error::DiskFull) => "not_saved",
                HttpError::Db(scantling_db::Error::NotSaving(_)) => "not_saving",
                HttpError::NotFound => "not_found",
                HttpError::TooSlow => "too_slow",
                HttpError::BadInput(_) => "bad_request",
                _ => "broken",
            },
            Self::BadRequest(_) => "bad_request",
            Self::DeviceMismatch => "device_mismatch",
            Self::HistoryLost(_) => "history_lost",
            Self::Protocol => "protocol_unsupported",
            Self::BadType => "bad_type",
            Self::BadPicture(_) => "bad_picture",
            Self::UnknownBlob => "unknown_blob",
            Self::BlobDiffers => "blob_differs",
            Self::NoRoom(_) => "no_room",
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Http(error) => write!(f, "{error}"),
            Self::BadRequest(why) | Self::BadPicture(why) | Self::NoRoom(why) => f.write_str(why),
            Self::DeviceMismatch => f.write_str(
                "These entries are of another phone than the one that is signed in here. Sign in as before.",
            ),
            Self::HistoryLost(_) => f.write_str(
                "An older copy of the record was put back. Send again what it has not got.",
            ),
            Self::Protocol => write!(f, "This server speaks protocol {}.", super::wire::PROTOCOL),
            Self::BadType => f.write_str("The body is of another type than it should be."),
            Self::UnknownBlob => f.write_str("No entry of this phone names this picture yet."),
            Self::BlobDiffers => f.write_str("Another picture is kept under this id."),
        }
    }
}

impl ResponseError for Refusal {
    fn status_code(&self) -> StatusCode {
        match self {
            Self::Http(error) => error.status_code(),
            Self::BadRequest(_) => StatusCode::BAD_REQUEST,
            Self::DeviceMismatch => StatusCode::FORBIDDEN,
            Self::HistoryLost(_) | Self::BlobDiffers => StatusCode::CONFLICT,
            Self::Protocol => StatusCode::UPGRADE_REQUIRED,
            Self::BadType | Self::BadPicture(_) => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::UnknownBlob => StatusCode::NOT_FOUND,
            Self::NoRoom(_) => StatusCode::INSUFFICIENT_STORAGE,
        }
    }

    fn error_response(&self) -> HttpResponse {
        let mut answer = HttpResponse::build(self.status_code());
        for header in HEADERS {
            answer.insert_header(header);
        }
        answer.insert_header((header::CACHE_CONTROL, "no-store"));
        let mut body = json!({ "code": self.code(), "message": self.to_string() });
        match self {
            Self::HistoryLost(known) => body["known_seq"] = json!(known),
            Self::Protocol => body["protocol"] = json!([super::wire::PROTOCOL]),
            Self::Http(HttpError::TooMany(seconds)) => {
                answer.insert_header((header::RETRY_AFTER, seconds.to_string()));
            }
            Self::Http(HttpError::Db(scantling_db::Error::Busy)) => {
                answer.insert_header((header::RETRY_AFTER, "1"));
            }
            Self::Http(error) if error.status_code().is_server_error() => {
                body["message"] = json!(format!(
                    "Something broke here, number {}.",
                    error.reference()
                ));
            }
            _ => {}
        }
        answer.json(body)
    }
}
