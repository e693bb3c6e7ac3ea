//! This machine's addresses on local networks.

use std::net::{IpAddr, Ipv4Addr, UdpSocket};
use std::sync::{Arc, PoisonError, RwLock};

use super::LanError;

/// Those that this machine has now: they come and go while it serves.
#[derive(Clone, Debug, Default)]
pub(crate) struct Addresses(Arc<RwLock<Vec<Ipv4Addr>>>);

impl Addresses {
    pub(crate) fn new(first: Vec<Ipv4Addr>) -> Self {
        Self(Arc::new(RwLock::new(first)))
    }

    pub(crate) fn now(&self) -> Vec<Ipv4Addr> {
        self.0
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// Takes note of these; says whether they are others than before.
    pub(crate) fn put(&self, now: &[Ipv4Addr]) -> bool {
        let mut known = self.0.write().unwrap_or_else(PoisonError::into_inner);
        let is_new = known.as_slice() != now;
        now.clone_into(&mut known);
        is_new
    }
}

/// The private IPv4 addresses of this machine (RFC 1918, and link-local by RFC 3927): first the one by which it reaches
/// other networks, which phones share, then the others in order, link-local ones last; loopback is not among them.
pub(crate) fn private_addresses() -> Result<Vec<Ipv4Addr>, LanError> {
    let all = if_addrs::get_if_addrs().map_err(|error| LanError::Addresses(error.to_string()))?;
    let mut found: Vec<Ipv4Addr> = all
        .iter()
        .filter_map(|one| match one.ip() {
            IpAddr::V4(address) => Some(address),
            IpAddr::V6(_) => None,
        })
        .filter(|address| address.is_private() || address.is_link_local())
        .collect();
    let first = outward();
    found.sort_by_key(|address| (Some(*address) != first, address.is_link_local(), *address));
    found.dedup();
    Ok(found)
}

/// The address by which this machine would reach one that is on no network of its own: those for documents (RFC 5737) are on
/// nobody's. Nothing is sent; none where there is no way out.
fn outward() -> Option<Ipv4Addr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    match socket.local_addr().ok()?.ip() {
        IpAddr::V4(address) => Some(address),
        IpAddr::V6(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_holder_sees_the_addresses_of_now_and_hears_whether_they_are_others() {
        let [first, second] = [Ipv4Addr::new(10, 0, 0, 2), Ipv4Addr::new(10, 0, 0, 3)];
        let known = Addresses::new(vec![first]);
        let page = known.clone();
        assert!(!known.put(&[first]));
        assert!(known.put(&[first, second]));
        assert_eq!(page.now(), [first, second]);
    }
}
