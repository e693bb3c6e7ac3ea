//! Letting phones in, naming them, shutting them out; names and roles of people.

use actix_web::{HttpResponse, web};
use scantling_db::{Access, AccessAct, NewCode, Who};
use scantling_takeoff::record::Role;
use uuid::Uuid;

use super::compose::Posted;
use crate::clock;
use crate::error::{HttpError, html, refused, see};
use crate::pages::crew;
use crate::session;
use crate::state::State;

type Body = web::Form<Vec<(String, String)>>;

/// The longest name, in letters.
const NAME: usize = 60;

/// Makes a code for one phone, of somebody known or somebody new.
pub(crate) async fn code(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let posted = Posted(body.into_inner());
    let known = posted
        .typed("person")
        .and_then(|text| Uuid::parse_str(text).ok());
    let name = posted.typed("name").unwrap_or("").to_owned();
    let role = role_of(&posted);
    if known.is_none() && !is_name(&name) {
        let words = "Type the name of whoever it is for, up to 60 letters, or choose somebody who is here already.";
        let page = crew::page(&state, &who, None, Some((&posted, words))).await?;
        return Ok(refused(page));
    }
    let (digits, hash) = session::new_code()?;
    let (now, new, code_id, by) = (clock::now(), clock::new_id(), clock::new_id(), who.device);
    let made = state
        .write(move |tx| {
            if scantling_db::open_codes(tx, &now)?.len() >= scantling_db::OPEN_CODES {
                return Ok(None);
            }
            let people = scantling_db::people(tx)?;
            let person = match known.and_then(|id| people.get(&id)) {
                Some(line) => line.clone(),
                None if known.is_some() => return Ok(None),
                None => {
                    scantling_db::add_person(tx, new, &name, role)?;
                    scantling_db::PersonLine {
                        id: new,
                        name,
                        role,
                        role_rev: 1,
                    }
                }
            };
            let code = NewCode {
                id: code_id,
                hash,
                role: person.role,
                person: Some(person.id),
            };
            if !scantling_db::add_code(tx, &code, &now)? {
                return Ok(None);
            }
            let act = Access {
                person: Some(person.id),
                by_device: Some(by),
                ..Access::of(AccessAct::Code)
            };
            scantling_db::log_access(tx, &act, &now)?;
            Ok(Some(person.name))
        })
        .await?;
    if let Some(name) = made {
        let page = crew::page(&state, &who, Some((&digits, &name)), None).await?;
        Ok(html(page))
    } else {
        let words = "Three codes are open already. Use one of them, or wait ten minutes.";
        let page = crew::page(&state, &who, None, Some((&posted, words))).await?;
        Ok(refused(page))
    }
}

/// What a code made here may give: a new lead is let in at the console alone.
fn role_of(posted: &Posted) -> Role {
    match posted.first("role") {
        Some("guest") => Role::Guest,
        _ => Role::Crew,
    }
}

fn is_name(name: &str) -> bool {
    (1..=NAME).contains(&name.chars().count()) && !name.chars().any(char::is_control)
}

/// Gives a phone another name, or shuts it out: one's own, or as lead any.
pub(crate) async fn device(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    id: web::Path<Uuid>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let posted = Posted(body.into_inner());
    let (id, who_is, now) = (*id, who.into_inner(), clock::now());
    let name = posted.typed("name").unwrap_or("").to_owned();
    let shut_out = posted.first("shut_out") == Some("yes");
    if !shut_out && !is_name(&name) {
        return Err(HttpError::BadInput(
            "A phone’s name has 1 to 60 letters. Go back and type one.".to_owned(),
        ));
    }
    let is_there = state
        .write(move |tx| {
            let devices = scantling_db::devices(tx)?;
            let own = devices
                .iter()
                .find(|device| device.id == id && device.has_session)
                .filter(|device| who_is.role == Role::Lead || device.person == who_is.person)
                .cloned();
            let Some(device) = own else {
                return Ok(false);
            };
            if !shut_out {
                return scantling_db::rename_device(tx, id, &name);
            }
            scantling_db::revoke(tx, id, &now)?;
            let act = Access {
                device: Some(id),
                person: Some(device.person),
                by_device: Some(who_is.device),
                ..Access::of(AccessAct::Revoked)
            };
            scantling_db::log_access(tx, &act, &now)?;
            Ok(true)
        })
        .await?;
    if is_there && shut_out {
        let whose = Some(id);
        state.journal().security("shut out", "/crew", whose);
    }
    is_there.then(|| see("/crew")).ok_or(HttpError::NotFound)
}

/// Gives somebody another name or role. Nobody becomes a lead here, and no lead becomes less.
pub(crate) async fn person(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    id: web::Path<Uuid>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let posted = Posted(body.into_inner());
    let (id, by, now) = (*id, who.device, clock::now());
    let name = posted.typed("name").unwrap_or("").to_owned();
    let role = role_of(&posted);
    if !is_name(&name) {
        return Err(HttpError::BadInput(
            "A name has 1 to 60 letters. Go back and type one.".to_owned(),
        ));
    }
    state
        .write(move |tx| {
            let people = scantling_db::people(tx)?;
            let Some(person) = people.get(&id) else {
                return Ok(false);
            };
            scantling_db::rename_person(tx, id, &name)?;
            if person.role != Role::Lead && person.role != role {
                scantling_db::set_role(tx, id, role)?;
                let act = Access {
                    person: Some(id),
                    by_device: Some(by),
                    words: role.name().to_owned(),
                    ..Access::of(AccessAct::Role)
                };
                scantling_db::log_access(tx, &act, &now)?;
            }
            Ok(true)
        })
        .await?
        .then(|| see("/crew"))
        .ok_or(HttpError::NotFound)
}

/// Shuts out every phone but this one.
pub(crate) async fn shut_others(
    state: web::Data<State>,
    who: web::ReqData<Who>,
) -> Result<HttpResponse, HttpError> {
    let (own, now) = (who.device, clock::now());
    state
        .write(move |tx| {
            let n = scantling_db::revoke_others(tx, own, &now)?;
            let act = Access {
                by_device: Some(own),
                words: format!("{n} others"),
                ..Access::of(AccessAct::Revoked)
            };
            scantling_db::log_access(tx, &act, &now)
        })
        .await?;
    let by = Some(own);
    state.journal().security("shut out all but", "/crew", by);
    Ok(see("/crew"))
}

/// Opens signing in again after too many wrong codes.
pub(crate) async fn open(
    state: web::Data<State>,
    who: web::ReqData<Who>,
) -> Result<HttpResponse, HttpError> {
    let (own, now) = (who.device, clock::now());
    state
        .write(move |tx| {
            scantling_db::open_pairing(tx)?;
            let act = Access {
                by_device: Some(own),
                ..Access::of(AccessAct::PairingOpened)
            };
            scantling_db::log_access(tx, &act, &now)
        })
        .await?;
    Ok(see("/crew"))
}
