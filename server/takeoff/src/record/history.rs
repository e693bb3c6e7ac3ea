//! What became of a thing: each entry about it with the fields that it changed, and what they said before.
//!
//! Only the entries themselves are looked at, in the order of their arrival; nothing is looked up in the record.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::op::{Does, OpKind, Typed};

/// An entry about a thing that counts, as it arrived.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Entered {
    /// The entry.
    pub op_id: Uuid,
    /// The thing.
    pub entity_id: Uuid,
    /// The entry's kind.
    pub kind: String,
    /// As typed.
    pub fields: Typed,
    /// Fields that somebody else had changed meanwhile: they were left as they stood.
    pub kept: Vec<Kept>,
    /// Whether the thing was out of the record already, so that nothing was done.
    pub too_late: bool,
    /// Who wrote it.
    pub by: Uuid,
    /// The name of the device that it was written on.
    pub device: String,
    /// When it was written, UTC, RFC 3339; at most when it arrived.
    pub at: String,
}

/// What an entry wanted of a field, and what stood there instead.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// The field; `state` for a change's state.
    pub field: String,
    /// What was wanted.
    pub yours: Vec<String>,
    /// What stood, and still stood afterwards.
    pub stood: Vec<String>,
}

/// A field that an entry changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// The field; `state` for a change's state.
    pub field: String,
    /// What it says from then on; nothing where it was emptied.
    pub now: Vec<String>,
    /// What it said before; nothing where it was empty.
    pub before: Vec<String>,
}

/// An entry with what it changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The entry.
    pub entered: Entered,
    /// What it changed; for something that happened to the thing, what was said of that.
    pub changed: Vec<Changed>,
}

/// Works out what each entry changed. `entered` is in the order of arrival, for one thing or several; the steps are newest
/// first.
pub fn steps(entered: Vec<Entered>) -> Vec<Step> {
    let mut stands: BTreeMap<(Uuid, String), Vec<String>> = BTreeMap::new();
    let mut steps: Vec<Step> = entered
        .into_iter()
        .map(|entered| {
            let changed = said(&entered)
                .into_iter()
                .filter_map(|(field, now, lasts)| {
                    let before = if lasts {
                        let place = (entered.entity_id, field.clone());
                        stands.insert(place, now.clone()).unwrap_or_default()
                    } else {
                        Vec::new()
                    };
                    (now != before).then_some(Changed { field, now, before })
                })
                .collect();
            Step { entered, changed }
        })
        .collect();
    steps.reverse();
    steps
}

/// What an entry says: field, texts, and whether it stands from then on as the thing's own.
fn said(entered: &Entered) -> Vec<(String, Vec<String>, bool)> {
    if entered.too_late {
        return Vec::new();
    }
    let kind = OpKind::named(&entered.kind);
    let is_own = kind.is_none_or(|kind| matches!(kind.does, Does::Add | Does::Edit));
    let mut all = Vec::new();
    if kind.is_some_and(|kind| kind.does == Does::Add && kind.kind.is_change()) {
        all.push(("state".to_owned(), vec!["planned".to_owned()], true));
    }
    let state = match entered.kind.as_str() {
        "change.done" => Some("done"),
        "change.undone" => Some("under_way"),
        _ => None,
    };
    all.extend(state.map(|to| ("state".to_owned(), vec![to.to_owned()], true)));
    for (field, texts) in &entered.fields {
        if entered.kept.iter().any(|kept| kept.field == *field) {
            continue;
        }
        let now: Vec<String> = texts
            .iter()
            .map(|text| text.trim().to_owned())
            .filter(|text| !text.is_empty())
            .collect();
        let lasts = is_own || (entered.kind == "change.state" && field == "state");
        all.push((field.clone(), now, lasts));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entered(kind: &str, fields: &[(&str, &str)]) -> Entered {
        Entered {
            kind: kind.to_owned(),
            fields: fields
                .iter()
                .map(|(name, text)| ((*name).to_owned(), vec![(*text).to_owned()]))
                .collect(),
            ..Entered::default()
        }
    }

    /// `field: before -> now`, newest entry first.
    fn told(all: Vec<Entered>) -> Vec<String> {
        steps(all)
            .into_iter()
            .map(|step| {
                let changed: Vec<String> = step
                    .changed
                    .iter()
                    .map(|c| format!("{}: {} -> {}", c.field, c.before.join("+"), c.now.join("+")))
                    .collect();
                changed.join(", ")
            })
            .collect()
    }

    #[test]
    fn each_field_says_what_it_was_before_and_the_newest_stands_first() {
        let told = told(vec![
            entered("wall.add", &[("name", "Wall D"), ("bearing", "yes")]),
            entered("wall.edit", &[("name", "North wall"), ("bearing", "yes")]),
            entered("wall.edit", &[("bearing", "")]),
        ]);
        assert_eq!(
            told,
            [
                "bearing: yes -> ",
                "name: Wall D -> North wall",
                "bearing:  -> yes, name:  -> Wall D"
            ]
        );
    }

    #[test]
    fn what_was_kept_beside_is_no_change_and_the_next_one_is_against_what_stood() {
        let mut beside = entered("wall.edit", &[("name", "N"), ("note", "split")]);
        beside.kept.push(Kept {
            field: "name".to_owned(),
            yours: vec!["N".to_owned()],
            stood: vec!["North".to_owned()],
        });
        let told = told(vec![
            entered("wall.add", &[("name", "North")]),
            beside,
            entered("wall.edit", &[("name", "North wall")]),
        ]);
        assert_eq!(
            told,
            [
                "name: North -> North wall",
                "note:  -> split",
                "name:  -> North"
            ]
        );
    }

    #[test]
    fn a_change_goes_from_state_to_state_and_what_was_said_then_is_not_its_own() {
        let told = told(vec![
            entered("sundry.add", &[("name", "Rope")]),
            entered(
                "change.state",
                &[("state", "under_way"), ("reason", "rain")],
            ),
            entered("change.done", &[("note", "two left")]),
            entered("change.undone", &[("reason", "three left")]),
            entered("sundry.edit", &[("note", "short")]),
        ]);
        assert_eq!(
            told,
            [
                "note:  -> short",
                "state: done -> under_way, reason:  -> three left",
                "state: under_way -> done, note:  -> two left",
                "reason:  -> rain, state: planned -> under_way",
                "state:  -> planned, name:  -> Rope"
            ]
        );
    }

    #[test]
    fn an_entry_that_came_too_late_changed_nothing() {
        let mut late = entered("wall.edit", &[("name", "N")]);
        late.too_late = true;
        let all = vec![entered("wall.add", &[("name", "D")]), late];
        assert_eq!(told(all)[0], "");
    }

    #[test]
    fn two_things_have_each_their_own_before() {
        let mut line = entered("bought.add", &[("count", "4")]);
        line.entity_id = Uuid::from_u128(1);
        let told = told(vec![entered("receipt.add", &[("count", "3")]), line]);
        assert_eq!(told, ["count:  -> 4", "count:  -> 3"]);
    }
}
