// What is believed of a response curve after the strips, by weighing curves drawn at random from the stated priors. It
// shares the priors and shapes with the engine, as they are written in `settings.ts`, `curve-grid.ts`, `field-places.ts`
// and `believable-curve.ts`, and no code: no grid of curves, no smoothing, no places of fields.
//
//   node believed.mjs > case.json     (reads ../rate-response; some minutes)
import { readFileSync } from "node:fs";

const draws = 60_000;
const groupsOfDraws = 20;

const seasonSpreads = [[0, 0], [0.06, 0], [0.12, 0], [0.2, 0]];
const crossedSpreads = [[0.04, 0], [0.14, 0], [0.05, 0.12], [0.16, 0.12]];
const fieldSds = [0.07, 0.13, 0.2, 0.3, 0.45];
const betweenSds = [0.03, 0.08, 0.15, 0.25, 0.4];
const prior = {
  needSd: 0.3, between: 0.15, season: 0.1, fieldInSeason: 0.1, field: 0.15, strength: 0.3,
  loss: [0.08, 0.8, 0.009, 0.7], decline: [0.04, 1, 0.01, 0.5], noDecline: 0.5, none: 0.05,
};
const shapes = [
  { share: 0.2, rise: (u) => Math.min(u - 1, 0) / 0.4 },
  { share: 0.2, rise: (u) => -((Math.min(u - 1, 0) / 0.4) ** 2) },
  { share: 0.1, rise: (u) => -(((u - 1) / 0.4) ** 2) },
  { share: 0.25, rise: (u) => -Math.exp(-3.2 * (u - 0.6)) },
  { share: 0.15, rise: (u) => -(((Math.sqrt(u) - 1) / (1 - Math.sqrt(0.6))) ** 2) },
  { share: 0.1, rise: (u) => -0.7 / (u + 0.1) },
];
const comesDown = [2, 4];
const shoulders = [0, 0.2, 0.5];
const fall = (u, shoulder) => -((Math.max(u - 1 - shoulder, 0) / 0.5) ** 2);
const halfNormal = (x, sd) => Math.exp(-0.5 * (x / sd) ** 2);

// mulberry32, public domain.
let seed = 20271;
function uniform() {
  seed = (seed + 0x6d2b79f5) | 0;
  let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
}
const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
function normalWithin(mean, sd, low, high) {
  for (;;) {
    const value = mean + sd * normal();
    if (value >= low && value <= high) return value;
  }
}
function pick(weights) {
  let left = uniform() * weights.reduce((a, b) => a + b, 0);
  for (let i = 0; i < weights.length; i++) if ((left -= weights[i]) < 0) return i;
  return weights.length - 1;
}
const logNormal = ([median, sd, low, high]) => Math.exp(normalWithin(Math.log(median), sd, Math.log(low), Math.log(high)));

function environmentOf({ name, strips }) {
  const mean = strips.reduce((sum, [, , y]) => sum + Number(y), 0) / strips.length;
  const rates = [...new Set(strips.map(([, rate]) => Number(rate)))].sort((a, b) => a - b);
  const names = [...new Set(strips.map(([block]) => String(block)))];
  const rows = strips.map(([block, rate, y]) => ({
    block: names.indexOf(String(block)), k: rates.indexOf(Number(rate)), x: Number(rate), y: Number(y) / mean - 1,
  }));
  // A column for each power of the rate, blocks taken off each.
  const off = (values) => {
    const sums = names.map(() => [0, 0]);
    rows.forEach(({ block }, i) => ((sums[block][0] += values[i]), (sums[block][1] += 1)));
    return values.map((value, i) => value - sums[rows[i].block][0] / sums[rows[i].block][1]);
  };
  const y = off(rows.map((row) => row.y));
  const degrees = rows.length - names.length;
  const full = Math.min(rates.length - 1, 4);
  const power = degrees >= 2 * full ? full : Math.min(2, full);
  const dot = (a, b) => a.reduce((sum, value, i) => sum + value * b[i], 0);
  const middle = (rates[0] + rates.at(-1)) / 2;
  const half = (rates.at(-1) - rates[0]) / 2;
  const basis = [];
  let left = y;
  for (let p = 1; p <= power; p++) {
    let column = off(rows.map(({ x }) => ((x - middle) / half) ** p));
    for (const one of basis) { const a = dot(one, column); column = column.map((v, i) => v - a * one[i]); }
    const size = Math.sqrt(dot(column, column));
    column = column.map((v) => v / size);
    basis.push(column);
    const a = dot(column, left);
    left = left.map((v, i) => v - a * column[i]);
  }
  const at = rates.map((_, k) => rows.map((row) => (row.k === k ? 1 : 0)));
  const atOff = at.map(off);
  return {
    season: name.split(" ")[0], field: name, rates, degrees, total: dot(y, y), residual: [degrees - power, dot(left, left)],
    cross: at.map((one) => dot(one, y)), weight: atOff.map((a) => atOff.map((b) => dot(a, b))),
  };
}

// Steps of a shift, and weights of a normal distribution on them.
const step = 0.02;
function kernel(sd) {
  const reach = Math.ceil((3 * sd) / step);
  const weights = Array.from({ length: 2 * reach + 1 }, (_, i) => (sd === 0 ? 1 : halfNormal((i - reach) * step, sd)));
  const total = weights.reduce((a, b) => a + b, 0);
  return { reach, weights: weights.map((w) => w / total) };
}
const strengths = Array.from({ length: 25 }, (_, i) => (i - 12) * 0.25).map((z) => ({ g: 1 + prior.strength * z, w: halfNormal(z, 1) }));
const allStrengths = strengths.reduce((sum, { w }) => sum + w, 0);

function likelihood(e, error, curve, shift) {
  const f = e.rates.map((rate) => valueAt(curve, rate, shift));
  let [c, q] = [0, 0];
  for (let k = 0; k < f.length; k++) {
    c += e.cross[k] * f[k];
    for (let l = 0; l < f.length; l++) q += f[k] * e.weight[k][l] * f[l];
  }
  const power = -(error.degrees + e.degrees) / 2;
  const none = 1 + e.total / error.ss;
  let sum = 0;
  for (const { g, w } of strengths) sum += w * ((1 + Math.max(0, e.total - 2 * g * c + g * g * q) / error.ss) / none) ** power;
  return sum / allStrengths;
}
function valueAt({ shape, need, loss, decline, shoulder }, rate, shift) {
  const u = rate / (need * Math.exp(shift));
  return loss * shapes[shape].rise(u) + (decline === 0 ? 0 : decline * fall(u, shoulder));
}

function believe(set, groups, need, pattern) {
  const environments = groups.map(environmentOf);
  const seasons = Object.values(Object.groupBy ? Object.groupBy(environments, (e) => e.season) : group(environments));
  const fields = environments.map((e) => e.field);
  const crossed = new Set(fields).size > 1 && !(seasons.length === environments.length);
  const spreads = crossed ? crossedSpreads : seasonSpreads;
  const spreadWeights = spreads.map(([s, f]) => halfNormal(s, prior.season) * halfNormal(f, prior.fieldInSeason));
  const residual = environments.reduce((sum, e) => [sum[0] + e.residual[0], sum[1] + e.residual[1]], [0, 0]);
  const error = { degrees: 8, ss: (8 * (residual[1] + 4 * 0.05 ** 2)) / (residual[0] + 4) };
  const tested = [...new Set(environments.flatMap((e) => e.rates))].sort((a, b) => a - b);
  const middle = Math.sqrt(tested[0] * tested.at(-1));
  const axis = [Math.log(0.35 * Math.min(need, middle)), Math.log(2.5 * Math.max(need, middle))];
  const m = tested.length - 1;
  const parts = Array.from({ length: groupsOfDraws }, () => new Float64Array(m + 4));
  for (let d = 0; d < draws; d++) {
    const shape = pick(shapes.map((s) => s.share));
    const centre = normalWithin(Math.log(need), Math.sqrt(prior.needSd ** 2 - prior.between ** 2), ...axis);
    const sd = betweenSds[pick(betweenSds.map((one) => halfNormal(one, prior.between)))];
    const curve = {
      shape, need: Math.exp(normalWithin(centre, sd, ...axis)), loss: logNormal(prior.loss),
      decline: !comesDown.includes(shape) && uniform() >= prior.noDecline ? logNormal(prior.decline) : 0,
      shoulder: shoulders[Math.floor(uniform() * shoulders.length)],
    };
    const [seasonSd, fieldSd] = spreads[pick(spreadWeights)];
    const shifts = new Map(fields.map((field) => [field, 0]));
    if (crossed) {
      const lasting = fieldSds[pick(fieldSds.map((one) => halfNormal(one, prior.field)))];
      const raw = [...shifts.keys()].map(() => lasting * normal());
      const mean = raw.reduce((a, b) => a + b, 0) / raw.length;
      [...shifts.keys()].forEach((field, i) => shifts.set(field, raw[i] - mean));
    }
    const [ofSeason, ofField] = [kernel(seasonSd), kernel(fieldSd)];
    const reach = ofSeason.reach + ofField.reach;
    let weight = 1;
    for (const own of seasons) {
      const products = new Float64Array(2 * ofSeason.reach + 1).fill(1);
      for (const e of own) {
        const fine = Array.from({ length: 2 * reach + 1 }, (_, i) =>
          likelihood(e, error, curve, shifts.get(e.field) + (i - reach) * step));
        for (let i = 0; i < products.length; i++) {
          let sum = 0;
          for (let j = 0; j < ofField.weights.length; j++) sum += ofField.weights[j] * fine[i + j];
          products[i] *= sum;
        }
      }
      weight *= products.reduce((sum, value, i) => sum + value * ofSeason.weights[i], 0);
    }
    const coming = kernel(Math.hypot(seasonSd, fieldSd));
    const at = (rate) => {
      let sum = 0;
      for (const shift of shifts.values())
        for (let i = 0; i < coming.weights.length; i++)
          sum += (coming.weights[i] * valueAt(curve, rate, shift + (i - coming.reach) * step)) / shifts.size;
      return sum;
    };
    const part = parts[d % groupsOfDraws];
    if (weight < 1e-14) continue;
    const lowest = at(tested[0]);
    const log = Math.log(curve.need);
    part[0] += weight;
    for (let k = 1; k <= m; k++) part[k] += weight * (at(tested[k]) - lowest);
    part[m + 1] += weight * log;
    part[m + 2] += weight * log * log;
    part[m + 3] += weight * weight;
  }
  const total = parts.reduce((sum, part) => sum.map((value, i) => value + part[i]), new Float64Array(m + 4));
  // No response weighs its share of the prior at the likelihood that all weights were divided by.
  const expected = (sums, n) =>
    Array.from({ length: m }, (_, k) => ((1 - prior.none / (prior.none + ((1 - prior.none) * sums[0]) / n)) * sums[k + 1]) / sums[0]);
  const all = expected(total, draws);
  const several = parts.map((part) => expected(part, draws / groupsOfDraws));
  const errors = all.map((mean, k) =>
    Math.sqrt(several.reduce((sum, one) => sum + (one[k] - mean) ** 2, 0) / (groupsOfDraws - 1) / groupsOfDraws));
  const logNeed = total[m + 1] / total[0];
  return {
    set, variety: pattern, needSeedsPerM2: need, environments: environments.length, ratesSeedsPerM2: tested,
    expectedGain: all, standardErrors: errors,
    chanceOfNone: prior.none / (prior.none + ((1 - prior.none) * total[0]) / draws),
    meanLogNeed: logNeed, sdLogNeed: Math.sqrt(total[m + 2] / total[0] - logNeed ** 2),
    effectiveDraws: total[0] ** 2 / total[m + 3],
  };
}
function group(environments) {
  const groups = {};
  for (const e of environments) (groups[e.season] ??= []).push(e);
  return groups;
}
const groupsOf = (file, set, pattern) =>
  JSON.parse(readFileSync(new URL(`../rate-response/${file}`, import.meta.url), "utf8"))
    .sets.find((one) => one.name === set)
    .groups.filter(({ name }) => new RegExp(pattern).test(name));
const believed = (file, set, need, pattern) => believe(set, groupsOf(file, set, pattern), need, pattern);

process.stdout.write(
  `${JSON.stringify(
    {
      name: "Expected response after the strips, weighed over curves drawn from the stated priors",
      howObtained: `believed.mjs, ${draws} draws a case, Node ${process.versions.node}`,
      licence: "as ../rate-response",
      expectedGain: "of each rate over the lowest, as a share of the mean yield, in a season to come, over the fields seen",
      cases: [
        believed("case.json", "gomez_seedrate", 90, "all"),
        believed("verbyla_lupin.json", "verbyla_lupin", 45, "1991.*Merrit"),
        believed("verbyla_lupin.json", "verbyla_lupin", 45, "Wongan.*Danja"),
      ],
    },
    null,
    2,
  )}\n`,
);
