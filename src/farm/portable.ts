/** Hashing and deflating without Node and without a browser, so that pages are made alike in both. */
import { sha256 } from "@noble/hashes/sha2.js";
import { strToU8, zlibSync } from "fflate";
import type { PageParts } from "../tell/html/page-parts.ts";

/** Node and browsers both have it, but the engine's types name no platform. */
declare function btoa(bytes: string): string;

/** Characters given to one call. */
const mostArguments = 8192;

function base64(bytes: Uint8Array): string {
  let text = "";
  for (let start = 0; start < bytes.length; start += mostArguments)
    text += String.fromCharCode(...bytes.subarray(start, start + mostArguments));
  return btoa(text);
}

/**
 * What pages need of a platform, for any platform. Node's own is several times as fast and gives pages that read the
 * same.
 */
export const portable: Pick<PageParts, "sha256" | "deflate"> = {
  sha256: (text) => base64(sha256(strToU8(text))),
  deflate: (text) => base64(zlibSync(strToU8(text))),
};
