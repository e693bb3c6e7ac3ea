//! Screens a hanger: the joist's greatest reaction against the lowest load that its own sheet gives for that wood.
//!
//! The sheet is the user's; no maker's table is here. How the hanger fits the joist is `fit`'s business.
//! Source: the hardware maker's sheet.

use super::bending::ratio_line;
use super::figure::Figure;
use super::measures::pounds;
use super::screened::{Check, Gathered, Ratio, Screened};
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

/// Screens a hanger.
pub fn screen(hanger: &Hanger) -> Screened {
    let mut found = Gathered::default();
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
        found.figures.push(Figure::new(
            "hanger’s load",
            load.to_string(),
            format!("the maker’s sheet, as entered: {}", hanger.sheet),
            Confidence::Verified,
        ));
    }
    found.conclude(&hanger.name)
}
