// The outbox in Node, on a database in memory and against a server in memory: what it promises whatever happens on the way.
//
// `node outbox.mjs` runs all; `node outbox.mjs SEED` one random session. The contract: ids by RFC 9562 (UUID version 7);
// everything else by the sync contract that server/src/sync.rs speaks.

import assert from "node:assert/strict";
import { IDBFactory } from "fake-indexeddb";
import { isOpen, openOutbox, uuids } from "../../web/assets/outbox.js";
import { FakeServer } from "./fake_server.mjs";
import { lots } from "./session_maker.mjs";

globalThis.BroadcastChannel = undefined; // it would keep Node awake

/** A lock as browsers have them (W3C Web Locks), as far as the outbox asks for one. */
function oneLock() {
  let [last, n] = [Promise.resolve(), 0];
  return {
    async request(_name, { ifAvailable }, work) {
      if (ifAvailable && n > 0) return work(null);
      n += 1;
      const before = last;
      let release = () => {};
      last = new Promise((done) => (release = done));
      await before;
      return work({}).finally(() => {
        n -= 1;
        release();
      });
    },
  };
}

/** A phone: its storage outlives its pages. */
class Phone {
  constructor(server, name) {
    Object.assign(this, { server, name, idb: new IDBFactory(), locks: oneLock(), shift: 0, saved: [] });
  }

  async open() {
    const clock = () => new Date(Date.now() + this.shift);
    this.box = await openOutbox({ idb: this.idb, ask: this.server.ask(this.name), clock, locks: this.locks });
    return this.box;
  }

  /** The page is gone: whatever it was doing, nobody hears of it; its lock is free. */
  async kill() {
    this.box.close();
    this.locks = oneLock();
    return this.open();
  }

  async save(fields, more = {}) {
    const { uuid } = this.box;
    const all = Object.entries({ op_id: uuid(), entity_id: uuid(), ...fields });
    const about = { kind: "reading.add", page: "/jobs/j/wall", says: ["98 1/2", "Wall A"] };
    const entry = await this.box.save({ action: "/jobs/j/reading", fields: all }, about, more);
    this.saved.push(entry.op_id);
    return entry;
  }

  async states() {
    return (await this.box.entries()).map((of) => of.state);
  }
}

async function signedIn(server = new FakeServer(), name = "phone") {
  const phone = new Phone(server, name);
  const box = await phone.open();
  await box.who();
  return { server, phone, box };
}

const photo = (size) => ({ bytes: new ArrayBuffer(size), type: "image/jpeg" });

const TESTS = {
  async "ten thousand ids are sorted and unique, also with the clock set back five years"() {
    let shift = 0;
    const uuid = uuids(() => new Date(Date.now() + shift));
    const made = [];
    for (let n = 0; n < 10_000; n += 1) {
      if (n === 3000) shift = -5 * 365 * 86_400_000;
      made.push(uuid());
    }
    assert.deepEqual(made, [...made].sort());
    assert.equal(new Set(made).size, made.length);
    for (const id of made) assert.match(id, /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    const first = parseInt(made[0].slice(0, 13).replace("-", ""), 16);
    assert.ok(Math.abs(first - Date.now()) < 60_000, "its first 48 bits are the clock's milliseconds");
  },

  async "ids go on where the last page stopped, also with the clock set back between"() {
    const { phone } = await signedIn();
    const before = (await phone.save({})).op_id;
    phone.shift = -86_400_000;
    await phone.kill();
    assert.ok(phone.box.uuid() > before);
  },

  async "an entry is kept before anything is sent, and its number grows by one"() {
    const { server, phone, box } = await signedIn();
    server.meets = () => "lost";
    await phone.save({ raw: "98 1/2" });
    await phone.save({ raw: "98 3/8" }, { photo: photo(9) });
    const again = await phone.kill();
    const kept = await again.entries();
    assert.deepEqual(kept.map((of) => [of.seq, of.state]), [[1, "queued"], [2, "queued"]]);
    assert.equal(kept[1].item.form.fields.find(([name]) => name === "raw")[1], "98 3/8");
    assert.equal((await again.picture(kept[1].item.blobs[0].blob_id)).bytes.byteLength, 9);
    assert.equal(kept[0].item.author, "person of phone");
    assert.ok(box);
  },

  async "what can not be written whole is not kept, and its number is not used up"() {
    const { phone } = await signedIn();
    const taken = (await phone.save({})).op_id;
    // an id that is taken makes the whole transaction fail
    await assert.rejects(phone.save({ op_id: taken }, { photo: photo(5) }));
    assert.equal((await phone.save({})).seq, 2);
    assert.equal((await phone.box.entries()).length, 2);
  },

  async "a lost reply is asked for again, and the entry is there once"() {
    const { server, phone, box } = await signedIn();
    await phone.save({});
    server.meets = (path) => (path.endsWith("/ops") ? "unanswered" : undefined);
    assert.deepEqual(await box.sync(), { after: undefined });
    assert.deepEqual(await phone.states(), ["queued"]);
    server.meets = () => undefined;
    assert.equal((await box.sync()).done, true);
    assert.deepEqual([await phone.states(), server.order.length, server.counts.replays], [["sent"], 1, 1]);
  },

  async "what waits goes in batches of fifty, in order"() {
    const { server, phone, box } = await signedIn();
    for (let n = 0; n < 120; n += 1) await phone.save({ raw: String(n) });
    await box.sync();
    assert.deepEqual(server.order, phone.saved);
    assert.equal(server.counts.posts, 3);
  },

  async "no batch is over 256 kB"() {
    const { server, phone, box } = await signedIn();
    for (let n = 0; n < 6; n += 1) await phone.save({ text: "x".repeat(90_000) });
    await box.sync();
    assert.deepEqual(server.order, phone.saved);
    assert.equal(server.counts.tooLarge, 0);
  },

  async "a batch that is too large is halved, down to the one entry that is refused"() {
    const { server, phone, box } = await signedIn();
    server.meets = (path, init) => (path.endsWith("/ops") && init.body.includes("big") ? new Response("{}", { status: 413 }) : undefined);
    for (const raw of ["1", "2", "big", "4"]) await phone.save({ raw });
    await box.sync();
    assert.deepEqual(await phone.states(), ["sent", "sent", "rejected", "sent"]);
    assert.match((await box.entries())[2].result.message, /Too big/);
    // by the server's own limit
    server.meets = () => undefined;
    server.maxBatch = 3;
    for (let n = 0; n < 20; n += 1) await phone.save({});
    await box.sync();
    assert.equal(server.order.length, 23);
  },

  async "an older backup put back gets what it lost, with its pictures"() {
    const { server, phone, box } = await signedIn();
    await phone.save({});
    await box.sync();
    const backup = server.backup();
    for (let n = 0; n < 4; n += 1) await phone.save({}, n === 2 ? { photo: photo(7) } : {});
    await box.sync();
    assert.equal(server.blobs.size, 1);
    server.restore(backup);
    assert.equal(server.order.length, 1);
    // nothing new waits on the phone: it is the question alone that tells
    await box.sync();
    assert.deepEqual(server.order, phone.saved);
    assert.equal(server.blobs.size, 1);
  },

  async "a refused entry stays, what rests on it waits, and a mended one brings both in"() {
    const { server, phone, box } = await signedIn();
    const wall = await phone.save({ raw: "bad" });
    const id = wall.item.form.fields.find(([name]) => name === "entity_id")[1];
    const reading = await phone.save({ of: id, raw: "5" });
    assert.deepEqual(reading.item.depends, [id]);
    await box.sync();
    assert.deepEqual(await phone.states(), ["rejected", "blocked"]);
    const fields = [["op_id", box.uuid()], ["entity_id", id], ["raw", "6"], ["replaces", wall.op_id]];
    const mended = await box.save({ action: wall.item.form.action, fields }, wall.about);
    assert.equal(mended.item.replaces, wall.op_id);
    await box.sync();
    assert.deepEqual(await phone.states(), ["resolved", "sent", "sent"]);
    assert.deepEqual(server.order, [mended.op_id, reading.op_id]);
  },

  async "a difference is kept until a person settles it, and mine is posted on the newer revision"() {
    const { server, phone, box } = await signedIn();
    const mine = await phone.save({ raw: "differs" });
    await box.sync();
    assert.deepEqual(await phone.states(), ["conflict"]);
    const again = await box.again(await box.entry(mine.op_id), box.uuid(), { "base.raw": "5" });
    await box.sync();
    assert.deepEqual(await phone.states(), ["resolved", "sent"]);
    assert.deepEqual(server.order, [again.op_id]);
    assert.equal(again.item.form.fields.filter(([name]) => name === "op_id").length, 1);
  },

  async "what a person settled stays settled when the server has to hear of it again"() {
    const { server, phone, box } = await signedIn();
    await phone.save({});
    await box.sync();
    const backup = server.backup();
    const mine = await phone.save({ raw: "differs" });
    await box.sync();
    await box.change(mine.op_id, { state: "discarded" });
    server.restore(backup);
    await box.sync();
    assert.deepEqual(await phone.states(), ["sent", "discarded"]);
    assert.ok(server.ops.has(mine.op_id), "the server knows of it again");
  },

  async "signed out, nothing goes and nothing is lost; a shut out phone keeps what it has not sent"() {
    const { server, phone, box } = await signedIn();
    await phone.save({}, { photo: photo(3) });
    await box.sync();
    server.signedOut = true;
    await phone.save({});
    assert.equal((await box.sync()).stop, "sign_in");
    assert.equal(await box.meta("stop"), "sign_in");
    assert.deepEqual(await phone.states(), ["sent", "queued"]);
    server.signedOut = false;
    server.revoked.add("phone");
    assert.equal((await box.sync()).stop, "device_revoked");
    assert.deepEqual(await phone.states(), ["queued"]);
    server.revoked.clear();
    assert.equal((await box.sync()).done, true);
    assert.equal(server.order.length, 2);
  },

  async "a phone that was paired anew sends what it kept under its new name"() {
    const { server, phone, box } = await signedIn();
    await phone.save({});
    const asDevice = server.take;
    server.take = (device, body, bytes) => asDevice.call(server, "paired anew", body, bytes);
    const me = server.answer;
    server.answer = (device, path, init) => me.call(server, path.endsWith("/me") ? "paired anew" : device, path, init);
    assert.equal((await box.sync()).done, undefined);
    await box.change(phone.saved[0], { item: { ...(await box.entry(phone.saved[0])).item, author: "person of paired anew" } });
    assert.equal((await box.sync()).done, true);
    assert.deepEqual(await phone.states(), ["sent"]);
  },

  async "another server gets nothing"() {
    const { server, phone, box } = await signedIn();
    await phone.save({});
    server.id = "server-2";
    assert.equal((await box.sync()).stop, "wrong_server");
    assert.deepEqual(await phone.states(), ["queued"]);
    const reopened = await phone.kill();
    assert.equal((await reopened.sync()).stop, "wrong_server");
  },

  async "a busy server says how long to wait, and a broken one changes nothing"() {
    const { server, phone, box } = await signedIn();
    await phone.save({});
    for (const [status, after] of [[503, 7], [429, 3], [500, 0]]) {
      server.meets = (path) => (path.endsWith("/ops") ? new Response("{}", { status, headers: { "retry-after": String(after) } }) : undefined);
      assert.deepEqual(await box.sync(), { after });
    }
    assert.deepEqual([await phone.states(), await box.meta("stop")], [["queued"], null]);
    for (const [status, code] of [[400, "bad_request"], [421, "wrong_origin"], [426, "protocol_unsupported"]]) {
      server.meets = (path) => (path.endsWith("/ops") ? new Response(JSON.stringify({ code }), { status }) : undefined);
      assert.equal((await box.sync()).stop, code);
    }
    assert.deepEqual(await phone.states(), ["queued"]);
  },

  async "two pages send one at a time, and what goes twice all the same is there once"() {
    const { server, phone, box } = await signedIn();
    for (let n = 0; n < 5; n += 1) await phone.save({});
    const other = await openOutbox({ idb: phone.idb, ask: server.ask("phone"), locks: phone.locks });
    const both = await Promise.all([box.sync(), other.sync()]);
    assert.equal(both.filter((one) => one === null).length, 1);
    assert.deepEqual([server.order.length, server.counts.replays], [5, 0]);
    const [without, too] = [await openOutbox({ idb: phone.idb, ask: server.ask("phone"), locks: null }), await openOutbox({ idb: phone.idb, ask: server.ask("phone"), locks: null })];
    for (let n = 0; n < 5; n += 1) await phone.save({});
    await Promise.all([without.sync(), too.sync()]);
    assert.deepEqual([server.order.length, server.counts.replays > 0], [10, true]);
  },

  async "a picture that is refused is told of, and kept"() {
    const { server, phone, box } = await signedIn();
    const of = await phone.save({}, { photo: photo(4) });
    server.meets = (path) => (path.includes("/blobs/") ? new Response(JSON.stringify({ message: "This is no picture." }), { status: 415 }) : undefined);
    await box.sync();
    const { state, result } = await box.entry(of.op_id);
    assert.deepEqual([state, result.message], ["rejected", "This is no picture."]);
    assert.equal((await box.picture(of.item.blobs[0].blob_id)).bytes.byteLength, 4);
  },

  async "an entry waits until its picture is there, also where that was not said"() {
    const { server, phone, box } = await signedIn();
    const of = await phone.save({}, { photo: photo(4) });
    const blob = of.item.blobs[0].blob_id;
    server.meets = (path) => (path.includes("/blobs/") ? "lost" : undefined);
    await box.sync();
    assert.deepEqual(await phone.states(), ["pending"]);
    assert.ok(isOpen(await box.entry(of.op_id)), "it counts as not sent: signing out asks");
    const kept = JSON.parse(await box.rescue());
    assert.deepEqual([kept.ops.map((one) => one.op_id), Object.keys(kept.blobs)], [[of.op_id], [blob]]);
    // it came, and nobody was told: the server lacks nothing by then, and is asked all the same
    server.meets = (path) => (path.includes("/blobs/") ? "unanswered" : undefined);
    await box.sync();
    assert.deepEqual([await phone.states(), server.blobs.size], [["pending"], 1]);
    server.meets = () => undefined;
    await box.sync();
    assert.deepEqual([await phone.states(), server.blobs.size], [["sent"], 1]);
  },

  async "what stands in a refused photo's place has its picture, unless it brings another"() {
    const { phone, box } = await signedIn();
    const refused = await phone.save({ raw: "bad", caption: "Sill" }, { photo: photo(4) });
    await box.sync();
    assert.deepEqual(await phone.states(), ["rejected"]);
    const put = async (replaces, more) => box.save({ action: "/jobs/j/photo", fields: [["replaces", replaces], ["caption", "Sill, west"], ["raw", "bad"]] }, refused.about, more);
    const mended = await put(refused.op_id, {});
    assert.equal((await box.picture(mended.item.blobs[0].blob_id)).bytes.byteLength, 4);
    const again = await put(mended.op_id, { photo: photo(5) });
    assert.equal((await box.picture(again.item.blobs[0].blob_id)).bytes.byteLength, 5);
    assert.equal(again.item.blobs.length, 1);
  },

  async "a picture that the server does not expect yet keeps no other from going"() {
    const { server, phone, box } = await signedIn();
    const first = await phone.save({}, { photo: photo(4) });
    const second = await phone.save({}, { photo: photo(5) });
    server.meets = (path) => (path.endsWith(first.item.blobs[0].blob_id) ? new Response("{}", { status: 404 }) : undefined);
    assert.equal((await box.sync()).done, true);
    assert.deepEqual([...server.blobs.keys()], [second.item.blobs[0].blob_id]);
    server.meets = () => undefined;
    await box.sync();
    assert.equal(server.blobs.size, 2);
  },

  async "what was sent long ago goes, what was not stays"() {
    const { server, phone } = await signedIn();
    let { box } = phone;
    const sent = await phone.save({}, { photo: photo(4) });
    await box.sync();
    server.signedOut = true;
    await phone.save({}, { photo: photo(4) });
    server.signedOut = false;
    server.meets = (path, init) => (init.body?.includes?.(phone.saved[1]) ? "lost" : undefined);
    phone.shift = 365 * 86_400_000; // a clock that is wrong moves nothing
    await box.sync();
    assert.ok(await box.picture(sent.item.blobs[0].blob_id));
    server.days = 15;
    await box.change(phone.saved[1], { state: "blocked" });
    box = await phone.kill(); // each page looks once
    await box.sync();
    assert.equal(await box.picture(sent.item.blobs[0].blob_id), undefined);
    server.days = 31;
    box = await phone.kill();
    await box.sync();
    assert.deepEqual((await box.entries()).map((of) => of.op_id), [phone.saved[1]]);
    assert.ok(await box.picture((await box.entries())[0].item.blobs[0].blob_id));
  },

  async "the rescue file holds what is not sent, pictures and all"() {
    const { server, phone, box } = await signedIn();
    await phone.save({});
    await box.sync();
    server.meets = () => "lost";
    const kept = await phone.save({ raw: "7" }, { photo: { bytes: Uint8Array.of(0, 255, 7).buffer, type: "image/png" } });
    const file = JSON.parse(await box.rescue());
    assert.deepEqual(file.ops, [kept.item]);
    const { type, base64 } = file.blobs[kept.item.blobs[0].blob_id];
    assert.deepEqual([type, [...Buffer.from(base64, "base64")]], ["image/png", [0, 255, 7]]);
  },

  async "a draft is kept by its form, and goes with what is saved"() {
    const { phone, box } = await signedIn();
    await box.keepDraft("form", { raw: ["", "98"] });
    await box.keepDraft("other", { raw: ["", "99"] });
    const again = await phone.kill();
    assert.deepEqual((await again.draft("form")).values, { raw: ["", "98"] });
    await phone.save({}, { draft: "form" });
    assert.equal(await again.draft("form"), undefined);
    assert.ok(await again.draft("other"));
  },
};

/** Two phones, kills, lost questions and replies, other pages, wrong clocks, backups: in the end each entry is there once. */
async function session(seed) {
  const draw = lots(seed);
  const server = new FakeServer();
  const phones = [new Phone(server, "one"), new Phone(server, "two")];
  for (const phone of phones) await (await phone.open()).who();
  let backup = server.backup();
  for (let step = 0; step < 30; step += 1) {
    const phone = phones[draw(2)];
    const what = draw(12);
    server.meets = () => ["lost", "unanswered", new Response("{}", { status: 503 }), undefined, undefined, undefined][draw(6)];
    if (what < 5) await phone.save({ raw: String(step) }, draw(4) ? {} : { photo: photo(10 + step) });
    else if (what < 8) await phone.box.sync();
    else if (what === 8) {
      // ended in the middle of sending: the old page's questions still arrive, and nobody hears the answers
      const ended = phone.box.sync().catch(() => {});
      for (let waits = draw(6); waits > 0; waits -= 1) await new Promise((later) => setImmediate(later));
      await phone.kill();
      await ended;
    } else if (what === 9) {
      const other = await openOutbox({ idb: phone.idb, ask: server.ask(phone.name), locks: draw(2) ? phone.locks : null });
      await Promise.all([phone.box.sync(), other.sync()]);
      other.close();
    } else if (what === 10) phone.shift = (draw(3) - 1) * 3 * 365 * 86_400_000;
    else if (draw(2)) backup = server.backup();
    else server.restore(backup);
  }
  server.meets = () => undefined;
  for (const phone of phones) {
    phone.shift = 0;
    for (let tries = 0; tries < 3; tries += 1) await phone.box.sync();
  }
  const wanted = phones.flatMap((phone) => phone.saved);
  assert.deepEqual([...server.order].sort(), [...wanted].sort(), `seed ${seed}: each saved entry once`);
  for (const phone of phones) {
    const kept = await phone.box.entries();
    assert.deepEqual(kept.map((of) => of.op_id), phone.saved, `seed ${seed}: the phone holds its history`);
    assert.ok(!kept.some(isOpen), `seed ${seed}: nothing waits`);
    for (const { size, blob_id } of kept.flatMap((of) => of.item.blobs)) assert.equal(server.blobs.get(blob_id), size, `seed ${seed}: the picture`);
  }
}

const [only] = process.argv.slice(2);
if (only) await session(Number(only));
else {
  let failed = 0;
  for (const [name, test] of Object.entries(TESTS)) {
    await test().catch((error) => {
      failed += 1;
      console.error(`${name}: ${error.stack}`);
    });
  }
  const SESSIONS = Number(process.env.SESSIONS ?? 200);
  for (let seed = 1; seed <= SESSIONS; seed += 1) {
    await session(seed).catch((error) => {
      failed += 1;
      console.error(error.stack);
    });
  }
  if (failed > 0) process.exit(1);
  console.log(`${Object.keys(TESTS).length} promises, ${SESSIONS} random sessions: all kept`);
}
