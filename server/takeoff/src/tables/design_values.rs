//! Reference design values of sawn lumber, in psi: dimension lumber, Southern Pine by width, and some timbers.
//!
//! Not here: factors (`adjustment_factors`), boards, Standard and Utility, timbers of Spruce-Pine-Fir and Southern Pine.
//! What isn't here has no value, and is said so.
//! Source: NDS Supplement, Tables 4A, 4B (in force from 1 June 2013) and 4D, as carried by two university courses and
//! figured back from span tables of IRC 2018; the rest from memory. Each value says how far it was seen.

use super::Confidence::{self, Computed, Memory, Verified};
use super::density::Grade::{
    self, Construction, No1, No1AndBetter, No2, No3, SelectStructural, Stud,
};
use super::density::Species::{self, DouglasFirLarch, HemFir, SouthernPine, SprucePineFir};

/// A property of wood that has a reference value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Property {
    /// Bending.
    Fb,
    /// Tension along the grain.
    Ft,
    /// Shear along the grain.
    Fv,
    /// Compression across the grain.
    FcPerp,
    /// Compression along the grain.
    Fc,
    /// Modulus of elasticity, for deflection.
    E,
    /// Modulus of elasticity, for stability.
    Emin,
}

impl Property {
    /// Every property, in the order of the tables.
    pub const ALL: [Self; 7] = [
        Self::Fb,
        Self::Ft,
        Self::Fv,
        Self::FcPerp,
        Self::Fc,
        Self::E,
        Self::Emin,
    ];

    /// Its symbol.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fb => "Fb",
            Self::Ft => "Ft",
            Self::Fv => "Fv",
            Self::FcPerp => "Fc⊥",
            Self::Fc => "Fc",
            Self::E => "E",
            Self::Emin => "Emin",
        }
    }
}

/// The sizes that a line of values is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SizeClass {
    /// 2 to 4 in thick, 2 in and wider.
    Dimension,
    /// 2 to 4 in thick, 2 to 6 in wide.
    ToSixWide,
    /// 2 to 4 in thick, 2 to 4 in wide.
    ToFourWide,
    /// 2 to 4 in thick, 5 and 6 in wide.
    FiveToSixWide,
    /// 2 to 4 in thick, 8 in wide.
    EightWide,
    /// 2 to 4 in thick, 10 in wide.
    TenWide,
    /// 2 to 4 in thick, 12 in wide.
    TwelveWide,
    /// 5×5 and larger, more than 2 in wider than thick.
    BeamsAndStringers,
    /// 5×5 and larger, at most 2 in wider than thick.
    PostsAndTimbers,
}

impl SizeClass {
    /// The sizes in words, as in the published copy.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Dimension => "2-4 in thick, 2 in and wider",
            Self::ToSixWide => "2-4 in thick, 2-6 in wide",
            Self::ToFourWide => "2-4 in thick, 2-4 in wide",
            Self::FiveToSixWide => "2-4 in thick, 5-6 in wide",
            Self::EightWide => "2-4 in thick, 8 in wide",
            Self::TenWide => "2-4 in thick, 10 in wide",
            Self::TwelveWide => "2-4 in thick, 12 in wide",
            Self::BeamsAndStringers => {
                "Beams & Stringers: 5x5 and larger, width more than 2 in over thickness"
            }
            Self::PostsAndTimbers => {
                "Posts & Timbers: 5x5 and larger, width not more than 2 in over thickness"
            }
        }
    }

    /// Whether it is timber, 5 in and thicker.
    pub const fn is_timber(self) -> bool {
        matches!(self, Self::BeamsAndStringers | Self::PostsAndTimbers)
    }
}

/// One line of the tables: the values of one or two grades of a species in some sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DesignLine {
    /// The species group.
    pub species: Species,
    /// The grades that it serves.
    pub grades: &'static [Grade],
    /// The sizes that it is for.
    pub size_class: SizeClass,
    /// How far the line as a whole was seen.
    pub confidence: Confidence,
    psi: [i32; 7],
    seen: &'static [Property],
}

impl DesignLine {
    /// The reference value, in psi.
    pub const fn psi(&self, property: Property) -> i32 {
        self.psi[property as usize]
    }

    /// How far one value of the line was seen: what wasn't read or figured back is from memory. `Emin` is worked out from
    /// `E`, so it was seen as far as that.
    pub fn confidence_of(&self, property: Property) -> Confidence {
        let seen = |one: Property| self.seen.contains(&one);
        if seen(property) {
            return match self.confidence {
                Verified => Verified,
                _ => Computed,
            };
        }
        if property == Property::Emin && seen(Property::E) {
            return Computed;
        }
        Memory
    }

    /// The properties whose values were read or figured back.
    pub const fn seen(&self) -> &'static [Property] {
        self.seen
    }

    /// Its grades in words: `No.1/No.2`.
    pub fn grade_name(&self) -> String {
        let names: Vec<&str> = self.grades.iter().map(|grade| grade.name()).collect();
        names.join("/")
    }

    /// The table that has it, with its edition.
    pub fn source(&self) -> &'static str {
        match self.table() {
            "4B" => "NDS Supplement Table 4B (in force from 1 June 2013)",
            "4D" => "NDS Supplement (2005 cycle and later) Table 4D",
            _ => "NDS Supplement (2005 cycle and later) Table 4A",
        }
    }

    /// The table that has it: `4A`.
    pub fn table(&self) -> &'static str {
        if self.size_class.is_timber() {
            "4D"
        } else if self.species == SouthernPine {
            "4B"
        } else {
            "4A"
        }
    }
}

macro_rules! lines {
    ($( $species:ident [$($grade:ident)+] $class:ident: $fb:literal $ft:literal $fv:literal $perp:literal $fc:literal $e:literal
        $emin:literal, $confidence:ident [$($seen:ident)*]; )+) => {
        &[ $( DesignLine {
            species: $species,
            grades: &[ $( $grade ),+ ],
            size_class: SizeClass::$class,
            confidence: $confidence,
            psi: [$fb, $ft, $fv, $perp, $fc, $e, $emin],
            seen: &[ $( Property::$seen ),* ],
        }, )+ ]
    };
}

/// Every line: species, grades, sizes: Fb, Ft, Fv, Fc⊥, Fc, E, Emin, confidence of the line, values seen.
pub const DESIGN_VALUES: &[DesignLine] = lines! {
    DouglasFirLarch [SelectStructural] Dimension: 1500 1000 180 625 1700 1_900_000 690_000, Computed [Fb E Fv FcPerp];
    DouglasFirLarch [No1AndBetter] Dimension: 1200 800 180 625 1550 1_800_000 660_000, Memory [Fv FcPerp];
    DouglasFirLarch [No1] Dimension: 1000 675 180 625 1500 1_700_000 620_000, Verified [Fb Ft Fv FcPerp Fc E Emin];
    DouglasFirLarch [No2] Dimension: 900 575 180 625 1350 1_600_000 580_000, Computed [Fb Fv FcPerp];
    DouglasFirLarch [No3] Dimension: 525 325 180 625 775 1_400_000 510_000, Computed [Fb Fv FcPerp];
    DouglasFirLarch [Stud] ToSixWide: 700 450 180 625 850 1_400_000 510_000, Memory [Fv FcPerp];
    DouglasFirLarch [Construction] ToFourWide: 1000 650 180 625 1650 1_500_000 550_000, Memory [Fc Emin];
    HemFir [SelectStructural] Dimension: 1400 925 150 405 1500 1_600_000 580_000, Computed [Fb E Fv FcPerp];
    HemFir [No1AndBetter] Dimension: 1100 725 150 405 1350 1_500_000 550_000, Memory [Fv FcPerp];
    HemFir [No1] Dimension: 975 625 150 405 1350 1_500_000 550_000, Computed [Fb E Fv FcPerp];
    HemFir [No2] Dimension: 850 525 150 405 1300 1_300_000 470_000, Verified [Fb Ft Fv FcPerp Fc E Emin];
    HemFir [No3] Dimension: 500 300 150 405 725 1_200_000 440_000, Computed [Fb Fv FcPerp];
    HemFir [Stud] ToSixWide: 675 400 150 405 800 1_200_000 440_000, Memory [Fv FcPerp];
    SprucePineFir [SelectStructural] Dimension: 1250 700 135 425 1400 1_500_000 550_000, Computed [Fb E];
    SprucePineFir [No1 No2] Dimension: 875 450 135 425 1150 1_400_000 510_000, Computed [Fb E];
    SprucePineFir [No3] Dimension: 500 250 135 425 650 1_200_000 440_000, Computed [Fb];
    SprucePineFir [Stud] ToSixWide: 675 350 135 425 725 1_200_000 440_000, Memory [];
    SouthernPine [SelectStructural] ToFourWide: 2350 1650 175 565 1900 1_800_000 660_000, Memory [E];
    SouthernPine [SelectStructural] FiveToSixWide: 2100 1450 175 565 1800 1_800_000 660_000, Memory [E];
    SouthernPine [SelectStructural] EightWide: 1950 1350 175 565 1700 1_800_000 660_000, Memory [E];
    SouthernPine [SelectStructural] TenWide: 1700 1150 175 565 1650 1_800_000 660_000, Memory [E];
    SouthernPine [SelectStructural] TwelveWide: 1600 1100 175 565 1650 1_800_000 660_000, Memory [E];
    SouthernPine [No1] ToFourWide: 1500 1000 175 565 1650 1_600_000 580_000, Computed [Fb E];
    SouthernPine [No1] FiveToSixWide: 1350 875 175 565 1550 1_600_000 580_000, Computed [Fb E];
    SouthernPine [No1] EightWide: 1250 800 175 565 1500 1_600_000 580_000, Computed [Fb E];
    SouthernPine [No1] TenWide: 1050 700 175 565 1450 1_600_000 580_000, Computed [Fb E];
    SouthernPine [No1] TwelveWide: 1000 650 175 565 1400 1_600_000 580_000, Memory [E];
    SouthernPine [No2] ToFourWide: 1100 675 175 565 1450 1_400_000 510_000, Computed [Fb];
    SouthernPine [No2] FiveToSixWide: 1000 600 175 565 1400 1_400_000 510_000, Computed [Fb];
    SouthernPine [No2] EightWide: 925 550 175 565 1350 1_400_000 510_000, Computed [Fb];
    SouthernPine [No2] TenWide: 800 475 175 565 1300 1_400_000 510_000, Computed [Fb];
    SouthernPine [No2] TwelveWide: 750 450 175 565 1250 1_400_000 510_000, Memory [];
    SouthernPine [No3] ToFourWide: 650 400 175 565 850 1_300_000 470_000, Computed [Fb];
    SouthernPine [No3] FiveToSixWide: 575 350 175 565 800 1_300_000 470_000, Computed [Fb];
    SouthernPine [No3] EightWide: 525 325 175 565 775 1_300_000 470_000, Computed [Fb];
    SouthernPine [No3] TenWide: 475 300 175 565 750 1_300_000 470_000, Computed [Fb];
    SouthernPine [No3] TwelveWide: 450 250 175 565 725 1_300_000 470_000, Memory [];
    DouglasFirLarch [SelectStructural] BeamsAndStringers: 1600 950 170 625 1100 1_600_000 580_000, Memory [Fv FcPerp];
    DouglasFirLarch [No1] BeamsAndStringers: 1350 675 170 625 925 1_600_000 580_000, Verified [Fb Ft Fv FcPerp Fc E Emin];
    DouglasFirLarch [No2] BeamsAndStringers: 875 425 170 625 600 1_300_000 470_000, Memory [Fv FcPerp];
    DouglasFirLarch [SelectStructural] PostsAndTimbers: 1500 1000 170 625 1150 1_600_000 580_000, Memory [Fv FcPerp];
    DouglasFirLarch [No1] PostsAndTimbers: 1200 825 170 625 1000 1_600_000 580_000, Verified [Fb Ft Fv FcPerp Fc E Emin];
    DouglasFirLarch [No2] PostsAndTimbers: 750 475 170 625 700 1_300_000 470_000, Memory [Fv FcPerp];
    HemFir [No2] BeamsAndStringers: 675 350 140 405 500 1_100_000 400_000, Verified [Fb Ft Fv FcPerp Fc E Emin];
    HemFir [No2] PostsAndTimbers: 575 375 140 405 575 1_100_000 400_000, Verified [Fb Ft Fv FcPerp Fc E Emin];
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_that_was_not_read_is_from_memory_and_emin_goes_by_e() {
        let line = DESIGN_VALUES
            .iter()
            .find(|line| line.species == HemFir && line.grades == [SelectStructural])
            .unwrap();
        assert_eq!(line.psi(Property::Fb), 1400);
        assert_eq!(line.confidence_of(Property::Fb), Computed);
        assert_eq!(line.confidence_of(Property::Emin), Computed);
        assert_eq!(line.confidence_of(Property::Fc), Memory);
    }

    #[test]
    fn no_two_lines_serve_the_same_grade_in_the_same_sizes() {
        for (n, line) in DESIGN_VALUES.iter().enumerate() {
            for other in &DESIGN_VALUES[n + 1..] {
                let alike = (line.species, line.size_class) == (other.species, other.size_class);
                let shared = line.grades.iter().any(|grade| other.grades.contains(grade));
                assert!(!(alike && shared), "{line:?} {other:?}");
            }
        }
    }
}
