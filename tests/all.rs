//! One test binary; this is its table of contents.

/// Agreement with published tables, one file a source.
#[cfg(test)]
mod published;
