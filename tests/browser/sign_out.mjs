// Out of the server: a session that ran out, somebody else on the phone, a phone that was shut out, and signing out with and
// without entries that wait.
//
// `node sign_out.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder.

import assert from "node:assert/strict";
import { join } from "node:path";
import { Phone, main, steady, times, until } from "./phones.mjs";
import { Server, Wire } from "./server.mjs";

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const wire = ends(await new Wire(server).open());
  const phone = ends(await new Phone(join(folder, "phone"), wire.origin).open());
  await phone.signIn(server.code);
  const { page, context } = phone;
  const kept = () =>
    page.evaluate(async () => ({
      caches: (await caches.keys()).length,
      workers: (await navigator.serviceWorker.getRegistrations()).length,
    }));
  const away = () => (wire.meets = ({ path }) => path !== "/sign-out" && "lost");
  const back = () => (wire.meets = () => undefined);

  // The session ran out: everything stays, and the line leads to signing in, after which it goes.
  away();
  await phone.note("Kept through a 401");
  await context.clearCookies();
  back();
  await page.goto("/outbox");
  await phone.says("Sign in to send 1");
  assert.equal(await page.locator(".say[role=status] a").getAttribute("href"), "/sign-in");
  await phone.toSend(1);
  await phone.signIn(await server.fresh());
  assert.equal(times(await phone.record(), "note.add", "text", "Kept through a 401"), 1);
  console.log("401: kept, asked to sign in, sent");

  // Somebody else signs in on this phone: what waits is not theirs, and does not go under their name.
  away();
  await phone.note("Written by the lead");
  await context.clearCookies();
  back();
  const lead = ends(await new Phone(join(folder, "lead"), wire.origin).open());
  await lead.signIn(await server.fresh());
  await lead.page.goto("/crew");
  await lead.page.locator("#code-for [name=name]").fill("Ben");
  await lead.page.locator("#code-for button").last().tap();
  const digits = (await lead.page.locator(".digits").innerText()).replace(/\D/g, "");
  await page.goto(`/sign-in#${digits}`);
  await page.waitForURL(`${phone.origin}/`);
  await page.goto(phone.job);
  await phone.says("Kept here: 1.");
  assert.equal(times(await lead.record(), "note.add", "text", "Written by the lead"), 0);
  assert.deepEqual((await phone.entries()).filter((of) => of.state === "queued").length, 1);

  // Whoever becomes a guest meanwhile is told why nothing goes, and it goes once they are crew again.
  const role = async (of) => {
    await lead.page.goto("/crew");
    await lead.page.locator("summary", { hasText: "Change name or role of Ben" }).tap();
    const form = lead.page.locator("form", { has: lead.page.locator("input[value=Ben]") });
    await form.locator(`[name=role][value=${of}]`).check();
    await Promise.all([lead.page.waitForEvent("load"), form.getByRole("button").tap()]);
  };
  away();
  await phone.note("Written by Ben");
  await page.goto("about:blank"); // it sends nothing meanwhile
  back();
  await role("guest");
  await page.goto(phone.job);
  await phone.says("Kept here: 2. They go when their author signs in, as crew.");
  await role("crew");
  await page.goto(phone.job);
  await phone.says("Kept here: 1.");
  assert.equal(times(await lead.record(), "note.add", "text", "Written by Ben"), 1);
  // All caches went with the role; pages and their files come back, whether the browser makes a new worker or keeps the old one.
  await until("pages and their files are on the phone again", async () => {
    await steady(() => page.reload());
    await page.waitForTimeout(1000); // no more often than a hand would
    return steady(() =>
      page.evaluate(async () => {
        const names = await caches.keys();
        const held = await Promise.all(["files-", "pages-"].map(async (of) => (await (await caches.open(names.find((name) => name.startsWith(of)) ?? "none")).keys()).length));
        return held.every((n) => n > 3);
      }),
    );
  });
  console.log("a guest: told why it waits, sent as crew");

  await context.clearCookies();
  await phone.signIn(await server.fresh());
  assert.equal(times(await lead.record(), "note.add", "text", "Written by the lead"), 1);
  console.log("somebody else on the phone: nothing goes under another name");

  // Shut out: what is saved of the job goes at once, what was not sent stays until the phone is let in again.
  away();
  await phone.note("Not sent when shut out");
  await page.goto("about:blank");
  back();
  await lead.page.goto("/crew");
  await lead.toSend(0); // what the page shows comes in above the button
  await Promise.all([lead.page.waitForEvent("load"), lead.page.getByRole("button", { name: "Shut out every other phone" }).tap()]);
  await page.goto("/outbox");
  await phone.says("This phone was shut out.");
  assert.match(await page.locator(".say[role=status]").innerText(), /Kept here: 1/);
  assert.equal((await kept()).caches, 0);
  assert.deepEqual((await phone.entries()).map((of) => of.state), ["queued"]);
  await page.goto(phone.job);
  assert.equal(await page.locator("#hand").count(), 0, "the job is no more to be seen");
  await phone.signIn(await server.fresh());
  assert.equal(times(await lead.record(), "note.add", "text", "Not sent when shut out"), 1);
  console.log("shut out: pages gone, one entry kept, sent when let in again");

  // Signing out with an entry that waits: asked once, kept; pressed again, everything goes.
  const gone = async () => {
    await page.waitForURL("**/sign-in");
    await until("nothing is saved", async () => (await kept()).caches === 0);
    assert.deepEqual([await kept(), await phone.entries()], [{ caches: 0, workers: 0 }, []]);
  };
  away();
  await phone.note("Signed away");
  await page.goto("/outbox");
  const out = page.locator("form[action='/sign-out'] button");
  await out.tap();
  await page.locator("form[action='/sign-out'] .err", { hasText: "Not sent: 1." }).waitFor();
  assert.equal((await phone.entries()).filter((of) => of.state === "queued").length, 1);
  // the session would outlive what is on the phone: with no server in reach nothing goes
  wire.meets = () => "lost";
  await page.getByRole("button", { name: "Sign out and lose them" }).tap();
  await page.locator(".say[role=alert]", { hasText: "Not signed out: try beside the server." }).waitFor();
  assert.equal((await phone.entries()).filter((of) => of.state === "queued").length, 1);
  wire.meets = ({ path }) => path.startsWith("/sync/") && "lost";
  await page.getByRole("button", { name: "Sign out and lose them" }).tap();
  await gone();
  back();
  assert.equal(times(await lead.record(), "note.add", "text", "Signed away"), 0);

  // And with none: at once.
  await phone.signIn(await server.fresh());
  await page.goto("/outbox");
  await out.tap();
  await gone();
  await page.goto(phone.job);
  assert.equal(await page.locator("#hand").count(), 0);
  console.log("signed out: nothing is left on the phone");

  // Where the phone's storage doesn't answer nobody knows what waits: that is asked, too.
  await phone.signIn(await server.fresh());
  await page.addInitScript(() => (IDBFactory.prototype.open = () => ({})));
  await page.goto("/crew");
  await page.locator(".say[role=alert]", { hasText: "This browser keeps nothing." }).waitFor();
  await out.tap();
  await page.locator("form[action='/sign-out'] .err", { hasText: "Not sent: can’t be told." }).waitFor();
  console.log("a storage that doesn't answer: asked before anything goes");
}, "out means out, and nothing unsent is lost unasked");
