//! A house whose entries go through the same questions as the store's: moves, releases, skips, events.

use std::collections::BTreeMap;

use uuid::Uuid;

use crate::buy::Ledger;
use crate::checks::hold_points::{
    Ask, Event, Gate, GateState, Move, Releasing, gates, may_move, may_skip, releasing, seen, stood,
};
use crate::needs::testing::{Entry, id, job};
use crate::record::choices::PLACES;
use crate::record::registry::edits;
use crate::record::{Job, Kind, Record, Value, op};
use crate::units::Units;

/// The house as it stands.
#[derive(Clone)]
pub(super) struct House {
    pub(super) records: BTreeMap<Uuid, Record>,
    minute: u32,
}

impl House {
    pub(super) fn of(entries: &[Entry]) -> Self {
        let mut house = Self {
            records: BTreeMap::new(),
            minute: 0,
        };
        for entry in entries {
            house.add(entry);
        }
        house
    }

    /// An exterior-to-exterior line: a bearing wall between two rooms, its shore, cut, beam, two posts and hangers.
    pub(super) fn line() -> Self {
        let mut house = Self::of(&[
            ("job", "job", &[("name", "Elm"), ("year_built", "1924")]),
            ("room", "kitchen", &[]),
            ("room", "parlor", &[]),
            (
                "wall",
                "wall",
                &[
                    ("room_a", "@kitchen"),
                    ("room_b", "@parlor"),
                    ("bearing", "yes"),
                    ("electric", "safe"),
                    ("water", "none"),
                    ("gas", "none"),
                    ("duct", "none"),
                ],
            ),
            (
                "run",
                "joists",
                &[
                    ("piece", "ceiling_joist"),
                    ("spacing", "16"),
                    ("count", "9"),
                    ("start_at", "@wall"),
                ],
            ),
            (
                "shore",
                "shore",
                &[
                    ("wall", "@wall"),
                    ("sides", "both"),
                    ("stands_on", "ground"),
                ],
            ),
            // The posts stand on what is left of it at its ends.
            (
                "take_out",
                "cut",
                &[("wall", "@wall"), ("from", "6"), ("to", "140")],
            ),
            (
                "set_beam",
                "beam",
                &[("wall", "@wall"), ("nominal", "2x10"), ("plies", "3")],
            ),
            (
                "set_post",
                "post.1",
                &[
                    ("under", "@beam"),
                    ("nominal", "4x6"),
                    ("place", "0"),
                    ("lands", "floor"),
                    ("lands_on", "@wall"),
                    ("across", "0"),
                ],
            ),
            (
                "set_post",
                "post.2",
                &[
                    ("under", "@beam"),
                    ("nominal", "4x6"),
                    ("place", "140"),
                    ("lands", "floor"),
                    ("lands_on", "@wall"),
                    ("across", "0"),
                ],
            ),
            (
                "hang_joists",
                "hang",
                &[("beam", "@beam"), ("runs", "@joists")],
            ),
            ("struts", "struts", &[("wall", "@wall"), ("count", "4")]),
            (
                "reading",
                "plate",
                &[("of", "@wall"), ("what", "plate_depth"), ("raw", "5 1/2")],
            ),
        ]);
        // No joist is measured here, so the shore's footing can't be told from the record.
        house.paper_for(id("shore"), "engineer", "in_hand");
        house
    }

    pub(super) fn job(&self) -> Job {
        let records = self.records.values().cloned().collect();
        Job::new(id("job"), records, Ledger::default())
    }

    fn now(&mut self) -> String {
        self.minute += 1;
        format!(
            "2026-10-14T{:02}:{:02}:00.000Z",
            self.minute.div_euclid(60).rem_euclid(24),
            self.minute.rem_euclid(60)
        )
    }

    /// Adds a thing as typed; its id is the word's.
    pub(super) fn add(&mut self, entry: &Entry) {
        let at = self.now();
        let one = job(&[*entry]);
        let mut record = one.records().next().expect("one record").clone();
        record.at = at;
        self.records.insert(record.id, record);
    }

    /// A paper for the whole job.
    pub(super) fn paper(&mut self, about: &str, says: &str) {
        self.paper_for(id("job"), about, says);
    }

    /// A paper for this.
    pub(super) fn paper_for(&mut self, of: Uuid, about: &str, says: &str) {
        let word = format!("paper {about} {}", self.minute);
        self.add(&(
            "word",
            &word,
            &[
                ("of", &of.to_string()),
                ("about", about),
                ("says", says),
                ("who", "Ann"),
            ],
        ));
    }

    /// All papers that a cut and a break of finish ask for.
    pub(super) fn papers(&mut self) {
        self.paper("engineer", "in_hand");
        self.paper("permit", "not_required");
        self.paper("inspection", "in_hand");
        self.paper("lead_paint", "contained");
        self.paper("asbestos", "not_there");
    }

    /// Reads a height at points 1 to 3 of both sides: of the wall before, of its shore under load or after striking.
    pub(super) fn heights(&mut self, of: &str, what: &str, raw: &str) {
        for side in ["a", "b"] {
            for place in PLACES {
                self.height(of, what, (side, place), raw);
            }
        }
    }

    /// Reads a height at one point.
    pub(super) fn height(&mut self, of: &str, what: &str, (side, place): (&str, &str), raw: &str) {
        let word = format!("{what} {side} {place} {}", self.minute);
        self.add(&(
            "reading",
            &word,
            &[
                ("of", &format!("@{of}")),
                ("what", what),
                ("side", side),
                ("place", place),
                ("raw", raw),
            ],
        ));
    }

    /// Changes a field, as typed; one that no form has, by its text.
    pub(super) fn set(&mut self, word: &str, field: &str, text: &str) {
        let Some(record) = self.records.get_mut(&id(word)) else {
            return;
        };
        let said = text
            .strip_prefix('@')
            .map_or_else(|| text.to_owned(), |word| id(word).to_string());
        let typed = BTreeMap::from([(field.to_owned(), vec![said])]);
        let read = edits(record.kind)
            .filter(|kind| kind.field(field).is_some())
            .map(|kind| op::read(kind, &typed, Units::Us).expect("it reads as typed"));
        let values = read.and_then(|mut read| read.remove(field));
        let values = values.unwrap_or_else(|| {
            vec![Value {
                text: text.to_owned(),
                number: None,
                to: None,
            }]
        });
        record.fields.insert(field.to_owned(), values);
    }

    /// Takes something out of the record.
    pub(super) fn remove(&mut self, id: Uuid) {
        if let Some(record) = self.records.get_mut(&id) {
            record.gone = Some("taken back".to_owned());
        }
    }

    /// Moves a change, if its hold points let it.
    pub(super) fn go(&mut self, of: Uuid, to: Move) -> Result<(), String> {
        let job = self.job();
        let change = job.get(of).ok_or("not there")?;
        let fits = match to {
            Move::UnderWay => matches!(change.state.as_str(), "planned" | "ready"),
            Move::Done => !matches!(change.state.as_str(), "done" | "dropped"),
            Move::Struck => crate::checks::hold_points::stands(change),
            Move::EachTime => false,
        };
        if !fits {
            return Err("no such move".to_owned());
        }
        may_move(change, &gates(&job, change), to)?;
        let record = self.records.get_mut(&of).expect("it is there");
        match to {
            Move::UnderWay => "under_way".clone_into(&mut record.state),
            Move::Done => "done".clone_into(&mut record.state),
            Move::Struck | Move::EachTime => {
                let yes = Value {
                    text: "yes".to_owned(),
                    number: None,
                    to: None,
                };
                record.fields.insert("struck".to_owned(), vec![yes]);
            }
        }
        Ok(())
    }

    /// The hold points of a change.
    pub(super) fn gates(&self, of: Uuid) -> Vec<Gate> {
        let job = self.job();
        job.get(of).map_or_else(Vec::new, |one| gates(&job, one))
    }

    /// One of them; the test fails where there is none.
    pub(super) fn gate(&self, word: &str, event: Event) -> Gate {
        let all = self.gates(id(word));
        let found = all.into_iter().find(|gate| gate.event == event);
        found.unwrap_or_else(|| panic!("{word} has no {event:?}"))
    }

    pub(super) fn state(&self, word: &str, event: Event) -> GateState {
        self.gate(word, event).state
    }

    /// What a form of this hold point would send, as it is opened now.
    pub(super) fn seen(&self, of: Uuid, event: Event) -> BTreeMap<String, i64> {
        let job = self.job();
        job.get(of)
            .map_or_else(BTreeMap::new, |one| seen(&job, one, event))
    }

    /// Releases on what was seen, everything ticked; gives what it came to and the release's id.
    pub(super) fn release(
        &mut self,
        of: Uuid,
        event: Event,
        base: &BTreeMap<String, i64>,
    ) -> (Releasing, Uuid) {
        let job = self.job();
        let Some(change) = job.get(of) else {
            panic!("no change to release");
        };
        let told = releasing(&job, change, event, Ask::ALL, base);
        let word = format!("hold {of} {event:?} {}", self.minute);
        if told == Releasing::Released {
            self.add(&(
                "hold",
                &word,
                &[("event", event.name()), ("of", &of.to_string())],
            ));
            let record = self.records.get_mut(&id(&word)).expect("just added");
            let texts = stood(base).into_iter().map(|text| Value {
                text,
                number: None,
                to: None,
            });
            record.fields.insert("stood".to_owned(), texts.collect());
        }
        (told, id(&word))
    }

    /// Releases a hold point as it stands now; the test fails where that doesn't take.
    pub(super) fn sign(&mut self, word: &str, event: Event) -> Uuid {
        let base = self.seen(id(word), event);
        let (told, hold) = self.release(id(word), event, &base);
        assert_eq!(told, Releasing::Released, "{word} {event:?}");
        hold
    }

    /// Skips something, if it may be.
    pub(super) fn skip(&mut self, of: Uuid, event: Event, ask: Ask) -> bool {
        let job = self.job();
        let may = job
            .get(of)
            .is_some_and(|change| may_skip(&job, change, event, ask).is_ok());
        if may {
            let word = format!("skip {of} {event:?} {ask:?} {}", self.minute);
            self.add(&(
                "skip",
                &word,
                &[
                    ("of", &of.to_string()),
                    ("event", event.name()),
                    ("condition", ask.name()),
                    ("reason", "by word of mouth"),
                ],
            ));
        }
        may
    }

    /// All changes that are not dropped.
    pub(super) fn changes(&self) -> Vec<Uuid> {
        let changes = self.records.values().filter(|one| one.kind.is_change());
        changes
            .filter(|one| one.state != "dropped")
            .map(|one| one.id)
            .collect()
    }

    pub(super) fn kind(&self, of: Uuid) -> Kind {
        self.records[&of].kind
    }
}
