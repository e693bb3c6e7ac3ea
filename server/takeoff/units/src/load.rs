//! Loads as they are written down: on an area, along a line, at a point. Whole hundredths, so that they add exactly.
//!
//! What they do to wood is the screening's business.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;

macro_rules! load {
    ($( $(#[$doc:meta])+ $name:ident $unit:literal; )+) => { $(
        $(#[$doc])+
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(i64);

        impl $name {
            /// No load.
            pub const ZERO: Self = Self(0);

            /// From whole pounds.
            pub const fn whole(n: i64) -> Self {
                Self(n * 100)
            }

            /// From hundredths of a pound.
            pub const fn from_hundredths(n: i64) -> Self {
                Self(n)
            }

            /// In hundredths of a pound.
            pub const fn as_hundredths(self) -> i64 {
                self.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, Add::add)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let (whole, hundredths) = (self.0.div_euclid(100), self.0.rem_euclid(100));
                match hundredths {
                    0 => write!(f, concat!("{} ", $unit), whole),
                    _ => write!(f, concat!("{}.{:02} ", $unit), whole, hundredths),
                }
            }
        }
    )+ };
}

load! {
    /// A load on an area, pounds per square foot.
    Psf "psf";
    /// A load along a line, pounds per foot.
    Plf "lb/ft";
    /// A load at a point, pounds.
    Pounds "lb";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_adds_exactly_and_says_its_unit() {
        let layers = [
            Psf::from_hundredths(55),
            Psf::whole(8),
            Psf::from_hundredths(220),
        ];
        let sum: Psf = layers.into_iter().sum();
        assert_eq!(sum.as_hundredths(), 1075);
        assert_eq!(sum.to_string(), "10.75 psf");
        assert_eq!(Plf::whole(700).to_string(), "700 lb/ft");
        assert_eq!(
            (Pounds::whole(2) + Pounds::from_hundredths(5)).to_string(),
            "2.05 lb"
        );
    }
}
