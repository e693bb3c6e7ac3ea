// Random sessions of two phones against the real program on loopback: outbox.js in Node, on a database in memory. The
// server is killed while phones send, phones end while they send, questions come twice, late or never, clocks are off.
// Each session ends with every entry that was "saved on this phone", and every one that the server acknowledged, on the
// server exactly once, as it was saved, and with the same history on both phones and the server.
//
// `node sessions.mjs PROGRAM FOLDER [SEED]`: PROGRAM is the server's, FOLDER an empty folder for its data; SEED plays one
// session alone. Several are played at once, each in a job of its own, so that one kill meets many. What each step is,
// session_maker.mjs says. The chance that remains is the machine's: when the kill meets the server.

import assert from "node:assert/strict";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { deflateSync } from "node:zlib";
import { IDBFactory } from "fake-indexeddb";
import { field, isOpen, openOutbox, uuids } from "../../web/assets/outbox.js";
import { Server } from "./server.mjs";
import { codeFor, own, pair, post } from "./serving.mjs";
import { lots, session } from "./session_maker.mjs";

globalThis.BroadcastChannel = undefined; // it would keep Node awake

const [program, folder, only] = process.argv.slice(2);
const SESSIONS = Number(process.env.SESSIONS ?? 200);
const LANES = only ? 1 : 10;
// A server is let live so long before the next kill, in ms: else nothing would ever arrive.
const LIFE = 150;

/** One lock for each phone, as browsers have it (W3C Web Locks), as far as the outbox asks for one. */
function oneLock() {
  let last = Promise.resolve();
  return {
    request(_name, _how, work) {
      const mine = last.then(() => work({}));
      last = mine.catch(() => {});
      return mine;
    },
  };
}

/** The check of a PNG's chunk (W3C, third edition, annex D). */
function crc32(bytes) {
  let crc = ~0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return ~crc >>> 0;
}

/** A picture that no other is: a PNG (W3C, third edition) of one row, grey. */
function picture(...greys) {
  const chunk = (name, data) => {
    const [size, body, check] = [Buffer.alloc(4), Buffer.concat([Buffer.from(name), data]), Buffer.alloc(4)];
    size.writeUInt32BE(data.length);
    check.writeUInt32BE(crc32(body));
    return Buffer.concat([size, body, check]);
  };
  const head = Buffer.from([0, 0, 0, greys.length, 0, 0, 0, 1, 8, 0, 0, 0, 0]);
  const parts = [chunk("IHDR", head), chunk("IDAT", deflateSync(Buffer.from([0, ...greys]))), chunk("IEND", Buffer.alloc(0))];
  return Buffer.concat([Buffer.from("\x89PNG\r\n\x1a\n", "latin1"), ...parts]);
}

/** The server, which is killed for all phones at once, and comes back after a while. */
class House {
  constructor() {
    this.serving = new Server(program, join(folder, "data"), ["serve"]);
    this.draw = lots(20_261_126);
    this.back = null;
    this.since = 0;
  }

  /** Waits until it has been there for a while, so that some of what is sent arrives. */
  async lived() {
    while (this.back || Date.now() - this.since < LIFE) await (this.back ?? pause(20));
  }

  /** Kills it, if nobody else just did. */
  kill() {
    this.back ??= (async () => {
      await this.serving.kill();
      await pause(this.draw(60));
      await this.serving.start({ ready: false });
      this.since = Date.now();
      this.back = null;
    })();
  }

  /** A page's or a file's answer, as soon as there is one. */
  async get(cookie, path) {
    for (let tries = 0; ; tries += 1) {
      await this.back;
      const answer = await fetch(this.serving.origin + path, { headers: own(this.serving.origin, cookie) }).catch(() => null);
      const body = answer && (await answer.arrayBuffer().catch(() => null));
      if (answer?.status === 200 && body) return Buffer.from(body);
      assert.ok(tries < 200 && (!body || [429, 503].includes(answer.status)), `${path}: ${answer?.status}`);
      await pause(50);
    }
  }
}

/** A phone: its database outlives its pages. */
class Phone {
  constructor(house, cookie) {
    Object.assign(this, { house, cookie, idb: new IDBFactory(), off: 0, meets: "well", late: [], saved: [] });
  }

  /** A page of it, that can be ended. */
  page(locks) {
    const ended = new AbortController();
    const clock = () => new Date(Date.now() + this.off);
    const opening = openOutbox({ idb: this.idb, ask: (path, init) => this.ask(path, init, ended.signal), clock, locks });
    return opening.then((box) => Object.assign(box, { ended }));
  }

  async open() {
    this.locks = oneLock();
    this.box = await this.page(this.locks);
  }

  async ask(path, init, ended) {
    const { origin } = this.house.serving;
    const go = (signal) => fetch(origin + path, { ...init, headers: { ...init.headers, ...own(origin, this.cookie) }, signal });
    const heard = (answer) => answer.arrayBuffer();
    if (this.meets === "late") this.late.push(pause(20 + (this.saved.length % 5) * 25).then(() => go()).then(heard, () => {}));
    if (this.meets === "lost" || this.meets === "late") throw new TypeError("failed to fetch");
    if (this.meets === "twice") this.late.push(go().then(heard).catch(() => {}));
    const answer = await go(AbortSignal.any([init.signal, ended]));
    if (this.meets !== "unanswered") return answer;
    await heard(answer);
    throw new TypeError("failed to fetch");
  }

  /** Saves a form on the phone, and books what was promised. */
  async save(action, fields, photo) {
    const op_id = this.box.uuid();
    const all = [["op_id", op_id], ...Object.entries(fields)];
    const about = { kind: "", page: "", says: [] };
    await this.box.save({ action, fields: all }, about, photo ? { photo: { bytes: new Uint8Array(photo).buffer, type: "image/png" } } : {});
    this.saved.push({ op_id, fields, photo });
  }

  /** Lets go of what was sent, as phones do after a month: the next session need not carry it along. */
  async forget() {
    const db = await new Promise((is) => (this.idb.open("app", 1).onsuccess = ({ target }) => is(target.result)));
    const gone = db.transaction(["ops", "blobs"], "readwrite");
    for (const name of ["ops", "blobs"]) gone.objectStore(name).clear();
    await new Promise((done) => (gone.oncomplete = done));
    db.close();
  }

  /** Puts right what was refused. */
  async mend() {
    for (const of of await this.box.entries()) {
      if (of.state !== "rejected") continue;
      const right = field(of.item.form, "raw") === undefined ? { name: `Wall ${of.seq}` } : { raw: "98 3/8" };
      const op_id = this.box.uuid();
      await this.box.again(of, op_id, right);
      const kept = this.saved.find((one) => one.op_id === of.op_id);
      assert.ok(kept, `refused, and of another session: ${JSON.stringify(of.result)}`);
      kept.mended = true;
      this.saved.push({ op_id, fields: { ...kept.fields, ...right } });
    }
  }
}

/** What each step does. */
const PLAY = {
  async save({ phone, job, wall, uuid }, { what, n }) {
    const own = phone.walls.at(-1) ?? wall;
    const entity_id = uuid();
    if (what === "note") return phone.save(`${job}/note`, { entity_id, of: own, text: `Note ${n}` });
    if (what === "photo") return phone.save(`${job}/photo`, { entity_id, of: wall, caption: `Photo ${n}` }, picture(...Buffer.from(entity_id)));
    if (what === "rename") return phone.save(`${job}/wall/${wall}`, { "was.name": "Shared", "base.name": "1", name: `Wall ${n}` });
    if (what === "wall" || what === "nameless") {
      phone.walls.push(entity_id);
      return phone.save(`${job}/wall`, { entity_id, name: what === "wall" ? `Wall ${n}` : "" });
    }
    const raw = what === "refused" ? "98 1/3" : `${90 + n} 1/2`;
    return phone.save(`${job}/reading`, { entity_id, of: own, what: "length", by: "tape", raw });
  },
  async send({ phone }, { meets }) {
    phone.meets = meets;
    await phone.box.sync();
    phone.meets = "well";
  },
  async tabs({ phone }, { locks }) {
    const other = await phone.page(locks ? phone.locks : null);
    const mine = locks ? phone.box : await phone.page(null);
    await Promise.all([mine.sync(), other.sync()]);
    for (const page of [other, mine]) if (page !== phone.box) page.close();
  },
  async end({ phone }, { ms, arrives }) {
    const { box } = phone;
    const sending = box.sync().catch(() => {}); // its database goes away under it
    await pause(ms);
    box.close();
    if (!arrives) box.ended.abort();
    await phone.open();
    await sending;
  },
  async kill({ phone, house }, { ms }) {
    await house.lived();
    const sending = phone.box.sync();
    await pause(ms);
    house.kill();
    await sending;
    if (ms % 3 > 0) await house.back;
  },
  async clock({ phone }, { ms }) {
    phone.off = ms;
  },
  mend: ({ phone }) => phone.mend(),
};

/** Sends until nothing waits: the server may be killed by another session meanwhile. */
async function settle(phone, house, seed) {
  phone.off = 0;
  for (let tries = 0; tries < 100; tries += 1) {
    await house.back;
    await phone.mend();
    const round = await phone.box.sync(true);
    if (round?.done && !(await phone.box.entries()).some(isOpen)) return;
    await pause(round?.after ? Math.min(1000 * round.after, 3000) : 30);
  }
  assert.fail(`seed ${seed}: the phone can't send: ${JSON.stringify((await phone.box.entries()).filter(isOpen))}`);
}

/** Plays one. */
async function play(seed, { house, lead, phones }) {
  const kills = house.serving.kills;
  const uuid = uuids(() => new Date());
  const [id, wall] = [uuid(), uuid()];
  const job = `/jobs/${id}`;
  const setUp = async (path, fields) => {
    for (;;) {
      await house.back;
      const answer = await post(house.serving.origin, lead, path, fields).catch(() => null);
      if (answer?.status === 303) return;
    }
  };
  await setUp("/jobs", { op_id: uuid(), entity_id: id, name: `Session ${seed}` });
  await setUp(`${job}/wall`, { op_id: uuid(), entity_id: wall, name: "Shared" });
  for (const phone of phones) Object.assign(phone, { saved: [], walls: [], late: [] });
  for (const step of session(seed)) await PLAY[step.does]({ phone: phones[step.phone], house, job, wall, uuid }, step);
  await Promise.all(phones.map((phone) => settle(phone, house, seed)));
  await Promise.all(phones.flatMap((phone) => phone.late));
  await Promise.all(phones.map((phone) => settle(phone, house, seed)));
  assert.ok(house.serving.kills > kills, `seed ${seed}: the server was never killed`);
  await judge(seed, { house, lead, phones, id });
  for (const phone of phones) await phone.forget();
}

/** Holds what the server has against what the phones were told. */
async function judge(seed, { house, lead, phones, id }) {
  const { entries } = JSON.parse(await house.get(lead, `/jobs/${id}/job-file`));
  const there = entries.slice(2); // the job, and the wall that both have
  const counts = new Map();
  for (const { op_id } of there) counts.set(op_id, (counts.get(op_id) ?? 0) + 1);
  const promised = phones.flatMap((phone) => phone.saved.filter((of) => !of.mended).map((of) => of.op_id));
  assert.deepEqual([...counts.keys()].sort(), promised.sort(), `seed ${seed}: what was saved, and nothing else`);
  assert.equal(there.length, counts.size, `seed ${seed}: once each`);
  const now = new Date().toISOString();
  for (const [at, phone] of phones.entries()) {
    const kept = (await phone.box.entries()).filter((of) => of.item.job_id === id);
    assert.deepEqual(kept.map((of) => of.op_id), phone.saved.map((of) => of.op_id), `seed ${seed}: phone ${at} holds its history`);
    for (const { op_id, fields, photo, mended } of phone.saved) {
      const [of] = kept.filter((one) => one.op_id === op_id);
      if (mended) {
        assert.equal(of.state, "resolved");
        continue;
      }
      assert.ok(["sent", "conflict"].includes(of.state), `seed ${seed}: ${of.state}`);
      const [entry] = there.filter((one) => one.op_id === op_id);
      const said = Object.entries(fields).filter(([name]) => name !== "entity_id" && !name.includes("."));
      for (const [name, text] of said) assert.deepEqual([entry.fields[name]].flat(), [text], `seed ${seed}: ${name} of ${op_id}`);
      assert.equal(entry.entity_id ?? fields.entity_id, fields.entity_id ?? entry.entity_id);
      assert.equal(entry.author, of.item.author, `seed ${seed}: whose it is`);
      // a clock that is wrong puts nothing into the future
      assert.ok(entry.device_time <= now, `seed ${seed}: ${entry.device_time} is to come`);
      if (photo) assert.ok((await house.get(lead, `/jobs/${id}/photo/${fields.entity_id}/file`)).equals(photo), `seed ${seed}: the picture, as it was sent`);
    }
    // the phone's own order, for what nothing had to be put right before
    const notes = phone.saved.filter((of) => of.fields.text && kept.some((one) => one.op_id === of.op_id && one.item.depends.length === 0)).map((of) => of.op_id);
    assert.deepEqual(there.map((of) => of.op_id).filter((op_id) => notes.includes(op_id)), notes, `seed ${seed}: in the order of phone ${at}`);
  }
}

const house = new House();
process.once("exit", () => house.serving.kill()); // a walk that breaks leaves none behind
await house.serving.start();
const failures = [];
try {
  const began = Date.now();
  const { origin, code } = house.serving;
  const lead = await pair(origin, code);
  const lanes = [];
  for (let n = 0; n < LANES; n += 1) {
    const phones = [];
    for (const name of ["Ann", "Ben"]) phones.push(new Phone(house, await pair(origin, await codeFor(origin, lead, { name: `${name} ${n}` }))));
    for (const phone of phones) await phone.open();
    for (const phone of phones) assert.ok((await phone.box.who()).me);
    lanes.push({ house, lead, phones });
  }
  const paired = Date.now();
  const seeds = only ? [Number(only)] : Array.from({ length: SESSIONS }, (_, n) => n + 1);
  let n = 0;
  await Promise.all(
    lanes.map(async (lane) => {
      for (let seed = seeds.shift(); seed && failures.length === 0; seed = seeds.shift()) {
        await play(seed, lane).catch((error) => failures.push(error));
        n += 1;
      }
    }),
  );
  const seconds = (ms) => (ms / 1000).toFixed(0);
  console.log(`${n} sessions, ${house.serving.kills} kills of the server; phones let in ${seconds(paired - began)} s, played ${seconds(Date.now() - paired)} s`);
} finally {
  await house.back;
  await house.serving.kill();
}
for (const error of failures) console.error(error.stack);
if (failures.length > 0) process.exit(1);
console.log("each entry is there once");
process.exit();
