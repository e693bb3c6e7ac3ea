//! Starting and stopping the server; used by the command line and by tests.

#[cfg(unix)]
use std::net::Shutdown;
use std::net::{Ipv4Addr, TcpListener};
use std::path::PathBuf;
use std::sync::mpsc::{RecvTimeoutError, Sender};
use std::thread::JoinHandle;
use std::time::{Duration, SystemTime};

use actix_web::body::MessageBody;
use actix_web::dev::{ServerHandle, ServiceFactory, ServiceRequest, ServiceResponse};
use actix_web::middleware::{Compress, from_fn};
use actix_web::rt::net::TcpStream;
use actix_web::{App, HttpResponse, HttpServer, web};
use rustls::ServerConfig;
use thiserror::Error;
use time::OffsetDateTime;
use tokio_rustls::server::TlsStream;

use crate::error::HttpError;
use crate::lan::Addresses;
use crate::lan::setup::Setup;
use crate::lan::{self, Lan, LanError};
use crate::limits::{Connections, Limits};
use crate::passes::Passes;
use crate::state::{Site, State};
use crate::{gate, router, session};

/// Where and how to serve.
#[derive(Clone, Debug)]
pub struct Config {
    /// The data folder; made if it isn't there.
    pub folder: PathBuf,
    /// The port on loopback; 0 takes a free one. Not used where `lan` is set.
    pub port: u16,
    /// Beyond loopback, through TLS; none: loopback alone.
    pub lan: Option<Lan>,
    /// Beyond loopback without TLS: pages can't be kept on phones then.
    pub plain: Option<Ipv4Addr>,
    /// How much may come from one phone or one address.
    pub limits: Limits,
}

impl Config {
    /// On loopback alone.
    pub fn on_loopback(folder: PathBuf, port: u16) -> Self {
        Self {
            folder,
            port,
            lan: None,
            plain: None,
            limits: Limits::default(),
        }
    }
}

/// Why the server did not start.
#[derive(Debug, Error)]
pub enum StartError {
    /// The data folder or the database.
    #[error("the data folder can't be used")]
    Data(#[from] scantling_db::Error),
    /// The port.
    #[error("port {port} on {address} can't be used")]
    Port {
        /// Which.
        port: u16,
        /// Of which address.
        address: Ipv4Addr,
        /// Why.
        #[source]
        source: std::io::Error,
    },
    /// TLS.
    #[error("TLS can't be served")]
    Lan(#[from] LanError),
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
    /// The setup page for phones, and the fingerprint of the authority's certificate, where it serves beyond loopback.
    pub setup: Option<SetupSaid>,
    /// What should be said on the console, a sentence each.
    pub said: Vec<String>,
    handle: ServerHandle,
    thread: Option<JoinHandle<std::io::Result<()>>>,
    state: State,
    /// Ends the thread that looks after names and certificates.
    watch: Option<(Sender<()>, JoinHandle<()>)>,
}

/// What a phone needs to be set up.
#[derive(Clone, Debug)]
pub struct SetupSaid {
    /// The setup page's address for a phone; none where this machine has no address on a local network.
    pub address: Option<String>,
    /// SHA-256 of the authority's certificate; none with a certificate of one's own.
    pub fingerprint: Option<String>,
    /// The port of the setup page on every address of this machine.
    pub http_port: u16,
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
        let ended = self.join();
        if let Some((tell, thread)) = self.watch.take() {
            drop(tell);
            let _it_says_nothing_more = thread.join();
        }
        self.state.close();
        ended
    }

    /// Waits until the server ends by itself or by a signal.
    ///
    /// # Errors
    /// What ended the serving thread.
    pub fn wait(mut self) -> Result<(), StartError> {
        self.join()
    }

    fn join(&mut self) -> Result<(), StartError> {
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

/// Opens the data folder, binds and serves in a thread of its own: on loopback, or beyond it where that is asked for.
///
/// # Errors
/// What can't be opened, bound or run.
pub fn start(config: &Config) -> Result<Running, StartError> {
    match &config.lan {
        None => start_plain(config),
        Some(lan) => start_lan(config, lan),
    }
}

fn start_plain(config: &Config) -> Result<Running, StartError> {
    let state = State::open(&config.folder)?;
    let (listener, port) = bind(config.plain.unwrap_or(Ipv4Addr::LOCALHOST), config.port)?;
    let host = match config.plain {
        None => Ipv4Addr::LOCALHOST,
        Some(address) if address.is_unspecified() => lan::private_addresses()?
            .first()
            .copied()
            .unwrap_or(Ipv4Addr::LOCALHOST),
        Some(address) => address,
    };
    let origin = format!("http://{host}:{port}");
    let others = match config.plain {
        None => vec![format!("localhost:{port}")],
        Some(_) => vec![format!("localhost:{port}"), format!("127.0.0.1:{port}")],
    };
    let site = Site {
        origin: origin.clone(),
        others: others.into(),
    };
    let state = state.at(site, config.limits);
    let setup = Setup {
        origin: origin.clone(),
        http_port: port,
        https_port: port,
        ..Setup::default()
    };
    let (handle, thread) = serve(&state, &setup, Ports::Plain(listener))?;
    Ok(Running {
        origin,
        setup: None,
        said: Vec::new(),
        handle,
        thread: Some(thread),
        state,
        watch: None,
    })
}

fn start_lan(config: &Config, lan: &Lan) -> Result<Running, StartError> {
    lan.check()?;
    let state = State::open(&config.folder)?;
    let addresses = lan::private_addresses()?;
    let tls = lan::tls(&config.folder, lan, &addresses)?;
    let (tls_listener, tls_port) = bind(lan.bind, lan.https_port)?;
    let (setup_listener, setup_port) = bind(lan.bind, lan.http_port)?;
    let origin = lan.origin(tls_port);
    let site = Site {
        origin: origin.clone(),
        others: authorities(lan, &addresses, tls_port).into(),
    };
    let state = state.at(site, config.limits);
    let setup = Setup {
        origin: origin.clone(),
        https_port: tls_port,
        http_port: setup_port,
        addresses: Addresses::new(addresses.clone()),
        authority: tls.authority.clone(),
    };
    let mut said = lan::moved(&state, &config.folder, &origin)?;
    if addresses.is_empty() {
        said.push(
            "This machine has no address on a local network by now: phones can't reach it."
                .to_owned(),
        );
    }
    #[cfg(feature = "mdns")]
    let mut announced = announce(lan, tls_port, &addresses).unwrap_or_else(|why| {
        said.push(why);
        None
    });
    let (tell, told) = std::sync::mpsc::channel();
    let (handle, thread) = serve(
        &state,
        &setup,
        Ports::Lan {
            https: tls_listener,
            http: setup_listener,
            config: Box::new(tls.config),
            hung_up: tell.clone(),
        },
    )?;
    let (watched, current, authority) = (state.clone(), tls.current, tls.authority);
    let (lan, port, known) = (lan.clone(), tls_port, setup.addresses.clone());
    let watch = std::thread::Builder::new()
        .name("names".to_owned())
        .spawn(move || {
            while told.recv_timeout(lan::LOOK_EVERY) != Err(RecvTimeoutError::Disconnected) {
                let addresses = match lan::private_addresses() {
                    Ok(addresses) => addresses,
                    Err(error) => {
                        tracing::warn!("{error}");
                        continue;
                    }
                };
                look_after(
                    &watched,
                    (&lan, port),
                    (&current, authority.as_deref()),
                    &addresses,
                );
                let is_new = known.put(&addresses);
                #[cfg(feature = "mdns")]
                {
                    // also where it failed before; one answers for a name at a time
                    if is_new || announced.is_none() {
                        drop(announced.take());
                        announced = announce(&lan, port, &addresses).unwrap_or_else(|why| {
                            tracing::warn!("{why}");
                            None
                        });
                    }
                }
                #[cfg(not(feature = "mdns"))]
                let _nobody_is_told = is_new;
            }
        })
        .map_err(StartError::Serve)?;
    Ok(Running {
        setup: Some(SetupSaid {
            address: setup.address(),
            fingerprint: setup.authority.as_ref().map(|one| one.fingerprint()),
            http_port: setup_port,
        }),
        origin,
        said,
        handle,
        thread: Some(thread),
        state,
        watch: Some((tell, watch)),
    })
}

/// Host and port of every name and address in the certificate.
fn authorities(lan: &Lan, addresses: &[Ipv4Addr], port: u16) -> Vec<String> {
    let names = lan.names().into_iter();
    let numbers = [Ipv4Addr::LOCALHOST]
        .into_iter()
        .chain(addresses.iter().copied());
    names
        .chain(numbers.map(|address| address.to_string()))
        .map(|host| format!("{host}:{port}"))
        .collect()
}

/// Answers for the server's own name, where that is asked for and there is an address to answer with.
#[cfg(feature = "mdns")]
fn announce(
    lan: &Lan,
    port: u16,
    addresses: &[Ipv4Addr],
) -> Result<Option<lan::Announced>, String> {
    if !lan.announce || lan.origin.is_some() || addresses.is_empty() {
        return Ok(None);
    }
    lan::Announced::new(&lan.name, port, addresses)
        .map(Some)
        .map_err(|why| {
            format!(
                "The name {}.local can't be answered for here ({why}). Start with --origin https://ADDRESS:{port}.",
                lan.name
            )
        })
}

/// Renews what is due, and learns of addresses that came or went.
fn look_after(
    state: &State,
    (lan, port): (&Lan, u16),
    tls: (&lan::Current, Option<&lan::Authority>),
    addresses: &[Ipv4Addr],
) {
    let now = OffsetDateTime::from(SystemTime::now());
    state.rename(authorities(lan, addresses, port));
    match lan::renew(lan, tls, addresses, now) {
        Ok(true) => tracing::info!("another certificate is shown from now on"),
        Ok(false) => {}
        Err(error) => tracing::warn!("the certificate stays as it is: {error}"),
    }
}

fn bind(address: Ipv4Addr, port: u16) -> Result<(TcpListener, u16), StartError> {
    let failed = |source| StartError::Port {
        port,
        address,
        source,
    };
    let listener = TcpListener::bind((address, port)).map_err(failed)?;
    let port = listener.local_addr().map_err(failed)?.port();
    Ok((listener, port))
}

/// What is listened on.
enum Ports {
    Plain(TcpListener),
    Lan {
        https: TcpListener,
        http: TcpListener,
        config: Box<ServerConfig>,
        /// Told at each SIGHUP, which asks to look at names, addresses and certificate now.
        hung_up: Sender<()>,
    },
}

/// Tells of each SIGHUP, as long as this runs; without it the signal would end the program.
#[cfg(unix)]
fn tell_of_hang_ups(tell: Sender<()>) -> std::io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut hang_ups = signal(SignalKind::hangup())?;
    actix_web::rt::spawn(async move {
        while hang_ups.recv().await.is_some() {
            if tell.send(()).is_err() {
                return;
            }
        }
    });
    Ok(())
}

/// Serves in a thread of its own.
fn serve(
    state: &State,
    setup: &Setup,
    ports: Ports,
) -> Result<(ServerHandle, JoinHandle<std::io::Result<()>>), StartError> {
    let (state, setup) = (state.clone(), setup.clone());
    let (tell, told) = std::sync::mpsc::channel();
    let thread = std::thread::Builder::new()
        .name("server".to_owned())
        .spawn(move || {
            actix_web::rt::System::new().block_on(async move {
                let most = state.limits().connections / WORKERS;
                let of_address = state.limits().of_address;
                let data = web::Data::new(state);
                let setup = web::Data::new(setup);
                let (plain, counted) = (setup.clone(), data.clone());
                let server = HttpServer::new(move || app(data.clone(), setup.clone()))
                    .workers(WORKERS)
                    .max_connections(most)
                    .on_connect(count_connections(of_address))
                    .client_request_timeout(Duration::from_secs(5))
                    .keep_alive(Duration::from_secs(15))
                    .shutdown_timeout(5);
                let (server, http) = match ports {
                    Ports::Plain(listener) => (server.listen(listener)?.run(), None),
                    Ports::Lan {
                        https,
                        http,
                        config,
                        hung_up,
                    } => {
                        #[cfg(unix)]
                        tell_of_hang_ups(hung_up)?;
                        #[cfg(not(unix))]
                        drop(hung_up);
                        let server = server.listen_rustls_0_23(https, *config)?.run();
                        let http = HttpServer::new(move || {
                            App::new()
                                .app_data(plain.clone())
                                .app_data(counted.clone())
                                .wrap(from_fn(gate::plain))
                                .configure(lan::setup::register)
                        })
                        .workers(1)
                        .max_connections(most)
                        .on_connect(count_connections(of_address))
                        .client_request_timeout(Duration::from_secs(5))
                        .shutdown_timeout(1)
                        .disable_signals()
                        .listen(http)?
                        .run();
                        (server, Some(http))
                    }
                };
                let _the_starter_waits = tell.send(server.handle());
                let Some(http) = http else {
                    return server.await;
                };
                let plain = http.handle();
                let serving = actix_web::rt::spawn(http);
                let ended = server.await;
                plain.stop(false).await;
                let _it_was_told_to_end = serving.await;
                ended
            })
        })
        .map_err(StartError::Serve)?;
    let Ok(handle) = told.recv() else {
        return Err(StartError::Serve(std::io::Error::other(
            "the server ended before it was ready",
        )));
    };
    Ok((handle, thread))
}

/// Threads that answer.
const WORKERS: usize = 2;

/// Counts the connections of each address, and closes those that are too many.
fn count_connections(
    most: usize,
) -> impl Fn(&dyn std::any::Any, &mut actix_web::dev::Extensions) + Send + Clone + 'static {
    let opened = Connections::default();
    move |connection, extensions| {
        let stream = stream_of(connection);
        let address = stream.and_then(|stream| stream.peer_addr().ok());
        if let (Some(stream), Some(address)) = (stream, address) {
            let open = opened.open(address.ip());
            if open.number > most {
                close(stream);
            }
            extensions.insert(open);
        }
    }
}

/// The stream of a connection, through TLS or not.
fn stream_of(connection: &dyn std::any::Any) -> Option<&TcpStream> {
    let plain = connection.downcast_ref::<TcpStream>();
    let through_tls = || {
        connection
            .downcast_ref::<TlsStream<TcpStream>>()
            .map(|stream| stream.get_ref().0)
    };
    plain.or_else(through_tls)
}

/// Closes a connection that is one too many for its address, before anything is read from it. Where that can't be done,
/// its first request is answered with 429.
fn close(stream: &TcpStream) {
    #[cfg(unix)]
    if let Ok(own) = std::os::fd::AsFd::as_fd(stream).try_clone_to_owned() {
        let _it_is_closed_already = std::net::TcpStream::from(own).shutdown(Shutdown::Both);
    }
    #[cfg(not(unix))]
    let _ = stream;
}

fn app(
    data: web::Data<State>,
    setup: web::Data<Setup>,
) -> App<
    impl ServiceFactory<
        ServiceRequest,
        Config = (),
        Response = ServiceResponse<impl MessageBody>,
        Error = actix_web::Error,
        InitError = (),
    >,
> {
    App::new()
        .app_data(data)
        .app_data(setup)
        .app_data(
            web::FormConfig::default()
                .limit(Passes::Form.bytes())
                .error_handler(|error, _| form_error(&error).into()),
        )
        .app_data(web::PathConfig::default().error_handler(|_, _| HttpError::NotFound.into()))
        .app_data(web::QueryConfig::default().error_handler(|_, _| {
            HttpError::BadInput("The address has something after ? that can’t be read.".to_owned())
                .into()
        }))
        .app_data(web::PayloadConfig::new(Passes::Form.bytes()))
        .wrap(Compress::default())
        .wrap(from_fn(gate::gate))
        .configure(router::register)
        .default_service(web::to(|| async {
            Err::<HttpResponse, _>(HttpError::NotFound)
        }))
}

fn form_error(error: &actix_web::error::UrlencodedError) -> HttpError {
    use actix_web::error::UrlencodedError as E;
    match error {
        E::Overflow { .. } => HttpError::TooLarge(Passes::Form.words()),
        E::ContentType => HttpError::BadInput("This is no form that a page here sends.".to_owned()),
        _ => HttpError::BadInput(
            "The form did not arrive whole. Go back and press Save again.".to_owned(),
        ),
    }
}
