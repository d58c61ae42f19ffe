/** The highest value of a smooth function between two ends. */

const golden = (3 - Math.sqrt(5)) / 2;

/** Places nearer to each other than this share of the range are one: about a top, numbers do not tell them apart. */
const near = 2e-8;
/** A function that falls over this share of a panel from an end of the range falls from there. */
const aside = 1e-6;
const mostSteps = 100;

/**
 * Looks at evenly spaced places first, then closes in on the best of them: by parabolas through the last three places where
 * these help, else by golden section.
 *
 * Finds the highest top as long as tops are no narrower than the spacing.
 *
 * @param panels  spaces between the places looked at first, ≥ 2
 * @returns where it is highest, and how high; an end of the range if that is highest
 * @example maximize((x) => x * (1 - x), 0, 1, 8) // {at: 0.5, value: 0.25}
 * Source: Brent (1973), Algorithms for Minimization without Derivatives, chapter 5, turned upside down.
 */
export function maximize(
  f: (x: number) => number,
  from: number,
  to: number,
  panels: number,
): { at: number; value: number } {
  const width = (to - from) / panels;
  let best = { at: from, value: f(from) };
  for (let i = 1; i <= panels; i++) {
    const at = i === panels ? to : from + i * width;
    const value = f(at);
    if (value > best.value) best = { at, value };
  }
  const within = aside * width;
  if (best.at === from && f(from + within) < best.value) return best;
  if (best.at === to && f(to - within) < best.value) return best;
  return closeIn(f, best, Math.max(from, best.at - width), Math.min(to, best.at + width), near * (to - from));
}

interface Place {
  at: number;
  value: number;
}

/** The top between two places on either side of a high one. */
function closeIn(f: (x: number) => number, start: Place, low: number, high: number, width: number): Place {
  let [best, second, third] = [start, start, start];
  let [step, stepBefore] = [0, 0];
  for (let i = 0; i < mostSteps; i++) {
    const middle = 0.5 * (low + high);
    if (Math.abs(best.at - middle) <= width - 0.5 * (high - low)) break;
    const guess = topOfParabola(best, second, third);
    // A parabola that leaves the range, or whose steps do not grow shorter, does not help.
    if (guess > low && guess < high && Math.abs(guess - best.at) < 0.5 * Math.abs(stepBefore)) {
      [stepBefore, step] = [step, guess - best.at];
    } else {
      stepBefore = best.at < middle ? high - best.at : low - best.at;
      step = golden * stepBefore;
    }
    const least = 0.5 * width;
    const at = best.at + (Math.abs(step) >= least ? step : step > 0 ? least : -least);
    const next = { at, value: f(at) };
    if (next.value > best.value) {
      if (at >= best.at) low = best.at;
      else high = best.at;
      [best, second, third] = [next, best, second];
      continue;
    }
    if (at < best.at) low = at;
    else high = at;
    if (next.value >= second.value || second === best) [second, third] = [next, second];
    else if (next.value >= third.value || third === best || third === second) third = next;
  }
  return best;
}

/** Where the parabola through three places is highest; not a number where there is none. */
function topOfParabola(a: Place, b: Place, c: Place): number {
  const overC = (a.at - b.at) * (a.value - c.value);
  const overB = (a.at - c.at) * (a.value - b.value);
  return a.at - (0.5 * ((a.at - c.at) * overB - (a.at - b.at) * overC)) / (overB - overC);
}
