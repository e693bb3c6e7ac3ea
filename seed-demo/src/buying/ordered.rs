//! Week 1's order to the bigger yard: drafted and sent on the Friday, confirmed, and received short on the Monday.
//!
//! These are the entries that the pages' own forms make: a draft, its lines as they are sent, and of what came a receipt,
//! its lines, what is short and the order's end. The papers of a sent order are the server's, and are put in there.
//! Invented.

use scantling_takeoff::buy::{OrderLine, draft_lines, order_lines};
use scantling_takeoff::units::{Money, decimal_text};

use super::dollars;
use crate::log::Log;
use crate::row::{Part, Row, day, id, row};

/// Words of the order, of its supplier and of its receipt.
const ORDER: &str = "order.ferry";
const SUPPLIER: &str = "@supplier.ferry";
const RECEIPT: &str = "receipt.ferry";

/// What the yard was short of, by its item number, and how many did not come.
const SHORT: (&str, i64) = ("FR-2x8-10", 1);

/// Drafts the order of all that week 1's list has of the yard, sends it as it stands, and has it confirmed.
pub(super) fn send(log: &mut Log) {
    write(
        log,
        (-10, 18),
        vec![row(&(
            "order.add",
            ORDER,
            &[("supplier", SUPPLIER), ("weeks", "1")],
        ))],
    );
    let on = day(log.monday, -10);
    let mut fields = vec![("weeks", "1"), ("status", "sent"), ("sent", &on)];
    let lines: Vec<String> = drafted(log).iter().map(OrderLine::to_text).collect();
    fields.extend(lines.iter().map(|line| ("line", &line[..])));
    write(
        log,
        (-10, 19),
        vec![row(&("order.send", ORDER, &fields[..]))],
    );
    write(
        log,
        (-9, 9),
        vec![row(&("order.status", ORDER, &[("status", "confirmed")]))],
    );
}

/// The lines that its draft shows.
fn drafted(log: &Log) -> Vec<OrderLine> {
    let job = log.job();
    let lines = job.get(id(ORDER)).map(|order| draft_lines(&job, order));
    lines.iter().flatten().map(OrderLine::of).collect()
}

/// Books what came on the first trip; what the yard was short of goes back to the list.
pub(super) fn receive(log: &mut Log) {
    let job = log.job();
    let sent = job.get(id(ORDER)).map_or_else(Vec::new, order_lines);
    let came: Vec<OrderLine> = sent.iter().map(|line| came_of(line.clone())).collect();
    let sum: Money = came.iter().filter_map(|line| line.extension).sum();
    let tax = job.settings.tax.map_or(Money::ZERO, |rate| rate.on(sum));
    let order = format!("@{ORDER}");
    let mut all = vec![row(&(
        "receipt.add",
        RECEIPT,
        &[
            ("order", &order),
            ("supplier", SUPPLIER),
            ("week", "1"),
            ("day", &day(log.monday, -7)),
            ("total", &dollars(sum + tax)),
            ("tax", "6.5"),
        ],
    ))];
    all.extend(came.iter().filter(|line| line.count > 0).map(came_row));
    let short = sent.iter().filter(|line| line.number == SHORT.0);
    all.extend(short.map(|line| {
        let fields = [
            ("item", &line.item.to_key()[..]),
            ("back", &SHORT.1.to_string()),
        ];
        row(&("order.short", ORDER, &fields))
    }));
    all.push(row(&("order.status", ORDER, &[("status", "received")])));
    write(log, (-7, 12), all);
}

/// A line with how many came of it.
fn came_of(line: OrderLine) -> OrderLine {
    let short = if line.number == SHORT.0 { SHORT.1 } else { 0 };
    let came = line.count - short;
    line.with_count(came)
}

/// A line of the receipt that came with the order.
fn came_row(line: &OrderLine) -> Row {
    let key = line.item.to_key();
    let (order, receipt) = (format!("@{ORDER}"), format!("@{RECEIPT}"));
    let per = if line.item.has_rows() {
        String::new()
    } else {
        decimal_text(line.per_tenths, 1)
    };
    row(&(
        "bought.add",
        &format!("{RECEIPT} {key}"),
        &[
            ("receipt", &receipt),
            ("order", &order),
            ("item", &key),
            ("weeks", "1"),
            ("count", &line.count.to_string()),
            ("per", &per),
            ("price", &line.price.map_or(String::new(), dollars)),
        ],
    ))
}

fn write(log: &mut Log, (day, hour): (i64, usize), rows: Vec<Row>) {
    log.write(&Part { day, hour, rows });
}
