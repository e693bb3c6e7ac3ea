// Over slow 3G, as browsers' own tools set it: how much a first page asks for. Bytes and requests are asserted; times are
// printed, since they are this machine's.
//
// `node slow_line.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder. Source of the figures: the design's budget, 60 kB
// and 12 requests at 400 kbit/s and 400 ms.

import assert from "node:assert/strict";
import { join } from "node:path";
import { Phone, main } from "./phones.mjs";
import { Server } from "./server.mjs";

const [BYTES, REQUESTS] = [60_000, 12];
const SLOW = { offline: false, latency: 400, downloadThroughput: 400_000 / 8, uploadThroughput: 400_000 / 8 };

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  // without its worker, which would save pages behind those that are measured
  const phone = ends(await new Phone(join(folder, "phone"), server.origin, { serviceWorkers: "block" }).open());
  const { page } = phone;
  const session = await phone.context.newCDPSession(page);
  await session.send("Network.enable");
  await session.send("Network.emulateNetworkConditions", SLOW);
  let [bytes, requests] = [0, new Set()];
  session.on("Network.requestWillBeSent", ({ requestId }) => requests.add(requestId));
  session.on("Network.loadingFinished", ({ encodedDataLength }) => (bytes += encodedDataLength));
  /** Opens a page with nothing of it on the phone, and measures until all that it asked for is there. */
  const first = async (name, path) => {
    await session.send("Network.clearBrowserCache");
    [bytes, requests] = [0, new Set()];
    const began = Date.now();
    await page.goto(path);
    await page.locator("main h1").waitFor();
    const seen = Date.now() - began;
    await page.waitForLoadState("networkidle");
    console.log(`${name}: ${(bytes / 1000).toFixed(1)} kB, ${requests.size} requests, ${(seen / 1000).toFixed(1)} s`);
    assert.ok(bytes > 5000 && requests.size > 3, "something was measured");
    assert.ok(bytes <= BYTES, `${name}: ${bytes} bytes of ${BYTES}`);
    assert.ok(requests.size <= REQUESTS, `${name}: ${requests.size} requests of ${REQUESTS}`);
  };
  await first("signing in", "/sign-in");
  const signedIn = await phone.context.request.post("/sign-in", { form: { code: server.code }, headers: { origin: server.origin } });
  assert.equal(signedIn.url(), `${server.origin}/`);
  const job = /href="(\/jobs\/[0-9a-f-]{36})"/.exec(await signedIn.text())[1];
  for (const [name, path] of [["jobs", "/"], ["this week", job], ["buy list", `${job}/buy-list`], ["house", `${job}/house`]]) await first(name, path);

  const other = ends(await new Phone(join(folder, "other"), server.origin).open());
  await other.signIn(await server.fresh());
  await server.kill();
  for (const visit of ["first", "second", "third"]) {
    await other.page.goto(job);
    const ms = await other.page.evaluate(() => performance.getEntriesByType("navigation")[0].domContentLoadedEventEnd);
    console.log(`opened with no server, ${visit} time: ${Math.round(ms)} ms`);
  }
}, "the first pages are light");
