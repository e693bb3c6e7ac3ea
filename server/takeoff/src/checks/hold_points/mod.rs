//! Hold points: what must stand, and be released by a named person, before an event of a change.
//!
//! [`table`] is the rules as data: event, kinds, effect, what must stand, whether it can be skipped, source. Gates go by
//! effect, not by name. What stands is worked out from the record (`judge`); a release names the revision of each thing
//! that stood, so it reopens by itself when one of them changes. The lead releases, on every way in the same rule
//! ([`may_move`]); nothing here approves anything.
//!
//! | file | what it holds |
//! | --- | --- |
//! | `table` | the rows and their words |
//! | `effect`, `line` | what a change does, and what else is planned at its wall |
//! | `papers` | engineer, permit, inspection, lead, asbestos |
//! | `judge` | whether something stands, why, on which facts |

mod effect;
mod judge;
mod line;
mod papers;
pub mod table;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use uuid::Uuid;

pub use effect::{Effect, why_it_carries};
pub use judge::Fix;
pub use line::stands;
pub use papers::About;
pub use table::{ASKS, Ask, CanSkip, Event, Move, Sort};

use crate::checks::on_record::heights::{self, HeightAt};
use crate::record::{FieldProblem, Job, Kind, Record, What, day_there};
use judge::Asked;
use line::Line;
use table::{ROWS, Row};

/// Revisions of conditions stay below this, so that every place that keeps one can hold it.
const REVISIONS: u64 = 999_999_999;

/// A hold point of a change: an event with what must stand before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gate {
    /// The event.
    pub event: Event,
    /// Before which move of the change.
    pub before: Move,
    /// What must stand.
    pub conditions: Vec<Condition>,
    /// The release that counts, if there is one.
    pub release: Option<Release>,
    /// How it stands.
    pub state: GateState,
    /// Where the rule is from.
    pub source: &'static str,
}

/// Something that must stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Condition {
    /// What.
    pub ask: Ask,
    /// How it stands.
    pub state: Stands,
    /// Why, in a sentence without its full stop; may be empty for a tick.
    pub why: String,
    /// The revision of what it rests on: the same facts, the same number.
    pub rev: i64,
    /// What helps where it doesn't stand.
    pub fix: Option<Fix>,
}

/// How a condition stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stands {
    /// It does.
    Yes,
    /// It doesn't.
    No,
    /// Somebody has to look, and ticks it with the release.
    ToBeSeen,
    /// The lead skipped it.
    Skipped {
        /// The entry's thing, to take it back by.
        skip: Uuid,
        /// Who.
        by: Uuid,
        /// When, UTC, RFC 3339.
        at: String,
        /// Why.
        reason: String,
    },
}

/// A release.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Release {
    /// Its thing in the record.
    pub hold: Uuid,
    /// Who released.
    pub by: Uuid,
    /// When, UTC, RFC 3339.
    pub at: String,
    /// What was said; may be empty.
    pub note: String,
    /// The photo that goes with it.
    pub photo: Option<Uuid>,
}

/// How a gate stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GateState {
    /// Something doesn't stand yet.
    Held,
    /// All stands; the lead may release it.
    Ready,
    /// Released, and everything is as it was then.
    Released,
    /// It was released, and this changed since.
    Reopened(Vec<Ask>),
    /// Behind the change: it is done, and no shore stands in its line any more.
    Past,
}

impl Gate {
    /// Whether the move may pass it.
    pub fn is_open(&self) -> bool {
        matches!(self.state, GateState::Released | GateState::Past)
    }

    /// What of it doesn't stand.
    pub fn lacks(&self) -> impl Iterator<Item = &Condition> {
        self.conditions
            .iter()
            .filter(|condition| condition.state == Stands::No)
    }
}

/// The hold points of a change, in working order; none for what cuts, opens, carries and covers nothing.
pub fn gates(job: &Job, change: &Record) -> Vec<Gate> {
    if !change.kind.is_change() {
        return Vec::new();
    }
    let rows: Vec<&Row> = ROWS
        .iter()
        .filter(|row| row.kinds.contains(&change.kind) && row.effect.is_of(job, change))
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let asked = Asked {
        job,
        change,
        line: Line::of(job, change),
    };
    rows.into_iter().map(|row| gate(&asked, row)).collect()
}

/// Of a change's gates, those that a move into under way, into done, or of a shore into struck, can't pass yet. Empty: it
/// may.
pub fn in_the_way(gates: &[Gate], to: Move) -> Vec<&Gate> {
    let counts = |gate: &&Gate| match (to, gate.before) {
        (Move::Struck, before) => before == Move::Struck,
        // The last cut is a next one, too: what the record shows of it must stand. The look goes by the day.
        (Move::Done, Move::EachTime) => gate.lacks().next().is_some(),
        (to, before) => before <= to,
    };
    gates
        .iter()
        .filter(|gate| counts(gate) && !gate.is_open())
        .collect()
}

/// Whether a change may make a move, by its gates.
///
/// # Errors
/// What stands in the way, in a sentence for each gate.
pub fn may_move(change: &Record, gates: &[Gate], to: Move) -> Result<(), String> {
    let closed = in_the_way(gates, to);
    if closed.is_empty() {
        return Ok(());
    }
    Err(held(change, &closed))
}

/// Whether the shoring of a cut was looked at on the day of a move of it, and the heights under load read: the release of
/// the first cut does for its own day, each later one takes a look and the heights of that day. Asked only while a shore
/// stands in its line.
///
/// `moment` is the move's, RFC 3339; `offset` what the clock of whoever moves it is ahead of UTC, in minutes.
///
/// Source: common practice, no published source.
///
/// # Errors
/// That it wasn't, and what to do.
pub fn looked_at_that_day(
    job: &Job,
    change: &Record,
    gates: &[Gate],
    (moment, offset): (&str, i32),
) -> Result<(), String> {
    let of = |event: Event| gates.iter().find(|gate| gate.event == event);
    let (Some(first), Some(_)) = (of(Event::FirstCut), of(Event::NextCut)) else {
        return Ok(());
    };
    let day_of = |moment: &str| day_there(moment, offset).map(|day| i64::from(day.to_julian_day()));
    let (Some(release), Some(day)) = (&first.release, day_of(moment)) else {
        return Ok(());
    };
    let line = Line::of(job, change);
    let is_that_day = |at: &str| day_of(at).is_some_and(|seen| seen >= day);
    if is_that_day(&release.at) || line.standing().next().is_none() {
        return Ok(());
    }
    // By the day that was written down, or by when it was: a form's day may be that of another clock.
    let was_seen =
        looks(job, change).any(|look| look.number("day").max(day_of(&look.at)) >= Some(day));
    let title = Event::NextCut.title();
    let name = change.name();
    if !was_seen {
        return Err(format!(
            "{name}: its shoring was not looked at on this day. Look at it under load, write that down at the hold point “{title}”, then go on."
        ));
    }
    for shore in line.standing() {
        let points = heights::points(job, shore, What::UnderLoad);
        let is_old = |point: &&HeightAt| {
            let newest = job.measured(&point.now).and_then(|read| read.all.last());
            !newest.is_some_and(|newest| is_that_day(&newest.at))
        };
        if let Some(point) = points.iter().find(is_old) {
            return Err(format!(
                "{name}: not read on this day at {}: {}. Read the heights under load at the points of “{title}”, then go on.",
                shore.name(),
                point.now
            ));
        }
    }
    Ok(())
}

/// That a change is held, and by what.
fn held(change: &Record, by: &[&Gate]) -> String {
    let each: Vec<String> = by.iter().map(|gate| in_words(gate)).collect();
    format!(
        "{} is held. {} The lead releases a hold point on the change’s page.",
        change.name(),
        each.join(" ")
    )
}

/// A gate that is closed, in a sentence: `First cut: not released. Permit: not on record.`
pub fn in_words(gate: &Gate) -> String {
    let lacks: Vec<String> = gate
        .lacks()
        .map(|one| format!("{}: {}", one.ask.title(), one.why))
        .collect();
    let state = match &gate.state {
        GateState::Reopened(changed) => {
            let said = |ask: &Ask| {
                let now = gate.lacks().find(|one| one.ask == *ask);
                now.map_or(ask.title().to_owned(), |one| {
                    format!("{}: {}", ask.title(), one.why)
                })
            };
            let all: Vec<String> = changed.iter().map(said).collect();
            format!("released once, but this changed since: {}", all.join("; "))
        }
        GateState::Ready => "all stands, not released yet".to_owned(),
        GateState::Held => lacks.join("; "),
        GateState::Released | GateState::Past => "released".to_owned(),
    };
    format!("{}: {state}.", gate.event.title())
}

/// Whether an event of a change may be written down: its own gate, where it has one, is open. That the shoring was looked
/// at again takes no release, only that the heights under load are read and within 1/8 in.
///
/// # Errors
/// What stands in the way.
pub fn may_happen(job: &Job, change: &Record, event: Event) -> Result<(), String> {
    let all = gates(job, change);
    let own = all.iter().find(|gate| gate.event == event);
    let is_held = |gate: &&Gate| match gate.event {
        Event::NextCut => gate.lacks().next().is_some(),
        _ => !gate.is_open(),
    };
    match own.filter(is_held) {
        Some(gate) => Err(held(change, &[gate])),
        None => Ok(()),
    }
}

/// What a release came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Releasing {
    /// It releases.
    Released,
    /// These are not as they were seen: condition, the revision that stands, what is so now.
    Differs(Vec<(Ask, i64, String)>),
    /// It can't be one.
    Refused(FieldProblem),
}

/// What a release comes to: it counts only if everything stands at the revisions that were seen, and all that is to be
/// looked at is ticked.
pub fn releasing(
    job: &Job,
    change: &Record,
    event: Event,
    ticked: &[Ask],
    base: &BTreeMap<String, i64>,
) -> Releasing {
    let all = gates(job, change);
    let Some(gate) = all.iter().find(|gate| gate.event == event) else {
        return Releasing::Refused(FieldProblem::new(
            "event",
            format!(
                "{} has no hold point “{}”. Open its page for those that it has.",
                change.name(),
                event.title()
            ),
        ));
    };
    if gate.state == GateState::Past {
        return Releasing::Refused(FieldProblem::new(
            "event",
            format!("{} is done: nothing is left to release.", change.name()),
        ));
    }
    let differs: Vec<(Ask, i64, String)> = gate
        .conditions
        .iter()
        .filter(|one| one.state == Stands::No || base.get(one.ask.name()) != Some(&one.rev))
        .map(|one| (one.ask, one.rev, one.why.clone()))
        .collect();
    if !differs.is_empty() {
        return Releasing::Differs(differs);
    }
    let open = gate
        .conditions
        .iter()
        .find(|one| one.state == Stands::ToBeSeen && !ticked.contains(&one.ask));
    match open {
        Some(one) => Releasing::Refused(FieldProblem::new(
            "seen",
            format!("Not ticked: {}. Look at it, then tick it.", one.ask.title()),
        )),
        None => Releasing::Released,
    }
}

/// Whether the lead may skip something that a gate asks for.
///
/// # Errors
/// Why not.
pub fn may_skip(job: &Job, change: &Record, event: Event, ask: Ask) -> Result<(), FieldProblem> {
    let problem = |text: String| Err(FieldProblem::new("condition", text));
    let all = gates(job, change);
    let gate = all.iter().find(|gate| gate.event == event);
    if !gate.is_some_and(|gate| gate.conditions.iter().any(|one| one.ask == ask)) {
        return problem(format!(
            "“{}” of {} doesn’t wait for: {}. Open the hold point’s page for what it waits for.",
            event.title(),
            change.name(),
            ask.title()
        ));
    }
    if ask.skip() == CanSkip::Never {
        return problem(format!(
            "{}: this can’t be skipped. Services, shoring and hangers never are.",
            ask.title()
        ));
    }
    Ok(())
}

/// What a form that releases shows now: each condition's stored word with its revision. Empty where there is no such gate.
pub fn seen(job: &Job, change: &Record, event: Event) -> BTreeMap<String, i64> {
    gates(job, change)
        .into_iter()
        .filter(|gate| gate.event == event)
        .flat_map(|gate| gate.conditions)
        .map(|one| (one.ask.name().to_owned(), one.rev))
        .collect()
}

/// What a release keeps of each condition that it saw: its stored word and its revision.
pub fn stood(base: &BTreeMap<String, i64>) -> Vec<String> {
    base.iter()
        .filter(|(name, _)| Ask::named(name).is_some())
        .map(|(name, rev)| format!("{name} {rev}"))
        .collect()
}

/// When the shoring of a change was last looked at again, by the events written down: day as a Julian number, who wrote it.
pub fn looked_at(job: &Job, change: &Record) -> Option<(i64, Uuid)> {
    looks(job, change)
        .filter_map(|look| Some((look.number("day")?, look.by)))
        .max()
}

/// The looks at the shoring of a change that were written down.
fn looks<'a>(job: &'a Job, change: &Record) -> impl Iterator<Item = &'a Record> {
    let of = change.id;
    job.all(Kind::Event)
        .filter(move |event| event.to("of") == Some(of))
        .filter(|event| event.says("event", Event::NextCut.name()))
}

/// Releases of a change that did not count because something differed, newest first.
pub fn not_released(job: &Job, change: Uuid) -> Vec<&Record> {
    let mut all: Vec<&Record> = job
        .records()
        .filter(|one| one.kind == Kind::Hold && one.to("of") == Some(change))
        .filter(|one| one.texts("stood").is_empty() && one.gone.is_some())
        .collect();
    all.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    all
}

/// Shores that stand, each with its keeper where one is named: nothing is stored on their floors.
pub fn standing_shores(job: &Job) -> Vec<&Record> {
    job.all(Kind::Shore).filter(|shore| stands(shore)).collect()
}

fn gate(asked: &Asked<'_>, row: &Row) -> Gate {
    let conditions: Vec<Condition> = row
        .asks
        .iter()
        .filter(|ask| asked.is_asked(row.event, **ask))
        .map(|ask| condition(asked, row.event, *ask))
        .collect();
    let (job, change) = (asked.job, asked.change);
    let newest = newest_release(job, change.id, row.event);
    let is_past = match row.before {
        Move::Struck => change.says("struck", "yes"),
        _ if change.kind == Kind::Shore => change.says("struck", "yes"),
        _ => change.state == "done" && asked.line.standing().next().is_none(),
    };
    let state = if is_past {
        GateState::Past
    } else if let Some(release) = newest {
        let changed = changed_since(release, &conditions);
        if changed.is_empty() {
            GateState::Released
        } else {
            GateState::Reopened(changed)
        }
    } else if conditions.iter().any(|one| one.state == Stands::No) {
        GateState::Held
    } else {
        GateState::Ready
    };
    Gate {
        event: row.event,
        before: row.before,
        release: newest.map(|release| Release {
            hold: release.id,
            by: release.by,
            at: release.at.clone(),
            note: release.text("note").unwrap_or("").to_owned(),
            photo: release.to("photo"),
        }),
        conditions,
        state,
        source: row.source,
    }
}

/// The newest release of an event of a change that counted; none where that one was taken back, whatever came before it.
fn newest_release(job: &Job, change: Uuid, event: Event) -> Option<&Record> {
    job.records()
        .filter(|one| one.kind == Kind::Hold && one.to("of") == Some(change))
        .filter(|one| one.says("event", event.name()) && !one.texts("stood").is_empty())
        .max_by(|a, b| (&a.at, a.id).cmp(&(&b.at, b.id)))
        .filter(|newest| newest.gone.is_none())
}

/// What stands otherwise than it did when it was released.
fn changed_since(release: &Record, conditions: &[Condition]) -> Vec<Ask> {
    let stood: BTreeMap<&str, i64> = release
        .texts("stood")
        .into_iter()
        .filter_map(|text| text.split_once(' '))
        .filter_map(|(name, rev)| Some((name, rev.parse().ok()?)))
        .collect();
    conditions
        .iter()
        .filter(|one| one.state == Stands::No || stood.get(one.ask.name()) != Some(&one.rev))
        .map(|one| one.ask)
        .collect()
}

fn condition(asked: &Asked<'_>, event: Event, ask: Ask) -> Condition {
    let mut found = asked.judge(ask);
    let skip = asked
        .job
        .all(Kind::Skip)
        .filter(|skip| ask.skip() == CanSkip::WithReason && skip.to("of") == Some(asked.change.id))
        .filter(|skip| skip.says("event", event.name()) && skip.says("condition", ask.name()))
        .max_by(|a, b| (&a.at, a.id).cmp(&(&b.at, b.id)));
    let mut state = match (ask.sort(), found.stands) {
        (Sort::Seen, _) => Stands::ToBeSeen,
        (_, true) => Stands::Yes,
        (_, false) => Stands::No,
    };
    // Once skipped it stays so, and rests on that alone: that it comes right later reopens nothing.
    if let Some(skip) = skip {
        let reason = skip.text("reason").unwrap_or("").to_owned();
        found.facts = vec![format!("skipped {} {reason}", skip.at)];
        state = Stands::Skipped {
            skip: skip.id,
            by: skip.by,
            at: skip.at.clone(),
            reason,
        };
        found.fix = None;
    }
    Condition {
        ask,
        rev: revision(asked.change.week(), ask, &found.facts),
        state,
        why: found.why,
        fix: found.fix,
    }
}

/// The revision of facts: FNV-1a (Fowler, Noll, Vo) over them, with the week of the change, so that a change that moves to
/// another week is released anew. Ids are no part of it.
fn revision(week: u32, ask: Ask, facts: &[String]) -> i64 {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let week = week.to_string();
    let parts = [ask.name(), &week[..]].into_iter();
    for part in parts.chain(facts.iter().map(String::as_str)) {
        for byte in part.bytes().chain([0x1d]) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    i64::try_from(hash.rem_euclid(REVISIONS)).unwrap_or(0) + 1
}
