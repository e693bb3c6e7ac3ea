//! The lock on the data folder: one server, restore or console command at a time.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;

use crate::Error;

/// Takes the lock and writes this process's number into it; it holds as long as the file is kept.
pub(crate) fn take(folder: &Path) -> Result<File, Error> {
    let file = |doing| move |source| Error::File { doing, source };
    let mut lock = OpenOptions::new()
        .read(true)
        .write(true)
        .create(true)
        .truncate(false)
        .open(folder.join("lock"))
        .map_err(file("open the file lock in the data folder"))?;
    match lock.try_lock() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => {
            let mut holder = String::new();
            let known = lock.read_to_string(&mut holder).is_ok() && !holder.trim().is_empty();
            return Err(Error::Locked {
                holder: if known {
                    holder.trim().to_owned()
                } else {
                    "?".to_owned()
                },
            });
        }
        Err(TryLockError::Error(source)) => {
            return Err(file("lock the data folder")(source));
        }
    }
    lock.set_len(0)
        .and_then(|()| lock.rewind())
        .and_then(|()| writeln!(lock, "{}", std::process::id()))
        .and_then(|()| lock.flush())
        .map_err(file("write into the file lock in the data folder"))?;
    Ok(lock)
}
