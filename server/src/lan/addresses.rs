//! This machine's addresses on local networks.

use std::net::{IpAddr, Ipv4Addr};

use super::LanError;

/// The private IPv4 addresses of this machine (RFC 1918, and link-local by RFC 3927), in order; loopback is not among
/// them.
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
    found.sort();
    found.dedup();
    Ok(found)
}
