/** Bytes of a file → its text, whatever wrote it. */
import {
  binaryFile,
  documentAsTable,
  fileTooLarge,
  oldSpreadsheet,
  spreadsheetAsText,
  type Document,
} from "../../messages/reading.ts";

/** The two encodings that browser and Node decode alike, without their types: the engine knows no platform. */
declare class TextDecoder {
  constructor(encoding: "utf-8" | "utf-16le" | "utf-16be", options?: { fatal: boolean });
  decode(bytes: Uint8Array): string;
}

export type Encoding = "utf-8" | "windows-1252" | "utf-16le" | "utf-16be";

export interface DecodedText {
  text: string;
  encoding: Encoding;
}

/** A string of JavaScript engines holds no more characters than this. */
const mostCharacters = 0x1fffffe8;

/** What Windows-1252 puts at 0x80 to 0x9F; the rest is Latin-1. Source: WHATWG Encoding Standard, index-windows-1252. */
const windows1252 = [
  0x20ac, 0x81, 0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160, 0x2039, 0x0152, 0x8d,
  0x017d, 0x8f, 0x90, 0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a,
  0x0153, 0x9d, 0x017e, 0x0178,
];

function decodeWindows1252(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let start = 0; start < bytes.length; start += 8192) {
    const codes = Uint16Array.from(bytes.subarray(start, start + 8192), (byte) =>
      byte >= 0x80 && byte < 0xa0 ? windows1252[byte - 0x80]! : byte,
    );
    parts.push(String.fromCharCode(...codes));
  }
  return parts.join("");
}

const startsWith = (bytes: Uint8Array, ...signature: number[]): boolean =>
  signature.every((byte, index) => bytes[index] === byte);

/**
 * What files begin with that are no text. Sources: ISO 32000-1, 7.5.2 (PDF); RFC 2083 (PNG); RFC 1952 (gzip); GIF89a
 * specification, 17 (GIF); TIFF 6.0, section 2 (TIFF); the others as public tables of file signatures list them.
 */
const signatures: readonly [kind: Document, ...bytes: number[]][] = [
  ["PDF", 0x25, 0x50, 0x44, 0x46, 0x2d],
  ["picture", 0x89, 0x50, 0x4e, 0x47],
  ["picture", 0xff, 0xd8, 0xff],
  ["picture", 0x47, 0x49, 0x46, 0x38],
  ["picture", 0x49, 0x49, 0x2a, 0x00],
  ["letter", 0x7b, 0x5c, 0x72, 0x74, 0x66],
  ["archive", 0x1f, 0x8b],
  ["archive", 0x37, 0x7a, 0xbc, 0xaf],
  ["archive", 0x52, 0x61, 0x72, 0x21],
];

/** UTF-16 without a mark shows in text of our kind as zero bytes on one side of nearly every pair. */
function utf16WithoutMark(bytes: Uint8Array): "utf-16le" | "utf-16be" | null {
  const end = Math.min(bytes.length & ~1, 4096);
  let low = 0;
  let high = 0;
  for (let index = 0; index < end; index += 2) {
    if (bytes[index] === 0) high++;
    if (bytes[index + 1] === 0) low++;
  }
  const pairs = end / 2;
  if (pairs > 1 && low > 0.7 * pairs && high === 0) return "utf-16le";
  if (pairs > 1 && high > 0.7 * pairs && low === 0) return "utf-16be";
  return null;
}

/** Length without the last character, where a cut-off file ends inside it. */
function wholeCharacters(bytes: Uint8Array): number {
  for (let back = 1; back <= 3 && back <= bytes.length; back++) {
    const byte = bytes[bytes.length - back]!;
    if (byte >= 0xc0) {
      const length = byte >= 0xf0 ? 4 : byte >= 0xe0 ? 3 : 2;
      return length > back ? bytes.length - back : bytes.length;
    }
    if (byte < 0x80) break;
  }
  return bytes.length;
}

function decodeUtf8(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

/**
 * Text of a file: UTF-8 with or without byte order mark, UTF-16 with or without, else Windows-1252.
 *
 * @param name  of the file, for messages
 * @returns the text without a byte order mark, and how it was encoded
 * @throws TrialError `file-too-large` beyond about 500 million bytes
 * @throws TrialError `file-binary` if zero bytes or control characters show that it is no text
 * @throws TrialError `file-is-document` if it is a PDF, a picture and the like
 * @throws TrialError `file-is-spreadsheet` if it is a workbook, or another zip archive
 * @example decodeText(Uint8Array.of(0x4d, 0xfc, 0x6c), "x.csv") // { text: "Mül", encoding: "windows-1252" }
 */
export function decodeText(bytes: Uint8Array, name: string): DecodedText {
  if (bytes.length >= mostCharacters) throw fileTooLarge(name);
  if (startsWith(bytes, 0x50, 0x4b, 0x03, 0x04)) throw spreadsheetAsText(name);
  if (startsWith(bytes, 0xd0, 0xcf, 0x11, 0xe0)) throw oldSpreadsheet(name);
  const document = signatures.find(([, ...signature]) => startsWith(bytes, ...signature));
  if (document !== undefined) throw documentAsTable(name, document[0]);
  const utf16 = startsWith(bytes, 0xff, 0xfe)
    ? "utf-16le"
    : startsWith(bytes, 0xfe, 0xff)
      ? "utf-16be"
      : utf16WithoutMark(bytes);
  if (utf16 !== null) {
    const whole = bytes.subarray(0, bytes.length & ~1);
    return readable({ text: new TextDecoder(utf16).decode(whole), encoding: utf16 }, name);
  }
  if (bytes.includes(0)) throw binaryFile(name);
  const utf8 = decodeUtf8(bytes) ?? decodeUtf8(bytes.subarray(0, wholeCharacters(bytes)));
  return readable(
    utf8 !== null
      ? { text: utf8, encoding: "utf-8" }
      : { text: decodeWindows1252(bytes), encoding: "windows-1252" },
    name,
  );
}

/** Text holds no control characters but tabs and line ends; a few strays in a note are let through. */
function readable(decoded: DecodedText, name: string): DecodedText {
  const start = decoded.text.slice(0, 65_536);
  const strange = start.match(/[\u0000-\u0008\u000b\u000e-\u001a\u001c-\u001f\ufffd]/g)?.length ?? 0;
  if (decoded.text.includes("\0") || strange > 8 + start.length / 100) throw binaryFile(name);
  return decoded;
}
