// The types of outbox.js, for the type check alone: nothing of this file is served.

/** Names and values of a form, in order. */
export type Fields = [string, string][];

/** What is sent of an entry. */
export interface Item {
  v: 1;
  op_id: string;
  seq: number;
  author: string;
  job_id: string | null;
  form: { action: string; fields: Fields };
  blobs: { blob_id: string; type: string; size: number }[];
  /** Things that waiting entries add, which this one names. */
  depends: string[];
  /** The refused entry that it stands for. */
  replaces: string | null;
  device_time: string;
  tz_offset_min: number;
}

export interface Conflict {
  field: string;
  server_rev: number;
  server_value: string[] | string;
  yours: string[] | string;
  by_name?: string;
  received_at?: string;
}

/** What the server said of an entry. */
export interface Result {
  op_id: string;
  status: "applied" | "conflict" | "rejected" | "blocked";
  /** The page that a plain post would have led to. */
  next?: string;
  code?: string;
  message?: string;
  problems?: { field: string; message: string }[];
  conflicts?: Conflict[];
}

/** `pending`: the server has the entry, and not yet its picture. */
export type State = "queued" | "pending" | "sent" | "conflict" | "rejected" | "blocked" | "resolved" | "discarded";

/** What a person is told of an entry. */
export interface About {
  /** The kind of entry, as the form says it. */
  kind: string;
  /** The page that it was made on: its path. */
  page: string;
  /** What it is about, and what was typed. */
  says: string[];
}

/** An entry as the phone keeps it. */
export interface Entry {
  op_id: string;
  seq: number;
  item: Item;
  about: About;
  state: State;
  result: Result | null;
  /** When its state was last heard of. */
  at: string;
  /** The id under which its mended form was last posted. */
  fix?: string;
  /** Whether the server has seen its picture, and has it or refused it. */
  seen?: boolean;
  /** What a person decided, while the server has to hear of it again. */
  settled?: State;
}

export interface Picture {
  blob_id: string;
  op_id: string;
  type: string;
  bytes: ArrayBuffer;
  at: string;
  state: "waiting" | "sent" | "rejected";
}

/** By field: what the page showed, what was typed. */
export type Typed = Record<string, [string, string]>;

export interface Draft {
  key: string;
  at: string;
  values: Typed;
}

export interface Me {
  device_id: string;
  person_id: string;
  name: string;
  role: string;
  role_rev: number;
  server_id: string;
  offline?: boolean;
}

/** Who is signed in, or why that can't be said: stopped for good, or to be tried again after so many seconds. */
export interface Heard {
  me?: Me;
  stop?: string;
  after?: number;
}

/** What came of a round of sending. */
export interface Round extends Heard {
  done?: boolean;
  changed?: string[];
}

export type Stores = Record<"meta" | "ops" | "blobs" | "drafts", IDBObjectStore>;

export interface World {
  idb?: IDBFactory;
  ask?: (path: string, init: RequestInit) => Promise<Response>;
  clock?: () => Date;
  locks?: LockManager | null;
}

export interface Outbox {
  /** A fresh id. */
  uuid(): string;
  on(listener: () => unknown): unknown;
  close(): void;
  entries(): Promise<Entry[]>;
  entry(id: string): Promise<Entry | undefined>;
  picture(id: string): Promise<Picture | undefined>;
  meta(key: string): Promise<any>;
  note(of: Record<string, unknown>): Promise<unknown>;
  save(
    form: Item["form"],
    about: About,
    more?: { photo?: { bytes: ArrayBuffer; type: string } | null; draft?: string; replaces?: string },
  ): Promise<Entry>;
  change(id: string, change: Partial<Entry>): Promise<unknown>;
  again(old: Entry, op_id: string, put?: Record<string, string>): Promise<Entry>;
  who(): Promise<Heard>;
  sync(patient?: boolean): Promise<Round | null>;
  draft(key: string): Promise<Draft | undefined>;
  keepDraft(key: string, values: Typed): Promise<unknown>;
  rescue(): Promise<string>;
  wipe(): Promise<void>;
}

export function uuids(clock: () => Date, last?: number): () => string;
export function openOutbox(world?: World): Promise<Outbox>;
export function isOpen(of: Entry): boolean;
export function isBad(of: Entry): boolean;
export function over(form: Item["form"], put: Record<string, string>): Fields;
export function field(form: Item["form"], name: string): string | undefined;
