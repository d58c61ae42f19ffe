import { describe, expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { alikeAlong } from "../../../src/tell/html/harvest-page.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";

describe("how far yields along the strips are alike", () => {
  const measures = measuresOf({ units: { system: "us", currency: "$" }, settings: defaultSettings });

  it("is no farther than the longest strip", () => {
    const strips = [{ lengthM: 300 }, { lengthM: 400 }];
    expect(alikeAlong(strips, 120, measures)).toBe(
      "Along the strips, yields stay similar over about 394 ft.",
    );
    expect(alikeAlong(strips, 1682, measures)).toBe(
      "Along the strips, yields stay similar over their whole length, about 1,312 ft.",
    );
  });
});
