//! Rules over all tables, asked of the schema itself. A field's number has its unit in the registry, not in its column.

use rusqlite::Connection;

fn migrated() -> Connection {
    let mut connection = Connection::open_in_memory().unwrap();
    crate::migrate::run(&mut connection).unwrap();
    connection
}

fn names(sql: &str) -> Vec<String> {
    let connection = migrated();
    let mut statement = connection.prepare(sql).unwrap();
    statement
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect()
}

#[test]
fn every_table_is_strict() {
    assert_eq!(
        names(
            "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND strict = 0"
        ),
        Vec::<String>::new()
    );
}

#[test]
fn every_foreign_key_has_an_index_that_starts_with_it() {
    let bare = names(
        "SELECT t.name || '.' || f.\"from\"
         FROM pragma_table_list AS t
         JOIN pragma_foreign_key_list(t.name) AS f
         WHERE t.schema = 'main'
           AND NOT EXISTS (
             SELECT 1 FROM pragma_index_list(t.name) AS i
             JOIN pragma_index_info(i.name) AS c
             WHERE c.seqno = 0 AND c.name = f.\"from\")",
    );
    assert_eq!(bare, Vec::<String>::new());
}

#[test]
fn every_id_column_that_names_another_row_is_a_foreign_key_or_on_the_list() {
    let bare = names(
        "SELECT t.name || '.' || c.name
         FROM pragma_table_list AS t
         JOIN pragma_table_info(t.name) AS c
         WHERE t.schema = 'main' AND c.name LIKE '%\\_id' ESCAPE '\\'
           AND NOT EXISTS (SELECT 1 FROM pragma_foreign_key_list(t.name) AS f WHERE f.\"from\" = c.name)
         ORDER BY 1",
    );
    assert_eq!(
        bare,
        // The server's and the entry's own ids, and what a refused entry may name though it isn't there.
        [
            "meta.server_id",
            "op.entity_id",
            "op.job_id",
            "op.op_id",
            "sent.op_id"
        ]
    );
}

#[test]
fn every_integer_column_names_its_unit() {
    let bare = names(
        "SELECT t.name || '.' || c.name
         FROM pragma_table_list AS t
         JOIN pragma_table_info(t.name) AS c
         WHERE t.schema = 'main' AND t.name NOT LIKE 'sqlite_%' AND c.type = 'INTEGER'
           AND c.name NOT LIKE '%\\_count' ESCAPE '\\' AND c.name NOT LIKE '%\\_min' ESCAPE '\\'
           AND c.name NOT LIKE '%\\_bytes' ESCAPE '\\' AND c.name NOT LIKE '%\\_px' ESCAPE '\\'
           AND c.name NOT LIKE '%\\_seconds' ESCAPE '\\' AND c.name NOT LIKE '%rev' AND c.name NOT LIKE '%seq' AND c.name NOT IN ('position', 'number')",
    );
    assert_eq!(bare, Vec::<String>::new());
}

#[test]
fn every_number_has_its_range_in_the_schema() {
    // The schema keeps CHECKs only as text: there is no pragma that lists them.
    let bare = names(
        "SELECT t.name || '.' || c.name
         FROM pragma_table_list AS t
         JOIN pragma_table_info(t.name) AS c
         JOIN sqlite_schema AS s ON s.name = t.name
         WHERE t.schema = 'main' AND c.type = 'INTEGER'
           AND s.sql NOT LIKE '%CHECK (' || c.name || ' BETWEEN%'",
    );
    assert_eq!(bare, Vec::<String>::new());
}

#[test]
fn every_table_of_the_record_refuses_to_forget() {
    let guarded = names(
        "SELECT tbl_name FROM sqlite_schema
         WHERE type = 'trigger' AND sql LIKE '%BEFORE DELETE%'
         ORDER BY tbl_name",
    );
    assert_eq!(
        guarded,
        [
            "access",
            "blob",
            "entity",
            "field",
            "ledger_fact",
            "movement",
            "op",
            "sent",
            "stock_row"
        ]
    );
}
