//! Pieces into sticks and panels: what to cut from where, and what to buy for it.
//!
//! Two problems, each behind one function: [`pack_sticks`] for lengths and [`pack_panels`] for rectangles. Each has a
//! plain second function, [`verify_sticks`] and [`verify_panels`], that works the answer out again from the input and
//! shares no code with the packer. Callers rely on the functions and their results alone, so a better packer can take
//! their place.
//!
//! What it does not do: group by class (one call is one class), add waste, keep standing plans, or write text for
//! people. Every plan has a lower bound on cost beside it, and is proven to be the cheapest where the two meet. Both
//! are searched until they do or the work set for it is done ([`panels::least_cost`], [`sticks::exact`]).

// `sticks/exact/simplex.rs` alone expects floats, with its reason; tests/tidy.rs sees to that.
#![deny(clippy::float_arithmetic, clippy::integer_division)]

pub mod panels;
mod sale;
pub mod sticks;

pub use panels::{pack_panels, verify_panels};
use scantling_units::Money;
pub use sticks::{pack_sticks, verify_sticks};

/// Rounds a bound up to the next amount that sums of these prices can come to: a multiple of their common divisor.
fn up_to_a_sum_of(prices: impl Iterator<Item = i64>, cents: i64) -> Money {
    let divisor = prices.fold(0, common_divisor).max(1);
    Money::from_cents(-(-cents).div_euclid(divisor) * divisor)
}

fn common_divisor(a: i64, b: i64) -> i64 {
    if b == 0 {
        a
    } else {
        common_divisor(b, a.rem_euclid(b))
    }
}
