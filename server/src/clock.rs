//! The server's clock and its new ids: the only place where either is read.

use scantling_takeoff::record::day_there;
use time::format_description::FormatItem;
use time::macros::format_description;
use time::{Date, OffsetDateTime};
use uuid::Uuid;

const STAMP: &[FormatItem<'static>] =
    format_description!("[year]-[month]-[day]T[hour]:[minute]:[second].[subsecond digits:3]Z");

const DAY: &[FormatItem<'static>] = format_description!("[year]-[month]-[day]");

/// Now, UTC, RFC 3339 with milliseconds: sorts as text.
pub(crate) fn now() -> String {
    stamp(OffsetDateTime::now_utc())
}

/// A moment in that form.
pub(crate) fn stamp(at: OffsetDateTime) -> String {
    at.format(STAMP)
        .unwrap_or_else(|_| "1970-01-01T00:00:00.000Z".to_owned())
}

/// Today, UTC.
pub(crate) fn today() -> Date {
    OffsetDateTime::now_utc().date()
}

/// The day of a stamp so many minutes from UTC, as in `2026-10-12`; of a stamp that can't be read, its first ten signs.
pub(crate) fn day_at(stamp: &str, tz_offset_min: i32) -> String {
    match day_there(stamp, tz_offset_min) {
        Some(day) => day.to_string(),
        None => stamp.get(..10).unwrap_or("").to_owned(),
    }
}

/// A new id.
pub(crate) fn new_id() -> Uuid {
    Uuid::now_v7()
}

/// A day in words, as in `Tue Oct 14`.
pub(crate) fn day_words(day: Date) -> String {
    day.format(format_description!(
        "[weekday repr:short] [month repr:short] [day padding:none]"
    ))
    .unwrap_or_default()
}

/// The day of a stamp; none where it is none.
pub(crate) fn stamp_date(stamp: &str) -> Option<Date> {
    Date::parse(stamp.get(..10)?, DAY).ok()
}

/// A stamp to the minute in words, as in `Oct 14, 07:13 UTC`; empty where it is none.
pub(crate) fn stamp_minute(stamp: &str) -> String {
    match (stamp_day(stamp), stamp.get(11..16)) {
        (day, Some(minute)) if !day.is_empty() => format!("{day}, {minute} UTC"),
        (day, _) => day,
    }
}

/// The day of a stamp in words, as in `Oct 14`; empty where it is none.
pub(crate) fn stamp_day(stamp: &str) -> String {
    Date::parse(
        stamp.get(..10).unwrap_or(""),
        format_description!("[year]-[month]-[day]"),
    )
    .ok()
    .and_then(|day| {
        day.format(format_description!("[month repr:short] [day padding:none]"))
            .ok()
    })
    .unwrap_or_default()
}
