//! Hold points against the contract's words, and searched: nothing gets stuck, nothing opens early, no rule waits for itself.

mod house;
mod rules;
mod search;
mod table;
