//! Species with their weight, and grades with their order.
//!
//! Design values are another table's. A species or grade that isn't here is unknown, and said so.
//! Source: weights from AF&PA / AWC, Wood Structural Design Data, 1992 revisions; seen. Order of grades: the NDS
//! Supplement's design values within one species; from memory.

use std::cmp::Ordering;

use super::ps20::Seasoning;
use crate::units::{Length, Section};

/// A species group as grade stamps name it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Species {
    /// Douglas Fir-Larch.
    DouglasFirLarch,
    /// Hem-Fir.
    HemFir,
    /// Spruce-Pine-Fir.
    SprucePineFir,
    /// Southern Pine.
    SouthernPine,
}

/// Where the weights stand; seen.
pub const WEIGHT_SOURCE: &str = "AF&PA / AWC, Wood Structural Design Data, 1992 revisions";

/// The weight taken where the species is unknown, in tenths of a pound per cubic foot: the heaviest of those listed.
pub const UNKNOWN_TENTHS_LB_PER_CU_FT: i64 = Species::SouthernPine.tenths_lb_per_cu_ft();

impl Species {
    /// Every species group.
    pub const ALL: [Self; 4] = [
        Self::DouglasFirLarch,
        Self::HemFir,
        Self::SprucePineFir,
        Self::SouthernPine,
    ];

    /// Its name, as printed and stored.
    pub const fn name(self) -> &'static str {
        match self {
            Self::DouglasFirLarch => "Douglas Fir-Larch",
            Self::HemFir => "Hem-Fir",
            Self::SprucePineFir => "Spruce-Pine-Fir",
            Self::SouthernPine => "Southern Pine",
        }
    }

    /// The species of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|known| known.name() == name)
    }

    /// Its weight, seasoned, in tenths of a pound per cubic foot.
    pub const fn tenths_lb_per_cu_ft(self) -> i64 {
        match self {
            Self::DouglasFirLarch => 336,
            Self::HemFir => 292,
            Self::SprucePineFir => 285,
            Self::SouthernPine => 367,
        }
    }
}

/// The weight of a stick in pounds, up to a whole pound; green wood weighs 1.2 times as much.
///
/// Source: density as above; the factor for green wood is common practice, no published source.
pub fn weight_up(
    section: Section,
    length: Length,
    species: Option<Species>,
    seasoning: Seasoning,
) -> i64 {
    let density = species.map_or(UNKNOWN_TENTHS_LB_PER_CU_FT, Species::tenths_lb_per_cu_ft);
    let tenths_of_dry = match seasoning {
        Seasoning::Dry => 10,
        Seasoning::Green => 12,
    };
    let volume = [section.thickness, section.depth, length]
        .iter()
        .fold(1, |volume, side| volume * i128::from(side.as_64ths()));
    let foot = i128::from(Length::feet(1).as_64ths());
    let hundredths = volume * i128::from(density * tenths_of_dry);
    let pounds = -(-hundredths).div_euclid(100 * foot * foot * foot);
    i64::try_from(pounds).expect("lengths are at most 10,000 ft, so no stick weighs as much")
}

/// A grade of framing lumber.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Grade {
    /// Select Structural.
    SelectStructural,
    /// No.1 & Btr.
    No1AndBetter,
    /// No.1.
    No1,
    /// No.2.
    No2,
    /// No.3.
    No3,
    /// Stud.
    Stud,
    /// Construction.
    Construction,
    /// Standard.
    Standard,
    /// Utility.
    Utility,
}

impl Grade {
    /// Every grade, as a pick list has them.
    pub const ALL: [Self; 9] = [
        Self::SelectStructural,
        Self::No1AndBetter,
        Self::No1,
        Self::No2,
        Self::No3,
        Self::Stud,
        Self::Construction,
        Self::Standard,
        Self::Utility,
    ];

    /// Its name, as printed and stored.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SelectStructural => "Select Structural",
            Self::No1AndBetter => "No.1 & Btr",
            Self::No1 => "No.1",
            Self::No2 => "No.2",
            Self::No3 => "No.3",
            Self::Stud => "Stud",
            Self::Construction => "Construction",
            Self::Standard => "Standard",
            Self::Utility => "Utility",
        }
    }

    /// The grade of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|known| known.name() == name)
    }

    /// Select Structural > No.1 & Btr > No.1 > No.2 > No.3 = Stud; any other pair can't be ranked, but for a grade with
    /// itself.
    pub fn compare(self, other: Self) -> Option<Ordering> {
        if self == other {
            return Some(Ordering::Equal);
        }
        Some(self.rank()?.cmp(&other.rank()?))
    }

    /// Its place from below among the grades that can be ranked.
    const fn rank(self) -> Option<u8> {
        match self {
            Self::SelectStructural => Some(4),
            Self::No1AndBetter => Some(3),
            Self::No1 => Some(2),
            Self::No2 => Some(1),
            Self::No3 | Self::Stud => Some(0),
            Self::Construction | Self::Standard | Self::Utility => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stick_weighs_its_volume_times_its_species_up_to_a_pound() {
        let section = Section {
            thickness: Length::inches_64(1, 32),
            depth: Length::inches_64(9, 16),
        };
        // 1.5 × 9.25 × 144 in = 1.15625 cu ft
        let weight = |species, seasoning| weight_up(section, Length::feet(12), species, seasoning);
        assert_eq!(weight(Some(Species::HemFir), Seasoning::Dry), 34); // 33.76
        assert_eq!(weight(Some(Species::HemFir), Seasoning::Green), 41); // 40.5
        assert_eq!(weight(None, Seasoning::Dry), 43); // 42.43
        let foot = Section {
            thickness: Length::feet(1),
            depth: Length::feet(1),
        };
        assert_eq!(weight_up(foot, Length::feet(10), None, Seasoning::Dry), 367);
    }

    #[test]
    fn an_unknown_species_is_taken_for_the_heaviest() {
        for species in Species::ALL {
            assert!(species.tenths_lb_per_cu_ft() <= UNKNOWN_TENTHS_LB_PER_CU_FT);
            assert_eq!(Species::from_name(species.name()), Some(species));
        }
    }

    #[test]
    fn grades_are_ranked_only_where_their_order_is_known() {
        use Grade::{Construction, No1, No1AndBetter, No2, No3, SelectStructural, Standard, Stud};
        for pair in [SelectStructural, No1AndBetter, No1, No2, No3].windows(2) {
            assert_eq!(pair[0].compare(pair[1]), Some(Ordering::Greater));
            assert_eq!(pair[1].compare(pair[0]), Some(Ordering::Less));
        }
        assert_eq!(No3.compare(Stud), Some(Ordering::Equal));
        assert_eq!(Construction.compare(No2), None);
        assert_eq!(No2.compare(Construction), None);
        assert_eq!(Construction.compare(Standard), None);
        assert_eq!(Construction.compare(Construction), Some(Ordering::Equal));
        for grade in Grade::ALL {
            assert_eq!(Grade::from_name(grade.name()), Some(grade));
        }
    }
}
