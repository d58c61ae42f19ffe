/** Lists in messages: long ones are cut, and say so. */
import { fixed, listed, plainStyle } from "../numbers/written-numbers.ts";

/**
 * The first few of a list, and how many more there are.
 *
 * @example firstFew(["2023 North", "2024 North", "2025 North"], 2) // "2023 North, 2024 North and 1 more"
 */
export const firstFew = (items: readonly string[], most = 4): string =>
  items.length <= most
    ? listed([...items])
    : `${items.slice(0, most).join(", ")} and ${fixed(items.length - most, 0, plainStyle)} more`;
