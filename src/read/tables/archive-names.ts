/** So much of the end of an archive is looked at [bytes]: the list of its files stands there. */
const lookedAt = 65_536;

/** The end of a zip archive as text, which lists the names of its files: they show which kind of archive it is. */
export function archiveNames(bytes: Uint8Array): string {
  let text = "";
  for (const byte of bytes.subarray(Math.max(0, bytes.length - lookedAt))) text += String.fromCharCode(byte);
  return text;
}
