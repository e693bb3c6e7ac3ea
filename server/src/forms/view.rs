//! Forms as views: the registry's fields with what is in them, what may be chosen, and what is wrong.

use std::collections::BTreeSet;

use scantling_takeoff::buy::{Item, PriceBook};
use scantling_takeoff::record::{
    Field, FieldProblem, FieldType, Job, Kind, OpKind, Record, What, registry,
};
use scantling_takeoff::tables::ps20::common_nominals;
use scantling_takeoff::units::parse_length;
use scantling_web::layout::Main;
use scantling_web::parts::form::{FieldView, Form, Input};
use uuid::Uuid;

use super::compose::{Posted, free_wall_names};
use super::price_dates::BY_HAND;
use crate::clock;
use crate::pages::{orders, rows};

/// A form to be drawn.
#[derive(Clone, Debug)]
pub(crate) struct Draft<'a> {
    /// The job; none for a new job.
    pub(crate) job: Option<&'a Job>,
    /// What it holds: prefilled, or as it was sent.
    pub(crate) filled: Posted,
    /// What is wrong.
    pub(crate) problems: Vec<FieldProblem>,
    /// Its anchor.
    pub(crate) id: String,
    /// Where to go after saving; empty: where the saved thing is.
    pub(crate) next: String,
    /// Its button.
    pub(crate) save: String,
    /// Whether it is the page's main action.
    pub(crate) main: Main,
}

/// Dimensions that a form which adds a thing asks for at once: after which field, what, label.
pub(crate) fn asked_with(kind: Kind) -> &'static [(&'static str, What, &'static str)] {
    match kind {
        Kind::Room => &[
            ("name", What::Length, "Length"),
            ("name", What::Width, "Width"),
            ("name", What::CeilingHeight, "Ceiling height"),
        ],
        Kind::Wall => &[
            ("name", What::Length, "Length"),
            ("name", What::Thickness, "Thickness"),
        ],
        Kind::Run => &[
            ("name", What::Thickness, "Thickness as found"),
            ("name", What::Depth, "Depth as found"),
            ("count", What::Place, "First place from the wall"),
        ],
        Kind::Member => &[
            ("piece", What::Thickness, "Thickness as found"),
            ("piece", What::Depth, "Depth as found"),
            ("piece", What::Length, "Length"),
        ],
        _ => &[],
    }
}

/// Choices that stand as rows to press in a form that adds: one press, where a list takes two.
const PICKED: &[&str] = &["direction", "over_wall", "lands", "stands_on"];

/// The form that adds a thing of this kind.
pub(crate) fn adding(
    kind: &'static OpKind,
    job_id: Option<Uuid>,
    draft: Draft<'_>,
) -> Form<'static> {
    let mut fields = Vec::new();
    for field in kind.fields.iter().filter(|field| !field.apart) {
        let mut view = field_view(field, &draft, draft.filled.all(field.name));
        if PICKED.contains(&field.name)
            && let Input::One(options) = view.input
        {
            view.input = Input::Pick(options);
        }
        fields.push(view);
        for (after, what, label) in asked_with(kind.kind) {
            if *after == field.name {
                fields.push(asked(*what, label, &draft));
            }
        }
    }
    let mut hidden = ids(&draft);
    if kind.kind == Kind::Room && draft.filled.first("four_walls") == Some("yes") {
        hidden.push(("four_walls".to_owned(), "yes".to_owned()));
    }
    let action = job_id.map_or_else(
        || "/jobs".to_owned(),
        |job| format!("/jobs/{job}/{}", kind.kind),
    );
    whole(kind.name, action, hidden, fields, draft)
}

/// The form that adds a reading of a thing: only what such a thing has.
pub(crate) fn measuring(job: &Job, of: &Record, draft: Draft<'_>) -> Form<'static> {
    let mut fields = Vec::new();
    for field in registry::fields_of(Kind::Reading) {
        let mut view = field_view(field, &draft, draft.filled.all(field.name));
        match field.name {
            "of" => continue,
            // Of a run: its span on the other side of what it runs over.
            "side" if !matches!(of.kind, Kind::Wall | Kind::Shore | Kind::Run) => continue,
            "number"
                if !matches!(
                    of.kind,
                    Kind::Run | Kind::Struts | Kind::Shore | Kind::Studs
                ) =>
            {
                continue;
            }
            "what" => {
                view.input = Input::One(
                    What::for_kind(of.kind)
                        .map(|w| (w.name().to_owned(), w.title().to_owned()))
                        .collect(),
                );
            }
            _ => {}
        }
        view.first = !matches!(field.name, "by" | "side" | "number")
            || view.problem.is_some()
            || !view.values.is_empty();
        fields.push(view);
    }
    // The reading itself comes first: most often the rest is as it was.
    fields.sort_by_key(|field| u8::from(field.name != "raw"));
    let mut hidden = ids(&draft);
    hidden.push(("of".to_owned(), of.id.to_string()));
    whole(
        "reading.add",
        format!("/jobs/{}/reading", job.id),
        hidden,
        fields,
        draft,
    )
}

/// The form that adds a note about a thing.
pub(crate) fn noting(job: &Job, of: Uuid, draft: Draft<'_>) -> Form<'static> {
    let fields = registry::fields_of(Kind::Note)
        .iter()
        .filter(|field| field.name == "text")
        .map(|field| field_view(field, &draft, draft.filled.all(field.name)))
        .collect();
    let mut hidden = ids(&draft);
    hidden.push(("of".to_owned(), of.to_string()));
    whole(
        "note.add",
        format!("/jobs/{}/note", job.id),
        hidden,
        fields,
        draft,
    )
}

/// The form that changes a thing: every field that may change, with what it showed and its revision. `revs` is by field.
pub(crate) fn editing(
    kind: &'static OpKind,
    of: &Record,
    revs: &std::collections::BTreeMap<String, i64>,
    sent: Option<&Posted>,
    draft: Draft<'_>,
    job_id: Uuid,
) -> Form<'static> {
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        ("next".to_owned(), draft.next.clone()),
    ];
    let mut fields = Vec::new();
    for field in kind
        .fields
        .iter()
        .filter(|field| field.changeable && !field.apart)
    {
        let is: Vec<String> = of
            .texts(field.name)
            .into_iter()
            .map(str::to_owned)
            .collect();
        for text in if is.is_empty() {
            vec![String::new()]
        } else {
            is.clone()
        } {
            hidden.push((format!("was.{}", field.name), text));
        }
        hidden.push((
            format!("base.{}", field.name),
            revs.get(field.name).copied().unwrap_or(0).to_string(),
        ));
        let shown = sent.map_or(is, |sent| sent.all(field.name));
        let mut view = field_view(field, &draft, shown);
        view.first = true;
        fields.push(view);
    }
    whole(
        kind.name,
        format!("/jobs/{job_id}/{}/{}", of.kind, of.id),
        hidden,
        fields,
        draft,
    )
}

/// The form of something else that happens to a thing.
pub(crate) fn acting(
    kind: &'static OpKind,
    act: &str,
    of: &Record,
    draft: Draft<'_>,
    job_id: Uuid,
) -> Form<'static> {
    let fields = kind
        .fields
        .iter()
        .filter(|field| {
            draft
                .filled
                .first(&format!("fixed.{}", field.name))
                .is_none()
        })
        .map(|field| field_view(field, &draft, draft.filled.all(field.name)))
        .collect();
    let mut hidden = ids(&draft);
    for field in kind.fields {
        if let Some(text) = draft.filled.first(&format!("fixed.{}", field.name)) {
            hidden.push((field.name.to_owned(), text.to_owned()));
        }
    }
    whole(
        kind.name,
        format!("/jobs/{job_id}/{}/{}/act/{act}", of.kind, of.id),
        hidden,
        fields,
        draft,
    )
}

/// Fresh op id; the entity id stays what it was, so that a form that comes back is about the same thing.
fn ids(draft: &Draft<'_>) -> Vec<(String, String)> {
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        (
            "entity_id".to_owned(),
            draft.filled.id("entity_id").to_string(),
        ),
        ("next".to_owned(), draft.next.clone()),
    ];
    if !draft.problems.is_empty()
        && let Some(op) = draft.filled.typed("op_id")
    {
        hidden.push(("replaces".to_owned(), op.to_owned()));
    }
    hidden
}

fn whole(
    kind: &'static str,
    action: String,
    hidden: Vec<(String, String)>,
    fields: Vec<FieldView>,
    draft: Draft<'_>,
) -> Form<'static> {
    let shown: Vec<&str> = fields.iter().map(|field| field.name.as_str()).collect();
    let problems = draft
        .problems
        .iter()
        .filter(|problem| !shown.contains(&problem.field.as_str()))
        .map(|problem| problem.message.clone())
        .collect();
    Form {
        action,
        kind,
        id: draft.id,
        hidden,
        fields,
        problems,
        save: draft.save,
        main: draft.main,
    }
}

fn field_view(field: &Field, draft: &Draft<'_>, values: Vec<String>) -> FieldView {
    let mut view = FieldView::of(field, values, options(field, draft.job));
    if let (Some(job), Some(options)) = (draft.job, items_of(field, draft, &view.values)) {
        view.input = Input::One(named(job, options));
    }
    view.problem = problem_of(field.name, draft);
    view.echo = echo(field, view.values.first().map_or("", String::as_str), draft);
    view
}

/// What a field that names an item by its key offers: everything that is in the price book, on a list or here. None for
/// other fields, and where what was sent is no key: that comes back as it was.
fn items_of(field: &Field, draft: &Draft<'_>, values: &[String]) -> Option<BTreeSet<Item>> {
    if !matches!(field.name, "item" | "instead_of") || field.list || field.kind != FieldType::Note {
        return None;
    }
    let job = draft.job?;
    let mut all: BTreeSet<Item> = job.ledger.items().into_iter().cloned().collect();
    all.extend(
        PriceBook::of(job)
            .offers
            .into_iter()
            .map(|offer| offer.item),
    );
    for key in values.iter().filter(|key| !key.trim().is_empty()) {
        all.insert(Item::from_key(key).ok()?);
    }
    Some(all)
}

/// Items to choose from: the key that is sent, the words that are read.
fn named(job: &Job, items: BTreeSet<Item>) -> Vec<(String, String)> {
    items
        .into_iter()
        .map(|item| (item.to_key(), item.words(job)))
        .collect()
}

fn asked(what: What, label: &str, draft: &Draft<'_>) -> FieldView {
    let name = format!("reading.{}", what.name());
    FieldView {
        label: label.to_owned(),
        hint: String::new(),
        input: Input::Length,
        values: draft.filled.all(&name),
        echo: String::new(),
        problem: problem_of(&name, draft),
        required: false,
        first: true,
        refers: String::new(),
        name,
    }
}

fn problem_of(name: &str, draft: &Draft<'_>) -> Option<String> {
    let messages: Vec<&str> = draft
        .problems
        .iter()
        .filter(|p| p.field == name)
        .map(|p| p.message.as_str())
        .collect();
    (!messages.is_empty()).then(|| messages.join(" "))
}

/// A length that can be read is read back under its field, both ways.
fn echo(field: &Field, text: &str, draft: &Draft<'_>) -> String {
    let units = draft
        .job
        .map_or_else(Default::default, |job| job.settings.units);
    match field.kind {
        FieldType::Length { .. } if !text.trim().is_empty() => {
            parse_length(text, units).map_or_else(|_| String::new(), |l| l.echo(units))
        }
        _ => String::new(),
    }
}

/// What a field offers: things that a reference may name, or common sizes.
pub(crate) fn options(field: &Field, job: Option<&Job>) -> Vec<(String, String)> {
    match (field.kind, job) {
        (FieldType::Nominal, _) => common_nominals()
            .map(|n| (n.text(), n.to_string()))
            .collect(),
        (FieldType::Ref(kinds), Some(job)) => kinds
            .iter()
            .flat_map(|kind| job.all(*kind))
            .filter(|record| suits(field.name, record))
            .map(|record| (record.id.to_string(), label_in(job, record)))
            .collect(),
        _ => Vec::new(),
    }
}

/// Whether a thing comes into question: a beam for what hangs on it or stands under it, joists for hangers.
fn suits(field: &str, record: &Record) -> bool {
    let pieces: &[&str] = match (field, record.kind) {
        ("beam" | "under", Kind::Member) => &["beam", "girder", "header", "plate"],
        ("runs", Kind::Member | Kind::Run) => &["joist", "ceiling_joist", "rafter"],
        _ => return true,
    };
    record
        .text("piece")
        .is_some_and(|piece| pieces.contains(&piece))
}

/// The same for what is called by other things: a receipt by its yard and day, a line by its item.
fn label_in(job: &Job, record: &Record) -> String {
    match record.kind {
        Kind::Receipt | Kind::Bought => rows::title(job, record),
        Kind::Order => orders::name(job, record),
        _ => label(record),
    }
}

/// A thing's name in a pick list.
pub(crate) fn label(record: &Record) -> String {
    match record.kind {
        Kind::Price => {
            let part = |name| record.text(name).unwrap_or("").to_owned();
            let words = [
                part("name"),
                part("panel"),
                part("thickness"),
                part("nominal"),
                part("fastener"),
                part("length"),
            ];
            words
                .into_iter()
                .filter(|word| !word.is_empty())
                .collect::<Vec<_>>()
                .join(" ")
        }
        kind if kind.is_change()
            || matches!(kind, Kind::Member | Kind::Run | Kind::Wall | Kind::Room) =>
        {
            record.name().to_owned()
        }
        _ => record.name().to_owned(),
    }
}

/// What a new thing's form holds at first: what the address asks for, else what was chosen last time, else what the
/// record knows.
pub(crate) fn prefilled(kind: Kind, job: &Job, week: u32, asked: &[(String, String)]) -> Posted {
    let mut filled: Vec<(String, String)> = asked.to_vec();
    let put = |name: &str, text: String, all: &mut Vec<(String, String)>| {
        if !text.is_empty() && !all.iter().any(|(n, _)| n == name) {
            all.push((name.to_owned(), text));
        }
    };
    // In a room, what was chosen for that room: its framing is measured from its own walls.
    let room = asked.iter().find(|(name, _)| name == "room");
    let last = job
        .all(kind)
        .filter(|one| {
            room.is_none_or(|(_, room)| {
                !matches!(kind, Kind::Run | Kind::Member) || one.text("room") == Some(room)
            })
        })
        .max_by(|a, b| (&a.at, a.id).cmp(&(&b.at, b.id)));
    for field in registry::fields_of(kind) {
        let carried = matches!(
            field.name,
            "piece"
                | "measured_from"
                | "measured_to"
                | "over_wall"
                | "direction"
                | "room"
                | "supplier"
                | "section"
                | "species"
                | "grade"
                | "screw"
                | "by"
        ) && !kind.is_change();
        if carried && let Some(text) = last.and_then(|last| last.text(field.name)) {
            put(field.name, text.to_owned(), &mut filled);
        }
        // A list with one thing on it is that thing.
        if field.required
            && !field.list
            && let FieldType::Ref(_) = field.kind
        {
            let choices = options(field, Some(job));
            if let [(only, _)] = choices.as_slice() {
                put(field.name, only.clone(), &mut filled);
            }
        }
        if field.list
            && field.required
            && let FieldType::Ref(_) = field.kind
        {
            let choices = options(field, Some(job));
            if choices.len() <= 2 && !filled.iter().any(|(name, _)| name == field.name) {
                filled.extend(
                    choices
                        .into_iter()
                        .map(|(id, _)| (field.name.to_owned(), id)),
                );
            }
        }
    }
    if kind.is_change() {
        put("week", week.to_string(), &mut filled);
        put("name", change_name(kind, job), &mut filled);
        at_beam(kind, job, &mut filled);
    }
    match kind {
        Kind::Run => {
            put("piece", "joist".to_owned(), &mut filled);
            put(
                "name",
                format!("Run {}", job.count(Kind::Run) + 1),
                &mut filled,
            );
        }
        Kind::Member => put("piece", "joist".to_owned(), &mut filled),
        Kind::Wall => put(
            "name",
            free_wall_names(Some(job), 1).pop().unwrap_or_default(),
            &mut filled,
        ),
        Kind::Week => put(
            "number",
            (job.count(Kind::Week) + 1).to_string(),
            &mut filled,
        ),
        Kind::Storey => put("level", job.count(Kind::Storey).to_string(), &mut filled),
        Kind::Reading => put("by", "tape".to_owned(), &mut filled),
        Kind::Stock => put("section", "stick".to_owned(), &mut filled),
        Kind::Event => put("day", clock::today().to_string(), &mut filled),
        Kind::Price => {
            put("section", "stick".to_owned(), &mut filled);
            put("price_day", clock::today().to_string(), &mut filled);
            put("source", BY_HAND.to_owned(), &mut filled);
        }
        _ => {}
    }
    Posted(filled)
}

/// A change that hangs on a beam or stands under it: at the beam planned last, with the joists that bear on its wall.
fn at_beam(kind: Kind, job: &Job, filled: &mut Vec<(String, String)>) {
    let newest = |kind: Kind| {
        job.all(kind)
            .filter(|one| one.state != "dropped")
            .max_by(|a, b| (&a.at, a.id).cmp(&(&b.at, b.id)))
    };
    let field = match kind {
        Kind::HangJoists => "beam",
        Kind::SetPost => "under",
        _ => return,
    };
    let is_asked = |name: &str, filled: &[(String, String)]| filled.iter().any(|(n, _)| n == name);
    if !is_asked(field, filled)
        && let Some(beam) = newest(Kind::SetBeam)
    {
        filled.push((field.to_owned(), beam.id.to_string()));
    }
    if kind == Kind::SetPost {
        let before = newest(kind).and_then(|post| post.text("nominal"));
        if let Some(nominal) = before.filter(|_| !is_asked("nominal", filled)) {
            filled.push(("nominal".to_owned(), nominal.to_owned()));
        }
        return;
    }
    let wall = filled
        .iter()
        .find(|(name, _)| name == field)
        .and_then(|(_, id)| Uuid::parse_str(id).ok())
        .and_then(|id| job.get(id)?.to("wall"));
    if let Some(wall) = wall.filter(|_| !is_asked("runs", filled)) {
        let bears = |run: &&Record| [run.to("start_at"), run.to("end_at")].contains(&Some(wall));
        filled.extend(
            job.all(Kind::Run)
                .filter(bears)
                .map(|run| ("runs".to_owned(), run.id.to_string())),
        );
    }
}

/// A name for a new change: its kind's, with a number where there are several.
fn change_name(kind: Kind, job: &Job) -> String {
    let n = job.records().filter(|record| record.kind == kind).count() + 1;
    let one = match kind {
        Kind::SetPost => return format!("Set post {n}"),
        Kind::SetBeam => return format!("Set beam {n}"),
        Kind::Sundry => "Sundry",
        _ => kind.title(),
    };
    if n == 1 {
        one.to_owned()
    } else {
        format!("{one}, {n}")
    }
}
