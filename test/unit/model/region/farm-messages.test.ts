/** What farms and varieties say to each other, by the direct sum over every need and every farm's offset. */
import { describe, expect, it } from "vitest";
import { noMessages, passMessages, type Offsets } from "../../../../src/model/region/farm-messages.ts";
import type { Pairs, Smoothed } from "../../../../src/model/region/farm-pairs.ts";

const J = 4;
/** Alder has two responses, Birch one; each has the row of no response at last. */
const rowsOf = [3, 2];
const offsets: Offsets = { steps: Int32Array.of(-1, 0, 2), weights: Float64Array.of(0.3, 0.5, 0.2) };
const pad = 2;
const width = J + 2 * pad;

/** Pairs of farm and variety, and for each row of each pair how likely its strips are at each place of the longer axis. */
function pairsOf(farms: readonly (readonly number[])[]): { pairs: Pairs; smoothed: Smoothed } {
  const variety = farms.flat();
  const rows = [0];
  for (const v of variety) rows.push(rows.at(-1)! + rowsOf[v]!);
  const from = [0];
  for (const own of farms) from.push(from.at(-1)! + own.length);
  const count = rows.at(-1)!;
  const values = Float64Array.from(
    { length: count * width },
    (_, i) => 0.2 + Math.abs(Math.sin(1 + 1.7 * i + 0.3 * i ** 2)),
  );
  const pairs: Pairs = {
    farms: [],
    responses: [],
    needs: J,
    variety: Int32Array.from(variety),
    from: Int32Array.from(from),
    rows: Int32Array.from(rows),
  };
  return { pairs, smoothed: { values, width, pad } };
}

const before = rowsOf.map((rows, v) =>
  Float64Array.from({ length: rows * J }, (_, i) => -0.4 * ((i % J) - 1 - v) ** 2 - 0.7 * Math.floor(i / J)),
);

/** Beliefs and evidence, summed over both varieties' rows and needs and, farm by farm, over the farm's offset. */
function direct(farms: readonly (readonly number[])[]) {
  const { pairs, smoothed } = pairsOf(farms);
  const at = (p: number, state: number, step: number): number =>
    smoothed.values[(pairs.rows[p]! + Math.floor(state / J)) * width + pad + (state % J) + step]!;
  const beliefs = before.map(({ length }) => new Float64Array(length));
  let [evidence, prior] = [0, 0];
  for (let a = 0; a < before[0]!.length; a++)
    for (let b = 0; b < before[1]!.length; b++) {
      const stated = Math.exp(before[0]![a]! + before[1]![b]!);
      let weight = stated;
      let p = 0;
      for (const own of farms) {
        let sum = 0;
        offsets.steps.forEach((step, f) => {
          let product = offsets.weights[f]!;
          own.forEach((v, i) => (product *= at(p + i, v === 0 ? a : b, step)));
          sum += product;
        });
        weight *= sum;
        p += own.length;
      }
      beliefs[0]![a]! += weight;
      beliefs[1]![b]! += weight;
      evidence += weight;
      prior += stated;
    }
  return {
    beliefs: beliefs.map((own) => own.map((one) => one / evidence)),
    logEvidence: Math.log(evidence / prior),
  };
}

const passed = (farms: readonly (readonly number[])[], until = 1e-13) => {
  const { pairs, smoothed } = pairsOf(farms);
  const messages = noMessages(pairs);
  return { messages, pairs, ...passMessages(pairs, messages, smoothed, offsets, before, until) };
};

describe("messages between farms and varieties", () => {
  it.each<[string, number[][]]>([
    ["one variety on each farm", [[0], [0], [1], [0]]],
    ["two varieties that meet once", [[0], [0, 1], [1]]],
    ["a farm alone", [[1, 0]]],
  ])("come to the direct sum: %s", (_, farms) => {
    const { beliefs, logEvidence } = passed(farms);
    const wanted = direct(farms);
    expect(logEvidence).toBeCloseTo(wanted.logEvidence, 10);
    wanted.beliefs.forEach((own, v) => own.forEach((one, i) => expect(beliefs[v]![i]).toBeCloseTo(one, 10)));
  });

  it("come near to it where varieties meet again", () => {
    const farms = [[0, 1], [0, 1], [0, 1], [1]];
    const { beliefs, logEvidence } = passed(farms);
    const wanted = direct(farms);
    expect(logEvidence).toBeCloseTo(wanted.logEvidence, 1);
    wanted.beliefs.forEach((own, v) => own.forEach((one, i) => expect(beliefs[v]![i]).toBeCloseTo(one, 1)));
  });

  it("begin with nothing said, and are the largest 1 with their logarithms", () => {
    const { pairs } = pairsOf([[0], [0, 1]]);
    const { values, logs } = noMessages(pairs);
    // Three rows of four needs for Alder on either farm, two for Birch.
    expect([...values]).toEqual(new Array<number>(32).fill(1));
    expect([...logs]).toEqual(new Array<number>(32).fill(0));
    const { messages } = passed([[0], [0, 1]]);
    for (const [from, to] of [
      [0, 12],
      [12, 24],
      [24, 32],
    ] as const)
      expect(Math.max(...messages.values.subarray(from, to))).toBe(1);
    messages.values.forEach((value, i) => expect(messages.logs[i]).toBeCloseTo(Math.log(value), 12));
  });

  it("settle where they were, from wherever they start", () => {
    const farms = [
      [0, 1],
      [0, 1],
    ];
    const { pairs, smoothed } = pairsOf(farms);
    const { messages, ...first } = passed(farms);
    const again = passMessages(pairs, messages, smoothed, offsets, before, 1e-9);
    expect(again.logEvidence).toBeCloseTo(first.logEvidence, 10);
    first.beliefs.forEach((own, v) =>
      own.forEach((one, i) => expect(again.beliefs[v]![i]).toBeCloseTo(one, 10)),
    );
  });

  it("are passed once where any change is little enough, and thirty times more at most", () => {
    const farms = [
      [0, 1],
      [0, 1],
    ];
    const { pairs, smoothed } = pairsOf(farms);
    const step = (messages: ReturnType<typeof noMessages>, until: number): Float64Array => {
      passMessages(pairs, messages, smoothed, offsets, before, until);
      return messages.values.slice();
    };
    const rounds = noMessages(pairs);
    const once = step(noMessages(pairs), Infinity);
    expect([...step(rounds, Infinity)]).toEqual([...once]);
    for (let round = 1; round < 31; round++) step(rounds, Infinity);
    expect([...step(noMessages(pairs), -1)]).toEqual([...rounds.values]);
  });

  it("keep a need that a farm rules out at the least that is a number", () => {
    const { pairs, smoothed } = pairsOf([[1]]);
    smoothed.values.fill(0, 0, width - 1);
    const messages = noMessages(pairs);
    passMessages(pairs, messages, smoothed, offsets, before, 1e-9);
    // Of the first row only its last place has a value, which only a shift of two steps reaches.
    expect([...messages.values.subarray(0, 3)]).toEqual([1e-300, 1e-300, 1e-300]);
    expect(messages.logs[0]).toBeCloseTo(Math.log(1e-300), 10);
  });
});
