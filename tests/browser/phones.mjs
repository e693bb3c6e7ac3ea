// Phones that keep what they are told: browsers with a profile on disk, to be killed and opened again; and what the tests
// read off their pages and their database.

import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { FLAGS, SCREEN } from "./lib.mjs";

/** A phone on whose pages a script's clock is off by the milliseconds that `localStorage.off` says. */
const WRONG_CLOCK = () => {
  const Right = Date;
  globalThis.Date = class extends Right {
    constructor(...of) {
      if (of.length) super(...of);
      else super(Date.now());
    }
    static now() {
      return Right.now() + Number(localStorage.off ?? 0);
    }
  };
};

export class Phone {
  /** @param {string} folder its profile's @param {string} origin where its server is; `own` are more addresses of it */
  constructor(folder, origin, { flags = [], own = [], ...more } = {}) {
    Object.assign(this, { folder, origin, flags, own: [origin, ...own], more, faults: [], strangers: [] });
  }

  /** Opens the browser, again with what it had kept: its cookies too, which Chromium writes only every half minute. */
  async open() {
    await mkdir(this.folder, { recursive: true });
    this.context = await chromium.launchPersistentContext(join(this.folder, "profile"), {
      executablePath: process.env.SCANTLING_CHROMIUM,
      headless: true,
      chromiumSandbox: false,
      args: [...FLAGS, ...this.flags],
      viewport: SCREEN,
      deviceScaleFactor: 2,
      hasTouch: true,
      isMobile: true,
      baseURL: this.origin,
      ...this.more,
    });
    await this.context.addInitScript(WRONG_CLOCK);
    if (this.cookies) await this.context.addCookies(this.cookies);
    this.context.on("weberror", (error) => this.faults.push(String(error.error())));
    this.context.on("request", (of) => {
      const { protocol, origin } = new URL(of.url());
      if (/^(http|ws)s?:$/.test(protocol) && !this.own.includes(origin)) this.strangers.push(of.url());
    });
    this.page = this.context.pages()[0] ?? (await this.context.newPage());
    return this;
  }

  /** Ends the whole browser at once, with nothing tidied up, and opens it again. */
  async kill() {
    this.cookies = await this.context.cookies();
    const gone = this.context.waitForEvent("close");
    gone.catch(() => {});
    const session = await this.context.newCDPSession(this.page);
    await session.send("Browser.crash").catch(() => {});
    await gone.catch(() => {});
    return this.open();
  }

  async end() {
    await this.context?.close();
  }

  /** Signs in by a code, and waits until the pages are saved; gives the path of the newest job. */
  async signIn(code) {
    await this.page.goto("about:blank"); // a link to the page that is open already would only move within it
    await this.page.goto(`/sign-in#${code}`);
    await this.page.waitForURL(`${this.origin}/`);
    await this.saved();
    this.job ??= await this.page.locator("main .rows a").first().getAttribute("href");
    await this.page.goto(this.job);
    await this.toSend(0);
    return this.job;
  }

  /** Waits until a worker with all its pages serves this page. */
  async saved() {
    // A worker that could not install, as on a busy machine, is registered anew by the next page; and a page that was only
    // coming in while the worker took over is not served by it, but the next is.
    for (let tries = 0; tries < 20; tries += 1) {
      const serves = await steady(() => this.page.evaluate(async () => {
        const worker = navigator.serviceWorker;
        const after = (ms) => new Promise((over) => setTimeout(over, ms));
        await Promise.race([worker.ready, after(2e4)]);
        // one that is there takes over at once, or not at all
        for (let n = 0; n < 20 && !worker.controller; n += 1) await after(100);
        return worker.controller !== null;
      }));
      if (serves) return;
      await this.page.reload();
    }
    throw new Error("no worker serves the page");
  }

  /** Waits until the header says how many wait. */
  async toSend(n, page = this.page) {
    await page.locator("[data-outbox] b", { hasText: new RegExp(`^To send ${n}$`) }).waitFor();
  }

  /** Waits for the line that is read out. */
  async says(text, role = "status") {
    await this.page.locator(`.say[role=${role}]`, { hasText: text }).waitFor();
  }

  /** Writes a note on the job's page; resolves when the phone says that it is kept. */
  async note(text, page = this.page) {
    const fold = page.locator("#hand + .rows summary").filter({ hasText: "Note" }).first();
    const field = page.locator("#hand + .rows textarea").first();
    // a draft that comes back opens it too, maybe just before the tap
    while (!(await field.isVisible())) {
      await fold.tap();
      await page.waitForTimeout(200);
    }
    await field.fill(text);
    await page.getByRole("button", { name: "Save note" }).first().tap();
    await until(`“${text}” is kept`, async () => (await this.entries(page)).some((of) => of.fields.text === text));
    // the form is empty again: kept here, or on the page that the server led to
    await page.waitForFunction((text) => [...document.querySelectorAll("textarea")].every((field) => field.value !== text), text);
    await this.over(page);
  }

  /** Waits until the round of the last press is over: the next one counts from then. */
  async over(page = this.page) {
    await page.waitForFunction(() => !document.querySelector("form[data-sent]"));
  }

  /** Picks from a list, in its fold where it has one. */
  async choose(list, label) {
    if (!(await list.isVisible())) await list.locator("xpath=ancestor::details[1]/summary").tap();
    await list.selectOption({ label });
  }

  /** All entries of its database, in order: op_id, seq, state, kind and what else is kept of each. */
  async entries(page = this.page) {
    const all = await this.read("ops", undefined, page);
    return all.map((of) => ({ ...of, kind: of.about.kind, fields: Object.fromEntries(of.item.form.fields) }));
  }

  /** What its database notes under a key. */
  async noted(key) {
    return (await this.read("meta", key))?.value;
  }

  /** One of a store of its database by its key, else all in order. Asked again where the page went on meanwhile. */
  async read(store, key, page = this.page) {
    const ask = () => page.evaluate(async ([store, key]) => {
      const request = indexedDB.open("app", 1);
      const db = await new Promise((ok) => (request.onsuccess = () => ok(request.result)));
      const from = db.transaction(store).objectStore(store);
      const found = key ? from.get(key) : from.index("seq").getAll();
      await new Promise((ok) => (found.onsuccess = ok));
      db.close();
      return found.result;
    }, [store, key]);
    return ask().catch(async () => {
      await page.waitForLoadState();
      return ask();
    });
  }

  /** The entries of the job as the server has them: its job file's. */
  async record() {
    const ask = () => this.context.request.get(`${this.origin}${this.job}/job-file`);
    let answer = await ask();
    // a connection that idled until the server gave it up
    if (answer.status() === 408) answer = await ask();
    assert.equal(answer.status(), 200);
    return (await answer.json()).entries;
  }

  /** Sets the clock of its pages off by so many ms, from the next page on. */
  async clockOff(ms) {
    await this.page.evaluate((ms) => (localStorage.off = ms), ms);
  }

  /** Fails where a script failed or another host was asked. */
  quiet() {
    assert.deepEqual(this.faults, []);
    assert.deepEqual(this.strangers, []);
  }
}

/** How often the record holds an entry of a kind whose field holds a text. */
export const times = (entries, kind, name, text) => entries.filter((one) => one.kind === kind && [one.fields[name]].flat().includes(text)).length;

/** Waits until something is so; asks again every tenth of a second, and fails after a minute. */
export async function until(what, is) {
  for (let tries = 0; tries < 600; tries += 1) {
    if (await is()) return;
    await new Promise((later) => setTimeout(later, 100));
  }
  throw new Error(`after a minute it is still not so: ${what}`);
}

/** Does something on a page that may just be on its way to where a save led: again where that came between. */
export async function steady(does) {
  for (let tries = 0; ; tries += 1) {
    try {
      return await does();
    } catch (error) {
      if (tries > 8 || !/context was destroyed|interrupted|ERR_ABORTED|navigat/i.test(error.message)) throw error;
      await new Promise((later) => setTimeout(later, 250));
    }
  }
}

/** Runs a test as a program, `node … PROGRAM FOLDER`; whatever it hands to `ends` is ended with it. `closing` is its last line. */
export async function main(test, closing, { minutes = 8 } = {}) {
  const [program, folder] = process.argv.slice(2);
  const last = [];
  const phones = [];
  const ends = (of) => {
    last.push(of);
    if (of instanceof Phone) phones.push(of);
    return of;
  };
  // Not a measure of anything: a test that hangs must end, so that the run tells which one it was.
  const limit = setTimeout(() => {
    console.error(`Still running after ${minutes} minutes; ended.`);
    process.exit(1);
  }, minutes * 60_000);
  // when each line was printed tells a walk that was slow from one that hung
  const began = Date.now();
  const log = console.log;
  console.log = (...said) => log(`${((Date.now() - began) / 1000).toFixed(1)} s:`, ...said);
  try {
    await test({ program, folder, ends });
    for (const phone of phones) phone.quiet();
    console.log(closing);
  } catch (error) {
    console.error(error.stack);
    for (const phone of phones) {
      const [shown, entries] = [phone.page?.locator("body").innerText(), phone.page && phone.entries()];
      console.error(await Promise.all([shown, entries]).then(([text, all]) => `${phone.page.url()}\n${text.slice(0, 800)}\n${all.map((of) => `${of.seq} ${of.kind} ${of.state} ${JSON.stringify(of.result)}`).join("\n")}`, () => ""));
    }
    process.exitCode = 1;
  } finally {
    clearTimeout(limit);
    for (const of of last.reverse()) await of.end().catch(() => {});
  }
  process.exit();
}
