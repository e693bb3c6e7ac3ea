//! Needs as the rules fill them in: a stick to cut, a thing bought by the count, and the words of a figure.
//!
//! What a rule needs, and why, is in its own file. Rules that name a published source name it there.

use super::inputs::{longest_or_say, miss};
use super::{Class, Fill, Need, Serves, StickClass, Sum, Takeoff, result};
use crate::record::{Job, Record, Spot};
use crate::units::{Length, Nominal, parse_nominal};

/// Sticks of one cut length, of the class alone, counting for waste; what differs is set by the caller.
pub(crate) fn stick(
    slot: &str,
    title: &str,
    class: &StickClass,
    count: i64,
    cut: Length,
    mark: &'static str,
) -> Need {
    Need {
        cut: Some(cut),
        mark: Some(mark),
        ..by_count(slot, title, Class::Stick(class.clone()), count)
    }
}

/// What is bought by the count: nails, screws, hardware, sundries.
pub(crate) fn by_count(slot: &str, title: &str, class: Class, count: i64) -> Need {
    Need {
        slot: slot.to_owned(),
        title: title.to_owned(),
        class,
        count,
        cut: None,
        across: None,
        turn: false,
        mark: None,
        serves: Serves::SameClass,
        temporary: false,
        crown_up: false,
        in_waste: true,
        held: None,
        sums: Vec::new(),
        readings: Vec::new(),
    }
}

/// The last line of a stick's arithmetic: its cut length, or the length to buy by while it is held.
pub(crate) fn cut_sum(job: &Job, cut: Length, held: Option<&String>) -> Sum {
    let label = if held.is_some() { "To buy by" } else { "Cut" };
    result(label, cut.echo(job.settings.units), "")
}

/// Whether a cut length is one; if nothing is left of the reading, says to measure again.
pub(crate) fn is_length(cut: Length, spot: Spot, waits: &str, out: &mut Takeoff) -> bool {
    let left = cut > Length::ZERO;
    if !left {
        let text = format!("a reading that leaves a length ({spot}: {cut} in is left)");
        miss(out, &text, waits, Fill::Reading(spot));
    }
    left
}

/// A length that is jointed over the longest stick of its class: how many whole ones, that length, and the rest (all of it
/// where it isn't longer, or the longest isn't known, which is said).
pub(crate) fn jointed(
    job: &Job,
    class: &StickClass,
    length: Length,
    out: &mut Takeoff,
) -> (i64, Length, Length) {
    let most = longest_or_say(job, class, out).map(|most| most - job.settings.trim);
    match most.filter(|most| *most > Length::ZERO && length > *most) {
        Some(most) => {
            let whole = length.div_up(most) - 1;
            (whole, most, length - most * whole)
        }
        None => (0, length, length),
    }
}

/// A length in inches, as it stands in arithmetic: `147 1/4 in`.
pub(crate) fn inches(length: Length) -> String {
    format!("{length} in")
}

/// The nominal size that a field of a change holds.
pub(crate) fn size_of(change: &Record, field: &str) -> Option<Nominal> {
    parse_nominal(change.text(field)?).ok()
}
