//! A receipt's page: what it comes to, against what the paper says; and the forms that take a line back.

use std::collections::BTreeMap;

use scantling_takeoff::buy::receipt_sums;
use scantling_takeoff::needs::{Sum, result, sum};
use scantling_takeoff::record::{Job, Kind, OpKind, Record};
use scantling_takeoff::units::Money;
use scantling_web::layout::Main;
use scantling_web::parts::form::Form;

use super::buy_list::unpriced_words;
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};

/// A receipt in a list: whether it is open or differs; what it comes to, as printed where that is typed.
pub(crate) fn row_words(job: &Job, receipt: &Record) -> (String, String) {
    let sums = receipt_sums(job, receipt);
    let said = match (sums.printed, sums.difference) {
        (None, _) => Some("open".to_owned()),
        (Some(_), Some(by)) if by != Money::ZERO => {
            Some(format!("lines and tax come to {}", sums.total))
        }
        _ => None,
    };
    let total = sums.printed.unwrap_or(sums.total);
    (said.unwrap_or_default(), total.to_string())
}

/// Its lines, tax and total, and what is printed.
pub(crate) fn sums(job: &Job, receipt: &Record) -> Vec<Sum> {
    let sums = receipt_sums(job, receipt);
    let lines = match sums.lines.len() {
        1 => "1 line".to_owned(),
        n => format!("{n} lines"),
    };
    let rate = receipt
        .text("tax")
        .or_else(|| job.record().and_then(|record| record.text("tax")));
    let (tax, of) = match (sums.tax, receipt.money("tax_typed"), rate) {
        (Some(tax), Some(_), _) => (tax.to_string(), "as printed".to_owned()),
        (Some(tax), None, Some(rate)) => {
            let rate = rate.trim_end_matches(['%', ' ']);
            (tax.to_string(), format!("{rate} % of the lines together"))
        }
        (Some(tax), None, None) => (tax.to_string(), String::new()),
        (None, ..) => ("none".to_owned(), "no tax rate is recorded".to_owned()),
    };
    let mut all = vec![
        sum(
            lines,
            sums.sum.to_string(),
            unpriced_words(sums.unpriced).unwrap_or_default(),
        ),
        sum("Tax", tax, of),
        result("Lines and tax", sums.total.to_string(), ""),
    ];
    all.extend(
        sums.printed
            .map(|printed| sum("Total as printed", printed.to_string(), "")),
    );
    all
}

/// Where the paper says something else than lines and tax.
pub(crate) fn differs(job: &Job, receipt: &Record) -> String {
    let sums = receipt_sums(job, receipt);
    let (Some(printed), Some(by)) = (sums.printed, sums.difference) else {
        return String::new();
    };
    let (size, word) = match by.as_cents() {
        0 => return String::new(),
        more if more > 0 => (by, "more"),
        less => (Money::from_cents(-less), "less"),
    };
    format!(
        "The paper says {printed}, the lines and tax come to {}: {size} {word}.",
        sums.total
    )
}

/// For each line that stands, by its id: the form that takes it back.
pub(crate) fn take_back(job: &Job, receipt: &Record) -> BTreeMap<String, (String, Form<'static>)> {
    let Some(reverses) = OpKind::named("bought.reverse") else {
        return BTreeMap::new();
    };
    job.all(Kind::Bought)
        .filter(|line| line.to("receipt") == Some(receipt.id))
        .filter(|line| !job.ledger.is_taken_back(line.id))
        .map(|line| {
            let draft = Draft {
                job: Some(job),
                filled: Posted::default(),
                problems: Vec::new(),
                id: format!("back-{}", line.id),
                next: format!("/jobs/{}/receipt/{}#bought", job.id, receipt.id),
                save: "Take it back".to_owned(),
                main: Main::No,
            };
            let form = view::acting(reverses, "reverse", line, draft, job.id);
            (
                line.id.to_string(),
                ("Take this line back".to_owned(), form),
            )
        })
        .collect()
}
