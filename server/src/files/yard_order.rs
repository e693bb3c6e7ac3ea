//! The buy list for the yard: CSV (RFC 4180, CRLF, formula cells made harmless) and text to paste.

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{BuyLine, BuyList, buy_list};
use scantling_takeoff::record::Job;
use scantling_takeoff::units::{Length, decimal_text};
use uuid::Uuid;

use crate::error::HttpError;
use crate::pages::buy_list::{count_words, plain_money, query, section_words, total_words};
use crate::pages::{materials, shell};
use crate::state::State;

/// The columns.
pub(crate) const COLUMNS: [&str; 10] = [
    "section",
    "item",
    "quantity",
    "unit",
    "unit_price",
    "extension",
    "supplier",
    "item_number",
    "order_by",
    "changes",
];

/// The CSV.
pub(crate) async fn csv(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    let list = buy_list(&job, &weeks);
    let name = format!("buy-list-week-{}.csv", query(&weeks).replace(',', "-"));
    Ok(HttpResponse::Ok()
        .content_type("text/csv; charset=utf-8")
        .insert_header((
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ))
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .body(csv_of(&job, &list)?))
}

/// The text to paste into a message.
pub(crate) async fn text(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    Ok(HttpResponse::Ok()
        .content_type("text/plain; charset=utf-8")
        .body(text_of(&job, &buy_list(&job, &weeks))))
}

/// The list as CSV.
pub(crate) fn csv_of(job: &Job, list: &BuyList) -> Result<Vec<u8>, HttpError> {
    let failed = |_| HttpError::Broken("the CSV could not be written");
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(failed)?;
    for line in list.lines.iter().filter(|line| line.to_buy > 0) {
        writer.write_record(cells(job, line)).map_err(failed)?;
    }
    writer
        .into_inner()
        .map_err(|_| HttpError::Broken("the CSV could not be written"))
}

fn cells(job: &Job, line: &BuyLine) -> [String; 10] {
    let money = |amount: Option<scantling_takeoff::units::Money>| {
        amount.map_or_else(String::new, |a| plain_money(a.as_cents()))
    };
    let day = line
        .order_by
        .and_then(|day| i32::try_from(day).ok())
        .and_then(|day| time::Date::from_julian_day(day).ok());
    let (quantity, unit) = quantity(line);
    let changes: Vec<&str> = line.changes.iter().map(|id| job.name(*id)).collect();
    [
        harmless(section_words(line.item.section())),
        harmless(&line.words),
        quantity,
        harmless(&unit),
        money(line.unit_price),
        money(line.extension),
        harmless(line.supplier.as_deref().unwrap_or("")),
        harmless(line.item_number.as_deref().unwrap_or("")),
        day.map_or_else(String::new, |day| day.to_string()),
        harmless(&changes.join("; ")),
    ]
}

/// How many of the unit that is priced: sticks sold by the foot in feet, to 1/1,000, with how many sticks these are.
fn quantity(line: &BuyLine) -> (String, String) {
    let Some(length) = line.by_the_foot else {
        return (line.to_buy.to_string(), line.unit.clone());
    };
    let foot = Length::feet(1).as_64ths();
    // to the next thousandth, halves up
    let thousandths = (2_000 * length.as_64ths() + foot).div_euclid(2 * foot);
    (
        decimal_text(thousandths, 3),
        format!("{}, {}", line.unit, count_words(line)),
    )
}

/// A text cell that no spreadsheet runs as a formula: where its first character after spaces would start one, an
/// apostrophe goes before it.
///
/// Source: OWASP's advice on CSV injection, with the full-width forms.
pub(crate) fn harmless(text: &str) -> String {
    let first = text.trim_start_matches([' ', '\u{a0}']).chars().next();
    let runs = matches!(
        first,
        Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '\0' | '＝' | '＋' | '－' | '＠')
    );
    if runs {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// The list as text.
pub(crate) fn text_of(job: &Job, list: &BuyList) -> String {
    let mut out = format!("{}, week {}\n", shell::name(job), query(&list.weeks));
    let mut section = "";
    let open: Vec<&BuyLine> = list.lines.iter().filter(|line| line.to_buy > 0).collect();
    for line in &open {
        let words = section_words(line.item.section());
        if words != section {
            push(&mut out, format_args!("\n{words}\n"));
            section = words;
        }
        let number = line
            .item_number
            .as_deref()
            .map_or_else(String::new, |number| format!(" ({number})"));
        let price = line
            .extension
            .map_or_else(|| "no price".to_owned(), |extension| extension.to_string());
        push(
            &mut out,
            format_args!("{}  {}{number}  {price}\n", count_words(line), line.words),
        );
    }
    if open.is_empty() {
        out.push_str("\nNothing left to buy.\n");
    }
    push(&mut out, format_args!("\n{}\n", total_words(list)));
    for unmet in &list.unmet {
        push(&mut out, format_args!("{unmet}\n"));
    }
    if !list.missing.is_empty() {
        out.push_str("Not on it yet:\n");
        for (_, missing) in &list.missing {
            push(
                &mut out,
                format_args!("  {}: needs {}\n", missing.waits, missing.text),
            );
        }
    }
    out
}

fn push(out: &mut String, line: std::fmt::Arguments<'_>) {
    use std::fmt::Write as _;
    let _writing_to_a_string_cannot_fail = out.write_fmt(line);
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn a_cell_that_a_spreadsheet_would_run_gets_an_apostrophe() {
        for text in ["=1+1", " =1", "+1", "-1", "@sum", "\t=1", "＝1", "\r=1"] {
            assert_eq!(harmless(text), format!("'{text}"));
        }
        for text in ["2×10 Hem-Fir", "", "a=b", "'=1"] {
            assert_eq!(harmless(text), text);
        }
    }
}
