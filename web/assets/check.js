// The setup page's live check: is the server reached by its name, and is its certificate trusted? A script can't tell a
// name that isn't found from a certificate that isn't trusted; asking by each address as well tells them apart.
/** @type {any} */
const box = document.querySelector("[data-origin]");

/** @param {string} origin */
const answers = (origin) => fetch(`${origin}/sync/v1/ping`, { mode: "no-cors", cache: "no-store", signal: AbortSignal.timeout(6e3) }).then(() => true, () => false);

/** @param {string} state */
function show(state) {
  for (const one of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-check]"))) one.hidden = one.dataset.check !== state;
}

async function check() {
  if (!box) return;
  show("asking");
  const byAddress = box.dataset.addresses.split(" ").filter(Boolean);
  const [byName, ...others] = await Promise.all([box.dataset.origin, ...byAddress].map(answers));
  show(byName ? "trusted" : others.some(Boolean) ? "name" : "none");
}

document.querySelector("[data-again]")?.addEventListener("click", check);
addEventListener("pageshow", check);
