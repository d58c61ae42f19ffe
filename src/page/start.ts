/** The page's first script: unpacks the other one, a third of its size while packed, and lets it run. */
import { scriptPieces } from "../tell/html/script-pieces.ts";
import { canInflate, inflated } from "./inflate.ts";

if (canInflate(window)) void inflated(document, "page-script").then((text) => run(scriptPieces(text)));

/** One piece after the other, each in a task of its own. */
function run([piece, ...others]: string[]): void {
  const script = document.createElement("script");
  script.textContent = piece!;
  document.body.append(script);
  if (others.length > 0) setTimeout(() => run(others), 0);
}
