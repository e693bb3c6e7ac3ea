//! Whether a change's cut lengths rest on readings that agree.
//!
//! Before the cut is from the moment on that the change is under way. A change that is done isn't asked any more.
//! Source: common practice, no published source.

use super::{Check, CheckKind};
use crate::checks::Measurement;
use crate::checks::fit::agreed::{When, agreed};
use crate::needs::{self, Fill};
use crate::record::{Job, Record};

/// One check of all cut lengths.
pub(super) fn checks(job: &Job, change: &Record, out: &mut Vec<Check>) {
    if change.state == "done" {
        return;
    }
    let takeoff = needs::of_change(job, change);
    let mut all: Vec<Measurement> = takeoff
        .needs
        .iter()
        .filter(|need| need.cut.is_some())
        .map(|need| Measurement {
            what: need.title.clone(),
            value: need.cut,
            agreed: need.held.is_none(),
            readings: need.readings.clone(),
            fill: None,
        })
        .collect();
    let lacking = takeoff
        .missing
        .iter()
        .filter(|missing| matches!(missing.fill, Fill::Reading(_)));
    all.extend(lacking.map(|missing| Measurement::missing(missing.text.clone())));
    let rests_on: Vec<&Measurement> = all
        .iter()
        .filter(|one| one.value.is_none() || !one.readings.is_empty())
        .collect();
    if rests_on.is_empty() {
        return; // nothing is cut by a reading
    }
    let when = if change.state == "under_way" {
        When::BeforeTheCut
    } else {
        When::Planning
    };
    let found = agreed(change.name(), &rests_on, when);
    out.push(Check::of(
        CheckKind::AgreedReadings,
        change,
        change.name(),
        found,
    ));
}
