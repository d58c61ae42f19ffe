/** What stays on this computer, where the person asks for it: in the browser's own store, never the only copy. */
import { clear, get, set } from "idb-keyval";

const fullOrRefused =
  "This browser keeps nothing for pages opened from a disk, or its store is full. Nothing is lost while the page is open: save the file.";

async function trying<Value>(doing: () => Promise<Value>, otherwise: Value): Promise<Value> {
  try {
    return await doing();
  } catch {
    return otherwise;
  }
}

/** Whether the person asked for the farm to be remembered. */
export const isRemembering = (): Promise<boolean> =>
  trying(async () => (await get("remember")) === true, false);

/** @returns what to tell the person where it cannot be kept */
export const keepFarm = (bytes: Uint8Array): Promise<string | null> =>
  trying<string | null>(async () => {
    await set("remember", true);
    await set("farm", bytes);
    return null;
  }, fullOrRefused);

export const keptFarm = (): Promise<Uint8Array | null> =>
  trying(async () => (await get<Uint8Array>("farm")) ?? null, null);

/** Notes are kept as they are typed: a phone may be put away at any moment. */
export const keepNotes = (text: string): Promise<string | null> =>
  trying<string | null>(async () => {
    await set("notes", text);
    return null;
  }, fullOrRefused);

export const keptNotes = (): Promise<string | null> =>
  trying(async () => (await get<string>("notes")) ?? null, null);

export const forgetAll = (): Promise<void> => trying(() => clear(), undefined);
