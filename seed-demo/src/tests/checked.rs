//! What the checks say of the demo: each verdict at least once, each in its place.

use scantling_takeoff::checks::hold_points::{Ask, Event, GateState, gates};
use scantling_takeoff::checks::{Check, CheckKind, Verdict, of_job};
use uuid::Uuid;

use super::MONDAY;
use crate::{log, row};

fn checks() -> Vec<Check> {
    of_job(&log(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY).job())
}

fn the<'a>(all: &'a [Check], kind: CheckKind, word: &str) -> &'a Check {
    all.iter()
        .find(|check| check.kind == kind && check.change == row::id(word))
        .unwrap_or_else(|| panic!("no {kind:?} of {word}"))
}

#[test]
fn each_verdict_is_there_once_where_the_scenario_wants_it() {
    let all = checks();
    // The west girder from 15 1/2, post 2 from 12 1/2 to 18: 2 1/2 in of 5 1/2 in bears.
    let landing = the(&all, CheckKind::Landing, "post.2");
    assert_eq!(landing.verdict, Verdict::Stop, "{landing:#?}");
    assert_eq!(landing.sums[0].note, "45 % of the post");
    // A trimmer 2 1/4 in thick, a seat of 1 15/16.
    let hanger = the(&all, CheckKind::HangerFit, "hang.trimmer");
    assert_eq!(hanger.verdict, Verdict::Stop);
    assert!(
        hanger
            .sentence
            .contains("too narrow, the joist is 5/16 in thicker"),
        "{}",
        hanger.sentence
    );
    let path = the(&all, CheckKind::LoadPath, "take_out");
    assert_eq!(path.verdict, Verdict::Pass, "{path:#?}");
    let beam = the(&all, CheckKind::BeamScreen, "beam");
    assert_eq!(beam.verdict, Verdict::Pass, "{beam:#?}");
    let stair = the(&all, CheckKind::BeamScreen, "beam.stair");
    assert_eq!(stair.verdict, Verdict::Stop, "{stair:#?}");
    assert!(
        stair
            .says
            .iter()
            .any(|says| says.starts_with("The least depth that passes")),
        "{stair:#?}"
    );
    let gap = the(&all, CheckKind::LoadPath, "beam.stair");
    assert_eq!(gap.verdict, Verdict::Stop, "{gap:#?}");
    assert_eq!(
        gap.sentence,
        "The load path has a gap: Post at the cellar stair lands on Cover of the cistern, and nothing stands straight below."
    );
    // both sides of the comparison lack the same reading: it is asked for once
    let snug = the(&all, CheckKind::OverCut, "post.stair");
    assert_eq!(
        snug.sentence,
        "Needs what it lands on to the seat of Post at the cellar stair."
    );
    for verdict in [
        Verdict::Pass,
        Verdict::Look,
        Verdict::CantTellYet,
        Verdict::Stop,
    ] {
        assert!(all.iter().any(|check| check.verdict == verdict));
    }
    for check in &all {
        assert!(
            check.verdict != Verdict::CantTellYet || !check.measure.is_empty(),
            "{check:#?}"
        );
    }
}

#[test]
fn the_cut_is_held_until_its_shore_stands_and_nothing_of_week_1_asks_for_more() {
    let job = log(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY).job();
    let held = |word: &str| -> Vec<(Event, Vec<Ask>)> {
        let all = gates(&job, job.get(row::id(word)).unwrap());
        let held = all.into_iter().filter(|gate| gate.state == GateState::Held);
        held.map(|gate| (gate.event, gate.lacks().map(|one| one.ask).collect()))
            .collect()
    };
    assert_eq!(
        held("take_out"),
        [(
            Event::FirstCut,
            vec![Ask::Shoring, Ask::Landings, Ask::Carried]
        )]
    );
    for word in ["sister", "sister.5", "post.cellar", "studs.king"] {
        assert_eq!(held(word), [], "{word}");
    }
}
