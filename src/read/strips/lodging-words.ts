/**
 * Words for lodging and the scores they stand for, on a scale from 0 upright to 9 flat.
 *
 * Common practice without source: none or upright 0, slight 1, leaning or some 4, bad 7, flat 9; the same in German, French
 * and Spanish. A person's own words, and other scores for these, stand in the answers.
 */
import { listed } from "./listed.ts";
import { answerFor } from "../answers/answers.ts";

const wordsByScore: Readonly<Record<number, readonly string[]>> = {
  0: listed(
    "none, no, nil, zero, upright, standing, stood, stood up, erect, straight, no lodging",
    "not lodged, standing well, up",
    "kein, keine, keins, kein lager, aufrecht, stehend, steht",
    "aucune, aucun, debout, droit, nulle, non",
    "ninguno, ninguna, nada, en pie, erecto, sin vuelco, sin acame",
  ),
  1: listed(
    "slight, slightly, light, a little, little, trace, minor, hardly any, barely",
    "leicht, gering, wenig, kaum",
    "leger, legere, faible, peu",
    "leve, ligero, ligera, poco, poca",
  ),
  4: listed(
    "leaning, lean, leans, some, moderate, medium, partly, partial, part, bent",
    "mittel, teilweise, etwas, geneigt, schief",
    "moyen, moyenne, penche, penchee, partielle, partiel",
    "medio, media, moderado, algo, inclinado, inclinada, parcial",
  ),
  7: listed(
    "bad, badly, heavy, severe, severely, strong, mostly down, poor",
    "stark, schlecht, schwer",
    "fort, forte, mauvais, severe",
    "fuerte, mucho, malo, severo, grave",
  ),
  9: listed(
    "flat, down, all down, completely down, total, fully lodged, flattened, laid flat",
    "flach, platt, liegend, liegt, total, ganz",
    "couche, couchee, a plat, totale, verse totale",
    "caido, caida, acostado, tumbado, plano, totalmente",
  ),
};

const plain = (text: string): string =>
  text
    .normalize("NFKD")
    .replace(/\p{M}+/gu, "")
    .toLowerCase()
    .replace(/[^\p{L}]+/gu, " ")
    .trim();

const scores = new Map<string, number>(
  Object.entries(wordsByScore).flatMap(([score, words]) =>
    words.map((word): [string, number] => [plain(word), Number(score)]),
  ),
);

/** What the words stand for, for help and messages. */
export const lodgingWordsTold = "none or upright 0, slight 1, leaning or some 4, bad 7, flat 9";

/**
 * Score of a word from 0 upright to 9 flat; null for a text that is none of them, or holds digits.
 *
 * @param answered  word → score, as a person answered; wins over the table
 * @example lodgingWordScore("Leaning", {}) // 4
 */
export function lodgingWordScore(text: string, answered: Readonly<Record<string, number>>): number | null {
  const told = answerFor(answered, text);
  if (told !== undefined) return told;
  return /\d/.test(text) ? null : (scores.get(plain(text)) ?? null);
}
