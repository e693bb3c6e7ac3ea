//! Fc⊥ of a piece of wood that something bears on.
//!
//! It goes by species alone in the tables; grade and size don't matter. Source: NDS Supplement Tables 4A and 4B.

use super::figure::{Figure, add};
use super::wood::{Moisture, Told, Wood, less_seen};
use crate::tables::Confidence;
use crate::tables::adjustment_factors::wet_dimension;
use crate::tables::design_values::{DESIGN_VALUES, Property};

/// Fc⊥ of a piece that is borne on, wet or green taken into account, psi; unknown species: the least listed.
///
/// # Errors
/// A species that the tables don't have.
pub(crate) fn across_grain(
    wood: &Wood,
    figures: &mut Vec<Figure>,
) -> Result<(f64, Confidence), String> {
    let lines = DESIGN_VALUES.iter().filter(|line| match &wood.species {
        Told::Listed(species) => line.species == *species,
        _ => true,
    });
    let least = match &wood.species {
        Told::Unlisted(name) => {
            return Err(format!("no design values are on record for {name}"));
        }
        _ => lines.min_by_key(|line| line.psi(Property::FcPerp)),
    };
    let line = least.expect("every species has a line");
    let psi = line.psi(Property::FcPerp);
    let confidence = line.confidence_of(Property::FcPerp);
    add(
        figures,
        Figure::new(
            format!("Fc⊥, {}", line.species.name()),
            format!("{psi} psi"),
            line.source(),
            confidence,
        ),
    );
    match wood.moisture {
        Moisture::Dry | Moisture::NotKnown => Ok((f64::from(psi), confidence)),
        Moisture::Green | Moisture::Wet => {
            let wet = wet_dimension(Property::FcPerp);
            Ok((
                f64::from(psi) * wet.value,
                less_seen(confidence, wet.confidence),
            ))
        }
    }
}
