/** A season file that is no YAML as a whole: its entries one by one, so that one of them does not take the others with it. */
import {
  isMap,
  isScalar,
  parseDocument,
  type DocumentOptions,
  type ParsedNode,
  type ParseOptions,
  type SchemaOptions,
} from "yaml";
import { plainFault } from "../plain-faults.ts";
import { seasonEntryIndented, seasonEntryTwice, seasonNoEntry } from "../../messages/season.ts";

/** Lines that begin with an entry of the top, up to the next such. */
interface Block {
  /** Of its first line, from 0. */
  start: number;
  lines: [string, ...string[]];
}

/** The parts of a file that cannot be read. */
export interface BrokenPart {
  /** From 1. */
  line: number;
  key: string;
  advice: string;
}

/** YAML as a season file may have it. */
export const seasonYaml: ParseOptions & DocumentOptions & SchemaOptions = {
  version: "1.2",
  schema: "core",
  customTags: [],
  strict: true,
  uniqueKeys: true,
  prettyErrors: false,
};

/**
 * The text with the lines emptied that are no entries, and what is wrong with each; an entry that is there twice is none.
 *
 * @throws RangeError where entries are nested too deeply
 */
export function readableEntries(text: string): { text: string; broken: BrokenPart[] } {
  const lines = text.split("\n");
  const broken: BrokenPart[] = [];
  const empty = ({ start, lines: own }: Block, from = start): void =>
    void lines.fill("", from, start + own.length);
  const kept: { block: Block; key: string }[] = [];
  for (const block of blocksOf(lines)) {
    const [first, second] = block.lines;
    const whole = entryOf(block.lines.join("\n"));
    if (whole.key !== null) {
      kept.push({ block, key: whole.key });
      continue;
    }
    const alone = entryOf(first);
    const isIndented = second !== undefined && alone.key !== null && alone.hasValue;
    const start = block.start + (isIndented ? 1 : 0);
    if (isIndented) kept.push({ block: { start: block.start, lines: [first] }, key: alone.key });
    const key = (isIndented ? second : first).replace(/:.*/s, "").trim();
    broken.push({ line: start + 1, key, advice: isIndented ? seasonEntryIndented : whole.fault });
    empty(block, start);
  }
  const keys = new Set(kept.map(({ key }) => key));
  const twice = new Set(kept.flatMap(({ key }) => (keys.delete(key) ? [] : [key])));
  for (const { block, key } of kept) {
    if (!twice.has(key)) continue;
    broken.push({ line: block.start + 1, key, advice: seasonEntryTwice });
    empty(block);
  }
  return { text: lines.join("\n"), broken };
}

function blocksOf(lines: readonly string[]): Block[] {
  const blocks: Block[] = [];
  lines.forEach((line, index) => {
    if (/^[^\s#\]}-]/.test(line)) blocks.push({ start: index, lines: [line] });
    else if (blocks.length > 0) blocks.at(-1)!.lines.push(line);
    else if (/^\s*[^\s#]/.test(line)) blocks.push({ start: index, lines: [line] });
  });
  return blocks;
}

type Entry = { key: string; hasValue: boolean } | { key: null; fault: string };

function entryOf(text: string): Entry {
  if (!/^[^\n]*:(?:\s|$)/.test(text)) return { key: null, fault: seasonNoEntry };
  const { contents, errors, warnings } = parseDocument<ParsedNode>(text, seasonYaml);
  const [problem] = [...errors, ...warnings];
  if (problem !== undefined) return { key: null, fault: plainFault(text, problem).advice };
  const [pair, other] = isMap(contents) ? contents.items : [];
  if (pair === undefined || other !== undefined || !isScalar(pair.key))
    return { key: null, fault: seasonNoEntry };
  const hasValue = pair.value !== null && !(isScalar(pair.value) && pair.value.value === null);
  return { key: String(pair.key.source), hasValue };
}
