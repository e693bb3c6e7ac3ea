// The server as a process of its own, to be started, killed and frozen; and a wire before it, on which questions and answers
// get lost, are held back or changed.

import { spawn } from "node:child_process";
import { createServer, request as ask } from "node:http";
import { createInterface } from "node:readline";

/** `new Server(program, data)`, then `await start()`; its port stays the same through later starts. */
export class Server {
  /** @param {string} program @param {string} data its folder @param {string[]} how the command and what else it is told */
  constructor(program, data, how = ["demo"]) {
    Object.assign(this, { program, data, how, port: 0, origin: "", code: "", said: [], kills: 0 });
  }

  /** Resolves when it is ready, signed in to by `code`; where not `ready`, when it answers, which is sooner. */
  async start({ before = [], port = this.port, ready = true } = {}) {
    const words = [...before, this.program, ...this.how, "--data", this.data, "--port", String(port)];
    // a group of its own, so that a signal reaches whatever it started
    const child = spawn(words[0], words.slice(1), { stdio: ["pipe", "pipe", "inherit"], detached: true });
    this.child = child;
    this.gone = new Promise((gone) => child.once("exit", gone));
    this.said = [];
    this.lines = createInterface(child.stdout);
    this.lines.on("line", (line) => {
      this.said.push(line);
      const link = /(https?:\/\/\S+)\/sign-in#(\d{8})/.exec(line);
      if (link) [, this.origin, this.code] = link;
    });
    await this.hears((line) => line === "Ready." || (!ready && line.startsWith("Serving ")));
    this.port = Number(new URL(this.origin).port);
    return this;
  }

  /** Waits for a line. */
  async hears(is) {
    if (this.said.some(is)) return;
    const heard = new Promise((ok) => this.lines.on("line", (line) => is(line) && ok(true)));
    if ((await Promise.race([heard, this.gone])) !== true) throw new Error(`the server ended:\n${this.said.join("\n")}`);
  }

  /** A fresh code, as whoever presses Enter at its console gets one; codes before it are void. */
  async fresh() {
    this.said = [];
    this.child.stdin.write("\n");
    await this.hears((line) => line.startsWith("Where scripts are off"));
    return this.code;
  }

  signal(name) {
    process.kill(-this.child.pid, name);
  }

  freeze() {
    this.signal("SIGSTOP");
  }

  thaw() {
    this.signal("SIGCONT");
  }

  async kill() {
    if (!this.child || this.child.exitCode !== null || this.child.signalCode !== null) return;
    this.signal("SIGKILL");
    await this.gone;
    this.kills += 1;
  }

  end() {
    return this.kill();
  }
}

/**
 * A wire before a server on loopback: phones open `origin`. `meets` is asked at each question, with { method, path, body, headers },
 * and says what becomes of it: nothing, it goes through; "lost", it never arrives; "unanswered", it arrives and the answer is
 * lost; "held", it gets no answer until `drop`; or a function that gets the answer { status, headers, body } and may change
 * it, which may take its time.
 */
export class Wire {
  constructor(server) {
    Object.assign(this, { server, held: [], meets: () => undefined });
  }

  async open(port = 0) {
    this.listening = createServer((question, answer) => {
      this.carry(question, answer).catch(() => answer.socket?.destroy());
    });
    await new Promise((ready) => this.listening.listen(port, "127.0.0.1", ready));
    this.origin = `http://127.0.0.1:${this.listening.address().port}`;
    return this;
  }

  async carry(question, answer) {
    const { method, url: path, headers } = question;
    const body = await whole(question);
    const host = `127.0.0.1:${this.server.port}`;
    const asked = { method, path, body, headers: { ...headers, host, ...(headers.origin && { origin: `http://${host}` }) } };
    const meets = await this.meets(asked);
    if (meets === "lost") return question.socket.destroy();
    if (meets === "held") return this.held.push(question.socket);
    const told = await this.pass(asked, body);
    if (meets === "unanswered") return question.socket.destroy();
    const changed = typeof meets === "function" ? ((await meets(told)) ?? told) : told;
    if (question.socket.destroyed) return undefined;
    // it goes on whole, whatever pieces it came in
    const heads = { ...changed.headers, "content-length": changed.body.length };
    delete heads["transfer-encoding"];
    return answer.writeHead(changed.status, heads).end(changed.body);
  }

  /** Asks the server itself. */
  async pass({ method, path, headers }, body) {
    const answer = await new Promise((ok, no) => {
      const asking = ask({ host: "127.0.0.1", port: this.server.port, agent: false, method, path, headers }, ok);
      asking.on("error", no);
      asking.end(body);
    });
    return { status: answer.statusCode, headers: answer.headers, body: await whole(answer) };
  }

  /** Whatever was held is lost now. */
  drop() {
    for (const socket of this.held.splice(0)) socket.destroy();
  }

  async end() {
    this.listening.closeAllConnections();
    this.listening.close();
  }
}

async function whole(stream) {
  const parts = [];
  for await (const part of stream) parts.push(part);
  return Buffer.concat(parts);
}
