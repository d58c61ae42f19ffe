declare module "shpjs" {
  export function parseShp(shp: Uint8Array, prj?: string): unknown[];
  export function parseDbf(dbf: Uint8Array, cpg?: string): Record<string, unknown>[];
  export function combine(parts: [unknown[], Record<string, unknown>[]]): { features: unknown[] };
}
