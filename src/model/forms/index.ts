/** The response forms, from the plainest to the most bent. */
import { formNames, type FormName } from "../../vocabulary/settings.ts";
import type { ResponseForm } from "./form.ts";
import { linearPlateau } from "./linear-plateau.ts";
import { linear } from "./linear.ts";
import { none } from "./none.ts";
import { quadraticPlateau } from "./quadratic-plateau.ts";
import { quadratic } from "./quadratic.ts";

export type { FormEstimate, ResponseForm } from "./form.ts";

const forms: { [Name in FormName]: ResponseForm & { name: Name } } = {
  none,
  linear,
  quadratic,
  "linear-plateau": linearPlateau,
  "quadratic-plateau": quadraticPlateau,
};

/** The form of a name. */
export const formNamed = (name: FormName): ResponseForm => forms[name];

export const responseForms: readonly ResponseForm[] = formNames.map(formNamed);
