/** Invented networks of strip trials of any size, the same for the same shape and number of strips. */
import { closeSync, openSync, writeSync } from "node:fs";

/** How the strips of a network are laid out. */
export interface Shape {
  name: string;
  varieties: number;
  /** Blocks in each field and season; null: as many as the strips of five of them need. */
  blocks: number | null;
  /** Every strip has a rate of its own near the planned one, as an as-applied map gives. */
  ownRates: boolean;
  /** Farms that the fields and seasons are dealt out to; 50 where not said. */
  farms?: number;
  /** Rates sown [seeds/ac]; six from 0.8 to 1.8 million where not said. */
  rates?: readonly number[];
}

export const shapes: readonly Shape[] = [
  { name: "trials of 192 strips", varieties: 8, blocks: 4, ownRates: false },
  { name: "trials of 12 strips", varieties: 2, blocks: 1, ownRates: false },
  { name: "five fields", varieties: 8, blocks: null, ownRates: true },
];

const sixRates = [800_000, 1_000_000, 1_200_000, 1_400_000, 1_600_000, 1_800_000];
const header =
  "farm,field,season,block,position,variety,rate (seeds/ac),yield (bu/ac),moisture (%),lodging\n";

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

/** Writes strips CSV with `strips` rows in all, dealt out in equal stretches to the files. */
export function writeNetwork(paths: readonly string[], strips: number, shape = shapes[0]!): void {
  const { varieties, ownRates, farms = 50, rates = sixRates } = shape;
  const draw = drawer(strips);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
  const blocks = shape.blocks ?? Math.ceil(strips / (5 * varieties * rates.length));
  const perFile = Math.ceil(strips / paths.length);
  let file = -1;
  let text = "";
  let made = 0;
  const write = (): void => {
    writeSync(file, text);
    text = "";
  };
  const next = (): void => {
    if (made > 0) {
      write();
      closeSync(file);
    }
    if (made < strips) {
      file = openSync(paths[made / perFile]!, "w");
      text = header;
    }
  };
  next();
  for (let environment = 0; made < strips; environment++) {
    const place = `Farm ${environment % farms},Field ${Math.floor(environment / (10 * farms))},${2015 + (Math.floor(environment / farms) % 10)}`;
    const level = 55 + 6 * normal();
    for (let block = 1; block <= blocks; block++) {
      let position = 0;
      for (const variety of shuffled([...Array(varieties).keys()], draw)) {
        for (const planned of shuffled(rates, draw)) {
          if (made === strips) break;
          const rate = ownRates ? Math.round(planned * (0.9 + 0.2 * draw())) : planned;
          const kind = variety % 8;
          const short = Math.max(0, 1 - rate / (1_200_000 * (1 + 0.05 * kind)));
          const yieldNow = level + (block % 5) - kind - 40 * short ** 2 + 2.5 * normal();
          const rest = `${(13 + draw()).toFixed(1)},${Math.floor(3 * draw())}`;
          text += `${place},${block},${++position},Variety ${variety},${rate},${yieldNow.toFixed(1)},${rest}\n`;
          if (++made % perFile === 0 || made === strips) next();
          else if (text.length > 1e6) write();
        }
      }
    }
  }
}
