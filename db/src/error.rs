//! What can break in storage. What a job expects (refused, conflict) is no error: see [`crate::Applied`].

use rusqlite::ErrorCode;
use thiserror::Error;

/// What broke in the store.
#[derive(Debug, Error)]
pub enum Error {
    /// A statement failed: a bug, or a damaged record.
    #[error("could not {doing}")]
    Sql {
        /// What was being done.
        doing: &'static str,
        /// Why.
        #[source]
        source: rusqlite::Error,
    },
    /// The disk is full: 507. It heals by itself when there is room.
    #[error("the disk is full; nothing was saved")]
    DiskFull,
    /// The disk or the file can't be written, for this reason in SQLite's words: 503.
    #[error("can't write to the disk: {0}; nothing was saved")]
    NotSaving(String),
    /// Too many writes wait, or the file stayed locked: 503.
    #[error("too much to write at once; nothing was saved")]
    Busy,
    /// The writer is gone.
    #[error("the writer has stopped; nothing was saved")]
    Stopped,
    /// The store was opened for reading alone.
    #[error("opened for reading alone; nothing was saved")]
    ReadsOnly,
    /// The file was written by a newer program.
    #[error(
        "written by a newer version: its number is {found}, this program knows up to {known}; nothing was changed"
    )]
    Newer {
        /// The file's number.
        found: i64,
        /// The program's.
        known: i64,
    },
    /// The file was written by an older program, and is opened for reading alone.
    #[error(
        "written by an older version: its number is {found}, this program's is {known}; start a server on it once, which \
         brings it up to date"
    )]
    Older {
        /// The file's number.
        found: i64,
        /// The program's.
        known: i64,
    },
    /// The file is not ours.
    #[error("the database file is not Scantling's: its mark is {found}; nothing was changed")]
    Foreign {
        /// The mark it bears.
        found: i64,
    },
    /// The file is no database, or not any more, in SQLite's words.
    #[error("the database file is damaged: {0}; nothing was changed")]
    Damaged(String),
    /// SQLite is too old to be trusted with two connections.
    #[error("SQLite {found} can damage a database; at least 3.51.3 is asked")]
    OldSqlite {
        /// The version linked in.
        found: &'static str,
    },
    /// A setting did not hold.
    #[error("the database's setting {name} is {found}, not {asked}")]
    Setting {
        /// Which.
        name: &'static str,
        /// What it should be.
        asked: &'static str,
        /// What it is.
        found: String,
    },
    /// Another process has the data folder.
    #[error("the data folder is in use by process {holder}; stop that one first")]
    Locked {
        /// Its number, as it wrote it down; `?` if it didn't.
        holder: String,
    },
    /// A file or folder failed.
    #[error("could not {doing}")]
    File {
        /// What was being done.
        doing: &'static str,
        /// Why.
        #[source]
        source: std::io::Error,
    },
    /// A stored value that the program can't read.
    #[error("a stored {what} can't be read: {value}")]
    Stored {
        /// What it should be.
        what: &'static str,
        /// What it is.
        value: String,
    },
    /// A job file was refused.
    #[error(transparent)]
    Import(#[from] crate::ImportError),
}

impl Error {
    /// The same for each write of a group whose commit failed; causes can't be copied, their words can.
    pub(crate) fn again(&self) -> Self {
        match self {
            Self::DiskFull => Self::DiskFull,
            Self::Busy => Self::Busy,
            Self::NotSaving(reason) => Self::NotSaving(reason.clone()),
            Self::Sql { source, .. } => Self::NotSaving(source.to_string()),
            other => Self::NotSaving(other.to_string()),
        }
    }
}

/// Names what was being done, and sorts what the disk refused from the rest.
pub(crate) fn failed(doing: &'static str) -> impl Fn(rusqlite::Error) -> Error {
    move |source| match source.sqlite_error_code() {
        Some(ErrorCode::DiskFull) => Error::DiskFull,
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::Busy,
        Some(
            ErrorCode::SystemIoFailure
            | ErrorCode::ReadOnly
            | ErrorCode::DatabaseCorrupt
            | ErrorCode::CannotOpen,
        ) => Error::NotSaving(source.to_string()),
        Some(ErrorCode::NotADatabase) => Error::Damaged(source.to_string()),
        _ => Error::Sql { doing, source },
    }
}

/// A stored text that should be JSON of `T`.
pub(crate) fn parse<T: serde::de::DeserializeOwned>(
    what: &'static str,
    text: &str,
) -> Result<T, Error> {
    serde_json::from_str(text).map_err(|_| Error::Stored {
        what,
        value: text.to_owned(),
    })
}

/// A stored id.
pub(crate) fn uuid(text: &str) -> Result<uuid::Uuid, Error> {
    uuid::Uuid::parse_str(text).map_err(|_| Error::Stored {
        what: "id",
        value: text.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(code: std::ffi::c_int) -> Error {
        failed("save")(rusqlite::Error::SqliteFailure(
            rusqlite::ffi::Error::new(code),
            None,
        ))
    }

    #[test]
    fn a_full_disk_a_busy_file_and_a_broken_disk_are_told_apart() {
        assert!(matches!(of(rusqlite::ffi::SQLITE_FULL), Error::DiskFull));
        assert!(matches!(of(rusqlite::ffi::SQLITE_BUSY), Error::Busy));
        for code in [
            rusqlite::ffi::SQLITE_IOERR,
            rusqlite::ffi::SQLITE_READONLY,
            rusqlite::ffi::SQLITE_CORRUPT,
        ] {
            assert!(matches!(of(code), Error::NotSaving(_)));
        }
        assert!(matches!(
            of(rusqlite::ffi::SQLITE_CONSTRAINT),
            Error::Sql { .. }
        ));
    }
}
