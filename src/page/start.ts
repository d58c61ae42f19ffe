/** The page's first script: unpacks the other one, a third of its size while packed, and lets it run. */
import { canInflate, inflated } from "./inflate.ts";

if (canInflate(window))
  void inflated(document, "page-script").then((text) => {
    const script = document.createElement("script");
    script.textContent = text;
    document.body.append(script);
  });
