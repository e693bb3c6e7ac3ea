//! What carries a shore: the first rule that holds decides.
//!
//! What a screen says of joists, planks and pads comes in as its verdict. Source: common practice, no published source.

use crate::checks::{Finding, Measurement, Verdict};
use crate::units::Length;

const SOURCE: &str = "common practice, no published source";

/// A shoring line and what is under it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Footing {
    /// Its name: `Shore 1, first side`.
    pub shore: String,
    /// Whether the line runs along the joists above, so that it misses them.
    pub along_joists_above: Option<bool>,
    /// What it stands on.
    pub on: StandsOn,
}

/// What a shoring line stands on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StandsOn {
    /// A slab on the ground.
    Slab,
    /// A framed floor.
    Floor(Box<Floor>),
    /// Soil, or a crawl space: on planks or a footing, with what its screen as a pad says.
    Soil(Screen),
    /// A framed floor with a shore under it again, down to the lowest.
    Stacked {
        /// What the screen of the floor joists between says, in bearing alone.
        between: Screen,
        /// What the lowest shore stands on.
        lowest: Box<StandsOn>,
    },
    /// Nobody has said.
    NotKnown,
}

/// What a screen says, or what to record before there is one.
pub type Screen = Result<Verdict, String>;

/// A framed floor under a shoring line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Floor {
    /// From the line to the nearest girder or wall below; `None` where there is none.
    pub support: Option<Support>,
    /// How the line runs to the floor's joists.
    pub line: Line,
    /// What the screen of the floor joists says with the shore's load (planked: shared by the three).
    pub screened: Screen,
}

/// A girder or wall below.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Support {
    /// Its name.
    pub name: String,
    /// From the line to it; zero where the line is over it.
    pub away: Measurement,
    /// The depth of the joists between.
    pub joist_depth: Measurement,
    /// Whether its support links reach soil.
    pub reaches_soil: Option<bool>,
    /// What its own screen says with the shore's load.
    pub screened: Screen,
}

impl Support {
    /// Whether the line is within the joists' depth of it; not where one of both isn't known.
    pub fn is_near(&self) -> bool {
        self.away
            .value
            .zip(self.joist_depth.value)
            .is_some_and(|(away, depth)| away.abs() <= depth.max(Length::ZERO))
    }
}

/// How a shoring line runs to the joists that it stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Across them.
    Across,
    /// Along them, or on a bay between two.
    AlongOrBay {
        /// Planked across three joists.
        planked: bool,
    },
    /// Nobody has said.
    NotKnown,
}

/// What carries a shore.
pub fn footing(footing: &Footing) -> Finding {
    let name = &footing.shore;
    match footing.along_joists_above {
        Some(true) => {
            let says = format!(
                "{name} runs along the joists above and misses them: turn it, or cross it with a header."
            );
            return Finding::new(Verdict::Stop, says, SOURCE);
        }
        Some(false) => {}
        None => return cant_tell(format!("whether {name} runs across the joists above")),
    }
    on(name, &footing.on)
}

fn on(name: &str, on: &StandsOn) -> Finding {
    match on {
        StandsOn::Slab => {
            let says = format!("{name} stands on a slab.");
            Finding::new(Verdict::Pass, says, SOURCE)
        }
        StandsOn::Floor(floor) => on_floor(name, floor),
        StandsOn::Soil(screen) => screened(name, "the plank or footing under it", screen),
        StandsOn::Stacked { between, lowest } => stacked(name, between, lowest),
        StandsOn::NotKnown => cant_tell(format!("what {name} stands on: a slab or soil")),
    }
}

/// One shore straight above another: the worse of what the joists between say, and what the lowest stands on.
fn stacked(name: &str, between: &Screen, lowest: &StandsOn) -> Finding {
    let mut joists = screened(name, "bearing of the floor joists between", between);
    let mut lowest = on(&format!("{name}, below"), lowest);
    if joists.verdict == Verdict::CantTellYet && lowest.verdict == Verdict::CantTellYet {
        let mut needs = std::mem::take(&mut joists.measure);
        needs.append(&mut lowest.measure);
        return Finding::cant_tell(&needs, SOURCE);
    }
    if joists.verdict > lowest.verdict {
        joists
    } else {
        lowest
    }
}

fn on_floor(name: &str, floor: &Floor) -> Finding {
    if let Some(support) = &floor.support {
        if support.away.value.is_none() || support.joist_depth.value.is_none() {
            let needs = crate::checks::missing(&[&support.away, &support.joist_depth]);
            return Finding::cant_tell(&needs, SOURCE);
        }
        let near = support.is_near();
        if near && support.screened != Ok(Verdict::Stop) {
            if support.reaches_soil == Some(false) {
                let says = format!(
                    "{name} stands on {}, and the way from there to the soil has a gap.",
                    support.name
                );
                return Finding::new(Verdict::Stop, says, SOURCE)
                    .resting_on(&[&support.away, &support.joist_depth]);
            }
            if support.reaches_soil.is_none() {
                return cant_tell(format!("what {} bears on, down to the soil", support.name));
            }
        }
        if near && support.screened == Ok(Verdict::Pass) {
            let says = format!(
                "{name} stands on {}, which reaches soil and passes its screen.",
                support.name
            );
            return Finding::new(Verdict::Pass, says, SOURCE)
                .resting_on(&[&support.away, &support.joist_depth]);
        }
        if near && support.screened == Ok(Verdict::Stop) {
            let says = format!(
                "{name} stands on {}, which does not pass its screen.",
                support.name
            );
            return Finding::new(Verdict::Stop, says, SOURCE)
                .resting_on(&[&support.away, &support.joist_depth]);
        }
        if near {
            return screened(name, &support.name, &support.screened);
        }
    }
    match floor.line {
        Line::Across => screened(name, "the floor joists under it", &floor.screened),
        Line::AlongOrBay { planked: true } => {
            screened(name, "the three joists under its planks", &floor.screened)
        }
        Line::AlongOrBay { planked: false } => {
            let says = format!(
                "{name} stands along a joist or on a bay: plank it across three joists first."
            );
            Finding::new(Verdict::Stop, says, SOURCE)
        }
        Line::NotKnown => cant_tell(format!(
            "whether {name} stands across the floor joists or along them"
        )),
    }
}

fn screened(name: &str, what: &str, screen: &Screen) -> Finding {
    let (verdict, says) = match screen {
        Err(needs) => return cant_tell(needs.clone()),
        Ok(Verdict::CantTellYet) => {
            return cant_tell(format!("the screen of {what}, with the load of {name}"));
        }
        Ok(Verdict::Pass) => (Verdict::Pass, format!("{name}: {what} passes its screen.")),
        Ok(Verdict::Look) => (Verdict::Look, format!("{name}: look at {what}.")),
        Ok(Verdict::Stop) => (
            Verdict::Stop,
            format!("{name}: {what} does not pass its screen."),
        ),
    };
    Finding::new(verdict, says, SOURCE)
}

fn cant_tell(needs: String) -> Finding {
    Finding::cant_tell(&[needs], SOURCE)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(on: StandsOn) -> Verdict {
        footing(&Footing {
            shore: "Shore 1".to_owned(),
            along_joists_above: Some(false),
            on,
        })
        .verdict
    }

    fn floor(line: Line, screened: Screen) -> Floor {
        Floor {
            support: None,
            line,
            screened,
        }
    }

    #[test]
    fn a_line_along_the_joists_above_stops_before_anything_else() {
        let shore = |along_joists_above| Footing {
            shore: "Shore 1".to_owned(),
            along_joists_above,
            on: StandsOn::Slab,
        };
        assert_eq!(footing(&shore(Some(true))).verdict, Verdict::Stop);
        assert_eq!(footing(&shore(None)).verdict, Verdict::CantTellYet);
        assert_eq!(footing(&shore(Some(false))).verdict, Verdict::Pass);
    }

    #[test]
    fn a_bay_is_planked_across_three_joists_first() {
        let on = |line, screened| of(StandsOn::Floor(Box::new(floor(line, screened))));
        let pass = || Ok(Verdict::Pass);
        let lacks = || Err("the joists that it holds up".to_owned());
        let planked = |planked| Line::AlongOrBay { planked };
        assert_eq!(on(planked(false), pass()), Verdict::Stop);
        assert_eq!(on(planked(true), pass()), Verdict::Pass);
        assert_eq!(on(planked(true), lacks()), Verdict::CantTellYet);
        assert_eq!(on(Line::Across, Ok(Verdict::Stop)), Verdict::Stop);
        assert_eq!(on(Line::NotKnown, pass()), Verdict::CantTellYet);
        assert_eq!(of(StandsOn::Soil(Ok(Verdict::Look))), Verdict::Look);
        assert_eq!(of(StandsOn::Soil(lacks())), Verdict::CantTellYet);
        assert_eq!(of(StandsOn::NotKnown), Verdict::CantTellYet);
    }

    #[test]
    fn a_girder_within_the_joists_depth_carries_it_only_where_it_reaches_soil_and_passes() {
        let on = |away: i64, reaches_soil, screened, joists| {
            let mut floor = floor(Line::Across, joists);
            floor.support = Some(Support {
                name: "girder 1".to_owned(),
                away: Measurement::agreed("line to girder", Length::inches(away)),
                joist_depth: Measurement::agreed("joist depth", Length::inches(9)),
                reaches_soil,
                screened,
            });
            of(StandsOn::Floor(Box::new(floor)))
        };
        let pass = || Ok(Verdict::Pass);
        let lacks = || Err("its size".to_owned());
        assert_eq!(on(9, Some(true), pass(), lacks()), Verdict::Pass);
        assert_eq!(on(10, Some(true), pass(), lacks()), Verdict::CantTellYet);
        assert_eq!(on(0, None, pass(), lacks()), Verdict::CantTellYet);
        // Not known to reach soil, it can't be told, whatever joists say that have no span to there.
        assert_eq!(on(0, None, pass(), pass()), Verdict::CantTellYet);
        assert_eq!(on(0, Some(false), pass(), pass()), Verdict::Stop);
        assert_eq!(on(0, Some(true), lacks(), pass()), Verdict::CantTellYet);
        assert_eq!(on(0, Some(true), Ok(Verdict::Look), pass()), Verdict::Look);
        assert_eq!(on(0, Some(true), Ok(Verdict::Stop), pass()), Verdict::Stop);
    }
}
