//! `scantling cut`: its lines, the same bytes whatever the order of rows, what it refuses, and what its check finds.

use serde_json::{Value, json};

use super::{Folder, run, run_with};

const KEYS: [&str; 8] = [
    "id",
    "cost",
    "lower_bound",
    "proven",
    "feasible",
    "plan",
    "unmet",
    "ms",
];

fn house() -> Value {
    json!([{"id": "joists", "kerf": 8, "trim": 32, "stock": [
        {"len": 6144, "price": 708, "limit": null}, {"len": 9216, "price": 1205, "limit": 2},
        {"len": 12288, "price": 1689, "limit": null}, {"len": 3140, "price": 0, "limit": 1}],
      "demand": [{"len": 5900, "count": 3}, {"len": 4000, "count": 2}, {"len": 3044, "count": 4}, {"len": 1000, "count": 5}]},
     {"id": "beam", "kerf": 8, "trim": 0, "stock": [{"len": 6144, "price": 500, "limit": null}],
      "demand": [{"len": 7000, "count": 1}, {"len": 3000, "count": 2}]},
     {"id": "floor", "kerf": 8, "stock": [{"along": 6144, "across": 3072, "price": 3895, "limit": null}],
      "patches": [{"along": 2040, "across": 992, "rotate": false, "count": 2}, {"along": 500, "across": 3000, "rotate": true, "count": 1}]}])
}

/// The answers, with the time left out.
fn answers(instances: &Value) -> Vec<Value> {
    without_time(&run_with(&["cut", "-", "--seconds", "5"], &instances.to_string()).fine())
}

fn without_time(out: &str) -> Vec<Value> {
    out.lines()
        .map(|line| {
            let mut answer: Value = serde_json::from_str(line).unwrap();
            assert!(answer["ms"].take().as_f64().unwrap() >= 0.0);
            answer
        })
        .collect()
}

#[test]
fn each_instance_gets_one_line_with_these_keys() {
    let out = run_with(&["cut", "-"], &house().to_string()).fine();
    assert_eq!(out.lines().count(), 3);
    for line in out.lines() {
        let places: Vec<usize> = KEYS
            .iter()
            .map(|key| line.find(&format!("\"{key}\":")).unwrap())
            .collect();
        assert!(places.is_sorted(), "{line}");
    }
    let answers = answers(&house());
    assert_eq!(
        (&answers[0]["proven"], &answers[0]["feasible"]),
        (&json!(true), &json!(true))
    );
    // 7000 is longer than the stick; both 3000s and a kerf go on one.
    assert_eq!(
        answers[1],
        json!({"id": "beam", "cost": null, "lower_bound": null, "proven": true, "feasible": false,
        "plan": [{"len": 6144, "price": 500, "times": 1, "cuts": [3000, 3000]}], "unmet": [{"len": 7000, "count": 1}], "ms": null})
    );
    assert_eq!(answers[2]["plan"][0]["placed"].as_array().unwrap().len(), 3);
}

/// The lines, with the time cut off.
fn lines(instances: &Value) -> Vec<String> {
    let out = run_with(&["cut", "-", "--seconds", "2"], &instances.to_string()).fine();
    let without_time = |line: &str| line.rsplit_once(",\"ms\":").unwrap().0.to_owned();
    out.lines().map(without_time).collect()
}

/// The house, and the recorded sticks and panels of moderate size: 40 to 150 pieces, 10 to 20 patches. They end by their steps or
/// their proofs long before their two seconds.
fn moderate() -> Value {
    let recorded = [
        (
            include_str!("../published/data/cutting/sticks.json"),
            "demand",
            40..=150,
        ),
        (
            include_str!("../published/data/cutting/panels.json"),
            "patches",
            10..=20,
        ),
    ];
    let mut all = house().as_array().unwrap().clone();
    for (text, key, sizes) in recorded {
        let rows: Vec<Value> = serde_json::from_str(text).unwrap();
        all.extend(rows.into_iter().filter(|one| {
            let counts = one[key].as_array().unwrap().iter();
            sizes.contains(
                &counts
                    .map(|row| row["count"].as_i64().unwrap())
                    .sum::<i64>(),
            )
        }));
    }
    Value::Array(all)
}

#[test]
fn the_order_of_stock_and_demand_changes_no_byte_of_the_answer() {
    let instances = moderate();
    let first = lines(&instances);
    assert!(first.len() >= 50);
    let mut lot: u32 = 1;
    let mut below = |n: usize| {
        lot = lot.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (lot >> 8) as usize % n
    };
    for shuffle in 1..=10 {
        let mut mixed = instances.clone();
        for instance in mixed.as_array_mut().unwrap() {
            for key in ["stock", "demand", "patches"] {
                if let Some(rows) = instance[key].as_array_mut() {
                    for last in (1..rows.len()).rev() {
                        rows.swap(last, below(last + 1));
                    }
                }
            }
        }
        assert_ne!(mixed, instances);
        for (now, then) in lines(&mixed).iter().zip(&first) {
            assert_eq!(now, then, "shuffle {shuffle}");
        }
    }
}

/// Makes one instance of the house senseless. The two others are answered as in the whole house; what is said of it comes back.
#[track_caller]
fn refused(at: usize, spoil: &dyn Fn(&mut Value)) -> String {
    let mut instances = house();
    spoil(&mut instances[at]);
    let ended = run_with(&["cut", "-"], &instances.to_string());
    assert_eq!(ended.code, 9, "{}", ended.err);
    let mut left = answers(&house());
    left.remove(at);
    assert_eq!(without_time(&ended.out), left);
    let lines: Vec<&str> = ended.err.lines().collect();
    assert_eq!(lines.len(), 2, "{}", ended.err);
    assert_eq!(
        lines[1],
        "scantling: 1 of 3 instances get no answer; each is said above"
    );
    lines[0].to_owned()
}

#[test]
fn what_makes_no_sense_is_refused_by_place_and_figure_and_the_others_are_answered() {
    assert_eq!(
        refused(0, &|it| it["kerf"] = json!(-8)),
        "scantling: instance joists (number 1 in the list) can't be taken: the kerf is -8; it has to be from 0 to 1000000000"
    );
    assert!(
        refused(0, &|it| it["demand"][0]["count"] = json!(-1))
            .contains("joists (number 1 in the list) can't be taken: a count is -1; it has to be")
    );
    assert!(
        refused(1, &|it| it["demand"][0]["len"] = json!(-7000))
            .contains("beam (number 2 in the list) can't be taken: a piece's length is -7000; it has to be from 1 to")
    );
    assert!(
        refused(1, &|it| it["stock"][0]["price"] = json!(i64::MAX)).contains(
            "can't be taken: a price is 9223372036854775807; it has to be from 0 to 1000000000"
        )
    );
    assert!(
        refused(2, &|it| it["patches"][0]["along"] = json!(0))
            .contains("floor (number 3 in the list) can't be taken: a patch's side is 0; it has to be from 1 to")
    );
}

#[test]
fn what_cannot_be_read_is_refused_by_place_and_cause_and_the_others_are_answered() {
    let price = refused(0, &|it| it["stock"][0]["price"] = json!(7.5));
    assert!(
        price.starts_with(
            "scantling: instance joists (number 1 in the list) can't be read: it needs an id, a stock, and either demand or \
             patches, with whole numbers as scantling cut --help lists them (invalid type: floating point `7.5`"
        ),
        "{price}"
    );
    let side = refused(2, &|it| it["patches"][1]["along"] = json!(null));
    assert!(side.contains("floor (number 3 in the list) can't be read") && side.contains("null"));
    let nothing = refused(1, &|it| drop(it.as_object_mut().unwrap().remove("demand")));
    assert!(
        nothing.contains("beam (number 2 in the list) can't be read")
            && nothing.contains("(it has neither)")
    );
    let nameless = refused(1, &|it| drop(it.as_object_mut().unwrap().remove("id")));
    assert!(
        nameless.contains("instance number 2 in the list can't be read")
            && nameless.contains("(it has no id)")
    );
    let number = refused(1, &|it| *it = json!(12));
    assert!(number.contains("instance number 2 in the list can't be read"));
}

#[test]
fn a_file_that_is_no_list_ends_at_once() {
    for text in ["{\"id\": 1}", "[{\"id\": 1}", "twelve", ""] {
        let ended = run_with(&["cut", "-"], text);
        assert_eq!((ended.code, ended.out.as_str()), (9, ""));
        assert!(
            ended
                .err
                .starts_with("scantling: the file is no JSON list of instances: "),
            "{}",
            ended.err
        );
    }
    assert_eq!(run(&["cut", "no-such-file.json"]).code, 3);
}

#[test]
fn the_check_says_which_instances_have_no_answer() {
    let folder = Folder::new("cut-refused");
    let file = folder.at("house.json");
    let mut instances = house();
    instances[0]["kerf"] = json!(-8);
    instances[2]["stock"][0]["price"] = json!("3895");
    std::fs::write(&file, instances.to_string()).unwrap();
    let out = run(&["cut", &file]).out;
    assert_eq!(out.lines().count(), 1);
    let check = |answers: &str| run_with(&["cut", "--check", &file, "-"], answers);
    let ended = check(&out);
    assert_eq!(ended.code, 11);
    let lines: Vec<&str> = ended.out.lines().collect();
    assert_eq!(lines.len(), 2, "{}", ended.out);
    assert_eq!(lines[0], "joists: not answered");
    assert!(
        lines[1].starts_with("floor: not answered; it can't be read: it needs an id, a stock, and")
    );
    // An answer to what can't be read is no right answer either.
    let all = run_with(&["cut", "-"], &house().to_string()).fine();
    let ended = check(&all);
    assert_eq!(ended.code, 11);
    assert!(
        ended
            .out
            .contains("floor: answered, and it can't be read: "),
        "{}",
        ended.out
    );
}

/// What makes answers wrong.
type Spoil = fn(&mut Vec<Value>);

#[test]
fn the_check_finds_what_is_wrong_in_an_answer() {
    let folder = Folder::new("cut-check");
    let file = folder.at("house.json");
    std::fs::write(&file, house().to_string()).unwrap();
    let out = run(&["cut", &file]).fine();
    let check = |answers: &str| run_with(&["cut", "--check", &file, "-"], answers);
    assert_eq!(check(&out).fine(), "3 answers are right.\n");
    let spoil: [(&str, Spoil); 11] = [
        ("joists: the plan costs", |all| all[0]["cost"] = json!(1)),
        ("joists: the bound", |all| {
            all[0]["lower_bound"] = json!(999_999);
        }),
        ("joists: proven is false", |all| {
            all[0]["proven"] = json!(false);
        }),
        ("joists: 1 pieces 1000 long are forgotten", |all| {
            for row in all[0]["plan"].as_array_mut().unwrap() {
                let once = row["times"] == 1;
                let cuts = row["cuts"].as_array_mut().unwrap();
                if once && cuts.len() > 1 && cuts.last() == Some(&json!(1000)) {
                    cuts.pop();
                    return;
                }
            }
            panic!("no row ends with 1000: {}", all[0]["plan"]);
        }),
        ("joists: a stick 6144 long would have to be", |all| {
            let long = json!({"len": 6144, "price": 708, "times": 1, "cuts": [5900, 1000]});
            all[0]["plan"].as_array_mut().unwrap().insert(0, long);
        }),
        ("beam: feasible is true", |all| {
            all[1]["feasible"] = json!(true);
        }),
        ("beam: a piece 3000 long is unmet, and still fits", |all| {
            all[1]["plan"] = json!([]);
            all[1]["unmet"] = json!([{"len": 7000, "count": 1}, {"len": 3000, "count": 2}]);
        }),
        ("floor: a patch 2040 by 992 is unmet, and a sheet", |all| {
            for key in ["cost", "lower_bound"] {
                all[2][key] = json!(null);
            }
            all[2]["feasible"] = json!(false);
            all[2]["plan"] = json!([]);
            all[2]["unmet"] = json!([{"along": 2040, "across": 992, "count": 2}, {"along": 500, "across": 3000, "count": 1}]);
        }),
        ("floor: ", |all| all[2]["plan"][0]["cuts"] = json!([])),
        ("floor: not answered", |all| drop(all.pop())),
        ("beam: answered twice", |all| all.push(all[1].clone())),
    ];
    for (message, spoil) in spoil {
        let mut all: Vec<Value> = out
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect();
        spoil(&mut all);
        let lines: Vec<String> = all.iter().map(Value::to_string).collect();
        let text = lines.join("\n") + "\n";
        let ended = check(&text);
        assert_eq!(ended.code, 11, "{message} passed");
        assert!(
            ended.out.contains(message),
            "{message} is not in {}",
            ended.out
        );
    }
}

#[test]
fn figures_out_of_all_reason_make_answers_wrong_and_end_no_check() {
    let folder = Folder::new("cut-far");
    let file = folder.at("house.json");
    let out = run_with(&["cut", "-"], &house().to_string()).fine();
    let mark = out.split("\"at\":").nth(1).unwrap();
    let mark = &mark[..mark.find(',').unwrap()];
    for far in [i64::MIN, i64::MAX] {
        std::fs::write(&file, house().to_string()).unwrap();
        let answers = out.replacen(&format!("\"at\":{mark}"), &format!("\"at\":{far}"), 1);
        let ended = run_with(&["cut", "--check", &file, "-"], &answers);
        assert_eq!(ended.code, 11, "{}", ended.err);
        assert!(
            ended
                .out
                .starts_with(&format!("floor: a cut at {far} is outside")),
            "{}",
            ended.out
        );
        let mut instances = house();
        instances[2]["kerf"] = json!(far);
        std::fs::write(&file, instances.to_string()).unwrap();
        let ended = run_with(&["cut", "--check", &file, "-"], &out);
        assert_eq!(ended.code, 11, "{}", ended.err);
        assert!(ended.out.starts_with("floor: "), "{}", ended.out);
    }
}

/// A reader of JSON goes so deep and no deeper: many as 127 lists and objects. Ninety strips are as many cuts in a row.
#[test]
fn many_strips_of_a_sheet_are_read_again_by_the_check() {
    let folder = Folder::new("cut-strips");
    let file = folder.at("strips.json");
    let strips = json!([{"id": "strips", "kerf": 8, "stock": [{"along": 6144, "across": 3072, "price": 3895, "limit": null}],
        "patches": [{"along": 60, "across": 3072, "rotate": false, "count": 90}]}]);
    std::fs::write(&file, strips.to_string()).unwrap();
    let out = run(&["cut", &file]).fine();
    let answer: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(
        (&answer["cost"], &answer["proven"]),
        (&json!(3895), &json!(true))
    );
    let checked = run_with(&["cut", "--check", &file, "-"], &out);
    assert_eq!(checked.fine(), "1 answers are right.\n");
}
