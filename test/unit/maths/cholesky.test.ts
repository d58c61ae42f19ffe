/** L = [2 0 0; 1 3 0; 4 5 6], so that L Lᵀ = [4 2 8; 2 10 19; 8 19 77]; worked by hand. */
import { describe, expect, it } from "vitest";
import { cholesky, invertCholesky, logDeterminant, solveCholesky } from "../../../src/maths/cholesky.ts";

const factor = Float64Array.of(2, 0, 0, 1, 3, 0, 4, 5, 6);
const matrix = Float64Array.of(4, 2, 8, 2, 10, 19, 8, 19, 77);

describe("a positive definite matrix", () => {
  it("is the product of its lower triangle", () => {
    expect(Array.from(cholesky(matrix, 3)!)).toEqual(Array.from(factor));
  });

  it("is solved: 1, 2 and 3 give 4 + 4 + 24, 2 + 20 + 57 and 8 + 38 + 231", () => {
    expect(Array.from(solveCholesky(factor, 3, [32, 79, 277]))).toEqual([1, 2, 3]);
  });

  it("times its inverse is one", () => {
    const inverse = invertCholesky(factor, 3);
    for (const i of [0, 1, 2])
      for (const j of [0, 1, 2]) {
        const entry = [0, 1, 2].reduce((sum, k) => sum + matrix[3 * i + k]! * inverse[3 * k + j]!, 0);
        expect(entry).toBeCloseTo(i === j ? 1 : 0, 12);
      }
  });

  it("has the determinant (2 × 3 × 6)² = 1296", () => {
    expect(logDeterminant(factor, 3)).toBeCloseTo(Math.log(1296), 12);
  });
});

it("a matrix that is not positive definite, or not to working precision, has no triangle", () => {
  expect(cholesky(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
  expect(cholesky(Float64Array.of(1, 1, 1, 1), 2)).toBeNull();
  expect(cholesky(Float64Array.of(1, 1, 1, 1 + 2e-14), 2)).toBeNull();
  expect(cholesky(Float64Array.of(1, 1, 1, 1 + 1e-12), 2)).not.toBeNull();
  expect(cholesky(Float64Array.of(-1), 1)).toBeNull();
});
