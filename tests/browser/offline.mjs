// A phone away from the server: every kind of page opens that was there before, what is entered is kept through a killed
// browser, and each entry arrives once. The server is killed and frozen, not only unreachable for the browser.
//
// `node offline.mjs PROGRAM FOLDER`: FOLDER/data is a filled data folder.

import assert from "node:assert/strict";
import { join } from "node:path";
import { PICTURE, usable } from "./lib.mjs";
import { Phone, main, steady, times, until } from "./phones.mjs";
import { Server } from "./server.mjs";

// What is no page, or belongs to the server's side alone.
const NO_PAGE = /\.(csv|txt|zip)\b|\/(job-file|file|csv|text|print|small|screen)$|^\/(setup|import|a\/|manifest|ca\.cer)/;
const ID = /^([0-9a-f]{8}-[0-9a-f-]{27}|\d+)$/;

/** An address without its ids and what is asked. */
const pattern = (path) =>
  path
    .split("?")[0]
    .split("/")
    .map((part) => (ID.test(part) ? "ID" : part))
    .join("/");

/** One address of each kind of page, found by following links from the job's on. */
async function kinds(phone) {
  const found = new Map();
  const waiting = ["/", "/help", "/outbox", "/crew", phone.job];
  while (waiting.length > 0) {
    const path = waiting.shift();
    if (found.has(pattern(path)) || NO_PAGE.test(path)) continue;
    const answer = await phone.context.request.get(phone.origin + path);
    assert.equal(answer.status(), 200, path);
    found.set(pattern(path), path);
    const links = [...(await answer.text()).matchAll(/ href="(\/[^"#]*)/g)].map(([, href]) => href.replaceAll("&amp;", "&"));
    waiting.push(...links);
  }
  return found;
}

await main(async ({ program, folder, ends }) => {
  const server = ends(await new Server(program, join(folder, "data"), ["serve"]).start());
  const phone = ends(await new Phone(join(folder, "phone"), server.origin).open());
  const { origin } = server;
  const job = await phone.signIn(server.code);
  let { page } = phone;
  const raw = page.getByLabel("Reading", { exact: true });

  // Every kind of page. Those of the pinned job are saved unseen; the others once they were seen.
  const pages = await kinds(phone);
  const saved = () =>
    page.evaluate(async () => {
      const cache = await caches.open((await caches.keys()).find((name) => name.startsWith("pages-")));
      return (await cache.keys()).map(({ url }) => url.slice(location.origin.length));
    });
  const unseen = new Set(await saved());
  const others = [...pages.values()].filter((path) => !unseen.has(path));
  const titles = new Map();
  for (const path of pages.values()) titles.set(path, /<title>([^<]*)/.exec(await (await phone.context.request.get(origin + path)).text())[1]);
  const away = async (paths) => {
    await server.kill();
    for (const path of paths) {
      await page.goto(path, { waitUntil: "domcontentloaded" });
      assert.equal(await page.title(), titles.get(path).replaceAll("&#39;", "'").replaceAll("&amp;", "&"), `${path} opens away from the server`);
    }
  };
  // what was seen stays while it is of the last twenty
  const left = [...others];
  for (let some = left.splice(0, 20); some.length > 0; some = left.splice(0, 20)) {
    for (const path of some) await page.goto(path, { waitUntil: "domcontentloaded" });
    await away(some);
    await server.start();
  }
  await away([...pages.values()].filter((path) => unseen.has(path)));
  console.log(`${titles.size} kinds of page open with no server, ${titles.size - others.length} of them unseen before`);
  // The index of any page, and the ways to add things, lead to pages that are saved unseen.
  for (const path of ["house", "buy-list", "cut-list", "materials", "changes", "on-hand", "holds", "receipt", "order", "member", "run", "wall", "note", "plan", "hang_joists", "photo"]) {
    assert.ok(unseen.has(`${job}/${path}`), `${path} is saved unseen`);
  }
  assert.ok([...unseen].some((path) => path.includes("/hold/")), "so is what holds the week's changes");
  await page.goto(`${origin}/jobs/nowhere`);
  await page.getByRole("heading", { name: "Not on this phone" }).waitFor();
  await page.locator("#saved a", { hasText: "This week" }).first().waitFor();
  await usable(page);
  await page.goto(job);
  await phone.says("Server out of reach. Entries are kept on this phone. As of");
  await server.start();

  // Refused while the server is there: its own form, filled, with what is wrong; mended, it is in once.
  const wall = [...unseen].find((path) => /\/wall\/[0-9a-f-]{36}$/.test(path));
  await page.goto(wall);
  await raw.fill("98 1/3");
  await page.getByRole("button", { name: "Save reading" }).tap();
  await page.locator(".err", { hasText: "character" }).first().waitFor();
  assert.equal(await raw.inputValue(), "98 1/3");
  await raw.fill("98 3/8");
  await Promise.all([page.waitForEvent("load"), page.getByRole("button", { name: "Save reading" }).tap()]);
  await page.locator(".note", { hasText: "Saved." }).waitFor();
  await phone.toSend(0);
  console.log("refused and mended");

  // A member with its readings, one that rests on it, a reading, a note, a photo; the browser is killed right after.
  await server.kill();
  await page.goto(`${job}/member`);
  const member = page.locator("form[data-kind='member.add']");
  await member.getByLabel("Name").fill("Beam found away");
  await member.locator("[name='reading.depth']").fill("9 19/32");
  await member.getByRole("button").last().tap();
  await phone.says("Saved on this phone.");
  await page.locator("li[data-state=queued]", { hasText: "Beam found away" }).waitFor();
  await phone.over();
  await member.getByLabel("Name").fill("Joist on it");
  await phone.choose(member.locator("[name=start_at]"), "Beam found away (waiting)");
  await member.getByRole("button").last().tap();
  await phone.toSend(2);
  await page.goto(job);
  await page.locator(".next input[name=raw]").fill("97 11/32");
  await page.locator(".next output", { hasText: "8' 1 11/32\"" }).waitFor();
  await page.locator(".next button").filter({ hasText: "Save" }).tap();
  await page.locator("li[data-state=queued]", { hasText: "97 11/32" }).waitFor();
  await phone.note("Written away from the server.");
  await page.locator("#hand + .rows input[type=file]").setInputFiles(PICTURE);
  await page.getByRole("button", { name: "Save photo" }).tap();
  await phone.toSend(5);
  await usable(page);
  await page.locator("#hand + .rows summary").filter({ hasText: "Note" }).tap();
  await page.locator("#hand + .rows textarea").fill("Typed, not saved.");
  await page.waitForTimeout(1000); // a draft is kept when typing has paused
  await phone.kill();
  ({ page } = phone);
  await page.goto(job);
  await phone.toSend(5);
  await page.locator("li[data-state=queued]", { hasText: "97 11/32" }).waitFor();
  await page.waitForFunction(() => document.querySelector("#hand + .rows textarea").value === "Typed, not saved.");
  await page.goto("/outbox");
  await page.locator("[data-entries] > [data-state=queued]").nth(4).waitFor();
  // and at once after the press, with nothing waited for but the phone's own word
  await page.goto(job);
  for (const nth of [1, 2, 3]) {
    await phone.note(`Right before it was killed, ${nth}`);
    await phone.kill();
    ({ page } = phone);
    await page.goto(job);
    await phone.toSend(5 + nth);
  }
  console.log("kept through four killed browsers");

  // A frozen server answers nothing and refuses nothing.
  await server.start();
  server.freeze();
  for (const visit of ["first", "second"]) {
    const asked = Date.now();
    await page.goto(job);
    console.log(`a frozen server, ${visit} visit: ${Date.now() - asked} ms`);
  }
  server.thaw();

  // It is back: each entry once.
  await page.goto(job);
  await phone.toSend(0);
  const record = await phone.record();
  for (const [kind, name, text] of [
    ["reading.add", "raw", "97 11/32"],
    ["reading.add", "raw", "98 3/8"],
    ["reading.add", "raw", "9 19/32"],
    ["member.add", "name", "Beam found away"],
    ["member.add", "name", "Joist on it"],
    ["note.add", "text", "Written away from the server."],
    ...[1, 2, 3].map((nth) => ["note.add", "text", `Right before it was killed, ${nth}`]),
  ]) {
    assert.equal(times(record, kind, name, text), 1, text);
  }
  const of = (name) => record.find((one) => one.kind === "member.add" && one.fields.name === name);
  assert.deepEqual(of("Joist on it").fields.start_at, of("Beam found away").entity_id);
  assert.deepEqual(record.find((one) => one.fields.raw === "9 19/32").fields.of, of("Beam found away").entity_id);
  assert.equal(record.filter((one) => one.kind === "photo.add").length, 1);
  await page.goto(`${job}/photo`);
  await page.locator("main img").first().waitFor();
  assert.ok(await page.locator("main img").first().evaluate((img) => img.decode().then(() => img.naturalWidth > 0)));
  // and its small picture is put by for when the server is away again
  const src = await page.locator("main img").first().getAttribute("src");
  await until("the small picture is put by", () => page.evaluate(async (src) => !!(await caches.match(src)), src));
  console.log("each entry arrived once");

  // It went smaller, as JPEG. Where a phone keeps originals it goes as the camera made it, and has its small copies too.
  const kept = async () => {
    const { entity_id: id } = (await phone.record()).filter((one) => one.kind === "photo.add").at(-1);
    const [file, small] = await Promise.all(["file", "small"].map((which) => phone.context.request.get(`${origin}${job}/photo/${id}/${which}`)));
    if (!file.ok()) return Buffer.alloc(0); // its entry goes first
    assert.equal(small.headers()["content-type"], "image/jpeg");
    return file.body();
  };
  assert.deepEqual([...(await kept()).subarray(0, 3)], [0xff, 0xd8, 0xff]);
  await page.goto("/outbox");
  await page.getByText("Keep original photos").tap();
  // a page that is left at once takes back what it had begun to write
  await until("the phone keeps the setting", () => phone.noted("whole"));
  await page.reload();
  await page.waitForFunction(() => document.querySelector("#whole").checked);
  await usable(page);
  await page.goto(job);
  await page.locator("#hand + .rows input[type=file]").setInputFiles(PICTURE);
  await page.getByRole("button", { name: "Save photo" }).tap();
  await until("the original is there", async () => (await kept()).equals(PICTURE.buffer));
  await phone.toSend(0);
  await phone.over();
  console.log("a picture goes small, and as it was made where that is asked for");

  // A sign-off written away from the server, on what another phone has changed meanwhile: it does not release.
  const beam = `${job}/set_beam/${record.find((one) => one.kind === "set_beam.add").entity_id}`;
  const hold = `${beam}/hold/raised`;
  await steady(() => page.goto(hold));
  await phone.toSend(0);
  await server.kill();
  await page.goto(hold);
  await phone.says("from this phone. Ask before cutting.");
  await page.locator("form#hold [name=seen]").first().check();
  await page.locator("form#hold button").tap();
  await page.getByRole("heading", { name: "Waiting: not released for anyone else" }).waitFor();
  await page.locator("[data-waiting='hold.release'] > [data-state=queued]").waitFor();
  await usable(page);
  await page.goto("about:blank");
  await server.start();
  const other = { "was.plies": "3", plies: "4", "base.plies": "1", op_id: "0193a1b0-0000-7000-8000-0000000000aa" };
  const edited = await phone.context.request.post(origin + beam, { form: other, headers: { origin }, maxRedirects: 0 });
  assert.equal(edited.status(), 303);
  await page.goto("/outbox");
  await page.locator("[data-entries] > [data-state=conflict]").waitFor();
  await page.goto(hold);
  await page.locator(".v", { hasText: "Not signed off yet" }).waitFor();
  await page.goto(`${job}/holds`);
  await page.getByRole("heading", { name: "Did not count" }).waitFor();
  console.log("a sign-off on what changed meanwhile did not release");
}, "a phone away from the server holds");
