//! The yard CSV in each supplier's own way: which columns, their order and headings, and how it is written; and what
//! Python's own reader makes of those of the demo's two yards.

use scantling_takeoff::record::choices;

use super::{add, errors, house, page_errors, start_job};
use crate::support::{Client, TestServer, form};

/// The demo's job, and its suppliers' ids by name.
pub(super) fn demo(client: &Client) -> (String, String, String) {
    let page = client.page("/");
    let from = page.find("href=\"/jobs/").unwrap() + 6;
    let job = page[from..from + page[from..].find('"').unwrap()].to_owned();
    let list = client.page(&format!("{job}/supplier"));
    let id_of = |name: &str| {
        let upto = list.find(name).unwrap();
        let start = list[..upto].rfind("/supplier/").unwrap() + 10;
        list[start..start + 36].to_owned()
    };
    let (ferry, cobble) = (id_of("Ferry Road Yard"), id_of("Cobble &amp; Daughters"));
    (job, ferry, cobble)
}

/// Columns chosen: `item` third under "Description", and so on.
const CHOSEN: [(&str, &str); 10] = [
    ("place.item_number", "1"),
    ("heading.item_number", "SKU"),
    ("place.quantity", "3"),
    ("heading.quantity", "Qty; pcs"),
    ("place.item", "2"),
    ("heading.item", "=Description"),
    ("place.unit_price", "7"),
    ("heading.unit_price", "Each"),
    ("order_separator", "semicolon"),
    ("order_decimal", "comma"),
];

#[test]
fn a_list_of_one_supplier_goes_out_in_its_columns() {
    let server = TestServer::start("yard-csv");
    let lead = server.lead();
    let house = house::planned(&lead);
    let job = &house.job;
    let list = lead.page(&format!("{job}/supplier"));
    let at = list.find("/supplier/").unwrap() + 10;
    let yard = list[at..at + 36].to_owned();
    let columns = format!("{job}/supplier/{yard}/columns");
    let before = lead.page(&format!("{job}/buy-list.csv?week=1"));
    assert!(before.starts_with("section,item,quantity,"), "{before}");
    let home = lead.save(&columns, "columns", &CHOSEN);
    assert_eq!(home, format!("{job}/supplier/{yard}#csv"));
    let answer = lead.get(&format!("{job}/buy-list.csv?week=1"));
    let lines: Vec<&str> = answer.body.split("\r\n").collect();
    assert_eq!(lines[0], "SKU;'=Description;\"Qty; pcs\";Each");
    assert_eq!(
        answer.header("content-disposition"),
        Some("attachment; filename=\"north-yard-week-1.csv\"")
    );
    // The same lines as before: number, item, count and price, a comma before the cents.
    let read = |text: &str, by: u8| -> Vec<Vec<String>> {
        csv::ReaderBuilder::new()
            .delimiter(by)
            .from_reader(text.as_bytes())
            .records()
            .map(|row| row.unwrap().iter().map(str::to_owned).collect())
            .collect()
    };
    let ours: Vec<Vec<String>> = read(&before, b',')
        .into_iter()
        .map(|row| {
            let price = row[4].replace('.', ",");
            vec![row[7].clone(), row[1].clone(), row[2].clone(), price]
        })
        .collect();
    assert_eq!(read(&answer.body, b';'), ours);
    let page = lead.page(&format!("{job}/supplier/{yard}"));
    assert!(page.contains("Qty; pcs"), "{page}");
    assert!(page.contains(&format!(">{}<", ours[0][3])), "{page}");
    // The form holds what was chosen; sent as it is, it changes nothing.
    let (action, held) = form(&lead.page(&columns), "columns");
    let edits = super::count_of(&lead, job, "supplier.edit");
    assert_eq!(lead.post_over(&action, held, &[]).status, 303);
    assert_eq!(super::count_of(&lead, job, "supplier.edit"), edits);
    // None chosen: ours again.
    let none: Vec<(String, String)> = CHOSEN
        .iter()
        .filter(|(name, _)| name.starts_with("place."))
        .map(|(name, _)| ((*name).to_owned(), "0".to_owned()))
        .chain([
            ("order_separator".to_owned(), String::new()),
            ("order_decimal".to_owned(), String::new()),
        ])
        .collect();
    let none: Vec<(&str, &str)> = none.iter().map(|(n, t)| (n.as_str(), t.as_str())).collect();
    lead.save(&columns, "columns", &none);
    assert_eq!(lead.page(&format!("{job}/buy-list.csv?week=1")), before);
}

#[test]
fn columns_that_can_not_be_are_refused_at_their_field_and_stay_as_typed() {
    let server = TestServer::start("yard-csv-bad");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let yard = add(&lead, &job, "supplier", &[("name", "North Yard")]);
    let columns = format!("{job}/supplier/{yard}/columns");
    let long = "x".repeat(201);
    for (fields, said) in [
        (
            vec![
                ("place.item", "1"),
                ("place.unit", "1"),
                ("heading.unit", "UM"),
            ],
            "both stand in place 1",
        ),
        (
            vec![("place.item", "first"), ("heading.unit", "UM")],
            "is no place",
        ),
        (
            vec![
                ("place.item", "1"),
                ("heading.item", long.as_str()),
                ("heading.unit", "UM"),
            ],
            "Write it shorter",
        ),
        (
            vec![
                ("place.item", "1"),
                ("order_decimal", "comma"),
                ("heading.unit", "UM"),
            ],
            "needs a semicolon or a tab",
        ),
    ] {
        let answer = lead.fill(&columns, "columns", &fields);
        assert_eq!(answer.status, 422, "{said}");
        assert!(
            errors(&answer.body).contains(said),
            "{said}: {}",
            page_errors(&answer.body)
        );
        let (_, held) = form(&answer.body, "columns");
        assert_eq!(super::value(&held, "heading.unit"), "UM", "{said}");
    }
    assert_eq!(super::count_of(&lead, &job, "supplier.edit"), 0);
}

#[test]
fn a_list_of_two_yards_is_ours_and_each_yards_own_is_beside_it() {
    let server = TestServer::start_demo("two-yards");
    let lead = server.lead();
    let (job, ferry, cobble) = demo(&lead);
    let both = lead.page(&format!("{job}/buy-list.csv?week=2"));
    assert!(both.starts_with("section,item,quantity,"), "{both}");
    let page = lead.page(&format!("{job}/buy-list?week=2"));
    for (yard, head) in [
        (&ferry, "SKU,Qty,UM,Description,Price each\r\n"),
        (
            &cobble,
            "\u{feff}\"Article; size\";How many;Sold by;In all\r\n",
        ),
    ] {
        let own = format!("{job}/buy-list.csv?week=2&amp;supplier={yard}");
        assert!(page.contains(&own), "{own}");
        let file = lead.page(&own.replace("&amp;", "&"));
        assert!(file.starts_with(head), "{file}");
        assert!(file.lines().count() > 1, "{file}");
    }
    let gone = lead.get(&format!("{job}/buy-list.csv?week=2&supplier={job}"));
    assert_eq!(gone.status, 404);
}

mod python {
    use super::*;
    use crate::cli::run_with;

    /// The rows of our own CSV of a week, every column, whoever sells it.
    fn ours(client: &Client, job: &str, week: &str) -> Vec<Vec<String>> {
        let file = client.page(&format!("{job}/job-file"));
        let asked = ["--show", "buy-list", "--format", "csv", "--weeks", week];
        let csv = run_with(&[&["takeoff", "-"][..], &asked].concat(), &file).fine();
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let heads: Vec<&str> = choices::ORDER_COLUMNS
            .iter()
            .map(|(word, _)| *word)
            .collect();
        assert_eq!(reader.headers().unwrap(), heads);
        let rows = reader.records();
        rows.map(|row| row.unwrap().iter().map(str::to_owned).collect())
            .collect()
    }

    /// Of those rows the lines of one yard, as its own CSV has them: these of our columns.
    fn of_yard(all: &[Vec<String>], yard: &str, columns: &[&str]) -> Vec<Vec<String>> {
        let at = |column: &str| {
            let mut words = choices::ORDER_COLUMNS.iter();
            words.position(|(word, _)| *word == column).unwrap()
        };
        all.iter()
            .filter(|row| row[at("supplier")] == yard)
            .map(|row| {
                columns
                    .iter()
                    .map(|column| row[at(column)].clone())
                    .collect()
            })
            .collect()
    }

    /// What Python's reader makes of a file: its headings and rows, each cell as text.
    fn read(file: &str) -> Vec<Vec<String>> {
        let script = "import csv, io, json, sys\n\
                      data = sys.stdin.buffer.read()\n\
                      text = io.StringIO(data.decode('utf-8-sig'), newline='')\n\
                      by = ';' if b';' in data.split(b'\\r\\n')[0] else ','\n\
                      print(json.dumps(list(csv.reader(text, delimiter=by, strict=True))))";
        serde_json::from_str(&crate::python::run(script, file.as_bytes())).unwrap()
    }

    /// The columns of each yard, its own headings beside ours.
    const FERRY: [(&str, &str); 5] = [
        ("SKU", "item_number"),
        ("Qty", "quantity"),
        ("UM", "unit"),
        ("Description", "item"),
        ("Price each", "unit_price"),
    ];
    const COBBLE: [(&str, &str); 4] = [
        ("Article; size", "item"),
        ("How many", "quantity"),
        ("Sold by", "unit"),
        ("In all", "extension"),
    ];

    /// Headings and rows that a yard's file must have.
    fn expected(all: &[Vec<String>], yard: &str, columns: &[(&str, &str)]) -> Vec<Vec<String>> {
        let (heads, words): (Vec<&str>, Vec<&str>) = columns.iter().copied().unzip();
        let heads = heads.into_iter().map(str::to_owned).collect();
        let rows = of_yard(all, yard, &words);
        std::iter::once(heads).chain(rows).collect()
    }

    #[test]
    fn the_csv_of_each_demo_yard_has_our_own_rows_cell_by_cell_in_python() {
        let server = TestServer::start_demo("two-yards-python");
        let lead = server.lead();
        let (job, ferry, cobble) = demo(&lead);
        let yards = [
            (&ferry, "Ferry Road Yard", FERRY.as_slice()),
            (&cobble, "Cobble & Daughters", COBBLE.as_slice()),
        ];
        let mut n_lines = [0, 0];
        for week in ["2", "3", "4"] {
            let all = ours(&lead, &job, week);
            for ((id, name, columns), n_lines) in yards.iter().zip(&mut n_lines) {
                let file = lead.page(&format!("{job}/buy-list.csv?week={week}&supplier={id}"));
                let rows = read(&file);
                assert_eq!(rows, expected(&all, name, columns), "{name}, week {week}");
                *n_lines += rows.len() - 1;
            }
        }
        assert!(n_lines.iter().all(|n| *n > 3), "{n_lines:?}");
    }

    #[test]
    fn the_csv_of_a_sent_order_has_what_our_own_list_had_cell_by_cell_in_python() {
        let server = TestServer::start_demo("sent-order-python");
        let lead = server.lead();
        let (job, ferry, _) = demo(&lead);
        let (week, before) = ["4", "3", "2"]
            .into_iter()
            .map(|week| {
                (
                    week,
                    expected(&ours(&lead, &job, week), "Ferry Road Yard", &FERRY),
                )
            })
            .find(|(_, rows)| rows.len() > 2)
            .unwrap();
        let page = format!("{job}/order?week={week}");
        let order = lead.save(&page, "f", &[("supplier", &ferry), ("weeks", week)]);
        lead.save(&order, "send", &[]);
        assert_eq!(read(&lead.page(&format!("{order}/csv"))), before);
    }
}
