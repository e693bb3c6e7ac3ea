// Drafts: what is typed and not saved yet outlives a page that the phone ends, as it may while the camera is open.
/** @import { Outbox, Typed } from "./outbox.d.ts" */

/** @param {Outbox} box */
export async function watch(box) {
  for (const [at, form] of [...document.forms].entries()) {
    if (form.method !== "post" || "online" in form.dataset) continue;
    const key = `${location.pathname} ${form.id || form.getAttribute("action")} ${form.id ? "" : at}`;
    form.dataset.draft = key;
    const fields = /** @type {HTMLInputElement[]} */ ([...form.elements]).filter((field) => field.matches("textarea, input[type=text], input[type=date]"));
    const before = (await box.draft(key))?.values ?? {};
    for (const field of fields) {
      const [was, typed] = before[field.name] ?? [];
      if (typed === undefined || was !== field.defaultValue || field.value !== was) continue;
      field.value = typed;
      form.closest("details")?.setAttribute("open", "");
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
    let timer = 0;
    form.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(() => {
        const changed = fields.filter((field) => field.value !== field.defaultValue);
        /** @type {Typed} */
        const values = Object.fromEntries(changed.map((field) => [field.name, [field.defaultValue, field.value]]));
        box.keepDraft(key, changed.length ? values : null);
      }, 300);
    });
    form.addEventListener("submit", () => clearTimeout(timer));
  }
}
