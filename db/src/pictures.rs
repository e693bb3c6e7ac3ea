//! The files of pictures in the data folder, each under the hash of what it holds: `photos/ab/cd/<sha256>`.
//!
//! A picture is written under a temporary name beside its place, synced, renamed, and its folder synced; only then may
//! its row be written ([`crate::add_picture`]). So a row never names a half file, and what a kill leaves behind is a
//! temporary file that the next start sweeps, or a whole file that no row names. Files never change: one that does is
//! damaged, and is said to be so.

use std::collections::BTreeSet;
use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, ErrorKind, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::SystemTime;

use crate::Error;
use crate::people::sha256_hex;

/// The folder of pictures in the data folder.
const FOLDER: &str = "photos";
/// What a temporary file ends in.
const PART: &str = "part";

/// What stands under a hash.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// The picture's bytes.
    Whole(Vec<u8>),
    /// Something else: the file was changed or cut by the disk or by somebody.
    Damaged,
    /// Nothing.
    Missing,
}

/// The pictures of a data folder.
#[derive(Clone, Debug)]
pub struct Pictures {
    folder: PathBuf,
    /// Hashes that were found right since start.
    checked: Arc<Mutex<BTreeSet<String>>>,
}

impl Pictures {
    pub(crate) fn of(data: &Path) -> Self {
        Self {
            folder: data.join(FOLDER),
            checked: Arc::default(),
        }
    }

    /// Keeps a picture and gives its hash. When this returns, it is on disk. One that is there already and whole stays
    /// as it is.
    ///
    /// # Errors
    /// [`Error::DiskFull`], else [`Error::NotSaving`]; then nothing is kept.
    pub fn keep(&self, bytes: &[u8]) -> Result<String, Error> {
        let sha256 = sha256_hex(bytes);
        let place = self.place(&sha256);
        let folder = place.parent().unwrap_or(&self.folder);
        if fs::read(&place).is_ok_and(|there| there == bytes) {
            // Its name may be younger than the last sync of its folder.
            self.make(folder).and_then(|()| sync_folder(folder))
        } else {
            self.make(folder)
                .and_then(|()| write(folder, &place, bytes))
        }
        .map_err(|error| not_saved(&error))?;
        Ok(sha256)
    }

    /// Makes a folder two below that of pictures, and makes its name last.
    fn make(&self, folder: &Path) -> io::Result<()> {
        let mut builder = DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        let middle = folder.parent().unwrap_or(&self.folder);
        for made in [self.folder.as_path(), middle, folder] {
            match builder.create(made) {
                Err(error) if error.kind() != ErrorKind::AlreadyExists => return Err(error),
                _ => made.parent().map_or(Ok(()), sync_folder)?,
            }
        }
        Ok(())
    }

    /// Reads a picture. The first time since start its hash is worked out anew.
    ///
    /// # Errors
    /// A file that is there and can't be read.
    pub fn read(&self, sha256: &str) -> Result<Found, Error> {
        if self.checked().contains(sha256) {
            Ok(self.bytes(sha256)?.map_or(Found::Missing, Found::Whole))
        } else {
            self.read_anew(sha256)
        }
    }

    /// Reads a picture, its hash worked out anew whenever it was before: for what leaves, and for what is to be put right.
    ///
    /// # Errors
    /// A file that is there and can't be read.
    pub fn read_anew(&self, sha256: &str) -> Result<Found, Error> {
        let found = match self.bytes(sha256)? {
            None => Found::Missing,
            Some(bytes) if sha256_hex(&bytes) == sha256 => Found::Whole(bytes),
            Some(_) => Found::Damaged,
        };
        if matches!(found, Found::Whole(_)) {
            self.checked().insert(sha256.to_owned());
        } else {
            self.checked().remove(sha256);
        }
        Ok(found)
    }

    fn checked(&self) -> MutexGuard<'_, BTreeSet<String>> {
        self.checked.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What the file under a hash holds; none where there is no file.
    fn bytes(&self, sha256: &str) -> Result<Option<Vec<u8>>, Error> {
        match fs::read(self.place(sha256)) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(source) => Err(Error::File {
                doing: "read a picture",
                source,
            }),
        }
    }

    /// A smaller copy of the picture under this hash, if one was kept. Copies can be made again: nothing rests on them.
    ///
    /// # Errors
    /// A file that is there and can't be read.
    pub fn copy(&self, sha256: &str, side_px: u32) -> Result<Option<Vec<u8>>, Error> {
        match fs::read(self.place_of_copy(sha256, side_px)) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(source) => Err(Error::File {
                doing: "read a copy of a picture",
                source,
            }),
        }
    }

    /// Keeps a smaller copy beside the picture.
    ///
    /// # Errors
    /// [`Error::DiskFull`], else [`Error::NotSaving`]; then nothing is kept.
    pub fn keep_copy(&self, sha256: &str, side_px: u32, bytes: &[u8]) -> Result<(), Error> {
        let place = self.place_of_copy(sha256, side_px);
        let folder = place.parent().unwrap_or(&self.folder);
        self.make(folder)
            .and_then(|()| write(folder, &place, bytes))
            .map_err(|error| not_saved(&error))
    }

    fn place_of_copy(&self, sha256: &str, side_px: u32) -> PathBuf {
        self.place(sha256).with_extension(format!("{side_px}.jpg"))
    }

    /// Takes away temporary files that were last written before a moment; gives how many.
    ///
    /// # Errors
    /// A folder that can't be read, a file that can't be taken away.
    pub fn sweep(&self, before: SystemTime) -> Result<usize, Error> {
        let mut n_swept = 0;
        let mut swept = || -> io::Result<()> {
            for first in entries(&self.folder)? {
                for second in entries(&first)? {
                    for file in entries(&second)? {
                        let is_part = file.extension().is_some_and(|end| end == PART);
                        if is_part && fs::metadata(&file)?.modified()? < before {
                            fs::remove_file(&file)?;
                            n_swept += 1;
                        }
                    }
                }
            }
            Ok(())
        };
        swept().map_err(|source| Error::File {
            doing: "sweep what a kill left among the pictures",
            source,
        })?;
        Ok(n_swept)
    }

    fn place(&self, sha256: &str) -> PathBuf {
        let part = |from: usize| sha256.get(from..from + 2).unwrap_or("00");
        self.folder.join(part(0)).join(part(2)).join(sha256)
    }
}

/// Writes a file under a temporary name beside its place, then gives it its own.
fn write(folder: &Path, place: &Path, bytes: &[u8]) -> io::Result<()> {
    static NUMBER: AtomicU32 = AtomicU32::new(0);
    let number = NUMBER.fetch_add(1, Ordering::Relaxed);
    let part = place.with_extension(format!("{}-{number}.{PART}", std::process::id()));
    let written = owners_file(&part)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&part, place))
        .and_then(|()| sync_folder(folder));
    if written.is_err() {
        let _it_may_never_have_been_made = fs::remove_file(&part);
    }
    written
}

/// What is in a folder; nothing where there is none.
fn entries(folder: &Path) -> io::Result<Vec<PathBuf>> {
    match fs::read_dir(folder) {
        Ok(all) => all.map(|one| one.map(|one| one.path())).collect(),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
            Ok(Vec::new())
        }
        Err(error) => Err(error),
    }
}

/// A new file that its owner alone can read.
fn owners_file(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Makes the names in a folder last. Elsewhere than on Unix a folder can't be opened for that.
fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) {
        File::open(folder)?.sync_all()
    } else {
        Ok(())
    }
}

fn not_saved(error: &io::Error) -> Error {
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Error::DiskFull,
        _ => Error::NotSaving(error.to_string()),
    }
}
