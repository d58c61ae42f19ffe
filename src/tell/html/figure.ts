/** A chart in the page: picture, words for those who do not see it, and its numbers. */
import type { Chart, Drawing, NumberTable } from "../charts/chart.ts";
import { markup, raw, type Markup } from "./markup.ts";

/** The page's script draws it again on every screen: a price moves it, or its marks are strips that can be asked for by name. */
export const isLive = ({ live, ofStrips }: Chart): boolean => live.length > 0 || ofStrips === true;

/**
 * Figure of a chart. It carries its name for the page's script, which draws it again where a price moves it, where it is yet
 * to be drawn, and on a phone.
 *
 * @param svg the drawn picture; null where the page draws it when its part is opened, and its numbers stand open until then
 */
export const figure = (
  chart: Chart,
  subject: string,
  drawing: Drawing,
  svg: string | null,
  id: string,
): Markup =>
  markup` <figure
    class="chart chart-${chart.name}"
    id="${id}"
    data-chart="${chart.name}"
    data-subject="${subject}"
  >
    <figcaption>${drawing.heading}${drawing.key === "" ? null : markup`<span class="key">${drawing.key}</span>`}</figcaption>
    ${svg === null ? markup`<div class="picture undrawn"></div>` : picture(svg, drawing)}
    <details class="numbers"${svg === null ? markup` open` : null}>
      <summary>Numbers of this chart</summary>
      ${numberTable(drawing.table)}
    </details>
  </figure>`;

/** What a screen reader says of the picture as a whole; its lines and dots are hidden from it. */
export const pictureName = ({ heading, description }: Pick<Drawing, "heading" | "description">): string =>
  `${heading}. ${description}`;

/** A drawn chart as one picture with a name. */
export const picture = (svg: string, drawing: Pick<Drawing, "heading" | "description">): Markup =>
  markup`<div class="picture" role="img" aria-label="${pictureName(drawing)}">${raw(sizeless(svg))}</div>`;

/** The drawn picture without its size, which comes from the style. */
export const sizeless = (svg: string): string =>
  svg.replace(
    /^<svg[^>]*?viewBox="([^"]*)"[^>]*>/,
    (_, viewBox: string) => markup`<svg aria-hidden="true" viewBox="${viewBox}">`.text,
  );

/** With more columns than this, a table stands row by row on a phone. */
const mostColumnsBeside = 3;

/** The class of a table, and what says its column beside each cell, where the table is too wide for a phone. */
export const stacking = (
  columns: number,
): { className: Markup | null; label: (head: string) => Markup | null } =>
  columns > mostColumnsBeside
    ? { className: markup` class="stacks"`, label: (head) => markup` data-label="${head}"` }
    : { className: null, label: () => null };

/** What is wider than a phone scrolls by itself. */
export const scrolling = (name: string, content: Markup): Markup =>
  markup`<div class="scroll" tabindex="0" role="region" aria-label="${name}">${content}</div>`;

type Cell = Markup | string | number;

/** A minus sign stays with the currency behind it: a line that began with "$1" would be read as a gain. */
const unbroken = (cell: Cell): Cell =>
  typeof cell === "string" ? cell.replace(/−(?=\D)/g, "−\u2060") : cell;

/** How a table of rows looks: its class, and whether its cells are sentences, which stand below their headings on a phone. */
interface RowsLook {
  caption?: string;
  className?: string;
  sentences?: boolean;
}

/** Rows under a head, the first cell of each naming it; with many columns they stand row by row on a phone. */
export function tableOfRows(
  name: string,
  head: readonly string[],
  rows: readonly (readonly Cell[])[],
  { caption, className = "", sentences = false }: RowsLook = {},
): Markup {
  const stacks = sentences || head.length > mostColumnsBeside;
  const classes = [className, stacks ? "stacks" : "", sentences ? "sentences" : ""].filter(
    (one) => one !== "",
  );
  const labels = stacks ? head.map((cell) => markup` data-label="${cell}"`) : [];
  return scrolling(
    name,
    markup`<table${classes.length === 0 ? null : markup` class="${classes.join(" ")}"`}>
      ${caption === undefined ? null : markup`<caption>${caption}</caption>`}
      <thead>
        <tr>
          ${head.map((cell) => markup`<th scope="col">${cell}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${rows.map(
          ([first, ...rest]) =>
            markup`<tr>
              <th scope="row">${first}</th>
              ${rest.map((cell, index) => markup`<td${labels[index + 1]}>${unbroken(cell)}</td>`)}
            </tr>`,
        )}
      </tbody>
    </table>`,
  );
}

/** With more rows a table is no longer read, and a page of many takes minutes to open. */
const mostRows = 1_000;

/** @param most rows that are shown; how many more there are is said below */
export const numberTable = ({ caption, head, rows }: NumberTable, most = mostRows): Markup => {
  const more = rows.length - most;
  return markup` ${tableOfRows(caption, head, more > 0 ? rows.slice(0, most) : rows, { caption })}
  ${more > 0 ? markup`<p class="quiet">${more} more ${more === 1 ? "row is" : "rows are"} not shown here; stripcurve fit --csv writes all of them.</p>` : null}`;
};
