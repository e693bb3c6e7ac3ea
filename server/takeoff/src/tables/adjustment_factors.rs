//! Factors that adjust reference design values: size, repetition, how long a load lasts, moisture, flat use, incising,
//! and the constants of bearing, columns and shear.
//!
//! Formulas stand with the screening; here are figures alone. Not here: glued, round or graded-by-machine lumber, heat.
//! Source: NDS and NDS Supplement (2005 cycle and later), as carried by two university courses and the span tables of
//! IRC 2018 where verified or computed; the rest from memory.

use super::Confidence::{self, Computed, Memory, Verified};
use super::design_values::Property::{self, E, Emin, Fb, Fc, FcPerp, Ft, Fv};

/// A factor and where it is from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// What it is multiplied by.
    pub value: f64,
    /// The clause or table.
    pub source: &'static str,
    /// How far it was seen.
    pub confidence: Confidence,
}

const fn factor(value: f64, source: &'static str, confidence: Confidence) -> Factor {
    Factor {
        value,
        source,
        confidence,
    }
}

const TABLE_4A: &str = "NDS Supplement (2005 cycle and later) Table 4A";
const TABLE_4B: &str = "NDS Supplement (2005 cycle and later) Table 4B";
const TABLE_4D: &str = "NDS Supplement (2005 cycle and later) Table 4D";

/// No adjustment, because the standard asks for none.
pub const NONE: Factor = factor(1.0, "NDS (2005 cycle and later)", Verified);

/// Thickness of dimension lumber as the factors tell it apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thickness {
    /// Nominal 2 and 3 in.
    TwoOrThree,
    /// Nominal 4 in.
    Four,
}

/// Which size factors a line of values goes with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeGroup {
    /// Select Structural to No.3 of the species of Table 4A.
    Common,
    /// Stud grade to 6 in wide; wider goes by No.3 and its factors.
    Stud,
    /// Construction grade.
    Construction,
    /// Southern Pine: the values are by width already.
    SouthernPine,
}

/// The size factor CF of dimension lumber of a nominal width in inches; 1 for what it doesn't affect.
pub fn size_factor(
    group: SizeGroup,
    thickness: Thickness,
    width: i64,
    property: Property,
) -> Factor {
    if !matches!(property, Fb | Ft | Fc) {
        return NONE;
    }
    match group {
        SizeGroup::Common => common_size(thickness, width, property),
        SizeGroup::Stud if width <= 4 => {
            let value = if property == Fc { 1.05 } else { 1.1 };
            factor(value, TABLE_4A, Memory)
        }
        SizeGroup::Stud => factor(1.0, TABLE_4A, Memory),
        SizeGroup::Construction => factor(1.0, TABLE_4A, Verified),
        SizeGroup::SouthernPine if width > 12 => factor(0.9, TABLE_4B, Memory),
        SizeGroup::SouthernPine if width >= 8 && thickness == Thickness::Four && property == Fb => {
            factor(1.1, TABLE_4B, Memory)
        }
        SizeGroup::SouthernPine => factor(1.0, TABLE_4B, Verified),
    }
}

/// Nominal width to, Fb to 3 in thick, Fb 4 in thick, Ft, Fc; each with how far it was seen.
type SizeRow = (i64, [(f64, Confidence); 4]);

const COMMON_SIZES: [SizeRow; 7] = [
    (
        4,
        [
            (1.5, Verified),
            (1.5, Memory),
            (1.5, Memory),
            (1.15, Memory),
        ],
    ),
    (
        5,
        [(1.4, Memory), (1.4, Memory), (1.4, Memory), (1.1, Memory)],
    ),
    (
        6,
        [(1.3, Verified), (1.3, Memory), (1.3, Memory), (1.1, Memory)],
    ),
    (
        8,
        [
            (1.2, Verified),
            (1.3, Memory),
            (1.2, Verified),
            (1.05, Memory),
        ],
    ),
    (
        10,
        [
            (1.1, Verified),
            (1.2, Memory),
            (1.1, Verified),
            (1.0, Verified),
        ],
    ),
    (
        12,
        [(1.0, Verified), (1.1, Memory), (1.0, Memory), (1.0, Memory)],
    ),
    (
        i64::MAX,
        [(0.9, Memory), (1.0, Memory), (0.9, Memory), (0.9, Memory)],
    ),
];

fn common_size(thickness: Thickness, width: i64, property: Property) -> Factor {
    let column = match (property, thickness) {
        (Fb, Thickness::TwoOrThree) => 0,
        (Fb, Thickness::Four) => 1,
        (Ft, _) => 2,
        _ => 3,
    };
    let row = COMMON_SIZES.iter().find(|(to, _)| width <= *to);
    let (_, factors) = row.expect("the last row takes every width");
    let (value, confidence) = factors[column];
    factor(value, TABLE_4A, confidence)
}

/// Timbers deeper than this take CF = (12/d)^(1/9) on Fb; NDS 4.3.6, verified.
pub const TIMBER_FULL_DEPTH: Factor = factor(12.0, "NDS (2005 cycle and later) 4.3.6", Verified);
/// The root in that formula.
pub const TIMBER_DEPTH_ROOT: u8 = 9;

/// Cr: three or more alike, at most 24 in on centre, joined by sheathing, 2 to 4 in thick; on Fb.
pub const REPETITIVE: Factor = factor(1.15, "NDS (2005 cycle and later) 4.3.9", Verified);

/// How long a load lasts: CD, on Fb, Ft, Fv and Fc; never on E, Emin or Fc⊥.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadDuration {
    /// Permanent: dead load alone.
    Permanent,
    /// Ten years: floor live load.
    TenYears,
    /// Two months: snow.
    TwoMonths,
    /// Seven days: roof live load, construction.
    SevenDays,
    /// Ten minutes: wind, earthquake.
    TenMinutes,
    /// Impact.
    Impact,
}

impl LoadDuration {
    /// Every duration, the longest first.
    pub const ALL: [Self; 6] = [
        Self::Permanent,
        Self::TenYears,
        Self::TwoMonths,
        Self::SevenDays,
        Self::TenMinutes,
        Self::Impact,
    ];

    /// Its factor CD.
    pub const fn factor(self) -> Factor {
        const SOURCE: &str = "NDS (2005 cycle and later) Table 2.3.2";
        match self {
            Self::Permanent => factor(0.9, SOURCE, Verified),
            Self::TenYears => factor(1.0, SOURCE, Verified),
            Self::TwoMonths => factor(1.15, SOURCE, Verified),
            Self::SevenDays => factor(1.25, SOURCE, Verified),
            Self::TenMinutes => factor(1.6, SOURCE, Memory),
            Self::Impact => factor(2.0, SOURCE, Memory),
        }
    }
}

/// CM of dimension lumber that is wet in service, over 19 percent. On Fb it is 1 where Fb × CF is at most
/// [`WET_FB_FROM`], on Fc where Fc × CF is at most [`WET_FC_FROM`].
pub const fn wet_dimension(property: Property) -> Factor {
    match property {
        Fb => factor(0.85, TABLE_4A, Verified),
        Ft => factor(1.0, TABLE_4A, Verified),
        Fv => factor(0.97, TABLE_4A, Verified),
        FcPerp => factor(0.67, TABLE_4A, Memory),
        Fc => factor(0.8, TABLE_4A, Memory),
        E | Emin => factor(0.9, TABLE_4A, Memory),
    }
}

/// Fb × CF up to here isn't reduced when wet, psi.
pub const WET_FB_FROM: Factor = factor(1150.0, TABLE_4A, Verified);
/// Fc × CF up to here isn't reduced when wet, psi.
pub const WET_FC_FROM: Factor = factor(750.0, TABLE_4A, Memory);

/// CM of timbers, 5 in and thicker, that are wet in service.
pub const fn wet_timber(property: Property) -> Factor {
    match property {
        FcPerp => factor(0.67, TABLE_4D, Memory),
        Fc => factor(0.91, TABLE_4D, Memory),
        Fb | Ft | Fv | E | Emin => factor(1.0, TABLE_4D, Memory),
    }
}

/// Cfu of dimension lumber loaded on its wide face, by nominal width in inches; on Fb.
pub fn flat_use(thickness: Thickness, width: i64) -> Factor {
    let row = FLAT_USE.iter().find(|(to, _, _)| width <= *to);
    let (_, thin, four) = row.expect("the last row takes every width");
    let value = match thickness {
        Thickness::TwoOrThree => *thin,
        Thickness::Four => *four,
    };
    factor(value, TABLE_4A, Memory)
}

/// Nominal width to, 2 and 3 in thick, 4 in thick.
const FLAT_USE: [(i64, f64, f64); 6] = [
    (3, 1.0, 1.0),
    (4, 1.1, 1.0),
    (5, 1.1, 1.05),
    (6, 1.15, 1.05),
    (8, 1.15, 1.05),
    (i64::MAX, 1.2, 1.1),
];

/// Loaded on the narrow face there is no flat-use factor.
pub const ON_EDGE: Factor = factor(1.0, TABLE_4A, Verified);

/// Cb = (lb + 3/8)/lb, for a bearing of length lb in inches under [`BEARING_LONG`], [`BEARING_FROM_END`] or more from the
/// member's end; on Fc⊥.
pub const BEARING_ADDED: Factor = factor(0.375, "NDS (2005 cycle and later) 3.10.4", Computed);
/// A bearing of this length and more has Cb 1.
pub const BEARING_LONG: Factor = factor(6.0, "NDS (2005 cycle and later) 3.10.4", Computed);
/// A bearing nearer to the member's end than this has Cb 1.
pub const BEARING_FROM_END: Factor = factor(3.0, "NDS (2005 cycle and later) 3.10.4", Computed);

/// Ci of incised dimension lumber; 1 on Fc⊥.
pub const fn incised(property: Property) -> Factor {
    const SOURCE: &str = "NDS (2005 cycle and later) Table 4.3.8";
    match property {
        Fb | Ft | Fv | Fc => factor(0.8, SOURCE, Memory),
        E | Emin => factor(0.95, SOURCE, Memory),
        FcPerp => factor(1.0, SOURCE, Memory),
    }
}

/// Ct up to 100 °F.
pub const TEMPERATURE: Factor = factor(1.0, "NDS (2005 cycle and later) Table 2.3.3", Verified);
/// c of a sawn column, in Cp.
pub const SAWN_COLUMN: Factor = factor(0.8, "NDS (2005 cycle and later) 3.7.1", Verified);
/// `FcE` = this × Emin ÷ (le/d)².
pub const BUCKLING: Factor = factor(0.822, "NDS (2005 cycle and later) 3.7.1", Verified);
/// Kf of a column of 2 to 5 nailed plies that buckles across the plies.
pub const NAILED_PLIES: Factor = factor(0.6, "NDS (2005 cycle and later) 15.3.2", Memory);
/// fv = this × V ÷ (b d) in a rectangle.
pub const RECTANGLE_SHEAR: Factor = factor(1.5, "NDS (2005 cycle and later) 3.4.2", Memory);
/// The most le/d of a column in service.
pub const SLENDEREST: Factor = factor(50.0, "NDS (2005 cycle and later) 3.7.1", Verified);
/// The most le/d of a column while building.
pub const SLENDEREST_BUILDING: Factor = factor(75.0, "NDS (2005 cycle and later) 3.7.1", Verified);
/// Creep of seasoned lumber under lasting load, times its first deflection.
pub const CREEP_SEASONED: Factor = factor(1.5, "NDS (2005 cycle and later) 3.5.2", Memory);
/// Creep of unseasoned or wet lumber, and of lumber of which it isn't known.
pub const CREEP_UNSEASONED: Factor = factor(2.0, "NDS (2005 cycle and later) 3.5.2", Memory);
