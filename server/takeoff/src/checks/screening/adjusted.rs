//! Reference values adjusted to how long the load lasts, moisture, repetition and incising; bearing's own factor.
//!
//! Size and flat use are in `wood` already; stability of columns is in `column`. Not here: heat, wind, impact.
//! Source: NDS 4.3 and its tables, by way of `tables::adjustment_factors`.

use super::measures::inches;
use super::wood::{Design, Moisture};
use crate::tables::adjustment_factors::{
    BEARING_ADDED, BEARING_FROM_END, BEARING_LONG, LoadDuration, REPETITIVE, WET_FB_FROM,
    WET_FC_FROM, incised, wet_dimension, wet_timber,
};
use crate::tables::design_values::Property::{self, E, Emin, Fb, Fc, FcPerp, Ft, Fv};
use crate::units::Length;

/// What a member serves under.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Service {
    /// The shortest-lasting load of the combination.
    pub duration: LoadDuration,
    /// Wet or dry.
    pub moisture: Moisture,
    /// Three or more alike under sheathing, at most 24 in apart.
    pub repetitive: bool,
    /// Incised for treatment.
    pub incised: bool,
}

/// Adjusted values, psi.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Adjusted {
    /// Bending.
    pub fb: f64,
    /// Tension along the grain.
    pub ft: f64,
    /// Shear along the grain.
    pub fv: f64,
    /// Compression across the grain, before Cb.
    pub fc_perp: f64,
    /// Compression along the grain before the column stability factor, Fc*.
    pub fc_star: f64,
    /// For deflection.
    pub e: f64,
    /// For stability.
    pub emin: f64,
}

/// Adjusts the values of a member.
pub fn adjusted(design: &Design, service: Service) -> Adjusted {
    let value = |property: Property| {
        let mut value = design.value(property) * moisture_factor(design, service, property);
        if service.incised && !design.timber {
            value *= incised(property).value;
        }
        if matches!(property, Fb | Ft | Fv | Fc) {
            value *= service.duration.factor().value;
        }
        if property == Fb && service.repetitive && !design.timber {
            value *= REPETITIVE.value;
        }
        value
    };
    Adjusted {
        fb: value(Fb),
        ft: value(Ft),
        fv: value(Fv),
        fc_perp: value(FcPerp),
        fc_star: value(Fc),
        e: value(E),
        emin: value(Emin),
    }
}

/// CM; wood set green takes it across the grain alone.
pub(crate) fn moisture_factor(design: &Design, service: Service, property: Property) -> f64 {
    match service.moisture {
        Moisture::Dry | Moisture::NotKnown => 1.0,
        Moisture::Green if property != FcPerp => 1.0,
        Moisture::Green | Moisture::Wet if design.timber => wet_timber(property).value,
        Moisture::Green | Moisture::Wet => {
            let spared = match property {
                Fb => design.value(Fb) <= WET_FB_FROM.value,
                Fc => design.value(Fc) <= WET_FC_FROM.value,
                _ => false,
            };
            if spared {
                1.0
            } else {
                wet_dimension(property).value
            }
        }
    }
}

/// Cb of a bearing of this length along the member, so far from its end: (lb + 3/8)/lb under 6 in long and 3 in or more
/// from the end, else 1.
///
/// Source: NDS 3.10.4; computed.
pub fn bearing_area_factor(length: Length, from_end: Length) -> f64 {
    let long = inches(length);
    if long <= 0.0 || long >= BEARING_LONG.value || inches(from_end) < BEARING_FROM_END.value {
        return 1.0;
    }
    (long + BEARING_ADDED.value) / long
}
