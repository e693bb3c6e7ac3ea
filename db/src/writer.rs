//! The writer thread: it owns the only writing connection and commits what waits in groups.
//!
//! An answer is given only after the commit was synced. A panic here ends the process: a server that reads on but saves
//! nothing would be worse.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, SyncSender, TrySendError, sync_channel};
use std::thread::JoinHandle;

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::Error;
use crate::error::failed;

/// At most so many writes share one commit.
const GROUP: usize = 256;
/// At most so many writes wait.
const WAITING: usize = 1_024;

/// One write in the queue: its work, what it gave, and where the answer goes.
pub(crate) trait Waiting: Send {
    /// Does the work inside the group's transaction.
    fn run(&mut self, tx: &Transaction<'_>) -> Result<(), Error>;
    /// Gives the answer, once it is known whether the group was committed.
    fn answer(self: Box<Self>, ended: Result<(), Error>);
}

/// A write with its work and its answer.
pub(crate) struct Write<W, T, A> {
    work: Option<W>,
    out: Option<T>,
    answer: A,
}

impl<W, T, A> Write<W, T, A> {
    pub(crate) fn new(work: W, answer: A) -> Self {
        Self {
            work: Some(work),
            out: None,
            answer,
        }
    }
}

impl<W, T, A> Waiting for Write<W, T, A>
where
    W: FnOnce(&Transaction<'_>) -> Result<T, Error> + Send,
    T: Send,
    A: FnOnce(Result<T, Error>) + Send,
{
    fn run(&mut self, tx: &Transaction<'_>) -> Result<(), Error> {
        if let Some(work) = self.work.take() {
            self.out = Some(work(tx)?);
        }
        Ok(())
    }

    fn answer(self: Box<Self>, ended: Result<(), Error>) {
        let Self { out, answer, .. } = *self;
        answer(ended.and_then(|()| out.ok_or(Error::Stopped)));
    }
}

/// The thread and the way to it.
#[derive(Debug)]
pub(crate) struct Writer {
    queue: Option<SyncSender<Box<dyn Waiting>>>,
    thread: Option<JoinHandle<()>>,
}

impl Writer {
    /// Starts it.
    pub(crate) fn start(mut connection: Connection) -> Result<Self, Error> {
        let (queue, waiting) = sync_channel(WAITING);
        let thread = std::thread::Builder::new()
            .name("writer".to_owned())
            .spawn(move || {
                let ran = catch_unwind(AssertUnwindSafe(|| write_all(&mut connection, &waiting)));
                if ran.is_err() {
                    std::process::abort();
                }
            })
            .map_err(|source| Error::File {
                doing: "start the writer",
                source,
            })?;
        Ok(Self {
            queue: Some(queue),
            thread: Some(thread),
        })
    }

    /// Queues a write and returns at once.
    pub(crate) fn queue(&self, write: Box<dyn Waiting>) -> Result<(), Error> {
        let queue = self.queue.as_ref().ok_or(Error::Stopped)?;
        queue.try_send(write).map_err(|error| match error {
            TrySendError::Full(_) => Error::Busy,
            TrySendError::Disconnected(_) => Error::Stopped,
        })
    }
}

impl Drop for Writer {
    /// Lets the queue run out, so that the connection is closed before the lock goes.
    fn drop(&mut self) {
        drop(self.queue.take());
        if let Some(thread) = self.thread.take()
            && thread.thread().id() != std::thread::current().id()
        {
            let _a_panic_there_has_aborted_already = thread.join();
        }
    }
}

/// Takes all that waits, again and again.
fn write_all(connection: &mut Connection, queue: &Receiver<Box<dyn Waiting>>) {
    while let Ok(first) = queue.recv() {
        let mut group = vec![first];
        group.extend(queue.try_iter().take(GROUP - 1));
        write_group(connection, group);
    }
}

/// One transaction with a savepoint each; commits, then answers.
pub(crate) fn write_group(connection: &mut Connection, group: Vec<Box<dyn Waiting>>) {
    let tx = match connection.transaction_with_behavior(TransactionBehavior::Immediate) {
        Ok(tx) => tx,
        Err(source) => {
            let error = failed("begin to write")(source);
            for write in group {
                write.answer(Err(error.again()));
            }
            return;
        }
    };
    let mut done = Vec::new();
    let mut refused = Vec::new();
    let mut lost = None;
    for mut write in group {
        if lost.is_some() {
            done.push(write);
            continue;
        }
        // A raw SAVEPOINT: rusqlite's own type for one is no Transaction, which the functions of this crate take.
        let step = tx
            .execute_batch("SAVEPOINT one")
            .map_err(failed("begin to write"))
            .and_then(|()| write.run(&tx));
        if tx.is_autocommit() {
            // SQLite gave up the whole transaction (disk full, I/O error): what was done before is gone too.
            lost = Some(step.err().map_or(Error::Stopped, |error| error.again()));
            done.push(write);
            continue;
        }
        let end = if step.is_ok() {
            "RELEASE one"
        } else {
            "ROLLBACK TO one; RELEASE one"
        };
        let ended = tx.execute_batch(end).map_err(failed("end a write"));
        match step.and(ended) {
            Ok(()) => done.push(write),
            Err(error) => refused.push((write, error)),
        }
    }
    let committed = match lost {
        None => tx.commit().map_err(failed("commit")),
        Some(error) => Err(error),
    };
    for (write, error) in refused {
        write.answer(Err(error));
    }
    for write in done {
        write.answer(match &committed {
            Ok(()) => Ok(()),
            Err(error) => Err(error.again()),
        });
    }
}
