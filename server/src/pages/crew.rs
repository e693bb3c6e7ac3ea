//! Crew and phones.

use std::fmt::Write as _;

use actix_web::{HttpResponse, web};
use scantling_db::{Device, PersonLine, Who};
use scantling_takeoff::record::Role;
use scantling_web::Page;
use scantling_web::drawing::qr::Qr;
use scantling_web::layout::Main;
use scantling_web::pages::crew;
use scantling_web::parts::form::{FieldView, Form, Input};

use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::lan::setup::qr;
use crate::pages::shell;
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
) -> Result<HttpResponse, HttpError> {
    Ok(html(page(&state, &who, None, None).await?))
}

/// The page, with a code that was just made (its digits, for whom), or with a form that was refused.
pub(crate) async fn page(
    state: &State,
    who: &Who,
    code: Option<(&str, &str)>,
    refused: Option<(&Posted, &str)>,
) -> Result<Page, HttpError> {
    let (people, devices, is_shut) = state
        .read(|tx| {
            Ok((
                scantling_db::people(tx)?,
                scantling_db::devices(tx)?,
                scantling_db::pairing_is_shut(tx)?,
            ))
        })
        .await?;
    let is_lead = who.role == Role::Lead;
    let mut seen: Vec<&PersonLine> = people
        .values()
        .filter(|person| is_lead || person.id == who.person)
        .collect();
    seen.sort_by_key(|person| (std::cmp::Reverse(person.role), person.name.to_lowercase()));
    let link = code.map(|(digits, _)| format!("{}/sign-in#{digits}", state.origin()));
    let drawn = link.as_deref().and_then(qr);
    let code = code.zip(link.as_ref()).zip(drawn.as_ref());
    let view = crew::View {
        people: seen
            .iter()
            .map(|person| crew::Person {
                name: person.name.clone(),
                may: may(person.role),
                phones: phones(person, &devices, who),
                edit: is_lead.then(|| edit(person)),
            })
            .collect(),
        code: code.map(|(((digits, name), link), (dark, width))| crew::Code {
            digits: spaced(digits),
            who: name.to_owned(),
            link: (
                link.clone(),
                Qr {
                    id: "code-qr",
                    says: "The link that signs that phone in",
                    dark,
                    width: *width,
                },
            ),
        }),
        let_in: is_lead.then(|| let_in(&seen, refused)),
        open: (is_lead && is_shut).then(|| button("/crew/open", "open", "Open signing in again")),
        shut_others: (is_lead && devices.iter().filter(|device| is_in(device)).count() > 1).then(
            || {
                button(
                    "/crew/shut-others",
                    "shut-others",
                    "Shut out every other phone",
                )
            },
        ),
        sign_out: button("/sign-out", "sign-out", "Sign out"),
        note: refused.map(|_| shell::refused_note()),
    };
    Ok(crew::page(&view))
}

/// Eight digits in two groups, as people read them.
fn spaced(digits: &str) -> String {
    match digits.split_at_checked(4) {
        Some((first, second)) => format!("{first} {second}"),
        None => digits.to_owned(),
    }
}

fn may(role: Role) -> &'static str {
    match role {
        Role::Lead => "lead: everything",
        Role::Crew => "crew: records, marks done, buys",
        Role::Guest | Role::Stranger => "guest: reads, sees no prices",
    }
}

fn is_in(device: &Device) -> bool {
    device.has_session && device.revoked_at.is_none()
}

fn phones<'a>(person: &PersonLine, devices: &[Device], who: &Who) -> Vec<crew::Phone<'a>> {
    let mut own: Vec<&Device> = devices
        .iter()
        .filter(|device| device.person == person.id && device.has_session)
        .collect();
    own.sort_by_key(|device| device.revoked_at.is_some());
    own.into_iter()
        .map(|device| crew::Phone {
            name: device.name.clone(),
            says: says(device),
            is_this: device.id == who.device,
            rename: is_in(device).then(|| rename(device)),
            shut_out: (is_in(device) && device.id != who.device).then(|| shut_out(device)),
        })
        .collect()
}

fn says(device: &Device) -> String {
    if let Some(at) = &device.revoked_at {
        return format!("Shut out {}", clock::stamp_minute(at));
    }
    let mut words = match &device.last_seen_at {
        Some(at) => format!("Last seen {}", clock::stamp_minute(at)),
        None => format!("Let in {}", clock::stamp_minute(&device.created_at)),
    };
    match device.waiting_count {
        0 => {}
        1 => words.push_str(" · 1 entry waits on it"),
        n => {
            let _writing_to_a_string_cannot_fail = write!(words, " · {n} entries wait on it");
        }
    }
    words
}

fn blank<'a>(action: String, id: String, save: &str) -> Form<'a> {
    Form {
        action,
        kind: "",
        id,
        hidden: Vec::new(),
        fields: Vec::new(),
        problems: Vec::new(),
        save: save.to_owned(),
        main: Main::No,
    }
}

fn button<'a>(action: &str, id: &str, save: &str) -> Form<'a> {
    blank(action.to_owned(), id.to_owned(), save)
}

fn rename<'a>(device: &Device) -> Form<'a> {
    let mut form = blank(
        format!("/crew/device/{}", device.id),
        format!("name-{}", device.id.simple()),
        "Save name",
    );
    form.fields = vec![FieldView::by_hand(
        "name",
        "Name of the phone",
        Input::Line,
        device.name.clone(),
    )];
    form
}

fn shut_out<'a>(device: &Device) -> Form<'a> {
    let mut form = blank(
        format!("/crew/device/{}", device.id),
        format!("shut-{}", device.id.simple()),
        "Shut this phone out",
    );
    form.hidden = vec![("shut_out".to_owned(), "yes".to_owned())];
    form
}

fn roles() -> Input {
    Input::Pick(vec![
        (
            "crew".to_owned(),
            "Crew: records, marks done, buys; sees prices".to_owned(),
        ),
        (
            "guest".to_owned(),
            "Guest: reads, sees no prices, changes nothing".to_owned(),
        ),
    ])
}

fn edit<'a>(person: &PersonLine) -> Form<'a> {
    let mut form = blank(
        format!("/crew/person/{}", person.id),
        format!("person-{}", person.id.simple()),
        "Save",
    );
    form.fields = vec![FieldView::by_hand(
        "name",
        "Name",
        Input::Line,
        person.name.clone(),
    )];
    if person.role != Role::Lead {
        let role = person.role.name().to_owned();
        form.fields
            .push(FieldView::by_hand("role", "May", roles(), role));
    }
    form
}

fn let_in<'a>(people: &[&PersonLine], refused: Option<(&Posted, &str)>) -> Form<'a> {
    let typed = |name: &str| {
        refused
            .and_then(|(posted, _)| posted.first(name))
            .unwrap_or("")
            .to_owned()
    };
    let mut form = blank(
        "/crew/code".to_owned(),
        "code-for".to_owned(),
        "Make a code",
    );
    form.main = Main::Yes;
    form.problems = refused
        .iter()
        .map(|(_, words)| (*words).to_owned())
        .collect();
    let known = people
        .iter()
        .map(|person| (person.id.to_string(), person.name.clone()))
        .collect();
    let role = match typed("role") {
        text if text.is_empty() => "crew".to_owned(),
        text => text,
    };
    form.fields = vec![
        FieldView::by_hand("name", "For somebody new: name", Input::Line, typed("name")),
        FieldView::by_hand("role", "Who may", roles(), role),
        FieldView::by_hand(
            "person",
            "Or for another phone of",
            Input::One(known),
            typed("person"),
        ),
    ];
    form
}
