//! A week is closed by one form: counts, changes that move on or are dropped, and the closing; all of it or nothing.

use super::house::{planned, things};
use super::round::{on_hand, on_hand_of, tick_all};
use super::{add, count_of, entries, errors, form_around, page_errors, start_job, value};
use crate::support::{Client, TestServer, form};

type Held = Vec<(String, String)>;

/// The page on which a week is closed.
pub(super) fn close_page(client: &Client, job: &str, number: &str) -> String {
    format!("{}/close", week_page(client, job, number))
}

fn week_page(client: &Client, job: &str, number: &str) -> String {
    let week = things(&client.page(&format!("{job}/week")), "week")
        .into_iter()
        .map(|id| format!("{job}/week/{id}"))
        .find(|page| {
            value(
                &form(&client.page(&format!("{page}/edit")), "edit").1,
                "number",
            ) == number
        });
    week.unwrap_or_else(|| panic!("no week {number}"))
}

/// Puts a text into the field `name` that stands beside `key` = `of` in a list of rows.
fn put(held: &mut Held, (key, of): (&str, &str), name: &str, text: &str) {
    let at = held
        .iter()
        .filter(|(n, _)| n == key)
        .position(|(_, value)| value.contains(of))
        .unwrap_or_else(|| panic!("no {key} {of} in {held:?}"));
    let (_, field) = held
        .iter_mut()
        .filter(|(n, _)| n == name)
        .nth(at)
        .unwrap_or_else(|| panic!("no {name} beside {of}"));
    text.clone_into(field);
}

/// What stands beside it.
fn beside(held: &Held, (key, of): (&str, &str), name: &str) -> String {
    let mut held = held.clone();
    let before = held.clone();
    put(&mut held, (key, of), name, "\u{0}");
    let at = held.iter().zip(&before).position(|(a, b)| a != b).unwrap();
    before[at].1.clone()
}

fn done(client: &Client, job: &str, shore: &str) {
    let page = client.page(&format!("{job}/shore/{shore}/done"));
    let (action, held) = form_around(&page, "id=\"done-note\"");
    assert_eq!(client.post_over(&action, held, &[]).status, 303);
}

const SCREWS: (&str, &str) = ("item", "screw 3 in");

#[test]
fn counts_keeper_and_closing_are_saved_by_one_form_and_once() {
    let server = TestServer::start("close-once");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    tick_all(&lead, job, 1);
    done(&lead, job, &house.shore);
    let page = lead.page(&format!("{job}?week=1"));
    assert!(page.contains("/close\""), "this week offers it");

    let close = close_page(&lead, job, "1");
    let page = lead.page(&close);
    // Planned and bought as listed: 131.00, tax 8.19 (8.1875).
    assert!(page.matches("$139.19").count() >= 2, "planned and spent");
    assert!(
        page.contains(&format!("{job}/shore/{}/struck", house.shore)),
        "the shore stands"
    );
    let (action, mut held) = form(&page, "close");
    // 250 screws less 156.
    assert_eq!(beside(&held, SCREWS, "counted"), "94");
    put(&mut held, SCREWS, "counted", "90");
    let typed = [("keeper", "Ann"), ("note", "Wedges tight")];
    for _ in 0..2 {
        let saved = lead.post_over(&action, held.clone(), &typed);
        assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
        assert!(
            lead.page(&saved.location.unwrap())
                .contains("Week 1 is closed.")
        );
    }
    assert_eq!(count_of(&lead, job, "week.close"), 1);
    let all = entries(&lead, job);
    let counts: Vec<_> = all.iter().filter(|e| e["kind"] == "stock.count").collect();
    assert_eq!(counts.len(), 1, "only what differs");
    let fields = &counts[0]["fields"];
    assert_eq!(
        (&fields["saw"], &fields["counted"]),
        (&"94".into(), &"90".into())
    );
    assert_eq!(fields["reason"], "counted at the week’s end");
    assert_eq!(on_hand_of(&on_hand(&lead, job), &["screw 3 in"]), "90");

    let week = lead.page(&week_page(&lead, job, "1"));
    assert!(
        week.contains("Closed.") && week.contains("Ann looks after the shoring."),
        "{week}"
    );
    assert!(lead.page(&format!("{job}?week=1")).contains("· closed"));
    assert_eq!(lead.get(&close).status, 303, "nothing to close");
    // The same form with something else in it is not taken for the first.
    put(&mut held, SCREWS, "counted", "80");
    let other = lead.post_over(&action, held, &typed);
    assert_eq!(other.status, 422);
    assert_eq!(on_hand_of(&on_hand(&lead, job), &["screw 3 in"]), "90");
}

#[test]
fn changes_go_to_another_week_or_are_dropped_with_a_reason() {
    let server = TestServer::start("close-moves");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let masks = things(&lead.page(&format!("{job}/sundry")), "sundry").remove(0);
    let close = close_page(&lead, job, "2");
    let (action, mut held) = form(&lead.page(&close), "close");
    assert_eq!(held.iter().filter(|(name, _)| name == "change").count(), 6);
    put(&mut held, ("change", &house.jacks), "to", "3");
    put(&mut held, ("change", &masks), "to", "drop");
    let before = entries(&lead, job).len();
    let back = lead.post_over(&action, held.clone(), &[]);
    assert_eq!(back.status, 422);
    assert!(
        errors(&back.body).contains("Why it is dropped is empty"),
        "{}",
        page_errors(&back.body)
    );
    assert_eq!(
        entries(&lead, job).len(),
        before,
        "nothing is lost, nothing saved"
    );
    let (action, mut held) = form(&back.body, "close");
    assert_eq!(beside(&held, ("change", &house.jacks), "to"), "3");
    assert_eq!(beside(&held, ("change", &masks), "to"), "drop");
    put(&mut held, ("change", &masks), "why", "Ann has a box");
    let saved = lead.post_over(&action, held, &[]);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));

    let all = entries(&lead, job);
    let of = |kind: &str| all.iter().filter(|e| e["kind"] == kind).collect::<Vec<_>>();
    assert_eq!(of("studs.edit")[0]["fields"]["week"], "3");
    let dropped = of("change.state");
    assert_eq!(dropped.len(), 1);
    assert_eq!(dropped[0]["fields"]["reason"], "Ann has a box");
    assert!(
        lead.page(&format!("{job}/studs/{}", house.jacks))
            .contains("work week 3")
    );
    // The other four stay where they are, and can still be edited.
    let page = format!("{job}/set_beam/{}/edit", house.beam);
    lead.save(&page, "edit", &[("week", "3")]);
}

#[test]
fn what_cannot_be_read_is_said_at_its_field_and_nothing_is_saved() {
    let server = TestServer::start("close-bad");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    tick_all(&lead, job, 1);
    let close = close_page(&lead, job, "2");
    let (action, held) = form(&lead.page(&close), "close");
    let jacks = ("change", house.jacks.as_str());
    let long = "x".repeat(201);
    let before = entries(&lead, job).len();
    for (beside_what, name, text, said) in [
        (Some(SCREWS), "counted", "many", "at character 1 of many"),
        (Some(SCREWS), "counted", "-1", "at character 1"),
        (Some(SCREWS), "counted", "1.5", "at character 2"),
        (Some(SCREWS), "counted", "1000001", "a count is at most"),
        (Some(jacks), "to", "nine", "at character 1 of nine"),
        (Some(jacks), "to", "100", "it goes from"),
        (None, "keeper", long.as_str(), "Write it shorter"),
        (None, "keeper", "a\u{7}b", "Character 2"),
        (None, "note", "a\u{7}b", "Character 2"),
        (None, "closed", "maybe", "is not one of"),
    ] {
        let mut held = held.clone();
        // Something that would be saved, were the rest right.
        put(&mut held, ("item", "wedges"), "counted", "17");
        let typed = match beside_what {
            Some(row) => {
                put(&mut held, row, name, text);
                Vec::new()
            }
            None => vec![(name, text)],
        };
        let back = lead.post_over(&action, held, &typed);
        assert_eq!(back.status, 422, "{name} {text}");
        assert!(
            errors(&back.body).contains(said),
            "{name} {text}: {}",
            page_errors(&back.body)
        );
        let filled = form(&back.body, "close").1;
        assert_eq!(beside(&filled, ("item", "wedges"), "counted"), "17");
        match beside_what {
            Some(row) if name == "counted" => assert_eq!(beside(&filled, row, name), text),
            None if name != "closed" => assert_eq!(value(&filled, name), text),
            _ => {}
        }
    }
    // Two wrong figures are both said, each at its own field.
    let mut wrong = held.clone();
    put(&mut wrong, SCREWS, "counted", "many");
    put(&mut wrong, ("item", "wedges"), "counted", "few");
    let back = lead.post_over(&action, wrong, &[]);
    let said = errors(&back.body);
    assert!(
        said.contains("of many") && said.contains("of few"),
        "{said}"
    );
    // A count that differs, without a reason.
    let mut no_reason = held.clone();
    put(&mut no_reason, SCREWS, "counted", "240");
    let back = lead.post_over(&action, no_reason, &[("reason", "")]);
    assert!(
        errors(&back.body).contains("Reason is empty"),
        "{}",
        page_errors(&back.body)
    );
    assert_eq!(entries(&lead, job).len(), before);
    // An emptied field says nothing: the record stands.
    let mut emptied = held;
    put(&mut emptied, SCREWS, "counted", "");
    assert_eq!(lead.post_over(&action, emptied, &[]).status, 303);
    assert_eq!(on_hand_of(&on_hand(&lead, job), &["screw 3 in"]), "250");
}

#[test]
fn a_change_that_somebody_moved_meanwhile_is_asked_about_again() {
    let server = TestServer::start("close-meanwhile");
    let (ann, ben) = (server.lead(), server.lead());
    let house = planned(&ann);
    let job = house.job.as_str();
    let close = close_page(&ben, job, "2");
    let (action, mut held) = form(&ben.page(&close), "close");
    put(&mut held, ("change", &house.jacks), "to", "3");
    ann.save(
        &format!("{job}/studs/{}/edit", house.jacks),
        "edit",
        &[("week", "1")],
    );
    let before = entries(&ann, job).len();
    let back = ben.post_over(&action, held, &[]);
    assert_eq!(back.status, 422);
    assert!(
        errors(&back.body).contains("changed meanwhile"),
        "{}",
        page_errors(&back.body)
    );
    assert_eq!(entries(&ann, job).len(), before);
    let (action, held) = form(&back.body, "close");
    assert!(
        !held.iter().any(|(_, text)| *text == house.jacks),
        "it is of week 1 now"
    );
    assert_eq!(ben.post_over(&action, held, &[]).status, 303);
}

#[test]
fn a_closed_week_is_passed_over_until_it_is_opened_again() {
    let server = TestServer::start("close-over");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    for (number, start, end) in [
        ("1", "2020-01-06", "2020-01-10"),
        ("2", "2020-01-13", "2020-01-17"),
    ] {
        add(
            &lead,
            &job,
            "week",
            &[("number", number), ("start", start), ("end", end)],
        );
    }
    let is_at = |week: &str| lead.page(&job).contains(&format!("Week {week} of 2"));
    assert!(is_at("2"), "the last");
    lead.save(&close_page(&lead, &job, "2"), "close", &[]);
    assert!(is_at("1"));
    let week = week_page(&lead, &job, "2");
    let refused = lead.fill(&week, "reopen", &[("reason", "")]);
    assert_eq!(refused.status, 422);
    assert!(errors(&refused.body).contains("Reason is empty"));
    lead.save(&week, "reopen", &[("reason", "A board came late")]);
    assert!(is_at("2"));
    assert!(!lead.page(&week).contains("Closed."));
    lead.save(&close_page(&lead, &job, "2"), "close", &[]);
    lead.save(&close_page(&lead, &job, "1"), "close", &[]);
    assert!(is_at("2"), "where all are closed, the last");
}

#[test]
fn the_kept_list_is_held_against_now_by_the_change_that_differs() {
    let server = TestServer::start("kept");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let kept = format!("{}/kept", week_page(&lead, job, "2"));
    assert!(
        lead.page(&kept)
            .contains("No list of this week is kept yet")
    );
    let list = format!("{job}/buy-list?week=2");
    assert!(!lead.page(&list).contains("/kept\""));
    tick_all(&lead, job, 2);
    assert!(
        lead.page(&list).contains("/kept\""),
        "the list’s foot leads to it"
    );
    let page = lead.page(&kept);
    assert!(
        page.contains("Week 2, revision 1") && page.contains("with the first line bought"),
        "{page}"
    );
    assert!(page.contains("as it was"), "nothing differs");
    assert!(
        page.contains("to buy 5 at $1.89") && page.contains("Bought so far: 5"),
        "hangers"
    );

    // Jacks: 2 then, 3 now; and their nails: 2 × 2 × 4 = 16, 3 × 2 × 4 = 24.
    let jacks = format!("{job}/studs/{}", house.jacks);
    lead.save(&format!("{jacks}/edit"), "edit", &[("count", "3")]);
    let page = lead.page(&kept);
    assert!(page.contains("more, 2 then, 3 now"), "{page}");
    assert!(page.contains("more, 16 then, 24 now"), "{page}");
    assert!(page.contains(&format!("href=\"{jacks}\"")));
    // Dropped: what it called for is gone.
    let dropped = [("state", "dropped")];
    let page = lead.page(&jacks);
    let (action, held) = form(&page, "to-dropped");
    assert_eq!(lead.post_over(&action, held, &dropped).status, 303);
    assert!(lead.page(&kept).contains("gone, was 2"));
    // Planned afresh, the next revision.
    let week = kept.trim_end_matches("/kept");
    let afresh = lead.post(&format!("{week}/act/afresh"), &[]);
    assert_eq!(afresh.status, 303, "{}", page_errors(&afresh.body));
    let page = lead.page(&kept);
    assert!(
        page.contains("revision 2") && page.contains("planned afresh"),
        "{page}"
    );
}

#[test]
fn counts_are_saved_by_themselves_and_nothing_else_that_is_typed_is_lost() {
    let server = TestServer::start("close-counts");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    tick_all(&lead, job, 1);
    let close = close_page(&lead, job, "2");
    let page = lead.page(&close);
    // What leads on opens beside the form; the page says so.
    let at = page.find("id=\"close\" data-kind").unwrap();
    let inside = page[at..].split("</form>").next().unwrap();
    let links: Vec<&str> = inside.split("<a ").skip(1).collect();
    assert!(links.len() >= 6, "a link to each change");
    for link in links {
        let tag = link.split('>').next().unwrap();
        assert!(tag.contains("target=\"_blank\""), "{tag}");
    }
    assert!(page.contains("opens in a tab beside it"));

    let (action, mut held) = form(&page, "close");
    put(&mut held, SCREWS, "counted", "240");
    put(&mut held, ("change", &house.jacks), "to", "3");
    let typed = [("note", "Dry"), ("reason", "A box fell"), ("do", "counts")];
    let mut bad = held.clone();
    put(&mut bad, SCREWS, "counted", "many");
    let back = lead.post_over(&action, bad, &typed);
    assert_eq!(back.status, 422);
    assert!(errors(&back.body).contains("of many"));
    assert_eq!(count_of(&lead, job, "stock.count"), 0);

    for _ in 0..2 {
        let saved = lead.post_over(&action, held.clone(), &typed);
        assert_eq!(saved.status, 200, "{}", page_errors(&saved.body));
        assert!(saved.body.contains("1 count is saved."));
        let again = form(&saved.body, "close").1;
        assert_eq!(beside(&again, SCREWS, "saw"), "240");
        assert_eq!(beside(&again, SCREWS, "counted"), "240");
        assert_eq!(beside(&again, ("change", &house.jacks), "to"), "3");
        assert_eq!(value(&again, "note"), "Dry");
    }
    assert_eq!(count_of(&lead, job, "stock.count"), 1, "pressed twice");
    assert_eq!(count_of(&lead, job, "week.close"), 0, "it is open still");
    assert_eq!(count_of(&lead, job, "studs.edit"), 0);
    assert_eq!(on_hand_of(&on_hand(&lead, job), &["screw 3 in"]), "240");
    let all = entries(&lead, job);
    let count = all.iter().find(|e| e["kind"] == "stock.count").unwrap();
    assert_eq!(count["fields"]["reason"], "A box fell");

    // Then the week, with the rest of it.
    let saved = lead.post_over(&action, held, &[("do", "counts")]);
    assert_eq!(saved.status, 422, "another form under the same id");
    let (action, mut held) = form(&lead.page(&close), "close");
    put(&mut held, ("change", &house.jacks), "to", "3");
    assert_eq!(lead.post_over(&action, held, &[]).status, 303);
    assert_eq!(count_of(&lead, job, "stock.count"), 1);
}
