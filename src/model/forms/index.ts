/** The response forms, from the plainest to the most bent. */
import type { FormName } from "../../vocabulary/settings.ts";
import type { ResponseForm } from "./form.ts";
import { linearPlateau } from "./linear-plateau.ts";
import { linear } from "./linear.ts";
import { none } from "./none.ts";
import { quadraticPlateau } from "./quadratic-plateau.ts";
import { quadratic } from "./quadratic.ts";

export type { FormEstimate, ResponseForm } from "./form.ts";

export const responseForms: readonly ResponseForm[] = [
  none,
  linear,
  quadratic,
  linearPlateau,
  quadraticPlateau,
];

/** The form of a name. */
export const formNamed = (name: FormName): ResponseForm => responseForms.find((form) => form.name === name)!;
