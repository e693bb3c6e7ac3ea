//! What lies on hand before week 1, the receipts of its trips, and what was done with them.
//!
//! Trips buy what the list of week 1 asks for, as listed, each at its supplier; changes are done as their forms show.
//! Salvage came out of a closet that was taken down earlier. Invented.

use scantling_takeoff::buy::{BuyLine, DoneForm, Item, buy_list, done_form, receipt_sums};
use scantling_takeoff::needs::FastenerClass;
use scantling_takeoff::units::decimal_text;

use crate::log::Log;
use crate::row::{Part, Plain, Row, day, id, row, rows};

const ON_HAND: &[Plain] = &[
    (
        "stock.add",
        "stock.salvage.studs",
        &[
            ("section", "stick"),
            ("nominal", "2x4"),
            ("thickness", "1 7/8"),
            ("depth", "3 7/8"),
            ("species", "Douglas Fir-Larch"),
            ("grade", "not graded"),
            ("length", "93 1/2"),
            ("count", "9"),
            ("salvage", "yes"),
            ("sound", "yes"),
            ("lies", "Shed, left rack"),
            ("reason", "Closet of the front bedroom, nails pulled"),
        ],
    ),
    (
        "stock.add",
        "stock.salvage.rafters",
        &[
            ("section", "stick"),
            ("nominal", "2x6"),
            ("thickness", "1 7/8"),
            ("depth", "5 3/4"),
            ("species", "Douglas Fir-Larch"),
            ("grade", "not graded"),
            ("length", "70"),
            ("count", "3"),
            ("salvage", "yes"),
            ("sound", "no"),
            ("lies", "Shed, behind the door"),
            ("reason", "Porch roof, nails still in"),
        ],
    ),
    (
        "stock.add",
        "stock.offcut.2x4",
        &[
            ("section", "stick"),
            ("nominal", "2x4"),
            ("species", "Douglas Fir-Larch"),
            ("grade", "No.2"),
            ("treatment", "none"),
            ("length", "61 1/2"),
            ("count", "2"),
            ("salvage", "no"),
            ("lies", "Kitchen, by the window"),
            ("reason", "Left over from the closet"),
        ],
    ),
    (
        "stock.add",
        "stock.offcut.2x8",
        &[
            ("section", "stick"),
            ("nominal", "2x8"),
            ("species", "Douglas Fir-Larch"),
            ("grade", "No.2"),
            ("treatment", "none"),
            ("length", "38 1/4"),
            ("count", "1"),
            ("salvage", "no"),
            ("lies", "Shed, left rack"),
            ("reason", "Left over from the porch"),
        ],
    ),
    (
        "stock.add",
        "stock.16d",
        &[
            ("section", "fastener"),
            ("fastener", "16d common"),
            ("count", "85"),
            ("lies", "Blue bucket"),
            ("reason", "Left over, counted"),
        ],
    ),
    (
        "stock.add",
        "stock.screw.3",
        &[
            ("section", "fastener"),
            ("fastener", "screw 3 in"),
            ("count", "140"),
            ("lies", "Blue bucket"),
            ("reason", "Left over, counted"),
        ],
    ),
    (
        "stock.add",
        "stock.mask",
        &[
            ("section", "sundry"),
            ("name", "dust mask"),
            ("unit", "box"),
            ("count", "1"),
            ("reason", "Left over, unopened"),
        ],
    ),
];

/// The trips of week 1: word of the receipt, supplier, note.
const TRIPS: [(&str, &str, &str); 2] = [
    (
        "receipt.ferry",
        "supplier.ferry",
        "Trip with the trailer, Monday first thing.",
    ),
    ("receipt.cobble", "supplier.cobble", "On the way back."),
];

/// Changes of week 1 as they were finished: word, day from the Monday of week 2, what was said.
const DONE: [(&str, i64, &str); 4] = [
    ("sundry.sheeting", -7, "Both rolls up."),
    (
        "post.cellar",
        -6,
        "Base set in the pad, post plumb, tight under the girder.",
    ),
    ("block.1", -5, ""),
    (
        "sister",
        -4,
        "Went in from the stair side, no trimming needed.",
    ),
];

/// What was on hand before the first trip.
pub(crate) fn on_hand() -> Part {
    Part {
        day: -10,
        hour: 17,
        rows: rows(ON_HAND),
    }
}

/// Buys what week 1's list asks for, as listed, and marks its changes done as their forms show.
pub(crate) fn week_1(log: &mut Log) {
    for (n, (receipt, supplier, note)) in TRIPS.into_iter().enumerate() {
        let list = buy_list(&log.job(), &[1]);
        let name = log.job().name(id(supplier)).to_owned();
        let on = day(log.monday, -7);
        let named = format!("@{supplier}");
        let mut all = vec![row(&(
            "receipt.add",
            receipt,
            &[
                ("supplier", &named),
                ("day", &on),
                ("week", "1"),
                ("tax", "6.5"),
                ("note", note),
            ],
        ))];
        let lines = list.lines.iter().filter(|line| line.to_buy > 0);
        let here = lines.filter(|line| line.supplier.as_deref() == Some(&name));
        all.extend(here.map(|line| as_listed(receipt, line)));
        log.write(&Part {
            day: -7,
            hour: 12 + 3 * n,
            rows: all,
        });
        print_total(log, receipt, 13 + 3 * n);
    }
    for (change, days, note) in DONE {
        let form = done_form(&log.job(), id(change));
        log.write(&Part {
            day: days,
            hour: 20,
            rows: vec![done(change, &form, note)],
        });
    }
    count_nails(log);
}

/// A count by hand on the Friday: six fewer than the record says.
fn count_nails(log: &mut Log) {
    let class = FastenerClass::new("16d common", "");
    let item = Item::Fastener { class };
    let saw = log.job().ledger.on_hand(&item);
    log.write(&Part {
        day: -3,
        hour: 20,
        rows: vec![row(&(
            "stock.count",
            "stock.16d",
            &[
                ("item", &item.to_key()),
                ("saw", &saw.to_string()),
                ("counted", &(saw - 6).to_string()),
                ("reason", "Bucket went over in the cellar"),
            ],
        ))],
    });
}

/// A line of a receipt, bought as listed.
fn as_listed(receipt: &str, line: &BuyLine) -> Row {
    let key = line.item.to_key();
    let per = match line.per_tenths {
        10 => String::new(),
        tenths => decimal_text(tenths, 1),
    };
    let price = line
        .unit_price
        .map_or(String::new(), |price| decimal_text(price.as_cents(), 2));
    let price_by = line.by_the_foot.map_or("", |_| "foot");
    row(&(
        "bought.add",
        &format!("{receipt} {key}"),
        &[
            ("receipt", &format!("@{receipt}")),
            ("item", &key),
            ("weeks", "1"),
            ("count", &line.to_buy.to_string()),
            ("per", &per),
            ("price", &price),
            ("price_by", price_by),
        ],
    ))
}

/// The total as the paper says: what the lines and the tax come to.
fn print_total(log: &mut Log, receipt: &str, hour: usize) {
    let job = log.job();
    let Some(record) = job.get(id(receipt)) else {
        return;
    };
    let total = decimal_text(receipt_sums(&job, record).total.as_cents(), 2);
    log.write(&Part {
        day: -7,
        hour,
        rows: vec![row(&("receipt.edit", receipt, &[("total", &total)]))],
    });
}

/// A change done, as its form shows.
fn done(change: &str, form: &DoneForm, note: &str) -> Row {
    let mut fields = Vec::new();
    let mut say = |name: &str, text: String| fields.push((name.to_owned(), text));
    for stick in &form.sticks {
        say("stick", stick.key.clone());
        say("offcut", stick.offcut.clone());
    }
    for used in &form.counts {
        say("item", used.to_key());
        say("used", used.count.to_string());
    }
    if !note.is_empty() {
        say("note", note.to_owned());
    }
    Row {
        op: "change.done".to_owned(),
        word: change.to_owned(),
        fields,
    }
}
