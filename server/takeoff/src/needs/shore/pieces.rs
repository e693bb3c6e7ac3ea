//! What one shored side on one storey calls for: planks, plates, braces and screws. Its studs are in `studs`.
//!
//! Source: common practice, no published source.

use super::super::inputs::{longest, miss};
use super::super::piece::{by_count, cut_sum, stick};
use super::super::{Class, Fill, Need, Serves, StickClass, Takeoff, result, sum};
use super::run::{Run, jointed};
use super::{Shore, Stand, inches, studs};
use crate::units::{Length, sqrt_up_to};

/// Braces are cut to this.
const EIGHTH: Length = Length::from_64ths(8);
/// Screws at a stud: 2 at each end, 1 through each plate into it.
const SCREWS_A_STUD: i64 = 6;
/// Screws where a brace crosses a stud.
const SCREWS_A_CROSSING: i64 = 2;

/// All of one side on one storey, in the order in which it goes up.
pub(super) fn push(shore: &Shore, stand: &Stand, run: &Run, out: &mut Takeoff) {
    push_planks(shore, stand, run, out);
    push_plates(shore, stand, run, out);
    studs::push_studs(shore, stand, run, out);
    push_braces(shore, stand, out);
    push_screws(shore, stand, run, out);
}

impl Stand<'_> {
    pub(super) fn slot(&self, name: &str) -> String {
        format!("{}{name}.{}", self.prefix, self.side)
    }

    pub(super) fn title(&self, name: &str) -> String {
        format!("{name}, {}", self.words)
    }
}

/// A temporary piece: it comes back, and other lumber may serve.
pub(super) fn temporary(need: Need) -> Need {
    Need {
        temporary: true,
        serves: Serves::NotThinnerNorNarrower,
        ..need
    }
}

fn push_planks(shore: &Shore, stand: &Stand, run: &Run, out: &mut Takeoff) {
    if let Some(class) = shore.plank.as_ref().filter(|_| shore.planks > 0) {
        let what = ("plank", "Plank under the bottom plate", "PK");
        push_along(shore, stand, run, (class, shore.planks, what), out);
    }
}

fn push_plates(shore: &Shore, stand: &Stand, run: &Run, out: &mut Takeoff) {
    if let Some(class) = &shore.class {
        let what = ("plate", "Shoring plate", "PL");
        push_along(shore, stand, run, (class, 1 + shore.top_plies, what), out);
    }
}

/// So many pieces along the run, each jointed within the longest stick less the end trim.
fn push_along(
    shore: &Shore,
    stand: &Stand,
    run: &Run,
    (class, plies, (slot, title, mark)): (&StickClass, i64, (&str, &str, &'static str)),
    out: &mut Takeoff,
) {
    let (whole, trim) = (longest(shore.job, class), shore.job.settings.trim);
    let most = whole.map(|whole| whole - trim);
    let parts = jointed(run.length, most, shore.spacing);
    let title = stand.title(title);
    let held = run.wall.as_ref().and_then(|read| read.held.clone());
    let how_many = match slot {
        "plate" => format!("1 bottom, {} top", shore.top_plies),
        _ => "side by side, as recorded".to_owned(),
    };
    let mut need = |slot: String, count: i64, cut: Length, note: Option<String>| {
        let mut need = temporary(stick(&slot, &title, class, count, cut, mark));
        need.held.clone_from(&held);
        need.readings = run.wall.iter().map(|read| read.reading).collect();
        need.sums.push(run.sum.clone());
        if let Some(note) = note {
            let label = format!("Joined at, {} times", parts.whole);
            need.sums.push(sum(label, inches(parts.joint), note));
        }
        let pieces = sum("Pieces", count.to_string(), how_many.clone());
        need.sums.push(pieces);
        need.sums.push(cut_sum(shore.job, cut, need.held.as_ref()));
        out.needs.push(need);
    };
    let note = whole.zip(most).filter(|_| parts.whole > 0);
    let note = note.map(|(whole, most)| {
        let off = if trim > Length::ZERO {
            format!(" − {trim} trim")
        } else {
            String::new()
        };
        format!(
            "{0} × down({most} ÷ {0}): the longest is {whole}{off}",
            shore.spacing
        )
    });
    if parts.whole > 0 {
        let long = format!("{}.long", stand.slot(slot));
        need(long, plies * parts.whole, parts.joint, note.clone());
    }
    need(stand.slot(slot), plies, parts.rest, note);
}

fn push_braces(shore: &Shore, stand: &Stand, out: &mut Takeoff) {
    if shore.braces == 0 {
        return;
    }
    let title = stand.title("Brace");
    let greatest = stand
        .heights
        .iter()
        .max_by_key(|height| (height.read.value, height.read.held.is_none()));
    let Some(greatest) = greatest else {
        let text = format!("ceiling height, {}", stand.words);
        miss(out, &text, &title, Fill::Reading(stand.at.clone()));
        return;
    };
    let Some(class) = &shore.class else { return };
    let height = greatest.read.value;
    let cut = sqrt_up_to(shore.brace_run, height, EIGHTH);
    let slot = stand.slot("brace");
    let mut need = temporary(stick(&slot, &title, class, shore.braces, cut, "BR"));
    need.held.clone_from(&greatest.read.held);
    need.readings.push(greatest.read.reading);
    let place = greatest.place(shore.job);
    need.sums
        .push(sum("Ceiling height, the greatest", inches(height), place));
    need.sums
        .push(sum("Brace run", inches(shore.brace_run), ""));
    let note = format!("√({}² + {height}²), up to 1/8", shore.brace_run);
    need.sums.push(sum("Brace", inches(cut), note));
    need.sums.push(cut_sum(shore.job, cut, need.held.as_ref()));
    out.needs.push(need);
}

fn push_screws(shore: &Shore, stand: &Stand, run: &Run, out: &mut Takeoff) {
    let Some(screw) = &shore.screw else { return };
    let at_studs = SCREWS_A_STUD * run.studs;
    let crossings = shore.brace_run.div_down(shore.spacing) + 1;
    let at_braces = shore.braces * SCREWS_A_CROSSING * crossings;
    let class = Class::Fastener(screw.clone());
    let title = stand.title("Screw, shoring");
    let total = at_studs + at_braces;
    let mut need = by_count(&stand.slot("screw"), &title, class, total);
    need.sums.push(sum(
        "At the studs",
        at_studs.to_string(),
        format!("6 × {}: 2 at each end, 1 through each plate", run.studs),
    ));
    need.sums.push(sum(
        "At the braces",
        at_braces.to_string(),
        format!(
            "{} × 2 at each of down({} ÷ {}) + 1 = {crossings} crossings",
            shore.braces, shore.brace_run, shore.spacing
        ),
    ));
    need.sums.push(result("Screws", total.to_string(), ""));
    need.readings = run.wall.iter().map(|read| read.reading).collect();
    out.needs.push(need);
}
