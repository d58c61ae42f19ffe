/** A farm's strips → what it may share, and back to what curves are weighed by. */
import { mean } from "simple-statistics";
import { gather } from "../../maths/group-by.ts";
import { random } from "../../maths/random.ts";
import { environmentId } from "../../vocabulary/environments.ts";
import { groundKindOf, type GroundKind } from "../../vocabulary/ground-words.ts";
import type { SharedFarm, SharedSums } from "../../vocabulary/region.ts";
import type { Trial } from "../../vocabulary/trial.ts";
import { rateEvidence, type CellsOfVariety, type RateEvidence } from "../beliefs/rate-evidence.ts";
import { withFewerRates } from "../beliefs/fewer-rates.ts";

/** Digits that are shared of each sum: more than strips can tell, fewer than would mark a file. */
const digits = 7;

const rounded = (value: number): number => Number(value.toPrecision(digits));

/** By variety, season and rates, so that the order of a farm's own files and fields does not show. */
const inOrder = (a: SharedSums, b: SharedSums): number => {
  const [left, right] = [keyOf(a), keyOf(b)];
  return left < right ? -1 : left > right ? 1 : 0;
};
const keyOf = ({ variety, season, field, ...sums }: SharedSums): string =>
  JSON.stringify([variety, season, field, sums]);

/** Where strips of a variety were grown in a season: only kind of ground and water are shared. */
export interface Place {
  field: string;
  groundKind?: GroundKind;
  waterMm?: number;
}

/** Of each environment: its field, the kind of ground where it has one that others know, and the water where it was noted. */
export function growingPlaces({
  environments,
  strips,
}: Pick<Trial, "environments" | "strips">): Map<string, Place> {
  const byId = gather(strips, environmentId);
  return new Map(
    environments.map(({ id, farm, field }): [string, Place] => {
      const there = byId.get(id) ?? [];
      const kinds = new Set(there.map(({ ground }) => (ground === undefined ? null : groundKindOf(ground))));
      const [kind] = kinds;
      const water = there.flatMap(({ waterMm }) => waterMm ?? []);
      return [
        id,
        {
          field: JSON.stringify([farm, field]),
          ...(kinds.size !== 1 || kind === null ? {} : { groundKind: kind! }),
          ...(water.length === 0 ? {} : { waterMm: mean(water) }),
        },
      ];
    }),
  );
}

/** Water is shared to the nearest inch: closer, a season's rain could tell a place. */
const waterStepMm = 25.4;

const sharedPlace = ({ groundKind, waterMm }: Place): Pick<SharedSums, "ground" | "waterMm"> => ({
  ...(groundKind === undefined ? {} : { ground: groundKind }),
  ...(waterMm === undefined ? {} : { waterMm: rounded(Math.round(waterMm / waterStepMm) * waterStepMm) }),
});

/**
 * What the strips of one farm say of its varieties, without names of farm and fields and without any level of yield.
 *
 * @param cells  one entry per variety and field in a season, as in `fits`
 */
export function farmEvidence(cells: readonly (CellsOfVariety & Place)[]): SharedFarm {
  const found = withFewerRates(cells).flatMap((one) => {
    const evidence = rateEvidence(one);
    return evidence === null ? [] : [{ place: one, evidence }];
  });
  const bare = found.map(({ place, evidence }) => ({
    field: place.field,
    sums: { ...sharedSums(evidence, 0), ...sharedPlace(place) },
  }));
  // Fields are numbered in the order of what they gave, which says nothing of their names.
  const contents = new Map<string, string>();
  for (const { field, sums } of [...bare].sort((a, b) => inOrder(a.sums, b.sums)))
    contents.set(field, (contents.get(field) ?? "") + keyOf(sums));
  const fields = [...contents].sort(([, a], [, b]) => (a < b ? -1 : 1)).map(([field]) => field);
  return {
    sums: bare.map(({ field, sums }) => ({ ...sums, field: fields.indexOf(field) + 1 })).sort(inOrder),
  };
}

function sharedSums(evidence: RateEvidence, field: number): SharedSums {
  const { variety, season, strips, rates, counts, weight, cross, total, degrees } = evidence;
  const K = rates.length;
  return {
    variety,
    season,
    field,
    strips,
    ratesSeedsPerM2: Array.from(rates, rounded),
    counts: Array.from(counts),
    weight: Array.from({ length: K }, (_, k) =>
      Array.from({ length: k + 1 }, (_, l) => rounded(weight[k * K + l]!)),
    ).flat(),
    cross: Array.from(cross, rounded),
    total: rounded(total),
    degrees,
  };
}

/** The shared sums as curves are weighed by; mean yield 1, since no level is known. */
export function toRateEvidence(sums: SharedSums): RateEvidence {
  const K = sums.ratesSeedsPerM2.length;
  const weight = new Float64Array(K * K);
  for (let k = 0, i = 0; k < K; k++)
    for (let l = 0; l <= k; l++, i++) weight[k * K + l] = weight[l * K + k] = sums.weight[i]!;
  return {
    variety: sums.variety,
    environment: `${sums.season} ${sums.field}`,
    field: String(sums.field),
    season: sums.season,
    meanYieldKgPerHa: 1,
    strips: sums.strips,
    rates: Float64Array.from(sums.ratesSeedsPerM2),
    counts: Float64Array.from(sums.counts),
    weight,
    cross: Float64Array.from(sums.cross),
    total: sums.total,
    degrees: sums.degrees,
    across: null,
  };
}

/**
 * Marks of what a farm shares, one for each variety and field in a season, by which the same strips are known again, whatever
 * was noted of ground and water since: 48 bits of a hash, from which nothing can be read.
 */
export const marksOf = ({ sums }: SharedFarm): string[] =>
  sums.map((one) => {
    const draw = random(0, JSON.stringify({ ...one, field: 0, ground: undefined, waterMm: undefined }));
    return Array.from({ length: 3 }, () =>
      Math.floor(draw() * 65_536)
        .toString(16)
        .padStart(4, "0"),
    ).join("");
  });
