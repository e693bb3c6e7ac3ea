// A small phone in a real WebKit, by plain calls of WebDriver (W3C Recommendation, 2018): a screen of its own in memory,
// the driver, one session, whose storage lives as long as it does. It stands in for Safari's engine, not for iOS.
//
// SCANTLING_WEBKIT names the driver (Debian: webkit2gtk-driver), SCANTLING_XVFB the screen (xvfb).

import { spawn } from "node:child_process";
import { createServer } from "node:net";
import { setTimeout as pause } from "node:timers/promises";

const ELEMENT = "element-6066-11e4-a52e-4f735466cecf"; // the standard's own name for it

/** Starts all three. */
export async function webkit({ width = 320, height = 568 } = {}) {
  const [driver, xvfb] = [process.env.SCANTLING_WEBKIT, process.env.SCANTLING_XVFB];
  if (!driver || !xvfb) throw new Error("SCANTLING_WEBKIT and SCANTLING_XVFB name no WebKit; run the tests by: sh tests/run");
  const screen = spawn(xvfb, ["-displayfd", "3", "-screen", "0", "640x1000x24", "-nolisten", "tcp"], { stdio: ["ignore", "ignore", "ignore", "pipe"] });
  const display = await new Promise((is, no) => {
    screen.once("error", no);
    screen.once("exit", () => no(new Error("the screen in memory ended")));
    screen.stdio[3].once("data", (data) => is(`:${String(data).trim()}`));
  });
  const started = [screen];
  const end = () => started.forEach((one) => one.kill("SIGKILL"));
  process.once("exit", end); // a walk that breaks leaves none behind
  try {
    const address = await drive(driver, { ...process.env, DISPLAY: display, GDK_BACKEND: "x11", LIBGL_ALWAYS_SOFTWARE: "1" }, started);
    const { sessionId } = await call(`${address}/session`, { capabilities: { alwaysMatch: {} } });
    const phone = new Phone(`${address}/session/${sessionId}`, end);
    await phone.post("/timeouts", { pageLoad: 60_000, script: 60_000 });
    await phone.post("/window/rect", { width, height, x: 0, y: 0 });
    return phone;
  } catch (error) {
    end();
    throw error;
  }
}

/** Starts the driver; it takes no port that it finds itself, so that one may be lost to somebody else: then another. */
async function drive(driver, env, started) {
  for (let tries = 0; tries < 5; tries += 1) {
    const port = await free();
    const child = spawn(driver, [`--port=${port}`, "--host=127.0.0.1"], { stdio: ["ignore", "ignore", "inherit"], env });
    started.push(child);
    let ended = false;
    child.once("exit", () => (ended = true));
    child.once("error", () => (ended = true));
    while (!ended) {
      const answer = await fetch(`http://127.0.0.1:${port}/status`).catch(() => null);
      if (answer?.ok && !ended) return `http://127.0.0.1:${port}`;
      await pause(50);
    }
  }
  throw new Error(`${driver} doesn't start`);
}

const free = () =>
  new Promise((is) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => is(port));
    });
  });

async function call(address, body, method = "POST") {
  const answer = await fetch(address, { method, body: body && JSON.stringify(body) });
  const { value } = await answer.json();
  if (!answer.ok) throw new Error(`${method} ${address.split("/").slice(5).join("/")}: ${value.error}: ${value.message}`);
  return value;
}

/** One session. */
class Phone {
  constructor(address, end) {
    Object.assign(this, { address, end });
  }

  post(path, body = {}) {
    return call(this.address + path, body);
  }

  get(path) {
    return call(this.address + path, undefined, "GET");
  }

  go(url) {
    return this.post("/url", { url });
  }

  /** Runs a function in the page and gives what it returns; promises are waited for. */
  run(does, ...args) {
    const script = `const done = arguments[arguments.length - 1]; Promise.resolve().then(() => (${does})(...[...arguments].slice(0, -1))).then((value) => done({ value }), (error) => done({ error: String(error.stack ?? error) }));`;
    return this.post("/execute/async", { script, args }).then(({ value, error }) => {
      if (error !== undefined) throw new Error(error);
      return value;
    });
  }

  /** Waits until a function in the page gives something true; a page that goes away meanwhile is asked again. */
  async until(what, does, ...args) {
    const limit = Date.now() + 60_000;
    for (let last = ""; ; ) {
      const is = await this.run(does, ...args).catch((error) => ((last = error.message), null));
      if (is) return is;
      if (Date.now() > limit) throw new Error(`never: ${what}. ${last}\n${await this.run(() => location.pathname + "\n" + document.body.innerText.slice(0, 1500)).catch(() => "")}`);
      await pause(100);
    }
  }

  async find(css) {
    return (await this.post("/element", { using: "css selector", value: css }))[ELEMENT];
  }

  /** Presses what is there to be pressed, once no bar covers it. */
  async press(css) {
    await this.run((css) => document.querySelector(css).scrollIntoView({ block: "center" }), css);
    await this.post(`/element/${await this.find(css)}/click`);
  }

  /** Types, or hands a file over. */
  async type(css, text) {
    await this.post(`/element/${await this.find(css)}/value`, { text });
  }

  async close() {
    await call(this.address, undefined, "DELETE").catch(() => {});
    this.end();
  }
}
