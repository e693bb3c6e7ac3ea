//! What comes down: areas times loads, half spans, joists that run over a wall, shores beside it, partitions, struts.
//!
//! Results are rounded up to a hundredth of a pound. What the record doesn't know comes as `None` and stays `None`.
//! Source: tributary halves and the three-moment theorem; live loads IRC R301.5; the rest is conservative practice.

use super::combination::LoadKind;
use super::continuous::Continuous;
use super::measures::{inches, per_inch, plf_up, pounds_up, psf};
use super::rectangle::Rectangle;
use super::span::{Span, SpanLoad};
use super::wood::Wood;
use crate::tables::loads::{ATTIC, ATTIC_CLEAR_HEIGHT, ATTIC_STORAGE, LIVING, Load, SLEEPING};
use crate::units::{Length, Plf, Pounds, Psf, Section};

/// A roof's strut takes this much more where rafters run through over its purlin: two equal spans put ten eighths there.
const RUN_THROUGH: f64 = 1.25;

/// The sum of the layers' weights; nothing where one of them isn't known.
pub fn dead_load(layers: &[Option<Psf>]) -> Option<Psf> {
    layers.iter().copied().sum()
}

/// The live load of a room by its use as stored, and its kind. An attic counts as one without storage only where its clear
/// height is known and under 42 in; a use that isn't known is taken for living.
pub fn live_load(room_use: Option<&str>, clear_height: Option<Length>) -> (LoadKind, Load) {
    match room_use {
        Some("sleeping") => (LoadKind::Live, SLEEPING),
        Some("attic") if clear_height.is_some_and(|height| height < ATTIC_CLEAR_HEIGHT) => {
            (LoadKind::AtticLive, ATTIC)
        }
        Some("attic" | "attic_storage") => (LoadKind::Live, ATTIC_STORAGE),
        _ => (LoadKind::Live, LIVING),
    }
}

/// Joists that end on a beam from both sides: half of each span. A side without joists has span zero.
pub fn joists_ending(a: Length, b: Length, load: Psf) -> Plf {
    plf_up(psf(load) * (inches(a) + inches(b)) / 24.0)
}

/// Joists that run through over a wall or an under-slung beam: w(a + b)/2 + w(a³ + b³)/8ab, the three-moment theorem.
/// Where a span is zero they end there.
pub fn joists_running_over(a: Length, b: Length, load: Psf) -> Plf {
    if a <= Length::ZERO || b <= Length::ZERO {
        return joists_ending(a, b, load);
    }
    let (w, a, b) = (psf(load), inches(a) / 12.0, inches(b) / 12.0);
    plf_up(w * (a + b) / 2.0 + w * (a * a * a + b * b * b) / (8.0 * a * b))
}

/// The least that joists of one span bring where they run through over a wall or a beam and their span past it isn't
/// known: w(a + b)/2 + w(a³ + b³)/8ab is least at b = 0.4516 a, where it is 1.0281 wa. Rounded down.
pub fn joists_running_over_at_least(a: Length, load: Psf) -> Plf {
    const LEAST: f64 = 1.028;
    plf_up(psf(load) * inches(a) / 12.0 * LEAST)
}

/// What stands on the cut ends of joists, at a shore that stands `off` from there, the joists `long` from their far
/// bearing: by the lever, P L/(L − x). `None` where the shore stands beyond the joists.
pub fn at_the_shore(long: Length, off: Length, load: Plf) -> Option<Plf> {
    if off < Length::ZERO || off >= long {
        return None;
    }
    let (long, off) = (inches(long), inches(off));
    Some(plf_up(per_inch(load) * 12.0 * long / (long - off)))
}

/// The share of a line of load across joists that the support takes from which it is the farther: `arm` is its distance from
/// the other support, `long` the span; P arm/L. `None` where it isn't between the two.
pub fn by_the_lever(load: Plf, arm: Length, long: Length) -> Option<Plf> {
    if arm < Length::ZERO || arm > long || long <= Length::ZERO {
        return None;
    }
    Some(plf_up(per_inch(load) * 12.0 * inches(arm) / inches(long)))
}

/// A load along a line shared by so many, up.
pub fn shared(load: Plf, among: i64) -> Plf {
    let among = among.max(1);
    Plf::from_hundredths((load.as_hundredths() + among - 1).div_euclid(among))
}

/// A shore line that stands `off` from the joists' cut end, the joists `long` from their far bearing to the cut: after the
/// cut wL²/(2(L − x)); before it, with the shore on the other side, as three spans; the larger. `None` where the shore stands
/// beyond the joists.
pub fn shore_line(
    long: Length,
    off: Length,
    other: Option<(Length, Length)>,
    load: Psf,
) -> Option<Plf> {
    if off < Length::ZERO || off >= long {
        return None;
    }
    let w = psf(load) / 144.0;
    let uniform = |length: f64| SpanLoad::Uniform {
        from: 0.0,
        to: length,
        load: w,
    };
    let before = as_three_spans(long, off, other, |_, length| vec![uniform(length)]);
    let (long, off) = (inches(long), inches(off));
    let after = w * long * long / (2.0 * (long - off));
    // Per inch of joist and inch of shore: w is psi, so this is pounds per inch; twelve of it a foot.
    Some(plf_up(after.max(before.unwrap_or(0.0)) * 12.0))
}

/// The same of a line of load across the joists, `at` from their cut end: after the cut P (L − a)/(L − x), before it as three
/// spans; the larger. `None` where either stands beyond the joists.
pub fn shore_of_line(
    long: Length,
    off: Length,
    other: Option<(Length, Length)>,
    (load, at): (Plf, Length),
) -> Option<Plf> {
    if off < Length::ZERO || off >= long || at < Length::ZERO || at > long {
        return None;
    }
    let from_far = inches(long - at);
    let stands = |n: usize, length: f64| {
        let first = inches(long - off);
        let at = match n {
            0 if from_far <= first => Some(from_far),
            1 if from_far > first => Some(from_far - first),
            _ => None,
        };
        let at = at.filter(|at| *at <= length);
        let point = |at| SpanLoad::Point {
            at,
            load: per_inch(load),
        };
        at.map(point).into_iter().collect()
    };
    let before = as_three_spans(long, off, other, stands).unwrap_or(0.0);
    let after = per_inch(load) * from_far / inches(long - off);
    Some(plf_up(after.max(before) * 12.0))
}

/// A line of load across joists that run through over a support, `support` from their start and the joists `long`, the line
/// `at` from their start: what comes down on the support, by the three-moment theorem over its two spans. `None` where one
/// of both isn't between the joists' ends.
pub fn line_running_over(support: Length, long: Length, (load, at): (Plf, Length)) -> Option<Plf> {
    let inside = |at: Length| at >= Length::ZERO && at <= long;
    if support <= Length::ZERO || support >= long || !inside(at) {
        return None;
    }
    let load = per_inch(load);
    let point = |at| SpanLoad::Point { at, load };
    let (first, last) = if at <= support {
        (vec![point(inches(at))], Vec::new())
    } else {
        (Vec::new(), vec![point(inches(at - support))])
    };
    let spans = vec![
        Span::simple(inches(support), first),
        Span::simple(inches(long - support), last),
    ];
    Some(plf_up(Continuous::solve(spans).reactions[1] * 12.0))
}

/// What joists put on a shore before the cut, as three spans: from their far bearing to it, between both shores, from the
/// other shore to the other far bearing. `None` without another side, or where a span has no length.
fn as_three_spans(
    long: Length,
    off: Length,
    other: Option<(Length, Length)>,
    loads: impl Fn(usize, f64) -> Vec<SpanLoad>,
) -> Option<f64> {
    let (other_long, other_off) = other?;
    let lengths = [long - off, off + other_off, other_long - other_off];
    if lengths.iter().any(|length| *length <= Length::ZERO) {
        return None;
    }
    let spans = lengths.into_iter().map(inches).enumerate();
    let spans = spans.map(|(n, length)| Span::simple(length, loads(n, length)));
    Some(Continuous::solve(spans.collect()).reactions[1])
}

/// A partition along a joist or beam: its height times its weight.
pub fn partition_along(height: Length, weight: Psf) -> Plf {
    plf_up(psf(weight) * inches(height) / 12.0)
}

/// A roof strut: its spacing times half the rafter's run on each side of the purlin, on the flat, half as much again of a
/// half where rafters run through (× 1.25).
pub fn strut(spacing: Length, runs: [Length; 2], load: Psf, runs_through: bool) -> Pounds {
    let half_runs = 0.5 * (inches(runs[0]) + inches(runs[1]));
    let more = if runs_through { RUN_THROUGH } else { 1.0 };
    pounds_up(psf(load) * inches(spacing) * half_runs * more / 144.0)
}

/// What pieces of this section weigh on an area, so far apart.
pub fn own_weight(section: Section, spacing: Length, wood: &Wood) -> Psf {
    let across = inches(spacing).max(1.0);
    let per_foot = Rectangle::of(section, 1).weight_per_inch(wood.density()) * 12.0;
    Psf::from_hundredths(plf_up(per_foot * 12.0 / across).as_hundredths())
}

/// What a piece of this section weighs along its length.
pub fn weight_along(section: Section, wood: &Wood) -> Plf {
    plf_up(Rectangle::of(section, 1).weight_per_inch(wood.density()) * 12.0)
}

/// A load along a line, over so much of it.
pub fn over(load: Plf, length: Length) -> Pounds {
    pounds_up(per_inch(load) * inches(length))
}

/// What lies on a slope, on the flat: times the slope’s length over its run. Without a run there is none.
pub fn on_the_flat(load: Psf, rise: Length, flat: Length) -> Option<Psf> {
    if flat <= Length::ZERO {
        return None;
    }
    let (rise, flat) = (inches(rise), inches(flat));
    let slope = (rise * rise + flat * flat).sqrt();
    let load = plf_up(psf(load) * slope / flat);
    Some(Psf::from_hundredths(load.as_hundredths()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joists_put_half_of_each_side_on_the_beam_and_more_where_they_run_over() {
        // Own case E of the reference: 14 ft each side, 50 psf.
        let (side, load) = (Length::feet(14), Psf::whole(50));
        assert_eq!(joists_ending(side, side, load), Plf::whole(700));
        assert_eq!(joists_running_over(side, side, load), Plf::whole(875));
        assert_eq!(
            joists_running_over(side, Length::ZERO, load),
            Plf::whole(350)
        );
    }

    #[test]
    fn a_shore_off_the_wall_takes_more_than_half_and_never_less_for_standing_further_off() {
        let load = Psf::whole(50);
        let at = |off: i64| {
            let other = Some((Length::feet(12), Length::inches(30)));
            shore_line(Length::feet(14), Length::inches(off), other, load).unwrap()
        };
        // After the cut: 50 × 14² / (2 × 11.5) = 426.09 lb/ft.
        let after = shore_line(Length::feet(14), Length::inches(30), None, load).unwrap();
        assert_eq!(after, Plf::from_hundredths(42_609));
        assert!(at(30) >= after);
        assert_eq!(
            shore_line(Length::feet(2), Length::feet(2), None, load),
            None
        );
    }

    #[test]
    fn a_wall_on_shored_joists_comes_down_on_the_shore_by_the_lever_or_as_three_spans() {
        // 48 lb/ft, 1 ft from the cut end of joists of 12 ft, the shore 3 ft off: 48 × 11/9 = 58.67.
        let load = Plf::whole(48);
        let (long, off) = (Length::feet(12), Length::feet(3));
        let at = |feet, other| shore_of_line(long, off, other, (load, Length::feet(feet)));
        assert_eq!(at(1, None), Some(Plf::from_hundredths(5_867)));
        // 9 ft from it, 3 ft from the far bearing: 48 × 3/9 = 16 after the cut. Before it, over the spans 9, 6 and 9 ft with
        // the load 3 ft into the first: 30 M1 + 6 M2 = −48 × 3 × (81 − 9) ÷ 9 = −1,152 and 6 M1 + 30 M2 = 0: M1 = −40,
        // M2 = 8; R = 16 + 40/9 + 48/6 = 28.44 lb/ft.
        let other = Some((long, off));
        assert_eq!(at(9, None), Some(Plf::whole(16)));
        assert_eq!(at(9, other), Some(Plf::from_hundredths(2_845)));
        assert_eq!(at(13, other), None);
    }

    #[test]
    fn a_layer_that_is_not_known_leaves_the_dead_load_unknown() {
        assert_eq!(dead_load(&[Some(Psf::whole(8)), None]), None);
        assert_eq!(
            dead_load(&[Some(Psf::whole(8)), Some(Psf::from_hundredths(220))]),
            Some(Psf::from_hundredths(1020))
        );
    }

    #[test]
    fn an_attic_counts_as_unused_only_where_it_is_known_to_be_low() {
        let of = |room_use, height| live_load(room_use, height).1.psf;
        let low = Some(Length::inches(41));
        assert_eq!(of(Some("attic"), low), Psf::whole(10));
        assert_eq!(of(Some("attic"), Some(Length::inches(42))), Psf::whole(20));
        assert_eq!(of(Some("attic"), None), Psf::whole(20));
        assert_eq!(of(Some("attic_storage"), low), Psf::whole(20));
        assert_eq!(of(Some("sleeping"), None), Psf::whole(30));
        assert_eq!(of(None, None), Psf::whole(40));
    }

    #[test]
    fn a_strut_takes_its_share_of_the_roof_on_the_flat() {
        // 4 ft × (10/2 + 8/2) ft × 30 psf = 1,080 lb; × 1.25 = 1,350.
        let runs = [Length::feet(10), Length::feet(8)];
        let load = Psf::whole(30);
        assert_eq!(
            strut(Length::feet(4), runs, load, false),
            Pounds::whole(1080)
        );
        assert_eq!(
            strut(Length::feet(4), runs, load, true),
            Pounds::whole(1350)
        );
    }

    #[test]
    fn a_partition_comes_down_on_joists_and_by_the_lever_on_what_they_bear_on() {
        // 8 ft × 6 psf = 48 lb/ft; on each joist 16 in apart 64 lb.
        let wall = partition_along(Length::feet(8), Psf::whole(6));
        assert_eq!(wall, Plf::whole(48));
        assert_eq!(over(wall, Length::inches(16)), Pounds::whole(64));
        // 3 ft off one end of 12 ft: 48 × 9/12 = 36 there, 12 at the other.
        let share = |feet| by_the_lever(wall, Length::feet(feet), Length::feet(12));
        assert_eq!(
            (share(9), share(3)),
            (Some(Plf::whole(36)), Some(Plf::whole(12)))
        );
        assert_eq!((share(13), share(-1)), (None, None));
    }
}
