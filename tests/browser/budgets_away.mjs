// The tap budgets of the design once more, with the server out of reach: what can be entered and looked up away from it takes
// no more taps than beside it. What needs the server by its nature (a yard's CSV, sending an order) is not here.
//
// `node budgets_away.mjs PROGRAM FOLDER`: FOLDER/data is the demo's data folder.

import assert from "node:assert/strict";
import { join } from "node:path";
import { PICTURE, Walk } from "./lib.mjs";
import { Phone, main, until } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const wire = ends(await new Wire(server).open());
  const phone = ends(await new Phone(join(folder, "phone"), wire.origin).open());
  const job = await phone.signIn(server.code);
  const { page } = phone;
  const walk = new Walk(page);
  const link = (name) => page.getByRole("link", { name, exact: true }).first();
  const bar = (name) => page.locator(".bar").getByRole("link", { name, exact: true });
  const thisWeek = async () => {
    await page.goto(job);
    walk.restart();
  };
  let kept = 0;
  const save = async (button) => {
    await walk.press(button);
    await phone.toSend((kept += 1));
  };
  const done = (name, taps, fields) => walk.budget(`away: ${name}`, taps, fields);
  // one line bought before, so that there is something to take back
  await page.goto(`${job}/buy-list`);
  await Promise.all([page.waitForEvent("load"), page.locator(".tick[aria-pressed=false]").first().tap()]);
  /** Opens the list until it says so: a server that is slow to answer is stood in for by the saved page. */
  const listUntil = (what, is) => until(what, async () => {
    await page.goto(`${job}/buy-list`);
    return is();
  });
  const booked = page.locator(".rows li", { has: page.locator(".tick[aria-pressed=true]") }).locator("a.more").first();
  await listUntil("it is booked", async () => (await booked.count()) > 0);
  const back = await booked.getAttribute("href");
  const saved = (path) => page.evaluate(async (path) => (await (await caches.match(path))?.text()) ?? "", path);
  await until("the saved pages show it", async () => /aria-pressed="true"/.test(await saved(`${job}/buy-list`)) && /Save return/.test(await saved(back)));

  // What is ticked away from the server is added up as the server adds it, once it has it.
  wire.meets = () => "lost";
  await page.goto(`${job}/buy-list`);
  await phone.says("Server out of reach.");
  const till = page.locator("[data-till]");
  assert.ok(await till.isHidden());
  const dollars = (text) => [...text.matchAll(/icked \$([\d,]+\.\d\d)/g)].reduce((sum, [, one]) => sum + Math.round(100 * one.replaceAll(",", "")), 0);
  const before = dollars(await page.locator("body").innerText());
  for (const n of [1, 2]) {
    await page.locator(".tick[aria-pressed=false]").first().tap();
    await phone.toSend(n);
  }
  /** The phone's own sum, once all that waits is drawn. */
  const shown = async (rows) => {
    await page.locator("[data-op]").nth(rows - 1).waitFor();
    await page.waitForTimeout(500);
    return till.innerText();
  };
  const once = await shown(2);
  await page.locator(".tick[aria-pressed=true]").first().tap(); // booked before: taken back
  await phone.toSend(3);
  await page.locator(".tick[aria-pressed=false]").first().tap();
  await phone.toSend(4);
  await page.locator("[data-op] >> xpath=ancestor::li[@id] >> .tick[aria-pressed=true]").last().tap(); // and one of those that wait
  await phone.toSend(5);
  const said = await shown(5);
  const waiting = Math.round(100 * said.replace(/^[^]*\$/, ""));
  assert.ok(waiting !== before && once !== said, `${once}, then ${waiting}`);
  wire.meets = () => undefined;
  await page.goto("/outbox");
  await phone.toSend(0);
  await listUntil("the server’s own sum is shown", async () => Math.abs(dollars(await page.locator("body").innerText()) - waiting) <= 1);
  assert.ok(await till.isHidden());
  const bought = await booked.getAttribute("href");
  await page.goto(job);
  const copies = [`${job}/buy-list`, await bar("Buy list").getAttribute("href")];
  await until("the saved pages are of now", async () => {
    const sums = await Promise.all(copies.map(async (copy) => dollars(await saved(copy))));
    return sums.every((sum) => Math.abs(sum - waiting) <= 1) && /Save return/.test(await saved(bought));
  });
  wire.meets = () => "lost";

  await thisWeek();
  const bottom = await page.locator(".bar").evaluate((element) => element.getBoundingClientRect().top);
  await phone.says("Server out of reach.");
  const box = await page.locator(".next").boundingBox();
  assert.ok(box.y >= 0 && box.y + box.height <= bottom, `ends at ${box.y + box.height}, the bar begins at ${bottom}`);
  walk.budget("away: what’s next", 0, 0);

  await thisWeek();
  await walk.fill(page.locator(".next input[name=raw]"), "98 1/2");
  await save(page.locator(".next").getByRole("button", { name: "Save" }));
  await page.locator("li[data-state=queued]", { hasText: "98 1/2" }).first().waitFor();
  done("a reading that a planned change misses", 2, 1);

  await thisWeek();
  await walk.follow(bar("House"));
  await walk.follow(page.locator("#walls + .rows a[href*='/wall/']").last());
  await walk.press(bar("Measure"));
  await walk.fill(page.getByLabel("Reading", { exact: true }), "166 1/4");
  await save(page.getByRole("button", { name: "Save reading" }));
  done("a reading on a wall", 5, 1);

  // a row's own Measure: about that very spot, as the row says
  await thisWeek();
  await walk.follow(bar("House"));
  await walk.follow(page.locator("#walls + .rows a[href*='/wall/']").first());
  const measure = page.locator(".rd a.btn").last();
  const asked = Object.fromEntries(new URL(await measure.getAttribute("href"), wire.origin).searchParams);
  await walk.follow(measure);
  await walk.fill(page.getByLabel("Reading", { exact: true }), "98 3/4");
  await save(page.getByRole("button", { name: "Save reading" }));
  const { fields } = (await phone.entries()).at(-1);
  for (const [name, value] of Object.entries(asked)) assert.equal(fields[name] ?? "", value, name);
  done("a reading on another row of a wall", 5, 1);

  await thisWeek();
  await walk.follow(bar("House"));
  await walk.press(page.locator(".weeks").getByRole("link", { name: "Members" }));
  await walk.follow(page.locator("#members + .rows a").last());
  await walk.fill(page.getByLabel("Reading", { exact: true }), "5 3/4");
  await save(page.getByRole("button", { name: "Save reading" }));
  done("a reading on a member", 5, 1);

  await thisWeek();
  await walk.press(page.locator("#hand + .rows summary").filter({ hasText: "Note" }));
  await walk.fill(page.locator("#hand + .rows textarea"), "Plaster is thicker at the stove.");
  await save(page.getByRole("button", { name: "Save note" }));
  done("a note on the change at hand", 3, 1);

  await thisWeek();
  await walk.photograph(page.locator("#hand + .rows label", { hasText: "Photo" }), PICTURE);
  await save(page.getByRole("button", { name: "Save photo" }));
  done("a photo of the change at hand", 2, 0);

  await thisWeek();
  await walk.follow(bar("House"));
  await walk.press(bar("Add a room"));
  await walk.fill(page.getByLabel("Name"), "Porch");
  await walk.fill(page.getByLabel("Length", { exact: true }), "8'");
  await walk.fill(page.getByLabel("Width"), "12' 1 1/2\"");
  await walk.fill(page.getByLabel("Ceiling height"), "94 3/4");
  await save(page.getByRole("button", { name: "Save room and its walls" }));
  await page.locator("li[data-state=queued]", { hasText: "Porch" }).waitFor();
  done("a new room of four walls", 4, 4);

  await thisWeek();
  await walk.follow(bar("House"));
  await walk.follow(page.locator("#rooms + .rows a").first());
  await walk.press(page.locator("summary", { hasText: "Add a run" }));
  const run = page.locator("form[data-kind='run.add']");
  await walk.fill(run.getByLabel("Thickness as found"), "1 7/8");
  await walk.fill(run.getByLabel("Depth as found"), "7 5/8");
  await walk.fill(run.getByLabel("Spacing on centre"), "16");
  await walk.fill(run.getByLabel("How many"), "9");
  await walk.fill(run.getByLabel("First place from the wall"), "7 1/4");
  await walk.press(run.getByLabel("Along it"));
  walk.fields += 1;
  await save(run.getByRole("button", { name: /Save/ }));
  done("a new run of joists", 6, 6);

  await thisWeek();
  await walk.follow(link("Plan another"));
  await walk.follow(page.getByRole("link", { name: /^Hang joists/ }));
  await save(page.locator("form[data-kind='hang_joists.add']").getByRole("button", { name: "Save change" }));
  done("plan: hang joists on a recorded beam", 5, 2);

  await thisWeek();
  await walk.follow(link("Plan another"));
  await walk.follow(page.getByRole("link", { name: /^Set a post/ }));
  const post = page.locator("form[data-kind='set_post.add']");
  await walk.fill(post.getByLabel("Its near face, from the zero end"), "14 1/2");
  await walk.press(post.getByLabel("Through the floor"));
  walk.fields += 1;
  await save(post.getByRole("button", { name: "Save change" }));
  done("plan: set a post under it", 5, 2);

  for (const [where, row] of [
    ["materials", ".rows li details > summary.need"],
    ["buy-list", ".buy details > summary"],
  ]) {
    await page.goto(`${job}/${where}`);
    walk.restart();
    await walk.press(page.locator(row).first());
    assert.ok(await page.locator(".calc").first().isVisible());
    done(`why this many, from ${where}`, 1, 0);
  }

  await thisWeek();
  await walk.follow(bar("Buy list"));
  await walk.follow(page.locator(".rows li", { hasText: /2×4 .* ft/, has: page.locator(".tick[aria-pressed=false]") }).locator("a.more").first());
  const swap = page.locator("form#swap");
  await walk.fill(swap.getByLabel("Or only another length"), "20'");
  await walk.fill(swap.getByLabel("How many"), "1");
  await save(swap.getByRole("button", { name: "Save swap" }));
  done("a swap", 4, 2);

  await thisWeek();
  await walk.follow(bar("Buy list"));
  await walk.press(page.getByRole("link", { name: "Bought", exact: true }));
  await walk.follow(page.locator("#bought + .rows a.more").first());
  const form = page.locator("form#back");
  await walk.fill(form.getByLabel("How many went back"), "1");
  await save(form.getByRole("button", { name: "Save return" }));
  done("a return", 5, 1);

  await thisWeek();
  await walk.follow(bar("Buy list"));
  for (let n = 0; n < 10; n += 1) {
    const open = page.locator(".tick[aria-pressed=false]");
    const left = await open.count();
    await save(open.first());
    // the next one is pressed once this one shows as ticked
    await until("the line is ticked", async () => (await open.count()) < left);
    if (n === 0) {
      const [taps, counted] = [walk.taps, walk.fields];
      assert.deepEqual([taps, counted], [2, 0], "a line bought just as listed: one tap on the list");
    }
  }
  await walk.fill(page.getByLabel("Receipt total $"), "640.12");
  await save(page.getByRole("button", { name: "Save receipt" }));
  done("a receipt of ten such lines", 13, 1);

  await thisWeek();
  await walk.follow(page.locator("#hand + .rows").getByRole("link", { name: "Done", exact: true }));
  await save(page.getByRole("button", { name: "Save: done" }).first());
  done("a change done", 2, 0);

  // The server is back: nothing of all that was refused.
  wire.meets = () => undefined;
  await page.goto(job);
  await phone.toSend(0);
  const states = (await phone.entries()).map((of) => [of.kind, of.state, of.result?.message ?? ""]).filter(([, state]) => state !== "sent");
  assert.deepEqual(states, [], "all of it was taken in");
}, "every task within its budget, away from the server");
