//! Laws of the screens: deeper is never weaker, longer never stronger, more load never raises a verdict.

use proptest::prelude::*;

use super::*;
use crate::checks::screening::beam::screen;
use crate::checks::screening::member::PointLoad;
use crate::checks::screening::post;
use crate::checks::screening::screened::{Check, Screened};
use crate::tables::density::{Grade, Species};
use crate::tables::ps20::{default_seasoning, dressed};
use crate::units::Nominal;

/// Strength and stiffness of the member itself. Bearing is left out on purpose: a deeper beam weighs more, and where it bears
/// nothing gets stronger by that.
const OF_THE_MEMBER: [Check; 5] = [
    Check::Bending,
    Check::BendingOverPost,
    Check::Shear,
    Check::LiveSag,
    Check::TotalSag,
];

/// Wood of the tables, or partly not known.
fn wood() -> impl Strategy<Value = Wood> {
    let species = prop::sample::select(vec![
        None,
        Some(Species::DouglasFirLarch),
        Some(Species::HemFir),
        Some(Species::SprucePineFir),
        Some(Species::SouthernPine),
    ]);
    let grade = prop::sample::select(vec![
        None,
        Some(Grade::SelectStructural),
        Some(Grade::No1),
        Some(Grade::No2),
        Some(Grade::No3),
        Some(Grade::Stud),
    ]);
    let moisture = prop::sample::select(vec![
        Moisture::Dry,
        Moisture::Green,
        Moisture::Wet,
        Moisture::NotKnown,
    ]);
    (species, grade, moisture).prop_map(|(species, grade, moisture)| {
        Wood::read(species.map(Species::name), grade.map(Grade::name), moisture)
    })
}

fn kind() -> impl Strategy<Value = LoadKind> {
    prop::sample::select(LoadKind::ALL.to_vec())
}

/// A beam of a PS 20 thickness with loads along it and one at a place, on two or three supports.
fn beams() -> impl Strategy<Value = (u8, Member)> {
    (
        prop::sample::select(vec![2_u8, 3, 4, 6, 8]),
        1_u32..4,
        wood(),
        24_i64..216,
        any::<bool>(),
        prop::collection::vec((kind(), 1_i64..900), 1..4),
        (kind(), 0_i64..3_000, 1_i64..99),
        any::<bool>(),
    )
        .prop_map(
            |(thick, plies, wood, clear, three, lines, point, repetitive)| {
                let mut beam = if three { beam_on_three_posts() } else { beam() };
                beam.plies = plies;
                beam.wood = wood;
                beam.repetitive = repetitive;
                for span in &mut beam.clear {
                    span.value = Some(Length::inches(clear));
                }
                beam.line_loads = lines
                    .into_iter()
                    .map(|(kind, plf)| line(kind, plf))
                    .collect();
                let (kind, pounds, hundredths) = point;
                beam.point_loads = vec![PointLoad {
                    what: "post above".to_owned(),
                    kind,
                    load: Some(Pounds::whole(pounds)),
                    at: Measurement::agreed("place", hundredths_of(clear, hundredths)),
                    basis: Basis::default(),
                }];
                (thick, beam)
            },
        )
}

/// So many hundredths of a span of whole inches.
fn hundredths_of(clear: i64, hundredths: i64) -> Length {
    Length::from_64ths((clear * 64 * hundredths).div_euclid(100))
}

/// The beam of that nominal depth, if PS 20 has one.
fn of_depth(beam: &Member, thick: u8, width: u8) -> Option<Member> {
    let nominal = Nominal::quarters(4 * thick, width);
    let section = dressed(nominal, default_seasoning(nominal)).filter(|_| width >= thick)?;
    let mut beam = beam.clone();
    beam.thickness.value = Some(section.thickness);
    beam.depth.value = Some(section.depth);
    Some(beam)
}

fn is_told(screened: &Screened) -> bool {
    !screened.ratios.is_empty()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn deeper_over_ps_20_depths_is_never_weaker((thick, beam) in beams()) {
        let depths = [4, 6, 8, 10, 12, 14, 16].into_iter().filter_map(|width| of_depth(&beam, thick, width));
        let all: Vec<Screened> = depths.map(|beam| screen(&beam)).filter(is_told).collect();
        for pair in all.windows(2) {
            for check in OF_THE_MEMBER {
                if let Some((lower, deeper)) = pair[0].ratio_of(check).zip(pair[1].ratio_of(check)) {
                    prop_assert!(deeper <= lower * (1.0 + 1e-9), "{:?}: {} then {}", check, lower, deeper);
                }
            }
        }
    }

    #[test]
    fn a_deeper_beam_bears_no_more_than_its_own_weight_besides((thick, beam) in beams()) {
        // What a deeper beam adds at a bearing is its own weight: all of it together bounds what any one support takes.
        let depths = [4, 6, 8, 10, 12, 14, 16].into_iter().filter_map(|width| of_depth(&beam, thick, width));
        let all: Vec<(Member, Screened)> = depths
            .map(|beam| (beam.clone(), screen(&beam)))
            .filter(|(_, found)| is_told(found))
            .collect();
        let weight = |beam: &Member| {
            let inches = |length: Option<Length>| f64::from(i32::try_from(length.unwrap().as_64ths()).unwrap()) / 64.0;
            let clear: f64 = beam.clear.iter().map(|one| inches(one.value)).sum();
            let seats: f64 = beam.bearings.iter().map(|one| inches(one.length.value)).sum();
            let area = inches(beam.thickness.value) * f64::from(beam.plies) * inches(beam.depth.value);
            // At most 36.7 × 1.2 lb/cu ft.
            area * (clear + seats) * 36.7 * 1.2 / 1728.0
        };
        for pair in all.windows(2) {
            let added = weight(&pair[1].0) - weight(&pair[0].0);
            for lower in pair[0].1.ratios.iter().filter(|one| one.check == Check::Bearing) {
                let deeper = pair[1].1.ratios.iter().find(|one| one.check == Check::Bearing && one.place == lower.place);
                let deeper = deeper.unwrap().demand;
                // The design span may grow with the bearing that is needed: a fiftieth is left for that.
                prop_assert!(deeper <= lower.demand * 1.02 + added, "{} then {}", lower.demand, deeper);
            }
        }
    }

    #[test]
    fn longer_is_never_stronger((thick, beam) in beams(), more in 1_i64..25) {
        let Some(mut short) = of_depth(&beam, thick, 10) else { return Ok(()) };
        let clear = short.clear[0].value.unwrap().div_down(Length::inches(1));
        // A load at a place stands in the middle of one span: anywhere else its place on the design span moves with the
        // bearings, and two spans aren't alike there.
        if short.clear.len() > 1 {
            short.point_loads.clear();
        }
        let of = |clear: i64| {
            let mut beam = short.clone();
            for span in &mut beam.clear {
                span.value = Some(Length::inches(clear));
            }
            for point in &mut beam.point_loads {
                point.at.value = Some(Length::inches(clear).half_down());
            }
            screen(&beam)
        };
        let (short, long) = (of(clear), of(clear + more));
        if is_told(&short) && is_told(&long) {
            prop_assert!(long.verdict >= short.verdict);
            for ratio in &short.ratios {
                let longer = long.ratios.iter().find(|one| (one.check, &one.place) == (ratio.check, &ratio.place));
                let longer = longer.unwrap().ratio();
                prop_assert!(longer >= ratio.ratio() - 1e-9, "{}: {} then {}", ratio.title(), ratio.ratio(), longer);
            }
        }
    }

    #[test]
    fn more_load_never_raises_a_verdict((thick, beam) in beams(), more in 1_i64..500, on in 0_usize..4) {
        let Some(light) = of_depth(&beam, thick, 10) else { return Ok(()) };
        let mut heavy = light.clone();
        let count = heavy.line_loads.len();
        if on < count {
            heavy.line_loads[on].load = heavy.line_loads[on].load.map(|load| load + Plf::whole(more));
        } else {
            heavy.point_loads[0].load = heavy.point_loads[0].load.map(|load| load + Pounds::whole(more));
        }
        let (light, heavy) = (screen(&light), screen(&heavy));
        prop_assert!(heavy.verdict >= light.verdict, "{} {}", light.sentence, heavy.sentence);
    }

    #[test]
    fn a_taller_or_heavier_laden_post_never_fares_better(
        wood in wood(), height in 20_i64..200, taller in 0_i64..40, pounds in 1_i64..20_000, more in 0_i64..5_000,
        plies in 1_u32..4, shoring in any::<bool>(),
    ) {
        let of = |height: i64, pounds: i64| {
            let mut post = post(pounds);
            post.wood = wood.clone();
            post.thickness = given("thickness", "1 1/2");
            post.plies = plies;
            post.shoring = shoring;
            post.height.value = Some(Length::inches(height));
            post::screen(&post)
        };
        let (short, tall) = (of(height, pounds), of(height + taller, pounds + more));
        prop_assert!(tall.verdict >= short.verdict);
        for (one, other) in [Check::Buckling, Check::Slenderness, Check::Bearing]
            .into_iter()
            .filter_map(|check| short.ratio_of(check).zip(tall.ratio_of(check)))
        {
            prop_assert!(other >= one * (1.0 - 1e-12));
        }
    }

    #[test]
    fn a_screen_gives_the_same_answer_whatever_the_order_of_its_loads((thick, beam) in beams()) {
        let Some(beam) = of_depth(&beam, thick, 8) else { return Ok(()) };
        let mut turned = beam.clone();
        turned.line_loads.reverse();
        let (one, other) = (screen(&beam), screen(&turned));
        prop_assert_eq!(one.verdict, other.verdict);
        prop_assert_eq!(one.sentence, other.sentence);
    }
}
