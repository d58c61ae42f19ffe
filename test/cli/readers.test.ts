import { describe, expect, it } from "vitest";
import { demo, oneVariety, scratchFolder, type Outcome, runHere } from "./run.ts";

const few = oneVariety(scratchFolder(), "Quavenby");

const report = (...more: string[]): Promise<Outcome> =>
  runHere([
    "report",
    few,
    "--lots",
    demo("lots.csv"),
    "--season",
    demo("season.yaml"),
    "-o",
    "-",
    "--quiet",
    ...more,
  ]);

describe("report --reader", () => {
  it("grower gives the two pages, educator the lesson, and nobody everything", async () => {
    const [grower, lesson, everything] = [
      await report("--reader", "grower"),
      await report("--reader", "educator"),
      await report(),
    ];
    for (const { code, err } of [grower, lesson, everything])
      expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(grower.out).toContain('data-part="grower-variety"');
    expect(grower.out).not.toContain('id="method"');
    expect(lesson.out).toContain('id="step-1"');
    expect(lesson.out).not.toContain("page-data");
    expect(everything.out).toContain('id="method"');
  });

  it("names the readers there are", async () => {
    const { code, err } = await report("--reader", "banker");
    expect(code).toBe(2);
    expect(err).toMatch(/grower.*educator/);
  });

  it("lets a class choose its variety, and names those there are where it has none", async () => {
    const args = ["report", demo("strips-2026.csv"), "--quiet", "-o", "-"];
    const { code, err } = await runHere([...args, "--reader", "educator", "--variety", "Alder"]);
    expect({ code, err }).toEqual({
      code: 2,
      err: `There are no strips of "Alder". The lesson can be about Brimsolt, Ostrindel, Quavenby and Telluwick.\n`,
    });
    expect((await runHere([...args, "--variety", "Quavenby"])).err).toContain("--reader educator");
  });

  it("does not put what changed into a lesson", async () => {
    expect(await report("--reader", "educator", "--since", "last.json")).toMatchObject({
      code: 2,
      err: "A lesson does not show what changed: leave out --since.\n",
    });
  });
});
