/** `Rt_Apd=rate (lb/ac)` → the header and what it means; null where one of them is missing. */
export function headerMeaning(text: string): [string, string] | null {
  const at = text.lastIndexOf("=");
  const [header, meaning] = [text.slice(0, Math.max(0, at)).trim(), text.slice(at + 1).trim()];
  return header === "" || meaning === "" ? null : [header, meaning];
}
