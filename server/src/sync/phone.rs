//! What a phone asks: whether the server is there, and who it is here.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_web::assets;
use serde_json::json;

use super::Refusal;
use super::wire::PROTOCOL;
use crate::clock;
use crate::state::State;

/// Whether the server is there; for anyone.
pub(crate) async fn ping(state: web::Data<State>) -> Result<HttpResponse, Refusal> {
    let server_id = state.read(scantling_db::server_id).await?;
    Ok(fresh(&json!({
        "server_id": server_id,
        "server_time": clock::now(),
        "protocol": [PROTOCOL],
        "build": assets::build(),
    })))
}

/// Who this phone is here.
pub(crate) async fn me(
    state: web::Data<State>,
    who: web::ReqData<Who>,
) -> Result<HttpResponse, Refusal> {
    let (person, device) = (who.person, who.device);
    let (server_id, name, role_rev) = state
        .read(move |tx| {
            let people = scantling_db::people(tx)?;
            let line = people.get(&person);
            Ok((
                scantling_db::server_id(tx)?,
                line.map_or_else(String::new, |line| line.name.clone()),
                line.map_or(1, |line| line.role_rev),
            ))
        })
        .await?;
    Ok(fresh(&json!({
        "device_id": device,
        "person_id": person,
        "name": name,
        "role": who.role.name(),
        "role_rev": role_rev,
        "server_id": server_id,
        "build": assets::build(),
        "offline": true,
    })))
}

/// An answer that nothing keeps.
pub(super) fn fresh(body: &serde_json::Value) -> HttpResponse {
    HttpResponse::Ok()
        .insert_header(("cache-control", "no-store"))
        .json(body)
}
