// A week of the demo's four, from its missing readings to its end: measured, bought, paid, done, struck, closed; then the
// next week's page comes up. `node four_weeks.mjs ORIGIN CODE`.

import assert from "node:assert/strict";
import { Walk, main, phone, quiet, shot, usable } from "./lib.mjs";
import { signIn } from "./sign_in.mjs";

const READ = { landing_to_seat: "100 3/4", ceiling_height: "98 7/8" };
const cents = (text) => Math.round(Number(text) * 100);

await main(async ({ browser, origin, code }) => {
  const on = await phone(browser, { origin });
  const { page } = on;
  await signIn(page, code, true);
  await page.locator("main .rows a").first().tap();
  await page.waitForURL("**/jobs/*");
  const job = new URL(page.url()).pathname;
  const walk = new Walk(page);
  const part = (of) => page.locator(of);
  const text = () => part("main").innerText();
  const button = (name) => page.getByRole("button", { name });
  assert.match(await part("body").innerText(), /Week 2 of 4/);
  await usable(page);

  // What the page asks for, until it asks for nothing.
  const asked = part("form[data-kind='reading.add']:has(input[name=raw])");
  while ((await asked.count()) > 0) {
    const form = asked.first();
    const what = await form.locator("input[name=what]").inputValue();
    assert.ok(READ[what] && walk.fields < 5, `asks for ${what} after ${walk.fields} readings`);
    await walk.fill(form.locator("input[name=raw]"), READ[what]);
    await walk.follow(form.getByRole("button", { name: "Save" }));
    await page.goto(job);
  }
  console.log(`measured: ${walk.taps} taps, ${walk.fields} fields`);

  // Every line as listed; what it comes to, by supplier.
  walk.restart();
  await walk.follow(part(".bar").getByRole("link", { name: "Buy list", exact: true }));
  assert.doesNotMatch(await text(), /Not on this list yet/);
  const slips = new Map();
  const tick = part("form[action$='/buy-list/tick']");
  const lines = await tick.count();
  assert.equal(lines, 17);
  for (let left = lines; left > 0; left -= 1) {
    assert.equal(await tick.count(), left);
    const held = (name) => tick.first().locator(`input[name=${name}]`).inputValue();
    const supplier = await held("supplier");
    const extension = Number(await held("count")) * cents(await held("price"));
    slips.set(supplier, (slips.get(supplier) ?? 0) + extension);
    await walk.follow(tick.first().getByRole("button"));
  }
  assert.match(await text(), /Nothing left to buy for this\./);
  await shot(page, "four-weeks-bought");
  await usable(page);

  // Each slip with its total: 6.5 % on its sum, half a cent up.
  const list = page.url();
  let spent = 0;
  const till = part("form[action$='/buy-list/receipt']");
  while ((await till.count()) > 0) {
    const receipt = await till.first().locator("input[name=receipt]").inputValue();
    await page.goto(`${job}/receipt/${receipt}`);
    const paper = await text();
    const supplier = [...slips.keys()].find((name) => paper.includes(name));
    assert.ok(supplier, `no slip is left for ${paper}`);
    const sum = slips.get(supplier);
    slips.delete(supplier);
    const total = sum + Math.floor((sum * 65 + 500) / 1000);
    spent += total;
    await page.goto(list);
    await walk.fill(till.first().locator("input[name=total]"), (total / 100).toFixed(2));
    await walk.follow(till.first().getByRole("button"));
    await page.goto(list);
  }
  assert.equal(slips.size, 0, "every slip has its form");
  console.log(`bought: ${lines} lines, ${walk.taps} taps, ${walk.fields} fields`);
  await page.goto(`${job}/money`);
  assert.ok((await text()).includes(`$${(spent / 100).toFixed(2)}`), `${spent} cents are spent`);
  await usable(page);

  // What its closing page calls not done, each by its form as shown; then the shoring.
  await page.goto(`${job}/week`);
  await walk.follow(part("main .rows a").nth(1));
  const week = new URL(page.url()).pathname;
  const close = `${week}/close`;
  await page.goto(close);
  await usable(page);
  const hrefs = (of) => part(of).evaluateAll((all) => all.map((one) => one.getAttribute("href")));
  const changes = await hrefs("li:has(input[name=change]) a.row");
  assert.equal(changes.length, 10);
  walk.restart();
  for (const change of changes) {
    await page.goto(`${change}/done`);
    await walk.follow(button("Save: done").first());
    assert.equal(new URL(page.url()).pathname, job);
  }
  await page.goto(close);
  const struck = await hrefs("a[href$='/struck']");
  assert.equal(struck.length, 1);
  // It opens in a tab beside the form, so that nothing typed there is lost; this walk goes there in its own.
  const [beside] = await Promise.all([page.waitForEvent("popup"), walk.press(part("a[href$='/struck']"))]);
  await beside.close();
  await page.goto(struck[0]);
  await usable(page);
  await walk.follow(button("Save: struck").first());

  // Closed: the next week comes up, and finds nothing missing.
  await page.goto(close);
  assert.match(await text(), /Every change of this week is done\.[^]*No shoring is standing\./);
  await shot(page, "four-weeks-close");
  await walk.follow(button("Close week 2"));
  assert.match(await part("body").innerText(), /Week 2 is closed\./);
  console.log(`done and closed: ${changes.length} changes, ${walk.taps} taps`);
  await page.goto(job);
  assert.match(await part("body").innerText(), /Week 3 of 4/);
  await usable(page);
  await page.goto(`${job}/on-hand`);
  assert.doesNotMatch(await text(), /missing/);

  quiet(on);
  console.log("the next week's page comes up");
});
