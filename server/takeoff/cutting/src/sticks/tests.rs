//! What a carpenter expects of a cut list, and laws that hold for every one.

use proptest::prelude::*;

use super::*;

type Plan = Packing<String, u32>;

/// What makes a good plan a wrong one.
type Spoil = fn(&mut Plan);

fn inches(n: i64) -> Length {
    Length::inches(n)
}

fn piece(label: &str, length: Length) -> Piece<String> {
    Piece {
        label: label.to_owned(),
        length,
    }
}

/// `n` pieces of one label.
fn pieces(n: usize, label: &str, length: Length) -> Vec<Piece<String>> {
    vec![piece(label, length); n]
}

fn whole(id: u32, length: Length) -> OnHand<u32> {
    OnHand {
        id,
        usable: length,
        whole: true,
    }
}

fn rest(id: u32, length: Length) -> OnHand<u32> {
    OnHand {
        id,
        usable: length,
        whole: false,
    }
}

fn sold(length: Length, cents: i64) -> ForSale {
    ForSale {
        length,
        price: Some(Money::from_cents(cents)),
        limit: None,
    }
}

fn no_price(length: Length) -> ForSale {
    ForSale {
        length,
        price: None,
        limit: None,
    }
}

const EIGHTH: Settings = Settings {
    kerf: Length::inches_64(0, 8),
    trim: Length::ZERO,
};

fn check(
    pieces: &[Piece<String>],
    on_hand: &[OnHand<u32>],
    for_sale: &[ForSale],
    settings: Settings,
) -> Plan {
    let packing = pack_sticks(pieces, on_hand, for_sale, settings);
    assert_eq!(
        verify_sticks(pieces, on_hand, for_sale, settings, &packing),
        Ok(())
    );
    packing
}

/// The lengths on each stick to buy.
fn bought(packing: &Plan) -> Vec<(Length, Vec<Length>)> {
    packing
        .to_buy
        .iter()
        .map(|stick| {
            (
                stick.length,
                stick.pieces.iter().map(|piece| piece.length).collect(),
            )
        })
        .collect()
}

#[test]
fn nothing_demanded_buys_nothing() {
    let packing = check(
        &[],
        &[whole(1, inches(96))],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(
        (packing.on_hand.len(), packing.to_buy.len(), packing.cost),
        (0, 0, Money::ZERO)
    );
    assert!(packing.is_proven());
}

#[test]
fn a_piece_as_long_as_the_stick_needs_no_cut() {
    let packing = check(
        &pieces(1, "stud", inches(96)),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(
        (packing.to_buy[0].leftover, packing.to_buy[0].dust),
        (Length::ZERO, Length::ZERO)
    );
}

#[test]
fn the_last_piece_needs_no_kerf() {
    // 3 pieces and 2 kerfs of 1/8 in fill 96 in: (96 - 1/4) / 3 = 31 11/12, to the 64th below 31 58/64.
    let third = Length::inches_64(31, 58);
    let packing = check(
        &pieces(3, "block", third),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(packing.to_buy.len(), 1);
    assert_eq!(packing.to_buy[0].dust, Length::from_64ths(2));
    let exact = check(
        &pieces(2, "half", Length::inches_64(47, 60)),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(exact.to_buy.len(), 1);
    assert_eq!(exact.to_buy[0].dust, Length::ZERO);
}

#[test]
fn one_64th_too_long_takes_a_second_stick() {
    let packing = check(
        &pieces(2, "half", Length::inches_64(47, 61)),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(packing.cost, Money::from_cents(800));
}

#[test]
fn a_rest_below_the_kerf_is_dust_and_one_as_wide_as_it_is_nothing() {
    let below = check(
        &pieces(1, "a", Length::inches_64(95, 57)),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(
        (below.to_buy[0].leftover, below.to_buy[0].dust),
        (Length::ZERO, Length::from_64ths(7))
    );
    let as_wide = check(
        &pieces(1, "a", Length::inches_64(95, 56)),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(
        (as_wide.to_buy[0].leftover, as_wide.to_buy[0].dust),
        (Length::ZERO, Length::ZERO)
    );
    let above = check(
        &pieces(1, "a", Length::inches_64(95, 55)),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(above.to_buy[0].leftover, Length::from_64ths(1));
}

#[test]
fn a_saw_without_kerf_cuts_four_quarters() {
    let settings = Settings {
        kerf: Length::ZERO,
        trim: Length::ZERO,
    };
    let packing = check(
        &pieces(4, "quarter", inches(24)),
        &[],
        &[sold(inches(96), 400)],
        settings,
    );
    assert_eq!(packing.to_buy.len(), 1);
    assert_eq!(packing.to_buy[0].leftover, Length::ZERO);
}

#[test]
fn trim_comes_off_whole_sticks_and_not_off_what_is_left_of_one() {
    let settings = Settings {
        trim: inches(1),
        ..EIGHTH
    };
    let stock = [whole(1, inches(96)), rest(2, inches(96))];
    let packing = check(
        &pieces(2, "stud", inches(96)),
        &stock,
        &[sold(inches(120), 500)],
        settings,
    );
    assert_eq!(packing.on_hand.len(), 1);
    assert_eq!(
        (packing.on_hand[0].id, packing.on_hand[0].trim),
        (2, Length::ZERO)
    );
    assert_eq!(bought(&packing), [(inches(120), vec![inches(96)])]);
    assert_eq!(packing.to_buy[0].leftover, Length::inches_64(22, 56));
}

#[test]
fn on_hand_alone_serves_without_cost() {
    let packing = check(
        &pieces(2, "block", inches(20)),
        &[rest(7, inches(41))],
        &[],
        EIGHTH,
    );
    assert_eq!(packing.on_hand[0].pieces.len(), 2);
    assert_eq!(packing.on_hand[0].leftover, Length::inches_64(0, 48));
    assert!(packing.unmet.is_empty() && packing.is_proven());
}

#[test]
fn the_on_hand_stick_with_least_left_is_taken() {
    let stock = [
        whole(1, inches(192)),
        rest(2, inches(50)),
        rest(3, inches(40)),
    ];
    let packing = check(&pieces(1, "block", inches(38)), &stock, &[], EIGHTH);
    assert_eq!(packing.on_hand[0].id, 3);
}

#[test]
fn a_piece_longer_than_every_stick_is_unmet_and_the_rest_is_cut() {
    let mut wanted = pieces(2, "stud", inches(90));
    wanted.push(piece("beam", inches(300)));
    let packing = check(
        &wanted,
        &[rest(1, inches(100))],
        &[sold(inches(192), 900)],
        EIGHTH,
    );
    assert_eq!(packing.unmet, [("beam".to_owned(), inches(300))]);
    assert_eq!(packing.longest_for_sale, inches(192));
    assert_eq!(packing.longest_on_hand, inches(100));
    assert_eq!(
        packing.on_hand[0].pieces.len() + packing.to_buy[0].pieces.len(),
        2
    );
}

#[test]
fn on_hand_that_does_not_suffice_leaves_the_rest_unmet() {
    let packing = check(
        &pieces(3, "stud", inches(90)),
        &[rest(1, inches(96))],
        &[],
        EIGHTH,
    );
    assert_eq!(packing.unmet.len(), 2);
}

#[test]
fn a_piece_without_length_is_unmet() {
    let wanted = [
        piece("a", Length::ZERO),
        piece("b", inches(-3)),
        piece("c", inches(3)),
    ];
    let packing = check(&wanted, &[], &[sold(inches(96), 400)], EIGHTH);
    assert_eq!(packing.unmet.len(), 2);
    assert_eq!(packing.to_buy.len(), 1);
}

#[test]
fn a_length_without_a_price_serves_only_what_fits_no_priced_one() {
    let wanted = [
        piece("joist", inches(190)),
        piece("stud", inches(90)),
        piece("block", inches(40)),
    ];
    let sale = [
        sold(inches(96), 400),
        no_price(inches(240)),
        no_price(inches(192)),
        no_price(inches(96)),
    ];
    let packing = check(&wanted, &[], &sale, EIGHTH);
    assert!(packing.unpriced);
    assert_eq!(
        bought(&packing),
        [
            (inches(192), vec![inches(190)]),
            (inches(96), vec![inches(90)]),
            (inches(96), vec![inches(40)])
        ]
    );
    assert_eq!(packing.cost, Money::from_cents(800));
}

#[test]
fn what_is_left_of_a_stick_without_a_price_serves_other_pieces() {
    let wanted = [piece("joist", inches(150)), piece("block", inches(40))];
    let packing = check(
        &wanted,
        &[],
        &[sold(inches(96), 400), no_price(inches(192))],
        EIGHTH,
    );
    assert_eq!(
        bought(&packing),
        [(inches(192), vec![inches(150), inches(40)])]
    );
    assert_eq!(packing.cost, Money::ZERO);
}

#[test]
fn the_cheapest_row_of_a_length_counts_and_of_equal_prices_the_longer_is_bought() {
    let sale = [
        sold(inches(96), 500),
        sold(inches(96), 450),
        no_price(inches(96)),
        sold(inches(120), 450),
    ];
    let packing = check(&pieces(1, "stud", inches(90)), &[], &sale, EIGHTH);
    assert_eq!(bought(&packing), [(inches(120), vec![inches(90)])]);
    assert_eq!(packing.cost, Money::from_cents(450));
}

#[test]
fn a_price_below_zero_is_no_price() {
    let sale = [sold(inches(96), -5), sold(inches(96), 300)];
    let packing = check(&pieces(1, "stud", inches(90)), &[], &sale, EIGHTH);
    assert_eq!(packing.cost, Money::from_cents(300));
    assert!(check(&pieces(1, "stud", inches(90)), &[], &sale[..1], EIGHTH).unpriced);
}

#[test]
fn each_stick_is_the_cheapest_that_holds_its_pieces() {
    // 16 ft is cheapest for its length, but one 7 ft piece needs only an 8.
    let sale = [sold(inches(96), 500), sold(inches(192), 900)];
    let packing = check(&pieces(3, "stud", inches(84)), &[], &sale, EIGHTH);
    assert_eq!(packing.cost, Money::from_cents(1_400));
    assert!(bought(&packing).contains(&(inches(96), vec![inches(84)])));
}

#[test]
fn two_sticks_become_one_where_that_is_no_dearer() {
    let sale = [sold(inches(96), 500), sold(inches(192), 1_000)];
    let packing = check(&pieces(2, "stud", inches(90)), &[], &sale, EIGHTH);
    assert_eq!(
        bought(&packing),
        [(inches(192), vec![inches(90), inches(90)])]
    );
    assert!(packing.is_proven());
}

#[test]
fn pieces_come_longest_first_and_labels_in_order() {
    let wanted = [
        piece("c", inches(20)),
        piece("b", inches(20)),
        piece("a", inches(30)),
    ];
    let packing = check(&wanted, &[], &[sold(inches(96), 400)], EIGHTH);
    let labels: Vec<&str> = packing.to_buy[0]
        .pieces
        .iter()
        .map(|piece| piece.label.as_str())
        .collect();
    assert_eq!(labels, ["a", "b", "c"]);
}

#[test]
fn ten_thousand_equal_pieces_fill_every_stick() {
    // 6 pieces of 15 in and 5 kerfs take 90 5/8 of 96 in; a seventh doesn't fit.
    let packing = check(
        &pieces(10_000, "block", inches(15)),
        &[],
        &[sold(inches(96), 400)],
        EIGHTH,
    );
    assert_eq!(packing.to_buy.len(), 1_667);
}

#[test]
fn five_thousand_different_pieces_and_five_hundred_sticks_are_packed() {
    let wanted: Vec<Piece<String>> = (0..5_000_i64)
        .map(|n| {
            piece(
                &format!("need {n}"),
                Length::from_64ths(500 + (n * 7_919).rem_euclid(2_003)),
            )
        })
        .collect();
    let stock: Vec<OnHand<u32>> = (0..500_u32)
        .map(|n| {
            rest(
                n,
                Length::from_64ths(600 + (i64::from(n) * 6_101).rem_euclid(11_000)),
            )
        })
        .collect();
    let sale: Vec<ForSale> = [
        (96, 398),
        (120, 545),
        (144, 689),
        (168, 829),
        (192, 998),
        (240, 1_376),
    ]
    .map(|(length, cents)| sold(inches(length), cents))
    .to_vec();
    let packing = check(&wanted, &stock, &sale, EIGHTH);
    assert!(packing.cost.as_cents() * 100 <= packing.lower_bound.as_cents() * 104);
}

/// Nothing on hand.
const NOTHING: [OnHand<u32>; 0] = [];

/// Lengths in 64ths: pieces with how many, a rest on hand, what is sold with price and how many, kerf and trim.
type Broken = (
    &'static [(i64, usize)],
    i64,
    &'static [(i64, Option<i64>, Option<i64>)],
    (i64, i64),
);

/// Floats of the relaxation broke down on these, far prices beside near ones, and figures made of them ran over.
const BROKEN: [Broken; 2] = [
    (
        &[
            (363, 4),
            (373, 4),
            (1265, 1),
            (1324, 5),
            (3369, 2),
            (3827, 4),
            (5646, 3),
            (5718, 3),
            (6040, 4),
            (6902, 4),
            (7322, 2),
            (8185, 3),
        ],
        451,
        &[
            (9144, None, Some(6)),
            (7608, Some(1893), Some(1)),
            (8376, None, None),
            (7608, None, Some(1)),
        ],
        (8, 64),
    ),
    (
        &[
            (342, 7),
            (1170, 4),
            (1853, 5),
            (2534, 6),
            (5809, 4),
            (6210, 7),
            (6393, 6),
            (6855, 3),
            (8143, 10),
            (8675, 5),
        ],
        6744,
        &[
            (7608, None, Some(11)),
            (4536, None, None),
            (9912, Some(1564), Some(6)),
            (6840, None, Some(11)),
            (7608, Some(217), Some(8)),
        ],
        (300, 500),
    ),
];

#[test]
fn floats_that_break_down_propose_nothing_and_the_plan_can_be_cut_all_the_same() {
    for (wanted, here, sale, (kerf, trim)) in BROKEN {
        let settings = Settings {
            kerf: Length::from_64ths(kerf),
            trim: Length::from_64ths(trim),
        };
        let wanted: Vec<Piece<String>> = wanted
            .iter()
            .flat_map(|&(length, n)| pieces(n, "a", Length::from_64ths(length)))
            .collect();
        let sale: Vec<ForSale> = sale
            .iter()
            .map(|&(length, cents, limit)| ForSale {
                length: Length::from_64ths(length),
                price: cents.map(Money::from_cents),
                limit,
            })
            .collect();
        check(
            &wanted,
            &[rest(1, Length::from_64ths(here))],
            &sale,
            settings,
        );
    }
}

#[test]
fn of_two_rows_of_one_length_the_cheaper_goes_first_also_in_cutting_longest_first() {
    let cheap = ForSale {
        limit: Some(1),
        ..sold(inches(96), 400)
    };
    let sale = [cheap, sold(inches(96), 500), no_price(inches(96))];
    let wanted = pieces(2, "stud", inches(90));
    let packing = check(&wanted, &[], &sale, EIGHTH);
    assert_eq!(packing.cost, Money::from_cents(900));
    let simple = longest_first(&wanted, &NOTHING, &sale, EIGHTH);
    assert_eq!(simple, Some((Money::from_cents(900), 2)));
}

#[test]
fn the_second_look_finds_what_is_wrong() {
    let (wanted, stock) = (pieces(3, "stud", inches(40)), [rest(1, inches(41))]);
    let sale = [sold(inches(96), 400)];
    let good = check(&wanted, &stock, &sale, EIGHTH);
    let faults: [(&str, Spoil); 9] = [
        ("a piece lost", |plan| {
            drop(plan.to_buy[0].pieces.pop());
        }),
        ("a piece longer", |plan| {
            plan.to_buy[0].pieces[0].length += Length::from_64ths(1);
        }),
        ("a kerf forgotten", |plan| {
            plan.to_buy[0].leftover += EIGHTH.kerf;
        }),
        ("a wrong price", |plan| {
            plan.to_buy[0].price = Some(Money::ZERO);
        }),
        ("a wrong length", |plan| {
            plan.to_buy[0].length += inches(24);
        }),
        ("a wrong sum", |plan| {
            plan.cost = Money::ZERO;
        }),
        ("a bound too high", |plan| {
            plan.lower_bound = plan.cost + Money::from_cents(1);
        }),
        ("a stick that is not there", |plan| {
            plan.on_hand[0].id = 9;
        }),
        ("a stick cut twice", |plan| {
            plan.on_hand.push(plan.on_hand[0].clone());
        }),
    ];
    for (fault, spoil) in faults {
        let mut plan = good.clone();
        spoil(&mut plan);
        assert!(
            verify_sticks(&wanted, &stock, &sale, EIGHTH, &plan).is_err(),
            "{fault} passed"
        );
    }
}

/// What is wanted least, in that order: size that is unmet, length bought without a price, cents.
type Rank = (i64, i64, i64);

/// A length for sale as the trying goes: room, what one more of it costs, how many are left.
type Left = (i64, Rank, Option<i64>);

/// The least of all plans, by trying every place for every piece.
fn by_trying(left: &[i64], bins: &mut Vec<i64>, kinds: &mut [Left], kerf: i64) -> Rank {
    let Some((&length, rest)) = left.split_first() else {
        return (0, 0, 0);
    };
    let and = |a: Rank, b: Rank| (a.0 + b.0, a.1 + b.1, a.2 + b.2);
    let unmet = by_trying(rest, bins, kinds, kerf);
    let mut best = and((length + kerf, 0, 0), unmet);
    for at in 0..bins.len() {
        if bins[at] >= length {
            let before = bins[at];
            bins[at] = before - length - kerf;
            best = best.min(by_trying(rest, bins, kinds, kerf));
            bins[at] = before;
        }
    }
    for at in 0..kinds.len() {
        let (room, costs, limit) = kinds[at];
        if room >= length && limit != Some(0) {
            kinds[at].2 = limit.map(|n| n - 1);
            bins.push(room - length - kerf);
            best = best.min(and(costs, by_trying(rest, bins, kinds, kerf)));
            bins.pop();
            kinds[at].2 = limit;
        }
    }
    best
}

prop_compose! {
    fn any_settings()(kerf in 0_i64..12, trim in 0_i64..12) -> Settings {
        Settings { kerf: Length::from_64ths(kerf), trim: Length::from_64ths(trim) }
    }
}

fn any_pieces(most: usize) -> impl Strategy<Value = Vec<Piece<String>>> {
    let one = ("[a-d]", 1_i64..130).prop_map(|(label, n)| piece(&label, Length::from_64ths(n)));
    prop::collection::vec(one, 0..most)
}

fn any_stock(most: usize) -> impl Strategy<Value = Vec<OnHand<u32>>> {
    let one = (1_i64..150, any::<bool>());
    prop::collection::vec(one, 0..most).prop_map(|rows| {
        (0..)
            .zip(rows)
            .map(|(id, (n, whole))| OnHand {
                id,
                usable: Length::from_64ths(n),
                whole,
            })
            .collect()
    })
}

fn any_sale(most: usize) -> impl Strategy<Value = Vec<ForSale>> {
    let one = (
        20_i64..160,
        prop::option::weighted(0.8, 0_i64..90),
        prop::option::weighted(0.3, 0_i64..4),
    );
    let one = one.prop_map(|(n, cents, limit)| ForSale {
        length: Length::from_64ths(n),
        price: cents.map(Money::from_cents),
        limit,
    });
    prop::collection::vec(one, 0..most)
}

proptest! {
    #[test]
    fn every_piece_is_cut_once_or_unmet_and_every_plan_can_be_cut(
        wanted in any_pieces(40), stock in any_stock(8), sale in any_sale(6), settings in any_settings(),
    ) {
        let packing = pack_sticks(&wanted, &stock, &sale, settings);
        prop_assert_eq!(verify_sticks(&wanted, &stock, &sale, settings, &packing), Ok(()));
    }

    #[test]
    fn many_pieces_from_few_lengths_are_planned_whatever_has_no_price_or_a_limit(
        kinds in prop::collection::vec((300_i64..9_000, 1_usize..10), 3..12),
        sale in prop::collection::vec(
            (4_000_i64..15_000, prop::option::of(100_i64..3_000), prop::option::of(0_i64..12)), 1..5),
        kerf in 0_i64..300,
    ) {
        let wanted: Vec<Piece<String>> = kinds
            .iter()
            .flat_map(|&(length, n)| pieces(n, "a", Length::from_64ths(length)))
            .collect();
        let row = |&(length, cents, limit): &(i64, Option<i64>, Option<i64>)| ForSale {
            length: Length::from_64ths(length),
            price: cents.map(Money::from_cents),
            limit,
        };
        let sale: Vec<ForSale> = sale.iter().map(row).collect();
        let settings = Settings { kerf: Length::from_64ths(kerf), trim: Length::ZERO };
        let packing = pack_sticks(&wanted, &NOTHING, &sale, settings);
        prop_assert_eq!(verify_sticks(&wanted, &NOTHING, &sale, settings, &packing), Ok(()));
        if let (false, Some((simple, _))) =
            (packing.unpriced, longest_first(&wanted, &NOTHING, &sale, settings))
        {
            prop_assert!(packing.cost <= simple && packing.lower_bound <= simple);
        }
    }

    #[test]
    fn length_in_is_trim_pieces_kerfs_leftover_and_dust(
        wanted in any_pieces(40), stock in any_stock(8), sale in any_sale(6), settings in any_settings(),
    ) {
        let packing = pack_sticks(&wanted, &stock, &sale, settings);
        let cuts = packing.on_hand.iter().map(|cut| (cut.length, cut.trim, &cut.pieces, cut.leftover, cut.dust));
        let buys = packing.to_buy.iter().map(|buy| (buy.length, buy.trim, &buy.pieces, buy.leftover, buy.dust));
        for (length, trim, pieces, leftover, dust) in cuts.chain(buys) {
            let sum: Length = pieces.iter().map(|piece| piece.length).sum();
            let n = i64::try_from(pieces.len()).unwrap();
            let gone = trim + sum + settings.kerf * (n - 1) + leftover + dust;
            let last_kerf = length - gone;
            prop_assert!(last_kerf == Length::ZERO || (last_kerf == settings.kerf && dust == Length::ZERO));
        }
    }

    #[test]
    fn the_order_of_the_rows_changes_nothing(
        (wanted, mixed) in any_pieces(30).prop_flat_map(|rows| (Just(rows.clone()), Just(rows).prop_shuffle())),
        (stock, mixed_stock) in any_stock(8).prop_flat_map(|rows| (Just(rows.clone()), Just(rows).prop_shuffle())),
        (sale, mixed_sale) in any_sale(6).prop_flat_map(|rows| (Just(rows.clone()), Just(rows).prop_shuffle())),
        settings in any_settings(),
    ) {
        prop_assert_eq!(
            pack_sticks(&wanted, &stock, &sale, settings),
            pack_sticks(&mixed, &mixed_stock, &mixed_sale, settings)
        );
    }

    #[test]
    fn nobody_finds_a_better_plan_by_trying_everything(
        wanted in any_pieces(6), stock in any_stock(3), sale in any_sale(4), settings in any_settings(),
    ) {
        let mut kinds: Vec<Left> = sale
            .iter()
            .map(|row| {
                let costs = match row.price {
                    Some(price) => (0, 0, price.as_cents()),
                    None => (0, row.length.as_64ths(), 0),
                };
                ((row.length - settings.trim).as_64ths(), costs, row.limit)
            })
            .collect();
        let packing = pack_sticks(&wanted, &stock, &sale, settings);
        let kerf = settings.kerf.as_64ths();
        let lengths: Vec<i64> = wanted.iter().map(|piece| piece.length.as_64ths()).collect();
        let trim = |stick: &OnHand<u32>| if stick.whole { settings.trim } else { Length::ZERO };
        let mut bins: Vec<i64> =
            stock.iter().map(|stick| (stick.usable - trim(stick)).as_64ths()).collect();
        let least = by_trying(&lengths, &mut bins, &mut kinds, kerf);
        let unpriced = packing.to_buy.iter().filter(|stick| stick.price.is_none());
        let found = (
            packing.unmet.iter().map(|(_, length)| length.as_64ths() + kerf).sum::<i64>(),
            unpriced.map(|stick| stick.length.as_64ths()).sum::<i64>(),
            packing.cost.as_cents(),
        );
        prop_assert_eq!(found, least);
        prop_assert_eq!(packing.lower_bound, packing.cost);
    }
}
