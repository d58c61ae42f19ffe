/** What the combine took from each strip: delay and cleaning, the scale beside the monitor, and one yield a strip. */
import { cropDoubts } from "./harvest-doubts.ts";
import { flowWithoutTime, delayAssumed, nothingHarvested, yieldsAllMissing } from "../messages/harvest.ts";
import { scaleFar, scaleScatters, weighedUnmet } from "../messages/weighed.ts";
import {
  harvestSteps,
  leftOutReasons,
  type DelayTold,
  type HarvestStep,
  type ScaleFactors,
} from "../vocabulary/harvest.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { clean, type Cleaned } from "./clean.ts";
import { Cuts } from "./cuts.ts";
import { findDelay } from "./delay.ts";
import type { HarvestRequest } from "./harvest-request.ts";
import { namesOf, type Machine } from "./machines.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { measured, type Measured } from "./point-yields.ts";
import type { SownStrips } from "./sown-strips.ts";
import { plainMeans, stripErrors, stripYields, type StripErrors, type StripYields } from "./strip-yields.ts";
import { calibrated, readWeighed, scaleFactors } from "./weighed.ts";

export interface HarvestedStrips {
  delay: DelayTold;
  cleaned: Cleaned;
  sums: StripYields;
  errors: StripErrors;
  scale: ScaleFactors | null;
  /** As the monitor has them; null where nothing was calibrated to the scale. */
  unscaled: StripYields | null;
  /** Mean yield of all points of each strip, with no step taken [kg/ha]. */
  raw: number[];
  /** The strips with these steps left out. */
  without: (off: ReadonlySet<HarvestStep>, delayS: number) => StripYields;
}

/** Delay from the cut to the monitor where the log does not show it; 8–14 s were found in the field. */
const usualDelayS = 10;

/** @throws TrialError where the file shows no yields */
export function measuredYields({ read, passes }: Machine): Measured {
  const signal = measured(read.cloud, passes);
  const { time, seconds, speed } = read.cloud.numbers;
  if (signal?.kind === "flow" && [time, seconds, speed].every((one) => one === null))
    throw flowWithoutTime(namesOf(read), read.yieldHeader ?? "flow");
  if (signal !== null) return signal;
  throw read.yieldHeader === null
    ? nothingHarvested(namesOf(read))
    : yieldsAllMissing(namesOf(read), read.yieldHeader);
}

/** @param findings  what is doubtful is added */
export function harvestedStrips(
  { read, passes, widthM, fullM }: Machine,
  signal: Measured,
  { ground, order, rows }: SownStrips,
  request: HarvestRequest,
  findings: Finding[],
): HarvestedStrips {
  const { cloud } = read;
  const off = new Set(request.off);
  const delay = delayOf(cloud, passes, signal, widthM, request, findings);
  const cuts = new Cuts(cloud, passes, ground.raster, widthM, fullM);
  const rank = ground.strips.map((_, s) => order.indexOf(s));
  const nameOfStrip = (s: number): string | null => {
    const at = rank[s]!;
    if (rows === null) return String(at + 1);
    const position = rows[at]?.position;
    return position === undefined ? null : String(position);
  };
  const cleanedWith = (without: ReadonlySet<HarvestStep>, delayS: number): Cleaned =>
    clean(cloud, passes, signal, cuts, { delayS, off: without });
  const asLogged = cleanedWith(off, delay.seconds);
  const scale = scaleOf(cloud, passes, asLogged, nameOfStrip, request, findings);
  const withScale = (one: Cleaned): Cleaned =>
    scale === null ? one : calibrated(cloud, passes, one, scale, nameOfStrip);
  const yieldsOf = (one: Cleaned, without: ReadonlySet<HarvestStep>): StripYields =>
    stripYields(cloud, passes, one, ground, rank, request.crop, without);
  const cleaned = withScale(asLogged);
  const sums = yieldsOf(cleaned, off);
  const sharedCut = leftOutReasons.indexOf("shared-cut") + 1;
  for (const k of sums.untold) cleaned.reason[k] = sharedCut;
  findings.push(...cropDoubts(read, sums.strips, request));
  const untouched = withScale(cleanedWith(new Set(harvestSteps), 0));
  return {
    delay,
    cleaned,
    sums,
    errors: stripErrors(sums, order),
    scale,
    unscaled: scale === null || scale.use === "none" ? null : yieldsOf(asLogged, off),
    raw: plainMeans(cloud, passes, untouched, ground.strips.length, request.crop),
    without: (steps, delayS) => yieldsOf(withScale(cleanedWith(steps, delayS)), steps),
  };
}

function delayOf(
  cloud: PointCloud,
  passes: Passes,
  { signal, kind }: Measured,
  widthM: number,
  { delayS, off, callWish }: HarvestRequest,
  findings: Finding[],
): DelayTold {
  const told = { standardErrorS: null, pairs: 0, why: "", curve: [] };
  if (off.includes("delay")) return { ...told, seconds: 0, how: "off" };
  const found = findDelay(cloud, passes, signal, widthM);
  const curve = found.curve;
  if (delayS !== null) return { ...told, curve, seconds: delayS, how: "given" };
  if ("seconds" in found) return { ...told, ...found, how: "estimated" };
  // A yield has mostly been put back by the monitor already; a bare flow or weight has not.
  const seconds = kind !== "yield" && cloud.numbers.time !== null ? usualDelayS : 0;
  findings.push(delayAssumed(seconds, found.why, cloud.numbers.time !== null, callWish));
  return { ...told, curve, seconds, how: "assumed", why: found.why };
}

/** Factors beyond this are far from what a monitor shows that was calibrated (common practice). */
const farFactor = 0.1;
/** As is a scatter of factors from load to load above this [%] (common practice). */
const muchScatterPct = 3;

/** What the scale says beside the monitor; null where nothing was weighed. */
function scaleOf(
  cloud: PointCloud,
  passes: Passes,
  cleaned: Cleaned,
  nameOfStrip: (strip: number) => string | null,
  { weighed, crop, system }: HarvestRequest,
  findings: Finding[],
): ScaleFactors | null {
  if (weighed === undefined || weighed === null) return null;
  const { file, use } = weighed;
  const read = readWeighed(file, crop, system);
  findings.push(...read.findings);
  const isDry = cloud.numbers.dryYield !== null;
  const { factors, unmet } = scaleFactors(cloud, passes, cleaned, read.loads, nameOfStrip, crop, isDry, use);
  const [first] = unmet;
  if (first !== undefined) {
    const names = unmet.map(({ name }) => name);
    findings.push(weighedUnmet(file.name, first.of, names));
  }
  if (factors === null) return null;
  const far = factors.loads.filter(({ factor }) => Math.abs(factor - 1) > farFactor);
  if (far.length > 0)
    findings.push(
      scaleFar(
        file.name,
        factors.of,
        far.map(({ name, factor }) => [name, factor]),
      ),
    );
  if (factors.scatterPct !== null && factors.scatterPct > muchScatterPct)
    findings.push(scaleScatters(file.name, factors.scatterPct, factors.loads.length));
  return factors;
}
