//! What a carpenter expects of a sheet's cuts, and laws that hold for every plan.

use proptest::prelude::*;

use super::*;

type Plan = Packing<String, u32>;

/// What makes a good plan a wrong one.
type Spoil = fn(&mut Plan);

const EIGHTH: Length = Length::inches_64(0, 8);

fn inches(n: i64) -> Length {
    Length::inches(n)
}

fn patch(label: &str, along: i64, across: i64) -> Patch<String> {
    Patch {
        label: label.to_owned(),
        along: inches(along),
        across: inches(across),
        turn: false,
    }
}

fn turning(label: &str, along: i64, across: i64) -> Patch<String> {
    Patch {
        turn: true,
        ..patch(label, along, across)
    }
}

fn sheet(id: u32, along: i64, across: i64) -> OnHand<u32> {
    OnHand {
        id,
        along: inches(along),
        across: inches(across),
    }
}

fn sold(along: i64, across: i64, cents: i64) -> ForSale {
    ForSale {
        along: inches(along),
        across: inches(across),
        price: Some(Money::from_cents(cents)),
        limit: None,
    }
}

fn no_price(along: i64, across: i64) -> ForSale {
    ForSale {
        along: inches(along),
        across: inches(across),
        price: None,
        limit: None,
    }
}

fn check(
    patches: &[Patch<String>],
    on_hand: &[OnHand<u32>],
    for_sale: &[ForSale],
    kerf: Length,
) -> Plan {
    let packing = pack_panels(patches, on_hand, for_sale, kerf);
    assert_eq!(
        verify_panels(patches, on_hand, for_sale, kerf, &packing),
        Ok(())
    );
    packing
}

#[test]
fn no_patches_buy_nothing() {
    let packing = check(&[], &[sheet(1, 96, 48)], &[sold(96, 48, 3_500)], EIGHTH);
    assert_eq!(
        (packing.on_hand.len(), packing.to_buy.len(), packing.cost),
        (0, 0, Money::ZERO)
    );
}

#[test]
fn a_whole_sheet_needs_no_cut() {
    let packing = check(
        &[patch("floor", 96, 48)],
        &[],
        &[sold(96, 48, 3_500)],
        EIGHTH,
    );
    assert_eq!(packing.cost, Money::from_cents(3_500));
    assert_eq!(packing.to_buy[0].leftover, None);
    assert!(packing.is_proven());
}

#[test]
fn two_halves_share_a_sheet_only_without_kerf() {
    let halves = [patch("a", 48, 48), patch("b", 48, 48)];
    assert_eq!(
        check(&halves, &[], &[sold(96, 48, 3_500)], Length::ZERO)
            .to_buy
            .len(),
        1
    );
    assert_eq!(
        check(&halves, &[], &[sold(96, 48, 3_500)], EIGHTH)
            .to_buy
            .len(),
        2
    );
    let fitting = [
        Patch {
            along: Length::inches_64(47, 56),
            ..patch("a", 0, 48)
        },
        patch("b", 48, 48),
    ];
    let packing = check(&fitting, &[], &[sold(96, 48, 3_500)], EIGHTH);
    assert_eq!(packing.to_buy.len(), 1);
    assert_eq!(
        packing.to_buy[0].placed[1].at.x - packing.to_buy[0].placed[0].at.along,
        EIGHTH
    );
}

#[test]
fn a_patch_keeps_the_strength_axis_unless_it_may_turn() {
    let held = check(&[patch("a", 40, 90)], &[], &[sold(96, 48, 3_500)], EIGHTH);
    assert_eq!(held.unmet, [patch("a", 40, 90)]);
    let turned = check(&[turning("a", 40, 90)], &[], &[sold(96, 48, 3_500)], EIGHTH);
    assert!(turned.to_buy[0].placed[0].turned);
    assert_eq!(turned.to_buy[0].placed[0].at.along, inches(90));
}

#[test]
fn a_piece_on_hand_is_used_before_a_sheet_is_bought() {
    let wanted = [patch("a", 40, 40), patch("b", 90, 40)];
    let stock = [sheet(1, 60, 48), sheet(2, 41, 41)];
    let packing = check(&wanted, &stock, &[sold(96, 48, 3_500)], EIGHTH);
    assert_eq!(packing.on_hand.len(), 1);
    assert_eq!(packing.on_hand[0].id, 2);
    assert_eq!(packing.cost, Money::from_cents(3_500));
}

#[test]
fn the_cheapest_sheet_that_holds_its_patches_is_bought() {
    let sale = [
        sold(96, 48, 3_500),
        sold(48, 48, 2_000),
        sold(48, 24, 1_200),
        sold(48, 48, 2_100),
    ];
    let packing = check(&[patch("a", 40, 20)], &[], &sale, EIGHTH);
    assert_eq!(packing.cost, Money::from_cents(1_200));
    let two = check(
        &[patch("a", 40, 40), patch("b", 40, 40)],
        &[],
        &sale,
        EIGHTH,
    );
    assert_eq!(two.cost, Money::from_cents(3_500));
}

#[test]
fn of_equal_prices_the_bigger_sheet_is_bought_and_its_rest_kept() {
    let packing = check(
        &[patch("a", 40, 48)],
        &[],
        &[sold(48, 48, 3_500), sold(96, 48, 3_500)],
        EIGHTH,
    );
    let leftover = packing.to_buy[0].leftover.expect("half a sheet is left");
    assert_eq!(packing.to_buy[0].along, inches(96));
    assert_eq!(
        (leftover.along, leftover.across),
        (Length::inches_64(55, 56), inches(48))
    );
}

#[test]
fn a_sheet_without_a_price_serves_only_what_fits_no_priced_one() {
    let wanted = [
        patch("long", 110, 48),
        patch("a", 90, 40),
        patch("b", 8, 40),
    ];
    let packing = check(
        &wanted,
        &[],
        &[sold(96, 48, 3_500), no_price(120, 48), no_price(144, 48)],
        EIGHTH,
    );
    let sizes: Vec<Length> = packing.to_buy.iter().map(|sheet| sheet.along).collect();
    assert_eq!(sizes, [inches(120), inches(96)]);
    assert_eq!(packing.to_buy[0].placed.len(), 2);
    assert!(packing.unpriced);
    assert_eq!(packing.cost, Money::from_cents(3_500));
}

#[test]
fn a_patch_without_area_is_unmet_and_the_rest_is_cut() {
    let wanted = [patch("a", 0, 20), patch("b", 20, -1), patch("c", 20, 20)];
    let packing = check(&wanted, &[], &[sold(96, 48, 3_500)], EIGHTH);
    assert_eq!((packing.unmet.len(), packing.to_buy.len()), (2, 1));
}

#[test]
fn eight_strips_fill_a_sheet() {
    // 8 strips of 5 7/8 in and 7 kerfs of 1/8 take 47 7/8 of 48 in.
    let strip = Patch {
        across: Length::inches_64(5, 56),
        ..patch("strip", 96, 0)
    };
    let packing = check(&vec![strip; 8], &[], &[sold(96, 48, 3_500)], EIGHTH);
    assert_eq!(packing.to_buy.len(), 1);
    assert!(packing.is_proven());
}

#[test]
fn ten_thousand_equal_patches_fill_every_sheet() {
    let packing = check(
        &vec![patch("square", 23, 23); 10_000],
        &[],
        &[sold(96, 48, 3_500)],
        EIGHTH,
    );
    assert_eq!(packing.to_buy.len(), 1_250);
}

#[test]
fn four_patches_around_a_hole_can_not_be_cut_from_edge_to_edge() {
    let rows = [(0, 0, 6, 4), (6, 0, 4, 6), (4, 6, 6, 4), (0, 4, 4, 6)];
    let placed = rows.map(|(x, y, along, across)| Placed {
        at: Rectangle {
            x: inches(x),
            y: inches(y),
            along: inches(along),
            across: inches(across),
        },
        patch: patch("p", along, across),
        turned: false,
    });
    let wanted = placed.clone().map(|placed| placed.patch);
    let sale = [sold(10, 10, 100)];
    let good = check(&wanted, &[], &sale, Length::ZERO);
    let mut pinwheel = good.clone();
    pinwheel.to_buy.truncate(1);
    pinwheel.to_buy[0].placed = placed.to_vec();
    pinwheel.to_buy[0].leftover = None;
    pinwheel.cost = Money::from_cents(100);
    let found = verify_panels(&wanted, &[], &sale, Length::ZERO, &pinwheel);
    assert!(found.is_err_and(|wrong| wrong.contains("straight cuts")));
}

/// A search this short bought two sheets without a price here where plain packing buys one and a priced one.
#[test]
fn no_more_is_bought_without_a_price_than_by_plain_packing() {
    let on_hand = [sheet(1, 49, 30), sheet(2, 72, 42), sheet(3, 84, 25)];
    let limited = ForSale {
        limit: Some(3),
        ..sold(60, 24, 861)
    };
    let sale = [no_price(60, 48), sold(48, 24, 159), limited];
    let wanted = [
        turning("a", 67, 26),
        patch("b", 68, 21),
        turning("c", 90, 29),
        patch("d", 76, 7),
        turning("e", 69, 16),
        patch("f", 25, 29),
        patch("g", 59, 9),
        turning("h", 32, 44),
        turning("i", 82, 21),
        patch("j", 21, 46),
        patch("k", 44, 16),
        turning("l", 44, 11),
        turning("m", 37, 23),
        turning("n", 86, 36),
    ];
    let kerf = Length::from_64ths(8);
    let packing = pack_panels(&wanted, &on_hand, &sale, kerf);
    let simple = simple_panels(&wanted, &on_hand, &sale, kerf);
    assert!(packing.rank() <= simple.rank());
    assert!(packing.unpriced && !packing.is_proven());
}

#[test]
fn the_second_look_finds_what_is_wrong() {
    let wanted = [patch("a", 40, 20), patch("b", 30, 20), patch("c", 90, 40)];
    let (stock, sale) = ([sheet(1, 48, 24)], [sold(96, 48, 3_500)]);
    let good = check(&wanted, &stock, &sale, EIGHTH);
    let faults: [(&str, Spoil); 9] = [
        ("a patch lost", |plan| {
            drop(plan.to_buy[0].placed.pop());
        }),
        ("a patch grown", |plan| {
            plan.to_buy[0].placed[0].at.along += EIGHTH;
        }),
        ("a patch turned", |plan| {
            plan.to_buy[0].placed[0].turned = true;
        }),
        ("a patch over the edge", |plan| {
            plan.to_buy[0].placed[0].at.x += inches(60);
        }),
        ("a leftover over a patch", |plan| {
            plan.to_buy[0].leftover = Some(plan.to_buy[0].placed[0].at);
        }),
        ("a wrong price", |plan| {
            plan.to_buy[0].price = None;
        }),
        ("a wrong sum", |plan| {
            plan.cost = Money::ZERO;
        }),
        ("a sheet that is not there", |plan| {
            plan.on_hand[0].id = 9;
        }),
        ("a sheet cut twice", |plan| {
            plan.on_hand.push(plan.on_hand[0].clone());
        }),
    ];
    for (fault, spoil) in faults {
        let mut plan = good.clone();
        spoil(&mut plan);
        assert!(
            verify_panels(&wanted, &stock, &sale, EIGHTH, &plan).is_err(),
            "{fault} passed"
        );
    }
}

fn any_patches(most: usize) -> impl Strategy<Value = Vec<Patch<String>>> {
    let one =
        ("[a-d]", 1_i64..50, 1_i64..50, any::<bool>()).prop_map(|(label, along, across, turn)| {
            Patch {
                label,
                along: Length::from_64ths(along),
                across: Length::from_64ths(across),
                turn,
            }
        });
    prop::collection::vec(one, 0..most)
}

fn any_stock(most: usize) -> impl Strategy<Value = Vec<OnHand<u32>>> {
    prop::collection::vec((1_i64..60, 1_i64..60), 0..most).prop_map(|rows| {
        (0..)
            .zip(rows)
            .map(|(id, (along, across))| OnHand {
                id,
                along: Length::from_64ths(along),
                across: Length::from_64ths(across),
            })
            .collect()
    })
}

fn any_sale(most: usize) -> impl Strategy<Value = Vec<ForSale>> {
    let one = (
        20_i64..90,
        10_i64..60,
        prop::option::weighted(0.8, 0_i64..90),
        prop::option::weighted(0.3, 0_i64..4),
    );
    let row = one.prop_map(|(along, across, cents, limit)| ForSale {
        along: Length::from_64ths(along),
        across: Length::from_64ths(across),
        price: cents.map(Money::from_cents),
        limit,
    });
    prop::collection::vec(row, 0..most)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn every_patch_is_cut_once_or_unmet_and_every_plan_can_be_cut(
        wanted in any_patches(25), stock in any_stock(5), sale in any_sale(4), kerf in 0_i64..6,
    ) {
        let kerf = Length::from_64ths(kerf);
        let packing = pack_panels(&wanted, &stock, &sale, kerf);
        prop_assert_eq!(verify_panels(&wanted, &stock, &sale, kerf, &packing), Ok(()));
    }

    #[test]
    fn the_order_of_the_rows_changes_nothing(
        (wanted, mixed) in any_patches(20).prop_flat_map(|rows| (Just(rows.clone()), Just(rows).prop_shuffle())),
        (stock, mixed_stock) in any_stock(5).prop_flat_map(|rows| (Just(rows.clone()), Just(rows).prop_shuffle())),
        (sale, mixed_sale) in any_sale(4).prop_flat_map(|rows| (Just(rows.clone()), Just(rows).prop_shuffle())),
        kerf in 0_i64..6,
    ) {
        let kerf = Length::from_64ths(kerf);
        prop_assert_eq!(
            pack_panels(&wanted, &stock, &sale, kerf),
            pack_panels(&mixed, &mixed_stock, &mixed_sale, kerf)
        );
    }

    #[test]
    fn no_two_patches_share_any_of_a_sheet(wanted in any_patches(25), sale in any_sale(4), kerf in 0_i64..6) {
        let packing = pack_panels::<_, u32>(&wanted, &[], &sale, Length::from_64ths(kerf));
        for sheet in &packing.to_buy {
            for (n, Placed { at: a, .. }) in sheet.placed.iter().enumerate() {
                for Placed { at: b, .. } in &sheet.placed[n + 1..] {
                    let beside = a.x + a.along <= b.x || b.x + b.along <= a.x;
                    let above = a.y + a.across <= b.y || b.y + b.across <= a.y;
                    prop_assert!(beside || above);
                }
            }
        }
    }
}

#[test]
fn a_sheet_of_very_many_strips_is_looked_over() {
    let strip = Patch {
        along: inches(96),
        across: Length::from_64ths(1),
        ..patch("strip", 0, 0)
    };
    let packing = check(
        &vec![strip; 3_072],
        &[],
        &[sold(96, 48, 3_500)],
        Length::ZERO,
    );
    assert_eq!(packing.to_buy.len(), 1);
}
