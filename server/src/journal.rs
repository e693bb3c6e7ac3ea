//! What the server writes down about requests, for whoever looks after it: two files in the data folder's `log`.
//!
//! `requests.log` has a line for each answer, `security.log` one for each try to sign in, each phone shut out and each
//! request that a rule refused. Neither ever holds a cookie, a code, a body, what follows `?`, a name or a price: only
//! time, request, phone, route, status. A file grows to 10 MB, and four older ones are kept.

use std::fs::{File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use uuid::Uuid;

use crate::clock;

/// A file's size, at most, in bytes.
const SIZE: u64 = 10 * 1024 * 1024;
/// Files of one name: the one written to and the older ones.
const FILES: u32 = 5;

/// Both files.
#[derive(Debug)]
pub(crate) struct Journal {
    requests: Mutex<Rolled>,
    security: Mutex<Rolled>,
}

/// One answer.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Answered<'a> {
    pub(crate) request: Uuid,
    pub(crate) device: Option<Uuid>,
    pub(crate) method: &'a str,
    /// The route as the table has it; empty where there is none.
    pub(crate) pattern: &'a str,
    pub(crate) status: u16,
    pub(crate) ms: u128,
}

impl Journal {
    /// In a data folder.
    pub(crate) fn new(folder: &Path) -> Self {
        let in_folder = |name: &str| {
            Mutex::new(Rolled {
                path: folder.join("log").join(name),
                size: SIZE,
                open: None,
            })
        };
        Self {
            requests: in_folder("requests.log"),
            security: in_folder("security.log"),
        }
    }

    /// A line for an answer.
    pub(crate) fn answered(&self, of: Answered<'_>) {
        let line = format!(
            "{} {} phone {} {} {} {} {} ms\n",
            clock::now(),
            short(of.request),
            of.device.map_or("-".to_owned(), short),
            plain(of.method),
            if of.pattern.is_empty() {
                "-"
            } else {
                of.pattern
            },
            of.status,
            of.ms
        );
        write(&self.requests, &line);
    }

    /// A line for something that has to do with who may do what: `what` is a constant of ours.
    pub(crate) fn security(&self, what: &str, pattern: &str, device: Option<Uuid>) {
        let line = format!(
            "{} {what} phone {} {}\n",
            clock::now(),
            device.map_or("-".to_owned(), short),
            if pattern.is_empty() { "-" } else { pattern }
        );
        write(&self.security, &line);
    }
}

/// Tells one from another: the last eight signs, since an id begins with its time.
fn short(id: Uuid) -> String {
    let text = id.simple().to_string();
    text.get(24..).unwrap_or("").to_owned()
}

/// A client's own word: letters alone, and not many.
fn plain(word: &str) -> String {
    word.chars()
        .filter(char::is_ascii_alphabetic)
        .take(10)
        .collect()
}

/// A log that can't be written stops nothing: it is said on the console, once for each time that it fails anew.
fn write(file: &Mutex<Rolled>, line: &str) {
    let mut file = file.lock().unwrap_or_else(PoisonError::into_inner);
    if let Err(error) = file.write(line) {
        tracing::warn!("{} can't be written: {error}", file.path.display());
    }
}

/// A file that begins anew when it is full.
#[derive(Debug)]
struct Rolled {
    path: PathBuf,
    size: u64,
    open: Option<(File, u64)>,
}

impl Rolled {
    fn write(&mut self, line: &str) -> io::Result<()> {
        let more = line.len() as u64;
        let mut open = match self.open.take() {
            Some(open) => open,
            None => self.begin()?,
        };
        if open.1 > 0 && open.1 + more > self.size {
            self.roll()?;
            open = self.begin()?;
        }
        open.0.write_all(line.as_bytes())?;
        open.1 += more;
        self.open = Some(open);
        Ok(())
    }

    /// Opens it, with its size as it is.
    fn begin(&self) -> io::Result<(File, u64)> {
        if let Some(folder) = self.path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        let file = private(&self.path)?;
        let is = file.metadata()?.len();
        Ok((file, is))
    }

    /// `x.log` becomes `x.log.1`, that `x.log.2`, and the last one goes.
    fn roll(&self) -> io::Result<()> {
        for n in (1..FILES).rev() {
            let from = if n == 1 {
                self.path.clone()
            } else {
                self.older(n - 1)
            };
            match std::fs::rename(&from, self.older(n)) {
                Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        Ok(())
    }

    fn older(&self, n: u32) -> PathBuf {
        let mut path = self.path.clone().into_os_string();
        path.push(format!(".{n}"));
        path.into()
    }
}

/// Opens a file to add to, readable by its owner alone.
fn private(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.create(true).append(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_file_begins_anew_and_four_older_ones_are_kept() {
        let folder = std::env::temp_dir().join(format!("scantling-log-{}", clock::new_id()));
        let mut log = Rolled {
            path: folder.join("x.log"),
            size: 20,
            open: None,
        };
        for n in 0..14 {
            log.write(&format!("line {n:02}\n")).unwrap();
        }
        let text = |name: &str| std::fs::read_to_string(folder.join(name));
        assert_eq!(text("x.log").unwrap(), "line 12\nline 13\n");
        assert_eq!(text("x.log.1").unwrap(), "line 10\nline 11\n");
        assert_eq!(text("x.log.4").unwrap(), "line 04\nline 05\n");
        assert!(text("x.log.5").is_err());
        // Opened again, it goes on where it was.
        log.open = None;
        log.write("line 14\n").unwrap();
        assert_eq!(text("x.log.1").unwrap(), "line 12\nline 13\n");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let mode = std::fs::metadata(folder.join("x.log"))
                .unwrap()
                .permissions();
            assert_eq!(mode.mode() & 0o777, 0o600);
        }
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn a_method_that_a_client_made_up_breaks_no_line() {
        assert_eq!(plain("GET\nPAIRED"), "GETPAIRED");
        assert_eq!(plain("VERYLONGMETHODNAME"), "VERYLONGME");
    }
}
