//! Money: planned, ordered, spent and returned, in all and by week, supplier and change.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{Amounts, MoneyOf, MoneySums, money};
use scantling_takeoff::record::{Job, Kind};
use scantling_takeoff::units::Money;
use scantling_web::drawing::week_bars::WeekBar;
use scantling_web::pages::money as view;
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::buy_list::unpriced_words;
use super::{money_of, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The rule for tax and rounding, as the page says it.
const RULE: &[&str] = &[
    "Tax is taken once, on the sum of a receipt, at its rate, or as it is printed. Half a cent goes up, and for what goes back the same figure is taken off.",
    "A line’s money is shared by the changes that it was bought for, by the length of their pieces, and its tax with it. Whole cents, so that suppliers, weeks and changes each come to the receipts to the cent.",
    "A line for two weeks counts in the first. Planned is a week’s list from before anything of it was bought. Planned and ordered have tax at the job’s rate. A line without a price is counted and left out.",
];

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let sums = money(&job);
    let view = view::View {
        total: totals(&sums.total),
        bars: bars(&job, &sums),
        groups: vec![
            view::Group {
                heading: "By week",
                rows: by_week(&job, &sums),
                said: "",
            },
            view::Group {
                heading: "By supplier",
                rows: by_supplier(&job, &sums),
                said: "",
            },
            view::Group {
                heading: "By change",
                rows: by_change(&job, &sums),
                said: "No change: extras, what is more than a list asked for, and lines that hold no piece of a change.",
            },
        ],
        rule: RULE,
        receipts: format!("/jobs/{}/receipt", job.id),
        shell: shell::shell(&job, "Money", "/money", clock::today()),
    };
    Ok(html(view::page(&view)))
}

/// Planned, ordered, bought, returned, spent, with what each leaves out.
pub(crate) fn totals(of: &Amounts) -> Vec<(&'static str, String, String)> {
    let unpriced = |n| unpriced_words(n).unwrap_or_default();
    let plain = String::new;
    vec![
        (
            "Planned, with tax",
            of.planned.to_string(),
            unpriced(of.planned_unpriced),
        ),
        (
            "Ordered, with tax",
            of.ordered.to_string(),
            unpriced(of.ordered_unpriced),
        ),
        (
            "Bought, before tax",
            of.bought.to_string(),
            unpriced(of.unpriced),
        ),
        ("Returned, before tax", of.returned.to_string(), plain()),
        ("Tax of both", of.tax.to_string(), plain()),
        (
            "Spent: bought, less returned, with tax",
            of.spent().to_string(),
            plain(),
        ),
    ]
}

fn bars(job: &Job, sums: &MoneySums) -> Vec<WeekBar> {
    let mut numbers = shell::week_numbers(job);
    numbers.extend(sums.weeks.keys().flatten());
    numbers.sort_unstable();
    numbers.dedup();
    numbers
        .into_iter()
        .map(|number| {
            let of = sums.weeks.get(&Some(number)).copied().unwrap_or_default();
            WeekBar {
                name: format!("Week {number}"),
                planned: (of.planned != Money::ZERO || of.planned_unpriced > 0)
                    .then_some(of.planned),
                spent: of.spent(),
            }
        })
        .collect()
}

/// A row of one of the groups: spent at the right. It leads to what it is made of.
pub(crate) fn row(job: &Job, name: String, about: MoneyOf, of: &Amounts) -> Row {
    let left_out = [
        (of.planned_unpriced, "planned"),
        (of.ordered_unpriced, "ordered"),
        (of.unpriced, "bought or returned"),
    ];
    let left_out: Vec<String> = left_out
        .into_iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, what)| format!("{n} {what}"))
        .collect();
    Row {
        href: money_of::href(job, about),
        name,
        second: format!(
            "Planned {} · ordered {} · returned {}",
            of.planned, of.ordered, of.returned
        ),
        wrong: if left_out.is_empty() {
            String::new()
        } else {
            format!("Lines without a price: {}", left_out.join(", "))
        },
        value: format!("spent {}", of.spent()),
        id: String::new(),
        struck: false,
    }
}

pub(crate) fn says_something(of: &Amounts) -> bool {
    *of != Amounts::default()
}

fn by_week(job: &Job, sums: &MoneySums) -> Vec<Row> {
    let said = sums.weeks.iter().filter(|(_, of)| says_something(of));
    said.map(|(week, of)| {
        let about = MoneyOf::Week(*week);
        row(job, money_of::name(job, about), about, of)
    })
    .collect()
}

fn by_supplier(job: &Job, sums: &MoneySums) -> Vec<Row> {
    let known: Vec<Uuid> = job.all(Kind::Supplier).map(|one| one.id).collect();
    in_order(&known, &sums.suppliers)
        .map(|(supplier, of)| {
            let about = MoneyOf::Supplier(supplier);
            row(job, money_of::name(job, about), about, of)
        })
        .collect()
}

fn by_change(job: &Job, sums: &MoneySums) -> Vec<Row> {
    let known: Vec<Uuid> = job.changes().iter().map(|change| change.id).collect();
    in_order(&known, &sums.changes)
        .map(|(change, of)| {
            let about = MoneyOf::Change(change);
            row(job, money_of::name(job, about), about, of)
        })
        .collect()
}

/// Those that say something: the known ones in their order, then what was taken out of the record since, and nobody's.
fn in_order<'a>(
    known: &'a [Uuid],
    sums: &'a BTreeMap<Option<Uuid>, Amounts>,
) -> impl Iterator<Item = (Option<Uuid>, &'a Amounts)> {
    let first = known.iter().copied().map(Some);
    let is_known = |id: &Option<Uuid>| id.is_some_and(|id| known.contains(&id));
    let rest = sums.keys().copied().filter(move |id| !is_known(id));
    first
        .chain(rest)
        .filter_map(|id| Some((id, sums.get(&id)?)))
        .filter(|(_, of)| says_something(of))
}
