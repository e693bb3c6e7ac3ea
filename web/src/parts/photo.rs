//! Photos: pictures with their captions, and the form that adds one and works without script.

use maud::{Markup, html};

use crate::layout::Main;
use crate::parts::waiting::waiting;

/// A photo.
#[derive(Clone, Debug)]
pub struct Photo {
    /// Its page.
    pub href: String,
    /// Its picture.
    pub picture: Picture,
    /// What it shows, for who can't see it.
    pub alt: String,
    /// Its caption; may be empty.
    pub caption: String,
    /// Who and when.
    pub by: String,
}

/// What there is of a photo's picture.
#[derive(Clone, Debug)]
pub enum Picture {
    /// Nothing yet.
    NotHere,
    /// A picture that browsers show.
    Shown(Shown),
    /// One that not every browser shows, as the phone made it: where the file is, for who may have it.
    Original(Option<String>),
}

/// A picture that is shown.
#[derive(Clone, Debug)]
pub struct Shown {
    /// Where the copy that is shown is.
    pub src: String,
    /// Where it is in full size.
    pub full: String,
    /// Where the file is as it was kept, for who may have it.
    pub file: Option<String>,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

/// Where a form gets its picture from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Camera {
    /// The camera at once: the fewest taps.
    AtOnce,
    /// The camera or the library, as the phone asks.
    OrLibrary,
}

/// The form that adds a photo.
#[derive(Clone, Debug)]
pub struct PhotoForm {
    /// Where it posts.
    pub action: String,
    /// Its anchor, unique on the page.
    pub id: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// Where its picture comes from.
    pub camera: Camera,
    /// What there is to choose it of, where that isn't fixed: stored, shown.
    pub of: Vec<(String, String)>,
    /// The kinds of what it can be of, with spaces between: such things may wait on the phone.
    pub kinds: String,
    /// The caption as it was typed.
    pub caption: String,
    /// What is wrong.
    pub problems: Vec<String>,
    /// The refused entry whose picture is still on the phone, where this form stands for one.
    pub replaces: Option<String>,
    /// Whether it is the page's main action.
    pub main: Main,
}

/// Photos under a heading, with the form that adds one.
#[derive(Clone, Debug)]
pub struct Photos {
    /// Those that are there.
    pub all: Vec<Photo>,
    /// Adds one; none for who may not.
    pub form: Option<PhotoForm>,
    /// The words on the fold that holds the form.
    pub add: &'static str,
}

/// Draws them.
pub fn photos(view: &Photos) -> Markup {
    html! {
        h2 id="photos" { "Photos" span class="n" { (view.all.len()) } }
        @if view.all.is_empty() { p class="small" { "No photo yet." } }
        @for photo in &view.all { (one(photo)) }
        (waiting("photo.add"))
        @if let Some(adds) = &view.form { details { summary class="btn" { (view.add) } (photo_form(adds)) } }
    }
}

fn one(photo: &Photo) -> Markup {
    html! {
        figure {
            a class="shot" href=(photo.href) { (picture(photo)) }
            figcaption { @if !photo.caption.is_empty() { b { (photo.caption) } " " } (photo.by) }
        }
    }
}

/// Draws small pictures side by side, each with what it is of.
pub fn gallery(photos: &[Photo]) -> Markup {
    html! {
        ul class="gallery" {
            @for photo in photos {
                li {
                    a href=(photo.href) {
                        // What it is of stands below it, in words.
                        @if let Picture::Shown(shown) = &photo.picture { img src=(shown.src) alt="" loading="lazy"; }
                        span class="small" { (photo.alt) (unshown(&photo.picture)) }
                    }
                }
            }
        }
    }
}

/// Draws a photo's picture alone.
pub fn picture(photo: &Photo) -> Markup {
    html! {
        @match &photo.picture {
            Picture::Shown(shown) => img src=(shown.src) alt=(photo.alt) width=(shown.width) height=(shown.height) loading="lazy";,
            other => span class="held" { (photo.alt) (unshown(other)) },
        }
    }
}

/// Why no picture is shown, after what it is of.
fn unshown(picture: &Picture) -> &'static str {
    match picture {
        Picture::NotHere => ": the picture is not here yet",
        Picture::Original(_) => ": kept as original, HEIC",
        Picture::Shown(_) => "",
    }
}

/// Draws the form: what it is of, the picture, the caption.
pub fn photo_form(view: &PhotoForm) -> Markup {
    let (file, caption, of) = (
        format!("{}-file", view.id),
        format!("{}-caption", view.id),
        format!("{}-of", view.id),
    );
    let error = (!view.problems.is_empty()).then(|| format!("{}-e", view.id));
    html! {
        form method="post" action=(view.action) enctype="multipart/form-data" id=(view.id) data-kind="photo.add" {
            (hidden(view))
            @if let Some(error) = &error { p class="err" id=(error) role="alert" { (view.problems.join(" ")) } }
            @if !view.of.is_empty() {
                label for=(of) { "Of" }
                select id=(of) name="of" data-pending=(view.kinds) required { option value="" { "" } @for (stored, shown) in &view.of { option value=(stored) { (shown) } } }
            }
            label for=(file) { "Picture" }
            p class="hint" id={ (file) "-h" } {
                @if view.replaces.is_some() { "The picture is still on this phone and goes with this form; choose another only in its place. " }
                "JPEG, PNG, WebP or HEIC, up to 25 MB. Where and when it was taken is cut out of it."
            }
            (input(view, &file, Some(&format!("{file}-h"))))
            label for=(caption) { "Caption" }
            input id=(caption) name="caption" type="text" autocomplete="off" maxlength="200" value=(view.caption);
            div class="acts" { button class={ (button(view.main)) } { "Save photo" } }
        }
    }
}

/// Draws the form as one button that opens the camera, and another that shows once there is a picture; `words` stand on it,
/// and what it is `of` is read out where a page has several.
pub fn photo_button(view: &PhotoForm, words: &str, of: &str) -> Markup {
    let file = format!("{}-file", view.id);
    html! {
        form method="post" action=(view.action) enctype="multipart/form-data" class="acts" aria-label={ (words) @if !of.is_empty() { ", " (of) } } id=(view.id) data-kind="photo.add" {
            (hidden(view))
            (input(view, &file, None))
            label class="btn" for=(file) { (words) }
            button class="btn save" { "Save photo" }
        }
    }
}

fn hidden(view: &PhotoForm) -> Markup {
    html! {
        @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
        @if let Some(op) = &view.replaces { input type="hidden" name="replaces" value=(op); }
    }
}

fn input(view: &PhotoForm, id: &str, described: Option<&str>) -> Markup {
    let capture = (view.camera == Camera::AtOnce).then_some("environment");
    let class = described.is_none().then_some("vh");
    html! { input id=(id) class=[class] name="file" type="file" accept="image/jpeg,image/png,image/webp,image/heic,image/heif" capture=[capture] required[view.replaces.is_none()] aria-describedby=[described]; }
}

fn button(main: Main) -> &'static str {
    match main {
        Main::Yes => "btn main",
        Main::No => "btn",
    }
}
