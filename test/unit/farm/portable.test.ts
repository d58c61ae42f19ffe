import { createHash } from "node:crypto";
import { inflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { portable } from "../../../src/farm/portable.ts";

const texts = ["", "abc", "seeding rate: 300 seeds/m², Müller 🌾", "x".repeat(100_000)];

describe("hashing and deflating without a platform", () => {
  it("gives the digest of FIPS 180-4, appendix B.1, for abc", () => {
    const digest = Buffer.from(portable.sha256("abc"), "base64").toString("hex");
    expect(digest).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  });

  it.each(texts)("agrees with Node's own: %.20s", (text) => {
    expect(portable.sha256(text)).toBe(createHash("sha256").update(text).digest("base64"));
    expect(inflateSync(Buffer.from(portable.deflate(text), "base64")).toString()).toBe(text);
  });
});
