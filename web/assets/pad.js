// Lengths on a phone: read as they are typed, said back both ways, and a pad with the fractions of a tape. What can be
// read, and where it can't, is as in server/takeoff/units/src/parse.rs; both pass the case file beside that.

const KINDS = "unseen space number slash dash plus inches feet ready word".split(" ");
const TOKEN =
  /([\u200b-\u200f\u2060\ufeff\xad]+)|([\s\x85]+)|(\d*[.,]\d*|\d+)|([/\u2044\u2215])|([-\u2010-\u2015\u2212])|(\+)|(["\u201c-\u201f\u2033]|['`´\u2018-\u201b\u2032]{2})|(['`´\u2018-\u201b\u2032])|([½¼¾⅛⅜⅝⅞])|(\p{Alphabetic}+)/uy;
// Each word for a unit; a metric one by its millimetres.
const UNITS = { ft: "feet", foot: "feet", feet: "feet", in: "inches", inch: "inches", inches: "inches", mm: 1, cm: 10, m: 1000 };
const READY = "⅛¼⅜½⅝¾⅞";
const GIGA = 10n ** 9n;
// A length is added up in shares so fine that each term is a whole number of them: so many in a billionth of a unit.
const INCH = 64n * 127n;
const FOOT = 12n * INCH;
const MM = 320n;

/** @typedef {{kind: string, at: number, space: boolean, n: bigint, point: number, comma: boolean, places: number}} Mark */
/** @typedef {{at: number, number?: Mark, part?: {at: number, n: bigint}}} Quantity */

/** Cuts a text into marks, up to the first character that is none: its place is the fault. Places count from 1.
 * @param {string} text @returns {{marks: Mark[], end: number, fault?: number}} */
function scan(text) {
  const place = (/** @type {number} */ index) => [...text.slice(0, index)].length + 1;
  /** @type {Mark[]} */
  const marks = [];
  let space = false;
  let index = 0;
  let end = 1;
  while (index < text.length) {
    TOKEN.lastIndex = index;
    const found = TOKEN.exec(text) ?? [""];
    const at = place(index);
    const stop = (fault = at) => ({ marks, end: fault, fault });
    let kind = KINDS[found.findIndex((of, nth) => nth > 0 && of) - 1];
    const of = found[0];
    if (!kind) return stop();
    index += of.length;
    space ||= kind === "space";
    if (kind === "unseen" || kind === "space") continue;
    let n = BigInt(8 * (READY.indexOf(of) + 1));
    let point = 0;
    let places = 0;
    if (kind === "word") {
      const unit = UNITS[/** @type {"m"} */ (of.toLowerCase())];
      if (!unit) return stop();
      if (/^(ft|in)$/i.test(of) && text[index] === ".") index += 1;
      kind = unit > 0 ? "metric" : `${unit}`;
      n = BigInt(unit > 0 ? unit : 0);
    } else if (kind === "number") {
      const [whole, fine] = of.split(/[.,]/);
      n = BigInt(whole) * GIGA;
      if (n >= GIGA * GIGA) return stop();
      if (fine !== undefined) {
        point = at + whole.length;
        places = fine.length;
        if (places < 1 || places > 9) return stop(point + (places && 9) + 1);
        n += BigInt(fine.padEnd(9, "0"));
      }
    }
    marks.push({ kind, at, space, n, point, comma: of.includes(","), places });
    space = false;
    end = place(index);
  }
  return { marks, end };
}

/** Adds up marks; throws the place of the first that is wrong. @param {Mark[]} marks @param {number} end @param {boolean} inMetric */
function sum(marks, end, inMetric) {
  let next = 0;
  const here = () => marks[next]?.at ?? end;
  const is = (/** @type {string} */ kind, ahead = 0) => marks[next + ahead]?.kind === kind;
  const take = (/** @type {boolean} */ so) => so && (next += 1) > 0;
  const isHyphen = () => is("dash") && !marks[next].space && !marks[next + 1]?.space;
  const isFraction = (/** @type {number} */ ahead) => is("ready", ahead) || (is("number", ahead) && is("slash", ahead + 1));
  const isWhole = (/** @type {Quantity} */ of) => !of.part && of.number?.point === 0;
  const wrong = (/** @type {unknown} */ so, /** @type {number|undefined} */ at) => {
    if (so) throw at;
  };

  function fraction() {
    const at = here();
    if (take(is("ready"))) return { at, n: marks[next - 1].n };
    wrong(!is("number"), at);
    const top = marks[next];
    wrong(top.point > 0, top.point);
    next += 2;
    wrong(!is("number"), here());
    const bottom = marks[next].n / GIGA;
    wrong(bottom < 2n || 64n % bottom > 0n, here());
    wrong(marks[next].point > 0, marks[next].point);
    const n = (top.n / GIGA) * (64n / bottom);
    wrong(n >= 64n, at);
    next += 1;
    return { at, n };
  }
  /** @returns {Quantity} */
  function quantity() {
    const at = here();
    if (!is("number") || isFraction(0)) return { at, part: fraction() };
    const number = marks[next++];
    const hyphen = +isHyphen();
    if (!isFraction(hyphen)) return { at, number };
    next += hyphen;
    const part = fraction();
    wrong(number.point > 0, part.at);
    return { at, number, part };
  }
  function shares(/** @type {Quantity} */ { number, part }, /** @type {bigint} */ unit) {
    wrong(number?.comma, number?.point);
    return (number?.n ?? 0n) * unit + (part?.n ?? 0n) * ((unit * GIGA) / 64n);
  }
  function metric(/** @type {Quantity} */ { number, part }, /** @type {bigint} */ mm) {
    wrong(part, part?.at);
    wrong(number?.comma && number.places === 3 && mm < 1000n, number?.point);
    return (number?.n ?? 0n) * mm * MM;
  }
  function beside(/** @type {Quantity} */ feet) {
    const inches = quantity();
    wrong(!isWhole(feet), inches.at);
    const both = shares(inches, INCH);
    wrong(both >= FOOT * GIGA, inches.at);
    take(is("inches"));
    return shares(feet, FOOT) + both;
  }
  function term() {
    const of = quantity();
    if (take(is("feet"))) return take(isHyphen()) || is("number") || is("ready") ? beside(of) : shares(of, FOOT);
    if (take(is("inches"))) return shares(of, INCH);
    if (take(is("metric"))) return metric(of, marks[next - 1].n);
    if (isWhole(of) && take(isHyphen())) return beside(of);
    if (!inMetric) return shares(of, INCH);
    wrong(of.part, here());
    return metric(of, 1n);
  }

  wrong(marks.length === 0, end);
  let total = take(is("dash")) ? -term() : term();
  while (next < marks.length) {
    if (take(is("plus"))) total += term();
    else {
      wrong(!is("dash") || !marks[next].space || marks[next + 1]?.space === false, here());
      next += 1;
      total -= term();
    }
  }
  const size = Number((2n * (total < 0n ? -total : total) + 127n * GIGA) / (2n * 127n * GIGA));
  wrong(size > 768e4, marks[0].at);
  return total < 0n ? -size || 0 : size;
}

/** A length in 1/64 in, or the place of the first wrong character. @param {string} text @param {boolean} inMetric
 * @returns {{n?: number, at?: number}} */
export function readLength(text, inMetric) {
  const { marks, end, fault } = scan(text);
  try {
    const n = sum(marks, end, inMetric);
    return fault ? { at: fault } : { n };
  } catch (at) {
    if (typeof at !== "number") throw at;
    return { at: Math.min(at, fault ?? at) };
  }
}

/** Inches as `83 5/8`. @param {number} n in 1/64 in */
export function inches(n) {
  const size = Math.abs(n);
  let [top, bottom] = [size % 64, 64];
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const whole = Math.floor(size / 64);
  return (n < 0 ? "-" : "") + (whole || !top ? whole : "") + (whole && top ? " " : "") + (top ? `${top}/${bottom}` : "");
}

/** A length said both ways. @param {number} n in 1/64 in @param {boolean} inMetric */
export function echo(n, inMetric) {
  const size = Math.abs(n);
  const sign = n < 0 ? "-" : "";
  const mm = Math.floor((254 * size + 320) / 640);
  const us = size < 768 ? `${inches(n)}"` : `${sign}${Math.floor(size / 768)}' ${inches(size % 768)}" · ${inches(n)} in`;
  const both = [us, `${mm ? sign : ""}${mm} mm`];
  return (inMetric ? both.reverse() : both).join(" · ");
}

const FRACTION = /(?<!\d)(\d+)\/(\d+)$/;

/** The text after a key. @param {string} text @param {string} key */
export function pressed(text, key) {
  const bare = text.trimEnd();
  /** @type {Record<string, string>} */
  const plain = { "⌫": text.slice(0, -1), space: `${text} `, "−": `${bare} - `, ft: `${bare}' `, in: `${bare}"` };
  if (key in plain) return plain[key];
  const [, top, bottom] = FRACTION.exec(bare) ?? ["", 0, 1];
  if (!key.includes("/")) return text + (top ? " " : "") + key;
  const [of, in8] = key.replace("+", "").split("/");
  const n = (64 * +of) / +in8 + (key[0] === "+" ? (64 * +top) / +bottom : 0);
  const whole = bare.replace(FRACTION, "").trimEnd();
  return whole + (n > 0 && n < 64 ? (whole && " ") + inches(n) : "");
}

/** Fields for a length say back what is typed, and open the pad. */
export function watch() {
  const inMetric = document.body.dataset.units === "metric";
  /** @type {HTMLElement|undefined} */
  const pad = /** @type {any} */ (document.getElementById("pad"))?.content.children[0].cloneNode(true);
  /** @type {HTMLInputElement} */
  let field;
  if (pad) {
    // the field keeps the focus, so that a press leaves it where it is
    pad.onpointerdown = (event) => event.preventDefault();
    pad.onclick = ({ target }) => press(/** @type {HTMLElement} */ (target).dataset.key ?? "");
  }
  /** @param {string} key */
  function press(key) {
    if (!key) return;
    if (key === "ABC") {
      pad?.remove();
      field.inputMode = "text";
      field.blur();
      return field.focus();
    }
    if (key === "Next") {
      const shown = /** @type {HTMLElement[]} */ ([...(field.form?.elements ?? [])]).filter((one) => one === field || (one.offsetParent && one.tabIndex === 0 && !one.dataset.key));
      return shown[shown.indexOf(field) + 1]?.focus();
    }
    // a text field always has both
    const { value, selectionStart: from, selectionEnd: to } = /** @type {any} */ (field);
    const before = key === "⌫" && from < to ? value.slice(0, from) : pressed(value.slice(0, from), key);
    field.value = before + value.slice(to);
    field.setSelectionRange(before.length, before.length);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
  const line = (/** @type {HTMLInputElement} */ of) => /** @type {HTMLElement} */ (of.closest(".f, form")?.querySelector("output") ?? of);
  /** @type {(of: any) => of is HTMLInputElement} */
  const isLength = (of) => !!of.dataset?.length;
  addEventListener("input", ({ target }) => {
    if (!isLength(target)) return;
    const { n, at = 0 } = readLength(target.value, inMetric);
    const rest = [...target.value].slice(at - 1).join("");
    line(target).textContent = !at ? echo(n ?? 0, inMetric) : target.value.trim() && rest ? `Can’t be read at character ${at}: ${rest}` : "";
  });
  addEventListener("focusin", ({ target }) => {
    if (!isLength(target) || target === field || !pad) return;
    field = target;
    field.inputMode = "none";
    line(field).after(pad);
    pad.scrollIntoView({ block: "nearest" });
  });
}
