//! In: everything is looked at before anything is kept. Nothing is unpacked to disk: pictures are read twice, once to be
//! judged and once to be kept, one in memory at a time.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::Path;

use scantling_db::{Pictures, sha256_hex};
use scantling_takeoff::record::JobFile;
use scantling_takeoff::record::job_file::PICTURE_BYTES;
use thiserror::Error;
use zip::{CompressionMethod, ZipArchive};

use super::name::{self, Name};
use super::{JOB, JOB_BYTES, Limits, PART_BYTES, headers, parts};
use crate::files::picture;

/// Why a zip is not taken. Each says which entry.
#[derive(Debug, Error)]
pub(crate) enum Refused {
    /// It can't be opened.
    #[error("the zip can't be read: {0}")]
    Unreadable(String),
    /// Its list of contents, which stands at its end, is missing or damaged.
    #[error(
        "the zip can't be read; it is cut off or damaged: its list of contents at the end is missing or broken, and {ends}. Copy it again from where it is whole."
    )]
    CutOff {
        /// Which entry it ends with, as words.
        ends: String,
        /// What the reader says.
        #[source]
        source: zip::result::ZipError,
    },
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
    archive: Archive,
    /// Its pictures: where each is in the archive, and its hash.
    pictures: Vec<(usize, String)>,
}

/// Opens a zip and looks at all of it.
pub(crate) fn open(path: &Path, limits: Limits) -> Result<Zipped, Refused> {
    let file = File::open(path).map_err(|error| Refused::Unreadable(error.to_string()))?;
    let mut archive = ZipArchive::new(BufReader::new(file)).map_err(|source| {
        let ends = match headers::last_entry(path) {
            Ok(Some(name)) => format!("the last entry that is begun is {}", shown(&name)),
            _ => "no entry is begun".to_owned(),
        };
        Refused::CutOff { ends, source }
    })?;
    if archive.len() > limits.entries {
        let first_over = archive.file_names_raw().nth(limits.entries).unwrap_or(b"");
        return Err(refused(
            &shown(first_over),
            &format!(
                "it is entry {} of {}; a job's zip has at most {}",
                limits.entries + 1,
                archive.len(),
                limits.entries
            ),
        ));
    }
    if archive.has_duplicate_names() {
        let name = headers::twice(path, archive.central_directory_start());
        let name = name.map_or_else(|_| "an entry".to_owned(), |name| shown(&name));
        return Err(refused(&name, "the zip holds it twice"));
    }
    for at in 0..archive.len() {
        about(&archive, at)?;
    }
    apart(&mut archive)?;
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
    /// The hashes of its pictures.
    pub(crate) fn hashes(&self) -> impl Iterator<Item = &String> {
        self.pictures.iter().map(|(_, sha256)| sha256)
    }

    /// Keeps those of its pictures whose hashes are wanted. They are looked at again: the file may have been changed
    /// meanwhile.
    ///
    /// # Errors
    /// What the disk says, and a picture that is not what it was.
    pub(crate) fn keep(
        mut self,
        kept: &Pictures,
        wanted: &BTreeSet<String>,
    ) -> Result<(), scantling_db::Error> {
        let pictures = self.pictures.into_iter();
        for (at, sha256) in pictures.filter(|(_, sha256)| wanted.contains(sha256)) {
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

type Archive = ZipArchive<BufReader<File>>;

/// What an archive holds.
#[derive(Default)]
struct Held {
    job: Option<Vec<u8>>,
    /// By hash: where it is, its name, and what it is.
    pictures: BTreeMap<String, (usize, String, picture::Picture)>,
    /// By name, the hash of what it holds.
    orders: BTreeMap<String, String>,
}

/// What the list of contents says of an entry that may be looked at.
struct About {
    /// Its name as it is shown.
    said: String,
    is: Name,
    /// Bytes unpacked.
    size: u64,
}

/// Reads that: its name, its kind, and that it isn't locked or packed in a way that is not read.
fn about(archive: &Archive, at: usize) -> Result<About, Refused> {
    let entry = archive
        .by_index_data(at)
        .map_err(|error| Refused::Unreadable(error.to_string()))?;
    let said = shown(entry.name_raw());
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
    let size = entry.size();
    Ok(About { said, is, size })
}

/// Whether each entry has bytes of its own, its header among them: a bomb's entries share theirs.
fn apart(archive: &mut Archive) -> Result<(), Refused> {
    let mut places = Vec::with_capacity(archive.len());
    for at in 0..archive.len() {
        let said = about(archive, at)?.said;
        let entry = archive.by_index_raw(at).map_err(|error| {
            refused(&said, &format!("its header in the zip is damaged: {error}"))
        })?;
        let from = entry.header_start();
        let upto = entry
            .data_start()
            .and_then(|start| start.checked_add(entry.compressed_size()));
        places.push((from, upto.unwrap_or(u64::MAX), said));
    }
    places.sort();
    let ends = archive.central_directory_start();
    for (at, (_, upto, said)) in places.iter().enumerate() {
        let next = places.get(at + 1);
        if let Some((_, _, other)) = next.filter(|(from, ..)| upto > from) {
            return Err(refused(
                other,
                &format!("its bytes lie over those of {said}"),
            ));
        }
        if *upto > ends {
            return Err(refused(
                said,
                "its bytes reach into the zip's list of contents",
            ));
        }
    }
    Ok(())
}

/// Looks into every entry: how far it unpacks, whether a picture is what its name says.
fn look(archive: &mut Archive, limits: Limits) -> Result<Held, Refused> {
    let mut held = Held::default();
    let mut left = limits.bytes;
    for at in 0..archive.len() {
        let About {
            said,
            is,
            size: declared,
        } = about(archive, at)?;
        let refused = |why: &str| refused(&said, why);
        let mut entry = archive
            .by_index(at)
            .map_err(|error| refused(&format!("it can't be unpacked: {error}")))?;
        let most = match is {
            Name::Picture(..) => u64::from(PICTURE_BYTES),
            Name::Order | Name::Readme => PART_BYTES,
            Name::Job => JOB_BYTES,
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
        if size != declared {
            return Err(refused(&format!(
                "it has {size} bytes, and the zip says {declared}"
            )));
        }
        left -= size;
        match is {
            Name::Readme => {}
            Name::Job => held.job = Some(bytes),
            Name::Order => drop(held.orders.insert(said.clone(), sha256_hex(&bytes))),
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
    let declared = match end {
        "jpg" => "image/jpeg",
        "heic" => "image/heic",
        "webp" => "image/webp",
        _ => "image/png",
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
            Some(hash) if *hash != sha256_hex(&part.bytes) => {
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

/// A name as it is shown.
fn shown(name: &[u8]) -> String {
    String::from_utf8_lossy(name).escape_debug().to_string()
}

fn refused(entry: &str, why: &str) -> Refused {
    Refused::Entry {
        entry: entry.to_owned(),
        why: why.to_owned(),
    }
}
