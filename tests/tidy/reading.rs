//! How the house rules read a file: what it names of the standard library, SQL in pieces, paths between backticks.
//!
//! By eye rather than by grammar: strings and block comments are read as code. Each reader has its test below.

use std::path::Path;

/// The text without its line comments.
pub(crate) fn code(text: &str) -> String {
    text.lines()
        .map(|line| {
            if line.trim_start().starts_with("//") {
                ""
            } else {
                line.split(" // ").next().unwrap_or_default()
            }
        })
        .collect::<Vec<_>>()
        .join("\n")
}

/// Every path of `std`, `core` and `alloc` that the code names, groups taken apart, without its first part.
pub(crate) fn standard_paths(text: &str) -> Vec<String> {
    let text = code(text);
    let mut found = Vec::new();
    for crate_name in ["std", "core", "alloc"] {
        for (at, _) in text.match_indices(crate_name) {
            let before = text[..at].chars().next_back();
            let inside = |c: char| c.is_alphanumeric() || c == '_';
            let part_of_a_path =
                text[..at].ends_with("::") && text[..at - 2].ends_with(|c| inside(c) || c == '>');
            if before.is_some_and(inside) || part_of_a_path {
                continue;
            }
            let rest = &text[at + crate_name.len()..];
            if let Some(tree) = rest.strip_prefix("::") {
                take_apart(tree, "", &mut found);
            } else if rest.starts_with(" as ") {
                found.push("(renamed)".to_owned());
            }
        }
    }
    found
}

/// Reads one use-tree, adds what it names to `found`, and returns what comes after it.
fn take_apart<'a>(tree: &'a str, above: &str, found: &mut Vec<String>) -> &'a str {
    let tree = tree.trim_start();
    if let Some(mut rest) = tree.strip_prefix('{') {
        loop {
            rest = rest.trim_start();
            if let Some(after) = rest.strip_prefix('}') {
                return after;
            }
            if rest.is_empty() {
                return rest;
            }
            rest = take_apart(rest, above, found).trim_start();
            // what stands between a name and its comma is a rename
            rest = rest.trim_start_matches(|c| c != ',' && c != '}');
            rest = rest.strip_prefix(',').unwrap_or(rest);
        }
    }
    let end = tree
        .find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '*'))
        .unwrap_or(tree.len());
    let path = format!(
        "{above}{}{}",
        if above.is_empty() { "" } else { "::" },
        &tree[..end]
    );
    if let Some(below) = tree[end..].strip_prefix("::") {
        let below_starts_a_name =
            below.starts_with(|c: char| c.is_alphabetic() || "_{*".contains(c));
        if below_starts_a_name {
            return take_apart(below, &path, found);
        }
    }
    found.push(path);
    &tree[end..]
}

/// The lines where a macro or call that puts text together holds a keyword of SQL.
pub(crate) fn sql_in_pieces(text: &str) -> Vec<usize> {
    let mut lines = Vec::new();
    for opens in [
        "format!(",
        "format_args!(",
        "write!(",
        "concat!(",
        "push_str(",
    ] {
        for (at, _) in text.match_indices(opens) {
            let mut depth = 0_i32;
            let inner = &text[at..];
            let end = inner
                .char_indices()
                .find(|&(_, c)| {
                    depth += match c {
                        '(' => 1,
                        ')' => -1,
                        _ => 0,
                    };
                    c == ')' && depth == 0
                })
                .map_or(inner.len(), |(end, _)| end);
            let is_sql = inner[..end]
                .split(|c: char| !(c.is_alphanumeric() || c == '_'))
                .any(|word| ["SELECT", "INSERT", "UPDATE", "DELETE", "WHERE"].contains(&word));
            if is_sql {
                lines.push(text[..at].lines().count());
            }
        }
    }
    lines
}

/// What stands between backticks and reads as a path of this project.
pub(crate) fn paths_named(text: &str, files: &[String]) -> Vec<String> {
    const ENDINGS: [&str; 11] = [
        "rs", "md", "toml", "sql", "js", "mjs", "css", "lock", "json", "sh", "svg",
    ];
    text.lines()
        .flat_map(|line| line.split('`').skip(1).step_by(2))
        .filter(|word| {
            let plain = |c: char| c.is_alphanumeric() || "/._-".contains(c);
            let (first, deeper) = word.split_once('/').unwrap_or((word, ""));
            let top = |file: &String| {
                file.strip_prefix(first)
                    .is_some_and(|rest| rest.starts_with('/'))
            };
            let ending = Path::new(word)
                .extension()
                .and_then(|ext| ext.to_str())
                .is_some_and(|ext| ENDINGS.contains(&ext));
            word.chars().all(plain)
                && !first.is_empty()
                && first != "target"
                && (ending
                    || ((word.ends_with('/') || !deeper.is_empty()) && files.iter().any(top)))
        })
        .map(str::to_owned)
        .collect()
}

/// Whether a file or folder has this path, from the root or from a folder further down.
pub(crate) fn exists(path: &str, files: &[String]) -> bool {
    files.iter().any(|file| {
        let whole = format!("/{file}");
        match path.strip_suffix('/') {
            Some(folder) => whole.contains(&format!("/{folder}/")),
            None => whole.ends_with(&format!("/{path}")) || whole.contains(&format!("/{path}/")),
        }
    })
}

#[test]
fn the_reader_of_standard_paths_sees_groups_and_renames() {
    let text = "use std::{fmt, collections::{BTreeMap, HashMap as Map}};\n\
                // std::fs in a comment\n\
                fn now() -> ::std::time::Instant { core::mem::take(x); not_std::thing() }\n\
                use std as s;\n";
    assert_eq!(
        standard_paths(text),
        [
            "fmt",
            "collections::BTreeMap",
            "collections::HashMap",
            "time::Instant",
            "(renamed)",
            "mem::take",
        ]
    );
}

#[test]
fn the_reader_of_sql_sees_a_query_in_a_format() {
    let one = "fn f() {\n    tx.execute(&format!(\n        \"SELECT x FROM {table}\"), [])\n}";
    assert_eq!(sql_in_pieces(one), [2]);
    let none = "let why = format!(\"no reading {id}\");\ntx.execute(\"DELETE FROM reading WHERE id = ?1\", [id])";
    assert_eq!(sql_in_pieces(none), [0_usize; 0]);
}

#[test]
fn the_reader_of_developers_md_knows_a_path_from_a_word() {
    let files = ["web/src/layout.rs".to_owned(), "tests/run".to_owned()];
    let text = "See `web/src/layout.rs`, `layout.rs`, `web/src/gone.rs`, `tests/`, `<noun>.rs`, `a / b`, `text/html`, \
                `gone.toml`.";
    let named = paths_named(text, &files);
    assert_eq!(
        named,
        [
            "web/src/layout.rs",
            "layout.rs",
            "web/src/gone.rs",
            "tests/",
            "gone.toml"
        ]
    );
    let gone: Vec<&String> = named.iter().filter(|path| !exists(path, &files)).collect();
    assert_eq!(gone, ["web/src/gone.rs", "gone.toml"]);
}
