/** The result as JSON text. */
import type { Result } from "../vocabulary/result.ts";

/**
 * The result in pieces that put together are one JSON object: each member on a line of its own, and each item of a
 * list too, so that a text tool can search it. In pieces, because a million strips do not fit into one string.
 */
export function* jsonPieces(result: Result): Generator<string> {
  const members = Object.entries(result);
  yield "{";
  for (const [i, [name, value]] of members.entries()) {
    yield `${i === 0 ? "" : ","}\n${JSON.stringify(name)}: `;
    if (!Array.isArray(value) || value.length === 0) {
      yield JSON.stringify(value);
      continue;
    }
    for (const [j, item] of value.entries()) yield `${j === 0 ? "[" : ","}\n${JSON.stringify(item)}`;
    yield "\n]";
  }
  yield "\n}\n";
}
