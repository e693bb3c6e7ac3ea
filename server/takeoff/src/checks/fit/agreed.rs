//! Agreed readings: a cut length that rests on one reading, or on readings that differ.
//!
//! Which readings agree is `record::reading`'s rule. Source: common practice, no published source.

use crate::checks::{Finding, Measurement, Verdict, missing};

const SOURCE: &str = "common practice, no published source";

/// When it is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// While planning and buying.
    Planning,
    /// Before the cut.
    BeforeTheCut,
}

/// Whether a cut may go by these readings.
pub fn agreed(cut: &str, rests_on: &[&Measurement], when: When) -> Finding {
    let missing = missing(rests_on);
    if !missing.is_empty() || rests_on.is_empty() {
        let needs = if rests_on.is_empty() {
            vec![format!("the readings of {cut}")]
        } else {
            missing
        };
        return Finding::cant_tell(&needs, SOURCE).resting_on(rests_on);
    }
    let open: Vec<&str> = rests_on
        .iter()
        .filter(|one| !one.agreed)
        .map(|one| one.what.as_str())
        .collect();
    let found = if open.is_empty() {
        let sentence = format!("{cut} rests on readings that agree.");
        Finding::new(Verdict::Pass, sentence, SOURCE)
    } else {
        let (verdict, then) = match when {
            When::Planning => (Verdict::Look, "for buying only"),
            When::BeforeTheCut => (Verdict::Stop, "measure again before the cut"),
        };
        let sentence = format!(
            "{cut} rests on what no two readings agree on ({}): {then}.",
            open.join(", ")
        );
        Finding::new(verdict, sentence, SOURCE)
    };
    found.resting_on(rests_on)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    #[test]
    fn a_single_reading_is_good_to_buy_by_and_not_to_cut_by() {
        let mut height = Measurement::agreed("what it lands on to the seat", Length::inches(84));
        let at = |height: &Measurement, when| agreed("Post 1", &[height], when).verdict;
        assert_eq!(at(&height, When::BeforeTheCut), Verdict::Pass);
        height.agreed = false;
        assert_eq!(at(&height, When::Planning), Verdict::Look);
        assert_eq!(at(&height, When::BeforeTheCut), Verdict::Stop);
        height.value = None;
        assert_eq!(at(&height, When::Planning), Verdict::CantTellYet);
        assert_eq!(
            agreed("Post 1", &[], When::Planning).verdict,
            Verdict::CantTellYet
        );
    }
}
