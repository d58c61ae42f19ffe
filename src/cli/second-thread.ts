/** Entry of a second thread, which does part of an analysis beside the first. */
import { parentPort } from "node:worker_threads";
import { serve } from "../farm/second-thread.ts";

serve(
  {
    send: (message) => parentPort!.postMessage(message),
    listen: (heard) => void parentPort!.on("message", heard),
  },
  (work) => work(),
);
