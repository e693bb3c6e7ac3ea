//! Photos: those of a thing with the form that adds one, the list of all, and a photo's own page.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::record::job::natural;
use scantling_takeoff::record::{FieldProblem, Job, Kind, Picture, Record, Role, registry};
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::pages::photos;
use scantling_web::parts::photo::{self, Camera, Photo, PhotoForm, Photos, Shown};
use uuid::Uuid;

use super::{rows, shell, things};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::forms::view;
use crate::state::State;

/// The pictures that are here, by photo.
pub(crate) type Pictures = BTreeMap<Uuid, Picture>;

/// All photos of the job that may be seen, by week, room or change, and the form that adds one.
pub(crate) async fn list(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let job_id = *job;
    let job = state.job(job_id).await?;
    let (pictures, names) = state
        .read(move |tx| {
            Ok((
                scantling_db::pictures(tx, job_id)?,
                scantling_db::people(tx)?,
            ))
        })
        .await?;
    let mut all: Vec<&Record> = job
        .all(Kind::Photo)
        .filter(|photo| things::may_see(&job, photo, &who).is_ok())
        .collect();
    all.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    let asked = Posted(asked.into_inner());
    let by = By::named(asked.first("by").unwrap_or(""));
    let mut groups: BTreeMap<Group, Vec<Photo>> = BTreeMap::new();
    for photo in &all {
        let group = by.group(&job, photo);
        let drawn = one(&job, photo, &pictures, &names);
        groups.entry(group).or_default().push(drawn);
    }
    let view = photos::View {
        shell: shell::shell(&job, Kind::Photo.plural(), "/photo", clock::today()),
        up: (format!("/jobs/{}", job.id), "This week".to_owned()),
        by: By::ALL
            .iter()
            .map(|other| photos::Way {
                href: format!("/jobs/{}/photo?by={}", job.id, other.name()),
                words: other.words(),
                here: *other == by,
            })
            .collect(),
        groups: groups
            .into_iter()
            .map(|(group, photos)| (group.words, photos))
            .collect(),
        form: may_add(&who).then(|| form(&job, &asked, "f", (Camera::OrLibrary, Main::Yes), &[])),
    };
    Ok(html(photos::page(&view)))
}

/// How the gallery is laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum By {
    Week,
    Room,
    Change,
}

/// A heading of the gallery, in its place.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Group {
    place: (u32, Vec<(String, u64)>),
    words: String,
}

impl Group {
    /// After all others.
    fn last(words: &str) -> Self {
        Self {
            place: (u32::MAX, Vec::new()),
            words: words.to_owned(),
        }
    }

    fn named(name: &str) -> Self {
        Self {
            place: (0, natural(name)),
            words: name.to_owned(),
        }
    }
}

impl By {
    const ALL: [Self; 3] = [Self::Week, Self::Room, Self::Change];

    fn named(name: &str) -> Self {
        let mut all = Self::ALL.into_iter();
        all.find(|by| by.name() == name).unwrap_or(Self::Week)
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Week => "week",
            Self::Room => "room",
            Self::Change => "change",
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Week => "By week",
            Self::Room => "By room",
            Self::Change => "By change",
        }
    }

    fn group(self, job: &Job, photo: &Record) -> Group {
        let of = photo.to("of").and_then(|id| job.ever(id));
        match self {
            Self::Week => match week_of(job, photo) {
                // The newest first, as the photos are.
                Some(week) => Group {
                    place: (u32::MAX - 1 - week.min(u32::MAX - 2), Vec::new()),
                    words: format!("Week {week}"),
                },
                None => Group::last("Between the work weeks"),
            },
            Self::Room => match of.and_then(|of| room_of(job, of)) {
                Some(room) => Group::named(room.name()),
                None => Group::last("Of no room"),
            },
            Self::Change => match of.filter(|of| of.kind.is_change()) {
                Some(change) => Group::named(&rows::title(job, change)),
                None => Group::last("Of no change"),
            },
        }
    }
}

/// The work week on whose days a photo was taken; of a change's photo on no such day, the change's week.
fn week_of(job: &Job, photo: &Record) -> Option<u32> {
    let day = i64::from(clock::stamp_date(&photo.at)?.to_julian_day());
    let holds = |week: &&Record| {
        let (start, end) = (week.number("start"), week.number("end"));
        start.is_some_and(|start| start <= day) && end.or(start).is_some_and(|end| day <= end)
    };
    let week = job.all(Kind::Week).find(holds);
    let number = week.and_then(|week| u32::try_from(week.number("number")?).ok());
    let of_change = || {
        let of = job.ever(photo.to("of")?)?;
        of.kind.is_change().then(|| of.week())
    };
    number.or_else(of_change)
}

/// The room that a thing is in: itself, or the one that it names, or whose wall it is on.
fn room_of<'a>(job: &'a Job, of: &'a Record) -> Option<&'a Record> {
    if of.kind == Kind::Room {
        return Some(of);
    }
    let named = |record: &'a Record, field: &str| {
        let has = registry::fields_of(record.kind)
            .iter()
            .any(|known| known.name == field);
        if has {
            record.to(field).and_then(|id| job.get(id))
        } else {
            None
        }
    };
    named(of, "room")
        .or_else(|| named(of, "room_a"))
        .or_else(|| {
            let wall = named(of, "wall")?;
            named(wall, "room_a")
        })
}

/// The form that adds a photo: of what it says, else of what is chosen in it.
pub(crate) fn form(
    job: &Job,
    filled: &Posted,
    id: &str,
    (camera, main): (Camera, Main),
    problems: &[FieldProblem],
) -> PhotoForm {
    let of = filled
        .typed("of")
        .and_then(|text| Uuid::parse_str(text).ok())
        .filter(|of| job.get(*of).is_some());
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        ("entity_id".to_owned(), filled.id("entity_id").to_string()),
        (
            "next".to_owned(),
            filled.first("next").unwrap_or("").to_owned(),
        ),
    ];
    hidden.extend(of.map(|of| ("of".to_owned(), of.to_string())));
    let to_choose = registry::fields_of(Kind::Photo)
        .iter()
        .find(|field| field.name == "of" && of.is_none());
    PhotoForm {
        action: format!("/jobs/{}/photo", job.id),
        id: id.to_owned(),
        hidden,
        camera,
        of: to_choose.map_or_else(Vec::new, |field| view::options(field, Some(job))),
        kinds: registry::ANYTHING
            .iter()
            .map(|kind| kind.name())
            .collect::<Vec<_>>()
            .join(" "),
        caption: filled.first("caption").unwrap_or("").to_owned(),
        problems: problems.iter().map(|p| p.message.clone()).collect(),
        replaces: filled
            .first("kept")
            .and(filled.typed("replaces"))
            .and_then(|text| Uuid::parse_str(text).ok())
            .map(|op| op.to_string()),
        main,
    }
}

/// The button that photographs a thing and comes back to `next`.
pub(crate) fn button(job: &Job, of: Uuid, id: &str, next: &str) -> PhotoForm {
    let filled = Posted(vec![
        ("of".to_owned(), of.to_string()),
        ("next".to_owned(), next.to_owned()),
    ]);
    form(job, &filled, id, (Camera::AtOnce, Main::No), &[])
}

/// The form on a page of its own.
pub(crate) fn form_page(job: &Job, of: Option<&Record>, form: PhotoForm) -> Page {
    let title = of.map_or_else(
        || "Photo".to_owned(),
        |of| format!("Photo of {}", rows::title(job, of)),
    );
    let mut shell = shell::shell(job, &title, "", clock::today());
    shell.note = Some(shell::refused_note());
    let up = of.map_or_else(
        || (format!("/jobs/{}/photo", job.id), "Photos".to_owned()),
        |of| (address(job, of), rows::title(job, of)),
    );
    photos::page(&photos::View {
        up,
        by: Vec::new(),
        groups: Vec::new(),
        form: Some(form),
        shell,
    })
}

/// A thing's photos, newest first, and the form that adds one; none for a thing that no photo can be of.
pub(crate) fn of(
    job: &Job,
    record: &Record,
    who: &Who,
    (pictures, names): (&Pictures, &things::People),
) -> Option<Photos> {
    if !registry::ANYTHING.contains(&record.kind) {
        return None;
    }
    let mut all: Vec<&Record> = job
        .all(Kind::Photo)
        .filter(|photo| photo.to("of") == Some(record.id))
        .collect();
    all.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    let filled = Posted(vec![
        ("of".to_owned(), record.id.to_string()),
        (
            "next".to_owned(),
            format!("{}#photos", address(job, record)),
        ),
    ]);
    Some(Photos {
        all: all
            .into_iter()
            .map(|photo| one(job, photo, pictures, names))
            .collect(),
        form: may_add(who).then(|| form(job, &filled, "photo", (Camera::OrLibrary, Main::No), &[])),
        add: if record.kind == Kind::Receipt {
            "Photo of the paper"
        } else {
            "Photo"
        },
    })
}

/// A photo to be shown.
pub(crate) fn one(job: &Job, photo: &Record, pictures: &Pictures, names: &things::People) -> Photo {
    let here = address(job, photo);
    let day = clock::stamp_day(&photo.at);
    Photo {
        picture: match pictures.get(&photo.id) {
            None => photo::Picture::NotHere,
            Some(picture) if picture.is_original() => photo::Picture::Original(None),
            Some(picture) => photo::Picture::Shown(Shown {
                src: format!("{here}/small"),
                full: format!("{here}/full"),
                file: None,
                width: picture.width,
                height: picture.height,
            }),
        },
        alt: photo
            .text("caption")
            .map_or_else(|| format!("{}, {day}", of_what(job, photo)), str::to_owned),
        caption: photo.text("caption").unwrap_or("").to_owned(),
        by: format!("{}, {day}", things::person(names, photo.by)),
        href: here,
    }
}

/// A photo as large as the screen, for its own page.
pub(crate) fn large(
    job: &Job,
    photo: &Record,
    who: &Who,
    (pictures, names): (&Pictures, &things::People),
) -> Photo {
    let mut large = one(job, photo, pictures, names);
    let here = &large.href;
    let original = (who.role >= Role::Lead).then(|| format!("{here}/file"));
    match &mut large.picture {
        photo::Picture::Original(file) => *file = original,
        photo::Picture::Shown(shown) => {
            shown.src = format!("{here}/screen");
            shown.file = original;
        }
        photo::Picture::NotHere => {}
    }
    large
}

/// `Photo of Wall D`.
pub(crate) fn of_what(job: &Job, photo: &Record) -> String {
    photo.to("of").and_then(|id| job.ever(id)).map_or_else(
        || Kind::Photo.title().to_owned(),
        |of| format!("Photo of {}", rows::title(job, of)),
    )
}

fn address(job: &Job, record: &Record) -> String {
    format!("/jobs/{}/{}/{}", job.id, record.kind, record.id)
}

fn may_add(who: &Who) -> bool {
    who.role >= Role::Crew
}
