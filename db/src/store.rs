//! The store: one data folder with its lock, writer and readers; or a store in memory for one command.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::mpsc::sync_channel;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use rusqlite::{Connection, OpenFlags, Transaction};

use crate::error::failed;
use crate::pictures::Pictures;
use crate::writer::{Write, Writer, write_group};
use crate::{Error, lock, migrate, people, settings};

/// The database's file in the data folder.
const FILE: &str = "scantling.db";
/// So many readers at once; more wait.
const READERS: usize = 4;

/// The database.
#[derive(Debug)]
pub struct Db {
    inner: Inner,
}

#[derive(Debug)]
enum Inner {
    /// The order matters: the writer stops before the lock goes.
    Folder {
        writer: Writer,
        readers: Readers,
        pictures: Pictures,
        _lock: File,
    },
    Reader {
        readers: Readers,
        pictures: Pictures,
    },
    Memory(Mutex<Connection>),
}

impl Db {
    /// Opens the data folder, takes its lock, makes or migrates the database and starts the writer.
    ///
    /// # Errors
    /// A folder that is in use, a file that can't be opened, is newer or foreign, or won't hold its settings.
    pub fn open(folder: &Path) -> Result<Self, Error> {
        settings::check_version()?;
        let lock = lock::take(folder)?;
        let path = folder.join(FILE);
        let mut connection = Connection::open(&path).map_err(failed("open the database"))?;
        migrate::check(&connection)?;
        settings::writer(&connection, "wal")?;
        migrate::run(&mut connection)?;
        people::mark(&mut connection)?;
        Ok(Self {
            inner: Inner::Folder {
                writer: Writer::start(connection)?,
                readers: Readers::new(path),
                pictures: Pictures::of(folder),
                _lock: lock,
            },
        })
    }

    /// Opens the data folder for reading alone, beside a running server: no lock, no writer.
    ///
    /// # Errors
    /// A folder without a database, and one that is newer, older or foreign.
    pub fn open_reader(folder: &Path) -> Result<Self, Error> {
        settings::check_version()?;
        let path = folder.join(FILE);
        std::fs::metadata(&path).map_err(|source| Error::File {
            doing: "find a database in the data folder",
            source,
        })?;
        let readers = Readers::new(path);
        let reader = readers.borrow()?;
        if let Some(connection) = &reader.connection {
            migrate::check_whole(connection)?;
        }
        drop(reader);
        Ok(Self {
            inner: Inner::Reader {
                readers,
                pictures: Pictures::of(folder),
            },
        })
    }

    /// A store in memory, for a command on a job file.
    ///
    /// # Errors
    /// None is expected; those of SQLite.
    pub fn in_memory() -> Result<Self, Error> {
        settings::check_version()?;
        let mut connection =
            Connection::open_in_memory().map_err(failed("open a store in memory"))?;
        settings::writer(&connection, "memory")?;
        migrate::run(&mut connection)?;
        people::mark(&mut connection)?;
        Ok(Self {
            inner: Inner::Memory(Mutex::new(connection)),
        })
    }

    /// The pictures of the data folder; none for a store in memory.
    pub fn pictures(&self) -> Option<&Pictures> {
        match &self.inner {
            Inner::Folder { pictures, .. } | Inner::Reader { pictures, .. } => Some(pictures),
            Inner::Memory(_) => None,
        }
    }

    /// Reads, on a connection that can't write. Read out what is wanted and return: no rendering inside.
    ///
    /// # Errors
    /// Those of `work`, and of opening a reader.
    pub fn read<T>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let on = |connection: &mut Connection| {
            let tx = connection.transaction().map_err(failed("begin to read"))?;
            work(&tx)
        };
        match &self.inner {
            Inner::Folder { readers, .. } | Inner::Reader { readers, .. } => {
                let mut reader = readers.borrow()?;
                match &mut reader.connection {
                    Some(connection) => on(connection),
                    None => Err(Error::Stopped),
                }
            }
            Inner::Memory(connection) => on(&mut held(connection)),
        }
    }

    /// Queues `work` for the writer and returns at once; `answer` is called when its group was committed, or not.
    /// `answer` runs on the writer thread: it hands the result on and does nothing else.
    ///
    /// # Errors
    /// A full queue, and a store without a writer: then `answer` is never called.
    pub fn submit<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, Error> + Send + 'static,
        answer: impl FnOnce(Result<T, Error>) + Send + 'static,
    ) -> Result<(), Error> {
        let write = Box::new(Write::new(work, answer));
        match &self.inner {
            Inner::Folder { writer, .. } => writer.queue(write),
            Inner::Reader { .. } => Err(Error::ReadsOnly),
            Inner::Memory(connection) => {
                write_group(&mut held(connection), vec![write]);
                Ok(())
            }
        }
    }

    /// Writes and waits: for the command line and tests, never on an async thread.
    ///
    /// # Errors
    /// Those of `work`, a full queue, and a commit that failed: then nothing was written.
    pub fn write<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, Error> + Send + 'static,
    ) -> Result<T, Error> {
        let (answer, answered) = sync_channel(1);
        self.submit(work, move |out| {
            let _nobody_waits_any_more_is_fine = answer.send(out);
        })?;
        answered.recv().map_err(|_| Error::Stopped)?
    }
}

/// Reading connections: made when first needed, lent one by one.
#[derive(Debug)]
struct Readers {
    path: PathBuf,
    idle: Mutex<Idle>,
    back: Condvar,
}

#[derive(Debug, Default)]
struct Idle {
    connections: Vec<Connection>,
    n_lent: usize,
}

/// A lent connection; it goes back when dropped.
struct Lent<'a> {
    readers: &'a Readers,
    connection: Option<Connection>,
}

impl Readers {
    fn new(path: PathBuf) -> Self {
        Self {
            path,
            idle: Mutex::default(),
            back: Condvar::new(),
        }
    }

    fn borrow(&self) -> Result<Lent<'_>, Error> {
        let mut idle = self
            .back
            .wait_while(held(&self.idle), |idle| idle.n_lent >= READERS)
            .unwrap_or_else(PoisonError::into_inner);
        idle.n_lent += 1;
        let connection = idle.connections.pop();
        drop(idle);
        let mut lent = Lent {
            readers: self,
            connection,
        };
        if lent.connection.is_none() {
            lent.connection = Some(self.open()?);
        }
        Ok(lent)
    }

    fn open(&self) -> Result<Connection, Error> {
        let connection = Connection::open_with_flags(
            &self.path,
            OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX,
        )
        .map_err(failed("open the database for reading"))?;
        settings::reader(&connection)?;
        Ok(connection)
    }
}

impl Drop for Lent<'_> {
    fn drop(&mut self) {
        let mut idle = held(&self.readers.idle);
        idle.n_lent -= 1;
        idle.connections.extend(self.connection.take());
        drop(idle);
        self.readers.back.notify_one();
    }
}

/// What a lock guards; a panic elsewhere leaves connections and counts whole.
fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
