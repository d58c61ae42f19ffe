/** For the lesson: the response curve with the two rates that its step speaks of, and no others. */
import type { Chart } from "./chart.ts";
import { response } from "./response.ts";

export const twoRatesMarked: Chart = {
  ...response,
  name: "lesson-response",
  live: [],
  draw: (result, variety, measures) => {
    const drawing = response.draw(result, variety, measures);
    const flags = (drawing.data.flags ?? []).filter(({ kind }) => kind === "money" || kind === "grain");
    return { ...drawing, data: { ...drawing.data, flags } };
  },
};
