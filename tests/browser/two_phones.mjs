// Two phones at one record: what both changed while away is shown as two answers, readings only add up, one that comes late
// stands where it was taken, and a wrong clock is corrected and told. Then two tabs of one phone.
//
// `node two_phones.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder. Source of the cases: the sync contract, rules 4, 5
// and 6, and its row "two tabs".

import assert from "node:assert/strict";
import { join } from "node:path";
import { PICTURE } from "./lib.mjs";
import { Phone, main, steady, times, until } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";

const YEAR = 365 * 86_400_000;

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const phones = [];
  for (const name of ["ann", "ben"]) {
    const wire = ends(await new Wire(server).open());
    const phone = ends(await new Phone(join(folder, name), wire.origin).open());
    await phone.signIn(name === "ann" ? server.code : await server.fresh());
    const away = () => (wire.meets = () => "lost");
    const back = async () => {
      wire.meets = () => undefined;
      await steady(() => phone.page.goto(phone.job));
    };
    phones.push(Object.assign(phone, { wire, away, back }));
  }
  const [ann, ben] = phones;

  // One field, two phones: both open the form, both are away, both save.
  const house = await (await ann.context.request.get(`${ann.origin}${ann.job}/house`)).text();
  const [wall] = new RegExp(`${ann.job}/wall/[0-9a-f-]{36}`).exec(house);
  const change = async (phone, name, note) => {
    await phone.page.goto(`${wall}/edit`);
    phone.away();
    await phone.page.getByLabel("Name", { exact: true }).fill(name);
    await phone.page.locator("main form textarea[name=note]").fill(note);
    await phone.page.locator("main form[data-kind='wall.edit'] button").last().tap();
    await phone.toSend(1);
  };
  await change(ann, "Wall by Ann", "Ann’s note");
  await change(ben, "Wall by Ben", "Ben’s note");
  await ann.back();
  await ann.toSend(0);
  await ben.back();
  await ben.says("1 to put right.");
  // Also on a page from the phone, as where the server is slow to bring its own.
  ben.wire.meets = ({ path }) => (path === ben.job ? "held" : undefined);
  await ben.page.goto(ben.job);
  await ben.says(/1 to put right\. As of .* from this phone\./);
  ben.wire.drop();
  ben.wire.meets = () => undefined;
  await ben.page.goto("/outbox");
  const differs = ben.page.locator("[data-entries] > [data-state=conflict]");
  await differs.waitFor();
  assert.match(await differs.innerText(), /Differs from server[^]*wrote “Wall by Ann”[^]*you wrote “Wall by Ben”/);
  // both see both values
  for (const phone of phones) {
    await phone.page.goto(`${phone.job}/differs`);
    const said = await phone.page.locator("main").innerText();
    for (const value of ["Wall by Ann", "Wall by Ben"]) assert.ok(said.includes(value), said);
  }
  const nameOnRecord = async () => (await (await ann.context.request.get(ann.origin + wall)).text()).match(/<h1>([^<]*)/)[1];
  assert.match(await nameOnRecord(), /Wall by Ann/, "nothing is overwritten");
  await ben.page.goto("/outbox");
  await ben.page.getByRole("button", { name: "Use mine" }).tap();
  await ben.page.waitForFunction(() => document.querySelectorAll("[data-entries] > [data-state=conflict]").length === 0);
  await ben.toSend(0);
  await until("Ben’s stands", async () => /Wall by Ben/.test(await nameOnRecord()));
  console.log("one field on two phones: both values shown, mine by a press");

  // Readings of one spot: Ben's is taken first and comes last. Ann's stays the newest.
  const read = async (phone, raw) => {
    await phone.page.locator("#r-what").selectOption("ceiling_height");
    await phone.page.getByLabel("Reading", { exact: true }).fill(raw);
    await phone.page.getByRole("button", { name: "Save reading" }).tap();
  };
  const ofRaw = async (raw) => (await ann.record()).filter((one) => one.kind === "reading.add" && one.fields.raw === raw);
  await ben.page.goto(wall);
  ben.away();
  await read(ben, "101 1/8");
  await ben.toSend(1);
  // Clocks are compared in whole seconds, with the time that a question takes in them: the two are taken well apart.
  await new Promise((later) => setTimeout(later, 5000));
  await ann.page.goto(wall);
  await Promise.all([ann.page.waitForEvent("load"), read(ann, "101 3/8")]);
  await ben.back();
  await ben.toSend(0);
  const [[early], [late]] = [await ofRaw("101 1/8"), await ofRaw("101 3/8")];
  assert.ok(early.device_time < late.device_time, `${early.device_time} was before ${late.device_time}`);
  assert.ok(!early.clock_off_s && !late.clock_off_s, "both clocks were right");
  const row = async (phone) => {
    await phone.page.goto(wall);
    return phone.page.locator("main").innerText();
  };
  assert.match(await row(ann), /101 1\/8[^]*101 3\/8|101 3\/8[^]*101 1\/8/, "both stand");
  assert.match(await row(ann), /measure again/i, "they differ");

  // Ben's clock is three years ahead, then four years behind: the reading is on the record by the server's time, and marked.
  for (const [off, raw] of [[3 * YEAR, "101 5/8"], [-4 * YEAR, "101 7/8"]]) {
    await ben.page.goto(wall);
    await ben.clockOff(off);
    await ben.page.goto(wall);
    ben.away();
    await read(ben, raw);
    await ben.toSend(1);
    await ben.back();
    await ben.toSend(0);
    const [reading] = await ofRaw(raw);
    const away = Math.abs(Date.parse(reading.device_time) - Date.now());
    assert.ok(away < 600_000, `${reading.device_time} is now`);
    assert.ok(Math.abs(reading.clock_off_s + off / 1000) < 600, `off by ${reading.clock_off_s} s`);
  }
  // neither displaces the one that counts
  assert.match(await row(ann), /Ceiling height\s+8' 5 3\/8"/);
  await ann.page.goto(`${wall}/readings`);
  assert.match(await ann.page.locator("main").innerText(), /clock was off by 1095 days[^]*clock was off by 1460 days|clock was off by 1460 days[^]*clock was off by 1095 days/);
  await ben.clockOff(0);
  await ben.back();
  const seqs = (await ben.entries()).map((of) => of.seq);
  assert.deepEqual(seqs, seqs.map((_, at) => at + 1), "numbers grow by one, whatever the clock says");
  assert.deepEqual((await ben.entries()).map((of) => of.op_id), (await ben.entries()).map((of) => of.op_id).sort(), "ids too");
  console.log("a late reading and two wrong clocks: each in its place, and told");

  // Two yards, both phones away before anything is ticked, both buy the first line. Ben's slip is begun on his phone alone: the
  // paper's photo and the total wait behind the ticks.
  for (const phone of phones) {
    await steady(() => phone.page.goto(`${phone.job}/buy-list`));
    await phone.toSend(0);
    phone.away();
  }
  const tick = async (phone, n) => {
    await phone.page.locator(".tick[aria-pressed=false]").first().tap();
    await phone.toSend(n);
    return (await phone.entries()).at(-1).item.form.fields;
  };
  await tick(ann, 1);
  const of = Object.fromEntries(await tick(ben, 1));
  await ben.page.getByText("Receipt of what was ticked away from the server").tap();
  const slip = () => ben.page.locator("details[open] li", { hasText: of.supplier || "No supplier" }).first();
  await slip().locator("input[type=file]").setInputFiles(PICTURE);
  await slip().getByRole("button", { name: "Save photo" }).tap();
  await ben.toSend(2);
  await ben.page.getByText("Receipt of what was ticked away from the server").tap();
  await slip().locator("[name=total]").fill("12.34");
  await slip().getByRole("button", { name: /^Save(?! photo)/ }).tap();
  await ben.toSend(3);
  await ben.back();
  await ben.toSend(0);
  await ann.back();
  await ann.toSend(0);
  const is = (one, name) => [one.fields[name]].flat()[0];
  const record = await ann.record();
  const bought = record.filter((one) => one.kind === "bought.add" && is(one, "item") === of.item).slice(-2);
  assert.notEqual(is(bought[0], "receipt"), is(bought[1], "receipt"), "each phone has its slip");
  const closed = record.filter((one) => one.kind === "receipt.edit" && is(one, "total") === "12.34").at(-1);
  const paper = record.filter((one) => one.kind === "photo.add").at(-1);
  assert.equal(is(paper, "of"), closed.entity_id, "the paper is of Ben's receipt");
  assert.ok(bought.some((one) => is(one, "receipt") === closed.entity_id), "and so is his line");
  await steady(() => ann.page.goto(`${ann.job}/buy-list`));
  await until("Ann's list says that Ben bought it, too", async () => /[Bb]ought twice/.test(await ann.page.locator("main").innerText()));
  console.log("two yards: both lines stand, one slip was begun away with its paper and its total");

  // Two tabs of Ann's: one count, one sends at a time, each entry once.
  const other = await ann.context.newPage();
  await ann.page.goto(ann.job);
  await other.goto(ann.job);
  await ann.toSend(0, other);
  ann.away();
  await ann.note("From the first tab");
  await ann.toSend(1, other);
  await ann.note("From the second tab", other);
  for (const page of [ann.page, other]) await ann.toSend(2, page);
  // Both are opened anew before the signal is back: the question of a page that is left goes on at the wire, beside the next.
  for (const page of [ann.page, other]) {
    await page.reload();
    await ann.toSend(2, page);
  }
  let [now, most] = [0, 0];
  ann.wire.meets = (asked) => {
    if (asked.path !== "/sync/v1/ops") return undefined;
    now += 1;
    most = Math.max(most, now);
    return async () => {
      await new Promise((later) => setTimeout(later, 300));
      now -= 1;
    };
  };
  for (const page of [ann.page, other]) await page.evaluate(() => dispatchEvent(new Event("online")));
  for (const page of [ann.page, other]) await ann.toSend(0, page);
  assert.equal(most, 1, "one sends at a time");
  const last = await ann.record();
  for (const tab of ["first", "second"]) assert.equal(times(last, "note.add", "text", `From the ${tab} tab`), 1);
  console.log("two tabs: one count, one sender, each once");
}, "two phones and two tabs agree");
