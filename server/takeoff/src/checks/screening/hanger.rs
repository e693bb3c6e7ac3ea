//! Screens a hanger: the joist's greatest reaction against the lowest load that its own sheet gives for that wood.
//!
//! The sheet is the user's; no maker's table is here. How the hanger fits the joist is `fit`'s business.
//! Source: the hardware maker's sheet.

use super::basis::Basis;
use super::beam::not_agreed;
use super::bending::ratio_line;
use super::figure::Figure;
use super::measures::pounds;
use super::screened::{Check, Gathered, Ratio, Screened, Worse, most_sensitive};
use crate::needs::sum;
use crate::tables::Confidence;
use crate::units::Pounds;

/// A hanger as recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct Hanger {
    /// Which: `Hanger on joist 4`.
    pub name: String,
    /// The joist's reaction under every combination, with its name (`beam::reactions`); empty where it can't be told.
    pub reactions: Vec<(&'static str, f64)>,
    /// The lowest load that the sheet gives for that wood.
    pub sheet_load: Option<Pounds>,
    /// Which sheet, of when.
    pub sheet: String,
    /// How the joist meets its seat.
    pub seat: HangerSeat,
    /// What the reaction was worked out from.
    pub basis: Basis,
}

/// How a joist meets a hanger's seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HangerSeat {
    /// As it is.
    AsItIs,
    /// With a shim.
    Shimmed,
    /// Planed to it.
    Planed,
}

/// A hanger in floats, pounds.
#[derive(Clone, Debug)]
struct Model {
    reaction: f64,
    load: f64,
}

impl Model {
    fn ratio(&self) -> f64 {
        self.reaction / self.load
    }
}

/// How each input is made a tenth worse.
const INPUTS: &[Worse<Model>] = &[
    ("joist’s reaction a tenth more", |model| {
        model.reaction *= 1.1;
    }),
    ("load on its sheet a tenth less", |model| model.load *= 0.9),
];

/// Screens a hanger.
pub fn screen(hanger: &Hanger) -> Screened {
    let mut found = Gathered {
        looks: not_agreed(&hanger.basis.measurements()),
        readings: hanger.basis.readings(),
        ..Gathered::default()
    };
    if hanger.reactions.is_empty() {
        found.measure.push("the joist’s own screen".to_owned());
    }
    if hanger.sheet_load.is_none() {
        let why = "the lowest load that its sheet gives for that wood";
        found.measure.push(why.to_owned());
    }
    match hanger.seat {
        HangerSeat::AsItIs => {}
        HangerSeat::Shimmed => found
            .looks
            .push("its seat is shimmed: the sheet says whether its load still holds".to_owned()),
        HangerSeat::Planed => found
            .looks
            .push("the joist is planed: the sheet says whether its load still holds".to_owned()),
    }
    let worst = hanger
        .reactions
        .iter()
        .max_by(|(_, a), (_, b)| a.total_cmp(b));
    if let Some(((under, reaction), load)) = worst.zip(hanger.sheet_load) {
        let mut ratio = Ratio {
            check: Check::Hanger,
            place: String::new(),
            demand: *reaction,
            capacity: pounds(load),
            unit: "lb",
            under,
            sums: vec![
                sum("Reaction", format!("{reaction:.0} lb"), *under),
                sum(
                    "The sheet’s lowest load",
                    load.to_string(),
                    hanger.sheet.clone(),
                ),
            ],
            from_memory: Vec::new(),
        };
        ratio.sums.push(ratio_line(&ratio));
        found.ratios.push(ratio);
        found.figures.clone_from(&hanger.basis.figures);
        found.figures.push(Figure::new(
            "hanger’s load",
            load.to_string(),
            format!("the maker’s sheet, as entered: {}", hanger.sheet),
            Confidence::Entered,
        ));
        let model = Model {
            reaction: *reaction,
            load: pounds(load),
        };
        found.sensitivity = most_sensitive(&model, INPUTS, Model::ratio);
    }
    found.conclude(&hanger.name)
}
