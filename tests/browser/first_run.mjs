// From an empty data folder to a CSV for the yard, by what the screens say alone: the walk presses what "Next" offers,
// and counts taps, screens and fields on the way. `node first_run.mjs ORIGIN CODE on|off`.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { Walk, main, phone, quiet, shot, usable } from "./lib.mjs";

const script = process.argv[4] !== "off";

await main(async ({ browser, origin, code }) => {
  const on = await phone(browser, { origin, script, acceptDownloads: true });
  const { page } = on;
  const walk = new Walk(page);
  let screens = 0;
  page.on("load", () => (screens += 1));
  const part = (of) => page.locator(of);
  const save = async (form) => walk.follow(form.getByRole("button", { name: /Save|Start/ }).last());
  const next = async (what) => {
    assert.match(await part("#nx").innerText(), what);
    await shot(page, `first-run-${screens}`);
    const way = part(".next a.btn");
    if ((await way.count()) > 0) await walk.follow(way);
    await usable(page, { script });
  };
  // saving leads back to this week, where the next step stands; a change opens its own page
  const isHome = async () => assert.equal(await part("#nx").count(), 1, `${page.url()} names no next step`);

  // Signing in: by the link alone where scripts run, else by typing the code.
  if (script) {
    await page.goto(`/sign-in#${code}`);
    await page.waitForURL("**/");
  } else {
    await page.goto("/sign-in");
    await walk.fill(page.getByLabel("Code"), code);
    await walk.follow(page.getByRole("button", { name: "Sign in" }));
  }
  assert.match(await part("main").innerText(), /A job is one house/);

  await walk.fill(page.getByLabel("Name"), "Mill Lane");
  await walk.fill(page.getByLabel("Year built"), "1931");
  await walk.fill(page.getByLabel("Usual species of new lumber"), "Hem-Fir");
  await walk.fill(page.getByLabel("Usual grade of new lumber"), "No.2");
  await save(part("form[data-kind='job.add']"));

  await next(/first room/);
  await walk.fill(page.getByLabel("Name"), "Kitchen");
  await walk.fill(page.getByLabel("Length", { exact: true }), "12' 3 1/4\"");
  await walk.fill(page.getByLabel("Width"), "10'");
  await walk.fill(page.getByLabel("Ceiling height"), "98 1/2");
  await save(part("form[data-kind='room.add']"));
  await isHome();

  await next(/joists/);
  const run = part("form[data-kind='run.add']").first();
  await walk.fill(run.getByLabel("Name"), "Ceiling joists");
  await walk.fill(run.getByLabel("Thickness as found"), "1 3/4");
  await walk.fill(run.getByLabel("Depth as found"), "5 3/4");
  await walk.fill(run.getByLabel("Spacing on centre"), "16");
  await walk.fill(run.getByLabel("How many"), "8");
  await walk.fill(run.getByLabel("First place from the wall"), "7 1/4");
  await save(run);
  await isHome();

  await next(/first change/);
  await walk.follow(page.getByRole("link", { name: /^Shore/ }));
  await usable(page, { script });
  const shore = part("form[data-kind='shore.add']");
  await walk.choose(shore.getByLabel("Wall", { exact: true }), { label: "Wall A" });
  await walk.choose(shore.getByLabel("Which side"), "a");
  await walk.fill(shore.getByLabel("Opening from the zero end"), "36");
  await walk.fill(shore.getByLabel("Opening to"), "108");
  await save(shore);
  await walk.follow(part(".title a").first());

  // What is missing is asked for, one after the other, until something can be bought.
  for (let step = 0; step < 14; step += 1) {
    const heading = await part("#nx").innerText();
    console.log(`next: ${heading} | ${(await part(".next").innerText()).replace(/\s+/g, " ")}`);
    if (/Buy/.test(heading)) break;
    await shot(page, `first-run-${screens}`);
    if ((await part(".next input[name=raw]").count()) > 0) {
      await walk.fill(part(".next input[name=raw]"), "98 1/2");
      await walk.follow(part(".next").getByRole("button", { name: "Save" }));
      continue;
    }
    await walk.follow(part(".next a.btn"));
    await usable(page, { script });
    const at = new URL(page.url());
    const field = part(at.hash || "#add");
    const tag = await field.evaluate((element) => element.localName);
    if (tag === "select") {
      const first = await field.locator("option:not([value=''])").first().getAttribute("value");
      await walk.choose(field, first);
      await walk.follow(part("form[data-kind$='.edit']").getByRole("button").last());
    } else if (tag === "input" || tag === "textarea") {
      await walk.fill(field, /screw/.test(heading) ? "screw 3 in" : "Ann, builder");
      await walk.follow(part("form[data-kind$='.edit']").getByRole("button").last());
    } else {
      throw new Error(`${heading}: ${page.url()} leads to no field (${tag})`);
    }
    await isHome();
  }
  await next(/Buy/);

  await shot(page, "first-run-buy-list");
  assert.ok((await part(".tick").count()) > 0, "there are lines to buy");
  const loading = page.waitForEvent("download");
  await walk.press(page.getByRole("link", { name: "CSV for the yard", exact: true }));
  const file = await loading;
  const lines = (await readFile(await file.path(), "utf8")).replace(/^\uFEFF/, "").trim().split(/\r\n/);
  console.log(lines.join("\n"));
  assert.ok(lines.length > 2, "a heading and lines");
  assert.match(lines[0], /^section,item,quantity,unit,/);
  // 72 in and 24 in beyond each end is 120 in: nine studs at 16 in, plates and braces, of 2x4 as the job's rules have it
  assert.ok(lines.some((line) => /^Lumber,"2×4 Hem-Fir No\.2, 8 ft",9,each,/.test(line)), "studs of the shoring");
  assert.ok(lines.some((line) => /^Fasteners,screw 3 in,/.test(line)), "its screws");

  quiet(on);
  // what it took when this was written: more means that a screen has come to ask more
  assert.ok(walk.taps <= (script ? 30 : 31) && walk.fields <= 20 && screens <= 17, `${walk.taps} taps, ${screens} screens, ${walk.fields} fields`);
  console.log(`first run, scripts ${script ? "on" : "off"}: ${walk.taps} taps, ${screens} screens, ${walk.fields} fields`);
});
