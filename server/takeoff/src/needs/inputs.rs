//! What the rules read: readings that count, classes of new lumber, nails chosen, defaults. One place for each, so that
//! a missing input is said in the same words everywhere.
//!
//! Nothing here guesses: an input that is neither recorded nor in the table of defaults is pushed to `missing`.

use uuid::Uuid;

use super::{Fill, Finding, Missing, StickClass, Takeoff, Treatment, Verdict};
use crate::record::registry::fields_of;
use crate::record::{Agreement, Job, Kind, Record, Spot};
use crate::tables::fastening::{Connection, FasteningRow};
use crate::tables::ps20::{Seasoning, default_seasoning, dressed};
use crate::units::{Length, Nominal, parse_nominal};

/// A reading that counts, and why a cut may not go by it yet.
#[derive(Clone, Debug)]
pub(crate) struct Read {
    /// The length.
    pub(crate) value: Length,
    /// The reading that counts.
    pub(crate) reading: Uuid,
    /// Why not to cut by it: single or disputed.
    pub(crate) held: Option<String>,
}

/// What counts at a spot, if anything was read there.
pub(crate) fn read(job: &Job, spot: &Spot) -> Option<Read> {
    let measured = job.measured(spot)?;
    let held = match measured.state {
        Agreement::Agreed => None,
        Agreement::Single => Some(format!(
            "{}: {spot} is read once. Measure again.",
            job.name(spot.of)
        )),
        Agreement::Disputed => Some(format!(
            "{}: readings of {spot} differ. Measure again.",
            job.name(spot.of)
        )),
    };
    Some(Read {
        value: measured.value,
        reading: measured.counts,
        held,
    })
}

/// The same; where nothing was read, says so: `waits` is what waits for it.
pub(crate) fn must_read(
    job: &Job,
    spot: Spot,
    text: &str,
    waits: &str,
    out: &mut Takeoff,
) -> Option<Read> {
    let found = read(job, &spot);
    if found.is_none() {
        miss(out, text, waits, Fill::Reading(spot));
    }
    found
}

/// Says what is missing and what waits for it.
pub(crate) fn miss(out: &mut Takeoff, text: &str, waits: &str, fill: Fill) {
    let missing = Missing {
        text: text.to_owned(),
        waits: waits.to_owned(),
        fill,
    };
    if !out.missing.contains(&missing) {
        out.missing.push(missing);
    }
}

/// A field of the change, else says that it is missing.
pub(crate) fn must_have<T>(
    found: Option<T>,
    of: Uuid,
    field: &'static str,
    text: &str,
    waits: &str,
    out: &mut Takeoff,
) -> Option<T> {
    if found.is_none() {
        miss(out, text, waits, Fill::Field { of, field });
    }
    found
}

/// A length setting: the change's field of that name, else the job's, else the default.
pub(crate) fn setting(
    job: &Job,
    change: &Record,
    own: &str,
    of_job: &str,
    default: Length,
) -> Length {
    change
        .length(own)
        .or_else(|| job.record().and_then(|record| record.length(of_job)))
        .unwrap_or(default)
}

/// A counted setting, likewise.
pub(crate) fn counted(job: &Job, change: &Record, own: &str, of_job: &str, default: i64) -> i64 {
    change
        .number(own)
        .or_else(|| job.record().and_then(|record| record.number(of_job)))
        .unwrap_or(default)
}

/// A nominal size: the change's field of that name, else the job's, else the default.
pub(crate) fn nominal(
    job: &Job,
    change: &Record,
    own: &str,
    of_job: &str,
    default: &str,
) -> Option<Nominal> {
    let text = change
        .text(own)
        .or_else(|| job.record().and_then(|record| record.text(of_job)))
        .unwrap_or(default);
    parse_nominal(text).ok()
}

/// The class of a new stick of this nominal size: species and grade of the change, else the job's usual ones; dressed as
/// the change says, else as the price book's row does, else dry to 4 in thick and green from 5 in. Change kinds without a
/// treatment field are untreated.
///
/// Source of the dressed size: PS 20 (see `tables::ps20`).
#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "the signature that every rule file is written against"
)]
pub(crate) fn stick_class(
    job: &Job,
    change: &Record,
    nominal: &Nominal,
    treatment: Treatment,
    waits: &str,
    out: &mut Takeoff,
) -> Option<StickClass> {
    let species = change
        .text("species")
        .map(str::to_owned)
        .or_else(|| job.settings.species.clone());
    let grade = change
        .text("grade")
        .map(str::to_owned)
        .or_else(|| job.settings.grade.clone());
    let species = must_have(
        species,
        job.id,
        "species",
        "the species of new lumber",
        waits,
        out,
    )?;
    let grade = must_have(
        grade,
        job.id,
        "grade",
        "the grade of new lumber",
        waits,
        out,
    )?;
    let seasoning = seasoning(job, change, *nominal, &species, &grade, treatment);
    let size = dressed(*nominal, seasoning);
    let size = must_have(
        size,
        change.id,
        "nominal",
        &format!("a dressed size for {nominal}: PS 20 has none"),
        waits,
        out,
    )?;
    Some(StickClass {
        nominal: *nominal,
        dressed: size,
        species,
        grade,
        treatment,
    })
}

/// Dry or green as sold: as the change says (where its kind has the field), else as the price book's row of this lumber
/// does, else dry to 4 in thick and green from 5 in.
pub(crate) fn seasoning(
    job: &Job,
    change: &Record,
    nominal: Nominal,
    species: &str,
    grade: &str,
    treatment: Treatment,
) -> Seasoning {
    let own = fields_of(change.kind)
        .iter()
        .any(|field| field.name == "seasoning")
        .then(|| change.text("seasoning"))
        .flatten();
    let of_row = || {
        job.all(Kind::Price)
            .filter(|row| {
                row.text("nominal")
                    .and_then(|text| parse_nominal(text).ok())
                    == Some(nominal)
                    && row.text("species") == Some(species)
                    && row.text("grade") == Some(grade)
                    && row.says("treatment", "treated") == (treatment == Treatment::Treated)
            })
            .find_map(|row| row.text("seasoning"))
    };
    match own.or_else(of_row) {
        Some("green") => Seasoning::Green,
        Some(_) => Seasoning::Dry,
        None => default_seasoning(nominal),
    }
}

/// The longest stick of a class that is sold and can be carried in; `None` where nothing is known of either.
pub(crate) fn longest(job: &Job, class: &StickClass) -> Option<Length> {
    let sold = job
        .all(Kind::Price)
        .filter(|row| is_sold_as(row, class))
        .filter_map(|row| row.length("length"))
        .filter(|length| {
            job.settings
                .longest_stick
                .is_none_or(|most| *length <= most)
        })
        .max();
    sold.or(job.settings.longest_stick)
}

/// The same; where nothing is known of either, says that such a need is counted in one piece.
pub(crate) fn longest_or_say(job: &Job, class: &StickClass, out: &mut Takeoff) -> Option<Length> {
    let most = longest(job, class);
    if most.is_none() {
        let finding = Finding {
            verdict: Verdict::Said,
            text: format!(
                "How long {class} is sold and can be carried in isn’t recorded: it is counted in one piece. Record it in the price book."
            ),
        };
        if !out.findings.contains(&finding) {
            out.findings.push(finding);
        }
    }
    most
}

/// Whether a row of the price book sells this class of stick.
pub(crate) fn is_sold_as(row: &Record, class: &StickClass) -> bool {
    row.says("section", "stick")
        && row
            .text("nominal")
            .and_then(|text| parse_nominal(text).ok())
            .as_ref()
            == Some(&class.nominal)
        && row.text("species") == Some(class.species.as_str())
        && row.text("grade") == Some(class.grade.as_str())
        && row.says("treatment", "treated") == (class.treatment == Treatment::Treated)
}

/// The row of the fastening schedule for the nail chosen for this connection: the change's field `own` (if it has one),
/// else the job's field `of_job`. None chosen, or not in the schedule: "nail for …".
///
/// Source: IRC Table R602.3(1), see `tables::fastening`.
pub(crate) fn nail(
    job: &Job,
    change: &Record,
    own: Option<&str>,
    of_job: &'static str,
    connection: Connection,
    waits: &str,
    out: &mut Takeoff,
) -> Option<&'static FasteningRow> {
    let chosen = own
        .and_then(|field| change.text(field))
        .or_else(|| job.record().and_then(|record| record.text(of_job)));
    let row = chosen.and_then(|name| connection.rows().iter().find(|row| row.nail.text() == name));
    if row.is_none() {
        let text = format!("nail for {}", connection.title());
        miss(
            out,
            &text,
            waits,
            Fill::Field {
                of: job.id,
                field: of_job,
            },
        );
    }
    row
}

/// A fastener chosen as text: the change's field, else the job's, else the default, else "needs: …".
#[expect(
    clippy::too_many_arguments,
    reason = "each is one thing to look up or to say"
)]
pub(crate) fn fastener(
    job: &Job,
    change: &Record,
    own: &'static str,
    of_job: &'static str,
    default: Option<&str>,
    text: &str,
    waits: &str,
    out: &mut Takeoff,
) -> Option<super::FastenerClass> {
    let chosen = change
        .text(own)
        .or_else(|| job.record().and_then(|record| record.text(of_job)))
        .or(default)
        .map(str::to_owned);
    let chosen = must_have(chosen, job.id, of_job, text, waits, out)?;
    Some(fastener_class(job, &chosen))
}

/// The class of a nail or screw, with the job's usual coating.
pub(crate) fn fastener_class(job: &Job, what: &str) -> super::FastenerClass {
    super::FastenerClass::new(
        what,
        job.record()
            .and_then(|record| record.text("coating"))
            .unwrap_or(""),
    )
}

/// Treated or not, of a kind of change that has the field.
pub(crate) fn treatment(change: &Record) -> Treatment {
    if change.says("treatment", "treated") {
        Treatment::Treated
    } else {
        Treatment::None
    }
}
