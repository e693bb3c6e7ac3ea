// From the console of `serve --lan` and its code for cameras to a first reading from a second phone, by what the screens say
// alone: each screen and each tap is told. `node first_reading.mjs PROGRAM FOLDER`.

import assert from "node:assert/strict";
import { join } from "node:path";
import { Walk, shot, usable } from "./lib.mjs";
import { home, inOwnNetwork, trust } from "./own_network.mjs";
import { Phone, main } from "./phones.mjs";
import { Server } from "./server.mjs";

const alone = inOwnNetwork(import.meta.url);
const address = alone || "127.0.0.1";

await main(async ({ program, folder, ends }) => {
  const server = ends(new Server(program, join(folder, "empty"), ["serve", "--lan", "--no-announce", "--https-port", "18543", "--http-port", "18580"]));
  await server.start({ port: 18581 });
  // what the console says is all that anybody has
  const said = server.said.join("\n");
  const setup = `http://${address}:18580/setup`;
  // on loopback there is no address that a phone could be told
  if (alone) assert.ok(said.includes(`point its camera here, or open ${setup} on it.`), said);
  const origin = server.origin;
  const at = await home(folder, "phones");
  const open = async (name, size) => {
    const own = [new URL(setup).origin, `https://${address}:18543`];
    const flags = [`--host-resolver-rules=MAP ${new URL(origin).hostname} ${address}`];
    const one = ends(await new Phone(join(folder, name), origin, { flags, own, env: { ...process.env, HOME: at }, ...size }).open());
    return Object.assign(one, { walk: new Walk(one.page) });
  };
  let screens = 0;
  /** Tells the screen that is open, and what was pressed to come there. */
  const screen = async ({ page, walk }, name) => {
    await usable(page);
    await shot(page, `first-reading-${(screens += 1)}`);
    const title = await page.locator("h1").first().innerText();
    assert.match(title, name);
    console.log(`${title}: ${walk.taps} taps, ${walk.fields} fields so far`);
  };

  // The phone's setup page gives the certificate, and says whether it is trusted.
  const early = await open("crew");
  await early.page.goto(setup);
  await early.page.locator("[data-check=none]").waitFor();
  await screen(early, /Set up this phone/);
  const certificate = join(folder, "ca.cer");
  const given = early.page.waitForEvent("download");
  await early.walk.press(early.page.getByRole("link", { name: "Get the certificate" }));
  await (await given).saveAs(certificate);
  await early.end();
  trust(at, certificate);

  // The lead, at the console's own address.
  const lead = await open("lead", { viewport: { width: 1280, height: 800 }, isMobile: false });
  await lead.page.goto(`${origin}/sign-in#${server.code}`);
  await lead.page.waitForURL(`${origin}/`);
  await lead.saved();
  await screen(lead, /Jobs/);
  await lead.walk.fill(lead.page.getByLabel("Name"), "Mill Lane");
  await lead.walk.follow(lead.page.locator("form[data-kind='job.add'] button").last());
  await screen(lead, /This week/);
  await lead.walk.follow(lead.page.getByRole("link", { name: /^Crew and phones/ }).first());
  await screen(lead, /Crew and phones/);
  await lead.walk.fill(lead.page.getByLabel("For somebody new: name"), "Ida");
  await lead.walk.press(lead.page.getByLabel(/^Crew: /));
  await lead.walk.follow(lead.page.getByRole("button", { name: "Make a code" }));
  const digits = await lead.page.locator(".digits").innerText();
  console.log(`the lead reads eight digits out: ${lead.walk.taps} taps, ${lead.walk.fields} fields`);

  // The phone again: trusted now, then by what each screen offers.
  const phone = await open("crew");
  const { page, walk } = phone;
  await page.goto(setup);
  await page.locator("[data-check=trusted]").waitFor();
  await screen(phone, /Set up this phone/);
  await walk.follow(page.getByRole("link", { name: "Open Scantling" }));
  await screen(phone, /Sign in/);
  await walk.fill(page.getByLabel(/digits|Code/), digits);
  await walk.follow(page.getByRole("button", { name: "Sign in" }));
  await phone.saved();
  await screen(phone, /Jobs/);
  await walk.follow(page.getByRole("link", { name: /Mill Lane/ }));
  await screen(phone, /This week/);
  await walk.follow(page.locator(".next a.btn"));
  await screen(phone, /House/);
  await walk.fill(page.getByLabel("Name"), "Kitchen");
  await walk.fill(page.getByLabel("Length", { exact: true }), "12' 3 1/4\"");
  await walk.fill(page.getByLabel("Width"), "10'");
  await walk.fill(page.getByLabel("Ceiling height"), "98 1/2");
  await walk.follow(page.locator("form[data-kind='room.add'] button").last());
  await phone.toSend(0);
  await screen(phone, /This week/);
  assert.match(await page.locator("#nx").innerText(), /joists/);
  const ask = async (job) => (await (await fetch(`${job}/job-file`)).json()).entries;
  const record = await lead.page.evaluate(ask, new URL(page.url()).pathname);
  const readings = record.filter((one) => one.kind === "reading.add");
  assert.ok(readings.some((one) => one.fields.raw === "98 1/2"), JSON.stringify(readings));
  console.log(`a first reading is on the server: ${walk.taps} taps, ${walk.fields} fields`);
}, "from the console to a first reading");
