import tseslint from "typescript-eslint";

const engineWords = [
  { object: "Math", property: "random", message: "Randomness is an argument: use maths/random.ts." },
  { object: "Date", property: "now", message: "The engine has no clock." },
];

export default tseslint.config(
  { ignores: ["dist/**", "node_modules/**", "reports/**"] },
  ...tseslint.configs.recommended,
  {
    files: ["**/*.ts"],
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "@typescript-eslint/no-explicit-any": "error",
      "@typescript-eslint/no-non-null-assertion": "off",
      eqeqeq: "error",
      "no-console": "error",
      "prefer-const": "error",
    },
  },
  {
    files: ["src/**/*.ts"],
    ignores: ["src/cli/**", "src/page/**", "src/desk/**"],
    rules: {
      "no-restricted-properties": ["error", ...engineWords],
      "no-restricted-globals": ["error", "Date"],
      "no-restricted-syntax": [
        "error",
        {
          selector: "CallExpression[callee.property.name=/^toLocale/]",
          message: "The engine has no locale.",
        },
      ],
    },
  },
);
