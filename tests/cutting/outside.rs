//! Random small instances, with trims and with sticks on hand, against microlp, a general solver for linear programs with whole numbers.
//!
//! It gets another formulation than the solver's: every pattern at all, full or not, in one program.

use microlp::{ComparisonOp, OptimizationDirection, Problem};
use proptest::prelude::*;
use scantling_takeoff::cutting::sticks::exact::{Demand, Instance, Stock, WorkLimits, solve};

/// Up to three lengths for sale and up to three rows on hand, which cost nothing and run out; each row with a trim of its own.
fn any_instance() -> impl Strategy<Value = Instance> {
    let sold = (
        60_i64..200,
        5_i64..90,
        prop::option::weighted(0.3, 1_i64..4),
        0_i64..8,
    );
    let on_hand = (30_i64..160, 1_i64..4, 0_i64..8);
    let piece = (20_i64..110, 1_i64..5);
    (
        prop::collection::vec(sold, 1..4),
        prop::collection::vec(on_hand, 0..4),
        prop::collection::vec(piece, 1..6),
        0_i64..5,
    )
        .prop_map(|(sold, on_hand, pieces, kerf)| {
            let sold = sold.into_iter().map(|(length, price, limit, trim)| Stock {
                length,
                trim,
                price,
                limit,
            });
            let on_hand = on_hand.into_iter().map(|(length, n, trim)| Stock {
                length,
                trim,
                price: 0,
                limit: Some(n),
            });
            Instance {
                // The last one holds everything, so that there always is a plan.
                stock: sold
                    .chain(on_hand)
                    .chain([Stock {
                        length: 210,
                        trim: 3,
                        price: 95,
                        limit: None,
                    }])
                    .collect(),
                demand: pieces
                    .into_iter()
                    .map(|(length, count)| Demand { length, count })
                    .collect(),
                kerf,
            }
        })
}

/// Every way to cut a stick of which so much is left after its trim, a count for each row of the demand.
fn patterns(instance: &Instance, usable: i64) -> Vec<Vec<i64>> {
    let mut all: Vec<(Vec<i64>, i64)> = vec![(Vec::new(), usable + instance.kerf)];
    for demand in &instance.demand {
        all = all
            .into_iter()
            .flat_map(|(counts, room)| {
                (0..=demand.count).map_while(move |n| {
                    let left = room - n * (demand.length + instance.kerf);
                    (left >= 0).then(|| (counts.iter().copied().chain([n]).collect(), left))
                })
            })
            .collect();
    }
    all.into_iter()
        .map(|(counts, _)| counts)
        .filter(|counts| counts.iter().any(|&n| n > 0))
        .collect()
}

#[expect(
    clippy::cast_precision_loss,
    reason = "small whole numbers, as that solver wants them"
)]
fn least_by_another(instance: &Instance) -> f64 {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut rows = vec![Vec::new(); instance.demand.len()];
    for stock in &instance.stock {
        let mut of_this = Vec::new();
        for counts in patterns(instance, stock.length - stock.trim) {
            let variable = problem.add_integer_var(stock.price as f64, (0, 20));
            of_this.push((variable, 1.0));
            for (row, n) in rows.iter_mut().zip(counts) {
                if n > 0 {
                    row.push((variable, n as f64));
                }
            }
        }
        if let Some(limit) = stock.limit {
            problem.add_constraint(&of_this, ComparisonOp::Le, limit as f64);
        }
    }
    for (row, demand) in rows.iter().zip(&instance.demand) {
        problem.add_constraint(row, ComparisonOp::Ge, demand.count as f64);
    }
    let solution = problem
        .solve()
        .expect("it is possible")
        .into_solution()
        .expect("it has no time limit");
    solution.objective()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn a_solver_of_another_make_finds_the_same_cost(instance in any_instance()) {
        let found = solve(&instance, &WorkLimits::about(200), &mut || false).unwrap();
        prop_assert!(found.proven && found.unmet.is_empty());
        let other = least_by_another(&instance);
        prop_assert!((other - f64::from(i32::try_from(found.cost).unwrap())).abs() < 1e-4, "{} and {other}", found.cost);
    }
}
