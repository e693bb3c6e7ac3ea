//! One test binary; this is its table of contents.

/// A server with a data folder of its own, and a client that fills forms as a browser does.
#[cfg(test)]
mod support;

/// Agreement with published tables, one file a source.
#[cfg(test)]
mod published;

/// Whole forms: the weekly round, sent twice, bad input at every field, roles.
#[cfg(test)]
mod forms;

/// What phones send that were away: the contract of `/sync/v1`, letting phones in, limits, kills.
#[cfg(test)]
mod sync;

/// The answer never depends on the order of entry.
#[cfg(test)]
mod order;

/// Every route × role, Host, other sites, headers.
#[cfg(test)]
mod roles;

/// Every row of the route table: role, body, other sites, headers, the log.
#[cfg(test)]
mod gate;

/// Sticks and panels against recorded instances and an outside solver.
#[cfg(test)]
mod cutting;

/// The command line: takeoff, cut, export, import, schema, serve, on the real binary.
#[cfg(test)]
mod cli;

/// Whole walks in a real Chromium, by Node. What needs it has `browser::` in its path.
#[cfg(test)]
mod browser;

/// What other programs make of what we write, by Python. What needs it has `python::` in its path.
#[cfg(test)]
mod python;

/// The house rules.
#[cfg(test)]
mod tidy;
