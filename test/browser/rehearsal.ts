/**
 * In the page, before its scripts: a desk whose engine waits until it is asked. As shipped, two workers go through a small
 * farm meanwhile, which costs each desk that is opened up to 5 s of processor time.
 */
export function withoutRehearsal(): void {
  const post = Worker.prototype.postMessage;
  Worker.prototype.postMessage = function (this: Worker, message: object, ...rest: []) {
    post.call(this, "rehearsal" in message ? { ...message, rehearsal: {} } : message, ...rest);
  };
}

/** In the page, before its scripts: a computer that does one thing at once, so that the engine is in one worker. */
export function oneAtOnce(): void {
  Object.defineProperty(Navigator.prototype, "hardwareConcurrency", { get: () => 1 });
}
