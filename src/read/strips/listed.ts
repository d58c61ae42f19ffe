/** Names or words of one kind or language, a line each: a long table of them is read line by line. */
export const listed = (...lines: string[]): string[] => lines.flatMap((line) => line.split(", "));
