//! The buy list of a week or two, its print page, and its first lines for this week's page.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{
    BuyLine, BuyList, ReceiptSums, bought_twice, buy_list, buy_list_with_least, extension,
    receipt_sums,
};
use scantling_takeoff::record::{Job, Kind, Record};
use scantling_takeoff::units::Money;
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::pages::buy_list as view;
use scantling_web::parts::buy_row::{Bar, Bought, BuyRow};
use scantling_web::parts::photo::{Camera, PhotoForm};
use time::Date;
use uuid::Uuid;

use super::slips::{self, Slips};
use super::{change, cut_list, line, materials, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::files::yard_order::suppliers;
use crate::state::State;

/// What was refused on this page.
pub(crate) enum Refused {
    /// A tick: the sentence that says so.
    Tick(String),
    /// The printed total of a slip: whose, what is wrong, what was typed.
    Total(Uuid, String, String),
    /// The printed total of a slip that is not begun here yet: whose yard's, what is wrong, what was typed.
    NewTotal(String, String, String),
}

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    let slips = slips::slips(&state, &job, &who).await?;
    Ok(html(page(&job, &weeks, &slips, None)))
}

/// It, with what was refused.
pub(crate) fn page(job: &Job, weeks: &[u32], slips: &Slips, refused: Option<&Refused>) -> Page {
    let (list, least) = buy_list_with_least(job, weeks);
    let query = query(weeks);
    let base = format!("/jobs/{}/buy-list", job.id);
    let (to_buy, settled): (Vec<&BuyLine>, Vec<&BuyLine>) =
        list.lines.iter().partition(|line| line.to_buy > 0);
    let mut shell = shell::shell(job, "Buy list", "/buy-list", clock::today());
    if matches!(refused, Some(Refused::Total(..) | Refused::NewTotal(..))) {
        shell.note = Some(shell::refused_note());
    }
    let mut waits: Vec<(String, String, String)> = Vec::new();
    for (_, missing) in &list.missing {
        let row = (
            missing.waits.clone(),
            missing.text.clone(),
            change::fill_href(job, &missing.fill),
        );
        if !waits.contains(&row) {
            waits.push(row);
        }
    }
    let mut said: Vec<String> = Vec::new();
    if job.count(Kind::Price) == 0 {
        said.push("The price book is empty: lengths are listed as they are cut.".to_owned());
    }
    said.extend(spared(&list));
    said.extend(cut_list::cheap(&least, cut_list::Prices::Shown));
    let open: Vec<(&Record, ReceiptSums)> = slips
        .filled(job)
        .into_iter()
        .map(|receipt| (receipt, receipt_sums(job, receipt)))
        .collect();
    let view = view::View {
        weeks: materials::week_tabs(job, "buy-list", weeks, materials::Together::Yes),
        unmet: list.unmet.clone(),
        to_buy: to_buy
            .into_iter()
            .enumerate()
            .map(|(at, line)| row(job, line, weeks, slips, &format!("l{at}")))
            .collect(),
        settled: settled
            .into_iter()
            .enumerate()
            .map(|(at, line)| row(job, line, weeks, slips, &format!("s{at}")))
            .collect(),
        waits,
        total: total_words(&list),
        till: view::Till {
            cents: open
                .iter()
                .map(|(_, sums)| sums.sum)
                .sum::<Money>()
                .as_cents(),
            tax: job.settings.tax,
        },
        slips: open
            .iter()
            .map(|(receipt, sums)| slip(job, receipt, sums, &query, refused))
            .collect(),
        begins: begins(job, &list, &open, &query, refused),
        elsewhere: slips
            .elsewhere(job)
            .into_iter()
            .map(|(receipt, holder)| {
                let href = format!("/jobs/{}/receipt/{}", job.id, receipt.id);
                (href, yard_of(job, receipt), holder.to_owned())
            })
            .collect(),
        refused: match refused {
            Some(Refused::Tick(words)) => words.clone(),
            _ => String::new(),
        },
        yard: [
            format!("{base}.csv?week={query}"),
            format!("{base}.txt?week={query}"),
            format!("{base}/print?week={query}"),
        ],
        order: format!("/jobs/{}/order?week={query}", job.id),
        trip: format!("/jobs/{}/trip", job.id),
        yards: yards(job, &list, &base, &query),
        said: said.join(" "),
        kept: super::week::kept_link(job, weeks),
        shell,
    };
    view::page(&view)
}

/// The CSV of each supplier, where the list is of several.
fn yards(job: &Job, list: &BuyList, base: &str, query: &str) -> Vec<(String, String)> {
    let all = suppliers(job, list);
    let href = |id: Uuid| format!("{base}.csv?week={query}&supplier={id}");
    match all.as_slice() {
        [] | [_] => Vec::new(),
        several => several
            .iter()
            .map(|one| (href(one.id), one.name().to_owned()))
            .collect(),
    }
}

/// What lies here and could be used instead of what the list asks for.
fn spared(list: &BuyList) -> Option<String> {
    let sticks: Vec<String> = list
        .lines
        .iter()
        .filter(|line| line.spared > 0)
        .map(|line| format!("{} × {}", line.spared, line.words))
        .collect();
    (!sticks.is_empty()).then(|| {
        format!(
            "What is free here holds the pieces of {}. The list as it was kept stays so; “Plan afresh” takes them off.",
            sticks.join(", ")
        )
    })
}

/// `2,3`, for addresses.
pub(crate) fn query(weeks: &[u32]) -> String {
    weeks
        .iter()
        .map(u32::to_string)
        .collect::<Vec<_>>()
        .join(",")
}

/// Whose slip it is: those at the till are of one day.
fn yard_of(job: &Job, receipt: &Record) -> String {
    let yard = receipt.to("supplier").map(|id| job.name(id));
    yard.unwrap_or("No supplier").to_owned()
}

/// A slip with the form that closes it.
fn slip(
    job: &Job,
    receipt: &Record,
    sums: &ReceiptSums,
    query: &str,
    refused: Option<&Refused>,
) -> view::Slip {
    let own = match refused {
        Some(Refused::Total(id, problem, typed)) if *id == receipt.id => Some((problem, typed)),
        _ => None,
    };
    view::Slip {
        supplier: yard_of(job, receipt),
        ticked: match unpriced_words(sums.unpriced) {
            Some(without) => format!("{}, {without}", sums.total),
            None => sums.total.to_string(),
        },
        action: format!("/jobs/{}/buy-list/receipt", job.id),
        hidden: vec![
            ("op_id".to_owned(), clock::new_id().to_string()),
            ("receipt".to_owned(), receipt.id.to_string()),
            ("weeks".to_owned(), query.to_owned()),
        ],
        typed: own.map_or_else(String::new, |(_, typed)| typed.clone()),
        problem: own.map(|(problem, _)| problem.clone()),
    }
}

/// For each yard of the list that this phone has no slip of: what is ticked away from the server is on one all the same, and
/// these forms are of that.
fn begins(
    job: &Job,
    list: &BuyList,
    open: &[(&Record, ReceiptSums)],
    query: &str,
    refused: Option<&Refused>,
) -> Vec<view::Begun> {
    let has_slip = |id: Option<Uuid>| open.iter().any(|(receipt, _)| receipt.to("supplier") == id);
    let named = suppliers(job, list);
    let nobodys = list.lines.iter().any(|line| line.supplier.is_none());
    let named = named
        .iter()
        .filter(|one| !has_slip(Some(one.id)))
        .map(|one| one.name().to_owned());
    let none = (nobodys && !has_slip(None)).then(String::new);
    named
        .chain(none)
        .enumerate()
        .map(|(at, yard)| {
            let own = match refused {
                Some(Refused::NewTotal(of, problem, typed)) if *of == yard => {
                    Some((problem, typed))
                }
                _ => None,
            };
            let hidden = || {
                vec![
                    ("op_id".to_owned(), clock::new_id().to_string()),
                    ("receipt_id".to_owned(), clock::new_id().to_string()),
                    ("supplier".to_owned(), yard.clone()),
                    ("weeks".to_owned(), query.to_owned()),
                ]
            };
            let mut of_photo = hidden();
            of_photo.push(("entity_id".to_owned(), clock::new_id().to_string()));
            of_photo.push((
                "next".to_owned(),
                format!("/jobs/{}/buy-list?week={query}", job.id),
            ));
            view::Begun {
                slip: view::Slip {
                    supplier: if yard.is_empty() {
                        "No supplier".to_owned()
                    } else {
                        yard.clone()
                    },
                    ticked: String::new(),
                    action: format!("/jobs/{}/buy-list/receipt", job.id),
                    hidden: hidden(),
                    typed: own.map_or_else(String::new, |(_, typed)| typed.clone()),
                    problem: own.map(|(problem, _)| problem.clone()),
                },
                photo: PhotoForm {
                    action: format!("/jobs/{}/photo", job.id),
                    id: format!("paper-{at}"),
                    hidden: of_photo,
                    camera: Camera::AtOnce,
                    of: Vec::new(),
                    kinds: String::new(),
                    caption: String::new(),
                    problems: Vec::new(),
                    replaces: None,
                    main: Main::No,
                },
            }
        })
        .collect()
}

/// The total in words.
pub(crate) fn total_words(list: &BuyList) -> String {
    let tax = match list.tax {
        Some(tax) => format!("{} with tax", list.total + tax),
        None => format!("{}, tax not recorded", list.total),
    };
    match unpriced_words(list.unpriced) {
        Some(without) => format!("{tax}, {without}"),
        None => tax,
    }
}

/// What a sum leaves out: `without 2 unpriced lines`; none where it leaves out nothing.
pub(crate) fn unpriced_words(unpriced: usize) -> Option<String> {
    match unpriced {
        0 => None,
        1 => Some("without 1 unpriced line".to_owned()),
        n => Some(format!("without {n} unpriced lines")),
    }
}

/// How many, with the unit: `5 sticks`, `2 boxes of 250`, `3 lb`, `50 ft`.
pub(crate) fn count_words(line: &BuyLine) -> String {
    let n = line.to_buy;
    let unit = line.unit.as_str();
    let many = |one: &str| {
        if n == 1 {
            one.to_owned()
        } else if one.ends_with('x') {
            format!("{one}es")
        } else {
            format!("{one}s")
        }
    };
    let word = match unit.split_once(' ') {
        _ if line.item.section() == "stick" => many("stick"),
        _ if unit == "each" || unit == "lb" => unit.to_owned(),
        _ if unit == "foot" => "ft".to_owned(),
        Some((first, rest)) => format!("{} {rest}", many(first)),
        None => many(unit),
    };
    format!("{n} {word}")
}

/// The price of one: `$4.28`, `$0.55 a foot`.
pub(crate) fn price_words(line: &BuyLine) -> Option<String> {
    let price = line.unit_price?;
    Some(match line.by_the_foot {
        Some(_) => format!("{price} a foot"),
        None => price.to_string(),
    })
}

/// The last day to order a line on: the week's first day less the lead days.
pub(crate) fn order_by(line: &BuyLine) -> Option<String> {
    let day = line.order_by.and_then(|day| i32::try_from(day).ok())?;
    let day = Date::from_julian_day(day).ok()?;
    let words = clock::day_words(day);
    Some(if day < clock::today() {
        format!("Order day {words} is past: ask if it still comes in time.")
    } else {
        format!("Order by {words}.")
    })
}

/// A line as a row.
fn row(job: &Job, line: &BuyLine, weeks: &[u32], slips: &Slips, id: &str) -> BuyRow {
    let how_many = count_words(line);
    let share = |n: i64| {
        let of = line.needed.max(1);
        u8::try_from((n.clamp(0, of) * 100) / of).unwrap_or(100)
    };
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        ("entity_id".to_owned(), clock::new_id().to_string()),
        ("receipt_id".to_owned(), clock::new_id().to_string()),
        ("item".to_owned(), line.item.to_key()),
        ("weeks".to_owned(), query(weeks)),
        ("count".to_owned(), line.to_buy.to_string()),
        ("per_tenths".to_owned(), line.per_tenths.to_string()),
        (
            "price".to_owned(),
            line.unit_price
                .map_or_else(String::new, |price| plain_money(price.as_cents())),
        ),
        (
            "supplier".to_owned(),
            line.supplier.clone().unwrap_or_default(),
        ),
        ("anchor".to_owned(), id.to_owned()),
        cents(line.extension),
    ];
    if line.by_the_foot.is_some() {
        hidden.push(("price_by".to_owned(), "foot".to_owned()));
    }
    let at = price_words(line).map_or_else(
        || how_many.clone(),
        |price| format!("{how_many} at {price}"),
    );
    let settled = line.to_buy == 0;
    let booked = if settled {
        booked(job, line, weeks, slips)
    } else {
        Booked::Nothing
    };
    let mut said: Vec<String> = Vec::new();
    if !settled && line.lead_days.is_some_and(|days| days > 0) {
        said.extend(order_by(line));
    }
    if !line.note.is_empty() {
        said.push(change::capital(&line.note));
    }
    if let Some(waste) = line.waste.as_ref().filter(|waste| waste.more > 0) {
        said.push(match waste.more {
            more if more == line.to_buy => "Spare, for waste.".to_owned(),
            more => format!("{more} of these spare, for waste."),
        });
    }
    let parts: Vec<String> = [
        ("on hand", line.from_on_hand),
        ("ordered", line.from_ordered),
        ("bought", line.bought),
    ]
    .into_iter()
    .filter(|(_, n)| *n != 0)
    .map(|(word, n)| format!(" · {word} {n}"))
    .collect();
    let counts = if parts.is_empty() && line.to_buy > 0 {
        String::new()
    } else {
        format!("Need {}{}", line.needed, parts.concat())
    };
    BuyRow {
        id: id.to_owned(),
        item: line.words.clone(),
        how_many: if settled {
            "nothing to buy".to_owned()
        } else {
            at
        },
        price: match line.extension {
            Some(extension) if !settled => extension.to_string(),
            _ if settled => String::new(),
            _ => "no price".to_owned(),
        },
        why: if settled {
            "Why?".to_owned()
        } else {
            format!("Why {}?", line.to_buy)
        },
        sums: line.why.clone(),
        changes: line
            .changes
            .iter()
            .filter_map(|id| job.get(*id))
            .map(|record| {
                (
                    format!("/jobs/{}/{}/{}", job.id, record.kind, record.id),
                    record.name().to_owned(),
                )
            })
            .collect(),
        more: line::href(job, weeks, &line.item),
        tick: match booked {
            Booked::Open(record) => Some(untick(job, record, weeks, id)),
            _ if settled => None,
            _ => Some((format!("/jobs/{}/buy-list/tick", job.id), hidden)),
        },
        on_saved: match booked {
            Booked::Saved => format!("{}#receipts", line::href(job, weeks, &line.item)),
            _ => String::new(),
        },
        bought: if settled && line.bought > 0 {
            Bought::Yes
        } else {
            Bought::No
        },
        bar: (line.from_on_hand > 0).then(|| Bar {
            hand: share(line.from_on_hand),
            got: 0,
        }),
        to_buy: if counts.is_empty() {
            String::new()
        } else {
            format!("buy {}", line.to_buy)
        },
        counts,
        said: said.join(" "),
        wrong: wrong(job, line, weeks),
    }
}

/// What is wrong with a line: used before it was booked, bought twice.
fn wrong(job: &Job, line: &BuyLine, weeks: &[u32]) -> String {
    let missing =
        (line.missing > 0).then(|| format!("{} missing: book the receipt or count.", line.missing));
    let twice = bought_twice(job, weeks, &line.item).map(line::twice_words);
    let said: Vec<String> = missing.into_iter().chain(twice).collect();
    said.join(" ")
}

/// What a tick pressed again is about.
enum Booked<'a> {
    /// No booking as listed stands.
    Nothing,
    /// A booking on a slip that is open still.
    Open(&'a Record),
    /// Every one is on a receipt with its printed total: the list leaves those alone.
    Saved,
}

/// The newest booking of a line as listed, first those on this phone's slips.
fn booked<'a>(job: &'a Job, line: &BuyLine, weeks: &[u32], slips: &Slips) -> Booked<'a> {
    let key = line.item.to_key();
    let mut bookings: Vec<(&Record, &Record)> = job
        .all(Kind::Bought)
        .filter(|record| {
            record.text("item") == Some(key.as_str())
                && record.weeks().iter().any(|week| weeks.contains(week))
                && !record.says("way", "returned")
                && record.text("instead_of").is_none()
                && !job.ledger.is_taken_back(record.id)
        })
        .filter_map(|record| Some((record, job.get(record.to("receipt")?)?)))
        .collect();
    if bookings.is_empty() {
        return Booked::Nothing;
    }
    bookings.retain(|(_, receipt)| slips::is_open(receipt));
    bookings
        .into_iter()
        .max_by_key(|(record, receipt)| (slips.is_own(receipt.id), &record.at, record.id))
        .map_or(Booked::Saved, |(record, _)| Booked::Open(record))
}

/// The form that takes a booking back: a tick pressed again.
fn untick(job: &Job, booked: &Record, weeks: &[u32], id: &str) -> Tick {
    let hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        (
            "next".to_owned(),
            format!("/jobs/{}/buy-list?week={}#{id}", job.id, query(weeks)),
        ),
        ("anchor".to_owned(), id.to_owned()),
        cents(extension(booked)),
    ];
    let action = format!("/jobs/{}/bought/{}/act/reverse", job.id, booked.id);
    (action, hidden)
}

/// What a booking comes to without tax, for the phone's own sum while the booking waits there.
fn cents(extension: Option<Money>) -> (String, String) {
    let cents = extension.map_or(0, Money::as_cents);
    ("cents".to_owned(), cents.to_string())
}

/// A tick's form: where it posts, and its hidden inputs.
type Tick = (String, Vec<(String, String)>);

/// Cents as a field holds them: `12.50`.
pub(crate) fn plain_money(cents: i64) -> String {
    format!("{}.{:02}", cents.div_euclid(100), cents.rem_euclid(100))
}

/// The first lines still to buy, for this week's page.
pub(crate) struct FirstLines {
    /// The lines.
    pub(crate) rows: Vec<BuyRow>,
    /// How many lines are still to buy.
    pub(crate) to_buy: usize,
    /// Whether something of it is ordered and not here yet.
    pub(crate) is_ordered: bool,
    /// `7 of 11 lines`.
    pub(crate) count: String,
    /// `All 7 lines, $150.79`.
    pub(crate) all_words: String,
    /// What the total leaves out.
    pub(crate) note: String,
}

/// They.
pub(crate) fn first_lines(job: &Job, week: u32, most: usize) -> FirstLines {
    let list = buy_list(job, &[week]);
    let open: Vec<&BuyLine> = list.lines.iter().filter(|line| line.to_buy > 0).collect();
    let mut note: Vec<String> = Vec::new();
    note.extend(
        unpriced_words(list.unpriced).map(|without| format!("{}.", change::capital(&without))),
    );
    if !list.missing.is_empty() {
        note.push("Needs that wait for a reading or an entry are not on it yet.".to_owned());
    }
    FirstLines {
        to_buy: open.len(),
        is_ordered: list.lines.iter().any(|line| line.from_ordered > 0),
        count: format!("{} of {} lines", open.len(), list.lines.len()),
        all_words: if open.is_empty() {
            "Buy list".to_owned()
        } else {
            format!("All {} lines, {}", open.len(), list.total)
        },
        rows: open
            .into_iter()
            .take(most)
            .enumerate()
            .map(|(at, line)| row(job, line, &[week], &Slips::default(), &format!("b{at}")))
            .collect(),
        note: note.join(" "),
    }
}

/// The print page.
pub(crate) async fn print(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    let list = buy_list(&job, &weeks);
    let mut sections: Vec<(String, Vec<view::PrintLine>)> = Vec::new();
    for line in list.lines.iter().filter(|line| line.to_buy > 0) {
        let section = section_words(line.item.section());
        if sections.last().is_none_or(|(last, _)| last != section) {
            sections.push((section.to_owned(), Vec::new()));
        }
        if let Some((_, lines)) = sections.last_mut() {
            lines.push(view::PrintLine {
                count: count_words(line),
                item: line.words.clone(),
                price: price_words(line).unwrap_or_else(|| "no price".to_owned()),
                extension: line
                    .extension
                    .map_or_else(String::new, |extension| extension.to_string()),
            });
        }
    }
    let mut shell = shell::shell(&job, "Buy list", "/buy-list", clock::today());
    shell.bar = shell::bar(
        vec![(
            format!("/jobs/{}/buy-list?week={}", job.id, query(&weeks)),
            "Buy list",
        )],
        Main::No,
    );
    let view = view::PrintView {
        weeks: format!("{}, work week {}", shell::name(&job), query(&weeks)),
        sections,
        total: total_words(&list),
        back: format!("/jobs/{}/buy-list?week={}", job.id, query(&weeks)),
        shell,
    };
    Ok(html(view::print_page(&view)))
}

/// A section's words.
pub(crate) fn section_words(section: &str) -> &'static str {
    use scantling_takeoff::record::choices::SECTION;
    SECTION
        .iter()
        .find(|(stored, _)| *stored == section)
        .map_or("Sundries", |(_, shown)| shown)
}
