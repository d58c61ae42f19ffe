/** What is wrong with a line of a season file or a file of answers, in plain words, instead of what the reader of YAML says. */
import { lineFaults, type LineFault } from "../messages/yaml-lines.ts";
import { pairIn } from "./pair-in.ts";

/** A fault as the reader of YAML gives it. */
interface YamlFault {
  code: string;
  pos: readonly [number, number];
}

const colonInValue = /^\s*(?:- )?("[^"]*"|'[^']*'|[^:\s][^:]*):\s+([^"'\s[{][^"']*?:\s.*|[^"'\s[{][^"']*:)$/;
const startsWithSign = /^\s*(?:- )?[^:]+:\s+([@`%&*!|>?#,\]}].*)$/;

/** The fault that a line shows by itself; null where it shows none. */
function faultOfLine(line: string, next: string): LineFault | null {
  if (/^\s*\t/.test(line)) return "tab";
  if (colonInValue.test(line)) return "colon";
  if (/^---\s*$/.test(line)) return "dashes";
  const quoted = pairIn(/:\s*(["'])(.*)$/, line);
  if (quoted !== null && !quoted[1].includes(quoted[0])) return "quote";
  if (/^\s*(["']).*?\1\s*[^\s:]/.test(line) || /:\s*(["']).*?\1\s*[^\s#,\]}]/.test(line))
    return "behindQuote";
  if ((line.match(/[[{]/g) ?? []).length > (line.match(/[\]}]/g) ?? []).length) return "bracket";
  if (/^\s*[\]}]/.test(line)) return "closing";
  if (startsWithSign.test(line)) return "sign";
  if (!/:(?:\s|$)/.test(line)) return /^[^\s:]+:\S/.test(line) ? "noSpace" : "noEntry";
  return /^\s+\S.*:(?:\s|$)/.test(next) ? "indented" : null;
}

/**
 * Which line is at fault, from 1, its text, and what to do about it.
 *
 * @example `crop: wheat: spring` → line 1, put the value in quotation marks
 */
export function plainFault(
  text: string,
  { code, pos }: YamlFault,
): { line: number; written: string; advice: string } {
  const lines = text.split("\n");
  const at = Math.min(text.slice(0, pos[0]).split("\n").length, lines.length) - 1;
  const told = (index: number, fault: LineFault): { line: number; written: string; advice: string } => ({
    line: index + (fault === "indented" ? 2 : 1),
    written: (lines[index + (fault === "indented" ? 1 : 0)] ?? "").trim(),
    advice: lineFaults[fault],
  });
  if (code === "DUPLICATE_KEY") return told(at, "twice");
  if (code === "MULTIPLE_DOCS") return told(at, "dashes");
  // What is not closed is found at its end: the line where it begins is above.
  for (let index = at; index >= 0; index--) {
    const line = lines[index] ?? "";
    if (line.trim() === "" || /^\s*#/.test(line)) continue;
    const fault = faultOfLine(line, lines[index + 1] ?? "");
    if (fault !== null) return told(index, fault);
  }
  return told(at, "other");
}
