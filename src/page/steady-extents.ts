/**
 * Axes that stay where they are cost nothing.
 *
 * Whenever one of its data sources changes, Vega takes the ends of an axis as changed too: it sets up the scale again and
 * places every mark of the chart, even where the ends are the same. Here they count as changed only where they differ.
 */
import * as vega from "vega";

/** Lowest and highest value; undefined where there is none. */
type Extent = [number | undefined, number | undefined];

/** The parts of Vega's operators used here; its published types leave them out. */
interface OperatorOfExtents {
  value: Extent | null;
}
interface ExtentsOf {
  extents: readonly Extent[];
}
type MakeOperator = new (
  initial: Extent | null,
  update: (this: OperatorOfExtents, params: ExtentsOf) => Extent,
  params: unknown,
) => OperatorOfExtents;

const { Operator, transforms } = vega as unknown as {
  Operator: MakeOperator;
  transforms: Record<string, unknown>;
};

/** Takes the place of Vega's own operator, for all views made from now on. */
export const keepEqualExtents = (): void => {
  transforms["multiextent"] = SteadyExtents;
};

/** The ends of several extents together; the same array as before where they are the same. */
class SteadyExtents extends Operator {
  constructor(params: unknown) {
    super(null, endsTogether, params);
  }
}

function endsTogether(this: OperatorOfExtents, { extents }: ExtentsOf): Extent {
  let [lowest, highest] = [Infinity, -Infinity];
  for (const [low, high] of extents) {
    if (low! < lowest) lowest = low!;
    if (high! > highest) highest = high!;
  }
  const before = this.value;
  return before !== null && before[0] === lowest && before[1] === highest ? before : [lowest, highest];
}
