//! *Table span*: how far a joist or rafter spans by the rules that published span tables are made by.
//!
//! Clear span is the design span, Cr 1.15, the table's own loads, sag under live load alone, bending under both; no own
//! weight, shear or bearing. It reads a table back; a real floor is screened by `joist`.
//! Source: IRC 2015 and later, Tables R502.3.1, R802.4.1, R802.5.1, whose cells come out of it to the nearest inch.

use super::adjusted::{Service, adjusted};
use super::measures::{inches, length_down, psf, root};
use super::rectangle::Rectangle;
use super::wood::{Laid, Moisture, Told, Wood, design};
use crate::tables::adjustment_factors::LoadDuration;
use crate::tables::density::{Grade, Species};
use crate::units::{Length, Psf, Section};

/// What a cell of a span table is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell {
    /// The species group.
    pub species: Species,
    /// The grade.
    pub grade: Grade,
    /// The dressed section.
    pub section: Section,
    /// On centre.
    pub spacing: Length,
    /// The live load, or the snow on a rafter.
    pub live: Psf,
    /// The dead load.
    pub dead: Psf,
    /// 360 for L/360, under live load.
    pub sag_part: u32,
    /// How long the live load lasts.
    pub duration: LoadDuration,
}

/// Which limit a table span stops at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Bending under dead and live load.
    Bending,
    /// Sag under live load.
    Sag,
}

/// How far it spans, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TableSpan {
    /// By bending.
    pub by_bending: f64,
    /// By sag.
    pub by_sag: f64,
}

impl TableSpan {
    /// The lesser of the two, in inches.
    pub fn inches(self) -> f64 {
        self.by_bending.min(self.by_sag)
    }

    /// The span, down to 1/64 in.
    pub fn length(self) -> Length {
        length_down(self.inches())
    }

    /// The limit that it stops at.
    pub fn governs(self) -> Limit {
        if self.by_bending < self.by_sag {
            Limit::Bending
        } else {
            Limit::Sag
        }
    }
}

/// The span of a cell.
///
/// # Errors
/// Why there is none: no design values for that species, grade and size.
pub fn table_span(cell: &Cell) -> Result<TableSpan, String> {
    let wood = Wood {
        species: Told::Listed(cell.species),
        grade: Told::Listed(cell.grade),
        moisture: Moisture::Dry,
        incised: false,
    };
    let values = adjusted(
        &design(&wood, cell.section, Laid::OnEdge)?,
        Service {
            duration: cell.duration,
            moisture: Moisture::Dry,
            repetitive: true,
            incised: false,
        },
    );
    let section = Rectangle::of(cell.section, 1);
    let per_inch = |load: Psf| psf(load) * inches(cell.spacing) / 144.0;
    let (live, dead) = (per_inch(cell.live), per_inch(cell.dead));
    // M = wL²/8, and 5wL⁴/384EI = L/part.
    let moment = values.fb * section.section_modulus();
    let stiffness = values.e * section.moment_of_inertia();
    Ok(TableSpan {
        by_bending: root(8.0 * moment / (live + dead), 2),
        by_sag: root(
            384.0 * stiffness / (5.0 * f64::from(cell.sag_part) * live),
            3,
        ),
    })
}
