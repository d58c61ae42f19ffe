/** First and last of a list that is not empty: of sorted rates the lowest and the highest. */
export const firstAndLast = <Thing>(list: ArrayLike<Thing>): [first: Thing, last: Thing] => [
  list[0]!,
  list[list.length - 1]!,
];
