/** What can be wrong with a line of a file of entries, and what to do about it. */

const quote = "Put the value in quotation marks.";

export const lineFaults = {
  tab: "It begins with a tab. Delete the tab, or put two spaces in its place.",
  colon: `There is a colon in the value. ${quote}`,
  dashes: "Three dashes begin another file here. Delete this line.",
  quote: "A quotation mark is opened but not closed. Close it at the end of the value, or delete it.",
  behindQuote: "There is something after the closing quotation mark. Put all of the value between the marks.",
  bracket: "A bracket is opened but not closed. Close it, or delete it.",
  closing: "This bracket closes nothing. Delete it.",
  sign: `The value begins with a sign that cannot be there. ${quote}`,
  noSpace: "There is no space after the colon. Put one there.",
  noEntry: "This is not an entry. Write it like grain_price: 6.20 $/bu, with a space after the colon.",
  indented: "It is indented. Begin the line with the name of the entry.",
  twice: "This entry is there twice. Delete one of the two.",
  other: `This cannot be read. Write a name, a colon, a space and a value, like grain_price: 6.20 $/bu. ${quote}`,
} as const;

export type LineFault = keyof typeof lineFaults;
