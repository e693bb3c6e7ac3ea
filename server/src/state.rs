//! What handlers share, and the only bridge to the database.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::time::{Duration, SystemTime};

use actix_web::web;
use scantling_db::{Db, Error, Pictures, Tx};
use scantling_takeoff::record::Job;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use uuid::Uuid;

use crate::error::HttpError;
use crate::journal::Journal;
use crate::limits::{Limits, Rates};

/// A half picture of this age is on its way no more.
const LEFT_BEHIND: Duration = Duration::from_secs(3600);

/// How long a stopping server waits for threads that still read or write.
const LET_GO: Duration = Duration::from_secs(10);

/// Shared by all handlers.
#[derive(Clone)]
pub(crate) struct State {
    db: Arc<Db>,
    site: Arc<Site>,
    rates: Arc<Rates>,
    limits: Limits,
    journal: Arc<Journal>,
    /// Pictures are decoded one at a time.
    decoding: Arc<Semaphore>,
    /// Jobs as last read, by their revision: reading one anew takes longer than the takeoff itself.
    jobs: Arc<Mutex<Cache>>,
}

/// Where the server is reached.
#[derive(Debug, Default)]
pub(crate) struct Site {
    /// The one address for life.
    pub(crate) origin: String,
    /// Host and port of its other names: pages asked for there lead to the one.
    pub(crate) others: RwLock<Vec<String>>,
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
            site: Arc::default(),
            rates: Arc::new(Rates::new(Limits::default())),
            limits: Limits::default(),
            journal: Arc::new(Journal::new(folder)),
            decoding: Arc::new(Semaphore::new(1)),
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

    pub(crate) fn at(self, site: Site, limits: Limits) -> Self {
        Self {
            site: Arc::new(site),
            rates: Arc::new(Rates::new(limits)),
            limits,
            ..self
        }
    }

    /// The one address for life: `http://127.0.0.1:8080`.
    pub(crate) fn origin(&self) -> &str {
        &self.site.origin
    }

    /// Its host and port.
    pub(crate) fn authority(&self) -> &str {
        self.site
            .origin
            .split_once("://")
            .map_or("", |(_, authority)| authority)
    }

    /// Whether it is reached through TLS.
    pub(crate) fn is_secure(&self) -> bool {
        self.site.origin.starts_with("https://")
    }

    /// Whether this host and port lead here too.
    pub(crate) fn is_another_name(&self, authority: &str) -> bool {
        let others = self.site.others.read();
        let others = others.unwrap_or_else(PoisonError::into_inner);
        others.iter().any(|other| other == authority)
    }

    /// Its names as they are by now.
    pub(crate) fn rename(&self, others: Vec<String>) {
        *self
            .site
            .others
            .write()
            .unwrap_or_else(PoisonError::into_inner) = others;
    }

    pub(crate) fn rates(&self) -> &Rates {
        &self.rates
    }

    pub(crate) fn limits(&self) -> &Limits {
        &self.limits
    }

    /// What is written down about requests.
    pub(crate) fn journal(&self) -> &Journal {
        &self.journal
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

    /// The right to decode a picture, until it is dropped.
    pub(crate) async fn decoding(&self) -> Result<OwnedSemaphorePermit, HttpError> {
        Arc::clone(&self.decoding)
            .acquire_owned()
            .await
            .map_err(|_| HttpError::Broken("nobody may decode a picture any more"))
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
