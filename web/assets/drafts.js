// Drafts: what is typed and not saved yet outlives a page that the phone ends, as it may while the camera is open.
/** @import { Outbox, Typed } from "./outbox.d.ts" */

/** @param {Outbox} box */
export async function watch(box) {
  for (const [at, form] of [...document.forms].entries()) {
    if (form.method !== "post" || "online" in form.dataset) continue;
    const key = `${location.pathname}${location.search} ${form.id || form.getAttribute("action")} ${form.id ? "" : at}`;
    form.dataset.draft = key;
    const fields = /** @type {HTMLInputElement[]} */ ([...form.elements]).filter((field) => field.matches("textarea, input[type=text], input[type=date]"));
    const before = (await box.draft(key))?.values ?? {};
    // of fields with one name each is its own
    for (const [nth, field] of fields.entries()) {
      const [was, typed] = /** @type {any} */ (before[field.name + nth] ?? []);
      if (was !== field.defaultValue || field.value !== was) continue;
      field.value = typed;
      form.closest("details")?.setAttribute("open", "");
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
    let timer = 0;
    form.addEventListener("input", () => {
      clearTimeout(timer);
      timer = setTimeout(() => {
        /** @type {Typed} */
        const values = {};
        for (const [nth, { name, value, defaultValue }] of fields.entries()) if (value !== defaultValue) values[name + nth] = [defaultValue, value];
        box.keepDraft(key, values);
      }, 300);
    });
    form.addEventListener("submit", () => clearTimeout(timer));
  }
}
