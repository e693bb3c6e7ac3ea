// The pages /outbox and /offline: entries one by one with what can be done to them, and the pages that are saved here.
import { $, make, mend, row, send, when } from "./app.js";
import { isBad, isOpen } from "./outbox.js";
/** @import { Entry, Outbox } from "./outbox.d.ts" */

/** @param {string} name @param {string|number} text @param {ParentNode} [within] */
const put = (name, text, within) => ($(`[data-f=${name}]`, within).textContent = text);

/** @param {Outbox} box */
export async function watch(box) {
  if ($("#saved")) return listSaved();
  $("#box").hidden = false;
  $("#box").onclick = (/** @type {any} */ { target }) => act(box, target.closest("[data-do]"));
  box.on(() => list(box));
  await list(box);
}

/** @param {Outbox} box */
async function list(box) {
  const entries = await box.entries();
  const open = entries.filter((of) => isOpen(of) || isBad(of));
  const sent = entries.filter((of) => of.state === "sent").slice(-20);
  put("last", `Last contact: ${when(await box.meta("contact"))}.`);
  put("count", open.length);
  $("[data-f=none]").hidden = open.length > 0;
  $("[data-entries]").replaceChildren(...open.map(withActs), ...sent.reverse().map(row));
  $("#whole").checked = await box.meta("whole");
  const { quota = 0, usage = 0 } = (await navigator.storage?.estimate()) ?? {};
  const room = quota && quota - usage < 200e6 ? `Only ${Math.floor((quota - usage) / 1e6)} MB left here. ` : "";
  put("room", room + ((await box.meta("persisted")) ? "" : "This browser may clear entries when room runs out."));
}

/** @param {Entry} of */
function withActs(of) {
  const li = row(of);
  const { message = "", problems = [], conflicts = [] } = of.result ?? {};
  if (/queued|pending/.test(of.state)) return li;
  li.append($("#entry-acts").content.cloneNode(true));
  put("why", [...new Set([message, ...problems.map((one) => one.message)])].join(" "), li);
  put("theirs", conflicts.map((one) => `${one.by_name} wrote “${one.server_value}” ${when(one.received_at)}; you wrote “${one.yours}”.`).join(" "), li);
  const differs = conflicts.length > 0;
  const fits = { fix: of.state === "rejected", mine: differs, theirs: differs, discard: !differs };
  for (const [name, is] of Object.entries(fits)) if (!is) $(`[data-do=${name}]`, li).remove();
  return li;
}

/** @param {Outbox} box @param {any} button */
async function act(box, button) {
  const does = button?.dataset.do;
  if (does === "send") return send(true);
  if (does === "whole") return box.note({ whole: button.checked });
  if (does === "file") return make("a", { href: URL.createObjectURL(new Blob([await box.rescue()])), download: "unsent-entries.json" }).click();
  const of = await box.entry(button?.closest("li")?.dataset.op ?? "");
  if (!of || !button) return;
  if (does === "fix") return mend(box, of);
  if (does === "mine") {
    await box.again(of, box.uuid(), Object.fromEntries((of.result?.conflicts ?? []).map((one) => [`base.${one.field}`, `${one.server_rev}`])));
    return send(true);
  }
  if (does === "theirs" || button.dataset.sure) return box.change(of.op_id, { state: "discarded" });
  button.dataset.sure = "1";
  button.textContent = "Discard for good";
}

async function listSaved() {
  for (const name of await caches.keys()) {
    if (!name.startsWith("pages-")) continue;
    const cache = await caches.open(name);
    const keys = await cache.keys();
    put("count", keys.length);
    for (const { url } of keys) {
      const page = new DOMParser().parseFromString((await (await cache.match(url))?.text()) ?? "", "text/html");
      const link = make("a", { href: url, className: "row" });
      link.append(make("b", { textContent: page.title }));
      $("#saved").append(make("li", {}));
      $("#saved").lastChild.append(link);
    }
  }
}
