// The scripts that pages run: their types, the linter's rules, and that what is sent is what was written.
//
// `node check.mjs FOLDER`: FOLDER holds the scripts as they are sent, under their names.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { ESLint } from "eslint";

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, "../..");
const assets = join(root, "web/assets");
const require = createRequire(import.meta.url);
// the parser that the linter itself uses
const espree = createRequire(require.resolve("eslint"))("espree");

function types(project) {
  try {
    execFileSync(process.execPath, [require.resolve("typescript/bin/tsc"), "-p", join(here, project)], { encoding: "utf8" });
  } catch (error) {
    throw new Error(error.stdout);
  }
}

/** A row of declarations as one each: constants are sent as what may be written to, since the linter saw that nothing is. */
const apart = (one) => (one?.type === "VariableDeclaration" ? one.declarations.map((of) => ({ ...one, declarations: [of] })) : one);

/** A script's syntax, without where it stands. */
function tree(text) {
  const of = espree.parse(text, { ecmaVersion: 2022, sourceType: "module" });
  return JSON.parse(JSON.stringify(of, (key, value) => {
    if (["start", "end", "range", "loc"].includes(key)) return undefined;
    if (key === "kind" && value === "const") return "let";
    // what is true is sent as not nought
    if (value?.type === "UnaryExpression" && value.operator === "!" && [0, 1].includes(value.argument.value)) return { type: "Literal", value: !value.argument.value, raw: `${!value.argument.value}` };
    if (Array.isArray(value)) return value.flatMap(apart);
    return typeof value === "bigint" ? `${value}n` : value;
  }));
}

const [folder] = process.argv.slice(2);
types("tsconfig.json");
types("tsconfig.sw.json");

const linter = new ESLint({ cwd: root, overrideConfigFile: join(here, "eslint.config.mjs") });
const found = await linter.lintFiles(["web/assets/*.js", "tests/browser/*.mjs"]);
const wrong = found.flatMap((file) => file.messages.map((one) => `${file.filePath}:${one.line}: ${one.message} (${one.ruleId})`));
assert.deepEqual(wrong, []);

const written = readdirSync(assets).filter((name) => name.endsWith(".js"));
for (const name of written) {
  const sent = readFileSync(join(folder, name), "utf8");
  assert.deepEqual(tree(sent), tree(readFileSync(join(assets, name), "utf8")), name);
}
console.log(`${written.length} scripts hold`);
