//! Price books as spreadsheets save them, kept in `price_books/`: headings matched and remembered, what would change shown,
//! all of it saved or nothing, every error with its row and column. Prices keep their date and source.
//!
//! Two of the files were saved by `LibreOffice` 7.4 from spreadsheets of the same content; the others are written by hand.

use super::{
    add, bare, count_of, entries, errors, form_around, look, page_errors, save_prices, start_job,
    value,
};
use crate::support::{Answer, Client, TestServer, form};

const COMMA: &[u8] = include_bytes!("price_books/comma.csv");
const QUOTED: &[u8] = include_bytes!("price_books/comma_bom_crlf_quoted.csv");
const SEMICOLON: &[u8] = include_bytes!("price_books/semicolon_decimal_comma_crlf.csv");
const TAB: &[u8] = include_bytes!("price_books/tab.tsv");
const OFFICE_COMMA: &[u8] = include_bytes!("price_books/libreoffice_comma.csv");
const OFFICE_SEMICOLON: &[u8] =
    include_bytes!("price_books/libreoffice_semicolon_decimal_comma.csv");

/// What the headings of the files written by hand are.
const MATCHED: [(&str, &str); 5] = [
    ("column.0", "item_number"),
    ("column.1", "leave_out"),
    ("column.2", "nominal"),
    ("column.3", "length"),
    ("column.4", "price"),
];

/// A job with one supplier.
fn yard(client: &Client) -> (String, String) {
    let job = start_job(client, "Elm Street");
    let yard = add(client, &job, "supplier", &[("name", "North Yard")]);
    (job, yard)
}

/// The page that comes back when a heading is chosen and the person looks again.
fn chosen(client: &Client, page: &str, fields: &[(&str, &str)]) -> Answer {
    let mut all = fields.to_vec();
    all.push(("do", "look"));
    save_prices(client, page, &all)
}

/// Looks at a file of this supplier.
fn looked(client: &Client, job: &str, yard: &str, file: &[u8]) -> Answer {
    look(client, job, &[("supplier", yard)], file)
}

/// The fields of every price that was added, by the last word of its name: `FR-2x4-8 4.35`.
fn prices(client: &Client, job: &str) -> Vec<String> {
    let mut all: Vec<String> = entries(client, job)
        .iter()
        .filter(|entry| entry["kind"] == "price.add")
        .map(|entry| {
            let text = |name: &str| entry["fields"][name].as_str().unwrap_or("-").to_owned();
            [
                text("item_number"),
                text("nominal"),
                text("length"),
                text("price"),
            ]
            .join(" ")
        })
        .collect();
    all.sort();
    all
}

#[test]
fn one_book_comes_in_the_same_however_the_spreadsheet_saved_it() {
    let server = TestServer::start("dialects");
    let lead = server.lead();
    for (file, name) in [
        (COMMA, "comma"),
        (QUOTED, "quoted"),
        (SEMICOLON, "semicolon"),
        (TAB, "tab"),
    ] {
        let (job, yard) = yard(&lead);
        let first = looked(&lead, &job, &yard, file);
        assert_eq!(first.status, 422, "{name}: nobody said what Size is");
        assert!(
            errors(&first.body).contains("Row 1, column 3 (Size)"),
            "{name}: {}",
            page_errors(&first.body)
        );
        let page = chosen(&lead, &first.body, &MATCHED);
        assert_eq!(page.status, 200, "{name}: {}", page_errors(&page.body));
        assert_eq!(count_of(&lead, &job, "price.add"), 0, "{name}: shown alone");
        let saved = save_prices(&lead, &page.body, &[]);
        assert_eq!(saved.status, 303, "{name}: {}", page_errors(&saved.body));
        assert_eq!(
            prices(&lead, &job),
            ["FR-2x10-12 2x10 12' 1018.10", "FR-2x4-8 2x4 8 ft 4.35"],
            "{name}"
        );
    }
}

#[test]
fn what_libreoffice_saved_comes_in_and_changes_two_prices() {
    let server = TestServer::start("libreoffice");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let first = looked(&lead, &job, &yard, OFFICE_COMMA);
    let page = chosen(
        &lead,
        &first.body,
        &[
            ("column.0", "item_number"),
            ("column.1", "leave_out"),
            ("column.2", "nominal"),
            ("column.3", "length"),
        ],
    );
    // Grade, sold by and price are our own names; lengths are in feet by their heading.
    assert_eq!(page.status, 200, "{}", page_errors(&page.body));
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    assert_eq!(
        prices(&lead, &job),
        [
            "FR-2x10-12 2x10 12 ft 18.6",
            "FR-2x4-10 2x4 10 ft 5.35",
            "FR-2x4-8 2x4 8 ft 4.35",
            "FR-4x6-14 4x6 14 ft 1041.2",
        ]
    );
    let first = looked(&lead, &job, &yard, OFFICE_SEMICOLON);
    let page = chosen(
        &lead,
        &first.body,
        &[
            ("column.0", "item_number"),
            ("column.1", "leave_out"),
            ("column.2", "price"),
        ],
    );
    assert_eq!(page.status, 200, "{}", page_errors(&page.body));
    // 4.30 - 4.35 = -0.05; 1018.10 - 18.60 = 999.50; two of the four rows are not named.
    for said in ["$4.35 → $4.30", "-$0.05", "$18.60 → $1,018.10", "+$999.50"] {
        assert!(page.body.contains(said), "{said}: {}", page.body);
    }
    assert!(
        page.body
            .contains("2 in the book that the file does not name")
    );
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    assert_eq!(count_of(&lead, &job, "price.add"), 4);
    assert_eq!(count_of(&lead, &job, "price.edit"), 2);
}

#[test]
fn the_next_file_of_a_supplier_needs_no_choosing() {
    let server = TestServer::start("remembers");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let page = chosen(&lead, &looked(&lead, &job, &yard, COMMA).body, &MATCHED);
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    let dearer = String::from_utf8(COMMA.to_vec())
        .unwrap()
        .replace("4.35", "4.50");
    let page = looked(&lead, &job, &yard, dearer.as_bytes());
    assert_eq!(page.status, 200, "{}", page_errors(&page.body));
    assert!(page.body.contains("$4.35 → $4.50"), "{}", page.body);
    let other = add(&lead, &job, "supplier", &[("name", "South Yard")]);
    let page = looked(&lead, &job, &other, dearer.as_bytes());
    assert_eq!(page.status, 422, "another supplier's headings are its own");
}

#[test]
fn only_what_was_shown_is_saved() {
    let server = TestServer::start("seen");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let page = chosen(&lead, &looked(&lead, &job, &yard, COMMA).body, &MATCHED);
    let other = save_prices(&lead, &page.body, &[("column.4", "leave_out")]);
    assert_eq!(other.status, 200);
    assert!(other.body.contains("Look at what would change now"));
    assert_eq!(count_of(&lead, &job, "price.add"), 0);
    // Somebody else changes the book between the looking and the saving.
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    let dearer = String::from_utf8(COMMA.to_vec())
        .unwrap()
        .replace("4.35", "4.50");
    let page = looked(&lead, &job, &yard, dearer.as_bytes());
    let id = entries(&lead, &job)
        .iter()
        .find(|entry| entry["kind"] == "price.add" && entry["fields"]["price"] == "4.35")
        .unwrap()["entity_id"]
        .as_str()
        .unwrap()
        .to_owned();
    lead.save(
        &format!("{job}/price/{id}/edit"),
        "edit",
        &[("price", "4.40")],
    );
    let late = save_prices(&lead, &page.body, &[]);
    assert_eq!(late.status, 200);
    assert!(late.body.contains("$4.40 → $4.50"), "{}", late.body);
    assert_eq!(save_prices(&lead, &late.body, &[]).status, 303);
}

#[test]
fn every_error_is_said_with_row_and_column_and_nothing_is_taken() {
    let server = TestServer::start("row-column");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let page = chosen(&lead, &looked(&lead, &job, &yard, COMMA).body, &MATCHED);
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    for (rows, said) in [
        // An empty row counts as the spreadsheet counts it.
        (
            "FR-2x4-8,x,2x4,8 ft,4.40\n\nFR-9,x,2x4,10 ft,cheap",
            "Row 4, column 5 (Price)",
        ),
        // One comma among points: the file's mark is the point.
        (
            "FR-9,x,2x4,10 ft,\"4,40\"\nFR-10,x,2x4,12 ft,4.50\nFR-11,x,2x4,14 ft,5.50",
            "does not fit a decimal point",
        ),
        ("FR-9,x,two by four,10 ft,4.40", "Row 2, column 3 (Size)"),
        (
            "FR-9,x,2x4,10,4.40",
            "Row 2, column 4 (Length): 10 says no unit",
        ),
        ("FR-9,x,,,4.40", "Row 2: item FR-9 is not in the price book"),
        ("FR-9,x,2x4,,4.40", "it needs Length sold"),
        (
            "FR-2x4-8,x,2x6,8 ft,4.40",
            "Row 2, column 3 (Size): item FR-2x4-8 is 2×4 in the price book and 2×6 here",
        ),
        (
            "FR-2x4-8,x,2x4,8 ft,4.40\nFR-2x4-8,x,2x4,8 ft,4.50",
            "Row 3: this is the same thing as row 2",
        ),
        (
            "FR-2x4-8,x,2x4,8 ft,4.40,extra",
            "Row 2, column 6: 6 cells under 5 headings",
        ),
        ("FR-2x4-8,\"x,2x4,8 ft,4.40", "Row 2: a quote opens a cell"),
    ] {
        let file = format!("Item no.,Description,Size,Length,Price\n{rows}\n");
        let answer = looked(&lead, &job, &yard, file.as_bytes());
        assert_eq!(answer.status, 422, "{said}");
        assert!(
            errors(&answer.body).contains(said),
            "{said}: {}",
            page_errors(&answer.body)
        );
    }
    assert_eq!(count_of(&lead, &job, "price.add"), 2);
    assert_eq!(count_of(&lead, &job, "price.edit"), 0);
    // A file that can't be read comes back where it can be put right; one in another encoding is named.
    let broken = looked(&lead, &job, &yard, b"Item no.,Price\nFR-2x4-8,\"4.40\n");
    let (_, held) = form_around(&broken.body, "name=\"pasted\"");
    assert!(value(&held, "pasted").contains("FR-2x4-8,\"4.40"));
    let old = looked(
        &lead,
        &job,
        &yard,
        b"Item no.,Description\nFR-2x4-8,3\xbd in\n",
    );
    assert!(
        errors(&old.body).contains("Windows-1252"),
        "{}",
        page_errors(&old.body)
    );
}

#[test]
fn rows_can_be_pasted_and_the_text_travels_with_the_form() {
    let server = TestServer::start("pasted");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let pasted = String::from_utf8(TAB.to_vec()).unwrap();
    let first = look(
        &lead,
        &job,
        &[("supplier", &yard), ("pasted", &pasted)],
        b"",
    );
    let page = chosen(&lead, &first.body, &MATCHED);
    assert_eq!(page.status, 200, "{}", page_errors(&page.body));
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    assert_eq!(prices(&lead, &job).len(), 2);
}

#[test]
fn a_price_keeps_its_date_and_source_and_what_was_bought_keeps_its_price() {
    let server = TestServer::start("dates");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let page = chosen(&lead, &looked(&lead, &job, &yard, COMMA).body, &MATCHED);
    let quote = [("day", "2026-03-02"), ("source", "Quote 1077")];
    let page = chosen(&lead, &page.body, &quote);
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    let added: Vec<serde_json::Value> = entries(&lead, &job)
        .into_iter()
        .filter(|entry| entry["kind"] == "price.add")
        .collect();
    for entry in &added {
        assert_eq!(entry["fields"]["price_day"], "2026-03-02");
        assert_eq!(entry["fields"]["source"], "Quote 1077");
    }
    assert!(
        lead.page(&format!("{job}/prices"))
            .contains("Mar 2, Quote 1077")
    );
    // Bought at 4.20 off the shelf: the book still says 4.35.
    let receipt = add(&lead, &job, "receipt", &[("supplier", &yard)]);
    let stud = "stick;2x4;96x224;Hem-Fir;No.2;none;6144";
    let line = [
        ("receipt", receipt.as_str()),
        ("item", stud),
        ("weeks", "1"),
        ("count", "3"),
        ("price", "4.20"),
    ];
    let bought = add(&lead, &job, "bought", &line);
    assert_eq!(
        count_of(&lead, &job, "price.edit"),
        0,
        "a receipt changes no price"
    );
    // A price changed by hand is of today and by hand; what was bought keeps its price.
    let id = added
        .iter()
        .find(|entry| entry["fields"]["price"] == "4.35")
        .unwrap()["entity_id"]
        .as_str()
        .unwrap()
        .to_owned();
    lead.save(
        &format!("{job}/price/{id}/edit"),
        "edit",
        &[("price", "4.60")],
    );
    let (_, held) = form(&lead.page(&format!("{job}/price/{id}/edit")), "edit");
    assert_eq!(value(&held, "source"), "by hand");
    assert_ne!(value(&held, "price_day"), "2026-03-02");
    let page = lead.page(&format!("{job}/bought/{bought}"));
    assert!(page.contains("$4.20") && !page.contains("$4.60"), "{page}");
}

#[test]
fn a_price_that_can_be_thousands_or_decimals_waits_until_the_mark_is_chosen() {
    let server = TestServer::start("two-ways");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let file = |prices: [&str; 2]| {
        let [one, two] = prices;
        format!("Item no.;What;Size;Length;Price\nFR-1;x;2x4;8 ft;{one}\nFR-2;x;2x4;10 ft;{two}\n")
    };
    let three = file(["1,250", "2,375"]);
    let first = looked(&lead, &job, &yard, three.as_bytes());
    let page = chosen(&lead, &first.body, &MATCHED);
    assert_eq!(page.status, 422, "{}", page.body);
    for said in [
        "Row 2, column 5 (Price): 1,250 can be 1250 or 1.250. Choose the decimal mark.",
        "Row 3, column 5 (Price): 2,375 can be",
    ] {
        assert!(
            errors(&page.body).contains(said),
            "{said}: {}",
            page_errors(&page.body)
        );
    }
    let (_, held) = form_around(&page.body, "name=\"csv_decimal\"");
    assert_eq!(value(&held, "csv_decimal"), "", "nothing is chosen yet");
    let page = chosen(&lead, &page.body, &[("csv_decimal", "point")]);
    assert_eq!(page.status, 200, "{}", page_errors(&page.body));
    assert!(page.body.contains("$1,250.00"), "{}", page.body);
    // As decimals, 1.250 is 1.25, and 2.375 is no whole cents: said, not rounded.
    let page = chosen(&lead, &page.body, &[("csv_decimal", "comma")]);
    assert_eq!(page.status, 422);
    let said = errors(&page.body);
    assert!(said.contains("Row 3, column 5 (Price)"), "{said}");
    assert!(!said.contains("Row 2"), "{said}");
    // A group that begins with 0 is no thousands, and so the others are none.
    let small = file(["0,625", "1,250"]);
    let first = looked(&lead, &job, &yard, small.as_bytes());
    let page = chosen(&lead, &first.body, &MATCHED);
    assert_eq!(page.status, 422, "{}", page.body);
    let (_, held) = form_around(&page.body, "name=\"csv_decimal\"");
    assert_eq!(value(&held, "csv_decimal"), "comma");
    let page = chosen(&lead, &page.body, &[("csv_decimal", "point")]);
    assert_eq!(page.status, 422, "{}", page.body);
    let said = "Row 2, column 5 (Price): 0,625 does not fit a decimal point.";
    assert!(
        errors(&page.body).contains(said),
        "{}",
        page_errors(&page.body)
    );
    assert_eq!(count_of(&lead, &job, "price.add"), 0);
}

/// The yard has one 8 ft; a second piece is cut from a 10 ft. The next file says there are two. Two pieces count for no waste.
#[test]
fn what_a_yard_has_comes_in_and_the_list_keeps_to_it() {
    let server = TestServer::start("at-yard");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let take_in = |there: &str| {
        let file = format!(
            "item_number,section,nominal,species,grade,length,price,at_yard\n\
             S8,stick,2x4,Hem-Fir,No.2,8 ft,4.00,{there}\n\
             S10,stick,2x4,Hem-Fir,No.2,10 ft,6.00,\n"
        );
        let page = looked(&lead, &job, &yard, file.as_bytes());
        assert_eq!(page.status, 200, "{}", page_errors(&page.body));
        assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    };
    take_in("1");
    let book = bare(&lead.page(&format!("{job}/prices")));
    assert!(book.contains("S8 · 1 at the yard"), "{book}");
    let blocks = [
        ("name", "Blocks"),
        ("week", "1"),
        ("pack", "packing"),
        ("nominal", "2x4"),
        ("count", "2"),
        ("length", "90"),
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
    ];
    add(&lead, &job, "pack", &blocks);
    let list = || bare(&lead.page(&format!("{job}/buy-list?week=1")));
    let said = list();
    assert!(said.contains("1 stick at $4.00"), "{said}");
    assert!(said.contains("1 stick at $6.00"), "{said}");
    take_in("2");
    let said = list();
    assert!(said.contains("2 sticks at $4.00"), "{said}");
    assert!(!said.contains("at $6.00"), "{said}");
    let file = "item_number,section,nominal,length,at_yard\nS8,stick,2x4,8 ft,plenty\n";
    let page = looked(&lead, &job, &yard, file.as_bytes());
    assert_eq!(page.status, 422);
    let said = errors(&page.body);
    assert!(said.contains("Row 2, column 5 (at_yard)"), "{said}");
}

#[test]
fn two_columns_of_one_heading_are_remembered_by_their_order() {
    let server = TestServer::start("same-heading");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    for (name, list, net, words) in [
        ("North Yard", "leave_out", "price", "$4.40 → $4.50"),
        ("South Yard", "price", "leave_out", "$9.40 → $9.50"),
    ] {
        let yard = add(&lead, &job, "supplier", &[("name", name)]);
        let file = b"Item no.,Price,Size,Length,Price\nFR-9,9.40,2x4,10 ft,4.40\n";
        let first = looked(&lead, &job, &yard, file);
        let matched = [
            ("column.0", "item_number"),
            ("column.1", list),
            ("column.2", "nominal"),
            ("column.3", "length"),
            ("column.4", net),
        ];
        let page = chosen(&lead, &first.body, &matched);
        assert_eq!(page.status, 200, "{name}: {}", page_errors(&page.body));
        assert_eq!(save_prices(&lead, &page.body, &[]).status, 303, "{name}");
        let dearer = b"Item no.,Price,Size,Length,Price\nFR-9,9.50,2x4,10 ft,4.50\n";
        let page = looked(&lead, &job, &yard, dearer);
        assert_eq!(page.status, 200, "{name}: {}", page_errors(&page.body));
        assert!(page.body.contains(words), "{name}: {}", page.body);
    }
}

#[test]
fn a_row_without_its_section_is_found_again() {
    let server = TestServer::start("no-section");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let book = |studs: &str| {
        format!("Section,Nominal,Length,Price\nstick,2x4,8 ft,4.35\n,2x4,10 ft,{studs}\n")
    };
    let matched = [("column.1", "nominal"), ("column.2", "length")];
    for (studs, n_added, n_edited) in [("5.35", 2, 0), ("5.35", 2, 0), ("5.50", 2, 1)] {
        let first = looked(&lead, &job, &yard, book(studs).as_bytes());
        let page = chosen(&lead, &first.body, &matched);
        assert_eq!(page.status, 200, "{}", page_errors(&page.body));
        assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
        assert_eq!(count_of(&lead, &job, "price.add"), n_added, "{studs}");
        assert_eq!(count_of(&lead, &job, "price.edit"), n_edited, "{studs}");
    }
    // The same thing twice in one file, once with its section and once without.
    let twice = b"Section,Nominal,Length,Price\nstick,2x4,12 ft,6.35\n,2x4,12 ft,6.40\n";
    let first = looked(&lead, &job, &yard, twice);
    let page = chosen(&lead, &first.body, &matched);
    let said = "Row 3: this is the same thing as row 2";
    assert!(
        errors(&page.body).contains(said),
        "{}",
        page_errors(&page.body)
    );
}

#[test]
fn every_error_is_listed_up_to_a_cap_and_what_is_over_is_counted() {
    let server = TestServer::start("row-cap");
    let lead = server.lead();
    let (job, yard) = yard(&lead);
    let page = chosen(&lead, &looked(&lead, &job, &yard, COMMA).body, &MATCHED);
    assert_eq!(save_prices(&lead, &page.body, &[]).status, 303);
    let head = "Item no.,Description,Size,Length,Price\n";
    let rows = |row: &str, n: usize| {
        let all: String = (0..n).map(|at| row.replace('#', &at.to_string())).collect();
        looked(&lead, &job, &yard, format!("{head}{all}").as_bytes())
    };
    // In two columns of each of 31 rows: 62.
    let answer = rows("N-#,x,two by four,8 ft,cheap\n", 31);
    assert_eq!(answer.status, 422);
    let said = bare(&answer.body);
    assert!(said.contains("Not yet 62"), "{said}");
    assert!(said.contains("Row 2, column 3 (Size)"), "{said}");
    assert!(said.contains("Row 26, column 5 (Price)"), "{said}");
    assert!(!said.contains("Row 27, column"), "{said}");
    assert!(
        said.contains("… and 12 more. The first 50 are listed."),
        "{said}"
    );
    // Rows that go on past the headings: each is named, not the first alone.
    let answer = rows("N-#,x,2x4,8 ft,4.40,more\n", 52);
    assert_eq!(answer.status, 422);
    let said = bare(&answer.body);
    for row in ["Row 2, column 6", "Row 3, column 6", "Row 51, column 6"] {
        assert!(said.contains(row), "{row}: {said}");
    }
    assert!(
        said.contains("… and 2 more. The first 50 are listed."),
        "{said}"
    );
    assert_eq!(count_of(&lead, &job, "price.add"), 2);
}
