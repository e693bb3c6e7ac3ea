//! Scantling's server: HTTP and the command line. It extracts, reads, calls the core, and shows; it decides nothing.

pub mod cli;
mod clock;
mod error;
mod files;
mod folder;
mod forms;
mod gate;
mod journal;
mod lan;
mod limits;
mod pages;
mod passes;
pub mod router;
mod session;
mod start;
mod state;
mod sync;

pub use lan::{Lan, LanError};
pub use limits::Limits;
pub use passes::Passes;
pub use start::{Codes, Config, Running, SetupSaid, StartError, start};
