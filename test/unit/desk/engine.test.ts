import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Engine, Stopped } from "../../../src/desk/engine.ts";
import type { Packed } from "../../../src/desk/packed.ts";
import type { DeskInput, Order, Provisions, Word } from "../../../src/desk/errands.ts";

/** Stands for the browser's worker: keeps what it is told, and says what a test has it say. */
class SilentWorker {
  static all: SilentWorker[] = [];
  readonly told: (Order | Provisions)[] = [];
  ended = false;
  #hears: (event: { data: Word }) => void = () => undefined;

  constructor() {
    SilentWorker.all.push(this);
  }
  addEventListener(kind: string, hears: (event: { data: Word }) => void): void {
    if (kind === "message") this.#hears = hears;
  }
  postMessage(message: Order | Provisions): void {
    this.told.push(message);
  }
  terminate(): void {
    this.ended = true;
  }
  say(word: Word): void {
    this.#hears({ data: word });
  }
  get orders(): string[] {
    return this.told.flatMap((one) => ("name" in one ? [one.name] : []));
  }
}

const packed = { scripts: { page: [], worker: [], desk: [] }, built: {}, demo: {} } satisfies Packed;
const input: DeskInput = { number: 1, files: [], typed: [], answers: {} as DeskInput["answers"] };

beforeEach(() => {
  SilentWorker.all = [];
  vi.stubGlobal("Worker", SilentWorker);
  vi.stubGlobal("navigator", { hardwareConcurrency: 1 });
});
afterEach(() => void vi.unstubAllGlobals());

describe("an engine whose work is overtaken", () => {
  it("gives up the older answer, and begins again with files that wait to be opened", async () => {
    const engine = new Engine(packed);
    const answer = engine.run("answer", { input });
    const look = engine.run("look", { files: [] });
    engine.overtake();
    await expect(answer).rejects.toBeInstanceOf(Stopped);
    const [older, newer] = SilentWorker.all;
    expect([older!.ended, newer!.ended]).toEqual([true, false]);
    expect(newer!.orders).toEqual(["look"]);
    const order = newer!.told.find((one): one is Order => "name" in one)!;
    newer!.say({ id: order.id, gives: { files: [] } });
    await expect(look).resolves.toEqual({ files: [] });
  });

  it("goes on with files where nothing rests on the desk as it was", () => {
    const engine = new Engine(packed);
    void engine.run("look", { files: [] });
    engine.overtake();
    expect(SilentWorker.all.map(({ ended }) => ended)).toEqual([false]);
  });

  it("gives up everything when the person stops it", async () => {
    const engine = new Engine(packed);
    const look = engine.run("look", { files: [] });
    engine.stop();
    await expect(look).rejects.toBeInstanceOf(Stopped);
    expect(SilentWorker.all).toHaveLength(1);
  });
});

describe("an engine that is made ready", () => {
  it("has one worker, which knows what it needs before its first errand", () => {
    const engine = new Engine(packed);
    engine.getReady();
    engine.getReady();
    expect(SilentWorker.all.map(({ orders }) => orders)).toEqual([[]]);
    void engine.run("look", { files: [] });
    const [worker] = SilentWorker.all;
    expect(SilentWorker.all).toHaveLength(1);
    expect("built" in worker!.told[0]!).toBe(true);
    expect(worker!.orders).toEqual(["look"]);
  });
});

describe("a computer that does two things at once", () => {
  it("has a second worker, at the end of a line from the first, which ends with it", async () => {
    vi.stubGlobal("navigator", { hardwareConcurrency: 2 });
    const engine = new Engine(packed);
    const look = engine.run("look", { files: [] });
    expect(SilentWorker.all).toHaveLength(2);
    const provisions = SilentWorker.all.map(({ told }) => told[0] as Provisions);
    expect(provisions.map(({ helps }) => helps)).toEqual([undefined, true]);
    expect(provisions.every(({ port }) => port instanceof MessagePort)).toBe(true);
    expect(SilentWorker.all.map(({ orders }) => orders)).toEqual([["look"], []]);
    engine.stop();
    await expect(look).rejects.toBeInstanceOf(Stopped);
    expect(SilentWorker.all.map(({ ended }) => ended)).toEqual([true, true]);
  });
});
