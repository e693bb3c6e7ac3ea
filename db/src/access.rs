//! Who was let in, given another role, or shut out, and by which phone. Only ever added to.

use rusqlite::Transaction;
use uuid::Uuid;

use crate::Error;
use crate::error::{failed, uuid};

/// What was done about access.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AccessAct {
    /// A code was made.
    Code,
    /// A device was let in.
    Paired,
    /// A person got another role.
    Role,
    /// A device was shut out.
    Revoked,
    /// Too many wrong codes shut pairing.
    PairingShut,
    /// Pairing was opened again.
    PairingOpened,
}

impl AccessAct {
    const fn word(self) -> &'static str {
        match self {
            Self::Code => "code",
            Self::Paired => "paired",
            Self::Role => "role",
            Self::Revoked => "revoked",
            Self::PairingShut => "pairing_shut",
            Self::PairingOpened => "pairing_opened",
        }
    }
}

/// One act.
#[derive(Clone, Debug)]
pub struct Access {
    /// What.
    pub what: AccessAct,
    /// To which device.
    pub device: Option<Uuid>,
    /// To whom.
    pub person: Option<Uuid>,
    /// From which device; none: at the console.
    pub by_device: Option<Uuid>,
    /// More, in words: never a code, a cookie or a hash.
    pub words: String,
}

impl Access {
    /// Of nobody and from the console, with nothing more to say.
    pub fn of(what: AccessAct) -> Self {
        Self {
            what,
            device: None,
            person: None,
            by_device: None,
            words: String::new(),
        }
    }
}

/// An act as it is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccessLine {
    /// When.
    pub at: String,
    /// What, as stored.
    pub what: String,
    /// To which device.
    pub device: Option<Uuid>,
    /// To whom.
    pub person: Option<Uuid>,
    /// More, in words.
    pub words: String,
}

/// Writes it down.
///
/// # Errors
/// Those of SQLite.
pub fn log_access(tx: &Transaction<'_>, access: &Access, now: &str) -> Result<(), Error> {
    let id = |id: Option<Uuid>| id.map(|id| id.to_string());
    tx.execute(
        "INSERT INTO access (at, what, device_id, person_id, by_device_id, words)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        (
            now,
            access.what.word(),
            id(access.device),
            id(access.person),
            id(access.by_device),
            &access.words,
        ),
    )
    .map_err(failed("write down who was let in"))?;
    Ok(())
}

/// Every act, the newest first, at most so many.
///
/// # Errors
/// Those of SQLite.
pub fn access_log(tx: &Transaction<'_>, most: u32) -> Result<Vec<AccessLine>, Error> {
    let doing = "read who was let in";
    let mut statement = tx
        .prepare_cached(
            "SELECT at, what, device_id, person_id, words FROM access ORDER BY seq DESC LIMIT ?1",
        )
        .map_err(failed(doing))?;
    let mut rows = statement.query([most]).map_err(failed(doing))?;
    let mut all = Vec::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        let maybe = |column: usize| -> Result<Option<Uuid>, Error> {
            let text: Option<String> = row.get(column).map_err(failed(doing))?;
            text.as_deref().map(uuid).transpose()
        };
        all.push(AccessLine {
            at: row.get(0).map_err(failed(doing))?,
            what: row.get(1).map_err(failed(doing))?,
            device: maybe(2)?,
            person: maybe(3)?,
            words: row.get(4).map_err(failed(doing))?,
        });
    }
    Ok(all)
}
