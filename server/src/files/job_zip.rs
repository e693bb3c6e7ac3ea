//! The whole job in one zip: its job file, its pictures, and the bytes of what was sent, out and in; the only use of `zip`.
//!
//! ```text
//! README.txt                          what this is, in a sentence
//! job.json                            the job file
//! orders/<order id>-r<revision>.csv   what was sent to the yard, as it was sent (.txt, .html)
//! photos/<sha256>.jpg                 each picture under the hash of its bytes (.png, .webp, .heic)
//! ```
//!
//! Everything is stored as it is, since pictures are compressed already, with one fixed date: the same job gives the same
//! bytes. What comes in may be compressed by deflate, as other programs do.

mod headers;
mod name;
mod read;
mod write;

use scantling_takeoff::record::JobFile;
use scantling_takeoff::record::job_file::{JOB_PICTURE_BYTES, JOB_PICTURES};

use super::order::order_files;

pub(crate) use read::{Zipped, open};
pub(crate) use write::{MEND, Unwritten, check, write};

/// The name of the job file.
const JOB: &str = "job.json";
/// The name of the sentence.
const README: &str = "README.txt";
/// The sentence.
const SAYS: &str = "A whole job of Scantling: job.json is its record, photos are its pictures by the SHA-256 of their bytes, orders what was sent to the yard. Take it in with: scantling import FILE.zip --data FOLDER\n";

/// What may be in a zip.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limits {
    /// Files.
    pub(crate) entries: usize,
    /// Bytes of all of them, unpacked.
    pub(crate) bytes: u64,
    /// Bytes unpacked for each one packed.
    pub(crate) ratio: u64,
}

/// The most bytes of the job file, and of a further file: these are held in memory.
const JOB_BYTES: u64 = 1_000_000_000;
const PART_BYTES: u64 = 20_000_000;
/// The most further files: three papers of each order that was sent.
const PARTS: usize = 48_000;

/// What may be in a zip that comes in, and so in one that goes out: as many pictures as a job may keep, and its record
/// beside them. So whatever is kept can leave.
pub(crate) const LIMITS: Limits = Limits {
    entries: 2 + JOB_PICTURES as usize + PARTS,
    bytes: JOB_PICTURE_BYTES + 2 * JOB_BYTES,
    ratio: 100,
};

/// A further file of a job's zip, worked out from its job file: the same job gives the same ones.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Part {
    /// Its name, as in `orders/<order id>-r<revision>.csv`.
    pub(crate) name: String,
    /// What it holds.
    pub(crate) bytes: Vec<u8>,
}

/// The further files of a job: the bytes of its sent orders. By name.
fn parts(file: &JobFile) -> Vec<Part> {
    order_files(file)
        .into_iter()
        .map(|(name, bytes)| Part { name, bytes })
        .collect()
}

#[cfg(test)]
mod tests;
