//! Scantling server.
