//! People, their devices and sessions. Codes for new devices are in [`crate::pairing`].

use std::collections::BTreeMap;
use std::fmt::Write as _;

use rusqlite::{Connection, OptionalExtension, Transaction};
use scantling_takeoff::record::Role;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::error::{failed, uuid};
use crate::{Error, Who};

/// Somebody with a name in the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PersonLine {
    /// Their id.
    pub id: Uuid,
    /// Their name.
    pub name: String,
    /// What they may.
    pub role: Role,
    /// Goes up with each change of the role.
    pub role_rev: i64,
}

/// A device that was let in, or one that came with a job file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// Its id.
    pub id: Uuid,
    /// Whose.
    pub person: Uuid,
    /// Its name.
    pub name: String,
    /// Whether it can sign in at all (not one that came with a job file).
    pub has_session: bool,
    /// Since when.
    pub created_at: String,
    /// When last seen.
    pub last_seen_at: Option<String>,
    /// When it was shut out, if it was.
    pub revoked_at: Option<String>,
    /// How many entries it last said are waiting on it.
    pub waiting_count: i64,
}

/// Who is behind a session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedIn {
    /// The person, what they may, and the device.
    pub who: Who,
    /// The person's name.
    pub name: String,
    /// When the device was last seen.
    pub last_seen_at: Option<String>,
    /// Whether the device was shut out: answer `device_revoked`, nothing else.
    pub is_revoked: bool,
}

/// SHA-256 of bytes, in lower-case hex: how session secrets are stored.
pub fn sha256_hex(bytes: &[u8]) -> String {
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        write!(hex, "{byte:02x}").expect("writing to a String never fails");
    }
    hex
}

/// A new random id, from SQLite's generator.
///
/// # Errors
/// Those of SQLite.
pub fn id(tx: &Transaction<'_>) -> Result<Uuid, Error> {
    random(tx)
}

/// This server's id, made with its database.
///
/// # Errors
/// Those of SQLite.
pub fn server_id(tx: &Transaction<'_>) -> Result<Uuid, Error> {
    let text: String = tx
        .query_row("SELECT server_id FROM meta", [], |row| row.get(0))
        .map_err(failed("read the server's id"))?;
    uuid(&text)
}

/// Who is behind a session, by the hash of its secret.
///
/// # Errors
/// Those of SQLite.
pub fn signed_in(tx: &Transaction<'_>, session_hash: &str) -> Result<Option<SignedIn>, Error> {
    let found = tx
        .prepare_cached(
            "SELECT d.id, p.id, p.name, p.role, d.last_seen_at, d.revoked_at IS NOT NULL
             FROM device AS d
             JOIN person AS p ON p.id = d.person_id
             WHERE d.session_hash = ?1",
        )
        .and_then(|mut statement| {
            statement
                .query_row([session_hash], |row| {
                    Ok((
                        row.get::<_, String>(0)?,
                        row.get::<_, String>(1)?,
                        row.get(2)?,
                        row.get::<_, String>(3)?,
                        row.get(4)?,
                        row.get(5)?,
                    ))
                })
                .optional()
        })
        .map_err(failed("look up a session"))?;
    let Some((device, person, name, role, last_seen_at, is_revoked)) = found else {
        return Ok(None);
    };
    Ok(Some(SignedIn {
        who: Who {
            person: uuid(&person)?,
            role: role_named(&role)?,
            device: uuid(&device)?,
        },
        name,
        last_seen_at,
        is_revoked,
    }))
}

/// Adds a person.
///
/// # Errors
/// An id that is taken, an empty name.
pub fn add_person(tx: &Transaction<'_>, id: Uuid, name: &str, role: Role) -> Result<(), Error> {
    tx.execute(
        "INSERT INTO person (id, name, role) VALUES (?1, ?2, ?3)",
        (id.to_string(), name, role.name()),
    )
    .map_err(failed("add a person"))?;
    Ok(())
}

/// Gives a person another role; `false` if there is none of that id.
///
/// # Errors
/// Those of SQLite.
pub fn set_role(tx: &Transaction<'_>, person: Uuid, role: Role) -> Result<bool, Error> {
    let n = tx
        .execute(
            "UPDATE person SET role = ?2, role_rev = role_rev + (role <> ?2) WHERE id = ?1",
            (person.to_string(), role.name()),
        )
        .map_err(failed("change a role"))?;
    Ok(n == 1)
}

/// Adds a device of a person; without a session it can't sign in.
///
/// # Errors
/// An unknown person, an id or a session that is taken.
pub fn add_device(
    tx: &Transaction<'_>,
    id: Uuid,
    person: Uuid,
    name: &str,
    session_hash: Option<&str>,
    now: &str,
) -> Result<(), Error> {
    tx.execute(
        "INSERT INTO device (id, person_id, name, session_hash, created_at) VALUES (?1, ?2, ?3, ?4, ?5)",
        (id.to_string(), person.to_string(), name, session_hash, now),
    )
    .map_err(failed("add a device"))?;
    Ok(())
}

/// Everyone, by name.
///
/// # Errors
/// Those of SQLite.
pub fn people(tx: &Transaction<'_>) -> Result<BTreeMap<Uuid, PersonLine>, Error> {
    let mut statement = tx
        .prepare_cached("SELECT id, name, role, role_rev FROM person")
        .map_err(failed("read the people"))?;
    let mut rows = statement.query([]).map_err(failed("read the people"))?;
    let mut people = BTreeMap::new();
    while let Some(row) = rows.next().map_err(failed("read the people"))? {
        let read = |column| row.get::<_, String>(column);
        let (id, name, role) = (read(0), read(1), read(2));
        let id = uuid(&id.map_err(failed("read the people"))?)?;
        let line = PersonLine {
            id,
            name: name.map_err(failed("read the people"))?,
            role: role_named(&role.map_err(failed("read the people"))?)?,
            role_rev: row.get(3).map_err(failed("read the people"))?,
        };
        people.insert(id, line);
    }
    Ok(people)
}

/// Every device, newest first.
///
/// # Errors
/// Those of SQLite.
pub fn devices(tx: &Transaction<'_>) -> Result<Vec<Device>, Error> {
    let mut statement = tx
        .prepare_cached(
            "SELECT id, person_id, name, session_hash IS NOT NULL, created_at, last_seen_at, revoked_at, waiting_count
             FROM device
             ORDER BY created_at DESC, id",
        )
        .map_err(failed("read the devices"))?;
    let rows = statement
        .query_map([], |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, String>(1)?,
                row.get(2)?,
                row.get(3)?,
                row.get(4)?,
                row.get(5)?,
                row.get(6)?,
                row.get(7)?,
            ))
        })
        .map_err(failed("read the devices"))?;
    let mut devices = Vec::new();
    for row in rows {
        let (id, person, name, has_session, created_at, last_seen_at, revoked_at, waiting_count) =
            row.map_err(failed("read the devices"))?;
        devices.push(Device {
            id: uuid(&id)?,
            person: uuid(&person)?,
            name,
            has_session,
            created_at,
            last_seen_at,
            revoked_at,
            waiting_count,
        });
    }
    Ok(devices)
}

/// Notes that a device was seen; call it seldom, it is a write.
///
/// # Errors
/// Those of SQLite.
pub fn seen(tx: &Transaction<'_>, device: Uuid, now: &str) -> Result<(), Error> {
    tx.execute(
        "UPDATE device SET last_seen_at = ?2 WHERE id = ?1",
        (device.to_string(), now),
    )
    .map_err(failed("note that a device was seen"))?;
    Ok(())
}

/// Notes how many entries a device says are waiting on it.
///
/// # Errors
/// Those of SQLite.
pub fn set_waiting(tx: &Transaction<'_>, device: Uuid, waiting_count: i64) -> Result<(), Error> {
    tx.execute(
        "UPDATE device SET waiting_count = ?2 WHERE id = ?1",
        (device.to_string(), waiting_count),
    )
    .map_err(failed("note what waits on a device"))?;
    Ok(())
}

/// Gives a device another name; `false` if there is none of that id.
///
/// # Errors
/// Those of SQLite.
pub fn rename_device(tx: &Transaction<'_>, device: Uuid, name: &str) -> Result<bool, Error> {
    let n = tx
        .execute(
            "UPDATE device SET name = ?2 WHERE id = ?1",
            (device.to_string(), name),
        )
        .map_err(failed("rename a device"))?;
    Ok(n == 1)
}

/// Gives a person another name; `false` if there is none of that id.
///
/// # Errors
/// Those of SQLite; an empty name.
pub fn rename_person(tx: &Transaction<'_>, person: Uuid, name: &str) -> Result<bool, Error> {
    let n = tx
        .execute(
            "UPDATE person SET name = ?2 WHERE id = ?1",
            (person.to_string(), name),
        )
        .map_err(failed("rename a person"))?;
    Ok(n == 1)
}

/// Shuts a device out, from its next request on; `false` if there is none, or it was shut out before.
///
/// # Errors
/// Those of SQLite.
pub fn revoke(tx: &Transaction<'_>, device: Uuid, now: &str) -> Result<bool, Error> {
    let n = tx
        .execute(
            "UPDATE device SET revoked_at = ?2 WHERE id = ?1 AND revoked_at IS NULL",
            (device.to_string(), now),
        )
        .map_err(failed("shut a device out"))?;
    Ok(n == 1)
}

/// Shuts out every device of everyone but this one; says how many.
///
/// # Errors
/// Those of SQLite.
pub fn revoke_others(tx: &Transaction<'_>, but: Uuid, now: &str) -> Result<usize, Error> {
    tx.execute(
        "UPDATE device SET revoked_at = ?2 WHERE id <> ?1 AND session_hash IS NOT NULL AND revoked_at IS NULL",
        (but.to_string(), now),
    )
    .map_err(failed("shut devices out"))
}

/// Makes the row of what this server is, once.
pub(crate) fn mark(connection: &mut Connection) -> Result<(), Error> {
    let id = random(connection)?;
    connection
        .execute(
            "INSERT INTO meta (only, server_id) VALUES ('row', ?1) ON CONFLICT DO NOTHING",
            [id.to_string()],
        )
        .map_err(failed("write the server's id"))?;
    Ok(())
}

/// A stored role.
pub(crate) fn role_named(name: &str) -> Result<Role, Error> {
    Role::named(name).ok_or_else(|| Error::Stored {
        what: "role",
        value: name.to_owned(),
    })
}

fn random(connection: &Connection) -> Result<Uuid, Error> {
    let bytes: [u8; 16] = connection
        .query_row("SELECT randomblob(16)", [], |row| row.get(0))
        .map_err(failed("make an id"))?;
    Ok(uuid::Builder::from_random_bytes(bytes).into_uuid())
}
