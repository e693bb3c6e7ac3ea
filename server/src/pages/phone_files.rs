//! What a phone keeps to work away from the server: its worker, its manifest, and which pages it puts by.

use std::collections::BTreeMap;

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::checks::hold_points::{self, GateState};
use scantling_takeoff::record::{Job, Kind, Picture, Record, Role};
use scantling_web::assets::{self, ASSETS};
use scantling_web::pages::{offline, outbox};
use serde_json::json;
use uuid::Uuid;

use super::{holds, line, shell, things};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// At most so many jobs are put by, those that were last written in.
const JOBS: usize = 3;
/// At most so many pages: a house of usual size, all that can be recorded, planned and bought in it, and room for some more.
const PAGES: usize = 160;
/// So many of each job stand before the rest of any: a full week of one must not crowd out the others.
const FIRST: usize = 40;
/// At most so many small pictures, the newest: of 320 px and about 20 kB, so some 8 MB.
const PICTURES: usize = 400;

/// The worker, with what it has to know put before it. It stands at the root, since it may only serve what is below it.
pub(crate) async fn worker() -> Result<HttpResponse, HttpError> {
    let script = ASSETS
        .iter()
        .find(|asset| asset.name == "sw.js")
        .ok_or(HttpError::NotFound)?;
    let shell: Vec<String> = ASSETS
        .iter()
        .filter(|asset| !matches!(asset.name, "sw.js" | "check.js"))
        .map(|asset| assets::url(asset.name))
        .chain(["/manifest.webmanifest".to_owned()])
        .collect();
    let mut body = format!(
        "const BUILD={};\nconst SHELL={};\n",
        json!(assets::build()),
        json!(shell)
    )
    .into_bytes();
    body.extend_from_slice(script.bytes);
    Ok(HttpResponse::Ok()
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .content_type("text/javascript; charset=utf-8")
        .body(body))
}

/// What the phone calls it on its home screen.
pub(crate) async fn manifest() -> HttpResponse {
    let icons: Vec<serde_json::Value> = ASSETS
        .iter()
        .filter(|asset| asset.name.starts_with("icon"))
        .map(|asset| {
            let digits: String = asset.name.chars().filter(char::is_ascii_digit).collect();
            let sizes = if digits.is_empty() {
                "any".to_owned()
            } else {
                format!("{digits}x{digits}")
            };
            json!({"src": assets::url(asset.name), "sizes": sizes, "type": asset.content_type, "purpose": "any"})
        })
        .collect();
    let manifest = json!({
        "name": "Scantling",
        "short_name": "Scantling",
        "description": "Field log and material takeoff",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#fdfcf9",
        "theme_color": "#fdfcf9",
        "icons": icons,
    });
    HttpResponse::Ok()
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .content_type("application/manifest+json")
        .body(manifest.to_string())
}

/// The entries that wait on this phone; its script fills it.
pub(crate) async fn outbox_page() -> HttpResponse {
    html(outbox::page())
}

/// What is shown away from the server where a page is not put by; its script fills it.
pub(crate) async fn offline_page() -> HttpResponse {
    html(offline::page())
}

/// Which pages a phone puts by, each with a mark that changes when the page may have; and which small pictures.
pub(crate) async fn set(
    state: web::Data<State>,
    who: web::ReqData<Who>,
) -> Result<HttpResponse, HttpError> {
    let mut jobs = state.read(scantling_db::jobs).await?;
    jobs.sort_by(|a, b| (&b.changed_at, a.id).cmp(&(&a.changed_at, b.id)));
    let newest = jobs.iter().map(|job| job.rev).max().unwrap_or(0);
    let mark = |rev: i64| format!("{}-{}-{rev}", assets::build(), who.role.name());
    let mut pictures = Vec::new();
    let mut rest = Vec::new();
    let mut pages: Vec<(String, String)> = ["/", "/outbox", "/offline", "/help"]
        .iter()
        .map(|url| ((*url).to_owned(), mark(newest)))
        .collect();
    for line in jobs.iter().take(JOBS) {
        let job = state.job(line.id).await?;
        let id = line.id;
        let kept = state.read(move |tx| scantling_db::pictures(tx, id)).await?;
        pictures.extend(pictures_of(&job, &kept, &who));
        let of_job = pages_of(&job, who.role);
        let marked = of_job.into_iter().map(|url| (url, mark(line.rev)));
        let mut first: Vec<(String, String)> = marked.collect();
        rest.extend(first.split_off(FIRST.min(first.len())));
        pages.extend(first);
    }
    pages.extend(rest);
    pages.truncate(PAGES);
    pictures.truncate(PICTURES);
    let pages: Vec<serde_json::Value> = pages
        .into_iter()
        .map(|(url, etag)| json!({"url": url, "etag": etag}))
        .collect();
    Ok(HttpResponse::Ok()
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .json(json!({"build": assets::build(), "pages": pages, "pictures": pictures})))
}

/// Where the small pictures of a job are, the newest first.
fn pictures_of(job: &Job, kept: &BTreeMap<Uuid, Picture>, who: &Who) -> Vec<String> {
    let has_copy = |photo: &&Record| kept.get(&photo.id).is_some_and(|one| !one.is_original());
    let mut photos: Vec<&Record> = job
        .all(Kind::Photo)
        .filter(has_copy)
        .filter(|photo| things::may_see(job, photo, who).is_ok())
        .collect();
    photos.sort_by(|a, b| (&b.at, a.id).cmp(&(&a.at, b.id)));
    photos
        .into_iter()
        .map(|photo| format!("/jobs/{}/photo/{}/small", job.id, photo.id))
        .collect()
}

/// The pages of a job, those that are wanted most first.
fn pages_of(job: &Job, role: Role) -> Vec<String> {
    let week = shell::week_now(job, clock::today());
    let base = format!("/jobs/{}", job.id);
    let sees_prices = role >= Role::Crew;
    let mut pages = vec![base.clone(), format!("{base}/house")];
    // With its week and without: links lead to either.
    let of_week = |path: &str, pages: &mut Vec<String>| {
        pages.push(format!("{base}/{path}"));
        pages.push(format!("{base}/{path}?week={week}"));
    };
    if sees_prices {
        of_week("buy-list", &mut pages);
        pages.push(format!("{base}/receipt"));
        pages.extend(["trip", "order"].map(|path| format!("{base}/{path}")));
    }
    for path in ["changes", "holds", "on-hand", "photo"] {
        pages.push(format!("{base}/{path}"));
    }
    for path in ["checks", "materials", "cut-list"] {
        of_week(path, &mut pages);
    }
    // Where things are added, each with its form.
    if sees_prices {
        let kinds = [
            Kind::Wall,
            Kind::Run,
            Kind::Member,
            Kind::Storey,
            Kind::Note,
        ];
        pages.extend(kinds.iter().map(|kind| format!("{base}/{kind}")));
    }
    if role >= Role::Lead {
        pages.push(format!("{base}/plan"));
        pages.extend(Kind::CHANGES.iter().map(|kind| format!("{base}/{kind}")));
    }
    for change in job.changes().iter().filter(|change| change.week() == week) {
        pages.push(format!("{base}/{}/{}", change.kind, change.id));
        if sees_prices && !matches!(change.state.as_str(), "done" | "dropped") {
            pages.push(format!("{base}/{}/{}/done", change.kind, change.id));
        }
        let gates = hold_points::gates(job, change).into_iter();
        let open = gates.filter(|gate| change.state != "dropped" && gate.state != GateState::Past);
        pages.extend(open.map(|gate| holds::gate_href(job, change, gate.event)));
    }
    if sees_prices {
        pages.extend(line::of_week(job, week));
    }
    let kinds = [Kind::Room, Kind::Wall, Kind::Run, Kind::Member];
    for kind in kinds {
        for thing in job.all(kind) {
            pages.push(format!("{base}/{kind}/{}", thing.id));
        }
    }
    pages
}
