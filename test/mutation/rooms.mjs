/** Rooms whose code is changed on purpose, and the tests that must notice. */
const tests = (...places) => places.map((place) => `test/${place}`);

/** Files that few and quick tests work by hand. */
const nearMaths =
  "cholesky distributions group-by log-axis maximize meta-analysis normal-kernel normal-weights polynomial random-effects satterthwaite-df smooth-minimum symmetric-eigen two-way weighted-quantiles within-groups"
    .split(" ")
    .map((name) => `src/maths/${name}.ts`);

/** Files of fits that quick cases of the same name work by hand. */
const fits = ["grouped-logit", "grouped-points", "hinge", "ordered-logit", "parabola", "sums"];

/** A few lines each, with a case of the same name. */
const fewLines = ["dot", "first-and-last", "joined", "kept"];

/** Files of beliefs that quick cases of the same name work by hand. */
const byHand =
  "along-needs common-ground fewer-rates first-belief lean-on-region lean-varieties likelihood-in-region pick-curves rate-evidence rate-table seasons-so-far shared-misfit strip-error weigh-curves".split(
    " ",
  );

/** Files of fields that quick cases of the same name work by hand. */
const fields = ["field-strengths", "fields-and-seasons", "needs-in-environments"];

/** Files of seasons that quick cases work by hand. */
const bySeason =
  "far-strips fit-form fit-seasons least-significant-difference rate-anova rate-follows strip-points strip-residuals".split(
    " ",
  );

/** Files of pooled seasons that quick cases of the same name work by hand. */
const pooledByHand =
  "fewer-blocks lean-on-others lean-slopes mixed-likelihood pooled-estimates pooled-forms position-terms product-sums satterthwaite treatment-sums unlike-scatter variety-by-rate".split(
    " ",
  );

/** Files of regions that quick cases of the same name work by hand. */
const overFarms =
  "believable-responses falls-over-farms farm-evidence farm-pairs ground-over-farms region-of region-parts response-grid".split(
    " ",
  );

/** @type {Record<string, { source: string[]; tests: string[] }>} */
export const rooms = {
  decide: {
    source: ["src/decide/*.ts"],
    tests: tests(
      "unit/decide/{decide-by-hand,learning-by-hand,read-observations}.test.ts",
      "unit/decide/rate/{fields-by-hand,money}.test.ts",
    ),
  },
  "decide/rate": {
    source: ["src/decide/rate/**/*.ts", "!src/decide/rate/{rate-elsewhere,which-needs-more}.ts"],
    tests: tests(
      "unit/decide/rate/{belief,believed,choice,curve,evidence,fields-by,gain,lodging,money,moves,price,quality,readings,step,two-rates-by,two-rates.}*.test.ts",
      "property/{lodging-ceiling,sowing}.test.ts",
    ),
  },
  // Between varieties, and between this farm's ground and other ground.
  "decide/rate/between": {
    source: ["rate-elsewhere", "which-needs-more"].map((name) => `src/decide/rate/${name}.ts`),
    tests: tests("unit/decide/rate/{rate-elsewhere,which-needs-more}.test.ts"),
  },
  "decide/optima": {
    source: ["src/decide/optima/**/*.ts"],
    tests: tests(
      "unit/decide/optima/*.test.ts",
      "reference/{economic-optimum,influence,meta-analysis,mixed-models}/*.test.ts",
    ),
  },
  "decide/drill": {
    source: ["src/decide/drill/**/*.ts"],
    tests: tests(
      "unit/decide/drill/{fill-seed-card,late-seeding,stand-bridge,seed-of-a-lot}.test.ts",
      "property/sowing.test.ts",
      "reference/sowing/*.test.ts",
    ),
  },
  plan: {
    source: [
      "src/plan/**/*.ts",
      "!src/plan/{advise-strips,know-varieties,lay-out-strips,plan-strips,simulate-trials}.ts",
    ],
    tests: tests("unit/plan/{by-hand,candidate,strips-pay}.test.ts", "reference/power/*.test.ts"),
  },
  "plan/trials": {
    source: ["src/plan/simulate-trials.ts"],
    tests: tests("unit/plan/simulate-by-hand.test.ts"),
  },
  "plan/known": {
    source: ["src/plan/advise-strips.ts", "src/plan/know-varieties.ts"],
    tests: tests("unit/plan/{advise,know}-by-hand.test.ts"),
  },
  "plan/ground": {
    source: ["src/plan/lay-out-strips.ts"],
    tests: tests("unit/plan/lay-out-by-hand.test.ts"),
  },
  "plan/whole": {
    source: ["src/plan/plan-strips.ts"],
    tests: tests("unit/plan/plan-by-hand.test.ts"),
  },
  // What the rates and the layout of a trial follow from, apart from whole plans.
  "plan/near": {
    source: ["choose-rates", "d-efficiency", "power", "search-design", "strips-pay"].map(
      (name) => `src/plan/${name}.ts`,
    ),
    tests: tests(
      "unit/plan/{simulate-trials,strips-pay}.test.ts",
      "reference/{optimal-designs,power}/*.test.ts",
    ),
  },
  model: {
    source: ["src/model/*.ts"],
    tests: tests("unit/model/*.test.ts"),
  },
  "model/beliefs": {
    source: ["src/model/beliefs/**/*.ts"],
    tests: tests("unit/model/beliefs/*.test.ts", "reference/believed-curves/*.test.ts"),
  },
  "model/beliefs/near": {
    source: ["src/model/beliefs/share-response.ts"],
    tests: tests("unit/model/beliefs/share-response.test.ts", "reference/believed-curves/*.test.ts"),
  },
  "model/beliefs/grid": {
    source: ["src/model/beliefs/curve-grid.ts"],
    tests: tests("unit/model/beliefs/curve-grid-by-hand.test.ts"),
  },
  // What quick cases work by hand: errors of strips, grounds, sums of strips and what is believed without any.
  "model/beliefs/by-hand": {
    source: byHand.map((name) => `src/model/beliefs/${name}.ts`),
    tests: tests(`unit/model/beliefs/{${byHand}}.test.ts`),
  },
  // What quick cases work by hand: what lasts on a field, in needs and in strengths, apart from what came with a season.
  "model/beliefs/fields": {
    source: fields.map((name) => `src/model/beliefs/${name}.ts`),
    tests: tests(`unit/model/beliefs/{${fields}}.test.ts`),
  },
  "model/beliefs/environment": {
    source: ["src/model/beliefs/environment-likelihood.ts"],
    tests: tests("unit/model/beliefs/environment-likelihood.test.ts"),
  },
  "model/beliefs/places": {
    source: ["src/model/beliefs/field-places.ts"],
    tests: tests("unit/model/beliefs/field-places-by-hand.test.ts"),
  },
  "model/beliefs/weigh": {
    source: ["src/model/beliefs/weigh-farm.ts"],
    tests: tests("unit/model/beliefs/weigh-farm.test.ts"),
  },
  "model/beliefs/refine": {
    source: ["src/model/beliefs/refine-grid.ts"],
    tests: tests("unit/model/beliefs/refine-grid-by-hand.test.ts"),
  },
  "model/beliefs/believe": {
    source: ["src/model/beliefs/believable-curves.ts"],
    tests: tests("unit/model/beliefs/believable-curves-by-hand.test.ts"),
  },
  "model/beliefs/on-grid": {
    source: ["src/model/beliefs/grid-likelihood.ts"],
    tests: tests("unit/model/beliefs/grid-likelihood.test.ts"),
  },
  "model/beliefs/of-region": {
    source: ["src/model/beliefs/region-beliefs.ts"],
    tests: tests("unit/model/beliefs/share-of-region.test.ts"),
  },
  "model/beliefs/trend": {
    source: ["src/model/beliefs/field-trend.ts"],
    tests: tests("unit/model/beliefs/field-trend.test.ts"),
  },
  "model/forms": {
    source: ["src/model/forms/**/*.ts", "!src/model/forms/believable-curve.ts"],
    tests: tests("unit/model/forms/*.test.ts"),
  },
  "model/forms/believable": {
    source: ["src/model/forms/believable-curve.ts"],
    tests: tests("unit/model/forms/believable-curve.test.ts"),
  },
  "model/observed": {
    source: ["src/model/observed/**/*.ts"],
    tests: tests("unit/model/observed/*.test.ts", "reference/lodging/*.test.ts"),
  },
  // What quick cases work by hand: heads, stands and protein, which carry money into the decision.
  "model/observed/near": {
    source: ["protein", "rate-classes", "stand", "tillering"].map((name) => `src/model/observed/${name}.ts`),
    tests: tests("unit/model/observed/{protein,rate-classes,stand,tillering}.test.ts"),
  },
  // What quick cases work by hand: lodging scores, from cells to what is believed.
  "model/observed/lodging": {
    source: [
      ...["lodging", "lodging-beliefs", "lodging-cells", "lodging-order", "lodging-regression"],
      "observations",
    ].map((name) => `src/model/observed/${name}.ts`),
    tests: tests("unit/model/observed/lodging-{beliefs,by-hand,cells,order}.test.ts"),
  },
  "model/pooled": {
    source: ["src/model/pooled/**/*.ts"],
    tests: tests(
      "unit/model/pooled/*.test.ts",
      "property/pooled-seasons.test.ts",
      "reference/{meta-analysis,mixed-models,pooled-joins}/*.test.ts",
    ),
  },
  // What quick cases work by hand: forms, trends and likelihoods of all seasons, and what varieties share.
  "model/pooled/by-hand": {
    source: pooledByHand.map((name) => `src/model/pooled/${name}.ts`),
    tests: tests(`unit/model/pooled/{${pooledByHand}}.test.ts`),
  },
  "model/pooled/sums": {
    source: ["src/model/pooled/gather-sums.ts"],
    tests: tests("unit/model/pooled/{gather-sums,treatment-sums}.test.ts"),
  },
  "model/pooled/elimination": {
    source: ["src/model/pooled/elimination.ts"],
    tests: tests("unit/model/pooled/elimination.test.ts"),
  },
  "model/pooled/mixed": {
    source: ["fit-mixed-model", "mixed-model"].map((name) => `src/model/pooled/${name}.ts`),
    tests: tests("unit/model/pooled/{fit-mixed-model,mixed-likelihood,mixed-model}.test.ts"),
  },
  "model/pooled/joins": {
    source: ["fit-pooled-form", "join-search"].map((name) => `src/model/pooled/${name}.ts`),
    tests: tests(
      "unit/model/pooled/{join-search,fit-pooled-form}.test.ts",
      "reference/pooled-joins/pooled-joins.test.ts",
    ),
  },
  "model/pooled/whole": {
    source: ["src/model/pooled/pool-seasons.ts"],
    tests: tests("unit/model/pooled/pool-seasons-by-hand.test.ts"),
  },
  "model/pooled/layout": {
    source: ["src/model/pooled/trial-layout.ts"],
    tests: tests("unit/model/pooled/trial-layout.test.ts"),
  },
  "model/pooled/trend": {
    source: ["src/model/pooled/position-trend.ts"],
    tests: tests("unit/model/pooled/trend-by-hand.test.ts"),
  },
  "model/pooled/seasons": {
    source: ["src/model/pooled/season-covariates.ts"],
    tests: tests("unit/model/pooled/seasons-by-hand.test.ts"),
  },
  "model/region": {
    source: ["src/model/region/**/*.ts"],
    tests: tests("unit/model/region/*.test.ts"),
  },
  // What quick cases work by hand: what farms leave believable, and what they say together of falls and of ground.
  "model/region/by-hand": {
    source: overFarms.map((name) => `src/model/region/${name}.ts`),
    tests: tests(`unit/model/region/{${overFarms}}.test.ts`),
  },
  "model/region/messages": {
    source: ["src/model/region/farm-messages.ts"],
    tests: tests("unit/model/region/farm-messages.test.ts"),
  },
  "model/region/likelihoods": {
    source: ["src/model/region/farm-likelihoods.ts"],
    tests: tests("unit/model/region/farm-likelihoods.test.ts"),
  },
  "model/region/between": {
    source: ["src/model/region/between-farms.ts"],
    tests: tests("unit/model/region/between-farms.test.ts"),
  },
  "model/seasons": {
    source: ["src/model/seasons/**/*.ts"],
    tests: tests("unit/model/seasons/*.test.ts", "reference/{influence,nist,rate-anova}/*.test.ts"),
  },
  "model/seasons/near": {
    source: ["compare-forms", "influence", "rate-cells", "resistant-fit"].map(
      (name) => `src/model/seasons/${name}.ts`,
    ),
    tests: tests(
      "unit/model/seasons/{compare-forms,influence,rate-cells,resistant-fit}.test.ts",
      "reference/influence/*.test.ts",
    ),
  },
  // What quick cases work by hand: each variety on its own, what its strips leave, and those far from the others.
  "model/seasons/by-hand": {
    source: bySeason.map((name) => `src/model/seasons/${name}.ts`),
    tests: tests(
      "unit/model/seasons/{far-strips-by-hand,fit-form,rate-anova,rate-follows,seasons-by-hand,strip-residuals}.test.ts",
    ),
  },
  units: {
    source: ["src/read/units/**/*.ts"],
    tests: tests("unit/read/units/*.test.ts"),
  },
  "maths/near": {
    source: nearMaths,
    tests: tests("unit/maths/*.test.ts", "reference/{distributions,meta-analysis,random-effects}/*.test.ts"),
  },
  "maths/fits": {
    source: fits.map((name) => `src/maths/${name}.ts`),
    tests: tests(`unit/maths/{${fits}}.test.ts`),
  },
  "maths/few-lines": {
    source: fewLines.map((name) => `src/maths/${name}.ts`),
    tests: tests(`unit/maths/{${fewLines}}.test.ts`),
  },
  "maths/elementary": {
    source: ["src/maths/elementary/*.ts"],
    tests: tests("unit/maths/elementary.test.ts"),
  },
  maths: {
    source: [
      "src/maths/**/*.ts",
      "!src/maths/elementary/*.ts",
      ...[...nearMaths, ...[...fits, ...fewLines].map((name) => `src/maths/${name}.ts`)].map(
        (path) => `!${path}`,
      ),
    ],
    tests: tests(
      "unit/maths/**/*.test.ts",
      "reference/{distributions,nist,meta-analysis,random-effects,rate-anova,power,lodging,economic-optimum}/*.test.ts",
    ),
  },
};
