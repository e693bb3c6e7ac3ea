//! In: everything is looked at before anything is kept. Nothing is unpacked to disk: pictures are read twice, once to be
//! judged and once to be kept, one in memory at a time.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom};
use std::path::Path;

use scantling_db::{Pictures, sha256_hex};
use scantling_takeoff::record::JobFile;
use scantling_takeoff::record::job_file::PICTURE_BYTES;
use thiserror::Error;
use zip::{CompressionMethod, ZipArchive};

use super::name::{self, Name};
use super::{JOB, Limits, parts};
use crate::files::picture;

/// The most bytes of a further file.
const PART_BYTES: u64 = 20_000_000;

/// Why a zip is not taken. Each says which entry.
#[derive(Debug, Error)]
pub(crate) enum Refused {
    /// It is no zip, or not to its end.
    #[error("the zip can't be read; it may be cut off or damaged: {0}")]
    Unreadable(String),
    /// Too many entries.
    #[error("the zip has {0} entries; a job's has at most {1}")]
    TooMany(usize, usize),
    /// Entries share bytes, as in a bomb.
    #[error("entries of the zip lie over each other")]
    Overlapping,
    /// One entry, and what is wrong with it.
    #[error("{entry}: {why}")]
    Entry {
        /// Its name.
        entry: String,
        /// What is wrong.
        why: String,
    },
}

/// A zip in which everything is right.
#[derive(Debug)]
pub(crate) struct Zipped {
    /// The job.
    pub(crate) file: JobFile,
    archive: ZipArchive<BufReader<File>>,
    /// Its pictures: where each is in the archive, and its hash.
    pictures: Vec<(usize, String)>,
}

/// Opens a zip and looks at all of it.
pub(crate) fn open(path: &Path, limits: Limits) -> Result<Zipped, Refused> {
    let unreadable = |error: &dyn std::error::Error| Refused::Unreadable(error.to_string());
    let file = File::open(path).map_err(|error| unreadable(&error))?;
    let mut archive = ZipArchive::new(BufReader::new(file)).map_err(|error| unreadable(&error))?;
    if archive.len() > limits.entries {
        return Err(Refused::TooMany(archive.len(), limits.entries));
    }
    if archive.has_duplicate_names() {
        return Err(refused(&twice(path, &archive), "the zip holds it twice"));
    }
    if archive
        .has_overlapping_entries()
        .map_err(|error| unreadable(&error))?
    {
        return Err(Refused::Overlapping);
    }
    let held = look(&mut archive, limits)?;
    let file = job_of(&held)?;
    let pictures = agree(&file, &held)?;
    Ok(Zipped {
        file,
        archive,
        pictures,
    })
}

impl Zipped {
    /// Keeps its pictures. They are looked at again: the file may have been changed meanwhile.
    ///
    /// # Errors
    /// What the disk says, and a picture that is not what it was.
    pub(crate) fn keep(mut self, kept: &Pictures) -> Result<(), scantling_db::Error> {
        for (at, sha256) in self.pictures {
            let failed = |source| scantling_db::Error::File {
                doing: "read the zip again",
                source,
            };
            let mut bytes = Vec::new();
            self.archive
                .by_index(at)
                .map_err(|error| failed(error.into()))?
                .take(u64::from(PICTURE_BYTES) + 1)
                .read_to_end(&mut bytes)
                .map_err(failed)?;
            if sha256_hex(&bytes) != sha256 {
                return Err(failed(io::Error::other("a picture is not what it was")));
            }
            kept.keep(&bytes)?;
        }
        Ok(())
    }
}

/// What an archive holds.
#[derive(Default)]
struct Held {
    job: Option<Vec<u8>>,
    /// By hash: where it is, its name, and what it is.
    pictures: BTreeMap<String, (usize, String, picture::Picture)>,
    /// By name.
    orders: BTreeMap<String, Vec<u8>>,
}

/// Looks at every entry: its name, its kind, how far it unpacks, whether a picture is what its name says.
fn look(archive: &mut ZipArchive<BufReader<File>>, limits: Limits) -> Result<Held, Refused> {
    let mut held = Held::default();
    let mut left = limits.bytes;
    for at in 0..archive.len() {
        let mut entry = archive
            .by_index(at)
            .map_err(|error| Refused::Unreadable(error.to_string()))?;
        let said = String::from_utf8_lossy(entry.name_raw())
            .escape_debug()
            .to_string();
        let refused = |why: &str| refused(&said, why);
        let is = name::read(entry.name_raw()).map_err(refused)?;
        // The kind of file in a mode of Unix: none said, or a regular one.
        let is_regular = matches!(entry.unix_mode().unwrap_or(0) & 0o170_000, 0 | 0o100_000);
        if entry.is_symlink() || !is_regular || entry.is_dir() {
            return Err(refused("it is a link or no regular file"));
        }
        if entry.encrypted() {
            return Err(refused("it is encrypted"));
        }
        if !matches!(
            entry.compression(),
            CompressionMethod::Stored | CompressionMethod::Deflated
        ) {
            return Err(refused("it is compressed in another way than by deflate"));
        }
        let most = match is {
            Name::Picture(..) => u64::from(PICTURE_BYTES),
            Name::Order | Name::Readme => PART_BYTES,
            Name::Job => limits.bytes,
        };
        let packed = entry.compressed_size().saturating_mul(limits.ratio);
        let may = most.min(left).min(packed);
        let mut bytes = Vec::new();
        (&mut entry)
            .take(may.saturating_add(1))
            .read_to_end(&mut bytes)
            .map_err(|error| refused(&format!("it can't be unpacked; it is damaged: {error}")))?;
        let size = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        if size > packed {
            return Err(refused(&format!(
                "it unpacks to more than {} times its size",
                limits.ratio
            )));
        }
        if size > left {
            return Err(refused(&format!(
                "with it the zip unpacks to more than {} MB",
                limits.bytes.div_ceil(1_000_000)
            )));
        }
        if size > most {
            return Err(refused(&format!("it unpacks to more than {most} bytes")));
        }
        left -= size;
        match is {
            Name::Readme => {}
            Name::Job => held.job = Some(bytes),
            Name::Order => drop(held.orders.insert(said.clone(), bytes)),
            Name::Picture(sha256, end) => {
                let mut picture = right(&bytes, &sha256, &end).map_err(|why| refused(&why))?;
                // It is read again when it is kept.
                picture.bytes = Vec::new();
                if held
                    .pictures
                    .insert(sha256, (at, said.clone(), picture))
                    .is_some()
                {
                    return Err(refused("the zip holds this picture twice"));
                }
            }
        }
    }
    Ok(held)
}

/// A picture whose name is its hash, and which holds nothing that is not kept.
fn right(bytes: &[u8], sha256: &str, end: &str) -> Result<picture::Picture, String> {
    if sha256_hex(bytes) != sha256 {
        return Err("its bytes don't have the hash that is its name".to_owned());
    }
    let declared = if end == "jpg" {
        "image/jpeg"
    } else {
        "image/png"
    };
    let picture = picture::read(bytes, Some(declared)).map_err(|why| why.to_string())?;
    if picture.bytes != bytes {
        return Err(
            "it holds more than the picture: where or when it was taken, or a comment".to_owned(),
        );
    }
    Ok(picture)
}

fn job_of(held: &Held) -> Result<JobFile, Refused> {
    let Some(bytes) = &held.job else {
        return Err(refused(JOB, "the zip doesn't hold it"));
    };
    let text = std::str::from_utf8(bytes).map_err(|_| refused(JOB, "it is no plain text"))?;
    scantling_db::from_json(text).map_err(|error| refused(JOB, &error.to_string()))
}

/// Whether the zip holds what the job names, as the job says that it is, and nothing else.
fn agree(file: &JobFile, held: &Held) -> Result<Vec<(usize, String)>, Refused> {
    let mut unnamed: BTreeMap<&String, _> = held.pictures.iter().collect();
    for picture in &file.pictures {
        let end = picture.extension().unwrap_or("?");
        let name = format!("photos/{}.{end}", picture.sha256);
        let Some((_, said, found)) = held.pictures.get(&picture.sha256) else {
            return Err(refused(
                &name,
                "the job names it, but the zip doesn't hold it",
            ));
        };
        if found.format.media_type() != picture.r#type
            || (found.width, found.height) != (picture.width, picture.height)
        {
            return Err(refused(said, "it is not what the job says of it"));
        }
        unnamed.remove(&picture.sha256);
    }
    if let Some((_, name, _)) = unnamed.into_values().next() {
        return Err(refused(name, "the job doesn't name it"));
    }
    let mut orders: BTreeMap<&String, _> = held.orders.iter().collect();
    for part in parts(file) {
        match orders.remove(&part.name) {
            None => {
                return Err(refused(
                    &part.name,
                    "the job names it, but the zip doesn't hold it",
                ));
            }
            Some(bytes) if *bytes != part.bytes => {
                return Err(refused(&part.name, "it is not what the job says was sent"));
            }
            Some(_) => {}
        }
    }
    if let Some(name) = orders.into_keys().next() {
        return Err(refused(name, "the job doesn't name it"));
    }
    let pictures = held.pictures.iter();
    Ok(pictures
        .map(|(sha256, (at, ..))| (*at, sha256.clone()))
        .collect())
}

/// The first name that comes twice in an archive's directory (APPNOTE 6.3.10, section 4.3.12).
fn twice(path: &Path, archive: &ZipArchive<BufReader<File>>) -> String {
    /// Bytes of a directory entry before its name.
    const HEAD: usize = 46;
    let find = || -> io::Result<String> {
        let mut file = BufReader::new(File::open(path)?);
        file.seek(SeekFrom::Start(archive.central_directory_start()))?;
        let mut seen = Vec::new();
        loop {
            let mut head = [0; HEAD];
            file.read_exact(&mut head)?;
            let two = |at: usize| u16::from_le_bytes([head[at], head[at + 1]]);
            let mut name = vec![0; usize::from(two(28))];
            file.read_exact(&mut name)?;
            file.seek_relative(i64::from(two(30)) + i64::from(two(32)))?;
            if !head.starts_with(b"PK\x01\x02") || seen.contains(&name) {
                return Ok(String::from_utf8_lossy(&name).escape_debug().to_string());
            }
            seen.push(name);
        }
    };
    find().unwrap_or_else(|_| "an entry".to_owned())
}

fn refused(entry: &str, why: &str) -> Refused {
    Refused::Entry {
        entry: entry.to_owned(),
        why: why.to_owned(),
    }
}
