/** Buttons for whoever runs the drill: the answer copied as text, and the cards printed alone. */
import { printAs } from "./print-as.ts";

/** Lets the buttons act, and shows them. */
export function startPaper(page: Document): void {
  const acts: Record<string, () => void> = {
    copy: () => void copyText(page),
    "print-cards": () => printAs(page, "cards"),
  };
  for (const button of page.querySelectorAll<HTMLButtonElement>("button[data-do]")) {
    const act = acts[button.dataset.do ?? ""];
    if (act === undefined) continue;
    button.hidden = false;
    button.addEventListener("click", act);
  }
}

/** Copies; where the browser does not let a page do that, the text is selected, and the page says which keys copy it. */
async function copyText(page: Document): Promise<void> {
  const box = page.querySelector<HTMLTextAreaElement>("#drill-text")!;
  const said = page.querySelector("#copied")!;
  said.textContent = "";
  const moved = page.querySelector<HTMLElement>("#moved-note")?.textContent ?? "";
  try {
    await page.defaultView!.navigator.clipboard.writeText([moved, box.value].filter(Boolean).join("\n"));
    said.textContent = "Copied.";
  } catch {
    box.focus();
    box.select();
    said.textContent = "The text is selected: copy it with Ctrl+C, on a Mac with ⌘C.";
  }
}
