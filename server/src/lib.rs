//! Scantling's server: HTTP and the command line. It extracts, reads, calls the core, and shows; it decides nothing.

pub mod cli;
mod clock;
mod error;
mod files;
mod folder;
mod forms;
mod gate;
mod pages;
pub mod router;
mod session;
mod start;
mod state;

pub use start::{Codes, Config, Running, StartError, start};
