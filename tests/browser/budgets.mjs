// The tap budgets of the design, task by task, on the demo job: signed in, from this week, at the size of a small phone.
//
// `node budgets.mjs ORIGIN CODE on|off`: with scripts, or without. The walk fails where a task takes more.

import assert from "node:assert/strict";
import { PICTURE, Walk, main, phone, quiet, usable } from "./lib.mjs";
import { signIn } from "./sign_in.mjs";

const script = process.argv[4] !== "off";

await main(async ({ browser, origin, code }) => {
  const on = await phone(browser, { origin, script, acceptDownloads: true });
  const { page } = on;
  await signIn(page, code, script);
  await page.locator("main .rows a").first().tap();
  await page.waitForURL("**/jobs/*");
  const job = new URL(page.url()).pathname;
  const walk = new Walk(page);
  const link = (name) => page.getByRole("link", { name, exact: true }).first();
  const bar = (name) => page.locator(".bar").getByRole("link", { name, exact: true });
  const thisWeek = async () => {
    await page.goto(job);
    walk.restart();
  };
  const done = async (name, taps, fields) => {
    walk.budget(name, taps, fields);
    await usable(page, { script });
  };

  // May this be cut yet, what's next: on the first screen, above the bar.
  await thisWeek();
  const bottom = await page.locator(".bar").evaluate((element) => element.getBoundingClientRect().top);
  for (const part of [page.locator(".next"), page.locator(".v").first()]) {
    const box = await part.boundingBox();
    assert.ok(box.y >= 0 && box.y + box.height <= bottom, `ends at ${box.y + box.height}, the bar begins at ${bottom}`);
  }
  walk.budget("may this be cut yet, what's next", 0, 0);

  // A reading that a planned change still misses.
  await thisWeek();
  const asked = await page.locator("#nx").innerText();
  await walk.fill(page.locator(".next input[name=raw]"), "98 1/2");
  await walk.follow(page.locator(".next").getByRole("button", { name: "Save" }));
  assert.match(await page.locator(".note").innerText(), /Saved\./);
  await done(`a reading that a planned change misses (${asked})`, 2, 1);

  // A reading on any wall.
  await thisWeek();
  await walk.follow(bar("House"));
  await walk.follow(page.locator("#walls + .rows a[href*='/wall/']").last());
  await walk.press(bar("Measure"));
  await walk.fill(page.getByLabel("Reading", { exact: true }), "166 1/4");
  await walk.follow(page.getByRole("button", { name: "Save reading" }));
  await done("a reading on a wall", script ? 5 : 6, 1);

  // The same on a row further down: its own Measure.
  await thisWeek();
  await walk.follow(bar("House"));
  await walk.follow(page.locator("#walls + .rows a[href*='/wall/']").first());
  await walk.follow(page.locator(".rd a.btn").last());
  await walk.fill(page.getByLabel("Reading", { exact: true }), "98 3/4");
  await walk.follow(page.getByRole("button", { name: "Save reading" }));
  await done("a reading on another row of a wall", script ? 5 : 6, 1);

  // On a member, the last of the list.
  await thisWeek();
  await walk.follow(bar("House"));
  await walk.press(page.locator(".weeks").getByRole("link", { name: "Members" }));
  await walk.follow(page.locator("#members + .rows a").last());
  await walk.fill(page.getByLabel("Reading", { exact: true }), "5 3/4");
  await walk.follow(page.getByRole("button", { name: "Save reading" }));
  await done("a reading on a member", script ? 5 : 6, 1);

  // A note on the change at hand.
  await thisWeek();
  await walk.press(page.locator("#hand + .rows summary").filter({ hasText: "Note" }));
  await walk.fill(page.locator("#hand + .rows textarea"), "Plaster is thicker at the stove.");
  await walk.follow(page.getByRole("button", { name: "Save note" }));
  await done("a note on the change at hand", 3, 1);

  // A photo of it: the button opens the camera, and Save comes up with the picture.
  await thisWeek();
  await walk.photograph(page.locator("#hand + .rows label", { hasText: "Photo" }), PICTURE);
  await walk.follow(page.getByRole("button", { name: "Save photo" }));
  assert.equal(new URL(page.url()).pathname, job);
  await done("a photo of the change at hand", 2, 0);

  // A new room of four walls.
  await thisWeek();
  await walk.follow(bar("House"));
  await walk.press(bar("Add a room"));
  await walk.fill(page.getByLabel("Name"), "Porch");
  await walk.fill(page.getByLabel("Length", { exact: true }), "8'");
  await walk.fill(page.getByLabel("Width"), "12' 1 1/2\"");
  await walk.fill(page.getByLabel("Ceiling height"), "94 3/4");
  await walk.follow(page.getByRole("button", { name: "Save room and its walls" }));
  assert.match(await page.locator("main").innerText(), /Porch/);
  await done("a new room of four walls", 4, 4);

  // A new run of joists: section as found, spacing, first place, count, direction.
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
  // the direction: as in the last run of the room, so a press only where it differs
  await walk.press(run.getByLabel("Along it"));
  walk.fields += 1;
  await walk.follow(run.getByRole("button", { name: /Save/ }));
  await done("a new run of joists", 6, 6);

  // Plan: hang joists on a recorded beam.
  await thisWeek();
  await walk.follow(link("Plan another"));
  await walk.follow(page.getByRole("link", { name: /^Hang joists/ }));
  const hang = page.locator("form[data-kind='hang_joists.add']");
  assert.notEqual(await hang.getByLabel("On beam").inputValue(), "", "the beam is filled in");
  assert.ok((await hang.locator("[name=runs]:checked").count()) > 0, "the joists on its wall are ticked");
  await walk.follow(hang.getByRole("button", { name: "Save change" }));
  assert.match(page.url(), /hang_joists\/[0-9a-f-]{36}/);
  await done("plan: hang joists on a recorded beam", 5, 2);

  // And a post under it.
  await thisWeek();
  await walk.follow(link("Plan another"));
  await walk.follow(page.getByRole("link", { name: /^Set a post/ }));
  const post = page.locator("form[data-kind='set_post.add']");
  assert.notEqual(await post.getByLabel("Under", { exact: true }).inputValue(), "", "the beam is filled in");
  assert.notEqual(await post.getByLabel("Size").inputValue(), "", "the size is the last post's");
  await walk.fill(post.getByLabel("Its near face, from the zero end"), "14 1/2");
  await walk.press(post.getByLabel("Through the floor"));
  walk.fields += 1;
  await walk.follow(post.getByRole("button", { name: "Save change" }));
  await done("plan: set a post under it", 5, 2);

  // Why this many: from any line of materials or of the buy list.
  for (const [where, row] of [
    ["materials", ".rows li details > summary.need"],
    ["buy-list", ".buy details > summary"],
  ]) {
    await page.goto(`${job}/${where}`);
    walk.restart();
    await walk.press(page.locator(row).first());
    await page.locator(".calc").first().waitFor();
    assert.ok(await page.locator(".calc").first().isVisible());
    await done(`why this many, from ${where}`, 1, 0);
  }

  // A line bought just as listed.
  await page.goto(`${job}/buy-list`);
  const lines = await page.locator(".tick[aria-pressed=false]").count();
  walk.restart();
  await walk.follow(page.locator(".tick[aria-pressed=false]").first());
  assert.equal(await page.locator(".tick[aria-pressed=false]").count(), lines - 1);
  await done("a line bought just as listed", 1, 0);

  // A swap: one stick of another length for a line of several.
  await thisWeek();
  await walk.follow(bar("Buy list"));
  await walk.follow(page.locator(".rows li", { hasText: /2×4 .* ft/ }).locator("a.more").first());
  const swap = page.locator("form#swap");
  await walk.fill(swap.getByLabel("Or only another length"), "20'");
  await walk.fill(swap.getByLabel("How many"), "1");
  await walk.follow(swap.getByRole("button", { name: "Save swap" }));
  assert.match(await page.locator("main").innerText(), /20 ft instead/);
  await done("a swap", 4, 2);

  // A receipt of ten such lines.
  await thisWeek();
  await walk.follow(bar("Buy list"));
  for (let n = 0; n < 10; n += 1) await walk.follow(page.locator(".tick[aria-pressed=false]").first());
  await walk.fill(page.getByLabel("Receipt total $"), "640.12");
  await walk.follow(page.getByRole("button", { name: "Save receipt" }));
  assert.match(page.url(), /receipt\//);
  await done("a receipt of ten such lines", 13, 1);

  // A return: one of what was bought.
  await thisWeek();
  await walk.follow(bar("Buy list"));
  await walk.follow(page.locator(".rows li", { has: page.locator(".tick[aria-pressed=true]") }).locator("a.more").first());
  const back = page.locator("form#back");
  await walk.fill(back.getByLabel("How many went back"), "1");
  await walk.follow(back.getByRole("button", { name: "Save return" }));
  assert.match(await page.locator("main").innerText(), /Returned/);
  await done("a return", 5, 1);

  // An order sent, and one short when it came: counted for the record.
  await thisWeek();
  await walk.follow(bar("Buy list"));
  await walk.follow(link("Order"));
  await walk.follow(page.locator("form[data-kind='order.add'] button").last());
  await walk.follow(page.getByRole("button", { name: "Send order" }));
  const came = page.locator("form#came fieldset").first().locator("input[type=text]").first();
  await walk.fill(came, String(Number(await came.inputValue()) - 1));
  await walk.follow(page.getByRole("button", { name: "Save what came" }));
  await done("an order sent and received short", 14, 2);

  // This week's CSV for the yard.
  await thisWeek();
  const loading = page.waitForEvent("download");
  await walk.press(link("CSV for the yard"));
  const file = await loading;
  assert.match(file.suggestedFilename(), /\.csv$/);
  await done("this week's CSV for the yard", 2, 0);

  // A change done.
  await thisWeek();
  const change = await page.locator("#hand + .rows b").first().innerText();
  await walk.follow(page.locator("#hand + .rows").getByRole("link", { name: "Done", exact: true }));
  await walk.follow(page.getByRole("button", { name: "Save: done" }).first());
  await page.goto(`${job}/changes`);
  const row = page.locator(".rows li", { hasText: change }).first();
  assert.match(await row.innerText(), /Done/);
  await done(`a change done (${change})`, 2, 0);

  quiet(on);
  console.log("every task within its budget");
});
