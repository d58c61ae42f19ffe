/** What a PDF as Chromium prints it holds: its pages, and the words on each. */
import { inflateSync } from "node:zlib";

/** Pages of a PDF, counted in its bytes: page objects, in the open or in compressed object streams. */
export function pagesOf(pdf: Buffer): number {
  const text = pdf.toString("latin1");
  const streams = [...text.matchAll(/\/Type\s*\/ObjStm[\s\S]*?stream\r?\n/g)].map((match) => {
    const from = match.index + match[0].length;
    return inflateSync(pdf.subarray(from, text.indexOf("endstream", from))).toString("latin1");
  });
  return [text, ...streams].join("\n").match(/\/Type\s*\/Page(?![a-zA-Z])/g)?.length ?? 0;
}

/** An object of the file: its dictionary, and the bytes of its stream. */
interface PdfObject {
  dictionary: string;
  stream: string;
}

function objectsOf(pdf: Buffer): Map<string, PdfObject> {
  const text = pdf.toString("latin1");
  const objects = new Map<string, PdfObject>();
  for (const { 1: number, index, 0: start } of text.matchAll(/^(\d+) 0 obj\s*/gm)) {
    const from = index + start.length;
    const end = text.indexOf("endobj", from);
    const stream = /^[\s\S]*?stream\r?\n/.exec(text.slice(from, end))?.[0] ?? null;
    const dictionary = stream ?? text.slice(from, end);
    const length = Number(/\/Length (\d+)/.exec(dictionary)?.[1] ?? 0);
    const at = from + dictionary.length;
    const bytes = stream === null ? null : pdf.subarray(at, at + length);
    objects.set(number!, {
      dictionary,
      stream:
        bytes === null
          ? ""
          : (dictionary.includes("/FlateDecode") ? inflateSync(bytes) : bytes).toString("latin1"),
    });
  }
  return objects;
}

/** What the codes of a font mean: the map to Unicode that comes with it (ISO 32000-1, 9.10.3). */
function lettersOf(map: string): Map<number, string> {
  const letters = new Map<number, string>();
  const unicode = (hex: string): string =>
    String.fromCharCode(...hex.match(/.{4}/g)!.map((unit) => parseInt(unit, 16)));
  for (const [, singles] of map.matchAll(/beginbfchar([\s\S]*?)endbfchar/g))
    for (const [, code, letter] of singles!.matchAll(/<(\w+)>\s*<(\w+)>/g))
      letters.set(parseInt(code!, 16), unicode(letter!));
  for (const [, ranges] of map.matchAll(/beginbfrange([\s\S]*?)endbfrange/g))
    for (const [, first, last, letter] of ranges!.matchAll(/<(\w+)>\s*<(\w+)>\s*<(\w+)>/g))
      for (let code = parseInt(first!, 16); code <= parseInt(last!, 16); code++)
        letters.set(code, String.fromCharCode(parseInt(letter!, 16) + code - parseInt(first!, 16)));
  return letters;
}

/** The text of every page, in the order in which it is drawn; each piece of a line ends in a blank. */
export function textOfPages(pdf: Buffer): string[] {
  const objects = objectsOf(pdf);
  const at = (number: string | undefined): PdfObject =>
    objects.get(number ?? "") ?? { dictionary: "", stream: "" };
  const kids = (number: string): string[] => {
    const inside = /\/Kids\s*\[([^\]]*)\]/.exec(at(number).dictionary)?.[1];
    return inside === undefined
      ? [number]
      : [...inside.matchAll(/(\d+) 0 R/g)].flatMap(([, kid]) => kids(kid!));
  };
  const catalogue = [...objects.values()].find(({ dictionary }) => /\/Type\s*\/Catalog/.test(dictionary))!;
  return kids(/\/Pages (\d+) 0 R/.exec(catalogue.dictionary)![1]!).map((number) => {
    const { dictionary } = at(number);
    const resources = /\/Resources (\d+) 0 R/.exec(dictionary)?.[1];
    const named = resources === undefined ? dictionary : at(resources).dictionary;
    const fonts = new Map(
      [...(/\/Font\s*<<([\s\S]*?)>>/.exec(named)?.[1] ?? "").matchAll(/\/(\w+) (\d+) 0 R/g)].map(
        ([, name, font]) => [
          name!,
          lettersOf(at(/\/ToUnicode (\d+) 0 R/.exec(at(font).dictionary)?.[1]).stream),
        ],
      ),
    );
    return drawnText(at(/\/Contents (\d+) 0 R/.exec(dictionary)?.[1]).stream, fonts);
  });
}

function drawnText(content: string, fonts: ReadonlyMap<string, ReadonlyMap<number, string>>): string {
  let text = "";
  let letters: ReadonlyMap<number, string> = new Map();
  for (const [token, font, codes] of content.matchAll(/\/(\w+) [\d.]+ Tf|<((?:[0-9A-Fa-f]{4})+)>|\bET\b/g)) {
    if (font !== undefined) letters = fonts.get(font) ?? new Map<number, string>();
    else if (token === "ET") text += " ";
    else
      text += codes!
        .match(/.{4}/g)!
        .map((code) => letters.get(parseInt(code, 16)) ?? "")
        .join("");
  }
  // A font may draw "fi" as one letter.
  return text.normalize("NFKC").replace(/\s+/g, " ");
}
