//! One test binary; this is its table of contents.
