/** Texts that say of a row that it is of totals or means. */

/** What the first cell of a row of totals says; `SE 3300` is a variety. */
const summaryWords =
  /^(?!(?:sed?|cv|ns|std|max|min|media)\s?\d+$)(?:grand\s+|over\s?all\s+|(?:trial|rep|block|field|variety)\s+)?(?:(?:sub-?\s?)?totals?|sums?|averages?|avg|means?|medians?|st\.?\s?dev|std|s\.?e\.?d?|c\.?v\.?|lsd|p-?\s?values?|n\.?s|min(?:imum)?|max(?:imum)?|summen?|gesamt|mittel(?:wert)?|durchschnitt|moyennes?|sommes?|promedios?|medias?|sumas?)(?![\p{L}\d])[\s\p{L}%.:()\d]{0,24}$|^(?:over\s?all|counts?|obs|r²|prob|p(?:r|rob)?\s?>\s?f|hsd|ppds|(?:gd|hsd|ppds)[\s(]*(?:\d+\s?%|[,.0]+\d+)\)?)[:.]?$/iu;

/** `Ostrindel average`: of what is above it. */
const summaryBehind =
  /^.{1,40}\s(?:(?:sub-?\s?)?totals?|averages?|avg|means?|mittel(?:wert)?|durchschnitt|moyennes?|promedios?|medias?)\.?:?$/iu;

/** Whether a text is what the first cell of a row of totals says. */
export const isSummaryText = (text: string): boolean =>
  summaryWords.test(text.trim()) || summaryBehind.test(text.trim());

const summaryTitle =
  /(?<!\p{L})(?:means?|averages?|summary|mittelwerte?|durchschnitte?|zusammenfassung|moyennes?|résumé|promedios?|medias|resumen)(?!\p{L})/iu;

/** Whether a text above a table says that it sums up another. */
export const isSummaryTitle = (text: string): boolean => summaryTitle.test(text);
