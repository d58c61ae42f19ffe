/** Two threads on one answer: the second does part of the work, while the first goes on with the rest. */

/** What a second thread can be asked to do. */
export type Works = Readonly<Record<string, (...asked: never[]) => unknown>>;

/** The same works in another thread. */
export type Apart<W extends Works> = {
  [Name in keyof W]: (...asked: Parameters<W[Name]>) => Promise<ReturnType<W[Name]>>;
};

/** From the first thread to the second, and back. */
type Request = "enough" | { id: number; name: string; asked: unknown[] };
type Reply = "ready" | { id: number; gives: unknown } | { id: number; failed: true };

/** One end of the line between them, on any platform. */
export interface LineEnd {
  send(message: unknown): void;
  listen(heard: (message: unknown) => void): void;
  /** Listens no longer, so that a thread with nothing else to do ends; where a platform has no such way, it waits on. */
  leave?(): void;
}

/** The end of a line that a browser gives. */
export const endOf = (port: {
  postMessage(message: unknown): void;
  addEventListener(type: "message", heard: (event: { data: unknown }) => void): void;
  start(): void;
}): LineEnd => ({
  send: (message) => port.postMessage(message),
  listen: (heard) => {
    port.addEventListener("message", ({ data }) => heard(data));
    port.start();
  },
});

/**
 * The second thread's side.
 *
 * @param soon  runs one request after the other
 */
export function serve(line: LineEnd, works: Works, soon: (work: () => void) => void): void {
  const reply = (message: Reply): void => line.send(message);
  line.listen((message) => {
    const request = message as Request;
    soon(() => {
      if (request === "enough") return line.leave?.();
      const { id, name, asked } = request;
      try {
        reply({ id, gives: doHere(works, name, asked) });
      } catch {
        reply({ id, failed: true });
      }
    });
  });
  reply("ready");
}

/** What the first thread has of the second. */
export interface SecondThread<W extends Works> {
  works: Apart<W>;
  /** Whether the second has said that it is there. */
  isReady(): boolean;
  /** Nothing more will be asked: once the second has answered, it may go. */
  enough(): void;
  /** The second thread has failed: the first does whatever was asked, and will be. */
  giveUp(): void;
}

/**
 * The first thread's side.
 *
 * Anything that fails in the second thread is done here again, so that failures are reported as usual.
 */
export function secondThreadAt<W extends Works>(line: LineEnd, works: W): SecondThread<W> {
  const waiting = new Map<number, (reply: Exclude<Reply, "ready">) => void>();
  let isReady = false;
  let isGone = false;
  line.listen((message) => {
    const reply = message as Reply;
    if (reply === "ready") isReady = true;
    else waiting.get(reply.id)?.(reply);
  });
  let last = 0;
  const give = async (name: string, asked: unknown[]): Promise<unknown> => {
    const id = ++last;
    const reply = await new Promise<Exclude<Reply, "ready">>((heard) => {
      if (isGone) return heard({ id, failed: true });
      waiting.set(id, heard);
      line.send({ id, name, asked } satisfies Request);
    });
    waiting.delete(id);
    return "gives" in reply ? reply.gives : doHere(works, name, asked);
  };
  return {
    works: Object.fromEntries(
      Object.keys(works).map((name) => [name, (...asked: unknown[]) => give(name, asked)]),
    ) as unknown as Apart<W>,
    isReady: () => isReady,
    enough: () => line.send("enough" satisfies Request),
    giveUp: () => {
      isGone = true;
      for (const [id, heard] of waiting) heard({ id, failed: true });
    },
  };
}

const doHere = (works: Works, name: string, asked: unknown[]): unknown =>
  (works[name] as (...asked: unknown[]) => unknown)(...asked);
