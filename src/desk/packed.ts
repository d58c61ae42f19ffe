/** What the build packed into the page, as base64 of a deflated stream (RFC 1950). */
export async function inflated(id: string): Promise<string> {
  const packed = document.getElementById(id)?.textContent ?? "";
  const bytes = Uint8Array.from(atob(packed), (character) => character.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Response(stream).text();
}
