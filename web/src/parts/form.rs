//! Forms, drawn from the registry's fields: labels, hints, inputs that suit a phone, problems at their field.
//!
//! Every form posts entries with client-made ids; input names are the fields' names, a name that comes several times is
//! a list. Fields that are not shown at first stand under "More".

use maud::{Markup, html};
use scantling_takeoff::record::{Field, FieldType};

use crate::layout::Main;

/// A form.
#[derive(Clone, Debug)]
pub struct Form<'a> {
    /// Where it posts.
    pub action: String,
    /// The kind of entry, for the page's script.
    pub kind: &'a str,
    /// Its anchor, unique on the page; input ids start with it.
    pub id: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// Its fields.
    pub fields: Vec<FieldView>,
    /// Problems that belong to no field.
    pub problems: Vec<String>,
    /// What its button says: verb and thing.
    pub save: String,
    /// Whether it is the page's main action.
    pub main: Main,
}

/// A field with what is in it.
#[derive(Clone, Debug)]
pub struct FieldView {
    /// The input's name.
    pub name: String,
    /// Its label.
    pub label: String,
    /// The sentence under the label.
    pub hint: String,
    /// What may be typed.
    pub input: Input,
    /// What is in it; several for a list.
    pub values: Vec<String>,
    /// The value read back, both ways.
    pub echo: String,
    /// What is wrong with it.
    pub problem: Option<String>,
    /// Whether it must be filled.
    pub required: bool,
    /// Whether it shows at once.
    pub first: bool,
    /// Kinds of thing that it may name, for those that wait on the phone; names with spaces between.
    pub refers: String,
}

/// How a field is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    /// One line.
    Line,
    /// One line with words offered.
    Offer(Vec<String>),
    /// Several lines.
    Lines,
    /// A length, whose text is the truth.
    Length,
    /// A whole number.
    Count,
    /// Money or a percentage.
    Decimal,
    /// A day.
    Day,
    /// One of these: stored, shown.
    One(Vec<(String, String)>),
    /// One of these as rows to press, where a list would cost a press more: stored, shown.
    Pick(Vec<(String, String)>),
    /// Any of these: stored, shown.
    Any(Vec<(String, String)>),
}

impl FieldView {
    /// A field that no registry names: shown at once, not required.
    pub fn by_hand(name: &str, label: &str, input: Input, value: String) -> Self {
        Self {
            name: name.to_owned(),
            label: label.to_owned(),
            hint: String::new(),
            input,
            values: vec![value],
            echo: String::new(),
            problem: None,
            required: false,
            first: true,
            refers: String::new(),
        }
    }

    /// A view of a registry field. `options` are the things that a reference may name.
    pub fn of(field: &Field, values: Vec<String>, options: Vec<(String, String)>) -> Self {
        let pairs = |all: &[(&str, &str)]| {
            all.iter()
                .map(|(s, t)| ((*s).to_owned(), (*t).to_owned()))
                .collect::<Vec<_>>()
        };
        let input = match field.kind {
            FieldType::Text => Input::Line,
            FieldType::Suggest(words) => {
                Input::Offer(words.iter().map(|w| (*w).to_owned()).collect())
            }
            FieldType::Note | FieldType::Document => Input::Lines,
            FieldType::Length { .. } => Input::Length,
            FieldType::Count { .. } => Input::Count,
            FieldType::Decimal { .. }
            | FieldType::Money
            | FieldType::Percent
            | FieldType::TaxRate => Input::Decimal,
            FieldType::Date => Input::Day,
            FieldType::Choice(of) if field.list => Input::Any(pairs(of)),
            FieldType::Choice(of) => Input::One(pairs(of)),
            FieldType::Ref(_) if field.list => Input::Any(options),
            FieldType::Ref(_) => Input::One(options),
            FieldType::Nominal => {
                Input::Offer(options.into_iter().map(|(stored, _)| stored).collect())
            }
            FieldType::Nail(connection) => Input::One(
                connection
                    .rows()
                    .iter()
                    .map(|row| (row.nail.text(), row.nail.to_string()))
                    .collect(),
            ),
        };
        Self {
            name: field.name.to_owned(),
            label: field.label.to_owned(),
            hint: field.hint.to_owned(),
            input,
            values,
            echo: String::new(),
            problem: None,
            required: field.required,
            first: field.first,
            refers: match field.kind {
                FieldType::Ref(kinds) => {
                    let names: Vec<&str> = kinds.iter().map(|kind| kind.name()).collect();
                    names.join(" ")
                }
                _ => String::new(),
            },
        }
    }

    fn value(&self) -> &str {
        self.values.first().map_or("", String::as_str)
    }
}

/// Draws a form.
pub fn form(view: &Form<'_>) -> Markup {
    let (first, more): (Vec<&FieldView>, Vec<&FieldView>) = view
        .fields
        .iter()
        .partition(|field| field.first || field.problem.is_some());
    html! {
        form method="post" action=(view.action) id=(view.id) data-kind=(view.kind) data-online=[online(view.kind)] {
            @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
            @for problem in &view.problems { p class="err" role="alert" { (problem) } }
            @for field in first { (one_field(&view.id, field)) }
            @if !more.is_empty() {
                details class="more" {
                    summary class="btn" { "More" }
                    @for field in more { (one_field(&view.id, field)) }
                }
            }
            div class="acts" { (save(view)) }
        }
    }
}

/// A job begins at the server: nothing of it could be opened on the phone before.
fn online(kind: &str) -> Option<&'static str> {
    (kind == "job.add").then_some("1")
}

fn save(view: &Form<'_>) -> Markup {
    let class = match view.main {
        Main::Yes => "btn main",
        Main::No => "btn",
    };
    html! { button class=(class) { (view.save) } }
}

/// Draws one field, for forms that are laid out by hand.
pub fn one_field(form: &str, field: &FieldView) -> Markup {
    let id = format!("{form}-{}", field.name.replace('.', "-"));
    html! {
        div class="f" {
            @if matches!(field.input, Input::Any(_) | Input::Pick(_)) {
                (rows_of(&id, field))
            } @else {
                label for=(id) { (field.label) @if !field.required { span class="small" { "" } } }
                @if !field.hint.is_empty() { p class="hint" id={ (id) "-h" } { (field.hint) } }
                (input(&id, field))
            }
            @if !field.echo.is_empty() || field.input == Input::Length { output class="echo" for=(id) { (field.echo) } }
            @if let Some(problem) = &field.problem { p class="err" id={ (id) "-e" } role="alert" { (problem) } }
        }
    }
}

fn rows_of(id: &str, field: &FieldView) -> Markup {
    let (kind, options) = match &field.input {
        Input::Any(options) => ("checkbox", options),
        Input::Pick(options) => ("radio", options),
        _ => return html! {},
    };
    html! {
        fieldset {
            legend { (field.label) }
            @if !field.hint.is_empty() { p class="hint" { (field.hint) } }
            div class="pick" {
                @for (at, (stored, shown)) in options.iter().enumerate() {
                    label for={ (id) "-" (at) } {
                        input type=(kind) id={ (id) "-" (at) } name=(field.name) value=(stored) checked[field.values.contains(stored)];
                        span { (shown) }
                    }
                }
            }
            @if options.is_empty() { p class="small" { "Nothing to choose from yet." } }
        }
    }
}

/// Draws a field's input alone.
pub fn input(id: &str, field: &FieldView) -> Markup {
    let invalid = field.problem.is_some().then_some("true");
    let described = [
        (!field.hint.is_empty()).then(|| format!("{id}-h")),
        field.problem.is_some().then(|| format!("{id}-e")),
    ];
    let described: Vec<String> = described.into_iter().flatten().collect();
    let described = (!described.is_empty()).then(|| described.join(" "));
    let required = field.required;
    match &field.input {
        Input::Lines => html! {
            textarea id=(id) name=(field.name) rows="3" aria-invalid=[invalid] aria-describedby=[described] required[required] { (field.value()) }
        },
        Input::One(options) => html! {
            select id=(id) name=(field.name) data-pending=[(!field.refers.is_empty()).then_some(&field.refers)] aria-invalid=[invalid] aria-describedby=[described] required[required] {
                @if !required || field.value().is_empty() { option value="" { "" } }
                @for (stored, shown) in options {
                    option value=(stored) selected[field.value() == stored] { (shown) }
                }
            }
        },
        Input::Any(_) | Input::Pick(_) => rows_of(id, field),
        Input::Offer(words) => html! {
            input id=(id) name=(field.name) type="text" autocomplete="off" list={ (id) "-l" } value=(field.value()) aria-invalid=[invalid] aria-describedby=[described] required[required];
            datalist id={ (id) "-l" } { @for word in words { option value=(word) {} } }
        },
        Input::Length => html! {
            input id=(id) name=(field.name) type="text" autocapitalize="off" autocorrect="off" spellcheck="false" autocomplete="off" enterkeyhint="next" data-length="1" value=(field.value()) aria-invalid=[invalid] aria-describedby=[described] required[required];
        },
        Input::Count => html! {
            input id=(id) name=(field.name) type="text" inputmode="numeric" autocomplete="off" value=(field.value()) aria-invalid=[invalid] aria-describedby=[described] required[required];
        },
        Input::Decimal => html! {
            input id=(id) name=(field.name) type="text" inputmode="decimal" autocomplete="off" value=(field.value()) aria-invalid=[invalid] aria-describedby=[described] required[required];
        },
        Input::Day => html! {
            input id=(id) name=(field.name) type="date" value=(field.value()) aria-invalid=[invalid] aria-describedby=[described] required[required];
        },
        Input::Line => html! {
            input id=(id) name=(field.name) type="text" autocomplete="off" value=(field.value()) aria-invalid=[invalid] aria-describedby=[described] required[required];
        },
    }
}
