// A phone that is out of room, and a browser without a database: nothing is said to be saved that is not.
//
// `node full.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder.

import assert from "node:assert/strict";
import { join } from "node:path";
import { Phone, main, times } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const wire = ends(await new Wire(server).open());
  const phone = ends(await new Phone(join(folder, "phone"), wire.origin).open());
  await phone.signIn(server.code);
  let { page } = phone;
  // a picture that stays large: every pixel by chance
  const base64 = await page.evaluate(async () => {
    const canvas = new OffscreenCanvas(1500, 1500);
    const to = canvas.getContext("2d");
    const noise = to.createImageData(1500, 1500);
    for (let at = 0; at < noise.data.length; at += 65_536) crypto.getRandomValues(noise.data.subarray(at, at + 65_536));
    to.putImageData(noise, 0, 0);
    const bytes = new Uint8Array(await (await canvas.convertToBlob({ type: "image/jpeg", quality: 0.9 })).arrayBuffer());
    return btoa(bytes.reduce((text, byte) => text + String.fromCharCode(byte), ""));
  });
  const picture = { name: "wall.jpg", mimeType: "image/jpeg", buffer: Buffer.from(base64, "base64") };

  wire.meets = () => "lost";
  await phone.note("Before it was full");
  const before = await phone.context.newCDPSession(page);
  const { usage } = await before.send("Storage.getUsageAndQuota", { origin: wire.origin });
  // Chromium keeps what it found of room for half a minute: a fresh one looks anew
  await phone.kill();
  ({ page } = phone);
  const session = await phone.context.newCDPSession(page);
  await session.send("Storage.overrideQuotaForOrigin", { origin: wire.origin, quotaSize: usage + 100_000 });
  await page.goto(phone.job);
  await phone.toSend(1);
  const camera = page.locator("#hand + .rows input[type=file]").first();
  const form = page.locator("#hand + .rows form", { has: page.locator("input[type=file]") }).first();
  await camera.setInputFiles(picture);
  await page.getByRole("button", { name: "Save photo" }).first().tap();
  await phone.says("Not saved: this phone is out of room.", "alert");
  assert.equal(await page.locator(".say[role=alert] a").getAttribute("href"), "/outbox");
  assert.equal(await camera.evaluate((field) => field.files.length), 1, "the picture is still in the form");
  assert.ok(await form.isVisible());
  await phone.toSend(1);
  assert.deepEqual((await phone.entries()).map((of) => of.seq), [1]);
  console.log(`out of room at ${Math.round(picture.buffer.length / 1024)} kB: not saved, and said so`);

  // There is room again: the same press saves it, under the next number, and it arrives.
  await session.send("Storage.overrideQuotaForOrigin", { origin: wire.origin });
  await page.getByRole("button", { name: "Save photo" }).first().tap();
  await phone.toSend(2);
  assert.equal(await page.locator(".say[role=alert]").isVisible(), false);
  assert.deepEqual((await phone.entries()).map((of) => of.seq), [1, 2]);
  wire.meets = () => undefined;
  await page.goto(phone.job);
  await phone.toSend(0);
  const record = await phone.record();
  assert.deepEqual([times(record, "note.add", "text", "Before it was full"), record.filter((one) => one.kind === "photo.add").length], [1, 1]);

  // No database at all: forms go straight to the server, and nobody is told that anything is kept.
  const without = ends(new Phone(join(folder, "without"), wire.origin));
  await without.open();
  await without.context.addInitScript(() => {
    indexedDB.open = () => {
      throw new Error("no database here");
    };
  });
  await without.page.goto(`/sign-in#${await server.fresh()}`);
  await without.page.waitForURL(`${wire.origin}/`);
  await without.page.goto(phone.job);
  await without.says("This browser keeps nothing.", "alert");
  await without.page.locator("#hand + .rows summary").filter({ hasText: "Note" }).first().tap();
  await without.page.locator("#hand + .rows textarea").first().fill("Straight to the server");
  await Promise.all([without.page.waitForEvent("load"), without.page.getByRole("button", { name: "Save note" }).first().tap()]);
  assert.equal(times(await phone.record(), "note.add", "text", "Straight to the server"), 1);
  console.log("no database: straight to the server, and said so");
}, "nothing is said to be saved that is not");
