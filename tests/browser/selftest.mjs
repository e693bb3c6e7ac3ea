// Proves the harness on pages of its own: what it counts, and that it catches what it is there to catch.

import assert from "node:assert/strict";
import { mkdtemp, readdir, rm } from "node:fs/promises";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Walk, axe, bigEnough, main, noSideways, phone, quiet, shot, usable } from "./lib.mjs";

const page = (title, body) => `<!doctype html><html lang="en"><meta charset="utf-8"><title>${title}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>body{margin:16px;font:16px sans-serif}.t,button,input:not([type=checkbox]),select{display:block;min-height:48px;font:inherit}
label{display:block}.row{display:flex;align-items:center;min-height:48px}.row input{width:24px;height:24px}.far{height:1500px}</style>
<link rel="icon" href="data:,"><main><h1>${title}</h1>${body}</main></html>`;

const PAGES = {
  "/": page(
    "Good",
    `<p>A joist, as told in <a href="/wide">a sentence with a link</a>, may be low.</p>
    <a class="t" href="/form">Add a joist</a>
    <label class="row"><input type="checkbox"> Notched</label>`,
  ),
  "/form": page(
    "Form",
    `<form method="post" action="/form"><label>Depth <input name="depth"></label><label>Width <input name="width"></label>
    <label>Kind <select name="kind"><option>joist<option>stud</select></label><button>Save</button></form>
    <form method="post" action="/form"><label>Note <input name="note"></label></form>
    <div class="far"></div><a class="t" href="/">Back</a>`,
  ),
  "/wide": page("Wide", `<div class="beam" style="width:400px">A beam that sticks out</div>`),
  "/small": page("Small", `<a style="display:block;height:30px" href="/">Too low to hit with a glove</a>`),
  "/flag": page("Flag", `<div>North wall <svg width="40" height="40" role="img"><a href="/"><rect width="40" height="40"/></a></svg></div>`),
  "/box": page("Box", `<ul><li style="height:40px"><label><input type="checkbox"> Notched</label></li></ul>`),
  "/unread": page("Unread", `<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=" width="20" height="20">`),
  "/script": page("Script", `<p id="said">No script ran.</p><script src="/said.js"></script>`),
  "/broken": page("Broken", `<script src="/broken.js"></script>`),
  "/stranger": page("Stranger", `<img alt="" src="http://localhost:9/elsewhere.png">`),
  "/said.js": `document.querySelector("#said").textContent = "A script ran.";`,
  "/broken.js": `throw new Error("the outbox is gone");`,
};

const server = createServer((request, answer) => {
  if (request.method === "POST") return answer.writeHead(303, { location: "/" }).end();
  const body = PAGES[request.url];
  const type = request.url.endsWith(".js") ? "text/javascript" : "text/html; charset=utf-8";
  // the policy of a strict site: what the harness puts into a page must not need a hole in it
  const policy = "default-src 'self'; style-src 'unsafe-inline'; img-src * data:";
  return answer
    .writeHead(body ? 200 : 404, { "content-type": type, "content-security-policy": policy })
    .end(body ?? "");
});
await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
const origin = `http://127.0.0.1:${server.address().port}`;

await main(async ({ browser }) => {
  const on = await phone(browser, { origin });
  const walk = new Walk(on.page);

  await on.page.goto("/");
  await usable(on.page);
  await walk.follow(on.page.getByRole("link", { name: "Add a joist" }));
  await walk.fill(on.page.getByLabel("Depth"), "7 1/4");
  await walk.fill(on.page.getByLabel("Width"), "1 1/2");
  assert.equal(await on.page.getByLabel("Width").inputValue(), "1 1/2");
  walk.budget("two taps and two fields", 2, 2);

  // Next leads down one form only: back up, and to another form, is a press each.
  await walk.fill(on.page.getByLabel("Depth"), "7");
  await walk.fill(on.page.getByLabel("Note"), "checked");
  assert.deepEqual([walk.taps, walk.fields], [2, 2]);
  await walk.choose(on.page.getByLabel("Kind"), "stud");
  assert.deepEqual([walk.taps, walk.fields], [4, 2]);
  assert.throws(() => walk.budget("one tap too many", 3, 2), /Over its budget: one tap too many: 4 taps of 3/);
  await walk.fill(on.page.getByLabel("Depth"), "8");
  assert.throws(() => walk.budget("one field too many", 1, 0), /1 fields of 0/);

  // 1,500 px down is more than two screens of 568.
  await walk.follow(on.page.getByRole("link", { name: "Back" }));
  assert.deepEqual([walk.taps, walk.fields], [2, 0], walk.steps.join("; "));
  assert.equal(new URL(on.page.url()).pathname, "/");

  await on.page.goto("/wide");
  await assert.rejects(noSideways(on.page), /px wide on 320:\n.*class="beam"/s);
  await on.page.goto("/small");
  await assert.rejects(bigEnough(on.page), /30 px: <a style/);
  await on.page.goto("/flag");
  await assert.rejects(bigEnough(on.page), /40 px: <a href/);
  await on.page.goto("/box");
  await assert.rejects(bigEnough(on.page), /px: <input type="checkbox"/);
  await on.page.goto("/unread");
  assert.match((await axe(on.page)).join("\n"), /^image-alt/m);
  await assert.rejects(usable(on.page), /image-alt/);
  await on.page.goto("/script");
  assert.equal(await on.page.locator("#said").textContent(), "A script ran.");
  quiet(on);

  await on.page.goto("/broken");
  assert.throws(() => quiet(on), /the outbox is gone/);
  const other = await phone(browser, { origin });
  await other.page.goto("/stranger");
  assert.throws(() => quiet(other), /Other hosts were asked:\nhttp:\/\/localhost:9\//);

  const off = await phone(browser, { origin, script: false });
  await off.page.goto("/script");
  assert.equal(await off.page.locator("#said").textContent(), "No script ran.");
  const plain = new Walk(off.page);
  await off.page.goto("/form");
  await usable(off.page, { script: false });
  await plain.fill(off.page.getByLabel("Depth"), "9");
  await plain.follow(off.page.getByRole("button", { name: "Save" }));
  plain.budget("a form without script", 2, 1);
  assert.equal(new URL(off.page.url()).pathname, "/");
  await off.page.goto("/wide");
  await assert.rejects(noSideways(off.page), /px wide/);

  const given = process.env.SCANTLING_SHOTS;
  const folder = await mkdtemp(join(tmpdir(), "scantling-shots-"));
  process.env.SCANTLING_SHOTS = folder;
  await shot(on.page, "broken");
  assert.deepEqual((await readdir(folder)).sort(), ["broken-first.png", "broken.png"]);
  await rm(folder, { recursive: true });
  if (given === undefined) delete process.env.SCANTLING_SHOTS;
  else process.env.SCANTLING_SHOTS = given;
  console.log("all caught");
});
server.close();
