/** The engine behind the page: in a worker, or on the page's own thread where a browser refuses workers. */
import type { ErrandName, Errands, Order, Provisions, Word } from "./errands.ts";
import { bytesOf, inPieces, runOnPage, scriptOf, type Packed } from "./packed.ts";

/** An errand was given up: the person stopped it, or what is on the desk has changed. */
export class Stopped extends Error {}

interface Waiting {
  order: Order;
  step(text: string): void;
  done(gives: never): void;
  failed(error: Error): void;
}

interface Side {
  say(message: Order | Provisions): void;
  end(): void;
}

export class Engine {
  readonly #script: Uint8Array<ArrayBuffer>[];
  readonly #provisions: Provisions;
  readonly #waiting = new Map<number, Waiting>();
  #side: Side | null = null;
  #heard = false;
  #last = 0;
  /** Where the work runs; shown at the foot of the page. */
  where: "worker" | "page" = "worker";

  constructor(packed: Packed) {
    this.#script = scriptOf(packed, "worker");
    this.#provisions = {
      built: packed.built,
      pageScript: bytesOf(inPieces(packed, "page")),
      rehearsal: packed.demo,
    };
  }

  /** Starts the worker ahead of its first errand, so that the errand need not wait. */
  getReady(): void {
    this.#side ??= this.#start();
  }

  /**
   * @param step  called with each step as it begins
   * @throws Stopped; an Error with a message for the person
   */
  run<Name extends ErrandName>(
    name: Name,
    ask: Errands[Name]["ask"],
    step: (text: string) => void = () => undefined,
  ): Promise<Errands[Name]["gives"]> {
    return new Promise((done, failed) => {
      const order = { id: ++this.#last, name, ask };
      this.#waiting.set(order.id, { order, step, done, failed });
      this.#say(order);
    });
  }

  /** Gives up whatever is running; the next errand starts afresh. */
  stop(): void {
    this.#giveUp([...this.#waiting.values()]);
  }

  /** Gives up work on an older state of the desk; what the person gave, such as files to open, is begun again. */
  overtake(): void {
    this.#giveUp([...this.#waiting.values()].filter(({ order }) => "input" in order.ask));
  }

  #giveUp(old: readonly Waiting[]): void {
    if (old.length === 0) return;
    this.#side?.end();
    this.#side = null;
    for (const { order } of old) this.#waiting.delete(order.id);
    for (const { order } of this.#waiting.values()) this.#say(order);
    for (const one of old) one.failed(new Stopped("Stopped."));
  }

  #say(order: Order): void {
    (this.#side ??= this.#start()).say(order);
  }

  get isBusy(): boolean {
    return this.#waiting.size > 0;
  }

  #start(): Side {
    const side = (this.where === "worker" ? this.#inWorker() : null) ?? this.#onPage();
    side.say(this.#provisions);
    return side;
  }

  #inWorker(): Side | null {
    try {
      const url = URL.createObjectURL(new Blob(this.#script, { type: "text/javascript" }));
      const worker = new Worker(url);
      const second = this.#secondWorker(url);
      const sent: Order[] = [];
      worker.addEventListener("message", ({ data }) => {
        if (!this.#heard) URL.revokeObjectURL(url);
        this.#heard = true;
        this.#hear(data as Word);
      });
      worker.addEventListener("error", (event) => {
        event.preventDefault();
        if (this.#heard) return;
        worker.terminate();
        second?.worker.terminate();
        this.where = "page";
        this.#side = null;
        for (const order of sent) this.#say(order);
      });
      return {
        say: (message) => {
          if ("id" in message && !this.#heard) sent.push(message);
          if ("id" in message || second === null) worker.postMessage(message);
          else worker.postMessage({ ...message, port: second.port }, [second.port]);
        },
        end: () => {
          worker.terminate();
          second?.worker.terminate();
        },
      };
    } catch {
      return null;
    }
  }

  /** A second worker, if the computer can run two at once, with a port to it. */
  #secondWorker(url: string): { worker: Worker; port: MessagePort } | null {
    if (!(navigator.hardwareConcurrency > 1)) return null;
    try {
      const { port1, port2 } = new MessageChannel();
      const worker = new Worker(url);
      // If it does not start, it never says that it is ready, and nothing is asked of it.
      worker.addEventListener("error", (event) => event.preventDefault());
      worker.postMessage({ ...this.#provisions, port: port2, helps: true }, [port2]);
      return { worker, port: port1 };
    } catch {
      return null;
    }
  }

  #onPage(): Side {
    this.where = "page";
    let take: (message: Order | Provisions) => void = () => undefined;
    let ended = false;
    Object.assign(window, {
      deskCounter: {
        listen: (listener: typeof take) => (take = listener),
        say: (word: Word) => {
          if (!ended) this.#hear(word);
        },
      },
    });
    runOnPage(this.#script);
    // Later, so that the page can show the step before it is busy.
    return { say: (message) => void setTimeout(() => take(message), 30), end: () => void (ended = true) };
  }

  #hear(word: Word): void {
    const waiting = this.#waiting.get(word.id);
    if (waiting === undefined) return;
    if ("step" in word) return waiting.step(word.step);
    this.#waiting.delete(word.id);
    if ("failed" in word) waiting.failed(new Error(word.failed));
    else waiting.done(word.gives as never);
  }
}
