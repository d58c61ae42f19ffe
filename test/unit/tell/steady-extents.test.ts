import { parse, View, type LoggerInterface } from "vega";
import { compile, type TopLevelSpec } from "vega-lite";
import { beforeAll, describe, expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { keepEqualExtents } from "../../../src/page/steady-extents.ts";
import type { Row } from "../../../src/tell/charts/chart.ts";
import { response } from "../../../src/tell/charts/response.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const measures = measuresOf(result);
const [variety = ""] = result.varieties;
const { data } = response.draw(result, variety, measures);
const spec = parse(compile(response.spec(measures) as unknown as TopLevelSpec, { logger: silent() }).spec);
const [firstFlag] = data["flags"]!;
/** The flags of the chart with the first at another rate [million/ac]. */
const flagsWith = (rate: number): Row[] => [{ ...firstFlag, x: rate }, ...data["flags"]!.slice(1)];
const inside = (firstFlag!["x"] as number) + 0.01;
const outside = 3;

interface Drawn {
  view: View;
  /** Steps of Vega in each run so far. */
  steps: number[];
}

async function drawn(): Promise<Drawn> {
  const steps: number[] = [];
  const view = new View(spec, { renderer: "none", logger: counting(steps) } as object);
  for (const [name, rows] of Object.entries(data))
    view.data(
      name,
      rows.map((row) => ({ ...row })),
    );
  await view.runAsync();
  return { view, steps };
}

/** The elements of the picture; marks that do not overlap may come in another order. */
async function moved({ view }: Drawn, rate: number): Promise<string> {
  await view.data("flags", flagsWith(rate)).runAsync();
  // Clips are numbered through all pictures.
  const svg = (await view.toSVG()).replace(/clip\d+/g, "clip");
  return svg.split("<").sort().join("<");
}

describe("a chart of which only flags move", () => {
  const befores: Drawn[] = [];
  beforeAll(async () => {
    for (let i = 0; i < 3; i++) befores.push(await drawn());
    keepEqualExtents();
  });

  it.each([
    ["on an axis that stays", inside, 0],
    ["beyond the axis so far", outside, 1],
  ])("shows the same picture as drawn by Vega's own operator, %s", async (_where, rate, which) => {
    const before = befores[which]!;
    const steady = await drawn();
    for (const to of [rate, inside])
      expect((await moved(steady, to)) === (await moved(before, to)), `moved to ${to}`).toBe(true);
  });

  it("is placed again in six tenths of the steps at most where its axis stays", async () => {
    const plain = befores[2]!;
    const steady = await drawn();
    await moved(plain, inside + 0.02);
    await moved(steady, inside + 0.02);
    expect(steady.steps.at(-1)! / plain.steps.at(-1)!).toBeLessThan(0.6);
  });
});

/** Hears how many steps a run took: "Pulse 2: 31 operators". */
function counting(steps: number[]): LoggerInterface {
  const logger = silent();
  logger.debug = (text) => {
    const count = /^Pulse \d+: (\d+) operators$/.exec(String(text))?.[1];
    if (count !== undefined) steps.push(Number(count));
    return logger;
  };
  return logger;
}

/** Says nothing; an error fails the test. */
function silent(): LoggerInterface {
  const logger: LoggerInterface = {
    level: (() => logger) as LoggerInterface["level"],
    warn: () => logger,
    info: () => logger,
    debug: () => logger,
    error: (...texts) => {
      throw new Error(texts.join(" "));
    },
  };
  return logger;
}
