/** What is remembered on this computer if the person asks for it: in the browser's own store, never the only copy. */
import { clear, get, set } from "idb-keyval";

const fullOrRefused =
  "This browser stores nothing for pages opened from a disk, or its store is full. Nothing is lost while the page is open, but save the farm file.";
const notForgotten =
  "The browser could not delete what is remembered here. Clear this page’s data in the browser’s settings.";

/** Parts of the desk that are remembered, each under its name. */
interface Remembered {
  farm: Uint8Array;
  /** The field sheet with its harvest notes, as CSV. */
  notes: string;
}

/** Off until the person asks; then on for every desk in this browser, until everything is forgotten. */
export class Memory {
  #isOn = false;
  /** Settled once the browser has said whether remembering was on before. */
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

  /** @returns a message for the person if the browser refuses; it then stays off */
  async turnOn(): Promise<string | null> {
    const problem = await trying(() => set("remember", true), fullOrRefused);
    this.#isOn = problem === null;
    return problem;
  }

  /**
   * Keeps a part if the person asked for it.
   *
   * @returns a message for the person if it cannot be kept
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

  /** @returns a message for the person if the browser cannot forget */
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
