/** The desk's file. That it answers from the disk is held by desk-looks (Chromium) and firefox (Firefox). */
import { gzipSync } from "node:zlib";
import { expect, it } from "vitest";
import { desk } from "./open-desk.ts";

it("the desk's file is at most 1.6 MB, 650 kB packed", () => {
  expect(desk.length).toBeLessThanOrEqual(1_600_000);
  expect(gzipSync(desk).length).toBeLessThanOrEqual(650_000);
});
