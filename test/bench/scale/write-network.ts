/** Invented networks of strip trials of any size, the same for the same number of strips. */
import { closeSync, openSync, writeSync } from "node:fs";

const rates = [800_000, 1_000_000, 1_200_000, 1_400_000, 1_600_000, 1_800_000];
const varieties = 8;
const blocks = 4;

/** Numerical Recipes' linear congruential generator: good enough to scatter yields. */
function drawer(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

const shuffled = <T>(things: readonly T[], draw: () => number): T[] => {
  const mixed = [...things];
  for (let i = mixed.length - 1; i > 0; i--) {
    const j = Math.floor(draw() * (i + 1));
    [mixed[i], mixed[j]] = [mixed[j]!, mixed[i]!];
  }
  return mixed;
};

/** Writes a strips CSV: environments of 8 varieties × 6 rates × 4 blocks until there are `strips` rows. */
export function writeNetwork(path: string, strips: number): void {
  const draw = drawer(strips);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
  const file = openSync(path, "w");
  let text = "farm,field,season,block,position,variety,rate (seeds/ac),yield (bu/ac),moisture (%),lodging\n";
  let made = 0;
  for (let environment = 0; made < strips; environment++) {
    const place = `Farm ${environment % 50},Field ${Math.floor(environment / 500)},${2015 + (Math.floor(environment / 50) % 10)}`;
    const level = 55 + 6 * normal();
    for (let block = 1; block <= blocks; block++) {
      let position = 0;
      for (const variety of shuffled([...Array(varieties).keys()], draw)) {
        for (const rate of shuffled(rates, draw)) {
          if (made === strips) break;
          const short = Math.max(0, 1 - rate / (1_200_000 * (1 + 0.05 * variety)));
          const yieldNow = level + block - variety - 40 * short ** 2 + 2.5 * normal();
          const rest = `${(13 + draw()).toFixed(1)},${Math.floor(3 * draw())}`;
          text += `${place},${block},${++position},Variety ${variety},${rate},${yieldNow.toFixed(1)},${rest}\n`;
          made++;
        }
      }
    }
    if (text.length > 1e6) {
      writeSync(file, text);
      text = "";
    }
  }
  writeSync(file, text);
  closeSync(file);
}
