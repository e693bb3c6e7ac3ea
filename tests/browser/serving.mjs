// The program itself as a server of a folder, which a walk starts, kills with nothing tidied up, and starts again.

import { spawn } from "node:child_process";
import { createInterface } from "node:readline";

/** A server on a port of loopback that stays the same for its life, killed or not. */
export class Serving {
  /** @param {string} program @param {string[]} how the command and its arguments, without the port */
  constructor(program, how) {
    process.setMaxListeners(0); // one for each start
    Object.assign(this, { program, how, port: 0, origin: "", code: "", child: null, kills: 0 });
  }

  /** Starts it; resolves when it answers, or, where `ready`, when its sign-in code is open. */
  async start({ ready = false } = {}) {
    const child = spawn(this.program, [...this.how, "--port", String(this.port)], { stdio: ["ignore", "pipe", "inherit"] });
    this.child = child;
    process.once("exit", () => child.kill("SIGKILL")); // a walk that breaks leaves none behind
    await new Promise((answers, no) => {
      child.once("error", no);
      child.once("exit", () => no(new Error("the server ended before it answered")));
      createInterface(child.stdout).on("line", (line) => {
        const [, origin, code] = /(http:\/\/[\d.:]+)(?:\/sign-in#(\d{8}))?$/.exec(line) ?? [];
        if (origin) [this.origin, this.port] = [origin, Number(new URL(origin).port)];
        if (code) this.code = code;
        if (line === "Ready." || (!ready && line.startsWith("Serving "))) answers();
      });
    });
    return this;
  }

  /** Ends it at once. */
  async kill() {
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise((gone) => child.once("exit", gone));
    child.kill("SIGKILL");
    await ended;
    this.kills += 1;
  }
}

/** What a browser sends with each question of a page of its own; answers come as they are, which costs the least. */
export const own = (origin, cookie) => ({ cookie, origin, "sec-fetch-site": "same-origin", "accept-encoding": "identity" });

/** Spends a code and gives the cookie of the phone that it makes. */
export async function pair(origin, code) {
  const answer = await post(origin, "", "/sign-in", { code });
  const cookie = answer.headers.get("set-cookie")?.split(";")[0];
  if (!cookie) throw new Error(`not let in: ${answer.status}`);
  return cookie;
}

/** A code for a phone of somebody new (`name`) or of somebody known (`person`), which the lead makes. */
export async function codeFor(origin, lead, whom) {
  const page = await (await post(origin, lead, "/crew/code", { role: "crew", ...whom })).text();
  const code = /\b(\d{4}) ?(\d{4})\b/.exec(page.replace(/<[^>]*>/g, " "));
  if (!code) throw new Error(`no code for ${JSON.stringify(whom)}`);
  return code[1] + code[2];
}

/** Posts a form as its page would, without following where it leads. */
export const post = (origin, cookie, path, fields) => fetch(origin + path, { method: "POST", headers: own(origin, cookie), body: new URLSearchParams(fields), redirect: "manual" });
