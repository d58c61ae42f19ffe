import { describe, expect, it } from "vitest";
import { joinClients } from "../../../src/farm/clients.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { assumable, defaultSettings, defaultsIn, defaultUnits } from "../../../src/vocabulary/settings.ts";

const file = (name: string, text: string) => ({ name, bytes: new TextEncoder().encode(text) });
const cornFarm = () =>
  readFarm([
    file("a.csv", "variety,season,block,rate (seeds/ac),yield (bu/ac)\nAlder,2025,1,30000,180\n"),
    file("season.yaml", "crop: corn\n"),
  ]);

describe("all clients together", () => {
  it("have the prices, the drill's step and the lateness of their crop where nobody gave any for all", async () => {
    const clients = [
      { name: "ash", farm: await cornFarm() },
      { name: "birch", farm: await cornFarm() },
    ];
    const settings = { ...defaultSettings, assumed: [...assumable] };
    const { all } = joinClients(clients, { settings, units: defaultUnits });
    expect(all.settings).toEqual({ ...defaultsIn("us", "corn"), assumed: [...assumable] });
  });
});
