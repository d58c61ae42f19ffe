import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { analyzeFarm, analyzeFarmBeside } from "../../../src/farm/analyze-farm.ts";
import { endOf, secondThreadAt, serve, type SecondThread } from "../../../src/farm/second-thread.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { demoFiles } from "../../fixtures/demo.ts";

const files = [...demoFiles.slice(0, 2), "lots.csv", "season.yaml"].map((name) => ({
  name,
  bytes: new Uint8Array(readFileSync(new URL(`../../../data-demo/${name}`, import.meta.url))),
}));

/** Both ends of a line, in one thread; what the second is asked is counted. */
async function twoThreads(): Promise<SecondThread & { asked: () => number; close(): void }> {
  const { port1, port2 } = new MessageChannel();
  let asked = 0;
  const second = secondThreadAt(endOf(port1));
  expect(second.isReady()).toBe(false);
  serve(endOf(port2), (work) => {
    asked++;
    work();
  });
  await expect.poll(() => second.isReady()).toBe(true);
  return { ...second, asked: () => asked, close: () => port1.close() };
}

describe("a second thread", () => {
  it("makes the same of a farm, byte for byte", async () => {
    const farm = await readFarm(files);
    const { steps, asked, close } = await twoThreads();
    const beside = await analyzeFarmBeside(steps, farm);
    close();
    expect(asked()).toBe(2);
    expect(JSON.stringify(beside)).toBe(JSON.stringify(analyzeFarm(farm)));
  });

  it("leaves what it fails at to the first, whose failure is told", async () => {
    const { steps, close } = await twoThreads();
    await expect(steps.believeSoFar(null as never, null as never)).rejects.toThrow(TypeError);
    close();
  });

  it("is done without once it is given up", async () => {
    const farm = await readFarm(files);
    const { steps, asked, giveUp, close } = await twoThreads();
    giveUp();
    const alone = await analyzeFarmBeside(steps, farm);
    close();
    expect(asked()).toBe(0);
    expect(alone.next).toEqual(analyzeFarm(farm).next);
  });
});
