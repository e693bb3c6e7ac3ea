//! One line of a list, told in full: each figure down to needs, sticks, orders and receipts; swap and return.

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{
    BuyLine, Cause, Item, Movement, Offer, PriceBook, StockRow, as_list, bought_twice, buy_list,
    order_lines, ordered_lines,
};
use scantling_takeoff::needs::{self, Sum, result, sum};
use scantling_takeoff::record::{FieldProblem, Job, Kind, Record};
use scantling_takeoff::units::{Money, decimal_text};
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::pages::line as view;
use scantling_web::parts::form::{FieldView, Form, Input};
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::buy_list::{plain_money, query};
use super::{materials, order, orders, rows, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::state::State;

/// Which form was refused, with what was typed and what is wrong.
pub(crate) struct Refused<'a> {
    /// `swap`, `back` or `listed`.
    pub(crate) form: &'static str,
    /// As it was sent.
    pub(crate) posted: &'a Posted,
    /// What is wrong.
    pub(crate) problems: Vec<FieldProblem>,
    /// What is said of a swap that would not serve: it can be recorded all the same.
    pub(crate) said: Vec<String>,
}

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    path: web::Path<(Uuid, Uuid)>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let (job, weeks) = materials::job_and_weeks(&state, job, &asked).await?;
    let item = find(&job, &weeks, id).ok_or(HttpError::NotFound)?;
    let asked = Posted(asked.into_inner());
    let order = order_asked(&job, &asked);
    Ok(html(page(&job, &weeks, &item, order, None)))
}

/// The order that something else came with, if the address or a form says one.
pub(crate) fn order_asked<'a>(job: &'a Job, asked: &Posted) -> Option<&'a Record> {
    let id = Uuid::parse_str(asked.typed("order")?).ok()?;
    job.get(id).filter(|record| record.kind == Kind::Order)
}

/// Where what came instead of a line of an order is booked.
pub(crate) fn swap_href(job: &Job, order: &Record, item: &Item) -> String {
    let weeks = order.weeks();
    format!("{}&order={}#swap", href(job, &weeks, item), order.id)
}

/// A line of an order with as many as it still brings; none where it brings no more of it.
fn still_ordered(job: &Job, order: &Record, item: &Item) -> Option<BuyLine> {
    let lines = ordered_lines(job, order);
    let list = as_list(job, order, &order_lines(order)).lines;
    let mut all = lines.iter().zip(&list);
    all.find(|(line, _)| line.line.item == *item && line.to_come_pieces > 0)
        .map(|(line, listed)| order::still_to_come(listed, line))
}

/// An item's id in addresses: it has no thing of its own in the record.
fn id_of(job: &Job, item: &Item) -> Uuid {
    Uuid::new_v5(&job.id, item.to_key().as_bytes())
}

/// The item of an address: in the ledger, on a list, on an order, or in the price book.
pub(crate) fn find(job: &Job, weeks: &[u32], id: Uuid) -> Option<Item> {
    let is_it = |item: &Item| id_of(job, item) == id;
    job.ledger
        .items()
        .into_iter()
        .find(|item| is_it(item))
        .cloned()
        .or_else(|| {
            let lines = buy_list(job, weeks).lines;
            lines.into_iter().map(|line| line.item).find(is_it)
        })
        .or_else(|| {
            let mut ordered = job.ledger.orders.iter().map(|order| &order.item);
            ordered.find(|item| is_it(item)).cloned()
        })
        .or_else(|| {
            let offers = PriceBook::of(job).offers;
            offers.into_iter().map(|offer| offer.item).find(is_it)
        })
}

/// Its address.
pub(crate) fn href(job: &Job, weeks: &[u32], item: &Item) -> String {
    format!("{}?week={}", base(job, item), query(weeks))
}

/// The addresses of a week's lines.
pub(crate) fn of_week(job: &Job, week: u32) -> Vec<String> {
    let lines = buy_list(job, &[week]).lines;
    lines
        .iter()
        .map(|line| href(job, &[week], &line.item))
        .collect()
}

fn base(job: &Job, item: &Item) -> String {
    format!("/jobs/{}/line/{}", job.id, id_of(job, item))
}

/// It, as it was sent where a form was refused.
pub(crate) fn page(
    job: &Job,
    weeks: &[u32],
    item: &Item,
    order: Option<&Record>,
    refused: Option<&Refused<'_>>,
) -> Page {
    let list = buy_list(job, weeks);
    let lines: Vec<&BuyLine> = list
        .lines
        .iter()
        .filter(|line| line.item == *item)
        .collect();
    let words = item.words(job);
    let mut shell = shell::shell(job, &words, "/buy-list", clock::today());
    if refused.is_some() {
        shell.note = Some(shell::refused_note());
    }
    let mut forms = Vec::new();
    let ordered = order.and_then(|order| Some((order, still_ordered(job, order, item)?)));
    if let Some((order, line)) = ordered {
        forms.push(swap_of_order(job, order, swap(job, weeks, &line, refused)));
    } else if let Some(line) = lines.iter().find(|line| line.to_buy > 0) {
        forms.push(swap(job, weeks, line, refused));
    }
    if job.ledger.on_hand(item) > 0 {
        forms.push(back(job, weeks, item, refused));
    }
    forms.extend(listed(job, weeks, item, &lines, refused));
    let view = view::View {
        up: match order {
            Some(order) => (
                format!("/jobs/{}/order/{}", job.id, order.id),
                orders::name(job, order),
            ),
            None => (
                format!("/jobs/{}/buy-list?week={}", job.id, query(weeks)),
                "Buy list".to_owned(),
            ),
        },
        sub: format!("Work week {}", query(weeks)),
        said: bought_twice(job, weeks, item).map_or_else(String::new, twice_words),
        figures: figures(job, weeks, item, &lines),
        why: lines.first().map_or_else(Vec::new, |line| line.why.clone()),
        needs: needed(job, weeks, item, &lines),
        here: here(job, item),
        moves: moves(job, item),
        orders: ordered_rows(job, item),
        receipts: receipts(job, item),
        forms,
        shell,
    };
    view::page(&view)
}

fn figures(job: &Job, weeks: &[u32], item: &Item, lines: &[&BuyLine]) -> Vec<Sum> {
    let of = |pick: fn(&BuyLine) -> i64| lines.iter().map(|line| pick(line)).sum::<i64>();
    let bought = job.ledger.bought_for(item, weeks);
    let mut all = vec![
        sum("From on hand", of(|line| line.from_on_hand).to_string(), ""),
        sum("From orders", of(|line| line.from_ordered).to_string(), ""),
        sum(
            "Still to buy",
            of(|line| line.short).to_string(),
            unit_note(lines),
        ),
        result("Needed", of(|line| line.needed).to_string(), ""),
        sum(
            "Bought for this, less returned",
            bought.to_string(),
            "history: it is counted under on hand, or used",
        ),
        sum(
            "On hand, all weeks",
            job.ledger.on_hand(item).to_string(),
            "",
        ),
    ];
    if let Some(kept) = job.ledger.kept_of(weeks) {
        let needed: i64 = kept
            .lines
            .iter()
            .filter(|line| line.item == *item)
            .map(|line| line.needed)
            .sum();
        all.push(sum(
            "Needed by the kept list",
            needed.to_string(),
            format!("revision {}", kept.revision),
        ));
    }
    let missing = job.ledger.missing(item);
    if missing > 0 {
        all.push(sum(
            "Missing",
            missing.to_string(),
            "used before it was booked: book the receipt, or count",
        ));
    }
    all
}

fn unit_note(lines: &[&BuyLine]) -> String {
    lines
        .iter()
        .filter(|line| line.to_buy > 0)
        .map(|line| super::buy_list::count_words(line))
        .collect::<Vec<_>>()
        .join(", ")
}

/// The needs of its class in these weeks; of a stick those of the changes that this length is for.
fn needed(job: &Job, weeks: &[u32], item: &Item, lines: &[&BuyLine]) -> Vec<Row> {
    let wanted: Vec<Uuid> = lines
        .iter()
        .flat_map(|line| line.changes.iter().copied())
        .collect();
    let class = item.class();
    needs::needs(job, weeks)
        .iter()
        .filter(|takeoff| wanted.contains(&takeoff.change))
        .flat_map(|takeoff| {
            takeoff
                .needs
                .iter()
                .filter(|need| need.class == class)
                .map(move |need| (takeoff.change, need))
        })
        .filter_map(|(change, need)| {
            let record = job.get(change)?;
            let cut = need
                .cut
                .map_or_else(String::new, |cut| format!(", cut {}", cut.feet_inches()));
            Some(Row {
                href: format!("/jobs/{}/{}/{}", job.id, record.kind, record.id),
                name: need.title.clone(),
                second: format!("{}{cut}", record.name()),
                value: need.count.to_string(),
                ..Row::default()
            })
        })
        .collect()
}

/// Like sticks as one row: where they come from, where they lie, what they are kept for.
fn here(job: &Job, item: &Item) -> Vec<Row> {
    let mut groups: Vec<((String, String), i64)> = Vec::new();
    for row in job.ledger.here().filter(|row| row.item == *item) {
        let key = (came_from(job, row), kept_for(job, row));
        match groups.iter_mut().find(|(known, _)| *known == key) {
            Some((_, n)) => *n += 1,
            None => groups.push((key, 1)),
        }
    }
    if !item.has_rows() {
        let n = job.ledger.on_hand(item);
        if n != 0 {
            groups.push((("Counted".to_owned(), String::new()), n));
        }
    }
    groups
        .into_iter()
        .map(|((from, kept), n)| Row {
            name: from,
            second: kept,
            value: n.to_string(),
            ..Row::default()
        })
        .collect()
}

/// Where a stick comes from, in words.
pub(crate) fn came_from(job: &Job, row: &StockRow) -> String {
    let movement = job
        .ledger
        .movements
        .iter()
        .find(|m| m.row == Some(row.id) && m.count > 0);
    let lies = if row.lies.is_empty() {
        String::new()
    } else {
        format!(", {}", row.lies)
    };
    let from = match movement.map(|m| (m.cause, m.about)) {
        Some((Cause::Bought, line)) => {
            let receipt = job
                .get(line)
                .and_then(|line| job.get(line.to("receipt")?))
                .map(|receipt| receipt_words(job, receipt));
            format!(
                "Bought{}",
                receipt.map_or(String::new(), |r| format!(", {r}"))
            )
        }
        Some((Cause::Salvaged, about)) => format!("Salvage from {}", job.name(about)),
        Some((Cause::GivenBack, about)) if row.cut_from.is_some() => {
            format!("Left over from {}", job.name(about))
        }
        Some((Cause::GivenBack, about)) => format!("Struck from {}", job.name(about)),
        _ if row.salvage => "Salvage".to_owned(),
        _ => "Counted in".to_owned(),
    };
    format!("{from}{lies}")
}

/// The changes whose pieces lie on a stick, by name; those that were dropped have none there any more.
pub(crate) fn changes_of<'a>(job: &'a Job, row: &StockRow) -> Vec<&'a str> {
    let mut names: Vec<&str> = row
        .pieces
        .iter()
        .filter_map(|piece| job.get(piece.change))
        .filter(|change| change.state != "dropped")
        .map(Record::name)
        .collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// What a stick is kept for, in words.
pub(crate) fn kept_for(job: &Job, row: &StockRow) -> String {
    if row.salvage && !row.sound {
        return "Not called sound and nail-free yet: it serves nothing".to_owned();
    }
    let names = changes_of(job, row);
    match (names.is_empty(), row.waste) {
        (false, _) => format!("Kept for {}", names.join(", ")),
        (true, true) => "Spare, for waste".to_owned(),
        (true, false) => "Free".to_owned(),
    }
}

/// A receipt in words: supplier and day, as in `North Yard, Nov 16`.
pub(crate) fn receipt_words(job: &Job, receipt: &Record) -> String {
    let supplier = receipt
        .to("supplier")
        .map_or_else(|| "no supplier".to_owned(), |id| job.name(id).to_owned());
    match receipt.text("day").map(clock::stamp_day) {
        Some(day) if !day.is_empty() => format!("{supplier}, {day}"),
        _ => supplier,
    }
}

fn ordered_rows(job: &Job, item: &Item) -> Vec<Row> {
    job.all(Kind::Order)
        .filter_map(|order| {
            let n = job.ledger.ordered_by(order.id, item);
            let supplier = order.to("supplier").map_or("", |id| job.name(id));
            (n > 0).then(|| Row {
                href: format!("/jobs/{}/order/{}", job.id, order.id),
                name: format!("Order to {supplier}"),
                second: order.text("sent").unwrap_or("").to_owned(),
                value: n.to_string(),
                ..Row::default()
            })
        })
        .collect()
}

/// What moved it besides receipts, in the order in which it was written: used, given back, salvaged, counted, undone.
fn moves(job: &Job, item: &Item) -> Vec<Row> {
    let movements = &job.ledger.movements;
    let cause_of = |entry: Uuid| movements.iter().find(|m| m.entry == entry).map(|m| m.cause);
    let mut groups: Vec<((Uuid, Cause, bool), &Movement, i64)> = Vec::new();
    for moved in movements.iter().filter(|m| m.item == *item) {
        let first = moved.reverses.and_then(cause_of).unwrap_or(moved.cause);
        if matches!(first, Cause::Bought | Cause::Returned) {
            continue;
        }
        let key = (moved.entry, moved.cause, moved.count > 0);
        match groups.iter_mut().find(|(known, ..)| *known == key) {
            Some((.., count)) => *count += moved.count,
            None => groups.push((key, moved, moved.count)),
        }
    }
    groups
        .into_iter()
        .map(|(_, moved, count)| move_row(job, moved, count))
        .collect()
}

fn move_row(job: &Job, moved: &Movement, count: i64) -> Row {
    let about = job.ever(moved.about);
    let of = about.map_or_else(String::new, |record| rows::title(job, record));
    let (name, second) = match moved.cause {
        Cause::Used => ("Used", of),
        Cause::GivenBack => ("Given back", of),
        Cause::Salvaged => ("Salvaged", of),
        Cause::Reversed => ("Undone", of),
        Cause::Counted if about.is_some() => {
            let said = |name: &str| about.and_then(|record| record.text(name));
            let said = said("reason").or(said("lies")).unwrap_or("");
            ("Added by hand", said.to_owned())
        }
        _ => ("Counted by hand", "Who, when and why".to_owned()),
    };
    Row {
        href: match about {
            Some(record) => format!("/jobs/{}/{}/{}", job.id, record.kind, record.id),
            None => format!("/jobs/{}/stock/{}/history", job.id, moved.about),
        },
        name: name.to_owned(),
        second,
        value: if count > 0 {
            format!("+{count}")
        } else {
            format!("−{}", -count)
        },
        ..Row::default()
    }
}

fn receipts(job: &Job, item: &Item) -> Vec<Row> {
    let key = item.to_key();
    let mut lines: Vec<&Record> = job
        .all(Kind::Bought)
        .filter(|line| {
            line.text("item") == Some(key.as_str()) || line.text("instead_of") == Some(key.as_str())
        })
        .collect();
    lines.sort_by(|a, b| (&a.at, a.id).cmp(&(&b.at, b.id)));
    lines
        .into_iter()
        .map(|line| {
            let receipt = line.to("receipt").and_then(|id| job.get(id));
            let other = line
                .text("item")
                .filter(|own| *own != key)
                .and_then(|own| Item::from_key(own).ok());
            let mut second: Vec<String> = receipt
                .map(|receipt| receipt_words(job, receipt))
                .into_iter()
                .collect();
            if let Some(other) = other {
                second.push(format!("{} instead", other.words(job)));
            }
            if job.ledger.is_taken_back(line.id) {
                second.push("taken back".to_owned());
            }
            let sign = if line.says("way", "returned") {
                "− "
            } else {
                ""
            };
            let by = if line.says("price_by", "foot") {
                " a foot"
            } else {
                ""
            };
            let price = line
                .money("price")
                .map_or_else(|| "no price".to_owned(), |price| format!("at {price}{by}"));
            Row {
                struck: job.ledger.is_taken_back(line.id),
                href: receipt.map_or(String::new(), |receipt| {
                    format!("/jobs/{}/receipt/{}", job.id, receipt.id)
                }),
                name: if line.says("way", "returned") {
                    "Returned".to_owned()
                } else {
                    "Bought".to_owned()
                },
                second: second.join(" · "),
                value: format!("{sign}{} {price}", line.text("count").unwrap_or("0")),
                ..Row::default()
            }
        })
        .collect()
}

fn field(name: &str, label: &str, hint: &str, input: Input, value: String) -> FieldView {
    FieldView {
        hint: hint.to_owned(),
        ..FieldView::by_hand(name, label, input, value)
    }
}

/// That more was bought than the list asked for: bought, asked.
pub(crate) fn twice_words((bought, asked): (i64, i64)) -> String {
    format!("Bought twice? {bought} bought for this, the list asked for {asked}.")
}

/// What else the book sells of its section, row by row, other lengths of the same first; of counted things other packs of
/// the same too: the row and its words.
fn others(job: &Job, line: &BuyLine) -> Vec<(String, String)> {
    let asked = &line.item;
    let mut all: Vec<Offer> = PriceBook::of(job)
        .offers
        .into_iter()
        .filter(|offer| offer.item.section() == asked.section())
        .filter(|offer| {
            offer.item != *asked || (!asked.has_rows() && offer.per_tenths != Some(line.per_tenths))
        })
        .collect();
    all.sort_by_key(|offer| (offer.item.class() != asked.class(), offer.item.clone()));
    all.iter().map(|offer| choice(job, offer)).collect()
}

/// A row of the price book to choose: `screw 3 in, box of 250 · North Yard · $12.00`.
fn choice(job: &Job, offer: &Offer) -> (String, String) {
    let unit = match offer.unit().as_str() {
        "each" | "ft" | "sheet" => String::new(),
        "lb" => ", by the lb".to_owned(),
        unit => format!(", {unit}"),
    };
    let price = match offer.unit_price() {
        Some(price) if offer.is_by_the_foot() => format!("{price} a foot"),
        Some(price) => price.to_string(),
        None => "no price".to_owned(),
    };
    let words = format!(
        "{}{unit} · {} · {price}",
        offer.item.words(job),
        offer.supplier
    );
    (offer.row.to_string(), words)
}

/// What is bought as listed: what one of it is, as it is sold and priced.
struct Sold {
    /// Pieces in each one sold, in tenths.
    per_tenths: i64,
    /// `each`, `box of 250`, `lb`, `ft` for a stick by the foot.
    unit: String,
    unit_price: Option<Money>,
    by_the_foot: bool,
    supplier: String,
    /// How many are still to buy; none where the list asks for no more.
    count: Option<i64>,
}

/// The lines of the list that ask for it; where none does, as the price book sells it.
fn sold(job: &Job, item: &Item, lines: &[&BuyLine]) -> Vec<Sold> {
    let asking: Vec<Sold> = lines
        .iter()
        .filter(|line| line.to_buy > 0)
        .map(|line| Sold {
            per_tenths: line.per_tenths,
            unit: line.unit.clone(),
            unit_price: line.unit_price,
            by_the_foot: line.by_the_foot.is_some(),
            supplier: line.supplier.clone().unwrap_or_default(),
            count: Some(line.to_buy),
        })
        .collect();
    if !asking.is_empty() {
        return asking;
    }
    let offer = PriceBook::of(job).offer_for(item).cloned();
    vec![Sold {
        per_tenths: offer.as_ref().and_then(|o| o.per_tenths).unwrap_or(10),
        unit: offer
            .as_ref()
            .map_or_else(|| "each".to_owned(), Offer::unit),
        unit_price: offer.as_ref().and_then(Offer::unit_price),
        by_the_foot: offer.as_ref().is_some_and(Offer::is_by_the_foot),
        supplier: offer.map(|o| o.supplier).unwrap_or_default(),
        count: None,
    }]
}

/// The ids of the forms of a thing that the list asks for in packs of several sizes.
const LISTED: [&str; 3] = ["listed", "listed-2", "listed-3"];

/// Bought as listed, but a part of it, at another price or from another yard.
fn listed(
    job: &Job,
    weeks: &[u32],
    item: &Item,
    lines: &[&BuyLine],
    refused: Option<&Refused<'_>>,
) -> Vec<view::Act> {
    let suppliers: Vec<(String, String)> = job
        .all(Kind::Supplier)
        .map(|one| (one.name().to_owned(), one.name().to_owned()))
        .collect();
    LISTED
        .into_iter()
        .zip(sold(job, item, lines))
        .map(|(id, sold)| {
            let own = refused.filter(|refused| {
                refused.form == "listed" && refused.posted.first("form") == Some(id)
            });
            let typed = |name: &str| own.and_then(|r| r.posted.first(name)).map(str::to_owned);
            let one = match item {
                Item::Stick { .. } => "stick".to_owned(),
                Item::Panel { .. } => "sheet".to_owned(),
                _ => sold.unit.clone(),
            };
            let mut inputs = hidden(weeks, item, "");
            inputs.retain(|(name, _)| name != "supplier");
            inputs.push(("form".to_owned(), id.to_owned()));
            if !item.has_rows() {
                inputs.push(("per".to_owned(), decimal_text(sold.per_tenths, 1)));
            }
            if sold.by_the_foot {
                inputs.push(("price_by".to_owned(), "foot".to_owned()));
                inputs.extend(feet(item));
            }
            let (count, price) = match one.as_str() {
                "each" => ("How many".to_owned(), "Price of each".to_owned()),
                "lb" => ("How many lb".to_owned(), "Price of a lb".to_owned()),
                "foot" | "ft" => ("How many ft".to_owned(), "Price of a foot".to_owned()),
                one => (
                    format!("How many, by the {one}"),
                    format!("Price of a {one}"),
                ),
            };
            let price = if sold.by_the_foot {
                "Price of a foot".to_owned()
            } else {
                price
            };
            let mut act = view::Act {
                id,
                title: "Bought as listed",
                sub: match sold.count {
                    Some(_) => "All of it or a part, at this price or another.".to_owned(),
                    None => "The list asks for no more of it.".to_owned(),
                },
                action: format!("{}/listed", base(job, item)),
                hidden: inputs,
                fields: vec![
                    field(
                        "count",
                        &count,
                        "",
                        Input::Count,
                        typed("count").unwrap_or_else(|| {
                            sold.count.map_or_else(String::new, |n| n.to_string())
                        }),
                    ),
                    field(
                        "price",
                        &price,
                        "",
                        Input::Decimal,
                        typed("price").unwrap_or_else(|| {
                            sold.unit_price
                                .map_or_else(String::new, |price| plain_money(price.as_cents()))
                        }),
                    ),
                    field(
                        "supplier",
                        "Bought at",
                        "",
                        Input::One(suppliers.clone()),
                        typed("supplier").unwrap_or(sold.supplier),
                    ),
                ],
                problems: Vec::new(),
                anyway: None,
                save: "Save as listed",
                main: Main::No,
            };
            put_problems(&mut act, own);
            act
        })
        .collect()
}

fn swap(job: &Job, weeks: &[u32], line: &BuyLine, refused: Option<&Refused<'_>>) -> view::Act {
    let own = refused.filter(|refused| refused.form == "swap");
    let typed = |name: &str| own.and_then(|r| r.posted.first(name)).map(str::to_owned);
    let mut fields = vec![field(
        "other",
        "What was bought",
        "",
        Input::One(others(job, line)),
        typed("other").unwrap_or_default(),
    )];
    if matches!(line.item, Item::Stick { .. }) {
        fields.push(field(
            "length",
            "Or only another length",
            "",
            Input::Length,
            typed("length").unwrap_or_default(),
        ));
    }
    fields.push(field(
        "count",
        "How many",
        COUNT_HINT,
        Input::Count,
        typed("count").unwrap_or_else(|| line.to_buy.to_string()),
    ));
    fields.push(field(
        "price",
        "Unit price",
        PRICE_HINT,
        Input::Decimal,
        typed("price").unwrap_or_default(),
    ));
    let mut act = view::Act {
        id: "swap",
        title: "Bought something else for it",
        sub: "It takes this line’s pieces, as far as they fit.".to_owned(),
        action: format!("{}/swap", base(job, &line.item)),
        hidden: hidden(weeks, &line.item, line.supplier.as_deref().unwrap_or("")),
        fields,
        problems: Vec::new(),
        anyway: None,
        save: "Save swap",
        main: Main::Yes,
    };
    put_problems(&mut act, own);
    if let Some(refused) = own.filter(|refused| !refused.said.is_empty()) {
        act.problems.extend(refused.said.iter().cloned());
        act.anyway = Some("Record it all the same. Such pieces stay on the list.");
    }
    act
}

/// The same for what an order still brings.
fn swap_of_order(job: &Job, order: &Record, mut act: view::Act) -> view::Act {
    act.title = "Something else came for it";
    act.sub = format!(
        "Instead of what was ordered of {}. It takes the ordered line’s pieces, as far as they fit.",
        orders::name(job, order)
    );
    act.hidden.push(("order".to_owned(), order.id.to_string()));
    act
}

fn back(job: &Job, weeks: &[u32], item: &Item, refused: Option<&Refused<'_>>) -> view::Act {
    let own = refused.filter(|refused| refused.form == "back");
    let typed = |name: &str| own.and_then(|r| r.posted.first(name)).map(str::to_owned);
    let last = last_bought(job, item, weeks);
    let price = last.and_then(|line| line.money("price"));
    let supplier = last
        .and_then(|line| job.get(line.to("receipt")?))
        .and_then(|receipt| receipt.to("supplier"))
        .map_or("", |id| job.name(id));
    let mut inputs = hidden(weeks, item, supplier);
    if let Some(line) = last {
        inputs.push(("returns".to_owned(), line.id.to_string()));
        for name in ["per", "price_by"] {
            inputs.push((name.to_owned(), line.text(name).unwrap_or("").to_owned()));
        }
        if line.says("price_by", "foot") {
            inputs.extend(feet(item));
        }
    }
    let free = job
        .ledger
        .here()
        .filter(|row| row.item == *item && changes_of(job, row).is_empty())
        .count();
    let mut act = view::Act {
        id: "back",
        title: "Taken back to the yard",
        sub: if item.has_rows() {
            format!("{free} of them are free. What is kept for a piece goes back to the list.")
        } else {
            String::new()
        },
        action: format!("{}/back", base(job, item)),
        hidden: inputs,
        fields: vec![
            field(
                "count",
                "How many went back",
                &back_unit(item, last),
                Input::Count,
                typed("count").unwrap_or_default(),
            ),
            field(
                "price",
                if last.is_some_and(|line| line.says("price_by", "foot")) {
                    "Paid back for each foot"
                } else {
                    "Paid back for each"
                },
                if price.is_some() {
                    "Filled in: the last price paid."
                } else {
                    ""
                },
                Input::Decimal,
                typed("price").unwrap_or_else(|| {
                    price.map_or_else(String::new, |price| plain_money(price.as_cents()))
                }),
            ),
        ],
        problems: Vec::new(),
        anyway: None,
        save: "Save return",
        main: Main::No,
    };
    put_problems(&mut act, own);
    act
}

/// How many feet one of it has, for the phone's own sum: `12`, `7.333`.
fn feet(item: &Item) -> Option<(String, String)> {
    let Item::Stick { length, .. } = item else {
        return None;
    };
    let thousandths = length.as_64ths() * 1000 / (12 * 64);
    Some(("feet".to_owned(), decimal_text(thousandths, 3)))
}

fn hidden(weeks: &[u32], item: &Item, supplier: &str) -> Vec<(String, String)> {
    vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        ("entity_id".to_owned(), clock::new_id().to_string()),
        ("receipt_id".to_owned(), clock::new_id().to_string()),
        ("weeks".to_owned(), query(weeks)),
        ("item".to_owned(), item.to_key()),
        ("supplier".to_owned(), supplier.to_owned()),
    ]
}

fn put_problems(act: &mut view::Act, refused: Option<&Refused<'_>>) {
    for problem in refused.into_iter().flat_map(|refused| &refused.problems) {
        match act
            .fields
            .iter_mut()
            .find(|field| field.name == problem.field)
        {
            Some(field) => field.problem = Some(problem.message.clone()),
            None => act.problems.push(problem.message.clone()),
        }
    }
}

/// What a return's count is of: sticks or sheets, or packs as they were last bought.
fn back_unit(item: &Item, last: Option<&Record>) -> String {
    let per = last.and_then(|line| line.text("per"));
    match (item, per) {
        (Item::Stick { .. }, _) => "Sticks.".to_owned(),
        (Item::Panel { .. }, _) => "Sheets.".to_owned(),
        (_, Some(per)) if per != "1" => format!("As they were bought: {per} pieces in each."),
        _ => String::new(),
    }
}

/// The newest line that bought an item and stands: of these weeks, else of any.
fn last_bought<'a>(job: &'a Job, item: &Item, weeks: &[u32]) -> Option<&'a Record> {
    let key = item.to_key();
    let of_these = |line: &Record| line.weeks().iter().any(|week| weeks.contains(week));
    job.all(Kind::Bought)
        .filter(|line| line.text("item") == Some(key.as_str()) && !line.says("way", "returned"))
        .filter(|line| !job.ledger.is_taken_back(line.id))
        .max_by(|a, b| (of_these(a), &a.at, a.id).cmp(&(of_these(b), &b.at, b.id)))
}

/// What a typed count is of.
const COUNT_HINT: &str = "As that row sells it: sticks, sheets, boxes, lb.";

/// What a typed price is for.
const PRICE_HINT: &str = "For one as that row sells it: a box, a lb; a foot where it says “a foot”. Left empty: the row’s own price, if it has one.";

/// The row of the book that sells an item: this yard's, else the cheapest.
pub(crate) fn offer(book: &PriceBook, item: &Item, supplier: &str) -> Option<Offer> {
    let own = of_yard(book, supplier);
    own.offer_for(item)
        .or_else(|| book.offer_for(item))
        .cloned()
}

fn of_yard(book: &PriceBook, supplier: &str) -> PriceBook {
    let offers = book.offers.iter();
    PriceBook {
        offers: offers
            .filter(|offer| offer.supplier == supplier)
            .cloned()
            .collect(),
    }
}

/// What can be on a receipt: what its supplier sells; all of the book on one of no supplier.
pub(crate) fn book_of(job: &Job, receipt: &Record) -> PriceBook {
    let book = PriceBook::of(job);
    match receipt.to("supplier") {
        Some(supplier) => of_yard(&book, job.name(supplier)),
        None => book,
    }
}

/// What isn't on a list, on a receipt: chosen from the price book.
pub(crate) fn extra_form(job: &Job, receipt: &Record) -> Form<'static> {
    let mut offers = book_of(job, receipt).offers;
    offers.sort_by_key(|offer| offer.item.clone());
    let options = offers.iter().map(|offer| choice(job, offer)).collect();
    Form {
        action: format!("/jobs/{}/receipt/{}/line", job.id, receipt.id),
        kind: "bought.add",
        id: "extra".to_owned(),
        hidden: vec![
            ("op_id".to_owned(), clock::new_id().to_string()),
            ("entity_id".to_owned(), clock::new_id().to_string()),
        ],
        fields: vec![
            field(
                "item",
                "Extra, on no list",
                "",
                Input::One(options),
                String::new(),
            ),
            field("count", "How many", COUNT_HINT, Input::Count, String::new()),
            field(
                "price",
                "Unit price",
                PRICE_HINT,
                Input::Decimal,
                String::new(),
            ),
        ],
        problems: Vec::new(),
        save: "Save line".to_owned(),
        main: Main::No,
    }
}
