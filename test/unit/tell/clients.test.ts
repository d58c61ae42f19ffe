import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { defaultsIn, unknownLot } from "../../../src/vocabulary/settings.ts";
import { pageNames } from "../../../src/farm/report-clients.ts";
import type { NextRate, Result } from "../../../src/vocabulary/result.ts";
import { tellClients } from "../../../src/tell/html.ts";
import { clientsText } from "../../../src/tell/terminal/clients-text.ts";
import { plainTextStyle } from "../../../src/tell/terminal/text-table.ts";
import { clientRows, gainOfAll } from "../../../src/tell/wording/client-rows.ts";
import { assumedOfClients, ofClient, standingOut, type Client } from "../../../src/tell/wording/clients.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { plainStyle } from "../../../src/numbers/written-numbers.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { placeNames } from "../../../src/tell/wording/places.ts";
import { makeResult } from "../../fixtures/result.ts";

const made = makeResult();
const measures = measuresOf(made, plainStyle);
const perAcre = fromPerAcre;

/** A result with one row, the 80% range of its best rate from 1.0 to 1.2 million and the 95% range from 0.95 to 1.25. */
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
        intervals: [
          { level: 0.8, lower: perAcre(1e6), upper: perAcre(1.2e6) },
          { level: 0.95, lower: perAcre(0.95e6), upper: perAcre(1.25e6) },
        ],
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
const client = (name: string, result: Result): Client => ({
  name,
  result: ofClient(result),
  page: `${name}.html`,
});
const all = withRow({});
const parts = {
  starter: "",
  script: "",
  style: "body{}",
  run: { date: "2026-12-01", files: ["clients"] },
  sha256: (text: string) => createHash("sha256").update(text).digest("base64"),
  deflate: (text: string) => text,
};

/** Advice with its best rate at so many million seeds/ac. */
const bestAt = (variety: string, million: number): NextRate => ({
  ...all.next[0]!,
  variety,
  economicOptimum: {
    kind: "found",
    lower: null,
    upper: null,
    reason: "no-ends",
    rateSeedsPerM2: perAcre(million * 1e6),
  },
});
const said = (...clients: Client[]): string[] =>
  standingOut(clients, all, measures).map(({ client: name, sentence }) => `${name}: ${sentence}`);

describe("a client of another crop, or who counts in another money", () => {
  const corn: Result = {
    ...withRow({ rateNowSeedsPerM2: perAcre(34_000), rateNextSeedsPerM2: perAcre(31_000) }),
    settings: { ...defaultsIn("us", "corn"), assumed: ["grain_price"] },
  };
  const abroad: Result = {
    ...withRow({ rateNextSeedsPerM2: perAcre(1e6), gainPerHa: { expected: 20, lower: 10, upper: 30 } }),
    units: { system: "metric", currency: "€" },
  };
  const withArea = (result: Result, areaHa: number): Result => ({
    ...result,
    settings: {
      ...result.settings,
      lots: result.next.map(({ variety }) => ({ ...unknownLot(variety), areaHa })),
    },
  });
  const clients = [client("aspen", all), client("birch", corn), client("cedar", abroad)];

  it("is told in the unit of that crop, and in that money", () => {
    const text = clientsText(clients, all, plainTextStyle);
    const rowOf = (name: string): string => text.split("\n").find((line) => line.includes(name))!;
    expect(rowOf("aspen")).not.toContain("wheat");
    expect(rowOf("birch")).toMatch(/corn, viable seeds\/ac +34,000 +31,000/);
    expect(rowOf("cedar")).toMatch(/1\.10 +1\.00 .*€8\/ac/);
  });

  it("is told what is assumed as on its own page", () => {
    const told = assumedOfClients(clients, measures).find(({ who }) => who === "birch")!;
    expect(told.sentence).toContain("grain at $4.50/bu");
  });

  it("adds nothing to the gains in another money", () => {
    const dollars: Result = { ...withArea(abroad, 100), units: all.units };
    const rows = (...results: Result[]) =>
      clientRows(
        results.map((result, index) => client(`client ${index}`, result)),
        measures,
      );
    expect(gainOfAll(rows(dollars, withArea(abroad, 50), dollars)).money).toBe("$4,000 and €1,000");
    expect(gainOfAll(rows(corn)).money).toBeNull();
  });

  it("is no grower of a variety of the same name in another crop", async () => {
    const page = await tellClients(clients.slice(0, 2), all, [], parts);
    const tables = page
      .slice(page.indexOf('id="over-farms"'), page.indexOf('id="by-variety"'))
      .replace(/ data-label="[^"]*"|<\/?span>/g, "");
    expect(tables).toContain(`<bdi>${all.next[0]!.variety}</bdi></th><td>1</td>`);
  });
});

describe("who stands out", () => {
  it("is told open ends of a range in words, and stands on no side beyond them", () => {
    const open = (rateNow: number, rateNext: number, more: Partial<NextRate> = {}): string[] =>
      said(
        client(
          "A",
          withRow({
            intervals: [
              { level: 0.8, lower: perAcre(0.8e6), upper: perAcre(0.8e6), openBelow: true },
              { level: 0.95, lower: perAcre(0.8e6), upper: perAcre(0.9e6), openBelow: true },
            ],
            rateNowSeedsPerM2: perAcre(rateNow),
            rateNextSeedsPerM2: perAcre(rateNext),
            gainPerHa: { expected: 10, lower: 5, upper: 15 },
            ...more,
          }),
        ),
      );
    expect(open(1.5e6, 1.35e6)).toEqual([
      "A: sows 1.50 million seeds/ac, above the 80% range of the best rate (0.80 million seeds/ac or less); the next step should earn $4/ac.",
      "A: the best rate on this farm (95% range 0.90 million seeds/ac or less) is below that of all clients together, 1.10.",
    ]);
    // The range "0.80 or less" holds 0.70, which is below its lowest rate told.
    expect(open(0.7e6, 0.75e6)).toHaveLength(1);
    expect(open(1.5e6, 1.35e6, { gainPerHa: null }).join("\n")).toMatch(
      /; what the next step earns is not known\./,
    );
  });

  const gain = (expected: number): NextRate["gainPerHa"] => ({ expected, lower: expected, upper: expected });
  const dense = { rateNowSeedsPerM2: perAcre(1.5e6), rateNextSeedsPerM2: perAcre(1.35e6) };

  it("is nobody where every rate lies where the best one does", () => {
    expect(said(client("Aspen", all))).toEqual([]);
  });

  it("is who sows outside the range of the best rate, those with most to gain first", () => {
    const found = said(
      client("Aspen", withRow({ ...dense, gainPerHa: gain(5) })),
      client("Birch", withRow({ ...dense, gainPerHa: gain(50) })),
    );
    expect(found.map((text) => text.split(":")[0])).toEqual(["Birch", "Aspen"]);
    expect(found[0]).toMatch(/sows 1\.50 million seeds\/ac, above the 80% range of the best rate/);
  });

  it("is nobody whose rate today is not known, nor who has no evidence", () => {
    expect(said(client("Aspen", withRow({ ...dense, rateNowSeedsPerM2: null, rateNowFrom: null })))).toEqual(
      [],
    );
    expect(said(client("Aspen", withRow({ ...dense, evidence: "none" })))).toEqual([]);
  });

  it("is whose best rate is not that of all together", () => {
    const ranges = (from: number): NextRate["intervals"] => [
      { level: 0.8, lower: perAcre((from + 0.05) * 1e6), upper: perAcre(1.4e6) },
      { level: 0.95, lower: perAcre(from * 1e6), upper: perAcre(1.5e6) },
    ];
    expect(said(client("Aspen", withRow({ intervals: ranges(1.15) }))).join()).toMatch(
      /the best rate on this farm \(95% range 1\.15 .*1\.50.*\) is above that of all clients together, 1\.10\./,
    );
    // Of the narrower range one farm in five would leave out its best rate by chance.
    expect(said(client("Aspen", withRow({ intervals: ranges(1.08) }))).join()).not.toContain("all clients");
  });

  it("is whose strips vary by more than 12%", () => {
    expect(said(client("Aspen", withRow({}, 11.9)))).toEqual([]);
    expect(said(client("Aspen", withRow({}, 14.6)))[0]).toMatch(
      /coefficient of variation of 15%, above the 12%/,
    );
    expect(ofClient(withRow({}, null)).medianCvPct).toBeNull();
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
  it("rolls up by variety and by client, links to each page, and lets no script run but its own", async () => {
    const demo = demoResult();
    const page = await tellClients([client("aspen", demo), client("birch", demo)], demo, [], parts);
    for (const id of ["next", "by-variety", "by-client", "checks", "fits", "data", "method"])
      expect(page).toContain(`id="${id}"`);
    expect(page).toContain('<a href="aspen.html">aspen</a>');
    expect(page.match(/<script/g)).toHaveLength(1);
    expect(page).toMatch(/default-src &#39;none&#39;; script-src &#39;sha256-[^&]+&#39;; style-src/);
    for (const name of placeNames(demo).values()) expect(page).toContain(name);
    // A client may stay; all clients together have no one rate to stay at.
    const byVariety = page.slice(page.indexOf('id="by-variety"'), page.indexOf('id="checks"'));
    expect(byVariety).not.toContain("staying");
    expect(page.slice(page.indexOf('id="by-client"'), page.indexOf('id="next"'))).toContain("staying");
  });

  it("shows hostile client names as text", async () => {
    const name = `</title><script>x</script>"'`;
    const page = await tellClients([client("aspen", all), { ...client("b", all), name }], all, [], parts);
    expect(page.match(/<script/g)).toHaveLength(1);
  });

  it("gives each client and variety a row to sort by, money per area and in all, assumed prices marked", async () => {
    const gainPerHa = { expected: 15, lower: 10, upper: 20 };
    const [{ variety }] = all.next as [NextRate];
    const lot = { ...unknownLot(variety), areaHa: 100, pricePerKg: 0.5 };
    const of = (areaHa: number | null, assumed: Result["settings"]["assumed"]): Result => {
      const moved = withRow({ rateNextSeedsPerM2: perAcre(1.2e6), chanceOfGain: 0.9, gainPerHa });
      return { ...moved, settings: { ...moved.settings, assumed, lots: [{ ...lot, areaHa }] } };
    };
    const page = await tellClients(
      [client("given", of(100, [])), client("assumed", of(null, ["grain_price"]))],
      all,
      [],
      parts,
    );
    // 15 $/ha × 0.40468564 ha/ac = $6/ac, × 100 ha = $1,500.
    const row = (name: string): string =>
      new RegExp(`<tr>\\s*<th scope="row"><a href="${name}.html">.*?</tr>`, "s").exec(page)![0];
    expect(row("given")).toContain(
      '<td data-label="Gain per area" data-sort="15"><span>$6/ac</span></td><td data-label="Gain in all" data-sort="1500"><span>$1,500</span></td>',
    );
    expect(row("assumed")).toContain(
      '<td data-label="Gain per area" data-sort="15"><span>$6/ac *</span></td><td data-label="Gain in all" data-sort=""><span>area not given</span></td>',
    );
    expect(page).toContain(
      "All changes together are expected to earn $1,500 a season. That leaves out one rate, whose gain or area is not known.",
    );
    expect(page).toContain("* a price was not given and is assumed.");
  });

  it("counts only advice that is given, and names no money where none is known", async () => {
    const [first] = all.next;
    const unknown: Result = {
      ...all,
      next: [{ ...first!, rateNowSeedsPerM2: null, gainPerHa: null, chanceOfGain: null }],
    };
    const page = (
      await tellClients([client("Aspen", unknown), client("Birch", unknown)], all, [], parts)
    ).replaceAll("&#39;", "'");
    expect(page).toContain(
      "Of two rates, one for each variety of each client, for two today's rate is not known.",
    );
    expect(page).toContain(
      "What the changes earn is not known: for two of the rates, today's rate or the area is not given.",
    );
    expect(page).not.toMatch(/no rates|earn \$0/);
  });

  it("tells varieties over all farms: the rate of all together, the farms' own, and which varieties differ", async () => {
    const rate = (variety: string, million: number): NextRate => ({
      ...bestAt(variety, million),
      // Of a normal distribution 80% lie within 1.2816 standard deviations and 95% within 1.96: an sd of 0.03 of the log.
      intervals: [
        [0.8, 1.2816],
        [0.95, 1.96],
      ].map(([level, sds]) => ({
        level: level!,
        lower: perAcre(million * 1e6 * Math.exp(-sds! * 0.03)),
        upper: perAcre(million * 1e6 * Math.exp(sds! * 0.03)),
      })),
    });
    const next = [rate("Ostrin", 1.1), rate("Wester", 1.4), rate("Sundal", 1.41)];
    const differ = [
      { more: "Wester", less: "Ostrin", chance: 0.99 },
      { more: "Sundal", less: "Wester", chance: 0.567 },
    ];
    const together = { ...all, next, varieties: next.map(({ variety }) => variety) };
    const farm = (million: number): Result => ({ ...all, next: [rate("Ostrin", million)] });
    const page = await tellClients(
      [client("aspen", farm(1.05)), client("birch", farm(1.3))],
      together,
      differ,
      parts,
    );
    const section = page
      .slice(page.indexOf('id="over-farms"'), page.indexOf('id="by-variety"'))
      .replace(/ data-label="[^"]*"|<\/?span>/g, "");
    expect(section).toContain(
      '<th scope="row"><bdi>Ostrin</bdi></th><td>2</td><td>1.10</td><td>1.06 to 1.14</td><td>1.05 to 1.30</td><td>birch</td>',
    );
    expect(section).toContain("Wester needs more seed than Ostrin (nearly certain)");
    expect(section).not.toContain("Sundal needs more seed than Wester");
  });

  it("tells a variety that one client alone grows from that client's strips, wherever all are told", async () => {
    const highest: NextRate = {
      ...bestAt("Ostrin", 1.8),
      economicOptimum: {
        kind: "at-edge",
        edge: "highest",
        rateSeedsPerM2: perAcre(1.8e6),
        reason: "still-rising",
      },
    };
    // Together, Sundal would be put at 0.80 on fields where nobody grew it; its 95% range on its own farm is 0.95 to 1.25.
    const together = {
      ...all,
      next: [bestAt("Ostrin", 1.1), bestAt("Sundal", 0.8)],
      varieties: ["Ostrin", "Sundal"],
    };
    const clients = [
      client("aspen", { ...all, next: [bestAt("Ostrin", 1.05), bestAt("Sundal", 1.2)] }),
      client("birch", { ...all, next: [highest] }),
    ];
    expect(
      standingOut(clients, together, measures)
        .map(({ sentence }) => sentence)
        .join(),
    ).not.toContain("0.80");
    const page = await tellClients(clients, together, [], parts);
    const tables = page
      .slice(page.indexOf('id="over-farms"'), page.indexOf('id="checks"'))
      .replace(/ data-label="[^"]*"|<\/?span>/g, "")
      .replaceAll("&#39;", "'");
    expect(tables).toContain("<td>1.05 to 1.80 or more</td>");
    expect(tables).toContain(
      "<bdi>Sundal</bdi></th><td>1</td><td>1.20</td><td>1.00 to 1.20</td><td>1.20</td><td>–</td>",
    );
    expect(tables).not.toContain("0.80");
    expect(
      tables.match(/Sundal grows with one client alone, and is told from that client's own strips\./g),
    ).toHaveLength(2);
    expect(clientsText(clients, together, plainTextStyle)).toContain(
      "Sundal grows with one client alone: below",
    );
    expect(
      clientsText(clients, { ...together, next: [bestAt("Ostrin", 1.1)] }, plainTextStyle),
    ).not.toContain("alone");
  });

  it("folds the many who stand out behind the first twelve", async () => {
    const many = Array.from({ length: 20 }, (_, index) => client(`c${index}`, withRow({}, 20)));
    expect(await tellClients(many, all, [], parts)).toContain("<summary>8 more</summary>");
  });
});
