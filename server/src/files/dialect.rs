//! A CSV as a spreadsheet saves it: comma, semicolon or tab between the columns, with or without a byte order mark, with
//! any line ends, quotes by RFC 4180.
//!
//! Rows are numbered as a spreadsheet numbers them: the headings are row 1, empty rows count, a line end in quotes does
//! not. Knows nothing of prices.

use scantling_takeoff::record::choices::SEPARATOR;

use super::ways::separator;

/// At most so many rows.
pub(crate) const ROWS: usize = 20_000;

/// A table read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Table {
    /// The headings; an empty one stays empty.
    pub(crate) heads: Vec<String>,
    /// The rows with something in them.
    pub(crate) rows: Vec<Row>,
}

/// A row of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    /// Its number in a spreadsheet; the headings are row 1.
    pub(crate) number: usize,
    /// Its cells, as many as there are headings, trimmed.
    pub(crate) cells: Vec<String>,
}

/// A file's bytes as text: UTF-8, the byte order mark taken off, every line end a line feed.
///
/// # Errors
/// What else it seems to be, and how to save it.
pub(crate) fn text_of(file: &[u8]) -> Result<String, String> {
    const AS_UTF8: &str = "In the spreadsheet, save it anew as CSV and choose UTF-8.";
    if file.starts_with(b"PK\x03\x04") {
        return Err(format!(
            "This is a spreadsheet’s own file or a zip, not a CSV. {AS_UTF8}"
        ));
    }
    if file.starts_with(&[0xff, 0xfe]) || file.starts_with(&[0xfe, 0xff]) {
        return Err(format!("The file is UTF-16. {AS_UTF8}"));
    }
    let text = std::str::from_utf8(file).map_err(|error| {
        let at = error.valid_up_to();
        let row = 1 + file.iter().take(at).filter(|byte| **byte == b'\n').count();
        let byte = file.get(at).copied().unwrap_or(0);
        format!(
            "Byte {} (line {row}) is {byte:02X}, which is no UTF-8: the file may be Windows-1252. {AS_UTF8}",
            at + 1
        )
    })?;
    if let Some(at) = text.find('\0') {
        return Err(format!(
            "Byte {} is zero: the file may be UTF-16. {AS_UTF8}",
            at + 1
        ));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    Ok(text.replace("\r\n", "\n").replace('\r', "\n"))
}

/// The word of `SEPARATOR` that fits the text best: most rows with as many cells as there are headings, then most
/// headings.
pub(crate) fn separator_of(text: &str) -> &'static str {
    let fits = |word: &str| {
        let counts: Vec<usize> = reader(text, word)
            .into_records()
            .take(200)
            .map(|row| row.map_or(0, |row| row.len()))
            .collect();
        let heads = counts.first().copied().unwrap_or(0);
        let same = counts.iter().filter(|n| **n == heads).count();
        (heads > 1, if heads > 1 { same } else { 0 }, heads)
    };
    // Of equals the last: a comma.
    ["tab", "semicolon", "comma"]
        .into_iter()
        .max_by_key(|word| fits(word))
        .unwrap_or("comma")
}

fn reader<'a>(text: &'a str, word: &str) -> csv::Reader<&'a [u8]> {
    csv::ReaderBuilder::new()
        .delimiter(separator(word))
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}

/// Reads a text of [`text_of`] with a word of `SEPARATOR` between the columns.
///
/// # Errors
/// Each row that has more cells than headings; or the row where it breaks off or is one too many; or that there are none.
pub(crate) fn table(text: &str, word: &str) -> Result<Table, Vec<String>> {
    if let Some(row) = open_quote(text, char::from(separator(word))) {
        return Err(vec![format!(
            "Row {row}: a quote opens a cell and none closes it. Close it, or double the quotes that belong to the text, as in \"6\"\" wide\"."
        )]);
    }
    let mut reader = reader(text, word);
    let mut record = csv::StringRecord::new();
    let mut heads: Option<Vec<String>> = None;
    let (mut rows, mut number, mut wrong) = (Vec::new(), 0, Vec::new());
    while reader
        .read_record(&mut record)
        .map_err(|error| vec![format!("Row {}: {error}", number + 1)])?
    {
        let start = record
            .position()
            .and_then(|place| usize::try_from(place.byte()).ok())
            .unwrap_or(0);
        let before = text.get(start..).unwrap_or("");
        number += 1 + before.bytes().take_while(|byte| *byte == b'\n').count();
        let mut cells: Vec<String> = record.iter().map(|cell| cell.trim().to_owned()).collect();
        while cells.last().is_some_and(String::is_empty) && heads.is_some() {
            cells.pop();
        }
        let Some(heads) = &heads else {
            heads = Some(cells);
            continue;
        };
        if cells.is_empty() {
            continue;
        }
        if cells.len() > heads.len() {
            wrong.push(format!(
                "Row {number}, column {}: {} cells under {} headings. Is a {} in a text without quotes?",
                heads.len() + 1,
                cells.len(),
                heads.len(),
                shown(word)
            ));
            continue;
        }
        if rows.len() >= ROWS {
            return Err(vec![format!("More than {ROWS} rows. Send it in parts.")]);
        }
        cells.resize(heads.len(), String::new());
        rows.push(Row { number, cells });
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    match heads {
        Some(heads) if !rows.is_empty() => Ok(Table { heads, rows }),
        _ => Err(vec![
            "The file has no rows. Its first row holds the headings, each further row a price."
                .to_owned(),
        ]),
    }
}

/// What people call a word of `SEPARATOR`: `comma`.
fn shown(word: &str) -> String {
    SEPARATOR
        .iter()
        .find(|(stored, _)| *stored == word)
        .map_or(word, |(_, shown)| shown)
        .to_lowercase()
}

/// The row in which a cell begins with a quote that nothing closes.
fn open_quote(text: &str, separator: char) -> Option<usize> {
    let (mut row, mut opened) = (1, None);
    let mut starts = true;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match (c, opened) {
            ('"', Some(_)) if chars.peek() == Some(&'"') => {
                chars.next();
            }
            ('"', Some(_)) => opened = None,
            ('"', None) if starts => opened = Some(row),
            ('\n', None) => row += 1,
            _ => {}
        }
        starts = opened.is_none() && (c == separator || c == '\n');
    }
    opened
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn read(file: &[u8]) -> Result<Table, String> {
        let text = text_of(file)?;
        table(&text, separator_of(&text)).map_err(|wrong| wrong.join("\n"))
    }

    fn cells(table: &Table) -> Vec<Vec<&str>> {
        table
            .rows
            .iter()
            .map(|row| row.cells.iter().map(String::as_str).collect())
            .collect()
    }

    #[test]
    fn comma_semicolon_and_tab_with_any_line_end_read_the_same() {
        for separator in [",", ";", "\t"] {
            for end in ["\n", "\r\n", "\r"] {
                for mark in ["", "\u{feff}"] {
                    let file = format!("{mark}SKU|Price{end}FR-1|4.15{end}FR-2|5.35{end}")
                        .replace('|', separator);
                    let table = read(file.as_bytes()).unwrap();
                    assert_eq!(table.heads, ["SKU", "Price"], "{file:?}");
                    assert_eq!(
                        cells(&table),
                        [["FR-1", "4.15"], ["FR-2", "5.35"]],
                        "{file:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_decimal_comma_does_not_pass_for_a_column() {
        let table = read(b"Artikel;Preis\nFR-1;4,15\nFR-2;5,35\n").unwrap();
        assert_eq!(cells(&table), [["FR-1", "4,15"], ["FR-2", "5,35"]]);
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_does() {
        // 1 headings, 2 FR-1 over two lines, 3 empty, 4 empty cells alone, 5 FR-2.
        let table =
            read(b"SKU,What\r\nFR-1,\"stud,\r\ndry\"\r\n\r\n,\r\nFR-2,\"6\"\" wide\"\r\n").unwrap();
        let numbers: Vec<usize> = table.rows.iter().map(|row| row.number).collect();
        assert_eq!(numbers, [2, 5]);
        assert_eq!(
            cells(&table),
            [["FR-1", "stud,\ndry"], ["FR-2", "6\" wide"]]
        );
    }

    #[test]
    fn a_row_may_end_early_and_may_not_go_on() {
        let table = read(b"SKU,Price,Note\nFR-1,4.15\nFR-2,5.35,dry\nFR-3,6,,,\n").unwrap();
        assert_eq!(table.rows[0].cells, ["FR-1", "4.15", ""]);
        assert_eq!(table.rows[2].cells, ["FR-3", "6", ""]);
        let more = read(b"SKU,Price\nFR-1,4.15\nFR-2,1,234.50\n").unwrap_err();
        assert!(
            more.starts_with("Row 3, column 3: 3 cells under 2 headings"),
            "{more}"
        );
    }

    #[test]
    fn what_is_no_utf_8_is_named() {
        let utf_16: Vec<u8> = "SKU,Price\n"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        for (file, said) in [
            (&b"SKU,What\nFR-1,5\xbd in\n"[..], "Byte 16 (line 2) is BD"),
            (b"\xff\xfeS\0", "UTF-16"),
            (&utf_16, "UTF-16"),
            (b"PK\x03\x04rest", "not a CSV"),
            (b"", "no rows"),
            (b"SKU,Price\n", "no rows"),
            (
                b"SKU,What\nFR-1,\"stud\nFR-2,post\n",
                "Row 2: a quote opens",
            ),
        ] {
            let why = read(file).unwrap_err();
            assert!(why.contains(said), "{said}: {why}");
        }
    }

    #[test]
    fn a_quote_inside_a_cell_is_an_inch_mark() {
        let table = read(b"SKU,What\nFR-1,2x4 8' 6\"\nFR-2,dry\n").unwrap();
        assert_eq!(cells(&table), [["FR-1", "2x4 8' 6\""], ["FR-2", "dry"]]);
    }

    /// A cell of anything that can be typed, quotes, separators and line ends among it, without spaces around it.
    fn cell() -> impl Strategy<Value = String> {
        "[a-z0-9,;\"'. \t\nÄ½木]{0,12}".prop_map(|text| text.trim().to_owned())
    }

    proptest! {
        #[test]
        fn any_table_written_in_any_dialect_reads_back_the_same(
            heads in prop::collection::vec("[a-z]{1,8}", 2..6),
            rows in prop::collection::vec(prop::collection::vec(cell(), 6), 1..12),
            word in prop::sample::select(vec!["comma", "semicolon", "tab"]),
            crlf in any::<bool>(),
            mark in any::<bool>(),
            always in any::<bool>(),
        ) {
            let mut writer = csv::WriterBuilder::new()
                .delimiter(separator(word))
                .terminator(if crlf { csv::Terminator::CRLF } else { csv::Terminator::Any(b'\n') })
                .quote_style(if always { csv::QuoteStyle::Always } else { csv::QuoteStyle::Necessary })
                .from_writer(if mark { "\u{feff}".as_bytes().to_vec() } else { Vec::new() });
            writer.write_record(&heads).unwrap();
            let rows: Vec<Vec<String>> = rows
                .into_iter()
                .map(|mut row| { row.truncate(heads.len()); row })
                .filter(|row| row.iter().any(|cell| !cell.is_empty()))
                .collect();
            prop_assume!(!rows.is_empty());
            for row in &rows {
                writer.write_record(row).unwrap();
            }
            let file = writer.into_inner().unwrap();
            let read = table(&text_of(&file).unwrap(), word).unwrap();
            prop_assert_eq!(read.heads, heads);
            let cells: Vec<Vec<String>> = read.rows.into_iter().map(|row| row.cells).collect();
            prop_assert_eq!(cells, rows);
        }

        #[test]
        fn no_bytes_make_it_panic(file in prop::collection::vec(any::<u8>(), 0..200)) {
            if let Ok(text) = text_of(&file) {
                for (word, _) in SEPARATOR {
                    let _read_or_refused = table(&text, word);
                }
                let _one_of_three = separator_of(&text);
            }
        }
    }
}
