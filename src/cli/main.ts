import { Command } from "commander";

const program = new Command("stripcurve").description(
  "Turns a farm's own variety × seeding-rate strips into next season's seeding rate for each variety.",
);
await program.parseAsync();
