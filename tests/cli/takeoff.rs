//! `scantling takeoff` on a job file by hand; every figure is worked by hand from its readings.
//!
//! Shore, each side: the opening 139 3/4 and 24 beyond is past the room's 147 1/4, so R = 147 1/4; up(147 1/4 ÷ 16) + 1 =
//! 11 studs, cut 105 7/8 − plank 1 1/2 − bottom plate 1 1/2 − top plate 1 1/2 + 1/16 driven = 101 7/16 (6492/64); 2 plates
//! of 147 1/4 (9424/64), 1 plank; 2 braces √(72² + 105 7/8²) = 128.04, up to 128 1/8 (8200/64); 6 × 11 + 2 × 2 × 5 = 86
//! screws.
//! Beam: 139 3/4 clear, read once, + 3 1/2 + 3 1/2 under it = 146 3/4 (9392/64), held; 2 ply joints × (2 × (up(146 3/4 ÷
//! 24) − 1) + 2 × 3) = 36 nails.
//! Post 1: 96 5/8 and 96 11/16 agree, the newest counts, + 1/8 = 96 13/16 (6196/64); post 2 has no reading. Toe nails 4 at
//! each of 2 bare ends of each.
//! Joists: first centre 16, 9 at 16: all within 0 to 146 3/4, lapped: 9 hangers, 14 nails each = 126.

use serde_json::Value;

use super::{elm_street, elm_street_text, run, run_with};

fn json(arguments: &[&str]) -> Value {
    let file = elm_street();
    let mut all = vec!["takeoff", file.as_str(), "--format", "json"];
    all.extend_from_slice(arguments);
    serde_json::from_str(&run(&all).fine()).unwrap()
}

fn csv_rows(arguments: &[&str]) -> Vec<Vec<String>> {
    let file = elm_street();
    let mut all = vec!["takeoff", file.as_str(), "--format", "csv"];
    all.extend_from_slice(arguments);
    let text = run(&all).fine();
    assert!(text.ends_with("\r\n"));
    assert_eq!(
        text.matches('\n').count(),
        text.matches("\r\n").count(),
        "lines end in CR and LF"
    );
    csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes())
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

fn change<'a>(document: &'a Value, name: &str) -> &'a Value {
    document["changes"]
        .as_array()
        .unwrap()
        .iter()
        .find(|change| change["name"] == name)
        .unwrap()
}

/// Slot, count and cut length of each need.
fn cuts(change: &Value) -> Vec<(String, i64, Option<i64>)> {
    change["needs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|need| {
            (
                need["slot"].as_str().unwrap().to_owned(),
                need["count"].as_i64().unwrap(),
                need["cut_64"].as_i64(),
            )
        })
        .collect()
}

#[test]
fn the_needs_of_a_job_file_are_those_worked_by_hand() {
    let document = json(&["--weeks", "2", "--show", "needs"]);
    assert_eq!(document["job"]["name"], "Elm Street 12");
    assert_eq!(document["weeks"], serde_json::json!([2]));
    assert_eq!(document["show"], "needs");
    let side = |side: &str| {
        [
            ("plank", 1, Some(9424)),
            ("plate", 2, Some(9424)),
            ("stud", 11, Some(6492)),
            ("brace", 2, Some(8200)),
            ("screw", 86, None),
        ]
        .map(|(slot, count, cut)| (format!("{slot}.{side}"), count, cut))
    };
    let both = [side("a"), side("b")].concat();
    assert_eq!(cuts(change(&document, "Shore Wall D")), both);
    let beam = change(&document, "Beam D");
    assert_eq!(
        cuts(beam),
        [
            ("ply".to_owned(), 3, Some(9392)),
            ("nail".to_owned(), 36, None)
        ]
    );
    let ply = &beam["needs"][0];
    assert_eq!(ply["section"], "stick");
    assert_eq!(
        ply["class"],
        serde_json::json!({"nominal": "2x10", "thickness_64": 96, "depth_64": 592, "species": "Hem-Fir",
                           "grade": "No.2", "treatment": "none"})
    );
    assert_eq!(ply["crown_up"], true);
    assert!(ply["held"].as_str().unwrap().contains("read once"), "{ply}");
    assert_eq!(
        ply["readings"],
        serde_json::json!(["00000000-0000-4000-8000-000000000040"])
    );
    let last = ply["arithmetic"].as_array().unwrap().last().unwrap();
    assert_eq!(last["result"], true);
    assert!(
        last["value"].as_str().unwrap().contains("146 3/4"),
        "{last}"
    );
    assert_eq!(
        cuts(change(&document, "Post 1"))[0],
        ("post".to_owned(), 1, Some(6196))
    );
    let hang = cuts(change(&document, "Hang the kitchen joists"));
    assert_eq!(hang.iter().map(|need| need.1).collect::<Vec<_>>(), [9, 126]);
}

#[test]
fn a_missing_reading_says_where_it_is_to_be_taken() {
    let document = json(&["--show", "needs"]);
    let post = change(&document, "Post 2");
    let missing = &post["missing"][0];
    assert_eq!(missing["text"], "what it lands on to the seat");
    assert_eq!(missing["of"], post["id"]);
    assert_eq!(missing["what"], "landing_to_seat");
    assert_eq!(missing.get("field"), None);
    assert_eq!(missing.get("side"), None);
}

/// 22 studs from 10 ft, 4 plates and 4 braces from 14 ft, one a stick: 110 + 56. 2 planks and 3 plies: 5 of 16 ft, 140.
/// 172 screws × 1.05, up: 181, two boxes of 100: 18. 9 hangers, no waste: 13.50. Together 337.50, tax 6.25 %: 21.09.
/// 36 + 2 × 8 nails × 1.05, up: 55; 126 hanger nails × 1.05, up: 133; the post: nobody sells them.
#[test]
fn the_buy_list_of_a_job_file_is_that_worked_by_hand() {
    let list = json(&["--weeks", "2", "--show", "buy-list"]);
    let figures: Vec<(&str, i64, Option<i64>)> = list["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| {
            (
                line["item"].as_str().unwrap(),
                line["to_buy"].as_i64().unwrap(),
                line["extension_cents"].as_i64(),
            )
        })
        .collect();
    assert_eq!(
        figures,
        [
            ("2×4 Hem-Fir No.2, 10 ft", 22, Some(11_000)),
            ("2×4 Hem-Fir No.2, 14 ft", 8, Some(5_600)),
            ("2×10 Hem-Fir No.2, 16 ft", 5, Some(14_000)),
            ("4×6 Hem-Fir No.2, 10 ft", 1, None),
            ("10d box", 55, None),
            ("hanger nail 1 1/2", 133, None),
            ("screw 3 in", 2, Some(1_800)),
            ("Joist hanger 1 13/16", 9, Some(1_350)),
        ]
    );
    assert_eq!(list["total_cents"], 33_750);
    assert_eq!(list["tax_cents"], 2_109);
    assert_eq!(list["unpriced"], 3);
    let hangers = &list["lines"][7];
    assert_eq!(
        hangers["order_by"], "2026-10-09",
        "three days before week 2"
    );
    assert_eq!(hangers["supplier"], "=Yard");
    assert_eq!(hangers["changes"][0]["name"], "Hang the kitchen joists");
    assert_eq!(list["missing"][0]["what"], "landing_to_seat");
}

#[test]
fn weeks_of_a_buy_list_are_bought_together_and_other_lists_go_week_by_week() {
    let both = json(&["--weeks", "3,2", "--show", "buy-list"]);
    assert_eq!(both["weeks"], serde_json::json!([2, 3]));
    let items: Vec<&Value> = both["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| &line["item"])
        .collect();
    assert_eq!(items.len(), 9);
    assert!(items[8].as_str().unwrap().contains("Rubble bags"));
    let all = json(&["--show", "buy-list"]);
    assert_eq!(all, both, "no weeks asked: every week that has a change");
    let cuts = json(&["--show", "cut-list", "--weeks", "2,3"]);
    let weeks: Vec<&Value> = cuts["lists"]
        .as_array()
        .unwrap()
        .iter()
        .map(|list| &list["week"])
        .collect();
    assert_eq!(weeks, [2, 3]);
    assert_eq!(cuts["lists"][0]["sticks"].as_array().unwrap().len(), 36);
}

#[test]
fn flags_come_in_any_order_and_a_file_may_come_from_standard_input() {
    let file = elm_street();
    let first = run(&["takeoff", &file, "--weeks", "2", "--show", "buy-list"]).fine();
    let other = run(&["takeoff", "--show", "buy-list", "--weeks", "2", &file]).fine();
    assert_eq!(first, other);
    let piped = run_with(
        &["takeoff", "-", "--show=buy-list", "--weeks=2"],
        &elm_street_text(),
    );
    assert_eq!(piped.fine(), first);
}

#[test]
fn the_same_file_gives_the_same_bytes() {
    let file = elm_street();
    for show in ["needs", "cut-list", "buy-list"] {
        for format in ["text", "csv", "json"] {
            let all = ["takeoff", &file, "--show", show, "--format", format];
            assert_eq!(run(&all).fine(), run(&all).fine(), "{show} {format}");
        }
    }
}

#[test]
fn the_text_reads_as_a_list_with_its_sums() {
    let text = run(&["takeoff", &elm_street(), "--weeks", "2"]).fine();
    for line in [
        "Elm Street 12, work week 2: needs\n",
        "\nShore Wall D (Shore)\n",
        "  11 × 2×4 Hem-Fir No.2, 8' 5 7/16\" (101 7/16 in): Shoring stud, Kitchen side\n",
        "  1 × 4×6 Hem-Fir No.2, 8' 13/16\" (96 13/16 in): Post 1, 4×6\n",
        "      Not to cut by yet. Beam D: Clear between the posts is read once. Measure again.\n",
        "  needs: what it lands on to the seat (for Post 2, 4×6)\n",
        "  9 × Joist hanger 1 13/16: Joist hanger, Joist hanger 1 13/16\n",
    ] {
        assert!(text.contains(line), "{line} is not in\n{text}");
    }
    let run_length = text.lines().find(|line| line.contains("Run length R"));
    assert!(
        run_length.is_some_and(
            |line| line.starts_with("      Run length R") && line.contains("147 1/4 in")
        ),
        "{text}"
    );
    let cuts = run(&[
        "takeoff",
        &elm_street(),
        "--weeks",
        "2",
        "--show",
        "cut-list",
    ])
    .fine();
    assert!(
        cuts.contains("measure"),
        "a held ply shows no figure: {cuts}"
    );
    assert!(!cuts.contains("146 3/4"), "{cuts}");
    assert!(cuts.contains("2-ST1 … 11"), "{cuts}");
}

#[test]
fn csv_has_a_header_and_no_cell_that_a_spreadsheet_runs() {
    let rows = csv_rows(&["--weeks", "2", "--show", "needs"]);
    assert_eq!(rows[0][..4], ["week", "change", "kind", "section"]);
    let column = |name: &str| rows[0].iter().position(|head| head == name).unwrap();
    let stud = rows
        .iter()
        .find(|row| row[column("title")] == "Shoring stud, Kitchen side")
        .unwrap();
    assert_eq!(stud[column("count")], "11");
    assert_eq!(stud[column("cut_64")], "6492");
    assert_eq!(stud[column("temporary")], "yes");
    assert!(rows.iter().any(|row| row[column("section")] == "missing"
        && row[column("held")] == "needs what it lands on to the seat"));

    let yard = csv_rows(&["--weeks", "2", "--show", "buy-list"]);
    let supplier = yard[0].iter().position(|head| head == "supplier").unwrap();
    assert_eq!(yard.len(), 9);
    assert_eq!(yard[1][supplier], "'=Yard");

    let cuts = csv_rows(&["--weeks", "2", "--show", "cut-list"]);
    assert_eq!(cuts.len(), 1 + 36, "a row a piece");
    let held = cuts
        .iter()
        .filter(|row| row.iter().any(|cell| cell == "measure"));
    assert_eq!(held.count(), 3, "the plies of the beam");
}

/// The demo's panels: each cut of the document goes through the part that it names, and in the end each piece lies alone
/// where the document says.
#[test]
fn the_cuts_of_a_panel_take_its_pieces_apart() {
    let folder = std::env::temp_dir().join(format!("scantling-panel-cuts-{}", std::process::id()));
    let data = folder.to_string_lossy().into_owned();
    run(&["demo", "--no-serve", "--data", &data]).fine();
    let job = run(&["export", "--data", &data]).fine();
    std::fs::remove_dir_all(folder).unwrap();
    let all = ["takeoff", "-", "--show", "cut-list", "--format", "json"];
    let document: Value = serde_json::from_str(&run_with(&all, &job).fine()).unwrap();
    let rows = |value: &Value| value.as_array().unwrap().clone();
    let whole = |value: &Value| value.as_i64().unwrap();
    let sides = |value: &Value| {
        let of = |name: &str| whole(&value[name]);
        (
            (of("along_from_64"), of("along_64")),
            (of("across_from_64"), of("across_64")),
        )
    };
    let lists = rows(&document["lists"]);
    let panels = lists
        .iter()
        .flat_map(|list| rows(&list["sticks"]))
        .filter(|stick| !stick["across_64"].is_null());
    let mut cuts = 0;
    for panel in panels {
        let pieces = rows(&panel["pieces"]);
        for cut in rows(&panel["cuts"]) {
            cuts += 1;
            let (along, across) = sides(&cut["part"]);
            let rips = cut["way"] == "rip";
            let (from, long) = if rips { across } else { along };
            assert!((1..long).contains(&whole(&cut["at_64"])), "{cut}");
            let mark = from + whole(&cut["at_64"]);
            for (side, is_before) in [("before", true), ("behind", false)] {
                for at in rows(&cut[side]) {
                    let at = usize::try_from(whole(&at)).unwrap();
                    let (along, across) = sides(&pieces[at]["lies_at"]);
                    let (from, long) = if rips { across } else { along };
                    let lies = if is_before {
                        from + long <= mark
                    } else {
                        from >= mark
                    };
                    assert!(lies, "{cut}: {}", pieces[at]);
                }
            }
        }
    }
    assert!(cuts > 3, "{cuts}");
    // only a list that is kept, since something of it was ordered, may cost more than it has to
    let bought = lists.iter().flat_map(|list| rows(&list["least"]));
    let (least, more): (Vec<Value>, Vec<Value>) =
        bought.partition(|class| class["cost_cents"] == class["lower_bound_cents"]);
    assert!(least.len() > 8 && more.len() <= 1, "{more:?}");
}

#[test]
fn weeks_that_are_none_are_wrong_usage() {
    for weeks in ["0", "100", "two", "2,,3", "2;3", "-1", "4294967298"] {
        let ended = run(&["takeoff", &elm_street(), &format!("--weeks={weeks}")]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{weeks}");
        assert!(ended.err.contains("--weeks"), "{}", ended.err);
    }
    assert_eq!(run(&["takeoff", &elm_street(), "--show", "prices"]).code, 2);
    assert_eq!(run(&["takeoff"]).code, 2);
}

#[test]
fn a_file_that_is_not_there_can_not_be_read() {
    let ended = run(&["takeoff", "no-such-job.json"]);
    assert_eq!(ended.code, 3);
    assert!(
        ended.err.starts_with("scantling: no-such-job.json: "),
        "{}",
        ended.err
    );
}

#[test]
fn a_week_without_a_change_needs_nothing() {
    let text = run(&["takeoff", &elm_street(), "--weeks", "9"]).fine();
    assert!(
        text.contains("work week 9: needs\n  Nothing is planned"),
        "{text}"
    );
    assert_eq!(json(&["--weeks", "9"])["changes"], serde_json::json!([]));
}
