/** Puts lines in the place of those that the same command wrote last, and formats the file. */
export function writeBetweenMarkers(path: string, command: string, lines: readonly string[]): void;
