import { describe, expect, it } from "vitest";
import { reportFarm, reportInParts, type Reader } from "../../../src/farm/report-farm.ts";
import { PartsLater, seenFirst } from "../../../src/tell/html/parts-later.ts";
import { demoResult } from "../../fixtures/demo.ts";

const maker = { builtFile: (name: string) => `/* ${name} */`, date: "2027-01-01" };

describe("a report that is read before it is drawn", () => {
  it.each<Reader>(["farm", "grower", "educator"])(
    "for a reader (%s) becomes the same as one drawn at once",
    async (reader) => {
      const whole = await reportFarm(demoResult(), maker, { reader });
      const report = await reportInParts(demoResult(), maker, { reader });
      // In whatever order its parts are asked for.
      for (const index of report.inOrder) await report.part(index);
      expect(await report.whole()).toBe(whole[0]!.content);
    },
  );

  it("holds all words and tables, and neither pictures nor the data of its script", async () => {
    const { page, part, inOrder } = await reportInParts(demoResult(), maker);
    expect(page).toContain("Method and sources");
    expect(page).not.toContain("<svg");
    expect(page).not.toContain("page-data");
    const parts = await Promise.all(inOrder.map((index) => part(index)));
    expect(parts.filter((one) => one.startsWith("<svg"))).toHaveLength(inOrder.length - 1);
    expect(parts.filter((one) => one.includes("page-data"))).toHaveLength(1);
  });
});

describe("the parts of a page", () => {
  it("are made in the order in which a reader comes upon them", () => {
    const page =
      "<!--part 2--><details><p><!--part 0--></p><details open><!--part 1--></details></details>" +
      "<details open><!--part 4--></details><!--part 3-->";
    expect(seenFirst(page)).toEqual([2, 4, 3, 0, 1]);
  });

  it("are made once each, one after another", async () => {
    const later = new PartsLater();
    const made: string[] = [];
    const make = (name: string) => async (): Promise<string> => {
      made.push(`${name} begins`);
      await Promise.resolve();
      made.push(`${name} ends`);
      return name;
    };
    const page = `${later.put(make("a"))} and ${later.put(make("b"))}`;
    await Promise.all([later.part(1), later.part(0), later.part(1)]);
    expect(await later.fill(page)).toBe("a and b");
    expect(made).toEqual(["b begins", "b ends", "a begins", "a ends"]);
  });
});
