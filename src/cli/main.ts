/** The command as a process of its own. */
import { runCommand } from "./command.ts";
import { haveOwnProcess } from "./own-process.ts";

// A reader that closes a stream early is told to whoever writes; nobody else has to know.
for (const stream of [process.stdout, process.stderr]) stream.on("error", () => {});

haveOwnProcess();
await runCommand(process.argv.slice(2));
