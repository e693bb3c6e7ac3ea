//! A price keeps its date and where it is from: a price changed by hand is of today and by hand, unless the form says so.

use scantling_takeoff::record::Kind;

use super::compose::Posted;
use crate::clock;

/// What an added price holds where nothing else is said.
pub(crate) const BY_HAND: &str = "by hand";

/// A form that changes a price's amount and leaves its date and source as they were: both become those of the change.
pub(crate) fn dated(kind: Kind, mut posted: Posted) -> Posted {
    let same = |posted: &Posted, name: &str| {
        posted.first(name).unwrap_or("").trim()
            == posted.first(&format!("was.{name}")).unwrap_or("").trim()
    };
    let shown = posted.first("was.price").is_some();
    if kind != Kind::Price || !shown || same(&posted, "price") {
        return posted;
    }
    for (name, text) in [
        ("price_day", clock::today().to_string()),
        ("source", BY_HAND.to_owned()),
    ] {
        if same(&posted, name) {
            posted.0.retain(|(other, _)| other != name);
            posted.0.push((name.to_owned(), text));
        }
    }
    posted
}
