// A phone away from the server: saved pages open, what is entered is kept through a killed browser, and each entry arrives
// once. The server is killed and frozen, not only unreachable for the browser.
//
// `node offline.mjs PROGRAM FOLDER`: PROGRAM is the server's, FOLDER an empty folder for its data and the phone's profile.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";
import { FLAGS, PICTURE, SCREEN, usable } from "./lib.mjs";

const [program, folder] = process.argv.slice(2);

/** Starts the server on a port; resolves when it is ready. */
async function serve(port) {
  const child = spawn(program, ["demo", "--data", join(folder, "data"), "--port", String(port)], { stdio: ["ignore", "pipe", "inherit"], detached: true });
  const server = { child, origin: "", code: "" };
  for await (const line of createInterface(child.stdout)) {
    const link = /(https?:\/\/\S+)\/sign-in#(\d{8})/.exec(line);
    if (link) [, server.origin, server.code] = link;
    if (line === "Ready.") return server;
  }
  throw new Error("the server ended before it was ready");
}

/** Signals the server and whatever it started. */
const signal = (child, name) => process.kill(-child.pid, name);

async function end(child) {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise((gone) => child.once("exit", gone));
  signal(child, "SIGKILL");
  await ended;
}

/** The phone's browser with its storage; `kill` ends it as a phone does. */
async function browser() {
  const context = await chromium.launchPersistentContext(join(folder, "profile"), {
    executablePath: process.env.SCANTLING_CHROMIUM,
    headless: true,
    chromiumSandbox: false,
    args: FLAGS,
    viewport: SCREEN,
    deviceScaleFactor: 2,
    hasTouch: true,
    isMobile: true,
  });
  const page = context.pages()[0] ?? (await context.newPage());
  const session = await context.newCDPSession(page);
  const kill = async () => {
    // the whole browser at once, with nothing tidied up
    const gone = context.waitForEvent("close");
    await session.send("Browser.crash").catch(() => {});
    await gone.catch(() => {});
  };
  return { context, page, kill };
}

const limit = setTimeout(() => {
  console.error("Still walking after 10 minutes; ended.");
  process.exit(1);
}, 600_000);
let server = await serve(0);
const port = Number(new URL(server.origin).port);
const { origin } = server;
let phone = await browser();

try {
  let { page } = phone;
  const faults = [];
  phone.context.on("weberror", (error) => faults.push(String(error.error())));
  const toSend = (n) => page.locator("[data-outbox] b", { hasText: new RegExp(`^To send ${n}$`) }).waitFor();
  const status = (text) => page.locator(".say[role=status]", { hasText: text }).waitFor();

  await page.goto(`${origin}/sign-in#${server.code}`);
  await page.waitForURL(`${origin}/`);
  await page.evaluate(async () => (await navigator.serviceWorker.ready).active.state);
  await page.locator("main .rows a").first().tap();
  await page.waitForURL("**/jobs/*");
  const job = new URL(page.url()).pathname;
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await toSend(0);
  console.log("signed in, pages saved");

  // Refused while the server is there: its own form, filled, with what is wrong; mended, it is in once.
  const wall = await page.request.get(`${origin}${job}/house`).then((answer) => answer.text()).then((text) => /\/jobs\/[^"]*\/wall\/[0-9a-f-]{36}/.exec(text)[0]);
  await page.goto(origin + wall);
  await page.getByLabel("Reading", { exact: true }).fill("98 1/3");
  await page.getByRole("button", { name: "Save reading" }).tap();
  await page.locator(".err", { hasText: "character" }).first().waitFor();
  assert.equal(await page.getByLabel("Reading", { exact: true }).inputValue(), "98 1/3");
  await page.getByLabel("Reading", { exact: true }).fill("98 3/8");
  await Promise.all([page.waitForEvent("load"), page.getByRole("button", { name: "Save reading" }).tap()]);
  await page.locator(".note", { hasText: "Saved." }).waitFor();
  await toSend(0);
  await page.goto(`${origin}/outbox`);
  await page.locator("#box").waitFor();
  assert.equal(await page.locator("[data-state=rejected]").count(), 0);
  await usable(page);
  console.log("refused and mended");

  // The server is gone: what is saved opens, what is not leads to what is.
  await page.goto(origin + job);
  await toSend(0);
  await end(server.child);
  await page.goto(origin + job);
  await status("Server out of reach. Entries are kept on this phone.");
  await page.goto(`${origin}/jobs/nowhere`);
  await page.getByRole("heading", { name: "Not on this phone" }).waitFor();
  await page.locator("#saved a", { hasText: "This week" }).first().waitFor();
  await usable(page);
  const began = Date.now();
  await page.goto(`${origin}${job}/house`);
  console.log(`a saved page without a server: ${Date.now() - began} ms`);

  // Reading, note and photo; the browser is killed right after.
  await page.goto(origin + job);
  await page.locator(".next input[name=raw]").fill("97 11/32");
  await page.locator(".next output", { hasText: "8' 1 11/32\"" }).waitFor();
  await page.locator(".next button").filter({ hasText: "Save" }).tap();
  await status("Saved on this phone.");
  await page.locator("li[data-state=queued]", { hasText: "97 11/32" }).waitFor();
  await page.locator("#hand + .rows summary").filter({ hasText: "Note" }).tap();
  await page.locator("#hand + .rows textarea").fill("Written away from the server.");
  await page.getByRole("button", { name: "Save note" }).tap();
  await toSend(2);
  await page.locator("#hand + .rows input[type=file]").setInputFiles(PICTURE);
  await page.getByRole("button", { name: "Save photo" }).tap();
  await toSend(3);
  await page.locator("#hand + .rows input[type=file]").setInputFiles(PICTURE);
  await usable(page);
  await page.locator("#hand + .rows summary").filter({ hasText: "Note" }).tap();
  await page.locator("#hand + .rows textarea").fill("Typed, not saved.");
  await page.waitForTimeout(1000); // a draft is kept when typing has paused
  // Chromium writes its cookies every half minute; its database is what is looked at here.
  const cookies = await phone.context.cookies();
  await phone.kill();
  phone = await browser();
  ({ page } = phone);
  await phone.context.addCookies(cookies);
  await page.goto(origin + job);
  await toSend(3);
  await page.locator("li[data-state=queued]", { hasText: "97 11/32" }).waitFor();
  await page.waitForFunction(() => document.querySelector("#hand + .rows textarea").value === "Typed, not saved.");
  await page.goto(`${origin}/outbox`);
  await page.locator("[data-entries] > [data-state=queued]").nth(2).waitFor();
  console.log("kept through a killed browser");

  // A frozen server answers nothing and refuses nothing.
  server = await serve(port);
  signal(server.child, "SIGSTOP");
  for (const visit of ["first", "second"]) {
    const asked = Date.now();
    await page.goto(origin + job);
    console.log(`a frozen server, ${visit} visit: ${Date.now() - asked} ms`);
  }
  signal(server.child, "SIGCONT");

  // It is back: each entry once.
  await page.goto(origin + job);
  await toSend(0);
  const { entries } = await (await page.request.get(`${origin}${job}/job-file`)).json();
  const of = (kind, name, text) => entries.filter((one) => one.kind === kind && [one.fields[name]].flat().includes(text)).length;
  assert.deepEqual([of("reading.add", "raw", "97 11/32"), of("reading.add", "raw", "98 3/8"), of("note.add", "text", "Written away from the server.")], [1, 1, 1]);
  assert.equal(entries.filter((one) => one.kind === "photo.add").length, 1);
  await page.goto(`${origin}${job}/photo`);
  await page.locator("main img").first().waitFor();
  assert.ok(await page.locator("main img").first().evaluate((img) => img.decode().then(() => img.naturalWidth > 0)));
  console.log("each entry arrived once");

  // A sign-off written away from the server, on what another phone has changed meanwhile: it does not release.
  const beam = `${job}/set_beam/${entries.find((one) => one.kind === "set_beam.add").entity_id}`;
  const hold = `${origin}${beam}/hold/raised`;
  await page.goto(hold);
  await toSend(0);
  await end(server.child);
  await page.goto(hold);
  await status("from this phone. Ask before cutting.");
  await page.locator("form#hold [name=seen]").first().check();
  await page.locator("form#hold button").tap();
  await page.getByRole("heading", { name: "Waiting: not released for anyone else" }).waitFor();
  await page.locator("[data-waiting='hold.release'] > [data-state=queued]").waitFor();
  await usable(page);
  await page.goto("about:blank");
  server = await serve(port);
  const other = { "was.plies": "3", plies: "4", "base.plies": "1", op_id: "0193a1b0-0000-7000-8000-0000000000aa" };
  const edited = await page.request.post(origin + beam, { form: other, headers: { origin }, maxRedirects: 0 });
  assert.equal(edited.status(), 303);
  await page.goto(hold);
  await page.goto(`${origin}/outbox`);
  await page.locator("[data-entries] > [data-state=conflict]").waitFor();
  await page.goto(hold);
  await page.locator(".v", { hasText: "Not signed off yet" }).waitFor();
  await page.goto(`${origin}${job}/holds`);
  await page.getByRole("heading", { name: "Did not count" }).waitFor();
  console.log("a sign-off on what changed meanwhile did not release");
  assert.deepEqual(faults, []);
  console.log("a phone away from the server holds");
} catch (error) {
  console.error(error.stack);
  console.error(await phone.page.locator("body").innerText().then((text) => text.slice(0, 1500), () => ""));
  process.exitCode = 1;
} finally {
  clearTimeout(limit);
  await end(server.child).catch(() => {});
  await phone.context.close().catch(() => {});
}
process.exit();
