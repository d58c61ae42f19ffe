declare module "shpjs" {
  export function parseZip(bytes: Uint8Array): Promise<{ features: unknown[] } | { features: unknown[] }[]>;
}
