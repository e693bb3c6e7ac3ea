// The service worker: pages of pinned jobs open with no server in reach. The server puts BUILD and SHELL before it.
/* global BUILD, SHELL */
const here = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
// what is no page: a file takes the time that it takes
const UNTOUCHED = /^\/(sync|setup|export|import|ca\.cer)|\/job-file$|\.(zip|csv|txt)$|\/(csv|text|f.l.)$/;
/** When the copy was saved that a page was opened from, by the page's id. @type {Map<string, string>} */
const ages = new Map();
let missed = 0;
let filled = 0;
/** @type {Promise<unknown>|null} */
let filling = null;

/** @param {RequestInfo} of @param {number} seconds */
const fresh = (of, seconds = 20) => fetch(of, { cache: "no-cache", signal: AbortSignal.timeout(seconds * 1e3) });
/** @param {number} ms @returns {Promise<void>} */
const after = (ms) => new Promise((over) => setTimeout(over, ms));
/** Only whole pages of this very build are kept: another's would ask for files that are in no cache. @param {Response} of */
const isOurs = (of) => of.status === 200 && !of.redirected && of.headers.get("x-app-build") === BUILD && !!of.headers.get("content-type")?.includes("html");

/** Brings the saved pages to what the server's list says, and keeps the last twenty others. They hold what this person may
 * see, so their cache is named after person and role. */
async function fill() {
  filled = Date.now();
  const { person_id, role } = await (await fresh("/sync/v1/me")).json();
  const list = await (await fresh("/offline-set.json")).json();
  if (list.build !== BUILD) throw await here.registration.update();
  // here too, not at the install alone: where another person signs in, or a role changes, all caches go and the worker may stay
  await (await caches.open(`files-${BUILD}`)).addAll(SHELL);
  const cache = await caches.open(`pages-${BUILD}-${person_id}-${role}`);
  const others = new Set((await cache.keys()).map(({ url }) => url));
  for (const { url, etag } of list.pages) {
    others.delete(location.origin + url);
    const has = await cache.match(url);
    if (has?.headers.get("x-mark") === etag) continue;
    const answer = await fresh(url);
    if (isOurs(answer)) {
      const headers = new Headers(answer.headers);
      headers.set("x-mark", etag);
      await cache.put(url, new Response(answer.body, { headers }));
    } else if (!has) throw new Error(url);
  }
  for (const url of [...others].slice(0, -20)) await cache.delete(url);
  small(list.pictures).catch(() => {});
}

/** Small pictures never change: each is fetched once, after all pages. @param {string[]} list */
async function small(list) {
  const cache = await caches.open("small");
  const gone = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  for (const url of list) if (!gone.delete(url)) await cache.add(url).catch(() => {});
  for (const url of gone) await cache.delete(url);
}

addEventListener("install", (/** @type {any} */ event) => event.waitUntil(fill().then(() => here.skipWaiting())));

addEventListener("activate", (/** @type {any} */ event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (!name.includes(BUILD) && name !== "small") await caches.delete(name);
    await here.clients.claim();
  })());
});

addEventListener("message", (/** @type {any} */ event) => {
  const { source, data } = event;
  if (data.age) source.postMessage({ saved: ages.get(source.id) ?? "" });
  // what others changed is looked for now and then; several changes in a row are fetched once
  if (data.changed >= +(Date.now() - filled < 6e4)) event.waitUntil((filling ??= after(3e3).then(fill).catch(() => {}).finally(() => (filling = null))));
});

addEventListener("fetch", (/** @type {any} */ event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== location.origin || UNTOUCHED.test(pathname)) return;
  if (request.mode !== "navigate") {
    if (SHELL.includes(pathname) || /small$/.test(pathname)) event.respondWith(caches.match(request).then((has) => has ?? fresh(request, 8)));
  } else if (request.method === "GET") event.respondWith(page(event));
  else event.respondWith(fetch(request).catch(() => new Response("Not saved. Go back: your entry is still in the form.", { status: 503 })));
});

/** @param {FetchEvent} event @returns {Promise<Response>} */
async function page(event) {
  const cache = await caches.open((await caches.keys()).find((name) => name.startsWith(`pages-${BUILD}`)) ?? "none");
  const { request } = event;
  // a thing's page is saved once; the page's script fills in which reading of it is asked for
  const saved = (await cache.match(request)) ?? (await cache.match(request.url.split("?what=")[0]));
  const asked = ask(request, cache);
  event.waitUntil(asked);
  const patience = saved ? 2500 * +(Date.now() - missed > 3e4) : 1e4;
  const answer = await Promise.race([asked, after(patience)]);
  if (answer) return answer;
  missed = Date.now();
  if (saved) ages.set(event.resultingClientId, new Date(saved.headers.get("date") ?? 0).toISOString());
  return saved ?? (await cache.match("/offline")) ?? Response.error();
}

/** A page from the server, read to its end; none where it can't be reached. @param {Request} request @param {Cache} cache */
async function ask(request, cache) {
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(2e4) });
    if (answer.type === "opaqueredirect") return answer;
    const whole = new Response(await answer.blob(), answer);
    missed = 0;
    if (isOurs(whole)) await cache.put(request, whole.clone());
    else if (whole.ok && whole.headers.get("x-app-build") !== BUILD) here.registration.update();
    return whole;
  } catch {
    return null;
  }
}
