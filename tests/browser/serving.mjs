// What walks without a browser page ask a server for: forms posted as their pages would, phones let in.

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
