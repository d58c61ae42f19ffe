import tseslint from "typescript-eslint";

const engineWords = [
  { object: "Math", property: "random", message: "Randomness is an argument: use maths/random.ts." },
  { object: "Date", property: "now", message: "The engine has no clock." },
];

/** A list within a list, or an object within an object, would only keep the formatter from writing a line for each. */
const spreadOfALiteral = {
  selector: "SpreadElement > :matches(ArrayExpression, ObjectExpression)",
  message: "Write the elements where they belong.",
};

/** A function is one thought, or several by their names. */
const shortFunctions = ["error", { max: 60, IIFEs: true }];

/** One thing after another in a row, which would read no better in parts: entries of a table, options, one recurrence. */
const listsInARow = [
  "src/check/{lots,values}.ts",
  "src/maths/{hinge,smooth-minimum}.ts",
  "src/tell/csv/*-tables.ts",
  "src/tell/charts/{lesson-strips,lodging,strip-checks}.ts",
];

/** Still longer; a file split leaves this list for good. */
const stillLong = [
  "src/cli/{client-folder,seed}.ts",
  "src/desk/{answer,errand-work,intake,mend,points,prices}.ts",
  "src/farm/{plan-trial,questions,read-farm}.ts",
  "src/page/{live-charts,what-if}.ts",
  "src/points/file-columns.ts",
  "src/read/{region-files,trial-files}.ts",
  "src/read/tables/locate.ts",
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
      "no-restricted-syntax": ["error", spreadOfALiteral],
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
        spreadOfALiteral,
        {
          selector: "CallExpression[callee.property.name=/^toLocale/]",
          message: "The engine has no locale.",
        },
      ],
    },
  },
  {
    files: ["src/**/*.ts"],
    ignores: [...listsInARow, ...stillLong],
    rules: { "max-lines-per-function": shortFunctions },
  },
);
