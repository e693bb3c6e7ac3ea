//! The buy list for the yard: CSV (RFC 4180, CRLF, formula cells made harmless) and text to paste.

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{BuyLine, BuyList, buy_list};
use scantling_takeoff::record::{Job, Kind, Record};
use scantling_takeoff::units::{Length, Money, decimal_text};
use uuid::Uuid;

use super::ways::Ways;
use crate::error::HttpError;
use crate::pages::buy_list::{count_words, plain_money, query, section_words, total_words};
use crate::pages::{materials, shell};
use crate::state::State;

/// The CSV: in a supplier's own way where the list is of one supplier, or where one is asked for; else in ours.
pub(crate) async fn csv(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    let mut list = buy_list(&job, &weeks);
    let supplier = match asked.iter().find(|(name, _)| name == "supplier") {
        Some((_, id)) => Some(named(&job, id).ok_or(HttpError::NotFound)?),
        None => only_supplier(&job, &list),
    };
    let ways = supplier.map_or_else(Ways::ours, Ways::of);
    if let Some(supplier) = supplier {
        list.lines
            .retain(|line| line.supplier.as_deref() == Some(supplier.name()));
    }
    let of = supplier.map_or_else(
        || "buy-list".to_owned(),
        |supplier| file_words(supplier.name()),
    );
    let name = format!(
        "{of}-week-{}.{}",
        query(&weeks).replace(',', "-"),
        ways.extension()
    );
    Ok(HttpResponse::Ok()
        .content_type(ways.media_type())
        .insert_header((
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ))
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .body(csv_as(&job, &list, &ways)?))
}

fn named<'a>(job: &'a Job, id: &str) -> Option<&'a Record> {
    job.get(Uuid::parse_str(id).ok()?)
        .filter(|record| record.kind == Kind::Supplier)
}

/// The suppliers of what is still to buy, by name.
pub(crate) fn suppliers<'a>(job: &'a Job, list: &BuyList) -> Vec<&'a Record> {
    job.all(Kind::Supplier)
        .filter(|supplier| {
            list.lines
                .iter()
                .any(|line| line.to_buy > 0 && line.supplier.as_deref() == Some(supplier.name()))
        })
        .collect()
}

/// The supplier of every line that is still to buy, where it is one.
fn only_supplier<'a>(job: &'a Job, list: &BuyList) -> Option<&'a Record> {
    let everywhere = list
        .lines
        .iter()
        .all(|line| line.to_buy == 0 || line.supplier.is_some());
    match suppliers(job, list).as_slice() {
        [one] if everywhere => Some(*one),
        _ => None,
    }
}

/// A name as part of a file's name: small letters, digits and hyphens.
pub(crate) fn file_words(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                ' '
            }
        })
        .collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    if words.is_empty() {
        "order".to_owned()
    } else {
        words.join("-")
    }
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

/// The list as this supplier takes it.
pub(crate) fn csv_for(
    job: &Job,
    supplier: Option<Uuid>,
    list: &BuyList,
) -> Result<Vec<u8>, HttpError> {
    match supplier.and_then(|id| job.get(id)) {
        Some(supplier) => csv_as(job, list, &Ways::of(supplier)),
        None => csv_of(job, list),
    }
}

/// The list as CSV, in our own way.
pub(crate) fn csv_of(job: &Job, list: &BuyList) -> Result<Vec<u8>, HttpError> {
    csv_as(job, list, &Ways::ours())
}

/// The lines still to buy as CSV, in a supplier's way.
pub(crate) fn csv_as(job: &Job, list: &BuyList, ways: &Ways) -> Result<Vec<u8>, HttpError> {
    let failed = |_| HttpError::Broken("the CSV could not be written");
    let start = if ways.bom { "\u{feff}" } else { "" };
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .delimiter(ways.separator)
        .from_writer(start.as_bytes().to_vec());
    for record in rows(job, list, ways, usize::MAX) {
        writer.write_record(&record).map_err(failed)?;
    }
    writer
        .into_inner()
        .map_err(|_| HttpError::Broken("the CSV could not be written"))
}

/// The headings and at most so many lines, cell by cell.
pub(crate) fn rows(job: &Job, list: &BuyList, ways: &Ways, most: usize) -> Vec<Vec<String>> {
    let headings = ways
        .columns
        .iter()
        .map(|(_, heading)| harmless(heading))
        .collect();
    let lines = list
        .lines
        .iter()
        .filter(|line| line.to_buy > 0)
        .take(most)
        .map(|line| {
            ways.columns
                .iter()
                .map(|(column, _)| cell(job, line, column, ways))
                .collect()
        });
    std::iter::once(headings).chain(lines).collect()
}

fn cell(job: &Job, line: &BuyLine, column: &str, ways: &Ways) -> String {
    let money = |amount: Option<Money>| {
        amount.map_or_else(String::new, |a| ways.number(&plain_money(a.as_cents())))
    };
    match column {
        "section" => harmless(section_words(line.item.section())),
        "item" => harmless(&line.words),
        "quantity" => ways.number(&quantity(line).0),
        "unit" => harmless(&quantity(line).1),
        "unit_price" => money(line.unit_price),
        "extension" => money(line.extension),
        "supplier" => harmless(line.supplier.as_deref().unwrap_or("")),
        "item_number" => harmless(line.item_number.as_deref().unwrap_or("")),
        "order_by" => line
            .order_by
            .and_then(|day| i32::try_from(day).ok())
            .and_then(|day| time::Date::from_julian_day(day).ok())
            .map_or_else(String::new, |day| day.to_string()),
        "changes" => {
            let names: Vec<&str> = line.changes.iter().map(|id| job.name(*id)).collect();
            harmless(&names.join("; "))
        }
        _ => String::new(),
    }
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
    use super::{file_words, harmless};

    #[test]
    fn a_yards_name_becomes_a_plain_file_name() {
        assert_eq!(file_words("Cobble & Daughters"), "cobble-daughters");
        assert_eq!(file_words("Säge/../x\""), "s-ge-x");
        assert_eq!(file_words("木材"), "order");
    }

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
