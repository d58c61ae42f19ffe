/** What the command's exit status means. */
export const exitCodes = {
  done: 0,
  /** The input was read, but these strips give no answer. */
  noAnswer: 1,
  /** Wrong use, or input or output that cannot be read or written. */
  wrongUse: 2,
  /** A defect of the program itself (EX_SOFTWARE of the BSD sysexits). */
  defect: 70,
} as const;

export type ExitCode = (typeof exitCodes)[keyof typeof exitCodes];
