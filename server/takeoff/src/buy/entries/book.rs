//! Books a line of a receipt, bought or returned, and takes one back.
//!
//! A stick that is booked takes the pieces of the line's next planned stick, first those with pieces, then those for
//! waste; what is over is free. One that came with an order is that order's. A swap takes what the line that it answers
//! would have taken, as far as it fits. The plan of its week and of the earlier ones is kept with it. What was used before
//! it was booked is filled first. What goes back leaves its pieces to the list that they were of.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::basis::Basis;
use super::super::counted::{pieces_booked, pieces_in};
use super::super::item::Item;
use super::super::kept;
use super::super::ledger::{Cause, Effect, Ledger, LineShare, Movement, Ordered, Share, StockRow};
use super::super::list::list_in;
use super::super::plan::{Plan, Planned};
use super::super::swap;
use super::keep::Writer;
use super::{Values, fitting, item, number, text, texts};
use crate::record::{FieldProblem, Op};

/// A line of a receipt.
#[derive(Clone, Debug)]
pub(crate) struct Booking {
    pub(crate) entry: Uuid,
    pub(crate) about: Uuid,
    pub(crate) item: Item,
    /// Pieces, sticks, sheets.
    pub(crate) count: i64,
    pub(crate) weeks: Vec<u32>,
    /// The line that it answers, where it is another item.
    pub(crate) instead_of: Option<Item>,
    /// The order that it came with.
    pub(crate) order: Option<Uuid>,
}

/// A line that goes back.
#[derive(Clone, Debug)]
pub(crate) struct GoingBack {
    pub(crate) entry: Uuid,
    pub(crate) about: Uuid,
    pub(crate) item: Item,
    /// Pieces, sticks, sheets.
    pub(crate) count: i64,
    pub(crate) weeks: Vec<u32>,
    /// The line that brought it.
    pub(crate) line: Option<Uuid>,
    /// Which sticks or panels, where that is said.
    pub(crate) rows: Vec<Uuid>,
}

pub(super) fn read(
    basis: &Basis<'_>,
    op: &Op,
    values: &Values,
) -> Result<Vec<Effect>, FieldProblem> {
    let bought = item("item", text(values, "item").unwrap_or(""))?;
    if text(values, "price_by") == Some("foot") && !matches!(bought, Item::Stick { .. }) {
        return Err(FieldProblem::new(
            "price_by",
            "Only a stick is priced by the foot. Leave this empty, and write the price of one.",
        ));
    }
    let count = number(values, "count").unwrap_or(0);
    super::few_enough("count", &bought, count)?;
    let weeks = super::weeks(values);
    let to = |field: &'static str| values.get(field).and_then(|all| all.first()?.to);
    let per = number(values, "per").filter(|_| !bought.has_rows());
    let pieces = pieces_booked(per.unwrap_or(10), count);
    if text(values, "way") == Some("returned") {
        let mut rows = Vec::new();
        for id in texts(values, "rows") {
            let known = Uuid::parse_str(id)
                .ok()
                .and_then(|id| basis.ledger.rows.get(&id))
                .filter(|row| row.item == bought);
            match known {
                Some(row) => rows.push(row.id),
                None => {
                    return Err(FieldProblem::new(
                        "rows",
                        "That is not one of this job’s sticks. Choose one from the list.",
                    ));
                }
            }
        }
        return Ok(go_back(
            basis,
            &GoingBack {
                entry: op.op_id,
                about: op.entity_id,
                count: going_back(basis.ledger, &bought, (per.unwrap_or(10), count)),
                item: bought,
                weeks,
                line: to("returns"),
                rows,
            },
        ));
    }
    let instead_of = text(values, "instead_of")
        .map(|key| item("instead_of", key))
        .transpose()?
        .filter(|asked| *asked != bought);
    if let Some(asked) = &instead_of
        && asked.has_rows() != bought.has_rows()
    {
        return Err(FieldProblem::new(
            "instead_of",
            "A stick or panel can’t stand in for what is counted, nor the other way. Book it as an extra.",
        ));
    }
    let booking = Booking {
        entry: op.op_id,
        about: op.entity_id,
        item: bought,
        count: pieces,
        weeks,
        instead_of,
        order: to("order"),
    };
    Ok(book(basis, &booking))
}

/// Pieces of so many that go back: as they were booked, but of pounds not a piece more than is here.
fn going_back(ledger: &Ledger, item: &Item, (per_tenths, count): (i64, i64)) -> i64 {
    let here = ledger.on_hand(item);
    pieces_booked(per_tenths, count).min(here.max(pieces_in(per_tenths, count)))
}

pub(crate) fn book(basis: &Basis<'_>, booking: &Booking) -> Vec<Effect> {
    let Booking { item, weeks, .. } = booking;
    let asked = booking.instead_of.as_ref().unwrap_or(item);
    let mut out = Writer::new(booking.entry, booking.about);
    let bought = |out: &Writer, row, count| Movement {
        weeks: weeks.clone(),
        instead_of: booking.instead_of.clone(),
        ..out.movement(item, row, count, Cause::Bought)
    };
    let rowless = if item.has_rows() {
        basis.ledger.missing(item).min(booking.count)
    } else {
        booking.count
    };
    if rowless > 0 {
        let movement = bought(&out, None, rowless);
        out.moved(movement);
    }
    let (mut taken, mut arrived) = (BTreeSet::new(), BTreeSet::new());
    if let Some(order) = booking.order {
        let with_rows = booking.count - rowless;
        took_from_order(
            basis,
            (order, asked),
            (rowless, with_rows),
            &mut arrived,
            &mut out,
        );
    }
    let plan = Plan::of(basis, weeks);
    let at = plan.sets.iter().position(|set| set.weeks == *weeks);
    let set = at.and_then(|at| Some((at, plan.sets.get(at)?)));
    let ordered = ordered_rows(basis.ledger, booking.order, asked);
    let mut ordered = ordered.into_iter();
    let mut planned = set
        .iter()
        .flat_map(|(at, set)| {
            set.to_buy
                .iter()
                .enumerate()
                .map(|(which, stick)| ((*at, which), stick))
        })
        .filter(|(_, stick)| stick.item == *asked);
    let mut sticks: Vec<Planned> = Vec::new();
    for _ in rowless..booking.count {
        let mut row = if let Some(row) = ordered.next() {
            let mut row = row.clone();
            if let Some(planned) = plan.rows.get(&row.id) {
                row.pieces.clone_from(&planned.pieces);
                row.places.clone_from(&planned.places);
                row.weeks.clone_from(&planned.weeks);
                row.waste = planned.waste;
            }
            if let Some(order) = row.ordered.take() {
                out.order(order, asked, Some(row.id), -1, weeks);
            }
            arrived.insert(row.id);
            row
        } else if let Some((which, stick)) = planned.next() {
            taken.insert(which);
            out.row_of(basis, stick, weeks)
        } else {
            out.row(asked.clone(), is_whole(asked))
        };
        sticks.push(Planned {
            listed: None,
            item: asked.clone(),
            pieces: row.pieces.clone(),
            places: Vec::new(),
            left: crate::units::Length::ZERO,
            waste: row.waste,
        });
        if item != asked {
            row = swapped(basis, row, item, &mut out);
        }
        row.listed = false;
        row.from = booking.entry;
        let movement = bought(&out, Some(row.id), 1);
        out.put(row);
        out.moved(movement);
    }
    let shares = if item.has_rows() {
        shares_of_sticks(basis, booking, asked, rowless, &sticks)
    } else {
        shares_of_counted(basis, booking, asked, &plan)
    };
    out.effects.push(Effect::Share(LineShare {
        line: booking.about,
        shares,
    }));
    if let Some((at, _)) = set {
        out.keep_rows(basis, &plan, at, &arrived);
        out.keep_lists(basis, &plan, at, &taken);
    }
    out.effects
}

/// The rows that an order still brings of an item: those with pieces first, then those for waste.
pub(crate) fn ordered_rows<'a>(
    ledger: &'a Ledger,
    order: Option<Uuid>,
    item: &Item,
) -> Vec<&'a StockRow> {
    let mut rows: Vec<&StockRow> = ledger
        .rows
        .values()
        .filter(|row| order.is_some() && row.ordered == order && row.stands() && row.item == *item)
        .collect();
    rows.sort_by_key(|row| (row.pieces.is_empty(), !row.waste, row.id));
    rows
}

/// What came without a row, to fill what was used before it was booked, is no longer on order: of rows those that were used
/// before they came, then as many of those that still stand, but for the ones that come as rows themselves.
fn took_from_order(
    basis: &Basis<'_>,
    (order, asked): (Uuid, &Item),
    (count, with_rows): (i64, i64),
    arrived: &mut BTreeSet<Uuid>,
    out: &mut Writer,
) {
    let ledger = basis.ledger;
    if !asked.has_rows() {
        let came = ledger.ordered_by(order, asked).min(count);
        if came > 0 {
            out.order(order, asked, None, -came, &weeks_of(ledger, order, asked));
        }
        return;
    }
    let size = |n: i64| usize::try_from(n).unwrap_or(0);
    let used: Vec<&StockRow> = ledger
        .rows
        .values()
        .filter(|row| row.gone && row.ordered == Some(order) && row.item == *asked)
        .take(size(count))
        .collect();
    let mut rest = ordered_rows(ledger, Some(order), asked);
    rest.drain(..size(with_rows).min(rest.len()));
    rest.reverse();
    rest.truncate(size(count) - used.len());
    for row in used {
        out.order(order, asked, Some(row.id), -1, &row.weeks);
        out.put(StockRow {
            ordered: None,
            listed: true,
            ..row.clone()
        });
    }
    for row in rest {
        arrived.insert(row.id);
        out.not_coming(order, row);
    }
}

/// The weeks that an order's item was ordered for.
pub(super) fn weeks_of(ledger: &Ledger, order: Uuid, item: &Item) -> Vec<u32> {
    ledger
        .orders
        .iter()
        .rev()
        .find(|line| line.order == order && line.item == *item && line.count > 0)
        .map_or_else(Vec::new, |line| line.weeks.clone())
}

/// A row as the other item that was bought: with the pieces that it holds. Its row is a new one: a row stays what it is.
fn swapped(basis: &Basis<'_>, row: StockRow, item: &Item, out: &mut Writer) -> StockRow {
    let whole = is_whole(item);
    let pieces = swap::kept_by(basis, item, whole, &row.pieces);
    let (pieces, places) = fitting(basis, &swap::usable(basis, item, whole), &pieces);
    // The planned row, if it was one of a kept list or of an order, is answered by this one.
    if basis.ledger.rows.contains_key(&row.id) {
        out.put(StockRow {
            gone: true,
            listed: false,
            pieces: Vec::new(),
            places: Vec::new(),
            ..row.clone()
        });
    }
    StockRow {
        waste: row.waste,
        weeks: row.weeks,
        pieces,
        places,
        swapped: true,
        ..out.row(item.clone(), whole)
    }
}

fn shares_of_sticks(
    basis: &Basis<'_>,
    booking: &Booking,
    asked: &Item,
    rowless: i64,
    sticks: &[Planned],
) -> Vec<Share> {
    // What was used before it was booked is for those who used it.
    let mut all: Vec<Planned> = basis
        .ledger
        .rows
        .values()
        .filter(|row| row.gone && row.taken_by.is_some() && row.item == *asked)
        .filter(|row| row.listed || row.ordered.is_some())
        .take(usize::try_from(rowless).unwrap_or(0))
        .map(|row| Planned {
            listed: None,
            item: asked.clone(),
            pieces: row.pieces.clone(),
            places: Vec::new(),
            left: crate::units::Length::ZERO,
            waste: row.waste,
        })
        .collect();
    let over = rowless - i64::try_from(all.len()).unwrap_or(0);
    all.extend(sticks.iter().cloned());
    kept::with_over(kept::of_sticks(basis, &booking.weeks, all.iter()), over)
}

fn shares_of_counted(
    basis: &Basis<'_>,
    booking: &Booking,
    asked: &Item,
    plan: &Plan,
) -> Vec<Share> {
    let on_order = booking
        .order
        .map_or(0, |order| basis.ledger.ordered_by(order, asked));
    let listed: i64 = list_in(basis, plan, &booking.weeks)
        .lines
        .iter()
        .filter(|line| line.item == *asked)
        .map(|line| pieces_booked(line.per_tenths, line.to_buy))
        .sum();
    let wanted = listed + on_order + basis.ledger.missing(asked);
    kept::counted_with_over(
        kept::of_counted(basis, &booking.weeks, asked),
        wanted,
        booking.count,
    )
}

/// What goes back leaves: rows that nobody named are free ones first, then those for waste, then those with pieces, of like
/// ones the newest; their pieces are on the list again. What a dropped change left on a stick counts no more.
pub(crate) fn go_back(basis: &Basis<'_>, going: &GoingBack) -> Vec<Effect> {
    let ledger = basis.ledger;
    let mut out = Writer::new(going.entry, going.about);
    let back = |out: &Writer, row, count: i64| Movement {
        weeks: going.weeks.clone(),
        ..out.movement(&going.item, row, -count, Cause::Returned)
    };
    let mut line = going.line;
    if going.item.has_rows() {
        let mut rows: Vec<&StockRow> = ledger
            .here()
            .filter(|row| row.item == going.item && !row.salvage)
            .collect();
        let plan = Plan::of(basis, &[]);
        let age = |row: &StockRow| ledger.movements.iter().rposition(|m| m.row == Some(row.id));
        let ours = |row: &StockRow| row.weeks.iter().any(|week| going.weeks.contains(week));
        rows.sort_by_key(|row| {
            (
                !going.rows.contains(&row.id),
                plan.keeps(row),
                !ours(row),
                Reverse(age(row)),
                row.id,
            )
        });
        let mut rows = rows.into_iter();
        for _ in 0..going.count {
            let row = rows.next();
            let movement = back(&out, row.map(|row| row.id), 1);
            let mut movements = ledger.movements.iter().rev();
            let brought = row.and_then(|row| {
                movements.find(|m| m.row == Some(row.id) && m.cause == Cause::Bought)
            });
            out.moved(Movement {
                instead_of: brought.and_then(|brought| brought.instead_of.clone()),
                ..movement
            });
            if let Some(row) = row {
                line = line.or_else(|| line_of(ledger, row.from));
                out.put(left(&plan.still_on(row)));
            }
        }
    } else {
        let stood_in = line.and_then(|line| instead_of(ledger, line));
        for (instead_of, count) in ledger.leaving(&going.item, stood_in.as_ref(), going.count) {
            let movement = back(&out, None, count);
            out.moved(Movement {
                instead_of,
                ..movement
            });
        }
    }
    let shares = line.and_then(|line| ledger.shares.get(&line).cloned());
    out.effects.push(Effect::Share(LineShare {
        line: going.about,
        shares: shares.unwrap_or_else(|| {
            vec![Share {
                change: None,
                weight: 1,
            }]
        }),
    }));
    out.effects
}

/// What a receipt's line was bought instead of.
fn instead_of(ledger: &Ledger, line: Uuid) -> Option<Item> {
    ledger
        .movements
        .iter()
        .find(|m| m.about == line && m.cause == Cause::Bought)
        .and_then(|m| m.instead_of.clone())
}

/// The receipt line that an entry booked.
fn line_of(ledger: &Ledger, entry: Uuid) -> Option<Uuid> {
    ledger
        .movements
        .iter()
        .find(|m| m.entry == entry && m.cause == Cause::Bought)
        .map(|m| m.about)
}

/// A row that left: with pieces it is on the list that it was of, else it is gone. What stood in for something else is
/// gone, and its pieces are planned anew.
pub(super) fn left(row: &StockRow) -> StockRow {
    let stays = !row.pieces.is_empty() && !row.swapped && row.whole;
    StockRow {
        listed: stays,
        gone: !stays,
        ..row.clone()
    }
}

/// Takes a line back: what it brought goes back to the list or order that it was of, or goes; what went back is here
/// again. What was used meanwhile is missing then. An order that is not `out` any more, called off or taken over, brings
/// nothing again.
///
/// # Errors
/// A line that was taken back already, or that moved nothing.
pub(crate) fn reverse(
    ledger: &Ledger,
    entry: Uuid,
    about: Uuid,
    is_out: impl Fn(Uuid) -> bool,
) -> Result<Vec<Effect>, FieldProblem> {
    if ledger.is_taken_back(about) {
        return Err(FieldProblem::new(
            "",
            "This line was taken back already. Nothing moved.",
        ));
    }
    let mut out = Writer::new(entry, about);
    let lines = ledger.movements.iter().filter(|m| {
        m.about == about
            && matches!(m.cause, Cause::Bought | Cause::Returned)
            && !ledger.is_reversed(m.entry)
    });
    // The ordered sticks that what came instead answers.
    let mut answered = ledger
        .orders
        .iter()
        .filter(|o| is_out(o.order) && o.count < 0)
        .filter(|o| {
            ledger
                .movements
                .iter()
                .any(|m| m.about == about && m.entry == o.entry)
        })
        .filter_map(|o| Some((o, ledger.rows.get(&o.row?)?)))
        .filter(|(_, asked)| asked.gone && asked.taken_by.is_none());
    for line in lines {
        let row = line.row.and_then(|id| ledger.rows.get(&id));
        let moved = if line.cause == Cause::Bought {
            let row = row.filter(|row| row.is_here());
            if let Some(row) = row {
                let order = ledger
                    .orders
                    .iter()
                    .find(|o| o.entry == line.entry && o.row == Some(row.id))
                    .filter(|o| is_out(o.order));
                if let Some((order, asked)) = answered.next().filter(|_| row.swapped) {
                    out.order(order.order, &order.item, Some(asked.id), 1, &order.weeks);
                    out.put(StockRow {
                        ordered: Some(order.order),
                        gone: false,
                        pieces: row.pieces.clone(),
                        places: row.places.clone(),
                        ..asked.clone()
                    });
                }
                let mut back = left(row);
                if let Some(order) = order {
                    back = StockRow {
                        ordered: Some(order.order),
                        listed: false,
                        gone: false,
                        ..back
                    };
                    out.order(order.order, &order.item, Some(row.id), 1, &order.weeks);
                }
                out.put(back);
            }
            row.map(|row| row.id)
        } else {
            // It is here again: as it was, unless its place on the list was answered by another meanwhile, ordered or used.
            row.map(|row| {
                let is_another = row.is_here() || row.ordered.is_some() || row.taken_by.is_some();
                let back = if is_another {
                    out.row(row.item.clone(), row.whole)
                } else {
                    StockRow {
                        gone: false,
                        listed: false,
                        ..row.clone()
                    }
                };
                let id = back.id;
                out.put(back);
                id
            })
        };
        out.moved(Movement {
            row: moved,
            count: -line.count,
            cause: Cause::Reversed,
            entry,
            reverses: Some(line.entry),
            ..line.clone()
        });
    }
    let counted = |o: &&Ordered| o.row.is_none() && is_out(o.order);
    for order in ledger.orders.iter().filter(counted) {
        let ours = |m: &Movement| m.about == about && m.entry == order.entry;
        if ledger.movements.iter().any(ours) && !ledger.is_reversed(order.entry) {
            out.order(order.order, &order.item, None, -order.count, &order.weeks);
        }
    }
    if out.effects.is_empty() {
        return Err(FieldProblem::new(
            "",
            "Nothing was booked by this line. Nothing moved.",
        ));
    }
    Ok(out.effects)
}

/// Whether an item is of a size that is sold: every stick is taken as uncut, a panel where it is a whole sheet.
pub(super) fn is_whole(item: &Item) -> bool {
    match item {
        Item::Panel {
            class,
            along,
            across,
        } => (*along, *across) == (class.along, class.across),
        _ => true,
    }
}
