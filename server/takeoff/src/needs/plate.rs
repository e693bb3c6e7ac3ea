//! Replace or splice a plate (rule 7 of takeoff): its pieces, and what its end joints, its length and its cuts are held by.
//!
//! Over the longest stick M it is jointed at M, 2 M … from its start. A plate that begins past the wall's zero end or ends
//! short of its far end has an end joint there, too. In a double top plate each joint is held against the other plate's
//! joints; in a single one each takes a splice plate; in a bottom plate none takes anything. Nailing by spacing leaves out
//! 24 in and one nail for joints as the rule says. Where it is smaller than the old plate, filler strips: see `filler`.
//! A corner or a crossing wall is not here.
//!
//! Source: IRC R602.3.2 (24 in; splice plate with six 8d on each side), R602.6.1 (strap, eight 10d each side, from memory),
//! Table R602.3(1) for the nails (see `tables::fastening`).
//!
//! Example: upper plate 40 to 184 of a wall of 240, other joint at 96: joints at 40 and 184 are 56 and 88 off. 16d common:
//! 2 × 2 × 8 = 32 nails, q = 144 − 2 × 24 = 96, up(96 ÷ 16) + 1 − 2 = 5 nails.

mod fasten;

use uuid::Uuid;

use super::filler::{Face, push_filler};
use super::inputs::{longest_or_say, miss, must_have, read, stick_class};
use super::piece::{cut_sum, inches, size_of, stick};
use super::{Fill, Finding, StickClass, Sum, Takeoff, Treatment, Verdict, sum};
use crate::record::{Job, Record, Spot, What};
use crate::units::Length;

/// The lap of a splice; joints of two plates are that far apart, and each takes it off what is nailed by spacing.
///
/// Source: IRC R602.3.2.
const LAP: Length = Length::inches(24);
/// The needs of a change that replaces or splices a plate.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let which = Which::of(change);
    let size = size_of(change, "nominal");
    let waits = size.map_or(which.words().to_owned(), |size| {
        format!("{}, {size}", which.words())
    });
    let (id, text) = (change.id, "the size of the plate");
    let size = must_have(size, id, "nominal", text, &waits, out);
    let treatment = treatment(change, which, &waits, out);
    let class = size
        .zip(treatment)
        .and_then(|(size, treatment)| stick_class(job, change, &size, treatment, &waits, out));
    let most = class
        .as_ref()
        .and_then(|class| longest_or_say(job, class, out))
        .map(|most| most - job.settings.trim)
        .filter(|most| *most > Length::ZERO);
    fasten::push_straps(job, change, &waits, out);
    let Some(plate) = Plate::of(job, change, most, &waits, out) else {
        return;
    };
    if let Some(class) = &class {
        push_pieces(job, class, &waits, &plate, out);
        let (whole, rest) = plate.pieces();
        let mut pieces = vec![(1, rest)];
        if whole > 0 {
            pieces.insert(0, (whole, plate.most.unwrap_or(Length::ZERO)));
        }
        for face in [Face::Thickness, Face::Depth] {
            push_filler(job, change, class, face, &pieces, out);
        }
    }
    match which {
        Which::Upper | Which::Lower => {
            let joints = plate.end_joints(job, change, out);
            fasten::push_double(job, change, &plate, &joints, out);
        }
        Which::Single => {
            let joints = plate.end_joints(job, change, out);
            fasten::push_splice_plates(job, change, &joints.iter().collect::<Vec<_>>(), out);
        }
        Which::Bottom => fasten::push_bottom(job, change, &plate, out),
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Which {
    Upper,
    Lower,
    Single,
    Bottom,
}

impl Which {
    fn of(change: &Record) -> Self {
        match change.text("plate") {
            Some("top_lower") => Self::Lower,
            Some("top_single") => Self::Single,
            Some("bottom") => Self::Bottom,
            _ => Self::Upper,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Upper => "Upper top plate",
            Self::Lower => "Lower top plate",
            Self::Single => "Single top plate",
            Self::Bottom => "Bottom plate",
        }
    }
}

/// Treated on concrete, and where it is recorded so. A bottom plate of which neither is recorded waits.
fn treatment(change: &Record, which: Which, waits: &str, out: &mut Takeoff) -> Option<Treatment> {
    let own = change.text("treatment").map(|word| match word {
        "treated" => Treatment::Treated,
        _ => Treatment::None,
    });
    if which != Which::Bottom {
        return Some(own.unwrap_or(Treatment::None));
    }
    match change.text("stands_on") {
        Some("concrete") => {
            let text = "The bottom plate stands on concrete or masonry: it is treated, and the nails counted hold in wood \
                        alone. Enter its anchors as a sundry.";
            let (verdict, text) = (Verdict::Look, text.to_owned());
            out.findings.push(Finding { verdict, text });
            Some(Treatment::Treated)
        }
        Some(_) => Some(own.unwrap_or(Treatment::None)),
        None => {
            let text = "what it stands on, wood or concrete";
            must_have(own, change.id, "stands_on", text, waits, out)
        }
    }
}

/// From where to where, and where it is jointed over the longest stick.
struct Plate {
    from: Length,
    to: Length,
    most: Option<Length>,
}

/// An end joint, and how far the nearest joint of the other plate is.
struct Joint {
    at: Length,
    nearest: Option<Length>,
    readings: Vec<Uuid>,
}

impl Joint {
    fn is_near(&self) -> bool {
        self.nearest.is_some_and(|off| off < LAP)
    }

    fn line(&self) -> Sum {
        let note = self.nearest.map_or(String::new(), |off| {
            format!("{off} from the other plate’s nearest joint")
        });
        sum("End joint at", inches(self.at), note)
    }
}

impl Plate {
    fn of(
        job: &Job,
        change: &Record,
        most: Option<Length>,
        waits: &str,
        out: &mut Takeoff,
    ) -> Option<Self> {
        let id = change.id;
        let (from, to) = (change.length("from"), change.length("to"));
        let from = must_have(from, id, "from", "where the plate begins", waits, out);
        let to = must_have(to, id, "to", "where the plate ends", waits, out);
        let (from, to) = (from?, to?);
        if to <= from {
            let text = format!("an end past its start ({from} to {to} in)");
            let (of, field) = (id, "to");
            miss(out, &text, waits, Fill::Field { of, field });
            return None;
        }
        let wall = change.to("wall").and_then(|wall| job.get(wall));
        must_have(wall, id, "wall", "the wall", waits, out)?;
        Some(Self { from, to, most })
    }

    fn length(&self) -> Length {
        self.to - self.from
    }

    /// Pieces of the longest stick, and the rest (the whole plate if it is no longer).
    fn pieces(&self) -> (i64, Length) {
        match self.most {
            Some(most) if self.length() > most => {
                let whole = self.length().div_up(most) - 1;
                (whole, self.length() - most * whole)
            }
            _ => (0, self.length()),
        }
    }

    fn internal_joints(&self) -> Vec<Length> {
        let whole = self.pieces().0;
        let most = self.most.unwrap_or(Length::ZERO);
        (1..=whole).map(|n| self.from + most * n).collect()
    }

    /// Every end joint from the zero end on, with what the other plate's are recorded at.
    fn end_joints(&self, job: &Job, change: &Record, out: &mut Takeoff) -> Vec<Joint> {
        let others = change.lengths("other_joints");
        let joint = |at: Length, readings: Vec<Uuid>| Joint {
            at,
            nearest: others.iter().map(|other| (*other - at).abs()).min(),
            readings,
        };
        let mut joints = Vec::new();
        if self.from > Length::ZERO {
            joints.push(joint(self.from, Vec::new()));
        }
        for at in self.internal_joints() {
            joints.push(joint(at, Vec::new()));
        }
        joints.extend(self.far_joint(job, change, out).map(|r| joint(self.to, r)));
        let is_double = !change.says("plate", "top_single");
        if is_double && others.is_empty() && !joints.is_empty() {
            let text = "No joint of the other plate is recorded: every joint counts as 24 in or more from them. Record where they are.";
            let (verdict, text) = (Verdict::Said, text.to_owned());
            out.findings.push(Finding { verdict, text });
        }
        joints
    }

    /// Whether the plate ends short of the wall's far end, and the reading that says so.
    fn far_joint(&self, job: &Job, change: &Record, out: &mut Takeoff) -> Option<Vec<Uuid>> {
        let wall = change.to("wall")?;
        let (name, to) = (job.name(wall), self.to);
        let mut say = |verdict, text: String| out.findings.push(Finding { verdict, text });
        let Some(length) = read(job, &Spot::of(wall, What::Length)) else {
            say(
                Verdict::Said,
                format!("The length of {name} isn’t read: an end joint at {to} is counted."),
            );
            return Some(Vec::new());
        };
        if to > length.value {
            let text = format!(
                "The plate ends at {to}, past the end of {name} at {}. Measure again.",
                length.value
            );
            say(Verdict::Look, text);
        }
        (to < length.value).then(|| vec![length.reading])
    }
}

fn push_pieces(job: &Job, class: &StickClass, title: &str, plate: &Plate, out: &mut Takeoff) {
    let (whole, rest) = plate.pieces();
    let length = sum(
        "Plate",
        inches(plate.length()),
        format!("from {} to {}", plate.from, plate.to),
    );
    let most = plate.most.unwrap_or(Length::ZERO);
    for (slot, count, cut) in [("plate", whole, most), ("plate.rest", 1, rest)] {
        if count == 0 {
            continue;
        }
        let slot = if whole == 0 { "plate" } else { slot };
        let mut need = stick(slot, title, class, count, cut, "PL");
        need.sums.push(length.clone());
        if whole > 0 {
            let note = format!("the longest is {most}: {whole} of {most}, and {rest}");
            need.sums.push(sum("Pieces", (whole + 1).to_string(), note));
        }
        need.sums.push(cut_sum(job, cut, None));
        out.needs.push(need);
    }
}

#[cfg(test)]
mod tests;
