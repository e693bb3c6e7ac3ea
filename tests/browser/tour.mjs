// README's tour on the demo job: the round page by page, and a picture of each in the folder of SCANTLING_TOUR.
//
// `node tour.mjs ORIGIN CODE` prints the name of each picture. They are first screens of a small phone, 320 × 568, one
// pixel each, so that they stay small.

import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { SCREEN, Walk, main, phone, quiet } from "./lib.mjs";
import { signIn } from "./sign_in.mjs";

const folder = process.env.SCANTLING_TOUR;
if (!folder) throw new Error("SCANTLING_TOUR names no folder; make the pictures by: sh tests/run --pictures");

await main(async ({ browser, origin, code }) => {
  const on = await phone(browser, { origin, screen: SCREEN, deviceScaleFactor: 1 });
  const { page } = on;
  await mkdir(folder, { recursive: true });
  await signIn(page, code, true);
  await page.locator("main .rows a").first().tap();
  await page.waitForURL("**/jobs/*");
  const job = new URL(page.url()).pathname;
  const walk = new Walk(page);
  const picture = async (name) => {
    await page.screenshot({ path: join(folder, `${name}.png`) });
    console.log(`picture ${name}`);
  };
  const bar = (name) => page.locator(".bar").getByRole("link", { name, exact: true });
  const link = (name) => page.locator("main").getByRole("link", { name }).first();

  await picture("this-week");

  await walk.follow(bar("House"));
  await walk.follow(page.locator("#walls + .rows a[href*='/wall/']").first());
  await picture("wall");

  await page.goto(job);
  await walk.follow(bar("Buy list"));
  await walk.follow(page.locator(".tick").first());
  await picture("buy-list");

  await page.goto(`${job}/cut-list`);
  await picture("cut-list");

  await page.goto(`${job}/on-hand`);
  await picture("on-hand");

  // Week 1 lies behind the demo's present: it is over, and not closed yet.
  await page.goto(`${job}?week=1`);
  await walk.follow(link("Close the week"));
  await picture("close-week");

  await walk.follow(page.locator(".up"));
  await walk.follow(link("The list as it was kept"));
  await picture("kept-list");

  // Its order came short; what was bought instead stands on the other yard's receipt.
  await page.goto(`${job}/order`);
  await walk.follow(page.locator("main .rows a[href*='/order/']").first());
  await picture("order");

  await page.goto(`${job}/receipt`);
  const paid = page.locator("main .rows li", { hasText: "$87.01" });
  await walk.follow(paid.locator("a[href*='/receipt/']").first());
  const swap = page.locator("main .rows li", { hasText: "instead of" });
  await swap.evaluate((line) => line.scrollIntoView({ block: "center" }));
  await picture("receipt");

  await page.goto(`${job}/money`);
  await page.locator("#bars").evaluate((heading) => heading.scrollIntoView());
  await picture("money");

  quiet(on);
});
