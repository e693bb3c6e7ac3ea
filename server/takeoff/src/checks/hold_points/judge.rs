//! Whether something that a gate asks for stands, why, on which facts, and what would help.
//!
//! Facts are what the answer rests on: when one of them changes after a release, the release reopens. They name things by
//! name and never by id, so that a copy of a job keeps its releases. Progress (a post that is set by now) is no fact.

mod beam;
mod cut;
mod shoring;

use uuid::Uuid;

use super::line::Line;
use super::papers::{About, in_words, word};
use super::table::{Ask, Event, Sort};
use crate::checks::Verdict;
use crate::needs::Fill;
use crate::record::{Job, Kind, Record, Spot};

/// Houses built before this year: lead paint is assumed. Source: EPA 40 CFR 745.83 (target housing, before 1978).
const LEAD_BEFORE: i64 = 1978;
/// Houses built up to this year: asbestos is assumed. Source: OSHA 29 CFR 1926.1101, presumed in 1980 and before (from
/// memory).
const ASBESTOS_UP_TO: i64 = 1980;

/// What helps where something doesn't stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fix {
    /// A reading, a field, another thing.
    Fill(Fill),
    /// A paper or a word about this, for this thing.
    Paper(About, Uuid),
    /// This change is to be marked done first.
    Finish(Uuid),
    /// This change is to be begun first.
    Begin(Uuid),
    /// A shore along this wall is to be planned.
    PlanShore(Uuid),
    /// This shore is to be struck first.
    Strike(Uuid),
    /// What this needs is to be bought first.
    Buy(Uuid),
    /// A photo of this.
    Photo(Uuid),
}

/// What was found about one thing that is asked for.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// Whether it stands; a tick never does by itself.
    pub(super) stands: bool,
    /// Why, in a sentence without its full stop.
    pub(super) why: String,
    /// What it rests on.
    pub(super) facts: Vec<String>,
    /// What helps.
    pub(super) fix: Option<Fix>,
}

impl Found {
    fn yes(why: impl Into<String>) -> Self {
        Self {
            stands: true,
            why: why.into(),
            facts: Vec::new(),
            fix: None,
        }
    }

    fn no(why: impl Into<String>, fix: Fix) -> Self {
        Self {
            stands: false,
            fix: Some(fix),
            ..Self::yes(why)
        }
    }

    fn on(mut self, facts: Vec<String>) -> Self {
        self.facts = facts;
        self
    }
}

/// What a judge looks at.
pub(super) struct Asked<'a> {
    pub(super) job: &'a Job,
    pub(super) change: &'a Record,
    pub(super) line: Line<'a>,
}

impl Asked<'_> {
    /// Whether a row's ask is asked of this change: reaching planned packing only where a post takes some to land, and all
    /// that a first cut beside old framing takes only once it is said that there is one.
    pub(super) fn is_asked(&self, event: Event, ask: Ask) -> bool {
        let is_beside = matches!(self.change.kind, Kind::Studs | Kind::Sister);
        match ask {
            Ask::ReachSeen => !self.packing_planned().is_empty(),
            // A plate that is replaced is cut; of what is set beside old framing somebody says.
            Ask::CutsOld => is_beside,
            _ if is_beside && event == Event::FirstCut => self.change.text("cuts_old").is_some(),
            _ => true,
        }
    }

    /// Whether the thing stands.
    pub(super) fn judge(&self, ask: Ask) -> Found {
        if ask.sort() == Sort::Seen {
            return self.seen(ask);
        }
        match ask {
            Ask::LeadPaint => self.by_year(About::LeadPaint, LEAD_BEFORE - 1),
            Ask::Asbestos => self.by_year(About::Asbestos, ASBESTOS_UP_TO),
            Ask::Engineer => self.paper(About::Engineer),
            Ask::Permit => self.paper(About::Permit),
            Ask::Inspection => self.paper(About::Inspection),
            Ask::Services => self.services(),
            Ask::Bearing => self.bearing(),
            Ask::CutsOld => self.cuts_old(),
            Ask::Agreed => self.agreed(),
            Ask::Replacement => self.replacement(),
            Ask::Carried => self.carried(),
            Ask::HeightsUnderLoad => self.heights_under_load(),
            Ask::TemporaryPath => self.temporary_path(),
            Ask::BeamOnSite => self.beam_on_site(),
            Ask::BeamBears => self.beam_bears(),
            Ask::Posts => self.posts(),
            Ask::Packing => self.packing(),
            Ask::Landings => self.landings(),
            Ask::Hangers => self.hangers(),
            Ask::StrutsBack => self.struts_back(),
            Ask::StrutPhoto => self.photo_of(&[self.change]),
            Ask::Photos => self.photo_of(&super::effect::covered(self.job, self.change)),
            Ask::CarriesShore => self.carries_shore(),
            Ask::FloorClosed => self.floor_closed(),
            Ask::UnderShore => self.under_shore(),
            Ask::Shoring => self.shoring(),
            Ask::NothingLeans => self.nothing_leans(),
            Ask::TopDown => self.top_down(),
            Ask::HeightsAfter => self.heights_after(),
            _ => self.seen(ask),
        }
    }

    /// A tick: what is to be looked at, with the figures that go with it.
    fn seen(&self, ask: Ask) -> Found {
        let (why, facts) = match ask {
            Ask::PeopleSeen => self.people(),
            Ask::ReachSeen => (listed(&self.packing_planned()), Vec::new()),
            // What is cut, from where to where, and what bears on it: another cut, or more on it, is looked at anew.
            Ask::CarriedSeen => {
                let (why, mut facts) = self.what_it_carries();
                facts.insert(0, self.what_is_cut());
                (why, facts)
            }
            _ => (String::new(), Vec::new()),
        };
        Found {
            stands: false,
            why,
            facts,
            fix: None,
        }
    }

    /// A result for the building's year: not there, or contained; none is needed for a house built later.
    fn by_year(&self, about: About, up_to: i64) -> Found {
        let job = self.job;
        let year = job.record().and_then(|record| record.number("year_built"));
        let fact = year.map_or(String::new(), |year| year.to_string());
        if let Some(word) = word(job, about, &[self.change.id, job.id]) {
            return Found::yes(in_words(word)).on(vec![fact, of_word(word)]);
        }
        match year {
            Some(year) if year > up_to => {
                Found::yes(format!("built {year}: later than {up_to}")).on(vec![fact])
            }
            Some(year) => Found::no(
                format!("built {year}: there until a result says otherwise"),
                Fix::Paper(about, job.id),
            ),
            None => Found::no(
                "the year built is not recorded: there until a result says otherwise",
                Fix::Paper(about, job.id),
            ),
        }
    }

    /// A paper for the change, a wall of its line, or the job.
    fn paper(&self, about: About) -> Found {
        let mut of = vec![self.change.id];
        of.extend(&self.line.walls);
        of.extend(self.line.beams.iter().map(|beam| beam.id));
        of.push(self.job.id);
        let mut facts = Vec::new();
        if about == About::Engineer {
            for beam in &self.line.beams {
                facts.push(said(
                    self.job,
                    beam,
                    &[
                        "nominal",
                        "plies",
                        "grade",
                        "species",
                        "eng_thickness",
                        "eng_depth",
                        "eng_plies",
                        "eng_species",
                        "eng_grade",
                        "eng_word",
                    ],
                ));
            }
        }
        match word(self.job, about, &of) {
            Some(word) => {
                facts.push(of_word(word));
                Found::yes(in_words(word)).on(facts)
            }
            None => Found::no(
                "not on record, nor that none is required here",
                Fix::Paper(about, self.change.id),
            ),
        }
    }

    /// A photo of each of these.
    fn photo_of(&self, things: &[&Record]) -> Found {
        let has = |of: Uuid| {
            self.job
                .all(Kind::Photo)
                .any(|photo| photo.to("of") == Some(of))
        };
        match things.iter().find(|thing| !has(thing.id)) {
            Some(thing) => Found::no(
                format!("no photo of {} yet", thing.name()),
                Fix::Photo(thing.id),
            ),
            None => Found::yes("on record").on(names(things)),
        }
    }
}

/// What a check says, as a part of a sentence: where it can't tell, what it needs.
fn says(verdict: Verdict, sentence: &str, measure: &[String]) -> String {
    if verdict == Verdict::CantTellYet && !measure.is_empty() {
        return format!("needs {}", measure.join(", "));
    }
    sentence.trim_end_matches('.').to_owned()
}

/// The names of these, for the facts.
fn names(all: &[&Record]) -> Vec<String> {
    all.iter().map(|one| one.name().to_owned()).collect()
}

/// Names with "and" before the last.
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// A word as a fact: what it says, who and when.
fn of_word(word: &Record) -> String {
    format!("{} {}", in_words(word), word.at)
}

/// What a record says in these fields, things by their names.
fn said(job: &Job, record: &Record, fields: &[&str]) -> String {
    let mut text = record.name().to_owned();
    for field in fields {
        text.push('\u{1f}');
        for value in record.fields.get(*field).into_iter().flatten() {
            text.push_str(value.to.map_or(&value.text, |to| job.name(to)));
            text.push('\u{1e}');
        }
    }
    text
}

/// What counts at a spot, as a fact.
fn measured(job: &Job, spot: &Spot) -> String {
    let value = job
        .measured(spot)
        .map(|measured| measured.value.to_string());
    format!("{spot}: {}", value.unwrap_or_default())
}
