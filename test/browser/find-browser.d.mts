export function findBrowser(): string | null;
