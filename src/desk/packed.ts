/** What the build packed into the page: the desk's scripts and a report's as chunks, built files, the demo farm. */
import { betweenPieces } from "../tell/html/script-pieces.ts";

type Bytes = Uint8Array<ArrayBuffer>;

type Script = "page" | "worker" | "desk";

export interface Packed {
  /** Chunks of each in order, as UTF-8. */
  scripts: Record<Script, Bytes[]>;
  built: Record<string, string>;
  demo: Record<string, string>;
}

const handedOver = "desk: unpacked";

/** From what opens the page to the desk, which is a script within what was unpacked. */
export const handOver = (packed: Packed): void =>
  void document.dispatchEvent(new CustomEvent(handedOver, { detail: packed }));

export const whenHandedOver = (take: (packed: Packed) => void): void =>
  document.addEventListener(handedOver, (event) => take((event as CustomEvent<Packed>).detail), {
    once: true,
  });

/** Unpacks the text of an element: base64 of a deflated stream (RFC 1950). */
export async function unpacked(id: string): Promise<Packed> {
  const packed = document.getElementById(id)?.textContent ?? "";
  const characters = atob(packed);
  // Ten times as quick as `Uint8Array.from` with a function, and the page waits for it.
  const bytes = new Uint8Array(characters.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = characters.charCodeAt(i);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return partsOf(new Uint8Array(await new Response(stream).arrayBuffer()));
}

/** A line of JSON, then the chunks, whose lengths it gives. */
function partsOf(bytes: Bytes): Packed {
  const lineEnd = bytes.indexOf(0x0a);
  const { lengths, entries, ...rest } = JSON.parse(
    new TextDecoder().decode(bytes.subarray(0, lineEnd)),
  ) as Omit<Packed, "scripts"> & { lengths: number[]; entries: Record<Script, number[]> };
  let start = lineEnd + 1;
  const chunks = lengths.map((length) => bytes.subarray(start, (start += length)));
  const chunksOf = (script: Script): Bytes[] => entries[script].map((index) => chunks[index]!);
  return {
    ...rest,
    scripts: { page: chunksOf("page"), worker: chunksOf("worker"), desk: chunksOf("desk") },
  };
}

/** The same as `inPieces` of the build. */
export const inPieces = ({ scripts }: Packed, script: Script): Bytes[] =>
  scripts[script].flatMap((chunk, i) => (i === 0 ? [chunk] : [bytes(betweenPieces), chunk]));

/** The same as `scriptOf` of the build. */
export const scriptOf = ({ scripts }: Packed, script: Script): Bytes[] => [
  bytes("(()=>{"),
  ...scripts[script],
  bytes("})();\n"),
];

/** Runs a script on the page itself, at once; the page's policy must know it. */
export function runOnPage(pieces: readonly Bytes[]): void {
  const script = document.createElement("script");
  script.textContent = new TextDecoder().decode(bytesOf(pieces));
  document.body.append(script);
  script.remove();
}

/** Pieces in one, so that a worker is handed no more than them. */
export function bytesOf(pieces: readonly Bytes[]): Bytes {
  const whole = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0));
  let end = 0;
  for (const piece of pieces) {
    whole.set(piece, end);
    end += piece.length;
  }
  return whole;
}

const bytes = (text: string): Bytes => new TextEncoder().encode(text);
