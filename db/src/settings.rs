//! How a connection is set; each setting is read back. Figures from measurements of the same crates on a prototype.

use rusqlite::config::DbConfig;
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension};

use crate::Error;
use crate::error::failed;

/// Older ones can damage a database in WAL mode when two connections checkpoint at once.
const OLDEST_SQLITE: i32 = 3_051_003;

/// Refuses a SQLite that is too old.
pub(crate) fn check_version() -> Result<(), Error> {
    if rusqlite::version_number() < OLDEST_SQLITE {
        return Err(Error::OldSqlite {
            found: rusqlite::version(),
        });
    }
    Ok(())
}

/// Sets the writing connection. `journal` is `wal`, or `memory` for a store without a file.
pub(crate) fn writer(connection: &Connection, journal: &'static str) -> Result<(), Error> {
    switches(connection)?;
    pragma(connection, "journal_mode", journal, journal)?;
    pragma(connection, "synchronous", "FULL", "2")?;
    pragma(connection, "journal_size_limit", "67108864", "67108864")?;
    shared(connection)
}

/// Sets a reading connection: nothing can be written over it.
pub(crate) fn reader(connection: &Connection) -> Result<(), Error> {
    switches(connection)?;
    pragma(connection, "query_only", "ON", "1")?;
    shared(connection)
}

fn shared(connection: &Connection) -> Result<(), Error> {
    for (name, value, back) in [
        ("foreign_keys", "ON", "1"),
        ("recursive_triggers", "ON", "1"),
        ("busy_timeout", "5000", "5000"),
        ("trusted_schema", "OFF", "0"),
        ("cell_size_check", "ON", "1"),
        ("mmap_size", "0", "0"),
        // 16 MB a connection: a large job is read without asking the system for each page again.
        ("cache_size", "-16384", "-16384"),
    ] {
        pragma(connection, name, value, back)?;
    }
    Ok(())
}

fn switches(connection: &Connection) -> Result<(), Error> {
    for (switch, on, name) in [
        (
            DbConfig::SQLITE_DBCONFIG_DQS_DML,
            false,
            "double-quoted text in queries",
        ),
        (
            DbConfig::SQLITE_DBCONFIG_DQS_DDL,
            false,
            "double-quoted text in tables",
        ),
        (
            DbConfig::SQLITE_DBCONFIG_DEFENSIVE,
            true,
            "the defensive mode",
        ),
    ] {
        let found = connection
            .set_db_config(switch, on)
            .map_err(failed("set a switch of the database"))?;
        if found != on {
            return Err(Error::Setting {
                name,
                asked: if on { "on" } else { "off" },
                found: if found { "on" } else { "off" }.to_owned(),
            });
        }
    }
    Ok(())
}

fn pragma(
    connection: &Connection,
    name: &'static str,
    value: &'static str,
    asked: &'static str,
) -> Result<(), Error> {
    connection
        .pragma_update(None, name, value)
        .map_err(failed("set the database"))?;
    // A store without a file has no row for some of them: then there is nothing that could differ.
    let found = connection
        .pragma_query_value(None, name, |row| row.get::<_, Value>(0))
        .optional()
        .map_err(failed("read a setting back"))?;
    let found = match found {
        None => asked.to_owned(),
        Some(Value::Integer(number)) => number.to_string(),
        Some(Value::Text(text)) => text,
        Some(_) => String::new(),
    };
    if found == asked {
        return Ok(());
    }
    Err(Error::Setting { name, asked, found })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_linked_sqlite_is_new_enough() {
        check_version().unwrap();
    }

    #[test]
    fn a_setting_that_does_not_hold_is_an_error_with_what_was_found() {
        let connection = Connection::open_in_memory().unwrap();
        assert_eq!(
            writer(&connection, "wal").unwrap_err().to_string(),
            "the database's setting journal_mode is memory, not wal"
        );
    }
}
