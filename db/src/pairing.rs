//! Letting a new device in by a one-time code.
//!
//! At most 3 codes are open; one is good for 10 minutes and void after 5 wrong tries; 10 wrong tries in 10 minutes, whichever
//! code they were meant for, shut pairing until a lead or the console opens it. A code is spent in the transaction that
//! makes the device. Making and hashing codes is the caller's matter: hashes come in, `verify` compares.

use rusqlite::{OptionalExtension, Transaction};
use scantling_takeoff::record::Role;
use uuid::Uuid;

use crate::Error;
use crate::error::{failed, uuid};
use crate::moment;
use crate::people::{add_device, add_person, role_named};

/// At most so many codes are open at once.
pub const OPEN_CODES: usize = 3;
/// How long a code is good, in milliseconds: ten minutes.
const GOOD_FOR_MS: i64 = 10 * 60 * 1_000;
/// So many wrong tries void a code.
const WRONG_A_CODE: i64 = 5;
/// So many wrong tries within ten minutes, over all codes, shut pairing.
const WRONG_IN_ALL: i64 = 10;

/// A code to be stored.
#[derive(Clone, Debug)]
pub struct NewCode {
    /// Its id.
    pub id: Uuid,
    /// The hash of the code, as the caller's hasher writes it.
    pub hash: String,
    /// What its person may.
    pub role: Role,
    /// For another device of this person; none: for a new person.
    pub person: Option<Uuid>,
}

/// A code that is still good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenCode {
    /// Its id.
    pub id: Uuid,
    /// What its person may.
    pub role: Role,
    /// For whom, if it is for someone known.
    pub person: Option<Uuid>,
    /// Until when.
    pub expires_at: String,
    /// Wrong tries since it was made.
    pub wrong_count: i64,
}

/// What a device brings when it pairs.
#[derive(Clone, Debug)]
pub struct Pairing {
    /// The id for a new person; not used where the code is for someone known.
    pub person: Uuid,
    /// The new person's name; not used where the code is for someone known.
    pub name: String,
    /// The device's id.
    pub device: Uuid,
    /// The device's name.
    pub device_name: String,
    /// The hash of its session's secret.
    pub session_hash: String,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Paired {
    /// The device is in.
    In {
        /// Whose it is.
        person: Uuid,
        /// What they may.
        role: Role,
    },
    /// No open code was that one.
    Wrong,
    /// Too many wrong tries: pairing is shut until a lead or the console opens it.
    Shut,
}

/// Stores a code; `false` if three are open already.
///
/// # Errors
/// Those of SQLite.
pub fn add_code(tx: &Transaction<'_>, code: &NewCode, now: &str) -> Result<bool, Error> {
    if open_codes(tx, now)?.len() >= OPEN_CODES {
        return Ok(false);
    }
    tx.execute(
        "INSERT INTO sign_in_code (id, hash, role, person_id, created_at, expires_at, wrong_count)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, 0)",
        (
            code.id.to_string(),
            &code.hash,
            code.role.name(),
            code.person.map(|id| id.to_string()),
            now,
            soon(now, GOOD_FOR_MS)?,
        ),
    )
    .map_err(failed("store a code"))?;
    Ok(true)
}

/// The codes that are good now, oldest first.
///
/// # Errors
/// Those of SQLite.
pub fn open_codes(tx: &Transaction<'_>, now: &str) -> Result<Vec<OpenCode>, Error> {
    Ok(hashed(tx, now)?.into_iter().map(|(code, _)| code).collect())
}

/// Voids every open code; says how many.
///
/// # Errors
/// Those of SQLite.
pub fn forget_codes(tx: &Transaction<'_>, now: &str) -> Result<usize, Error> {
    tx.execute(
        "UPDATE sign_in_code SET spent_at = ?1 WHERE spent_at IS NULL AND expires_at > ?1",
        [now],
    )
    .map_err(failed("void the codes"))
}

/// Whether too many wrong tries have shut pairing.
///
/// # Errors
/// Those of SQLite.
pub fn pairing_is_shut(tx: &Transaction<'_>) -> Result<bool, Error> {
    tx.query_row("SELECT pairing_shut_at IS NOT NULL FROM meta", [], |row| {
        row.get(0)
    })
    .optional()
    .map(|shut| shut.unwrap_or(false))
    .map_err(failed("read whether pairing is shut"))
}

/// Opens pairing again: for a lead, or the console. Earlier wrong tries no longer count.
///
/// # Errors
/// Those of SQLite.
pub fn open_pairing(tx: &Transaction<'_>) -> Result<(), Error> {
    tx.execute("UPDATE meta SET pairing_shut_at = NULL", [])
        .and_then(|_| tx.execute("DELETE FROM wrong_code", []))
        .map_err(failed("open pairing"))?;
    Ok(())
}

/// Lets a device in if `verify` knows one of the open codes' hashes. Spends the code and makes the device, both or neither.
///
/// # Errors
/// Those of SQLite; a session hash or device id that is taken.
pub fn pair(
    tx: &Transaction<'_>,
    now: &str,
    pairing: &Pairing,
    mut verify: impl FnMut(&str) -> bool,
) -> Result<Paired, Error> {
    if pairing_is_shut(tx)? {
        return Ok(Paired::Shut);
    }
    let right = hashed(tx, now)?.into_iter().find(|(_, hash)| verify(hash));
    let Some((code, _)) = right else {
        return wrong(tx, now);
    };
    tx.execute(
        "UPDATE sign_in_code SET spent_at = ?2 WHERE id = ?1",
        (code.id.to_string(), now),
    )
    .map_err(failed("spend a code"))?;
    let person = code.person.unwrap_or(pairing.person);
    if code.person.is_none() {
        add_person(tx, person, &pairing.name, code.role)?;
    }
    add_device(
        tx,
        pairing.device,
        person,
        &free_name(tx, &pairing.device_name)?,
        Some(&pairing.session_hash),
        now,
    )?;
    let role: String = tx
        .query_row(
            "SELECT role FROM person WHERE id = ?1",
            [person.to_string()],
            |row| row.get(0),
        )
        .map_err(failed("read a role"))?;
    Ok(Paired::In {
        person,
        role: role_named(&role)?,
    })
}

/// A name that no device has yet: `iPhone`, `iPhone 2`.
fn free_name(tx: &Transaction<'_>, name: &str) -> Result<String, Error> {
    let is_taken = |name: &str| {
        tx.query_row(
            "SELECT EXISTS (SELECT 1 FROM device WHERE name = ?1)",
            [name],
            |row| row.get::<_, bool>(0),
        )
        .map_err(failed("look up a device's name"))
    };
    let mut free = name.to_owned();
    let mut number = 1;
    while is_taken(&free)? {
        number += 1;
        free = format!("{name} {number}");
    }
    Ok(free)
}

/// Counts a wrong try against each open code, and in all.
fn wrong(tx: &Transaction<'_>, now: &str) -> Result<Paired, Error> {
    let doing = "count a wrong code";
    tx.execute(
        "UPDATE sign_in_code SET wrong_count = wrong_count + 1
         WHERE spent_at IS NULL AND expires_at > ?1 AND wrong_count < ?2",
        (now, WRONG_A_CODE),
    )
    .map_err(failed(doing))?;
    tx.execute("INSERT INTO wrong_code (at) VALUES (?1)", [now])
        .map_err(failed(doing))?;
    tx.execute(
        "DELETE FROM wrong_code WHERE at <= ?1",
        [soon(now, -GOOD_FOR_MS)?],
    )
    .map_err(failed(doing))?;
    let n_wrong: i64 = tx
        .query_row("SELECT count(*) FROM wrong_code", [], |row| row.get(0))
        .map_err(failed(doing))?;
    if n_wrong < WRONG_IN_ALL {
        return Ok(Paired::Wrong);
    }
    tx.execute("UPDATE meta SET pairing_shut_at = ?1", [now])
        .map_err(failed(doing))?;
    Ok(Paired::Shut)
}

fn soon(now: &str, milliseconds: i64) -> Result<String, Error> {
    moment::after(now, milliseconds).ok_or_else(|| Error::Stored {
        what: "moment",
        value: now.to_owned(),
    })
}

fn hashed(tx: &Transaction<'_>, now: &str) -> Result<Vec<(OpenCode, String)>, Error> {
    let doing = "read the codes";
    let mut statement = tx
        .prepare_cached(
            "SELECT id, role, person_id, expires_at, wrong_count, hash
             FROM sign_in_code
             WHERE spent_at IS NULL AND expires_at > ?1 AND wrong_count < ?2
             ORDER BY created_at, id",
        )
        .map_err(failed(doing))?;
    let rows = statement
        .query_map((now, WRONG_A_CODE), |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, String>(1)?,
                row.get::<_, Option<String>>(2)?,
                row.get(3)?,
                row.get(4)?,
                row.get(5)?,
            ))
        })
        .map_err(failed(doing))?;
    let mut codes = Vec::new();
    for row in rows {
        let (id, role, person, expires_at, wrong_count, hash) = row.map_err(failed(doing))?;
        let code = OpenCode {
            id: uuid(&id)?,
            role: role_named(&role)?,
            person: person.as_deref().map(uuid).transpose()?,
            expires_at,
            wrong_count,
        };
        codes.push((code, hash));
    }
    Ok(codes)
}
