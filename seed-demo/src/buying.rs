//! What lies on hand before week 1, how its list was bought, and what was done with that.
//!
//! The list of the bigger yard goes out as an order, the rest is bought on the way back: what the yard was short of is
//! swapped there, and one box too many goes back. Changes are done as their forms show. Salvage came out of a closet that
//! was taken down earlier. Invented.

mod ordered;
mod trips;

use scantling_takeoff::buy::{DoneForm, Item, done_form};
use scantling_takeoff::needs::FastenerClass;
use scantling_takeoff::units::Money;

use crate::log::Log;
use crate::row::{Part, Plain, Row, id, row, rows};

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

/// Changes of week 1 as they were finished: word, day from the Monday of week 2, what was said.
const DONE: [(&str, i64, &str); 5] = [
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
    ("sister.5", -3, ""),
];

/// What was on hand before the first trip.
pub(crate) fn on_hand() -> Part {
    Part {
        day: -10,
        hour: 17,
        rows: rows(ON_HAND),
    }
}

/// Orders and buys what week 1's list asks for, and marks its changes done as their forms show.
pub(crate) fn week_1(log: &mut Log) {
    ordered::send(log);
    ordered::receive(log);
    trips::on_the_way_back(log);
    for (change, days, note) in DONE {
        let form = done_form(&log.job(), id(change));
        log.write(&Part {
            day: days,
            hour: 20,
            rows: vec![done(change, &form, note)],
        });
    }
    count_nails(log);
    trips::back_to_the_yard(log);
}

/// A count by hand on the Friday: six fewer than the record says.
fn count_nails(log: &mut Log) {
    let class = FastenerClass::new("16d common", "");
    let item = Item::Fastener { class };
    let saw = log.job().ledger.on_hand(&item);
    log.write(&Part {
        day: -3,
        hour: 21,
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

/// Money as it is typed: `11.20`.
fn dollars(money: Money) -> String {
    let cents = money.as_cents();
    format!("{}.{:02}", cents.div_euclid(100), cents.rem_euclid(100))
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
