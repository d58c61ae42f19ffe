/** The columns of a file of points, from the drill or the combine: names, what they hold, in what unit. */
import { listed } from "../read/strips/listed.ts";
import { column, seedsPerPound } from "../read/strips/columns.ts";
import { stripSynonyms } from "../read/strips/synonyms.ts";

export const pointColumns = [
  column({
    name: "latitude",
    kind: "number",
    meaning: "Degrees north of the equator.",
    also: ["lat", "y deg", "lat deg", "gps latitude"],
  }),
  column({
    name: "longitude",
    kind: "number",
    meaning: "Degrees east of Greenwich.",
    also: listed("long, lon, lng, x deg, lon deg, long deg, gps longitude"),
  }),
  column({
    name: "x",
    kind: "number",
    quantity: "length",
    meaning: "Metres east of any fixed point, where there are no degrees.",
    also: ["easting", "east"],
  }),
  column({
    name: "y",
    kind: "number",
    quantity: "length",
    meaning: "Metres north of the same point.",
    also: ["northing", "north"],
  }),
  column({
    name: "time",
    kind: "text",
    meaning: "When the point was logged: a date with its time, or seconds.",
    also: listed(
      "iso time, timestamp, epoch, epoch time, unix, unix time, unix seconds, date time, datetime",
      "gps time, utc, utc time, time utc, time s, local time, time of day, log time",
    ),
  }),
  column({
    name: "date",
    kind: "text",
    meaning: "Day of the point, where its time names none.",
    also: listed("day, local date, gps date, utc date, date local, harvest date, log date"),
  }),
  column({
    name: "heading",
    kind: "number",
    meaning: "Degrees from north, clockwise.",
    also: listed("heading deg, track, track deg, course, bearing, direction"),
  }),
  column({
    name: "speed",
    kind: "number",
    quantity: "speed",
    meaning: "Speed over ground.",
    also: ["ground speed", "velocity", "vehicle speed"],
  }),
  column({
    name: "seconds",
    kind: "number",
    meaning: "Seconds that a point stands for.",
    also: listed("interval, cycle, log interval, duration, secs, interval s, duration s"),
  }),
  column({
    name: "distance",
    kind: "number",
    quantity: "length",
    meaning: "Distance travelled since the point before.",
    also: ["dist", "travel", "distance travelled"],
  }),
  column({
    name: "swath",
    kind: "number",
    quantity: "length",
    meaning: "Width that was cut or seeded.",
    also: listed(
      "swath width, cut width, cutting width, working width, header width, implement width, width",
    ),
  }),
  column({
    name: "yield",
    kind: "number",
    quantity: "yield",
    meaning: "Yield as the monitor shows it.",
    also: listed("yld, grain yield, yield wet, wet yield, yield volume, yield mass"),
  }),
  column({
    name: "dry_yield",
    kind: "number",
    quantity: "yield",
    meaning: "Yield already adjusted to market moisture.",
    also: listed("yield dry, dry yield, adjusted yield, yield adjusted"),
  }),
  column({
    name: "flow",
    kind: "number",
    quantity: "grainFlow",
    meaning: "Grain that came in, wet.",
    also: listed("mass flow, grain flow, mass, wet mass flow, flow rate, crop flow"),
  }),
  column({
    name: "grain_mass",
    kind: "number",
    quantity: "stripWeight",
    meaning: "Wet grain that came in since the point before.",
    also: listed("wet mass, mass wet, crop mass, crop mass wet, wet crop mass, wet weight, harvested mass"),
  }),
  column({
    name: "moisture",
    kind: "number",
    quantity: "moisture",
    meaning: "Moisture of the grain.",
    also: ["grain moisture", "moist", "moisture pct"],
  }),
  column({
    name: "header_up",
    kind: "text",
    meaning: "Whether the header was up: up or down, 1 or 0.",
    also: listed("header, header status, header position, header state"),
  }),
  column({
    name: "field",
    kind: "text",
    meaning: "Field, where a file holds several.",
    also: listed("field name, field id, fld, paddock"),
  }),
  column({
    name: "machine",
    kind: "text",
    meaning: "Machine that logged the point, where several worked in one field.",
    also: listed(
      "combine, vehicle, machine id, machine name, machine number, vehicle id, vehicle name, combine id, device, device id",
    ),
  }),
  column({
    name: "section",
    kind: "text",
    meaning: "Section of the header or the drill that the point belongs to.",
    also: ["section id", "sect"],
  }),
  column({
    name: "pass",
    kind: "text",
    meaning: "Pass, as the machine counts them.",
    also: ["pass number", "pass num", "pass id", "swath id"],
  }),
  column({
    name: "strip",
    kind: "text",
    meaning: "Strip that the point belongs to, where it was noted.",
    also: ["strip id", "plot"],
  }),
  column({
    name: "rate",
    kind: "number",
    quantity: "rate",
    meaning: "Seed that was put down.",
    also: listed(
      "applied, applied rate, seed rate, seeding rate, as applied, actual rate, rate applied, rt apd",
    ),
  }),
  column({
    name: "target",
    kind: "number",
    quantity: "rate",
    meaning: "Seed that was asked for.",
    also: ["target rate", "rate target", "control rate"],
  }),
  seedsPerPound,
  column({
    name: "variety",
    kind: "text",
    meaning: "Name of the variety.",
    also: ["cultivar", "hybrid", "product", "seed"],
  }),
  column({ name: "crop", kind: "text", meaning: "Crop.", also: ["species", "crop type", "commodity"] }),
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
  time: listed(
    "Zeit, Zeit s, Uhrzeit, Zeitstempel, Datum Uhrzeit, Datum Zeit",
    "heure, date heure, horodatage, temps, hora, fecha hora, tiempo",
  ),
  date: ["Datum", "Tag", "jour", "fecha"],
  heading: ["Kurs", "Fahrtrichtung", "cap", "rumbo"],
  speed: ["Geschwindigkeit", "Fahrgeschwindigkeit", "vitesse", "velocidad"],
  seconds: ["Dauer", "durée", "duración"],
  distance: ["Strecke", "Distanz", "distancia"],
  swath: listed(
    "Arbeitsbreite, Schnittbreite, largeur, largeur de travail, largeur de coupe",
    "ancho, ancho de trabajo, ancho de corte",
  ),
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
  field: ["Schlag", "Feld", "parcelle", "lote", "campo"],
  machine: ["Maschine", "Mähdrescher", "Fahrzeug", "moissonneuse", "cosechadora", "máquina"],
  section: ["Teilbreite", "tronçon", "sección"],
  pass: ["Fahrt", "Überfahrt", "passage", "pasada"],
  crop: ["Fruchtart", "Kultur", "culture", "cultivo"],
  target: ["Sollmenge", "dose cible", "dosis objetivo"],
};

export type PointColumnName = (typeof pointColumns)[number]["name"];

/** Columns of a file of weights from a weigh wagon or scale. */
export const weighedColumns = [
  column({
    name: "strip",
    kind: "text",
    meaning: "Position of the strip, as in the table of strips.",
    also: listed("position, strip position, pos, strip number, strip no, strip id, plot"),
  }),
  column({
    name: "pass",
    kind: "text",
    meaning: "Pass, as in the combine's file.",
    also: ["pass number", "pass num", "pass id"],
  }),
  column({
    name: "weight",
    kind: "number",
    quantity: "stripWeight",
    meaning: "Grain as weighed.",
    also: listed("strip weight, scale weight, net weight, net, grain weight, wagon weight, harvest weight"),
  }),
  column({
    name: "full",
    kind: "number",
    quantity: "stripWeight",
    meaning: "Wagon with the grain.",
    also: ["gross weight", "gross"],
  }),
  column({
    name: "empty",
    kind: "number",
    quantity: "stripWeight",
    meaning: "The same wagon empty.",
    also: ["tare weight", "tare"],
  }),
  column({
    name: "moisture",
    kind: "number",
    quantity: "moisture",
    meaning: "Moisture of the grain as weighed.",
    also: listed("grain moisture, harvest moisture, moisture pct"),
  }),
] as const;

export type WeighedColumnName = (typeof weighedColumns)[number]["name"];
