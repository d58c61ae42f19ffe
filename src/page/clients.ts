/** Browser entry of the clients' page: a table is sorted by a press on the name of a column, and again the other way round. */

/** What a cell is sorted by: its number where it has one, else its text; what is not known comes last either way. */
const keyOf = (row: HTMLTableRowElement, column: number): number | string | null => {
  const cell = row.cells[column];
  const told = cell?.dataset["sort"];
  if (told === undefined) return cell?.textContent.trim() ?? null;
  return told === "" ? null : Number(told);
};

function compare(a: number | string | null, b: number | string | null, sign: number): number {
  if (a === null || b === null) return a === b ? 0 : a === null ? 1 : -1;
  if (typeof a === "number" && typeof b === "number") return sign * (a - b);
  return sign * String(a).localeCompare(String(b));
}

function sortBy(table: HTMLTableElement, { cellIndex }: HTMLTableCellElement, descends: boolean): void {
  for (const body of table.tBodies) {
    const rows = [...body.rows].map((row) => ({ row, key: keyOf(row, cellIndex) }));
    rows.sort((a, b) => compare(a.key, b.key, descends ? -1 : 1));
    body.append(...rows.map(({ row }) => row));
  }
}

for (const table of document.querySelectorAll<HTMLTableElement>("table.sortable")) {
  const heads = table.querySelectorAll<HTMLTableCellElement>("thead th");
  for (const head of heads) {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    button.addEventListener("click", () => {
      const descends = head.getAttribute("aria-sort") === "ascending";
      for (const one of heads) one.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", descends ? "descending" : "ascending");
      sortBy(table, head, descends);
    });
    head.append(button);
  }
}
