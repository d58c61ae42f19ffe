/** Numbers as text: the only place that rounds. */

/** How a person writes numbers and dates; the engine has no locale of its own. */
export interface NumberStyle {
  decimal: string;
  thousands: string;
  /** Order of a written date: 24 April 2027 or April 24, 2027. */
  dates: "day-first" | "month-first";
}

export const plainStyle: NumberStyle = { decimal: ".", thousands: ",", dates: "month-first" };

/** A minus sign that is as wide as a plus, and does not break from its number. */
const minus = "−";

/**
 * Number with a fixed count of decimals.
 *
 * @example fixed(1234.567, 1, plainStyle) // "1,234.6"
 */
export function fixed(value: number, decimals: number, style: NumberStyle): string {
  const [whole = "0", fraction] = Math.abs(value).toFixed(decimals).split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, style.thousands);
  const text = fraction === undefined ? grouped : `${grouped}${style.decimal}${fraction}`;
  return value < 0 && /[1-9]/.test(text) ? `${minus}${text}` : text;
}

/**
 * Number rounded to a step, with the decimals that the step has.
 *
 * @example toStep(1.2374, 0.05, plainStyle) // "1.25"
 */
export const toStep = (value: number, step: number, style: NumberStyle): string =>
  fixed(nearestStep(value, step), decimalsOf(step), style);

/** The same for money: whole units, or at least two decimals. Example: moneyToStep(3.5, 0.5, plainStyle) // "3.50" */
export const moneyToStep = (value: number, step: number, style: NumberStyle): string =>
  fixed(nearestStep(value, step), step >= 1 ? 0 : Math.max(2, decimalsOf(step)), style);

/** A value half-way between two steps goes up, even where units that it has passed through left it a hair below. */
export const nearestStep = (value: number, step: number): number =>
  Math.round(Number((value / step).toPrecision(9))) * step;

/**
 * A number with as few decimals as hold it, at most three: one that a person chose and units have only passed through.
 *
 * @example shortest(7.4999999999, plainStyle) // "7.5"
 */
export const shortest = (value: number, style: NumberStyle): string =>
  fixed(value, decimalsHeld(value), style);

/** The same for money, which has two decimals or none; three below one. Example: shortestMoney(6.5, plainStyle) // "6.50" */
export const shortestMoney = (value: number, style: NumberStyle): string => {
  const decimals = decimalsHeld(value);
  const few = Math.abs(value) >= 1 || decimals === 1 ? 2 : decimals;
  return fixed(value, decimals === 0 ? 0 : few, style);
};

const decimalsHeld = (value: number): number =>
  [0, 1, 2].find((count) => Math.abs(value - Number(value.toFixed(count))) < 5e-5) ?? 3;

/** Decimals that a step needs: 0.05 → 2, 0.1 → 1, 5 → 0. */
const decimalsOf = (step: number): number => Math.max(0, -Math.floor(Math.log10(step) + 1e-9));

/**
 * The step that a number can bear when it is known to within an interval: about a tenth of the width, as 1, 2 or 5
 * times a power of ten, and never finer than `finest`.
 *
 * A tenth keeps the rounding error (at most half a step) small beside the doubt (half a width). Common practice,
 * without source.
 *
 * @example bearableStep(0.6, 0.01) // 0.05
 */
export function bearableStep(width: number, finest: number): number {
  const tenth = Math.abs(width) / 10;
  if (!(tenth > finest)) return finest;
  const power = Number(`1e${Math.floor(Math.log10(tenth) + 1e-9)}`);
  const lead = tenth / power;
  return power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
}

/**
 * A share as per cent: whole numbers, and never 0% or 100% for something that is only nearly so.
 *
 * @example percent(0.304, plainStyle) // "30%"
 */
export function percent(share: number, style: NumberStyle): string {
  if (share > 0 && share < 0.005) return "under 1%";
  if (share < 1 && share > 0.995) return "over 99%";
  return `${fixed(share * 100, 0, style)}%`;
}

/**
 * A chance in words that a person can picture: "9 in 10".
 *
 * @example chance(0.78) // "8 in 10"
 */
export function chance(probability: number): string {
  // The added hair makes 0.55 a 6 in 10 whatever its last digit.
  const tenths = Math.round(probability * 10 + 1e-9);
  if (tenths >= 10) return probability > 0.985 ? "nearly certain" : "19 in 20";
  if (tenths <= 0) return probability < 0.015 ? "next to none" : "1 in 20";
  return `${tenths} in 10`;
}

/** p value as trade papers print it. */
export const pValue = (p: number, style: NumberStyle): string =>
  p < 0.001 ? `below 0${style.decimal}001` : fixed(p, p < 0.1 ? 3 : 2, style);

const smallNumbers = [
  "no",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
];

/** Small counts as words: "three", "14". */
export const countWord = (count: number, style: NumberStyle = plainStyle): string =>
  smallNumbers[count] ?? fixed(count, 0, style);

/**
 * A count with its noun, small counts as words.
 *
 * @example counted(3, "season") // "three seasons"
 */
export function counted(count: number, noun: string, style: NumberStyle = plainStyle): string {
  return `${countWord(count, style)} ${count === 1 ? noun : plural(noun)}`;
}

/** "three site-years": how many fields in how many seasons, each counted once. */
export const siteYears = (count: number): string => counted(count, "site-year");

export const plural = (noun: string): string =>
  /[^aeiou]y$/.test(noun) ? `${noun.slice(0, -1)}ies` : `${noun}s`;

/** "a", "a and b", "a, b and c". */
export const listed = (words: string[]): string =>
  words.length < 2 ? (words[0] ?? "") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;

export const capitalized = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const months = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

/**
 * An ISO date in words, so that day and month cannot be mixed up.
 *
 * @example dateInWords("2027-04-24", plainStyle) // "April 24, 2027"
 */
export function dateInWords(isoDate: string, style: NumberStyle): string {
  const [year, month, day] = isoDate.split("-").map(Number);
  const name = months[(month ?? 0) - 1];
  if (year === undefined || name === undefined || day === undefined) return isoDate;
  return style.dates === "day-first" ? `${day} ${name} ${year}` : `${name} ${day}, ${year}`;
}

const monthDays = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/**
 * A day of any year in words, leap days apart.
 *
 * @param daysAfterNewYear  0 to 364
 * @example dayInWords(105, plainStyle) // "April 16"
 */
export function dayInWords(daysAfterNewYear: number, style: NumberStyle): string {
  let day = Math.round(daysAfterNewYear) + 1;
  let month = 0;
  while (day > monthDays[month]!) day -= monthDays[month++]!;
  const name = months[month]!;
  return style.dates === "day-first" ? `${day} ${name}` : `${name} ${day}`;
}
