/**
 * A harvest of known truth, as drill and combine would have logged it: for tests, the bench and the demo's points.
 *
 * The field is a random surface of exponential correlation (random Fourier modes), on it strips of known yields. The
 * combine smooths what it cuts and hands it on late; its log has the faults of real ones.
 */
import { drawNormal, random, type Random } from "../src/maths/random.ts";
import { metresPerDegree } from "../src/points/ground.ts";
import type { HarvestRequest } from "../src/points/harvest-request.ts";
import type { InputFile } from "../src/read/tables/input-file.ts";

export interface SimulatedStrip {
  variety: string;
  /** Viable seeds per acre. */
  rate: number;
  /** Expected yield [kg/ha]. */
  yieldKgPerHa: number;
}

export interface HarvestWish {
  seed: number;
  strips: SimulatedStrip[];
  lengthM?: number;
  drillM?: number;
  combineM?: number;
  /** `each`: one pass down the middle of each strip; `throughout`: pass beside pass, whatever was sown. */
  path?: "each" | "throughout";
  delayS?: number;
  /** Standard deviation of the kernel that the combine smooths with [s]. */
  smoothS?: number;
  jitterM?: number;
  overlapM?: number;
  /** Sideways swing of curved passes [m]. */
  curveM?: number;
  /** Degrees by which the strips are turned from north. */
  turnedDeg?: number;
  badShare?: number;
  noiseShare?: number;
  trendShare?: number;
  trendRangeM?: number;
  everyS?: number;
  seededEveryM?: number;
  /** Places in metres, times in seconds, and no varieties, as a small file has them. */
  bare?: boolean;
  latitude?: number;
  longitude?: number;
}

export interface SimulatedHarvest {
  yieldCsv: string;
  seededCsv: string;
  points: number;
  /** Mean of the true yield over each strip's middle, trend included [kg/ha]. */
  groundMeans: number[];
  /** Where the middle of each point's cut lay [m from the edge of the first strip], in the order of the log. */
  acrossM: number[];
  drillM: number;
  combineM: number;
}

/** A surface with mean 0, standard deviation 1 and correlation exp(−3h/range): 95 % gone at the range. */
export function surface(rangeM: number, draw: Random): (x: number, y: number) => number {
  const modes = Array.from({ length: 300 }, () => {
    // Spectral density of the exponential in the plane: (1 + k²a²)^(-3/2); its radius by inversion.
    const wave = Math.sqrt(1 / (1 - draw()) ** 2 - 1) / (rangeM / 3);
    const angle = 2 * Math.PI * draw();
    return { kx: wave * Math.cos(angle), ky: wave * Math.sin(angle), phase: 2 * Math.PI * draw() };
  });
  const scale = Math.sqrt(2 / modes.length);
  return (x, y) =>
    scale * modes.reduce((sum, { kx, ky, phase }) => sum + Math.cos(kx * x + ky * y + phase), 0);
}

export function simulateHarvest(wish: HarvestWish): SimulatedHarvest {
  const {
    strips,
    lengthM = 400,
    drillM = 12.192,
    combineM = 10.668,
    path = "each",
    delayS = 10,
    smoothS = 3,
  } = wish;
  const {
    jitterM = 0.15,
    overlapM = 0,
    curveM = 0,
    turnedDeg = 0,
    badShare = 0.05,
    noiseShare = 0.04,
  } = wish;
  const { seededEveryM = 3, bare = false } = wish;
  const { trendShare = 0.08, trendRangeM = 100, everyS = 1, latitude = 47.2, longitude = -98.4 } = wish;
  const draw = random(wish.seed, "harvest");
  const trend = surface(trendRangeM, random(wish.seed, "trend"));
  const mean = strips.reduce((sum, strip) => sum + strip.yieldKgPerHa, 0) / strips.length;
  const swing = (s: number): number => curveM * Math.sin((2 * Math.PI * s) / lengthM);
  /** Metres on the ground for a metre along: a slanting way is longer. */
  const stretch = (s: number): number =>
    Math.hypot(1, ((2 * Math.PI * curveM) / lengthM) * Math.cos((2 * Math.PI * s) / lengthM));
  /** Across place (from the first strip's edge) and along place → metres east and north. */
  const turn = (turnedDeg * Math.PI) / 180;
  const place = (across: number, s: number): [number, number] => {
    const [a, b] = [across + swing(s), s];
    return [a * Math.cos(turn) + b * Math.sin(turn), -a * Math.sin(turn) + b * Math.cos(turn)];
  };
  const trueYield = (across: number, s: number): number => {
    const strip = strips[Math.floor(across / drillM)];
    if (strip === undefined || s < 0 || s > lengthM) return 0;
    return strip.yieldKgPerHa + mean * trendShare * trend(...place(across, s));
  };
  const { north, east } = metresPerDegree(latitude);
  const degrees = ([x, y]: [number, number]): string =>
    bare
      ? `${x.toFixed(2)},${y.toFixed(2)}`
      : `${(latitude + y / north).toFixed(7)},${(longitude + x / east).toFixed(7)}`;

  const placeAndTime = bare ? "x (m),y (m),time (s)" : "latitude,longitude,time";
  const seeded = [`${placeAndTime},swath (ft),rate (seeds/ac)${bare ? "" : ",variety"}`];
  let clock = 1000;
  const stamp = (seconds: number): string => {
    if (bare) return seconds.toFixed(0);
    const day = 86_400;
    const part = (value: number): string => String(Math.floor(value)).padStart(2, "0");
    const inDay = seconds % day;
    return `2026-08-${part(20 + Math.floor(seconds / day))}T${part(inDay / 3600)}:${part((inDay / 60) % 60)}:${(inDay % 60).toFixed(1).padStart(4, "0")}Z`;
  };
  strips.forEach((strip, index) => {
    const across = (index + 0.5) * drillM;
    const count = Math.floor(lengthM / seededEveryM);
    for (let j = 0; j <= count; j++) {
      const s = index % 2 === 0 ? (j * lengthM) / count : lengthM - (j * lengthM) / count;
      const rate = strip.rate * (1 + 0.008 * drawNormal(draw));
      seeded.push(
        `${degrees(place(across + 0.05 * drawNormal(draw), s))},${stamp(clock)},${(drillM / 0.3048).toFixed(1)},${bare ? (rate / 1000).toFixed(0) + "000" : rate.toFixed(0)}${bare ? "" : `,${strip.variety}`}`,
      );
      clock += seededEveryM / 2;
    }
    clock += 40;
  });

  // The way of the combine: passes to and fro, turns between them.
  const centres: number[] = [];
  if (path === "each") strips.forEach((_, index) => centres.push((index + 0.5) * drillM));
  else for (let a = combineM / 2; a < strips.length * drillM; a += combineM - overlapM) centres.push(a);
  const rows: { t: number; across: number; s: number; cut: number; speed: number }[] = [];
  clock = 5000;
  let drift = 0;
  centres.forEach((centre, index) => {
    const forward = index % 2 === 0;
    const pace = 1.9 * (1 + 0.06 * drawNormal(draw));
    const from = -18;
    const span = lengthM + 36;
    let covered = 0;
    while (covered < span) {
      const speed = pace * (1 + 0.04 * drawNormal(draw));
      const s = forward ? from + covered : from + span - covered;
      drift = 0.95 * drift + 0.3 * jitterM * drawNormal(draw);
      const across = centre + drift;
      let cut = 0;
      for (let look = 0; look < 5; look++)
        cut += trueYield(across + ((look + 0.5) / 5 - 0.5) * combineM, s) / 5;
      rows.push({ t: clock, across: across + 0.3 * jitterM * drawNormal(draw), s, cut, speed });
      covered += (speed * everyS) / stretch(s);
      clock += everyS;
    }
    const next = centres[index + 1];
    if (next === undefined) return;
    // Half a circle to the next pass.
    const radius = Math.abs(next - centre) / 2;
    const steps = 10;
    for (let j = 1; j < steps; j++) {
      const angle = (Math.PI * j) / steps;
      const across = (centre + next) / 2 - radius * Math.cos(angle);
      rows.push({
        t: clock,
        across,
        s: (forward ? lengthM + 18 : -18) + (forward ? 1 : -1) * radius * Math.sin(angle),
        cut: 0,
        speed: 1.2,
      });
      clock += everyS;
    }
  });
  const kernel: number[] = [];
  const reach = Math.ceil((4 * smoothS) / everyS);
  for (let j = -reach; j <= reach; j++)
    kernel.push(Math.exp(-0.5 * ((j * everyS) / Math.max(smoothS, 1e-6)) ** 2));
  const whole = kernel.reduce((a, b) => a + b, 0);
  // A late clock: what is logged at t was cut at t − delay; between rows by straight lines.
  const flowAt = rows.map(({ cut, speed }) => cut * speed);
  const harvested = [`${placeAndTime},speed (m/s),swath (ft),flow (kg/s),moisture (%)`];
  rows.forEach((row, index) => {
    let flow = 0;
    for (let j = -reach; j <= reach; j++) {
      const at = index - delayS / everyS + j;
      const low = Math.floor(at);
      const share = at - low;
      flow +=
        (kernel[j + reach]! / whole) * ((flowAt[low] ?? 0) * (1 - share) + (flowAt[low + 1] ?? 0) * share);
    }
    let logged = flow * (combineM / 10_000) * (1 + noiseShare * drawNormal(draw));
    if (draw() < badShare) logged *= [0, 0.3, 2.2, 5][Math.floor(4 * draw())]!;
    harvested.push(
      `${degrees(place(row.across, row.s))},${stamp(row.t)},${row.speed.toFixed(bare ? 2 : 3)},${(combineM / 0.3048).toFixed(1)},${Math.max(0, logged).toFixed(bare ? 3 : 5)},13.5`,
    );
  });
  const groundMeans = strips.map((_, index) => {
    let [sum, n] = [0, 0];
    for (let s = 31; s < lengthM - 30; s += 4) {
      sum += trueYield((index + 0.5) * drillM, s);
      n++;
    }
    return sum / n;
  });
  return {
    yieldCsv: `${harvested.join("\n")}\n`,
    seededCsv: `${seeded.join("\n")}\n`,
    points: rows.length,
    groundMeans,
    acrossM: rows.map(({ across }) => across),
    drillM,
    combineM,
  };
}

/** Strips of some varieties and rates in several blocks, in random order; yields follow a bent line in the rate. */
export function simulatedStrips(seed: number, blocks = 3, varieties = 2): SimulatedStrip[] {
  const draw = random(seed, "strips");
  const rates = [800_000, 1_100_000, 1_400_000, 1_700_000];
  return Array.from({ length: blocks }, () =>
    Array.from({ length: varieties }, (_, v) =>
      rates.map((rate) => ({
        variety: `Made ${v + 1}`,
        rate,
        yieldKgPerHa: 4_000 + 150 * v - 900 * ((rate - 1_400_000) / 1e6) ** 2,
      })),
    )
      .flat()
      .map((strip) => ({ strip, key: draw() }))
      .sort((a, b) => a.key - b.key)
      .map(({ strip }) => strip),
  ).flat();
}

/** Of a harvest of wheat in US units, every step on and all widths and the delay to be found. */
export const plainRequest: HarvestRequest = {
  crop: "wheat",
  system: "us",
  currency: "$",
  season: null,
  farm: "",
  field: "",
  delayS: null,
  combineWidthM: null,
  drillWidthM: null,
  off: [],
  eachStepOff: false,
};

/** A file as it is read. */
export const textFile = (name: string, text: string): InputFile => ({
  name,
  bytes: new TextEncoder().encode(text),
});

/** A row of a log by the names of its columns. */
export type Row = Record<string, string>;

/** A log without quotation marks as rows, and rows as a log. */
export const rowsOf = (csv: string): Row[] => {
  const [head, ...rows] = csv
    .trim()
    .split("\n")
    .map((line) => line.split(","));
  return rows.map((row) => Object.fromEntries(row.map((cell, at) => [head![at]!, cell])));
};
export const csvOf = (rows: readonly Row[]): string => {
  const head = Object.keys(rows[0]!);
  return [head, ...rows.map((row) => head.map((name) => row[name] ?? ""))]
    .map((row) => row.join(","))
    .join("\n");
};
