/** The tests of pages ask for faults: on a page that has some, they are found. */
import { describe, expect, it } from "vitest";
import { seriousFaults } from "./faults.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

const faulty = `<!doctype html><html lang="en"><title>Faulty</title><body><main><h1>Faulty</h1>
<p id="pale" style="color: #ccc; background: #fff">Grey on white</p><section id="bare"><img src="data:,"></section>
</main></body></html>`;

describe.skipIf(noBrowser)("faults of a page", () => {
  const browser = reportBrowser();

  // WCAG 2.2: 1.1.1 wants words for a picture, 1.4.3 a contrast of 4.5; #ccc on #fff has 1.6.
  it("are found with their place, all of them, those of colours, and those of a part", async () => {
    const { page } = await browser.open(faulty, { bypassCSP: true });
    expect(await seriousFaults(page)).toEqual(["color-contrast: #pale", "image-alt: img"]);
    expect(await seriousFaults(page, "dark")).toEqual(["color-contrast: #pale"]);
    expect(await seriousFaults(page, "light", "#bare")).toEqual(["image-alt: img"]);
  });
});
