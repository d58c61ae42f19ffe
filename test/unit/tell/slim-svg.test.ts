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
      inside('<text transform="translate(1.2,0)" fill="red">1.2345</text>'),
    );
  });

  it("writes a round symbol as a circle", () => {
    const drawn =
      '<path transform="translate(5,4)" d="M3.09,0A3.09,3.09,0,1,1,-3.09,0A3.09,3.09,0,1,1,3.09,0" fill="red"/>';
    expect(slimSvg(inside(drawn))).toBe(inside('<circle fill="red" cx="5" cy="4" r="3.1"/>'));
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
