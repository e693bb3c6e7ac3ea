//! Scantling: the command line and the server.
fn main() {}
