import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { random } from "../../../src/maths/random.ts";
import { multiply, transpose } from "../../../src/maths/small-matrix.ts";
import { symmetricEigen } from "../../../src/maths/symmetric-eigen.ts";

describe("eigenvalues and eigenvectors of symmetric matrices", () => {
  it("are 1 and 3 of (2 1; 1 2), along (1, −1) and (1, 1)", () => {
    const { values, vectors } = symmetricEigen(Float64Array.of(2, 1, 1, 2), 2);
    expect(values[0]).toBeCloseTo(1, 14);
    expect(values[1]).toBeCloseTo(3, 14);
    expect(vectors[0]! / vectors[1]!).toBeCloseTo(-1, 14);
    expect(vectors[2]! / vectors[3]!).toBeCloseTo(1, 14);
    expect(Math.abs(vectors[0]!)).toBeCloseTo(Math.SQRT1_2, 14);
  });

  it("are the matrix itself where it is one number or diagonal, in rising order", () => {
    expect(symmetricEigen(Float64Array.of(7), 1)).toEqual({
      values: Float64Array.of(7),
      vectors: Float64Array.of(1),
    });
    const { values, vectors } = symmetricEigen(Float64Array.of(3, 0, 0, 0, -1, 0, 0, 0, 2), 3);
    expect([...values]).toEqual([-1, 2, 3]);
    expect([...vectors].map(Math.abs)).toEqual([0, 1, 0, 0, 0, 1, 1, 0, 0]);
  });

  it("are those of each block where blocks do not touch, whatever their size", () => {
    // (2 1; 1 2) has 1 and 3, (5 3; 3 5) has 2 and 8, along (1, −1) and (1, 1).
    const places: [outer: number[], inner: number[]][] = [
      [
        [0, 1],
        [2, 3],
      ],
      [
        [2, 3],
        [0, 1],
      ],
      [
        [0, 3],
        [1, 2],
      ],
      [
        [1, 2],
        [0, 3],
      ],
      [
        [0, 2],
        [1, 3],
      ],
    ];
    for (const [small, large] of places)
      for (const size of [1e-12, 1, 1e12]) {
        const a = new Float64Array(16);
        for (const [[i, j], [own, other]] of [
          [small, [2, 1]],
          [large, [5, 3]],
        ] as [number[], number[]][]) {
          a[i! * 5] = a[j! * 5] = own! * size;
          a[i! * 4 + j!] = a[j! * 4 + i!] = other! * size;
        }
        const { values, vectors } = symmetricEigen(a, 4);
        [1, 2, 3, 8].forEach((value, k) => expect(values[k]! / size).toBeCloseTo(value, 12));
        [small, large, small, large].forEach(([i, j], k) => {
          const vector = vectors.subarray(4 * k, 4 * k + 4);
          expect(Math.abs(vector[i!]!)).toBeCloseTo(Math.SQRT1_2, 12);
          expect(vector[i!]! * vector[j!]!).toBeCloseTo(k < 2 ? -0.5 : 0.5, 12);
        });
      }
  });

  it("are 2 − 2 cos(kπ/(n + 1)) of the second differences, n = 12", () => {
    // Algebra: the eigenvectors are sines.
    const n = 12;
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      a[i * n + i] = 2;
      if (i > 0) a[i * n + i - 1] = a[(i - 1) * n + i] = -1;
    }
    const { values } = symmetricEigen(a, n);
    for (const [k, value] of values.entries())
      expect(value).toBeCloseTo(2 - 2 * Math.cos(((k + 1) * Math.PI) / (n + 1)), 12);
  });

  it("give any matrix back, and are those of a general-purpose library", () => {
    const draw = random(1, "eigen");
    for (const n of [2, 3, 5, 9, 20]) {
      const a = new Float64Array(n * n);
      // Every third matrix has a row that hangs on the others.
      for (let i = 0; i < n; i++)
        for (let j = 0; j <= i; j++) a[i * n + j] = a[j * n + i] = i === 2 && n % 3 === 0 ? 0 : draw() - 0.5;
      const { values, vectors } = symmetricEigen(a, n);
      const scaled = vectors.map((entry, at) => entry * values[Math.floor(at / n)]!);
      const back = multiply(transpose(vectors, n, n), scaled, n, n, n);
      back.forEach((entry, at) => expect(entry).toBeCloseTo(a[at]!, 12));
      const square = multiply(vectors, transpose(vectors, n, n), n, n, n);
      square.forEach((entry, at) => expect(entry).toBeCloseTo(at % (n + 1) === 0 ? 1 : 0, 12));
      const library = new EigenvalueDecomposition(Matrix.from1DArray(n, n, [...a]));
      library.realEigenvalues.forEach((value, k) => expect(values[k]).toBeCloseTo(value, 12));
    }
  });
});
