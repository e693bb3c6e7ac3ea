//! Everything that a browser receives: pages, their parts, the stylesheet and the scripts.
//!
//! A page is a function of one plain `View`; no request, database, clock or arithmetic is in here. How it looks: paper,
//! pencil, chalk for what is new and for the one main button, crayon for what is wrong.

pub mod assets;
pub mod drawing;
pub mod layout;
pub mod pages;
pub mod parts;

pub use layout::Page;
