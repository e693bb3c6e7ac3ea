// What the server refuses when it hears of it late: the entry stays on the phone with the reason, what rests on it waits, and
// once it is put right both are in, once. What a person gives up is given up by two presses.
//
// `node refused.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder. Source of the cases: the sync contract's `invalid` and
// `depends_on_rejected`.

import assert from "node:assert/strict";
import { join } from "node:path";
import { usable } from "./lib.mjs";
import { Phone, main } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const wire = ends(await new Wire(server).open());
  const phone = ends(await new Phone(join(folder, "phone"), wire.origin).open());
  await phone.signIn(server.code);
  const { page } = phone;
  const rows = (state) => page.locator(`[data-entries] > [data-state=${state}]`);
  const members = async (name) => (await phone.record()).filter((one) => one.kind === "member.add" && one.fields.name === name);

  await page.goto(`${phone.job}/member`);
  wire.meets = () => "lost";
  const form = page.locator("form[data-kind='member.add']");
  const add = async (name, { depth, start } = {}) => {
    await form.getByLabel("Name").fill(name);
    if (depth) await form.locator("[name='reading.depth']").fill(depth);
    if (start) await phone.choose(form.locator("[name=start_at]"), start);
    await form.getByRole("button").last().tap();
    await page.locator("li[data-state=queued]", { hasText: name }).waitFor();
    await phone.over();
  };
  await add("Beam, misread", { depth: "7 1/3" });
  await add("Post below it", { start: "Beam, misread (waiting)" });
  // a server that lets it wait: what is typed meanwhile stays
  wire.meets = () => "held";
  await form.getByLabel("Name").fill("Given up");
  await form.locator("[name='reading.depth']").fill("9 1/3");
  await form.getByRole("button").last().tap();
  await page.locator("li[data-state=queued]", { hasText: "Given up" }).waitFor();
  await form.getByLabel("Name").fill("Typed next");
  await phone.over();
  assert.equal(await form.getByLabel("Name").inputValue(), "Typed next");
  await phone.toSend(3);

  wire.meets = () => undefined;
  await page.goto("/outbox");
  await rows("rejected").nth(1).waitFor();
  await rows("blocked").waitFor();
  assert.match(await rows("rejected").first().innerText(), /Beam, misread[^]*Needs fixing[^]*character/);
  await usable(page);
  await phone.toSend(3);
  assert.deepEqual([(await members("Beam, misread")).length, (await members("Post below it")).length], [0, 0]);
  // asked again, nothing changes
  await page.getByRole("button", { name: "Send now" }).tap();
  await rows("blocked").waitFor();
  await phone.toSend(3);

  // Put right in the server's own form.
  await rows("rejected").first().getByRole("button", { name: "Fix it" }).tap();
  await page.locator(".err", { hasText: "character" }).first().waitFor();
  await usable(page);
  const depth = page.locator("form[data-kind='member.add'] [name='reading.depth']");
  assert.equal(await depth.inputValue(), "7 1/3");
  await depth.fill("7 1/4");
  await Promise.all([page.waitForEvent("load"), page.locator("form[data-kind='member.add']").getByRole("button").last().tap()]);
  await phone.toSend(1);
  const [beam] = await members("Beam, misread");
  const [post] = await members("Post below it");
  assert.deepEqual(post.fields.start_at, beam.entity_id, "what rested on it names it");
  for (const name of ["Beam, misread", "Post below it"]) assert.equal((await members(name)).length, 1, name);

  // Given up: two presses, and it is no more.
  await Promise.all([page.waitForResponse(/sync\/v1\/ops$/), page.goto("/outbox")]);
  await phone.says("1 to put right."); // nothing is drawn anew from here on
  await page.waitForLoadState("networkidle");
  await rows("rejected").getByRole("button", { name: "Discard" }).tap();
  await page.getByRole("button", { name: "Discard for good" }).tap();
  await phone.toSend(0);
  await page.getByText("Nothing waits.").waitFor();
  assert.equal((await members("Given up")).length, 0);

  // What is typed comes back where it was typed, also where many fields have one name.
  const kept = page.locator("[name=offcut]");
  const [studs] = (await phone.record()).filter((one) => one.kind === "studs.add");
  await page.goto(`${phone.job}/studs/${studs.entity_id}/done`);
  await kept.nth(1).fill("14");
  await page.waitForTimeout(1000); // a draft is kept when typing has paused
  const done = page.url();
  await page.goto("about:blank");
  await page.goto(done);
  await page.waitForFunction(() => document.querySelectorAll("[name=offcut]")[1].value === "14");
  assert.deepEqual(new Set(await kept.evaluateAll((all) => all.filter((_, nth) => nth !== 1).map((one) => one.value))), new Set([""]));
}, "refused, put right and given up: as a person decided");
