import { describe, expect, it } from "vitest";
import { breathing, rehearse } from "../../../src/desk/rehearsal.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";

type Work = Parameters<typeof rehearse>[0];

const provisions = {
  built: {},
  pageScript: new Uint8Array(),
  rehearsal: { "strips-2024.csv": "", "strips-2025.csv": "", "lots.csv": "" },
};

const standing = (): number => 0;

/** Notes what it is asked, and of how many files. */
const noting = (noted: string[]): Work =>
  ({
    look: ({ files }: { files: unknown[] }) => void noted.push(`look ${files.length}`),
    answer: () => void noted.push("answer"),
    report: () => {
      noted.push("report");
      return { html: "", inOrder: [1, 0] };
    },
    parts: ({ wanted }: { wanted: number[] }) => void noted.push(`part ${wanted.join()}`),
  }) as unknown as Work;

describe("the rehearsal of the engine", () => {
  it("goes through the work with a few strips of one season, again and again", async () => {
    const noted: string[] = [];
    await rehearse(noting(noted), provisions, () => false, standing);
    const again = ["look 2", "answer", "report"];
    expect(noted).toEqual([...again, "part 1", "part 0", ...again, ...again, ...again]);
  });

  it("gives way to what is asked", async () => {
    const noted: string[] = [];
    await rehearse(noting(noted), provisions, () => noted.length === 1, standing);
    expect(noted).toEqual(["look 2"]);
  });

  it("ends early on a slow computer", async () => {
    const noted: string[] = [];
    await rehearse(
      noting(noted),
      provisions,
      () => false,
      () => 1_500 * noted.length,
    );
    expect(noted).toEqual(["look 2", "answer", "report"]);
  });

  it("gives up an analysis between two of its parts once something is asked", async () => {
    let isAsked = false;
    const steps = breathing(() => isAsked);
    await expect(steps.believeSoFar([], defaultSettings)).resolves.toEqual({ soFar: [], findings: [] });
    isAsked = true;
    await expect(steps.believeSoFar([], defaultSettings)).rejects.toThrow("Something else was asked for.");
  });

  it("leaves errands as they are where it fails", async () => {
    const failing = {
      look: () => {
        throw new Error("no demo farm");
      },
    } as unknown as Work;
    await expect(rehearse(failing, provisions, () => false, standing)).resolves.toBeUndefined();
  });
});
