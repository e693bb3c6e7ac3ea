// Every page once, at the width of a small phone and of a desk: found by following the links from the jobs on, one thing
// of each kind. Nothing sideways, targets big enough, axe without a finding, no script error, no request elsewhere.
//
// `node pages.mjs ORIGIN CODE` prints the pattern of each page that it saw; the test compares them with the router's.

import { PICTURE, Walk, axe, bigEnough, main, noSideways, phone, quiet, shot } from "./lib.mjs";
import { codeFor, pair } from "./serving.mjs";
import { signIn } from "./sign_in.mjs";

const WIDTHS = [
  { width: 320, height: 568 },
  { width: 1280, height: 800 },
];
// An order's print page runs nothing, so nothing can be asked of it here.
const FILES = /\/(buy-list\.(csv|txt)|order\/ID\/(csv|text|print)|job-file|job\.zip|photo\/ID\/(file|full))$|^\/a\//;
// an id, or a week's number
const ID = /^([0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}|\d+)$/;

/** An address without its ids and what is asked: two of the same pattern are the same page of another thing. */
function pattern(href) {
  const path = new URL(href).pathname;
  return path
    .split("/")
    .map((part) => (ID.test(part) ? "ID" : part))
    .join("/");
}

/** Drafts an order of the first week that a yard has lines of. */
async function draftAnOrder(page, job) {
  for (let week = 1; week <= 9; week += 1) {
    await page.goto(`${job}/order?week=${week}`);
    const form = page.locator("form[data-kind='order.add']");
    if ((await form.locator("[name=supplier]").inputValue()) === "") continue;
    await new Walk(page).follow(form.locator("button").last());
    if ((await page.locator("form#send").count()) > 0) return;
  }
  throw new Error("no week has lines of a yard");
}

function name(of) {
  return of === "/" ? "jobs" : of.replace(/^\/(jobs\/ID\/?)?/, "").replaceAll("/", "-").toLowerCase() || "this-week";
}

await main(
  async ({ browser, origin, code }) => {
    // without its worker, which would ask for a page behind this walk's back
    const on = await phone(browser, { origin, serviceWorkers: "block" });
    const { page } = on;
    await signIn(page, code, true);
    const found = [];

    const look = async (what, shotName) => {
      for (const screen of WIDTHS) {
        await page.setViewportSize(screen);
        await shot(page, `page-${shotName}-${screen.width}`);
      }
      // what lies in folds must hold too
      await page.evaluate(() => document.querySelectorAll("main details").forEach((fold) => (fold.open = true)));
      for (const screen of WIDTHS) {
        await page.setViewportSize(screen);
        const at = `${what} at ${screen.width}`;
        for (const check of [noSideways, bigEnough]) {
          await check(page).catch((error) => found.push(`${at}: ${error.message}`));
        }
        // what the sticky bar covers can't be judged in a short window
        const height = await page.evaluate(() => document.documentElement.scrollHeight + 200);
        await page.setViewportSize({ width: screen.width, height });
        found.push(...(await axe(page)).map((one) => `${at}: ${one}`));
      }
      await page.setViewportSize(WIDTHS[0]);
    };

    // a photo, so that there is one to be looked at
    await page.goto(origin);
    const walk = new Walk(page);
    await walk.follow(page.locator("main .rows a").first());
    await walk.photograph(page.locator("#hand + .rows label", { hasText: "Photo" }), PICTURE);
    await walk.follow(page.getByRole("button", { name: "Save photo" }));

    // and one of the crew with a phone, beside the lead
    const cookie = (await page.context().cookies()).map(({ name, value }) => `${name}=${value}`).join("; ");
    await pair(origin, await codeFor(origin, cookie, { name: "Benjamin Oldcastle" }));

    const seen = new Set();
    const files = new Set();
    let first = "";
    let shore = "";
    const waiting = ["/", "/help", "/sign-in", "/outbox", "/offline", "/crew", "/setup"].map((path) => origin + path);
    while (waiting.length > 0) {
      const href = waiting.shift();
      const of = pattern(href);
      if (seen.has(of)) continue;
      seen.add(of);
      if (of === "/jobs/ID") first = href;
      if (of === "/jobs/ID/shore/ID") shore = href;
      if (FILES.test(of)) {
        files.add(href);
        continue;
      }
      const answer = await page.goto(href);
      if (answer.status() !== 200) {
        found.push(`${of}: ${answer.status()}`);
        continue;
      }
      await look(of, name(of));
      const links = await page.locator("a[href]").evaluateAll((all) => all.map((a) => a.href.split("#")[0]));
      waiting.push(...links.filter((link) => link.startsWith(origin)));
    }

    // shoring that stands: the way to striking it
    await page.goto(`${shore}/done`);
    await new Walk(page).follow(page.getByRole("button", { name: "Save: done" }).first());
    await page.goto(shore);
    await look("/jobs/ID/shore/ID that is done", "shore-done");
    await page.goto(`${shore}/struck`);
    seen.add(pattern(page.url()));
    await look("/jobs/ID/shore/ID/struck", "shore-struck");

    // a yard order: drafted, sent, its papers
    const job = first.match(/^.*\/jobs\/[^/?#]+/)[0];
    await draftAnOrder(page, job);
    await look("/jobs/ID/order/ID that is a draft", "order-draft");
    await new Walk(page).follow(page.getByRole("button", { name: "Send order" }));
    seen.add(pattern(page.url()));
    await look("/jobs/ID/order/ID that was sent", "order-sent");
    const papers = await page.locator("#papers + .acts a").evaluateAll((all) => all.map((a) => a.href));
    for (const paper of papers) {
      const answer = await page.request.get(paper);
      if (answer.status() !== 200) found.push(`${pattern(paper)}: ${answer.status()}`);
      seen.add(pattern(paper));
    }
    // Its policy runs nothing, the questions asked here neither: it is looked at without.
    const print = papers.find((paper) => paper.endsWith("/print"));
    await page.route(print, async (route) => {
      const answer = await route.fetch();
      const { "content-security-policy": policy, ...headers } = answer.headers();
      if (!/sandbox/.test(policy)) found.push(`order-print: its policy is ${policy}`);
      await route.fulfill({ response: answer, headers });
    });
    await page.goto(print);
    await look("/jobs/ID/order/ID/print", "order-print");
    await page.goto(`${job}/order`);
    await look("/jobs/ID/order with an order", "orders");

    // pages that only a mistake leads to
    await page.goto("/jobs/nowhere");
    await look("an address that leads nowhere", "error-not-found");
    await page.goto(`${job}/run`);
    await page.locator("form[data-kind='run.add'] [name=spacing]").fill("sixteen");
    await page.locator("form[data-kind='run.add']").evaluate((form) => (form.noValidate = true));
    await walk.follow(page.locator("form[data-kind='run.add'] button").last());
    await look("a form that was refused", "error-form");

    // signed out
    const out = await phone(browser, { origin });
    await out.page.goto(job);
    if (!/sign/i.test(await out.page.locator("main").innerText())) found.push("signed out: no word of signing in");

    for (const of of [...seen].sort()) console.log(`saw ${of}`);
    found.push(...on.faults, ...out.faults);
    quiet({ ...on, faults: [] });
    quiet({ ...out, faults: [] });
    if (found.length > 0) throw new Error(`${found.length} findings:\n  ${found.join("\n  ")}`);
    console.log("every page holds");
  },
  { minutes: 20 },
);
