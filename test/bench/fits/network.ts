/** Invented networks of strip trials in memory, after the design of a practitioner's R workload: 60 environments × 8 varieties × 6 rates × 4 blocks. */
import { drawNormal, random } from "../../../src/maths/random.ts";
import type { Strip, Trial } from "../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../make-trial.ts";

const millions = [0.6, 0.9, 1.2, 1.5, 1.8, 2.1];
const blocks = 4;
const varieties = 8;
const perEnvironment = varieties * millions.length * blocks;

/**
 * Quadratic-plateau truths with noise; rates in million seeds/ac and yields in bu/ac, for no unit matters here.
 *
 * @param ownRates  every strip has a rate of its own within 0.3 of the planned one, as an as-applied map gives
 */
export function makeNetwork(strips: number, ownRates = false): Trial {
  const draw = random(770, `network of ${strips}`);
  const normal = (sd: number): number => sd * drawNormal(draw);
  const between = (low: number, high: number): number => low + (high - low) * draw();
  const top = Array.from({ length: varieties }, () => between(62, 74));
  const join = top.map(() => between(1.2, 1.9));
  const drop = top.map(() => between(2, 15));
  const made: Pick<Strip, "variety" | "season" | "field" | "block" | "rateSeedsPerM2" | "yieldKgPerHa">[] =
    [];
  for (let environment = 0; environment * perEnvironment < strips; environment++) {
    const level = normal(6);
    const blockLevels = Array.from({ length: blocks }, () => normal(2));
    for (let variety = 0; variety < varieties; variety++) {
      const own = top[variety]! + level + normal(1.5);
      const seasonJoin = join[variety]! + normal(0.1);
      for (let block = 0; block < blocks; block++)
        for (const planned of millions) {
          const rate = ownRates ? planned + between(-0.3, 0.3) : planned;
          const short = Math.max(0, seasonJoin - rate) / (seasonJoin - 0.6);
          const grain = own + blockLevels[block]! - drop[variety]! * short ** 2 + normal(2.4);
          made.push({
            variety: `Variety ${variety}`,
            season: 2000 + (environment % 25),
            field: `Field ${Math.floor(environment / 25)}`,
            block: `Block ${block}`,
            rateSeedsPerM2: rate,
            yieldKgPerHa: Math.round(100 * grain) / 100,
          });
        }
    }
  }
  return makeTrial(made.slice(0, strips));
}
