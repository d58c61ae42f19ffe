import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { handsAt, serve } from "../../../src/desk/second-worker.ts";
import { analyzeFarm, analyzeFarmBeside, type Hands } from "../../../src/farm/analyze-farm.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { demoFiles } from "../../fixtures/demo.ts";

const files = [...demoFiles.slice(0, 2), "lots.csv", "season.yaml"].map((name) => ({
  name,
  bytes: new Uint8Array(readFileSync(new URL(`../../../data-demo/${name}`, import.meta.url))),
}));

/** Both ends of a line, in one thread; what the second is asked is counted. */
async function twoWorkers(): Promise<{ hands: Hands; asked: () => number; close(): void }> {
  const { port1, port2 } = new MessageChannel();
  let asked = 0;
  const handsNow = handsAt(port1);
  expect(handsNow()).toBeNull();
  serve(port2, (work) => {
    asked++;
    work();
  });
  await expect.poll(handsNow).not.toBeNull();
  return { hands: handsNow()!, asked: () => asked, close: () => port1.close() };
}

describe("a second worker", () => {
  it("makes the same of a farm, byte for byte", async () => {
    const farm = await readFarm(files);
    const { hands, asked, close } = await twoWorkers();
    const beside = await analyzeFarmBeside(hands, farm);
    close();
    expect(asked()).toBe(2);
    expect(JSON.stringify(beside)).toBe(JSON.stringify(analyzeFarm(farm)));
  });

  it("leaves what it fails at to the first, whose failure is told", async () => {
    const { hands, close } = await twoWorkers();
    await expect(hands.believeSoFar(null as never, null as never)).rejects.toThrow(TypeError);
    close();
  });
});
