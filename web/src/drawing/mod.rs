//! Drawings: inline SVG, one figure a file on one small kit.
//!
//! A unit is a pixel at 320 px, whole numbers only. Lines and fills are the stylesheet's (`.ink`): outline, thin, new,
//! wrong; never colour alone. Every drawing has a title and a text that says what it shows, for who can't see it.

pub mod hold_chain;
pub mod landing;
pub mod load_path;
pub mod panel;
pub mod qr;
pub mod stick;
mod svg;
mod tags;
pub mod week_bars;

pub use svg::Drawing;
