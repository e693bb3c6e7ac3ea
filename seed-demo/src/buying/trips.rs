//! The way back from the bigger yard: the other one's part of the list, what the first was short of in another length, and
//! a box too many, which goes back on the Saturday, with the longer stick, whose spare nobody needed. Invented.

use scantling_takeoff::buy::{BuyLine, Item, Offer, PriceBook, buy_list, receipt_sums};
use scantling_takeoff::record::{Job, Kind};
use scantling_takeoff::units::{Length, decimal_text};

use super::dollars;
use crate::log::Log;
use crate::row::{Part, Row, day, id, row};

const SUPPLIER: &str = "supplier.cobble";
const RECEIPT: &str = "receipt.cobble";
const RETURN: &str = "receipt.cobble.back";
/// Words of the line that brought the box too many, and of the one that takes it back.
const EXTRA: &str = "receipt.cobble extra";
const RETURN_LINE: &str = "receipt.cobble.back line";

/// The box too many: one lay in the shed already.
const TOO_MANY: &str = "dust mask";

/// Buys what the list still asks for: as listed, and where the yard has it in another length only, in that one.
pub(super) fn on_the_way_back(log: &mut Log) {
    let job = log.job();
    let mut all = vec![receipt(
        log,
        RECEIPT,
        -7,
        "On the way back, with a 12 ft 2×8 for the 10 ft one that Ferry Road was short of.",
    )];
    let list = buy_list(&job, &[1]);
    for line in list.lines.iter().filter(|line| line.to_buy > 0) {
        if line.supplier.as_deref() == Some(job.name(id(SUPPLIER))) {
            all.push(as_listed(line));
        } else {
            all.extend(longer(&job, &line.item).map(|offer| swapped(line, &offer)));
        }
    }
    all.extend(too_many(&job).map(|offer| bought((RECEIPT, EXTRA), &offer, 1, &[])));
    log.write(&Part {
        day: -7,
        hour: 15,
        rows: all,
    });
    print_total(log, RECEIPT, (-7, 16));
}

/// Takes the box too many back, and the spare that was not cut into.
pub(super) fn back_to_the_yard(log: &mut Log) {
    let job = log.job();
    let mut all = vec![receipt(
        log,
        RETURN,
        -2,
        "Masks: a box lay in the shed. The spare 2×8: not one cut went wrong.",
    )];
    let returned = |word: &str, of: &str, offer: &Offer| {
        let line = format!("@{of}");
        bought(
            (RETURN, word),
            offer,
            1,
            &[("way", "returned"), ("returns", &line)],
        )
    };
    all.extend(too_many(&job).map(|offer| returned(RETURN_LINE, EXTRA, &offer)));
    all.extend(spare(&job).map(|offer| {
        let key = offer.item.to_key();
        returned(
            &format!("{RETURN} {key}"),
            &format!("{RECEIPT} {key}"),
            &offer,
        )
    }));
    log.write(&Part {
        day: -2,
        hour: 10,
        rows: all,
    });
    print_total(log, RETURN, (-2, 11));
}

/// A slip of the yard.
fn receipt(log: &Log, word: &str, days: i64, note: &str) -> Row {
    row(&(
        "receipt.add",
        word,
        &[
            ("supplier", &format!("@{SUPPLIER}")),
            ("day", &day(log.monday, days)),
            ("week", "1"),
            ("tax", "6.5"),
            ("note", note),
        ],
    ))
}

/// The yard's shortest stick of the same that is longer.
fn longer(job: &Job, asked: &Item) -> Option<Offer> {
    let length = |item: &Item| match item {
        Item::Stick { length, .. } => *length,
        _ => Length::ZERO,
    };
    let here = PriceBook::of(job).offers.into_iter().filter(|offer| {
        let is_longer = length(&offer.item) > length(asked);
        offer.supplier == job.name(id(SUPPLIER)) && is_longer && offer.item.class() == asked.class()
    });
    here.min_by_key(|offer| length(&offer.item))
}

/// The box too many, as the yard sells it.
fn too_many(job: &Job) -> Option<Offer> {
    let mut offers = PriceBook::of(job).offers.into_iter();
    offers.find(|offer| matches!(&offer.item, Item::Sundry { name, .. } if name == TOO_MANY))
}

/// The longer stick that was bought instead of one that the bigger yard was short of, as the yard sells it.
fn spare(job: &Job) -> Option<Offer> {
    let mut lines = job.all(Kind::Bought);
    let swap = lines.find(|line| line.text("instead_of").is_some())?;
    let mut offers = PriceBook::of(job).offers.into_iter();
    offers.find(|offer| {
        offer.supplier == job.name(id(SUPPLIER)) && swap.says("item", &offer.item.to_key())
    })
}

/// As many as a line still asks for, of what the yard has instead.
fn swapped(line: &BuyLine, offer: &Offer) -> Row {
    let word = format!("{RECEIPT} {}", offer.item.to_key());
    let more = [("instead_of", &line.item.to_key()[..])];
    bought((RECEIPT, &word), offer, line.to_buy, &more)
}

/// A line of a receipt by a row of the price book, with what more is said of it.
fn bought((receipt, word): (&str, &str), offer: &Offer, count: i64, more: &[(&str, &str)]) -> Row {
    let per = offer.per_tenths.filter(|_| !offer.item.has_rows());
    let (receipt, key) = (format!("@{receipt}"), offer.item.to_key());
    let (count, per) = (count.to_string(), per.map(|per| decimal_text(per, 1)));
    let price = offer.unit_price().map(dollars);
    let mut fields = vec![
        ("receipt", &receipt[..]),
        ("item", &key),
        ("weeks", "1"),
        ("count", &count),
        ("per", per.as_deref().unwrap_or("")),
        ("price", price.as_deref().unwrap_or("")),
    ];
    fields.extend(more);
    row(&("bought.add", word, &fields))
}

/// A line bought as listed.
fn as_listed(line: &BuyLine) -> Row {
    let key = line.item.to_key();
    let price_by = line.by_the_foot.map_or("", |_| "foot");
    row(&(
        "bought.add",
        &format!("{RECEIPT} {key}"),
        &[
            ("receipt", &format!("@{RECEIPT}")),
            ("item", &key),
            ("weeks", "1"),
            ("count", &line.to_buy.to_string()),
            ("per", &decimal_text(line.per_tenths, 1)),
            ("price", &line.unit_price.map_or(String::new(), dollars)),
            ("price_by", price_by),
        ],
    ))
}

/// The total as the paper says, without a sign: what the lines and the tax come to.
fn print_total(log: &mut Log, receipt: &str, (day, hour): (i64, usize)) {
    let job = log.job();
    let total = job
        .get(id(receipt))
        .map(|record| receipt_sums(&job, record).total);
    let rows = total
        .map(|total| {
            let paper = dollars(if total < -total { -total } else { total });
            row(&("receipt.edit", receipt, &[("total", &paper)]))
        })
        .into_iter()
        .collect();
    log.write(&Part { day, hour, rows });
}
