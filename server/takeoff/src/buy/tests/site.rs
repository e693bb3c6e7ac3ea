//! A random small job as the planner sees it, and what people do in it.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::{self, Write as _};

use proptest::prelude::*;
use uuid::Uuid;

use super::super::basis::{Basis, Counted};
use super::super::done_form::{form_of, struck_of};
use super::super::entries::{
    Booking, Came, Counting, Doing, GoingBack, Stick, Taken, Wanted, book, cancel, counted_by_hand,
    done, go_back, plan_afresh, reverse, send_order, strike, undo,
};
use super::super::item::Item;
use super::super::ledger::{Cause, Effect, Ledger, Movement, PieceKey, StockRow};
use super::super::list::{BuyList, list_of};
use super::super::plan::Plan;
use super::super::prices::{Offer, PriceBook};
use crate::needs::{
    Class, FastenerClass, Need, PanelClass, Serves, StickClass, Takeoff, Treatment,
};
use crate::record::{Kind, Record, Settings};
use crate::units::{Length, Money, Nominal, Section};

/// A job as the planner sees it.
#[derive(Clone)]
pub(super) struct Site {
    pub(super) changes: Vec<Counted>,
    pub(super) ledger: Ledger,
    pub(super) settings: Settings,
    pub(super) prices: PriceBook,
    pub(super) entries: u128,
    /// On hand by what was booked and said: the second way.
    pub(super) tally: BTreeMap<Item, i64>,
    /// What was said of each change that is done.
    pub(super) did: BTreeMap<Uuid, Vec<(Item, i64)>>,
}

/// Short enough to read when a law fails.
impl fmt::Debug for Site {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for change in &self.changes {
            writeln!(f, "week {} {}:", change.takeoff.week, change.name)?;
            for need in &change.takeoff.needs {
                let class = Item::counted(&need.class);
                let of = match &need.class {
                    Class::Stick(class) => class.nominal.to_string(),
                    _ => class.map_or("panel".to_owned(), |item| item.to_string()),
                };
                let (cut, across) = (need.cut.unwrap_or_default(), need.across);
                let flags = (need.serves, need.in_waste, need.turn, need.temporary);
                writeln!(f, "  {} {of} of {cut} {across:?} {flags:?}", need.count)?;
            }
        }
        for row in self.ledger.rows.values() {
            let flags = (row.salvage, row.listed, row.waste, row.gone, &row.weeks);
            writeln!(f, "row {} {flags:?} {} pieces", row.item, row.pieces.len())?;
        }
        for offer in &self.prices.offers {
            writeln!(f, "sold {} {:?}", offer.item, offer.price)?;
        }
        writeln!(f, "trim {}", self.settings.trim)
    }
}

impl Site {
    pub(super) fn basis(&self) -> Basis<'_> {
        Basis {
            changes: self.changes.clone(),
            ledger: &self.ledger,
            settings: &self.settings,
            prices: self.prices.clone(),
        }
    }

    pub(super) fn list(&self, weeks: &[u32]) -> BuyList {
        list_of(&self.basis(), weeks)
    }

    pub(super) fn lists(&self) -> Vec<BuyList> {
        let weeks = self.basis().weeks();
        weeks.iter().map(|week| self.list(&[*week])).collect()
    }

    pub(super) fn next_entry(&mut self) -> Uuid {
        self.entries += 1;
        Uuid::from_u128(self.entries)
    }

    pub(super) fn say(&mut self, item: &Item, count: i64) {
        *self.tally.entry(item.clone()).or_default() += count;
    }

    /// Books a line; gives the receipt line's id.
    pub(super) fn book(&mut self, item: &Item, pieces: i64, weeks: &[u32]) -> Uuid {
        self.booked(item, pieces, weeks, None, None)
    }

    /// Books another thing than a line asked for; gives the receipt line's id.
    pub(super) fn swap(&mut self, asked: &Item, item: &Item, pieces: i64, weeks: &[u32]) -> Uuid {
        self.booked(item, pieces, weeks, Some(asked), None)
    }

    fn booked(
        &mut self,
        item: &Item,
        pieces: i64,
        weeks: &[u32],
        instead_of: Option<&Item>,
        order: Option<Uuid>,
    ) -> Uuid {
        let (entry, about) = (self.next_entry(), self.next_entry());
        let booking = Booking {
            entry,
            about,
            item: item.clone(),
            count: pieces,
            weeks: weeks.to_vec(),
            instead_of: instead_of.cloned(),
            order,
        };
        let effects = book(&self.basis(), &booking);
        self.ledger.apply(&effects);
        self.say(item, pieces);
        about
    }

    /// Takes so many back to the yard; gives the receipt line's id.
    pub(super) fn go_back(&mut self, item: &Item, pieces: i64, weeks: &[u32]) -> Uuid {
        let (entry, about) = (self.next_entry(), self.next_entry());
        let going = GoingBack {
            entry,
            about,
            item: item.clone(),
            count: pieces,
            weeks: weeks.to_vec(),
            line: None,
            rows: Vec::new(),
        };
        let effects = go_back(&self.basis(), &going);
        self.ledger.apply(&effects);
        self.say(item, -pieces);
        about
    }

    /// Sends an order of these lines, in pieces; gives its id.
    pub(super) fn order(
        &mut self,
        lines: &[(Item, i64)],
        weeks: &[u32],
        revises: Option<Uuid>,
    ) -> Uuid {
        let (entry, id) = (self.next_entry(), self.next_entry());
        let lines: Vec<Wanted> = lines
            .iter()
            .map(|(item, pieces)| Wanted {
                item: item.clone(),
                pieces: *pieces,
            })
            .collect();
        let effects = send_order(&self.basis(), entry, id, weeks, revises, &lines);
        self.ledger.apply(&effects);
        id
    }

    /// So many of an order came.
    pub(super) fn receive(&mut self, order: Uuid, item: &Item, pieces: i64, weeks: &[u32]) -> Uuid {
        self.booked(item, pieces, weeks, None, Some(order))
    }

    /// Something else came with an order: what was asked for, what came.
    pub(super) fn receive_instead(
        &mut self,
        order: Uuid,
        (asked, came): (&Item, &Item),
        pieces: i64,
        weeks: &[u32],
    ) -> Uuid {
        self.booked(came, pieces, weeks, Some(asked), Some(order))
    }

    /// Nothing of an order comes any more.
    pub(super) fn cancel(&mut self, order: Uuid) {
        let entry = self.next_entry();
        let effects = cancel(&self.ledger, entry, order);
        self.ledger.apply(&effects);
    }

    /// Takes a line back.
    pub(super) fn reverse(&mut self, about: Uuid) {
        let entry = self.next_entry();
        let lines: Vec<(Item, i64)> = self
            .ledger
            .movements
            .iter()
            .filter(|m| m.about == about && m.reverses.is_none())
            .map(|m| (m.item.clone(), m.count))
            .collect();
        let effects = reverse(&self.ledger, entry, about, |_| true).unwrap();
        self.ledger.apply(&effects);
        for (item, count) in lines {
            self.say(&item, -count);
        }
    }

    /// Dissolves what isn't bought or cut.
    pub(super) fn plan_afresh(&mut self) {
        let entry = self.next_entry();
        let effects = plan_afresh(&self.basis(), entry, entry);
        self.ledger.apply(&effects);
    }

    /// What the form of a change shows now.
    pub(super) fn shown_form(&mut self, change: Uuid) -> Doing {
        let form = form_of(&self.basis(), change);
        let sticks = form
            .sticks
            .iter()
            .map(|stick| Stick {
                taken: Uuid::parse_str(&stick.key)
                    .map_or_else(|_| Taken::Item(stick.item.clone()), Taken::Row),
                offcut: stick.left.clone(),
            })
            .collect();
        Doing {
            entry: self.next_entry(),
            change,
            sticks,
            used: form.counts.clone(),
            came: Vec::<Came>::new(),
        }
    }

    /// Marks a change done by a form; a stick's item is looked up where it says a row.
    pub(super) fn do_by(&mut self, doing: &Doing) {
        let mut said = Vec::new();
        for stick in &doing.sticks {
            let item = match &stick.taken {
                Taken::Row(id) => self.ledger.rows[id].item.clone(),
                Taken::Item(item) => item.clone(),
            };
            said.push((item, -1));
            said.extend(stick.offcut.clone().map(|left| (left, 1)));
        }
        said.extend(
            doing
                .used
                .iter()
                .map(|used| (used.item.clone(), -used.count)),
        );
        let effects = done(&self.basis(), doing);
        self.ledger.apply(&effects);
        for (item, count) in &said {
            self.say(item, *count);
        }
        self.did.insert(doing.change, said);
        self.set_done(doing.change, true);
    }

    /// Marks a change done as its form shows.
    pub(super) fn do_as_shown(&mut self, change: Uuid) {
        let doing = self.shown_form(change);
        self.do_by(&doing);
    }

    /// A count by hand that found so many more, or fewer, than the record said.
    pub(super) fn count(&mut self, item: &Item, difference: i64) {
        self.count_of(item, Counting::All, difference);
    }

    /// The same of some of the like ones.
    pub(super) fn count_of(&mut self, item: &Item, of: Counting, difference: i64) {
        let entry = self.next_entry();
        let effects = counted_by_hand(&self.basis(), (entry, entry), item, of, difference);
        self.ledger.apply(&effects);
        self.say(item, difference);
    }

    /// Strikes a done change: all of its temporary pieces come back.
    pub(super) fn strike(&mut self, change: Uuid) {
        let back = struck_of(&self.basis(), change);
        let entry = self.next_entry();
        self.ledger.apply(&strike(entry, change, &back));
        for (item, count) in &back {
            self.say(item, *count);
        }
    }

    pub(super) fn undo(&mut self, change: Uuid) {
        assert!(self.may_undo(change), "an offcut was used since");
    }

    /// Undoes a change, if nothing that it gave back was used since.
    pub(super) fn may_undo(&mut self, change: Uuid) -> bool {
        let entry = self.next_entry();
        let Ok(effects) = undo(&self.ledger, entry, change, |id| id.to_string()) else {
            return false;
        };
        // An offcut that was counted away or went back since is gone already: that stays as it was said.
        let given = |item: &Item| {
            let ours = |row: &&StockRow| row.item == *item && row.given_by == Some(change);
            i64::try_from(self.ledger.here().filter(ours).count()).unwrap()
        };
        let said = self.did.remove(&change).unwrap_or_default();
        let offcuts: BTreeSet<Item> = said
            .iter()
            .filter(|(_, n)| *n > 0)
            .map(|(item, _)| item.clone())
            .collect();
        let gone: Vec<(Item, i64)> = offcuts
            .into_iter()
            .map(|item| (item.clone(), given(&item)))
            .collect();
        self.ledger.apply(&effects);
        for (item, count) in said.into_iter().filter(|(_, n)| *n < 0).chain(gone) {
            self.say(&item, -count);
        }
        self.set_done(change, false);
        true
    }

    pub(super) fn set_done(&mut self, id: Uuid, is_done: bool) {
        for change in &mut self.changes {
            if change.takeoff.change == id {
                change.done = is_done;
            }
        }
    }

    /// Law 1: by rows, by movements, by what was said.
    pub(super) fn adds_up(&self) {
        assert_eq!(self.ledger.verify(), Ok(()));
        for (item, count) in &self.tally {
            assert_eq!(self.ledger.on_hand(item), *count, "{item}");
            if item.has_rows() {
                let rows = self.ledger.here().filter(|row| row.item == *item).count();
                let rows = i64::try_from(rows).unwrap();
                assert_eq!(rows - self.ledger.missing(item), *count, "{item}");
            }
        }
    }
}

pub(super) fn to_buy(list: &BuyList) -> BTreeMap<Item, i64> {
    let mut by_item = BTreeMap::new();
    for line in &list.lines {
        assert_eq!(
            line.needed,
            line.from_on_hand + line.from_ordered + line.short,
            "{}",
            line.words
        );
        *by_item.entry(line.item.clone()).or_default() += line.short;
    }
    by_item
}

pub(super) fn shown(list: &BuyList) -> Vec<(String, i64, i64, i64, Option<Money>)> {
    list.lines
        .iter()
        .filter(|line| line.needed > 0)
        .map(|line| {
            (
                format!("{} {}", line.item.to_key(), line.unit),
                line.needed,
                line.from_on_hand,
                line.to_buy,
                line.extension,
            )
        })
        .collect()
}

pub(super) fn lumber(nominal: &str) -> StickClass {
    StickClass {
        nominal: Nominal::parse(nominal).unwrap(),
        dressed: Section {
            thickness: Length::inches_64(1, 32),
            depth: match nominal {
                "2x4" => Length::inches_64(3, 32),
                _ => Length::inches_64(5, 32),
            },
        },
        species: "Hem-Fir".to_owned(),
        grade: "No.2".to_owned(),
        treatment: Treatment::None,
    }
}

pub(super) fn sheet() -> PanelClass {
    PanelClass {
        panel: "plywood subfloor".to_owned(),
        thickness: Length::from_64ths(46),
        along: Length::inches(96),
        across: Length::inches(48),
    }
}

pub(super) fn nails() -> Item {
    Item::Fastener {
        class: FastenerClass::new("16d common", ""),
    }
}

pub(super) fn stick(nominal: &str, length: Length) -> Item {
    Item::Stick {
        class: lumber(nominal),
        length,
    }
}

/// What of, how many, how long in inches and sixteenths, and a few yes or no.
pub(super) type Want = (u8, i64, i64, i64, u8);

pub(super) fn need(at: usize, want: Want) -> Need {
    let (of, count, inches, sixteenths, flags) = want;
    let class = match of {
        0..=3 => Class::Stick(lumber("2x4")),
        4..=5 => Class::Stick(lumber("2x6")),
        6 => Class::Stick(lumber("2x8")),
        7..=8 => Class::Panel(sheet()),
        9 => nails().class(),
        _ => Class::Sundry {
            name: "adhesive".to_owned(),
            unit: "tube".to_owned(),
        },
    };
    let long = Length::inches_64(inches, sixteenths * 4);
    let (cut, across) = match class {
        Class::Stick(_) => (Some(long), None),
        Class::Panel(_) => (
            Some(long.min(Length::inches(96))),
            Some(Length::inches((inches + 7).rem_euclid(44) + 4)),
        ),
        _ => (None, None),
    };
    let count = if cut.is_none() { count * 37 } else { count };
    Need {
        slot: format!("need.{at}"),
        title: "Piece".to_owned(),
        class,
        count,
        cut,
        across,
        turn: flags & 1 != 0,
        mark: Some("ST"),
        serves: if flags & 2 != 0 {
            Serves::NotThinnerNorNarrower
        } else {
            Serves::SameClass
        },
        temporary: flags & 8 != 0,
        crown_up: false,
        in_waste: flags & 4 == 0,
        held: None,
        sums: Vec::new(),
        readings: Vec::new(),
    }
}

/// A price in cents for each length sold, 0 for no price; bits say which are sold at all.
pub(super) fn book_of(sold: u16, cents: &[i64]) -> PriceBook {
    let mut offers = Vec::new();
    let mut offer = |item: Item, sold_by: &str, per: i64, cents: i64| {
        let row = Uuid::from_u128(9_000 + offers.len() as u128);
        offers.push(Offer {
            row,
            item,
            hardware: String::new(),
            supplier: "Yard".to_owned(),
            supplier_id: None,
            sold_by: sold_by.to_owned(),
            per_tenths: Some(per),
            price: (cents > 0).then_some(Money::from_cents(cents)),
            a_foot: None,
            item_number: None,
            lead_days: None,
            at_yard: None,
        });
    };
    let lengths = [8, 10, 12, 14, 16];
    for (n, nominal) in ["2x4", "2x6"].into_iter().enumerate() {
        for (at, feet) in lengths.into_iter().enumerate() {
            if sold & (1 << (5 * n + at)) != 0 {
                let price = cents[5 * n + at] * feet;
                offer(stick(nominal, Length::feet(feet)), "each", 10, price);
            }
        }
    }
    offer(Item::sheet(sheet()), "sheet", 10, 4_000);
    offer(nails(), "box", 2_500, 1_200);
    offer(nails(), "box", 600, 400);
    offer(nails(), "lb", 455, 350);
    PriceBook::new(offers)
}

/// The change at this place among the job's, with these needs.
pub(super) fn planned_change(at: usize, week: u32, wants: &[Want]) -> Counted {
    Counted {
        name: format!("Change {at}"),
        takeoff: Takeoff {
            change: Uuid::from_u128(1_000 + at as u128),
            kind: Kind::Pack,
            week,
            needs: wants
                .iter()
                .enumerate()
                .map(|(at, want)| need(at, *want))
                .collect(),
            missing: Vec::new(),
            facts: Vec::new(),
            findings: Vec::new(),
            salvage: Vec::new(),
        },
        done: false,
    }
}

/// A job with nothing on hand, the usual settings.
pub(super) fn bare(changes: Vec<Counted>, prices: PriceBook) -> Site {
    let job = Record {
        id: Uuid::nil(),
        kind: Kind::Job,
        fields: BTreeMap::new(),
        by: Uuid::nil(),
        at: String::new(),
        state: String::new(),
        gone: None,
        clock_off_s: None,
    };
    Site {
        changes,
        ledger: Ledger::default(),
        settings: Settings::read(&job),
        prices,
        entries: 100_000,
        tally: BTreeMap::new(),
        did: BTreeMap::new(),
    }
}

pub(super) fn site() -> impl Strategy<Value = Site> {
    let want = (0_u8..=10, 1_i64..=5, 6_i64..=150, 0_i64..=15, 0_u8..=15);
    let change = (1_u32..=3, prop::collection::vec(want, 1..=4));
    let lies = (0_u8..=6, 1_i64..=3, 20_i64..=180, any::<bool>());
    (
        prop::collection::vec(change, 1..=6),
        prop::collection::vec(lies, 0..=5),
        any::<u16>(),
        prop::collection::vec(prop_oneof![1 => Just(0_i64), 6 => 40_i64..=90], 10),
        0_i64..=2,
    )
        .prop_map(|(changes, lies, sold, cents, trim)| {
            let mut changes: Vec<Counted> = changes
                .into_iter()
                .enumerate()
                .map(|(at, (week, wants))| planned_change(at, week, &wants))
                .collect();
            changes.sort_by_key(|change| (change.takeoff.week, change.takeoff.change));
            let mut site = bare(changes, book_of(sold, &cents));
            site.settings.trim = Length::inches(trim);
            for found in lies {
                lay(&mut site, found);
            }
            site
        })
}

/// Lays something on hand: sticks, offcuts, salvage, parts of panels, nails.
pub(super) fn lay(site: &mut Site, (what, count, inches, is_salvage): (u8, i64, i64, bool)) {
    let entry = site.next_entry();
    let item = match what {
        0..=2 => stick("2x4", Length::inches(inches)),
        3 => stick("2x6", Length::inches(inches)),
        4 => stick("2x8", Length::inches(inches)),
        5 => Item::Panel {
            class: sheet(),
            along: Length::inches(inches.min(96)),
            across: Length::inches(inches.min(48)),
        },
        _ => nails(),
    };
    let pieces = if item.has_rows() { count } else { count * 20 };
    let movement = |row, count| {
        Effect::Move(Movement {
            item: item.clone(),
            row,
            count,
            cause: Cause::Counted,
            weeks: Vec::new(),
            change: None,
            entry,
            about: entry,
            reverses: None,
            instead_of: None,
        })
    };
    site.say(&item, pieces);
    if !item.has_rows() {
        site.ledger.apply(&[movement(None, pieces)]);
        return;
    }
    for _ in 0..pieces {
        let id = site.next_entry();
        site.ledger.apply(&[
            Effect::Put(StockRow {
                id,
                item: item.clone(),
                whole: false,
                salvage: is_salvage,
                sound: true,
                lies: String::new(),
                from: entry,
                weeks: Vec::new(),
                waste: false,
                listed: false,
                pieces: Vec::new(),
                places: Vec::new(),
                gone: false,
                taken_by: None,
                cut_from: None,
                given_by: None,
                ordered: None,
                swapped: false,
            }),
            movement(Some(id), 1),
        ]);
    }
}

/// The plan of these weeks, to read when a law fails.
pub(super) fn planned(site: &Site, weeks: &[u32]) -> String {
    let basis = site.basis();
    let plan = Plan::of(&basis, weeks);
    let mut text = format!("plan for {weeks:?}\n");
    let names = |keys: &[PieceKey]| {
        keys.iter()
            .map(|key| {
                format!(
                    "{}:{}:{}",
                    basis.change(key.change).unwrap().name,
                    key.slot,
                    key.index
                )
            })
            .collect::<Vec<_>>()
            .join(", ")
    };
    for (id, row) in &plan.rows {
        let stock = &site.ledger.rows[id];
        let _ = writeln!(
            text,
            "  row {} {:?} waste {} [{}] kept {}",
            stock.item,
            row.weeks,
            row.waste,
            names(&row.pieces),
            stock.pieces.len()
        );
    }
    for set in &plan.sets {
        let _ = writeln!(text, "  set {:?}", set.weeks);
        for waste in &set.waste {
            let _ = writeln!(
                text,
                "    waste N {} B {} more {}",
                Length::from_64ths(waste.needed),
                Length::from_64ths(waste.there),
                waste.more
            );
        }
        for stick in &set.to_buy {
            let _ = writeln!(
                text,
                "    buy {} listed {} waste {} [{}]",
                stick.item,
                stick.listed.is_some(),
                stick.waste,
                names(&stick.pieces)
            );
        }
    }
    text
}
