import { BaseSequencer, type TestSpecification } from "vitest/node";

/** Files that take long, the longest first; found with `npm run vitest -- --reporter=json`. All others take less. */
const long = [
  "test/browser/readers.test.ts",
  "test/browser/desk-looks.test.ts",
  "test/browser/desk-by-keys.test.ts",
  "test/browser/desk-same-bytes.test.ts",
  "test/browser/page.test.ts",
  "test/browser/phone.test.ts",
  "test/browser/print.test.ts",
  "test/browser/firefox.test.ts",
  "test/browser/live-equals-fresh.test.ts",
  "test/browser/desk-points.test.ts",
  "test/browser/desk-answers.test.ts",
  "test/browser/what-if.test.ts",
  "test/browser/desk-region.test.ts",
  "test/browser/desk-in.test.ts",
  "test/browser/desk-safe.test.ts",
  "test/browser/desk-keeps.test.ts",
  "test/browser/large-report.test.ts",
  "test/cli/clients.test.ts",
  "test/cli/output.test.ts",
  "test/cli/package.test.ts",
  "test/cli/plan.test.ts",
  "test/cli/two-threads.test.ts",
  "test/cli/charts.test.ts",
  "test/cli/seed.test.ts",
  "test/cli/since.test.ts",
  "test/unit/recipes.test.ts",
  "test/calibration/calibration.test.ts",
  "test/unit/read/odd-files/odd-files.test.ts",
  "test/property/reading.test.ts",
  "test/unit/points/strips-from-points.test.ts",
  "test/calibration/workers.test.ts",
  "test/unit/points/logged-otherwise.test.ts",
  "test/unit/examples.test.ts",
  "test/unit/farm/region.test.ts",
  "test/unit/points/odd-points.test.ts",
  "test/property/next-rate.test.ts",
  "test/property/one-order.test.ts",
  "test/unit/tell/chart-files.test.ts",
  "test/property/any-file.test.ts",
  "test/unit/model/beliefs/refine-grid.test.ts",
  "test/property/season-fits.test.ts",
  "test/property/as-farms-keep-them.test.ts",
  "test/unit/plan/plan-strips.test.ts",
  "test/property/hard-numbers.test.ts",
];

/**
 * Long files are begun first, so that none is begun last and keeps one core busy while the others wait.
 *
 * Files of one project stay together: a worker is ended when the project changes, and with it what its files share.
 */
export class LongestFirst extends BaseSequencer {
  override sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const index = long.findIndex((path) => moduleId.endsWith(path));
      return index < 0 ? long.length : index;
    };
    const order = (a: string, b: string): number => (a === b ? 0 : a < b ? -1 : 1);
    return Promise.resolve(
      [...files].sort(
        (a, b) =>
          order(a.project.name, b.project.name) || place(a) - place(b) || order(a.moduleId, b.moduleId),
      ),
    );
  }
}
