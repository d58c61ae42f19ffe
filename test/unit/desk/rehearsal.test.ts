import { describe, expect, it } from "vitest";
import { rehearse } from "../../../src/desk/rehearsal.ts";

type Work = Parameters<typeof rehearse>[0];

const provisions = {
  built: {},
  pageScript: new Uint8Array(),
  rehearsal: { "strips-2024.csv": "", "strips-2025.csv": "", "lots.csv": "" },
};

/** Notes what it is asked, and of how many files. */
const noting = (noted: string[]): Work =>
  ({
    look: ({ files }: { files: unknown[] }) => void noted.push(`look ${files.length}`),
    answer: () => void noted.push("answer"),
    report: () => void noted.push("report"),
  }) as unknown as Work;

describe("the rehearsal of the engine", () => {
  it("goes through the work once, with one season", async () => {
    const noted: string[] = [];
    await rehearse(noting(noted), provisions, () => false);
    expect(noted).toEqual(["look 2", "answer", "report"]);
  });

  it("gives way to what is asked", async () => {
    const noted: string[] = [];
    await rehearse(noting(noted), provisions, () => noted.length === 1);
    expect(noted).toEqual(["look 2"]);
  });

  it("leaves errands as they are where it fails", async () => {
    const failing = {
      look: () => {
        throw new Error("no demo farm");
      },
    } as unknown as Work;
    await expect(rehearse(failing, provisions, () => false)).resolves.toBeUndefined();
  });
});
