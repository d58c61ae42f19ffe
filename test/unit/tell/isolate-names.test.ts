import { expect, it } from "vitest";
import { isolateNames } from "../../../src/tell/html/isolate-names.ts";

it("isolates names written from right to left in sentences, each by itself", () => {
  expect(isolateNames("<p>Sow less ירוק דרומי: about 14% less; كرم, صفا 5 stay.</p>")).toBe(
    "<p>Sow less <bdi>ירוק דרומי</bdi>: about 14% less; <bdi>كرم</bdi>, <bdi>صفا 5</bdi> stay.</p>",
  );
});

it("leaves pictures, attributes, scripts and the browser's own title alone, and what is isolated already", () => {
  const page =
    '<title>כרם</title><td data-variety="כרם"><bdi>כרם</bdi></td><svg><text>כרם</text></svg><textarea>כרם</textarea>';
  expect(isolateNames(page)).toBe(page);
});

it("leaves a page without such names as it is, to the byte", () => {
  const page = "<p>Ostrindel 5 → 1.44</p>";
  expect(isolateNames(page)).toBe(page);
});
