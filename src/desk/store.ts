/** What stays on this computer, where the person asks for it: in the browser's own store, never the only copy. */
import { clear, get, set } from "idb-keyval";

const fullOrRefused =
  "This browser keeps nothing for pages opened from a disk, or its store is full. Nothing is lost while the page is open: save the file.";
const notForgotten =
  "The browser could not delete what is remembered here. Clear this page’s data in the browser’s settings.";

/** Parts of the desk that are remembered, each under its name. */
interface Remembered {
  farm: Uint8Array;
  /** The field sheet with its harvest notes, as CSV. */
  notes: string;
}

/** Off until the person asks; then on in every page of this kind in this browser, until it is forgotten. */
export class Memory {
  #isOn = false;
  /** Settled once the browser said whether anything was asked for before. */
  readonly known: Promise<void>;

  constructor() {
    this.known = get("remember").then(
      (on) => void (this.#isOn = on === true),
      () => undefined,
    );
  }

  get isOn(): boolean {
    return this.#isOn;
  }

  /** @returns what to tell the person where the browser refuses; it then stays off */
  async turnOn(): Promise<string | null> {
    const problem = await trying(() => set("remember", true), fullOrRefused);
    this.#isOn = problem === null;
    return problem;
  }

  /**
   * Keeps a part where the person asked for it, and nothing else.
   *
   * @returns what to tell the person where it cannot be kept
   */
  keep<Part extends keyof Remembered>(part: Part, content: Remembered[Part]): Promise<string | null> {
    return this.#isOn ? trying(() => set(part, content), fullOrRefused) : Promise.resolve(null);
  }

  async kept<Part extends keyof Remembered>(part: Part): Promise<Remembered[Part] | null> {
    await this.known;
    if (!this.#isOn) return null;
    return get<Remembered[Part]>(part).then(
      (content) => content ?? null,
      () => null,
    );
  }

  /** @returns what to tell the person where the browser does not forget */
  forget(): Promise<string | null> {
    this.#isOn = false;
    return trying(() => clear(), notForgotten);
  }
}

const trying = (doing: () => Promise<unknown>, otherwise: string): Promise<string | null> =>
  Promise.resolve()
    .then(doing)
    .then(
      () => null,
      () => otherwise,
    );
