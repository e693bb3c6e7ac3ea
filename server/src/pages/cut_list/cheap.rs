//! How cheap what is to be bought is, in words.

use std::collections::BTreeSet;

use scantling_takeoff::buy::{Cheapness, LeastCost, WhyOpen};
use scantling_takeoff::units::{Money, decimal_text};

/// Whether the reader sees prices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Prices {
    /// They do.
    Shown,
    /// A guest doesn't.
    Hidden,
}

/// A sentence each: whether a cheaper way of cutting exists, what is saved against cutting longest first, what is left out.
/// None where nothing is to be bought.
pub(crate) fn cheap(classes: &[LeastCost], prices: Prices) -> Vec<String> {
    if classes.is_empty() {
        return Vec::new();
    }
    let all = Cheapness::of(classes);
    let is_priced = classes.iter().any(|class| class.unpriced == 0);
    let mut said = Vec::new();
    if is_priced {
        said.push(match (prices, all.open == Money::ZERO) {
            (Prices::Shown, true) => format!(
                "No cheaper way to cut this exists: {} for what is to buy, without the spare.",
                all.cost
            ),
            (Prices::Shown, false) => format!(
                "Best way found: {} for what is to buy, without the spare; at most {} ({} %) could be saved: {}.",
                all.cost,
                all.open,
                decimal_text(all.open_permille(), 1),
                why(classes)
            ),
            (Prices::Hidden, true) => "No cheaper way to cut this exists.".to_owned(),
            (Prices::Hidden, false) => {
                "Best way found; whether a cheaper one exists isn’t known.".to_owned()
            }
        });
        if prices == Prices::Shown {
            said.extend(against_longest_first(&all));
        }
    }
    if all.unpriced > 0 {
        said.push(format!(
            "{} without a price: not compared.",
            counted(all.unpriced)
        ));
    }
    said
}

/// Why something is open, each reason once.
fn why(classes: &[LeastCost]) -> String {
    let reasons: BTreeSet<WhyOpen> = classes.iter().filter_map(LeastCost::why_open).collect();
    let words: Vec<&str> = reasons.into_iter().map(words).collect();
    words.join("; ")
}

fn words(why: WhyOpen) -> &'static str {
    match why {
        WhyOpen::Stands => {
            "what stands on a list keeps its pieces until the list is planned afresh"
        }
        WhyOpen::FewFirst => "pieces that few sticks serve get theirs first",
        WhyOpen::NotTold => "the search ended before it could tell",
    }
}

fn against_longest_first(all: &Cheapness) -> Option<String> {
    let stock = match all.fewer {
        0 => String::new(),
        fewer @ 1.. => format!(" and {} fewer", counted(fewer)),
        more => format!(", with {} more", counted(-more)),
    };
    (all.saved > Money::ZERO).then(|| {
        format!(
            "That is {}{stock} against cutting longest first.",
            format_args!("{} less", all.saved)
        )
    })
}

fn counted(n: i64) -> String {
    if n == 1 {
        "1 stick or sheet".to_owned()
    } else {
        format!("{n} sticks or sheets")
    }
}

#[cfg(test)]
mod tests {
    use scantling_takeoff::needs::Class;

    use super::*;

    fn class(cost: i64, least: i64, longest_first: Option<(i64, i64)>, unpriced: i64) -> LeastCost {
        LeastCost {
            class: Class::Sundry {
                name: "stands for a class".to_owned(),
                unit: "each".to_owned(),
            },
            count: 3,
            cost: Money::from_cents(cost),
            unpriced,
            least: Money::from_cents(least),
            longest_first: longest_first.map(|(cents, count)| (Money::from_cents(cents), count)),
            stands: false,
            reached: false,
        }
    }

    #[test]
    fn what_is_proven_is_said_so_and_what_is_open_with_its_gap() {
        let proven = class(1_000, 1_000, Some((1_250, 5)), 0);
        assert_eq!(
            cheap(std::slice::from_ref(&proven), Prices::Shown),
            [
                "No cheaper way to cut this exists: $10.00 for what is to buy, without the spare.",
                "That is $2.50 less and 2 sticks or sheets fewer against cutting longest first."
            ]
        );
        let open = class(500, 450, Some((500, 3)), 0);
        // 0.50 of 15.00 are 3 1/3 %: at most, so rounded up.
        assert_eq!(
            cheap(&[proven.clone(), open.clone()], Prices::Shown)[0],
            "Best way found: $15.00 for what is to buy, without the spare; at most $0.50 (3.4 %) could be saved: \
             the search ended before it could tell."
        );
        let stands = LeastCost {
            stands: true,
            ..open.clone()
        };
        let few_first = LeastCost {
            reached: true,
            ..open.clone()
        };
        let all = cheap(&[stands.clone(), open, few_first, stands], Prices::Shown);
        assert!(
            all[0].ends_with(
                "at most $2.00 (10 %) could be saved: what stands on a list keeps its pieces until the list is \
                 planned afresh; pieces that few sticks serve get theirs first; the search ended before it could tell."
            ),
            "{all:?}"
        );
        assert_eq!(
            cheap(&[proven], Prices::Hidden),
            ["No cheaper way to cut this exists."]
        );
    }

    #[test]
    fn nothing_is_claimed_of_what_has_no_price_and_nothing_said_where_nothing_is_bought() {
        assert_eq!(
            cheap(&[class(0, 0, None, 3)], Prices::Shown),
            ["3 sticks or sheets without a price: not compared."]
        );
        assert_eq!(cheap(&[], Prices::Shown), [""; 0]);
    }
}
