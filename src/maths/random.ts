/** Seeded random numbers: each named task has its own stream, so one more variety moves nobody else's numbers. */

/** Draws evenly from 0 (in) to 1 (out). */
export type Random = () => number;

/**
 * A stream of random numbers for one named task.
 *
 * Hash of seed and name by xmur3, stream by sfc32 (public domain, part of the PractRand test collection).
 */
export function random(seed: number, task: string): Random {
  let h = 1779033703 ^ task.length;
  const text = `${seed}\u0000${task}`;
  for (let i = 0; i < text.length; i++) {
    h = Math.imul(h ^ text.charCodeAt(i), 3432918353);
    h = (h << 13) | (h >>> 19);
  }
  const next = (): number => {
    h = Math.imul(h ^ (h >>> 16), 2246822507);
    h = Math.imul(h ^ (h >>> 13), 3266489909);
    return (h ^= h >>> 16) >>> 0;
  };
  let [a, b, c, d] = [next(), next(), next(), next()];
  const draw = (): number => {
    a |= 0;
    b |= 0;
    c |= 0;
    d |= 0;
    const t = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + t) | 0;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 12; i++) draw();
  return draw;
}

/** A standard normal number (Box & Muller 1958). */
export function drawNormal(draw: Random): number {
  const u = 1 - draw();
  return Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * draw());
}

/** The same things in random order (Fisher & Yates). */
export function shuffle<T>(things: readonly T[], draw: Random): T[] {
  const mixed = [...things];
  for (let i = mixed.length - 1; i > 0; i--) {
    const j = Math.floor(draw() * (i + 1));
    [mixed[i], mixed[j]] = [mixed[j]!, mixed[i]!];
  }
  return mixed;
}
