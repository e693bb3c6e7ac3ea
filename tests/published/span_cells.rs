//! Span tables of the IRC: floor joists, ceiling joists, rafters under snow.
//!
//! Source: as named in each row of the copy. The tables round to the nearest inch. The cells are read from the project's
//! own copy, or from the folder that `SCANTLING_REFERENCE` names (an absolute path: tests run in `server/`).

use std::collections::BTreeMap;
use std::path::PathBuf;

use scantling_takeoff::checks::screening::table_span::{Cell, Limit, TableSpan, table_span};
use scantling_takeoff::tables::adjustment_factors::LoadDuration;
use scantling_takeoff::tables::density::{Grade, Species};
use scantling_takeoff::tables::ps20::{Seasoning, dressed};
use scantling_takeoff::units::{Psf, Units, parse_decimal, parse_length, parse_nominal};

use super::rows;

pub(crate) const COPY: &str = include_str!("data/span_checks.csv");

type Row = BTreeMap<String, String>;

/// The cells to hold the joists against.
fn cells() -> Vec<Row> {
    let text = match std::env::var_os("SCANTLING_REFERENCE") {
        None => COPY.to_owned(),
        Some(folder) => {
            let file = PathBuf::from(folder).join("span_checks.csv");
            std::fs::read_to_string(&file)
                .unwrap_or_else(|error| panic!("{}: {error}", file.display()))
        }
    };
    let cells = rows(&text);
    assert!(
        !cells.is_empty(),
        "there is no cell to hold anything against"
    );
    cells
}

#[test]
fn every_cell_comes_out_within_an_inch() {
    let mut wrong = Vec::new();
    for row in cells() {
        let ours = ours(&row);
        let published = Published::read(&row);
        if !published.agrees(ours.inches()) {
            wrong.push(format!("{}: {published:?}, ours {ours:?}", row["id"]));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_cell_stops_at_the_limit_that_governs() {
    for row in cells() {
        let ours = ours(&row);
        // Where both limits come to the same inch, the printed cell doesn't tell which it was.
        if (ours.by_bending - ours.by_sag).abs() < 1.0 {
            continue;
        }
        let governs = match ours.governs() {
            Limit::Bending => "bending",
            Limit::Sag => "deflection",
        };
        let said = row.get("governs").map_or("", |said| said.trim());
        if ["bending", "deflection"].contains(&said) {
            assert_eq!(governs, said, "{row:?} {ours:?}");
        }
    }
}

fn ours(row: &Row) -> TableSpan {
    let nominal = parse_nominal(row["nominal"].trim()).unwrap();
    let psf = |column: &str| Psf::from_hundredths(parse_decimal(row[column].trim(), 2).unwrap());
    let cell = Cell {
        species: species(row["species"].trim()),
        grade: grade(row["grade"].trim()),
        section: dressed(nominal, Seasoning::Dry).unwrap(),
        spacing: parse_length(row["spacing_in"].trim(), Units::Us).unwrap(),
        live: psf("live_psf"),
        dead: psf("dead_psf"),
        sag_part: sag_part(&row["deflection_limit_live"]),
        duration: duration(&row["CD"]),
    };
    table_span(&cell).unwrap_or_else(|why| panic!("{why}: {row:?}"))
}

fn species(text: &str) -> Species {
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(char::is_ascii_alphabetic)
        .collect();
    match plain.as_str() {
        "douglasfirlarch" | "dfl" | "douglasfir" => Species::DouglasFirLarch,
        "hemfir" | "hf" => Species::HemFir,
        "sprucepinefir" | "spf" => Species::SprucePineFir,
        "southernpine" | "syp" | "sp" => Species::SouthernPine,
        _ => panic!("no such species: {text}"),
    }
}

/// `No.1/No.2` is one line of the tables: either grade finds it.
fn grade(text: &str) -> Grade {
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .collect();
    match plain.as_str() {
        "selectstructural" | "ss" => Grade::SelectStructural,
        "no1btr" | "no1andbtr" | "no1better" | "1btr" => Grade::No1AndBetter,
        "no1" | "1" => Grade::No1,
        "no2" | "2" | "no1no2" | "12" | "no1orno2" => Grade::No2,
        "no3" | "3" => Grade::No3,
        "stud" => Grade::Stud,
        "construction" => Grade::Construction,
        _ => panic!("no such grade: {text}"),
    }
}

fn sag_part(text: &str) -> u32 {
    let digits = text.rsplit('/').next().unwrap().trim();
    digits
        .parse()
        .unwrap_or_else(|_| panic!("no limit: {text}"))
}

fn duration(text: &str) -> LoadDuration {
    let value: f64 = text.trim().parse().unwrap();
    LoadDuration::ALL
        .into_iter()
        .find(|duration| (duration.factor().value - value).abs() < 1e-9)
        .unwrap_or_else(|| panic!("no duration has {text}"))
}

/// What a cell prints: a span to the nearest inch, or that it is over where the table ends.
#[derive(Debug)]
struct Published {
    inches: f64,
    capped: bool,
}

impl Published {
    /// `15-5`, `26-0` with a note that the span exceeds what the table lists, or only the note (`Note b`).
    fn read(row: &Row) -> Self {
        let text = row["published_span"].trim();
        let note = row
            .get("note")
            .map_or(String::new(), |note| note.to_lowercase());
        let capped = ["exceed", "capped", "over 26", "limited to"]
            .iter()
            .any(|word| note.contains(word))
            || text.to_lowercase().contains("note")
            || text.ends_with(['+', '*'])
            || text.starts_with('>');
        let plain: String = text
            .chars()
            .filter(|c| c.is_ascii_digit() || *c == '-')
            .collect();
        let span = plain
            .split_once('-')
            .and_then(|(feet, inches)| {
                let (feet, inches): (f64, f64) = (feet.parse().ok()?, inches.parse().ok()?);
                Some(feet * 12.0 + inches)
            })
            .or_else(|| row.get("published_in")?.trim().parse().ok())
            .or(capped.then_some(312.0));
        Self {
            inches: span.unwrap_or_else(|| panic!("no span: {row:?}")),
            capped,
        }
    }

    /// Within an inch; a span over the table's end is held to that end.
    fn agrees(&self, ours: f64) -> bool {
        let ours = if self.capped {
            ours.min(self.inches)
        } else {
            ours
        };
        (ours - self.inches).abs() <= 1.0
    }
}

#[test]
fn a_cell_is_read_whole() {
    let row = |span: &str, note: &str| {
        let cells = [
            ("published_span", span),
            ("note", note),
            ("published_in", ""),
        ];
        let cells = cells.map(|(name, text)| (name.to_owned(), text.to_owned()));
        Published::read(&Row::from(cells))
    };
    assert!(row("15-5", "").agrees(184.6) && !row("15-5", "").agrees(186.1));
    assert!(row("26-0", "span exceeds 26 feet").agrees(340.0));
    assert!(!row("26-0", "").agrees(340.0) && row("Note b", "").agrees(313.0));
    assert!(!row("22-3a", "").agrees(340.0) && row("22-3a", "").agrees(267.4));
    assert!(!row("Note b", "").agrees(300.0));
    assert_eq!(grade("No.1/No.2"), Grade::No2);
    assert_eq!(sag_part("L/360"), 360);
}
