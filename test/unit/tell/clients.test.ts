import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { pageNames } from "../../../src/farm/report-clients.ts";
import type { NextRate, Result } from "../../../src/vocabulary/result.ts";
import { tellClients } from "../../../src/tell/html.ts";
import { medianCv, standingOut, type Client } from "../../../src/tell/wording/clients.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { plainStyle } from "../../../src/numbers/written-numbers.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { placeNames } from "../../../src/tell/wording/places.ts";
import { makeResult } from "../../fixtures/result.ts";

const made = makeResult();
const measures = measuresOf(made, plainStyle);
const perAcre = fromPerAcre;

/** A result with one row, its best rate likely between 1.0 and 1.2 million, sown at `now`. */
function withRow(row: Partial<NextRate>, cvPct: number | null = 5): Result {
  const [first] = made.next;
  const fits = made.fits.map((fit) => ({
    ...fit,
    anova: fit.anova === null ? null : { ...fit.anova, cvPct },
  }));
  return {
    ...made,
    fits,
    next: [
      {
        ...first!,
        intervals: [{ level: 0.8, lower: perAcre(1e6), upper: perAcre(1.2e6) }],
        economicOptimum: {
          kind: "found",
          rateSeedsPerM2: perAcre(1.1e6),
          lower: null,
          upper: null,
          reason: "no-ends",
        },
        rateNowSeedsPerM2: perAcre(1.1e6),
        rateNextSeedsPerM2: perAcre(1.1e6),
        ...row,
      },
    ],
  };
}
const client = (name: string, result: Result): Client => ({ name, result, page: `${name}.html` });
const all = withRow({});
const said = (...clients: Client[]): string[] =>
  standingOut(clients, all, measures).map(({ client: name, sentence }) => `${name}: ${sentence}`);

describe("who stands out", () => {
  const gain = (expected: number): NextRate["gainPerHa"] => ({ expected, lower: expected, upper: expected });
  const dense = { rateNowSeedsPerM2: perAcre(1.5e6), rateNextSeedsPerM2: perAcre(1.35e6) };

  it("is nobody where every rate lies where the best one does", () => {
    expect(said(client("Aspen", all))).toEqual([]);
  });

  it("is who sows outside the likely rates, those with most to gain first", () => {
    const found = said(
      client("Aspen", withRow({ ...dense, gainPerHa: gain(5) })),
      client("Birch", withRow({ ...dense, gainPerHa: gain(50) })),
    );
    expect(found.map((text) => text.split(":")[0])).toEqual(["Birch", "Aspen"]);
    expect(found[0]).toMatch(/sows 1\.50 million seeds\/ac, above where the best rate likely lies/);
  });

  it("is nobody whose rate today is not known, nor who has no evidence", () => {
    expect(said(client("Aspen", withRow({ ...dense, rateNowSeedsPerM2: null, rateNowFrom: null })))).toEqual(
      [],
    );
    expect(said(client("Aspen", withRow({ ...dense, evidence: "none" })))).toEqual([]);
  });

  it("is whose best rate is not that of all together", () => {
    const intervals = [{ level: 0.8, lower: perAcre(1.3e6), upper: perAcre(1.5e6) }];
    expect(said(client("Aspen", withRow({ intervals }))).join()).toContain(
      "lies above that of all clients together, 1.10.",
    );
  });

  it("is whose strips scatter by more than 12 %", () => {
    expect(said(client("Aspen", withRow({}, 11.9)))).toEqual([]);
    expect(said(client("Aspen", withRow({}, 14.6)))[0]).toMatch(
      /coefficient of variation of 15 %, above the 12 %/,
    );
    expect(medianCv(withRow({}, null))).toBeNull();
  });
});

describe("the page names of clients", () => {
  it("hold letters and digits alone, stay within a folder, and differ", () => {
    const names = pageNames([
      "Müller & Sons",
      "../../etc/passwd",
      "X",
      "x",
      "index",
      "春",
      "",
      "y".repeat(300),
    ]);
    expect(names).toEqual([
      "client-muller-sons.html",
      "client-etc-passwd.html",
      "client-x.html",
      "client-x-2.html",
      "client-index.html",
      "client.html",
      "client-2.html",
      `client-${"y".repeat(73)}.html`,
    ]);
    // A number given to one must not be another's own name.
    const tricky = pageNames(["x", "x", "x 2"]);
    expect(new Set(tricky).size).toBe(3);
  });
});

describe("the summary of many clients", () => {
  const parts = {
    ...{ starter: "", script: "", style: "body{}", run: { date: "2026-12-01", files: ["clients"] } },
    sha256: (text: string) => createHash("sha256").update(text).digest("base64"),
    deflate: (text: string) => text,
  };

  it("rolls up by variety and by client, links to each page, and lets no script run", async () => {
    const demo = demoResult();
    const page = await tellClients([client("aspen", demo), client("birch", demo)], demo, parts);
    for (const id of ["next", "by-variety", "by-client", "checks", "fits", "data", "method"])
      expect(page).toContain(`id="${id}"`);
    expect(page).toContain('<a href="aspen.html">aspen</a>');
    expect(page).not.toContain("<script");
    expect(page).toContain("default-src &#39;none&#39;; style-src");
    for (const name of placeNames(demo).values()) expect(page).toContain(name);
    // A client may stay; all clients together have no one rate to stay at.
    const byVariety = page.slice(page.indexOf('id="by-variety"'), page.indexOf('id="by-client"'));
    expect(byVariety).not.toContain("staying");
    expect(page.slice(page.indexOf('id="by-client"'))).toContain("staying");
  });

  it("shows hostile client names as text", async () => {
    const name = `</title><script>x</script>"'`;
    const page = await tellClients([client("aspen", all), { ...client("b", all), name }], all, parts);
    expect(page).not.toContain("<script");
  });

  it("folds the many who stand out behind the first twelve", async () => {
    const many = Array.from({ length: 20 }, (_, index) => client(`c${index}`, withRow({}, 20)));
    expect(await tellClients(many, all, parts)).toContain("<summary>8 more</summary>");
  });
});
