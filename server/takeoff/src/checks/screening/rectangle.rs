//! A rectangular section of one or several plies, bent over its depth.
//!
//! Plies beside each other add their thickness; plies laid flat on each other are the plate's business.
//! Source: strength of materials.

use super::measures::inches;
use crate::units::Section;

/// A rectangle: thickness across the load, depth along it, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Across the load, all plies together.
    pub thickness: f64,
    /// Along the load.
    pub depth: f64,
}

impl Rectangle {
    /// A section of so many plies beside each other.
    pub fn of(section: Section, plies: u32) -> Self {
        Self {
            thickness: inches(section.thickness) * f64::from(plies),
            depth: inches(section.depth),
        }
    }

    /// Its area, in².
    pub fn area(self) -> f64 {
        self.thickness * self.depth
    }

    /// Its section modulus, in³.
    pub fn section_modulus(self) -> f64 {
        self.thickness * self.depth * self.depth / 6.0
    }

    /// Its moment of inertia, in⁴.
    pub fn moment_of_inertia(self) -> f64 {
        self.thickness * self.depth * self.depth * self.depth / 12.0
    }

    /// What it weighs, pounds per inch of length; the density in pounds a cubic foot.
    pub fn weight_per_inch(self, density: f64) -> f64 {
        self.area() * density / 1728.0
    }
}
