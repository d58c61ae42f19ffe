/** Points as the formats hold them: a zipped shapefile by hand, and GeoJSON. */
import { zipSync } from "fflate";

export interface WrittenPoint {
  longitude: number;
  latitude: number;
  properties: Record<string, number | string>;
}

/**
 * One layer of points with its table: ESRI Shapefile Technical Description (1998), tables 1 to 3 (header, record, point) and
 * the dBASE III table that it names.
 */
export function zippedShapefile(
  points: readonly WrittenPoint[],
  more: Record<string, string> = {},
): Uint8Array {
  const recordWords = 14;
  const shp = new DataView(new ArrayBuffer(100 + points.length * 2 * recordWords));
  const shx = new DataView(new ArrayBuffer(100 + points.length * 8));
  for (const view of [shp, shx]) {
    view.setInt32(0, 9994);
    view.setInt32(24, view.byteLength / 2);
    view.setInt32(28, 1000, true);
    view.setInt32(32, 1, true);
    const [x, y] = [points.map(({ longitude }) => longitude), points.map(({ latitude }) => latitude)];
    [Math.min(...x), Math.min(...y), Math.max(...x), Math.max(...y)].forEach((bound, b) =>
      view.setFloat64(36 + 8 * b, bound, true),
    );
  }
  points.forEach(({ longitude, latitude }, p) => {
    const at = 100 + p * 2 * recordWords;
    shp.setInt32(at, p + 1);
    shp.setInt32(at + 4, recordWords - 4);
    shp.setInt32(at + 8, 1, true);
    shp.setFloat64(at + 12, longitude, true);
    shp.setFloat64(at + 20, latitude, true);
    shx.setInt32(100 + 8 * p, at / 2);
    shx.setInt32(104 + 8 * p, recordWords - 4);
  });
  const bytes = (view: DataView): Uint8Array => new Uint8Array(view.buffer);
  return zipSync({
    "layer.shp": bytes(shp),
    "layer.shx": bytes(shx),
    "layer.dbf": dbf(points.map(({ properties }) => properties)),
    ...Object.fromEntries(Object.entries(more).map(([name, text]) => [name, new TextEncoder().encode(text)])),
  });
}

const width = 20;

function dbf(rows: readonly Record<string, number | string>[]): Uint8Array {
  const names = Object.keys(rows[0]!);
  const headerLength = 33 + 32 * names.length;
  const rowLength = 1 + width * names.length;
  const view = new DataView(new ArrayBuffer(headerLength + rows.length * rowLength + 1));
  const put = (at: number, text: string): void => {
    [...text].forEach((letter, i) => view.setUint8(at + i, letter.charCodeAt(0)));
  };
  view.setUint8(0, 3);
  view.setUint32(4, rows.length, true);
  view.setUint16(8, headerLength, true);
  view.setUint16(10, rowLength, true);
  names.forEach((name, n) => {
    put(32 + 32 * n, name.slice(0, 10));
    view.setUint8(32 + 32 * n + 11, (typeof rows[0]![name] === "number" ? "N" : "C").charCodeAt(0));
    view.setUint8(32 + 32 * n + 16, width);
    view.setUint8(32 + 32 * n + 17, typeof rows[0]![name] === "number" ? 8 : 0);
  });
  view.setUint8(headerLength - 1, 13);
  rows.forEach((row, r) => {
    put(headerLength + r * rowLength, " ");
    names.forEach((name, n) =>
      put(headerLength + r * rowLength + 1 + width * n, String(row[name]).slice(0, width).padEnd(width)),
    );
  });
  return new Uint8Array(view.buffer);
}

export const geoJson = (points: readonly WrittenPoint[]): string =>
  JSON.stringify({
    type: "FeatureCollection",
    features: points.map(({ longitude, latitude, properties }) => ({
      type: "Feature",
      geometry: { type: "Point", coordinates: [longitude, latitude] },
      properties,
    })),
  });
