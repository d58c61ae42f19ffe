/** The schema of a result without what follows from the rest of it: the desk carries it, and every byte of that counts. */
import type { Schema } from "@cfworker/json-schema";

/**
 * A published schema, packed.
 *
 * What fields mean, and how definitions are called, is for people who read it as a file. Extra entries are allowed where results are read. Most entries are
 * required, so those are named that are not.
 */
export function leanSchema(published: string): string {
  const whole = JSON.parse(published, (key, value: unknown) => {
    if (key === "description" && typeof value === "string") return undefined;
    if (key === "additionalProperties" && value === false) return undefined;
    return isRecord(value) ? withOptional(value) : value;
  }) as object;
  return withShortNames({ ...whole, lean: true });
}

/** What leads to a definition. */
const toDefinition = "#/definitions/";

/** Nobody reads the names of definitions in a packed schema: they are numbered. */
function withShortNames(whole: { definitions?: Record<string, unknown>; lean: true }): string {
  const names = Object.keys(whole.definitions ?? {});
  const short = (name: string): string => String(names.indexOf(name));
  const definitions = Object.entries(whole.definitions ?? {}).map(([name, one]) => [short(name), one]);
  return JSON.stringify(
    names.length === 0 ? whole : { ...whole, definitions: Object.fromEntries(definitions) as unknown },
    (key, value: unknown) =>
      key === "$ref" && typeof value === "string" && value.startsWith(toDefinition)
        ? toDefinition + short(decodeURIComponent(value.slice(toDefinition.length)))
        : value,
  );
}

/** A schema to check a result by, from a published or a packed one. */
export function schemaToCheckBy(text: string): Schema {
  const { lean, ...schema } = JSON.parse(text, (key, value: unknown) =>
    key === "additionalProperties" && value === false ? undefined : value,
  ) as Schema & { lean?: true };
  return lean === true
    ? (JSON.parse(JSON.stringify(schema), (_, value: unknown) =>
        isRecord(value) ? withRequired(value) : value,
      ) as Schema)
    : schema;
}

/** An object of a schema that lists its entries. */
interface SchemaRecord {
  type: "object";
  properties: Record<string, unknown>;
  required?: string[];
  optional?: string[];
}

const isRecord = (value: unknown): value is SchemaRecord =>
  typeof value === "object" &&
  value !== null &&
  "properties" in value &&
  "type" in value &&
  value.type === "object";

function withOptional({ required = [], ...rest }: SchemaRecord): SchemaRecord {
  const optional = Object.keys(rest.properties).filter((name) => !required.includes(name));
  return { ...rest, ...(optional.length === 0 ? {} : { optional }) };
}

function withRequired({ optional = [], ...rest }: SchemaRecord): SchemaRecord {
  const required = Object.keys(rest.properties).filter((name) => !optional.includes(name));
  return { ...rest, ...(required.length === 0 ? {} : { required }) };
}
