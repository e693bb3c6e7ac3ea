// Makes random sessions of two phones: what is saved on which, when it is sent, and what goes wrong meanwhile. The same
// seed gives the same session. It knows neither outbox nor server: whoever plays a session does each step as it can.

/** Numbers that come again for the same seed: Marsaglia, "Xorshift RNGs" (2003), 32 bits, shifts 13, 17, 5. */
export function lots(seed) {
  let x = seed * 2_654_435_761 || 1;
  return (below) => {
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    return (x >>> 0) % below;
  };
}

const YEARS = 3 * 365 * 86_400_000;

/**
 * What can be done, each on phone 0 or 1:
 *
 * - `save`: an entry of the kind `what`, told from all others by `n`: `note`, `wall`, `reading` (of the phone's last wall),
 *   `rename` (of the wall that both have, on the revision that it began with), `photo` (with a picture), `refused` (a
 *   reading that nobody can read), `nameless` (a wall that is refused, so that readings of it have to wait).
 * - `send`: sends what waits. `meets` is what each question of this round meets: `well`, `lost` (never arrives),
 *   `unanswered` (its answer is lost), `twice` (arrives twice at once), `late` (given up, and arrives after later ones).
 * - `tabs`: two pages of the phone send at once, with a lock between them or without.
 * - `end`: the phone ends the page `ms` after it began to send, and opens it again. `arrives` says whether what was on its way still does.
 * - `kill`: the server is killed `ms` after the phone began to send.
 * - `clock`: the phone's clock is `ms` off from here on.
 * - `mend`: what was refused is put right, where the phone knows of it.
 */
export function session(seed, { length = 22 } = {}) {
  const draw = lots(seed);
  for (let n = 0; n < 3; n += 1) draw(2); // small seeds begin alike
  const steps = [];
  for (let n = 1; n <= length; n += 1) {
    const phone = draw(2);
    const what = draw(20);
    if (what < 9) steps.push({ phone, does: "save", what: WHAT[draw(WHAT.length)], n });
    else if (what < 14) steps.push({ phone, does: "send", meets: MEETS[draw(MEETS.length)] });
    else if (what < 16) steps.push({ phone, does: "end", ms: draw(40), arrives: draw(2) === 1 });
    else if (what < 17) steps.push({ phone, does: "tabs", locks: draw(2) === 1 });
    else if (what < 18) steps.push({ phone, does: "clock", ms: (draw(3) - 1) * (draw(2) ? YEARS : 300_000) });
    else if (what < 19 || draw(2)) steps.push({ phone, does: "mend" });
    else steps.push({ phone, does: "kill", ms: draw(60) });
  }
  // none without the server's kill in the middle of sending something
  steps.push({ phone: 0, does: "save", what: "note", n: length + 1 }, { phone: 1, does: "save", what: "photo", n: length + 2 });
  steps.push({ phone: draw(2), does: "kill", ms: draw(60) });
  return steps;
}

const WHAT = ["note", "note", "note", "wall", "wall", "reading", "reading", "reading", "rename", "photo", "refused", "nameless"];
const MEETS = ["well", "well", "lost", "unanswered", "twice", "late"];
