// Random sessions of two phones in Chromium, the same as sessions.mjs plays in Node, with pages, forms and a worker: the
// server is killed while phones send, pages and browsers end while they send, questions come twice, late or never, clocks
// are off. Each session ends with every entry that was saved on the server exactly once, and nothing left to send.
//
// `node sessions_in_chromium.mjs PROGRAM FOLDER [SEED|FROM-TO]`: FOLDER/data is a filled data folder; SEED plays one session
// alone, FROM-TO those, so that many can be split. Ten are played, or as many as SESSIONS says. What each step is, session_maker.mjs says; what needs an eye on the page
// (mending what was refused, two answers) is in refused.mjs and two_phones.mjs.

import assert from "node:assert/strict";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { PICTURE } from "./lib.mjs";
import { Phone, main, steady, until } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";
import { session } from "./session_maker.mjs";

const [first, end] = (process.argv[4] ?? `1-${process.env.SESSIONS ?? 10}`).split("-").map(Number);
const SEEDS = Array.from({ length: (end ?? first) - first + 1 }, (_, at) => first + at);
const LENGTH = 12;
const isSync = ({ path }) => path.startsWith("/sync/v1/ops") || path.startsWith("/sync/v1/blobs/");

/** Submits a form as one of the page's, and resolves when the phone's database has it. */
function submit(phone, form) {
  return phone.page.evaluate(async ({ action, kind, fields, picture }) => {
    const made = document.createElement("form");
    Object.assign(made, { method: "post", action });
    made.dataset.kind = kind;
    for (const [name, value] of Object.entries(fields)) made.append(Object.assign(document.createElement("input"), { name, value }));
    if (picture) {
      const of = new DataTransfer();
      of.items.add(new File([Uint8Array.from(atob(picture), (c) => c.charCodeAt(0))], "wall.png", { type: "image/png" }));
      const field = Object.assign(document.createElement("input"), { type: "file", name: "picture" });
      field.files = of.files;
      made.append(field);
    }
    document.querySelector("main").append(made);
    // before its script runs a page posts as any page does, and the phone keeps nothing of it
    while (document.querySelector("[data-outbox]").hidden) await new Promise((later) => setTimeout(later, 5));
    made.requestSubmit();
    const request = indexedDB.open("app", 1);
    const db = await new Promise((ok) => (request.onsuccess = () => ok(request.result)));
    for (;;) {
      const all = db.transaction("ops").objectStore("ops").getAll();
      await new Promise((ok) => (all.onsuccess = ok));
      const has = all.result.find((of) => of.item.form.fields.some(([name, value]) => fields[name] === value && /unlike any other/.test(value)));
      if (has) return has.op_id;
      await new Promise((later) => setTimeout(later, 5));
    }
  }, form);
}

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const phones = [];
  for (const name of ["ann", "ben"]) {
    const wire = ends(await new Wire(server).open());
    const phone = ends(await new Phone(join(folder, name), wire.origin).open());
    const job = await phone.signIn(name === "ann" ? server.code : await server.fresh());
    phones.push(Object.assign(phone, { wire, job, saved: [] }));
  }
  const { job } = phones[0];
  const wall = /\/wall\/([0-9a-f-]{36})/.exec(await (await phones[0].context.request.get(`${phones[0].origin}${job}/house`)).text())[1];
  const change = await phones[0].page.locator("#hand + .rows form [name=of]").first().getAttribute("value");

  /** Opens the job's page. */
  const open = (phone) => steady(() => phone.page.goto(job, { waitUntil: "domcontentloaded" }));
  const nudge = (phone) => phone.page.evaluate(() => dispatchEvent(new Event("online"))).catch(() => {});
  /** What the next questions of a phone's outbox meet; gives a promise that the first was met. */
  const meeting = (phone, does) => {
    let met = () => {};
    const first = Promise.race([new Promise((ok) => (met = ok)), pause(1500)]);
    phone.wire.meets = (asked) => {
      if (!isSync(asked)) return undefined;
      met();
      return does(asked);
    };
    return first;
  };
  const well = (phone) => (phone.wire.meets = () => undefined);
  const pass = (phone, { method, path, body, headers }) => phone.wire.pass({ method, path, headers }, body).catch(() => {});

  const DOES = {
    async save(phone, { what, n }, seed) {
      const text = `Session ${seed}, ${n}: unlike any other`;
      const note = { action: `${job}/note`, kind: "note.add", fields: { of: change, text } };
      const form =
        what === "wall" ? { action: `${job}/wall`, kind: "wall.add", fields: { name: text } }
        : what === "reading" ? { action: `${job}/reading`, kind: "reading.add", fields: { of: wall, what: "length", raw: "98 1/2", by: "tape", place: text } }
        : what === "photo" ? { action: `${job}/photo`, kind: "photo.add", fields: { of: change, caption: text }, picture: PICTURE.buffer.toString("base64") }
        : note;
      phone.saved.push([form.kind, await submit(phone, form)]);
    },
    async send(phone, { meets }) {
      const first = meeting(phone, (asked) => {
        if (meets === "lost" || meets === "unanswered") return meets;
        if (meets === "twice") return () => pass(phone, asked).then(() => undefined);
        if (meets === "late") pause(200).then(() => pass(phone, asked));
        return meets === "late" ? "lost" : undefined;
      });
      await nudge(phone);
      await first;
      await pause(60);
      well(phone);
    },
    async end(phone, { ms, arrives }, seed) {
      const first = meeting(phone, () => (arrives ? "unanswered" : "lost"));
      await nudge(phone);
      await Promise.race([first, pause(ms)]);
      if (seed % 5 === 1) await phone.kill();
      else {
        const [before] = [phone.page, (phone.page = await phone.context.newPage())];
        await before.close();
      }
      well(phone);
      await open(phone);
    },
    async kill(phone, { ms }) {
      nudge(phone);
      await pause(ms);
      await server.kill();
      await pause(50);
      await server.start();
    },
    async tabs(phone) {
      const other = await phone.context.newPage();
      await other.goto(job, { waitUntil: "domcontentloaded" });
      await Promise.all([phone.page, other].map((page) => page.evaluate(() => dispatchEvent(new Event("online")))));
      await pause(60);
      await other.close();
    },
    async clock(phone, { ms }) {
      await phone.clockOff(ms);
      await open(phone);
    },
    async mend() {},
  };

  let steps = 0;
  for (const seed of SEEDS) {
    const before = phones.map((phone) => phone.saved.length);
    for (const phone of phones) await open(phone);
    for (const step of session(seed, { length: LENGTH })) {
      const phone = phones[step.phone];
      // where a save led, or a page that is on its way there, is left for the page that all begin on
      await phone.page.waitForLoadState("domcontentloaded");
      for (let tries = 0; ; tries += 1) {
        try {
          await DOES[step.does](phone, step, seed);
          break;
        } catch (error) {
          if (tries > 2 || !/context was destroyed|navigat|Target .*closed/i.test(error.message)) throw error;
          await open(phone);
          // it may have been saved before its page went on
          if (step.does === "save" && (await phone.entries()).some((of) => Object.values(of.fields).includes(`Session ${seed}, ${step.n}: unlike any other`))) {
            phone.saved.push([(await phone.entries()).at(-1).kind, (await phone.entries()).at(-1).op_id]);
            break;
          }
        }
      }
      steps += 1;
    }
    for (const phone of phones) {
      well(phone);
      await steady(() => phone.clockOff(0));
      await open(phone);
      await phone.toSend(0);
    }
    const record = await phones[0].record();
    for (const [at, phone] of phones.entries()) {
      const saved = phone.saved.slice(before[at]);
      for (const [kind, op_id] of saved) assert.equal(record.filter((one) => one.op_id === op_id && one.kind === kind).length, 1, `seed ${seed}: ${kind} ${op_id} once`);
      const kept = await phone.entries();
      assert.deepEqual(kept.map((of) => of.op_id).sort(), phone.saved.map(([, id]) => id).sort(), `seed ${seed}: the phone holds its history`);
      assert.ok(kept.every((of) => of.state === "sent"), `seed ${seed}: nothing waits`);
      assert.deepEqual(kept.map((of) => of.seq), kept.map((_, nth) => nth + 1), `seed ${seed}: numbers grow by one`);
    }
    // nothing came that nobody saved, and each picture is there
    const ours = record.filter((one) => Object.values(one.fields).flat().some((text) => text.startsWith?.(`Session ${seed},`)));
    assert.equal(ours.length, phones.reduce((n, phone, at) => n + phone.saved.length - before[at], 0), `seed ${seed}: none twice`);
    for (const photo of ours.filter((one) => one.kind === "photo.add")) {
      await until("its picture is there", async () => (await phones[0].context.request.get(`${phones[0].origin}${job}/photo/${photo.entity_id}/full`)).status() === 200);
    }
    assert.deepEqual(await phones[1].record(), await phones[0].record(), `seed ${seed}: one history`);
    console.log(`session ${seed}: ${ours.length} entries`);
  }
  console.log(`${SEEDS.length} sessions of two phones, ${steps} steps, ${phones[0].saved.length + phones[1].saved.length} entries: each once`);
}, "every saved entry is there once", { minutes: 60 });
