// A newer build of the server: a phone takes it over whole or not at all, and no page of it is kept beside the old files.
//
// `node new_build.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder. The newer build is the same program, called by
// another name on the wire; its pages, files and worker are asked for under that name.

import assert from "node:assert/strict";
import { join } from "node:path";
import { Phone, main, times, until } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";

const NEWER = "0123456789ab";

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const wire = ends(await new Wire(server).open());
  const phone = ends(await new Phone(join(folder, "phone"), wire.origin).open());
  await phone.signIn(server.code);
  const { page } = phone;
  const build = await page.evaluate(() => document.querySelector("script").src.split("/")[4]);
  assert.match(build, /^[0-9a-f]{12}$/);
  const renamed = (text) => text.replaceAll(build, NEWER);
  const newer = (asked) => {
    asked.path = asked.path.replaceAll(NEWER, build);
    asked.headers["accept-encoding"] = "identity"; // so that the name can be found in it
    return (told) => ({
      ...told,
      headers: Object.fromEntries(Object.entries(told.headers).map(([name, value]) => [name, typeof value === "string" ? renamed(value) : value])),
      body: Buffer.from(renamed(told.body.toString("latin1")), "latin1"),
    });
  };
  const caches = () =>
    page.evaluate(async () => {
      const found = {};
      // small pictures are of no build
      for (const name of (await caches.keys()).filter((one) => one !== "small")) found[name.replace(/-[0-9a-f]{8}-.*/, "")] = (await (await caches.open(name)).keys()).length;
      return found;
    });
  const builds = () => page.evaluate(() => [...document.querySelectorAll("script, link[rel=stylesheet]")].map((of) => (of.src || of.href).split("/")[4]));
  const opens = async (path, of) => {
    // for half a minute after the server was out of reach, saved pages open at once, and the server is asked behind them
    await until(`${path} opens in build ${of}`, async () => {
      await page.goto(path);
      await page.locator("#hand, #rooms").first().waitFor();
      return [...new Set(await builds())].join() === of;
    });
    // its style and its script are there
    assert.ok(await page.evaluate(() => [...document.styleSheets].some((sheet) => sheet.cssRules.length > 10)));
    await page.locator("[data-outbox]:not([hidden])").waitFor();
  };
  const old = await caches();
  assert.deepEqual(Object.keys(old).sort(), [`files-${build}`, `pages-${build}`]);
  assert.ok(old[`pages-${build}`] > 50, `${JSON.stringify(old)} pages and files`);

  // What is entered under the old build is sent to the newer one.
  wire.meets = () => "lost";
  await phone.note("From before the update");

  // A page of the newer build, while its worker can't be had: it is shown, and not kept.
  wire.meets = (asked) => (asked.path === "/sw.js" ? "lost" : newer(asked));
  await opens(`${phone.job}/house`, NEWER);
  await phone.toSend(0);
  assert.equal(times(await phone.record(), "note.add", "text", "From before the update"), 1);
  const house = await page.evaluate(async (path) => (await caches.match(path)).headers.get("x-app-build"), `${phone.job}/house`);
  assert.equal(house, build);
  wire.meets = () => "lost";
  await opens(`${phone.job}/house`, build);
  console.log("a page of a newer build is shown, and not kept");

  // The update stalls in its middle, and the server is gone: the old build stays whole.
  let asked = 0;
  const stalled = new Promise((at) => {
    wire.meets = (of) => {
      if (/\/(wall|room)\//.test(of.path) && (asked += 1) > 3) {
        at();
        return "held";
      }
      return newer(of);
    };
  });
  await page.goto(phone.job);
  await stalled;
  wire.meets = () => "lost";
  assert.deepEqual((await caches())[`pages-${build}`], old[`pages-${build}`]);
  await opens(phone.job, build);
  await opens(`${phone.job}/house`, build);
  wire.drop();
  await until("the update is given up", () => page.evaluate(async () => !(await navigator.serviceWorker.getRegistration()).installing));
  assert.deepEqual((await caches())[`files-${build}`], old[`files-${build}`]);
  await opens(phone.job, build);
  console.log("an update that stalls leaves the old build whole");

  // And whole: the newer build's pages and files alone, also with no server.
  wire.meets = newer;
  await page.goto(phone.job);
  await until("the newer build is there alone", async () => Object.keys(await caches()).every((name) => name.includes(NEWER)));
  assert.deepEqual(await caches(), Object.fromEntries(Object.entries(old).map(([name, n]) => [renamed(name), n])));
  wire.meets = () => "lost";
  await opens(`${phone.job}/house`, NEWER);
  await phone.says("Server out of reach.");
  await page.goto(phone.job);
  await phone.note("After the update");
  wire.meets = newer;
  await page.goto(phone.job);
  await phone.toSend(0);
  assert.equal(times(await phone.record(), "note.add", "text", "After the update"), 1);
  console.log("an update takes the newer build over whole");
}, "one build at a time");
