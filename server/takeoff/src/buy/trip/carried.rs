//! What a trip weighs, and the loads it makes where the vehicle's payload is recorded.
//!
//! Sticks weigh by their species' density ([`weight_up`], each up to a pound), panels 3 lb per square foot and inch of
//! thickness, what is sold by the pound its pounds. Nothing else is weighed: its lines are counted and said. Treated wood
//! often comes wet and weighs more.
//!
//! Loads are filled one after the other, what is used first on the first: so that a second drive can wait. Source of the
//! panels' weight: a page on stored weights, about 3 psf per inch of plywood; seen. The rest: common practice, no published
//! source.

use std::collections::BTreeMap;

use super::super::item::Item;
use super::super::list::BuyLine;
use super::super::plan::Planned;
use crate::tables::density::{Species, weight_up};
use crate::tables::ps20::{Seasoning, dressed};
use crate::units::Length;

/// Pounds for each square foot of an inch of panel.
const PANEL_LB: i128 = 3;

/// What a trip weighs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Carried {
    /// Pounds, of what can be weighed.
    pub lb: i64,
    /// Lines whose weight isn't known.
    pub unweighed: usize,
    /// The vehicle's payload in pounds, where it is recorded.
    pub payload_lb: Option<i64>,
    /// The loads where it doesn't go in one; of one load none are told.
    pub loads: Vec<Load>,
}

/// What goes along at once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Load {
    /// Pounds.
    pub lb: i64,
    /// What, how many.
    pub items: Vec<(Item, i64)>,
}

/// Of sticks and sheets, each with the week in which it is first used, and of the lines.
pub(super) fn carried(
    sticks: &[(u32, &Planned)],
    lines: &[BuyLine],
    payload_lb: Option<i64>,
) -> Carried {
    let by_the_pound = lines.iter().filter(|line| is_by_the_pound(line));
    let mut singles: Vec<(u32, &Item, i64)> = sticks
        .iter()
        .map(|(week, stick)| (*week, &stick.item, weight(&stick.item)))
        .collect();
    // Of one week by item, the heaviest first.
    singles.sort_by(|a, b| (a.0, -a.2, a.1).cmp(&(b.0, -b.2, b.1)));
    let small: i64 = by_the_pound.clone().map(|line| line.to_buy).sum();
    let unweighed = lines
        .iter()
        .filter(|line| line.to_buy > 0 && !line.item.has_rows() && !is_by_the_pound(line))
        .count();
    let lb = small + singles.iter().map(|(_, _, lb)| lb).sum::<i64>();
    let over = payload_lb.filter(|payload| *payload > 0 && lb > *payload);
    Carried {
        lb,
        unweighed,
        payload_lb,
        loads: over.map_or_else(Vec::new, |payload| loads(&singles, small, payload)),
    }
}

fn is_by_the_pound(line: &BuyLine) -> bool {
    line.unit == "lb"
}

/// The loads, in the order of the drives; what is sold by the pound goes on the first.
fn loads(singles: &[(u32, &Item, i64)], small: i64, payload: i64) -> Vec<Load> {
    let mut loads: Vec<(i64, BTreeMap<&Item, i64>)> = vec![(small, BTreeMap::new())];
    for (_, item, lb) in singles {
        let fits = |(load, items): &(i64, BTreeMap<&Item, i64>)| {
            load + lb <= payload || (items.is_empty() && *load == 0)
        };
        if !loads.last().is_some_and(fits) {
            loads.push((0, BTreeMap::new()));
        }
        if let Some((load, items)) = loads.last_mut() {
            *load += lb;
            *items.entry(item).or_default() += 1;
        }
    }
    let loads = loads.into_iter();
    loads
        .map(|(lb, items)| Load {
            lb,
            items: items
                .into_iter()
                .map(|(item, count)| (item.clone(), count))
                .collect(),
        })
        .collect()
}

/// A stick's or sheet's weight, up to a pound.
fn weight(item: &Item) -> i64 {
    match item {
        Item::Stick { class, length } => {
            let is_green = dressed(class.nominal, Seasoning::Dry) != Some(class.dressed)
                && dressed(class.nominal, Seasoning::Green) == Some(class.dressed);
            let seasoning = if is_green {
                Seasoning::Green
            } else {
                Seasoning::Dry
            };
            let species = Species::from_name(&class.species);
            weight_up(class.dressed, *length, species, seasoning)
        }
        Item::Panel {
            class,
            along,
            across,
        } => {
            let sides = [class.thickness, *along, *across].map(|side| i128::from(side.as_64ths()));
            let foot = i128::from(Length::feet(1).as_64ths());
            let inch = i128::from(Length::inches(1).as_64ths());
            let lb = -(-PANEL_LB * sides[0] * sides[1] * sides[2]).div_euclid(foot * foot * inch);
            i64::try_from(lb).unwrap_or(i64::MAX)
        }
        _ => 0,
    }
}
