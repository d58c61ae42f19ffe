/** Step 1: files are dropped or chosen, or rows pasted or typed. */
import type { FarmFile } from "../farm/farm-files.ts";
import type { DeskFile, DeskKind } from "./book.ts";
import type { Desk, Step } from "./desk.ts";
import { droppedFiles } from "./dropped.ts";
import { button, element, labelled } from "./element.ts";

const kinds: Record<DeskKind, string> = {
  strips: "strips",
  lots: "seed lots",
  season: "season file",
  answers: "answers about columns",
  result: "an earlier result",
  region: "a region file",
  harvested: "points of the combine",
  seeded: "points of the drill",
  sheet: "field sheet for points",
  weighed: "weights for points",
};

/** More than any farm has; guards against a whole disk dropped by mistake. */
const mostFiles = 400;
const mostBytes = 200_000_000;

let list: HTMLElement;

export const intake: Step = {
  name: "in",
  title: "Strips",
  build(desk) {
    list = element("div", { class: "files" });
    const drop = placeForFiles(desk);
    listenToDrops(desk, drop);
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Your strips"),
      element(
        "p",
        {},
        "One row for each strip: variety, season, seeding rate, yield. Add seed lots and a season file if you have them; each file is recognized by its contents.",
      ),
      drop,
      placeForCells(desk),
      list,
    );
  },
  update(desk) {
    list.replaceChildren(...filesShown(desk));
  },
};

const placeForFiles = (desk: Desk): HTMLElement =>
  element(
    "div",
    { class: "drop" },
    element(
      "p",
      {},
      "Drop your files here: CSV, workbooks (.xlsx), a farm file (.zip); points of combine and drill as CSV, GeoJSON or a zipped shapefile in degrees.",
    ),
    element(
      "p",
      { class: "row" },
      chooser(desk, {}, "Choose files"),
      chooser(desk, { webkitdirectory: true }, "Choose a folder"),
      button("Try the demo farm", () => void demo(desk), "strong"),
    ),
  );

/** A button that opens the browser's own choice of files. */
function chooser(desk: Desk, attributes: Record<string, boolean>, label: string): HTMLElement {
  const input = element("input", {
    type: "file",
    multiple: true,
    class: "unseen",
    "aria-label": label,
    tabindex: -1,
    ...attributes,
    onchange: () => {
      void takeIn(desk, [...(input.files ?? [])]);
      input.value = "";
    },
  });
  return element(
    "span",
    {},
    input,
    button(label, () => input.click()),
  );
}

/** Where cells are pasted as a table, or an empty table is begun. */
function placeForCells(desk: Desk): HTMLElement {
  const pasted = element("textarea", {
    rows: 4,
    spellcheck: "false",
    placeholder: "variety\trate\tyield …",
    autocapitalize: "off",
  });
  return element(
    "details",
    {},
    element("summary", {}, "Paste cells, or type"),
    labelled("Cells copied from a spreadsheet, header first", pasted, "They become a new table."),
    element(
      "p",
      { class: "row" },
      button("Take these cells", () => {
        const text = pasted.value;
        if (text.trim() === "") return desk.say("Nothing is pasted yet.", true);
        pasted.value = "";
        void takeIn(desk, [new File([text], freeName(desk, "pasted", "csv"))]);
      }),
      button("Start an empty table", () => {
        void takeIn(desk, [new File([emptyTable], freeName(desk, "typed", "csv"))]).then(() =>
          desk.go("mend"),
        );
      }),
    ),
  );
}

const emptyTable = `variety,season,field,block,rate (seeds/ac),yield (bu/ac),lodging,note\n${",,,,,,,\n".repeat(24)}`;

const freeName = ({ book }: Desk, base: string, ending: string): string => {
  for (let count = 1; ; count++) {
    const name = count === 1 ? `${base}.${ending}` : `${base}-${count}.${ending}`;
    if (!book.files.some((file) => file.name === name)) return name;
  }
};

async function demo(desk: Desk): Promise<void> {
  const encoder = new TextEncoder();
  await open(
    desk,
    Object.entries(desk.packed.demo).map(([name, text]) => ({ name, bytes: encoder.encode(text) })),
  );
  desk.go("answer");
}

/** Takes in files that the person chose or dropped. */
export async function takeIn(desk: Desk, files: readonly File[]): Promise<void> {
  const wanted = files.filter(({ name }) => !name.startsWith(".") && name !== "Thumbs.db");
  const size = wanted.reduce((sum, file) => sum + file.size, 0);
  if (wanted.length > mostFiles || size > mostBytes)
    return desk.say(
      `These are ${wanted.length} files with ${Math.round(size / 1e6)} MB in all; up to ${mostFiles} files and 200 MB can be opened here. Choose fewer, or use the command.`,
      true,
    );
  try {
    await open(
      desk,
      await Promise.all(
        wanted.map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
      ),
    );
  } catch (error) {
    desk.say(`The files cannot be read: ${error instanceof Error ? error.message : ""}`, true);
  }
}

async function open(desk: Desk, files: FarmFile[]): Promise<void> {
  const looked = await desk.work((step) => desk.engine.run("look", { files }, step));
  if (looked === null) return;
  desk.book.add(looked.files);
  const unsure = looked.files.filter(({ as, problem }) => as === null || problem !== null);
  desk.say(
    unsure.length > 0
      ? `Look at ${unsure.map(({ name }) => name).join(", ")}: say what ${unsure.length === 1 ? "it is, or leave it" : "each one is, or leave them"} out.`
      : `${looked.files.length === 1 ? "One file is" : `${looked.files.length} files are`} on the desk.`,
    unsure.length > 0,
  );
  if (unsure.length === 0 && looked.files.some(({ as }) => as === "harvested")) desk.go("points");
}

function filesShown(desk: Desk): HTMLElement[] {
  const { files } = desk.book;
  if (files.length === 0) return [];
  return [
    element("h3", {}, "On the desk"),
    element("ul", {}, ...files.map((file) => fileShown(desk, file))),
    element(
      "p",
      { class: "row" },
      button("Look at the rows", () => desk.go("mend")),
      button("To the answer", () => desk.go("answer"), "strong"),
    ),
  ];
}

function fileShown(desk: Desk, file: DeskFile): HTMLElement {
  const { name, as, problem, sheets } = file;
  const select = element(
    "select",
    {
      "aria-label": `What ${name} is`,
      onchange: () => desk.book.take(file, select.value === "" ? null : (select.value as DeskKind)),
    },
    ...(as === null ? [element("option", { value: "" }, "not known: say what it is")] : []),
    ...Object.entries(kinds).map(([kind, text]) =>
      element("option", { value: kind, selected: kind === as }, text),
    ),
  );
  select.value = as ?? "";
  const rows = sheets.reduce((sum, sheet) => sum + rowsIn(sheet), 0);
  return element(
    "li",
    {},
    element("bdi", { class: "name" }, name),
    element(
      "span",
      { class: "row" },
      "read as ",
      select,
      rows > 0 && element("span", { class: "hint" }, `${rows} rows`),
    ),
    problem !== null && element("p", { class: "problem" }, problem),
    sheets.length > 1 &&
      element("ul", { class: "sheets" }, ...sheets.map((sheet) => sheetShown(desk, file, sheet))),
    button(`Leave out ${name}`, () => desk.book.remove(file)),
  );
}

/** Rows that hold anything, without the header. */
const rowsIn = ({ rows }: DeskFile["sheets"][number]): number =>
  Math.max(0, rows.filter((cells) => cells.some((cell) => cell.trim() !== "")).length - 1);

function sheetShown(desk: Desk, file: DeskFile, sheet: DeskFile["sheets"][number]): HTMLElement {
  const select = element(
    "select",
    {
      "aria-label": `What sheet ${sheet.tab ?? ""} of ${file.name} is`,
      onchange: () => desk.book.hold(sheet, select.value === "" ? null : (select.value as "strips" | "lots")),
    },
    element("option", { value: "" }, "not used"),
    element("option", { value: "strips" }, "strips"),
    element("option", { value: "lots" }, "seed lots"),
  );
  select.value = sheet.holds ?? "";
  return element("li", {}, element("bdi", {}, `Sheet ${sheet.tab ?? ""}`), " ", select);
}

async function takeDropped(desk: Desk, dropped: DataTransfer): Promise<void> {
  try {
    await takeIn(desk, await droppedFiles(dropped, mostFiles));
  } catch {
    desk.say(
      "This browser does not let the page open the dropped folder. Press “Choose a folder”, or drop the files themselves.",
      true,
    );
  }
}

function listenToDrops(desk: Desk, place: HTMLElement): void {
  const over = (isOver: boolean) => (event: Event) => {
    event.preventDefault();
    place.classList.toggle("over", isOver);
  };
  document.addEventListener("dragover", over(true));
  document.addEventListener("dragleave", over(false));
  document.addEventListener("drop", (event) => {
    over(false)(event);
    if (event.dataTransfer !== null) void takeDropped(desk, event.dataTransfer);
  });
  document.addEventListener("paste", (event) => {
    const target = event.target as HTMLElement;
    if (target.matches("input, textarea, select")) return;
    const files = [...(event.clipboardData?.files ?? [])];
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (files.length > 0) void takeIn(desk, files);
    else if (/[\t,;]/.test(text)) void takeIn(desk, [new File([text], freeName(desk, "pasted", "csv"))]);
  });
}
