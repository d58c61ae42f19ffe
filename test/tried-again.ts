/** Says at the end of a run which tests passed only when they were tried again, and why not at first. */
import type { Reporter, TestCase } from "vitest/node";

export class TriedAgain implements Reporter {
  readonly #told: string[] = [];

  onTestCaseResult(test: TestCase): void {
    if (test.diagnostic()?.flaky !== true) return;
    const errors = test.result().errors ?? [];
    this.#told.push(
      `${test.module.relativeModuleId}: ${test.fullName}`,
      ...errors.map(({ message, stacks }) => {
        const place = stacks?.find(({ file }) => !file.includes("node_modules"));
        return `  ${message}${place === undefined ? "" : ` (${place.file}:${place.line})`}`;
      }),
    );
  }

  onTestRunEnd(): void {
    if (this.#told.length > 0)
      process.stderr.write(`\nPassed only when tried again:\n${this.#told.join("\n")}\n`);
  }
}
