// The script's reader of lengths in Node: the core's own case file, what the core says back, and the keys of the pad.
//
// `node lengths.mjs CASES ECHOES`: CASES is server/takeoff/units/src/lengths.tsv, ECHOES a table that the core made: 1/64 in,
// the length as bare inches, its echo in a US and in a metric job.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { echo, inches, pressed, readLength } from "../../web/assets/pad.js";

const [cases, echoes] = process.argv.slice(2);
const rows = (file) => {
  const lines = readFileSync(file, "utf8").split("\n");
  return lines.filter((line) => line !== "" && !line.startsWith("#")).map((line) => line.split("\t"));
};

const wrong = [];
let n = 0;
for (const [units, text, expected] of rows(cases)) {
  const { n: length, at } = readLength(text, units === "metric");
  const read = length === undefined ? `at ${at}` : inches(length);
  if (read !== expected) wrong.push(`${units} ${JSON.stringify(text)}: ${read}, not ${expected}`);
  n += 1;
}
assert.deepEqual(wrong, []);
assert.ok(n > 150, `only ${n} cases`);

let said = 0;
for (const [of, bare, us, metric] of rows(echoes)) {
  assert.deepEqual([inches(Number(of)), echo(Number(of), false), echo(Number(of), true)], [bare, us, metric]);
  assert.equal(readLength(bare, false).n, Number(of));
  said += 1;
}
assert.ok(said > 1000, `only ${said} echoes`);

// What keys make, in the order in which a thumb presses them.
for (const [keys, text] of [
  ["7 ft 3 3/8 in", "7' 3 3/8\""],
  ["8 3 5/8", "83 5/8"],
  ["3 3/8 +1/16", "3 7/16"],
  ["3 +1/16 +1/16", "3 1/8"],
  ["3 3/8 1/2", "3 1/2"],
  ["3 3/8 0/8", "3"],
  ["1/2 0/8", ""],
  ["1/2", "1/2"],
  ["1 4 4 − 3 1/2", "144 - 3 1/2"],
  ["1 2 ⌫ 3", "13"],
  ["7 ft 3/8", "7' 3/8"],
]) {
  const typed = keys.split(" ").reduce(pressed, "");
  assert.equal(typed, text, keys);
  assert.ok(text === "" || readLength(text, false).n !== undefined, text);
}
console.log(`${n} cases, ${said} echoes: the script reads as the core does`);
