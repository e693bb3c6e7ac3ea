//! A sundry (rule 13 of takeoff): as entered, and the list of what is usually bought for each kind of change.
//!
//! Nothing is computed here; the usual list only offers words to a form. Source: common practice, no published source.
//!
//! Example: 2 rolls of sheeting are 2 rolls of sheeting.

use super::inputs::must_have;
use super::piece::by_count;
use super::{Class, Takeoff, result};
use crate::record::{Job, Kind, Record};

/// The need of a sundry.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let waits = change.name();
    let item = change.text("item").map(fold);
    let item = must_have(item, change.id, "item", "what to buy", waits, out);
    let unit = change.text("unit").map(str::to_owned);
    let unit = must_have(unit, change.id, "unit", "the unit", waits, out);
    let count = change.number("count");
    let count = must_have(count, change.id, "count", "how many", waits, out);
    let (Some(name), Some(unit), Some(count)) = (item, unit, count) else {
        return;
    };
    let note = match change.to("for") {
        Some(of) => format!("as entered, for {}", job.name(of)),
        None => "as entered".to_owned(),
    };
    let title = name.clone();
    let mut need = by_count("sundry", &title, Class::Sundry { name, unit }, count);
    need.sums.push(result("Count", count.to_string(), note));
    out.needs.push(need);
}

/// What is usually bought for a kind of change beside what its rule counts: item, and its unit (a word of the price book).
///
/// Source: common practice, no published source.
pub fn usual(kind: Kind) -> &'static [(&'static str, &'static str)] {
    match kind {
        Kind::Shore => &[
            ("floor protection", "roll"),
            ("shim shingles", "bundle"),
            ("chalk", "each"),
        ],
        Kind::TakeOut => &[
            ("sheeting for a dust wall", "roll"),
            ("tape for sheeting", "roll"),
            ("dust mask", "box"),
            ("demolition saw blade", "each"),
            ("rubble bag", "each"),
            ("vacuum filter", "each"),
            ("work gloves", "each"),
        ],
        Kind::Struts => &[("demolition saw blade", "each"), ("dust mask", "box")],
        Kind::SetBeam => &[("end-grain sealer", "each"), ("lifting strap", "each")],
        Kind::SetPost => &[("shim shingles", "bundle"), ("end-grain sealer", "each")],
        Kind::Pack => &[
            ("shim shingles", "bundle"),
            ("construction adhesive", "tube"),
        ],
        Kind::HangJoists => &[
            ("demolition saw blade", "each"),
            ("circular saw blade", "each"),
        ],
        Kind::Sister => &[
            ("construction adhesive", "tube"),
            ("wood preservative", "each"),
        ],
        Kind::Plate => &[("sill sealer", "roll"), ("demolition saw blade", "each")],
        Kind::Studs => &[("circular saw blade", "each")],
        Kind::PatchFloor => &[
            ("screw bit", "each"),
            ("circular saw blade", "each"),
            ("dust mask", "box"),
        ],
        Kind::Board => &[
            ("sanding screen", "each"),
            ("dust mask", "box"),
            ("corner bead", "each"),
            ("knife blade", "box"),
            ("primer", "each"),
        ],
        _ => &[],
    }
}

/// Blanks folded, so that two who type the same item buy the same.
fn fold(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::super::Class;
    use super::super::testing::{counts, job, missing, need, reversed, takeoff};
    use super::usual;
    use crate::record::choices::SOLD_BY;
    use crate::record::{Job, Kind, Record};

    fn sheeting() -> Job {
        job(&[
            ("take_out", "Wall D", &[("wall", "@D")]),
            (
                "sundry",
                "dust wall",
                &[
                    ("item", "Sheeting,  10 × 25 ft"),
                    ("unit", "roll"),
                    ("count", "2"),
                    ("for", "@Wall D"),
                ],
            ),
        ])
    }

    #[test]
    fn a_sundry_is_bought_as_entered() {
        let job = sheeting();
        let got = takeoff(&job, "dust wall");
        assert_eq!(counts(&got), [("sundry", 2)]);
        let need = need(&got, "sundry");
        let class = Class::Sundry {
            name: "Sheeting, 10 × 25 ft".to_owned(),
            unit: "roll".to_owned(),
        };
        assert_eq!((&need.class, need.held.as_ref()), (&class, None));
        assert_eq!(need.sums[0].value, "2");
        assert_eq!(need.sums[0].note, "as entered, for Wall D");
        assert_eq!(missing(&got), []);
        assert_eq!(got, takeoff(&reversed(&job), "dust wall"));
    }

    #[test]
    fn a_sundry_whose_count_was_cleared_says_what_it_needs() {
        let with = sheeting();
        let records: Vec<Record> = with
            .records()
            .cloned()
            .map(|mut record| {
                record.fields.remove("count");
                record
            })
            .collect();
        let without = Job::new(with.id, records, with.ledger.clone());
        let got = takeoff(&without, "dust wall");
        assert_eq!(got.needs, []);
        assert_eq!(missing(&got), [("how many", "dust wall")]);
    }

    #[test]
    fn every_usual_item_has_a_unit_of_the_price_book_and_stands_once() {
        for kind in Kind::CHANGES {
            let list = usual(kind);
            assert_eq!(list.is_empty(), kind == Kind::Sundry, "{kind}");
            for (n, (item, unit)) in list.iter().enumerate() {
                assert!(SOLD_BY.iter().any(|(word, _)| word == unit), "{item}");
                assert!(
                    list[n + 1..].iter().all(|(other, _)| other != item),
                    "{item}"
                );
            }
        }
    }
}
