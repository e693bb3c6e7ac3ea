// A server as a phone sees it, for the outbox's tests in Node: protocol 1 in memory, with whatever can go wrong on the way.
// It says nothing of how Scantling judges an entry: what is refused, the test decides by the fields it sends.

const json = (status, body, headers = {}) => new Response(JSON.stringify(body), { status, headers });

/** A server that phones ask by `ask(device)`. What the next questions meet is set by the test in its public fields. */
export class FakeServer {
  constructor() {
    this.id = "server-1";
    this.ops = new Map(); // by op_id: { device, seq, text, result }
    this.order = []; // op ids as they were applied
    this.blobs = new Map();
    this.wanted = new Map(); // blob_id: the device that has it
    this.revoked = new Set();
    this.signedOut = false;
    this.roleRev = 1;
    this.days = 0; // later than now
    this.maxBatch = 50;
    this.counts = { posts: 0, replays: 0, tooLarge: 0 };
    /** Called with each question's path: "lost", "unanswered", a Response, or nothing for all goes well. */
    this.meets = () => undefined;
  }

  /** A copy of all that it holds, to be put back later. */
  backup() {
    return structuredClone({ ops: this.ops, order: this.order, blobs: this.blobs, wanted: this.wanted });
  }

  restore(backup) {
    Object.assign(this, structuredClone(backup));
  }

  ask(device) {
    return async (path, init = {}) => {
      await new Promise((later) => setImmediate(later));
      const meets = this.meets(path, init);
      if (meets === "lost") throw new TypeError("failed to fetch");
      if (meets instanceof Response) return meets;
      const answer = this.answer(device, path, init);
      if (meets === "unanswered") throw new TypeError("failed to fetch");
      return answer;
    };
  }

  answer(device, path, init) {
    if (this.revoked.has(device)) return json(403, { code: "device_revoked" });
    if (this.signedOut) return json(401, { code: "sign_in" });
    if (path === "/sync/v1/me")
      return json(200, { device_id: device, person_id: `person of ${device}`, name: device, role: "crew", role_rev: this.roleRev, server_id: this.id });
    if (path === "/sync/v1/ops") return this.take(device, JSON.parse(init.body), init.body.length);
    if (path.startsWith("/sync/v1/blobs/")) {
      const id = path.split("/").pop();
      if (!this.wanted.has(id)) return json(404, { code: "unknown_blob" });
      this.blobs.set(id, new Uint8Array(init.body).length);
      return json(201, {});
    }
    return json(404, {});
  }

  take(device, body, bytes) {
    this.counts.posts += 1;
    if (body.ops.length > this.maxBatch || bytes > 256_000) {
      this.counts.tooLarge += 1;
      return json(413, { code: "too_large" });
    }
    if (body.device_id !== device) return json(403, { code: "device_mismatch" });
    if (body.last_ack_op && !this.ops.has(body.last_ack_op)) {
      const of = [...this.ops.values()].filter((one) => one.device === device).map((one) => one.seq);
      return json(409, { code: "history_lost", known_seq: Math.max(0, ...of) });
    }
    const results = body.ops.map((op) => this.apply(device, op));
    const want_blobs = [...this.wanted].filter(([id, of]) => of === device && !this.blobs.has(id)).map(([id]) => id);
    return json(200, { protocol: 1, server_id: this.id, server_time: new Date(Date.now() + this.days * 86_400_000).toISOString(), build: "b", results, want_blobs, changed: [], role_rev: this.roleRev });
  }

  apply(device, op) {
    const text = JSON.stringify([op.author, op.form]);
    const known = this.ops.get(op.op_id);
    if (known && known.text !== text) return { op_id: op.op_id, status: "rejected", code: "op_id_reused" };
    if (known) {
      this.counts.replays += 1;
      return { ...known.result, replayed: true };
    }
    const value = (name) => op.form.fields.find(([is]) => is === name)?.[1];
    const needed = op.depends.find((id) => ![...this.ops.values()].some((one) => one.entity === id && one.result.status === "applied"));
    if (needed) return { op_id: op.op_id, status: "blocked", code: "depends_on_rejected", op: needed };
    const status = value("raw") === "bad" ? "rejected" : value("raw") === "differs" && !value("base.raw") ? "conflict" : "applied";
    const conflicts = status === "conflict" ? [{ field: "raw", server_rev: 5, server_value: ["theirs"], yours: ["differs"] }] : undefined;
    const result = { op_id: op.op_id, status, conflicts, next: "/jobs/j/wall" };
    this.ops.set(op.op_id, { device, seq: op.seq, text, result, entity: value("entity_id") });
    if (status === "applied") this.order.push(op.op_id);
    for (const { blob_id } of status === "applied" ? op.blobs : []) this.wanted.set(blob_id, device);
    return result;
  }
}
