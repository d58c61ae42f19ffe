/** Evidence of farms and regions, as the program itself wrote them, held to what they can be. */
import { notEvidence, notRegion, regionFileImpossible, regionFileVersion } from "../messages/region.ts";
import { crops, type CropName } from "../vocabulary/crops.ts";
import { riseNames } from "../vocabulary/rises.ts";
import { groundKinds, type GroundKind } from "../vocabulary/ground-words.ts";
import type {
  EvidenceFile,
  FarmsUnlike,
  GroundShift,
  NeedShift,
  RegionPart,
  Region,
  RegionVariety,
  SharedSums,
  WaterShift,
} from "../vocabulary/region.ts";
import type { TrialError } from "../vocabulary/trial.ts";
import { decodeText } from "./tables/decode.ts";
import type { InputFile } from "./tables/input-file.ts";

const evidenceSchema = "stripcurve-evidence-1";
const regionSchema = "stripcurve-region-4";
/** Rates that a drill can sow [seeds/m²]: far outside any crop's. */
const [leastRate, mostRate] = [1, 20_000];
const mostRates = 400;
/** Rain and irrigation of a season: more than any crop gets. */
const mostWaterMm = 5000;
const mostFarms = 1e7;
const mostSeasons = 300;

/** Whether a text begins as evidence or a region does; null for anything else. */
export function regionFileKind({ bytes }: InputFile): "evidence" | "region" | null {
  const head = new TextDecoder().decode(bytes.subarray(0, 200));
  const kind = /^\s*\{\s*"schema":\s*"stripcurve-(evidence|region)-/.exec(head)?.[1];
  return (kind as "evidence" | "region" | undefined) ?? null;
}

/**
 * @throws TrialError `evidence-unknown`, `region-file-version`, `region-file-impossible`, with file, place and value
 */
export function readEvidence(file: InputFile): EvidenceFile {
  const found = parsed(file, notEvidence, evidenceSchema);
  const look = new Look(file.name);
  return {
    schema: evidenceSchema,
    crop: look.crop(found["crop"]),
    farms: look.list(found["farms"], "farms", 1).map((farm, f) => ({
      sums: look
        .list(look.object(farm, `farm ${f + 1}`)["sums"], `farm ${f + 1}`, 1)
        .map((sums, i) => readSums(look, sums, `farm ${f + 1}, entry ${i + 1}`)),
    })),
  };
}

function readSums(look: Look, value: unknown, place: string): SharedSums {
  const found = look.object(value, place);
  const at = (key: string): string => `${place}, ${key}`;
  const numbers = (key: string, count: number | null): number[] => {
    const list = look.list(found[key], at(key), 1).map((one) => look.number(one, at(key), -1e9, 1e9));
    if (count !== null && list.length !== count)
      throw look.wrong(at(key), `${list.length} numbers`, `There must be ${count}.`);
    return list;
  };
  const rates = numbers("ratesSeedsPerM2", null);
  const K = rates.length;
  if (K < 2 || K > mostRates)
    throw look.wrong(at("ratesSeedsPerM2"), `${K} rates`, `There are 2 to ${mostRates}.`);
  rates.forEach((rate, k) => {
    look.number(rate, at("ratesSeedsPerM2"), leastRate, mostRate);
    if (k > 0 && rate <= rates[k - 1]!)
      throw look.wrong(at("ratesSeedsPerM2"), String(rate), "Rates must rise.");
  });
  const counts = numbers("counts", K).map((one) => look.number(one, at("counts"), 1, 1e7));
  const strips = look.number(found["strips"], at("strips"), 2, 1e7);
  if (Math.abs(counts.reduce((sum, one) => sum + one, 0) - strips) > 1e-6)
    throw look.wrong(at("strips"), String(strips), "It must be the sum of the counts.");
  const weight = numbers("weight", (K * (K + 1)) / 2);
  const cross = numbers("cross", K);
  const total = look.number(found["total"], at("total"), 0, 1e9);
  // A block's level is taken off, so what is left of every rate cancels over the rates.
  const slack = 1e-4 * strips;
  if (Math.abs(cross.reduce((sum, one) => sum + one, 0)) > slack)
    throw look.wrong(at("cross"), "its sum", "The sums of all rates must cancel.");
  for (let k = 0; k < K; k++) {
    const diagonal = weight[(k * (k + 1)) / 2 + k]!;
    if (diagonal < 0 || diagonal > counts[k]! + slack)
      throw look.wrong(at("weight"), String(diagonal), "No rate can weigh more than its strips.");
    // Cauchy and Schwarz: no rate can explain more than there is.
    if (cross[k]! ** 2 > diagonal * total * (1 + 1e-4) + 1e-9)
      throw look.wrong(at("cross"), String(cross[k]), "One rate cannot explain more than all yields differ.");
  }
  return {
    variety: look.text(found["variety"], at("variety")),
    season: look.whole(found["season"], at("season"), 1900, 2200),
    field: look.whole(found["field"], at("field"), 1, 1e6),
    strips,
    ratesSeedsPerM2: rates,
    counts,
    weight,
    cross,
    total,
    degrees: look.whole(found["degrees"], at("degrees"), 0, strips),
    ...(found["ground"] === undefined ? {} : { ground: look.ground(found["ground"], at("ground")) }),
    ...(found["waterMm"] === undefined
      ? {}
      : { waterMm: look.number(found["waterMm"], at("waterMm"), 0, mostWaterMm) }),
  };
}

/**
 * @throws TrialError `region-unknown`, `region-file-version`, `region-file-impossible`, with file, place and value
 */
export function readRegion(file: InputFile): Region {
  const found = parsed(file, notRegion, regionSchema);
  const look = new Look(file.name);
  return {
    schema: regionSchema,
    engineVersion: look.text(found["engineVersion"], "engineVersion"),
    crop: look.crop(found["crop"]),
    farms: look.whole(found["farms"], "farms", 1, mostFarms),
    strips: look.number(found["strips"], "strips", 2, 1e9),
    fewestFarms: look.whole(found["fewestFarms"], "fewestFarms", 1, mostFarms),
    leftOut: look.list(found["leftOut"], "leftOut", 0).map((value) => readLeftOut(look, value)),
    unlike: weightsSumToOne(
      look,
      look.list(found["unlike"], "unlike", 1).map((value) => readUnlike(look, value)),
      "unlike",
    ),
    varieties: look
      .list(found["varieties"], "varieties", 1)
      .map((value, v) => readVariety(look, value, `variety ${v + 1}`)),
    grounds: look.list(found["grounds"], "grounds", 0).map((value) => readGroundShift(look, value)),
    water: found["water"] === null ? null : readWaterShift(look, found["water"]),
    marks: look.list(found["marks"], "marks", 0).map((mark) => look.text(mark, "marks")),
  };
}

/** A variety of too few farms to be told of. */
function readLeftOut(look: Look, value: unknown): Region["leftOut"][number] {
  const one = look.object(value, "leftOut");
  return {
    variety: look.text(one["variety"], "leftOut, variety"),
    farms: look.whole(one["farms"], "leftOut, farms", 1, mostFarms),
  };
}

/** One of the ways in which farms may differ, with its weight. */
function readUnlike(look: Look, value: unknown): FarmsUnlike {
  const one = look.object(value, "unlike");
  return {
    weight: look.number(one["weight"], "unlike, weight", 0, 1),
    farmSdLog: look.number(one["farmSdLog"], "unlike, farmSdLog", 0, 5),
    varietyOnFarmSdLog: look.number(one["varietyOnFarmSdLog"], "unlike, varietyOnFarmSdLog", 0, 5),
    oddFarmShare: look.number(one["oddFarmShare"], "unlike, oddFarmShare", 0, 1),
  };
}

function readVariety(look: Look, value: unknown, place: string): RegionVariety {
  const one = look.object(value, place);
  const testedSeedsPerM2 = readTestedRates(look, one, place);
  const rate = (key: string): number => look.number(one[key], `${place}, ${key}`, leastRate, mostRate);
  return {
    variety: look.text(one["variety"], `${place}, variety`),
    farms: look.whole(one["farms"], `${place}, farms`, 1, mostFarms),
    seasons: look.whole(one["seasons"], `${place}, seasons`, 1, mostSeasons),
    strips: look.number(one["strips"], `${place}, strips`, 2, 1e9),
    testedSeedsPerM2,
    testedRates: look.whole(one["testedRates"], `${place}, testedRates`, 2, 1e6),
    needSeedsPerM2: rate("needSeedsPerM2"),
    lowerSeedsPerM2: rate("lowerSeedsPerM2"),
    upperSeedsPerM2: rate("upperSeedsPerM2"),
    need: readNeed(look, one["need"], `${place}, need`),
    ...readLoss(look, one, place),
    noResponseChance: look.number(one["noResponseChance"], `${place}, noResponseChance`, 0, 1),
    noDeclineChance: look.number(one["noDeclineChance"], `${place}, noDeclineChance`, 0, 1),
  };
}

/** Lowest and highest rate of a variety's strips [seeds/m²]. */
function readTestedRates(look: Look, variety: Members, place: string): [number, number] {
  const at = `${place}, testedSeedsPerM2`;
  const tested = look.list(variety["testedSeedsPerM2"], at, 2);
  const [lowest, highest] = tested.map((rate) => look.number(rate, at, leastRate, mostRate));
  if (lowest! >= highest!) throw look.wrong(at, String(highest), "The second must be higher.");
  return [lowest!, highest!];
}

/** What a variety may need, in parts that weigh 1 together. */
const readNeed = (look: Look, value: unknown, place: string): RegionPart[] =>
  weightsSumToOne(
    look,
    look.list(value, place, 1).map((part) => readPart(look, part, place)),
    place,
  );

function readPart(look: Look, value: unknown, place: string): RegionPart {
  const one = look.object(value, place);
  const rises = look
    .list(one["rises"], `${place}, rises`, riseNames.length)
    .map((chance) => look.number(chance, `${place}, rises`, 0, 1));
  weightsSumToOne(
    look,
    rises.map((weight) => ({ weight })),
    `${place}, rises`,
  );
  return {
    weight: look.number(one["weight"], `${place}, weight`, 0, 1),
    logNeed: look.number(one["logNeed"], `${place}, logNeed`, Math.log(leastRate), Math.log(mostRate)),
    sd: look.number(one["sd"], `${place}, sd`, 1e-6, 10),
    rises,
    ...readLoss(look, one, place),
  };
}

const readLoss = (look: Look, one: Members, place: string): Pick<RegionPart, "lossMedian" | "lossSdLog"> => ({
  lossMedian: look.number(one["lossMedian"], `${place}, lossMedian`, 1e-4, 1),
  lossSdLog: look.number(one["lossSdLog"], `${place}, lossSdLog`, 1e-6, 10),
});

function readGroundShift(look: Look, value: unknown): GroundShift {
  const one = look.object(value, "grounds");
  return {
    ground: look.ground(one["ground"], "grounds, ground"),
    against: look.ground(one["against"], "grounds, against"),
    ...readNeedShift(look, one, "grounds"),
  };
}

function readWaterShift(look: Look, value: unknown): WaterShift {
  const one = look.object(value, "water");
  return {
    seasons: look.whole(one["seasons"], "water, seasons", 1, mostSeasons),
    ...readNeedShift(look, one, "water"),
  };
}

const readNeedShift = (look: Look, one: Members, place: string): NeedShift => ({
  farms: look.whole(one["farms"], `${place}, farms`, 1, mostFarms),
  logShift: look.number(one["logShift"], `${place}, logShift`, -2, 2),
  lower: look.number(one["lower"], `${place}, lower`, -10, 10),
  upper: look.number(one["upper"], `${place}, upper`, -10, 10),
  sd: look.number(one["sd"], `${place}, sd`, 1e-6, 5),
  betweenFarmsSdLog: look.number(one["betweenFarmsSdLog"], `${place}, betweenFarmsSdLog`, 0, 5),
});

function weightsSumToOne<T extends { weight: number }>(look: Look, list: T[], place: string): T[] {
  const sum = list.reduce((all, { weight }) => all + weight, 0);
  if (Math.abs(sum - 1) > 1e-3) throw look.wrong(place, `weights that sum to ${sum}`, "They must sum to 1.");
  return list;
}

type Members = Record<string, unknown>;

function parsed(file: InputFile, otherwise: (name: string) => TrialError, schema: string): Members {
  let found: unknown;
  try {
    found = JSON.parse(decodeText(file.bytes, file.name).text);
  } catch {
    throw otherwise(file.name);
  }
  const said = typeof found === "object" && found !== null ? (found as Members)["schema"] : null;
  if (typeof said !== "string" || said.replace(/\d+$/, "") !== schema.replace(/\d+$/, ""))
    throw otherwise(file.name);
  if (said !== schema) throw regionFileVersion(file.name, said, schema);
  return found as Members;
}

/** A member as it stands in a file; "" where there is none. */
const written = (value: unknown, most = Infinity): string => JSON.stringify(value)?.slice(0, most) ?? "";

/** Looks at the members of one file, and throws with the place of what cannot be. */
class Look {
  private readonly file: string;

  constructor(file: string) {
    this.file = file;
  }

  wrong(place: string, value: string, advice: string): TrialError {
    return regionFileImpossible(this.file, place, value, advice);
  }

  object(value: unknown, place: string): Members {
    if (typeof value !== "object" || value === null || Array.isArray(value))
      throw this.wrong(place, written(value), "It must be an object.");
    return value as Members;
  }

  list(value: unknown, place: string, fewest: number): unknown[] {
    if (!Array.isArray(value) || value.length < fewest)
      throw this.wrong(place, written(value, 40), `It must be a list of ${fewest} or more.`);
    return value;
  }

  number(value: unknown, place: string, lowest: number, highest: number): number {
    if (typeof value !== "number" || !(value >= lowest && value <= highest))
      throw this.wrong(place, written(value), `It must be a number from ${lowest} to ${highest}.`);
    return value;
  }

  whole(value: unknown, place: string, lowest: number, highest: number): number {
    const number = this.number(value, place, lowest, highest);
    if (!Number.isInteger(number)) throw this.wrong(place, String(number), "It must be a whole number.");
    return number;
  }

  text(value: unknown, place: string): string {
    if (typeof value !== "string" || value === "" || value.length > 1000)
      throw this.wrong(place, written(value, 40), "It must be a name.");
    return value;
  }

  ground(value: unknown, place: string): GroundKind {
    const kind = groundKinds.find((one) => one === value);
    if (kind === undefined)
      throw this.wrong(place, written(value), `It is one of ${groundKinds.join(", ")}.`);
    return kind;
  }

  crop(value: unknown): CropName {
    if (typeof value !== "string" || !Object.hasOwn(crops, value))
      throw this.wrong("crop", written(value), `It is one of ${Object.keys(crops).join(", ")}.`);
    return value as CropName;
  }
}
