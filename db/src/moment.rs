//! Moments as stored: UTC, RFC 3339 with milliseconds and `Z`, so that they sort as text. No clock: times come in.

use time::format_description::well_known::Rfc3339;
use time::macros::format_description;
use time::{OffsetDateTime, UtcOffset};

/// A moment as it is stored, cut to the millisecond.
fn moment(at: OffsetDateTime) -> String {
    at.to_offset(UtcOffset::UTC)
        .format(format_description!(
            "[year]-[month]-[day]T[hour]:[minute]:[second].[subsecond digits:3]Z"
        ))
        .expect("a moment has every part that its text names")
}

/// A moment as sent, RFC 3339 in any offset, in the stored form; `None` if it can't be read.
pub(crate) fn read(text: &str) -> Option<String> {
    let at = OffsetDateTime::parse(text, &Rfc3339).ok()?;
    let at = at.checked_to_offset(UtcOffset::UTC)?;
    (1..=9_999).contains(&at.year()).then(|| moment(at))
}

/// The moment so many milliseconds after a stored one.
pub(crate) fn after(text: &str, milliseconds: i64) -> Option<String> {
    let at = OffsetDateTime::parse(text, &Rfc3339).ok()?;
    at.checked_to_offset(UtcOffset::UTC)?
        .checked_add(time::Duration::milliseconds(milliseconds))
        .map(moment)
}

/// Whole seconds from one stored moment to another, cut towards zero.
pub(crate) fn seconds_between(from: &str, to: &str) -> Option<i64> {
    let read = |text| OffsetDateTime::parse(text, &Rfc3339).ok();
    Some((read(to)? - read(from)?).whole_seconds())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_in_any_offset_come_out_in_one_form_that_sorts() {
        assert_eq!(
            read("2026-11-25T07:13:30.9389-05:00").as_deref(),
            Some("2026-11-25T12:13:30.938Z")
        );
        assert_eq!(
            read("2026-11-25T07:13:30Z").as_deref(),
            Some("2026-11-25T07:13:30.000Z")
        );
        assert_eq!(read("yesterday"), None);
        assert_eq!(read("9999-12-31T23:59:59-10:00"), None);
    }

    #[test]
    fn a_millisecond_later_is_later_as_text_too() {
        let one = "2026-12-31T23:59:59.999Z";
        assert_eq!(after(one, 1).as_deref(), Some("2027-01-01T00:00:00.000Z"));
    }
}
