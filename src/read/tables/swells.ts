/** How to recognize an archive that was made to swell, before anything is unpacked. */

/** Below this size nothing is refused [bytes]. */
const smallBytes = 1_000_000;
/** Measured: sheets of 40,000 like rows pack to a thirteenth, tables of text to a thirtieth; deflate ends at a thousandth. */
const mostTimes = 100;

/** @param part  sizes as the archive claims them [bytes] */
export const swells = ({ size, originalSize }: { size: number; originalSize: number }): boolean =>
  originalSize > smallBytes && originalSize > mostTimes * size;
