//! Laws of checks through the record.

use proptest::prelude::*;

use super::super::{CheckKind, of_job};
use super::{READINGS, house, readings_of, the};
use crate::checks::Verdict;
use crate::needs::testing::reversed;
use crate::record::What;
use crate::units::Length;

#[test]
fn a_check_that_loses_a_reading_passes_no_more() {
    let whole = of_job(&house(&[], &[], &[], &[]));
    for (of, what, _) in READINGS {
        let job = house(&[], &[], &[], &[]);
        let word = of.trim_start_matches('@');
        let gone = readings_of(&job, word, What::named(what).unwrap());
        let left = of_job(&house(&[], &[(of, what)], &[], &[]));
        for check in &left {
            let says = check.verdict != Verdict::CantTellYet || !check.measure.is_empty();
            assert!(says, "without {of} {what}: {check:#?}");
        }
        for check in whole.iter().filter(|check| check.verdict == Verdict::Pass) {
            if !check.readings.iter().any(|id| gone.contains(id)) {
                continue;
            }
            let now = left
                .iter()
                .filter(|one| (one.kind, one.change) == (check.kind, check.change))
                .filter(|one| one.about == check.about);
            for one in now {
                assert_ne!(one.verdict, Verdict::Pass, "without {of} {what}: {one:#?}");
                assert!(!one.measure.is_empty() || one.verdict == Verdict::Stop);
            }
        }
    }
}

#[test]
fn the_order_of_the_record_changes_nothing() {
    let job = house(&[], &[], &[], &[]);
    assert_eq!(of_job(&job), of_job(&reversed(&job)));
}

/// A length from 64ths, as typed.
fn typed(n_64: i64) -> String {
    Length::from_64ths(n_64).to_string()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_post_that_moves_to_the_middle_of_its_girder_never_lands_worse(
        place in 400_i64..700,
        thickness in 64_i64..640,
        across in 0_i64..1_400,
        by in 1_i64..200,
    ) {
        let lands = |across: i64| {
            let (near, size) = (typed(place), typed(thickness));
            let more = [("@girder", "place", &near[..]), ("@girder", "thickness", &size[..])];
            let across = typed(across);
            let otherwise = [("post 1", "across", &across[..]), ("low post", "across", &near[..])];
            let job = house(&otherwise, &[("@girder", "place"), ("@girder", "thickness")], &more, &[]);
            the(&job, "post 1", CheckKind::Landing).verdict
        };
        // A 4×6 is 5 1/2 in across; centres doubled, in 64ths.
        let post = Length::inches_64(5, 32).as_64ths();
        let middle = 2 * place + thickness;
        let centre = 2 * across + post;
        let way = (middle - centre).signum();
        let step = by.min((middle - centre).abs().div_euclid(2));
        let nearer = across + way * step;
        prop_assume!(nearer >= 0);
        prop_assert!(lands(nearer) <= lands(across), "{across} to {nearer}");
    }
}
