//! Buying, tested: the laws over random small jobs, and the entries by example.

mod at_yard;
mod crew_law;
mod cut_list;
mod entries;
mod laws;
mod meanwhile;
mod money;
mod money_law;
mod ordered;
mod proven;
mod site;
mod sold;
mod swap;
mod trip;
mod waste;
mod yard;
