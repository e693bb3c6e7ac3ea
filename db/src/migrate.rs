//! Numbered migrations, forwards only, one transaction each that also sets the file's number.

use rusqlite::{Connection, TransactionBehavior};

use crate::Error;
use crate::error::failed;

/// Every migration, in order; the first is number 1. Only ever added to.
const MIGRATIONS: [&str; 7] = [
    include_str!("../migrations/0001_record.sql"),
    include_str!("../migrations/0002_buying.sql"),
    include_str!("../migrations/0003_pictures.sql"),
    include_str!("../migrations/0004_phones.sql"),
    include_str!("../migrations/0005_struck.sql"),
    include_str!("../migrations/0006_originals.sql"),
    include_str!("../migrations/0007_webp.sql"),
];
/// Marks the file as ours: "Scan" as a number.
const APPLICATION_ID: i64 = 0x5363_616e;

/// Brings a database up to date. A newer or foreign one is refused, and nothing is changed.
pub(crate) fn run(connection: &mut Connection) -> Result<(), Error> {
    let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
    let found = check(connection)?;
    for (number, sql) in (1_i64..=known).zip(MIGRATIONS) {
        if number <= found {
            continue;
        }
        let tx = connection
            .transaction_with_behavior(TransactionBehavior::Exclusive)
            .map_err(failed("begin a migration"))?;
        tx.execute_batch(sql).map_err(failed("migrate"))?;
        tx.pragma_update(None, "user_version", number)
            .map_err(failed("set the file's number"))?;
        tx.pragma_update(None, "application_id", APPLICATION_ID)
            .map_err(failed("mark the file as ours"))?;
        let loose: Option<String> = {
            let mut check = tx
                .prepare("SELECT \"table\" FROM pragma_foreign_key_check LIMIT 1")
                .map_err(failed("check the references"))?;
            let mut rows = check.query([]).map_err(failed("check the references"))?;
            rows.next()
                .and_then(|row| row.map(|row| row.get(0)).transpose())
                .map_err(failed("check the references"))?
        };
        if let Some(table) = loose {
            return Err(Error::Stored {
                what: "reference",
                value: table,
            });
        }
        tx.commit().map_err(failed("commit a migration"))?;
    }
    Ok(())
}

/// Whether a reader, which can't migrate, may open the file: it must be up to date.
pub(crate) fn check_whole(connection: &Connection) -> Result<(), Error> {
    let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
    let found = check(connection)?;
    if found < known {
        return Err(Error::Older { found, known });
    }
    Ok(())
}

/// The file's number, if the program may open it.
pub(crate) fn check(connection: &Connection) -> Result<i64, Error> {
    let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
    let number = |name| {
        connection
            .pragma_query_value(None, name, |row| row.get::<_, i64>(0))
            .map_err(failed("read the file's number"))
    };
    let found = number("user_version")?;
    let mark = number("application_id")?;
    let tables: i64 = connection
        .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
        .map_err(failed("read the file's tables"))?;
    if mark != APPLICATION_ID && (mark != 0 || (found == 0 && tables > 0)) {
        return Err(Error::Foreign { found: mark });
    }
    if known < found {
        return Err(Error::Newer { found, known });
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_schema_file_is_the_sum_of_the_migrations() {
        let mut migrated = Connection::open_in_memory().unwrap();
        run(&mut migrated).unwrap();
        let whole = Connection::open_in_memory().unwrap();
        whole.execute_batch(include_str!("../schema.sql")).unwrap();
        assert_eq!(schema(&migrated), schema(&whole));
    }

    #[test]
    fn a_newer_database_is_refused_with_both_numbers() {
        let mut connection = Connection::open_in_memory().unwrap();
        connection.pragma_update(None, "user_version", 99).unwrap();
        assert_eq!(
            run(&mut connection).unwrap_err().to_string(),
            "written by a newer version: its number is 99, this program knows up to 7; nothing was changed"
        );
    }

    #[test]
    fn a_database_of_the_first_version_becomes_one_of_this_and_a_reader_waits_for_that() {
        let mut connection = Connection::open_in_memory().unwrap();
        connection.execute_batch(MIGRATIONS[0]).unwrap();
        connection.pragma_update(None, "user_version", 1).unwrap();
        connection
            .pragma_update(None, "application_id", APPLICATION_ID)
            .unwrap();
        assert!(matches!(
            check_whole(&connection),
            Err(Error::Older { found: 1, .. })
        ));
        run(&mut connection).unwrap();
        check_whole(&connection).unwrap();
        let mut fresh = Connection::open_in_memory().unwrap();
        run(&mut fresh).unwrap();
        assert_eq!(schema(&connection), schema(&fresh));
    }

    #[test]
    fn a_database_of_another_program_is_refused_and_left_alone() {
        let mut connection = Connection::open_in_memory().unwrap();
        connection
            .execute_batch("CREATE TABLE theirs (x TEXT) STRICT; PRAGMA application_id = 7;")
            .unwrap();
        assert!(matches!(
            run(&mut connection),
            Err(Error::Foreign { found: 7 })
        ));
        assert_eq!(schema(&connection).len(), 1);
    }

    fn schema(connection: &Connection) -> Vec<String> {
        let mut statement = connection
            .prepare("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name")
            .unwrap();
        statement
            .query_map([], |row| row.get(0))
            .unwrap()
            .map(Result::unwrap)
            .collect()
    }
}
