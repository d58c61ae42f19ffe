/** The columns of a file of points, from the drill or the combine: names, what they hold, in what unit. */
import type { Column } from "../read/strips/columns.ts";
import { stripSynonyms } from "../read/strips/synonyms.ts";
import type { QuantityName } from "../read/units/column-units.ts";

const column = <Name extends string>(
  name: Name,
  kind: Column["kind"],
  quantity: QuantityName | null,
  meaning: string,
  also: string[],
): Column<Name> => ({ name, also, kind, quantity, needed: false, unitNames: {}, meaning });

export const pointColumns = [
  column("latitude", "number", null, "Degrees north of the equator.", [
    "lat",
    "y deg",
    "lat deg",
    "gps latitude",
  ]),
  column("longitude", "number", null, "Degrees east of Greenwich.", [
    ...["long", "lon", "lng", "x deg", "lon deg", "long deg", "gps longitude"],
  ]),
  column("x", "number", "length", "Metres east of any place, where there are no degrees.", [
    "easting",
    "east",
  ]),
  column("y", "number", "length", "Metres north of the same place.", ["northing", "north"]),
  column("time", "text", null, "When the point was logged: a date with its time, or seconds.", [
    ...[
      "iso time",
      "timestamp",
      ...["epoch", "epoch time", "unix", "unix time", "unix seconds"],
      "date time",
      "datetime",
      "gps time",
      "utc",
      "utc time",
      "time utc",
      "time s",
    ],
  ]),
  column("heading", "number", null, "Degrees from north, clockwise.", [
    ...["heading deg", "track", "track deg", "course", "bearing", "direction"],
  ]),
  column("speed", "number", "speed", "Speed over ground.", ["ground speed", "velocity", "vehicle speed"]),
  column("seconds", "number", null, "Seconds that a point stands for.", [
    ...["interval", "cycle", "log interval", "duration", "secs", "interval s", "duration s"],
  ]),
  column("distance", "number", "length", "Way travelled since the point before.", [
    "dist",
    "travel",
    "distance travelled",
  ]),
  column("swath", "number", "length", "Width that was cut or seeded.", [
    ...[
      "swath width",
      "cut width",
      "cutting width",
      "working width",
      "header width",
      "implement width",
      "width",
    ],
  ]),
  column("yield", "number", "yield", "Grain per area as the monitor has it.", [
    ...["yld", "grain yield", "yield wet", "wet yield", "yield volume", "yield mass"],
  ]),
  column("dry_yield", "number", "yield", "Grain per area, brought to market moisture already.", [
    ...["yield dry", "dry yield", "adjusted yield", "yield adjusted"],
  ]),
  column("flow", "number", "grainFlow", "Grain that came in, wet.", [
    ...["mass flow", "grain flow", "mass", "wet mass flow", "flow rate", "crop flow"],
  ]),
  column("moisture", "number", "moisture", "Moisture of the grain.", [
    "grain moisture",
    "moist",
    "moisture pct",
  ]),
  column("header_up", "text", null, "Whether the header was up: up or down, 1 or 0.", [
    ...["header", "header status", "header position", "header state"],
  ]),
  column("section", "text", null, "Section of the header or the drill that the point is of.", [
    "section id",
    "sect",
  ]),
  column("pass", "text", null, "Pass, as the machine counts them.", [
    "pass number",
    "pass num",
    "pass id",
    "swath id",
  ]),
  column("strip", "text", null, "Strip that the point is of, where it was written down.", [
    "strip id",
    "plot",
  ]),
  column("rate", "number", "rate", "Seed that was put down.", [
    ...[
      "applied",
      "applied rate",
      "seed rate",
      "seeding rate",
      "as applied",
      "actual rate",
      "rate applied",
      "rt apd",
    ],
  ]),
  column("target", "number", "rate", "Seed that was asked for.", [
    "target rate",
    "rate target",
    "control rate",
  ]),
  column("variety", "text", null, "Name of the variety.", ["cultivar", "hybrid", "product", "seed"]),
  column("crop", "text", null, "Crop.", ["species", "crop type", "commodity"]),
] as const;

/** What strips call the same things, in other languages too. */
export const pointSynonyms: Partial<Record<PointColumnName, readonly string[]>> = {
  yield: stripSynonyms.yield ?? [],
  rate: stripSynonyms.rate ?? [],
  moisture: stripSynonyms.moisture ?? [],
  variety: stripSynonyms.variety ?? [],
  latitude: ["Breitengrad", "geografische Breite", "latitud"],
  longitude: ["Längengrad", "geografische Länge", "longitud"],
  x: ["Rechtswert", "Ostwert"],
  y: ["Hochwert", "Nordwert"],
  time: [
    ...["Zeit", "Zeit s", "Uhrzeit", "Zeitstempel", "Datum Uhrzeit", "Datum Zeit"],
    ...["heure", "date heure", "horodatage", "temps", "hora", "fecha hora", "tiempo"],
  ],
  heading: ["Kurs", "Fahrtrichtung", "cap", "rumbo"],
  speed: ["Geschwindigkeit", "Fahrgeschwindigkeit", "vitesse", "velocidad"],
  seconds: ["Dauer", "durée", "duración"],
  distance: ["Strecke", "Distanz", "distancia"],
  swath: [
    ...["Arbeitsbreite", "Schnittbreite", "largeur", "largeur de travail", "largeur de coupe"],
    ...["ancho", "ancho de trabajo", "ancho de corte"],
  ],
  flow: [
    "Durchfluss",
    "Durchsatz",
    "Massenstrom",
    "Kornfluss",
    "débit",
    "débit massique",
    "flujo",
    "flujo de grano",
  ],
  section: ["Teilbreite", "tronçon", "sección"],
  pass: ["Fahrt", "Überfahrt", "passage", "pasada"],
  crop: ["Fruchtart", "Kultur", "culture", "cultivo"],
  target: ["Sollmenge", "dose cible", "dosis objetivo"],
};

export type PointColumnName = (typeof pointColumns)[number]["name"];

/** Columns of a file of weights from a weigh wagon or scale. */
export const weighedColumns = [
  column("strip", "text", null, "Position of the strip, as in the table of strips.", [
    ...["position", "strip position", "pos", "strip number", "strip no", "strip id", "plot"],
  ]),
  column("pass", "text", null, "Pass, as in the combine's file.", ["pass number", "pass num", "pass id"]),
  column("weight", "number", "stripWeight", "Grain as weighed.", [
    ...[
      "strip weight",
      "scale weight",
      "net weight",
      "net",
      "grain weight",
      "wagon weight",
      "harvest weight",
    ],
  ]),
  column("full", "number", "stripWeight", "Wagon with the grain.", ["gross weight", "gross"]),
  column("empty", "number", "stripWeight", "The same wagon empty.", ["tare weight", "tare"]),
  column("moisture", "number", "moisture", "Moisture of the grain as weighed.", [
    ...["grain moisture", "harvest moisture", "moisture pct"],
  ]),
] as const;

export type WeighedColumnName = (typeof weighedColumns)[number]["name"];
