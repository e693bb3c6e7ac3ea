//! Answers for the server's own name on the local network (RFC 6762), as long as this lives.

use std::net::{IpAddr, Ipv4Addr};

use mdns_sd::{IfKind, ServiceDaemon, ServiceInfo};

/// The announcement.
pub(crate) struct Announced {
    daemon: ServiceDaemon,
}

impl Announced {
    /// Starts to answer for `NAME.local`. A network where that can't be done is said in words; the address still works.
    pub(crate) fn new(name: &str, port: u16, addresses: &[Ipv4Addr]) -> Result<Self, String> {
        let failed = |error: mdns_sd::Error| error.to_string();
        let daemon = ServiceDaemon::new().map_err(failed)?;
        daemon.disable_interface(IfKind::IPv6).map_err(failed)?;
        let at: Vec<IpAddr> = addresses.iter().map(|address| (*address).into()).collect();
        let service = ServiceInfo::new(
            "_https._tcp.local.",
            name,
            &format!("{name}.local."),
            at.as_slice(),
            port,
            None,
        )
        .map_err(failed)?;
        daemon.register(service).map_err(failed)?;
        Ok(Self { daemon })
    }
}

impl Drop for Announced {
    fn drop(&mut self) {
        let _it_ends_with_the_program_anyway = self.daemon.shutdown();
    }
}
