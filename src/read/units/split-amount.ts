/** An amount as a person writes it: a number, with a currency before or after it, and a unit. */

export interface AmountParts {
  /** The number alone, as written, sign included. */
  number: string;
  /** `$`, `€`, `USD`, `¢` …; "" where none is written. */
  currency: string;
  /** What stands behind number and currency: `/bu`, `%`, `million seeds/ac`; "" where nothing does. */
  unit: string;
}

const shape =
  /^([+\-\u2212]?)\s*(\p{Sc}|US\$|C\$|A\$|[A-Z]{3}\b)?\s*([+\-\u2212]?(?:\d[\d.,'’\u00a0\u2009\u202f]*(?: \d{3}(?!\d))*(?:[.,]\d+)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/u;
const currencyBehind = /^(\p{Sc}|US\$|C\$|A\$|[A-Z]{3}\b|¢|cts?\b|cents?\b)\s*/u;

/**
 * Takes an amount apart; null when it does not begin with a number.
 *
 * @example splitAmount("$6.20/bu") // { number: "6.20", currency: "$", unit: "/bu" }
 * @example splitAmount("-0.12 $/bu") // { number: "-0.12", currency: "$", unit: "/bu" }
 */
export function splitAmount(text: string): AmountParts | null {
  if (text.length > 100) return null;
  const match = shape.exec(text.trim());
  if (match === null) return null;
  const [, sign, before = "", digits, rest] = match as unknown as [
    string,
    string,
    string | undefined,
    string,
    string,
  ];
  const behind = before === "" ? (currencyBehind.exec(rest)?.[0] ?? "") : "";
  return {
    number: `${sign}${digits}`.replace(/[.,'’\s]+$/, ""),
    currency: (before === "" ? behind : before).trim(),
    unit: rest.slice(behind.length).trim(),
  };
}

/** Whether a currency counts hundredths: cents. */
export const isCents = (currency: string): boolean => /^(?:¢|cts?|cents?)$/.test(currency);
