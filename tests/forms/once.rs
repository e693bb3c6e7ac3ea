//! What was saved is saved once; what two people changed is shown to the second; what was refused comes back as typed.

use super::{add, count_of, entries, errors, page_errors, start_job, try_to_add, value};
use crate::support::{Client, TestServer, form};

/// What the form says that was saved before with other words in it.
const BEFORE: &str = "Saved before; Save keeps this as another.";

#[test]
fn a_room_sent_twice_is_one_room_with_four_walls() {
    let server = TestServer::start("twice");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let (action, held) = form(&lead.page(&format!("{job}/house")), "room");
    let typed = [
        ("name", "Kitchen"),
        ("reading.length", "12'"),
        ("reading.width", "10' 6\""),
        ("reading.ceiling_height", "8'"),
    ];
    for _ in 0..2 {
        let answer = lead.post_over(&action, held.clone(), &typed);
        assert_eq!(answer.status, 303, "{}", page_errors(&answer.body));
    }
    assert_eq!(count_of(&lead, &job, "room.add"), 1);
    assert_eq!(count_of(&lead, &job, "wall.add"), 4);
    // Length, width and height of the room, and a length of each wall.
    assert_eq!(count_of(&lead, &job, "reading.add"), 7);
}

#[test]
fn a_job_sent_twice_is_one_job() {
    let server = TestServer::start("twice-job");
    let lead = server.lead();
    let (action, held) = form(&lead.page("/"), "add");
    let first = lead.post_over(&action, held.clone(), &[("name", "Elm Street")]);
    let again = lead.post_over(&action, held, &[("name", "Elm Street")]);
    assert_eq!((first.status, again.status), (303, 303));
    assert_eq!(first.location, again.location);
    assert_eq!(lead.page("/").matches("Elm Street</b>").count(), 1);
}

#[test]
fn a_form_that_was_saved_and_now_says_something_else_asks_and_is_then_kept_as_another() {
    let server = TestServer::start("again");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let (action, held) = form(&lead.page(&format!("{job}/supplier")), "f");
    let saved = lead.post_over(&action, held.clone(), &[("name", "North Yard")]);
    assert_eq!(saved.status, 303);

    let back = lead.post_over(&action, held.clone(), &[("name", "South Yard")]);
    assert_eq!(back.status, 422);
    assert!(back.body.contains(BEFORE), "{}", back.body);
    let (action, filled) = form(&back.body, "add");
    assert_eq!(value(&filled, "name"), "South Yard");
    for fresh in ["op_id", "entity_id"] {
        assert_ne!(value(&filled, fresh), value(&held, fresh), "{fresh}");
    }
    assert!(
        !filled.iter().any(|(name, _)| name == "replaces"),
        "it replaces nothing: the first stands"
    );
    assert_eq!(count_of(&lead, &job, "supplier.add"), 1, "not saved yet");

    assert_eq!(lead.post_over(&action, filled, &[]).status, 303);
    assert_eq!(count_of(&lead, &job, "supplier.add"), 2);
    let page = lead.page(&format!("{job}/supplier"));
    assert!(page.contains("North Yard") && page.contains("South Yard"));
}

#[test]
fn a_new_job_that_was_saved_and_now_bears_another_name_is_kept_as_another_job() {
    let server = TestServer::start("again-job");
    let lead = server.lead();
    let (action, held) = form(&lead.page("/"), "add");
    let first = lead.post_over(&action, held.clone(), &[("name", "Elm Street")]);
    let back = lead.post_over(&action, held, &[("name", "Oak Street")]);
    assert_eq!(back.status, 422);
    assert!(back.body.contains(BEFORE));
    let (action, filled) = form(&back.body, "add");
    assert_eq!(value(&filled, "name"), "Oak Street");
    let second = lead.post_over(&action, filled, &[]);
    assert_eq!(second.status, 303);
    assert_ne!(first.location, second.location);
}

#[test]
fn a_run_whose_second_reading_changed_after_it_was_saved_asks_as_well() {
    let server = TestServer::start("again-part");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let (action, held) = form(&lead.page(&format!("{job}/run")), "f");
    let typed = |depth: &'static str| {
        [
            ("name", "Ceiling joists"),
            ("spacing", "16"),
            ("count", "9"),
            ("reading.thickness", "1 3/4"),
            ("reading.depth", depth),
        ]
    };
    assert_eq!(
        lead.post_over(&action, held.clone(), &typed("5 3/4"))
            .status,
        303
    );
    let back = lead.post_over(&action, held, &typed("7 3/4"));
    assert_eq!(back.status, 422);
    assert!(back.body.contains(BEFORE));
    let (_, filled) = form(&back.body, "add");
    assert_eq!(value(&filled, "reading.depth"), "7 3/4");
    assert_eq!(count_of(&lead, &job, "run.add"), 1);
    assert_eq!(count_of(&lead, &job, "reading.add"), 2);
}

#[test]
fn an_edit_and_a_step_that_were_saved_ask_before_they_say_something_else() {
    let server = TestServer::start("again-edit");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let wall = add(&lead, &job, "wall", &[("name", "Wall D")]);
    let (action, held) = form(&lead.page(&format!("{job}/wall/{wall}/edit")), "edit");
    let first = lead.post_over(&action, held.clone(), &[("zero_end", "the porch")]);
    assert_eq!(first.status, 303);
    let back = lead.post_over(&action, held, &[("zero_end", "the stair")]);
    assert_eq!(back.status, 422);
    assert!(back.body.contains(BEFORE));
    let (action, filled) = form(&back.body, "edit");
    assert_eq!(value(&filled, "zero_end"), "the stair");
    assert_eq!(value(&filled, "was.zero_end"), "the porch");
    assert_eq!(lead.post_over(&action, filled, &[]).status, 303);
    assert!(
        lead.page(&format!("{job}/wall/{wall}"))
            .contains("the stair")
    );

    let sundry = [
        ("name", "Blades"),
        ("item", "saw blade"),
        ("unit", "each"),
        ("count", "2"),
    ];
    let change = add(&lead, &job, "sundry", &sundry);
    let page = lead.page(&format!("{job}/sundry/{change}"));
    let (action, held) = form(&page, "to-ready");
    assert_eq!(lead.post_over(&action, held.clone(), &[]).status, 303);
    let back = lead.post_over(&action, held, &[("state", "dropped")]);
    assert_eq!(back.status, 422);
    assert!(back.body.contains(BEFORE));
}

/// Where a wall of a new job is edited, whose zero end is the porch.
fn edit_of_a_wall(lead: &Client) -> String {
    let job = start_job(lead, "Elm Street");
    let fields = [("name", "Wall D"), ("zero_end", "the porch")];
    let wall = add(lead, &job, "wall", &fields);
    format!("{job}/wall/{wall}/edit")
}

#[test]
fn a_field_that_two_changed_is_shown_with_both_values_and_the_other_fields_are_kept() {
    let server = TestServer::start("conflict");
    let (ann, ben) = (server.lead(), server.lead());
    let edit = edit_of_a_wall(&ann);
    let of_ann = form(&ann.page(&edit), "edit");
    let of_ben = form(&ben.page(&edit), "edit");
    assert_eq!(value(&of_ben.1, "base.zero_end"), "1");
    assert_eq!(value(&of_ben.1, "base.bearing"), "0");

    let saved = ann.post_over(&of_ann.0, of_ann.1, &[("zero_end", "the stair")]);
    assert_eq!(saved.status, 303);
    let typed = [("zero_end", "the chimney"), ("bearing", "yes")];
    // Pressed twice, it is the same question: the second press doesn't answer it.
    let first = ben.post_over(&of_ben.0, of_ben.1.clone(), &typed);
    let back = ben.post_over(&of_ben.0, of_ben.1, &typed);
    for said in [&first, &back] {
        assert_eq!(said.status, 422);
        let said = errors(&said.body);
        assert!(
            said.contains("the stair") && said.contains("the chimney"),
            "{said}"
        );
    }
    let (action, filled) = form(&back.body, "edit");
    assert_eq!(value(&filled, "zero_end"), "the chimney");
    assert_eq!(value(&filled, "was.zero_end"), "the stair");
    assert_eq!(value(&filled, "base.zero_end"), "2");
    // The field that nobody else had changed went in.
    assert_eq!(value(&filled, "was.bearing"), "yes");
    assert_eq!(value(&filled, "base.bearing"), "1");
    let page = ann.page(&edit);
    assert_eq!(value(&form(&page, "edit").1, "zero_end"), "the stair");

    let settled = ben.post_over(&action, filled, &[]);
    assert_eq!(settled.status, 303, "{}", page_errors(&settled.body));
    let now = form(&ann.page(&edit), "edit").1;
    assert_eq!(value(&now, "zero_end"), "the chimney");
    assert_eq!(value(&now, "bearing"), "yes");
}

#[test]
fn a_conflict_that_comes_again_says_what_stands_by_then() {
    let server = TestServer::start("conflict-again");
    let (ann, ben) = (server.lead(), server.lead());
    let edit = edit_of_a_wall(&ann);
    let of_ben = form(&ben.page(&edit), "edit");
    let press = || ben.post_over(&of_ben.0, of_ben.1.clone(), &[("zero_end", "the chimney")]);
    for stands in ["the stair", "the attic"] {
        ann.save(&edit, "edit", &[("zero_end", stands)]);
        let back = press();
        assert_eq!(back.status, 422);
        assert!(errors(&back.body).contains(stands), "{stands}");
    }
    // What was typed stands: there is nothing to ask.
    ann.save(&edit, "edit", &[("zero_end", "the chimney")]);
    assert_eq!(press().status, 303);
}

#[test]
fn two_who_change_different_fields_are_both_kept_and_the_same_word_twice_is_no_conflict() {
    let server = TestServer::start("no-conflict");
    let (ann, ben) = (server.lead(), server.lead());
    let job = start_job(&ann, "Elm Street");
    let wall = add(&ann, &job, "wall", &[("name", "Wall D")]);
    let edit = format!("{job}/wall/{wall}/edit");
    let of_ann = form(&ann.page(&edit), "edit");
    let of_ben = form(&ben.page(&edit), "edit");
    let by_ann = [("studs", "9"), ("zero_end", "the porch")];
    let by_ben = [("top_plates", "2"), ("zero_end", "the porch")];
    assert_eq!(ann.post_over(&of_ann.0, of_ann.1, &by_ann).status, 303);
    assert_eq!(ben.post_over(&of_ben.0, of_ben.1, &by_ben).status, 303);
    let now = form(&ann.page(&edit), "edit").1;
    for (name, text) in [("studs", "9"), ("top_plates", "2")] {
        assert_eq!(value(&now, name), text);
    }
}

#[test]
fn an_edit_of_what_was_taken_out_meanwhile_comes_back_with_the_reason() {
    let server = TestServer::start("gone");
    let (ann, ben) = (server.lead(), server.lead());
    let job = start_job(&ann, "Elm Street");
    let wall = add(&ann, &job, "wall", &[("name", "Wall D")]);
    let (action, held) = form(&ben.page(&format!("{job}/wall/{wall}/edit")), "edit");
    let removed = ann.post(
        &format!("{job}/wall/{wall}/act/remove"),
        &[("reason", "counted twice")],
    );
    assert_eq!(removed.status, 303, "{}", page_errors(&removed.body));
    let back = ben.post_over(&action, held, &[("zero_end", "the chimney")]);
    assert_eq!(back.status, 422);
    assert!(errors(&back.body).contains("counted twice"));
    assert_eq!(
        value(&form(&back.body, "edit").1, "zero_end"),
        "the chimney"
    );
}

#[test]
fn an_edit_form_sent_back_as_it_was_writes_nothing() {
    let server = TestServer::start("no-edit");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let wall = add(&lead, &job, "wall", &[("name", "Wall D")]);
    let before = entries(&lead, &job);
    lead.save(&format!("{job}/wall/{wall}/edit"), "edit", &[]);
    assert_eq!(entries(&lead, &job), before);
}

#[test]
fn a_refused_form_keeps_what_was_typed_and_its_thing_and_names_the_entry_that_it_replaces() {
    let server = TestServer::start("refused");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let (action, held) = form(&lead.page(&format!("{job}/run")), "f");
    let typed = [
        ("name", "Ceiling joists"),
        ("spacing", "16"),
        ("count", "nine"),
        ("reading.thickness", "1 3/4"),
        ("condition", "<two> \"notches\" & a hole"),
    ];
    let back = lead.post_over(&action, held.clone(), &typed);
    assert_eq!(back.status, 422);
    let (action, filled) = form(&back.body, "add");
    for (name, text) in typed {
        assert_eq!(value(&filled, name), text, "{name}");
    }
    assert_eq!(value(&filled, "entity_id"), value(&held, "entity_id"));
    assert_ne!(value(&filled, "op_id"), value(&held, "op_id"));
    assert_eq!(value(&filled, "replaces"), value(&held, "op_id"));
    assert_eq!(count_of(&lead, &job, "run.add"), 0);
    assert_eq!(
        count_of(&lead, &job, "reading.add"),
        0,
        "nothing of it is in"
    );

    assert_eq!(
        lead.post_over(&action, filled, &[("count", "9")]).status,
        303
    );
    assert_eq!(count_of(&lead, &job, "run.add"), 1);
    assert_eq!(count_of(&lead, &job, "reading.add"), 1);
}

#[test]
fn the_first_form_still_works_after_it_was_refused() {
    let server = TestServer::start("back");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let (action, held) = form(&lead.page(&format!("{job}/week")), "f");
    assert_eq!(
        lead.post_over(&action, held.clone(), &[("number", "100")])
            .status,
        422
    );
    assert_eq!(
        lead.post_over(&action, held, &[("number", "1")]).status,
        303
    );
    let (again, _) = try_to_add(&lead, &job, "week", &[("number", "1")]);
    assert_eq!(again.status, 422, "a week's number comes once");
}
