/** Entry of a second thread, which does part of a long work beside the first. */
import { parentPort } from "node:worker_threads";
import { serve } from "../farm/second-thread.ts";
import { worksApart } from "./works-apart.ts";

serve(
  {
    send: (message) => parentPort!.postMessage(message),
    listen: (heard) => void parentPort!.on("message", heard),
    leave: () => parentPort!.unref(),
  },
  worksApart,
  (work) => work(),
);
