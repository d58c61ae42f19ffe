/**
 * An evenly spaced sample of blocks, if a few fields have very many: the pooled answer depends on seasons, not on
 * blocks.
 */
import type { LaidVariety } from "./trial-layout.ts";

/** The pooled model takes longer with every block: above this many cells it takes an evenly spaced sample. */
const mostCells = 60_000;

/**
 * The same fits with no more than some tens of thousands of cells, with whole blocks left out evenly in every
 * environment.
 */
export function withFewerBlocks(fits: readonly LaidVariety[]): readonly LaidVariety[] {
  const cells = fits.reduce((sum, fit) => sum + fit.cells.length, 0);
  if (cells <= mostCells) return fits;
  const kept = keptBlocks(fits, mostCells / cells);
  return fits.map((fit) => {
    const blocks = kept.get(fit.environment)!;
    const own = fit.cells.filter(({ block }) => blocks.has(block));
    const strips = (some: LaidVariety["cells"]): number => some.reduce((sum, cell) => sum + cell.strips, 0);
    return { ...fit, cells: own, withinCellSs: fit.withinCellSs * (strips(own) / strips(fit.cells)) };
  });
}

/** The blocks of each environment that stay: a share of them, and at least one. */
function keptBlocks(fits: readonly LaidVariety[], share: number): Map<string, Set<string>> {
  const all = new Map<string, Set<string>>();
  for (const { environment, cells } of fits) {
    const blocks = all.get(environment) ?? new Set();
    all.set(environment, blocks);
    for (const { block } of cells) blocks.add(block);
  }
  return new Map(
    [...all].map(([environment, blocks]) => {
      const sorted = [...blocks].sort();
      const kept = sorted.filter((_, i) => Math.floor((i + 1) * share) > Math.floor(i * share));
      return [environment, new Set(kept.length > 0 ? kept : sorted.slice(0, 1))];
    }),
  );
}
