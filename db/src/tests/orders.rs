//! A yard order in the record: sent once, for good.

use proptest::prelude::*;
use scantling_takeoff::buy::{Item, OrderLine};
use scantling_takeoff::record::Op;
use scantling_takeoff::units::Money;
use uuid::Uuid;

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

fn sending(line: &str, csv: &str) -> Op {
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

/// What an order keeps of the papers that were sent, and what they say.
fn papers(db: &Db) -> Vec<(String, Vec<String>)> {
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    let order = job.get(id("order")).unwrap();
    ["csv", "text", "print", "line", "sent", "weeks"]
        .map(|field| {
            let texts = order.texts(field).into_iter().map(str::to_owned);
            (field.to_owned(), texts.collect())
        })
        .to_vec()
}

/// What people do around a sent order, by a number; its id tells the same act done twice apart.
fn around(at: usize, what: u8, count: i64) -> Op {
    let (yard, order) = (id("yard").to_string(), id("order").to_string());
    let (next, receipt) = (format!("order {at}"), id("slip").to_string());
    let (n, line, price) = (count.to_string(), rope(count), format!("{count}.25"));
    let item = "sundry;rope;each";
    let bought = format!("line {at}");
    let send = |thing: &str, more: &[(&str, &str)]| {
        let mut fields = vec![
            ("weeks", "1"),
            ("status", "sent"),
            ("sent", "2026-10-19"),
            ("line", &line),
            ("csv", "other"),
            ("text", "other"),
            ("print", "other"),
        ];
        fields.extend(more);
        op("order.send", thing, &fields)
    };
    let made = match what {
        0 => send("order", &[]),
        1 => op(
            "order.status",
            "order",
            &[("status", "confirmed"), ("note", &n)],
        ),
        2 => op(
            "order.status",
            "order",
            &[("status", "received"), ("note", &n)],
        ),
        3 => op("order.short", "order", &[("item", item), ("back", &n)]),
        4 => op(
            "order.cancel",
            "order",
            &[("status", "cancelled"), ("reason", &n)],
        ),
        5 => op(
            "supplier.edit",
            "yard",
            &[("name", &next), ("order_separator", "semicolon")],
        ),
        6 => op(
            "receipt.add",
            "slip",
            &[("supplier", &yard), ("order", &order)],
        ),
        7 => op(
            "bought.add",
            &bought,
            &[
                ("receipt", &receipt),
                ("item", item),
                ("weeks", "1"),
                ("count", &n),
                ("price", &price),
                ("order", &order),
            ],
        ),
        8 => op(
            "bought.reverse",
            &format!("line {}", at.saturating_sub(1)),
            &[],
        ),
        9 => op(
            "order.add",
            &next,
            &[("supplier", &yard), ("weeks", "1"), ("revises", &order)],
        ),
        10 => send(
            &format!("order {}", at.saturating_sub(1)),
            &[("revises", &order)],
        ),
        11 => op("job.edit", "house", &[("tax", &n)]),
        12 => op(
            "price.add",
            &next,
            &[
                ("supplier", &yard),
                ("section", "sundry"),
                ("name", "rope"),
                ("sold_by", "each"),
                ("price", &price),
            ],
        ),
        _ => op(
            "stock.count",
            &next,
            &[
                ("item", item),
                ("saw", "0"),
                ("counted", &n),
                ("reason", "by hand"),
            ],
        ),
    };
    Op {
        op_id: Uuid::new_v5(&made.op_id, &at.to_be_bytes()),
        ..made
    }
}

proptest! {
    /// Law 7 of buying.
    #[test]
    fn whatever_is_done_afterwards_the_bytes_that_were_sent_stay(
        csv in "[a-z][ -~\r\n\t½é″;]{0,60}", text in "[a-z][ -~\n½]{0,60}", print in "[a-z][ -~<>&]{0,60}", count in 1_i64..9,
        acts in prop::collection::vec((0_u8..=13, 1_i64..6), 1..20),
    ) {
        let db = drafted();
        let fields = [
            ("weeks", "1"), ("status", "sent"), ("sent", "2026-10-12"), ("line", &rope(count)), ("csv", &csv), ("text", &text), ("print", &print),
        ];
        send_all(&db, &[op("order.send", "order", &fields)]);
        let sent = papers(&db);
        for (field, wanted) in [("csv", &csv), ("text", &text), ("print", &print)] {
            let kept = sent.iter().find(|(name, _)| name == field).map(|(_, texts)| texts.concat());
            prop_assert_eq!(kept.as_ref(), Some(wanted));
        }
        for (at, (what, n)) in acts.into_iter().enumerate() {
            // Refused or taken: both are well.
            let _answer = send(&db, &around(at, what, n));
            prop_assert_eq!(&papers(&db), &sent);
        }
    }
}
