import { describe, expect, it } from "vitest";
import { decodeText } from "../../../../src/read/tables/decode.ts";
import { bytesOf, trialErrorOf } from "../read-csv.ts";

const decode = (bytes: Uint8Array) => decodeText(bytes, "x.csv");
const codeOf = (bytes: Uint8Array): string => trialErrorOf(() => decode(bytes)).code;
const text = "variety,m²\nMüller – „Öst“,1\n";

const utf16 = (words: string, littleEndian: boolean, mark: boolean): Uint8Array => {
  const units = [...(mark ? "\ufeff" : ""), ...words].flatMap((character) => {
    const code = character.charCodeAt(0);
    return littleEndian ? [code & 255, code >> 8] : [code >> 8, code & 255];
  });
  return Uint8Array.from(units);
};

describe("decodeText", () => {
  it("reads UTF-8 with and without a byte order mark", () => {
    expect(decode(bytesOf(text))).toEqual({ text, encoding: "utf-8" });
    expect(decode(bytesOf(`\ufeff${text}`))).toEqual({ text, encoding: "utf-8" });
  });

  it("reads UTF-16 of both byte orders, with and without a mark", () => {
    expect(decode(utf16(text, true, true))).toEqual({ text, encoding: "utf-16le" });
    expect(decode(utf16(text, false, true))).toEqual({ text, encoding: "utf-16be" });
    expect(decode(utf16("variety,rate\nOst,1\n", true, false)).encoding).toBe("utf-16le");
    expect(decode(utf16("variety,rate\nOst,1\n", false, false)).encoding).toBe("utf-16be");
  });

  /** WHATWG Encoding Standard, index-windows-1252: bytes 0x80 to 0x9F in order; the five unused ones stay controls. */
  it("reads what is not UTF-8 as Windows-1252", () => {
    const upper = Uint8Array.from({ length: 128 }, (_, index) => 128 + index);
    const standard =
      "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ" +
      String.fromCharCode(...Array.from({ length: 96 }, (_, index) => 0xa0 + index));
    expect(decode(upper)).toEqual({ text: standard, encoding: "windows-1252" });
  });

  it("keeps UTF-8 when the file is cut off inside a character", () => {
    const cut = bytesOf("Müller,1,ü").slice(0, -1);
    expect(decode(cut)).toEqual({ text: "Müller,1,", encoding: "utf-8" });
    expect(decode(bytesOf("Müller €").slice(0, -1)).encoding).toBe("utf-8");
  });

  it("refuses what is no text, and says what to do", () => {
    expect(codeOf(Uint8Array.of(65, 0, 66, 67))).toBe("file-binary");
    expect(codeOf(Uint8Array.from({ length: 999 }, (_, index) => (index * 7919) % 32))).toBe("file-binary");
    expect(codeOf(Uint8Array.of(0x50, 0x4b, 3, 4, 20))).toBe("file-is-spreadsheet");
    expect(codeOf(Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 1))).toBe("file-is-spreadsheet");
    expect(trialErrorOf(() => decode(Uint8Array.of(65, 0, 66))).message).toBe(
      "x.csv is not a text file. Save the table as CSV (comma separated, UTF-8) and give that file.",
    );
  });

  it("is empty for an empty file", () => {
    expect(decode(new Uint8Array())).toEqual({ text: "", encoding: "utf-8" });
    expect(decode(Uint8Array.of(0xef, 0xbb, 0xbf)).text).toBe("");
  });
});
