/** One Chromium for all tests of pages: started before the first, ended after the last. */
import { chromium } from "playwright-core";
import type { TestProject } from "vitest/node";
import { findTestBrowser } from "./find-browser.mjs";

declare module "vitest" {
  interface ProvidedContext {
    /** Where the browser listens; null where there is none. */
    browserEndpoint: string | null;
  }
}

export default async function startBrowser({ provide }: TestProject): Promise<() => Promise<void>> {
  const executablePath = findTestBrowser();
  if (executablePath === null) {
    provide("browserEndpoint", null);
    return async () => undefined;
  }
  const server = await chromium.launchServer({
    executablePath,
    args: [
      ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
  provide("browserEndpoint", server.wsEndpoint());
  return () => server.close();
}
