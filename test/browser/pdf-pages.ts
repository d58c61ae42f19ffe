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
