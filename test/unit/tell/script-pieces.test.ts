import { describe, expect, it } from "vitest";
import { betweenPieces, scriptPieces } from "../../../src/tell/html/script-pieces.ts";

describe("a page's script in pieces", () => {
  it("is parted where one piece ends, and nowhere else", () => {
    const pieces = ["var a=1;\n", `var mark=\`${betweenPieces}\`;\n`, "go(a);\n"];
    expect(scriptPieces(pieces.join(betweenPieces))).toEqual(pieces);
  });

  it("is one piece where nothing parts it", () => {
    expect(scriptPieces("go();\n")).toEqual(["go();\n"]);
  });
});
