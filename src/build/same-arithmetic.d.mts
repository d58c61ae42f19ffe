import type { Plugin } from "vitest/config";

export function isOurs(path: string): boolean;
export function withSameArithmetic(code: string, path: string): Promise<{ code: string; map: string }>;
export function sameArithmeticInTests(): Plugin;
