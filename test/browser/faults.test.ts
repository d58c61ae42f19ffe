/** The tests of pages ask for faults: on a page that has some, they are found. */
import { describe, expect, it } from "vitest";
import { seriousFaults, thinOut } from "./faults.ts";
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

  it("are found where rows that are like others were taken out, and ids that are given twice before", async () => {
    const row = (words: string): string =>
      `<tr><td>Strip</td><td><a href="#main" style="display: block; padding: 9px">${words}</a></td></tr>`;
    const rows = (odd: string): string =>
      Array.from({ length: 20 }, (_, n) => (n === 10 ? odd : row(`see ${n}`))).join("");
    const page = (odd: string): string =>
      `<!doctype html><html lang="en"><title>Rows</title><body><main><h1 id="main">Rows</h1><table>${rows(odd)}</table></main></body></html>`;
    const faultsOf = async (odd: string): Promise<string[]> => {
      const { page: opened } = await browser.open(page(odd), { bypassCSP: true });
      await thinOut(opened);
      expect(await opened.locator("tr").count()).toBeLessThan(7);
      return seriousFaults(opened);
    };
    expect(await faultsOf(row("see 10"))).toEqual([]);
    // WCAG 2.2, 4.1.2: a link has a name.
    expect(await faultsOf(row(""))).toEqual(["link-name: tr:nth-child(4) > td:nth-child(2) > a"]);
    const { page: twice } = await browser.open(page('<tr><td id="x">1</td><td id="x">2</td></tr>'));
    await expect(thinOut(twice)).rejects.toThrow("ids that are given twice");
  });
});
