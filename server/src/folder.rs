//! The data folder: made where it isn't there, open to its owner alone.

use std::path::Path;

use scantling_db::{Db, Error};

/// Opens the store in a folder, which is made first.
pub(crate) fn open(folder: &Path) -> Result<Db, Error> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).map_err(|source| Error::File {
        doing: "make the data folder",
        source,
    })?;
    Db::open(folder)
}
