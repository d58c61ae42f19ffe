import { describe, expect, it } from "vitest";
import { slimSvg } from "../../../src/tell/slim-svg.ts";

const inside = (content: string): string => `<svg viewBox="0 0 9 9">${content}</svg>`;

describe("slim SVG", () => {
  it("says once on the group what its members share, but not opacity, which groups do not hand down", () => {
    expect(
      slimSvg(
        inside(
          '<g><path d="M0,0" stroke="red" opacity="0.5"/><path d="M1,1" stroke="red" opacity="0.5"/></g>',
        ),
      ),
    ).toBe(inside('<g stroke="red"><path d="M0,0" opacity="0.5"/><path d="M1,1" opacity="0.5"/></g>'));
  });

  it("leaves a group alone whose members differ", () => {
    const drawn = inside(
      '<g transform="translate(2,2)"><path d="M0,0" stroke="red"/><path d="M1,1" fill="red"/></g>',
    );
    expect(slimSvg(drawn)).toBe(drawn);
  });

  it("rounds coordinates and not the words of a label", () => {
    expect(slimSvg(inside('<text transform="translate(1.2345,0)" fill="red">1.2345</text>'))).toBe(
      inside('<text fill="red" x="1.2">1.2345</text>'),
    );
  });

  it("rounds halves as the language does", () => {
    // ECMA-262, Number.prototype.toFixed: 1.45 and 1.35 lie just beside their halves as doubles, 0.25 and 0.75 on them.
    const halves = [0.25, 0.75, 1.45, 1.35, 8.45, 131.05, 1.005];
    for (const value of halves.flatMap((half) => [half, -half]))
      expect(slimSvg(inside(`<path d="M0,0" x="${value.toFixed(3)}" fill="red"/>`))).toBe(
        inside(`<path d="M0,0" x="${Number(value.toFixed(1))}" fill="red"/>`),
      );
  });

  it("writes a round symbol as a circle", () => {
    const drawn =
      '<path transform="translate(5,4)" d="M3.09,0A3.09,3.09,0,1,1,-3.09,0A3.09,3.09,0,1,1,3.09,0" fill="red"/>';
    expect(slimSvg(inside(drawn))).toBe(inside('<circle fill="red" cx="5" cy="4" r="3.1"/>'));
  });

  it("draws the lines of a grid as one path, but not see-through ones, which are darker where they cross", () => {
    const lines = (more: string): string =>
      `<g><line transform="translate(0,16)" x2="330" y2="0" stroke="red"${more}/><line transform="translate(0,48)" x2="330" y2="0" stroke="red"${more}/></g>`;
    expect(slimSvg(inside(lines("")))).toBe(inside('<g stroke="red"><path d="M0,16h330M0,48h330"/></g>'));
    expect(slimSvg(inside(lines(' opacity="0.5"')))).toBe(
      inside('<g stroke="red"><path opacity="0.5" d="M0,16h330"/><path opacity="0.5" d="M0,48h330"/></g>'),
    );
  });

  it("draws many like symbols as the markers of one path, each as see-through as before", () => {
    const symbol = (x: number): string =>
      `<path transform="translate(${x},4)" d="M3,0A3,3,0,1,1,-3,0A3,3,0,1,1,3,0" stroke="red" opacity="0.5"/>`;
    expect(slimSvg(inside(`<g>${[1, 2, 3, 4].map(symbol).join("")}</g>`), "7")).toBe(
      inside(
        '<g stroke="red"><marker id="m7-0" markerUnits="userSpaceOnUse" overflow="visible"><circle opacity="0.5" r="3"/></marker>' +
          '<path d="M1,4 2,4 3,4 4,4" fill="none" stroke="none" marker-start="url(#m7-0)" marker-mid="url(#m7-0)" marker-end="url(#m7-0)"/></g>',
      ),
    );
  });

  it("writes a curve by its steps, which end where the curve ends however often they are rounded", () => {
    const corners = Array.from({ length: 300 }, (_, index) => [index / 3, Math.sin(index) * 9]);
    const slim = slimSvg(inside(`<path fill="red" d="M${corners.map(String).join("L")}Z"/>`));
    const numbers = / d="M0,0l(.*)Z"/
      .exec(slim)![1]!
      .match(/-?\d*\.?\d+/g)!
      .map(Number);
    expect(numbers).toHaveLength(2 * 299);
    for (const [axis, at] of [0, 1].map((index) => [index, corners.at(-1)![index]!] as const)) {
      const end = numbers.filter((_, index) => index % 2 === axis).reduce((sum, step) => sum + step, 0);
      expect(Math.abs(end - at)).toBeLessThanOrEqual(0.05 + 1e-9);
    }
  });

  it("drops shapes that nobody sees and groups that say nothing", () => {
    expect(
      slimSvg(
        inside(
          '<g class="a"><g><path class="background" d="M0,0h9v9h-9Z"/><g><text>a</text><text>b</text></g></g></g>',
        ),
      ),
    ).toBe(inside("<text>a</text><text>b</text>"));
  });
});
