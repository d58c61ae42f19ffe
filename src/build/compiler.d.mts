/** Path of TypeScript's compiler, for Node to run. */
export const compiler: string;

/** Runs the compiler, which says what it finds; throws where it finds fault. */
export function compile(...words: string[]): void;
