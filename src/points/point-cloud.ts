/** Points of a machine as columns of numbers: a million of them share a few arrays. */

export const numberFields = [
  "x",
  "y",
  "time",
  "heading",
  "speed",
  "seconds",
  "distance",
  "swath",
  "wetYield",
  "dryYield",
  "flow",
  "mass",
  "moisture",
  "rate",
  "target",
  "seedsPerKg",
  "onFrom",
  "onTo",
] as const;
export const nameFields = ["section", "pass", "strip", "variety", "machine"] as const;
export type NumberField =
  | "x"
  | "y"
  | "time"
  | "heading"
  | "speed"
  | "seconds"
  | "distance"
  | "swath"
  | "wetYield"
  | "dryYield"
  | "flow"
  | "mass"
  | "moisture"
  | "rate"
  | "target"
  | "seedsPerKg"
  | "onFrom"
  | "onTo";
export type NameField = (typeof nameFields)[number];

/**
 * Units: metres, seconds, degrees clockwise from north, m/s, kg/ha, kg/s, kg, %. NaN where nothing is known.
 *
 * `onFrom` and `onTo` are where the part of the drill that was on begins and ends, as shares of its width from the left; NaN
 * where it is the whole. `rate` and `target` are viable seeds/m², or kg/ha where `rateIsWeight`. A column that no file has is null.
 */
export interface PointCloud {
  count: number;
  files: string[];
  file: Uint16Array;
  row: Uint32Array;
  /** 1 where the header was up. */
  headerUp: Uint8Array | null;
  numbers: Record<NumberField, Float64Array | null>;
  /** Each an index into `texts`; 0 is the empty text. */
  names: Record<NameField, Uint32Array | null>;
  texts: string[];
  rateIsWeight: boolean;
  /** What places were rounded to before they were written [m]; 0 for finer than matters. */
  roundedM: number;
}

/** The file that a point was read from. */
export const fileOf = ({ files, file }: PointCloud, i: number): string => files[file[i]!]!;

/** Gathers points one by one; arrays double as they fill. */
export class CloudBuilder {
  #count = 0;
  #room = 4096;
  #file = new Uint16Array(this.#room);
  #row = new Uint32Array(this.#room);
  #headerUp: Uint8Array | null = null;
  readonly #numbers = new Map<NumberField, Float64Array>();
  readonly #names = new Map<NameField, Uint32Array>();
  readonly #texts = [""];
  readonly #textIndex = new Map<string, number>([["", 0]]);
  readonly files: string[] = [];

  get count(): number {
    return this.#count;
  }

  /** Starts a point; what is set next belongs to it. */
  begin(row: number): void {
    if (this.#count === this.#room) this.#grow();
    this.#file[this.#count] = this.files.length - 1;
    this.#row[this.#count] = row;
    this.#count++;
  }

  set(field: NumberField, value: number): void {
    if (value !== value) return;
    let values = this.#numbers.get(field);
    if (values === undefined) this.#numbers.set(field, (values = new Float64Array(this.#room).fill(NaN)));
    values[this.#count - 1] = value;
  }

  setName(field: NameField, text: string): void {
    let at = this.#textIndex.get(text);
    if (at === undefined) {
      this.#textIndex.set(text, (at = this.#texts.length));
      this.#texts.push(text);
    }
    let values = this.#names.get(field);
    if (values === undefined) this.#names.set(field, (values = new Uint32Array(this.#room)));
    values[this.#count - 1] = at;
  }

  setHeaderUp(): void {
    this.#headerUp ??= new Uint8Array(this.#room);
    this.#headerUp[this.#count - 1] = 1;
  }

  #grow(): void {
    this.#room *= 2;
    const larger = <T extends Uint8Array | Uint16Array | Uint32Array | Float64Array>(fresh: T, old: T): T => {
      fresh.set(old as never);
      return fresh;
    };
    this.#file = larger(new Uint16Array(this.#room), this.#file);
    this.#row = larger(new Uint32Array(this.#room), this.#row);
    if (this.#headerUp !== null) this.#headerUp = larger(new Uint8Array(this.#room), this.#headerUp);
    for (const [field, values] of this.#numbers)
      this.#numbers.set(field, larger(new Float64Array(this.#room).fill(NaN), values));
    for (const [field, values] of this.#names)
      this.#names.set(field, larger(new Uint32Array(this.#room), values));
  }

  finish(rateIsWeight: boolean): PointCloud {
    const count = this.#count;
    const number = (field: NumberField): Float64Array | null =>
      this.#numbers.get(field)?.subarray(0, count) ?? null;
    const name = (field: NameField): Uint32Array | null => this.#names.get(field)?.subarray(0, count) ?? null;
    return {
      count,
      files: this.files,
      rateIsWeight,
      roundedM: 0,
      texts: this.#texts,
      file: this.#file.subarray(0, count),
      row: this.#row.subarray(0, count),
      headerUp: this.#headerUp?.subarray(0, count) ?? null,
      numbers: Object.fromEntries(
        numberFields.map((field) => [field, number(field as NumberField)]),
      ) as PointCloud["numbers"],
      names: Object.fromEntries(nameFields.map((field) => [field, name(field)])) as PointCloud["names"],
    };
  }
}
