// Script is an enhancement: every form works without it. With it, what is submitted is kept on this phone first and sent
// from there, so that it works the same with no server in reach.
import { field, isBad, isOpen, openOutbox, over } from "./outbox.js";
/** @import { Entry, Outbox, Round } from "./outbox.d.ts" */

/** @param {number} ms @returns {Promise<void>} */
const after = (ms) => new Promise((over) => setTimeout(over, ms));
// a browser that never answers keeps nothing either
const opening = Promise.race([openOutbox(), after(15e3)]).catch(() => null);
const worker = navigator.serviceWorker;
/** @type {Round|undefined} */
let last;
/** When the copy was saved that this page was opened from. */
let saved = "";
let news = "";
let fails = 0;
let timer = 0;
/** Whether no worker keeps pages here: plain HTTP has none, nor has a certificate whose warning was clicked through. */
let alone = !worker;
/** The kind of what takes a booking back. */
const back = "bought.reverse";

/** @type {(of: string, within?: ParentNode) => any} */
export const $ = (of, within = document) => within.querySelector(of);
/** @type {(of: string, within?: ParentNode) => any[]} */
const all = (of, within = document) => [...within.querySelectorAll(of)];
/** @type {(name: string, put: object) => any} */
export const make = (name, put) => Object.assign(document.createElement(name), put);

// On the sign-in page, take the code that stands in the link's fragment, so that it never reaches a log.
const code = $("[data-code] [name=code]");
if (code && /^#\d{8}$/.test(location.hash)) {
  code.value = location.hash.slice(1);
  history.replaceState(null, "", "/sign-in");
  code.form.requestSubmit();
}
for (const button of all("[data-print]")) {
  button.hidden = false;
  button.onclick = () => print();
}

/** Opens or closes the fold that something stands in. @param {any} of @param {boolean} open */
const fold = (of, open) => ((of.closest("details") ?? of).open = open);

// A saved page stands for all that ask for one reading of a thing: its form asks for the one that the address names.
const asks = () =>
  new URLSearchParams(location.search).forEach((value, name) => {
    const field = $("#r")?.elements.namedItem(name);
    if (field) {
      field.value = value;
      fold(field, true);
    }
  });
asks();

// One press, one entry: a second press while the first is on its way does nothing.
addEventListener("submit", (/** @type {any} */ event) => {
  /** @type {HTMLFormElement} */
  const form = event.target;
  if (event.defaultPrevented) return;
  if (form.dataset.sent) return event.preventDefault();
  form.dataset.sent = "1";
  const again = () => delete form.dataset.sent;
  addEventListener("pageshow", again, { once: true });
  const action = form.getAttribute("action") ?? "";
  const ours = action.startsWith("/jobs/") && !form.dataset.online;
  if (form.method !== "post" || !(ours || action === "/sign-out")) return;
  event.preventDefault();
  if (!ours) return leave(form).finally(again);
  keep(form, event.submitter).then(
    (leaves) => leaves || again(),
    () => (again(), unkept("’s storage failed")),
  );
});

/** Keeps a form, sends it, and goes where a plain post would have led if the server answers soon; says whether it goes.
 * @param {HTMLFormElement} form @param {any} by the button */
async function keep(form, by) {
  const box = await opening;
  if (!box || !((await box.meta("me")) ?? (await box.who()).me)) {
    form.submit();
    return true;
  }
  /** @type {[string, string][]} */
  const fields = [];
  let photo;
  for (const [name, value] of new FormData(form, by)) {
    if (typeof value === "string") fields.push([name, value]);
    else if (value.size) photo = await (await import("./photo.js")).shrink(value, await box.meta("whole"));
  }
  // A saved page would repeat its ids; a form that mends a refused entry is about the same thing.
  const sent = { action: form.getAttribute("action") ?? "", fields };
  let kind = form.dataset.kind ?? "";
  // a tick pressed again while it waits takes back what it booked
  const waits = all("[data-op]", form.closest("li") ?? form).pop()?.dataset;
  if (kind.startsWith("bought") && waits?.kind === kind) {
    if (kind === back) return false;
    kind = back;
    sent.action = sent.action.replace("buy-list/tick", `bought/${waits.entityId}/act/reverse`);
    sent.fields = fields.filter(([name]) => /^(anchor|cents)$/.test(name));
  }
  const fresh = field(sent, "replaces") ? /^op_id$/ : /^(op|entity|receipt)_id$/;
  for (const one of sent.fields) if (fresh.test(one[0])) one[1] = box.uuid();
  if (!field(sent, "op_id")) sent.fields.push(["op_id", box.uuid()]);
  let entry;
  try {
    entry = await box.save(sent, { kind, page: location.pathname, says: says(form, kind === back ? { innerText: "Taken back" } : by) }, { photo, draft: form.dataset.draft });
  } catch (/** @type {any} */ error) {
    if (error.name !== "QuotaExceededError") throw error;
    return unkept(" is out of room");
  }
  // at once: what is typed next, while this one is on its way, stays
  form.reset();
  asks();
  fold(form, false);
  say("alert", "");
  say("status", (news = "Saved on this phone. "), "Waiting to send.");
  await Promise.race([send(true), after(3e3)]);
  entry = (await box.entry(entry.op_id)) ?? entry;
  const goes = entry.state === "sent" || (isBad(entry) && !photo);
  if (goes) {
    if (isBad(entry)) await mend(box, entry);
    else go(entry.result?.next ?? location.href);
    return true;
  }
  // the entry is kept, whatever becomes of this
  navigator.storage?.persist().then((persisted) => box.note({ persisted }));
}

/** @param {string} why */
const unkept = (why) => say("alert", `Not saved: this phone${why}.`, "Your entry is still in the form.", "/outbox");

/** Signs out, unless entries would be lost: then it asks once more. @param {HTMLFormElement} form */
async function leave(form) {
  const box = await opening;
  const n = box ? (await box.entries()).filter(isOpen).length : "can’t be told";
  if (!n || form.dataset.sure) {
    // what this page still asks of its database finds it gone
    addEventListener("unhandledrejection", (of) => of.preventDefault());
    // the session first: it would outlive what is here, and whoever has the phone next would be this person
    const { status } = await fetch(form.action, { method: "post", signal: AbortSignal.timeout(9e3) }).catch(Response.error);
    if (!status || status > 403) return say("alert", "Not signed out: try beside the server.");
    await box?.wipe();
    location.href = "/sign-in";
    return;
  }
  form.dataset.sure = "1";
  form.prepend(make("p", { className: "err", role: "alert", textContent: `Not sent: ${n}. Send them, or save them to a file.` }));
  $("button", form).textContent = "Sign out and lose them";
}

/** Lets the server show a refused entry's form as it was filled, with what is wrong. @param {Outbox} box @param {Entry} of */
export async function mend(box, { op_id, item, result }) {
  const photo = item.blobs[0];
  const fix = box.uuid();
  // a photo stays on the phone until its form is saved, and is another from here on
  const put = { op_id: fix, replaces: op_id, ...(photo && { entity_id: box.uuid(), kept: result?.message ?? "" }) };
  if (!photo) await box.change(op_id, { fix });
  const form = make("form", { method: "post", action: item.form.action, hidden: true, enctype: photo ? "multipart/form-data" : "" });
  for (const [name, value] of over(item.form, put)) form.append(make("input", { type: "hidden", name, value }));
  document.body.append(form);
  form.submit();
}

/** What was typed into a form, or changed by it, and what it is about. @param {HTMLFormElement} form @param {any} by */
function says(form, by) {
  // an option has its text, a box its label, a field its value
  const edits = $("[name^='was.']", form);
  const said = all("[type=text], [type=date], textarea, :checked", form).filter((of) => !edits || !(of.defaultSelected || of.value === of.defaultValue));
  const typed = said.map((of) => of.text ?? (of.checked ? of.labels[0]?.innerText : of.value));
  const block = form.closest("li, section");
  const near = (block && $("h2, h3, b", block)) ?? $("h1");
  return [typed.filter(Boolean).join(" · ") || by?.ariaLabel || by?.innerText || "", near?.textContent ?? ""].map((text) => text.slice(0, 200));
}

/** @param {string} next */
function go(next) {
  const [here] = location.href.split("#");
  location.href = next;
  if (new URL(next, here).href.split("#")[0] === here) location.reload();
}

/** A line under the tape, read out. @param {string} role @param {string} lead @param {string} text @param {string} href */
function say(role, lead, text = "", href = "") {
  const line = $(`.say[role=${role}]`);
  if (line.textContent === `${lead} ${text}`) return;
  line.hidden = !lead;
  line.replaceChildren(make(href ? "a" : "b", { textContent: lead, href }), ` ${text}`);
}

/** Sends what waits, and again later where that failed, while the page is seen. @param {boolean} [patient] */
export async function send(patient) {
  clearTimeout(timer);
  const box = await opening;
  if (!box) return say("alert", "This browser keeps nothing.", "Entries go straight to the server.");
  /** @type {Round|null} */
  const round = await box.sync(patient).catch(() => ({}));
  last = round ?? last;
  if (round?.done) {
    fails = 0;
    worker?.controller?.postMessage({ changed: round.changed?.length ?? 0 });
    worker?.register("/sw.js", { updateViaCache: "none" }).catch(() => ((alone = true), show()));
  } else if (round?.stop === "protocol_unsupported" && !sessionStorage.renewed) {
    sessionStorage.renewed = 1;
    await (await worker?.getRegistration())?.update();
    location.reload();
  } else if (!round?.stop && !document.hidden) {
    // also where another page sends, or one that is just being left: it may never end its round
    timer = setTimeout(send, 1000 * Math.max(round?.after ?? 0, Math.min(300, 2 * 2 ** fails++) * (0.5 + Math.random())));
  }
  await show();
}

/** @param {string} [iso] */
export const when = (iso) => (iso ? `${new Date(iso)}`.replace(`${new Date()}`.slice(0, 16), "").replace(/^(\w+ )?.*?(\d+:\d+):.*/, "$1$2") : "never");

async function show() {
  const box = await opening;
  if (!box) return;
  const entries = await box.entries();
  const n = entries.filter(isOpen).length;
  const bad = entries.filter(isBad).length;
  const cell = $("[data-outbox]");
  cell.hidden = false;
  cell.children[0].textContent = `To send ${n}`;
  cell.children[1].textContent = when(await box.meta("contact"));
  const kept = "Entries are kept on this phone.";
  const age = saved && `As of ${when(saved)}, from this phone. Ask before cutting.`;
  const stop = last?.stop;
  const me = await box.meta("me");
  const others = entries.filter((of) => isOpen(of) && (me?.role === "guest" || of.item.author !== me?.person_id)).length;
  /** @type {[string, string?, string?]|false} */
  const said =
    stop === "sign_in" ? [n ? `Sign in to send ${n}` : "", "", "/sign-in"]
    : others ? [`Kept here: ${others}.`, "They go when their author signs in, as crew.", "/outbox"]
    : stop === "device_revoked" ? ["This phone was shut out.", `Kept here: ${n}.`, "/outbox"]
    : stop === "wrong_server" ? ["This is another server.", kept, "/outbox"]
    : stop ? ["The server takes nothing from here.", "Save entries to a file.", "/outbox"]
    : last && !last.done ? [`${news}Server out of reach.`, `${kept} ${age}`, "/help#reach"]
    : bad ? [`${bad} to put right.`, age, "/outbox"]
    : age ? [age]
    : last && alone ? ["This phone cannot open pages away from the server.", "", "/setup"]
    : !n && [""];
  if (said) say("status", ...said);
  await paint(box, entries);
}

/** @type {Record<string, string>} */
const WORDS = { queued: "Waiting to send", sent: "Sent", rejected: "Needs fixing", conflict: "Differs from server" };

/** An entry as a row. @param {Entry} of */
export function row({ op_id, state, about }) {
  const li = $("#waiting-row").content.children[0].cloneNode(true);
  li.dataset.op = op_id;
  li.dataset.state = state;
  [$("[data-f=what]", li).textContent, $("[data-f=of]", li).textContent] = about.says;
  $("[data-f=state]", li).textContent = WORDS[state] ?? "Waiting";
  for (const sign of all("[data-for]", li)) if (sign.dataset.for !== (WORDS[state] ? state : "queued")) sign.remove();
  return li;
}

/** What an entry adds to the slips at the till, in cents without tax. @param {Entry} of */
function cents({ item: { form }, about: { kind } }) {
  /** @type {(name: string) => number} */
  const n = (name) => +(field(form, name) ?? "1").replace(/[^\d.,-]/g, "").replace(",", ".") || 0;
  const size = /^bought/.test(kind) ? (field(form, "cents") ? n("cents") : 100 * n("count") * n("price") * n("feet")) : 0;
  return kind === back || /back$/.test(form.action) ? -size : size;
}

/** What waits, on the pages where it belongs. @param {Outbox} box @param {Entry[]} entries */
async function paint(box, entries) {
  all("[data-waiting] > [data-op], option[data-op]").forEach((old) => old.remove());
  const till = $("[data-till]");
  let due = 0;
  for (const of of entries) {
    const { form } = of.item;
    const open = isOpen(of);
    const id = field(form, "entity_id") ?? of.op_id;
    const name = field(form, "name");
    // what is sent shows until the page is newer, or has it
    const shows = open || isBad(of) || (of.state === "sent" && saved && saved < of.at);
    if (!shows || $(`[data-entity-id="${id}"]`)) continue;
    if (open && name)
      for (const list of all(`select[data-pending~="${form.action.split("/").pop()}"]`)) {
        list.append(make("option", { value: id, text: `${name} (waiting)` }));
        list.lastChild.dataset.op = of.op_id;
      }
    if (form.action.startsWith(location.pathname.split("buy")[0]) && !isBad(of)) due += cents(of);
    const things = [id, field(form, "of"), field(form, "wall")];
    if (of.about.page !== location.pathname && !things.some((one) => one && location.pathname.endsWith(one))) continue;
    const line = document.getElementById(field(form, "anchor") ?? "");
    const list = (line && $("[data-waiting]", line)) ?? $(`[data-waiting~="${of.about.kind}"]`) ?? $("[data-waiting='']");
    if (!list) continue;
    const li = row(of);
    Object.assign(li.dataset, { entityId: id, kind: of.about.kind });
    list.append(li);
    const tick = line && $(".tick", line);
    if (tick) tick.ariaPressed = of.about.kind === "bought.add";
    const picture = of.item.blobs[0] && (await box.picture(of.item.blobs[0].blob_id));
    if (picture) Object.assign($("img", li), { src: URL.createObjectURL(new Blob([picture.bytes], picture)), hidden: false });
  }
  if (till) {
    const sum = +till.dataset.till + due;
    till.textContent = ` · with what waits $${((sum + Math.round((sum * till.dataset.tax) / 1e5)) / 100).toFixed(2)}`;
    till.hidden = !due;
  }
  for (const list of all("[data-waiting]")) for (const one of [list, list.closest("[data-waits]")]) if (one) one.hidden = !list.firstChild;
}

worker?.addEventListener("message", ({ data }) => {
  saved = data.saved;
  show();
});
worker?.controller?.postMessage({ age: true });
opening.then(async (box) => {
  if (box) {
    // what was mended in a page of the server's is asked for under the id that it was posted with
    for (const of of await box.entries())
      if (of.fix && isBad(of) && !$(`[name=replaces][value="${of.fix}"], [name=replaces][value="${of.op_id}"]`)) await box.again(of, of.fix);
    if ($("main form[method=post]")) (await import("./drafts.js")).watch(box);
    if ($("#box, #saved")) (await import("./outbox_page.js")).watch(box);
    box.on(show);
    await show();
  }
  await send();
});
if ($("[data-length]")) import("./pad.js").then(({ watch }) => watch());
for (const name of ["online", "pageshow", "visibilitychange"]) addEventListener(name, () => (document.hidden ? clearTimeout(timer) : last && send()));
