import { describe, expect, it } from "vitest";
import { Inbox, messagesOf, stripsAtOnce, type Task } from "../../../src/cli/client-messages.ts";

/** A task of so many strips, each of which says which one it is. */
const taskOf = (count: number): Task =>
  ({
    wanted: "result",
    farm: { trial: { strips: Array.from({ length: count }, (_, i) => ({ position: i })), rowsRead: count } },
  }) as unknown as Task;

describe("a client's farm sent to the thread that works on it", () => {
  it.each([
    [0, 1],
    [3, 1],
    [stripsAtOnce, 1],
    [stripsAtOnce + 1, 2],
    [3 * stripsAtOnce + 7, 4],
  ])("of %i strips comes whole in %i messages, none too large", (count, expected) => {
    const task = taskOf(count);
    const messages = [...messagesOf(task)];
    expect(messages).toHaveLength(expected);
    for (const message of messages)
      expect(("ahead" in message ? message.ahead : message.farm.trial.strips).length).toBeLessThanOrEqual(
        stripsAtOnce,
      );
    const inbox = new Inbox();
    const taken = messages.map((message) => inbox.take(message));
    expect(taken.slice(0, -1).every((one) => one === null)).toBe(true);
    expect(taken.at(-1)).toEqual(task);
  });

  it("leaves nothing of one task to the next", () => {
    const inbox = new Inbox();
    for (const message of messagesOf(taskOf(stripsAtOnce + 1))) inbox.take(message);
    expect(inbox.take(taskOf(2))).toEqual(taskOf(2));
  });
});
