// What the linter looks for in the scripts that pages run, and in the walks.

import js from "@eslint/js";

const strict = {
  ...js.configs.recommended.rules,
  eqeqeq: "error",
  "no-console": "error",
  "no-implied-eval": "error",
  "no-new-func": "error",
  "no-undef": "off", // the type checker knows what there is
  "no-unused-vars": ["error", { args: "after-used" }],
  "no-var": "error",
  "prefer-const": ["error", { destructuring: "all" }],
  // a script is sent in one line: each statement needs its end
  semi: ["error", "always"],
};

export default [
  { ignores: ["**/node_modules/**", "**/*.d.ts"] },
  { files: ["web/assets/*.js"], languageOptions: { ecmaVersion: 2022, sourceType: "module" }, rules: strict },
  { files: ["web/assets/sw.js"], languageOptions: { sourceType: "script" } },
  { files: ["tests/browser/*.mjs"], rules: { ...strict, "no-console": "off" } },
];
