//! The rubble of a wall that comes out, and the trips with it (rule 2 of takeoff).
//!
//! Sums are kept whole (square and cubic 1/64 in) and rounded up once, at the end. Which pieces are kept is in `take_out`.
//!
//! Source: the layers' own weights as recorded (loads.md has usual ones); loose factor and trips are common practice, no
//! published source.

use super::super::heights::{Height, heights_at, side_words};
use super::super::inputs::{counted, miss, must_have};
use super::super::piece::inches;
use super::super::{Fact, Fill, Finding, Sum, Takeoff, Verdict, result, sum};
use super::Stretch;
use crate::record::settings::RUBBLE_TENTHS;
use crate::record::{Job, Kind, Record, Spot, What};
use crate::units::Length;

/// A cubic yard, in cubic 1/64 in.
const CU_YD: i128 = 46_656 * 64 * 64 * 64;
/// A square foot, in square 1/64 in.
const SQ_FT: i128 = 144 * 64 * 64;

/// Volume, weight and trips as facts.
pub(super) fn push_rubble(
    job: &Job,
    change: &Record,
    wall: &Record,
    stretch: &Stretch,
    out: &mut Takeoff,
) {
    let layers: Vec<&Record> = job
        .all(Kind::Layer)
        .filter(|layer| layer.to("of") == Some(wall.id))
        .collect();
    let on = |side: &str| {
        let word = format!("side_{side}");
        let mut all: Vec<&Record> = layers.clone();
        all.retain(|layer| layer.says("on", &word));
        all.sort_by_key(|layer| (layer.text("material"), layer.length("thickness"), layer.id));
        all
    };
    let sides = [("a", on("a")), ("b", on("b"))];
    let mut rubble = Rubble {
        weight: Some(0),
        ..Rubble::default()
    };
    let mut whole = true;
    for (side, layers) in &sides {
        let words = side_words(job, wall, side);
        let bare = wall.texts("bare").contains(side);
        if layers.is_empty() && bare {
            let line = sum(words, "0 cu in", "recorded as bare");
            rubble.volume_sums.push(line);
            continue;
        }
        if layers.is_empty() {
            must_have_layers(wall, &words, out);
            whole = false;
            continue;
        }
        if bare {
            look_at_bare(wall, &words, out);
        }
        match side_area(job, wall, stretch, (side, &words), &mut rubble, out) {
            Some(area) => add_layers(layers, area, &words, &mut rubble, out),
            None => whole = false,
        }
    }
    if whole {
        push_facts(job, change, rubble, out);
    }
}

/// Asks for what a side is covered with.
fn must_have_layers(wall: &Record, words: &str, out: &mut Takeoff) {
    let text = format!(
        "the layers on the {words} of {0}, or in {0}’s own record that it is bare there",
        wall.name()
    );
    miss(out, &text, "Rubble", Fill::Thing(Kind::Layer));
}

/// A side that is recorded as bare and has layers all the same: they count.
fn look_at_bare(wall: &Record, words: &str, out: &mut Takeoff) {
    out.findings.push(Finding {
        verdict: Verdict::Look,
        text: format!(
            "{} is recorded as bare on the {words}, and has layers there: they are counted. Look which is so.",
            wall.name()
        ),
    });
}

/// Rubble as it adds up, unrounded.
#[derive(Default)]
struct Rubble {
    /// Solid volume, in cubic 1/64 in.
    volume: i128,
    /// Area × psf, in square 1/64 in × 1/100 psf; `None` once a weight isn't known.
    weight: Option<i128>,
    volume_sums: Vec<Sum>,
    weight_sums: Vec<Sum>,
}

/// A side's area between from and to, less its openings there, in square 1/64 in.
fn side_area(
    job: &Job,
    wall: &Record,
    stretch: &Stretch,
    (side, words): (&str, &str),
    rubble: &mut Rubble,
    out: &mut Takeoff,
) -> Option<i128> {
    let waits = format!("Rubble, {words}");
    let height = side_height(job, wall, side);
    let Some(height) = height else {
        let spot = Spot::of(wall.id, What::CeilingHeight).side(side);
        let text = format!("ceiling height, {words} of {}", wall.name());
        miss(out, &text, &waits, Fill::Reading(spot));
        return None;
    };
    let high = height.read.value;
    let mut area = product(&[stretch.length(), high]);
    let mut openings = 0;
    for opening in job
        .all(Kind::Opening)
        .filter(|opening| opening.to("wall") == Some(wall.id))
    {
        let width = opening.length("width").unwrap_or(Length::ZERO);
        let within = match opening.length("from") {
            Some(from) => stretch.to.min(from + width) - stretch.from.max(from),
            None if stretch.whole => width.min(stretch.length()),
            None => {
                let text = format!("where {} is, from the zero end", opening.name());
                let fill = Fill::Field {
                    of: opening.id,
                    field: "from",
                };
                miss(out, &text, &waits, fill);
                return None;
            }
        };
        let sill = opening.length("sill").unwrap_or(Length::ZERO);
        let tall = opening.length("height").unwrap_or(Length::ZERO);
        let tall = high.min(sill + tall) - sill;
        openings += product(&[within.max(Length::ZERO), tall.max(Length::ZERO)]);
    }
    area -= openings.min(area);
    let why = if height.spot.place.is_empty() {
        String::new()
    } else {
        ", the greatest".to_owned()
    };
    rubble.volume_sums.push(sum(
        format!("Area, {words}"),
        format!("{} sq in", thousands(area.div_euclid(64 * 64))),
        format!(
            "{} × {high} ({}{why}) − openings {} sq in",
            stretch.length(),
            height.place(job),
            thousands(openings.div_euclid(64 * 64))
        ),
    ));
    Some(area)
}

/// The height that counts on a side without a place, else the greatest.
fn side_height(job: &Job, wall: &Record, side: &str) -> Option<Height> {
    let all = heights_at(job, wall, side);
    let plain = |height: &&Height| height.spot.of == wall.id && height.spot.place.is_empty();
    all.iter()
        .filter(plain)
        .max_by_key(|height| height.spot.side.clone())
        .or_else(|| all.iter().max_by_key(|height| height.read.value))
        .cloned()
}

fn add_layers(layers: &[&Record], area: i128, words: &str, rubble: &mut Rubble, out: &mut Takeoff) {
    for layer in layers {
        let material = layer.text("material").unwrap_or("layer");
        let thickness = layer.length("thickness").unwrap_or(Length::ZERO);
        rubble.volume += area * i128::from(thickness.as_64ths());
        rubble
            .volume_sums
            .push(sum(format!("× {material}"), inches(thickness), words));
        let text = format!("weight of {material}, psf");
        let waits = "Rubble, weight and trips";
        let psf = must_have(layer.number("psf"), layer.id, "psf", &text, waits, out);
        rubble.weight = rubble
            .weight
            .and_then(|weight| Some(weight + area * i128::from(psf?)));
        if let Some(psf) = psf {
            let note = format!("× {} sq ft, {words}", hundredths(area * 100, SQ_FT));
            let value = format!("{} psf", hundredths(i128::from(psf), 1));
            rubble.weight_sums.push(sum(material, value, note));
        }
    }
}

fn push_facts(job: &Job, change: &Record, mut rubble: Rubble, out: &mut Takeoff) {
    let factor = counted(job, change, "rubble_factor", "rubble_factor", RUBBLE_TENTHS);
    let factor = i128::from(factor);
    // Loose volume in tenths of a cubic 1/64 in: a tenth of a cubic yard is a CU_YD of these.
    let loose = rubble.volume * factor;
    let tenths = up(loose, CU_YD);
    rubble.volume_sums.push(sum(
        "× loose",
        format!("{} ×", tenths_text(factor)),
        "÷ 46,656 cu in to the cu yd",
    ));
    let value = format!("{} cu yd", tenths_text(i128::from(tenths)));
    rubble
        .volume_sums
        .push(result("Rubble", value.clone(), "up to 0.1"));
    out.facts.push(Fact {
        name: "rubble_cu_yd_tenths",
        title: "Rubble, loose".to_owned(),
        value,
        number: tenths,
        sums: rubble.volume_sums,
    });
    let Some(weight) = rubble.weight else {
        return;
    };
    let pounds = up(weight, SQ_FT * 100);
    let value = format!("{} lb", thousands(i128::from(pounds)));
    rubble
        .weight_sums
        .push(result("Weight", value.clone(), "up to 1"));
    out.facts.push(Fact {
        name: "rubble_lb",
        title: "Rubble, weight".to_owned(),
        value,
        number: pounds,
        sums: rubble.weight_sums,
    });
    push_trips(job, change, loose, weight, out);
}

/// Trips by volume or payload, the larger, from the unrounded figures; the vehicle is the change's, else the job's. Nothing
/// to carry: none, whatever the vehicle takes.
fn push_trips(job: &Job, change: &Record, loose: i128, weight: i128, out: &mut Takeoff) {
    if loose == 0 && weight == 0 {
        return;
    }
    let recorded = |field: &'static str, text: &str, out: &mut Takeoff| {
        let of_job = || job.record().and_then(|record| record.number(field));
        let found = change.number(field).or_else(of_job);
        let waits = format!("Trips with the rubble, {}", change.name());
        must_have(found.filter(|n| *n > 0), job.id, field, text, &waits, out).map(i128::from)
    };
    let payload = recorded("payload_lb", "the vehicle’s payload, lb", out);
    let load = recorded("payload_cu_yd", "the vehicle’s load, cu yd", out);
    let (Some(payload), Some(load)) = (payload, load) else {
        return;
    };
    let by_volume = up(loose, CU_YD * load);
    let by_weight = up(weight, SQ_FT * 100 * payload);
    let trips = by_volume.max(by_weight);
    let line = |label: &str, n: i64, note| sum(label, n.to_string(), note);
    out.facts.push(Fact {
        name: "trips",
        title: "Trips with the rubble".to_owned(),
        value: trips.to_string(),
        number: trips,
        sums: vec![
            line(
                "By volume",
                by_volume,
                format!("{} cu yd a load", tenths_text(load)),
            ),
            line(
                "By weight",
                by_weight,
                format!("{} lb a load", thousands(payload)),
            ),
            result(
                "Trips",
                trips.to_string(),
                "the larger, from the unrounded figures",
            ),
        ],
    });
}

/// A quotient of what is not below zero, rounded up.
fn up(n: i128, by: i128) -> i64 {
    i64::try_from(-(-n).div_euclid(by)).expect("a wall is at most 200 ft by 200 ft")
}

fn product(sides: &[Length]) -> i128 {
    sides
        .iter()
        .map(|side| i128::from(side.as_64ths()))
        .product()
}

/// `15` tenths as `1.5`.
fn tenths_text(n: i128) -> String {
    format!("{}.{}", n.div_euclid(10), n.rem_euclid(10))
}

/// A figure in hundredths of `unit`, down: `8`, `8.5`, `79.33`.
fn hundredths(n: i128, unit: i128) -> String {
    let n = n.div_euclid(unit);
    let (whole, part) = (thousands(n.div_euclid(100)), n.rem_euclid(100));
    match part {
        0 => whole,
        part => format!("{whole}.{part:02}")
            .trim_end_matches('0')
            .to_owned(),
    }
}

/// `11424` as `11,424`.
fn thousands(n: i128) -> String {
    let digits = n.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
