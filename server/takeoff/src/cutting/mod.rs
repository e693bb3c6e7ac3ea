//! Placeholder, being written.
