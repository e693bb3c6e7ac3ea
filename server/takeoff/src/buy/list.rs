//! The buy list: what the yard loads for a week, or for weeks bought together, line by line with why.
//!
//! On every line: needed = from on hand + from ordered + still to buy, in sticks, sheets, pieces. A line is one thing that can be
//! bought or lies on hand; a counted thing that is bought in packs of two sizes has two lines that share its need. What
//! no row of the price book sells is listed all the same, without a price: sticks by cut length up to the next even
//! foot, each piece its own. Source: common practice, no published source.

mod counted;
mod sticks;

use uuid::Uuid;

use super::basis::Basis;
use super::item::Item;
use super::least_cost::{LeastCost, least_costs};
use super::plan::{Plan, Unmet, WasteSum};
use super::prices::Offer;
use crate::needs::{Class, Missing, Sum};
use crate::record::{Job, Kind};
use crate::units::{Length, Money};

/// What to buy for some weeks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BuyList {
    /// The weeks.
    pub weeks: Vec<u32>,
    /// The lines: lumber, panels, fasteners, hardware, sundries, each in item order.
    pub lines: Vec<BuyLine>,
    /// The extensions that have a price.
    pub total: Money,
    /// Lines to buy without a price: "without 2 unpriced lines".
    pub unpriced: usize,
    /// Tax on the total at the job's rate; none where no rate is recorded. A receipt's own tax counts in the end.
    pub tax: Option<Money>,
    /// What no stick or sheet known holds, said.
    pub unmet: Vec<String>,
    /// What isn't recorded yet, by change: such needs are not on the list.
    pub missing: Vec<(Uuid, Missing)>,
}

/// A line of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BuyLine {
    /// What a booking of it names.
    pub item: Item,
    /// In yard words.
    pub words: String,
    /// How it is sold and priced: `each`, `sheet`, `box of 250`, `lb`; `ft` for sticks sold by the foot.
    pub unit: String,
    /// Of sticks sold by the foot: how long what is to be bought is together, which the price is for.
    pub by_the_foot: Option<Length>,
    /// Pieces in each one sold, in tenths: what a booking of it says in `per`.
    pub per_tenths: i64,
    /// Sticks, sheets or pieces needed still, waste included.
    pub needed: i64,
    /// Of these, on hand: the rows here that hold a piece of these weeks or wait for their waste.
    pub from_on_hand: i64,
    /// Of these, ordered and on their way.
    pub from_ordered: i64,
    /// Of these, to be bought, in sticks, sheets or pieces.
    pub short: i64,
    /// To be bought, in the unit sold; sticks in sticks, by the foot too.
    pub to_buy: i64,
    /// Of those to be bought, sticks or sheets that what is free here would spare, if the plan were made afresh.
    pub spared: i64,
    /// Booked for any of these weeks so far, in sticks, sheets or pieces: history.
    pub bought: i64,
    /// Used before it was booked: "2 missing: book the receipt or count".
    pub missing: i64,
    /// Price of one unit.
    pub unit_price: Option<Money>,
    /// To buy × price; of sticks sold by the foot to buy × length × price, half a cent up.
    pub extension: Option<Money>,
    /// The supplier of this price; none where nobody sells it.
    pub supplier: Option<String>,
    /// The supplier's item number.
    pub item_number: Option<String>,
    /// Days from order to here.
    pub lead_days: Option<i64>,
    /// The last day to order on, as a Julian day: the first day of the weeks less the lead days.
    pub order_by: Option<i64>,
    /// The changes that want it, in working order.
    pub changes: Vec<Uuid>,
    /// Why so many, line by line.
    pub why: Vec<Sum>,
    /// The waste figures of its class, where it is bought for waste.
    pub waste: Option<WasteSum>,
    /// What is to be said of it: `not in the price book`, `no price`; or nothing.
    pub note: String,
}

impl BuyLine {
    /// A line of which no list knows anything.
    pub(super) fn alone(item: Item, per_tenths: i64) -> Self {
        Self {
            words: item.to_string(),
            item,
            unit: String::new(),
            by_the_foot: None,
            per_tenths,
            needed: 0,
            from_on_hand: 0,
            from_ordered: 0,
            short: 0,
            to_buy: 0,
            spared: 0,
            bought: 0,
            missing: 0,
            unit_price: None,
            extension: None,
            supplier: None,
            item_number: None,
            lead_days: None,
            order_by: None,
            changes: Vec::new(),
            why: Vec::new(),
            waste: None,
            note: String::new(),
        }
    }
}

/// The buy list of some weeks together, after all earlier weeks; one week: by itself.
pub fn buy_list(job: &Job, weeks: &[u32]) -> BuyList {
    list_on(job, &Basis::of(job), weeks)
}

/// The same, with how cheap what it buys is, class by class.
pub fn buy_list_with_least(job: &Job, weeks: &[u32]) -> (BuyList, Vec<LeastCost>) {
    let (basis, weeks) = (Basis::of(job), in_order(weeks));
    let plan = Plan::with_spared(&basis, &weeks);
    let mut list = list_in(&basis, &plan, &weeks);
    name_and_date(job, &mut list);
    (list, least_costs(&basis, &plan, &weeks))
}

/// The same on a basis of this job.
pub(super) fn list_on(job: &Job, basis: &Basis<'_>, weeks: &[u32]) -> BuyList {
    let mut list = list_of(basis, &in_order(weeks));
    name_and_date(job, &mut list);
    list
}

fn in_order(weeks: &[u32]) -> Vec<u32> {
    let mut weeks = weeks.to_vec();
    weeks.sort_unstable();
    weeks.dedup();
    weeks
}

/// Fills in the words of hardware rows and order-by dates.
fn name_and_date(job: &Job, list: &mut BuyList) {
    let start = job
        .all(Kind::Week)
        .filter(|week| {
            week.number("number")
                .and_then(|n| u32::try_from(n).ok())
                .is_some_and(|n| list.weeks.contains(&n))
        })
        .filter_map(|week| week.number("start"))
        .min();
    for line in &mut list.lines {
        line.words = line.item.words(job);
        line.order_by = start.zip(line.lead_days).map(|(start, days)| start - days);
    }
}

/// The same from a basis: words of hardware rows and order-by dates are not filled in.
pub(super) fn list_of(basis: &Basis<'_>, weeks: &[u32]) -> BuyList {
    list_in(basis, &Plan::with_spared(basis, weeks), weeks)
}

/// The same from the plan of these weeks together.
pub(super) fn list_in(basis: &Basis<'_>, plan: &Plan, weeks: &[u32]) -> BuyList {
    let mut lines = Vec::new();
    let mut unmet = Vec::new();
    if let Some(at) = plan.sets.iter().position(|set| set.weeks == weeks) {
        lines.extend(sticks::lines(basis, plan, at));
        lines.extend(counted::lines(basis, plan, at));
        unmet.extend(plan.sets[at].unmet.iter().map(|piece| say(basis, piece)));
    }
    lines.sort_by(|a, b| (&a.item, b.per_tenths).cmp(&(&b.item, a.per_tenths)));
    let total: Money = lines.iter().filter_map(|line| line.extension).sum();
    let missing = basis
        .changes
        .iter()
        .filter(|change| !change.done && weeks.contains(&change.takeoff.week))
        .flat_map(|change| {
            let of = change.takeoff.change;
            change
                .takeoff
                .missing
                .iter()
                .map(move |missing| (of, missing.clone()))
        })
        .collect();
    BuyList {
        weeks: weeks.to_vec(),
        unpriced: lines
            .iter()
            .filter(|line| line.to_buy > 0 && line.extension.is_none())
            .count(),
        tax: basis.settings.tax.map(|rate| rate.on(total)),
        total,
        lines,
        unmet,
        missing,
    }
}

/// A line with its price; need, why and changes are the caller's.
fn priced(basis: &Basis<'_>, item: &Item, offer: Option<&Offer>, to_buy: i64) -> BuyLine {
    let unit_price = offer.and_then(Offer::unit_price);
    let of = match item {
        Item::Panel { .. } => "sheet",
        Item::Sundry { unit, .. } => unit,
        _ => "each",
    };
    BuyLine {
        words: item.to_string(),
        unit: offer.map_or_else(|| of.to_owned(), Offer::unit),
        by_the_foot: match item {
            Item::Stick { length, .. } if offer.is_some_and(Offer::is_by_the_foot) => {
                Some(*length * to_buy)
            }
            _ => None,
        },
        per_tenths: offer.and_then(|offer| offer.per_tenths).unwrap_or(10),
        needed: 0,
        from_on_hand: 0,
        from_ordered: 0,
        short: 0,
        to_buy,
        spared: 0,
        bought: 0,
        missing: basis.ledger.missing(item),
        unit_price,
        extension: offer
            .filter(|_| to_buy > 0)
            .and_then(|offer| offer.extension(to_buy)),
        supplier: offer.map(|offer| offer.supplier.clone()),
        item_number: offer.and_then(|offer| offer.item_number.clone()),
        lead_days: offer.and_then(|offer| offer.lead_days),
        order_by: None,
        changes: Vec::new(),
        why: Vec::new(),
        waste: None,
        note: match (offer, unit_price) {
            _ if to_buy == 0 => String::new(),
            (None, _) => "not in the price book".to_owned(),
            (_, None) => "no price".to_owned(),
            _ => String::new(),
        },
        item: item.clone(),
    }
}

/// What is said of a piece that nothing known holds.
pub(super) fn say(basis: &Basis<'_>, unmet: &Unmet) -> String {
    let change = basis.change(unmet.piece.change);
    let need = change.and_then(|change| {
        change
            .takeoff
            .needs
            .iter()
            .find(|need| need.slot == unmet.piece.slot)
    });
    let (title, name) = (
        need.map_or("A piece", |need| need.title.as_str()),
        change.map_or("", |change| change.name.as_str()),
    );
    let of = match &unmet.class {
        Class::Stick(class) => class.to_string(),
        Class::Panel(class) => class.to_string(),
        _ => String::new(),
    };
    if unmet.too_few {
        return format!(
            "{title} ({name}), {of}, {}: the yard has too few for it in one trip. Ask again, or set in the price book how many it has.",
            unmet.length.feet_inches()
        );
    }
    if unmet.longest == Length::ZERO {
        return format!(
            "{title} ({name}), {of}, {}: nothing of it can be bought or carried in. Look at the price book and the longest stick.",
            unmet.length.feet_inches()
        );
    }
    format!(
        "{title} ({name}), {of}, {}: longer than anything known, the longest is {}. Splice it, or add a longer one to the price book.",
        unmet.length.feet_inches(),
        unmet.longest.feet_inches()
    )
}
