// The harness of the walks: a small phone in a real Chromium, which counts taps and fields, takes pictures, and looks
// for what a phone or a screen reader can't use. It knows nothing of Scantling's pages: each walk names its own.
//
// A tap is a press on anything, the first field included: the phone's Next key leads on from there to later fields of
// the same form. Typing is counted as fields. Each scroll past two screens counts as a tap.

import { mkdir } from "node:fs/promises";
import { createRequire } from "node:module";
import { join } from "node:path";
import { chromium } from "playwright-core";

const axeSource = createRequire(import.meta.url)("axe-core").source;

// No other host may be asked, so what Chromium does in the background is switched off.
export const FLAGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

// Heights of the demo's Middle wall before its shoring: under load the ceiling has not moved.
const HEIGHTS = {
  "a zero end": "99 1/8",
  "a middle": "98 7/8",
  "a far end": "98 15/16",
  "b zero end": "98 3/4",
  "b middle": "98 5/8",
  "b far end": "98 7/8",
};

/** Does all that a lead can do for the hold points of a change: skips what may be skipped, reads heights under load, and
 * signs off. */
export async function signAll(walk, change) {
  const { page } = walk;
  await page.goto(change);
  const holds = await page.locator("main a[href*='/hold/']").evaluateAll((all) => [...new Set(all.map((a) => a.href.split("#")[0]))]);
  for (const hold of holds) {
    await page.goto(hold);
    const skip = page.locator("a[href*='/skip?']");
    while ((await skip.count()) > 0) {
      await walk.follow(skip.first());
      await page.locator("form[data-kind='hold.skip'] [name=reason]").fill("Said by word of mouth");
      await walk.follow(page.locator("form[data-kind='hold.skip'] button").last());
    }
    const unread = page.locator("a[href*='what=under_load']");
    while ((await unread.count()) > 0) {
      const asked = new URL(await unread.first().evaluate((a) => a.href)).searchParams;
      await walk.follow(unread.first());
      await walk.fill(page.locator("form#r input[name=raw]"), HEIGHTS[`${asked.get("side")} ${asked.get("place")}`]);
      await walk.follow(page.locator("form#r").getByRole("button", { name: "Save reading" }));
      await page.goto(hold);
    }
    const sign = page.locator("form#hold");
    if ((await sign.count()) === 0) continue;
    for (const tick of await sign.locator("[name=seen]").all()) await tick.check();
    await walk.follow(sign.locator("button").last());
  }
}

/** A photo as a camera hands it over: a small PNG, grey in stripes. */
export const PICTURE = {
  name: "wall.png",
  mimeType: "image/png",
  buffer: Buffer.from(
    "iVBORw0KGgoAAAANSUhEUgAAAGAAAABAAQAAAADNT0+jAAAAFElEQVR42mP4gAQYRjmjnFEOKRwAR87QHxbRvTkAAAAASUVORK5CYII=",
    "base64",
  ),
};

export const SCREEN = { width: 320, height: 568 };
// The least height of something to press, and the least side of a box to tick in a row of that height.
const TARGET = 48;
const BOX = 24;

/** Starts the Chromium of SCANTLING_CHROMIUM. Whoever asked for it closes it; `phone` makes pages in it. */
export async function launch({ flags = [] } = {}) {
  const executablePath = process.env.SCANTLING_CHROMIUM;
  if (!executablePath) throw new Error("SCANTLING_CHROMIUM names no Chromium; run the tests by: sh tests/run");
  return chromium.launch({ executablePath, headless: true, chromiumSandbox: false, args: [...FLAGS, ...flags] });
}

/**
 * A phone with a profile of its own: { context, page, faults, strangers }.
 * `script: false` switches JavaScript off. `faults` fills with errors of the page's scripts and with failed answers
 * (5xx), `strangers` with addresses on other hosts than `origin` that the page asked for; `quiet` fails on either.
 */
export async function phone(browser, { origin, script = true, screen = SCREEN, ...more } = {}) {
  const context = await browser.newContext({
    viewport: screen,
    deviceScaleFactor: 2,
    hasTouch: true,
    isMobile: true,
    javaScriptEnabled: script,
    baseURL: origin,
    ...more,
  });
  const faults = [];
  const strangers = [];
  context.on("weberror", (error) => faults.push(String(error.error())));
  context.on("response", (answer) => {
    if (answer.status() >= 500) faults.push(`${answer.status()} from ${answer.url()}`);
  });
  context.on("request", (request) => {
    const url = new URL(request.url());
    if (origin && /^(http|ws)s?:$/.test(url.protocol) && url.host !== new URL(origin).host) strangers.push(request.url());
  });
  return { context, page: await context.newPage(), faults, strangers };
}

/** Fails where a script failed, the server did, or another host was asked. */
export function quiet({ faults, strangers }) {
  if (faults.length > 0) throw new Error(`The page or the server failed:\n${faults.join("\n")}`);
  if (strangers.length > 0) throw new Error(`Other hosts were asked:\n${strangers.join("\n")}`);
}

/** A walk over one page, counted. */
export class Walk {
  constructor(page) {
    this.page = page;
    this.restart();
  }

  /** Forgets what was counted; the page stays as it is. */
  restart() {
    this.taps = 0;
    this.fields = 0;
    this.steps = [];
    this.scrolled = 0;
    this.left();
  }

  /** Presses a link, a button, a box, a row: one tap. */
  async press(target) {
    await this.scrollTo(target);
    this.tapped(`press ${target}`);
    await target.tap();
  }

  /** Presses what leads to another page, and waits until that has loaded: one tap. */
  async follow(target) {
    const loaded = this.page.waitForEvent("load");
    // A press that fails is told below; its unloaded page must not be told first.
    loaded.catch(() => {});
    await this.press(target);
    await loaded;
  }

  /** Types into a field: one field, and one tap unless the Next key leads here from the field filled before. */
  async fill(target, text) {
    if (await this.nextLeadsTo(target)) {
      this.steps.push(`next ${target}`);
      await target.focus();
    } else {
      await this.scrollTo(target);
      this.tapped(`press ${target}`);
      await target.tap();
    }
    this.fields += 1;
    this.steps.push(`type ${JSON.stringify(text)}`);
    await target.fill("");
    await target.pressSequentially(text);
    this.field = await target.elementHandle();
  }

  /** Picks from a list: one tap opens it, one takes the option. */
  async choose(target, option) {
    await this.scrollTo(target);
    this.tapped(`open ${target}`);
    this.tapped(`choose ${JSON.stringify(option)}`);
    await target.selectOption(option);
  }

  /** Opens the camera and comes back with a picture: one tap, and what the camera itself takes. */
  async photograph(target, file) {
    await this.scrollTo(target);
    const camera = this.page.waitForEvent("filechooser");
    camera.catch(() => {});
    this.tapped(`photograph ${target}`);
    await target.tap();
    await (await camera).setFiles(file);
  }

  /** Scrolls until the target is on the screen; each two screens since the last press count as a tap. */
  async scrollTo(target) {
    const away = await target.evaluate((element) => {
      const box = element.getBoundingClientRect();
      const height = window.innerHeight;
      if (box.top >= 0 && box.bottom <= height) return 0;
      // a target taller than the screen is reached when its top is
      const far = box.top < 0 ? -box.top : Math.min(box.bottom - height, box.top);
      return Math.max(0, far) / height;
    });
    const before = Math.floor(this.scrolled / 2);
    this.scrolled += away;
    const extra = Math.floor(this.scrolled / 2) - before;
    if (extra > 0) {
      this.taps += extra;
      this.steps.push(`scroll ${this.scrolled.toFixed(1)} screens (${extra})`);
    }
    await target.scrollIntoViewIfNeeded();
  }

  /** Fails where more was needed than allowed, naming every step; then counts from nothing again. */
  budget(name, maxTaps, maxFields) {
    const said = `${name}: ${this.taps} taps of ${maxTaps}, ${this.fields} fields of ${maxFields}`;
    const over = this.taps > maxTaps || this.fields > maxFields;
    const steps = this.steps;
    this.restart();
    if (over) throw new Error(`Over its budget: ${said}\n  ${steps.join("\n  ")}`);
    console.log(said);
  }

  tapped(step) {
    this.taps += 1;
    this.steps.push(step);
    this.scrolled = 0;
    this.left();
  }

  left() {
    this.field = null;
  }

  // A phone's Next key goes down the fields of one form, in the document's order.
  async nextLeadsTo(target) {
    if (!this.field) return false;
    const field = this.field;
    try {
      return await target.evaluate(
        (element, from) =>
          from.isConnected &&
          element.form !== null &&
          element.form === from.form &&
          element.tabIndex >= 0 &&
          Boolean(from.compareDocumentPosition(element) & Node.DOCUMENT_POSITION_FOLLOWING),
        field,
      );
    } catch {
      return false; // the field went with its page
    }
  }
}

/** Two pictures in the folder of SCANTLING_SHOTS: the first screen, and the whole page. None where it isn't set. */
export async function shot(page, name) {
  const folder = process.env.SCANTLING_SHOTS;
  if (!folder) return;
  await mkdir(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}-first.png`) });
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
}

/** Fails where the page can be scrolled sideways, naming what sticks out. */
export async function noSideways(page) {
  const wide = await page.evaluate(() => {
    const root = document.scrollingElement;
    if (root.scrollWidth <= root.clientWidth) return null;
    const out = [...document.body.querySelectorAll("*")].filter(
      (element) => element.getBoundingClientRect().right + window.scrollX > root.clientWidth + 0.5,
    );
    const name = (element) => element.outerHTML.slice(0, 100);
    return { has: root.scrollWidth, may: root.clientWidth, out: out.slice(-5).map(name) };
  });
  if (wide) throw new Error(`${page.url()} is ${wide.has} px wide on ${wide.may}:\n  ${wide.out.join("\n  ")}`);
}

/**
 * Fails where something to press is lower than 48 px. Links inside sentences may be lower; a box to tick may be 24 px
 * in a label or row of 48. What isn't on the page until it is focused, and what is hidden, isn't looked at.
 */
export async function bigEnough(page) {
  const small = await page.evaluate(
    ([TARGET, BOX]) => {
      const inside = "a[href], button, input:not([type=hidden]), select, textarea, summary, [role=button]";
      const height = (element) => (element ? element.getBoundingClientRect().height : 0);
      const shown = (element) => {
        const box = element.getBoundingClientRect();
        const style = getComputedStyle(element);
        const clipped = box.width <= 1 || box.height <= 1 || style.opacity === "0";
        return (
          element.checkVisibility({ visibilityProperty: true }) &&
          !clipped &&
          box.right + window.scrollX > 0 &&
          box.bottom + window.scrollY > 0
        );
      };
      const inSentence = (link) => {
        const text = link instanceof HTMLAnchorElement; // a link in a drawing is no part of a sentence
        if (!text || getComputedStyle(link).display !== "inline") return false;
        const block = link.closest("p, li, td, th, dd, dt, caption, figcaption, small, div");
        if (!block) return false;
        const words = (text) => text.replace(/\s+/g, " ").trim();
        const rest = [...block.querySelectorAll("a[href]")].reduce(
          (left, other) => left.replace(words(other.textContent), ""),
          words(block.textContent),
        );
        return /\p{L}{2}/u.test(rest);
      };
      const ticked = (element) => element.localName === "input" && /^(checkbox|radio)$/.test(element.type);
      const bad = [];
      for (const element of document.querySelectorAll(inside)) {
        const labels = [...(element.labels ?? [])];
        if (!shown(element)) {
          // a box or file field that is hidden behind its label: the label is what is pressed
          const pressed = labels.filter(shown);
          if (pressed.length > 0 && !pressed.some((label) => height(label) >= TARGET - 0.5)) bad.push(pressed[0]);
          continue;
        }
        if (height(element) >= TARGET - 0.5 || inSentence(element)) continue;
        if (ticked(element) && height(element) >= BOX - 0.5) {
          if ([...labels, element.closest("li, tr")].some((row) => height(row) >= TARGET - 0.5)) continue;
        }
        bad.push(element);
      }
      return bad.map((element) => `${height(element)} px: ${element.outerHTML.slice(0, 100)}`);
    },
    [TARGET, BOX],
  );
  if (small.length > 0) throw new Error(`${page.url()} has targets under ${TARGET} px:\n  ${small.join("\n  ")}`);
}

/** What axe-core finds against WCAG 2.2 AA and best practice, one line each. Needs JavaScript in the page's context. */
export async function axe(page) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(() =>
    window.axe.run(document, {
      resultTypes: ["violations"],
      runOnly: { type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] },
    }),
  );
  return found.violations.flatMap((rule) =>
    rule.nodes.map((node) => `${rule.id} (${rule.help}): ${node.target.join(" ")}: ${node.html.slice(0, 120)}`),
  );
}

/** All that is asked of every page: nothing sideways, big targets, no violation. `axe` only where scripts run. */
export async function usable(page, { script = true } = {}) {
  await noSideways(page);
  await bigEnough(page);
  if (!script) return;
  // what the sticky bar covers can't be judged in a short window
  const screen = page.viewportSize();
  const [height, at] = await page.evaluate(() => [document.documentElement.scrollHeight + 200, window.scrollY]);
  await page.setViewportSize({ width: screen.width, height });
  const found = await axe(page);
  await page.setViewportSize(screen);
  await page.evaluate((y) => window.scrollTo(0, y), at);
  if (found.length > 0) throw new Error(`${page.url()} breaks ${found.length} rules:\n  ${found.join("\n  ")}`);
}

/** Runs a walk as a program: `walk({ browser, origin, code })` with ORIGIN and CODE of the command line. */
export async function main(walk, { minutes = 10 } = {}) {
  const [origin, code] = process.argv.slice(2);
  // Not a measure of anything: a walk that hangs must end, so that the run tells which one it was.
  const limit = setTimeout(() => {
    console.error(`Still walking after ${minutes} minutes; ended.`);
    process.exit(1);
  }, minutes * 60_000);
  const browser = await launch();
  try {
    await walk({ browser, origin, code });
  } catch (error) {
    console.error(error.stack);
    process.exitCode = 1;
  } finally {
    clearTimeout(limit);
    await browser.close();
  }
}
