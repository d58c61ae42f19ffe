/** The second worker: does what an answer need not wait for, while the first goes on with the rest. */
import { ownHands, type Hands } from "../farm/analyze-farm.ts";

type Name = keyof Hands;

/** From the first worker to the second, and back. */
interface Request {
  id: number;
  name: Name;
  asked: unknown[];
}
type Reply = "ready" | { id: number; gives: unknown } | { id: number; failed: true };

/**
 * The second worker's side.
 *
 * @param soon  runs one request after the other
 */
export function serve(port: MessagePort, soon: (work: () => void) => void): void {
  port.addEventListener("message", ({ data }) => {
    const { id, name, asked } = data as Request;
    soon(() => {
      try {
        const gives = (ownHands[name] as (...asked: unknown[]) => unknown)(...asked);
        port.postMessage({ id, gives } satisfies Reply);
      } catch {
        port.postMessage({ id, failed: true } satisfies Reply);
      }
    });
  });
  port.start();
  port.postMessage("ready" satisfies Reply);
}

/**
 * The first worker's side: the second one's hands once it has said that it is there.
 *
 * What fails there is done here again, so that its failure is told as ever.
 */
export function handsAt(port: MessagePort): () => Hands | null {
  const waiting = new Map<number, (reply: Exclude<Reply, "ready">) => void>();
  let isReady = false;
  port.addEventListener("message", ({ data }) => {
    const reply = data as Reply;
    if (reply === "ready") isReady = true;
    else waiting.get(reply.id)?.(reply);
  });
  port.start();
  let last = 0;
  const give = async (name: Name, asked: unknown[]): Promise<unknown> => {
    const id = ++last;
    const reply = await new Promise<Exclude<Reply, "ready">>((heard) => {
      waiting.set(id, heard);
      port.postMessage({ id, name, asked } satisfies Request);
    });
    waiting.delete(id);
    return "gives" in reply ? reply.gives : (ownHands[name] as (...asked: unknown[]) => unknown)(...asked);
  };
  const names = Object.keys(ownHands) as Name[];
  const hands = Object.fromEntries(
    names.map((name) => [name, (...asked: unknown[]) => give(name, asked)]),
  ) as unknown as Hands;
  return () => (isReady ? hands : null);
}
