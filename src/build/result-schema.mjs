/** Makes the JSON Schema of the result from the types of `src/vocabulary/result.ts`, so that the two cannot part. */
import { createGenerator } from "ts-json-schema-generator";

/**
 * The JSON Schema (draft 7) of `Result`.
 *
 * @param root the project's folder, ending in a slash
 */
export const resultSchema = (root) => ({
  ...createGenerator({
    path: `${root}src/vocabulary/result.ts`,
    tsconfig: `${root}tsconfig.json`,
    type: "Result",
    skipTypeCheck: true,
    additionalProperties: false,
  }).createSchema("Result"),
  title: "Result of stripcurve fit --json",
});
