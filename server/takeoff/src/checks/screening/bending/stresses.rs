//! The checks of a bending member under one combination: bending, shear, sag, bearing, each with its arithmetic.
//!
//! Which combinations there are, and the spans, are in `bending`. Source: NDS 3.3, 3.4, 3.5 and 3.10.

use super::{Acting, Model, ratio_line};
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::screened::{Check, Ratio, names_from_memory};
use crate::checks::screening::span::Span;
use crate::checks::screening::wood::Moisture;
use crate::needs::sum;
use crate::tables::adjustment_factors::{CREEP_SEASONED, CREEP_UNSEASONED, RECTANGLE_SHEAR};
use crate::tables::design_values::Property;
use crate::tables::loads::TOTAL_SAG;

impl Model {
    pub(super) fn bending(&self, acting: &Acting) -> Ratio {
        let moments = acting.simple.iter().map(Span::greatest_moment);
        let (at, moment) = moments.fold(
            (0.0, 0.0),
            |most, one| if one.1 > most.1 { one } else { most },
        );
        let mut ratio = self.bent(acting, Check::Bending, moment);
        if let Some(first) = ratio.sums.first_mut() {
            first.note = format!(
                "under {}, {at:.0} in from the support",
                acting.combination.name
            );
        }
        ratio
    }

    pub(super) fn bending_over_post(&self, acting: &Acting) -> Option<Ratio> {
        let running = acting.running.as_ref()?;
        let over = running.spans.iter().map(|span| -span.end_moments.0);
        let moment = over.fold(0.0, f64::max);
        Some(self.bent(acting, Check::BendingOverPost, moment))
    }

    fn bent(&self, acting: &Acting, check: Check, moment: f64) -> Ratio {
        let modulus = self.section.section_modulus();
        let (stress, allowed) = (moment / modulus, acting.values.fb * self.strength);
        let sized = self.design.sized(Property::Fb);
        let mut ratio = Ratio {
            check,
            place: String::new(),
            demand: stress,
            capacity: allowed,
            unit: "psi",
            under: acting.combination.name,
            sums: vec![
                sum(
                    "Greatest moment M",
                    format!("{moment:.0} lb-in"),
                    format!("under {}", acting.combination.name),
                ),
                sum(
                    "Section modulus S",
                    format!("{modulus:.2} in³"),
                    "thickness × depth² ÷ 6",
                ),
                sum("Bending stress fb", format!("{stress:.0} psi"), "M ÷ S"),
                sum(
                    "Allowed, Fb′",
                    format!("{allowed:.0} psi"),
                    self.factors(acting, Property::Fb),
                ),
            ],
            from_memory: names_from_memory(&[("Fb", sized.confidence)]),
        };
        ratio.sums.push(ratio_line(&ratio));
        ratio
    }

    pub(super) fn shear(&self, acting: &Acting) -> Ratio {
        let depth = self.section.depth;
        let running = acting.running.as_ref();
        let spans = running.map_or(&acting.simple, |running| &running.spans);
        let shears = spans.iter().map(|span| {
            let (start, end) = span.design_shears(depth);
            start.max(end)
        });
        let shear = shears.fold(0.0, f64::max);
        let stress = RECTANGLE_SHEAR.value * shear / self.section.area();
        let allowed = acting.values.fv * self.strength;
        let seen = self.design.sized(Property::Fv).confidence;
        let mut ratio = Ratio {
            check: Check::Shear,
            place: String::new(),
            demand: stress,
            capacity: allowed,
            unit: "psi",
            under: acting.combination.name,
            sums: vec![
                sum(
                    "Greatest shear V",
                    format!("{shear:.0} lb"),
                    "without uniform load within the depth of a support",
                ),
                sum(
                    "Shear stress fv",
                    format!("{stress:.1} psi"),
                    "1.5 × V ÷ (thickness × depth)",
                ),
                sum(
                    "Allowed, Fv′",
                    format!("{allowed:.0} psi"),
                    self.factors(acting, Property::Fv),
                ),
            ],
            from_memory: names_from_memory(&[
                ("Fv", seen),
                ("the shear formula", RECTANGLE_SHEAR.confidence),
            ]),
        };
        ratio.sums.push(ratio_line(&ratio));
        ratio
    }

    /// Sag under what comes and goes, and under all load with the lasting part's creep.
    pub(super) fn sags(&self, acting: &Acting, halves: &[f64]) -> Vec<Ratio> {
        let combination = acting.combination;
        let passing = |kind: LoadKind| match kind {
            LoadKind::Dead => 0.0,
            _ => combination.part(kind),
        };
        let creep = match self.service.moisture {
            Moisture::Dry => CREEP_SEASONED,
            Moisture::Green | Moisture::Wet | Moisture::NotKnown => CREEP_UNSEASONED,
        };
        let lasting = |kind: LoadKind| match kind {
            LoadKind::Dead => creep.value,
            _ => combination.part(kind),
        };
        let mut all = Vec::new();
        if combination.name != "D" {
            let spans = self.spans(halves, passing);
            all.push(self.sag(acting, Check::LiveSag, &spans, self.sag_part));
        }
        let spans = self.spans(halves, lasting);
        let mut total = self.sag(acting, Check::TotalSag, &spans, TOTAL_SAG.part);
        total
            .from_memory
            .extend(names_from_memory(&[("creep", creep.confidence)]));
        if let Some(first) = total.sums.first_mut() {
            first.note = format!(
                "{}, dead load × {:.1} for creep",
                combination.name, creep.value
            );
        }
        all.push(total);
        all
    }

    fn sag(&self, acting: &Acting, check: Check, spans: &[Span], part: u32) -> Ratio {
        let stiffness = acting.values.e * self.stiffness * self.section.moment_of_inertia();
        let worst = spans
            .iter()
            .map(|span| {
                (
                    span.greatest_sag(stiffness).1,
                    span.length / f64::from(part),
                )
            })
            .fold((0.0, 1.0), |most: (f64, f64), one| {
                if one.0 * most.1 >= most.0 * one.1 {
                    one
                } else {
                    most
                }
            });
        let (sag, limit) = worst;
        let confidence = self.design.sized(Property::E).confidence;
        let mut ratio = Ratio {
            check,
            place: String::new(),
            demand: sag,
            capacity: limit,
            unit: "in",
            under: acting.combination.name,
            sums: vec![
                sum("Sag", format!("{sag:.2} in"), acting.combination.name),
                sum(
                    "E′ × I",
                    format!(
                        "{:.0} × {:.1}",
                        acting.values.e,
                        self.section.moment_of_inertia()
                    ),
                    "psi × in⁴",
                ),
                sum(
                    "Allowed",
                    format!("{limit:.2} in"),
                    format!("span ÷ {part}"),
                ),
            ],
            from_memory: names_from_memory(&[("E", confidence)]),
        };
        ratio.sums.push(ratio_line(&ratio));
        ratio
    }

    pub(super) fn seats(&self, acting: &Acting) -> Vec<Ratio> {
        let reactions = acting.reactions();
        let all = self.bearings.iter().zip(reactions).enumerate();
        all.map(|(n, (seat, reaction))| {
            let (strength, seen) = self.seat_strength(n, &acting.values);
            let area = seat.long * self.seat_width(n);
            let mut ratio = Ratio {
                check: Check::Bearing,
                place: seat.place.clone(),
                demand: reaction,
                capacity: area * strength,
                unit: "lb",
                under: acting.combination.name,
                sums: vec![
                    sum(
                        "Reaction",
                        format!("{reaction:.0} lb"),
                        acting.combination.name,
                    ),
                    sum(
                        "Contact",
                        format!("{area:.2} in²"),
                        format!("{:.2} × {:.2}", seat.long, self.seat_width(n)),
                    ),
                    sum(
                        "Allowed",
                        format!("{:.0} lb", area * strength),
                        format!("× {strength:.0} psi, the weakest wood there"),
                    ),
                ],
                from_memory: names_from_memory(&[("Fc⊥", seen)]),
            };
            ratio.sums.push(ratio_line(&ratio));
            ratio
        })
        .collect()
    }

    fn factors(&self, acting: &Acting, property: Property) -> String {
        let sized = self.design.sized(property);
        let size = match property {
            Property::Fb => format!(" × CF {:.3}", sized.factor),
            _ => String::new(),
        };
        let duration = acting.combination.duration.factor().value;
        let mut text = format!("{:.0}{size} × CD {duration}", sized.psi);
        if property == Property::Fb && self.service.repetitive && !self.design.timber {
            text += " × Cr 1.15";
        }
        if self.service.moisture == Moisture::Wet {
            text += ", wet";
        }
        if self.service.incised && !self.design.timber {
            text += ", incised";
        }
        text
    }
}
