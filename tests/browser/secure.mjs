// Where a phone may keep pages: a trusted certificate, one that isn't, a warning clicked through, plain HTTP, another name.
// And what a browser asks of the network on the way: nothing of any host but the server.
//
// `node secure.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder. It runs itself in a network of its own, with an
// address as in a local network and no way out; where the system allows none, on this machine's loopback.
// Source of the cases: W3C Secure Contexts and Service Workers, and the design's list.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { home, inOwnNetwork, trust } from "./own_network.mjs";
import { Phone, main, until } from "./phones.mjs";
import { Server } from "./server.mjs";

const alone = inOwnNetwork(import.meta.url);
const address = alone || "127.0.0.1";
const flags = [`--host-resolver-rules=MAP elm-street.local ${address},MAP elm-street.lan ${address},MAP other.local ${address}`];

await main(async ({ program, folder, ends }) => {
  const how = ["serve", "--lan", "--name", "elm-street", "--no-announce", "--https-port", "18443", "--http-port", "18080"];
  const server = ends(new Server(program, join(folder, "data"), how));
  await server.start({ port: 18081 });
  const origin = "https://elm-street.local:18443";
  assert.equal(server.origin, origin);
  const setup = `http://${address}:18080/setup`;
  const own = ["elm-street.lan", "other.local", "localhost", address].map((name) => `https://${name}:18443`).concat(new URL(setup).origin);
  const net = join(folder, "net.json");
  /** A phone whose trusted authorities are those of a folder of its own. */
  const open = async (name, at, more = []) => ends(await new Phone(join(at, name), origin, { flags: [...flags, ...more], own, env: { ...process.env, HOME: at } }).open());
  const facts = (page) => page.evaluate(() => [isSecureContext, "serviceWorker" in navigator, "caches" in globalThis]);
  const worker = (page) =>
    page.evaluate(() =>
      navigator.serviceWorker.register("/sw.js").then(
        () => "registered",
        (error) => error.name,
      ),
    );

  /** Opens an address in a page of its own, which must fail. */
  const fails = async (phone, url, why) => {
    const page = await phone.context.newPage();
    await assert.rejects(page.goto(url), why);
    await page.close();
  };

  // Untrusted: no page at all, and the setup page's own check says so.
  const bare = await home(folder, "bare");
  const stranger = await open("stranger", bare);
  await fails(stranger, origin, /ERR_CERT_AUTHORITY_INVALID/);
  await stranger.page.goto(setup);
  await stranger.page.locator("[data-check=none]").waitFor();
  console.log("untrusted: refused, and the setup page says so");

  // The warning clicked through, as its own keys do it: a secure context that may keep nothing.
  await stranger.page.goto(origin).catch(() => {});
  await stranger.page.waitForURL(/^chrome-error:/);
  await stranger.page.keyboard.type("thisisunsafe");
  await stranger.page.locator("form[data-code]").waitFor();
  assert.equal((await facts(stranger.page))[0], true);
  assert.equal(await worker(stranger.page), "SecurityError");
  await stranger.page.goto(`${origin}/sign-in#${server.code}`);
  await stranger.page.waitForURL(`${origin}/`);
  await stranger.says("This phone cannot open pages away from the server.");
  assert.equal(await stranger.page.locator(".say[role=status] a").getAttribute("href"), "/setup");
  stranger.job = await stranger.page.locator("main .rows a").first().getAttribute("href");
  await stranger.page.goto(stranger.job);
  await stranger.note("Clicked through");
  await stranger.toSend(0);
  console.log("clicked through: entries go, pages are not kept, and it is said");
  await stranger.end();

  // Trusted: the authority that the plain port hands out.
  const trusting = await home(folder, "trusting");
  const certificate = join(folder, "ca.cer");
  await writeFile(certificate, Buffer.from(await (await fetch(`http://${address}:18080/ca.cer`)).arrayBuffer()));
  trust(trusting, certificate);
  const phone = await open("phone", trusting, [`--log-net-log=${net}`]);
  await phone.page.goto(setup);
  await phone.page.locator("[data-check=trusted]").waitFor();
  await phone.signIn(await server.fresh());
  assert.deepEqual(await facts(phone.page), [true, true, true]);
  const cookie = (await phone.context.cookies()).find((one) => one.name === "__Host-device");
  assert.ok(cookie.secure && cookie.httpOnly && cookie.sameSite === "Lax");
  // another name of the certificate leads to the one address; a name that isn't in it is refused
  for (const other of ["elm-street.lan", address, "localhost"].slice(0, alone ? 2 : 3)) {
    await phone.page.goto(`https://${other}:18443/help?x=1`);
    assert.equal(phone.page.url(), `${origin}/help?x=1`, other);
  }
  await fails(phone, "https://other.local:18443/", /ERR_CERT_COMMON_NAME_INVALID/);
  await server.kill();
  await phone.page.goto(phone.job);
  await phone.says("Server out of reach.");
  await phone.note("Through a trusted certificate");
  await server.start({ port: 18081 });
  await phone.page.goto(phone.job);
  await phone.toSend(0);
  await phone.end();
  console.log("trusted: opens away from the server");

  // What pages and workers asked the network for, by the browser's own log. What it asks on its own account, and the
  // addresses that this walk typed, have no page that began it.
  const { constants, events } = JSON.parse(await readFile(net, "utf8"));
  const start = constants.logEventTypes.URL_REQUEST_START_JOB;
  const urls = events.filter(({ type, params }) => type === start && /^https?:/.test(params?.initiator ?? "")).map((one) => one.params.url);
  assert.ok(urls.some((url) => url.startsWith(`${origin}/sync/`)), "the log holds what was asked");
  const hosts = [...new Set(urls.filter((url) => /^(http|ws)s?:/.test(url)).map((url) => new URL(url).hostname))].sort();
  assert.deepEqual(hosts, [address, "elm-street.local"].sort());
  console.log(`asked of ${urls.length} addresses: the server alone`);
  await server.kill();

  // Plain HTTP in a local network: no worker, no cache; entries go while the page is open.
  if (alone) {
    const plain = ends(new Server(program, join(folder, "data"), ["serve", "--lan", "--plain-http"]));
    await plain.start({ port: 18081 });
    const there = ends(await new Phone(join(folder, "plain"), `http://${address}:18081`).open());
    await there.page.goto(`http://${address}:18081/sign-in#${plain.code}`);
    await there.page.waitForURL(`http://${address}:18081/`);
    assert.deepEqual(await facts(there.page), [false, false, false]);
    await there.says("This phone cannot open pages away from the server.");
    there.job = await there.page.locator("main .rows a").first().getAttribute("href");
    await there.page.goto(there.job);
    await there.note("By plain HTTP");
    await there.toSend(0);
    // away from the server while the page stays open: kept, and sent once it is back
    await plain.kill();
    await there.note("By plain HTTP, away");
    await there.toSend(1);
    await plain.start({ port: 18081 });
    await there.page.evaluate(() => dispatchEvent(new Event("online")));
    await until("it is sent", async () => (await there.record()).some((one) => one.fields.text === "By plain HTTP, away"));
    await there.toSend(0);
    console.log("plain HTTP: entries go, pages are not kept, and it is said");
  }
}, "pages are kept where they may be, and nowhere else");
