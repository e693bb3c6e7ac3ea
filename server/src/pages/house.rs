//! The house: rooms, walls and framing, and the form for a new room of four walls.

use actix_web::{HttpResponse, web};
use scantling_takeoff::record::{Kind, registry};
use scantling_web::layout::Main;
use scantling_web::pages::house;
use uuid::Uuid;

use super::{rows, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let today = clock::today();
    let mut shell = shell::shell(&job, "House", "/house", today);
    shell.bar = shell::bar(vec![("#add".to_owned(), "Add a room")], Main::No);
    let filled = Posted(vec![("four_walls".to_owned(), "yes".to_owned())]);
    let kind = registry::adds(Kind::Room).ok_or(HttpError::Broken("the registry has no room"))?;
    let draft = Draft {
        job: Some(&job),
        filled,
        problems: Vec::new(),
        id: "room".to_owned(),
        next: Posted(asked.into_inner())
            .typed("next")
            .map_or_else(|| format!("/jobs/{}/house", job.id), str::to_owned),
        save: "Save room and its walls".to_owned(),
        main: Main::Yes,
    };
    let path = |path: &str| format!("/jobs/{}/{path}", job.id);
    let year = job
        .record()
        .and_then(|record| record.text("year_built"))
        .map_or_else(String::new, |year| format!(", built {year}"));
    let all = |kind| -> Vec<_> { job.all(kind).map(|one| rows::row(&job, one)).collect() };
    let view = house::View {
        sub: format!("{}{year}.", shell::name(&job)),
        rooms: all(Kind::Room),
        walls: all(Kind::Wall),
        runs: all(Kind::Run),
        members: all(Kind::Member),
        storeys: all(Kind::Storey),
        add: view::adding(kind, Some(job.id), draft),
        more: vec![
            (path("wall#add"), "Add a wall".to_owned()),
            (path("run#add"), "Add a run".to_owned()),
            (path("member#add"), "Add a member".to_owned()),
            (path("storey#add"), "Add a storey".to_owned()),
        ],
        shell,
    };
    Ok(html(house::page(&view)))
}
