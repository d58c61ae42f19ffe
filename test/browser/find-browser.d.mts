export function findBrowser(): string | null;
export function findShell(): string | null;
export function findTestBrowser(): string | null;
