//! How much may come from one phone or one address: requests within ten seconds, and connections at once.
//!
//! Counts are kept in memory alone and start afresh with the server.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use uuid::Uuid;

/// The span over which requests are counted.
const SPAN: Duration = Duration::from_secs(10);
/// So many buckets are kept; the oldest go first.
const BUCKETS: usize = 4_096;

/// The figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Requests of a phone within ten seconds; its script files and thumbnails are not counted.
    pub of_device: u32,
    /// Batches and pictures of a phone's outbox within ten seconds.
    pub of_sync: u32,
    /// Requests of an address without a phone within ten seconds.
    pub of_stranger: u32,
    /// Connections at once, in all.
    pub connections: usize,
    /// Connections at once from one address.
    pub of_address: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            of_device: 600,
            of_sync: 30,
            of_stranger: 60,
            connections: 512,
            of_address: 64,
        }
    }
}

impl Limits {
    /// Figures that nothing reaches: for tests and benchmarks of other things.
    pub fn none() -> Self {
        Self {
            of_device: u32::MAX,
            of_sync: u32::MAX,
            of_stranger: u32::MAX,
            connections: 16_384,
            of_address: usize::MAX,
        }
    }
}

/// Who is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Whose {
    /// A phone's requests.
    Device(Uuid),
    /// A phone's outbox.
    Sync(Uuid),
    /// An address without a phone.
    Stranger(IpAddr),
}

/// The counts.
#[derive(Debug)]
pub(crate) struct Rates {
    limits: Limits,
    buckets: Mutex<BTreeMap<Whose, (Instant, u32)>>,
}

impl Rates {
    pub(crate) fn new(limits: Limits) -> Self {
        Self {
            limits,
            buckets: Mutex::default(),
        }
    }

    /// Counts a request made now; where it is one too many, the seconds after which the next may come.
    pub(crate) fn count(&self, whose: Whose, now: Instant) -> Result<(), u32> {
        let most = match whose {
            Whose::Device(_) => self.limits.of_device,
            Whose::Sync(_) => self.limits.of_sync,
            Whose::Stranger(_) => self.limits.of_stranger,
        };
        let mut buckets = self.buckets.lock().unwrap_or_else(PoisonError::into_inner);
        if buckets.len() >= BUCKETS && !buckets.contains_key(&whose) {
            let oldest = buckets.iter().min_by_key(|(_, (since, _))| *since);
            if let Some(oldest) = oldest.map(|(whose, _)| *whose) {
                buckets.remove(&oldest);
            }
        }
        let (since, n) = buckets.entry(whose).or_insert((now, 0));
        if now.duration_since(*since) >= SPAN {
            (*since, *n) = (now, 0);
        }
        if *n >= most {
            let left = SPAN.saturating_sub(now.duration_since(*since));
            return Err(u32::try_from(left.as_secs()).unwrap_or(0) + 1);
        }
        *n += 1;
        Ok(())
    }
}

/// Connections that are open, by address.
#[derive(Clone, Debug, Default)]
pub(crate) struct Connections(Arc<Mutex<BTreeMap<IpAddr, usize>>>);

/// One of them; counted as long as it lives.
#[derive(Debug)]
pub(crate) struct Open {
    of: Connections,
    address: IpAddr,
    /// Which one of its address it was when it came, from 1.
    pub(crate) number: usize,
}

impl Connections {
    pub(crate) fn open(&self, address: IpAddr) -> Open {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let number = all.entry(address).or_default();
        *number += 1;
        Open {
            of: self.clone(),
            address,
            number: *number,
        }
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        let mut all = self.of.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(number) = all.get_mut(&self.address) {
            *number -= 1;
            if *number == 0 {
                all.remove(&self.address);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn address(n: u32) -> Whose {
        Whose::Stranger(IpAddr::V4(std::net::Ipv4Addr::from(n)))
    }

    #[test]
    fn the_request_after_the_last_waits_for_the_next_ten_seconds() {
        let rates = Rates::new(Limits {
            of_stranger: 2,
            ..Limits::default()
        });
        let start = Instant::now();
        let at = |ms| start + Duration::from_millis(ms);
        assert_eq!(rates.count(address(1), at(0)), Ok(()));
        assert_eq!(rates.count(address(1), at(1_000)), Ok(()));
        assert_eq!(rates.count(address(1), at(1_500)), Err(9));
        assert_eq!(rates.count(address(2), at(1_500)), Ok(()), "another's");
        assert_eq!(rates.count(address(1), at(10_000)), Ok(()));
    }

    #[test]
    fn a_flood_of_addresses_takes_no_more_room_than_the_buckets() {
        let rates = Rates::new(Limits::default());
        let start = Instant::now();
        for n in 0..10_000_u32 {
            let at = start + Duration::from_micros(u64::from(n));
            assert_eq!(rates.count(address(n), at), Ok(()));
        }
        assert_eq!(rates.buckets.lock().unwrap().len(), BUCKETS);
    }

    #[test]
    fn connections_are_counted_by_address_until_they_end() {
        let all = Connections::default();
        let here = IpAddr::V4(std::net::Ipv4Addr::LOCALHOST);
        let first = all.open(here);
        let second = all.open(here);
        assert_eq!((first.number, second.number), (1, 2));
        drop(first);
        assert_eq!(all.open(here).number, 2);
        drop(second);
        assert!(all.0.lock().unwrap().is_empty());
    }
}
