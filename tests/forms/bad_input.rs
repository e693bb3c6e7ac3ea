//! Bad input at every field of every form: refused with where, why and what would do, and what was typed stays.
//!
//! The walk reads the registry, so a new field is tried without a line here.

use std::collections::BTreeMap;

use scantling_takeoff::buy::Item;
use scantling_takeoff::record::registry::{OP_KINDS, adds};
use scantling_takeoff::record::{Does, Field, FieldType, Kind, OpKind};
use scantling_takeoff::units::Length;

use super::{
    add, count_of, errors, form_around, jpeg, page_errors, photograph, start_job, try_to_add, value,
};
use crate::support::{Client, TestServer, form};

const NOBODY: &str = "0199a3c0-0000-7000-8000-000000000000";

/// Texts that a field can't take, each with a part of what is to be said about it.
fn bad_texts(field: &Field) -> Vec<(String, String)> {
    let own = |pairs: &[(&str, &str)]| {
        pairs
            .iter()
            .map(|(text, said)| ((*text).to_owned(), (*said).to_owned()))
            .collect::<Vec<_>>()
    };
    let mut bad = match field.kind {
        FieldType::Text | FieldType::Suggest(_) => {
            vec![("x".repeat(201), "Write it shorter".to_owned())]
        }
        FieldType::Note => vec![("x".repeat(16_385), "Write it shorter".to_owned())],
        // The server makes these; a body with one that is too long is never read.
        FieldType::Document => Vec::new(),
        FieldType::Length { least, .. } => {
            let mut bad = own(&[
                ("7 1/x", "at character 5 of 7 1/x"),
                ("seven", "at character 1 of seven"),
                ("-3", "as in"),
                ("400 ft", "it goes from"),
                ("99999999999999999999", "as in"),
            ]);
            if least > Length::ZERO {
                bad.extend(own(&[("0", "it goes from")]));
            }
            bad
        }
        FieldType::Count { least, most } => {
            let mut bad = own(&[
                ("nine", "at character 1 of nine"),
                ("-1", "at character 1"),
                ("1.5", "at character 2"),
                ("99999999999999999999", "as in"),
            ]);
            bad.push(((most + 1).to_string(), "as in".to_owned()));
            if least > 0 {
                bad.extend(own(&[("0", "it goes from")]));
            }
            bad
        }
        FieldType::Decimal { .. } => own(&[
            ("much", "at character 1 of much"),
            ("-1", "as in"),
            ("99999999999", "as in"),
        ]),
        FieldType::Money => own(&[
            ("free", "at character 1 of free"),
            ("-1", "as in"),
            ("12.505", "as in"),
            ("99999999999", "as in"),
        ]),
        FieldType::Percent => own(&[("ten", "as in"), ("101", "as in"), ("-1", "as in")]),
        FieldType::TaxRate => own(&[("six", "as in"), ("625", "as in"), ("-1", "as in")]),
        FieldType::Choice(_) => own(&[("no such word", "is not one of")]),
        FieldType::Date => own(&[
            ("2026-13-45", "as in 2026-10-14"),
            ("yesterday", "as in 2026-10-14"),
        ]),
        FieldType::Ref(_) => own(&[("somewhere", "from the list"), (NOBODY, "from the list")]),
        FieldType::Nominal => own(&[
            ("two by ten", "as in"),
            ("10x2", "as in"),
            ("2x400", "as in"),
        ]),
        FieldType::Nail(_) => own(&[("99d spike", "It has")]),
    };
    if !matches!(
        field.kind,
        FieldType::Choice(_) | FieldType::Ref(_) | FieldType::Nail(_)
    ) {
        bad.push(("a\u{7}b".to_owned(), "Character 2".to_owned()));
    }
    if field.required {
        bad.push((String::new(), "is empty".to_owned()));
    }
    bad
}

/// Whether a field's input is a text, which comes back as it was sent; a pick list can't hold what is not on it.
fn keeps_text(field: &Field) -> bool {
    !field.list
        && !matches!(
            field.kind,
            FieldType::Choice(_) | FieldType::Ref(_) | FieldType::Nail(_)
        )
}

/// A job with one thing of every kind that a form adds.
struct Walk {
    client: Client,
    job: String,
    things: BTreeMap<Kind, String>,
}

impl Walk {
    fn start(server: &TestServer) -> Self {
        let client = server.lead();
        let job = start_job(&client, "Elm Street");
        let mut walk = Self {
            things: BTreeMap::from([(Kind::Job, job.trim_start_matches("/jobs/").to_owned())]),
            client,
            job,
        };
        for kind in OP_KINDS
            .iter()
            .filter(|kind| kind.does == Does::Add && kind.kind != Kind::Job)
            // A hold point is released on its own page: `holds.rs`.
            .filter(|kind| kind.kind != Kind::Hold)
        {
            let filled = walk.filled(kind);
            let filled: Vec<(&str, &str)> = filled.iter().map(|(n, t)| (*n, t.as_str())).collect();
            if kind.kind == Kind::Photo {
                let page = format!("{}/photo", walk.job);
                let sent = ("image/jpeg", &*jpeg());
                let (answer, id) = photograph(&walk.client, (&page, "f"), &filled, sent);
                assert_eq!(answer.status, 303, "{}", page_errors(&answer.body));
                walk.things.insert(kind.kind, id);
                continue;
            }
            let id = add(&walk.client, &walk.job, kind.kind.name(), &filled);
            walk.things.insert(kind.kind, id);
        }
        walk
    }

    /// What must be filled, with what can be read.
    fn filled(&self, kind: &OpKind) -> Vec<(&'static str, String)> {
        let mut filled: Vec<(&'static str, String)> = kind
            .fields
            .iter()
            .filter(|field| field.required)
            .map(|field| {
                let text = match field.kind {
                    FieldType::Ref(kinds) => kinds
                        .iter()
                        .find_map(|kind| self.things.get(kind))
                        .unwrap_or_else(|| panic!("{} {}", kind.name, field.name))
                        .clone(),
                    _ => field.example(),
                };
                (field.name, text)
            })
            .collect();
        let mut put = |name: &'static str, text: &str| {
            filled.retain(|(n, _)| *n != name);
            filled.push((name, text.to_owned()));
        };
        match kind.kind {
            Kind::Bought => {
                let rope = Item::Sundry {
                    name: "rope".to_owned(),
                    unit: "each".to_owned(),
                };
                put("item", &rope.to_key());
            }
            Kind::Plate => put("to", "99"),
            Kind::Skip => {
                put("event", "start");
                put("condition", "beam_on_site");
            }
            Kind::Stock => {
                put("section", "sundry");
                put("name", "rope");
                put("unit", "each");
            }
            _ => {}
        }
        filled
    }

    /// Posts what a form held with one text in a field, and looks at what comes back.
    fn refuses(
        &self,
        kind: &OpKind,
        (action, held): &(String, Vec<(String, String)>),
        field: &Field,
        (text, said): &(String, String),
        id: &str,
    ) {
        let answer = self
            .client
            .post_over(action, held.clone(), &[(field.name, text)]);
        let what = format!("{} {} “{text:.40}”", kind.name, field.name);
        assert_eq!(answer.status, 422, "{what}: {}", page_errors(&answer.body));
        let (_, filled) = form(&answer.body, id);
        let place = format!("id=\"{id}-{}-e\"", field.name);
        let hidden = format!("type=\"hidden\" name=\"{}\"", field.name);
        let shown =
            filled.iter().any(|(name, _)| name == field.name) && !answer.body.contains(&hidden);
        let message = if let Some(at) = answer.body.find(&place) {
            let rest = &answer.body[at..];
            rest[rest.find('>').unwrap() + 1..rest.find("</p>").unwrap()].to_owned()
        } else {
            assert!(
                !shown || field.list,
                "{what}: nothing at its field: {}",
                page_errors(&answer.body)
            );
            errors(&answer.body)
        };
        assert!(message.contains(said.as_str()), "{what}: {message}");
        if shown && keeps_text(field) {
            assert_eq!(&value(&filled, field.name), text, "{what}");
        }
        // Everything else in the form is as it was sent.
        for (name, text) in held {
            if name != field.name
                && matches!(name.as_str(), "name" | "reason" | "note")
                && filled.iter().any(|(shown, _)| shown == name)
            {
                assert_eq!(&value(&filled, name), text, "{what}: {name}");
            }
        }
    }
}

#[test]
fn every_kind_has_its_list_and_every_thing_its_page_and_its_edit_form() {
    let server = TestServer::start("pages");
    let walk = Walk::start(&server);
    for (kind, id) in walk.things.iter().filter(|(kind, _)| **kind != Kind::Job) {
        walk.client.page(&format!("{}/{kind}", walk.job));
        walk.client.page(&format!("{}/{kind}/{id}", walk.job));
        walk.client
            .page(&format!("{}/{kind}/{id}/readings", walk.job));
        let edits = OP_KINDS
            .iter()
            .any(|op| op.kind == *kind && op.does == Does::Edit);
        let edit = walk.client.get(&format!("{}/{kind}/{id}/edit", walk.job));
        assert_eq!(edit.status, if edits { 200 } else { 404 }, "{kind}");
    }
    for page in [
        "",
        "/house",
        "/changes",
        "/plan",
        "/materials?week=9",
        "/buy-list?week=9",
    ] {
        walk.client.page(&format!("{}{page}", walk.job));
    }
    for page in [
        "/cut-list?week=9",
        "/on-hand",
        "/prices",
        "/settings",
        "/buy-list/print?week=9",
    ] {
        walk.client.page(&format!("{}{page}", walk.job));
    }
}

#[test]
fn every_field_of_every_form_that_adds_a_thing_refuses_what_it_cannot_take() {
    let server = TestServer::start("bad-add");
    let walk = Walk::start(&server);
    let mut tried = 0;
    // A photo's form brings a file: it is tried in `photos.rs`. A hold point's has its own page: `holds.rs`.
    for kind in OP_KINDS
        .iter()
        .filter(|kind| kind.does == Does::Add && !matches!(kind.kind, Kind::Photo | Kind::Hold))
    {
        let (action, held) = if kind.kind == Kind::Job {
            form(&walk.client.page("/"), "add")
        } else {
            form(
                &walk.client.page(&format!("{}/{}", walk.job, kind.kind)),
                "f",
            )
        };
        let mut held: Vec<(String, String)> = held;
        for (name, text) in walk.filled(kind) {
            held.retain(|(n, _)| n != name);
            held.push((name.to_owned(), text));
        }
        let before = count_of(&walk.client, &walk.job, kind.name);
        for field in kind.fields {
            for bad in bad_texts(field) {
                walk.refuses(kind, &(action.clone(), held.clone()), field, &bad, "add");
                tried += 1;
            }
        }
        assert_eq!(
            count_of(&walk.client, &walk.job, kind.name),
            before,
            "{}",
            kind.name
        );
    }
    assert!(tried > 1000, "only {tried} were tried");
}

#[test]
fn every_field_of_every_form_that_changes_a_thing_refuses_what_it_cannot_take() {
    let server = TestServer::start("bad-edit");
    let walk = Walk::start(&server);
    let mut tried = 0;
    for kind in OP_KINDS.iter().filter(|kind| kind.does == Does::Edit) {
        let id = &walk.things[&kind.kind];
        let page = walk
            .client
            .page(&format!("{}/{}/{id}/edit", walk.job, kind.kind));
        let held = form(&page, "edit");
        for field in kind.fields.iter().filter(|field| field.changeable) {
            // What each type can't take is tried above; here, that an edit's field refuses at all, and when emptied.
            let bad = bad_texts(field);
            let emptied = bad.iter().skip(1).filter(|(text, _)| text.is_empty());
            for bad in bad.iter().take(1).chain(emptied) {
                walk.refuses(kind, &held, field, bad, "edit");
                tried += 1;
            }
        }
    }
    assert!(tried > 300, "only {tried} were tried");
}

#[test]
fn every_field_of_what_else_happens_to_a_thing_refuses_what_it_cannot_take() {
    let server = TestServer::start("bad-act");
    let walk = Walk::start(&server);
    for kind in OP_KINDS
        .iter()
        .filter(|kind| matches!(kind.does, Does::Act | Does::Remove))
        // An order is sent by its own form alone.
        .filter(|kind| kind.name != "order.send" && kind.kind != Kind::Hold)
    {
        let of = if kind.any_change {
            Kind::Shore
        } else {
            kind.kind
        };
        let id = &walk.things[&of];
        let (_, act) = kind.name.split_once('.').unwrap();
        let action = format!("{}/{of}/{id}/act/{act}", walk.job);
        let held: Vec<(String, String)> = walk
            .filled(kind)
            .into_iter()
            .map(|(name, text)| (name.to_owned(), text))
            .collect();
        for field in kind.fields {
            for bad in bad_texts(field) {
                walk.refuses(kind, &(action.clone(), held.clone()), field, &bad, "act");
            }
        }
    }
}

#[test]
fn what_must_be_filled_and_is_not_even_sent_is_said_at_its_field() {
    let server = TestServer::start("missing");
    let walk = Walk::start(&server);
    for kind in OP_KINDS
        .iter()
        .filter(|kind| kind.does == Does::Add && !matches!(kind.kind, Kind::Job | Kind::Photo))
        .filter(|kind| kind.fields.iter().any(|field| field.required))
    {
        let answer = walk
            .client
            .post(&format!("{}/{}", walk.job, kind.kind), &[]);
        assert_eq!(answer.status, 422, "{}", kind.name);
        let said = errors(&answer.body);
        for field in kind.fields.iter().filter(|field| field.required) {
            assert!(
                said.contains(&format!("{} is empty", field.label)),
                "{} {}: {said}",
                kind.name,
                field.name
            );
        }
        assert_eq!(adds(kind.kind).unwrap().name, kind.name);
    }
    assert_eq!(walk.client.post("/jobs", &[]).status, 422);
}

#[test]
fn a_field_that_no_form_has_is_left_out() {
    let server = TestServer::start("extra");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let typed = [("name", "Wall D"), ("colour", "blue"), ("gone_seq", "1")];
    add(&lead, &job, "wall", &typed);
}

#[test]
fn all_that_is_wrong_with_a_room_of_four_walls_is_said_at_once_at_its_fields() {
    let server = TestServer::start("room");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let page = format!("{job}/house");
    let typed = [
        ("name", ""),
        ("reading.length", "12 feeet"),
        ("reading.width", "400 ft"),
        ("reading.ceiling_height", "8'"),
    ];
    let answer = lead.fill(&page, "room", &typed);
    assert_eq!(answer.status, 422);
    let (_, filled) = form(&answer.body, "add");
    for (name, text) in typed {
        assert_eq!(value(&filled, name), text, "{name}");
    }
    assert_eq!(value(&filled, "four_walls"), "yes");
    for (name, wrong) in [
        ("name", true),
        ("reading-length", true),
        ("reading-width", true),
        ("reading-ceiling_height", false),
    ] {
        let at = answer.body.contains(&format!("id=\"add-{name}-e\""));
        assert_eq!(at, wrong, "{name}: {}", page_errors(&answer.body));
    }
    let said = errors(&answer.body);
    assert_eq!(
        said.matches("12 feeet").count(),
        1,
        "once, not for each wall: {said}"
    );
    for kind in ["room.add", "wall.add", "reading.add"] {
        assert_eq!(count_of(&lead, &job, kind), 0, "{kind}");
    }
}

#[test]
fn a_run_says_its_own_fields_and_its_readings_at_once() {
    let server = TestServer::start("run");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let typed = [
        ("name", "Ceiling joists"),
        ("spacing", "16"),
        ("count", "nine"),
        ("reading.thickness", "1 3/5"),
        ("reading.depth", "5 3/4"),
        ("reading.place", "-"),
    ];
    let (answer, _) = try_to_add(&lead, &job, "run", &typed);
    assert_eq!(answer.status, 422);
    for name in ["count", "reading-thickness", "reading-place"] {
        assert!(
            answer.body.contains(&format!("id=\"add-{name}-e\"")),
            "{name}: {}",
            page_errors(&answer.body)
        );
    }
    let (_, filled) = form(&answer.body, "add");
    for (name, text) in typed {
        assert_eq!(value(&filled, name), text, "{name}");
    }
}

#[test]
fn a_done_form_comes_back_with_its_figures_and_its_note() {
    let server = TestServer::start("done");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let blades = [
        ("name", "Blades"),
        ("item", "saw blade"),
        ("unit", "each"),
        ("count", "2"),
    ];
    let change = add(&lead, &job, "sundry", &blades);
    let page = format!("{job}/sundry/{change}/done");
    let (action, held) = form_around(&lead.page(&page), "id=\"done-note\"");
    let typed = [("used", "both"), ("note", "one broke <in> the oak")];
    let answer = lead.post_over(&action, held, &typed);
    assert_eq!(answer.status, 422, "{}", answer.body);
    let (_, filled) = form_around(&answer.body, "id=\"done-note\"");
    assert_eq!(value(&filled, "used"), "both");
    assert_eq!(value(&filled, "note"), "one broke <in> the oak");
    let said = errors(&answer.body);
    assert!(said.contains("at character 1 of both"), "{said}");
}

#[test]
fn a_tick_and_a_receipt_with_bad_figures_book_nothing() {
    let server = TestServer::start("bad-tick");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let rope = Item::Sundry {
        name: "rope".to_owned(),
        unit: "each".to_owned(),
    };
    let key = rope.to_key();
    let tick = format!("{job}/buy-list/tick");
    let good = [
        ("item", key.as_str()),
        ("weeks", "1"),
        ("count", "2"),
        ("price", "3.50"),
    ];
    for (name, text) in [
        ("item", "a rope"),
        ("item", ""),
        ("count", "two"),
        ("count", "0"),
        ("count", "99999999999"),
        ("price", "dear"),
        ("per_tenths", "-10"),
    ] {
        let held = good
            .iter()
            .map(|(n, t)| ((*n).to_owned(), (*t).to_owned()))
            .collect();
        let answer = lead.post_over(&tick, held, &[(name, text)]);
        assert_eq!(answer.status, 422, "{name} {text}");
        assert!(!errors(&answer.body).is_empty(), "{name} {text}");
    }
    assert_eq!(count_of(&lead, &job, "bought.add"), 0);
    assert_eq!(
        count_of(&lead, &job, "receipt.add"),
        0,
        "no empty receipt is left behind"
    );

    assert_eq!(lead.post(&tick, &good).status, 303);
    let page = lead.page(&format!("{job}/buy-list?week=1"));
    let till = form_around(&page, "name=\"total\"");
    for text in ["", "much", "-5", "1.234"] {
        let answer = lead.post_over(&till.0, till.1.clone(), &[("total", text)]);
        assert_eq!(answer.status, 422, "{text}");
        assert!(!errors(&answer.body).is_empty(), "{text}");
        let again = form_around(&answer.body, "name=\"total\"");
        assert_eq!(value(&again.1, "total"), text, "what was typed stays");
    }
    assert_eq!(count_of(&lead, &job, "receipt.edit"), 0);
}
