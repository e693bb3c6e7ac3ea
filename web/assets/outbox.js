// The outbox: what was entered on this phone, kept in its database until the server has it, and sent until it is there
// once. It knows no page. An entry holds a form as it was submitted; the server makes of it what it makes of any form.
/** @import { Entry, Heard, Outbox, Result, Round, Stores, World } from "./outbox.d.ts" */

const world = globalThis;
const STORES = { meta: "key", ops: "op_id", blobs: "blob_id", drafts: "key" };
const NAMES = Object.keys(STORES);
const BATCH = 50;
const BATCH_BYTES = 256e3;
const DAY = 864e5;
// Entries, drafts and pictures that were sent, and how many bytes of these.
const KEEP = { ops: 30 * DAY, rest: 14 * DAY, bytes: 300e6 };

/** Ids that sort as they were made, also where the clock goes back. @param {() => Date} clock @param {number} last ms */
export function uuids(clock, last = -1) {
  let ms = last + 1;
  let n = 0;
  return () => {
    const now = clock().getTime();
    if (now > ms) [ms, n] = [now, 0];
    else if (++n > 0xfff) [ms, n] = [ms + 1, 0];
    const [random] = crypto.getRandomValues(new BigUint64Array(1));
    const tail = (1n << 63n) | (random >> 2n);
    const hex = ms.toString(16).padStart(12, "0") + (0x7000 | n).toString(16) + tail.toString(16);
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  };
}

/** The value of a field in a form. @param {Entry["item"]["form"]} form @param {string} name */
export const field = (form, name) => form.fields.find(([is]) => is === name)?.[1];

/** A form's fields with these over what they held. @param {Entry["item"]["form"]} form @param {Record<string, string>} put @returns {[string, string][]} */
export const over = (form, put) => [...form.fields.filter(([name]) => !(name in put)), ...Object.entries(put)];

/** Whether the server has yet to take an entry, or its picture. @param {Entry} of */
export const isOpen = (of) => /queued|blocked|rejected|pending/.test(of.state);

/** Whether a person has to look at it. @param {Entry} of */
export const isBad = (of) => /rejected|conflict/.test(of.state);

/** @param {IDBRequest} request @returns {Promise<any>} */
const got = (request) =>
  new Promise((ok, no) => {
    request.onsuccess = () => ok(request.result);
    request.onerror = () => no(request.error);
  });

/** Opens the phone's database; rejects where there is none to be had. @param {World} world @returns {Promise<Outbox>} */
export async function openOutbox({ idb = indexedDB, ask = fetch.bind(world), clock = () => new Date(), locks = world.navigator?.locks } = {}) {
  const opening = idb.open("app", 1);
  opening.onupgradeneeded = () => {
    for (const [name, keyPath] of Object.entries(STORES)) {
      const store = opening.result.createObjectStore(name, { keyPath });
      if (name !== "ops") continue;
      store.createIndex("seq", "seq", { unique: true });
      store.createIndex("state", "state");
    }
  };
  /** @type {IDBDatabase} */
  const db = await got(opening);
  db.onversionchange = () => db.close();
  /** @type {Set<IDBTransaction>} */
  const running = new Set();
  /** @param {string|string[]} of @param {IDBTransactionMode} [mode] */
  function begin(of, mode) {
    const tx = db.transaction(of, mode, { durability: "strict" });
    running.add(tx);
    tx.addEventListener("complete", () => running.delete(tx));
    return tx;
  }
  // WebKit keeps a page that one leaves, with what it had begun: that would hold up every later page's writing.
  world.addEventListener?.("pagehide", () => Promise.allSettled([...running].map(async (tx) => tx.abort())));

  /** One transaction, on disk when it resolves. @template T @param {(to: Stores) => Promise<T>} work */
  async function write(work) {
    const tx = begin(NAMES, "readwrite");
    const done = new Promise((ok, no) => {
      tx.oncomplete = ok;
      tx.onabort = () => no(tx.error);
    });
    const to = /** @type {Stores} */ (Object.fromEntries(NAMES.map((name) => [name, tx.objectStore(name)])));
    const out = work(to).catch((error) => {
      if (!tx.error) tx.abort();
      throw error;
    });
    return (await Promise.all([out, done]))[0];
  }
  /** @param {string} name */
  const read = (name) => begin(name).objectStore(name);
  /** @param {string} key */
  const meta = async (key, store = read("meta")) => (await got(store.get(key)))?.value;
  /** @param {IDBObjectStore} store @param {Record<string, unknown>} of */
  const put = (store, of) => Object.entries(of).forEach(([key, value]) => store.put({ key, value }));
  const now = () => clock().toISOString();
  const uuid = uuids(clock, await meta("ms"));
  const room = world.BroadcastChannel && new BroadcastChannel("outbox");
  /** @type {Set<() => void>} */
  const listeners = new Set();
  const hear = () => listeners.forEach((one) => one());
  // A channel does not echo to its sender.
  const tell = () => (hear(), room?.postMessage(1));
  if (room) room.onmessage = hear;
  let known = false;

  /** @type {Outbox} */
  const box = {
    uuid,
    meta,
    on: (listener) => listeners.add(listener),
    close: () => (room?.close(), db.close()),
    entries: () => got(read("ops").index("seq").getAll()),
    entry: (id) => got(read("ops").get(id)),
    picture: (id) => got(read("blobs").get(id)),
    note: (of) => write(async ({ meta }) => put(meta, of)),
    draft: (key) => got(read("drafts").get(key)),
    keepDraft: (key, values) => write(async ({ drafts }) => drafts.put({ key, at: now(), values })),

    // Entry, picture and number in one transaction, and the draft gone; where there is no room, nothing of it is kept.
    async save(form, about, { photo, draft = "", replaces = field(form, "replaces") } = {}) {
      const entry = await write(async (to) => {
        const { person_id: author } = await meta("me", to.meta);
        const seq = ((await meta("seq", to.meta)) ?? 0) + 1;
        /** @type {Entry[]} */
        const all = await got(to.ops.getAll());
        const old = all.find((of) => replaces && (of.op_id === replaces || of.fix === replaces));
        const adds = all.filter((of) => isOpen(of) && of !== old).map((of) => field(of.item.form, "entity_id") ?? "");
        const names = (/** @type {string} */ id) => form.action.includes(id) || form.fields.some(([name, is]) => name !== "entity_id" && is === id);
        const depends = [...new Set(adds.filter((id) => id && names(id)))];
        const op_id = field(form, "op_id") ?? uuid();
        const device_time = now();
        // what stands in a photo's place has its picture, where it brings no other
        const had = old?.item.blobs[0]?.blob_id;
        photo ||= had && (await got(to.blobs.get(had)));
        const blobs = photo ? [{ blob_id: uuid(), type: photo.type, size: photo.bytes.byteLength }] : [];
        const job_id = /^\/jobs\/([^/?]+)/.exec(form.action)?.[1] ?? null;
        /** @type {Entry} */
        const entry = {
          op_id, seq, about, state: "queued", result: null, at: device_time,
          item: { v: 1, op_id, seq, author, job_id, form, blobs, depends, replaces: old?.op_id ?? null, device_time, tz_offset_min: -clock().getTimezoneOffset() || 0 },
        };
        if (old) to.ops.put({ ...old, state: "resolved" });
        to.ops.add(entry);
        for (const { blob_id, type } of blobs) to.blobs.add({ blob_id, op_id, type, bytes: photo?.bytes, at: now(), state: "waiting" });
        to.drafts.delete(draft);
        put(to.meta, { seq, ms: parseInt(op_id.replace("-", ""), 16) });
        return entry;
      });
      tell();
      return entry;
    },
    async change(id, change) {
      await write(async (to) => to.ops.put({ ...(await got(to.ops.get(id))), ...change }));
      tell();
    },
    // The same form under another id, in the old entry's place.
    again({ op_id: replaces, about, item }, op_id, more = {}) {
      return box.save({ ...item.form, fields: over(item.form, { ...more, op_id, replaces }) }, about, { replaces });
    },
    async who() {
      const { status, body, after } = await call("/sync/v1/me", {}, 20);
      if (status !== 200 || !body?.device_id) return failed(status, body, after);
      const was = (await meta("me")) ?? body;
      if (was.server_id !== body.server_id) return stop("wrong_server");
      // saved pages hold what one person in one role may see
      if (was.person_id + was.role !== body.person_id + body.role) await clearCaches();
      known = true;
      await box.note({ me: body, stop: null, contact: now() });
      return { me: body };
    },
    // One page at a time, where the browser has locks; without them an entry may go twice, and is there once.
    sync: async (patient) => (locks ? locks.request("outbox", { ifAvailable: !patient }, (lock) => lock && round()) : round()),
    async rescue() {
      const ops = (await box.entries()).filter(isOpen).map((of) => of.item);
      /** @type {Record<string, {type: string, base64: string}>} */
      const blobs = {};
      for (const { blob_id, type } of ops.flatMap((of) => of.blobs)) {
        const bytes = new Uint8Array((await box.picture(blob_id))?.bytes ?? []);
        blobs[blob_id] = { type, base64: btoa(bytes.reduce((text, byte) => text + String.fromCharCode(byte), "")) };
      }
      return JSON.stringify({ protocol: 1, device_id: (await meta("me"))?.device_id, device_time: now(), ops, blobs });
    },
    async wipe() {
      await clearCaches();
      box.close();
      await got(idb.deleteDatabase("app"));
    },
  };

  /** Asks the server; status 0 where it can't be reached in time. @param {string} path @param {RequestInit} init @param {number} seconds
   * @returns {Promise<{status: number, body?: any, after?: number}>} */
  async function call(path, init, seconds) {
    try {
      const answer = await ask(path, { cache: "no-store", redirect: "error", ...init, signal: AbortSignal.timeout(seconds * 1e3) });
      return { status: answer.status, body: await answer.json().catch(() => null), after: Number(answer.headers.get("retry-after")) };
    } catch {
      return { status: 0 };
    }
  }

  /** @param {string} code @returns {Promise<Heard>} */
  const stop = async (code) => (await box.note({ stop: code }), { stop: code });

  /** @param {number} status @param {{code?: string}} [body] @param {number} [after] @returns {Promise<Heard>} */
  async function failed(status, body, after) {
    if (body?.code === "device_revoked") await forget();
    // a refusal stops; what took too long, or came too often, goes again later
    return /^4(?!08|29)/.test(`${status}`) ? stop(body?.code ?? `status ${status}`) : { after };
  }

  /** @returns {Promise<Round>} */
  async function round() {
    let me = await meta("me");
    const first = !known; // of this page
    if (!me || !known || world.isSecureContext === false || (await meta("stop"))) {
      const heard = await box.who();
      if (!heard.me) return heard;
      me = heard.me;
    }
    if (me.role === "guest") return { done: true };
    let most = BATCH;
    let lost = false;
    let role = false;
    let served = "";
    /** @type {string[]} */
    const changed = [];
    /** @type {string[]|undefined} */
    let wanted;
    for (;;) {
      const all = await box.entries();
      const batch = all.filter((of) => of.state === "queued" && of.item.author === me.person_id).slice(0, most);
      // One question also where nothing waits: the server may have lost something, or lack a picture.
      if (wanted && batch.length === 0) break;
      const head = { protocol: 1, device_id: me.device_id, device_time: now(), last_ack_op: (await meta("ack")) ?? null, waiting: all.filter(isOpen).length };
      const text = () => JSON.stringify({ ...head, ops: batch.map((of) => of.item) });
      while (batch.length > 1 && new Blob([text()]).size > BATCH_BYTES) batch.length >>= 1;
      const { status, body, after } = await call("/sync/v1/ops", { method: "POST", headers: { "content-type": "application/json" }, body: text() }, 20);
      if (status === 200 && body?.results) {
        if (body.server_id !== me.server_id) return stop("wrong_server");
        served = body.server_time;
        if ((await settle(body.results, served)) < batch.length) return { after: 60 };
        changed.push(...body.changed);
        role ||= body.role_rev !== me.role_rev;
        wanted = body.want_blobs;
      } else if (status === 413 && batch.length > 1) most = batch.length >> 1;
      else if (status === 413 && batch.length) await settle([{ op_id: batch[0].op_id, status: "rejected", message: "Too big to send." }]);
      else if (body?.code === "history_lost" && !lost) {
        lost = true;
        await requeue(body.known_seq);
      }
      else if (body?.code === "device_mismatch") {
        known = false; // another device by now: the next round asks which
        return { after: 2 };
      } else return failed(status, body, after);
    }
    if (role) await box.who();
    // what the server lacks, and what it may have without having said so
    for (const of of await got(read("ops").index("state").getAll("pending"))) wanted.push(of.item.blobs[0].blob_id);
    for (const id of new Set(wanted)) {
      const of = await box.picture(id);
      if (!of || of.state === "rejected") continue;
      const { status, body, after } = await call(`/sync/v1/blobs/${id}`, { method: "PUT", headers: { "content-type": of.type }, body: of.bytes }, 120);
      if (status === 404) continue;
      const state = [409, 413, 415].includes(status) ? "rejected" : "sent";
      // neither 200 nor 201
      if (state === "sent" && status >> 1 !== 100) return failed(status, body, after);
      await write(async (to) => {
        to.blobs.put({ ...of, state, at: served });
        const entry = await got(to.ops.get(of.op_id));
        if (entry) to.ops.put({ ...entry, state, seen: true, result: state === "sent" ? entry.result : { ...entry.result, status: state, message: body?.message } });
      });
      tell();
    }
    if (first) await prune(served);
    return { done: true, changed };
  }

  /** Books what was said of entries; tells of how many. @param {Result[]} results @param {string} [served] the server's time */
  async function settle(results, served) {
    const n = await write(async (to) => {
      let n = 0;
      let mended = false;
      for (const result of results) {
        /** @type {Entry|undefined} */
        const of = await got(to.ops.get(result.op_id));
        if (!of) continue;
        n += 1;
        // an entry with a picture is open until that is there
        const there = of.item.blobs[0] && !of.seen ? "pending" : "sent";
        to.ops.put({ ...of, state: result.status === "applied" ? there : (of.settled ?? result.status), result, at: served ?? now() });
        if (served && result.status !== "blocked") put(to.meta, { ack: of.op_id });
        mended ||= result.status === "applied" && of.item.replaces !== null;
      }
      // What rested on a refused entry is tried again once that was mended.
      if (mended) for (const of of await got(to.ops.index("state").getAll("blocked"))) to.ops.put({ ...of, state: "queued" });
      if (served) put(to.meta, { contact: now(), stop: null });
      return n;
    });
    tell();
    return n;
  }

  /** The server lost what it took after number `seq`: that is sent again; what a person settled of it stays settled. @param {number} seq */
  const requeue = (seq) =>
    write(async (to) => {
      for (const of of /** @type {Entry[]} */ (await got(to.ops.getAll()))) {
        const settled = /resolved|discarded/.exec(of.state)?.[0];
        if (of.seq > seq && /applied|conflict/.test(of.result?.status ?? "")) to.ops.put({ ...of, state: "queued", settled });
      }
      put(to.meta, { ack: null });
    });

  /** @param {any} from @param {(of: any) => boolean} goes */
  async function sweep(from, goes) {
    for (const of of await got(from.getAll())) if (goes(of)) from.delete(of[from.keyPath]);
  }

  /** Lets go of what was sent long ago by the server's clock, as the phone's may be wrong; never of what was not sent.
   * @param {string} served */
  const prune = (served) =>
    write(async (to) => {
      const age = (/** @type {{at: string}} */ of) => Date.parse(served) - Date.parse(of.at);
      await sweep(to.ops, (of) => !isOpen(of) && of.state !== "conflict" && age(of) > KEEP.ops);
      await sweep(to.drafts, (of) => age(of) > KEEP.rest);
      let bytes = 0;
      const newestFirst = (await got(to.blobs.getAll())).filter((/** @type {Entry} */ of) => of.state === "sent").sort((/** @type {Entry} */ a, /** @type {Entry} */ b) => age(a) - age(b));
      for (const of of newestFirst) if ((bytes += of.bytes.byteLength) > KEEP.bytes || age(of) > KEEP.rest) to.blobs.delete(of.blob_id);
    });

  /** Saved pages and files go, and their worker: it is registered anew, and saves anew, once the server lets this phone in. */
  async function clearCaches() {
    for (const one of (await world.navigator?.serviceWorker?.getRegistrations()) ?? []) await one.unregister();
    for (const name of (await world.caches?.keys()) ?? []) await caches.delete(name);
  }

  /** A phone that was shut out keeps only what it has not sent. */
  async function forget() {
    await clearCaches();
    await write(async (to) => {
      await sweep(to.ops, (of) => !isOpen(of));
      await sweep(to.blobs, (of) => of.state === "sent");
    });
  }
  return box;
}
