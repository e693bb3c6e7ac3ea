// A phone with WebKit away from the server: every kind of page opens from what is saved, a member, a reading of it and a
// photo are kept and arrive once, and so does what was on its way when the server was killed.
//
// `node webkit.mjs PROGRAM FOLDER`: PROGRAM is the server's, FOLDER an empty folder. The session's storage is on no disk, so
// that the browser can't be started again here: offline.mjs does that.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { PICTURE } from "./lib.mjs";
import { Server } from "./server.mjs";
import { codeFor, own, pair, post } from "./serving.mjs";
import { webkit } from "./webkit_driver.mjs";

const [program, folder] = process.argv.slice(2);
const limit = setTimeout(() => {
  console.error("Still walking after 10 minutes; ended.");
  process.exit(1);
}, 600_000);

const serving = await new Server(program, join(folder, "data")).start();
process.once("exit", () => serving.kill()); // a walk that breaks leaves none behind
const phone = await webkit();
const { origin } = serving;
let desk = "";

const toSend = (n) => phone.until(`To send ${n}`, (n) => document.querySelector("[data-outbox] b")?.textContent === `To send ${n}`, n);
const shows = (css, text = "") => phone.until(`${css} with ${text}`, (css, text) => [...document.querySelectorAll(css)].some((of) => of.innerText.includes(text) && of.checkVisibility()), css, text);
/** The kind of a page: its address without what names a thing or a week. */
const kindOf = (url) => url.replace(/[0-9a-f-]{36}/g, "*").replace(/\?.*/, "");

/** The texts of a field, of all entries of a kind, on the server; asked as another browser of the lead. */
async function texts(job, kind, field) {
  const answer = await fetch(`${origin}${job}/job-file`, { headers: own(origin, desk) });
  const { entries } = await answer.json();
  return entries.filter((of) => of.kind === kind).flatMap((of) => of.fields[field] ?? [null]);
}
const count = (all, text) => all.filter((one) => one === text).length;

try {
  // the lead has two devices: one to look at the server by, and this phone
  desk = await pair(origin, serving.code);
  const me = await (await fetch(`${origin}/sync/v1/me`, { headers: own(origin, desk) })).json();
  await phone.go(`${origin}/sign-in#${await codeFor(origin, desk, { person: me.person_id })}`);
  await phone.until("signed in", (home) => location.href === home && document.readyState === "complete", `${origin}/`);
  await phone.run(() => navigator.serviceWorker.ready.then(() => true));
  // the worker has the page from here on; a page that was coming in while it took over is asked for again
  for (let [serves, tries] = [false, 0]; !serves; tries += 1) {
    assert.ok(tries < 20, "the worker serves the page");
    await phone.go(`${origin}/`);
    serves = await phone.run(async () => {
      for (let n = 0; n < 20 && !navigator.serviceWorker.controller; n += 1) await new Promise((over) => setTimeout(over, 100));
      return navigator.serviceWorker.controller !== null;
    });
  }
  const job = await phone.run(() => document.querySelector("main .rows a").getAttribute("href"));

  const { pages } = await phone.run(() => fetch("/offline-set.json").then((answer) => answer.json()));
  const kinds = new Map(pages.map(({ url }) => [kindOf(url), url]).reverse());
  const titles = await phone.run((urls) => Promise.all(urls.map((url) => fetch(url).then((page) => page.text()).then((text) => new DOMParser().parseFromString(text, "text/html").querySelector("h1").innerText))), [...kinds.values()]);
  for (const path of ["member", "reading"]) {
    await phone.go(`${origin}${job}/${path}`); // what was visited is saved, too
    await toSend(0);
  }

  // Every kind of page, with no server.
  await serving.kill();
  for (const [at, [kind, url]] of [...kinds].entries()) {
    await phone.go(origin + url);
    await shows("h1", titles[at]);
    await shows(".say[role=status]", "Server out of reach. Entries are kept on this phone.");
    assert.equal(await phone.run(() => location.pathname + location.search), url, kind);
    const styled = await phone.run(() => [...document.styleSheets].some((of) => of.cssRules.length > 20));
    assert.ok(styled, `${kind}: its style`);
  }
  await phone.go(`${origin}/jobs/nowhere`);
  await shows("h1", "Not on this phone");
  console.log(`${kinds.size} kinds of page open without a server`);

  // A member, a reading of it, a photo.
  const away = async (path, n) => {
    await phone.go(`${origin}${job}/${path}`);
    await toSend(n);
    await shows(".say[role=status]", "Server out of reach."); // it moves the page, and what is to be pressed
  };
  await away("member", 0);
  await phone.type("#f-name", "Joist found in WebKit");
  await phone.press("#f .acts button");
  await shows(".say[role=status]", "Saved on this phone.");
  await toSend(1);
  await away("reading", 1);
  const choose = (css, has) => phone.until(`${has} in ${css}`, (css, has) => {
    const list = document.querySelector(css);
    const option = [...list.options].find((of) => of.text.includes(has));
    if (!option) return false;
    list.value = option.value;
    return list.dispatchEvent(new Event("change", { bubbles: true }));
  }, css, has);
  await choose("#f-of", "Joist found in WebKit (waiting)");
  await choose("#f-what", "Depth");
  await phone.type("#f input[name=raw]", "7 41/64");
  await phone.press("#f .acts button");
  await toSend(2);
  const file = join(folder, PICTURE.name);
  writeFileSync(file, PICTURE.buffer);
  await away("photo", 2);
  await phone.type("#f-file", file);
  await choose("#f-of", "Joist found in WebKit (waiting)");
  await phone.type("#f-caption", "Taken in WebKit");
  await phone.press("#f .acts button");
  await toSend(3);
  await phone.go(`${origin}/outbox`);
  for (const text of ["Joist found in WebKit", "7 41/64", "Taken in WebKit"]) await shows("[data-entries] > [data-state=queued]", text);
  await serving.start({ ready: false });
  await phone.go(origin + job);
  await toSend(0);
  await phone.run(() => fetch("/sync/v1/me").then((answer) => answer.ok));
  assert.equal(count(await texts(job, "member.add", "name"), "Joist found in WebKit"), 1);
  assert.equal(count(await texts(job, "reading.add", "raw"), "7 41/64"), 1);
  assert.equal(count(await texts(job, "photo.add", "caption"), "Taken in WebKit"), 1);
  await phone.go(`${origin}${job}/photo`);
  await phone.until("the photo", () => [...document.querySelectorAll("main .gallery img")].some((img) => img.complete && img.naturalWidth > 0));
  console.log("a member, a reading of it and a photo arrived once");

  // The server is killed as soon as the first of a batch is there, and after all of it, before the phone hears the answer.
  const small = (await post(origin, desk, "/jobs", { op_id: crypto.randomUUID(), entity_id: crypto.randomUUID(), name: "Batches" })).headers.get("location");
  const wall = crypto.randomUUID();
  await post(origin, desk, `${small}/wall`, { op_id: crypto.randomUUID(), entity_id: wall, name: "Wall A" });
  const cut = { "in mid-batch": 0, "before the answer": 0 };
  for (let round = 1; Object.values(cut).includes(0); round += 1) {
    assert.ok(round <= 8, "the server was never killed in mid-batch");
    await phone.go(`${origin}/help`);
    await toSend(0);
    const saved = Array.from({ length: 40 }, (_, at) => `Round ${round}, note ${at}`);
    const arrived = async () => (await texts(small, "note.add", "text")).filter((text) => saved.includes(text)).length;
    const least = round % 2 === 1 ? 1 : saved.length;
    await phone.run(sendAway, small, wall, saved);
    let there = 0;
    for (let tries = 0; there < least; tries += 1) {
      assert.ok(tries < 2000, `only ${there} of ${saved.length} arrive`);
      there = await arrived();
    }
    await serving.kill();
    assert.equal(await phone.run(() => window.heard), "nothing");
    await serving.start({ ready: false });
    there = await arrived();
    cut[there < saved.length ? "in mid-batch" : "before the answer"] += 1;
    await phone.go(`${origin}/help`);
    await toSend(0);
    const all = await texts(small, "note.add", "text");
    assert.deepEqual(saved.map((text) => count(all, text)), saved.map(() => 1));
    assert.equal(all.length, round * saved.length);
    console.log(`killed with ${there} of ${saved.length} there: each arrived once`);
  }
  console.log("WebKit keeps and sends what is entered");
} catch (error) {
  console.error(error.stack);
  process.exitCode = 1;
} finally {
  clearTimeout(limit);
  await phone.close();
  await serving.kill();
}
process.exit();

/** In the page: keeps notes in the page's own outbox, begins to send them, and never hears the answer. */
async function sendAway(job, wall, texts) {
  const app = document.querySelector("script[src*='/app.js']").src;
  const { openOutbox } = await import(app.replace("app.js", "outbox.js"));
  window.heard = "nothing";
  const ask = async (path, init) => {
    const answer = await fetch(path, init);
    if (path !== "/sync/v1/ops") return answer;
    return new Promise(() => {});
  };
  const box = await openOutbox({ ask });
  for (const text of texts) await box.save({ action: `${job}/note`, fields: [["entity_id", box.uuid()], ["of", wall], ["text", text]] }, { kind: "note.add", page: job, says: [text] });
  box.sync().then((round) => round?.done && (window.heard = "the answer"));
}
