//! A zip's own headers, read where the zip can't be opened, or doesn't say enough (APPNOTE 6.3.10, sections 4.3.7 and
//! 4.3.12). What is read here only names an entry in a message.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom};
use std::path::Path;

use super::name;

/// Bytes that are looked at at once.
const PIECE: usize = 64 * 1024;
/// Bytes of an entry's header before its name, and of its line in the list of contents.
const HEADER: usize = 30;
const LINE: usize = 46;
/// The longest name of an entry of ours, with room.
const NAME: usize = 200;

/// The name of the last entry that is begun in a file: a header before a name that a job's zip has. None where there is
/// none.
///
/// # Errors
/// Those of reading the file.
pub(super) fn last_entry(path: &Path) -> io::Result<Option<Vec<u8>>> {
    let mut file = File::open(path)?;
    let mut last = None;
    let mut piece = Vec::new();
    loop {
        let n = (&mut file)
            .take(u64::try_from(PIECE).unwrap_or(u64::MAX))
            .read_to_end(&mut piece)?;
        for at in 0..piece.len() {
            if let Some(name) = piece.get(at..).and_then(name_of) {
                last = Some(name.to_vec());
            }
        }
        if n == 0 {
            return Ok(last);
        }
        // A header may go on in the next piece.
        let seen = piece.len().saturating_sub(HEADER + NAME);
        piece.drain(..seen);
    }
}

/// The name in a header at the beginning of these bytes, where there is one.
fn name_of(bytes: &[u8]) -> Option<&[u8]> {
    let head = bytes
        .get(..HEADER)
        .filter(|head| head.starts_with(b"PK\x03\x04"))?;
    let long = two(head, 26).min(NAME);
    let name = bytes.get(HEADER..HEADER + long)?;
    name::read(name).is_ok().then_some(name)
}

/// The first name that comes twice in the list of contents, which begins at `start`.
///
/// # Errors
/// Those of reading the file, and where no name comes twice.
pub(super) fn twice(path: &Path, start: u64) -> io::Result<Vec<u8>> {
    let mut file = BufReader::new(File::open(path)?);
    file.seek(SeekFrom::Start(start))?;
    let mut seen = BTreeSet::new();
    loop {
        let mut head = [0; LINE];
        file.read_exact(&mut head)?;
        let mut name = vec![0; two(&head, 28)];
        file.read_exact(&mut name)?;
        let rest = two(&head, 30) + two(&head, 32);
        file.seek_relative(i64::try_from(rest).unwrap_or(i64::MAX))?;
        if !head.starts_with(b"PK\x01\x02") {
            return Err(io::Error::other("no name comes twice"));
        }
        if seen.contains(&name) {
            return Ok(name);
        }
        seen.insert(name);
    }
}

/// The number in two bytes.
fn two(bytes: &[u8], at: usize) -> usize {
    match bytes.get(at..at + 2) {
        Some([low, high]) => usize::from(u16::from_le_bytes([*low, *high])),
        _ => 0,
    }
}
