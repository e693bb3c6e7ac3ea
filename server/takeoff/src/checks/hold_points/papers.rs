//! Papers and words: the engineer's, the permit, the inspection, lead and asbestos, and that a wall carries nothing.
//!
//! The lead enters them, with who says so. The newest that stands counts.

use uuid::Uuid;

use crate::record::{Job, Kind, Record};

/// What a word is about. The names are stored (`record::choices::WORD_ABOUT`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// The engineer's word.
    Engineer,
    /// The permit.
    Permit,
    /// The inspection.
    Inspection,
    /// Lead paint.
    LeadPaint,
    /// Asbestos.
    Asbestos,
    /// That a wall carries nothing.
    NotBearing,
}

impl About {
    /// Its stored word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Engineer => "engineer",
            Self::Permit => "permit",
            Self::Inspection => "inspection",
            Self::LeadPaint => "lead_paint",
            Self::Asbestos => "asbestos",
            Self::NotBearing => "not_bearing",
        }
    }

    /// What such a word may say.
    pub const fn may_say(self) -> &'static [&'static str] {
        match self {
            Self::Engineer | Self::Permit | Self::Inspection => &["in_hand", "not_required"],
            Self::LeadPaint | Self::Asbestos => &["not_there", "contained"],
            Self::NotBearing => &["not_there"],
        }
    }

    /// The one of that stored word.
    pub fn named(name: &str) -> Option<Self> {
        [
            Self::Engineer,
            Self::Permit,
            Self::Inspection,
            Self::LeadPaint,
            Self::Asbestos,
            Self::NotBearing,
        ]
        .into_iter()
        .find(|about| about.name() == name)
    }
}

/// The newest word about something for one of these things; an earlier one in the list goes first.
pub(super) fn word<'a>(job: &'a Job, about: About, of: &[Uuid]) -> Option<&'a Record> {
    of.iter().find_map(|of| {
        job.all(Kind::Word)
            .filter(|word| word.to("of") == Some(*of) && word.says("about", about.name()))
            .max_by(|a, b| (&a.at, a.id).cmp(&(&b.at, b.id)))
    })
}

/// What a word says, in a sentence.
pub(super) fn in_words(word: &Record) -> String {
    let says = match word.text("says") {
        Some("in_hand") => "in hand",
        Some("not_required") => "none required here",
        Some("not_there") => "not there",
        _ => "there or presumed, and contained",
    };
    let who = word.text("who").unwrap_or("nobody named");
    match word.text("paper") {
        Some(paper) => format!("{says}: {who}, {paper}"),
        None => format!("{says}: {who}"),
    }
}
