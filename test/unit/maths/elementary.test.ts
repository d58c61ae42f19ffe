import { fileURLToPath } from "node:url";
import expOf from "@stdlib/math-base-special-exp";
import logOf from "@stdlib/math-base-special-ln";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { withSameArithmetic } from "../../../src/build/same-arithmetic.mjs";
import { cos } from "../../../src/maths/elementary/cos.ts";
import { exp } from "../../../src/maths/elementary/exp.ts";
import { hypot } from "../../../src/maths/elementary/hypot.ts";
import { log } from "../../../src/maths/elementary/log.ts";
import { log1p } from "../../../src/maths/elementary/log1p.ts";
import { pow } from "../../../src/maths/elementary/pow.ts";
import { sin } from "../../../src/maths/elementary/sin.ts";

const path = fileURLToPath(new URL("../../../src/maths/parabola.ts", import.meta.url));
const exchanged = async (code: string): Promise<string> => (await withSameArithmetic(code, path)).code;

describe("functions that every engine rounds alike", () => {
  it("agree with those of this engine within two units in the last place", () => {
    // The engine's own are right to about one unit in the last place, so two are as near as it can tell.
    const near = (ours: number, its: number): boolean =>
      Object.is(ours, its) ||
      Math.abs(ours - its) <= 2 * Number.EPSILON * Math.max(Math.abs(its), 2 ** -1000);
    fc.assert(
      fc.property(fc.double({ min: -700, max: 700, noNaN: true }), fc.double({ min: -3, max: 3 }), (x, y) => {
        const positive = Math.abs(x) + 1e-6;
        // Through a name of its own: what is written as Math.exp is exchanged here, too.
        const its = Math;
        expect(near(exp(x), its["exp"](x)), `exp ${x}`).toBe(true);
        expect(near(log(positive), its["log"](positive)), `log ${positive}`).toBe(true);
        expect(near(log1p(positive), its["log1p"](positive)), `log1p ${positive}`).toBe(true);
        if (!Number.isNaN(y))
          expect(near(pow(positive, y), its["pow"](positive, y)), `pow ${x} ${y}`).toBe(true);
        // Near a zero crossing the last place is that of 1.
        expect(Math.abs(cos(x) - its["cos"](x))).toBeLessThanOrEqual(2 * Number.EPSILON);
        expect(Math.abs(sin(x) - its["sin"](x))).toBeLessThanOrEqual(2 * Number.EPSILON);
      }),
    );
  });

  it("give the very bits of the library whose steps they take", () => {
    const ends = [0, -0, 1, 2, 0.5, Math.SQRT2, Math.SQRT1_2, 1e308, 5e-324, Infinity, -Infinity, NaN];
    const near = ends.flatMap((end) => [
      end,
      end * (1 + 2 ** -21),
      end * (1 - 2 ** -21),
      end * (1 + 2 ** -52),
    ]);
    const same = (x: number): void => {
      expect(Object.is(exp(x), expOf(x)), `exp ${x}`).toBe(true);
      expect(Object.is(log(x), logOf(x)), `log ${x}`).toBe(true);
    };
    [...near, ...near.map((x) => -x), 709.7, 709.79, -707, -708.5, -745, 1e-9].forEach(same);
    // Where the steps of the logarithm fork.
    for (const fork of [0x6147a, 0x6a09c, 0x6b852])
      for (let places = -600; places <= 600; places++) same(8 * (1 + (fork + places + 0.3) / 2 ** 20));
    for (let power = -1074; power < 1024; power++) same(2 ** power);
    fc.assert(
      fc.property(fc.double(), fc.double({ min: -750, max: 750 }), (x, y) => (same(x), same(y))),
      {
        numRuns: 5_000,
      },
    );
  });

  it("give the root of as many squares as there are", () => {
    expect(hypot(3, 4)).toBe(5);
    expect(hypot(2, 3, 6)).toBe(7);
    expect(hypot(1, 2, 2, 4, 12)).toBe(13);
  });

  it("give powers of ten as they are read", () => {
    for (let digits = -22; digits <= 22; digits++) expect(pow(10, digits)).toBe(Number(`1e${digits}`));
    expect(pow(2, 53)).toBe(Number.MAX_SAFE_INTEGER + 1);
    expect(pow(-3, 3)).toBe(-27);
    expect(pow(0, 0)).toBe(1);
  });
});

describe("sources as they are built", () => {
  it("call them in the place of the engine's own, on the same lines", async () => {
    const code = await exchanged(
      "// of x\nexport const f = (x: number): number =>\n  Math.exp(x) + x ** 0.5;\n",
    );
    expect(code).toMatch(/import \{ exp as same_exp \} from ".*elementary\/exp\.ts"/);
    expect(code).toMatch(/import \{ pow as __pow \} from ".*elementary\/pow\.ts"/);
    expect(code).not.toMatch(/Math\.|\*\*/);
    expect(await exchanged("export const f = (x: number) => x ** 2;")).toContain("wholePower as __pow");
  });

  it("are refused where engines would differ", async () => {
    await expect(exchanged("export const f = (x: number) => Math.tanh(x);")).rejects.toThrow(
      "uses Math.tanh, which engines round differently",
    );
  });
});
