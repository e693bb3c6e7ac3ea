//! What handlers share, and the only bridge to the database.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use actix_web::web;
use scantling_db::{Db, Error, Pictures, Tx};
use scantling_takeoff::record::Job;
use uuid::Uuid;

use crate::error::HttpError;

/// A half picture of this age is on its way no more.
const LEFT_BEHIND: Duration = Duration::from_secs(3600);

/// How long a stopping server waits for threads that still read or write.
const LET_GO: Duration = Duration::from_secs(10);

/// Shared by all handlers.
#[derive(Clone)]
pub(crate) struct State {
    db: Arc<Db>,
    origin: String,
    /// Jobs as last read, by their revision: reading one anew takes longer than the takeoff itself.
    jobs: Arc<Mutex<Cache>>,
}

type Cache = BTreeMap<Uuid, (i64, Arc<Job>)>;

impl State {
    pub(crate) fn open(folder: &Path) -> Result<Self, Error> {
        let db = crate::folder::open(folder)?;
        if let Some(pictures) = db.pictures() {
            let n_swept = pictures.sweep(SystemTime::now() - LEFT_BEHIND)?;
            if n_swept > 0 {
                tracing::warn!(n_swept, "swept half pictures that an earlier run left");
            }
        }
        Ok(Self {
            db: Arc::new(db),
            origin: String::new(),
            jobs: Arc::default(),
        })
    }

    /// Waits until no other thread holds the store, then closes it: the data folder can be opened again.
    pub(crate) fn close(self) {
        const STEP: Duration = Duration::from_millis(5);
        let mut waited = Duration::ZERO;
        while Arc::strong_count(&self.db) > 1 && waited < LET_GO {
            std::thread::sleep(STEP);
            waited += STEP;
        }
    }

    pub(crate) fn with_origin(self, origin: &str) -> Self {
        Self {
            origin: origin.to_owned(),
            ..self
        }
    }

    pub(crate) fn origin(&self) -> &str {
        &self.origin
    }

    pub(crate) fn db(&self) -> &Db {
        &self.db
    }

    /// A job as it stands; `NotFound` where there is none.
    pub(crate) async fn job(&self, id: Uuid) -> Result<Arc<Job>, HttpError> {
        let known = self
            .jobs
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .get(&id)
            .cloned();
        let found = self
            .read(move |tx| {
                let rev = scantling_db::job_rev(tx, id)?;
                match known {
                    Some((at, job)) if Some(at) == rev => Ok(Some((at, job))),
                    _ => Ok(scantling_db::read_job(tx, id)?.map(|(job, rev)| (rev, Arc::new(job)))),
                }
            })
            .await?;
        let (rev, job) = found.ok_or(HttpError::NotFound)?;
        self.jobs
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .insert(id, (rev, Arc::clone(&job)));
        Ok(job)
    }

    /// Works on the pictures of the data folder, off the threads that answer.
    pub(crate) async fn pictures<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Pictures) -> Result<T, Error> + Send + 'static,
    ) -> Result<T, HttpError> {
        let db = Arc::clone(&self.db);
        Ok(web::block(move || match db.pictures() {
            Some(pictures) => work(pictures),
            None => Err(Error::ReadsOnly),
        })
        .await
        .map_err(|_| HttpError::Broken("a thread at the pictures ended"))??)
    }

    pub(crate) async fn read<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Tx<'_>) -> Result<T, Error> + Send + 'static,
    ) -> Result<T, HttpError> {
        let db = Arc::clone(&self.db);
        Ok(web::block(move || db.read(work))
            .await
            .map_err(|_| HttpError::Broken("a reading thread ended"))??)
    }

    pub(crate) async fn write<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Tx<'_>) -> Result<T, Error> + Send + 'static,
    ) -> Result<T, HttpError> {
        let (answer, answered) = tokio::sync::oneshot::channel();
        self.db.submit(work, move |out| {
            let _the_client_left_is_fine = answer.send(out);
        })?;
        Ok(answered
            .await
            .map_err(|_| HttpError::Broken("the writer ended"))??)
    }
}
