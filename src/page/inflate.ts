/** Text that the report has packed into the page, as base64 of a deflated stream (RFC 1950). */

/** Can this browser unpack? Where it cannot, the page stays as it was drawn. */
export const canInflate = (view: Window): boolean => "DecompressionStream" in view;

/** @param id of the element that holds it */
export async function inflated(page: Document, id: string): Promise<string> {
  const packed = page.getElementById(id)?.textContent ?? "";
  const bytes = Uint8Array.from(atob(packed), (character) => character.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Response(stream).text();
}
