/** Do varieties respond differently to the rate? */
import { chiSquareUpperTail } from "../../maths/distributions.ts";
import type { PooledFormSupport, VarietyByRate } from "../../vocabulary/pooled-result.ts";
import type { FormName, Settings } from "../../vocabulary/settings.ts";
import type { PooledForm } from "./fit-pooled-form.ts";
import type { LeanedSlopes } from "./lean-slopes.ts";
import { testContrasts } from "./satterthwaite.ts";
import type { VarianceUncertainty } from "./satterthwaite.ts";

/** A common response is called enough if its criterion is better than that of own responses by this much. */
const clearly = 2;

/**
 * Own quadratics against one common to all varieties: likelihood ratio between fits by ML, and an F test of all differences
 * in slope and bend by REML with Satterthwaite df. The F test decides: the likelihood ratio finds differences too often in
 * small trials.
 *
 * @param quadratic  own responses, by REML
 * @returns null with one variety, where no variety has a response, or where strips do not scatter
 */
export function testVarietyByRate(
  quadratic: PooledForm,
  uncertainty: VarianceUncertainty,
  ml: { own: ReadonlyMap<FormName, PooledForm>; common: ReadonlyMap<FormName, PooledForm> },
  support: readonly PooledFormSupport[],
  leaned: LeanedSlopes | null,
  settings: Settings,
): VarietyByRate | null {
  const own = ml.own.get("quadratic");
  const common = ml.common.get("quadratic");
  if (own === undefined || common === undefined) return null;
  const df = own.parameters - common.parameters;
  if (df <= 0 || !(own.fit.residualVariance > 0)) return null;
  const chiSquare = Math.max(0, common.fit.minusTwoLogLikelihood - own.fit.minusTwoLogLikelihood);
  const f = testContrasts(quadratic.fit, uncertainty, differences(quadratic));
  const least = (sharing: PooledFormSupport["sharing"]): number | null => {
    const known = support.flatMap((one) => (one.sharing === sharing ? (one.aicc ?? []) : []));
    return known.length === 0 ? null : Math.min(...known);
  };
  const [ownLeast, commonLeast] = [least("own"), least("common")];
  const aiccCommonLessOwn = ownLeast === null || commonLeast === null ? null : commonLeast - ownLeast;
  const differ = f !== null && f.p < settings.testLevel;
  const alike = aiccCommonLessOwn !== null && aiccCommonLessOwn <= -clearly;
  return {
    verdict: differ ? "differ" : alike ? "alike" : "not-shown",
    likelihoodRatio: { chiSquare, df, p: chiSquareUpperTail(chiSquare, df) },
    f,
    aiccCommonLessOwn,
    slopeSpread: leaned?.slopeSpread ?? null,
    bendSpread: leaned?.bendSpread ?? null,
  };
}

/** Each variety's slope minus that of the first that has one, then the same for the bends. */
function differences({ columns, units, model }: PooledForm): Float64Array[] {
  return [0, 1].flatMap((k) => {
    const places = units.flatMap((_, unit) => {
      const place = columns.first[unit]! + k;
      return columns.widths[unit]! > k && !model.droppedColumns.includes(place) ? [place] : [];
    });
    return places.slice(1).map((place) => {
      const contrast = new Float64Array(model.columnCount);
      contrast[place] = 1;
      contrast[places[0]!] = -1;
      return contrast;
    });
  });
}
