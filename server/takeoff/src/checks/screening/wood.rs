//! The wood of a member: which lines of design values are for it, with their size factors, and what isn't known of it.
//!
//! How loads and service adjust them is in `adjusted`. Not here: glued or graded-by-machine lumber, boards.
//! Source: NDS Supplement by way of `tables`; the rule for what isn't known is conservative practice: the weakest listed.

use super::figure::{Figure, add};
use super::measures::{inches, root, whole};
use crate::tables::Confidence;
use crate::tables::adjustment_factors::{
    Factor, NONE, SizeGroup, TIMBER_DEPTH_ROOT, TIMBER_FULL_DEPTH, Thickness, flat_use, size_factor,
};
use crate::tables::density::{Grade, Species, UNKNOWN_TENTHS_LB_PER_CU_FT};
use crate::tables::design_values::{DESIGN_VALUES, DesignLine, Property, SizeClass};
use crate::units::{Length, Section};

/// Something of the wood that a stamp or a named judge tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Told<T> {
    /// It is one of the table.
    Listed(T),
    /// It is something that the tables don't have.
    Unlisted(String),
    /// Nobody has said.
    NotKnown,
}

/// Whether the wood is wet in service.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moisture {
    /// At most 19 percent, seasoned.
    Dry,
    /// Sold and set green: it dries under its load.
    Green,
    /// Wet in service.
    Wet,
    /// Not known: dry, with the creep of wood that isn't seasoned.
    NotKnown,
}

/// What a member is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wood {
    /// The species group.
    pub species: Told<Species>,
    /// The grade, from a stamp or a named judge.
    pub grade: Told<Grade>,
    /// Wet or dry.
    pub moisture: Moisture,
    /// Incised for treatment.
    pub incised: bool,
}

impl Wood {
    /// From texts as recorded: an empty species or grade is not known; a grade without a stamp or judge should come as
    /// `None`.
    pub fn read(species: Option<&str>, grade: Option<&str>, moisture: Moisture) -> Self {
        Self {
            species: told(species, Species::from_name),
            grade: told(grade, Grade::from_name),
            moisture,
            incised: false,
        }
    }

    /// Its density in pounds a cubic foot; green and wet wood weighs 1.2 times as much.
    ///
    /// Source: AWC 1992 weights (`tables::density`); the factor is common practice, no published source.
    pub fn density(&self) -> f64 {
        let tenths = self.dry_tenths();
        let wetness = match self.moisture {
            Moisture::Green | Moisture::Wet => 1.2,
            Moisture::Dry | Moisture::NotKnown => 1.0,
        };
        whole(tenths) / 10.0 * wetness
    }

    /// Its density when dry, in tenths of a pound a cubic foot; of a species that isn't known the heaviest listed.
    pub(crate) fn dry_tenths(&self) -> i64 {
        match self.species {
            Told::Listed(species) => species.tenths_lb_per_cu_ft(),
            _ => UNKNOWN_TENTHS_LB_PER_CU_FT,
        }
    }

    /// What of it isn't known and was taken for the weakest listed.
    pub fn unknown(&self) -> Vec<&'static str> {
        let mut all = Vec::new();
        if self.species == Told::NotKnown {
            all.push("species");
        }
        if self.grade == Told::NotKnown {
            all.push("grade");
        }
        all
    }
}

fn told<T>(text: Option<&str>, listed: impl Fn(&str) -> Option<T>) -> Told<T> {
    match text.map(str::trim).filter(|text| !text.is_empty()) {
        None => Told::NotKnown,
        Some(text) => listed(text).map_or_else(|| Told::Unlisted(text.to_owned()), Told::Listed),
    }
}

/// Which face the load is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laid {
    /// On edge.
    OnEdge,
    /// Flat: the load is on the wide face.
    Flat,
}

/// A reference value with its size factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sized {
    /// The reference value, psi.
    pub psi: f64,
    /// CF, with Cfu where it lies flat.
    pub factor: f64,
    /// How far both were seen: the lesser of the two.
    pub confidence: Confidence,
}

impl Sized {
    /// The value times its size factor, psi.
    pub fn value(self) -> f64 {
        self.psi * self.factor
    }
}

/// The reference values of one ply of a member, sized.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    values: [Sized; 7],
    /// Whether it is timber, 5 in and thicker.
    pub timber: bool,
    /// Where each value is from.
    pub figures: Vec<Figure>,
}

impl Design {
    /// A value with its size factor.
    pub fn sized(&self, property: Property) -> Sized {
        self.values[property as usize]
    }

    /// A value times its size factor, psi.
    pub fn value(&self, property: Property) -> f64 {
        self.sized(property).value()
    }
}

/// The reference values of a ply of this section. What isn't known of the wood takes the least of value × size factor
/// among the lines for that size, each property by itself.
///
/// # Errors
/// Why there are none, in words that follow "can't tell yet: ".
pub fn design(wood: &Wood, section: Section, laid: Laid) -> Result<Design, String> {
    if let Told::Unlisted(name) = &wood.species {
        return Err(format!("no design values are on record for {name}"));
    }
    if let Told::Unlisted(name) = &wood.grade {
        return Err(format!("no design values are on record for grade {name}"));
    }
    let size = Size::of(section)?;
    if size.is_timber() && laid == Laid::Flat {
        return Err("a timber on its flat has no design values on record".to_owned());
    }
    let lines: Vec<(&DesignLine, SizeGroup)> = DESIGN_VALUES
        .iter()
        .filter_map(|line| Some((line, size.group_in(line, wood)?)))
        .collect();
    if lines.is_empty() {
        return Err(format!(
            "no design values are on record for {} {} in this size",
            words(&wood.species, Species::name, "this species,"),
            words(&wood.grade, Grade::name, "this grade"),
        ));
    }
    let mut figures = Vec::new();
    let values = Property::ALL.map(|property| {
        let sized = lines.iter().map(|(line, group)| {
            let factor = size.factor(*group, property, laid);
            let sized = Sized {
                psi: f64::from(line.psi(property)),
                factor: factor.value,
                confidence: less_seen(line.confidence_of(property), factor.confidence),
            };
            (*line, sized)
        });
        let (line, least) = sized
            .min_by(|(_, a), (_, b)| a.value().total_cmp(&b.value()))
            .expect("there is a line");
        add(&mut figures, reference(line, property));
        least
    });
    Ok(Design {
        values,
        timber: size.is_timber(),
        figures,
    })
}

fn words<T: Copy>(told: &Told<T>, name: impl Fn(T) -> &'static str, unknown: &str) -> String {
    match told {
        Told::Listed(one) => name(*one).to_owned(),
        _ => unknown.to_owned(),
    }
}

fn reference(line: &DesignLine, property: Property) -> Figure {
    let name = line.species.name();
    Figure::new(
        format!("{}, {name} {}", property.name(), line.grade_name()),
        format!("{} psi", line.psi(property)),
        line.source(),
        line.confidence_of(property),
    )
}

/// The less seen of two: memory before partial before computed before verified.
pub(crate) fn less_seen(one: Confidence, other: Confidence) -> Confidence {
    let rank = |confidence| match confidence {
        Confidence::Entered | Confidence::Memory => 0,
        Confidence::Partial => 1,
        Confidence::Computed => 2,
        Confidence::Verified => 3,
    };
    if rank(one) <= rank(other) { one } else { other }
}

/// A section by what the tables go by.
enum Size {
    /// 2 to 4 in thick: the nominal thickness, and the least nominal width that is not less than the wide side.
    Dimension(Thickness, i64),
    /// 4 1/2 in and thicker: its class and its depth in inches.
    Timber(SizeClass, f64),
}

/// From this thickness as found a piece counts as timber.
const TIMBER_FROM: Length = Length::inches_64(4, 32);
/// Thinner than this is a board, which has no design values; 1/16 under dressed 2 in lumber is within what planing and
/// drying do. Working assumption, no published source.
const LEAST_THICKNESS: Length = Length::inches_64(1, 28);

impl Size {
    fn of(section: Section) -> Result<Self, String> {
        let (thin, wide) = if section.thickness <= section.depth {
            (section.thickness, section.depth)
        } else {
            (section.depth, section.thickness)
        };
        if thin >= TIMBER_FROM {
            let class = if wide - thin > Length::inches(2) {
                SizeClass::BeamsAndStringers
            } else {
                SizeClass::PostsAndTimbers
            };
            return Ok(Self::Timber(class, inches(section.depth)));
        }
        if thin < LEAST_THICKNESS {
            return Err(format!(
                "wood {thin} in thick is a board, and boards have no design values"
            ));
        }
        let thickness = if thin > Length::inches(3) {
            Thickness::Four
        } else {
            Thickness::TwoOrThree
        };
        Ok(Self::Dimension(thickness, nominal_width(wide)))
    }

    fn is_timber(&self) -> bool {
        matches!(self, Self::Timber(..))
    }

    /// The size factors that a line goes with, if it is for this size and this wood.
    fn group_in(&self, line: &DesignLine, wood: &Wood) -> Option<SizeGroup> {
        if let Told::Listed(species) = wood.species
            && species != line.species
        {
            return None;
        }
        let grade = match wood.grade {
            // Stud grade wider than 6 in goes by No.3: NDS Supplement Table 4A, from memory.
            Told::Listed(Grade::Stud) if matches!(self, Self::Dimension(_, 7..)) => {
                Told::Listed(Grade::No3)
            }
            ref told => told.clone(),
        };
        if let Told::Listed(grade) = grade
            && !line.grades.contains(&grade)
        {
            return None;
        }
        match *self {
            Self::Timber(class, _) => (class == line.size_class).then_some(SizeGroup::Common),
            Self::Dimension(_, width) => {
                let fits = match line.size_class {
                    SizeClass::Dimension => true,
                    SizeClass::ToSixWide => width <= 6,
                    SizeClass::ToFourWide => width <= 4,
                    SizeClass::FiveToSixWide => (5..=6).contains(&width),
                    SizeClass::EightWide => (7..=8).contains(&width),
                    SizeClass::TenWide => (9..=10).contains(&width),
                    SizeClass::TwelveWide => width >= 11,
                    SizeClass::BeamsAndStringers | SizeClass::PostsAndTimbers => false,
                };
                fits.then(|| {
                    if line.species == Species::SouthernPine {
                        SizeGroup::SouthernPine
                    } else if line.grades.contains(&Grade::Stud) {
                        SizeGroup::Stud
                    } else if line.grades.contains(&Grade::Construction) {
                        SizeGroup::Construction
                    } else {
                        SizeGroup::Common
                    }
                })
            }
        }
    }

    /// CF, and Cfu where it lies flat.
    fn factor(&self, group: SizeGroup, property: Property, laid: Laid) -> Factor {
        match *self {
            Self::Dimension(thickness, width) => {
                let size = size_factor(group, thickness, width, property);
                if property != Property::Fb || laid == Laid::OnEdge {
                    return size;
                }
                let flat = flat_use(thickness, width);
                Factor {
                    value: size.value * flat.value,
                    confidence: less_seen(size.confidence, flat.confidence),
                    ..flat
                }
            }
            Self::Timber(_, depth) if property == Property::Fb => timber_size_factor(depth),
            Self::Timber(..) => NONE,
        }
    }
}

/// CF of a timber of this depth in inches: (12/d)^(1/9) over 12 in, else 1.
///
/// Source: NDS 4.3.6; verified.
pub fn timber_size_factor(depth: f64) -> Factor {
    if depth <= TIMBER_FULL_DEPTH.value {
        return NONE;
    }
    Factor {
        value: root(TIMBER_FULL_DEPTH.value / depth, TIMBER_DEPTH_ROOT),
        ..TIMBER_FULL_DEPTH
    }
}

/// The least nominal width that is not less than this, in inches; 16 and more is 16.
fn nominal_width(wide: Length) -> i64 {
    const WIDTHS: [i64; 9] = [2, 3, 4, 5, 6, 8, 10, 12, 14];
    WIDTHS
        .into_iter()
        .find(|width| wide <= Length::inches(*width))
        .unwrap_or(16)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(thickness: (i64, i64), depth: (i64, i64)) -> Section {
        Section {
            thickness: Length::inches_64(thickness.0, thickness.1),
            depth: Length::inches_64(depth.0, depth.1),
        }
    }

    fn wood(species: Option<&str>, grade: Option<&str>) -> Wood {
        Wood::read(species, grade, Moisture::Dry)
    }

    fn psi(wood: &Wood, section: Section, property: Property) -> i64 {
        let value = design(wood, section, Laid::OnEdge).unwrap().value(property);
        length_of(value)
    }

    fn length_of(value: f64) -> i64 {
        super::super::measures::length_down(value.round()).div_down(Length::inches(1))
    }

    #[test]
    fn an_old_joist_takes_the_size_factor_of_the_next_nominal_width_up() {
        let hem_fir = wood(Some("Hem-Fir"), Some("No.2"));
        let fb = |depth| psi(&hem_fir, section((1, 48), depth), Property::Fb);
        assert_eq!(fb((9, 16)), 935); // 850 × 1.1
        assert_eq!(fb((10, 0)), 935);
        assert_eq!(fb((10, 1)), 850);
        assert_eq!(fb((13, 16)), 765); // × 0.9
    }

    #[test]
    fn a_grade_that_nobody_judged_takes_the_weakest_of_its_size() {
        let unknown = wood(Some("Spruce-Pine-Fir"), None);
        // 2x4: Stud 675 × 1.1 is less than No.3 500 × 1.5; 2x10: No.3.
        assert_eq!(psi(&unknown, section((1, 32), (3, 32)), Property::Fb), 743);
        assert_eq!(psi(&unknown, section((1, 32), (9, 16)), Property::Fb), 550);
        assert_eq!(unknown.unknown(), ["grade"]);
        let nothing = wood(None, Some(""));
        assert_eq!(
            psi(&nothing, section((1, 32), (9, 16)), Property::FcPerp),
            405
        );
        assert_eq!(psi(&nothing, section((1, 32), (9, 16)), Property::Fb), 475); // Southern Pine No.3
        assert_eq!(nothing.unknown(), ["species", "grade"]);
    }

    #[test]
    fn what_the_tables_lack_is_said_and_never_guessed() {
        let why = |wood: &Wood, section| design(wood, section, Laid::OnEdge).unwrap_err();
        let two_by_ten = section((1, 32), (9, 16));
        assert!(why(&wood(Some("Redwood"), None), two_by_ten).contains("Redwood"));
        assert!(why(&wood(None, Some("Utility")), two_by_ten).contains("Utility"));
        let timber = section((5, 32), (9, 32));
        assert!(why(&wood(Some("Southern Pine"), None), timber).contains("Southern Pine"));
        assert!(why(&wood(None, None), section((0, 48), (9, 16))).contains("board"));
    }

    #[test]
    fn a_timber_goes_by_its_shape_and_a_wide_stud_by_number_three() {
        let dfl = wood(Some("Douglas Fir-Larch"), Some("No.1"));
        assert_eq!(psi(&dfl, section((5, 32), (7, 32)), Property::Fb), 1200);
        assert_eq!(psi(&dfl, section((5, 32), (9, 32)), Property::Fb), 1350);
        let stud = wood(Some("Hem-Fir"), Some("Stud"));
        assert_eq!(psi(&stud, section((1, 32), (5, 32)), Property::Fb), 675);
        assert_eq!(psi(&stud, section((1, 32), (7, 16)), Property::Fb), 600); // 500 × 1.2
    }
}
