//! Starting and stopping the server; used by the command line and by tests.

use std::net::{Ipv4Addr, TcpListener};
use std::path::PathBuf;

use actix_web::dev::ServerHandle;
use actix_web::middleware::{Compress, from_fn};
use actix_web::{App, HttpResponse, HttpServer, web};
use thiserror::Error;

use crate::error::HttpError;
use crate::state::State;
use crate::{gate, router, session};

/// Where and how to serve.
#[derive(Clone, Debug)]
pub struct Config {
    /// The data folder; made if it isn't there.
    pub folder: PathBuf,
    /// The port on loopback; 0 takes a free one.
    pub port: u16,
}

/// Why the server did not start.
#[derive(Debug, Error)]
pub enum StartError {
    /// The data folder or the database.
    #[error("the data folder can't be used")]
    Data(#[from] scantling_db::Error),
    /// The port.
    #[error("port {port} on loopback can't be used")]
    Port {
        /// Which.
        port: u16,
        /// Why.
        #[source]
        source: std::io::Error,
    },
    /// The serving thread.
    #[error("the server could not be run")]
    Serve(#[source] std::io::Error),
    /// No sign-in code could be made.
    #[error("no sign-in code could be made: {0}")]
    Code(String),
}

/// A running server.
pub struct Running {
    /// Its address: `http://127.0.0.1:8080`.
    pub origin: String,
    handle: ServerHandle,
    thread: Option<std::thread::JoinHandle<std::io::Result<()>>>,
    state: State,
}

impl Running {
    /// A fresh one-time sign-in code for the lead.
    ///
    /// # Errors
    /// What the database says.
    pub fn fresh_code(&self) -> Result<String, StartError> {
        self.codes().fresh()
    }

    /// What makes sign-in codes, for a thread of its own.
    pub fn codes(&self) -> Codes {
        Codes(self.state.clone())
    }

    /// Stops serving, waits for the end and lets the data folder go.
    ///
    /// # Errors
    /// What ended the serving thread.
    pub fn stop(mut self) -> Result<(), StartError> {
        drop(self.handle.stop(true));
        let ended = match self.thread.take() {
            Some(thread) => thread.join().unwrap_or(Ok(())).map_err(StartError::Serve),
            None => Ok(()),
        };
        self.state.close();
        ended
    }

    /// Waits until the server ends by itself or by a signal.
    ///
    /// # Errors
    /// What ended the serving thread.
    pub fn wait(mut self) -> Result<(), StartError> {
        match self.thread.take() {
            Some(thread) => thread.join().unwrap_or(Ok(())).map_err(StartError::Serve),
            None => Ok(()),
        }
    }
}

/// Makes sign-in codes of a running server.
#[derive(Clone)]
pub struct Codes(State);

impl Codes {
    /// A fresh one-time code for the lead.
    ///
    /// # Errors
    /// What the database says.
    pub fn fresh(&self) -> Result<String, StartError> {
        session::fresh_code(&self.0).map_err(|error| StartError::Code(error.to_string()))
    }
}

/// Opens the data folder, binds loopback and serves in a thread of its own.
///
/// # Errors
/// What can't be opened, bound or run.
pub fn start(config: &Config) -> Result<Running, StartError> {
    let state = State::open(&config.folder)?;
    let failed = |source| StartError::Port {
        port: config.port,
        source,
    };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, config.port)).map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    let origin = format!("http://127.0.0.1:{port}");
    let state = state.with_origin(&origin);
    let data = web::Data::new(state.clone());
    let (tell, told) = std::sync::mpsc::channel();
    let thread = std::thread::Builder::new()
        .name("server".to_owned())
        .spawn(move || {
            actix_web::rt::System::new().block_on(async move {
                let server = HttpServer::new(move || {
                    App::new()
                        .app_data(data.clone())
                        .app_data(
                            web::FormConfig::default()
                                .limit(FORM_LIMIT)
                                .error_handler(|error, _| form_error(&error).into()),
                        )
                        .app_data(
                            web::PathConfig::default()
                                .error_handler(|_, _| HttpError::NotFound.into()),
                        )
                        .app_data(web::QueryConfig::default().error_handler(|_, _| {
                            HttpError::BadInput(
                                "The address has something after ? that can’t be read.".to_owned(),
                            )
                            .into()
                        }))
                        .app_data(web::PayloadConfig::new(FILE_LIMIT))
                        .wrap(Compress::default())
                        .wrap(from_fn(gate::gate))
                        .configure(router::register)
                        .default_service(web::to(|| async {
                            Err::<HttpResponse, _>(HttpError::NotFound)
                        }))
                })
                .workers(2)
                .client_request_timeout(std::time::Duration::from_secs(5))
                .keep_alive(std::time::Duration::from_secs(15))
                .shutdown_timeout(5)
                .listen(listener)?
                .run();
                let _the_starter_waits = tell.send(server.handle());
                server.await
            })
        })
        .map_err(StartError::Serve)?;
    let Ok(handle) = told.recv() else {
        return Err(StartError::Serve(std::io::Error::other(
            "the server ended before it was ready",
        )));
    };
    Ok(Running {
        origin,
        handle,
        thread: Some(thread),
        state,
    })
}

/// A form's body, at most.
const FORM_LIMIT: usize = 64 * 1024;
/// A file's body, at most.
const FILE_LIMIT: usize = 5 * 1024 * 1024;

fn form_error(error: &actix_web::error::UrlencodedError) -> HttpError {
    use actix_web::error::UrlencodedError as E;
    match error {
        E::Overflow { .. } => HttpError::TooLarge("64 kB for a form"),
        E::ContentType => HttpError::BadInput("This is no form that a page here sends.".to_owned()),
        _ => HttpError::BadInput(
            "The form did not arrive whole. Go back and press Save again.".to_owned(),
        ),
    }
}
