/** Lodging scores of a site-year that were taken on another scale than the column's. */
import { gather } from "../../maths/group-by.ts";
import { lodgingOnOtherScale } from "../../messages/reading.ts";
import type { Finding, Strip } from "../../vocabulary/trial.ts";

type Place = Pick<Strip, "season" | "farm" | "field">;

/** Of the strips that do not stand upright, the share off the scale from which on it is no slip of the pen. Our own choice. */
const otherScaleShare = 1 / 3;

/**
 * Scores off the scale, by season, farm and field. Where they are many, those that happen to be on the scale are of
 * another one as well: kept, they would be the upright strips alone, and the crop would seem never to lodge.
 */
export class LodgingOffScale {
  readonly #off = new Map<string, number>();

  /** One score of the place that its scale does not have. */
  add(place: Place): void {
    const key = keyOf(place);
    this.#off.set(key, (this.#off.get(key) ?? 0) + 1);
  }

  /** Takes the scores of such site-years off the strips, and says so. */
  leaveOut(strips: readonly Strip[], file: string, scale: string): Finding[] {
    if (this.#off.size === 0) return [];
    const scored = gather(
      strips.filter((strip) => strip.lodging !== null && this.#off.has(keyOf(strip))),
      keyOf,
    );
    return [...scored].flatMap(([key, kept]) => {
      const off = this.#off.get(key)!;
      const lodged = kept.filter(({ lodging }) => lodging!.share > 0).length;
      if (off < otherScaleShare * (off + lodged)) return [];
      for (const strip of kept) strip.lodging = null;
      const { season, farm, field } = kept[0];
      const place = [season, farm, field].filter((part) => part !== "").join(" ");
      return [lodgingOnOtherScale(file, place, scale, off, kept.length)];
    });
  }
}

const keyOf = ({ season, farm, field }: Place): string => JSON.stringify([season, farm, field]);
