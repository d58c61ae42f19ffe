export function makeNetwork(path: string, strips: number): void;
