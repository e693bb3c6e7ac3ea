// The demo's job to its end: week 1 is over and only closed; weeks 2, 3 and 4 are measured, bought, paid, done, struck,
// counted and closed by their pages' forms. What a week spent is added up here from what its forms were filled with,
// and held against the money page, as tests/forms/four_weeks.rs does over HTTP. `node four_weeks.mjs ORIGIN CODE`.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { Walk, main, phone, quiet, shot, signAll, usable } from "./lib.mjs";
import { signIn } from "./sign_in.mjs";

const READ = { landing_to_seat: "100 3/4", ceiling_height: "98 7/8" };
const cents = (text) => Math.round(Number(text.replace(/[$,]/g, "")) * 100);
const dollars = (amount) => (amount / 100).toFixed(2);
// 6.5 % on a receipt's sum, half a cent up.
const withTax = (sum) => sum + Math.floor((sum * 65 + 500) / 1000);
const add = (all, key, amount) => all.set(key, (all.get(key) ?? 0) + amount);
const same = (found, expected, what) => assert.equal(found, expected, `${what}: expected ${expected}, found ${found}`);

async function fourWeeks({ browser, origin, code }) {
  // its pages come from the server alone: a busy one must not lead to the phone's own copy of a list
  const on = await phone(browser, { origin, acceptDownloads: true, serviceWorkers: "block" });
  const { page } = on;
  await signIn(page, code, true);
  await page.locator("main .rows a").first().tap();
  await page.waitForURL("**/jobs/*");
  const job = new URL(page.url()).pathname;
  const walk = new Walk(page);
  const part = (of, more) => page.locator(of, more);
  const button = (name) => page.getByRole("button", { name });
  const link = (name) => part("main").getByRole("link", { name, exact: true }).first();
  const held = (form, name) => form.locator(`[name=${name}]`).inputValue();
  const hrefs = (of) => part(of).evaluateAll((all) => all.map((one) => one.getAttribute("href")));
  const says = async (pattern, of = "main") => {
    const text = await part(of).innerText();
    assert.match(text, pattern, `expected ${pattern} on ${page.url()}, found:\n${text}`);
  };
  const done = (what) => {
    console.log(`${what}: ${walk.taps} taps, ${walk.fields} fields`);
    walk.restart();
  };
  const slips = new Map(); // by supplier: what its open slip comes to, before tax
  const spent = new Map(); // by week, with tax

  // What the week's page asks for, until it asks for nothing; gives how many readings that were.
  const measure = async () => {
    const asked = part("form[data-kind='reading.add']:has(input[name=raw])");
    let readings = 0;
    for (; (await asked.count()) > 0; readings += 1) {
      const form = asked.first();
      const what = await held(form, "what");
      assert.ok(READ[what] && readings < 5, `expected to be done after ${readings} readings, found ${what} asked for`);
      await walk.fill(form.locator("input[name=raw]"), READ[what]);
      await walk.follow(form.getByRole("button", { name: "Save" }));
      await page.goto(job);
    }
    return readings;
  };

  // Each line as listed, until none is left; gives how many.
  const tick = part("form[action$='/buy-list/tick']");
  const tickAll = async () => {
    const lines = await tick.count();
    for (let left = lines; left > 0; left -= 1) {
      same(await tick.count(), left, "lines still to tick");
      const form = tick.first();
      add(slips, await held(form, "supplier"), Number(await held(form, "count")) * cents(await held(form, "price")));
      await walk.follow(form.getByRole("button"));
    }
    await says(/Nothing left to buy for this\./);
    return lines;
  };

  // The page of a line of the list: what is bought instead of it, and what of it goes back.
  const lineOf = async (item) => {
    await walk.follow(part(".rows li", { hasText: item }).locator("a.more").first());
    await usable(page);
  };

  const swap = async (item, length, price) => {
    await lineOf(item);
    const form = part("form#swap");
    const count = await held(form, "count");
    add(slips, await held(form, "supplier"), Number(count) * cents(price));
    await walk.fill(form.getByLabel("Or only another length"), length);
    await walk.fill(form.getByLabel("Unit price"), price);
    await walk.follow(button("Save swap"));
  };

  const takeBackOne = async (item) => {
    await lineOf(item);
    const form = part("form#back");
    add(slips, await held(form, "supplier"), -cents(await held(form, "price")));
    await walk.fill(form.getByLabel("How many went back"), "1");
    await walk.follow(button("Save return"));
  };

  // Each open slip is closed by its total, which the till shows as well.
  const saveReceipts = async (list, week) => {
    await page.goto(list);
    while ((await part("#tot").count()) > 0) {
      const words = await part("#tot-h").innerText();
      const supplier = [...slips.keys()].find((name) => words.endsWith(`, ${name}`));
      assert.ok(supplier, `expected one of ${[...slips.keys()]}, found ${words}`);
      const total = withTax(slips.get(supplier));
      slips.delete(supplier);
      same(cents(words.match(/^Ticked (\$[\d,.]+)/)?.[1] ?? ""), total, `cents ticked of ${supplier} in week ${week}`);
      add(spent, week, total);
      await walk.fill(part("#tot"), dollars(total));
      await walk.follow(button("Save receipt"));
      await page.goto(list);
    }
    same([...slips.keys()].join(), "", "slips that the list doesn't show");
  };

  const csv = async () => {
    const loading = page.waitForEvent("download");
    await walk.press(link("CSV"));
    return readFile(await (await loading).path(), "latin1"); // one character a byte
  };

  // All that a supplier has of the list is ordered; the first line comes two short, which are back on the list then.
  const orderShort = async (list, week) => {
    const supplier = await held(tick.first(), "supplier");
    const item = await held(tick.first(), "item");
    const theirs = part(`form[action$='/buy-list/tick']:has(input[name=supplier][value="${supplier}"])`);
    await walk.follow(link("Order"));
    await walk.choose(page.getByLabel("Supplier"), { label: supplier });
    await walk.follow(button("Draft the order"));
    await usable(page);
    await walk.follow(button("Send order"));
    const order = page.url();
    const sent = await csv();
    await page.goto(list);
    same(await theirs.count(), 0, `lines of ${supplier} that the order does not cover`);
    await page.goto(order);
    await usable(page);
    const lines = part("#came fieldset:has([name^='came.'])");
    const came = lines.first().getByLabel("How many came");
    await walk.fill(came, String(Number(await came.inputValue()) - 2));
    await walk.choose(lines.first().getByLabel("What did not come"), { label: "Back to the list" });
    let sum = 0;
    for (const line of await lines.all()) {
      const typed = (label) => line.getByLabel(label).inputValue();
      sum += Number(await typed("How many came")) * cents(await typed("Price of one"));
    }
    await walk.fill(page.getByLabel("Total as printed"), dollars(withTax(sum)));
    await walk.follow(button("Save what came"));
    add(spent, week, withTax(sum));
    await page.goto(list);
    same(await theirs.count(), 1, `lines of ${supplier} that came short`);
    same(await held(theirs, "item"), item, "the item that came short");
    same(await held(theirs, "count"), "2", "how many came short");
    return { order, sent };
  };

  // Signs off what can be, then marks a change done, or starts it; says whether it is done.
  const finish = async (change) => {
    await signAll(walk, change);
    await page.goto(change);
    if ((await part(`main a[href$='/done']`).count()) > 0) {
      await page.goto(`${change}/done`);
      await walk.follow(button("Save: done").first());
      return true;
    }
    const start = part("form#to-under_way button");
    if ((await start.count()) > 0) await walk.follow(start);
    return false;
  };

  // What the closing page calls not done, each by its form as shown; then the shoring. Gives how many of each.
  const work = async (close) => {
    const changes = await hrefs("li:has(input[name=change]) a.row");
    let left = changes;
    for (let round = 0; round < 6 && left.length > 0; round += 1) {
      const held = [];
      for (const change of left) if (!(await finish(change))) held.push(change);
      left = held;
    }
    same(left.length, 0, `changes that stay held: ${left}`);
    await page.goto(close);
    const shores = await hrefs("a[href$='/struck']");
    for (const shore of shores) {
      await signAll(walk, shore.replace(/\/struck$/, ""));
      await page.goto(shore);
      await usable(page);
      await walk.follow(button("Save: struck").first());
    }
    return [changes.length, shores.length];
  };

  const closingPage = async (week) => {
    await page.goto(`${job}/week`);
    await walk.follow(part("main .rows a").nth(week - 1));
    await walk.follow(part("main a[href$='/close']"));
    await usable(page);
    return page.url();
  };

  // The last thing of those here is counted one less than the record has; gives what it is and how many.
  const countOneLess = async () => {
    const row = part("#close li:has(input[name=saw])").last();
    const [item, counted] = [await held(row, "item"), String(Number(await held(row, "saw")) - 1)];
    await walk.fill(row.locator("[name=counted]"), counted);
    await walk.fill(part("#close [name=reason]"), "One is lost.");
    return { item, counted };
  };

  const onHandIs = async ({ item, counted }) => {
    await page.goto(`${job}/on-hand`);
    assert.doesNotMatch(await part("main").innerText(), /missing/, "expected nothing to be missing on hand");
    const here = part(`form:has(input[name=item][value="${item}"])`).first();
    same((await here.count()) > 0 ? await held(here, "saw") : "0", counted, `${item} on hand after the count`);
  };

  const closeIt = async (week) => {
    await says(/Every change of this week is done\.[^]*No shoring is standing\./);
    for (const saw of await part("#close [name=saw]").all()) {
      assert.match(await saw.inputValue(), /^\d+$/, `expected 0 or more on hand, found "${await saw.inputValue()}"`);
    }
    await shot(page, `four-weeks-close-${week}`);
    await walk.follow(button(`Close week ${week}`));
    await says(new RegExp(`Week ${week} is closed\\.`), "body");
  };

  // What the money page calls spent, in cents: of week 1, 2, 3 and 4. A week of which nothing is kept yet has no row.
  const moneyPage = async () => {
    await page.goto(`${job}/money`);
    const week = async (number) => {
      const rows = part("main a.row", { hasText: `Week ${number}` });
      if ((await rows.count()) === 0) return 0;
      const row = await rows.innerText();
      return cents(row.match(/spent (\S+)/)?.[1] ?? assert.fail(`expected what week ${number} spent, found ${row}`));
    };
    return [await week(1), await week(2), await week(3), await week(4)];
  };

  // One week's round. `expected`: readings, changes, shores; `buy` ticks the list its own way.
  const round = async (week, expected, buy) => {
    await page.goto(job);
    await says(new RegExp(`Week ${week} of 4`), "body");
    await usable(page);
    walk.restart();
    same(await measure(), expected.readings, `readings that week ${week} asks for`);
    done(`week ${week} measured`);

    await walk.follow(part(".bar").getByRole("link", { name: "Buy list", exact: true }));
    const list = page.url();
    assert.doesNotMatch(await part("main").innerText(), /Not on this list yet/, "expected every line on the list");
    const kept = await buy(list);
    await shot(page, `four-weeks-bought-${week}`);
    await usable(page);
    await saveReceipts(list, week);
    done(`week ${week} bought`);

    const close = await closingPage(week);
    walk.restart();
    same(String(await work(close)), String([expected.changes, expected.shores]), `changes and shores of week ${week}`);
    await page.goto(close);
    const lost = await countOneLess();
    await closeIt(week);
    await onHandIs(lost);
    done(`week ${week} done and closed`);
    return kept;
  };

  const before = await moneyPage();
  await closingPage(1);
  await closeIt(1);

  // A line is bought longer than listed. One stick comes split: it goes back, is on the list again and bought again.
  await round(2, { readings: 3, changes: 10, shores: 1 }, async (list) => {
    await swap("2×4 Douglas Fir-Larch No.2, 12 ft", "14'", "7.95");
    await page.goto(list);
    same(await tickAll(), 16, "lines of week 2, one of 17 swapped");
    await takeBackOne("2×4 Douglas Fir-Larch No.2, 8 ft");
    await page.goto(list);
    same(await held(tick, "count"), "1", "sticks on the list again");
    same(await tickAll(), 1, "lines after the return");
  });

  // Two plates of week 3 cut walls that carry, or that nobody traced: without shoring of their own they are put off.
  // The trimmer's hanger is too narrow for it, and the wall under it isn't recorded. The post would come down over a hollow.
  for (const change of ["South wall, upper plate", "Cellar stair wall, bottom plate", "Hang the trimmer at the cellar stair", "Post at the cellar stair"]) {
    await page.goto(`${job}/changes`);
    await walk.follow(part("main a.row", { hasText: change }));
    await walk.follow(part("form#to-dropped button"));
  }
  const { order, sent } = await round(3, { readings: 0, changes: 10, shores: 0 }, async (list) => {
    const kept = await orderShort(list, 3);
    assert.ok((await tickAll()) > 1, "expected other lines beside what came short, found none");
    return kept;
  });

  await round(4, { readings: 0, changes: 5, shores: 0 }, async () => {
    assert.ok((await tickAll()) > 1, "expected lines in week 4, found one or none");
  });

  const expected = before.map((amount, at) => amount + (spent.get(at + 1) ?? 0));
  same(String(await moneyPage()), String(expected), "cents spent, by week");
  const all = expected.reduce((sum, amount) => sum + amount);
  const said = await part("main tr", { hasText: "Spent: bought, less returned" }).locator("td.r").innerText();
  same(cents(said), all, "cents spent in all");
  await usable(page);
  for (const week of [1, 2, 3, 4]) {
    await page.goto(`${job}/buy-list?week=${week}`);
    await says(/Nothing left to buy for this\./);
  }
  await page.goto(order);
  same(await csv(), sent, "the order's CSV at the end, against when it was sent");

  quiet(on);
  console.log("four weeks are closed");
}

await main(fourWeeks, { minutes: 30 });
