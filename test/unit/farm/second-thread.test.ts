import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { analyzeFarm, analyzeFarmBeside, stepsApart } from "../../../src/farm/analyze-farm.ts";
import {
  endOf,
  secondThreadAt,
  serve,
  type SecondThread,
  type Works,
} from "../../../src/farm/second-thread.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { makeRegion, makeRegionBeside, needsOnFarms } from "../../../src/farm/region.ts";
import { regionFamilies } from "../../calibration/region/simulate-region.ts";
import { evidenceOfRegion } from "../../fixtures/region-evidence.ts";
import { demoFiles } from "../../fixtures/demo.ts";

const files = [...demoFiles.slice(0, 2), "lots.csv", "season.yaml"].map((name) => ({
  name,
  bytes: new Uint8Array(readFileSync(new URL(`../../../data-demo/${name}`, import.meta.url))),
}));

/** Both ends of a line, in one thread; what the second is asked is counted. */
async function twoThreads<W extends Works>(
  works: W,
): Promise<SecondThread<W> & { asked: () => number; close(): void }> {
  const { port1, port2 } = new MessageChannel();
  let asked = 0;
  const second = secondThreadAt(endOf(port1), works);
  expect(second.isReady()).toBe(false);
  serve(endOf(port2), works, (work) => {
    asked++;
    work();
  });
  await expect.poll(() => second.isReady()).toBe(true);
  return { ...second, asked: () => asked, close: () => port1.close() };
}

describe("a second thread", () => {
  it("makes the same of a farm, byte for byte", async () => {
    const farm = await readFarm(files);
    const { works, asked, close } = await twoThreads(stepsApart);
    const beside = await analyzeFarmBeside(works, farm);
    close();
    expect(asked()).toBe(2);
    expect(JSON.stringify(beside)).toBe(JSON.stringify(analyzeFarm(farm)));
  });

  it("goes once it has answered, where nothing more will be asked", async () => {
    const { port1, port2 } = new MessageChannel();
    const done: string[] = [];
    const second = secondThreadAt(endOf(port1), { double: (of: number) => 2 * of });
    const works = { double: (of: number) => (done.push(`double ${of}`), 2 * of) };
    serve({ ...endOf(port2), leave: () => done.push("leave") }, works, (work) => work());
    const [one, two] = [second.works.double(1), second.works.double(2)];
    second.enough();
    expect(await Promise.all([one, two])).toEqual([2, 4]);
    await expect.poll(() => done).toEqual(["double 1", "double 2", "leave"]);
    port1.close();
  });

  it("leaves what it fails at to the first, whose failure is told", async () => {
    const { works, close } = await twoThreads(stepsApart);
    await expect(works.believeSoFar(null as never, null as never)).rejects.toThrow(TypeError);
    close();
  });

  it("is done without once it is given up", async () => {
    const farm = await readFarm(files);
    const { works, asked, giveUp, close } = await twoThreads(stepsApart);
    giveUp();
    const alone = await analyzeFarmBeside(works, farm);
    close();
    expect(asked()).toBe(0);
    expect(alone.next).toEqual(analyzeFarm(farm).next);
  });

  it("makes the same of a region, byte for byte", async () => {
    const evidence = evidenceOfRegion({ ...regionFamilies[0]!, farms: 7 }).map((farm, f) => ({
      name: `farm ${f}`,
      crop: "wheat" as const,
      farm,
    }));
    const { works, asked, close } = await twoThreads({ needsOnFarms });
    const beside = await makeRegionBeside(works, evidence);
    close();
    expect(asked()).toBe(1);
    expect(JSON.stringify(beside)).toBe(JSON.stringify(makeRegion(evidence)));
  });
});
