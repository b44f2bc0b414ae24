// Lints the browser modules. Run from the top of the project, see package.json.
import js from "@eslint/js";

export default [
  js.configs.recommended,
  {
    files: ["**/*.js"],
    languageOptions: { ecmaVersion: 2022, sourceType: "module" },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "no-undef": "off", // tsc knows the browser's names better
      "no-unused-vars": ["error", { argsIgnorePattern: "^_" }],
      "no-console": "error", // a fault belongs on the screen, in a sentence
      "no-var": "error",
      "prefer-const": "error",
      eqeqeq: ["error", "always", { null: "ignore" }],
      "no-eval": "error",
      "no-implied-eval": "error",
      "no-restricted-properties": [
        "error",
        { property: "innerHTML", message: "Names and notes come from people; build elements instead." },
        { property: "outerHTML", message: "Names and notes come from people; build elements instead." },
        { object: "crypto", property: "randomUUID", message: "Missing on plain http; use ids.js." },
      ],
      "no-shadow": "error",
      "no-promise-executor-return": "error",
      "max-lines": ["error", { max: 400 }],
      complexity: ["error", 20], // it counts each ?? and ?. as well,
    },
  },
];
