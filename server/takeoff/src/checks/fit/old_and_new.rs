//! Old and new: a new piece that meets an old one, in thickness and depth.
//!
//! New as delivered if it was read, else as dressed. Source: common practice, no published source.

use super::TOUCHING;
use crate::checks::{Finding, Measurement, Verdict, missing};
use crate::needs::sum;
use crate::units::Length;

const SOURCE: &str = "common practice, no published source";

/// A new piece against an old one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meeting {
    /// What meets what: `the new plate and the old one`.
    pub what: String,
    /// Each side that must match: `thickness`, `depth`.
    pub sides: Vec<Side>,
    /// A salvaged piece on hand that is alike, if there is one.
    pub salvaged: Option<String>,
}

/// One side of both.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Side {
    /// `thickness`, `depth`.
    pub name: &'static str,
    /// The new piece's.
    pub new: Measurement,
    /// The old one's.
    pub old: Measurement,
}

/// How a new piece meets an old one: alike within 1/16 in, or with a shim, ripped, or from salvage.
pub fn old_and_new(meeting: &Meeting) -> Finding {
    let rests_on: Vec<&Measurement> = meeting
        .sides
        .iter()
        .flat_map(|side| [&side.new, &side.old])
        .collect();
    let mut needs = missing(&rests_on);
    if meeting.sides.is_empty() {
        needs.push(format!("the sizes of {}", meeting.what));
    }
    if !needs.is_empty() {
        return Finding::cant_tell(&needs, SOURCE).resting_on(&rests_on);
    }
    let mut unlike = Vec::new();
    let mut sums = Vec::new();
    for side in &meeting.sides {
        let (Some(new), Some(old)) = (side.new.value, side.old.value) else {
            continue;
        };
        let off = new - old;
        sums.push(sum(
            format!("New less old, {}", side.name),
            format!("{off} in"),
            format!("{new} − {old}"),
        ));
        if off.abs() > TOUCHING {
            unlike.push(remedy(side.name, off));
        }
    }
    let found = if unlike.is_empty() {
        let sentence = format!("{} are alike within 1/16 in.", capital(&meeting.what));
        Finding::new(Verdict::Pass, sentence, SOURCE)
    } else {
        let salvaged = match &meeting.salvaged {
            Some(piece) => format!(", or {piece} from on hand"),
            None => String::new(),
        };
        let sentence = format!(
            "{} are not alike: {}{salvaged}.",
            capital(&meeting.what),
            unlike.join("; ")
        );
        Finding::new(Verdict::Look, sentence, SOURCE)
    };
    found.with_sums(sums).resting_on(&rests_on)
}

fn remedy(side: &str, off: Length) -> String {
    if off < Length::ZERO {
        format!(
            "the new is {} in less in {side}, shim or pack it by that",
            off.abs()
        )
    } else {
        format!("the new is {off} in more in {side}, rip or plane it by that")
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meeting(new: (i64, i64), old: (i64, i64)) -> Meeting {
        let side = |name, what: &str, new, old| Side {
            name,
            new: Measurement::agreed(format!("new {what}"), Length::from_64ths(new)),
            old: Measurement::agreed(format!("old {what}"), Length::from_64ths(old)),
        };
        Meeting {
            what: "the sister and joist 4".to_owned(),
            sides: vec![
                side("thickness", "thickness", new.0, old.0),
                side("depth", "depth", new.1, old.1),
            ],
            salvaged: None,
        }
    }

    #[test]
    fn a_sixteenth_is_alike_and_more_is_shimmed_or_ripped() {
        let of = |new, old| old_and_new(&meeting(new, old));
        assert_eq!(of((96, 592), (100, 588)).verdict, Verdict::Pass);
        let thin = of((96, 592), (112, 592));
        assert_eq!(thin.verdict, Verdict::Look);
        assert!(
            thin.sentence.contains("1/4 in less in thickness, shim"),
            "{}",
            thin.sentence
        );
        let deep = of((96, 600), (96, 592));
        assert!(
            deep.sentence.contains("1/8 in more in depth, rip"),
            "{}",
            deep.sentence
        );
        let mut unread = meeting((96, 592), (96, 592));
        unread.sides[1].old.value = None;
        assert_eq!(old_and_new(&unread).verdict, Verdict::CantTellYet);
        unread.sides.clear();
        assert_eq!(old_and_new(&unread).verdict, Verdict::CantTellYet);
    }
}
