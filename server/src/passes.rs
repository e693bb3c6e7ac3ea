//! What may pass on each route: how large a body, for how long, and whether another site's page may ask for the answer.

use std::time::Duration;

use scantling_takeoff::record::job_file::PICTURE_BYTES;

/// What a row of the table lets pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Passes {
    /// A page goes out; a link on another site may lead there.
    Page,
    /// Data, a picture or an export goes out: only to this site's own pages, and to whoever types the address.
    File,
    /// The same, and it takes long: every picture is looked at before its first byte.
    Zip,
    /// What anybody may ask for, also a page at another address of this server.
    Anyone,
    /// A form comes in.
    Form,
    /// A form with a CSV.
    Csv,
    /// A form with a photo.
    Photo,
    /// A batch of a phone's entries.
    Batch,
    /// A picture by itself.
    Picture,
    /// A phone's entries from a file.
    Entries,
}

const KB: usize = 1024;
const MB: usize = 1024 * KB;

/// A CSV, at most.
pub(crate) const CSV_BYTES: usize = 5 * MB;
/// A file of entries, at most.
pub(crate) const ENTRIES_BYTES: usize = 200 * MB;

/// What a photo's form adds to its picture: fields up to a form's own limit, and the lines between.
const AROUND_A_FILE: usize = 128 * KB;

impl Passes {
    /// The largest body, in bytes; 0 where none is taken.
    pub fn bytes(self) -> usize {
        match self {
            Self::Page | Self::File | Self::Zip | Self::Anyone => 0,
            Self::Form => 64 * KB,
            // The second step sends the text as a field, with a line end of two bytes.
            Self::Csv => 2 * CSV_BYTES,
            Self::Photo => Self::Picture.bytes() + AROUND_A_FILE,
            Self::Batch => 256 * KB,
            Self::Picture => usize::try_from(PICTURE_BYTES).unwrap_or(usize::MAX),
            Self::Entries => ENTRIES_BYTES + AROUND_A_FILE,
        }
    }

    /// The limit in words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Page | Self::File | Self::Zip | Self::Anyone => "nothing: this only shows",
            Self::Form => "64 kB for a form",
            Self::Csv => "5 MB for a CSV",
            Self::Photo | Self::Picture => "25 MB for a photo",
            Self::Batch => "256 kB for a batch",
            Self::Entries => "200 MB for a file of entries",
        }
    }

    /// How long a request with its body may take up to its answer.
    pub(crate) fn time(self) -> Duration {
        Duration::from_secs(match self {
            Self::Page | Self::File | Self::Anyone | Self::Form | Self::Batch => 20,
            Self::Csv | Self::Photo | Self::Picture => 120,
            Self::Entries => 300,
            Self::Zip => 600,
        })
    }
}
