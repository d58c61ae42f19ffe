export function resultSchema(root: string): Record<string, unknown>;
