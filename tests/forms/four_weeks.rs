//! The demo's job to its end, by the pages' own forms: weeks 2, 3 and 4 measured, bought, done and closed.
//!
//! What each week comes to is worked out here from what the forms were filled with, and held against the money page.

use std::collections::BTreeMap;

use super::close::close_page;
use super::holds::{read_heights, sign_all};
use super::money::text;
use super::orders::papers;
use super::round::{Filled, csv_rows, forms, lines};
use super::swaps::line_at;
use super::yard_csv::demo;
use super::{entries, form_around, page_errors, value};
use crate::support::{Client, TestServer, form};

/// The demo's tax, in thousandths: 6.5 %.
const TAX: i64 = 65;

/// The crew at the till.
struct Crew {
    lead: Client,
    job: String,
    /// What the lines of a slip come to, by supplier, until its total is saved.
    open: BTreeMap<String, i64>,
    /// Lines and tax of the slips of a week.
    spent: BTreeMap<u32, i64>,
}

/// `12.50` in cents.
fn cents(text: &str) -> i64 {
    let (whole, part) = text.split_once('.').unwrap_or((text, "00"));
    assert_eq!(part.len(), 2, "{text}");
    whole.replace(',', "").parse::<i64>().unwrap() * 100 + part.parse::<i64>().unwrap()
}

/// Cents as they are printed: `1234.50`.
fn printed(cents: i64) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

/// Lines with their tax: once on the sum, half a cent up.
fn with_tax(sum: i64) -> i64 {
    assert!(sum >= 0, "{sum}");
    sum + (sum * TAX + 500) / 1000
}

/// A printed amount as a page has it: `$1,234.50`.
fn shown(cents: i64) -> String {
    let whole = (cents / 100).to_string();
    let mut said = String::new();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            said.push(',');
        }
        said.push(digit);
    }
    format!("${said}.{:02}", cents % 100)
}

impl Crew {
    fn post(&self, (action, held): Filled, typed: &[(&str, &str)]) -> String {
        let answer = self.lead.post_over(&action, held, typed);
        assert_eq!(
            answer.status,
            303,
            "{action} {typed:?}: {}",
            page_errors(&answer.body)
        );
        answer.location.unwrap()
    }

    fn list(&self, week: u32) -> String {
        format!("{}/buy-list?week={week}", self.job)
    }

    /// What a line comes to.
    fn extension(held: &[(String, String)], count: &str, price: &str) -> i64 {
        assert!(
            held.iter()
                .all(|(name, text)| name != "price_by" || text.is_empty()),
            "sold by the foot: {held:?}"
        );
        let price = if price.is_empty() { 0 } else { cents(price) };
        count.parse::<i64>().unwrap() * price
    }

    fn put(&mut self, supplier: &str, cents: i64) {
        *self.open.entry(supplier.to_owned()).or_default() += cents;
    }

    /// Types in every reading that the week's page asks for, until it asks for none.
    fn measure(&self, week: u32, typed: &[(&str, &str)]) -> usize {
        let page = format!("{}?week={week}", self.job);
        for read in 0..10 {
            let asked = forms(&self.lead.page(&page)).into_iter().find(|(_, held)| {
                let has = |name: &str, text: &str| held.iter().any(|(n, t)| n == name && t == text);
                has("raw", "") && held.iter().any(|(n, _)| n == "what")
            });
            let Some(asked) = asked else {
                assert!(
                    !self
                        .lead
                        .page(&self.list(week))
                        .contains("Not on this list yet"),
                    "week {week} waits for something else"
                );
                return read;
            };
            let what = value(&asked.1, "what");
            let (_, raw) = typed
                .iter()
                .find(|(name, _)| *name == what)
                .unwrap_or_else(|| panic!("week {week} asks for {what}"));
            self.post(asked, &[("raw", raw)]);
        }
        panic!("week {week} asks for a reading again and again");
    }

    /// The CSV says what the ticks of the page would book.
    fn csv_is_the_list(&self, week: u32) {
        let csv = self
            .lead
            .page(&format!("{}/buy-list.csv?week={week}", self.job));
        let rows = csv_rows(&csv);
        let mut of_csv: Vec<(String, String)> = rows
            .iter()
            .map(|row| (row[2].clone(), row[4].clone()))
            .collect();
        of_csv.sort();
        assert_eq!(of_csv, lines(&self.lead.page(&self.list(week))));
        assert!(!of_csv.is_empty(), "week {week}");
        for row in rows.iter().filter(|row| !row[4].is_empty()) {
            assert_eq!(Self::extension(&[], &row[2], &row[4]), cents(&row[5]));
        }
    }

    /// Ticks the list as it stands, each line as the page has it; gives how many.
    fn buy(&mut self, week: u32) -> usize {
        let all: Vec<Filled> = forms(&self.lead.page(&self.list(week)))
            .into_iter()
            .filter(|(action, _)| action.ends_with("/buy-list/tick"))
            .collect();
        let ticked = all.len();
        for (action, held) in all {
            let (count, price) = (value(&held, "count"), value(&held, "price"));
            let cents = Self::extension(&held, &count, &price);
            self.put(&value(&held, "supplier"), cents);
            self.post((action, held), &[]);
        }
        assert_eq!(lines(&self.lead.page(&self.list(week))), [], "week {week}");
        ticked
    }

    /// Types the printed total of every slip that is open.
    fn save_receipts(&mut self, week: u32) {
        for _ in 0..9 {
            let next =
                forms(&self.lead.page(&self.list(week)))
                    .into_iter()
                    .find(|(action, held)| {
                        action.ends_with("/buy-list/receipt")
                            && held.iter().any(|(name, _)| name == "receipt")
                    });
            let Some((action, held)) = next else {
                assert_eq!(self.open, BTreeMap::new(), "slips without a form");
                return;
            };
            let receipt = value(&held, "receipt");
            let supplier = self.supplier_of(&receipt);
            let sum = self.open.remove(&supplier).expect(&supplier);
            let total = with_tax(sum);
            let page = format!("{}/receipt/{receipt}", self.job);
            self.post((action, held), &[("total", &printed(total))]);
            let said = text(&self.lead.page(&page));
            assert!(said.contains(&shown(total)), "{total}: {said}");
            *self.spent.entry(week).or_default() += total;
        }
        panic!("receipts of week {week} stay open");
    }

    /// The name of the supplier of a receipt.
    fn supplier_of(&self, receipt: &str) -> String {
        let all = entries(&self.lead, &self.job);
        let of = |kind: &str, id: &str, field: &str| {
            all.iter()
                .find(|entry| entry["kind"] == kind && entry["entity_id"] == id)
                .and_then(|entry| entry["fields"][field].as_str())
                .unwrap_or("")
                .to_owned()
        };
        of(
            "supplier.add",
            &of("receipt.add", receipt, "supplier"),
            "name",
        )
    }

    /// Marks what the week's closing page calls not done, each by its form as shown; then strikes what it offers.
    fn work(&self, week: u32) -> (usize, usize) {
        let close = close_page(&self.lead, &self.job, &week.to_string());
        let hrefs = |page: &str, end: &str| -> Vec<String> {
            page.split("href=\"")
                .skip(1)
                .map(|rest| rest.split('"').next().unwrap().to_owned())
                .filter(|href| href.ends_with(end))
                .collect()
        };
        let page = self.lead.page(&close);
        let (_, held) = form(&page, "close");
        let changes: Vec<String> = held
            .iter()
            .filter(|(name, _)| name == "change")
            .map(|(_, id)| hrefs(&page, id).remove(0))
            .collect();
        let mut left = changes.clone();
        for _ in 0..6 {
            left.retain(|change| !self.finish(change));
        }
        let why = left.first().map(|held| text(&self.lead.page(held)));
        assert_eq!(left, [""; 0], "week {week}: held, {why:?}");
        let struck = hrefs(&self.lead.page(&close), "/struck");
        for shore in &struck {
            sign_all(&self.lead, shore.trim_end_matches("/struck"));
            let form = form_around(&self.lead.page(shore), "id=\"done-note\"");
            self.post(form, &[]);
        }
        (changes.len(), struck.len())
    }

    /// Signs off what can be, then marks a change done, or starts it; says whether it is done.
    fn finish(&self, change: &str) -> bool {
        sign_all(&self.lead, change);
        if let Some((_, shore)) = change.split_once("/shore/") {
            read_heights(&self.lead, &self.job, shore);
        }
        let page = self.lead.page(change);
        if page.contains(&format!("href=\"{change}/done\"")) {
            let form = form_around(
                &self.lead.page(&format!("{change}/done")),
                "id=\"done-note\"",
            );
            self.post(form, &[]);
            return true;
        }
        if page.contains("id=\"to-under_way\"") {
            self.lead.save(change, "to-under_way", &[]);
        }
        false
    }

    /// Drops a change of a week by the form on its page.
    fn drop(&self, week: u32, name: &str) {
        let page = self.lead.page(&format!("{}?week={week}", self.job));
        let at = page.rfind(name).unwrap_or_else(|| panic!("no {name}"));
        let href = page[..at].rsplit("href=\"").next().unwrap();
        self.lead
            .save(href.split('"').next().unwrap(), "to-dropped", &[]);
    }

    /// Closes a week by its form as shown; what it says of on hand is never below zero.
    fn close(&self, week: u32) {
        let close = close_page(&self.lead, &self.job, &week.to_string());
        let page = self.lead.page(&close);
        let (action, held) = form(&page, "close");
        assert!(held.iter().all(|(name, _)| name != "change"), "all is done");
        assert!(!page.contains("/struck\""), "nothing stands");
        let saw: Vec<&String> = held
            .iter()
            .filter(|(n, _)| n == "saw")
            .map(|(_, t)| t)
            .collect();
        assert!(saw.iter().all(|saw| !saw.is_empty()), "{saw:?}");
        let to = self.post((action, held), &[]);
        let said = format!("Week {week} is closed.");
        assert!(self.lead.page(&to).contains(&said), "{said}");
    }

    /// What must hold after each step: no week misses anything, and no list that was bought asks for more.
    fn holds(&self, bought: &[u32]) {
        for week in 1..=4 {
            let page = self.lead.page(&self.list(week));
            assert!(!page.contains("missing: book"), "week {week}");
            if bought.contains(&week) {
                assert_eq!(lines(&page), [], "week {week}, after {bought:?}");
            }
        }
        for (_, held) in forms(&self.lead.page(&format!("{}/on-hand", self.job))) {
            if let Some((_, saw)) = held.iter().find(|(name, _)| name == "saw") {
                assert!(saw.parse::<u32>().is_ok(), "{held:?}");
            }
        }
        let money = text(&self.lead.page(&format!("{}/money", self.job)));
        let of_week = |week: u32| {
            // A week whose list isn't kept yet, and for which nothing was bought, has no row.
            let Some(row) = money.split(&format!("Week {week} Planned ")).nth(1) else {
                return 0;
            };
            let spent = row.split("spent $").nth(1).unwrap();
            cents(spent.split(' ').next().unwrap())
        };
        for (week, spent) in &self.spent {
            assert_eq!(of_week(*week), *spent, "week {week}: {money}");
        }
        let all = shown((1..=4).map(of_week).sum());
        let said = format!("Spent: bought, less returned, with tax {all}");
        assert!(money.contains(&said), "{said}: {money}");
    }

    fn is_at(&self, week: u32) {
        let page = self.lead.page(&self.job);
        assert!(
            page.contains(&format!("Week {week} of 4")),
            "not at week {week}"
        );
    }

    /// A line bought longer than listed, piece for piece.
    fn swap(&mut self, week: u32, line: &str, length: &str, price: &str) {
        let page = line_at(&self.lead, &self.list(week), line);
        let (action, held) = form_around(&self.lead.page(&page), "id=\"swap-other\"");
        let (item, count) = (value(&held, "item"), value(&held, "count"));
        self.put(
            &value(&held, "supplier"),
            Self::extension(&[], &count, price),
        );
        self.post((action, held), &[("length", length), ("price", price)]);
        let still = forms(&self.lead.page(&self.list(week)));
        let asked =
            |(action, held): &Filled| action.ends_with("/tick") && value(held, "item") == item;
        assert!(!still.iter().any(asked), "{line} is bought");
    }

    /// One of a line goes back, at what was paid for it.
    fn take_back(&mut self, week: u32, line: &str) {
        let page = line_at(&self.lead, &self.list(week), line);
        let (action, held) = form_around(&self.lead.page(&page), "id=\"back-count\"");
        let price = value(&held, "price");
        self.put(
            &value(&held, "supplier"),
            -Self::extension(&held, "1", &price),
        );
        self.post((action, held), &[("count", "1")]);
    }

    /// Orders a single line of a week's list; gives the order.
    fn order(&self, week: u32, supplier: &str, item: &str) -> String {
        let page = format!("{}/order?week={week}", self.job);
        let order = self.lead.save(&page, "f", &[("supplier", supplier)]);
        let (action, mut held) = form(&self.lead.page(&order), "send");
        let at = held
            .iter()
            .find_map(|(name, text)| {
                let at = name.strip_prefix("line.")?;
                text.contains(item).then(|| format!("count.{at}"))
            })
            .unwrap_or_else(|| panic!("no {item} in {held:?}"));
        for (name, text) in &mut held {
            if name.starts_with("count.") && *name != at {
                "0".clone_into(text);
            }
        }
        assert_eq!(self.post((action, held), &[]), order);
        order
    }

    /// A part of an order's only line comes, with its paper; the rest goes back to the list.
    fn receive(&mut self, week: u32, order: &str, short: i64) {
        let (action, held) = form(&self.lead.page(order), "came");
        let ordered: i64 = value(&held, "came.0").parse().unwrap();
        assert!(ordered > short, "{held:?}");
        let came = (ordered - short).to_string();
        let total = with_tax(Self::extension(&[], &came, &value(&held, "price.0")));
        self.post(
            (action, held),
            &[
                ("came.0", &came),
                ("rest.0", "back"),
                ("total", &printed(total)),
            ],
        );
        *self.spent.entry(week).or_default() += total;
    }
}

#[test]
fn a_job_of_four_weeks_goes_through_its_round() {
    let server = TestServer::start_demo("four-weeks");
    let lead = server.lead();
    let (job, ferry, _) = demo(&lead);
    let mut crew = Crew {
        lead,
        job,
        open: BTreeMap::new(),
        spent: BTreeMap::new(),
    };
    crew.close(1);
    crew.is_at(2);

    // Week 2. Post 2 is measured twice; the middle of the ceiling is measured once more, as one of its two readings.
    let typed = [("landing_to_seat", "100 3/4"), ("ceiling_height", "98 7/8")];
    assert_eq!(crew.measure(2, &typed), 3);
    crew.csv_is_the_list(2);
    crew.swap(2, "2×4 Douglas Fir-Larch No.2, 12 ft", "14'", "7.95");
    // 17 lines, one of them bought longer.
    assert_eq!(crew.buy(2), 16);
    // One came split: it goes back, is on the list again, and is bought once more.
    crew.take_back(2, "2×4 Douglas Fir-Larch No.2, 8 ft");
    let again = vec![("1".to_owned(), "4.15".to_owned())];
    assert_eq!(lines(&crew.lead.page(&crew.list(2))), again);
    assert_eq!(crew.buy(2), 1);
    crew.save_receipts(2);
    crew.holds(&[1, 2]);
    assert_eq!(crew.work(2), (10, 1));
    crew.holds(&[1, 2]);
    crew.close(2);
    crew.is_at(3);

    // Two plates of week 3 cut walls that carry, or that nobody traced: without shoring of their own they are put off.
    // The trimmer's hanger is too narrow for it, and the wall under it isn't recorded. The post would come down over a hollow.
    for change in [
        "South wall, upper plate",
        "Cellar stair wall, bottom plate",
        "Hang the trimmer at the cellar stair",
        "Post at the cellar stair",
    ] {
        crew.drop(3, change);
    }
    // Week 3. Its 2×4 of 8 ft are ordered; two are short and go back to the list.
    assert_eq!(crew.measure(3, &[]), 0);
    crew.csv_is_the_list(3);
    let order = crew.order(3, &ferry, ";6144");
    let sent = papers(&crew.lead, &order);
    crew.receive(3, &order, 2);
    assert_eq!(papers(&crew.lead, &order), sent);
    let short = ("2".to_owned(), "4.15".to_owned());
    assert!(lines(&crew.lead.page(&crew.list(3))).contains(&short));
    assert!(crew.buy(3) > 1);
    crew.save_receipts(3);
    crew.holds(&[1, 2, 3]);
    assert_eq!(crew.work(3), (10, 0));
    crew.holds(&[1, 2, 3]);
    crew.close(3);
    crew.is_at(4);

    // Week 4, as listed.
    assert_eq!(crew.measure(4, &[]), 0);
    crew.csv_is_the_list(4);
    assert!(crew.buy(4) > 1);
    crew.save_receipts(4);
    assert_eq!(crew.work(4), (5, 0));
    crew.holds(&[1, 2, 3, 4]);
    crew.close(4);
    crew.holds(&[1, 2, 3, 4]);
    assert_eq!(papers(&crew.lead, &order), sent, "as it was sent");
}
