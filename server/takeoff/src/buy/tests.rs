//! Buying, tested: the laws over random small jobs, and the entries by example.

mod entries;
mod laws;
mod site;
mod sold;
mod waste;
