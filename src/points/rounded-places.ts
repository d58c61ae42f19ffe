/** Places that were rounded before they were written: to how many metres. */
import { metresPerDegree } from "./ground.ts";
import type { PointCloud } from "./point-cloud.ts";

/** Steps that places are rounded to, the coarsest first: decimals of a degree, or metres. */
const degreeSteps = [1e-1, 1e-2, 1e-3, 1e-4, 1e-5];
const metreSteps = [1000, 100, 50, 20, 10, 5, 2, 1];
/** Points looked at. */
const mostLookedAt = 5_000;

/**
 * @param inDegrees  whether the cloud's places are degrees yet
 * @returns metres, 0 where places are finer than any of the steps
 */
export function roundedToMetres({ count, numbers: { x, y } }: PointCloud, inDegrees: boolean): number {
  const every = Math.max(1, Math.floor(count / mostLookedAt));
  const isMultiple = (step: number): boolean => {
    for (let i = 0; i < count; i += every)
      for (const value of [x![i]!, y![i]!])
        if (Math.abs(value / step - Math.round(value / step)) > 1e-3) return false;
    return true;
  };
  const step = (inDegrees ? degreeSteps : metreSteps).find(isMultiple) ?? 0;
  return inDegrees ? step * metresPerDegree(0).north : step;
}
