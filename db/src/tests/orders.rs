//! A yard order in the record: sent once, for good.

use scantling_takeoff::buy::{Item, OrderLine};
use scantling_takeoff::units::Money;

use super::{db, house, id, lead, op, send, send_all};
use crate::{Applied, Db, read_job, who_wrote};

/// A job with a drafted order of week 1.
fn drafted() -> Db {
    let db = db();
    send_all(&db, &house());
    let yard = id("yard").to_string();
    send_all(
        &db,
        &[
            op("supplier.add", "yard", &[("name", "North Yard")]),
            op("order.add", "order", &[("supplier", &yard), ("weeks", "1")]),
        ],
    );
    db
}

fn rope(count: i64) -> String {
    let line = OrderLine {
        item: Item::Sundry {
            name: "rope".to_owned(),
            unit: "each".to_owned(),
        },
        words: "rope".to_owned(),
        count,
        unit: "each".to_owned(),
        per_tenths: 10,
        price: Some(Money::from_cents(250)),
        extension: None,
        number: String::new(),
    };
    line.with_count(count).to_text()
}

fn sending(line: &str, csv: &str) -> scantling_takeoff::record::Op {
    op(
        "order.send",
        "order",
        &[
            ("weeks", "1"),
            ("status", "sent"),
            ("sent", "2026-10-12"),
            ("line", line),
            ("csv", csv),
        ],
    )
}

fn csv(db: &Db) -> Option<String> {
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    let order = job.get(id("order")).unwrap();
    order.text("csv").map(str::to_owned)
}

fn said(answer: &Applied) -> String {
    let Applied::Rejected { problems, .. } = answer else {
        panic!("{answer:?}");
    };
    problems[0].message.clone()
}

#[test]
fn an_order_is_sent_once_and_its_bytes_stay_as_they_are() {
    let db = drafted();
    let bytes = "item,quantity\r\n \"rope\", 2 \r\n\r\n";
    send_all(&db, &[sending(&rope(2), bytes)]);
    assert_eq!(csv(&db).as_deref(), Some(bytes), "to the byte");
    let sent = db
        .read(|tx| who_wrote(tx, id("order"), "sent"))
        .unwrap()
        .map(|(by, _)| by);
    assert_eq!(sent, Some(lead().person));
    assert!(said(&send(&db, &sending(&rope(3), "other"))).contains("sent already"));
    send_all(
        &db,
        &[
            op("order.status", "order", &[("status", "confirmed")]),
            op("order.short", "order", &[("note", "all comes")]),
            op("order.status", "order", &[("status", "received")]),
        ],
    );
    assert!(said(&send(&db, &sending(&rope(4), "other"))).contains("sent already"));
    let off = [("status", "cancelled"), ("reason", "late")];
    assert!(said(&send(&db, &op("order.cancel", "order", &off))).contains("not out"));
    assert_eq!(csv(&db).as_deref(), Some(bytes));
}

#[test]
fn a_draft_that_is_called_off_is_not_sent_any_more() {
    let db = drafted();
    let early = op("order.status", "order", &[("status", "confirmed")]);
    assert!(said(&send(&db, &early)).contains("not out"));
    let off = [("status", "cancelled"), ("reason", "wrong yard")];
    send_all(&db, &[op("order.cancel", "order", &off)]);
    assert!(said(&send(&db, &sending(&rope(2), "late"))).contains("called off"));
    assert_eq!(csv(&db), None);
}

#[test]
fn a_line_of_more_than_a_receipt_takes_is_refused() {
    let db = drafted();
    let many = rope(2).replace(";2;", ";4000000000;");
    assert_ne!(many, rope(2));
    assert!(said(&send(&db, &sending(&many, ""))).contains("Can't read"));
}
