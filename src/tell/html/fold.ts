/** A part of the page that is folded on the screen and whole on paper. */
import { markup, type Markup } from "./markup.ts";

export const fold = (summary: string | Markup, body: Markup, open = false): Markup =>
  markup`<details class="fold"${open ? markup` open` : null}><summary>${summary}</summary>
    ${body}</details>`;

/** A section whose heading opens it. */
export const foldedSection = (id: string, heading: string, body: Markup, open = false): Markup =>
  markup`<section id="${id}">${fold(markup`<h2>${heading}</h2>`, body, open)}</section>`;
